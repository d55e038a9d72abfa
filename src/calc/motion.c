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

void motion_look(const struct motion *m, double t, struct step_now *now)
{
	for (size_t i = 0; i < m->count; i++) {
		now[i].f = progress(&m->steps[i], t, &now[i].rate);
		now[i].c = 1;
		now[i].s = 0;
		if (m->steps[i].kind == MOTION_TURN) {
			now[i].c = cos(now[i].f * m->steps[i].angle);
			now[i].s = sin(now[i].f * m->steps[i].angle);
		}
	}
}

struct pose motion_pose(const struct motion *m, const struct step_now *now)
{
	struct pose p = {.c = 1};
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		double rate = now[i].rate, f = now[i].f;
		if (step->kind == MOTION_SHIFT) {
			double sx = f * step->by.x, sy = f * step->by.y;
			p.x += sx;
			p.y += sy;
			p.ux += p.omega * sy + rate * step->by.x;
			p.uy += -p.omega * sx + rate * step->by.y;
			continue;
		}
		double c = now[i].c, s = now[i].s, w = rate * step->angle;
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

double motion_change(const struct motion_step *step, double from, double to)
{
	double rate, middle = progress(step, (from + to) / 2, &rate);
	double most = fmax(fabs(progress(step, from, &rate) - middle), fabs(progress(step, to, &rate) - middle));
	for (size_t i = 0; i < step->knot_count; i++)
		if (step->knots[i].x > from && step->knots[i].x < to)
			most = fmax(most, fabs(step->knots[i].y - middle));
	return most;
}

/* Longer chains than a type can write are not followed beyond. */
enum { CHAIN = 64 };

static struct pose pose_at(const struct motion *m, double t)
{
	struct step_now now[CHAIN];
	struct motion chain = {m->steps, m->count < CHAIN ? m->count : CHAIN};
	motion_look(&chain, t, now);
	return motion_pose(&chain, now);
}

struct geo_point motion_apply(const struct motion *m, struct geo_point p, double t)
{
	struct pose pose = pose_at(m, t);
	return pose_place(&pose, p);
}

struct geo_point motion_velocity(const struct motion *m, struct geo_point p, double t)
{
	struct pose pose = pose_at(m, t);
	return pose_velocity(&pose, pose_place(&pose, p));
}

/* In a frame that turns at w, what moves inside at v and a has the acceleration a + 2 w v + w² r. */
void motion_bounds(const struct motion *m, const struct step_now *now, struct geo_point p, double h, double *speed,
	double *acceleration)
{
	double v = 0, a = 0;
	for (size_t i = 0; i < m->count; i++) {
		const struct motion_step *step = &m->steps[i];
		if (step->kind == MOTION_SHIFT) {
			v += fabs(now[i].rate) * sqrt(step->by.x * step->by.x + step->by.y * step->by.y);
			p.x += now[i].f * step->by.x;
			p.y += now[i].f * step->by.y;
			continue;
		}
		double dx = p.x - step->by.x, dy = p.y - step->by.y, w = fabs(now[i].rate * step->angle);
		double r = sqrt(dx * dx + dy * dy) + v * h;
		a += 2 * w * v + w * w * r;
		v += w * r;
		p = (struct geo_point){step->by.x + now[i].c * dx - now[i].s * dy,
			step->by.y + now[i].s * dx + now[i].c * dy};
	}
	*speed = v;
	*acceleration = a;
}

double motion_turning(const struct motion *m, const struct step_now *now)
{
	double sum = 0;
	for (size_t i = 0; i < m->count; i++)
		sum += fabs(now[i].rate * m->steps[i].angle);
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
