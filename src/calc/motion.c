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
	*rate = b->x > a->x ? (b->y - a->y) / (b->x - a->x) : 0;
	if (t < a->x || t > b->x)
		*rate = 0;
	return t <= a->x ? a->y : t >= b->x ? b->y : a->y + *rate * (t - a->x);
}

struct pose motion_pose(const struct motion *m, double t)
{
	struct pose p = {.c = 1};
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		double rate, f = progress(step, t, &rate);
		if (step->kind == MOTION_SHIFT) {
			double sx = f * step->by.x, sy = f * step->by.y;
			p.x += sx;
			p.y += sy;
			p.ux += p.omega * sy + rate * step->by.x;
			p.uy += -p.omega * sx + rate * step->by.y;
			continue;
		}
		double c = cos(f * step->angle), s = sin(f * step->angle), w = rate * step->angle;
		double cx = step->by.x, cy = step->by.y, x = p.x - cx, y = p.y - cy;
		struct pose q = {c * p.c - s * p.s, s * p.c + c * p.s, cx + c * x - s * y, cy + s * x + c * y, p.omega + w,
			0, 0};
		/* The field of the steps before, turned, as seen from the pivot; then the turning itself. */
		double gx = p.ux - p.omega * cy, gy = p.uy + p.omega * cx;
		q.ux = c * gx - s * gy + q.omega * cy;
		q.uy = s * gx + c * gy - q.omega * cx;
		p = q;
	}
	return p;
}

struct geo_point pose_place(const struct pose *pose, struct geo_point p)
{
	return (struct geo_point){pose->c * p.x - pose->s * p.y + pose->x, pose->s * p.x + pose->c * p.y + pose->y};
}

struct geo_point pose_velocity(const struct pose *pose, struct geo_point place)
{
	return (struct geo_point){-pose->omega * place.y + pose->ux, pose->omega * place.x + pose->uy};
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

/* In a frame that turns at w, what moves inside at v and a has the acceleration a + 2 w v + w² r. */
void motion_bounds(const struct motion *m, struct geo_point p, double t, double h, double *speed, double *acceleration)
{
	double v = 0, a = 0;
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		double rate, f = progress(step, t, &rate);
		if (step->kind == MOTION_SHIFT) {
			v += fabs(rate) * hypot(step->by.x, step->by.y);
			p.x += f * step->by.x;
			p.y += f * step->by.y;
			continue;
		}
		double dx = p.x - step->by.x, dy = p.y - step->by.y, w = fabs(rate * step->angle);
		double r = sqrt(dx * dx + dy * dy) + v * h;
		a += 2 * w * v + w * w * r;
		v += w * r;
		if (i + 1 < m->count) {
			double c = cos(f * step->angle), s = sin(f * step->angle);
			p = (struct geo_point){step->by.x + c * dx - s * dy, step->by.y + s * dx + c * dy};
		}
	}
	*speed = v;
	*acceleration = a;
}

double motion_turning(const struct motion *m, double t)
{
	double sum = 0, rate;
	for (size_t i = 0; i < m->count; i++)
		if (m->steps[i].kind == MOTION_TURN) {
			progress(&m->steps[i], t, &rate);
			sum += fabs(rate * m->steps[i].angle);
		}
	return sum;
}

static int rising(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

size_t motion_knots(struct arena *a, const struct motion *x, const struct motion *y, double **out)
{
	const struct motion *both[] = {x, y};
	size_t room = 0, n = 0, kept = 0;
	for (int i = 0; i < 2; i++)
		for (size_t k = 0; k < both[i]->count; k++)
			room += both[i]->steps[k].knot_count;
	double *t = arena_array(a, room, sizeof *t);
	for (int i = 0; i < 2; i++)
		for (size_t k = 0; k < both[i]->count; k++)
			for (size_t j = 0; j < both[i]->steps[k].knot_count; j++) {
				double at = both[i]->steps[k].knots[j].x;
				if (at > 0 && at < 1)
					t[n++] = at;
			}
	if (n)
		qsort(t, n, sizeof *t, rising);
	for (size_t i = 0; i < n; i++)
		if (!kept || t[i] - t[kept - 1] > 1e-12)
			t[kept++] = t[i];
	*out = t;
	return kept;
}
