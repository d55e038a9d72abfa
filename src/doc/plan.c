/* Drawings to scale: plan and elevation, with the swept area, the zones numbered, dimensions and a scale
 * bar. */
#include <math.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/shape.h"

/* On paper, mm. Below the gate: scale bar, two dimension lines, balloons; above it: balloons. */
static const double WIDTH = 164, SIDE = 8, BODY_HEIGHT_MAX = 90;
static const double BALLOON = 2.6, BALLOON_STEP = 6.4, ROW_STEP = 6.8;
enum { ROWS = 2 };
static const double BAR_HEIGHT = 9, DIMENSION_STEP = 6, TEXT_SIZE = 7.5;

struct view {
	struct builder *b;
	struct drawing *d;
	struct shapes shapes;
	double scale;          /* mm on paper for a metre */
	int denominator;
	double left, bottom;   /* where the extent begins on paper */
	double top;            /* where it ends */
	bool elevation;
};

static double paper_x(const struct view *v, double x)
{
	return v->left + (x - v->shapes.x0) * v->scale;
}

static double paper_y(const struct view *v, double y)
{
	return v->bottom + (y - v->shapes.y0) * v->scale;
}

static bool choose_scale(struct view *v)
{
	static const int usual[] = {5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000};
	double w = v->shapes.x1 - v->shapes.x0, h = v->shapes.y1 - v->shapes.y0;
	for (size_t i = 0; i < COUNT_OF(usual); i++) {
		double scale = 1000.0 / usual[i];
		if (w * scale <= WIDTH - 2 * SIDE && h * scale <= BODY_HEIGHT_MAX) {
			v->scale = scale;
			v->denominator = usual[i];
			return true;
		}
	}
	return false;
}

/* ---- bodies ------------------------------------------------------------------------------------ */

static struct draw *draw_outline(struct view *v, const struct draw_point *points, size_t count, double shift,
	double stroke, double fill)
{
	struct draw_point *p = arena_array(v->b->arena, count, sizeof *p);
	for (size_t i = 0; i < count; i++)
		p[i] = (struct draw_point){paper_x(v, points[i].x + shift), paper_y(v, points[i].y)};
	return drawing_polygon(v->b->arena, v->d, p, count, stroke, fill);
}

static void draw_swept(struct view *v)
{
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct shape *s = &v->shapes.items[i];
		if (!s->moves)
			continue;
		struct draw_point *hull;
		size_t n = shape_swept(v->b->arena, s, v->shapes.travel, &hull);
		draw_outline(v, hull, n, 0, 0, 0.92);
	}
}

static void draw_bodies(struct view *v)
{
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct shape *s = &v->shapes.items[i];
		if (s->moves || s->recorded)
			continue;
		draw_outline(v, s->points, s->count, 0, 0.12, -1)->grey = 0.35;
	}
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct shape *s = &v->shapes.items[i];
		if (s->recorded)
			draw_outline(v, s->points, s->count, 0, 0.15, v->elevation ? -1 : 0.75);
	}
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct shape *s = &v->shapes.items[i];
		if (!s->moves)
			continue;
		struct draw *open = draw_outline(v, s->points, s->count, v->shapes.travel, 0.15, -1);
		open->dash = 1.6;
		open->gap = 0.9;
		draw_outline(v, s->points, s->count, 0, 0.3, -1);
	}
}

/* ---- zones ------------------------------------------------------------------------------------- */

struct balloons {
	struct draw_point *at;
	size_t count;
};

static double row_y(const struct view *v, int row)
{
	int step = row / 2;
	return row % 2 == 0 ? v->top + 5 + step * ROW_STEP : v->bottom - 5 - step * ROW_STEP;
}

static bool is_free(const struct balloons *all, double x, double y)
{
	for (size_t i = 0; i < all->count; i++)
		if (hypot(all->at[i].x - x, all->at[i].y - y) < BALLOON_STEP)
			return false;
	return true;
}

/* The free place nearest to `x`, first row first, going outwards in steps of half a balloon. */
static struct draw_point find_place(const struct view *v, const struct balloons *all, double x, double y)
{
	bool near_top = y > (v->top + v->bottom) / 2 || !v->elevation;
	for (int step = 0; step < 100; step++)
		for (int side = 0; side < 4 * ROWS; side++) {
			int row = (side / 2) ^ (near_top ? 0 : 1);
			double px = x + (side % 2 ? -1 : 1) * step * BALLOON_STEP / 2;
			if (px >= BALLOON && px <= WIDTH - BALLOON && is_free(all, px, row_y(v, row)))
				return (struct draw_point){px, row_y(v, row)};
		}
	return (struct draw_point){x, row_y(v, 0)};
}

static void draw_balloon(struct view *v, struct balloons *all, const struct zone_result *z, double x, double y)
{
	struct arena *a = v->b->arena;
	struct draw_point to = find_place(v, all, x, y);
	double far = hypot(to.x - x, to.y - y), cut = far > BALLOON ? (far - BALLOON) / far : 0;
	drawing_line(a, v->d, x, y, x + (to.x - x) * cut, y + (to.y - y) * cut, 0.1)->grey = 0.4;
	drawing_circle(a, v->d, x, y, 0.45, 0, 0);
	drawing_circle(a, v->d, to.x, to.y, BALLOON, 0.18, 1);
	drawing_text(a, v->d, to.x, to.y - 0.95, arena_format(a, "%d", z->number), TEXT_SIZE, ALIGN_CENTRE);
	all->at[all->count++] = to;
}

static void draw_zones(struct view *v)
{
	const struct assessment *s = v->b->assessment;
	struct balloons all = {arena_array(v->b->arena, s->zone_count, sizeof *all.at), 0};
	for (size_t i = 0; i < s->zone_count; i++) {
		const struct zone_result *z = &s->zones[i];
		bool placed = v->elevation ? z->has_elevation : z->has_plan;
		double x = paper_x(v, v->elevation ? z->elevation_x : z->plan_x);
		double y = paper_y(v, v->elevation ? z->elevation_y : z->plan_y);
		if (placed && isfinite(x) && isfinite(y) && x >= 0 && x <= WIDTH)
			draw_balloon(v, &all, z, x, y);
	}
}

/* ---- dimensions and scale bar ------------------------------------------------------------------ */

static void draw_arrow(struct view *v, double x, double y, double way)
{
	struct draw_point p[] = {{x, y}, {x + way * 1.8, y + 0.45}, {x + way * 1.8, y - 0.45}};
	drawing_polygon(v->b->arena, v->d, p, COUNT_OF(p), 0, 0);
}

/* A horizontal dimension from `x0` to `x1` (m), on the line `y` (mm). */
static void draw_dimension(struct view *v, double x0, double x1, double y, const char *name)
{
	struct arena *a = v->b->arena;
	double from = paper_x(v, x0), to = paper_x(v, x1);
	drawing_line(a, v->d, from, y, to, y, 0.12);
	drawing_line(a, v->d, from, y - 1.2, from, v->bottom, 0.08)->grey = 0.5;
	drawing_line(a, v->d, to, y - 1.2, to, v->bottom, 0.08)->grey = 0.5;
	draw_arrow(v, from, y, 1);
	draw_arrow(v, to, y, -1);
	const char *text = arena_format(a, "%s %s", name, quantity_text(a, quantity_of(x1 - x0, DIM_LENGTH)));
	drawing_text(a, v->d, (from + to) / 2, y + 0.9, text, TEXT_SIZE, ALIGN_CENTRE);
}

/* The height of the leaf, upright on the left. */
static void draw_height(struct view *v)
{
	struct arena *a = v->b->arena;
	const struct fact *gap = record_fact(v->b->record, "gate.ground.gap");
	const struct fact *leaf = record_fact(v->b->record, "gate.dimensions.leaf-height");
	if (!fact_given(gap) || !fact_given(leaf))
		return;
	double x = v->left - 3, y0 = paper_y(v, gap->quantity.value);
	double y1 = y0 + leaf->quantity.value * v->scale;
	drawing_line(a, v->d, x, y0, x, y1, 0.12);
	drawing_line(a, v->d, x - 1.2, y0, v->left, y0, 0.08)->grey = 0.5;
	drawing_line(a, v->d, x - 1.2, y1, v->left, y1, 0.08)->grey = 0.5;
	for (int end = 0; end < 2; end++) {
		double y = end ? y1 : y0, way = end ? -1.8 : 1.8;
		struct draw_point p[] = {{x, y}, {x - 0.45, y + way}, {x + 0.45, y + way}};
		drawing_polygon(a, v->d, p, COUNT_OF(p), 0, 0);
	}
	drawing_text(a, v->d, x - 0.9, (y0 + y1) / 2, arena_format(a, "%s %s", label(v->b, "leaf-height"),
		quantity_text(a, leaf->quantity)), TEXT_SIZE, ALIGN_CENTRE)->turn = 90;
}

static void draw_dimensions(struct view *v)
{
	if (v->elevation)
		draw_height(v);
	const struct fact *opening = record_fact(v->b->record, "gate.dimensions.clear-opening");
	const struct fact *leaf = record_fact(v->b->record, "gate.dimensions.leaf-length");
	const struct fact *two = record_fact(v->b->record, "gate.dimensions.biparting");
	double y = BAR_HEIGHT + 3;
	if (fact_given(leaf))
		draw_dimension(v, 0, leaf->quantity.value, y, label(v->b, "leaf-length"));
	if (fact_given(opening)) {
		double half = two->truth == TRUTH_YES && fact_given(two) ? opening->quantity.value / 2 : 0;
		draw_dimension(v, half > 0 ? -half : 0, half > 0 ? half : opening->quantity.value,
			y + DIMENSION_STEP, label(v->b, "clear-opening"));
	}
}

static double bar_length(const struct view *v)
{
	static const double lengths[] = {20, 10, 5, 2, 1, 0.5, 0.2, 0.1};
	for (size_t i = 0; i < COUNT_OF(lengths); i++)
		if (lengths[i] * v->scale <= 50)
			return lengths[i];
	return 0.05;
}

static void draw_scale_bar(struct view *v)
{
	struct arena *a = v->b->arena;
	double m = bar_length(v), x = SIDE, w = m * v->scale / 2, y = 2.5;
	struct draw_point black[] = {{x, y}, {x + w, y}, {x + w, y + 1.4}, {x, y + 1.4}};
	struct draw_point white[] = {{x + w, y}, {x + 2 * w, y}, {x + 2 * w, y + 1.4}, {x + w, y + 1.4}};
	drawing_polygon(a, v->d, black, COUNT_OF(black), 0.12, 0);
	drawing_polygon(a, v->d, white, COUNT_OF(white), 0.12, 1);
	drawing_text(a, v->d, x, y + 2.4, "0", TEXT_SIZE, ALIGN_CENTRE);
	drawing_text(a, v->d, x + 2 * w, y + 2.4, arena_format(a, "%s m", text_number(a, m, 2)), TEXT_SIZE,
		ALIGN_CENTRE);
	drawing_text(a, v->d, x + 2 * w + 8, y, arena_format(a, "%s 1:%d", label(v->b, "scale"),
		v->denominator), TEXT_SIZE, ALIGN_LEFT);
}

static void draw_sides(struct view *v)
{
	struct arena *a = v->b->arena;
	if (v->elevation)
		return;
	drawing_text(a, v->d, WIDTH, v->top + 1.5, label(v->b, "inside"), TEXT_SIZE, ALIGN_RIGHT);
	drawing_text(a, v->d, WIDTH, v->bottom - 4, label(v->b, "outside"), TEXT_SIZE, ALIGN_RIGHT);
}

/* ---- the blocks -------------------------------------------------------------------------------- */

static void place_view(struct view *v)
{
	double rows = 5 + ROWS * ROW_STEP;
	double w = (v->shapes.x1 - v->shapes.x0) * v->scale, h = (v->shapes.y1 - v->shapes.y0) * v->scale;
	v->left = (WIDTH - w) / 2;
	v->bottom = BAR_HEIGHT + 2 * DIMENSION_STEP + 2 + rows;
	v->top = v->bottom + h;
	v->d = drawing_new(v->b->arena, WIDTH, v->top + rows);
}

static void draw_view(struct builder *b, bool elevation)
{
	struct view v = {.b = b, .shapes = shapes_of(b, elevation), .elevation = elevation};
	if (!v.shapes.count || !choose_scale(&v)) {
		text_add(b, label(b, "no-drawing"));
		return;
	}
	place_view(&v);
	draw_swept(&v);
	draw_bodies(&v);
	draw_dimensions(&v);
	draw_sides(&v);
	draw_zones(&v);
	draw_scale_bar(&v);
	struct doc_node *f = doc_add(b->document, DOC_FIGURE);
	f->drawing = v.d;
	f->summary = label(b, elevation ? "summary-elevation" : "summary-plan");
	spans_add(b->arena, &f->spans, label_with(b, elevation ? "caption-elevation" : "caption-plan", "scale",
		arena_format(b->arena, "1:%d", v.denominator)), SPAN_SMALL);
	if (v.shapes.left_out)
		note_add(b, label_with(b, "bodies-left-out", "count",
			arena_format(b->arena, "%zu", v.shapes.left_out)));
}

void block_drawing_plan(struct builder *b)
{
	draw_view(b, false);
}

void block_drawing_elevation(struct builder *b)
{
	draw_view(b, true);
}
