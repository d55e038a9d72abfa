#include "load/schema.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* The part of a field's path behind the root or the list; NULL when it belongs elsewhere. */
static const char *key_in(const char *path, const char *list)
{
	const char *mark = field_brackets(path);
	if (!list)
		return mark ? NULL : path;
	size_t n = strlen(list);
	return mark && (size_t)(mark - path) == n && memcmp(path, list, n) == 0 ? mark + 3 : NULL;
}

static int compare_rows(const void *x, const void *y)
{
	return strcmp(((const struct schema_row *)x)->key, ((const struct schema_row *)y)->key);
}

struct schema schema_of(struct arena *a, const char *list)
{
	struct schema s = {.list = list, .rows = arena_array(a, FIELD_COUNT_ALL, sizeof *s.rows)};
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const char *key = key_in(FIELDS[i].path, list);
		if (!key)
			continue;
		if (FIELDS[i].flags & FIELD_DECLARED)
			s.declared = arena_copy(a, key, strlen(key) - 1);
		else
			s.rows[s.count++] =
				(struct schema_row){key, fact_spec_field(a, &FIELDS[i])};
	}
	qsort(s.rows, s.count, sizeof *s.rows, compare_rows);
	return s;
}

size_t schema_find(const struct schema *s, const char *key)
{
	struct schema_row wanted = {.key = key};
	const struct schema_row *row =
		s->count ? bsearch(&wanted, s->rows, s->count, sizeof *s->rows, compare_rows)
			 : NULL;
	return row ? (size_t)(row - s->rows) : s->count;
}

/* What follows `path` and a dot in `key`, all of `key` for the top; NULL when it lies elsewhere. */
static const char *below(const char *key, const char *path)
{
	size_t n = strlen(path);
	if (n == 0)
		return key;
	return key && strncmp(key, path, n) == 0 && key[n] == '.' ? key + n + 1 : NULL;
}

bool schema_section(const struct schema *s, const char *path, bool root)
{
	for (size_t i = 0; i < s->count; i++)
		if (below(s->rows[i].key, path))
			return true;
	for (size_t i = 0; root && i < FIELD_LIST_COUNT; i++)
		if (below(FIELD_LISTS[i].path, path))
			return true;
	return s->declared && below(s->declared, path);
}

static void add_key(struct arena *a, struct choices *c, const char **items, const char *rest)
{
	if (!rest || *rest == '\0')
		return;
	const char *key = arena_copy(a, rest, strcspn(rest, "."));
	if (!choices_have(*c, key))
		items[c->count++] = key;
}

struct choices schema_keys(struct arena *a, const struct schema *s, const char *path, bool root)
{
	const char **items = arena_array(a, s->count + FIELD_LIST_COUNT + 1, sizeof *items);
	struct choices c = {items, 0};
	for (size_t i = 0; i < s->count; i++)
		add_key(a, &c, items, below(s->rows[i].key, path));
	for (size_t i = 0; root && i < FIELD_LIST_COUNT; i++)
		if (!field_brackets(FIELD_LISTS[i].path))
			add_key(a, &c, items, below(FIELD_LISTS[i].path, path));
	for (size_t i = 0; s->list && !*path && i < FIELD_LIST_COUNT; i++)
		add_key(a, &c, items, key_in(FIELD_LISTS[i].path, s->list));
	if (s->declared)
		add_key(a, &c, items, below(s->declared, path));
	return c;
}

size_t schema_inner_list(const struct schema *s, const char *key)
{
	size_t i = 0;
	for (; s->list && i < FIELD_LIST_COUNT; i++) {
		const char *inner = key_in(FIELD_LISTS[i].path, s->list);
		if (inner && text_equal(inner, key))
			return i;
	}
	return FIELD_LIST_COUNT;
}

size_t schema_list(const char *path)
{
	size_t i = 0;
	while (i < FIELD_LIST_COUNT && !text_equal(FIELD_LISTS[i].path, path))
		i++;
	return i;
}
