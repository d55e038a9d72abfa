/* Clearances of bodies drawn by lot: against closed forms, derived at each test, and against
 * looking often. Seeded: PINTLE_SEED repeats a run. Lengths in m. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "calc/cell.h"
#include "calc_clearance_bench.h"

/* Every mutant of the engine runs all of this: then a tenth has to do. */
#ifdef MUTANTS_CRITERION_H
enum { FEWER = 10 };
#else
enum { FEWER = 1 };
#endif

static const double TOLERANCE = 1e-4, FINE = 0.6;

static struct arena arena;
static jmp_buf escape;
static uint64_t seed;

static void begin(void)
{
	const char *given = getenv("PINTLE_SEED");
	seed = (given ? strtoull(given, NULL, 10) : 20260610) * 0x9E3779B97F4A7C15u + 1;
	arena_init(&arena, &escape);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(calc_clearance_property, .init = begin, .fini = end);

static double draw(double low, double high)
{
	return bench_draw(&seed, low, high);
}

/* A case as it lies, put elsewhere: turned by `turn` and moved. Distances stay. */
struct elsewhere {
	double turn;
	struct geo_point by;
};

static struct elsewhere draw_elsewhere(void)
{
	return (struct elsewhere){draw(0, 4) < 1 ? 0 : draw(-4, 4), {draw(-5, 5), draw(-5, 5)}};
}

static struct geo_point put(const struct elsewhere *e, double x, double y)
{
	double c = cos(e->turn), s = sin(e->turn);
	return (struct geo_point){c * x - s * y + e->by.x, s * x + c * y + e->by.y};
}

static void put_box(const struct elsewhere *e, double x0, double y0, double x1, double y1,
	struct geo_point out[4])
{
	out[0] = put(e, x0, y0);
	out[1] = put(e, x1, y0);
	out[2] = put(e, x1, y1);
	out[3] = put(e, x0, y1);
}

static struct clearance_profile profile_of(
	const struct moving_body *x, const struct moving_body *y, double across)
{
	return clearance_of(&arena, x, y, across, TOLERANCE, FINE);
}

static bool is_near(double a, double b)
{
	return fabs(a - b) <= TOLERANCE + 1e-9;
}

/* ---- a rectangle turning beside a face
 * ----------------------------------------------------------- */

/* Corners (r, β) about the pivot; the face is the line y = -f, so that a corner is f + r sin(β + φ)
 * off it. */
struct turning {
	double f, r[4], beta[4];
};

static double off_face(const struct turning *w, double phi)
{
	double least = INFINITY;
	for (int i = 0; i < 4; i++)
		least = fmin(least, w->f + w->r[i] * sin(w->beta[i] + phi));
	return fmax(least, 0);
}

/* Tries φ + kπ, all that are within the travel from 0 to `whole`. */
static void try_turns(
	const struct turning *w, double phi, double whole, double *least, double *greatest)
{
	double low = fmin(whole, 0), high = fmax(whole, 0);
	for (int k = -6; k <= 6; k++) {
		double at = phi + k * M_PI;
		if (at < low || at > high)
			continue;
		*least = fmin(*least, off_face(w, at));
		*greatest = fmax(*greatest, off_face(w, at));
	}
}

/* The gap is the least of four sines. It is least or greatest at an end of the travel, where one
 * sine is, β + φ = ±π/2, or where two are equal: the line through their corners is parallel to the
 * face. */
static void turning_extremes(const struct turning *w, double whole, double *least, double *greatest)
{
	*least = fmin(off_face(w, 0), off_face(w, whole));
	*greatest = fmax(off_face(w, 0), off_face(w, whole));
	for (int i = 0; i < 4; i++) {
		try_turns(w, M_PI / 2 - w->beta[i], whole, least, greatest);
		for (int k = 0; k < i; k++) {
			double dx = w->r[i] * cos(w->beta[i]) - w->r[k] * cos(w->beta[k]);
			double dy = w->r[i] * sin(w->beta[i]) - w->r[k] * sin(w->beta[k]);
			try_turns(w, -atan2(dy, dx), whole, least, greatest);
		}
	}
}

Test(calc_clearance_property, turning_beside_a_face)
{
	size_t knots = 0;
	for (int n = 0; n < 5000 / FEWER; n++) {
		double x0 = draw(-1, 0.5), y0 = draw(-0.3, 0.2), x1 = x0 + draw(0.1, 3),
		       y1 = y0 + draw(0.03, 0.4);
		double xs[] = {x0, x1, x1, x0}, ys[] = {y0, y0, y1, y1}, whole = draw(-3.2, 3.2),
		       least, greatest;
		struct turning w = {.f = draw(0.1, 4)};
		for (int i = 0; i < 4; i++) {
			w.r[i] = hypot(xs[i], ys[i]);
			w.beta[i] = atan2(ys[i], xs[i]);
		}
		turning_extremes(&w, whole, &least, &greatest);
		struct elsewhere e = draw_elsewhere();
		struct geo_point leaf[4], face[4];
		put_box(&e, x0, y0, x1, y1, leaf);
		put_box(&e, -50, -w.f - 50, 50, -w.f, face);
		struct motion_step step = {
			.kind = MOTION_TURN, .by = put(&e, 0, 0), .angle = whole};
		struct moving_body x = {leaf, 4, {&step, 1}}, y = {face, 4, {NULL, 0}};
		struct clearance_profile p = n % 2 ? profile_of(&x, &y, 0) : profile_of(&y, &x, 0);
		cr_assert(is_near(p.least, least), "case %d: least %.6f, not %.6f", n, p.least,
			least);
		cr_assert(is_near(p.greatest, greatest), "case %d: greatest %.6f, not %.6f", n,
			p.greatest, greatest);
		cr_assert_eq(p.error, TOLERANCE);
		knots += p.count;
		arena_release(&arena);
	}
	/* The line through the ends of a cell of width w is off a course s by up to s'' w² / 8: 0.1
	 * mm at 3 m and 3.2 rad asks for 200 cells where it is near. */
	cr_expect_lt(knots, 5000u / FEWER * 120);
}

/* ---- a leaf sliding past a post
 * ------------------------------------------------------------------ */

/* Two boxes with sides along the axes are apart by dx in x and dy in y, that is by √(dx² + dy²),
 * where what is less than 0 counts as 0. The leaf from 0 to l goes s ahead; the post is from p to p
 * + w: dx = max(p - l - s, s - p - w), which falls to the middle of the passage, s = p + (w - l) /
 * 2, and rises behind it. */
Test(calc_clearance_property, sliding_past_a_post)
{
	for (int n = 0; n < 5000 / FEWER; n++) {
		double l = draw(0.2, 6), thick = draw(0.03, 0.3), way = draw(-6, 6),
		       p = draw(-8, 8), w = draw(0.05, 1);
		/* Beside the leaf, or in its way. */
		bool beside = n % 2;
		double off = beside ? draw(0.005, 0.8) : -draw(0, thick),
		       across = n % 5 ? 0 : draw(0.01, 0.5);
		double dy = fmax(off, 0), low = fmin(way, 0), high = fmax(way, 0);
		double middle = fmin(fmax(p + (w - l) / 2, low), high);
#define DX(s) fmax(fmax(p - l - (s), (s)-p - w), 0)
		double least = hypot(hypot(DX(middle), dy), across);
		double greatest = hypot(hypot(fmax(DX(low), DX(high)), dy), across);
#undef DX
		struct elsewhere e = draw_elsewhere();
		struct geo_point leaf[4], post[4], from = put(&e, 0, 0), to = put(&e, way, 0);
		put_box(&e, 0, 0, l, thick, leaf);
		put_box(&e, p, thick + off, p + w, thick + off + 0.5, post);
		struct motion_step step = {
			.kind = MOTION_SHIFT, .by = {to.x - from.x, to.y - from.y}};
		struct moving_body x = {leaf, 4, {&step, 1}}, y = {post, 4, {NULL, 0}};
		struct clearance_profile c =
			n % 2 ? profile_of(&x, &y, across) : profile_of(&y, &x, across);
		cr_assert(is_near(c.least, least), "case %d: least %.6f, not %.6f", n, c.least,
			least);
		cr_assert(is_near(c.greatest, greatest), "case %d: greatest %.6f, not %.6f", n,
			c.greatest, greatest);
		cr_assert_eq(c.error, TOLERANCE);
		arena_release(&arena);
	}
}

/* A face past a face has one gap all the way, and asks for no more than the cells to begin with. */
Test(calc_clearance_property, parallel_faces_are_few_cells)
{
	for (int n = 0; n < 200; n++) {
		struct elsewhere e = draw_elsewhere();
		struct geo_point leaf[4], post[4], from = put(&e, 0, 0), to = put(&e, 3, 0);
		double gap = draw(0, 0.5);
		put_box(&e, 0, 0, 4, 0.1, leaf);
		put_box(&e, 3.2, 0.1 + gap, 3.5, 0.5 + gap, post);
		struct motion_step step = {
			.kind = MOTION_SHIFT, .by = {to.x - from.x, to.y - from.y}};
		struct moving_body x = {leaf, 4, {&step, 1}}, y = {post, 4, {NULL, 0}};
		struct clearance_profile p = profile_of(&x, &y, 0);
		cr_assert_leq(p.count, 9u);
		cr_assert_float_eq(p.least, gap, 1e-9);
		cr_assert_float_eq(p.greatest, gap, 1e-9);
		arena_release(&arena);
	}
}

/* ---- general bodies
 * ------------------------------------------------------------------------------ */

enum { PAIRS = 100 / FEWER, STEPS = 4000 / FEWER };

static double across_of(int n)
{
	return n % 3 ? 0 : 0.02 * (n % 7);
}

/* Least, greatest, every look and the turns. tests/tools/clearance_brute.c does the same for a
 * thousand pairs and 100,000 looks. */
Test(calc_clearance_property, general_bodies)
{
	static double gaps[STEPS + 1];
	int compared = 0;
	for (int n = 0; n < PAIRS; n++) {
		struct bench_body pair[2];
		struct bench_truth truth = {.gaps = gaps};
		bool clear;
		bench_pair((uint64_t)n, pair);
		struct clearance_profile p = profile_of(&pair[0].body, &pair[1].body, across_of(n));
		bench_look(&pair[0].body, &pair[1].body, across_of(n), STEPS, &truth);
		const char *wrong = bench_disagrees(&p, &truth, STEPS, TOLERANCE, FINE, &clear);
		cr_assert_null(wrong, "pair %d: %s", n, wrong ? wrong : "");
		compared += clear;
		arena_release(&arena);
	}
	cr_expect_gt(compared, PAIRS * 9 / 10);
}

/* With few knots: least, greatest and every turn where the gap is small are what looking often
 * finds, and the line between knots is as near as was asked for. */
Test(calc_clearance_property, outlines)
{
	static double gaps[STEPS + 1];
	size_t knots = 0, fewer = 0;
	int compared = 0;
	for (int n = 0; n < PAIRS; n++) {
		struct bench_body pair[2];
		struct bench_truth truth = {.gaps = gaps};
		bool clear;
		bench_pair((uint64_t)n + 50000, pair);
		double across = across_of(n), line = 2e-3;
		const struct moving_body *x = &pair[0].body, *y = &pair[1].body;
		struct clearance_profile p =
			clearance_outline(&arena, x, y, across, TOLERANCE, line, FINE);
		bench_look(x, y, across, STEPS, &truth);
		const char *wrong = bench_disagrees(&p, &truth, STEPS, line, FINE, &clear);
		cr_assert_null(wrong, "pair %d: %s", n, wrong ? wrong : "");
		struct clearance_profile all = profile_of(x, y, across);
		struct clearance_stretch *few, *many;
		size_t count = clearance_stretches(&arena, &p, 1e-3, &few),
		       want = clearance_stretches(&arena, &all, 1e-3, &many);
		cr_assert_float_eq(p.least, all.least, 2 * TOLERANCE, "pair %d", n);
		cr_assert_float_eq(p.greatest, all.greatest, 2 * TOLERANCE, "pair %d", n);
		for (size_t i = 0; count == want && i < count; i++) {
			if (fmin(many[i].start, many[i].end) > FINE)
				continue;
			cr_assert_eq(few[i].opening, many[i].opening, "pair %d", n);
			if (many[i].start < FINE)
				cr_assert_float_eq(
					few[i].start, many[i].start, 3 * TOLERANCE, "pair %d", n);
			if (many[i].end < FINE)
				cr_assert_float_eq(
					few[i].end, many[i].end, 3 * TOLERANCE, "pair %d", n);
		}
		compared += count == want;
		knots += all.count;
		fewer += p.count;
		arena_release(&arena);
	}
	/* A turn of just that size may be told by one and not by the other. */
	cr_expect_geq(compared, PAIRS * 98 / 100);
	cr_expect_lt(fewer, knots);
}

/* A cell drawn by lot in which no rate changes. */
static struct cell draw_cell(const struct bench_body pair[2])
{
	double *knots, low = 0, high = 1;
	size_t n = motion_knots(&arena, &pair[0].body.motion, &pair[1].body.motion, &knots);
	double at = draw(0, 1);
	for (size_t i = 0; i < n; i++) {
		low = knots[i] <= at ? knots[i] : low;
		high = knots[i] > at && knots[i] < high ? knots[i] : high;
	}
	double h = fmin(pow(10, draw(-4, -0.5)), (high - low) / 2), t = draw(low + h, high - h);
	struct couple both = couple_of(&arena, &pair[0].body, &pair[1].body);
	struct feature from = couple_look(&both, t - h);
	struct moment before = couple_moment(&both, &from);
	struct feature to = couple_look(&both, t + h);
	return (struct cell){t, h, before, couple_moment_before(&both, &to, t + h)};
}

/* What is told quickly holds at every look, and what is said to be steady is: by an independent distance. */
Test(calc_clearance_property, quick_bounds_and_steadiness_hold)
{
	enum { LOOKS = 32 };
	int steady = 0, features = 0, told = 0;
	for (int n = 0; n < 10000 / FEWER; n++) {
		struct bench_body pair[2];
		bench_pair((uint64_t)n + 90000, pair);
		struct cell c = draw_cell(pair);
		struct couple both = couple_of(&arena, &pair[0].body, &pair[1].body);
		struct feature f = couple_look(&both, c.t);
		struct moment middle = couple_moment(&both, &f);
		struct stir stir = couple_stir(&both, c.t, c.h);
		struct quick q = couple_quick(&stir, &c, &middle);
		couple_widen(&both);
		bool by_rate = stir_steady(&stir, &c, q.low), by_feature = couple_steady(&both, &f, &c);
		double d[LOOKS + 1];
		for (int i = 0; i <= LOOKS; i++) {
			double u = 2.0 * i / LOOKS - 1;
			d[i] = bench_distance(&pair[0].body, &pair[1].body, c.t + c.h * u);
			double line = (c.before.distance * (1 - u) + c.after.distance * (1 + u)) / 2;
			cr_assert_geq(d[i], q.low - 1e-9, "case %d", n);
			cr_assert_leq(d[i], q.high + 1e-9, "case %d", n);
			cr_assert_leq(fabs(d[i] - line), q.off + 1e-9, "case %d: %g", n, u);
		}
		for (int i = 0; i < LOOKS && (by_rate || by_feature); i++)
			cr_assert((d[i + 1] - d[i]) * (d[LOOKS] - d[0]) >= -1e-12, "case %d: %d", n, i);
		steady += by_rate;
		features += by_feature;
		told += q.off < stir.reach;
		arena_release(&arena);
	}
	/* It is worth having: most cells are told, and many are steady. */
	cr_expect_gt(told, 2000 / FEWER);
	cr_expect_gt(steady, 500 / FEWER);
	cr_expect_gt(features, 500 / FEWER);
}

/* Bounds hold: between straight lines through both low and both high values, at every look. In a
 * narrow cell they are near. */
Test(calc_clearance_property, bounds_of_cells_hold)
{
	int narrow = 0, near = 0;
	for (int n = 0; n < 10000 / FEWER; n++) {
		struct bench_body pair[2];
		bench_pair((uint64_t)n + 70000, pair);
		struct cell c = draw_cell(pair);
		struct couple both = couple_of(&arena, &pair[0].body, &pair[1].body);
		struct feature f = couple_look(&both, c.t);
		double reach = couple_stir(&both, c.t, c.h).reach;
		couple_widen(&both);
		struct bounds b = couple_bounds(&both, &f, &c, INFINITY);
		cr_assert_float_eq(
			f.distance, bench_distance(&pair[0].body, &pair[1].body, c.t), 1e-9);
		for (int i = -4; i <= 4; i++) {
			double d = bench_distance(&pair[0].body, &pair[1].body, c.t + c.h * i / 4);
			double low = (b.low[0] * (4 - i) + b.low[1] * (4 + i)) / 8;
			double high = (b.high[0] * (4 - i) + b.high[1] * (4 + i)) / 8;
			cr_assert_geq(
				d, fmin(low, d + 1) - 1e-9, "case %d: %g, not below %g", n, d, low);
			cr_assert(!(d > high + 1e-9), "case %d: %g, not above %g", n, d, high);
			cr_assert_leq(fabs(d - f.distance), reach + 1e-9, "case %d", n);
		}
		arena_release(&arena);
		/* Three turns of 2.5 at 6 m are accelerated by 340 per whole travel². Not where
		 * another feature becomes the nearest. */
		if (c.h > 1e-3 || f.overlap)
			continue;
		narrow++;
		near += bounds_off(&b, &c) < 340 * c.h * c.h + 1e-12;
	}
	cr_expect_gt(near, narrow * 95 / 100, "%d of %d", near, narrow);
}

/* From 0 to 1, and every knot of the ways is one of the profile, to the last digit. */
Test(calc_clearance_property, profiles_cover_the_travel)
{
	for (int n = 0; n < 600; n++) {
		struct bench_body pair[2];
		double *knots;
		bench_pair((uint64_t)n, pair);
		struct clearance_profile p =
			clearance_of(&arena, &pair[0].body, &pair[1].body, 0, 0.1, FINE);
		size_t count = motion_knots(
			       &arena, &pair[0].body.motion, &pair[1].body.motion, &knots),
		       k = 0;
		cr_assert(p.knots[0].travel == 0 && p.knots[p.count - 1].travel == 1, "pair %d", n);
		for (size_t i = 1; i < p.count; i++) {
			cr_assert_gt(p.knots[i].travel, p.knots[i - 1].travel);
			k += k < count && p.knots[i].travel == knots[k];
		}
		cr_assert_eq(k, count, "pair %d", n);
		arena_release(&arena);
	}
}

static double gap_at(const struct clearance_profile *p, double t)
{
	size_t k = 1;
	while (k + 1 < p->count && p->knots[k].travel < t)
		k++;
	const struct clearance_knot *a = &p->knots[k - 1], *b = &p->knots[k];
	return a->gap + (b->gap - a->gap) * (t - a->travel) / (b->travel - a->travel);
}

static bool are_alike(const struct clearance_profile *p, const struct clearance_profile *q)
{
	for (size_t i = 0; i < p->count; i++)
		if (p->knots[i].gap < FINE &&
			!is_near(gap_at(q, p->knots[i].travel), p->knots[i].gap))
			return false;
	return is_near(p->least, q->least) && is_near(p->greatest, q->greatest);
}

Test(calc_clearance_property, mirrored_and_exchanged)
{
	for (int n = 1000; n < 1000 + 200 / FEWER; n++) {
		struct bench_body pair[2], other[2];
		bench_pair((uint64_t)n, pair);
		bench_mirror(&pair[0], &other[0]);
		bench_mirror(&pair[1], &other[1]);
		struct clearance_profile p = profile_of(&pair[0].body, &pair[1].body, 0);
		struct clearance_profile q = profile_of(&other[0].body, &other[1].body, 0);
		struct clearance_profile r = profile_of(&pair[1].body, &pair[0].body, 0);
		cr_assert(are_alike(&p, &q), "pair %d, mirrored", n);
		cr_assert(are_alike(&p, &r), "pair %d, exchanged", n);
		arena_release(&arena);
	}
}

/* A quick "no" is never wrong. */
Test(calc_clearance_property, quick_look_never_misses)
{
	int no = 0;
	for (int n = 0; n < 2000 / FEWER; n++) {
		struct bench_body pair[2];
		bench_pair((uint64_t)n + 5000, pair);
		double near = draw(0.01, 1), across = n % 2 ? 0 : draw(0, 0.5), least = INFINITY;
		if (clearance_may_come_near(&pair[0].body, &pair[1].body, across, near))
			continue;
		no++;
		for (int i = 0; i <= 200; i++)
			least = fmin(least,
				hypot(bench_distance(&pair[0].body, &pair[1].body, i / 200.0),
					across));
		cr_assert_gt(least, near, "pair %d", n);
	}
	cr_expect_gt(no, 20 / FEWER);
}

/* The gaps at the ends of a stretch are what a look there sees; and a rate is what the gap changes
 * by. */
Test(calc_clearance_property, stretches_and_rates_hold)
{
	for (int n = 0; n < 200 / FEWER; n++) {
		struct bench_body pair[2];
		struct clearance_stretch *s;
		bench_pair((uint64_t)n + 9000, pair);
		struct clearance_profile p = profile_of(&pair[0].body, &pair[1].body, 0);
		size_t count = clearance_stretches(&arena, &p, 2e-4, &s);
		for (size_t i = 0; i < count; i++) {
			cr_assert_float_eq(s[i].start,
				bench_distance(&pair[0].body, &pair[1].body, s[i].from), 1e-9);
			cr_assert_float_eq(s[i].end,
				bench_distance(&pair[0].body, &pair[1].body, s[i].to), 1e-9);
			cr_assert_eq(s[i].opening, s[i].end < s[i].start);
			cr_assert(!i ||
				  (s[i].from == s[i - 1].to && s[i].opening != s[i - 1].opening));
		}
		double t = draw(0.01, 0.99), h = 1e-6, gap[3];
		struct clearance_rate rate;
		for (int i = 0; i < 3; i++)
			gap[i] = bench_distance(&pair[0].body, &pair[1].body, t + (i - 1) * h);
		clearance_rates(&arena, &pair[0].body, &pair[1].body, &t, 1, &rate);
		/* Not where another feature becomes the nearest, or a step begins. */
		if (gap[0] > 0.01 && fabs(gap[2] - 2 * gap[1] + gap[0]) < 1e-10)
			cr_assert_float_eq(
				rate.along, (gap[2] - gap[0]) / (2 * h), 1e-3, "pair %d", n);
		arena_release(&arena);
	}
}

/* ---- under a leaf
 * -------------------------------------------------------------------------------- */

/* z = h + rise t - r (along (cos φ - 1) + across sin φ), φ = a t. z' = 0 where along sin φ - across
 * cos φ = -rise / (r a), that is k cos(φ + δ) = rise / (r a) with k = √(along² + across²), δ =
 * atan2(along, across). */
Test(calc_clearance_property, underside)
{
	for (int n = 0; n < 5000 / FEWER; n++) {
		struct underside u = {draw(0, 0.3), draw(-0.2, 0.3), draw(0.5, 5), draw(-3, 3),
			draw(-0.15, 0.15), draw(-0.15, 0.15)};
#define Z(phi)                                                                                     \
	fmax(u.height + u.rise * (phi) / u.angle -                                                 \
			u.radius * (u.along * (cos(phi) - 1) + u.across * sin(phi)),               \
		0)
		double least = fmin(Z(0), Z(u.angle)), greatest = fmax(Z(0), Z(u.angle));
		double q = u.rise / (u.radius * u.angle * hypot(u.along, u.across));
		for (int k = -2; fabs(q) <= 1 && k <= 2; k++)
			for (int sign = -1; sign <= 1; sign += 2) {
				double phi =
					sign * acos(q) - atan2(u.along, u.across) + 2 * M_PI * k;
				if (phi / u.angle <= 0 || phi / u.angle >= 1)
					continue;
				least = fmin(least, Z(phi));
				greatest = fmax(greatest, Z(phi));
			}
		struct clearance_profile p = clearance_underside(&arena, &u, TOLERANCE);
		cr_assert(is_near(p.least, least), "case %d: least %.6f, not %.6f", n, p.least,
			least);
		cr_assert(is_near(p.greatest, greatest), "case %d: greatest %.6f, not %.6f", n,
			p.greatest, greatest);
		cr_assert_eq(p.error, TOLERANCE);
		for (int i = 0; i <= 50; i++)
			cr_assert(is_near(gap_at(&p, i / 50.0), Z(i / 50.0 * u.angle)),
				"case %d, at %d", n, i);
#undef Z
		arena_release(&arena);
	}
}

/* ---- bodies that are none
 * ------------------------------------------------------------------------ */

/* Points on a small grid: doubled, in a line, crossing each other; and now and then no size of this
 * world. */
static struct moving_body draw_doubtful(
	struct geo_point points[8], struct motion_step steps[2], double size)
{
	struct moving_body b = {points, (size_t)draw(0, 9), {steps, (size_t)draw(0, 3)}};
	for (size_t i = 0; i < 8; i++)
		points[i] = (struct geo_point){size * floor(draw(0, 3)), size * floor(draw(0, 3))};
	for (size_t i = 0; i < 2; i++)
		steps[i] = (struct motion_step){.kind = draw(0, 2) < 1 ? MOTION_SHIFT : MOTION_TURN,
			.by = {size * draw(-1, 1), size * draw(-1, 1)},
			.angle = draw(-7, 7)};
	return b;
}

Test(calc_clearance_property, doubtful_bodies_come_to_an_end)
{
	static const double SIZES[] = {1, 1, 1, 1, 1e-9, 1e-300, 1e4, 1e9, 1e160, INFINITY};
	for (int n = 0; n < 200 / FEWER; n++) {
		struct geo_point points[2][8], on_x, on_y;
		struct motion_step steps[2][2];
		double at[] = {0, 0.5, 1};
		struct clearance_rate rates[3];
		struct clearance_stretch *stretches;
		/* Where 0.1 mm is nothing, thousands of cells are tried: not often. */
		double size = SIZES[n % 20 ? n % 5 : 5 + n / 20 % 5];
		struct moving_body x = draw_doubtful(points[0], steps[0], size);
		struct moving_body y = draw_doubtful(points[1], steps[1], size);
		struct clearance_profile p = profile_of(&x, &y, n % 2 ? 0 : 0.1);
		cr_assert_geq(p.count, 2u);
		cr_assert_leq(p.count, 10000u);
		cr_assert(p.least >= 0 || size > 1e100, "case %d", n);
		for (int i = 0; size == 1 && x.count && y.count && i <= 20; i++) {
			double far = hypot(bench_distance(&x, &y, i / 20.0), n % 2 ? 0 : 0.1);
			cr_assert_leq(p.least, far + 2 * TOLERANCE, "case %d", n);
		}
		clearance_at(&arena, &x, &y, 0.3, &on_x, &on_y);
		clearance_rates(&arena, &x, &y, at, 3, rates);
		clearance_stretches(&arena, &p, 2e-4, &stretches);
		clearance_may_come_near(&x, &y, 0, 0.5);
		arena_release(&arena);
	}
}
