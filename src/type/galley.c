#include "type/galley.h"

#include <math.h>
#include <string.h>

struct tag *tag_new(struct galley *g, struct tag *parent, enum tag_kind kind)
{
	struct tag *t = arena_alloc(g->arena, sizeof *t);
	t->kind = kind;
	t->number = g->tag_count++;
	t->across = 1;
	t->parent = parent;
	if (!parent)
		return t;
	if (parent->last)
		parent->last->next = t;
	else
		parent->first = t;
	parent->last = t;
	return t;
}

struct strip *strip_add(struct galley *g, double above, double height)
{
	if (g->count == g->room) {
		size_t room = g->room ? g->room * 2 : 256;
		g->strips = arena_grow(g->arena, g->strips, g->count, room, sizeof *g->strips);
		g->room = room;
	}
	struct strip *s = arena_alloc(g->arena, sizeof *s);
	s->height = height;
	s->above = fmax(above, g->pending);
	s->baseline = height;
	s->new_page = g->new_page;
	s->box = g->box;
	s->anchors = g->anchors;
	g->pending = 0;
	g->new_page = false;
	g->anchors = NULL;
	g->strips[g->count++] = s;
	return s;
}

struct op *strip_op(struct galley *g, struct strip *s, enum op_kind kind, struct tag *tag, double x,
	double y)
{
	struct op *op = arena_alloc(g->arena, sizeof *op);
	op->kind = kind;
	op->tag = tag;
	op->x = x;
	op->y = y;
	if (s->last)
		s->last->next = op;
	else
		s->first = op;
	s->last = op;
	return op;
}

void strip_rule(struct galley *g, struct strip *s, double x, double y, double width, double grey)
{
	struct op *op = strip_op(g, s, OP_RULE, NULL, x, y);
	op->width = width;
	op->stroke = HAIRLINE;
	op->grey = grey;
}

void strip_line(struct galley *g, struct strip *s, const struct line *line, double x, double y,
	struct tag *tag)
{
	const struct text_span *linked = NULL;
	struct tag *link_tag = NULL;
	for (const struct run *r = line->runs; r; r = r->next) {
		struct tag *under = tag;
		if (r->span->target && r->width > 0) {
			if (r->span != linked)
				link_tag = tag_new(g, tag, TAG_LINK);
			linked = r->span;
			under = link_tag;
			struct link *link = arena_alloc(g->arena, sizeof *link);
			*link = (struct link){ x + r->x, y - 0.25 * r->span->size, r->width,
				1.1 * r->span->size, r->span->target, link_tag, s->links };
			s->links = link;
		}
		struct op *op = strip_op(g, s, OP_TEXT, under, x + r->x, y);
		op->glyphs = r->glyphs;
		op->count = r->count;
		op->face = r->face;
		op->size = r->span->size * face_scale(r->face);
		op->grey = r->span->grey;
		op->width = r->width;
	}
}

void strip_words(struct galley *g, struct strip *s, const char *words, const struct text_style *style,
	double x, double y, struct tag *tag)
{
	struct text t = text_prepare_plain(&g->setter, words, style);
	struct lines lines = text_break(g->arena, &t, HUGE_VAL);
	strip_line(g, s, lines.first, x, y, tag);
}

void strip_words_before(struct galley *g, struct strip *s, const char *words,
	const struct text_style *style, double x, struct tag *tag)
{
	struct op *rest = s->first, *end = s->last;
	if (!*words)
		return;
	words = arena_format(g->arena, "%s ", words); /* or number and word would read as one */
	s->first = s->last = NULL;
	strip_words(g, s, words, style, x, -fmin(s->baseline, s->height), tag);
	if (!s->last) {
		s->first = rest;
		s->last = end;
	} else if (rest) {
		s->last->next = rest;
		s->last = end;
	}
}

static double last_width(const struct lines *lines)
{
	double width = 0;
	for (const struct line *line = lines->first; line; line = line->next)
		width = line->width;
	return width;
}

/* A short word alone on the last line gets company when slightly shorter lines cost no further line. */
static struct lines paragraph_break(struct arena *a, const struct text *t, double width)
{
	struct lines lines = text_break(a, t, width);
	double last = last_width(&lines);
	if (lines.count < 2 || last > 0.1 * width)
		return lines;
	struct lines tighter = text_break(a, t, 0.93 * width);
	return tighter.count == lines.count && last_width(&tighter) > last ? tighter : lines;
}

struct strip *galley_text(struct galley *g, const struct column_box *c, const struct text *t,
	double above, double leading, struct tag *tag)
{
	struct lines lines = paragraph_break(g->arena, t, c->width);
	struct strip *first = NULL;
	size_t i = 0;
	for (const struct line *line = lines.first; line; line = line->next, i++) {
		struct strip *s = strip_add(g, i == 0 ? above : 0, leading);
		s->baseline = 0.75 * leading;
		s->keep = i + 1 < lines.count && (i == 0 || i + 2 == lines.count);
		strip_line(g, s, line, c->x, -s->baseline, tag);
		if (!first)
			first = s;
	}
	return first;
}

static void anchor_next(struct galley *g, const char *label)
{
	if (!label)
		return;
	struct strip_anchor *anchor = arena_alloc(g->arena, sizeof *anchor);
	anchor->label = label;
	anchor->next = g->anchors;
	g->anchors = anchor;
}

/* Type of the headings; level 0 is the title of the document. */
static const struct heading_form {
	double size, leading, above, below;
	unsigned marks;
	enum tag_kind tag;
} heading_forms[] = {
	{ 26, 30, 0, 8, 0, TAG_TITLE },
	{ 17, 21, 30, 9, SPAN_BOLD, TAG_HEADING_1 },
	{ 12.5, 16, 20, 5, SPAN_BOLD, TAG_HEADING_2 },
	{ TEXT_SIZE, TEXT_LEADING, 12, 3, SPAN_BOLD, TAG_HEADING_3 },
};

static void heading_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	int level = n->level < 0 ? 0 : n->level > 3 ? 3 : n->level;
	const struct heading_form *form = &heading_forms[level];
	struct text_style style = { form->size, form->size * 0.8, form->marks, 0 };
	const struct contents_entry *e = &g->contents[g->heading_next++];
	struct tag *tag = tag_new(g, c->tag, form->tag);
	struct column_box inner = *c;
	struct text number = text_prepare_plain(&g->setter, e->number, &style);
	double indent = *e->number ? number.wanted + 0.9 * form->size : 0;
	inner.x += indent;
	inner.width -= indent;
	anchor_next(g, e->label);
	struct text t = text_prepare(&g->setter, &n->spans, &style);
	size_t from = g->count;
	struct strip *s = galley_text(g, &inner, &t, form->above, form->leading, tag);
	strip_words_before(g, s, e->number, &style, c->x, tag);
	s->heading = n;
	s->title = *e->number ? arena_format(g->arena, "%s  %s", e->number, e->title) : e->title;
	for (size_t i = from; i < g->count; i++)
		g->strips[i]->keep = true;
	g->pending = form->below;
}

static void paragraph_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	struct text_style style = { n->small ? SMALL_SIZE : TEXT_SIZE, SMALL_SIZE, 0, 0 };
	struct text t = text_prepare(&g->setter, &n->spans, &style);
	galley_text(g, c, &t, 0, n->small ? SMALL_LEADING : TEXT_LEADING,
		tag_new(g, c->tag, TAG_PARAGRAPH));
	g->pending = 6;
}

static void item_set(struct galley *g, const struct column_box *c, const struct doc_node *item,
	const char *mark, double indent, struct tag *list)
{
	struct text_style style = { TEXT_SIZE, SMALL_SIZE, 0, 0 };
	struct tag *tag = tag_new(g, list, TAG_ITEM);
	struct tag *label = tag_new(g, tag, TAG_LABEL);
	struct column_box inner = { c->x + indent, c->width - indent, tag_new(g, tag, TAG_BODY),
		c->list_depth + 1 };
	size_t from = g->count;
	anchor_next(g, item->label);
	if (item->spans.first) {
		struct text t = text_prepare(&g->setter, &item->spans, &style);
		galley_text(g, &inner, &t, 0, TEXT_LEADING, inner.tag);
		g->pending = 3;
	}
	galley_nodes(g, &inner, item->first);
	if (g->count == from)
		strip_add(g, 0, TEXT_LEADING)->baseline = 0.75 * TEXT_LEADING;
	struct strip *s = g->strips[from];
	strip_words_before(g, s, mark, &style, c->x, label);
	if (g->pending > 3)
		g->pending = 3;
}

static void list_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	struct tag *list = tag_new(g, c->tag, TAG_LIST);
	if (c->list_depth)
		g->pending = fmin(g->pending, 3);
	struct text_style style = { TEXT_SIZE, SMALL_SIZE, 0, 0 };
	size_t count = 0, number = 0;
	for (const struct doc_node *item = n->first; item; item = item->next)
		count++;
	struct text widest = text_prepare_plain(&g->setter, arena_format(g->arena, "%zu.", count), &style);
	double indent = n->numbered ? fmax(16, widest.wanted + 5) : 12;
	if (c->width - indent < 60)
		indent = 0;
	for (const struct doc_node *item = n->first; item; item = item->next) {
		number++;
		const char *mark = n->numbered ? arena_format(g->arena, "%zu.", number) : "\xE2\x80\x93";
		item_set(g, c, item, mark, indent, list);
	}
	g->pending = c->list_depth ? 3 : 6;
}

static void box_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	enum { PADDING = 9 };
	size_t from = g->count;
	struct box *box = arena_alloc(g->arena, sizeof *box);
	*box = (struct box){ c->x, c->width, g->box, -1 };
	g->box = box;
	struct column_box inner = { c->x + PADDING, c->width - 2 * PADDING, tag_new(g, c->tag, TAG_BOX),
		c->list_depth };
	strip_add(g, 6, PADDING)->keep = true;
	galley_nodes(g, &inner, n->first);
	g->strips[g->count - 1]->keep = true;
	g->pending = 0;
	strip_add(g, 0, PADDING);
	g->box = box->outer;
	/* A caution is read as one: the pages keep it whole unless it is higher than a page. */
	for (size_t i = from; i + 1 < g->count; i++)
		g->strips[i]->keep = true;
	g->pending = 10;
}

/* One line of a literal, wrapped at the margin; what is carried over begins with a mark. */
static void literal_line(struct galley *g, const struct column_box *c, const char *words,
	const struct text_style *style, double leading, struct tag *tag)
{
	struct text t = text_prepare_plain(&g->setter, words, style);
	struct text_style mark = { style->size, style->size, 0, GREY_TEXT };
	double indent = 2 * style->size;
	for (size_t i = 0; i < t.count; i++)
		t.glyphs[i].breaks = BREAK_NONE;
	struct lines lines = text_break(g->arena, &t, c->width - indent);
	if (t.wanted <= c->width)
		lines = text_break(g->arena, &t, c->width);
	for (const struct line *line = lines.first; line; line = line->next) {
		struct strip *s = strip_add(g, 0, leading);
		bool carried = line != lines.first;
		s->baseline = 0.75 * leading;
		if (carried)
			strip_words(g, s, "\xE2\x86\xB3", &mark, c->x, -s->baseline, NULL);
		strip_line(g, s, line, c->x + (carried ? indent : 0), -s->baseline, tag);
	}
}

static char *tabs_expand(struct arena *a, const char *line, size_t length)
{
	struct buf b;
	buf_init(&b, a);
	size_t column = 0;
	for (size_t i = 0; i < length; i++) {
		if (line[i] == '\t')
			do
				buf_char(&b, ' ');
			while (++column % 8);
		else {
			buf_char(&b, line[i]);
			column += ((unsigned char)line[i] & 0xC0) != 0x80;
		}
	}
	return b.bytes;
}

static void literal_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	double size = n->small ? SMALL_SIZE : TABLE_SIZE;
	double leading = n->small ? SMALL_LEADING - 0.5 : TABLE_LEADING;
	struct text_style style = { size, size, SPAN_MONO, 0 };
	struct tag *tag = tag_new(g, c->tag, TAG_CODE);
	g->pending = fmax(g->pending, 4);
	const char *at = n->literal ? n->literal : "";
	do {
		size_t length = strcspn(at, "\n");
		literal_line(g, c, tabs_expand(g->arena, at, length), &style, leading, tag);
		at += length + (at[length] == '\n');
	} while (*at);
	g->pending = 8;
}

static void sign_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	struct text_style style = { SMALL_SIZE, SMALL_SIZE, 0, GREY_TEXT };
	double width = fmin(c->width, (n->width > 0 ? n->width : 80) * LAYOUT_MM);
	struct column_box inner = { c->x, width, c->tag, 0 };
	struct strip *s = strip_add(g, 0, fmax(n->space > 0 ? n->space : 14, 4) * LAYOUT_MM);
	s->keep = true;
	strip_rule(g, s, c->x, -s->height, width, 0);
	struct text t = text_prepare(&g->setter, &n->spans, &style);
	size_t from = g->count;
	g->pending = 2;
	galley_text(g, &inner, &t, 2, SMALL_LEADING, tag_new(g, c->tag, TAG_PARAGRAPH));
	for (size_t i = from; i + 1 < g->count; i++)
		g->strips[i]->keep = true;
	g->pending = 6;
}

static void node_set(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	struct strip *s;
	if (n->kind != DOC_HEADING && n->kind != DOC_ITEM)
		anchor_next(g, n->label);
	switch (n->kind) {
	case DOC_HEADING:
		heading_set(g, c, n);
		break;
	case DOC_PARAGRAPH:
		paragraph_set(g, c, n);
		break;
	case DOC_LIST:
		list_set(g, c, n);
		break;
	case DOC_ITEM:
		galley_nodes(g, c, n->first);
		break;
	case DOC_TABLE:
		galley_table(g, c, n);
		break;
	case DOC_FIGURE:
		galley_figure(g, c, n);
		break;
	case DOC_PICTURE:
		galley_picture(g, c, n);
		break;
	case DOC_BOX:
		box_set(g, c, n);
		break;
	case DOC_LITERAL:
		literal_set(g, c, n);
		break;
	case DOC_CONTENTS:
		galley_contents(g, c);
		break;
	case DOC_PAGE_BREAK:
		g->new_page = g->count > 0;
		break;
	case DOC_SPACE:
		s = strip_add(g, 0, fmin(fmax(n->space, 0) * LAYOUT_MM, TEXT_HEIGHT));
		s->glue = true;
		break;
	case DOC_RULE:
		s = strip_add(g, 6, HAIRLINE);
		strip_rule(g, s, c->x, 0, c->width, 0);
		g->pending = 8;
		break;
	case DOC_SIGN:
		sign_set(g, c, n);
		break;
	}
}

void galley_nodes(struct galley *g, const struct column_box *c, const struct doc_node *first)
{
	for (const struct doc_node *n = first; n; n = n->next) {
		size_t from = g->count;
		node_set(g, c, n);
		/* A line to sign on never stands on a page without what is signed. */
		bool signs = n->next && n->next->kind == DOC_SIGN && n->kind != DOC_PAGE_BREAK;
		if ((n->keep_with_next || signs) && g->count > from)
			g->strips[g->count - 1]->keep = true;
	}
}
