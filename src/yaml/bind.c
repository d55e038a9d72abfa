#include "yaml/bind.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

enum {
	FOUND_MAX = 60,    /* characters of data that a message shows */
	GUESSES_MAX = 100, /* in one file */
	LISTED_MAX = 24,   /* valid words that a way lists */
};

struct choices choices_split(struct arena *a, const char *joined)
{
	if (!joined)
		return (struct choices){NULL, 0};
	size_t count = 1;
	for (const char *p = joined; *p; p++)
		count += *p == '|';
	const char **items = arena_array(a, count, sizeof *items);
	char *words = arena_string(a, joined);
	for (size_t i = 0; i < count; i++) {
		items[i] = words;
		words += strcspn(words, "|");
		*words++ = '\0';
	}
	return (struct choices){items, count};
}

bool choices_have(struct choices c, const char *word)
{
	for (size_t i = 0; i < c.count; i++)
		if (text_equal(c.items[i], word))
			return true;
	return false;
}

/* Every key of every file gets a path, so it is not left to a format. */
static struct arena *paths_of(const struct bind *b)
{
	return b->paths ? b->paths : b->arena;
}

const char *bind_path(struct bind *b, const char *parent, const char *key)
{
	struct buf path;
	if (!*parent)
		return key;
	buf_init(&path, paths_of(b));
	buf_reserve(&path, strlen(parent) + 1 + strlen(key));
	buf_put(&path, parent);
	buf_char(&path, '.');
	buf_put(&path, key);
	return path.bytes;
}

const char *bind_entry(struct bind *b, const char *parent, const char *id, size_t index)
{
	if (id && *id)
		return arena_format(paths_of(b), "%s[%s]", parent, id);
	return arena_format(paths_of(b), "%s[%zu]", parent, index + 1);
}

const char *bind_found(struct bind *b, const char *text)
{
	size_t length = strlen(text), at = 0;
	for (int shown = 0; at < length && shown < FOUND_MAX; shown++) {
		uint32_t code;
		size_t n = utf8_decode(text + at, length - at, &code);
		at += n ? n : 1;
	}
	const char *safe = text_harmless(b->arena, arena_copy(b->arena, text, at));
	return at < length ? arena_format(b->arena, "%s…", safe) : safe;
}

struct finding *bind_report(
	struct bind *b, enum finding_code code, const char *path, struct place at)
{
	return finding_add(b->findings, code, text_harmless(b->findings->arena, path), at);
}

struct finding *bind_with(struct bind *b, struct finding *f, const char *name, const char *value)
{
	return finding_with(b->findings, f, name, arena_string(b->findings->arena, value));
}

struct finding *bind_with_count(struct bind *b, struct finding *f, const char *name, size_t count)
{
	return finding_with(b->findings, f, name, arena_format(b->findings->arena, "%zu", count));
}

struct finding *bind_refuse(struct bind *b, enum finding_code code, const char *path,
	struct place at, const char *found)
{
	return bind_with(b, bind_report(b, code, path, at), "found", bind_found(b, found));
}

bool bind_empty(const struct node *n)
{
	return n->kind == NODE_SCALAR && n->plain &&
	       (*n->text == '\0' || text_equal(n->text, "~") || text_equal(n->text, "null"));
}

bool bind_own_key(const char *key)
{
	return text_begins(key, "x-");
}

static const char *shape(const struct node *n)
{
	switch (n->kind) {
	case NODE_MAP:
		return "a group of keys";
	case NODE_LIST:
		return "a list";
	case NODE_SCALAR:
		break;
	}
	return bind_empty(n) ? "nothing" : "a single value";
}

static bool bind_kind(struct bind *b, const struct node *n, enum node_kind kind, const char *path,
	const char *expected)
{
	if (n->kind == kind)
		return true;
	struct finding *f = bind_refuse(b, FINDING_CODE_VALUE_SHAPE, path, n->at, shape(n));
	bind_with(b, f, "expected", expected);
	return false;
}

bool bind_scalar(struct bind *b, const struct node *n, const char *path, const char *expected)
{
	return bind_kind(b, n, NODE_SCALAR, path, expected);
}

bool bind_map(struct bind *b, const struct node *n, const char *path, const char *expected)
{
	return bind_kind(b, n, NODE_MAP, path, expected);
}

bool bind_list(struct bind *b, const struct node *n, const char *path, const char *expected)
{
	return bind_kind(b, n, NODE_LIST, path, expected);
}

const struct node *bind_required(
	struct bind *b, const struct node *map, const char *path, const char *key)
{
	const struct node *n = node_get(map, key);
	if (n && !bind_empty(n))
		return n;
	bind_with(b, bind_report(b, FINDING_CODE_VALUE_MISSING, path, n ? n->at : map->at), "key",
		key);
	return NULL;
}

static const char *closest(struct bind *b, const char *word, struct choices known)
{
	return b->guesses++ < GUESSES_MAX ? text_closest(word, known.items, known.count) : NULL;
}

static void offer(struct bind *b, struct finding *f, const char *word, struct choices known)
{
	const char *meant = closest(b, word, known);
	if (meant)
		way_with(b->findings, finding_way(b->findings, f, "did-you-mean"), "closest",
			arena_string(b->findings->arena, meant));
	if (known.count == 0 || b->guesses > GUESSES_MAX)
		return;
	struct buf list;
	buf_init(&list, b->findings->arena);
	for (size_t i = 0; i < known.count && i < LISTED_MAX; i++)
		buf_format(&list, "%s%s", i ? ", " : "", known.items[i]);
	if (known.count > LISTED_MAX)
		buf_put(&list, ", …");
	way_with(b->findings, finding_way(b->findings, f, "one-of"), "choices", list.bytes);
}

void bind_unknown(struct bind *b, enum finding_code code, const char *path, struct place at,
	const char *key, struct choices known)
{
	offer(b, bind_refuse(b, code, path, at, key), key, known);
}

bool bind_choice(
	struct bind *b, const char *text, const char *path, struct place at, struct choices known)
{
	if (known.count == 0 || choices_have(known, text))
		return true;
	offer(b, bind_refuse(b, FINDING_CODE_VALUE_CHOICE, path, at, text), text, known);
	return false;
}

static const char *dimension_words(struct dimension dim)
{
	const char *name = dimension_name(dim);
	return name ? name : "a quantity";
}

static bool refuse_quantity(struct bind *b, enum finding_code code, const char *path,
	const struct node *n, struct dimension dim)
{
	struct finding *f = bind_refuse(b, code, path, n->at, n->text);
	bind_with(b, f, "kind", dimension_words(dim));
	struct way *w = finding_way(b->findings, f,
		dimension_equal(dim, DIM_NUMBER) ? "write-number" : "write-quantity");
	way_with(b->findings, w, "kind", dimension_words(dim));
	way_with(b->findings, w, "units", dimension_units(b->findings->arena, dim));
	return false;
}

static bool in_range(struct bind *b, const struct node *n, const char *path,
	const struct quantity *low, const struct quantity *high, double value)
{
	if ((!low || value >= low->value) && (!high || value <= high->value))
		return true;
	struct finding *f = bind_refuse(b, FINDING_CODE_VALUE_RANGE, path, n->at, n->text);
	bind_with(b, f, "low", low ? quantity_text(b->arena, *low) : "any");
	bind_with(b, f, "high", high ? quantity_text(b->arena, *high) : "any");
	return false;
}

static const enum finding_code FAULTS[] = {
	[QUANTITY_NO_NUMBER] = FINDING_CODE_VALUE_NUMBER,
	[QUANTITY_COMMA] = FINDING_CODE_VALUE_COMMA,
	[QUANTITY_NO_UNIT] = FINDING_CODE_VALUE_BARE,
	[QUANTITY_BAD_UNIT] = FINDING_CODE_VALUE_UNIT,
	[QUANTITY_BAD_DOUBT] = FINDING_CODE_VALUE_DOUBT,
	[QUANTITY_TOO_LARGE] = FINDING_CODE_VALUE_LARGE,
};

static bool is_bare(struct bind *b, const char *text)
{
	double value;
	const char *trimmed = text_trim(b->arena, text);
	return text_scan(trimmed, &value) == strlen(trimmed);
}

bool bind_quantity(struct bind *b, const struct node *n, const char *path, struct dimension dim,
	const struct quantity *low, const struct quantity *high, struct quantity *out)
{
	struct quantity q;
	if (!bind_scalar(b, n, path, dimension_words(dim)))
		return false;
	enum quantity_fault fault = quantity_read(n->text, &q);
	if (fault == QUANTITY_FINE && !dimension_equal(q.dim, dim)) {
		if (is_bare(b, n->text))
			return refuse_quantity(b, FINDING_CODE_VALUE_BARE, path, n, dim);
		return refuse_quantity(b, FINDING_CODE_VALUE_DIMENSION, path, n, dim);
	}
	if (fault != QUANTITY_FINE)
		return refuse_quantity(b, FAULTS[fault], path, n, dim);
	if (!in_range(b, n, path, low, high, q.value))
		return false;
	*out = q;
	return true;
}

bool bind_count(struct bind *b, const struct node *n, const char *path, const struct quantity *low,
	const struct quantity *high, struct quantity *out)
{
	double value = 0;
	if (!bind_scalar(b, n, path, "a whole number"))
		return false;
	const char *text = text_trim(b->arena, n->text);
	size_t taken = text_scan(text, &value);
	if (taken == 0 || text[taken] != '\0' || value < 0 || value > 1e9 || floor(value) < value) {
		bind_refuse(b, FINDING_CODE_VALUE_WHOLE, path, n->at, n->text);
		return false;
	}
	if (!in_range(b, n, path, low, high, value))
		return false;
	*out = quantity_of(value, DIM_NUMBER);
	return true;
}

bool bind_date(struct bind *b, const struct node *n, const char *path, struct date *out)
{
	if (!bind_scalar(b, n, path, "a date such as 2026-11-25"))
		return false;
	if (date_read(text_trim(b->arena, n->text), out))
		return true;
	bind_refuse(b, FINDING_CODE_VALUE_DATE, path, n->at, n->text);
	return false;
}

bool bind_truth(struct bind *b, const struct node *n, const char *path, bool *out)
{
	if (!bind_scalar(b, n, path, "yes or no"))
		return false;
	const char *text = text_trim(b->arena, n->text);
	if (text_equal(text, "yes") || text_equal(text, "no")) {
		*out = *text == 'y';
		return true;
	}
	bind_refuse(b, FINDING_CODE_VALUE_TRUTH, path, n->at, n->text);
	return false;
}

static size_t id_length(const char *text)
{
	if (*text < 'a' || *text > 'z')
		return 0;
	return strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-");
}

bool id_valid(const char *text, const char *joints)
{
	size_t n = id_length(text);
	char before = '\0';
	while (n > 0 && text[n] != '\0' && text[n] != before && strchr(joints, text[n])) {
		before = text[n];
		text += n + 1;
		n = id_length(text);
	}
	return n > 0 && text[n] == '\0';
}

bool bind_id(
	struct bind *b, const char *text, const char *path, struct place at, const char *joints)
{
	if (id_valid(text, joints))
		return true;
	bind_refuse(b, FINDING_CODE_VALUE_ID, path, at, text);
	return false;
}
