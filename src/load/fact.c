#include "load/fact.h"

#include <assert.h>
#include <string.h>

#include "base/text.h"

static const char NOT_APPLICABLE[] = "n/a";

static bool read_bound(const char *text, struct quantity *out)
{
	if (!text)
		return false;
	enum quantity_fault fault = quantity_read(text, out);
	assert(fault == QUANTITY_FINE);
	return fault == QUANTITY_FINE;
}

struct fact_spec fact_spec_field(struct arena *a, const struct field *field)
{
	struct fact_spec s = {
		.kind = field->kind,
	};
	if (field->dim)
		s.dim = *field->dim;
	s.choices = choices_split(a, field->choices);
	s.has_low = read_bound(field->low, &s.low);
	s.has_high = read_bound(field->high, &s.high);
	return s;
}

struct fact_spec fact_spec_declared(const struct lib_field *field)
{
	return (struct fact_spec){
		.kind = field->kind,
		.dim = field->dim,
		.choices = {field->choices.items, field->choices.count},
		.has_low = field->has_low,
		.has_high = field->has_high,
		.low = field->low,
		.high = field->high,
	};
}

static bool refuse(struct bind *b, enum finding_code code, const char *path, const struct node *n)
{
	bind_refuse(b, code, path, n->at, n->text);
	return false;
}

static bool evidence_fine(struct bind *b, const struct node *n, const char *path)
{
	static const char *const KINDS[] = {"paper:", "photo:", "point:", "check:", "function:"};
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		if (text_begins(n->text, KINDS[i]) && id_valid(n->text + strlen(KINDS[i]), "@"))
			return true;
	return refuse(b, FINDING_CODE_RECORD_EVIDENCE, path, n);
}

/* A path below the job folder, with `/` between its parts, that reads alike on every system. */
static bool path_inside(const char *path, size_t length)
{
	size_t at = 0;
	if (length == 0 || memchr(path, '\\', length) || memchr(path, ':', length))
		return false;
	for (size_t i = 0; i < length; i++)
		if ((unsigned char)path[i] < 0x20 || path[i] == 0x7F)
			return false;
	while (at <= length) {
		const char *part = path + at;
		const char *slash = memchr(part, '/', length - at);
		size_t n = slash ? (size_t)(slash - part) : length - at;
		if (n == 0 || (n == 1 && part[0] == '.') || (n == 2 && memcmp(part, "..", 2) == 0))
			return false;
		at += n + 1;
	}
	return true;
}

static bool file_fine(struct bind *b, const struct node *n, const char *path, bool column)
{
	const char *hash = column ? strrchr(n->text, '#') : NULL;
	size_t length = hash ? (size_t)(hash - n->text) : strlen(n->text);
	if (path_inside(n->text, length) && !(hash && hash[1] == '\0'))
		return true;
	return refuse(b, FINDING_CODE_RECORD_PATH, path, n);
}

/* Digests are compared as text, in lower case. */
static bool read_digest(struct bind *b, const struct node *n, const char *path, struct fact *f)
{
	char *digest = text_trim(b->arena, n->text);
	for (char *p = digest; *p; p++)
		if (*p >= 'A' && *p <= 'F')
			*p = (char)(*p - 'A' + 'a');
	if (strlen(digest) != 64 || strspn(digest, "0123456789abcdef") != 64)
		return refuse(b, FINDING_CODE_RECORD_DIGEST, path, n);
	f->text = digest;
	return true;
}

static bool entry_fine(
	struct bind *b, const struct node *n, const char *path, const struct fact_spec *spec)
{
	if (!bind_scalar(b, n, path, "a single value"))
		return false;
	if (spec->kind == FIELD_EVIDENCE)
		return evidence_fine(b, n, path);
	if (spec->kind == FIELD_FILES)
		return file_fine(b, n, path, true);
	if (*text_trim(b->arena, n->text) == '\0')
		return refuse(b, FINDING_CODE_VALUE_EMPTY, path, n);
	return bind_choice(b, n->text, path, n->at, spec->choices);
}

static bool is_unknown(const char *text)
{
	return text_equal(text, "?") || text_equal(text, "unknown");
}

/* Every entry is looked at, so that all of them are reported. An unknown one leaves all unknown. */
static bool read_entries(struct bind *b, struct node *const *nodes, size_t count, const char *path,
	const struct fact_spec *spec, struct fact *f)
{
	const char **list = arena_array(b->arena, count, sizeof *list);
	struct place *at = arena_array(b->arena, count, sizeof *at);
	struct buf joined;
	bool fine = true;
	buf_init(&joined, b->arena);
	for (size_t i = 0; i < count; i++) {
		list[i] = nodes[i]->text;
		at[i] = nodes[i]->at;
		if (nodes[i]->kind == NODE_SCALAR && is_unknown(list[i]))
			fine = false;
		else if (!entry_fine(b, nodes[i], count > 1 ? bind_entry(b, path, NULL, i) : path,
				 spec))
			fine = false;
		buf_format(&joined, "%s%s", i ? ", " : "", list[i]);
	}
	f->text = joined.bytes;
	f->list = list;
	f->list_at = at;
	f->count = count;
	return fine;
}

static bool read_given(struct bind *b, const struct node *n, const char *path,
	const struct fact_spec *spec, struct fact *f)
{
	const struct quantity *low = spec->has_low ? &spec->low : NULL;
	const struct quantity *high = spec->has_high ? &spec->high : NULL;
	bool truth = false;
	switch (spec->kind) {
	case FIELD_QUANTITY:
		return bind_quantity(b, n, path, spec->dim, low, high, &f->quantity);
	case FIELD_COUNT:
		return bind_count(b, n, path, low, high, &f->quantity);
	case FIELD_DATE:
		return bind_date(b, n, path, &f->date);
	case FIELD_TRUTH:
		if (!bind_truth(b, n, path, &truth))
			return false;
		f->truth = truth ? TRUTH_YES : TRUTH_NO;
		return true;
	case FIELD_ID:
		return bind_id(b, f->text, path, n->at, "@~");
	case FIELD_WORD:
		return bind_choice(b, f->text, path, n->at, spec->choices);
	case FIELD_FILE:
		return file_fine(b, n, path, false);
	case FIELD_SHA256:
		return read_digest(b, n, path, f);
	case FIELD_TEXT:
	case FIELD_WORDS:
	case FIELD_EVIDENCE:
	case FIELD_FILES:
		break;
	}
	return true;
}

static bool takes_list(enum field_kind kind)
{
	return kind == FIELD_WORDS || kind == FIELD_EVIDENCE || kind == FIELD_FILES;
}

static const char *expected(enum field_kind kind)
{
	switch (kind) {
	case FIELD_TEXT:
		return "a text";
	case FIELD_QUANTITY:
		return "a number with a unit";
	case FIELD_COUNT:
		return "a whole number";
	case FIELD_DATE:
		return "a date such as 2026-11-25";
	case FIELD_TRUTH:
		return "yes or no";
	case FIELD_FILE:
		return "the path of one file";
	case FIELD_WORDS:
	case FIELD_EVIDENCE:
	case FIELD_FILES:
		return "a list of single values";
	case FIELD_WORD:
	case FIELD_ID:
	case FIELD_SHA256:
		break;
	}
	return "a single word";
}

static void set_not_applicable(struct bind *b, const char *reason, const char *path, struct fact *f)
{
	f->text = text_trim(b->arena, reason);
	if (*f->text == '\0')
		bind_report(b, FINDING_CODE_RECORD_NA_REASON, path, f->at);
	else
		f->state = FACT_NOT_APPLICABLE;
}

/* The reason of `n/a: reason`, quoted or read by YAML as a map of one key; NULL when it is neither.
 */
static const char *reason_of(const struct node *n)
{
	if (n->kind == NODE_MAP && n->count == 1 && text_equal(n->pairs[0].key, NOT_APPLICABLE))
		return n->pairs[0].value->kind == NODE_SCALAR ? n->pairs[0].value->text : "";
	if (n->kind != NODE_SCALAR || !text_begins(n->text, NOT_APPLICABLE))
		return NULL;
	const char *rest = n->text + strlen(NOT_APPLICABLE);
	if (*rest != '\0' && *rest != ':' && *rest != ' ')
		return NULL;
	return *rest == ':' ? rest + 1 : rest;
}

/* Nothing that leaves a mark on paper: blanks of any width and characters without one. */
static bool invisible(const char *text)
{
	static const uint32_t RANGES[][2] = {{0, 0x20}, {0x7F, 0xA0}, {0xAD, 0xAD}, {0x180E, 0x180E},
		{0x2000, 0x200F}, {0x2028, 0x202F}, {0x205F, 0x206F}, {0x3000, 0x3000}, {0xFEFF, 0xFEFF}};
	for (size_t length = strlen(text), taken; length; text += taken, length -= taken) {
		uint32_t code = 0;
		bool found = false;
		taken = utf8_decode(text, length, &code);
		for (size_t i = 0; taken && i < sizeof RANGES / sizeof *RANGES; i++)
			found = found || (code >= RANGES[i][0] && code <= RANGES[i][1]);
		if (!found)
			return false;
	}
	return true;
}

static void read_scalar(struct bind *b, struct node *n, const char *path,
	const struct fact_spec *spec, struct fact *f)
{
	const char *text = text_trim(b->arena, n->text);
	bool offered = choices_have(spec->choices, text);
	f->text = text;
	if (invisible(text))
		refuse(b, FINDING_CODE_VALUE_EMPTY, path, n);
	else if (is_unknown(text) && !offered)
		return;
	else if (text_equal(text, "none") && !offered)
		f->state = FACT_NONE;
	else if (takes_list(spec->kind) ? read_entries(b, &n, 1, path, spec, f)
					: read_given(b, n, path, spec, f))
		f->state = FACT_GIVEN;
}

static void read_list(struct bind *b, const struct node *n, const char *path,
	const struct fact_spec *spec, struct fact *f)
{
	if (n->count == 0)
		f->state = FACT_NONE;
	else if (read_entries(b, n->items, n->count, path, spec, f))
		f->state = FACT_GIVEN;
}

struct fact fact_read(
	struct bind *b, const struct node *n, const char *path, const struct fact_spec *spec)
{
	struct fact f = {.state = FACT_UNKNOWN, .text = "", .at = n->at, .kind = spec->kind};
	const char *reason = reason_of(n);
	struct node copy = *n;
	if (bind_empty(n))
		f.state = FACT_ABSENT;
	else if (reason)
		set_not_applicable(b, reason, path, &f);
	else if (n->kind == NODE_LIST && takes_list(spec->kind))
		read_list(b, n, path, spec, &f);
	else if (n->kind == NODE_SCALAR)
		read_scalar(b, &copy, path, spec, &f);
	else
		bind_scalar(b, n, path, expected(spec->kind));
	return f;
}
