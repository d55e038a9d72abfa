#include "work/skeleton.h"

#include <string.h>

#include "base/text.h"
#include "model/field.h"

enum { COMMENT_COLUMN = 44 };

struct writer {
	struct arena *arena;
	struct buf out;
	const struct library *library;
	const struct lib_type *type;
	const struct phrasebook *words;
	const struct record *like; /* NULL: none */
	const char *previous; /* path of the root field written last */
	size_t leaves;
};

static void indent(struct writer *w, size_t depth)
{
	for (size_t i = 0; i < depth; i++)
		buf_put(&w->out, "  ");
}

/* "  # title", at a common column where there is room. */
static void comment(struct writer *w, size_t line_start, const char *text)
{
	if (text && *text) {
		size_t used = utf8_length(w->out.bytes + line_start);
		do
			buf_char(&w->out, ' ');
		while (++used < COMMENT_COLUMN);
		buf_put(&w->out, "# ");
		buf_put(&w->out, text);
	}
	buf_char(&w->out, '\n');
}

static const char *hint(struct writer *w, const struct field *f)
{
	const char *title = phrasebook_part(w->words, "fields", f->path, "title");
	struct buf b;
	buf_init(&b, w->arena);
	buf_put(&b, title ? title : f->path);
	if (f->choices) {
		buf_put(&b, ": ");
		for (const char *c = f->choices; *c; c++)
			buf_format(&b, "%s", *c == '|' ? ", " : (char[]){*c, '\0'});
	} else if (f->kind == FIELD_TRUTH) {
		buf_put(&b, ": yes, no");
	} else if (f->kind == FIELD_DATE) {
		buf_put(&b, ": YYYY-MM-DD");
	} else if (f->kind == FIELD_QUANTITY) {
		buf_format(&b, " (%s)", dimension_units(w->arena, *f->dim));
	}
	return b.bytes;
}

static void line(struct writer *w, size_t depth, const char *lead, const char *key, const char *value,
	const char *text)
{
	size_t start = w->out.length;
	indent(w, depth);
	buf_format(&w->out, "%s%s:%s%s", lead, key, *value ? " " : "", value);
	comment(w, start, text);
}

/* Opens the sections of `path` that the field before it was not in; returns the depth of its key. */
static size_t open_sections(struct writer *w, const char *path, const char **key)
{
	size_t depth = 0;
	const char *part = path;
	for (const char *dot; (dot = strchr(part, '.')); part = dot + 1, depth++) {
		size_t upto = (size_t)(dot - path) + 1;
		if (w->previous && strncmp(w->previous, path, upto) == 0)
			continue;
		const char *name = arena_copy(w->arena, part, (size_t)(dot - part));
		const char *title = phrasebook_part(w->words, "sections",
			arena_copy(w->arena, path, upto - 1), "title");
		if (depth == 0)
			buf_char(&w->out, '\n');
		line(w, depth, "", name, "", title);
	}
	w->previous = path;
	*key = part;
	return depth;
}

/* The same for a field of the library: a question, and the words or units that answer it. */
static const char *declared_hint(struct writer *w, const struct lib_field *f, const char *text)
{
	struct buf b;
	buf_init(&b, w->arena);
	buf_put(&b, text ? text : f->id);
	const char *before = text_ends(b.bytes, "?") ? " " : ": ";
	for (size_t i = 0; i < f->choices.count; i++)
		buf_format(&b, "%s%s", i ? ", " : before, f->choices.items[i]);
	if (f->kind == FIELD_TRUTH)
		buf_format(&b, "%syes, no", before);
	else if (f->kind == FIELD_DATE)
		buf_format(&b, "%sYYYY-MM-DD", before);
	else if (f->kind == FIELD_QUANTITY)
		buf_format(&b, " (%s)", dimension_units(w->arena, f->dim));
	return b.bytes;
}

static void declared(struct writer *w, size_t depth, const struct lib_field *fields, size_t count,
	const char *group)
{
	for (size_t i = 0; i < count; i++) {
		const char *text = phrasebook_find(w->words, fields[i].words ? fields[i].words
			: arena_format(w->arena, "%s.%s", group, fields[i].id));
		if (!text)
			text = phrasebook_part(w->words, group, fields[i].id, "title");
		line(w, depth, "", fields[i].id, "unknown", declared_hint(w, &fields[i], text));
	}
}

/* The fields of one item; `lead` begins the first line ("- " in a list). Nested keys are grouped. */
static void item(struct writer *w, size_t depth, const char *list_path, const char *id)
{
	size_t n = strlen(list_path);
	const char *inner = NULL;
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		if (strncmp(f->path, list_path, n) != 0 || strncmp(f->path + n, "[].", 3) != 0)
			continue;
		const char *key = f->path + n + 3, *brackets = strstr(key, "[].");
		if (brackets && !inner) {
			inner = arena_copy(w->arena, f->path, (size_t)(brackets - f->path));
			line(w, depth, "", inner + n + 3, "", phrasebook_part(w->words, "sections", inner, "title"));
			item(w, depth + 2, inner, "name-it");
		}
		if (brackets)
			continue;
		bool is_id = text_equal(key, "id");
		/* A digest is due as soon as there is a file; of a subsystem's data some or others are. */
		if (!(f->flags & FIELD_ALWAYS) && !is_id && !text_equal(key, "sha256") && !strstr(list_path, "[]."))
			continue;
		/* What depends on something is asked by `check` when it is due; a tape comes before coordinates. */
		if (f->when && !text_begins(f->when, "item.as") && !text_equal(f->when, "not known(item.x)"))
			continue;
		line(w, depth - is_id, is_id ? "- " : "", key, is_id ? id : "unknown", hint(w, f));
	}
}

static void zone_entry(struct writer *w, const struct lib_zone *z, size_t leaf)
{
	const char *key = z->per_gate ? arena_format(w->arena, "%s@gate", z->note.id)
				      : arena_format(w->arena, "%s@leaf-%zu", z->note.id, leaf);
	line(w, 1, "", key, "", phrasebook_part(w->words, "zones", z->note.id, "title"));
	item(w, 2, "zones", "");
	if (z->ask_count) {
		line(w, 2, "", "facts", "", NULL);
		declared(w, 3, z->asks, z->ask_count, arena_format(w->arena, "zones.%s.facts", z->note.id));
	}
}

static void zone_entries(struct writer *w)
{
	for (size_t i = 0; i < w->type->zones.count; i++) {
		const struct lib_zone *z = library_zone(w->library, w->type->zones.items[i]);
		if (!z)
			continue;
		for (size_t k = 0; k < (z->per_gate ? 1 : w->leaves); k++)
			zone_entry(w, z, k + 1);
	}
}

/* Of a gate that is not described yet only what its type says is known. */
static struct value type_known(void *subject, const char *name)
{
	const struct lib_type *type = ((const struct writer *)subject)->type;
	if (text_equal(name, "gate.type"))
		return value_of_word(type->note.id);
	if (text_equal(name, "gate.family"))
		return value_of_word(type->family);
	if (text_equal(name, "gate.movement"))
		return value_of_word(type->movement);
	return value_unknown();
}

static struct value nothing_called(void *subject, const char *function, const struct value *arguments, size_t count)
{
	(void)subject;
	(void)function;
	(void)arguments;
	(void)count;
	return value_unknown();
}

static struct rule_names names_of(struct writer *w)
{
	return (struct rule_names){w, type_known, nothing_called};
}

/* The checks that cannot be due at a gate of this type are left out. */
static void check_entries(struct writer *w)
{
	struct rule_names names = names_of(w);
	for (size_t i = 0; i < w->library->checks_count; i++) {
		const struct lib_check *c = &w->library->checks[i];
		if (c->when && rule_test(w->arena, c->when, &names).truth == TRUTH_NO)
			continue;
		line(w, 1, "", c->note.id, "", phrasebook_part(w->words, "checks", c->note.id, "title"));
		item(w, 2, "checks", "");
		if (c->ask_count) {
			line(w, 2, "", "facts", "", NULL);
			declared(w, 3, c->asks, c->ask_count,
				arena_format(w->arena, "checks.%s.facts", c->note.id));
		}
	}
}

/* As a double-quoted scalar: any text reads back as it was. */
static const char *quoted(struct writer *w, const char *text)
{
	struct buf b;
	buf_init(&b, w->arena);
	buf_char(&b, '"');
	for (; *text; text++)
		if (*text == '\n')
			buf_put(&b, "\\n");
		else
			buf_format(&b, "%s%c", *text == '"' || *text == '\\' ? "\\" : "", *text);
	buf_char(&b, '"');
	return b.bytes;
}

/* What a firm has in common from job to job. */
static const char *const CARRIED[] = {"parties.manufacturer.", "parties.compiler.", "parties.signatory.",
	"job.territory", "job.language", "drive.maker", "drive.model", "drive.supply", "drive.battery",
	"control.maker", "control.model", "gate.model"};

static const char *known_value(struct writer *w, const struct field *f)
{
	if (text_equal(f->path, "gate.type"))
		return w->type->note.id;
	for (size_t i = 0; w->like && i < sizeof CARRIED / sizeof *CARRIED; i++) {
		const struct fact *fact = record_fact(w->like, f->path);
		if (text_begins(f->path, CARRIED[i]) && fact_given(fact))
			return quoted(w, fact->text);
	}
	return "unknown";
}

static void list(struct writer *w, const struct field_list *l)
{
	const char *key;
	size_t depth = open_sections(w, l->path, &key);
	const char *title = phrasebook_part(w->words, "sections", l->path, "title");
	if (depth == 0)
		buf_char(&w->out, '\n');
	if (text_equal(l->path, "zones") || text_equal(l->path, "checks")) {
		line(w, depth, "", key, "", title);
		if (text_equal(l->path, "zones"))
			zone_entries(w);
		else
			check_entries(w);
		return;
	}
	bool one = text_equal(l->path, "gate.leaves");
	line(w, depth, "", key, one ? "" : l->required ? "unknown" : "[]", title);
	size_t start = w->out.length;
	item(w, depth + 2, l->path, one ? "leaf-1" : "name-it");
	for (size_t i = 1; one && i < w->leaves; i++)
		item(w, depth + 2, l->path, arena_format(w->arena, "leaf-%zu", i + 1));
	if (one)
		return;
	/* The item is shown as a comment: to be copied for each real one. */
	char *shown = arena_string(w->arena, w->out.bytes + start);
	w->out.length = start;
	for (char *p = strtok(shown, "\n"); p; p = strtok(NULL, "\n"))
		buf_format(&w->out, "#%s\n", p);
}

/* As many leaves as the type has whatever its dimensions are; one where that depends on them. */
static size_t leaves_of(struct writer *w)
{
	struct rule_names names = names_of(w);
	struct value v = w->type->leaves ? rule_value(w->arena, w->type->leaves, &names) : value_unknown();
	return v.kind == VALUE_QUANTITY && v.quantity.value >= 1 && v.quantity.value <= 8
		       ? (size_t)v.quantity.value
		       : 1;
}

char *skeleton_text(struct arena *a, const struct library *library, const struct lib_type *type,
	const struct phrasebook *words, const struct record *like)
{
	struct writer w = {.arena = a, .library = library, .type = type, .words = words, .like = like};
	const char *listed = "", *key;
	w.leaves = leaves_of(&w);
	buf_init(&w.out, a);
	buf_put(&w.out, "# yaml-language-server: $schema=record.schema.json\n");
	const char *intro = phrasebook_find(words, "skeleton.intro");
	if (intro)
		buf_format(&w.out, "# %s\n", intro);
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		const char *brackets = strstr(f->path, "[]");
		if (brackets) {
			/* Those of inner lists are written with their owner. */
			const char *path = arena_copy(a, f->path, (size_t)(brackets - f->path));
			for (size_t k = 0; k < FIELD_LIST_COUNT && !text_equal(path, listed); k++)
				if (text_equal(FIELD_LISTS[k].path, path)) {
					list(&w, &FIELD_LISTS[k]);
					w.previous = f->path;
				}
			listed = path;
			continue;
		}
		if (text_equal(f->path, "record")) {
			buf_put(&w.out, "record: 1\n");
			continue;
		}
		size_t depth = open_sections(&w, f->path, &key);
		if (f->flags & FIELD_DECLARED)
			declared(&w, depth, type->dimensions, type->dimension_count,
				arena_format(a, "types.%s.dimensions", type->note.id));
		else if (f->flags & FIELD_ALWAYS)
			line(&w, depth, "", key, known_value(&w, f), hint(&w, f));
	}
	return w.out.bytes;
}
