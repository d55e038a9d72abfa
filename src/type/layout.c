#include "type/layout.h"

#include <stdlib.h>
#include <string.h>

#include "type/galley.h"

enum { MOST_ROUNDS = 6 };

static int label_compare(const void *key, const void *item)
{
	const struct anchor *anchor = item;
	return strcmp(key, anchor->label);
}

const struct anchor *anchor_find(const struct pages *pages, const char *label)
{
	if (!pages || !label || pages->anchor_count == 0)
		return NULL;
	return bsearch(label, pages->anchors, pages->anchor_count, sizeof *pages->anchors, label_compare);
}

struct round {
	struct arena *arena;
	const struct pages *before; /* the pages of the round before, NULL in the first */
};

static const char *page_of(const void *context, const char *label)
{
	const struct round *round = context;
	const struct anchor *anchor = anchor_find(round->before, label);
	return anchor ? arena_format(round->arena, "%zu", anchor->page + 1) : NULL;
}

static bool pages_agree(const struct pages *a, const struct pages *b)
{
	if (!a || a->count != b->count || a->anchor_count != b->anchor_count)
		return false;
	for (size_t i = 0; i < a->anchor_count; i++)
		if (a->anchors[i].page != b->anchors[i].page)
			return false;
	return true;
}

static struct pages *layout_round(struct arena *a, const struct document *d,
	const struct typeface_set *faces, const struct pages *before)
{
	struct round round = { a, before };
	struct galley g = { .arena = a, .document = d };
	g.setter = (struct setter){ .arena = a, .faces = faces, .page_of = page_of, .pages = &round };
	struct pages *out = arena_alloc(a, sizeof *out);
	out->width = PAGE_WIDTH;
	out->height = PAGE_HEIGHT;
	out->tags = tag_new(&g, NULL, TAG_DOCUMENT);
	struct column_box body = { TEXT_LEFT, TEXT_WIDTH, out->tags, 0 };
	headings_collect(&g);
	galley_nodes(&g, &body, d->first);
	galley_paginate(&g, out);
	out->tag_count = g.tag_count;
	out->missing = g.setter.missing;
	return out;
}

static bool numbers_needed(const struct doc_node *n)
{
	for (; n; n = n->next) {
		if (n->kind == DOC_CONTENTS || numbers_needed(n->first))
			return true;
		for (const struct span *s = n->spans.first; s; s = s->next)
			if (s->page_of_target)
				return true;
		for (const struct doc_row *r = n->first_row; r; r = r->next)
			for (size_t i = 0; i < n->column_count; i++)
				for (const struct span *s = r->cells[i].spans.first; s; s = s->next)
					if (s->page_of_target)
						return true;
	}
	return false;
}

static void round_release(void *subject)
{
	arena_release(subject);
}

/* What the next round has to know of this one. */
static struct pages *pages_outline(struct arena *a, const struct pages *p)
{
	struct pages *outline = arena_alloc(a, sizeof *outline);
	outline->count = p->count;
	outline->anchor_count = p->anchor_count;
	outline->anchors = arena_grow(a, p->anchors, p->anchor_count, p->anchor_count, sizeof *p->anchors);
	for (size_t i = 0; i < p->anchor_count; i++)
		outline->anchors[i].label = arena_string(a, p->anchors[i].label);
	return outline;
}

struct pages *layout_document(struct arena *a, const struct document *d, const struct typeface_set *faces)
{
	if (!numbers_needed(d->first))
		return layout_round(a, d, faces, NULL);
	/* Each round is set in memory of its own, which goes back before the next begins. */
	struct arena *room = arena_alloc(a, sizeof *room);
	arena_init(room, a->escape);
	arena_defer(a, round_release, room);
	struct pages *pages = layout_round(room, d, faces, NULL);
	/* The first round has no numbers at all, so at least one more is needed. */
	for (int i = 0;; i++) {
		struct pages *before = pages_outline(a, pages);
		arena_release(room);
		pages = layout_round(room, d, faces, before);
		if (i == MOST_ROUNDS || pages_agree(before, pages))
			return pages;
	}
}

static void op_dump(struct buf *b, const struct op *op)
{
	static const char *const names[] = { "text", "rule", "frame", "shape", "picture" };
	struct arena *a = b->arena;
	buf_format(b, "%s %s %s", names[op->kind], text_fixed(a, op->x, 2), text_fixed(a, op->y, 2));
	if (op->kind == OP_RULE || op->kind == OP_FRAME || op->kind == OP_PICTURE)
		buf_format(b, " %s %s", text_fixed(a, op->width, 2), text_fixed(a, op->height, 2));
	if (op->kind == OP_TEXT) {
		buf_format(b, " %d/%s ", (int)op->face, text_number(a, op->size, 2));
		for (size_t i = 0; i < op->count; i++)
			utf8_encode(b, op->glyphs[i].code);
	}
	if (op->kind == OP_SHAPE)
		buf_format(b, " %zu", op->draw->count);
	buf_char(b, '\n');
}

char *pages_dump(struct arena *a, const struct pages *p)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < p->count; i++) {
		buf_format(&b, "page %zu\n", i + 1);
		for (const struct op *op = p->pages[i].first; op; op = op->next)
			op_dump(&b, op);
	}
	return b.bytes;
}
