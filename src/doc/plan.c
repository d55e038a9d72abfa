/* Drawings to scale: plan and elevation, with the swept area, the zones numbered, dimensions and a scale
 * bar. */
#include <math.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/shape.h"

/* On paper, mm. Below the gate: scale bar, two dimension lines, balloons; above it: balloons. */
static const double WIDTH = 164, SIDE = 8, BODY_HEIGHT_MAX = 110;
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

static struct draw *draw_outline(
	struct view *v, const struct geo_point *points, size_t count, double stroke, double fill)
{
	struct draw_point *p = arena_array(v->b->arena, count, sizeof *p);
	for (size_t i = 0; i < count; i++)
		p[i] = (struct draw_point){paper_x(v, points[i].x), paper_y(v, points[i].y)};
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
				hull[m] = (struct draw_point){paper_x(v, hull[m].x), paper_y(v, hull[m].y)};
			drawing_polygon(v->b->arena, v->d, hull, n, 0, 0.92);
		}
	}
}

static void draw_bodies(struct view *v)
{
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (!body->poses && !body->item)
			draw_outline(v, body->points, body->count, 0.12, body->drawn_only ? -1 : 0.97)->grey = 0.35;
	}
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (body->item)
			draw_outline(v, body->points, body->count, 0.15, v->elevation ? -1 : 0.75);
	}
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		if (!body->poses)
			continue;
		struct draw *open = draw_outline(v, shape_pose(body, GEOMETRY_POSES - 1), body->count, 0.15, -1);
		open->dash = 1.6;
		open->gap = 0.9;
		draw_outline(v, shape_pose(body, 0), body->count, 0.3, -1);
	}
}

/* ---- clearances -------------------------------------------------------------------------------- */

enum { CLEARANCES_DRAWN = 12 };

static bool is_crowded(const struct draw_point *placed, size_t count, struct draw_point p)
{
	for (size_t i = 0; i < count; i++)
		if (fabs(placed[i].x - p.x) < 14 && fabs(placed[i].y - p.y) < 3.2)
			return true;
	return false;
}

/* The least gap where something can be hurt: a mark with its size. What would stand on another is told in the table. */
static void draw_clearances(struct view *v)
{
	const struct geometry *g = v->b->assessment->geometry;
	struct arena *a = v->b->arena;
	struct draw_point placed[CLEARANCES_DRAWN];
	size_t n = 0;
	for (size_t i = 0; g && i < g->clearance_count && n < CLEARANCES_DRAWN; i++) {
		const struct clearance_result *r = &g->clearances[i];
		if (!r->kinds || r->a->elevation != v->elevation || !r->b || r->least > CLEARANCE_FINE)
			continue;
		struct draw_point p = {paper_x(v, r->x), paper_y(v, r->y)};
		if (is_crowded(placed, n, p))
			continue;
		placed[n++] = p;
		drawing_line(a, v->d, p.x - 1.1, p.y - 1.1, p.x + 1.1, p.y + 1.1, 0.25);
		drawing_line(a, v->d, p.x - 1.1, p.y + 1.1, p.x + 1.1, p.y - 1.1, 0.25);
		drawing_text(a, v->d, p.x + 1.6, p.y + 1.2,
			quantity_text(a, quantity_of(round(r->least * 1e3) / 1e3, DIM_LENGTH)),
			TEXT_SIZE, ALIGN_LEFT)
			->bold = true;
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

/* Extent of what moves, closed: x0, y0, x1, y1. */
static bool moving_extent(const struct view *v, double box[4])
{
	box[0] = box[1] = INFINITY;
	box[2] = box[3] = -INFINITY;
	for (size_t i = 0; i < v->shapes.count; i++) {
		const struct geo_body *body = v->shapes.items[i];
		for (size_t k = 0; body->leaf && k < body->count; k++) {
			if (!body->poses && !(v->elevation && text_begins(body->role, "leaf")))
				continue;
			box[0] = fmin(box[0], body->points[k].x);
			box[1] = fmin(box[1], body->points[k].y);
			box[2] = fmax(box[2], body->points[k].x);
			box[3] = fmax(box[3], body->points[k].y);
		}
	}
	return box[2] > box[0];
}

/* A height, upright on the left. */
static void draw_height(struct view *v, double low, double high, const char *name)
{
	struct arena *a = v->b->arena;
	double x = v->left - 3, y0 = paper_y(v, low), y1 = paper_y(v, high);
	drawing_line(a, v->d, x, y0, x, y1, 0.12);
	drawing_line(a, v->d, x - 1.2, y0, v->left, y0, 0.08)->grey = 0.5;
	drawing_line(a, v->d, x - 1.2, y1, v->left, y1, 0.08)->grey = 0.5;
	for (int end = 0; end < 2; end++) {
		double y = end ? y1 : y0, way = end ? -1.8 : 1.8;
		struct draw_point p[] = {{x, y}, {x - 0.45, y + way}, {x + 0.45, y + way}};
		drawing_polygon(a, v->d, p, COUNT_OF(p), 0, 0);
	}
	drawing_text(a, v->d, x - 0.9, (y0 + y1) / 2, arena_format(a, "%s %s", name,
		quantity_text(a, quantity_of(high - low, DIM_LENGTH))), TEXT_SIZE, ALIGN_CENTRE)->turn = 90;
}

static void draw_dimensions(struct view *v)
{
	double box[4];
	if (!moving_extent(v, box))
		return;
	if (v->elevation)
		draw_height(v, box[1], box[3], label(v->b, "height-closed"));
	draw_dimension(v, box[0], box[2], BAR_HEIGHT + 3, label(v->b, "length-closed"));
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
	v->bottom = BAR_HEIGHT + DIMENSION_STEP + 2 + rows;
	v->top = v->bottom + h;
	v->d = drawing_new(v->b->arena, WIDTH, v->top + rows);
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
	draw_dimensions(&v);
	draw_sides(&v);
	draw_clearances(&v);
	draw_zones(&v);
	draw_scale_bar(&v);
	*denominator = v.denominator;
	return v.d;
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
	spans_add(b->arena, &f->spans, label_with(b, elevation ? "caption-elevation" : "caption-plan", "scale",
		arena_format(b->arena, "1:%d", denominator)), SPAN_SMALL);
	if (left_out && !elevation)
		note_add(b, label_with(b, "bodies-left-out", "count", arena_format(b->arena, "%zu", left_out)));
}

void block_drawing_plan(struct builder *b)
{
	draw_view(b, false);
}

void block_drawing_elevation(struct builder *b)
{
	draw_view(b, true);
}
