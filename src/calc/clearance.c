#include "calc/clearance.h"

#include <math.h>

#include "calc/cell.h"

enum { CELLS_MAX = 8192, PARTS = 8, ROOM = PARTS + 1 };

/* Of travel: what is narrower is a jump. */
static const double NARROWEST = 1e-13;

struct cells {
	struct couple couple;
	double across, tolerance, fine, error;
	struct clearance_knot *knots;
	size_t count, room, spent;
	struct arena *arena;
	double least, greatest, least_at, greatest_at;
};

static double in_space(const struct cells *s, double d)
{
	return s->across > 0 ? sqrt(d * d + s->across * s->across) : d;
}

static void note_gap(struct cells *s, double t, double gap)
{
	/* Of bodies that overlap, where they meet first. */
	if (gap < s->least || (gap == s->least && t < s->least_at)) {
		s->least = gap;
		s->least_at = t;
	}
	if (gap > s->greatest) {
		s->greatest = gap;
		s->greatest_at = t;
	}
}

static double distance_at(struct cells *s, double t)
{
	double d = couple_look(&s->couple, t).distance;
	note_gap(s, t, in_space(s, d));
	return d;
}

static void add_knot(struct cells *s, double t, double distance)
{
	if (s->count == s->room) {
		size_t room = s->room ? s->room * 2 : 64;
		s->knots = arena_grow(s->arena, s->knots, s->count, room, sizeof *s->knots);
		s->room = room;
	}
	s->knots[s->count++] = (struct clearance_knot){t, in_space(s, distance)};
}

/* How far from the straight line a cell may be in which the gap is nowhere less than `low`. */
static double allowed(const struct cells *s, double low)
{
	return low > s->fine ? fmax(s->tolerance, low / 10) : s->tolerance;
}

/* In space the straight line is bowed: with r = √(d² + a²), |r''| is a² / r³, which is most where
 * the line is nearest. */
static double bow(const struct cells *s, const struct cell *c)
{
	double change = c->after - c->before, r = in_space(s, fmin(c->before, c->after));
	return s->across > 0 ? change * change * s->across * s->across / (8 * r * r * r) : 0;
}

/* Whether the straight line between the ends of a cell, which is `middle` in its middle, is good
 * enough, and nothing beyond the least and the greatest can be in there. `last`: it is taken as it
 * is, and how wrong that can be is noted. */
static bool is_settled(struct cells *s, const struct cell *c, const struct feature *f, bool last)
{
	double limit = allowed(s, in_space(s, f->distance)),
	       line = (in_space(s, c->before) + in_space(s, c->after)) / 2;
	if (!last && fabs(in_space(s, f->distance) - line) > limit)
		return false;
	double reach = couple_widen(&s->couple, c->h), bent = bow(s, c);
	struct bounds b = couple_bounds(&s->couple, f, c, last ? INFINITY : fmax(limit, reach));
	/* No corner goes farther than `reach`. */
	double off = fmin(bounds_off(&b, c), reach) + bent;
	double low = in_space(s, fmax(fmax(fmin(b.low[0], b.low[1]), f->distance - reach), 0));
	double high = in_space(s, fmin(fmax(b.high[0], b.high[1]), f->distance + reach));
	double beyond = fmax(s->least - low, high - s->greatest);
	if (off <= allowed(s, low) && beyond <= s->tolerance)
		return true;
	if (last)
		s->error = fmax(s->error, fmax(off, beyond));
	return last;
}

/* Adds the knots behind `from`, up to `to`. */
static void divide(struct cells *s, double from, double before, double to, double after)
{
	struct cell c = {(from + to) / 2, (to - from) / 2, before, after};
	struct feature f = couple_look(&s->couple, c.t);
	note_gap(s, c.t, in_space(s, f.distance));
	if (is_settled(s, &c, &f, s->spent++ >= CELLS_MAX || c.h <= NARROWEST)) {
		add_knot(s, to, after);
		return;
	}
	divide(s, from, before, c.t, f.distance);
	divide(s, c.t, f.distance, to, after);
}

/* Where the cells to begin with end: where a rate changes, and some between, so that the least and
 * the greatest are nearly known before much is spent on what is far from both. */
static size_t beginnings(
	struct arena *a, const struct moving_body *x, const struct moving_body *y, double **out)
{
	double *knots, from = 0;
	size_t n = motion_knots(a, &x->motion, &y->motion, &knots), count = 0;
	*out = arena_array(a, n + ROOM, sizeof **out);
	for (size_t i = 0; i <= n; i++) {
		double to = i < n ? knots[i] : 1;
		int parts = 1 + (int)((to - from) * (PARTS - 1));
		for (int k = 1; k <= parts; k++)
			(*out)[count++] = k < parts ? from + (to - from) * k / parts : to;
		from = to;
	}
	return count;
}

struct clearance_profile clearance_of(struct arena *a, const struct moving_body *x,
	const struct moving_body *y, double across, double tolerance, double fine)
{
	struct cells s = {.couple = couple_of(a, x, y),
		.across = across,
		.tolerance = tolerance,
		.fine = fine,
		.error = tolerance,
		.arena = a,
		.least = INFINITY,
		.greatest = -INFINITY};
	double *ends, from = 0, before = distance_at(&s, 0);
	size_t n = beginnings(a, x, y, &ends);
	double *distances = arena_array(a, n, sizeof *distances);
	for (size_t i = 0; i < n; i++)
		distances[i] = distance_at(&s, ends[i]);
	add_knot(&s, 0, before);
	for (size_t i = 0; i < n; i++) {
		divide(&s, from, before, ends[i], distances[i]);
		from = ends[i];
		before = distances[i];
	}
	return (struct clearance_profile){
		s.knots, s.count, s.least, s.greatest, s.least_at, s.greatest_at, s.error};
}

/* ---- others ------------------------------------------------------------------------------------
 */

double clearance_at(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	double t, struct geo_point *on_x, struct geo_point *on_y)
{
	struct couple c = couple_of(a, x, y);
	struct feature f = couple_look(&c, t);
	if (f.overlap)
		f.on_p = f.on_q = convex_shared(
			c.x.at, c.x.shape.pieces[c.piece_x], c.y.at, c.y.shape.pieces[c.piece_y]);
	if (on_x)
		*on_x = f.on_p;
	if (on_y)
		*on_y = f.on_q;
	return f.distance;
}

static void circle_of(const struct moving_body *b, struct geo_point *middle, double *radius)
{
	*middle = (struct geo_point){0, 0};
	*radius = 0;
	for (size_t i = 0; i < b->count; i++) {
		middle->x += b->points[i].x / (double)b->count;
		middle->y += b->points[i].y / (double)b->count;
	}
	for (size_t i = 0; i < b->count; i++)
		*radius = fmax(
			*radius, hypot(b->points[i].x - middle->x, b->points[i].y - middle->y));
}

bool clearance_may_come_near(
	const struct moving_body *x, const struct moving_body *y, double across, double near)
{
	enum { LOOKS = 16 };
	struct geo_point mx, my;
	double rx, ry;
	if (across > near)
		return false;
	circle_of(x, &mx, &rx);
	circle_of(y, &my, &ry);
	for (int i = 0; i < LOOKS; i++) {
		double from = (double)i / LOOKS, to = (i + 1.0) / LOOKS, t = (from + to) / 2;
		struct geo_point p = motion_apply(&x->motion, mx, t),
				 q = motion_apply(&y->motion, my, t);
		double reach = motion_reach(&x->motion, mx, t, from, to) +
			       motion_reach(&y->motion, my, t, from, to);
		double apart = fmax(hypot(p.x - q.x, p.y - q.y) - rx - ry - reach, 0);
		if (!(hypot(apart, across) > near))
			return true;
	}
	return false;
}

enum trend { UNTOLD, GROWING, SHRINKING };

static struct clearance_stretch stretch_of(
	const struct clearance_knot *from, const struct clearance_knot *to, enum trend way)
{
	return (struct clearance_stretch){.from = from->travel,
		.to = to->travel,
		.start = from->gap,
		.end = to->gap,
		.opening = way == SHRINKING};
}

size_t clearance_stretches(struct arena *a, const struct clearance_profile *p, double least_change,
	struct clearance_stretch **out)
{
	struct clearance_stretch *all = arena_array(a, p->count, sizeof *all);
	const struct clearance_knot *low = p->knots, *high = low, *from = low;
	enum trend way = UNTOLD;
	size_t n = 0;
	*out = all;
	for (size_t i = 1; i < p->count; i++) {
		const struct clearance_knot *k = &p->knots[i];
		low = k->gap < low->gap ? k : low;
		high = k->gap > high->gap ? k : high;
		bool up = way != GROWING && k->gap - low->gap > least_change;
		bool down = way != SHRINKING && high->gap - k->gap > least_change;
		if (!up && !down)
			continue;
		const struct clearance_knot *turn = up ? low : high;
		if (way != UNTOLD)
			all[n++] = stretch_of(from, turn, way);
		from = turn;
		way = up ? GROWING : SHRINKING;
		low = high = k;
	}
	if (way != UNTOLD)
		all[n++] = stretch_of(from, way == GROWING ? high : low, way);
	return n;
}

static struct clearance_rate rate_at(struct couple *c, double t)
{
	struct feature f = couple_look(c, t);
	struct geo_point n = {
		(f.on_p.x - f.on_q.x) / f.distance, (f.on_p.y - f.on_q.y) / f.distance};
	if (f.distance <= 1e-9)
		n = convex_least_overlap(c->x.at, c->x.shape.pieces[c->piece_x], c->y.at,
			c->y.shape.pieces[c->piece_y]);
	if (f.overlap)
		f.on_p = f.on_q = convex_shared(c->x.at, c->x.shape.pieces[c->piece_x], c->y.at,
			c->y.shape.pieces[c->piece_y]);
	struct geo_point vx = carried_velocity(&c->x, f.on_p), vy = carried_velocity(&c->y, f.on_q);
	return (struct clearance_rate){n.x * (vx.x - vy.x) + n.y * (vx.y - vy.y),
		n.x * (vx.y - vy.y) - n.y * (vx.x - vy.x), f.on_p};
}

void clearance_rates(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	const double *travels, size_t count, struct clearance_rate *out)
{
	struct couple c = couple_of(a, x, y);
	for (size_t i = 0; i < count; i++)
		out[i] = rate_at(&c, travels[i]);
}
