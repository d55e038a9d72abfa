#include "calc/clearance.h"

#include <math.h>

#include "calc/motion.h"
#include "calc/polygon.h"

enum { CELLS_MAX = 8192, DEPTH_MAX = 48 };

/* A body where it stands in the middle of the cell in hand. */
struct carried {
	const struct motion *motion;
	struct step_now *now;
	struct pose pose;
	struct polygon shape;      /* closed position */
	struct geo_point *at, *velocity;
	double *speed, *acceleration; /* bounds over the cell */
	double turning;
	struct geo_point *middles; /* of the pieces: centre of a circle around each */
	double *radii;
	struct geo_point *middle_at;
	double fastest;            /* of any corner, over the cell */
};

struct cells {
	struct carried x, y;
	double across, tolerance, fine, error;
	struct clearance_knot *knots;
	size_t count, room, spent;
	struct arena *arena;
	double least, greatest, least_at, greatest_at;
};

/* What is known of one cell. */
struct cell {
	double t, h;               /* middle, half width */
	double before, middle, after; /* distance in the view, at both ends and in the middle */
};

static struct carried carry(struct arena *a, const struct moving_body *body)
{
	struct carried c = {.motion = &body->motion, .shape = polygon_cut(a, body->points, body->count)};
	size_t n = c.shape.count;
	c.now = arena_array(a, body->motion.count, sizeof *c.now);
	c.at = arena_array(a, n, sizeof *c.at);
	c.velocity = arena_array(a, n, sizeof *c.velocity);
	c.speed = arena_array(a, n, sizeof *c.speed);
	c.acceleration = arena_array(a, n, sizeof *c.acceleration);
	c.middles = arena_array(a, c.shape.piece_count, sizeof *c.middles);
	c.middle_at = arena_array(a, c.shape.piece_count, sizeof *c.middle_at);
	c.radii = arena_array(a, c.shape.piece_count, sizeof *c.radii);
	for (size_t k = 0; k < c.shape.piece_count; k++) {
		struct convex piece = c.shape.pieces[k];
		struct geo_point m = {0, 0};
		for (size_t i = piece.first; i < piece.first + piece.count; i++) {
			m.x += c.shape.points[i].x / (double)piece.count;
			m.y += c.shape.points[i].y / (double)piece.count;
		}
		c.middles[k] = m;
		for (size_t i = piece.first; i < piece.first + piece.count; i++)
			c.radii[k] = fmax(c.radii[k], hypot(c.shape.points[i].x - m.x, c.shape.points[i].y - m.y));
	}
	return c;
}

static void place(struct carried *c, double t)
{
	motion_look(c->motion, t, c->now);
	c->pose = motion_pose(c->motion, c->now);
	for (size_t i = 0; i < c->shape.count; i++) {
		c->at[i] = pose_place(&c->pose, c->shape.points[i]);
		c->velocity[i] = pose_velocity(&c->pose, c->at[i]);
	}
	for (size_t k = 0; k < c->shape.piece_count; k++)
		c->middle_at[k] = pose_place(&c->pose, c->middles[k]);
}

/* Where it was placed. */
static void bound(struct carried *c, double h)
{
	c->turning = motion_turning(c->motion, c->now);
	c->fastest = 0;
	for (size_t i = 0; i < c->shape.count; i++) {
		motion_bounds(c->motion, c->now, c->shape.points[i], h, &c->speed[i], &c->acceleration[i]);
		c->fastest = fmax(c->fastest, c->speed[i]);
	}
}

/* Never more than the distance of two pieces: that of the circles around them. */
static double circles(const struct cells *s, size_t i, size_t k)
{
	struct geo_point a = s->x.middle_at[i], b = s->y.middle_at[k];
	double dx = a.x - b.x, dy = a.y - b.y;
	return sqrt(dx * dx + dy * dy) - s->x.radii[i] - s->y.radii[k];
}

/* The nearest features of both bodies where they stand. */
static struct feature nearest(const struct cells *s, size_t *piece_x, size_t *piece_y)
{
	struct feature best = {.distance = INFINITY};
	for (size_t i = 0; i < s->x.shape.piece_count; i++)
		for (size_t k = 0; k < s->y.shape.piece_count; k++) {
			if (circles(s, i, k) >= best.distance)
				continue;
			struct feature f = convex_distance(s->x.at, s->x.shape.pieces[i], s->y.at,
				s->y.shape.pieces[k]);
			if (f.distance < best.distance) {
				best = f;
				*piece_x = i;
				*piece_y = k;
			}
		}
	return best;
}

static double in_space(const struct cells *s, double d)
{
	return s->across > 0 ? sqrt(d * d + s->across * s->across) : d;
}

static double distance_at(struct cells *s, double t)
{
	size_t i = 0, k = 0;
	place(&s->x, t);
	place(&s->y, t);
	return nearest(s, &i, &k).distance;
}

/* ---- bounds over a cell ------------------------------------------------------------------------ */

/* Of a quantity: its value in the middle, its rate there, and how fast that rate can change anywhere in the cell. */
struct course {
	double value, rate, bend;
};

static double course_low(struct course c, double h, double end)
{
	return c.value + c.rate * end * h - c.bend * h * h / 2;
}

static double course_high(struct course c, double h, double end)
{
	return c.value + c.rate * end * h + c.bend * h * h / 2;
}

/* n . (p - q), n carried by a body that turns at `turning` (bound) and `omega` (now), p a corner of one body, q a
 * point of the other. */
static struct course course_of(struct geo_point n, double omega, double turning, struct geo_point p, struct geo_point vp,
	double sp, double ap, struct geo_point q, struct geo_point vq, double sq, double aq, double h)
{
	double dx = p.x - q.x, dy = p.y - q.y, vx = vp.x - vq.x, vy = vp.y - vq.y;
	double fast = sp + sq, far = turning > 0 ? sqrt(dx * dx + dy * dy) + fast * h : 0;
	return (struct course){n.x * dx + n.y * dy,
		n.x * vx + n.y * vy + omega * (-n.y * dx + n.x * dy),
		ap + aq + turning * (2 * fast + turning * far)};
}

/* The gap along `n`, fixed in `owner` at its point `q` (velocity vq), of every corner of a piece of `other`, held from
 * below at both ends of the cell. `n` points from owner to other. */
static void low_along(const struct carried *owner, double omega, struct geo_point n, struct geo_point q,
	struct geo_point vq, double sq, double aq, const struct carried *other, struct convex piece, double h,
	double low[2])
{
	low[0] = low[1] = INFINITY;
	for (size_t i = piece.first; i < piece.first + piece.count; i++) {
		struct course c = course_of(n, omega, owner->turning, other->at[i], other->velocity[i], other->speed[i],
			other->acceleration[i], q, vq, sq, aq, h);
		low[0] = fmin(low[0], course_low(c, h, -1));
		low[1] = fmin(low[1], course_low(c, h, 1));
	}
}

struct edge {
	struct geo_point from, n, along; /* outer normal, direction */
	struct geo_point velocity;       /* of `from` */
	double length, speed, acceleration;
};

static struct edge edge_of(const struct carried *c, struct convex piece, size_t i)
{
	size_t k = i + 1 == piece.first + piece.count ? piece.first : i + 1;
	double ex = c->at[k].x - c->at[i].x, ey = c->at[k].y - c->at[i].y, length = sqrt(ex * ex + ey * ey);
	struct geo_point u = {ex / length, ey / length};
	return (struct edge){c->at[i], {u.y, -u.x}, u, c->velocity[i], length, c->speed[i], c->acceleration[i]};
}

struct bounds {
	double low[2], high[2];
	bool held; /* from above */
};

/* A corner over an edge: from below by the gap along the edge's normal of the whole other piece, from above by the
 * corner's height over the edge, as long as it stays over it. */
static struct bounds over_edge(const struct carried *owner, struct convex mine, size_t edge,
	const struct carried *other, struct convex theirs, size_t corner, const struct cell *c)
{
	struct edge e = edge_of(owner, mine, edge);
	double omega = owner->pose.omega, h = c->h;
	struct bounds b = {.held = true};
	low_along(owner, omega, e.n, e.from, e.velocity, e.speed, e.acceleration, other, theirs, h, b.low);
	struct course height = course_of(e.n, omega, owner->turning, other->at[corner], other->velocity[corner],
		other->speed[corner], other->acceleration[corner], e.from, e.velocity, e.speed, e.acceleration, h);
	struct course along = course_of(e.along, omega, owner->turning, other->at[corner], other->velocity[corner],
		other->speed[corner], other->acceleration[corner], e.from, e.velocity, e.speed, e.acceleration, h);
	for (int i = 0; i < 2; i++) {
		double end = i ? 1 : -1;
		/* Below the edge is inside or behind: the corner is then no nearer than nothing. */
		b.high[i] = fmax(course_high(height, h, end), 0);
		b.held = b.held && course_low(along, h, end) >= 0 && course_high(along, h, end) <= e.length;
	}
	return b;
}

/* Two material points, the nearest in the middle of the cell. */
static void high_of_points(struct geo_point p, struct geo_point vp, double ap, struct geo_point q, struct geo_point vq,
	double aq, double h, double high[2])
{
	for (int i = 0; i < 2; i++) {
		double end = i ? h : -h;
		high[i] = hypot(p.x - q.x + (vp.x - vq.x) * end, p.y - q.y + (vp.y - vq.y) * end) +
			(ap + aq) * h * h / 2;
	}
}

/* Greatest acceleration of any corner of a piece: no inner point has more. */
static double most_of(const double *values, struct convex piece)
{
	double most = 0;
	for (size_t i = piece.first; i < piece.first + piece.count; i++)
		most = fmax(most, values[i]);
	return most;
}

static struct bounds over_corners(const struct cells *s, struct convex px, struct convex py, const struct feature *f,
	const struct cell *c)
{
	struct bounds b = {.held = true};
	struct geo_point vx = pose_velocity(&s->x.pose, f->on_p), vy = pose_velocity(&s->y.pose, f->on_q);
	double ax = most_of(s->x.acceleration, px), ay = most_of(s->y.acceleration, py);
	double dx = f->on_p.x - f->on_q.x, dy = f->on_p.y - f->on_q.y, d = f->distance;
	high_of_points(f->on_p, vx, ax, f->on_q, vy, ay, c->h, b.high);
	b.low[0] = b.low[1] = 0;
	/* The second piece lies wholly behind its corner, in that direction. */
	if (d > 0)
		low_along(&s->y, s->y.pose.omega, (struct geo_point){dx / d, dy / d}, f->on_q, vy,
			most_of(s->y.speed, py), ay, &s->x, px, c->h, b.low);
	return b;
}

/* A point that both share stays within the second: then they overlap through the whole cell. */
static struct bounds over_overlap(const struct cells *s, struct convex px, struct convex py, const struct feature *f,
	const struct cell *c)
{
	struct bounds b = {.held = true};
	struct geo_point vx = pose_velocity(&s->x.pose, f->on_p);
	double sx = most_of(s->x.speed, px), ax = most_of(s->x.acceleration, px), omega = s->y.pose.omega;
	for (size_t i = py.first; i < py.first + py.count; i++) {
		struct edge e = edge_of(&s->y, py, i);
		struct course out = course_of(e.n, omega, s->y.turning, f->on_p, vx, sx, ax, e.from, e.velocity, e.speed,
			e.acceleration, c->h);
		b.held = b.held && course_high(out, c->h, -1) <= 0 && course_high(out, c->h, 1) <= 0;
	}
	return b;
}

static struct bounds bounds_of(const struct cells *s, size_t i, size_t k, const struct feature *f, const struct cell *c)
{
	struct convex px = s->x.shape.pieces[i], py = s->y.shape.pieces[k];
	struct bounds b;
	if (f->kind == FEATURE_OVERLAP)
		return over_overlap(s, px, py, f, c);
	if (f->kind == FEATURE_CORNERS)
		return over_corners(s, px, py, f, c);
	b = f->kind == FEATURE_EDGE_SECOND ? over_edge(&s->y, py, f->q, &s->x, px, f->p, c)
					   : over_edge(&s->x, px, f->p, &s->y, py, f->q, c);
	if (!b.held) {
		double ax = most_of(s->x.acceleration, px), ay = most_of(s->y.acceleration, py);
		high_of_points(f->on_p, pose_velocity(&s->x.pose, f->on_p), ax, f->on_q,
			pose_velocity(&s->y.pose, f->on_q), ay, c->h, b.high);
		b.held = true;
	}
	return b;
}

/* Both bodies stand in the middle of the cell. The lowest of all pieces from below, the nearest pair from above. From below
 * it is bowed down and from above up, so that what holds at both ends of the cell holds within; therefore neither is cut off
 * at 0 here. */
static struct bounds cell_bounds(const struct cells *s, const struct cell *c, size_t i0, size_t k0, const struct feature *near)
{
	struct bounds all = bounds_of(s, i0, k0, near, c);
	double reach = (s->x.fastest + s->y.fastest) * c->h;
	for (size_t i = 0; i < s->x.shape.piece_count; i++)
		for (size_t k = 0; k < s->y.shape.piece_count; k++) {
			double far = circles(s, i, k) - reach;
			if ((i == i0 && k == k0) || (far >= all.high[0] && far >= all.high[1]))
				continue;
			struct feature f = convex_distance(s->x.at, s->x.shape.pieces[i], s->y.at,
				s->y.shape.pieces[k]);
			struct bounds b = bounds_of(s, i, k, &f, c);
			bool round = far > b.low[0] && far > b.low[1];
			for (int e = 0; e < 2; e++)
				all.low[e] = fmin(all.low[e], round ? far : b.low[e]);
		}
	for (int e = 0; e < 2 && !all.held; e++)
		all.high[e] = INFINITY;
	return all;
}

/* ---- cells ------------------------------------------------------------------------------------- */

static void note_gap(struct cells *s, double t, double gap)
{
	if (gap < s->least) {
		s->least = gap;
		s->least_at = t;
	}
	if (gap > s->greatest) {
		s->greatest = gap;
		s->greatest_at = t;
	}
}

static void add_knot(struct cells *s, double t, double distance)
{
	double gap = in_space(s, distance);
	if (s->count == s->room) {
		size_t room = s->room ? s->room * 2 : 256;
		s->knots = arena_grow(s->arena, s->knots, s->count, room, sizeof *s->knots);
		s->room = room;
	}
	s->knots[s->count++] = (struct clearance_knot){t, gap};
	note_gap(s, t, gap);
}

/* Looks at the middle of a cell: fills its gap and tells how far it can be from the straight line between its ends, and
 * the least and greatest that it can hold. */
static double look(struct cells *s, struct cell *c, double *low, double *high)
{
	size_t i = 0, k = 0;
	s->spent++;
	place(&s->x, c->t);
	place(&s->y, c->t);
	bound(&s->x, c->h);
	bound(&s->y, c->h);
	struct feature f = nearest(s, &i, &k);
	c->middle = f.distance;
	note_gap(s, c->t, in_space(s, c->middle));
	struct bounds b = cell_bounds(s, c, i, k, &f);
	double reach = (s->x.fastest + s->y.fastest) * c->h;
	double off = fmax(fmax(c->before - b.low[0], c->after - b.low[1]),
		fmax(b.high[0] - c->before, b.high[1] - c->after));
	/* No corner goes farther than that. */
	off = fmin(off, reach);
	*low = in_space(s, fmax(fmax(fmin(b.low[0], b.low[1]), c->middle - reach), 0));
	*high = in_space(s, fmin(fmax(b.high[0], b.high[1]), c->middle + reach));
	if (s->across <= 0)
		return off;
	/* In space the straight line is bowed: (√(d² + a²))'' = a² / (d² + a²)^(3/2), most at the least d of the line. */
	double change = c->after - c->before, least = fmin(c->before, c->after), square = s->across * s->across;
	double far = sqrt(least * least + square);
	return off + change * change * square / (8 * far * far * far);
}

/* Adds the knots behind `before`, up to `after`. */
static void divide(struct cells *s, double from, double before, double to, double after, int depth)
{
	struct cell c = {(from + to) / 2, (to - from) / 2, before, 0, after};
	double low, high, off = look(s, &c, &low, &high);
	double allowed = low > s->fine ? fmax(s->tolerance, low / 10) : s->tolerance;
	bool spent = s->spent >= CELLS_MAX || depth >= DEPTH_MAX;
	/* Far away only the extremes are told finely, and only where this cell may hold one. */
	bool extreme = low < s->least - s->tolerance || high > s->greatest + s->tolerance;
	if ((off <= allowed && !extreme) || spent) {
		if (spent && (off > allowed || extreme))
			s->error = fmax(s->error, fmax(off, fmax(s->least - low, high - s->greatest)));
		add_knot(s, to, after);
		return;
	}
	divide(s, from, before, c.t, c.middle, depth + 1);
	divide(s, c.t, c.middle, to, after, depth + 1);
}

struct clearance_profile clearance_of(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	double across, double tolerance, double fine)
{
	struct cells s = {.x = carry(a, x), .y = carry(a, y), .across = across, .tolerance = tolerance, .fine = fine,
		.error = tolerance, .arena = a, .least = INFINITY, .greatest = -INFINITY};
	double *knots, before = distance_at(&s, 0), from = 0;
	size_t n = motion_knots(a, &x->motion, &y->motion, &knots);
	add_knot(&s, 0, before);
	note_gap(&s, 1, in_space(&s, distance_at(&s, 1)));
	for (size_t i = 0; i <= n; i++) {
		double to = i < n ? knots[i] : 1, after = distance_at(&s, to);
		divide(&s, from, before, to, after, 0);
		from = to;
		before = after;
	}
	return (struct clearance_profile){s.knots, s.count, s.least, s.greatest, s.least_at, s.greatest_at, s.error};
}

/* ---- others ------------------------------------------------------------------------------------ */

double clearance_at(struct arena *a, const struct moving_body *x, const struct moving_body *y, double t,
	struct geo_point *on_x, struct geo_point *on_y)
{
	struct cells s = {.x = carry(a, x), .y = carry(a, y)};
	size_t i = 0, k = 0;
	place(&s.x, t);
	place(&s.y, t);
	struct feature f = nearest(&s, &i, &k);
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
		*radius = fmax(*radius, hypot(b->points[i].x - middle->x, b->points[i].y - middle->y));
}

/* How far a point can get within `h` of that travel, whatever the rates of its steps do there: each step moves it by at
 * most its own way, which for a turn is the arc. */
static double way_bound(const struct motion *m, struct geo_point p, double t, double h)
{
	double way = 0;
	for (size_t i = 0; i < m->count; i++) {
		double change = motion_change(&m->steps[i], t - h, t + h);
		struct geo_point c = m->steps[i].by;
		if (m->steps[i].kind == MOTION_SHIFT) {
			way += change * hypot(c.x, c.y);
			continue;
		}
		struct motion before = {m->steps, i};
		struct geo_point at = motion_apply(&before, p, t);
		way += change * fabs(m->steps[i].angle) * (hypot(at.x - c.x, at.y - c.y) + way);
	}
	return way;
}

bool clearance_may_come_near(const struct moving_body *x, const struct moving_body *y, double across, double near)
{
	enum { LOOKS = 16 };
	struct geo_point mx, my;
	double rx, ry, h = 0.5 / LOOKS;
	if (across > near)
		return false;
	circle_of(x, &mx, &rx);
	circle_of(y, &my, &ry);
	for (int i = 0; i < LOOKS; i++) {
		double t = (i + 0.5) / LOOKS;
		double way = way_bound(&x->motion, mx, t, h) + way_bound(&y->motion, my, t, h);
		struct geo_point p = motion_apply(&x->motion, mx, t), q = motion_apply(&y->motion, my, t);
		if (hypot(p.x - q.x, p.y - q.y) - rx - ry - way <= near)
			return true;
	}
	return false;
}

size_t clearance_stretches(struct arena *a, const struct clearance_profile *p, double least_change,
	struct clearance_stretch **out)
{
	struct clearance_stretch *all = arena_array(a, p->count + 1, sizeof *all);
	size_t n = 0, low = 0, high = 0, from = 0;
	int way = 0; /* 1: growing, -1: shrinking, 0: not yet told */
	*out = all;
	for (size_t i = 1; i < p->count; i++) {
		if (p->knots[i].gap < p->knots[low].gap)
			low = i;
		if (p->knots[i].gap > p->knots[high].gap)
			high = i;
		bool turned_up = p->knots[i].gap - p->knots[low].gap > least_change && way <= 0;
		bool turned_down = p->knots[high].gap - p->knots[i].gap > least_change && way >= 0;
		if (!turned_up && !turned_down)
			continue;
		size_t turn = turned_up ? low : high;
		if (way)
			all[n++] = (struct clearance_stretch){.from = p->knots[from].travel, .to = p->knots[turn].travel,
				.start = p->knots[from].gap, .end = p->knots[turn].gap, .opening = way < 0};
		from = turn;
		way = turned_up ? 1 : -1;
		low = high = i;
	}
	if (way) {
		size_t last = way > 0 ? high : low;
		all[n++] = (struct clearance_stretch){.from = p->knots[from].travel, .to = p->knots[last].travel,
			.start = p->knots[from].gap, .end = p->knots[last].gap, .opening = way < 0};
	}
	return n;
}

static struct clearance_rate rate_at(struct cells *s, double t)
{
	size_t i = 0, k = 0;
	place(&s->x, t);
	place(&s->y, t);
	struct feature f = nearest(s, &i, &k);
	struct geo_point n = {f.on_p.x - f.on_q.x, f.on_p.y - f.on_q.y};
	struct geo_point vx = pose_velocity(&s->x.pose, f.on_p), vy = pose_velocity(&s->y.pose, f.on_q);
	double d = hypot(n.x, n.y);
	if (d > 1e-9)
		n = (struct geo_point){n.x / d, n.y / d};
	else
		convex_least_overlap(s->x.at, s->x.shape.pieces[i], s->y.at, s->y.shape.pieces[k], &n);
	return (struct clearance_rate){n.x * (vx.x - vy.x) + n.y * (vx.y - vy.y),
		n.x * (vx.y - vy.y) - n.y * (vx.x - vy.x), f.on_p};
}

void clearance_rates(struct arena *a, const struct moving_body *x, const struct moving_body *y, const double *travels,
	size_t count, struct clearance_rate *out)
{
	struct cells s = {.x = carry(a, x), .y = carry(a, y)};
	for (size_t i = 0; i < count; i++)
		out[i] = rate_at(&s, travels[i]);
}
