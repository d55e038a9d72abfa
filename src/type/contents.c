/* Numbers of headings and the table of contents. */
#include "type/galley.h"

#include <math.h>

static size_t headings_count(const struct doc_node *n)
{
	size_t count = 0;
	for (; n; n = n->next)
		count += (n->kind == DOC_HEADING) + headings_count(n->first);
	return count;
}

static const char *spans_plain(struct arena *a, const struct spans *spans)
{
	struct buf b;
	buf_init(&b, a);
	for (const struct span *s = spans->first; s; s = s->next)
		for (const char *p = s->text; *p; p++)
			buf_char(&b, *p == '\n' || *p == '\t' ? ' ' : *p);
	return b.bytes;
}

static const char *number_text(struct arena *a, const int counters[4], int level)
{
	if (level == 1)
		return arena_format(a, "%d", counters[1]);
	if (level == 2)
		return arena_format(a, "%d.%d", counters[1], counters[2]);
	return arena_format(a, "%d.%d.%d", counters[1], counters[2], counters[3]);
}

static void headings_walk(struct galley *g, const struct doc_node *n, int counters[4])
{
	struct arena *a = g->arena;
	for (; n; n = n->next) {
		headings_walk(g, n->first, counters);
		if (n->kind != DOC_HEADING)
			continue;
		struct contents_entry *e = &g->contents[g->contents_count];
		int level = n->level > 3 ? 3 : n->level;
		e->node = n;
		e->skip = n->next && n->next->kind == DOC_CONTENTS;
		e->title = spans_plain(a, &n->spans);
		e->label = n->label ? n->label : arena_format(a, "\x01heading %zu", g->contents_count);
		e->number = "";
		g->contents_count++;
		if (!n->numbered || level < 1)
			continue;
		counters[level]++;
		for (int deeper = level + 1; deeper <= 3; deeper++)
			counters[deeper] = 0;
		e->number = number_text(a, counters, level);
	}
}

void headings_collect(struct galley *g)
{
	int counters[4] = { 0 };
	size_t count = headings_count(g->document->first);
	g->contents = arena_array(g->arena, count, sizeof *g->contents);
	headings_walk(g, g->document->first, counters);
}

static void leader_set(struct galley *g, struct strip *s, double from, double to, double y)
{
	double step = 4; /* dots on one grid for all lines */
	double start = ceil(from / step) * step;
	if (to - start < 2 * step)
		return;
	struct op *op = strip_op(g, s, OP_RULE, NULL, start, y);
	op->width = floor((to - start) / step) * step;
	op->stroke = 0.6;
	op->dash = 0.6;
	op->gap = step - 0.6;
	op->grey = 0.5;
}

static void entry_set(struct galley *g, const struct column_box *c, const struct contents_entry *e,
	struct tag *list, bool whole)
{
	const double number_width[] = { 0, 20, 28 };
	int level = e->node->level;
	struct text_style style = { TEXT_SIZE, SMALL_SIZE, level == 1 && whole ? SPAN_BOLD : 0, 0 };
	const char *page = g->setter.page_of(g->setter.pages, e->label);
	struct tag *item = tag_new(g, list, TAG_CONTENTS_ITEM);
	double indent = level == 2 ? 20 : 0, number = *e->number ? number_width[level] : 0;
	struct column_box inner = { c->x + indent + number, c->width - indent - number - 36, item, 0 };
	struct text title = text_prepare_plain(&g->setter, e->title, &style);
	size_t from = g->count;
	struct strip *s = galley_text(g, &inner, &title, level == 1 && whole ? 7 : 0, TEXT_LEADING + 1,
		item);
	strip_words_before(g, s, e->number, &style, c->x + indent, item);
	for (size_t i = from; i < g->count; i++) {
		struct link *link = arena_alloc(g->arena, sizeof *link);
		*link = (struct link){ c->x + indent, -g->strips[i]->height, c->width - indent,
			g->strips[i]->height, e->label, NULL, g->strips[i]->links };
		g->strips[i]->links = link;
	}
	struct strip *last = g->strips[g->count - 1];
	struct text digits = text_prepare_plain(&g->setter, page ? page : "\xE2\x80\x93", &style);
	double right = c->x + c->width, end = c->x;
	for (const struct op *op = last->first; op; op = op->next)
		end = fmax(end, op->x + op->width);
	leader_set(g, last, end + 5, right - digits.wanted - 5, -last->baseline);
	strip_line(g, last, text_break(g->arena, &digits, HUGE_VAL).first, right - digits.wanted,
		-last->baseline, item);
}

void galley_contents(struct galley *g, const struct column_box *c)
{
	struct tag *list = tag_new(g, c->tag, TAG_CONTENTS);
	bool deep = false;
	for (size_t i = 0; i < g->contents_count; i++)
		deep = deep || g->contents[i].node->level == 2;
	int before = 0;
	for (size_t i = 0; i < g->contents_count; i++) {
		int level = g->contents[i].node->level;
		if (level < 1 || level > 2 || g->contents[i].skip)
			continue;
		if (before == 1 && level == 2) /* a chapter's line is not left alone at the foot */
			g->strips[g->count - 1]->keep = true;
		entry_set(g, c, &g->contents[i], list, deep);
		before = level;
	}
	g->pending = 8;
}
