/* Operations of a page to a content stream. */
#include "type/pdf_private.h"

#include <math.h>
#include <string.h>

enum { LONG_CURVE = 200 };

struct pen {
	struct pdf *pdf;
	struct buf b;
	size_t page;
	int font;           /* set in the stream, -1: none */
	double size;
	double fill, line;  /* greys set */
	double width;
	bool dashed;
	bool marked;        /* a marked content is open */
	const struct tag *tag;
};

static void put(struct pen *pen, double value)
{
	pdf_number(&pen->b, value);
	buf_char(&pen->b, ' ');
}

static void put_point(struct pen *pen, double x, double y, const char *operator)
{
	put(pen, x);
	put(pen, y);
	buf_put(&pen->b, operator);
}

static void fill_set(struct pen *pen, double grey)
{
	if (pen->fill == grey)
		return;
	put(pen, grey);
	buf_put(&pen->b, "g\n");
	pen->fill = grey;
}

static void stroke_set(struct pen *pen, double width, double grey, double dash, double gap)
{
	if (pen->line != grey) {
		put(pen, grey);
		buf_put(&pen->b, "G\n");
		pen->line = grey;
	}
	if (pen->width != width) {
		put(pen, width);
		buf_put(&pen->b, "w\n");
		pen->width = width;
	}
	if (dash > 0) {
		buf_char(&pen->b, '[');
		put(pen, dash);
		put(pen, gap > 0 ? gap : dash);
		buf_put(&pen->b, "]0 d\n");
	} else if (pen->dashed)
		buf_put(&pen->b, "[]0 d\n");
	pen->dashed = dash > 0;
}

static void mark_close(struct pen *pen)
{
	if (pen->marked)
		buf_put(&pen->b, "EMC\n");
	pen->marked = false;
}

static void mark_set(struct pen *pen, const struct tag *tag)
{
	if (pen->marked && pen->tag == tag)
		return;
	mark_close(pen);
	if (tag)
		buf_format(&pen->b, "/%s <</MCID %zu>> BDC\n", pdf_tag_name(tag->kind),
			pdf_tag_mark(pen->pdf, tag, pen->page));
	else
		buf_put(&pen->b, "/Artifact BMC\n");
	pen->marked = true;
	pen->tag = tag;
}

static void text_draw(struct pen *pen, const struct op *op)
{
	static const char hex[] = "0123456789ABCDEF";
	struct buf *b = &pen->b;
	const struct typeface *t = &pen->pdf->faces->faces[op->face];
	if (op->count == 0)
		return;
	fill_set(pen, op->grey);
	buf_put(b, "BT\n");
	if (pen->font != (int)op->face || pen->size != op->size) {
		buf_format(b, "/F%d ", (int)op->face);
		put(pen, op->size);
		buf_put(b, "Tf\n");
		pen->font = (int)op->face;
		pen->size = op->size;
	}
	if (op->turn != 0) {
		double turn = op->turn * M_PI / 180;
		/* two decimals would tilt long words by a visible angle */
		buf_format(b, "%s %s ", text_number(b->arena, cos(turn), 5), text_number(b->arena, sin(turn), 5));
		buf_format(b, "%s %s ", text_number(b->arena, -sin(turn), 5),
			text_number(b->arena, cos(turn), 5));
		put_point(pen, op->x, op->y, "Tm\n[<");
	} else
		put_point(pen, op->x, op->y, "Td\n[<");
	for (size_t i = 0; i < op->count; i++) {
		const struct glyph *g = &op->glyphs[i];
		unsigned number = pdf_font_number(pen->pdf, op->face, g);
		if (i > 0 && g->kern) {
			buf_char(b, '>');
			pdf_number(b, -1000.0 * g->kern / t->units);
			buf_char(b, '<');
		}
		char digits[4] = { hex[number >> 12 & 15], hex[number >> 8 & 15], hex[number >> 4 & 15],
			hex[number & 15] };
		buf_add(b, digits, sizeof digits);
	}
	buf_put(b, ">]TJ\nET\n");
}

static void circle_path(struct pen *pen, double x, double y, double r)
{
	const double k = r * 0.5522847498; /* handle of a Bézier quarter: 4/3 (sqrt 2 - 1) */
	put_point(pen, x + r, y, "m\n");
	const double c[4][6] = {
		{ r, k, k, r, 0, r }, { -k, r, -r, k, -r, 0 }, { -r, -k, -k, -r, 0, -r }, { k, -r, r, -k, r, 0 },
	};
	for (size_t i = 0; i < 4; i++) {
		put_point(pen, x + c[i][0], y + c[i][1], "");
		put_point(pen, x + c[i][2], y + c[i][3], "");
		put_point(pen, x + c[i][4], y + c[i][5], "c\n");
	}
	buf_put(&pen->b, "h\n");
}

static void shape_draw(struct pen *pen, const struct op *op)
{
	const struct draw *w = op->draw;
	bool stroked = w->stroke > 0, filled = w->fill >= 0 && w->kind != DRAW_LINE;
	if (w->count == 0 || (!stroked && !filled) || (w->kind != DRAW_CIRCLE && w->count < 2))
		return;
	if (stroked)
		stroke_set(pen, w->stroke * op->scale, w->grey, w->dash * op->scale, w->gap * op->scale);
	if (filled)
		fill_set(pen, fmin(w->fill, 1));
	if (w->kind == DRAW_CIRCLE) {
		circle_path(pen, op->x + w->points[0].x * op->scale, op->y + w->points[0].y * op->scale,
			w->radius * op->scale);
	} else {
		/* Curves of many points in tenths of a point (0.04 mm, a fifth of their line): half the
		 * time that the file takes goes into packing them. */
		double grid = w->count > LONG_CURVE ? 10 : 100;
		for (size_t i = 0; i < w->count; i++)
			put_point(pen, round((op->x + w->points[i].x * op->scale) * grid) / grid,
				round((op->y + w->points[i].y * op->scale) * grid) / grid, i ? "l\n" : "m\n");
		if (w->kind == DRAW_POLYGON)
			buf_put(&pen->b, "h\n");
	}
	buf_put(&pen->b, stroked && filled ? "B\n" : filled ? "f\n" : "S\n");
}

static void op_draw(struct pen *pen, const struct op *op)
{
	mark_set(pen, op->tag);
	switch (op->kind) {
	case OP_TEXT:
		text_draw(pen, op);
		break;
	case OP_RULE:
		stroke_set(pen, op->stroke, op->grey, op->dash, op->gap);
		put_point(pen, op->x, op->y, "m\n");
		put_point(pen, op->x + op->width, op->y + op->height, "l\nS\n");
		break;
	case OP_FRAME:
		stroke_set(pen, op->stroke, op->grey, op->dash, op->gap);
		put_point(pen, op->x, op->y, "");
		put_point(pen, op->width, op->height, "re\nS\n");
		break;
	case OP_SHAPE:
		shape_draw(pen, op);
		break;
	case OP_PICTURE:
		buf_put(&pen->b, "q\n");
		put(pen, op->width);
		buf_put(&pen->b, "0 0 ");
		put(pen, op->height);
		put_point(pen, op->x, op->y, "cm\n");
		buf_format(&pen->b, "/I%zu Do\nQ\n", pdf_picture_number(pen->pdf, op->picture));
		break;
	}
}

void pdf_contents(struct pdf *p)
{
	struct pen pen = { .pdf = p };
	buf_init(&pen.b, p->arena);
	for (size_t i = 0; i < p->pages->count; i++) {
		pen.page = i;
		pen.font = -1;
		pen.fill = pen.line = 0;
		pen.width = 1;
		pen.dashed = pen.marked = false;
		pen.b.length = 0;
		pdf_tags_page(p, i);
		buf_put(&pen.b, "1 j\n"); /* also keeps an empty page from having no operator at all */
		for (const struct op *op = p->pages->pages[i].first; op; op = op->next)
			op_draw(&pen, op);
		mark_close(&pen);
		pdf_set(p, p->page_objects[i], "Contents", pdf_packed(p, pen.b.bytes, pen.b.length, PDF_PACK_TEXT));
	}
}
