#include "calc/motion.h"

#include <math.h>
#include <stdlib.h>

/* f and its rate at t; at a knot the rate after it, or the one before. */
static double progress_beside(const struct motion_step *s, double t, bool before, double *rate)
{
	*rate = 1;
	if (!s->knot_count)
		return t;
	size_t low = 0, high = s->knot_count - 1;
	while (high - low > 1) {
		size_t middle = (low + high) / 2;
		double x = s->knots[middle].x;
		*((before ? x < t : x <= t) ? &low : &high) = middle;
	}
	const struct geo_point *a = &s->knots[low], *b = &s->knots[high];
	bool within = t >= a->x && t <= b->x && b->x > a->x;
	*rate = within ? (b->y - a->y) / (b->x - a->x) : 0;
	return within ? a->y + *rate * (t - a->x) : t < a->x ? a->y : b->y;
}

static double progress(const struct motion_step *s, double t, double *rate)
{
	return progress_beside(s, t, false, rate);
}

/* `p` after a step that is done as far as f, at that rate. */
static struct pose after_step(
	const struct pose *p, const struct motion_step *step, double f, double rate)
{
	struct pose q = *p;
	if (step->kind == MOTION_SHIFT) {
		double sx = f * step->by.x, sy = f * step->by.y;
		q.x += sx;
		q.y += sy;
		q.ux += p->omega * sy + rate * step->by.x;
		q.uy += -p->omega * sx + rate * step->by.y;
		q.dux += p->omega * rate * step->by.y;
		q.duy -= p->omega * rate * step->by.x;
		return q;
	}
	double c = cos(f * step->angle), s = sin(f * step->angle);
	double cx = step->by.x, cy = step->by.y, x = p->x - cx, y = p->y - cy;
	/* The field of the steps before, turned, as seen from the pivot; then the turning itself.
	 */
	double gx = p->ux - p->omega * cy, gy = p->uy + p->omega * cx;
	q.c = c * p->c - s * p->s;
	q.s = s * p->c + c * p->s;
	q.x = cx + c * x - s * y;
	q.y = cy + s * x + c * y;
	q.omega = p->omega + rate * step->angle;
	double hx = c * gx - s * gy, hy = s * gx + c * gy, turning = rate * step->angle;
	q.ux = hx + q.omega * cy;
	q.uy = hy - q.omega * cx;
	q.dux = c * p->dux - s * p->duy - turning * hy;
	q.duy = s * p->dux + c * p->duy + turning * hx;
	return q;
}

static struct pose pose_beside(const struct motion *m, double t, bool before)
{
	struct pose p = {.c = 1};
	for (size_t i = 0; i < m->count; i++) {
		double rate, f = progress_beside(&m->steps[i], t, before, &rate);
		p = after_step(&p, &m->steps[i], f, rate);
	}
	return p;
}

struct pose motion_pose(const struct motion *m, double t)
{
	return pose_beside(m, t, false);
}

struct pose motion_pose_before(const struct motion *m, double t)
{
	return pose_beside(m, t, true);
}

struct geo_point motion_apply(const struct motion *m, struct geo_point p, double t)
{
	struct pose pose = motion_pose(m, t);
	return pose_place(&pose, p);
}

struct geo_point motion_velocity(const struct motion *m, struct geo_point p, double t)
{
	struct pose pose = motion_pose(m, t);
	return pose_velocity(&pose, pose_place(&pose, p));
}

double motion_angle(const struct motion *m, double t)
{
	double angle = 0, rate;
	for (size_t i = 0; i < m->count; i++)
		if (m->steps[i].kind == MOTION_TURN)
			angle += progress(&m->steps[i], t, &rate) * m->steps[i].angle;
	return angle;
}

/* The pivot of the last turn before step `i`, or NULL. */
static const struct geo_point *pivot_before(const struct motion *m, size_t i)
{
	while (i-- > 0)
		if (m->steps[i].kind == MOTION_TURN)
			return &m->steps[i].by;
	return NULL;
}

/* From the last step to the first, the net rate of all from there on: what goes out at v, and is r
 * out, in what turns at w moves at v + w r, has the acceleration 2 w v + w² r, and of that the rate
 * 3 w² v + w³ r, at most. */
struct sway motion_sway(const struct motion *m, double t, double h)
{
	struct sway s = {.arm = 0};
	double net = 0;
	for (size_t i = m->count; i-- > 0;) {
		const struct motion_step *step = &m->steps[i];
		double rate, f = progress(step, t, &rate);
		if (step->kind == MOTION_SHIFT) {
			double way = sqrt(step->by.x * step->by.x + step->by.y * step->by.y), v = fabs(rate) * way,
			       far = (fabs(f) + fabs(rate) * h) * way;
			double w = fabs(net);
			s.others.speed += v + w * far;
			s.others.acceleration += w * (2 * v + w * far);
			s.others.jerk += w * w * (3 * v + w * far);
			continue;
		}
		const struct geo_point *before = pivot_before(m, i);
		net += rate * step->angle;
		if (!before) {
			s.arm = fabs(net);
			continue;
		}
		double dx = before->x - step->by.x, dy = before->y - step->by.y, r = sqrt(dx * dx + dy * dy);
		s.others.speed += fabs(net) * r;
		s.others.acceleration += net * net * r;
		s.others.jerk += net * net * fabs(net) * r;
	}
	s.turning = fabs(net);
	return s;
}

double motion_arm(const struct motion *m, struct geo_point p)
{
	for (size_t i = 0; i < m->count; i++)
		if (m->steps[i].kind == MOTION_TURN)
			return hypot(p.x - m->steps[i].by.x, p.y - m->steps[i].by.y);
	return 0;
}

/* How far f can be, within [from, to], from what it is at t: it is farthest at an end or at a knot.
 */
static double most_progress(const struct motion_step *s, double t, double from, double to)
{
	double rate, f = progress(s, t, &rate);
	double most = fmax(fabs(progress(s, from, &rate) - f), fabs(progress(s, to, &rate) - f));
	for (size_t i = 0; i < s->knot_count; i++)
		if (s->knots[i].x >= from && s->knots[i].x <= to)
			most = fmax(most, fabs(s->knots[i].y - f));
	return most;
}

double motion_reach(const struct motion *m, struct geo_point p, double t, double from, double to)
{
	struct pose pose = {.c = 1};
	double reach = 0;
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		double rate, f = progress(step, t, &rate), most = most_progress(step, t, from, to);
		struct geo_point q = pose_place(&pose, p);
		reach += step->kind == MOTION_SHIFT
				 ? most * hypot(step->by.x, step->by.y)
				 : most * fabs(step->angle) *
					   hypot(q.x - step->by.x, q.y - step->by.y);
		pose = after_step(&pose, step, f, rate);
	}
	return reach;
}

static int rising(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

/* `t` may be NULL: they are counted. */
static size_t add_knots(const struct motion *m, double *t, size_t n)
{
	for (size_t k = 0; k < m->count; k++)
		for (size_t j = 0; j < m->steps[k].knot_count; j++) {
			double at = m->steps[k].knots[j].x;
			if (at <= 0 || at >= 1)
				continue;
			if (t)
				t[n] = at;
			n++;
		}
	return n;
}

size_t motion_knots(struct arena *a, const struct motion *x, const struct motion *y, double **out)
{
	size_t n = add_knots(y, NULL, add_knots(x, NULL, 0)), kept = 0;
	double *t = arena_array(a, n, sizeof *t);
	add_knots(y, t, add_knots(x, t, 0));
	qsort(t, n, sizeof *t, rising);
	for (size_t i = 0; i < n; i++)
		if (!kept || t[i] > t[kept - 1])
			t[kept++] = t[i];
	*out = t;
	return kept;
}
