#include <stdlib.h>
#include <string.h>

#include "yaml/baked.h"

struct text {
	const char *text;
	uint32_t at; /* its offset among the texts */
};

struct writing {
	struct baked_head head;
	struct baked_node *nodes;
	uint32_t claimed; /* of the nodes: numbers given */
	struct text *texts; /* sorted, each once */
	size_t text_count;
	struct buf bytes; /* of the texts */
};

static const struct node *child(const struct node *n, size_t i)
{
	return n->kind == NODE_MAP ? n->pairs[i].value : n->items[i];
}

static void count_node(struct baked_head *h, const struct node *n)
{
	h->nodes++;
	if (n->kind == NODE_MAP)
		h->pairs += (uint32_t)n->count;
	else
		h->items += (uint32_t)n->count;
	for (size_t i = 0; i < n->count; i++)
		count_node(h, child(n, i));
}

static void collect_texts(struct writing *w, const struct node *n)
{
	if (n->kind == NODE_SCALAR)
		w->texts[w->text_count++].text = n->text;
	for (size_t i = 0; i < n->count; i++) {
		if (n->kind == NODE_MAP)
			w->texts[w->text_count++].text = n->pairs[i].key;
		collect_texts(w, child(n, i));
	}
}

static int compare_texts(const void *x, const void *y)
{
	return strcmp(((const struct text *)x)->text, ((const struct text *)y)->text);
}

static void lay_texts(struct writing *w)
{
	size_t kept = 0;
	qsort(w->texts, w->text_count, sizeof *w->texts, compare_texts);
	for (size_t i = 0; i < w->text_count; i++) {
		const char *text = w->texts[i].text;
		if (kept && text_equal(w->texts[kept - 1].text, text))
			continue;
		w->texts[kept++] = (struct text){text, (uint32_t)w->bytes.length};
		buf_add(&w->bytes, text, strlen(text) + 1);
	}
	w->text_count = kept;
}

static uint32_t text_at(const struct writing *w, const char *text)
{
	struct text wanted = {text, 0};
	const struct text *found =
		bsearch(&wanted, w->texts, w->text_count, sizeof *w->texts, compare_texts);
	return found->at;
}

/* All children of a node get their numbers before a child of theirs does. */
static void write_node(struct writing *w, struct baked_node *b, const struct node *n)
{
	b->kind = n->kind;
	b->plain = n->plain;
	b->line = (uint32_t)n->at.line;
	b->column = (uint32_t)n->at.column;
	b->from = (uint32_t)n->from;
	b->to = (uint32_t)n->to;
	b->first = n->kind == NODE_SCALAR ? text_at(w, n->text) : w->claimed;
	b->count = (uint32_t)n->count;
	struct baked_node *children = w->nodes + w->claimed;
	w->claimed += b->count;
	for (size_t i = 0; i < n->count; i++) {
		if (n->kind == NODE_MAP) {
			children[i].key = text_at(w, n->pairs[i].key);
			children[i].key_line = (uint32_t)n->pairs[i].key_at.line;
			children[i].key_column = (uint32_t)n->pairs[i].key_at.column;
		}
		write_node(w, &children[i], child(n, i));
	}
}

void baked_write(struct buf *out, const struct node *root)
{
	struct writing w = {.head = {.form = BAKED_FORM}, .claimed = 1};
	count_node(&w.head, root);
	w.nodes = arena_array(out->arena, w.head.nodes, sizeof *w.nodes);
	/* The name of the file, and of each node a text or a key or both. */
	w.texts = arena_array(out->arena, w.head.nodes * (size_t)2 + 1, sizeof *w.texts);
	w.texts[w.text_count++].text = root->at.file;
	collect_texts(&w, root);
	buf_init(&w.bytes, out->arena);
	lay_texts(&w);
	w.head.file = text_at(&w, root->at.file);
	write_node(&w, &w.nodes[0], root);
	buf_add(out, &w.head, sizeof w.head);
	buf_add(out, w.nodes, w.head.nodes * sizeof *w.nodes);
	buf_add(out, w.bytes.bytes, w.bytes.length);
}
