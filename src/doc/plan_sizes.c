/* Sizes of the whole, what is inside and outside, and the scale bar. What a type calls its
 * dimensions is not known here: what can be measured on any gate is measured. */
#include <math.h>

#include "base/text.h"
#include "doc/plan.h"

static const double ROW = 6;

struct span_of {
	double from, to; /* m */
};

/* Extent of what moves, closed: x0, y0, x1, y1. */
static bool moving_extent(const struct view *v, double box[4])
{
	box[0] = box[1] = INFINITY;
	box[2] = box[3] = -INFINITY;
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		bool counts = body->leaf && shape_is_mover(v->b->assessment->geometry, body);
		for (size_t k = 0; counts && k < body->count; k++) {
			box[0] = fmin(box[0], body->points[k].x);
			box[1] = fmin(box[1], body->points[k].y);
			box[2] = fmax(box[2], body->points[k].x);
			box[3] = fmax(box[3], body->points[k].y);
		}
	}
	return box[2] > box[0];
}

static struct span_of width_of(const struct geo_body *body)
{
	struct span_of s = {INFINITY, -INFINITY};
	for (size_t i = 0; i < body->count; i++) {
		s.from = fmin(s.from, body->points[i].x);
		s.to = fmax(s.to, body->points[i].x);
	}
	return s;
}

static bool stands(const struct geo_body *body)
{
	return !body->poses && !body->item && !body->drawn_only;
}

static double clear_opening(const struct view *v)
{
	const struct fact *f = record_fact(v->b->record, "gate.dimensions.clear-opening");
	bool known = fact_given(f) && dimension_equal(f->quantity.dim, DIM_LENGTH);
	return known ? f->quantity.value : 0;
}

/* The clear opening stands between two faces of the gate that are as far apart; false when there
 * are none. */
static bool find_opening(const struct view *v, struct span_of *out)
{
	static const double NEAR = 2e-3;
	double wanted = clear_opening(v);
	for (size_t i = 0; wanted > 0 && i < v->shapes.count; i++)
		for (size_t k = 0; k < v->shapes.count; k++) {
			const struct geo_body *a = v->shapes.items[i], *b = v->shapes.items[k];
			if (i == k || !stands(a) || !stands(b))
				continue;
			*out = (struct span_of){width_of(a).to, width_of(b).from};
			if (fabs(out->to - out->from - wanted) < NEAR)
				return true;
		}
	return false;
}

/* ---- dimensions --------------------------------------------------------------------------------
 */

/* A horizontal dimension on the line `y` (mm). */
static void draw_dimension(struct view *v, struct span_of s, double y, const char *name)
{
	struct arena *a = v->b->arena;
	double from = plan_place(v, s.from, 0).x, to = plan_place(v, s.to, 0).x;
	drawing_line(a, v->d, from, y, to, y, 0.12);
	drawing_line(a, v->d, from, y - 1.2, from, v->bottom - 0.8, 0.08)->grey = 0.5;
	drawing_line(a, v->d, to, y - 1.2, to, v->bottom - 0.8, 0.08)->grey = 0.5;
	plan_arrow(v, (struct draw_point){from, y}, -1, 0);
	plan_arrow(v, (struct draw_point){to, y}, 1, 0);
	plan_words(v, (from + to) / 2, y + 0.9,
		arena_format(
			a, "%s %s", name, quantity_text(a, quantity_of(s.to - s.from, DIM_LENGTH))),
		ALIGN_CENTRE);
}

/* A height, upright on the left. */
static void draw_height(struct view *v, double low, double high, const char *name)
{
	struct arena *a = v->b->arena;
	double x = v->left - 3, y0 = plan_place(v, 0, low).y, y1 = plan_place(v, 0, high).y;
	const char *words = arena_format(
		a, "%s %s", name, quantity_text(a, quantity_of(high - low, DIM_LENGTH)));
	double half = (box_of_words(0, 0, words, ALIGN_LEFT).x1) / 2;
	drawing_line(a, v->d, x, y0, x, y1, 0.12);
	drawing_line(a, v->d, x - 1.2, y0, v->left, y0, 0.08)->grey = 0.5;
	drawing_line(a, v->d, x - 1.2, y1, v->left, y1, 0.08)->grey = 0.5;
	plan_arrow(v, (struct draw_point){x, y0}, 0, -1);
	plan_arrow(v, (struct draw_point){x, y1}, 0, 1);
	drawing_text(a, v->d, x - 0.9, (y0 + y1) / 2, words, PLAN_TEXT, ALIGN_CENTRE)->turn = 90;
	room_take(&v->room, (struct box){x - 3.5, fmin((y0 + y1) / 2 - half, y0), x + 0.6,
				    fmax((y0 + y1) / 2 + half, y1)});
}

static void reserve_dimension(struct view *v, struct span_of s)
{
	static const double FAR = 60;
	const double ends[] = {plan_place(v, s.from, 0).x, plan_place(v, s.to, 0).x};
	for (int i = 0; i < 2; i++)
		room_draw(&v->room, (struct draw_point){ends[i], v->bottom},
			(struct draw_point){ends[i], v->bottom - FAR});
}

/* ---- sides -------------------------------------------------------------------------------------
 */

/* Words beside the line of the gate, with an arrow head that points to where it is; above and below
 * the drawing where there is no room beside it. */
static void draw_side(struct view *v, bool inside, const char *words)
{
	static const double ROOM = 16;
	bool beside = PLAN_WIDTH - v->right >= ROOM;
	double gate = plan_place(v, 0, 0).y, way = inside ? 1 : -1;
	double x = beside ? v->right + 6 : v->right - ROOM + 2;
	double above = beside ? gate + 2.4 : v->top + 1.6, below = beside ? gate - 4.2 : v->bottom - 3.4;
	double y = inside ? above : below;
	struct box box = box_of_words(x, y, words, ALIGN_LEFT);
	plan_words(v, x, y, words, ALIGN_LEFT);
	plan_arrow(v, (struct draw_point){x - 1.4, y + 0.8 + way * 1.2}, 0, way);
	box.x0 -= 2.2;
	room_take(&v->room, box);
	v->lowest = fmin(v->lowest, box.y0);
	v->highest = fmax(v->highest, box.y1);
}

void plan_sides(struct view *v)
{
	double box[4];
	struct span_of opening;
	if (moving_extent(v, box)) {
		reserve_dimension(v, (struct span_of){box[0], box[2]});
		if (v->elevation)
			draw_height(v, box[1], box[3], label(v->b, "height-closed"));
	}
	if (find_opening(v, &opening))
		reserve_dimension(v, opening);
	if (!v->elevation) {
		draw_side(v, true, label(v->b, "inside"));
		draw_side(v, false, label(v->b, "outside"));
	}
}

/* ---- scale bar ---------------------------------------------------------------------------------
 */

static double bar_length(const struct view *v)
{
	static const double lengths[] = {20, 10, 5, 2, 1, 0.5, 0.2, 0.1};
	for (size_t i = 0; i < COUNT_OF(lengths); i++)
		if (lengths[i] * v->scale <= 50)
			return lengths[i];
	return 0.05;
}

static void draw_scale_bar(struct view *v, double y)
{
	static const double SIDE = 8;
	struct arena *a = v->b->arena;
	double m = bar_length(v), x = SIDE, w = m * v->scale / 2;
	struct draw_point black[] = {{x, y}, {x + w, y}, {x + w, y + 1.4}, {x, y + 1.4}};
	struct draw_point white[] = {
		{x + w, y}, {x + 2 * w, y}, {x + 2 * w, y + 1.4}, {x + w, y + 1.4}};
	drawing_polygon(a, v->d, black, COUNT_OF(black), 0.12, 0);
	drawing_polygon(a, v->d, white, COUNT_OF(white), 0.12, 1);
	plan_words(v, x, y + 2.4, "0", ALIGN_CENTRE);
	plan_words(
		v, x + 2 * w, y + 2.4, arena_format(a, "%s m", text_number(a, m, 2)), ALIGN_CENTRE);
	plan_words(v, x + 2 * w + 8, y,
		arena_format(a, "%s 1:%d", label(v->b, "scale"), v->denominator), ALIGN_LEFT);
}

void plan_sizes(struct view *v)
{
	double box[4], y = v->lowest - 5;
	struct span_of opening;
	bool placed = find_opening(v, &opening);
	if (placed) {
		draw_dimension(v, opening, y, label(v->b, "opening-clear"));
		y -= ROW;
	}
	if (moving_extent(v, box)) {
		draw_dimension(
			v, (struct span_of){box[0], box[2]}, y, label(v->b, "length-closed"));
		y -= ROW;
	}
	v->lowest = y - 5;
	draw_scale_bar(v, v->lowest + 2.5);
	if (!placed && !v->elevation && clear_opening(v) > 0)
		plan_words(v, PLAN_WIDTH, v->lowest + 2.5,
			arena_format(v->b->arena, "%s %s", label(v->b, "opening-clear"),
				quantity_text(
					v->b->arena, quantity_of(clear_opening(v), DIM_LENGTH))),
			ALIGN_RIGHT);
}
