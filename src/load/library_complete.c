/* What the rows of the tables cannot say about single entries of the library. */
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"
#include "model/recording.h"
#include "rule/pattern.h"

static const char *sub(struct lib_reader *r, const char *path, const char *key)
{
	return bind_path(&r->bind, path, key);
}

/* The value of a key that was not left empty. */
static const struct node *given(const struct node *n, const char *key)
{
	const struct node *value = node_get(n, key);
	return value && !bind_empty(value) ? value : NULL;
}

static const struct {
	const char *name;
	enum field_kind kind;
} KINDS[] = {
	{"word", FIELD_WORD},
	{"words", FIELD_WORDS},
	{"truth", FIELD_TRUTH},
	{"count", FIELD_COUNT},
	{"text", FIELD_TEXT},
	{"date", FIELD_DATE},
};

static bool read_kind(
	struct lib_reader *r, const struct node *n, const char *path, struct lib_field *field)
{
	if (!bind_scalar(&r->bind, n, path, "a kind of value"))
		return false;
	field->kind = FIELD_QUANTITY;
	if (lib_dimension(n->text, &field->dim))
		return true;
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		if (text_equal(KINDS[i].name, n->text)) {
			field->kind = KINDS[i].kind;
			return true;
		}
	const char *all = arena_format(
		r->bind.arena, "word|words|truth|count|text|date|%s", lib_dimension_names());
	return bind_choice(&r->bind, n->text, path, n->at, choices_split(r->bind.arena, all));
}

static bool read_bound(struct lib_reader *r, const struct node *n, const char *path,
	const char *key, const struct lib_field *field, struct quantity *out)
{
	const struct node *value = given(n, key);
	if (!value)
		return false;
	if (field->kind != FIELD_QUANTITY && field->kind != FIELD_COUNT) {
		bind_unknown(&r->bind, FINDING_CODE_LIBRARY_UNKNOWN_KEY, sub(r, path, key),
			value->at, key, (struct choices){NULL, 0});
		return false;
	}
	return bind_quantity(&r->bind, value, sub(r, path, key), field->dim, NULL, NULL, out);
}

void library_complete_field(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_field *field = out;
	if (field->id)
		bind_id(&r->bind, field->id, sub(r, path, "id"), node_get(n, "id")->at, "");
	const struct node *when = given(n, "when");
	field->when_text = when && when->kind == NODE_SCALAR ? when->text : NULL;
	const struct node *kind = bind_required(&r->bind, n, path, "is");
	if (!kind || !read_kind(r, kind, sub(r, path, "is"), field))
		return;
	field->has_low = read_bound(r, n, path, "from", field, &field->low);
	field->has_high = read_bound(r, n, path, "to", field, &field->high);
}

static const struct need_row {
	enum need_kind kind;
	struct lib_row row;
} NEEDS[] = {
	{NEED_HOLDS, {.key = "holds"}},
	{NEED_DEVICE, {.key = "device", .field = "devices[].kind"}},
	{NEED_FUNCTION, {.key = "function", .refers = REFERS(GROUP_FUNCTIONS)}},
	{NEED_FORCE, {.key = "force"}},
	{NEED_CHECK, {.key = "check", .refers = REFERS(GROUP_CHECKS)}},
	{NEED_EVIDENCE, {.key = "evidence", .choices = "photo|paper"}},
	{NEED_WITH, {.key = "with", .refers = REFERS(GROUP_MEASURES)}},
};

void library_complete_need(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_need *need = out;
	size_t found = 0;
	for (size_t i = 0; i < sizeof NEEDS / sizeof *NEEDS; i++) {
		const struct node *value = given(n, NEEDS[i].row.key);
		bool yes = true;
		if (!value)
			continue;
		found++;
		need->kind = NEEDS[i].kind;
		if (need->kind == NEED_FORCE &&
			bind_truth(&r->bind, value, sub(r, path, "force"), &yes) && !yes)
			bind_refuse(&r->bind, FINDING_CODE_VALUE_CHOICE, sub(r, path, "force"),
				value->at, "no");
		if (need->kind != NEED_FORCE && need->kind != NEED_HOLDS)
			need->names = library_read_words(
				r, value, sub(r, path, NEEDS[i].row.key), &NEEDS[i].row);
	}
	if (found != 1)
		bind_with_count(&r->bind,
			bind_report(&r->bind, FINDING_CODE_LIBRARY_NEED, path, n->at), "count",
			found);
}

/* One row with the value written beside it. */
static void short_form(struct lib_reader *r, const struct node *n, const char *path,
	const char *source, enum standing standing, struct lib_limit_variant *v)
{
	const struct node *value = given(n, "value");
	v->rows = arena_alloc(r->bind.arena, sizeof *v->rows);
	v->row_count = 1;
	v->rows->at = value->at;
	v->rows->source = source;
	v->rows->standing = standing;
	library_read_rule(r, value, sub(r, path, "value"), &v->rows->value);
}

/* What a row does not say itself, the variant or the entry says. */
static void inherit(struct lib_limit_variant *v, const struct node *rows, const char *source,
	enum standing standing)
{
	for (size_t i = 0; i < v->row_count; i++) {
		if (!given(rows->items[i], "standing"))
			v->rows[i].standing = standing;
		if (!v->rows[i].source)
			v->rows[i].source = source;
	}
}

void library_complete_variant(
	struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_limit_variant *v = out;
	const struct lib_note *note = r->entry;
	const char *source = node_text(n, "source");
	const struct node *own = given(n, "standing"), *rows = given(n, "rows");
	enum standing standing =
		own ? library_read_standing(r, own, sub(r, path, "standing")) : note->standing;
	source = source ? source : note->source;
	if (rows && v->row_count)
		inherit(v, rows, source, standing);
	else if (given(n, "value") && !rows)
		short_form(r, n, path, source, standing, v);
	else
		bind_report(&r->bind, FINDING_CODE_LIBRARY_LIMIT, path, n->at);
}

static void check_default(
	struct lib_reader *r, const struct node *n, const char *path, struct lib_limit *limit)
{
	size_t defaults = 0;
	for (size_t i = 0; i < limit->variant_count; i++)
		defaults += limit->variants[i].is_default;
	if (limit->variant_count == 1)
		limit->variants[0].is_default = true;
	else if (defaults != 1)
		bind_with_count(&r->bind,
			bind_report(&r->bind, FINDING_CODE_LIBRARY_DEFAULT, path, n->at), "count",
			defaults);
}

/* A limit without variants is a variant itself. */
void library_complete_limit(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_limit *limit = out;
	const struct node *rows = given(n, "rows"), *value = given(n, "value");
	const struct node *variants = given(n, "variants");
	bool none = (rows && rows->count == 0) || (variants && variants->count == 0);
	if ((variants != NULL) + (rows != NULL) + (value != NULL) != 1 || none) {
		bind_report(&r->bind, FINDING_CODE_LIBRARY_LIMIT, path, n->at);
		return;
	}
	if (!variants) {
		struct lib_limit_variant *v = arena_alloc(r->bind.arena, sizeof *v);
		v->id = "standard";
		v->edition = node_text(n, "edition");
		limit->variants = v;
		limit->variant_count = 1;
		if (value)
			short_form(r, n, path, limit->note.source, limit->note.standing, v);
		else
			v->rows = library_read_items(
				r, &LIB_LIMIT_ROW_TABLE, rows, sub(r, path, "rows"), &v->row_count);
		if (rows)
			inherit(v, rows, limit->note.source, limit->note.standing);
	}
	if (limit->variant_count)
		check_default(r, n, path, limit);
}

void library_complete_header(
	struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_header *h = out;
	const struct node *pattern = node_get(n, "pattern");
	size_t before = r->bind.findings->count;
	if (!h->pattern || !h->role)
		return;
	r->patterns[r->library->pattern_count++] = (struct recording_pattern){
		.id = h->note.id ? h->note.id : "",
		.role = text_equal(h->role, "time")    ? RECORDING_TIME
			: text_equal(h->role, "force") ? RECORDING_FORCE
						       : RECORDING_COMMENT,
		.pattern = pattern_compile(
			r->bind.arena, h->pattern, true, pattern->at, r->bind.findings),
		.unit = h->unit,
		.note = &h->note,
	};
	library_name_findings(r, before, sub(r, path, "pattern"));
	r->library->patterns = r->patterns;
}

/* Only a firm can have read something. */
void library_complete_reading(
	struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_reading *reading = out;
	if (!r->overlay)
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_READING, path, n->at,
			reading->id ? reading->id : "");
}

/* What the maker has told is not unknown as well. */
void library_complete_part(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_part *part = out;
	for (size_t i = 0; i < part->unknown.count; i++) {
		const struct node *given = node_get(n, part->unknown.items[i]);
		if (given && !bind_empty(given))
			bind_refuse(&r->bind, FINDING_CODE_LIBRARY_PART, bind_path(&r->bind, path, "unknown"),
				given->at, part->unknown.items[i]);
	}
}
