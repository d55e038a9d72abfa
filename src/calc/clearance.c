#include "calc/clearance.h"

#include <math.h>

#include "calc/cell.h"

enum { CELLS_MAX = 8192, PARTS = 8, ROOM = PARTS + 1 };

/* Of travel: what is narrower is a jump. */
static const double NARROWEST = 1e-13;

struct cells {
	struct couple couple;
	double across, tolerance, line, fine, error;
	struct clearance_knot *knots;
	size_t count, room, spent;
	struct arena *arena;
	bool even; /* no rate changes */
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

/* As the cell behind t sees it, and as the one before. */
struct moments {
	struct moment behind, before;
};

static struct moments look_at(struct cells *s, double t)
{
	struct feature f = couple_look(&s->couple, t);
	note_gap(s, t, in_space(s, f.distance));
	struct moment behind = couple_moment(&s->couple, &f);
	return (struct moments){behind, s->even ? behind : couple_moment_before(&s->couple, &f, t)};
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
static double allowed(const struct cells *s, double low, bool steady)
{
	double near = steady ? s->line : s->tolerance;
	return low > s->fine ? fmax(near, low / 10) : near;
}

/* In space the straight line is bowed: with r = √(d² + a²), |r''| is a² / r³, which is most where
 * the line is nearest. */
static double bow(const struct cells *s, const struct cell *c)
{
	double change = c->after.distance - c->before.distance,
	       r = in_space(s, fmin(c->before.distance, c->after.distance));
	return s->across > 0 ? change * change * s->across * s->across / (8 * r * r * r) : 0;
}

/* What is known of the gap in a cell. */
struct known {
	double low, high, off;
	bool steady;
};

static double beyond(const struct cells *s, const struct known *k)
{
	return fmax(s->least - k->low, k->high - s->greatest);
}

/* Whether the straight line between the ends is good enough, and nothing beyond the least and the greatest can be in
 * there. */
static bool is_enough(const struct cells *s, const struct known *k)
{
	return beyond(s, k) <= s->tolerance && k->off <= allowed(s, k->low, k->steady);
}

/* From features that stay the nearest; slower, and better where the gap is small. */
static void know_better(struct cells *s, const struct cell *c, const struct feature *f, double reach, bool last,
	double bent, struct known *k)
{
	double limit = allowed(s, in_space(s, f->distance), true);
	couple_widen(&s->couple);
	struct bounds b = couple_bounds(&s->couple, f, c, last ? INFINITY : fmax(limit, reach));
	k->off = fmin(k->off, bounds_off(&b, c) + bent);
	k->low = fmax(k->low, in_space(s, fmax(fmin(b.low[0], b.low[1]), 0)));
	k->high = fmin(k->high, in_space(s, fmax(b.high[0], b.high[1])));
	k->steady = k->steady || (k->off > allowed(s, k->low, false) && k->off <= allowed(s, k->low, true) &&
					 beyond(s, k) <= s->tolerance && couple_steady(&s->couple, f, c));
}

/* `last`: the cell is taken as it is, and how wrong that can be is noted. */
static bool is_settled(struct cells *s, const struct cell *c, const struct feature *f, bool last)
{
	struct moment middle = couple_moment(&s->couple, f);
	double gap = in_space(s, f->distance),
	       line = (in_space(s, c->before.distance) + in_space(s, c->after.distance)) / 2;
	if (!last && fabs(gap - line) > allowed(s, gap, true))
		return false;
	struct stir stir = couple_stir(&s->couple, c->t, c->h);
	struct quick q = couple_quick(&stir, c, &middle);
	double bent = bow(s, c);
	struct known k = {in_space(s, q.low), in_space(s, q.high), q.off + bent, stir_steady(&stir, c, q.low)};
	if (is_enough(s, &k))
		return true;
	know_better(s, c, f, stir.reach, last, bent, &k);
	if (is_enough(s, &k))
		return true;
	if (last)
		s->error = fmax(s->error, fmax(k.off, beyond(s, &k)));
	return last;
}

/* Adds the knots behind `from`, up to `to`. */
static void divide(struct cells *s, double from, struct moment before, double to, struct moment after)
{
	struct cell c = {(from + to) / 2, (to - from) / 2, before, after};
	struct feature f = couple_look(&s->couple, c.t);
	struct moment middle = couple_moment(&s->couple, &f);
	note_gap(s, c.t, in_space(s, f.distance));
	if (is_settled(s, &c, &f, s->spent++ >= CELLS_MAX || c.h <= NARROWEST)) {
		add_knot(s, to, after.distance);
		return;
	}
	divide(s, from, before, c.t, middle);
	divide(s, c.t, middle, to, after);
}

/* Where the cells to begin with end: where a rate changes, and some between, so that the least and
 * the greatest are nearly known before much is spent on what is far from both. */
static size_t beginnings(struct arena *a, const struct moving_body *x, const struct moving_body *y, double **out,
	bool *even)
{
	double *knots, from = 0;
	size_t n = motion_knots(a, &x->motion, &y->motion, &knots), count = 0;
	*even = n == 0;
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

static bool same_step(const struct motion_step *a, const struct motion_step *b)
{
	if (a->kind != b->kind || a->by.x != b->by.x || a->by.y != b->by.y || a->angle != b->angle ||
		a->knot_count != b->knot_count)
		return false;
	for (size_t i = 0; a->knots != b->knots && i < a->knot_count; i++)
		if (a->knots[i].x != b->knots[i].x || a->knots[i].y != b->knots[i].y)
			return false;
	return true;
}

/* What both are carried along by at last changes nothing between them. */
static void drop_common(struct moving_body *x, struct moving_body *y)
{
	while (x->motion.count && y->motion.count &&
		same_step(&x->motion.steps[x->motion.count - 1], &y->motion.steps[y->motion.count - 1])) {
		x->motion.count--;
		y->motion.count--;
	}
}

struct clearance_profile clearance_outline(struct arena *a, const struct moving_body *x,
	const struct moving_body *y, double across, double tolerance, double line, double fine)
{
	struct moving_body own_x = *x, own_y = *y;
	drop_common(&own_x, &own_y);
	struct cells s = {.couple = couple_of(a, &own_x, &own_y),
		.across = across,
		.tolerance = tolerance,
		.line = fmax(line, tolerance),
		.fine = fine,
		.error = tolerance,
		.arena = a,
		.least = INFINITY,
		.greatest = -INFINITY};
	double *ends, from = 0;
	size_t n = beginnings(a, &own_x, &own_y, &ends, &s.even);
	struct moments *moments = arena_array(a, n + 1, sizeof *moments);
	moments[0] = look_at(&s, 0);
	for (size_t i = 0; i < n; i++)
		moments[i + 1] = look_at(&s, ends[i]);
	add_knot(&s, 0, moments[0].behind.distance);
	for (size_t i = 0; i < n; i++) {
		divide(&s, from, moments[i].behind, ends[i], moments[i + 1].before);
		from = ends[i];
	}
	return (struct clearance_profile){
		s.knots, s.count, s.least, s.greatest, s.least_at, s.greatest_at, s.error};
}

struct clearance_profile clearance_of(struct arena *a, const struct moving_body *x,
	const struct moving_body *y, double across, double tolerance, double fine)
{
	return clearance_outline(a, x, y, across, tolerance, tolerance, fine);
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
		n.x * (vx.y - vy.y) - n.y * (vx.x - vy.x), f.on_p, f.on_q};
}

void clearance_rates(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	const double *travels, size_t count, struct clearance_rate *out)
{
	if (!count)
		return;
	struct couple c = couple_of(a, x, y);
	for (size_t i = 0; i < count; i++)
		out[i] = rate_at(&c, travels[i]);
}
