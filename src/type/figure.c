/* Figures drawn to scale, and pictures, each with its caption beneath. */
#include "type/galley.h"

#include <math.h>

static const double PICTURE_HIGHEST = 190 * LAYOUT_MM;

static void caption_set(struct galley *g, const struct column_box *c, const struct doc_node *n,
	struct strip *above)
{
	if (!n->spans.first)
		return;
	struct text_style style = { SMALL_SIZE, SMALL_SIZE, 0, 0 };
	struct text t = text_prepare(&g->setter, &n->spans, &style);
	size_t from = g->count;
	galley_text(g, c, &t, 4, SMALL_LEADING, tag_new(g, c->tag, TAG_CAPTION));
	above->keep = true;
	for (size_t i = from; i + 1 < g->count; i++)
		g->strips[i]->keep = true;
}

/* Words in a drawing may take several faces; turned text runs along its own base line. */
static void label_set(struct galley *g, struct strip *s, const struct draw *w, double x, double y,
	double scale, struct tag *tag)
{
	struct text_style style = { w->size, w->size, w->bold ? SPAN_BOLD : 0, w->grey };
	struct text t = text_prepare_plain(&g->setter, w->text, &style);
	struct line *line = text_break(g->arena, &t, HUGE_VAL).first;
	double shift = w->align == ALIGN_LEFT ? 0 : w->align == ALIGN_CENTRE ? -line->width / 2 : -line->width;
	double turn = w->turn * M_PI / 180, c = cos(turn), d = sin(turn);
	for (const struct run *r = line->runs; r; r = r->next) {
		double along = shift + r->x;
		struct op *op = strip_op(g, s, OP_TEXT, tag, x + w->points[0].x * scale + along * c,
			y + w->points[0].y * scale + along * d);
		op->glyphs = r->glyphs;
		op->count = r->count;
		op->face = r->face;
		op->size = r->span->size * face_scale(r->face);
		op->grey = r->span->grey;
		op->turn = w->turn;
		op->width = r->width;
	}
}

void galley_figure(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	const struct drawing *d = n->drawing;
	if (!d || !(d->width > 0) || !(d->height > 0))
		return;
	double scale = fmin(LAYOUT_MM, fmin(c->width / d->width, (TEXT_HEIGHT - 60) / d->height));
	struct tag *tag = tag_new(g, c->tag, TAG_FIGURE);
	tag->alt = n->summary;
	struct strip *s = strip_add(g, 8, d->height * scale);
	for (const struct draw *w = d->first; w; w = w->next) {
		if (w->count == 0)
			continue;
		if (w->kind == DRAW_TEXT) {
			if (w->text)
				label_set(g, s, w, c->x, -s->height, scale, tag);
			continue;
		}
		struct op *op = strip_op(g, s, OP_SHAPE, tag, c->x, -s->height);
		op->draw = w;
		op->scale = scale;
	}
	caption_set(g, c, n, s);
	g->pending = 12;
}

void galley_picture(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	const struct doc_picture *p = n->picture;
	if (!p || p->width < 1 || p->height < 1)
		return;
	double width = n->width > 0 ? fmin(n->width * LAYOUT_MM, c->width) : c->width;
	double height = width * p->height / p->width;
	if (height > PICTURE_HIGHEST) {
		width *= PICTURE_HIGHEST / height;
		height = PICTURE_HIGHEST;
	}
	struct tag *tag = tag_new(g, c->tag, TAG_FIGURE);
	tag->alt = n->summary;
	struct strip *s = strip_add(g, 8, height);
	struct op *op = strip_op(g, s, OP_PICTURE, tag, c->x, -height);
	op->width = width;
	op->height = height;
	op->picture = p;
	caption_set(g, c, n, s);
	g->pending = 12;
}
