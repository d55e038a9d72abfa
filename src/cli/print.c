#include <string.h>

#include "base/text.h"
#include "cli/session.h"

static const char *strong(const struct session *s, bool on)
{
	return s->colour ? on ? "\033[1m" : "\033[0m" : "";
}

void print_wrapped(const struct session *s, FILE *to, const char *lead, const char *text)
{
	size_t indent = utf8_length(lead), column = indent;
	fputs(lead, to);
	for (const char *line = text; *line;) {
		size_t length = strcspn(line, " \n");
		char *word = arena_copy(s->arena, line, length);
		const char *shown = text_harmless(s->arena, word);
		size_t width = utf8_length(shown);
		if (column > indent && column + 1 + width > (size_t)s->width) {
			fprintf(to, "\n%*s", (int)indent, "");
			column = indent;
		} else if (column > indent) {
			fputc(' ', to);
			column++;
		}
		fputs(shown, to);
		column += width;
		line += length;
		if (*line == '\n' && line[1]) {
			fprintf(to, "\n%*s", (int)indent, "");
			column = indent;
		}
		line += *line != '\0';
	}
	fputc('\n', to);
}

void print_error(const struct session *s, const char *about, const char *message)
{
	fprintf(stderr, "pintle: %s%s%s\n", text_harmless(s->arena, about), *about ? ": " : "",
		text_harmless(s->arena, message));
}

static const char *source_words(const struct session *s, const char *source, enum standing standing)
{
	const char *word = session_words(s, arena_format(s->arena, "standing-%s", standing_name(standing)));
	return text_begins(source, word) ? source : arena_format(s->arena, "%s (%s)", source, word);
}

static const char *place_text(const struct session *s, struct place at)
{
	if (!at.file)
		return "";
	if (!at.line)
		return text_harmless(s->arena, at.file);
	return text_harmless(s->arena, arena_format(s->arena, "%s:%d:%d", at.file, at.line, at.column));
}

/* Beside what stands on the line up to `column`, or below it where the line would grow too long; returns
 * where it ends. */
static size_t print_beside(const struct session *s, FILE *to, size_t indent, size_t column, const char *text)
{
	size_t width = utf8_length(text);
	if (!width)
		return column;
	if (column + 2 + width > (size_t)s->width) {
		fprintf(to, "\n%*s%s", (int)indent, "", text);
		return indent + width;
	}
	fprintf(to, "  %s", text);
	return column + 2 + width;
}

static void print_finding(const struct session *s, FILE *to, const struct finding *f)
{
	const char *level = session_words(s, arena_format(s->arena, "level-%s",
		finding_level_name(finding_level(f->code))));
	const char *place = place_text(s, f->at);
	const char *subject = text_equal(f->subject, f->at.file) ? "" : text_harmless(s->arena, f->subject);
	const char *code = arena_format(s->arena, "[%s]", finding_name(f->code));
	size_t indent = 7, column = indent + utf8_length(place);
	fprintf(to, "%s%-6s%s %s", strong(s, true), level, strong(s, false), place);
	column = print_beside(s, to, indent, column, subject);
	print_beside(s, to, indent, column, code);
	fputc('\n', to);
	print_wrapped(s, to, "       ", phrase_finding(s->arena, s->words, f));
	for (const struct way *w = f->ways; w; w = w->next)
		print_wrapped(s, to, "       → ", phrase_way(s->arena, s->words, f, w));
	if (f->source)
		print_wrapped(s, to, "       ", arena_format(s->arena, "%s: %s", session_words(s, "source"),
			source_words(s, f->source, f->standing)));
}

void print_findings(const struct session *s, FILE *to, const struct findings *findings)
{
	for (size_t i = 0; i < findings->count; i++)
		print_finding(s, to, findings->items[i]);
}

void print_deferring(const struct session *s, FILE *to)
{
	print_wrapped(s, to, "", session_words(s, "deferring"));
}

enum exit_status status_of(const struct findings *findings)
{
	switch (findings_worst(findings)) {
	case FINDING_INPUT:
		return EXIT_BAD_INPUT;
	case FINDING_STOP:
	case FINDING_OPEN:
		return EXIT_ANSWER_NO;
	case FINDING_NOTE:
		break;
	}
	return EXIT_IN_ORDER;
}
