/* Writes those papers of docs/ that follow from tables of the program, on standard output:
 *   reference record       the record reference, from the field table and its words
 *   reference schema       the JSON Schema of the record, for editors, from the same
 *   reference findings     the manual of findings, from the catalogue and its words
 *   reference diagnostics  the same in one line a code, as roff, for the manual page
 *   reference reckon       the pocket book: what each computation needs and gives, its example worked
 * The same program gives the same bytes. */
#include <jansson.h>
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assess/reckon.h"
#include "base/text.h"
#include "model/field.h"
#include "work/explain.h"
#include "work/shipped.h"

static struct arena arena;
static struct phrasebook *words;
static struct library *library;

static const char *const KIND_TEXTS[] = {
	[FIELD_TEXT] = "text",
	[FIELD_WORD] = "one word",
	[FIELD_QUANTITY] = "number with unit",
	[FIELD_COUNT] = "whole number",
	[FIELD_DATE] = "date",
	[FIELD_TRUTH] = "yes or no",
	[FIELD_ID] = "id",
	[FIELD_WORDS] = "list of words",
	[FIELD_EVIDENCE] = "list of evidence",
	[FIELD_FILE] = "file",
	[FIELD_FILES] = "list of files",
	[FIELD_SHA256] = "SHA-256 digest",
};

static const char *at(const char *path)
{
	const char *text = phrasebook_find(words, path);
	if (!text) {
		fprintf(stderr, "reference: no words for %s\n", path);
		exit(1);
	}
	return text;
}

static const char *part(const char *group, const char *id, const char *name)
{
	return at(arena_format(&arena, "%s.%s.%s", group, id, name));
}

/* "devices[].maker" -> "devices"; NULL for a field of no list. */
static const struct field_list *list_of(const char *path)
{
	const char *end = field_brackets(path);
	for (size_t i = 0; end && i < FIELD_LIST_COUNT; i++)
		if (strlen(FIELD_LISTS[i].path) == (size_t)(end - path) &&
			strncmp(FIELD_LISTS[i].path, path, (size_t)(end - path)) == 0)
			return &FIELD_LISTS[i];
	return NULL;
}

static const char *tail(const char *path)
{
	const char *end = field_brackets(path);
	return end ? end + 3 : path;
}

static const char *section_of(const char *path)
{
	return arena_copy(&arena, path, strcspn(path, ".["));
}

/* A condition without the names that only rules use. */
static const char *when_text(const struct field *f)
{
	if (f->flags & FIELD_DECLARED)
		return "by gate type, zone or check";
	if (!(f->flags & FIELD_ALWAYS))
		return "no";
	return f->when ? arena_format(&arena, "when `%s`", f->when) : "always";
}

static const char *values_text(const struct field *f)
{
	struct buf b;
	buf_init(&b, &arena);
	buf_put(&b, f->flags & FIELD_DECLARED ? "as listed at the end of this page" : KIND_TEXTS[f->kind]);
	for (const char *s = f->choices; s && *s; s += *s == '|') {
		size_t n = strcspn(s, "|");
		buf_format(&b, "%s`%.*s`", s == f->choices ? ": " : ", ", (int)n, s);
		s += n;
	}
	if (f->kind == FIELD_QUANTITY)
		buf_format(&b, " (%s)", dimension_units(&arena, *f->dim));
	if (f->low)
		buf_format(&b, "; %s to %s", f->low, f->high);
	if (f->flags & FIELD_NONE_OK)
		buf_put(&b, "; or `none`");
	if (f->flags & FIELD_NA_OK)
		buf_put(&b, "; or `n/a: reason`");
	return b.bytes;
}

/* --- the record reference ------------------------------------------------------------------------ */

static const char HEAD[] =
	"# Record reference\n"
	"\n"
	"Every field of `gate.yaml`, made from the table that the program reads by. `pintle explain PATH`\n"
	"says the same.\n"
	"\n"
	"A value that is not known yet is written `unknown`, or `?` in quotes. Either keeps its point open.\n"
	"`none` says that somebody looked and found none. `n/a: reason` says that a field does not apply.\n"
	"Both answer only where this page says so.\n"
	"\n"
	"A quantity is a decimal number with a unit. A measured one may carry its doubt: `62 mm ± 3 mm`, or\n"
	"`62 mm +/- 3 mm`. Dates are written `2026-11-25`. Ids have small letters, digits and hyphens.\n"
	"Evidence is `paper:ID`, `photo:ID`, `point:ID`, `check:ID` or `function:ID`. Files are paths inside\n"
	"the job folder. Keys that begin with `x-` are your own.\n"
	"\n"
	"*Due* says when the program asks for a field. A condition there uses the paths of this page; `item.`\n"
	"stands for the same item of the list. `force.needed` is yes when a chosen measure needs force tests.\n";

static void field_entry(const struct field *f)
{
	printf("\n- **`%s`** %s. %s\n  *%s; due: %s.*\n", tail(f->path), part("fields", f->path, "title"),
		part("fields", f->path, "help"), values_text(f), when_text(f));
}

static void list_head(const struct field_list *l)
{
	printf("\n### `%s`\n\n%s %s%s\n", l->path, part("fields", l->path, "help"),
		l->keyed ? "A map, keyed by id." : "A list; each item has an `id`.",
		l->required ? " Asked for even when it is empty: `[]` or `none`." : "");
}

/* What the library declares: dimensions of a type, facts of a zone or a check. */
static void declared_fields(const char *group, const char *id, const char *words_part,
	const struct lib_field *fields, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct lib_field *f = &fields[i];
		const char *text = f->words ? at(f->words)
					    : part(group, id, arena_format(&arena, "%s.%s", words_part, f->id));
		bool ended = text_ends(text, "?") || text_ends(text, ".");
		printf("- **`%s`** %s%s *%s", f->id, text, ended ? "" : ".", KIND_TEXTS[f->kind]);
		for (size_t k = 0; k < f->choices.count; k++)
			printf("%s`%s`", k ? ", " : ": ", f->choices.items[k]);
		if (f->kind == FIELD_QUANTITY)
			printf(" (%s)", dimension_units(&arena, f->dim));
		if (f->has_low && f->has_high)
			printf("; %s to %s", quantity_text(&arena, f->low), quantity_text(&arena, f->high));
		if (f->when)
			printf("; when `%s`", rule_text(f->when));
		puts(".*");
	}
}

static void declared_head(const char *group, const char *id)
{
	printf("\n### `%s`\n\n%s.\n\n", id, part(group, id, "title"));
}

static void write_declared(void)
{
	const struct library *l = library;
	puts("\n## `gate.dimensions`, by gate type");
	for (size_t i = 0; i < l->types_count; i++) {
		declared_head("types", l->types[i].note.id);
		declared_fields("types", l->types[i].note.id, "dimensions", l->types[i].dimensions,
			l->types[i].dimension_count);
	}
	puts("\n## `zones.KEY.facts`, by zone\n\nThe key of a zone is its id, `@`, and the leaf or `gate`.");
	for (size_t i = 0; i < l->zones_count; i++) {
		declared_head("zones", l->zones[i].note.id);
		declared_fields("zones", l->zones[i].note.id, "facts", l->zones[i].asks, l->zones[i].ask_count);
	}
	puts("\n## `checks.ID.facts`, by check");
	for (size_t i = 0; i < l->checks_count; i++) {
		declared_head("checks", l->checks[i].note.id);
		declared_fields("checks", l->checks[i].note.id, "facts", l->checks[i].asks, l->checks[i].ask_count);
	}
}

static void write_record(void)
{
	const char *section = "";
	const struct field_list *list = NULL;
	fputs(HEAD, stdout);
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		const struct field_list *its = list_of(f->path);
		const char *first = section_of(f->path);
		if (strcmp(first, section)) {
			section = first;
			printf("\n## `%s`\n", section);
			if (!its && strcmp(f->path, section))
				printf("\n%s\n", part("fields", section, "help"));
		}
		if (its && its != list)
			list_head(its);
		list = its;
		field_entry(f);
	}
	write_declared();
}

/* --- the schema ---------------------------------------------------------------------------------- */

static json_t *pattern(const char *p)
{
	return json_pack("{s:s, s:s}", "type", "string", "pattern", p);
}

static json_t *choices_schema(const char *choices)
{
	if (!choices)
		return pattern("^[^\\s].*$");
	json_t *all = json_array();
	for (const char *s = choices; *s; s += *s == '|') {
		size_t n = strcspn(s, "|");
		json_array_append_new(all, json_stringn(s, n));
		s += n;
	}
	return json_pack("{s:o}", "enum", all);
}

static json_t *list_schema(json_t *one)
{
	return json_pack("{s:[{s:s, s:O}, o]}", "anyOf", "type", "array", "items", one, one);
}

/* "mm|cm|m|in", made safe for a pattern. */
static const char *unit_pattern(struct dimension d)
{
	struct buf b;
	buf_init(&b, &arena);
	for (const char *s = dimension_units(&arena, d); *s; s++) {
		if (*s == ' ')
			continue;
		if (*s == ',')
			buf_char(&b, '|');
		else if (strchr("/.*+?()[]^$", *s))
			buf_format(&b, "\\%c", *s);
		else
			buf_char(&b, *s);
	}
	return b.bytes;
}

static json_t *quantity_schema(struct dimension d)
{
	const char *number = "[+-]?[0-9]+(\\.[0-9]+)?([eE][+-]?[0-9]+)?", *units = unit_pattern(d);
	bool bare = dimension_equal(d, DIM_NUMBER);
	const char *may = bare ? "?" : "";
	json_t *text = pattern(arena_format(&arena, "^%s *(%s)%s( *(±|\\+/-) *%s *(%s)%s)?$", number, units, may,
		number, units, may));
	if (!bare)
		return text;
	return json_pack("{s:[o, {s:s}]}", "anyOf", text, "type", "number");
}

static json_t *kind_schema(const struct field *f)
{
	if (f->flags & FIELD_DECLARED)
		return json_pack("{s:[s, s]}", "type", "string", "number");
	switch (f->kind) {
	case FIELD_TEXT:
		return json_pack("{s:[s, s, s]}", "type", "string", "number", "boolean");
	case FIELD_WORD:
		return choices_schema(f->choices);
	case FIELD_QUANTITY:
		return quantity_schema(*f->dim);
	case FIELD_COUNT:
		return json_pack("{s:s, s:i, s:i}", "type", "integer", "minimum", atoi(f->low), "maximum",
			atoi(f->high));
	case FIELD_DATE:
		return pattern("^[0-9]{4}-[0-9]{2}-[0-9]{2}$");
	case FIELD_TRUTH:
		return choices_schema("yes|no");
	case FIELD_ID:
		return pattern("^[a-z][a-z0-9-]*$");
	case FIELD_WORDS:
		return list_schema(choices_schema(f->choices));
	case FIELD_EVIDENCE:
		return list_schema(pattern("^(paper|photo|point|check|function):[a-z][a-z0-9-]*"
					   "(@[a-z][a-z0-9-]*)?$"));
	case FIELD_FILE:
		return pattern("^[^/\\\\:][^\\\\:]*$");
	case FIELD_FILES:
		return list_schema(pattern("^[^/\\\\:][^\\\\:]*$"));
	case FIELD_SHA256:
		return pattern("^[0-9a-f]{64}$");
	}
	return json_object();
}

static json_t *field_schema(const struct field *f)
{
	json_t *any = json_array();
	json_array_append_new(any, kind_schema(f));
	if (strcmp(f->path, "record") && f->kind != FIELD_ID)
		json_array_append_new(any, json_pack("{s:s}", "$ref", "#/definitions/unknown"));
	else if (f->kind == FIELD_ID && strcmp(tail(f->path), "id"))
		json_array_append_new(any, json_pack("{s:s}", "$ref", "#/definitions/unknown"));
	if (f->flags & FIELD_NONE_OK)
		json_array_append_new(any, json_pack("{s:s}", "const", "none"));
	if (f->flags & FIELD_NA_OK)
		json_array_append_new(any, json_pack("{s:s}", "$ref", "#/definitions/not-applicable"));
	return json_pack("{s:s, s:s, s:o}", "title", part("fields", f->path, "title"), "description",
		part("fields", f->path, "help"), "anyOf", any);
}

static json_t *object_schema(void)
{
	return json_pack("{s:s, s:{s:{}}, s:{}, s:b}", "type", "object", "patternProperties", "^x-", "properties",
		"additionalProperties", 0);
}

/* The object that holds the last key of `path`, made on the way where it is not there yet. */
static json_t *holder(json_t *object, const char *path)
{
	const char *dot = strchr(path, '.');
	if (!dot)
		return object;
	const char *key = arena_copy(&arena, path, (size_t)(dot - path));
	json_t *properties = json_object_get(object, "properties"), *next = json_object_get(properties, key);
	if (!next) {
		next = object_schema();
		json_object_set_new(properties, key, next);
	}
	return holder(next, dot + 1);
}

static void put_field(json_t *object, const char *path, const struct field *f)
{
	json_t *at = holder(object, path);
	const char *dot = strrchr(path, '.'), *key = dot ? dot + 1 : path;
	if (strcmp(key, "*") == 0)
		json_object_set_new(at, "additionalProperties", field_schema(f));
	else
		json_object_set_new(json_object_get(at, "properties"), key, field_schema(f));
}

/* `root`: what the list lies in; `path`: its path there. */
static json_t *put_list(json_t *root, const char *path, const struct field_list *l)
{
	json_t *item = object_schema(), *whole;
	if (l->keyed) {
		whole = json_pack("{s:s, s:{s:{}}, s:O}", "type", "object", "patternProperties", "^x-",
			"additionalProperties", item);
	} else {
		json_object_set_new(item, "required", json_pack("[s]", "id"));
		whole = json_pack("{s:s, s:O}", "type", "array", "items", item);
	}
	json_t *schema = json_pack("{s:s, s:s, s:[o, {s:s}, {s:s, s:i}, {s:s}]}", "title",
		part("fields", l->path, "title"), "description", part("fields", l->path, "help"), "anyOf", whole,
		"const", "none", "type", "array", "maxItems", 0, "$ref", "#/definitions/unknown");
	const char *dot = strrchr(path, '.');
	json_object_set_new(json_object_get(holder(root, path), "properties"), dot ? dot + 1 : path, schema);
	json_decref(item); /* held by `schema` */
	return item;
}

static void write_schema(void)
{
	json_t *root = object_schema(), *items[32] = {NULL};
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		const struct field_list *l = list_of(f->path);
		const struct field_list *outer = l ? list_of(l->path) : NULL;
		if (l && !items[l - FIELD_LISTS])
			items[l - FIELD_LISTS] = put_list(outer ? items[outer - FIELD_LISTS] : root, tail(l->path), l);
		put_field(l ? items[l - FIELD_LISTS] : root, tail(f->path), f);
	}
	json_t *whole = json_pack("{s:s, s:s, s:s, s:{s:{s:s, s:[s, s]}, s:{s:s, s:s, s:s}}, s:[s]}", "$schema",
		"http://json-schema.org/draft-07/schema#", "title", "Record of one powered gate", "description",
		"gate.yaml, record: 1. The program itself decides what is open; this helps an editor to help.",
		"definitions", "unknown", "title", "not known yet", "enum", "?", "unknown", "not-applicable", "title",
		"does not apply, with the reason", "type", "string", "pattern", "^n/a: *[^ ].*$", "required", "record");
	json_object_update(whole, root);
	json_decref(root);
	char *text = json_dumps(whole, JSON_INDENT(1));
	if (!text)
		exit(1);
	puts(text);
	free(text);
	json_decref(whole);
}

/* --- findings ------------------------------------------------------------------------------------ */

static const char *const LEVEL_TEXTS[] = {
	[FINDING_NOTE] = "note",
	[FINDING_OPEN] = "open",
	[FINDING_STOP] = "stop",
	[FINDING_INPUT] = "input",
};

static const char FINDINGS_HEAD[] =
	"# Findings\n"
	"\n"
	"Everything the program can say about a record, a file or the library. Each finding has a code, in\n"
	"square brackets at the end of its first line. `pintle explain CODE` says what stands here. A code is\n"
	"never given another meaning.\n"
	"\n"
	"| level | means | exit status |\n"
	"|---|---|---|\n"
	"| `note` | worth knowing; blocks nothing | 0 |\n"
	"| `open` | blocks the signature until it is closed | 1 |\n"
	"| `stop` | danger now | 1 |\n"
	"| `input` | the input cannot be read as meant | 2 |\n"
	"\n"
	"Words in double braces are filled in: names, figures with their units, the rule with its numbers. A\n"
	"*way* says what would close the point. It never closes the point by itself: measuring, proving or\n"
	"entering does.\n";

static const char GROUPS_FROM[][2][40] = {
	{"file-missing", "Reading files"},
	{"yaml-syntax", "YAML"},
	{"rule-syntax", "Conditions and patterns of the library"},
	{"field-missing", "Fields of the record"},
	{"regime-none", "Law, standards, readings, dates"},
	{"reference-unknown", "Evidence"},
	{"zone-open", "Zones, hazards, measures"},
	{"force-point-missing", "Force tests"},
	{"function-missing", "Control: functions, inputs, checks"},
	{"template-missing", "Templates of documents"},
	{"value-shape", "Values in any file"},
	{"record-number-first", "The record of one gate"},
	{"recording-empty", "Force recordings"},
	{"library-number", "The library"},
	{"words-shape", "Words for people"},
	{"function-tables", "Subsystems of safety functions"},
	{"reckon-name", "The pocket book"},
};

/* Words of the catalogue go into CommonMark: what marks up is escaped. */
static const char *plain(const char *text)
{
	struct buf b;
	buf_init(&b, &arena);
	for (const char *s = text; *s; s++) {
		if (strchr("<>*_[]\\|`#", *s))
			buf_char(&b, '\\');
		buf_char(&b, *s == '\n' ? ' ' : *s);
	}
	return b.bytes;
}

static void finding_ways(const char *code)
{
	const char *head = arena_format(&arena, "findings.%s.ways.", code);
	bool first = true;
	for (size_t i = 0; i < words->count; i++) {
		if (!text_begins(words->phrases[i].key, head))
			continue;
		fputs(first ? "\nWays:\n" : "", stdout);
		printf("- %s\n", plain(words->phrases[i].text));
		first = false;
	}
}

static void write_findings(void)
{
	fputs(FINDINGS_HEAD, stdout);
	for (int i = 0; i < FINDING_CODE_COUNT; i++) {
		const char *code = finding_name((enum finding_code)i);
		for (size_t g = 0; g < sizeof GROUPS_FROM / sizeof *GROUPS_FROM; g++)
			if (text_equal(GROUPS_FROM[g][0], code))
				printf("\n## %s\n", GROUPS_FROM[g][1]);
		printf("\n### %s\n\nLevel: %s. *%s*\n\n%s\n", code,
			LEVEL_TEXTS[finding_level((enum finding_code)i)], plain(part("findings", code, "message")),
			plain(part("findings", code, "explain")));
		finding_ways(code);
	}
}

/* Text for roff: no request at the start of a line, no stray escape. */
static const char *roff(const char *text)
{
	struct buf b;
	buf_init(&b, &arena);
	for (const char *s = text; *s; s++) {
		if (*s == '\\')
			buf_put(&b, "\\e");
		else if (*s == '-')
			buf_put(&b, "\\-");
		else if (s == text && (*s == '.' || *s == '\''))
			buf_format(&b, "\\&%c", *s);
		else if (strncmp(s, "±", 2) == 0) {
			buf_put(&b, "\\(+-");
			s++;
		} else {
			buf_char(&b, *s == '\n' ? ' ' : *s);
		}
	}
	return b.bytes;
}

static void write_diagnostics(void)
{
	for (int i = 0; i < FINDING_CODE_COUNT; i++) {
		const char *code = finding_name((enum finding_code)i);
		printf(".TP\n.B %s\n(%s) %s\n", roff(code), LEVEL_TEXTS[finding_level((enum finding_code)i)],
			roff(part("findings", code, "message")));
	}
}

/* --- the pocket book ------------------------------------------------------------------------------- */

static const char RECKON_HEAD[] =
	"# The pocket book\n"
	"\n"
	"`pintle reckon NAME KEY=VALUE…` works out one thing on its own: the formula with the numbers put in, the\n"
	"source and how far it can be trusted, the range in which it holds, and what it means for the gate. The same\n"
	"functions and tables serve `check` and `bind`. This page is made from the program's tables by `make docs`.\n"
	"\n"
	"A value carries its unit (`300kg`, `0.2m/s`, `\"8.2 kohm\"`); several are joined by commas. Where a bare\n"
	"number is taken, the unit it counts in is named. A value with doubt (`\"62 mm ± 3 mm\"`) counts by its worse\n"
	"end. A value outside the range gives a message and never a number. With `--json` the results are numbers in\n"
	"the unit that ends their key; exit status 1 says that the answer is no.\n"
	"\n"
	"Nothing here replaces a measurement on the gate, the makers' instructions, or local law and codes.\n";

static const char *figure(const struct reckon_outcome *o)
{
	if (o->kind == GIVES_NUMBER)
		return figure_text(&arena, o->number);
	if (o->kind == GIVES_TRUTH)
		return o->truth ? "yes" : "no";
	return o->kind == GIVES_WORD ? o->word : o->kind == GIVES_NOTHING ? "none" : "a list";
}

/* On one line. */
static const char *joined(const char *text)
{
	char *out = arena_string(&arena, text);
	for (char *p = out; *p; p++)
		if (*p == '\n')
			*p = ';';
	return out;
}

/* The example of the words, worked. */
static void worked_example(const char *name)
{
	char *text = arena_string(&arena, part("reckon", name, "example"));
	struct reckon_argument arguments[16];
	size_t count = 0;
	for (char *word = strtok(text, " "); word; word = strtok(NULL, " "))
		arguments[count++] = reckon_argument_read(&arena, word);
	const struct reckoning *r = reckon(&arena, library, name, arguments, count);
	printf("\n    $ pintle reckon %s %s\n", name, part("reckon", name, "example"));
	for (const struct step *s = r->steps.first; s; s = s->next)
		printf("    %s\n", step_shown(&arena, words, s));
	for (const struct reckon_outcome *o = r->results; o; o = o->next)
		printf("    %s: %s\n", o->key, figure(o));
}

static void write_reckon(void)
{
	const char *family = "";
	struct explained_list all = explain_reckoners(&arena, words, NULL);
	fputs(RECKON_HEAD, stdout);
	for (size_t i = 0; i < all.count; i++) {
		const struct explained one = explain_reckoners(&arena, words, all.items[i].id).items[0];
		const char *before = "";
		for (size_t k = 0; k < one.count; k++) {
			const struct explained_line *l = &one.lines[k];
			if (strcmp(l->key, "family") == 0 && strcmp(family, l->value) != 0)
				printf("\n## %s\n", family = l->value);
		}
		printf("\n### %s\n", one.id);
		for (size_t k = 0; k < one.count; k++) {
			const struct explained_line *l = &one.lines[k];
			bool listed = strcmp(l->key, "key") == 0 || strcmp(l->key, "result") == 0;
			if (strcmp(l->key, "family") == 0 || strcmp(l->key, "example") == 0)
				continue;
			if (strcmp(before, l->key) != 0)
				putchar('\n');
			before = l->key;
			if (listed)
				printf("- `%s` %s\n", l->label, joined(l->value));
			else if (strcmp(l->key, "form") == 0)
				printf("- %s `%s`\n", l->label, l->value);
			else
				printf("%s%s%s\n", l->label ? l->label : "", l->label ? ": " : "", l->value);
		}
		worked_example(one.id);
	}
}

int main(int argc, char **argv)
{
	static const struct {
		const char *name;
		void (*write)(void);
	} PAPERS[] = {
		{"record", write_record},
		{"schema", write_schema},
		{"findings", write_findings},
		{"diagnostics", write_diagnostics},
		{"reckon", write_reckon},
	};
	jmp_buf escape;
	struct findings findings;
	arena_init(&arena, &escape);
	if (setjmp(escape)) {
		fputs("reference: out of memory\n", stderr);
		return 1;
	}
	findings_init(&findings, &arena);
	words = shipped_words(&arena, "en", &findings);
	library = shipped_library(&arena, NULL, &findings);
	if (findings_worst(&findings) == FINDING_INPUT) {
		fputs("reference: the library or the words cannot be read\n", stderr);
		return 1;
	}
	int status = 2;
	for (size_t i = 0; argc == 2 && i < sizeof PAPERS / sizeof *PAPERS; i++)
		if (strcmp(PAPERS[i].name, argv[1]) == 0) {
			PAPERS[i].write();
			status = 0;
		}
	if (status)
		fputs("usage: reference record | schema | findings | diagnostics | reckon\n", stderr);
	arena_release(&arena);
	return fflush(stdout) || ferror(stdout) ? 1 : status;
}
