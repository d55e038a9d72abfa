#include "calc/motion.h"

#include <math.h>
#include <stdlib.h>

/* f and its rate at t; at a knot the rate after it, at the end the one before. */
static double progress(const struct motion_step *s, double t, double *rate)
{
	*rate = 1;
	if (!s->knot_count)
		return t;
	size_t low = 0, high = s->knot_count - 1;
	while (high - low > 1) {
		size_t middle = (low + high) / 2;
		*(s->knots[middle].x <= t ? &low : &high) = middle;
	}
	const struct geo_point *a = &s->knots[low], *b = &s->knots[high];
	bool within = t >= a->x && t <= b->x && b->x > a->x;
	*rate = within ? (b->y - a->y) / (b->x - a->x) : 0;
	return within ? a->y + *rate * (t - a->x) : t < a->x ? a->y : b->y;
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

struct pose motion_pose(const struct motion *m, double t)
{
	struct pose p = {.c = 1};
	for (size_t i = 0; i < m->count; i++) {
		double rate, f = progress(&m->steps[i], t, &rate);
		p = after_step(&p, &m->steps[i], f, rate);
	}
	return p;
}

struct pose motion_states(const struct motion *m, double t, struct step_state *states)
{
	struct pose p = {.c = 1};
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		double rate, f = progress(step, t, &rate);
		states[i] = (struct step_state){.before = p, .pivot = step->by};
		if (step->kind == MOTION_TURN)
			states[i].turning = fabs(rate * step->angle);
		else
			states[i].shifting = fabs(rate) * hypot(step->by.x, step->by.y);
		p = after_step(&p, step, f, rate);
	}
	return p;
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

/* In a frame that turns at w, what moves inside at v, with a and its rate j, has the acceleration
 * a + 2 w v + w² r, of which the rate is j + 3 w a + 3 w² v + w³ r. */
struct rates motion_bounds(
	const struct step_state *states, size_t count, struct geo_point p, double h)
{
	double v = 0, a = 0, j = 0;
	for (size_t i = 0; i < count; i++) {
		double w = states[i].turning;
		if (w > 0) {
			struct geo_point q = pose_place(&states[i].before, p);
			double dx = q.x - states[i].pivot.x, dy = q.y - states[i].pivot.y;
			double r = sqrt(dx * dx + dy * dy) + v * h;
			j += w * (3 * a + w * (3 * v + w * r));
			a += w * (2 * v + w * r);
			v += w * r;
		}
		v += states[i].shifting;
	}
	return (struct rates){v, a, j};
}

double motion_turning(const struct step_state *states, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += states[i].turning;
	return sum;
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
