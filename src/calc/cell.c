#include "calc/cell.h"

#include <math.h>
#include <stdint.h>

/* m: pieces that share the nearest corner are as far as each other but for this. */
static const double ROUNDING = 1e-12;

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
	c.at = arena_array(a, n, sizeof *c.at);
	c.velocity = arena_array(a, n, sizeof *c.velocity);
	c.arms = arena_array(a, n, sizeof *c.arms);
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
	for (size_t i = 0; i < n; i++) {
		c.at[i] = c.shape.points[i];
		c.arms[i] = motion_arm(&body->motion, c.at[i]);
		c.longest = more_of(c.longest, c.arms[i]);
	}
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
	c->pose = motion_pose(c->motion, t);
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

/* Nor is that along any direction: here the one between the nearest points of others. */
static double along_nearest(const struct couple *c, size_t i, size_t k, const struct feature *f)
{
	struct convex px = c->x.shape.pieces[i], py = c->y.shape.pieces[k];
	double nx = (f->on_p.x - f->on_q.x) / f->distance, ny = (f->on_p.y - f->on_q.y) / f->distance;
	double low = INFINITY, high = -INFINITY;
	if (!(f->distance > 0))
		return 0;
	for (size_t m = px.first; m < px.first + px.count; m++)
		low = less_of(low, nx * c->x.at[m].x + ny * c->x.at[m].y);
	for (size_t m = py.first; m < py.first + py.count; m++)
		high = more_of(high, nx * c->y.at[m].x + ny * c->y.at[m].y);
	return low - high + ROUNDING;
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
			if ((i == i0 && k == k0) || circles(c, i, k) >= best.distance ||
				along_nearest(c, i, k, &best) >= best.distance)
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

static struct moment moment_of(const struct feature *f, const struct pose *x, const struct pose *y)
{
	if (!(f->distance > 0))
		return (struct moment){f->distance, 0};
	struct geo_point v = pose_velocity(x, f->on_p), w = pose_velocity(y, f->on_q);
	double dx = f->on_p.x - f->on_q.x, dy = f->on_p.y - f->on_q.y;
	return (struct moment){f->distance, (dx * (v.x - w.x) + dy * (v.y - w.y)) / f->distance};
}

struct moment couple_moment(const struct couple *c, const struct feature *f)
{
	return moment_of(f, &c->x.pose, &c->y.pose);
}

struct moment couple_moment_before(const struct couple *c, const struct feature *f, double t)
{
	struct pose x = motion_pose_before(c->x.motion, t), y = motion_pose_before(c->y.motion, t);
	return moment_of(f, &x, &y);
}

static void stir_up(struct carried *c, double t, double h)
{
	if (!c->motion->count)
		return;
	c->sway = motion_sway(c->motion, t, h);
	struct rates most = sway_rates(&c->sway, c->longest);
	c->fastest = most.speed;
	c->hardest = most.acceleration;
}

struct stir couple_stir(struct couple *c, double t, double h)
{
	stir_up(&c->x, t, h);
	stir_up(&c->y, t, h);
	double speed = c->x.fastest + c->y.fastest;
	return (struct stir){speed * h, speed, c->x.hardest + c->y.hardest};
}

double stir_bend(const struct stir *s, double low)
{
	return s->acceleration + s->speed * s->speed / low;
}

/* Over its chord by nothing that is known, under it by the bend; over a tangent by the bend. */
struct quick couple_quick(const struct stir *s, const struct cell *cell, const struct moment *middle)
{
	double d = middle->distance, least = less_of(less_of(cell->before.distance, cell->after.distance), d);
	struct quick q = {more_of(d - s->reach, 0), d + s->reach, s->reach};
	if (!(q.low > 0))
		return q;
	double bend = stir_bend(s, q.low) * cell->h * cell->h / 2, way = middle->rate * cell->h;
	double over = more_of(d - way + bend - cell->before.distance, d + way + bend - cell->after.distance);
	q.low = more_of(q.low, least - bend / 4);
	q.high = less_of(q.high, d + fabs(way) + bend);
	q.off = less_of(q.off, more_of(bend, over));
	return q;
}

bool stir_steady(const struct stir *s, const struct cell *cell, double low)
{
	if (!(low > 0))
		return false;
	double most = 2 * cell->h * stir_bend(s, low);
	return cell->after.rate > most || cell->before.rate < -most;
}

static void widen(struct carried *c)
{
	for (size_t i = 0; c->motion->count && i < c->shape.count; i++) {
		c->velocity[i] = pose_velocity(&c->pose, c->at[i]);
		c->acceleration[i] = pose_acceleration(&c->pose, c->at[i]);
		c->rates[i] = sway_rates(&c->sway, c->arms[i]);
	}
}

void couple_widen(struct couple *c)
{
	widen(&c->x);
	widen(&c->y);
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
	double veer; /* how far its rate, over half the cell, can be from what it is in the middle */
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
	       jerk = p->most.jerk + q->most.jerk, w = owner->sway.turning, omega = owner->pose.omega;
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
		square * less_of(more_of(second, 0) + rest, most),
		2 * square * less_of(fabs(second) + jerk * h / 2, most)};
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

/* Any point of it tells how high another lies over it. One beside that other knows it best: what is far from it may be
 * carried round much faster. */
struct edge {
	struct geo_point n, along; /* outer normal, direction */
	struct mover point;
	double before, behind;     /* of the edge, from that point to its ends */
};

static struct edge edge_at(const struct carried *c, struct convex piece, size_t i, struct geo_point near)
{
	size_t k = i + 1 == piece.first + piece.count ? piece.first : i + 1;
	struct geo_point a = c->at[i], b = c->at[k];
	double ex = b.x - a.x, ey = b.y - a.y, length = sqrt(ex * ex + ey * ey);
	struct geo_point u = {ex / length, ey / length};
	double s = (near.x - a.x) * u.x + (near.y - a.y) * u.y;
	s = s > 0 ? less_of(s, length) : 0;
	struct edge e = {.n = {u.y, -u.x}, .along = u, .before = s, .behind = length - s};
	e.point = (struct mover){.at = {a.x + s * u.x, a.y + s * u.y}};
	if (!c->motion->count)
		return e;
	struct geo_point p = c->shape.points[i], q = c->shape.points[k];
	double arm = motion_arm(c->motion,
		(struct geo_point){p.x + s / length * (q.x - p.x), p.y + s / length * (q.y - p.y)});
	e.point.velocity = carried_velocity(c, e.point.at);
	e.point.acceleration = pose_acceleration(&c->pose, e.point.at);
	e.point.most = sway_rates(&c->sway, arm);
	return e;
}

/* ---- bounds ------------------------------------------------------------------------------------
 */

/* Whether a point of another body stays behind all edges of a piece, but for `except`. An edge
 * without length hides nothing: what is not a number is not behind it. */
static bool stays_behind(const struct carried *owner, struct convex piece, size_t except,
	const struct mover *p, double h)
{
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		struct edge e = edge_at(owner, piece, i, p->at);
		struct course out = course_of(owner, e.n, p, &e.point, h);
		if (i != except && !(course_high(out, 0) <= 0 && course_high(out, 1) <= 0))
			return false;
	}
	return true;
}

/* A corner's height over an edge, as long as it stays over it. Below it, it has to be inside. */
static bool high_over_edge(const struct carried *owner, struct convex mine, size_t edge,
	const struct carried *other, size_t corner, double h, double high[2])
{
	struct mover p = corner_of(other, corner);
	struct edge e = edge_at(owner, mine, edge, p.at);
	struct course height = course_of(owner, e.n, &p, &e.point, h),
		      along = course_of(owner, e.along, &p, &e.point, h);
	bool above = course_low(height, 0) >= 0 && course_low(height, 1) >= 0;
	for (int i = 0; i < 2; i++) {
		if (course_low(along, i) < -e.before || course_high(along, i) > e.behind)
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
	if (d > 0 && c->y.sway.turning <= c->x.sway.turning)
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
		struct edge e = edge_at(&c->y, py, f->q, f->on_q);
		low_along(&c->y, e.n, &e.point, &c->x, px, h, b.low);
	} else {
		struct edge e = edge_at(&c->x, px, f->p, f->on_p);
		low_along(&c->x, e.n, &e.point, &c->y, py, h, b.low);
	}
	return b;
}

/* No distance is less than 0 either. */
double bounds_off(const struct bounds *b, const struct cell *cell)
{
	double before = cell->before.distance, after = cell->after.distance;
	double below = less_of(more_of(before - b->low[0], after - b->low[1]), more_of(before, after));
	return more_of(below, more_of(b->high[0] - before, b->high[1] - after));
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
			if ((i == i0 && k == k0) || circles(c, i, k) - reach >= most ||
				along_nearest(c, i, k, near) - reach >= most)
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

/* ---- steadiness --------------------------------------------------------------------------------
 */

static int sense_of(struct course c)
{
	return c.change > c.veer ? 1 : c.change < -c.veer ? -1 : 0;
}

static double lowest(struct course c)
{
	return less_of(course_low(c, 0), course_low(c, 1));
}

static double highest(struct course c)
{
	return more_of(c.value, more_of(course_high(c, 0), course_high(c, 1)));
}

/* The height of the lowest corner over an edge: every corner that may be the lowest stays over the
 * edge, and all of them go the same way. */
static bool steady_over_edge(const struct carried *owner, struct convex mine, size_t edge, const struct carried *other,
	struct convex piece, size_t corner, double h)
{
	struct mover nearest = corner_of(other, corner);
	struct edge e = edge_at(owner, mine, edge, nearest.at);
	struct course course = course_of(owner, e.n, &nearest, &e.point, h);
	double most = highest(course);
	int sense = sense_of(course);
	if (!sense || lowest(course) < 0)
		return false;
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		struct mover p = corner_of(other, i);
		struct course height = course_of(owner, e.n, &p, &e.point, h);
		if (lowest(height) > most)
			continue;
		struct course along = course_of(owner, e.along, &p, &e.point, h);
		if (sense_of(height) != sense || lowest(along) < -e.before || highest(along) > e.behind)
			return false;
	}
	return true;
}

/* Whether all of `piece` stays behind its corner, as seen from the other point: both edges at the corner lean away. */
static bool stays_corner(const struct carried *owner, struct convex piece, size_t corner, const struct mover *p,
	double h)
{
	size_t last = piece.first + piece.count - 1;
	size_t sides[2] = {corner == last ? piece.first : corner + 1, corner == piece.first ? last : corner - 1};
	struct mover own = corner_of(owner, corner);
	for (int i = 0; piece.count > 1 && i < 2; i++) {
		struct geo_point e = {own.at.x - owner->at[sides[i]].x, own.at.y - owner->at[sides[i]].y};
		double length = sqrt(e.x * e.x + e.y * e.y);
		struct course beyond = course_of(owner, (struct geo_point){e.x / length, e.y / length}, p, &own, h);
		if (!(lowest(beyond) >= 0))
			return false;
	}
	return true;
}

/* Of two points: with d between them, (d . v)' is at most |v|² + |d| |a|. */
static bool steady_corners(const struct couple *c, struct convex px, struct convex py,
	const struct feature *f, double h)
{
	struct mover p = corner_of(&c->x, f->p), q = corner_of(&c->y, f->q);
	double dx = p.at.x - q.at.x, dy = p.at.y - q.at.y;
	double rate = dx * (p.velocity.x - q.velocity.x) + dy * (p.velocity.y - q.velocity.y);
	double fast = p.most.speed + q.most.speed, bend = p.most.acceleration + q.most.acceleration;
	return fabs(rate) > h * (fast * fast + (f->distance + fast * h) * bend) &&
	       stays_corner(&c->x, px, f->p, &q, h) && stays_corner(&c->y, py, f->q, &p, h);
}

bool couple_steady(const struct couple *c, const struct feature *near, const struct cell *cell)
{
	struct convex px = c->x.shape.pieces[c->piece_x], py = c->y.shape.pieces[c->piece_y];
	double reach = (c->x.fastest + c->y.fastest) * cell->h;
	if (near->overlap)
		return false;
	for (size_t i = 0; i < c->x.shape.piece_count; i++)
		for (size_t k = 0; k < c->y.shape.piece_count; k++)
			if ((i != c->piece_x || k != c->piece_y) &&
				circles(c, i, k) - reach <= near->distance + reach &&
				along_nearest(c, i, k, near) - reach <= near->distance + reach &&
				pieces_distance(c, i, k).distance - reach <= near->distance + reach)
				return false;
	if (near->kind == FEATURE_CORNERS)
		return steady_corners(c, px, py, near, cell->h);
	return near->kind == FEATURE_EDGE_FIRST
		       ? steady_over_edge(&c->x, px, near->p, &c->y, py, near->q, cell->h)
		       : steady_over_edge(&c->y, py, near->q, &c->x, px, near->p, cell->h);
}
