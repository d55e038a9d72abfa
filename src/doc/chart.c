/* Clearance through travel: the gap of two bodies from closed to open, with its doubt, beside the
 * sizes of parts of the body. */
#include <math.h>

#include "base/text.h"
#include "doc/block.h"

/* The frame of the axes inside the drawing, mm. */
enum { WIDTH = 160, HEIGHT = 58, LEFT = 14, RIGHT = 136, BOTTOM = 15, TOP = 52 };

static const double TICK = 1.2, TEXT_SIZE = 7.5;

struct chart {
	struct builder *b;
	struct drawing *d;
	const struct clearance_result *r;
	double top; /* m */
};

static double paper_x(double travel)
{
	return LEFT + travel * (RIGHT - LEFT);
}

static double paper_y(const struct chart *c, double gap)
{
	return BOTTOM + fmin(fmax(gap / c->top, 0), 1) * (TOP - BOTTOM);
}

static void draw_words(const struct chart *c, double x, double y, const char *text, enum doc_align align)
{
	drawing_text(c->b->arena, c->d, x, y, text, TEXT_SIZE, align);
}

static void draw_axes(const struct chart *c)
{
	struct arena *a = c->b->arena;
	drawing_line(a, c->d, LEFT, BOTTOM, RIGHT, BOTTOM, 0.2);
	drawing_line(a, c->d, LEFT, BOTTOM, LEFT, TOP, 0.2);
	for (int i = 0; i <= 4; i++) {
		double x = paper_x(i / 4.0);
		drawing_line(a, c->d, x, BOTTOM - TICK, x, BOTTOM, 0.2);
		draw_words(c, x, BOTTOM - 10, arena_format(a, "%d %%", i * 25), ALIGN_CENTRE);
	}
	draw_words(c, LEFT, BOTTOM - 13.6, label(c->b, "closed"), ALIGN_LEFT);
	draw_words(c, RIGHT, BOTTOM - 13.6, label(c->b, "open-end"), ALIGN_RIGHT);
	double step = c->top > 0.3 ? 0.1 : c->top > 0.1 ? 0.05 : 0.02;
	for (int i = 0; i * step <= c->top * (1 + 1e-9); i++) {
		double y = paper_y(c, i * step);
		drawing_line(a, c->d, LEFT - TICK, y, LEFT, y, 0.2);
		draw_words(c, LEFT - 2, y - 0.9, text_number(a, i * step * 1000, 0), ALIGN_RIGHT);
	}
	draw_words(c, LEFT - 12, TOP + 3, label(c->b, "axis-gap"), ALIGN_LEFT);
}

/* What a part of the body needs, as the library has it; 0: not told. */
static double needs(const struct builder *b, const char *part)
{
	const struct geometry *g = b->assessment->geometry;
	for (size_t i = 0; g && i < CLEARANCE_PARTS; i++)
		if (text_equal(CLEARANCE_PART[i], part))
			return isnan(g->crush[i]) ? 0 : g->crush[i];
	return 0;
}

static void draw_parts(const struct chart *c)
{
	static const char *const PARTS[] = {"finger", "hand", "head", "body"};
	struct arena *a = c->b->arena;
	double before = -10;
	for (size_t i = 0; i < COUNT_OF(PARTS); i++) {
		double gap = needs(c->b, PARTS[i]), y = paper_y(c, gap);
		if (gap <= 0 || gap > c->top)
			continue;
		struct draw *line = drawing_line(a, c->d, LEFT, y, RIGHT, y, 0.1);
		line->grey = 0.4;
		line->dash = 0.8;
		line->gap = 0.8;
		double at = fmax(y - 0.9, before + 3);
		draw_words(c, RIGHT + 1.5, at, arena_format(a, "%s %s mm", choice(c->b, PARTS[i]),
			text_number(a, gap * 1000, 0)), ALIGN_LEFT);
		before = at;
	}
}

/* The band of doubt, then the gap itself; what lies above the chart runs along its upper edge. */
static void draw_gap(const struct chart *c)
{
	const struct clearance_result *r = c->r;
	struct arena *a = c->b->arena;
	struct draw_point *band = arena_array(a, 2 * r->knot_count, sizeof *band);
	struct draw_point *line = arena_array(a, r->knot_count, sizeof *line);
	for (size_t i = 0; i < r->knot_count; i++) {
		double x = paper_x(r->knots[i].travel);
		line[i] = (struct draw_point){x, paper_y(c, r->knots[i].gap)};
		band[i] = (struct draw_point){x, paper_y(c, r->knots[i].gap + r->doubt)};
		band[2 * r->knot_count - 1 - i] = (struct draw_point){x, paper_y(c, r->knots[i].gap - r->doubt)};
	}
	drawing_polygon(a, c->d, band, 2 * r->knot_count, 0, 0.86);
	drawing_polyline(a, c->d, line, r->knot_count, 0.35);
}

/* Under the axis: where, and in which direction of movement, something is hurt. */
static void draw_hurt(const struct chart *c)
{
	struct arena *a = c->b->arena;
	for (size_t i = 0; i < c->r->stretch_count; i++) {
		const struct clearance_stretch *s = &c->r->stretches[i];
		if (!s->kinds)
			continue;
		double x0 = paper_x(s->from), x1 = paper_x(s->to), y = BOTTOM - (s->opening ? 3 : 5.4);
		double tip = s->opening ? x1 : x0, way = s->opening ? -2 : 2;
		drawing_line(a, c->d, x0, y, x1, y, 0.6);
		struct draw_point p[] = {{tip, y}, {tip + way, y + 0.9}, {tip + way, y - 0.9}};
		drawing_polygon(a, c->d, p, COUNT_OF(p), 0, 0);
	}
	double x = paper_x(c->r->least_at), y = paper_y(c, c->r->least);
	drawing_circle(a, c->d, x, y, 0.9, 0.25, 1);
	bool right = c->r->least_at > 0.8;
	draw_words(c, x + (right ? -1.8 : 1.8), y + 1.4,
		quantity_text(a, quantity_of(round(c->r->least * 1e4) / 1e4, DIM_LENGTH)),
		right ? ALIGN_RIGHT : ALIGN_LEFT);
}

struct drawing *chart_drawing(struct builder *b, const struct clearance_result *r)
{
	struct chart c = {b, drawing_new(b->arena, WIDTH, HEIGHT), r, 0};
	c.top = fmin(fmax(r->greatest + r->doubt, 0.05), CLEARANCE_FINE);
	if (r->knot_count < 2)
		return NULL;
	draw_gap(&c);
	draw_parts(&c);
	draw_axes(&c);
	draw_hurt(&c);
	return c.d;
}

/* ---- in the technical file --------------------------------------------------------------------- */

static const char *pair_words(const struct builder *b, const struct clearance_result *r)
{
	return arena_format(b->arena, "%s – %s", r->a->name, r->b ? r->b->name : label(b, "the-ground"));
}

static const char *parts_words(const struct builder *b, unsigned parts)
{
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			buf_format(&out, "%s%s", out.length ? ", " : "", choice(b, CLEARANCE_PART[i]));
	return out.length ? out.bytes : "–";
}

void charts_of_zone(struct builder *b, const struct zone_result *z)
{
	const struct geometry *g = b->assessment->geometry;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		bool here = z->clearance ? z->clearance == r : r->kinds && text_equal(r->listed, z->key);
		struct drawing *d = here ? chart_drawing(b, r) : NULL;
		if (!d)
			continue;
		struct doc_node *f = doc_add(b->document, DOC_FIGURE);
		f->drawing = d;
		f->summary = label_with(b, "summary-chart", "pair", pair_words(b, r));
		spans_add(b->arena, &f->spans, label_with(b, "caption-chart", "pair", pair_words(b, r)), SPAN_SMALL);
	}
}

static const char *millimetres(const struct builder *b, double m)
{
	return arena_format(b->arena, "%s mm", text_number(b->arena, m * 1000, 1));
}

static void stretch_lines(struct builder *b, struct doc_row *row, const struct clearance_result *r)
{
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		if (!s->kinds)
			continue;
		spans_add(b->arena, cell_line(b, row, 2),
			arena_format(b->arena, "%s: %s → %s",
				choice(b, s->opening ? "opening" : "closing"),
				millimetres(b, fmax(s->start, s->end)),
				millimetres(b, fmin(s->start, s->end))),
			0);
		if (s->speed >= 0.005)
			spans_add(b->arena, cell_line(b, row, 2), arena_format(b->arena, "%s m/s",
				text_number(b->arena, s->speed, 2)), SPAN_GREY);
	}
	if (r->slides)
		spans_add(b->arena, cell_line(b, row, 2), label(b, "slides-past"), 0);
}

static void clearance_row(struct builder *b, struct doc_node *t, const struct clearance_result *r)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, pair_words(b, r));
	cell(b, row, 1, millimetres(b, r->least));
	spans_add(b->arena, cell_line(b, row, 1), arena_format(b->arena, "± %s", millimetres(b, r->doubt)), SPAN_GREY);
	stretch_lines(b, row, r);
	cell(b, row, 3, parts_words(b, r->parts));
	const struct zone_result *z = zone_of_key(b, r->listed);
	if (z)
		zone_numbers(b, &row->cells[4].spans, &z, 1);
}

void block_clearances(struct builder *b)
{
	static const struct column columns[] = {{"pair", 0.3, 34, ALIGN_LEFT}, {"least-gap", 0.1, 20, ALIGN_RIGHT},
		{"shrinks", 0.3, 40, ALIGN_LEFT}, {"parts-hurt", 0.3, 34, ALIGN_LEFT}, {"zone", 0, 12, ALIGN_RIGHT}};
	const struct geometry *g = b->assessment->geometry;
	struct doc_node *t = NULL;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		if (!g->clearances[i].kinds)
			continue;
		if (!t)
			t = table_add(b, "summary-clearances", columns, COUNT_OF(columns));
		clearance_row(b, t, &g->clearances[i]);
	}
	if (!t)
		text_add(b, label(b, "no-clearances"));
}
