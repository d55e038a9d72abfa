#include "calc_clearance_bench.h"

#include <math.h>
#include <stdlib.h>

double bench_draw(uint64_t *seed, double low, double high)
{
	*seed ^= *seed >> 12;
	*seed ^= *seed << 25;
	*seed ^= *seed >> 27;
	return low +
	       (high - low) * (double)((*seed * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static int draw_int(uint64_t *seed, int below)
{
	return (int)bench_draw(seed, 0, below);
}

/* ---- bodies ------------------------------------------------------------------------------------
 */

/* Corners on an ellipse: convex. Or each somewhere on its ray: a star, mostly concave. */
static size_t draw_round(uint64_t *seed, struct geo_point *p, bool concave)
{
	size_t n = (size_t)(3 + draw_int(seed, 7)) + (concave ? 2 : 0);
	double a = bench_draw(seed, 0.05, 1.5), b = bench_draw(seed, 0.03, 1);
	for (size_t i = 0; i < n; i++) {
		double angle = 2 * M_PI * ((double)i + bench_draw(seed, 0.05, 0.95)) / (double)n;
		double r = concave ? bench_draw(seed, 0.2, 1) : 1;
		p[i] = (struct geo_point){r * a * cos(angle), r * b * sin(angle)};
	}
	return n;
}

/* The shapes of gates: boxes, and with w, h outside and u, v inside: angles, channels, steps. */
static size_t draw_square(uint64_t *seed, struct geo_point *p, bool concave)
{
	double w = bench_draw(seed, 0.1, 3), h = bench_draw(seed, 0.05, 0.6);
	double u = w * bench_draw(seed, 0.2, 0.8), v = h * bench_draw(seed, 0.2, 0.8),
	       s = w - (w - u) / 2;
	const struct geo_point box[] = {{0, 0}, {w, 0}, {w, h}, {0, h}};
	const struct geo_point angle[] = {{0, 0}, {w, 0}, {w, v}, {u, v}, {u, h}, {0, h}};
	const struct geo_point channel[] = {
		{0, 0}, {w, 0}, {w, h}, {s, h}, {s, v}, {w - s, v}, {w - s, h}, {0, h}};
	const struct geo_point *from = !concave ? box : draw_int(seed, 2) ? angle : channel;
	size_t n = from == box ? 4 : from == angle ? 6 : 8;
	for (size_t i = 0; i < n; i++)
		p[i] = from[i];
	return n;
}

static void turn(struct geo_point *p, struct geo_point about, double angle)
{
	double c = cos(angle), s = sin(angle), x = p->x - about.x, y = p->y - about.y;
	*p = (struct geo_point){about.x + c * x - s * y, about.y + s * x + c * y};
}

static void draw_shape(uint64_t *seed, struct bench_body *b, bool concave)
{
	size_t n = draw_int(seed, 2) ? draw_round(seed, b->points, concave)
				     : draw_square(seed, b->points, concave);
	double angle = draw_int(seed, 3) ? bench_draw(seed, 0, 2 * M_PI) : 0;
	struct geo_point at = {bench_draw(seed, -2, 2), bench_draw(seed, -2, 2)};
	bool turned_round = draw_int(seed, 2);
	for (size_t i = 0; i < n; i++) {
		turn(&b->points[i], (struct geo_point){0, 0}, angle);
		b->points[i].x += at.x;
		b->points[i].y += at.y;
	}
	for (size_t i = 0; turned_round && i < n / 2; i++) {
		struct geo_point swap = b->points[i];
		b->points[i] = b->points[n - 1 - i];
		b->points[n - 1 - i] = swap;
	}
	b->concave = concave;
	b->body.points = b->points;
	b->body.count = n;
}

static void draw_motion(uint64_t *seed, struct bench_body *b, int least)
{
	int n = least + draw_int(seed, BENCH_STEPS + 1 - least);
	for (int i = 0; i < n; i++) {
		struct motion_step *s = &b->steps[i];
		s->kind = draw_int(seed, 3) ? MOTION_TURN : MOTION_SHIFT;
		s->by = (struct geo_point){bench_draw(seed, -3, 3), bench_draw(seed, -3, 3)};
		s->angle = bench_draw(seed, -2.5, 2.5);
		if (draw_int(seed, 3))
			continue;
		double from = bench_draw(seed, 0, 0.5), to = bench_draw(seed, from + 0.1, 0.9);
		struct geo_point *k = b->knots[i];
		k[0] = (struct geo_point){0, 0};
		k[1] = (struct geo_point){from, 0};
		k[2] = (struct geo_point){to, 1};
		k[3] = (struct geo_point){1, draw_int(seed, 2) ? 1 : bench_draw(seed, 0, 1)};
		s->knots = k;
		s->knot_count = BENCH_KNOTS;
	}
	b->body.motion = (struct motion){b->steps, (size_t)n};
}

void bench_pair(uint64_t seed, struct bench_body pair[2])
{
	uint64_t s = seed * 0x9E3779B97F4A7C15u + 1;
	pair[0] = pair[1] = (struct bench_body){0};
	for (int i = 0; i < 8; i++)
		bench_draw(&s, 0, 1);
	for (int i = 0; i < 2; i++) {
		draw_shape(&s, &pair[i], draw_int(&s, 2));
		draw_motion(&s, &pair[i], i ? 0 : 1);
	}
}

void bench_mirror(const struct bench_body *from, struct bench_body *to)
{
	*to = *from;
	to->body.points = to->points;
	to->body.motion.steps = to->steps;
	for (size_t i = 0; i < to->body.count; i++)
		to->points[i].y = -to->points[i].y;
	for (size_t i = 0; i < to->body.motion.count; i++) {
		to->steps[i].by.y = -to->steps[i].by.y;
		to->steps[i].angle = -to->steps[i].angle;
	}
}

/* ---- distance ----------------------------------------------------------------------------------
 */

static double part_done(const struct motion_step *s, double t)
{
	for (size_t i = 1; i < s->knot_count; i++)
		if (t <= s->knots[i].x) {
			double x = s->knots[i - 1].x, y = s->knots[i - 1].y;
			return y + (s->knots[i].y - y) * (t - x) / (s->knots[i].x - x);
		}
	return t;
}

static void carry(const struct moving_body *b, double t, struct geo_point *out)
{
	for (size_t k = 0; k < b->count; k++)
		out[k] = b->points[k];
	for (size_t i = 0; i < b->motion.count; i++) {
		const struct motion_step *s = &b->motion.steps[i];
		double f = part_done(s, t), c = cos(f * s->angle), n = sin(f * s->angle);
		for (size_t k = 0; k < b->count; k++) {
			double x = out[k].x - s->by.x, y = out[k].y - s->by.y;
			if (s->kind == MOTION_SHIFT)
				out[k] = (struct geo_point){
					out[k].x + f * s->by.x, out[k].y + f * s->by.y};
			else
				out[k] = (struct geo_point){
					s->by.x + c * x - n * y, s->by.y + n * x + c * y};
		}
	}
}

static double side(struct geo_point a, struct geo_point b, struct geo_point c)
{
	return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool cross_each_other(
	struct geo_point a, struct geo_point b, struct geo_point c, struct geo_point d)
{
	double s = side(a, b, c), t = side(a, b, d), u = side(c, d, a), v = side(c, d, b);
	return ((s > 0 && t < 0) || (s < 0 && t > 0)) && ((u > 0 && v < 0) || (u < 0 && v > 0));
}

/* Crossings of a ray are odd. */
static bool holds(const struct geo_point *p, size_t n, struct geo_point q)
{
	bool in = false;
	for (size_t i = 0, k = n - 1; i < n; k = i++)
		if ((p[i].y > q.y) != (p[k].y > q.y) &&
			q.x < p[i].x + (p[k].x - p[i].x) * (q.y - p[i].y) / (p[k].y - p[i].y))
			in = !in;
	return in;
}

static double point_to_edge(struct geo_point q, struct geo_point a, struct geo_point b)
{
	double ex = b.x - a.x, ey = b.y - a.y, qx = q.x - a.x, qy = q.y - a.y,
	       l = ex * ex + ey * ey;
	double u = qx * ex + qy * ey;
	if (u <= 0)
		return qx * qx + qy * qy;
	if (u >= l)
		return (q.x - b.x) * (q.x - b.x) + (q.y - b.y) * (q.y - b.y);
	double h = qx * ey - qy * ex;
	return h * h / l;
}

static double between(const struct geo_point *p, size_t n, const struct geo_point *q, size_t m)
{
	double best = INFINITY;
	if (holds(p, n, q[0]) || holds(q, m, p[0]))
		return 0;
	for (size_t i = 0, k = n - 1; i < n; k = i++)
		for (size_t j = 0, l = m - 1; j < m; l = j++) {
			if (cross_each_other(p[k], p[i], q[l], q[j]))
				return 0;
			best = fmin(best, fmin(point_to_edge(p[i], q[l], q[j]),
						  point_to_edge(q[j], p[k], p[i])));
		}
	return sqrt(best);
}

double bench_distance(const struct moving_body *x, const struct moving_body *y, double t)
{
	struct geo_point p[BENCH_CORNERS], q[BENCH_CORNERS];
	carry(x, t, p);
	carry(y, t, q);
	return between(p, x->count, q, y->count);
}

static double farthest(const struct geo_point *p, const struct geo_point *q, size_t n)
{
	double most = 0;
	for (size_t i = 0; i < n; i++)
		most = fmax(most, hypot(p[i].x - q[i].x, p[i].y - q[i].y));
	return most;
}

void bench_look(const struct moving_body *x, const struct moving_body *y, double across, int steps,
	struct bench_truth *out)
{
	struct geo_point p[2][BENCH_CORNERS], q[2][BENCH_CORNERS];
	out->least = INFINITY;
	out->greatest = out->step_error = 0;
	for (int i = 0; i <= steps; i++) {
		carry(x, (double)i / steps, p[i & 1]);
		carry(y, (double)i / steps, q[i & 1]);
		double gap = hypot(between(p[i & 1], x->count, q[i & 1], y->count), across);
		out->gaps[i] = gap;
		out->least = fmin(out->least, gap);
		out->greatest = fmax(out->greatest, gap);
		/* The arc of a step is longer than its chord by less than a hundredth. */
		if (i)
			out->step_error = fmax(
				out->step_error, 1.01 *
							 (farthest(p[0], p[1], x->count) +
								 farthest(q[0], q[1], y->count)) /
							 2);
	}
}

/* ---- courses -----------------------------------------------------------------------------------
 */

size_t bench_turns(
	const double *gaps, size_t count, double swing, double top, double turns[BENCH_TURNS])
{
	size_t n = 0;
	double low = fmin(gaps[0], top), high = low;
	int way = 0;
	for (size_t i = 1; i < count; i++) {
		double gap = fmin(gaps[i], top);
		low = fmin(low, gap);
		high = fmax(high, gap);
		if ((way >= 0 && gap < high - swing) || (way <= 0 && gap > low + swing)) {
			bool up = way ? way < 0 : gap > low + swing;
			if (n < BENCH_TURNS - 1)
				turns[n++] = up ? low : high;
			way = up ? 1 : -1;
			low = high = gap;
		}
	}
	if (way)
		turns[n++] = way > 0 ? high : low;
	return n;
}

static const char *compare_turns(const struct clearance_profile *p, const struct bench_truth *truth,
	int steps, double allowed, double fine, bool *clear)
{
	static const double SWING = 1e-3, DOUBT = 3e-4;
	static double mine[BENCH_TURNS], theirs[BENCH_TURNS], other[BENCH_TURNS];
	size_t looks = (size_t)steps + 1, n = bench_turns(truth->gaps, looks, SWING, fine, mine);
	*clear = bench_turns(truth->gaps, looks, SWING + DOUBT, fine, other) == n &&
		 bench_turns(truth->gaps, looks, SWING - DOUBT, fine, other) == n;
	if (!*clear)
		return NULL;
	double *gaps = malloc(p->count * sizeof *gaps);
	for (size_t i = 0; gaps && i < p->count; i++)
		gaps[i] = p->knots[i].gap;
	size_t m = gaps ? bench_turns(gaps, p->count, SWING, fine, theirs) : 0;
	free(gaps);
	if (m != n)
		return "it turns more often, or less";
	for (size_t i = 0; i < n; i++)
		if (fabs(mine[i] - theirs[i]) > allowed)
			return "it turns at another gap";
	return NULL;
}

const char *bench_disagrees(const struct clearance_profile *p, const struct bench_truth *truth,
	int steps, double tolerance, double fine, bool *clear)
{
	double slack = tolerance + 1e-9, wide = slack + truth->step_error;
	*clear = false;
	if (p->error > tolerance)
		return "it is not known as well as asked for";
	if (p->least < truth->least - wide || p->least > truth->least + slack)
		return "least";
	if (p->greatest > truth->greatest + wide || p->greatest < truth->greatest - slack)
		return "greatest";
	if (!p->count || p->knots[0].travel != 0 || p->knots[p->count - 1].travel != 1)
		return "it does not cover the travel";
	size_t k = 1;
	for (int i = 0; i <= steps; i++) {
		double t = (double)i / steps;
		while (k + 1 < p->count && p->knots[k].travel < t)
			k++;
		const struct clearance_knot *a = &p->knots[k - 1], *b = &p->knots[k];
		double line =
			a->gap + (b->gap - a->gap) * (t - a->travel) / (b->travel - a->travel);
		double off = fabs(line - truth->gaps[i]);
		if (off > slack && (truth->gaps[i] < fine || off > truth->gaps[i] / 9))
			return "off the line between knots";
	}
	return compare_turns(p, truth, steps, wide, fine, clear);
}
