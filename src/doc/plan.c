/* Drawings to scale: plan and elevation, with the swept area, the zones numbered, gaps and sizes
 * dimensioned, and a scale bar. */
#include "doc/plan.h"

#include <math.h>

#include "base/text.h"
#include "doc/block.h"

static const double SIDE = 8, BODY_HEIGHT_MAX = 150;

struct draw_point plan_place(const struct view *v, double x, double y)
{
	return (struct draw_point){
		v->left + (x - v->shapes.x0) * v->scale, v->bottom + (y - v->shapes.y0) * v->scale};
}

struct draw_point *plan_outline(const struct view *v, const struct geo_point *points, size_t count)
{
	struct draw_point *p = arena_array(v->b->arena, count, sizeof *p);
	for (size_t i = 0; i < count; i++)
		p[i] = plan_place(v, points[i].x, points[i].y);
	return p;
}

void plan_words(struct view *v, double x, double y, const char *words, enum doc_align align)
{
	drawing_text(v->b->arena, v->d, x, y, words, PLAN_TEXT, align);
}

void plan_arrow(struct view *v, struct draw_point tip, double x, double y)
{
	static const double LENGTH = 1.8, HALF = 0.45;
	struct draw_point base = {tip.x - LENGTH * x, tip.y - LENGTH * y};
	struct draw_point p[] = {tip, {base.x - HALF * y, base.y + HALF * x},
		{base.x + HALF * y, base.y - HALF * x}};
	drawing_polygon(v->b->arena, v->d, p, COUNT_OF(p), 0, 0);
}

static bool choose_scale(struct view *v)
{
	static const int usual[] = {
		5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000};
	double w = v->shapes.x1 - v->shapes.x0, h = v->shapes.y1 - v->shapes.y0;
	for (size_t i = 0; i < COUNT_OF(usual); i++) {
		double scale = 1000.0 / usual[i];
		if (w * scale <= PLAN_WIDTH - 2 * SIDE && h * scale <= BODY_HEIGHT_MAX) {
			v->scale = scale;
			v->denominator = usual[i];
			return true;
		}
	}
	return false;
}

/* ---- bodies ------------------------------------------------------------------------------------
 */

static struct draw *draw_outline(
	struct view *v, const struct geo_point *points, size_t count, double stroke, double fill)
{
	struct draw_point *p = plan_outline(v, points, count);
	room_outline(&v->room, p, count);
	return drawing_polygon(v->b->arena, v->d, p, count, stroke, fill);
}

static void draw_swept(struct view *v)
{
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		for (size_t k = 0; body->poses && k + 1 < GEOMETRY_POSES; k++) {
			struct draw_point *hull;
			size_t n = shape_swept(v->b->arena, body, k, &hull);
			for (size_t m = 0; m < n; m++)
				hull[m] = plan_place(v, hull[m].x, hull[m].y);
			drawing_polygon(v->b->arena, v->d, hull, n, 0, 0.92);
		}
	}
}

/* Bodies around the gate lie lowest in elevation, where they may stand before or behind it; in plan
 * they hide nothing. What moves lies over all. */
static void draw_standing(struct view *v, bool around)
{
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (body->poses || (body->item != NULL) != around)
			continue;
		if (around)
			draw_outline(
				v, body->points, body->count, 0.15, v->elevation ? 0.85 : 0.75);
		else if (shape_is_mover(v->b->assessment->geometry, body))
			draw_outline(v, body->points, body->count, 0.3, -1);
		else
			draw_outline(v, body->points, body->count, 0.12,
				body->drawn_only || v->elevation ? -1 : 0.97)
				->grey = 0.35;
	}
}

static void draw_bodies(struct view *v)
{
	draw_standing(v, v->elevation);
	draw_standing(v, !v->elevation);
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (!body->poses)
			continue;
		struct draw *open = draw_outline(
			v, shape_pose(body, GEOMETRY_POSES - 1), body->count, 0.15, -1);
		open->dash = 1.6;
		open->gap = 0.9;
		draw_outline(v, shape_pose(body, 0), body->count, 0.3, -1);
	}
}

/* ---- the blocks --------------------------------------------------------------------------------
 */

static void place_view(struct view *v)
{
	double w = (v->shapes.x1 - v->shapes.x0) * v->scale;
	v->left = (PLAN_WIDTH - w) / 2;
	v->right = v->left + w;
	v->bottom = v->lowest = 0;
	v->top = v->highest = (v->shapes.y1 - v->shapes.y0) * v->scale;
	v->d = drawing_new(v->b->arena, PLAN_WIDTH, 0);
	v->room = (struct room){.arena = v->b->arena};
}

struct drawing *plan_drawing(struct builder *b, bool elevation, int *denominator, size_t *left_out)
{
	struct view v = {.b = b, .shapes = shapes_of(b, elevation), .elevation = elevation};
	*left_out = v.shapes.left_out;
	if (!v.shapes.count || !choose_scale(&v))
		return NULL;
	place_view(&v);
	draw_swept(&v);
	draw_bodies(&v);
	plan_sides(&v);
	plan_gaps(&v);
	plan_zones(&v);
	plan_sizes(&v);
	static const double EDGE = 0.5;
	drawing_move(v.d, 0, EDGE - v.lowest);
	v.d->height = v.highest - v.lowest + 2 * EDGE;
	*denominator = v.denominator;
	return v.d;
}

const char *plan_caption(struct builder *b, bool elevation, int denominator)
{
	return label_with(b, elevation ? "caption-elevation" : "caption-plan", "scale",
		arena_format(b->arena, "1:%d", denominator));
}

static void draw_view(struct builder *b, bool elevation)
{
	int denominator = 0;
	size_t left_out = 0;
	struct drawing *d = plan_drawing(b, elevation, &denominator, &left_out);
	if (!d) {
		text_add(b, label(b, "no-drawing"));
		return;
	}
	struct doc_node *f = doc_add(b->document, DOC_FIGURE);
	f->drawing = d;
	f->summary = label(b, elevation ? "summary-elevation" : "summary-plan");
	spans_add(b->arena, &f->spans, plan_caption(b, elevation, denominator), SPAN_SMALL);
	if (left_out && !elevation)
		note_add(b, label_with(b, "bodies-left-out", "count",
				    arena_format(b->arena, "%zu", left_out)));
}

void block_drawing_plan(struct builder *b)
{
	draw_view(b, false);
}

void block_drawing_elevation(struct builder *b)
{
	draw_view(b, true);
}
