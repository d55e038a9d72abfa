#include "published_rows.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

#define FOLDER "tests/published/"

enum { COLUMNS = 7, ROWS = 8000, LINE = 2000 };

static const char *const STANDINGS[] = {"published", "practice", "memory"};

/* The next piece of `*text` up to `mark`; moves behind it. */
static const char *piece(struct arena *a, const char **text, char mark)
{
	const char *end = strchr(*text, mark);
	size_t n = end ? (size_t)(end - *text) : strlen(*text);
	const char *out = arena_copy(a, *text, n);
	*text += n + (end != NULL);
	return out;
}

static const char *read_row(struct arena *a, struct rows *to, const char *line, const char *file, int number)
{
	const char *cells[COLUMNS] = {0}, *rest = line;
	size_t n = 0;
	while (*rest && n < COLUMNS)
		cells[n++] = piece(a, &rest, '\t');
	if (n != COLUMNS || *rest)
		return arena_format(a, "%s:%d: not %d columns", file, number, COLUMNS);
	if (to->count >= ROWS)
		return "too many rows";
	struct row *r = &to->items[to->count++];
	*r = (struct row){.file = file, .line = number, .what = cells[0], .arguments = cells[1],
		.expected = cells[2], .tolerance = cells[3], .why = cells[4], .source = cells[5],
		.standing = cells[6]};
	r->reckoner = text_begins(r->what, "reckon ") ? r->what + strlen("reckon ") : NULL;
	rest = r->arguments;
	while (*rest) {
		if (r->count >= ROW_ARGUMENTS)
			return arena_format(a, "%s:%d: too many arguments", file, number);
		r->split[r->count++] = piece(a, &rest, '|');
	}
	return NULL;
}

static const char *read_file(struct arena *a, struct rows *to, const char *name)
{
	const char *path = arena_format(a, FOLDER "%s", name), *fault = NULL;
	FILE *f = fopen(path, "r");
	char line[LINE];
	bool heading = false;
	if (!f)
		return arena_format(a, "%s cannot be read", path);
	for (int number = 1; !fault && fgets(line, sizeof line, f); number++) {
		size_t end = strcspn(line, "\n");
		bool whole = line[end] == '\n';
		line[end] = '\0';
		if (!whole)
			fault = arena_format(a, "%s:%d: too long, or not ended", path, number);
		else if (*line == '#' || !*line)
			continue;
		else if (heading)
			fault = read_row(a, to, line, path, number);
		else if (!text_equal(line, "what\targuments\texpected\ttolerance\twhy\tsource\tstanding"))
			fault = arena_format(a, "%s:%d: not the heading", path, number);
		heading = true;
	}
	fclose(f);
	return fault;
}

/* Figures only: what authorities list has no figures, a suite goes through it. */
static int tsv_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".tsv") && strcmp(e->d_name, "hazard-lists.tsv") != 0;
}

const char *rows_read(struct arena *a, struct rows *out)
{
	struct dirent **names;
	const char *fault = NULL;
	int count = scandir(FOLDER, &names, tsv_only, alphasort);
	*out = (struct rows){arena_array(a, ROWS, sizeof *out->items), 0};
	if (count <= 0)
		return FOLDER " has no rows: to be run in the top folder";
	for (int i = 0; i < count; i++) {
		if (!fault)
			fault = read_file(a, out, arena_string(a, names[i]->d_name));
		free(names[i]);
	}
	free(names);
	return fault;
}

size_t row_standing(const struct row *r)
{
	size_t i = 0;
	while (i < sizeof STANDINGS / sizeof *STANDINGS && !text_equal(r->standing, STANDINGS[i]))
		i++;
	return i;
}

const char *row_fault(struct arena *a, const struct row *r)
{
	if (row_standing(r) == sizeof STANDINGS / sizeof *STANDINGS)
		return "no standing";
	if (!*text_trim(a, r->source))
		return "no source";
	if (!*text_trim(a, r->why))
		return "no reason";
	/* A published figure names a document by number or year. */
	if (text_equal(r->standing, "published") && !strpbrk(r->source, "0123456789") && !strstr(r->source, "guidance"))
		return "published in what?";
	if (r->reckoner && (!strchr(r->expected, '=') || !*row_value(r)))
		return "expects no result=value";
	return NULL;
}

const char *row_result(struct arena *a, const struct row *r)
{
	const char *equals = strchr(r->expected, '=');
	return equals ? arena_copy(a, r->expected, (size_t)(equals - r->expected)) : NULL;
}

const char *row_value(const struct row *r)
{
	const char *equals = strchr(r->expected, '=');
	return equals ? equals + 1 : "";
}

char *row_shown(struct arena *a, const struct reckon_outcome *o)
{
	struct buf b;
	switch (o->kind) {
	case GIVES_NOTHING:
		return arena_string(a, "-");
	case GIVES_NUMBER:
		return arena_format(a, "%.17g", o->number);
	case GIVES_WORD:
		return arena_string(a, o->word);
	case GIVES_TRUTH:
		return arena_string(a, o->truth ? "yes" : "no");
	case GIVES_WORDS:
	case GIVES_ROWS:
		break;
	}
	buf_init(&b, a);
	for (size_t i = 0; o->kind == GIVES_WORDS && i < o->word_count; i++)
		buf_format(&b, "%s%s", i ? "," : "", o->words[i]);
	for (const struct reckon_row *row = o->kind == GIVES_ROWS ? o->rows : NULL; row; row = row->next)
		for (const struct reckon_outcome *c = row->cells; c; c = c->next)
			buf_format(&b, "%s%s", c != row->cells ? "," : row != o->rows ? ";" : "", row_shown(a, c));
	return b.length ? b.bytes : arena_string(a, "none");
}

/* One number beside another: the tolerance is a number, or a part of what is expected ("5%"). */
static bool near(double got, double want, const char *tolerance)
{
	char *end;
	double slack = strtod(tolerance, &end);
	if (*end == '%')
		slack *= fabs(want) / 100;
	return fabs(got - want) <= slack + 1e-12 * fabs(want);
}

/* Piece by piece between commas and semicolons, since the cells of tables are numbers as well. */
bool row_agrees(const struct row *r, const char *got)
{
	const char *want = row_value(r);
	for (;;) {
		char *want_end, *got_end;
		size_t want_length = strcspn(want, ",;"), got_length = strcspn(got, ",;");
		double w = strtod(want, &want_end), g = strtod(got, &got_end);
		bool numbers = want_length && want_end == want + want_length && got_end == got + got_length;
		if (numbers ? !near(g, w, r->tolerance)
			    : want_length != got_length || strncmp(want, got, want_length) != 0)
			return false;
		want += want_length;
		got += got_length;
		if (*want != *got)
			return false;
		if (!*want)
			return true;
		want++;
		got++;
	}
}
