#include "library_patch.h"

#include <string.h>

#include "base/text.h"
#include "yaml/bind.h"

struct node *patch_scalar(struct arena *a, const char *text, bool plain)
{
	struct node *n = arena_alloc(a, sizeof *n);
	n->kind = NODE_SCALAR;
	n->text = text;
	n->plain = plain;
	return n;
}

struct node *patch_map(struct arena *a)
{
	struct node *n = arena_alloc(a, sizeof *n);
	n->kind = NODE_MAP;
	return n;
}

struct node *patch_words(struct arena *a, const char *const *words, size_t count)
{
	struct node *n = arena_alloc(a, sizeof *n);
	n->kind = NODE_LIST;
	n->items = arena_array(a, count, sizeof *n->items);
	for (size_t i = 0; i < count; i++)
		n->items[n->count++] = patch_scalar(a, words[i], true);
	return n;
}

struct node *patch_copy(struct arena *a, const struct node *n)
{
	struct node *copy = arena_alloc(a, sizeof *copy);
	*copy = *n;
	if (n->kind == NODE_MAP) {
		copy->pairs = arena_grow(a, n->pairs, n->count, n->count, sizeof *copy->pairs);
		for (size_t i = 0; i < n->count; i++)
			copy->pairs[i].value = patch_copy(a, n->pairs[i].value);
	} else if (n->kind == NODE_LIST) {
		copy->items = arena_array(a, n->count, sizeof *copy->items);
		for (size_t i = 0; i < n->count; i++)
			copy->items[i] = patch_copy(a, n->items[i]);
	}
	return copy;
}

static struct node **slot(const struct node *n, const char *step)
{
	for (size_t i = 0; i < n->count; i++) {
		if (n->kind == NODE_MAP && text_equal(n->pairs[i].key, step))
			return &n->pairs[i].value;
		if (n->kind == NODE_LIST && text_equal(node_text(n->items[i], "id"), step))
			return &n->items[i];
	}
	return NULL;
}

static void take_away(struct node *n, const char *step)
{
	for (size_t i = 0; i < n->count; i++) {
		bool map = n->kind == NODE_MAP;
		if (!text_equal(map ? n->pairs[i].key : node_text(n->items[i], "id"), step))
			continue;
		n->count--;
		if (map)
			memmove(&n->pairs[i], &n->pairs[i + 1], (n->count - i) * sizeof *n->pairs);
		else
			memmove(&n->items[i], &n->items[i + 1], (n->count - i) * sizeof *n->items);
		return;
	}
}

/* A new last item or pair; of a list an item with that id. */
static struct node **append(struct arena *a, struct node *n, const char *step)
{
	if (n->kind == NODE_LIST) {
		struct node *item = patch_map(a);
		n->items = arena_grow(a, n->items, n->count, n->count + 1, sizeof *n->items);
		n->items[n->count] = item;
		*append(a, item, "id") = patch_scalar(a, step, true);
		return &n->items[n->count++];
	}
	n->pairs = arena_grow(a, n->pairs, n->count, n->count + 1, sizeof *n->pairs);
	n->pairs[n->count] = (struct node_pair){.key = step, .value = patch_map(a)};
	return &n->pairs[n->count++].value;
}

static bool of_items(const struct node *n)
{
	return n->kind == NODE_LIST && n->count && node_text(n->items[0], "id");
}

static void put(struct arena *a, struct node *in, const char *step, const struct node *value)
{
	if (bind_empty(value)) {
		take_away(in, step);
		return;
	}
	struct node **at = slot(in, step);
	if (!at)
		at = append(a, in, step);
	*at = patch_merge(a, *at, value);
}

struct node *patch_merge(struct arena *a, struct node *under, const struct node *over)
{
	bool items = under->kind == NODE_LIST && of_items(over) && (of_items(under) || !under->count);
	if (under->kind == NODE_MAP && over->kind == NODE_MAP)
		for (size_t i = 0; i < over->count; i++)
			put(a, under, over->pairs[i].key, over->pairs[i].value);
	else if (items)
		for (size_t i = 0; i < over->count; i++)
			put(a, under, node_text(over->items[i], "id"), over->items[i]);
	else
		return patch_copy(a, over);
	return under;
}

/* The step at the start of `path`, and the rest of it; NULL after the last one. */
static const char *first_step(struct arena *a, const char *path, const char **rest)
{
	size_t n = strcspn(path, ".");
	*rest = path[n] ? path + n + 1 : NULL;
	return arena_copy(a, path, n);
}

const struct node *patch_get(const struct node *root, const char *path)
{
	char step[128];
	while (path && root) {
		size_t n = strcspn(path, ".");
		if (n >= sizeof step)
			return NULL;
		memcpy(step, path, n);
		step[n] = '\0';
		struct node **at = slot(root, step);
		root = at ? *at : NULL;
		path = path[n] ? path + n + 1 : NULL;
	}
	return root;
}

void patch_set(struct arena *a, struct node *root, const char *path, const struct node *value)
{
	const char *rest, *step = first_step(a, path, &rest);
	while (rest) {
		struct node **at = slot(root, step);
		if (!at)
			at = append(a, root, step);
		root = *at;
		step = first_step(a, rest, &rest);
	}
	put(a, root, step, value);
}

/* ---- as text ------------------------------------------------------------------------------------- */

static void write_scalar(struct buf *b, const struct node *n)
{
	if (n->plain) {
		buf_put(b, n->text);
		return;
	}
	buf_char(b, '"');
	for (const char *s = n->text; *s; s++) {
		if (*s == '"' || *s == '\\')
			buf_char(b, '\\');
		if (*s == '\n')
			buf_put(b, "\\n");
		else
			buf_char(b, *s);
	}
	buf_char(b, '"');
}

static void write_node(struct buf *b, const struct node *n, int depth)
{
	if (n->kind == NODE_SCALAR) {
		buf_char(b, ' ');
		write_scalar(b, n);
		buf_char(b, '\n');
		return;
	}
	if (!n->count) {
		buf_put(b, n->kind == NODE_MAP ? " {}\n" : " []\n");
		return;
	}
	if (depth)
		buf_char(b, '\n');
	for (size_t i = 0; i < n->count; i++) {
		for (int k = 0; k < depth; k++)
			buf_char(b, ' ');
		if (n->kind == NODE_MAP) {
			buf_put(b, n->pairs[i].key);
			buf_char(b, ':');
			write_node(b, n->pairs[i].value, depth + 1);
		} else {
			buf_char(b, '-');
			write_node(b, n->items[i], depth + 1);
		}
	}
}

const char *patch_text(struct arena *a, const struct node *root)
{
	struct buf b;
	buf_init(&b, a);
	write_node(&b, root, 0);
	return b.bytes;
}
