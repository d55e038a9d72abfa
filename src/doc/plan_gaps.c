/* The least gaps that can hurt, dimensioned where they are. What does not fit, or is told less by a
 * place, stands in the table of clearances. */
#include <math.h>
#include <stdlib.h>

#include "base/text.h"
#include "doc/plan.h"

enum { GAPS_DRAWN = 12, PLACES = 26 };

struct gap {
	const struct clearance_result *r;
	double size;                  /* m */
	struct draw_point on_a, on_b; /* on paper */
	bool at_end;                  /* with the gate closed or open: the body is drawn there */
	int part; /* the largest part of the body that can be hurt: 0 body … */
	size_t order;
};

static struct geo_point pose_point(const struct geo_body *body, double travel, size_t i)
{
	if (!body->poses)
		return body->points[i];
	double at = travel * (GEOMETRY_POSES - 1);
	size_t k = (size_t)fmin(fmax(floor(at), 0), GEOMETRY_POSES - 2);
	struct geo_point a = shape_pose(body, k)[i], b = shape_pose(body, k + 1)[i];
	return (struct geo_point){
		a.x + (b.x - a.x) * (at - (double)k), a.y + (b.y - a.y) * (at - (double)k)};
}

/* The point of an outline that is nearest to `p`. */
static struct geo_point nearest_on(const struct geo_body *body, double travel, struct geo_point p)
{
	struct geo_point best = p;
	double least = INFINITY;
	for (size_t i = 0; i < body->count; i++) {
		struct geo_point a = pose_point(body, travel, i),
				 b = pose_point(body, travel, (i + 1) % body->count);
		double dx = b.x - a.x, dy = b.y - a.y, length = dx * dx + dy * dy;
		double t =
			length > 0
				? fmin(fmax(((p.x - a.x) * dx + (p.y - a.y) * dy) / length, 0), 1)
				: 0;
		struct geo_point on = {a.x + t * dx, a.y + t * dy};
		if (hypot(on.x - p.x, on.y - p.y) < least) {
			least = hypot(on.x - p.x, on.y - p.y);
			best = on;
		}
	}
	return best;
}

/* Of the travels at which something is hurt, that at which the bodies are as far apart, about the
 * place told, as computed there: a leaf is looked at in strips, and the place may be that of a
 * strip. */
static void find_ends(const struct view *v, struct gap *g)
{
	const struct clearance_result *r = g->r;
	struct geo_point middle = {r->x, r->y};
	double travel = r->least_at, off = INFINITY;
	g->size = r->least;
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		double size = fmin(s->start, s->end), at = s->start < s->end ? s->from : s->to;
		if (!s->kinds)
			continue;
		struct geo_point a = nearest_on(r->a, at, middle), b = nearest_on(r->b, at, middle);
		double miss = fabs(hypot(a.x - b.x, a.y - b.y) - size);
		if (miss < off - 1e-3 || (miss < off + 1e-3 && size < g->size)) {
			off = fmin(off, miss);
			travel = at;
			g->size = size;
		}
	}
	struct geo_point a = nearest_on(r->a, travel, middle), b = nearest_on(r->b, travel, middle);
	g->at_end = travel <= 0 || travel >= 1;
	g->on_a = plan_place(v, a.x, a.y);
	g->on_b = plan_place(v, b.x, b.y);
}

/* What says most comes first: a gap to what stands around the gate; what is seen with the gate
 * closed or open; a gap that stays open; the larger part of the body. */
static int by_telling(const void *x, const void *y)
{
	const struct gap *a = x, *b = y;
	bool around_a = a->r->b->item, around_b = b->r->b->item;
	if (around_a != around_b)
		return around_a ? -1 : 1;
	if (a->at_end != b->at_end)
		return a->at_end ? -1 : 1;
	if ((a->size > 0) != (b->size > 0))
		return a->size > 0 ? -1 : 1;
	if (a->part != b->part)
		return a->part < b->part ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

static size_t gather(const struct view *v, struct gap **out)
{
	const struct geometry *g = v->b->assessment->geometry;
	size_t n = 0;
	if (!g)
		return 0;
	struct gap *all = arena_array(v->b->arena, g->clearance_count, sizeof *all);
	for (size_t i = 0; i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		if (!r->kinds || !r->b || r->a->elevation != v->elevation ||
			r->least > CLEARANCE_FINE)
			continue;
		struct gap gap = {.r = r, .order = n};
		while (gap.part < CLEARANCE_PARTS && !(r->parts & 1u << gap.part))
			gap.part++;
		find_ends(v, &gap);
		all[n++] = gap;
	}
	if (n)
		qsort(all, n, sizeof *all, by_telling);
	*out = all;
	return n;
}

/* ---- drawing -----------------------------------------------------------------------------------
 */

/* Where words of a gap may stand about it, nearest first; x: -1 left, 1 right, 0 above or below. */
static const struct {
	double dx, dy;
	int side;
} AROUND[PLACES] = {{1.6, 1.0, 1}, {-1.6, 1.0, -1}, {1.6, -2.8, 1}, {-1.6, -2.8, -1}, {0, 2.6, 0},
	{0, -4.4, 0}, {3.4, -0.8, 1}, {-3.4, -0.8, -1}, {4.5, 4.5, 1}, {-4.5, 4.5, -1},
	{4.5, -6, 1}, {-4.5, -6, -1}, {7, 8, 1}, {-7, 8, -1}, {7, -9, 1}, {-7, -9, -1}, {12, 3, 1},
	{-12, 3, -1}, {12, -4, 1}, {-12, -4, -1}, {10, 12, 1}, {-10, 12, -1}, {10, -12, 1},
	{-10, -12, -1}, {16, 8, 1}, {-16, 8, -1}};

static enum doc_align align_of(int side)
{
	return side > 0 ? ALIGN_LEFT : side < 0 ? ALIGN_RIGHT : ALIGN_CENTRE;
}

/* Words that stand away have a line to their gap; it ends beside them. False: they stand at it. */
static bool line_to_words(size_t i, struct draw_point p, struct box box, struct draw_point *end)
{
	if (fabs(AROUND[i].dx) < 4)
		return false;
	*end = (struct draw_point){AROUND[i].side > 0 ? box.x0 : box.x1, p.y + AROUND[i].dy + 0.8};
	return true;
}

/* The place with the fewest lines through it; PLACES when all are taken. */
static size_t find_place(const struct view *v, struct draw_point p, const char *words)
{
	size_t best = PLACES;
	double least = INFINITY;
	struct draw_point end;
	for (size_t i = 0; i < PLACES; i++) {
		struct box box = box_of_words(
			p.x + AROUND[i].dx, p.y + AROUND[i].dy, words, align_of(AROUND[i].side));
		if (box.x0 < 0 || box.x1 > PLAN_WIDTH || !room_is_free(&v->room, box))
			continue;
		if (line_to_words(i, p, box, &end) && room_struck(&v->room, p, end))
			continue;
		double cost = 3.0 * room_crossed(&v->room, box) + 0.25 * (double)i;
		if (cost < least) {
			least = cost;
			best = i;
		}
	}
	return best;
}

static void draw_tail(struct view *v, struct draw_point tip, double x, double y, double length)
{
	struct draw_point end = {tip.x - length * x, tip.y - length * y};
	drawing_line(v->b->arena, v->d, tip.x, tip.y, end.x, end.y, 0.12);
	plan_arrow(v, tip, x, y);
	room_draw(&v->room, tip, end);
}

/* Two arrow heads at the gap: within it where they have room, else against it from outside. */
static void draw_ends(struct view *v, const struct gap *g)
{
	double dx = g->on_b.x - g->on_a.x, dy = g->on_b.y - g->on_a.y, length = hypot(dx, dy);
	double x = length > 1e-6 ? dx / length : sqrt(0.5),
	       y = length > 1e-6 ? dy / length : sqrt(0.5);
	if (length > 5) {
		draw_tail(v, g->on_a, -x, -y, length / 2);
		draw_tail(v, g->on_b, x, y, length / 2);
	} else {
		draw_tail(v, g->on_a, x, y, 3.2);
		draw_tail(v, g->on_b, -x, -y, 3.2);
	}
}

static bool draw_gap(struct view *v, const struct gap *g)
{
	struct arena *a = v->b->arena;
	struct draw_point p = {(g->on_a.x + g->on_b.x) / 2, (g->on_a.y + g->on_b.y) / 2};
	const char *words = quantity_text(a, quantity_of(round(g->size * 1e3) / 1e3, DIM_LENGTH));
	size_t at = find_place(v, p, words);
	if (at == PLACES || !isfinite(p.x) || !isfinite(p.y))
		return false;
	draw_ends(v, g);
	double x = p.x + AROUND[at].dx, y = p.y + AROUND[at].dy;
	struct box box = box_of_words(x, y, words, align_of(AROUND[at].side));
	struct draw_point end;
	if (line_to_words(at, p, box, &end)) {
		drawing_line(a, v->d, p.x, p.y, end.x, end.y, 0.1);
		room_draw(&v->room, p, end);
	}
	room_take(&v->room, box);
	v->lowest = fmin(v->lowest, box.y0);
	v->highest = fmax(v->highest, box.y1);
	drawing_text(a, v->d, x, y, words, PLAN_TEXT, align_of(AROUND[at].side))->bold = true;
	return true;
}

/* A post that guides on both faces gives one gap twice; and where there are many, words would hide
 * the drawing. */
static bool is_crowded(const struct gap *const *told, size_t count, const struct gap *g)
{
	static const double SAME = 2.5, NEAR = 20;
	enum { MANY = 4 };
	size_t near = 0;
	for (size_t i = 0; i < count; i++) {
		double off = hypot(told[i]->on_a.x - g->on_a.x, told[i]->on_a.y - g->on_a.y);
		if (fabs(told[i]->size - g->size) < 5e-4 && off < SAME)
			return true;
		near += off < NEAR;
	}
	return near >= MANY;
}

void plan_gaps(struct view *v)
{
	const struct gap *told[GAPS_DRAWN];
	size_t count = 0;
	struct gap *all = NULL;
	size_t n = gather(v, &all);
	for (size_t i = 0; i < n && count < GAPS_DRAWN; i++)
		if (!is_crowded(told, count, &all[i]) && draw_gap(v, &all[i]))
			told[count++] = &all[i];
}
