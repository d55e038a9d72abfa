#include "calc/cell.h"

#include <math.h>
#include <stdint.h>

/* Not fmin() and fmax(), which have to think of what is not a number: in here they would take a
 * tenth of the time. */
static inline double less_of(double a, double b)
{
	return a < b ? a : b;
}

static inline double more_of(double a, double b)
{
	return a > b ? a : b;
}

/* ---- where they stand --------------------------------------------------------------------------
 */

static struct carried carry(struct arena *a, const struct moving_body *body)
{
	struct carried c = {
		.motion = &body->motion, .shape = polygon_cut(a, body->points, body->count)};
	size_t n = c.shape.count, pieces = c.shape.piece_count;
	c.states = arena_array(a, body->motion.count, sizeof *c.states);
	c.at = arena_array(a, n, sizeof *c.at);
	c.velocity = arena_array(a, n, sizeof *c.velocity);
	c.acceleration = arena_array(a, n, sizeof *c.acceleration);
	c.rates = arena_array(a, n, sizeof *c.rates);
	c.middles = arena_array(a, pieces, sizeof *c.middles);
	c.middle_at = arena_array(a, pieces, sizeof *c.middle_at);
	c.radii = arena_array(a, pieces, sizeof *c.radii);
	for (size_t k = 0; k < pieces; k++) {
		struct convex piece = c.shape.pieces[k];
		const struct geo_point *p = &c.shape.points[piece.first];
		struct geo_point m = {0, 0};
		for (size_t i = 0; i < piece.count; i++) {
			m.x += p[i].x / (double)piece.count;
			m.y += p[i].y / (double)piece.count;
		}
		c.middles[k] = m;
		for (size_t i = 0; i < piece.count; i++)
			c.radii[k] = more_of(c.radii[k], hypot(p[i].x - m.x, p[i].y - m.y));
	}
	/* What stands is put in its place once. */
	c.pose = (struct pose){.c = 1};
	for (size_t i = 0; i < n; i++)
		c.at[i] = c.shape.points[i];
	for (size_t k = 0; k < pieces; k++)
		c.middle_at[k] = c.middles[k];
	return c;
}

struct couple couple_of(struct arena *a, const struct moving_body *x, const struct moving_body *y)
{
	return (struct couple){.x = carry(a, x), .y = carry(a, y), .last = {.overlap = true}};
}

static void place(struct carried *c, double t)
{
	if (!c->motion->count)
		return;
	c->pose = motion_states(c->motion, t, c->states);
	for (size_t i = 0; i < c->shape.count; i++)
		c->at[i] = pose_place(&c->pose, c->shape.points[i]);
	for (size_t k = 0; k < c->shape.piece_count; k++)
		c->middle_at[k] = pose_place(&c->pose, c->middles[k]);
}

/* Never more than the distance of two pieces: that of the circles around them. */
static double circles(const struct couple *c, size_t i, size_t k)
{
	struct geo_point a = c->x.middle_at[i], b = c->y.middle_at[k];
	double dx = a.x - b.x, dy = a.y - b.y;
	return sqrt(dx * dx + dy * dy) - c->x.radii[i] - c->y.radii[k];
}

static struct feature pieces_distance(const struct couple *c, size_t i, size_t k)
{
	return convex_distance(c->x.at, c->x.shape.pieces[i], c->y.at, c->y.shape.pieces[k]);
}

struct feature couple_look(struct couple *c, double t)
{
	place(&c->x, t);
	place(&c->y, t);
	size_t i0 = c->piece_x, k0 = c->piece_y;
	struct feature best;
	if (!convex_still(c->x.at, c->x.shape.pieces[i0], c->y.at, c->y.shape.pieces[k0], &c->last,
		    &best))
		best = pieces_distance(c, i0, k0);
	for (size_t i = 0; i < c->x.shape.piece_count; i++)
		for (size_t k = 0; k < c->y.shape.piece_count; k++) {
			if ((i == i0 && k == k0) || circles(c, i, k) >= best.distance)
				continue;
			struct feature f = pieces_distance(c, i, k);
			if (f.distance < best.distance) {
				best = f;
				c->piece_x = i;
				c->piece_y = k;
			}
		}
	c->last = best;
	return best;
}

struct geo_point carried_velocity(const struct carried *c, struct geo_point place)
{
	return pose_velocity(&c->pose, place);
}

static double widen(struct carried *c, double h)
{
	size_t steps = c->motion->count;
	if (!steps)
		return 0;
	c->turning = motion_turning(c->states, steps);
	c->fastest = 0;
	for (size_t i = 0; i < c->shape.count; i++) {
		c->velocity[i] = pose_velocity(&c->pose, c->at[i]);
		c->acceleration[i] = pose_acceleration(&c->pose, c->at[i]);
		c->rates[i] = motion_bounds(c->states, steps, c->shape.points[i], h);
		c->fastest = more_of(c->fastest, c->rates[i].speed);
	}
	return c->fastest * h;
}

double couple_widen(struct couple *c, double h)
{
	return widen(&c->x, h) + widen(&c->y, h);
}

/* ---- courses -----------------------------------------------------------------------------------
 */

/* A point of a body: where it is, how it moves, and bounds over the cell. */
struct mover {
	struct geo_point at, velocity, acceleration;
	struct rates most;
};

static struct mover corner_of(const struct carried *c, size_t i)
{
	return (struct mover){c->at[i], c->velocity[i], c->acceleration[i], c->rates[i]};
}

/* A point within a piece goes no faster than the fastest of its corners. */
static struct mover point_of(const struct carried *c, struct convex piece, struct geo_point at)
{
	struct mover m = {.at = at,
		.velocity = carried_velocity(c, at),
		.acceleration = pose_acceleration(&c->pose, at)};
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		m.most.speed = more_of(m.most.speed, c->rates[i].speed);
		m.most.acceleration = more_of(m.most.acceleration, c->rates[i].acceleration);
		m.most.jerk = more_of(m.most.jerk, c->rates[i].jerk);
	}
	return m;
}

/* Of a quantity: the straight line of its value and rate in the middle of the cell, and how far it
 * can be below the one and above it, measured from the line between the ends. */
struct course {
	double value, change, below, above;
};

static double course_low(struct course c, int end)
{
	return c.value + (end ? c.change : -c.change) - c.below;
}

static double course_high(struct course c, int end)
{
	return c.value + (end ? c.change : -c.change) + c.above;
}

/* n . (p - q), n carried by `owner`, which turns at the even rate w: with d = p - q and n' = w J n,
 * where J is a quarter turn, s' = n . (d' - w J d), s'' = n . (d'' - 2 w J d' - w² d), and
 * |s'''| <= |d'''| + 3 w |d''| + 3 w² |d'| + w³ |d|. So s is within |s'''| h³ / 6 of a parabola,
 * and a parabola is on the one side of the line by s'' u² / 2 <= s'' h² / 2. Where h is wide, the
 * most that s'' can be tells more. */
static struct course course_of(const struct carried *owner, struct geo_point n,
	const struct mover *p, const struct mover *q, double h)
{
	double dx = p->at.x - q->at.x, dy = p->at.y - q->at.y;
	double vx = p->velocity.x - q->velocity.x, vy = p->velocity.y - q->velocity.y;
	double ax = p->acceleration.x - q->acceleration.x,
	       ay = p->acceleration.y - q->acceleration.y;
	double most = p->most.acceleration + q->most.acceleration,
	       jerk = p->most.jerk + q->most.jerk, w = owner->turning, omega = owner->pose.omega;
	double second = n.x * ax + n.y * ay;
	if (w > 0) {
		double fast = p->most.speed + q->most.speed,
		       far = sqrt(dx * dx + dy * dy) + fast * h;
		jerk += w * (3 * most + w * (3 * fast + w * far));
		most += w * (2 * fast + w * far);
		second += omega * (2 * (n.x * vy - n.y * vx) - omega * (n.x * dx + n.y * dy));
	}
	double square = h * h / 2, rest = jerk * h / 3;
	return (struct course){n.x * dx + n.y * dy,
		h * (n.x * vx + n.y * vy + omega * (-n.y * dx + n.x * dy)),
		square * less_of(more_of(-second, 0) + rest, most),
		square * less_of(more_of(second, 0) + rest, most)};
}

/* The distance along `n`, fixed in `owner` at its point `q`, of all corners of a piece of `other`.
 */
static void low_along(const struct carried *owner, struct geo_point n, const struct mover *q,
	const struct carried *other, struct convex piece, double h, double low[2])
{
	low[0] = low[1] = INFINITY;
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		struct mover p = corner_of(other, i);
		struct course c = course_of(owner, n, &p, q, h);
		low[0] = less_of(low[0], course_low(c, 0));
		low[1] = less_of(low[1], course_low(c, 1));
	}
}

struct edge {
	struct geo_point n, along; /* outer normal, direction */
	struct mover from;
	double length;
};

static struct edge edge_of(const struct carried *c, struct convex piece, size_t i)
{
	size_t k = i + 1 == piece.first + piece.count ? piece.first : i + 1;
	double ex = c->at[k].x - c->at[i].x, ey = c->at[k].y - c->at[i].y,
	       length = sqrt(ex * ex + ey * ey);
	struct geo_point u = {ex / length, ey / length};
	return (struct edge){{u.y, -u.x}, u, corner_of(c, i), length};
}

/* ---- bounds ------------------------------------------------------------------------------------
 */

/* Whether a point of another body stays behind all edges of a piece, but for `except`. An edge
 * without length hides nothing: what is not a number is not behind it. */
static bool stays_behind(const struct carried *owner, struct convex piece, size_t except,
	const struct mover *p, double h)
{
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		struct edge e = edge_of(owner, piece, i);
		struct course out = course_of(owner, e.n, p, &e.from, h);
		if (i != except && !(course_high(out, 0) <= 0 && course_high(out, 1) <= 0))
			return false;
	}
	return true;
}

/* A corner's height over an edge, as long as it stays over it. Below it, it has to be inside. */
static bool high_over_edge(const struct carried *owner, struct convex mine, size_t edge,
	const struct carried *other, size_t corner, double h, double high[2])
{
	struct edge e = edge_of(owner, mine, edge);
	struct mover p = corner_of(other, corner);
	struct course height = course_of(owner, e.n, &p, &e.from, h),
		      along = course_of(owner, e.along, &p, &e.from, h);
	bool above = course_low(height, 0) >= 0 && course_low(height, 1) >= 0;
	for (int i = 0; i < 2; i++) {
		if (course_low(along, i) < 0 || course_high(along, i) > e.length)
			return false;
		high[i] = more_of(course_high(height, i), 0);
	}
	return above || stays_behind(owner, mine, edge, &p, h);
}

/* Two points of them, the nearest in the middle of the cell. */
static void high_of_points(const struct mover *p, const struct mover *q, double h, double high[2])
{
	double dx = p->at.x - q->at.x, dy = p->at.y - q->at.y;
	double vx = h * (p->velocity.x - q->velocity.x), vy = h * (p->velocity.y - q->velocity.y);
	double ax = p->acceleration.x - q->acceleration.x,
	       ay = p->acceleration.y - q->acceleration.y;
	double bend = h * h / 2 *
		      less_of(sqrt(ax * ax + ay * ay) + (p->most.jerk + q->most.jerk) * h / 3,
			      p->most.acceleration + q->most.acceleration);
	high[0] = sqrt((dx - vx) * (dx - vx) + (dy - vy) * (dy - vy)) + bend;
	high[1] = sqrt((dx + vx) * (dx + vx) + (dy + vy) * (dy + vy)) + bend;
}

static struct bounds over_corners(const struct couple *c, struct convex px, struct convex py,
	const struct feature *f, double h)
{
	struct bounds b = {{0, 0}, {0, 0}};
	struct mover p = corner_of(&c->x, f->p), q = corner_of(&c->y, f->q);
	double d = f->distance;
	struct geo_point n = {(p.at.x - q.at.x) / d, (p.at.y - q.at.y) / d};
	high_of_points(&p, &q, h, b.high);
	/* In that direction, each piece lies wholly behind its corner. What turns less tells it
	 * better. */
	if (d > 0 && c->y.turning <= c->x.turning)
		low_along(&c->y, n, &q, &c->x, px, h, b.low);
	else if (d > 0)
		low_along(&c->x, (struct geo_point){-n.x, -n.y}, &p, &c->y, py, h, b.low);
	return b;
}

static bool high_of_feature(const struct couple *c, struct convex px, struct convex py,
	const struct feature *f, double h, double high[2])
{
	if (f->kind == FEATURE_EDGE_FIRST)
		return high_over_edge(&c->x, px, f->p, &c->y, f->q, h, high);
	return f->kind == FEATURE_EDGE_SECOND &&
	       high_over_edge(&c->y, py, f->q, &c->x, f->p, h, high);
}

/* Either a point that both share in the middle is shared all through, as part of the one or of the
 * other; or, where they hardly overlap, a corner stays at an edge. */
static struct bounds over_overlap(const struct couple *c, struct convex px, struct convex py,
	const struct feature *f, double h)
{
	struct bounds b = {{0, 0}, {0, 0}};
	struct geo_point shared = convex_shared(c->x.at, px, c->y.at, py);
	struct mover p = point_of(&c->x, px, shared), q = point_of(&c->y, py, shared);
	if (!stays_behind(&c->y, py, SIZE_MAX, &p, h) && !stays_behind(&c->x, px, SIZE_MAX, &q, h) &&
		!high_of_feature(c, px, py, f, h, b.high))
		b.high[0] = b.high[1] = INFINITY;
	return b;
}

static struct bounds bounds_of(
	const struct couple *c, size_t i, size_t k, const struct feature *f, double h)
{
	struct convex px = c->x.shape.pieces[i], py = c->y.shape.pieces[k];
	struct bounds b;
	if (f->overlap)
		return over_overlap(c, px, py, f, h);
	if (f->kind == FEATURE_CORNERS)
		return over_corners(c, px, py, f, h);
	if (!high_of_feature(c, px, py, f, h, b.high)) {
		struct mover p = point_of(&c->x, px, f->on_p), q = point_of(&c->y, py, f->on_q);
		high_of_points(&p, &q, h, b.high);
	}
	if (f->kind == FEATURE_EDGE_SECOND) {
		struct edge e = edge_of(&c->y, py, f->q);
		low_along(&c->y, e.n, &e.from, &c->x, px, h, b.low);
	} else {
		struct edge e = edge_of(&c->x, px, f->p);
		low_along(&c->x, e.n, &e.from, &c->y, py, h, b.low);
	}
	return b;
}

/* No distance is less than 0 either. */
double bounds_off(const struct bounds *b, const struct cell *cell)
{
	double below = less_of(more_of(cell->before - b->low[0], cell->after - b->low[1]),
		more_of(cell->before, cell->after));
	return more_of(below, more_of(b->high[0] - cell->before, b->high[1] - cell->after));
}

/* From below by the lowest of all pairs of pieces, from above by the nearest. */
struct bounds couple_bounds(
	const struct couple *c, const struct feature *near, const struct cell *cell, double limit)
{
	size_t i0 = c->piece_x, k0 = c->piece_y;
	struct bounds all = bounds_of(c, i0, k0, near, cell->h);
	double reach = (c->x.fastest + c->y.fastest) * cell->h,
	       most = more_of(all.high[0], all.high[1]);
	for (size_t i = 0; i < c->x.shape.piece_count; i++)
		for (size_t k = 0; k < c->y.shape.piece_count; k++) {
			if (bounds_off(&all, cell) > limit)
				return all;
			double far = circles(c, i, k) - reach;
			if ((i == i0 && k == k0) || far >= most)
				continue;
			struct feature f = pieces_distance(c, i, k);
			if (f.distance - reach >= most)
				continue;
			struct bounds b = bounds_of(c, i, k, &f, cell->h);
			all.low[0] = less_of(all.low[0], b.low[0]);
			all.low[1] = less_of(all.low[1], b.low[1]);
		}
	return all;
}
