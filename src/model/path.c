#include "model/path.h"

#include <string.h>

#include "base/text.h"

static bool is_list(const char *path)
{
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++)
		if (text_equal(FIELD_LISTS[i].path, path))
			return true;
	return false;
}

/* A group of keys: some row of the table begins with it. */
static bool is_section(const char *path)
{
	size_t n = strlen(path);
	for (size_t i = 0; n && i < FIELD_COUNT_ALL; i++)
		if (text_begins(FIELDS[i].path, path) && FIELDS[i].path[n] == '.')
			return true;
	return false;
}

/* "zones" or "checks" when `text` goes on with a dot behind one of them. */
static const char *keyed_by_dot(const char *text)
{
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++) {
		size_t n = strlen(FIELD_LISTS[i].path);
		if (FIELD_LISTS[i].keyed && text_begins(text, FIELD_LISTS[i].path) && text[n] == '.')
			return FIELD_LISTS[i].path;
	}
	return NULL;
}

/* "[id]" at `*at`; moves behind it and behind the dot that follows. */
static const char *bracketed(struct arena *a, const char **at)
{
	size_t n = strcspn(*at + 1, "[]");
	if (!n || (*at)[1 + n] != ']')
		return NULL;
	const char *id = arena_copy(a, *at + 1, n), *behind = *at + n + 2;
	if (*behind == '.' && behind[1])
		behind++;
	else if (*behind)
		return NULL;
	*at = behind;
	return id;
}

static bool read_item(struct arena *a, const char *rest, struct record_path *p)
{
	const char *open = strchr(rest, '[');
	p->key = rest;
	if (!open)
		return true;
	p->inner = arena_copy(a, rest, (size_t)(open - rest));
	p->inner_id = bracketed(a, &open);
	p->key = open;
	return p->inner_id && !strchr(open, '[');
}

const char *record_path_list(struct arena *a, const struct record_path *path)
{
	if (!path->list || !path->inner)
		return path->list;
	return arena_format(a, "%s[].%s", path->list, path->inner);
}

/* Whether the table has what the parts name; finds the row. */
static bool look_up(struct arena *a, struct record_path *p)
{
	if (p->inner) {
		const char *list = record_path_list(a, p);
		if (!is_list(list))
			return false;
		p->field = field_find(arena_format(a, "%s[].%s", list, p->key));
		return p->field || !*p->key || is_section(arena_format(a, "%s[].%s", list, p->key));
	}
	if (p->id) {
		const char *whole = arena_format(a, "%s[].%s", p->list, p->key);
		p->field = field_find(whole);
		return is_list(p->list) && (p->field || !*p->key || is_list(whole) || is_section(whole));
	}
	p->field = field_find(p->key);
	return p->field || is_section(p->key);
}

bool record_path_read(struct arena *a, const char *text, struct record_path *out)
{
	struct record_path p = {.key = text};
	const char *open = strchr(text, '['), *keyed = keyed_by_dot(text);
	if (is_list(text)) {
		*out = (struct record_path){.list = text, .key = ""};
		return true;
	}
	if (keyed) {
		const char *id = text + strlen(keyed) + 1;
		size_t n = strcspn(id, ".");
		p.list = keyed;
		p.id = arena_copy(a, id, n);
		p.key = id[n] == '.' ? id + n + 1 : "";
		if (!n || (id[n] == '.' && !id[n + 1]))
			return false;
	} else if (open) {
		p.list = arena_copy(a, text, (size_t)(open - text));
		p.id = bracketed(a, &open);
		if (!p.id || !read_item(a, open, &p))
			return false;
	}
	if (!look_up(a, &p))
		return false;
	*out = p;
	return true;
}

char *record_path_text(struct arena *a, const struct record_path *p)
{
	struct buf b;
	buf_init(&b, a);
	if (p->list)
		buf_put(&b, p->list);
	if (p->id)
		buf_format(&b, "[%s]", p->id);
	if (p->inner)
		buf_format(&b, ".%s[%s]", p->inner, p->inner_id);
	if (*p->key)
		buf_format(&b, "%s%s", p->list ? "." : "", p->key);
	return b.bytes;
}
