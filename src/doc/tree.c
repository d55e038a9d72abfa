#include "doc/tree.h"

#include <string.h>

#include "base/text.h"

struct document *document_new(struct arena *a)
{
	struct document *d = arena_alloc(a, sizeof *d);
	d->arena = a;
	d->title = d->subject = d->author = "";
	d->language = "en";
	return d;
}

static struct doc_node *node_new(struct arena *a, enum doc_kind kind)
{
	struct doc_node *n = arena_alloc(a, sizeof *n);
	n->kind = kind;
	return n;
}

struct doc_node *doc_add(struct document *d, enum doc_kind kind)
{
	struct doc_node *n = node_new(d->arena, kind);
	if (d->last)
		d->last->next = n;
	else
		d->first = n;
	d->last = n;
	return n;
}

struct doc_node *doc_add_to(struct document *d, struct doc_node *parent, enum doc_kind kind)
{
	if (!parent)
		return doc_add(d, kind);
	struct doc_node *n = node_new(d->arena, kind);
	if (parent->last)
		parent->last->next = n;
	else
		parent->first = n;
	parent->last = n;
	return n;
}

struct span *spans_add(struct arena *a, struct spans *s, const char *text, unsigned style)
{
	struct span *span = arena_alloc(a, sizeof *span);
	span->text = text ? text : "";
	span->style = style;
	if (s->last)
		s->last->next = span;
	else
		s->first = span;
	s->last = span;
	return span;
}

struct span *spans_link(struct arena *a, struct spans *s, const char *text, const char *target)
{
	struct span *span = spans_add(a, s, text, 0);
	span->target = target;
	return span;
}

struct span *spans_page(struct arena *a, struct spans *s, const char *target)
{
	struct span *span = spans_add(a, s, "", 0);
	span->target = target;
	span->page_of_target = true;
	return span;
}

struct doc_node *doc_heading(struct document *d, int level, const char *text, const char *label)
{
	struct doc_node *n = doc_add(d, DOC_HEADING);
	n->level = level;
	n->numbered = true;
	n->label = label;
	n->keep_with_next = true;
	spans_add(d->arena, &n->spans, text, 0);
	return n;
}

struct doc_node *doc_paragraph(struct document *d, const char *text)
{
	struct doc_node *n = doc_add(d, DOC_PARAGRAPH);
	spans_add(d->arena, &n->spans, text, 0);
	return n;
}

struct doc_node *doc_table(struct document *d, size_t count, const char *summary)
{
	struct doc_node *n = doc_add(d, DOC_TABLE);
	n->columns = arena_array(d->arena, count, sizeof *n->columns);
	n->column_count = count;
	n->summary = summary;
	return n;
}

struct doc_row *doc_row(struct document *d, struct doc_node *table)
{
	struct doc_row *row = arena_alloc(d->arena, sizeof *row);
	row->cells = arena_array(d->arena, table->column_count, sizeof *row->cells);
	for (size_t i = 0; i < table->column_count; i++)
		row->cells[i].across = 1;
	if (table->last_row)
		table->last_row->next = row;
	else
		table->first_row = row;
	table->last_row = row;
	return row;
}

struct span *doc_cell_text(struct document *d, struct doc_row *row, size_t i, const char *text)
{
	return spans_add(d->arena, &row->cells[i].spans, text, 0);
}

struct drawing *drawing_new(struct arena *a, double width, double height)
{
	struct drawing *d = arena_alloc(a, sizeof *d);
	d->width = width;
	d->height = height;
	return d;
}

static struct draw *draw_add(struct arena *a, struct drawing *d, enum draw_kind kind,
	const struct draw_point *points, size_t count)
{
	struct draw *w = arena_alloc(a, sizeof *w);
	w->kind = kind;
	w->points = arena_array(a, count, sizeof *w->points);
	if (count)
		memcpy(w->points, points, count * sizeof *points);
	w->count = count;
	w->fill = -1;
	if (d->last)
		d->last->next = w;
	else
		d->first = w;
	d->last = w;
	return w;
}

struct draw *drawing_line(struct arena *a, struct drawing *d, double x0, double y0, double x1, double y1,
	double stroke)
{
	struct draw_point ends[2] = { { x0, y0 }, { x1, y1 } };
	return drawing_polyline(a, d, ends, 2, stroke);
}

struct draw *drawing_polyline(struct arena *a, struct drawing *d, const struct draw_point *points,
	size_t count, double stroke)
{
	struct draw *w = draw_add(a, d, DRAW_LINE, points, count);
	w->stroke = stroke;
	return w;
}

struct draw *drawing_polygon(struct arena *a, struct drawing *d, const struct draw_point *points,
	size_t count, double stroke, double fill)
{
	struct draw *w = draw_add(a, d, DRAW_POLYGON, points, count);
	w->stroke = stroke;
	w->fill = fill;
	return w;
}

struct draw *drawing_circle(struct arena *a, struct drawing *d, double x, double y, double radius,
	double stroke, double fill)
{
	struct draw_point centre = { x, y };
	struct draw *w = draw_add(a, d, DRAW_CIRCLE, &centre, 1);
	w->radius = radius;
	w->stroke = stroke;
	w->fill = fill;
	return w;
}

struct draw *drawing_text(struct arena *a, struct drawing *d, double x, double y, const char *text,
	double size, enum doc_align align)
{
	struct draw_point base = { x, y };
	struct draw *w = draw_add(a, d, DRAW_TEXT, &base, 1);
	w->text = text;
	w->size = size;
	w->align = align;
	return w;
}

void drawing_place(struct arena *a, struct drawing *d, const struct drawing *from, double x, double y)
{
	for (const struct draw *w = from->first; w; w = w->next) {
		struct draw *copy = draw_add(a, d, w->kind, w->points, w->count);
		struct draw_point *points = copy->points;
		*copy = *w;
		copy->points = points;
		copy->next = NULL;
		for (size_t i = 0; i < copy->count; i++)
			points[i] = (struct draw_point){points[i].x + x, points[i].y + y};
	}
}

void drawing_move(struct drawing *d, double x, double y)
{
	for (struct draw *w = d->first; w; w = w->next)
		for (size_t i = 0; i < w->count; i++)
			w->points[i] = (struct draw_point){w->points[i].x + x, w->points[i].y + y};
}

/* The dump. One line a node, two blanks a level; spans with their marks, so that a changed word, link
 * or style shows as one changed line. */

static const char *const kind_names[] = {
	[DOC_HEADING] = "heading", [DOC_PARAGRAPH] = "paragraph", [DOC_LIST] = "list",
	[DOC_ITEM] = "item", [DOC_TABLE] = "table", [DOC_FIGURE] = "figure",
	[DOC_PICTURE] = "picture", [DOC_BOX] = "box", [DOC_LITERAL] = "literal",
	[DOC_CONTENTS] = "contents", [DOC_PAGE_BREAK] = "page-break", [DOC_SPACE] = "space",
	[DOC_RULE] = "rule", [DOC_SIGN] = "sign",
};

static const char *const draw_names[] = {
	[DRAW_LINE] = "line", [DRAW_POLYGON] = "polygon", [DRAW_CIRCLE] = "circle",
	[DRAW_TEXT] = "text",
};

static void dump_indent(struct buf *b, int depth)
{
	for (int i = 0; i < depth; i++)
		buf_put(b, "  ");
}

static void dump_text(struct buf *b, const char *text)
{
	buf_char(b, '"');
	for (; *text; text++) {
		if (*text == '\n')
			buf_put(b, "\\n");
		else if (*text == '"' || *text == '\\') {
			buf_char(b, '\\');
			buf_char(b, *text);
		} else
			buf_char(b, *text);
	}
	buf_char(b, '"');
}

static void dump_spans(struct buf *b, const struct spans *spans)
{
	static const char marks[] = "bimsg"; /* in the order of enum span_style */
	for (const struct span *s = spans->first; s; s = s->next) {
		buf_char(b, ' ');
		for (unsigned bit = 0; bit < sizeof marks - 1; bit++)
			if (s->style & (1U << bit))
				buf_char(b, marks[bit]);
		if (s->page_of_target)
			buf_put(b, "page");
		else
			dump_text(b, s->text);
		if (s->target)
			buf_format(b, "->%s", s->target);
	}
}

static void dump_table(struct buf *b, const struct doc_node *n, int depth)
{
	static const char aligns[] = { 'l', 'r', 'c', 'd' };
	for (size_t i = 0; i < n->column_count; i++) {
		const struct doc_column *c = &n->columns[i];
		dump_indent(b, depth);
		buf_format(b, "column %c %s", aligns[c->align], text_number(b->arena, c->weight, 3));
		dump_spans(b, &c->head);
		buf_char(b, '\n');
	}
	for (const struct doc_row *r = n->first_row; r; r = r->next) {
		dump_indent(b, depth);
		buf_put(b, r->strong_rule ? "row strong" : "row");
		if (r->label)
			buf_format(b, " #%s", r->label);
		for (size_t i = 0; i < n->column_count; i++) {
			if (r->cells[i].across == 0)
				continue;
			buf_put(b, " |");
			if (r->cells[i].across > 1)
				buf_format(b, "%d", r->cells[i].across);
			dump_spans(b, &r->cells[i].spans);
		}
		buf_char(b, '\n');
	}
}

static void dump_drawing(struct buf *b, const struct drawing *d, int depth)
{
	struct arena *a = b->arena;
	for (const struct draw *w = d->first; w; w = w->next) {
		dump_indent(b, depth);
		buf_format(b, "%s %zu", draw_names[w->kind], w->count);
		if (w->count)
			buf_format(b, " %s,%s", text_number(a, w->points[0].x, 3),
				text_number(a, w->points[0].y, 3));
		if (w->text) {
			buf_char(b, ' ');
			dump_text(b, w->text);
		}
		buf_char(b, '\n');
	}
}

static void dump_nodes(struct buf *b, const struct doc_node *n, int depth)
{
	struct arena *a = b->arena;
	for (; n; n = n->next) {
		dump_indent(b, depth);
		buf_put(b, kind_names[n->kind]);
		if (n->kind == DOC_HEADING)
			buf_format(b, " %d", n->level);
		if (n->numbered)
			buf_put(b, " numbered");
		if (n->label)
			buf_format(b, " #%s", n->label);
		if (n->space > 0)
			buf_format(b, " %s mm", text_number(a, n->space, 3));
		if (n->drawing)
			buf_format(b, " %s x %s mm", text_number(a, n->drawing->width, 3),
				text_number(a, n->drawing->height, 3));
		if (n->picture)
			buf_format(b, " %d x %d", n->picture->width, n->picture->height);
		dump_spans(b, &n->spans);
		if (n->summary) {
			buf_put(b, " alt ");
			dump_text(b, n->summary);
		}
		if (n->literal) {
			buf_char(b, ' ');
			dump_text(b, n->literal);
		}
		buf_char(b, '\n');
		if (n->kind == DOC_TABLE)
			dump_table(b, n, depth + 1);
		if (n->drawing)
			dump_drawing(b, n->drawing, depth + 1);
		dump_nodes(b, n->first, depth + 1);
	}
}

char *document_dump(struct arena *a, const struct document *d)
{
	struct buf b;
	buf_init(&b, a);
	buf_put(&b, "document ");
	dump_text(&b, d->title);
	buf_char(&b, '\n');
	dump_nodes(&b, d->first, 1);
	return b.bytes;
}
