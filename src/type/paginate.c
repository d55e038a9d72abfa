#include "type/galley.h"

#include <stdlib.h>
#include <string.h>

struct paginator {
	struct galley *g;
	struct pages *out;
	size_t page_room, anchor_room, bookmark_room;
};

static struct page *page_add(struct paginator *p)
{
	struct pages *out = p->out;
	if (out->count == p->page_room) {
		p->page_room = p->page_room ? p->page_room * 2 : 32;
		out->pages = arena_grow(p->g->arena, out->pages, out->count, p->page_room, sizeof *out->pages);
	}
	return &out->pages[out->count++];
}

static void op_append(struct page *page, struct op *op)
{
	op->next = NULL;
	if (page->last)
		page->last->next = op;
	else
		page->first = op;
	page->last = op;
}

/* Copies operations onto the page, moved up by `y`; a repeated head is an artifact. */
static void ops_place(struct paginator *p, struct page *page, const struct op *ops, double y, bool artifact)
{
	for (; ops; ops = ops->next) {
		struct op *op = arena_alloc(p->g->arena, sizeof *op);
		*op = *ops;
		op->y += y;
		if (artifact)
			op->tag = NULL;
		op_append(page, op);
	}
}

/* Moves the operations of a strip onto the page. */
static void strip_place(struct paginator *p, struct page *page, struct strip *s, double y)
{
	if (s->shared) {
		ops_place(p, page, s->first, y, false);
		return;
	}
	for (struct op *op = s->first, *next; op; op = next) {
		next = op->next;
		op->y += y;
		op_append(page, op);
	}
	s->first = s->last = NULL;
}

static double head_room(const struct galley *g, const struct strip *s)
{
	if (!s->head)
		return 0;
	bool words = g->document->continued && *g->document->continued;
	return s->head->height + (words ? SMALL_LEADING : 0) + s->head_gap;
}

/* The strips [from, return value) fill one page. */
static size_t page_end(const struct galley *g, size_t from)
{
	double used = head_room(g, g->strips[from]);
	size_t i = from;
	for (; i < g->count; i++) {
		const struct strip *s = g->strips[i];
		if (i > from && s->new_page)
			return i;
		double height = (i > from ? s->above : 0) + s->height;
		if (i > from && used + height > TEXT_HEIGHT + 1e-6)
			break;
		used += height;
	}
	if (i == g->count)
		return i;
	size_t end = i;
	while (end > from && g->strips[end - 1]->keep)
		end--;
	return end > from ? end : i; /* nothing but strips that belong together: cut where the page ends */
}

static void boxes_close(struct paginator *p, struct page *page, struct box *box, const struct box *until,
	double bottom)
{
	for (; box && box != until; box = box->outer) {
		struct op *op = arena_alloc(p->g->arena, sizeof *op);
		*op = (struct op){ .kind = OP_FRAME, .x = box->x, .y = bottom, .width = box->width,
			.height = box->top - bottom, .stroke = HAIRLINE };
		op_append(page, op);
		box->top = -1;
	}
}

static bool box_within(const struct box *box, const struct box *outer)
{
	for (; box; box = box->outer)
		if (box == outer)
			return true;
	return outer == NULL;
}

static void anchors_place(struct paginator *p, const struct strip *s, double y)
{
	struct pages *out = p->out;
	struct arena *a = p->g->arena;
	for (const struct strip_anchor *n = s->anchors; n; n = n->next) {
		if (out->anchor_count == p->anchor_room) {
			p->anchor_room = p->anchor_room ? p->anchor_room * 2 : 64;
			out->anchors = arena_grow(a, out->anchors, out->anchor_count, p->anchor_room,
				sizeof *out->anchors);
		}
		out->anchors[out->anchor_count++] = (struct anchor){ n->label, out->count - 1, y };
	}
	if (!s->heading || s->heading->level < 1)
		return;
	if (out->bookmark_count == p->bookmark_room) {
		p->bookmark_room = p->bookmark_room ? p->bookmark_room * 2 : 64;
		out->bookmarks = arena_grow(a, out->bookmarks, out->bookmark_count, p->bookmark_room,
			sizeof *out->bookmarks);
	}
	int level = s->heading->level > 3 ? 3 : s->heading->level;
	out->bookmarks[out->bookmark_count++] = (struct bookmark){ level, s->title, out->count - 1, y };
}

static void links_place(struct paginator *p, struct page *page, const struct strip *s, double y)
{
	for (const struct link *l = s->links; l; l = l->next) {
		struct link *link = arena_alloc(p->g->arena, sizeof *link);
		*link = *l;
		link->y += y;
		link->next = page->links;
		page->links = link;
	}
}

static void page_fill(struct paginator *p, size_t from, size_t to)
{
	struct galley *g = p->g;
	struct page *page = page_add(p);
	struct box *box = NULL;
	double y = TEXT_TOP;
	if (g->strips[from]->head) {
		double room = head_room(g, g->strips[from]);
		double head = g->strips[from]->head->height + g->strips[from]->head_gap;
		ops_place(p, page, g->strips[from]->head->ops, y - (room - head), true);
		y -= room;
	}
	for (size_t i = from; i < to; i++) {
		struct strip *s = g->strips[i];
		if (s->box != box) {
			struct box *common = box;
			while (common && !box_within(s->box, common))
				common = common->outer;
			boxes_close(p, page, box, common, y);
			y -= i > from ? s->above : 0;
			for (struct box *b = s->box; b && b != common; b = b->outer)
				b->top = y;
			box = s->box;
		} else
			y -= i > from ? s->above : 0;
		strip_place(p, page, s, y);
		links_place(p, page, s, y);
		anchors_place(p, s, y);
		y -= s->height;
	}
	boxes_close(p, page, box, NULL, y);
}

static int anchor_compare(const void *a, const void *b)
{
	const struct anchor *x = a, *y = b;
	int order = strcmp(x->label, y->label);
	if (order)
		return order;
	if (x->page != y->page)
		return x->page < y->page ? -1 : 1;
	return x->y > y->y ? -1 : x->y < y->y;
}

static void anchors_sort(struct pages *out)
{
	size_t kept = 0;
	if (out->anchor_count == 0)
		return;
	qsort(out->anchors, out->anchor_count, sizeof *out->anchors, anchor_compare);
	for (size_t i = 0; i < out->anchor_count; i++)
		if (kept == 0 || strcmp(out->anchors[kept - 1].label, out->anchors[i].label) != 0)
			out->anchors[kept++] = out->anchors[i];
	out->anchor_count = kept;
}

/* Head and foot. A running head would only repeat the title on the first page. */

static const double HEAD_BASE = PAGE_HEIGHT - 15 * LAYOUT_MM, FOOT_BASE = 12 * LAYOUT_MM;

static const char *words_fill(struct arena *a, const char *words, size_t page, size_t count)
{
	struct buf b;
	buf_init(&b, a);
	for (; *words; words++) {
		if (words[0] == '%' && (words[1] == '1' || words[1] == '2'))
			buf_format(&b, "%zu", *++words == '1' ? page : count);
		else
			buf_char(&b, *words);
	}
	return b.bytes;
}

/* One line, cut where it would leave `width`. */
static double margin_words(struct galley *g, struct strip *s, const char *words, unsigned marks, double y,
	double width, bool right)
{
	struct text_style style = { SMALL_SIZE, SMALL_SIZE, marks, marks ? 0 : GREY_TEXT };
	if (!words || !*words)
		return 0;
	struct text t = text_prepare_plain(&g->setter, words, &style);
	struct line *line = text_break(g->arena, &t, width).first;
	strip_line(g, s, line, right ? TEXT_LEFT + TEXT_WIDTH - line->width : TEXT_LEFT, y, NULL);
	return line->width;
}

static void margins_set(struct paginator *p)
{
	struct galley *g = p->g;
	const struct document *d = g->document;
	bool heads = (d->head_left && *d->head_left) || (d->head_right && *d->head_right);
	for (size_t i = 0; i < p->out->count; i++) {
		struct strip s = { 0 };
		if (i > 0 && heads) {
			double taken = margin_words(g, &s, d->head_right, 0, HEAD_BASE, TEXT_WIDTH / 2, true);
			margin_words(g, &s, d->head_left, 0, HEAD_BASE, TEXT_WIDTH - taken - 20, false);
			strip_rule(g, &s, TEXT_LEFT, HEAD_BASE - 5, TEXT_WIDTH, GREY_LINE);
		}
		const char *page = words_fill(g->arena, d->page_of ? d->page_of : "%1 / %2", i + 1, p->out->count);
		double taken = margin_words(g, &s, page, 0, FOOT_BASE, TEXT_WIDTH / 2, true);
		margin_words(g, &s, d->foot, 0, FOOT_BASE, TEXT_WIDTH - taken - 20, false);
		margin_words(g, &s, d->draft, SPAN_BOLD, FOOT_BASE + SMALL_LEADING + 5, TEXT_WIDTH, false);
		strip_rule(g, &s, TEXT_LEFT, FOOT_BASE + SMALL_LEADING, TEXT_WIDTH, GREY_LINE);
		strip_place(p, &p->out->pages[i], &s, 0);
	}
}

void galley_paginate(struct galley *g, struct pages *out)
{
	struct paginator p = { .g = g, .out = out };
	for (size_t at = 0; at < g->count;) {
		const struct strip *s = g->strips[at];
		if (s->glue && at > 0 && !s->new_page) {
			at++;
			continue;
		}
		size_t end = page_end(g, at);
		page_fill(&p, at, end);
		at = end;
	}
	if (out->count == 0)
		page_add(&p);
	anchors_sort(out);
	margins_set(&p);
}
