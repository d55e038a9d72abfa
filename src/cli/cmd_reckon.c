/* reckon: one computation with its formula, numbers put in, source and standing; alone, the list. */
#include "assess/reckon.h"
#include "base/text.h"
#include "cli/session.h"
#include "out/json.h"
#include "work/explain.h"
#include "work/shipped.h"

static const struct option_row OPTIONS[] = {{"--json", NULL}, {NULL, NULL}};

static const char *value_of_line(const struct explained *e, const char *key)
{
	for (size_t i = 0; i < e->count; i++)
		if (text_equal(e->lines[i].key, key))
			return e->lines[i].value;
	return "";
}

static const char *strong(const struct session *s, bool on)
{
	return s->colour ? on ? "\033[1m" : "\033[0m" : "";
}

/* --- the list, and one page of it ----------------------------------------------------------------- */

static enum exit_status list_all(struct session *s)
{
	struct explained_list all = explain_reckoners(s->arena, s->words, NULL);
	if (session_option(s, "--json")) {
		fputs(json_explained(s->arena, "reckon", &all), stdout);
		return EXIT_IN_ORDER;
	}
	const char *family = "";
	for (size_t i = 0; i < all.count; i++) {
		const struct explained *e = &all.items[i];
		const char *own = value_of_line(e, "family");
		if (!text_equal(own, family))
			printf("%s%s%s%s\n", *family ? "\n" : "", strong(s, true), own, strong(s, false));
		family = own;
		print_wrapped(s, stdout, arena_format(s->arena, "  %-16s", e->id), value_of_line(e, "title"));
	}
	fputc('\n', stdout);
	print_wrapped(s, stdout, "", session_words(s, "reckon-next"));
	return EXIT_IN_ORDER;
}

static void print_page(const struct session *s, const struct explained *e)
{
	static const char *const HEADS[] = {"key", "result"};
	const char *before = "";
	printf("%s%s%s  %s\n", strong(s, true), e->id, strong(s, false), value_of_line(e, "title"));
	for (size_t i = 0; i < e->count; i++) {
		const struct explained_line *l = &e->lines[i];
		if (text_equal(l->key, "title") || text_equal(l->key, "family"))
			continue;
		bool headed = text_equal(l->key, HEADS[0]) || text_equal(l->key, HEADS[1]);
		if (!text_equal(before, l->key))
			fputc('\n', stdout);
		before = l->key;
		if (headed)
			print_wrapped(s, stdout, arena_format(s->arena, "  %-18s", l->label), l->value);
		else
			print_wrapped(s, stdout, l->label ? arena_format(s->arena, "%s: ", l->label) : "", l->value);
	}
}

static enum exit_status describe(struct session *s, const char *name)
{
	struct explained_list found = explain_reckoners(s->arena, s->words, name);
	if (session_option(s, "--json"))
		fputs(json_explained(s->arena, name, &found), stdout);
	else
		print_page(s, &found.items[0]);
	return EXIT_IN_ORDER;
}

/* --- an answer ------------------------------------------------------------------------------------- */

static void print_inputs(const struct session *s, const struct reckoning *r)
{
	struct buf b;
	buf_init(&b, s->arena);
	for (const struct reckon_given *g = r->inputs; g; g = g->next) {
		buf_format(&b, "%s%s %s%s%s", b.length ? " · " : "", g->key, g->text, g->usual ? " " : "",
			g->usual ? session_words(s, "reckon-usual") : "");
		/* So that a decimal comma is seen for what it became. */
		if (g->list && g->count > 1)
			buf_format(&b, " (%zu %s)", g->count, session_words(s, "reckon-values"));
	}
	print_wrapped(s, stdout, "  ", b.bytes);
}

static const char *source_line(const struct session *s, const struct step *step)
{
	const char *standing = session_words(s, arena_format(s->arena, "standing-%s", standing_name(step->standing)));
	return step->source ? arena_format(s->arena, "%s (%s)", step->source, standing) : standing;
}

static const char *outcome_text(const struct session *s, const struct reckon_outcome *o)
{
	struct buf b;
	switch (o->kind) {
	case GIVES_NOTHING:
	case GIVES_ROWS:
		return session_words(s, "none");
	case GIVES_NUMBER:
		return figure_text(s->arena, o->number);
	case GIVES_WORD:
		return o->word;
	case GIVES_TRUTH:
		return session_words(s, o->truth ? "yes" : "no");
	case GIVES_WORDS:
		break;
	}
	buf_init(&b, s->arena);
	for (size_t i = 0; i < o->word_count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", o->words[i]);
	return b.length ? b.bytes : session_words(s, "none");
}

static void print_rows(const struct session *s, const struct reckon_outcome *o)
{
	fputs("  ", stdout);
	for (const struct reckon_outcome *c = o->rows ? o->rows->cells : NULL; c; c = c->next)
		printf("%-*s", c->next ? 14 : 0, c->key);
	fputc('\n', stdout);
	for (const struct reckon_row *row = o->rows; row; row = row->next) {
		fputs("  ", stdout);
		for (const struct reckon_outcome *c = row->cells; c; c = c->next) {
			const char *text = outcome_text(s, c);
			int width = c->next ? 14 : 0, shown = (int)utf8_length(text);
			printf("%s%*s", text, width > shown ? width - shown : 0, "");
		}
		fputc('\n', stdout);
	}
}

/* Key, value and what it is on a line; a long value has lines of its own. */
static void print_result(const struct session *s, const char *key, const char *value, const char *what)
{
	enum { VALUE_WIDTH = 14 };
	int pad = VALUE_WIDTH - (int)utf8_length(value);
	const char *lead = arena_format(s->arena, "  %-20s ", key);
	if (pad > 0) {
		print_wrapped(s, stdout, arena_format(s->arena, "%s%s%*s ", lead, value, pad, ""), what);
		return;
	}
	print_wrapped(s, stdout, lead, value);
	print_wrapped(s, stdout, arena_format(s->arena, "  %-20s ", ""), what);
}

static void print_results(const struct session *s, const struct reckoning *r)
{
	for (const struct reckon_outcome *o = r->results; o; o = o->next) {
		if (o->kind == GIVES_ROWS && o->rows) {
			print_rows(s, o);
			continue;
		}
		const char *what = phrasebook_find(s->words,
			arena_format(s->arena, "reckon.%s.results.%s", r->name, o->key));
		print_result(s, o->key, text_harmless(s->arena, outcome_text(s, o)), what ? what : "");
	}
}

static void print_answer(const struct session *s, const struct reckoning *r)
{
	const char *title = phrasebook_part(s->words, "reckon", r->name, "title");
	const char *holds = phrasebook_part(s->words, "reckon", r->name, "holds");
	const char *meaning = reckoning_meaning(s->arena, s->words, r);
	printf("%s%s%s  %s\n", strong(s, true), r->name, strong(s, false), title ? title : "");
	print_inputs(s, r);
	fputc('\n', stdout);
	for (const struct step *step = r->steps.first; step; step = step->next) {
		print_wrapped(s, stdout, "  ", step_shown(s->arena, s->words, step));
		/* Steps in a row from one source name it once. */
		const struct step *next = step->next;
		if (!next || !text_equal(source_line(s, step), source_line(s, next)))
			print_wrapped(s, stdout, "      ", source_line(s, step));
	}
	fputc('\n', stdout);
	print_results(s, r);
	fputc('\n', stdout);
	if (meaning)
		print_wrapped(s, stdout, "", meaning);
	if (holds)
		print_wrapped(s, stdout, arena_format(s->arena, "%s: ", session_words(s, "reckon-holds")), holds);
	print_wrapped(s, stdout, "", session_words(s, "reckon-deferring"));
}

static enum exit_status run(struct session *s)
{
	struct findings findings;
	if (!s->argument_count)
		return list_all(s);
	const char *name = s->arguments[0];
	if (s->argument_count == 1 && reckoner_find(name))
		return describe(s, name);
	findings_init(&findings, s->arena);
	const struct library *library = shipped_library(s->arena, NULL, &findings);
	if (findings_worst(&findings) == FINDING_INPUT) {
		print_findings(s, stderr, &findings);
		return EXIT_SYSTEM;
	}
	size_t count = (size_t)s->argument_count - 1;
	struct reckon_argument *arguments = arena_array(s->arena, count + 1, sizeof *arguments);
	for (size_t i = 0; i < count; i++)
		arguments[i] = reckon_argument_read(s->arena, s->arguments[i + 1]);
	const struct reckoning *r = reckon(s->arena, library, name, arguments, count);
	if (session_option(s, "--json"))
		fputs(json_reckoning(s->arena, r, s->words), stdout);
	else if (r->results)
		print_answer(s, r);
	else
		print_findings(s, stderr, r->findings);
	return !r->results ? EXIT_BAD_INPUT : r->no ? EXIT_ANSWER_NO : EXIT_IN_ORDER;
}

const struct command COMMAND_RECKON = {"reckon", "[NAME [KEY=VALUE…]]", 0, -1, OPTIONS, run};
