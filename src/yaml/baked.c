#include "yaml/baked.h"

#include <assert.h>
#include <string.h>

/* The parts of the bytes, and the room for all of each kind that is not used yet. */
struct parts {
	const char *nodes, *texts, *file;
	struct node *node;
	struct node_pair *pair;
	struct node **item;
};

static struct baked_node baked_at(const struct parts *p, size_t number)
{
	struct baked_node b;
	memcpy(&b, p->nodes + number * sizeof b, sizeof b);
	return b;
}

static void fill_map(struct parts *p, struct node *n, size_t first)
{
	n->pairs = p->pair;
	p->pair += n->count;
	for (size_t i = 0; i < n->count; i++) {
		struct baked_node b = baked_at(p, first + i);
		n->pairs[i].key = p->texts + b.key;
		n->pairs[i].key_at = (struct place){p->file, (int)b.key_line, (int)b.key_column};
		n->pairs[i].value = p->node + first + i;
	}
}

static void fill_list(struct parts *p, struct node *n, size_t first)
{
	n->items = p->item;
	p->item += n->count;
	for (size_t i = 0; i < n->count; i++)
		n->items[i] = p->node + first + i;
}

static void fill_node(struct parts *p, size_t number)
{
	struct baked_node b = baked_at(p, number);
	struct node *n = p->node + number;
	n->kind = (enum node_kind)b.kind;
	n->at = (struct place){p->file, (int)b.line, (int)b.column};
	n->from = b.from;
	n->to = b.to;
	n->text = n->kind == NODE_SCALAR ? p->texts + b.first : "";
	n->plain = b.plain;
	n->count = b.count;
	if (n->count && n->kind == NODE_MAP)
		fill_map(p, n, b.first);
	else if (n->count)
		fill_list(p, n, b.first);
}

const struct node *baked_read(struct arena *a, const void *bytes)
{
	struct baked_head head;
	memcpy(&head, bytes, sizeof head);
	assert(head.form == BAKED_FORM);
	struct parts p = {.nodes = (const char *)bytes + sizeof head};
	p.texts = p.nodes + head.nodes * sizeof(struct baked_node);
	p.file = p.texts + head.file;
	p.node = arena_array(a, head.nodes, sizeof *p.node);
	p.pair = arena_array(a, head.pairs, sizeof *p.pair);
	p.item = arena_array(a, head.items, sizeof *p.item);
	for (size_t i = 0; i < head.nodes; i++)
		fill_node(&p, i);
	return p.node;
}
