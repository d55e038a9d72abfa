/* Force recordings on the very edges of what calc/curve.h promises. Limits as in EN 12453 Annex A;
 * t0 is 0 where the first sample is 25 N and the second above: the line leaves 25 N there. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/curve.h"

static struct arena arena;
static jmp_buf escape;

static void open_arena(void)
{
	if (setjmp(escape))
		cr_assert_fail("out of memory");
	arena_init(&arena, &escape);
}

static void close_arena(void)
{
	arena_release(&arena);
}

TestSuite(calc_curve_edges, .init = open_arena, .fini = close_arena);

static const struct curve_limits LIMITS = {
	.peak_n = 400,
	.static_n = 150,
	.contact_n = 25,
	.dynamic_s = 0.75,
	.end_s = 5,
	.rate_hz = 200,
	.baseline_n = 5,
	.range_n = 2000,
	.flat_samples = 3,
};

static struct curve_result evaluate(const double *t, const double *f, size_t count)
{
	struct recording r = {.name = "", .time_s = t, .force_n = f, .count = count};
	return curve_evaluate(&arena, &r, &LIMITS);
}

static bool has(const struct curve_result *c, unsigned reason)
{
	return (c->reasons & reason) != 0;
}

/* 10^12 is the last number; a value that is none counts wherever it stands. */
Test(calc_curve_edges, numbers)
{
	static const double BAD[] = {1.01e12, -1.01e12, (double)NAN, (double)INFINITY};
	double t[3] = {0, 0.001, 0.002}, f[3] = {1e12, 0, -1e12}, far[2] = {-1e12, 1e12};
	cr_expect(evaluate(t, f, 3).evaluated);
	cr_expect(evaluate(far, f, 2).evaluated);
	for (size_t b = 0; b < 4; b++)
		for (size_t i = 0; i < 3; i++) {
			double u[3] = {0, 0.001, 0.002}, g[3] = {0, 10, 0};
			g[i] = BAD[b];
			cr_expect_eq(evaluate(t, g, 3).reasons & CURVE_NOT_FINITE, CURVE_NOT_FINITE,
				"%zu %zu", b, i);
			g[i] = 0;
			u[i] = BAD[b];
			cr_expect_eq(evaluate(u, g, 3).reasons & CURVE_NOT_FINITE, CURVE_NOT_FINITE,
				"%zu %zu", b, i);
		}
}

/* Time increases by over 1 ns. */
Test(calc_curve_edges, order)
{
	double t[2] = {0, 1e-9}, later[2] = {0, 1.01e-9}, f[2] = {0, 10};
	cr_expect_eq(evaluate(t, f, 2).reasons, CURVE_ORDER);
	cr_expect(evaluate(later, f, 2).evaluated);
}

/* Two samples: the interval is the second time, without rounding. */
Test(calc_curve_edges, rate)
{
	double on[2] = {0, 0.005 + 1e-9}, over[2] = {0, 0.005 + 1.01e-9}, f[2] = {0, 10};
	struct curve_result c = evaluate(on, f, 2);
	cr_expect_not(has(&c, CURVE_RATE | CURVE_GAP));
	c = evaluate(over, f, 2);
	cr_expect(has(&c, CURVE_RATE));
	double gap_on[4] = {0, 0.005 + 1e-9, 0.006, 0.007},
	       gap_over[4] = {0, 0.005 + 1.01e-9, 0.006, 0.007};
	double g[4] = {25, 50, 50, 50};
	c = evaluate(gap_on, g, 4);
	cr_expect_not(has(&c, CURVE_RATE | CURVE_GAP));
	c = evaluate(gap_over, g, 4);
	cr_expect(has(&c, CURVE_GAP) && !has(&c, CURVE_RATE));
}

/* A long interval that begins where the end force is judged hides no peak; one that begins before
 * may. */
Test(calc_curve_edges, gap_after_the_end)
{
	enum { COUNT = 1003 };
	double t[COUNT], f[COUNT];
	for (size_t i = 0; i < COUNT; i++) {
		t[i] = i < 1001 ? (double)i / 200 : 5 + 0.5 * (double)(i - 1000);
		f[i] = i == 0 ? 25 : i == 1 ? 50 : 0;
	}
	struct curve_result c = evaluate(t, f, COUNT);
	cr_expect_eq(c.reasons & CURVE_GAP, 0);
	cr_expect_float_eq(c.end_from_s, 5, 0);
	t[1000] = 4.999;
	c = evaluate(t, f, COUNT);
	cr_expect(has(&c, CURVE_GAP));
}

/* One part in 10^9 over a limit is rounding, more is over. */
Test(calc_curve_edges, peak)
{
	double t[3] = {0, 0.001, 0.002}, f[3] = {0, 0, 0};
	f[1] = 400 + 400 * 1e-9;
	struct curve_result c = evaluate(t, f, 3);
	cr_expect_not(has(&c, CURVE_PEAK));
	f[1] = 400 + 400 * 1.01e-9;
	c = evaluate(t, f, 3);
	cr_expect(has(&c, CURVE_PEAK));
}

/* A recording that ends 1 ns before the end force is judged is whole, and its last force is that of
 * the end. */
Test(calc_curve_edges, ends_one_nanosecond_early)
{
	double t[4] = {0, 0.001, 0.002, 5 - 1e-9}, f[4] = {25, 50, 10, 30};
	struct curve_result c = evaluate(t, f, 4);
	cr_expect(!has(&c, CURVE_SHORT) && has(&c, CURVE_END));
	cr_expect_float_eq(c.end_n, 30, 0);
	t[3] = 5 - 2e-9;
	c = evaluate(t, f, 4);
	cr_expect(has(&c, CURVE_SHORT) && !has(&c, CURVE_END));
	cr_expect_float_eq(c.end_n, 0, 0);
}

/* The dynamic period may end later than the end force is judged: 150 N at 4.5 s, passed at once. */
Test(calc_curve_edges, ends_with_the_dynamic_period)
{
	static const double LAST[] = {5.25, 5.25 - 1e-9, 5.25 - 1.1e-9};
	for (size_t i = 0; i < 3; i++) {
		double t[5] = {0, 0.001, 4.5, 4.6, LAST[i]}, f[5] = {25, 50, 150, 200, 0};
		struct curve_result c = evaluate(t, f, 5);
		cr_expect_float_eq(c.t1_s, 4.5, 0);
		cr_expect_eq(has(&c, CURVE_SHORT), i == 2, "%zu", i);
	}
}

/* What stands below zero exactly at t0 + 5 s is part of the end. */
Test(calc_curve_edges, sunk_zero)
{
	double u[5] = {-0.001, 0, 0.001, 0.002, 5}, g[5] = {0, 25, 50, 0, -6};
	struct curve_result c = evaluate(u, g, 5);
	cr_expect_float_eq(c.end_from_s, 5, 0);
	cr_expect(has(&c, CURVE_BASELINE));
	g[4] = -5;
	c = evaluate(u, g, 5);
	cr_expect_not(has(&c, CURVE_BASELINE));
}

/* A firm may have the end judged at once: then all that is recorded is part of it, from the first
 * sample on. Of -100, -100, -2, 25 and 50 N the median is -2 N; without the first it would be -51
 * N. */
Test(calc_curve_edges, end_at_once)
{
	struct curve_limits limits = LIMITS;
	double times[6] = {9, 0, 0.001, 0.002, 0.003, 0.004}, f[5] = {25, 50, -2, -100, -100};
	struct recording r = {.name = "", .time_s = times + 1, .force_n = f, .count = 5};
	limits.end_s = 0;
	limits.baseline_n = 25;
	struct curve_result c = curve_evaluate(&arena, &r, &limits);
	cr_expect_float_eq(c.end_from_s, 0, 0);
	cr_expect_not(has(&c, CURVE_BASELINE));
	f[2] = f[3] = f[4] = -100;
	c = curve_evaluate(&arena, &r, &limits);
	cr_expect(has(&c, CURVE_BASELINE));
}

/* No range is known: nothing is judged by it. However small it is, it is one. */
Test(calc_curve_edges, range)
{
	struct curve_limits limits = LIMITS;
	double t[3] = {0, 0.001, 0.002}, f[3] = {0, 100, 0};
	struct recording r = {.name = "", .time_s = t, .force_n = f, .count = 3};
	limits.range_n = 0;
	cr_expect_eq(curve_evaluate(&arena, &r, &limits).reasons & CURVE_CLIPPED, 0);
	limits.range_n = 0.5;
	cr_expect_eq(curve_evaluate(&arena, &r, &limits).reasons & CURVE_CLIPPED, CURVE_CLIPPED);
}

/* Where flat tops are not judged, none is told of. */
Test(calc_curve_edges, flat_tops_not_judged)
{
	struct curve_limits limits = LIMITS;
	double t[6] = {0, 0.001, 0.002, 0.003, 0.004, 0.005}, f[6] = {0, 0, 390, 390, 390, 390};
	struct recording r = {.name = "", .time_s = t, .force_n = f, .count = 6};
	cr_expect_eq(curve_evaluate(&arena, &r, &limits).reasons & CURVE_CLIPPED, CURVE_CLIPPED);
	limits.flat_samples = 0;
	cr_expect_eq(curve_evaluate(&arena, &r, &limits).reasons & CURVE_CLIPPED, 0);
}

/* Up to 400 N, `run` times there, and down: the first step as given, then 60 N, then `entry`.
 * Samples that stand close beside the recording, by the smallest of steps, are none of its own. */
static bool flat(double first, double entry, size_t run)
{
	double times[20], forces[20] = {0}, *t = times + 1, *f = forces + 1;
	size_t n = 0;
	f[n++] = 400 - entry - 60 - first;
	f[n++] = 400 - entry - 60;
	f[n++] = 400 - entry;
	for (size_t i = 0; i < run; i++)
		f[n++] = 400;
	f[n++] = 300;
	forces[0] = f[0] + 0.001;
	f[n] = 300.001;
	for (size_t i = 0; i < n + 2; i++)
		times[i] = (double)i / 1000;
	struct curve_result c = evaluate(t, f, n);
	return has(&c, CURVE_CLIPPED);
}

/* By the words of calc/curve.h: a run of three or more; entry over twice the smallest step and run
 * · entry / 4 over 1/200 of 400 N; or entry over 40 N. */
Test(calc_curve_edges, flat_tops)
{
	cr_expect_not(flat(5, 10, 3));
	cr_expect(flat(4.99, 10, 3));
	cr_expect(flat(3.5, 10, 3));
	cr_expect_not(flat(5.5, 10, 3));
	cr_expect_not(flat(0.5, 2, 4));
	cr_expect(flat(0.5, 2.005, 4));
	cr_expect_not(flat(1, 10, 2));
	cr_expect(flat(1, 10, 3));
	cr_expect_not(flat(25, 40, 3));
	cr_expect(flat(25, 40.01, 3));
	cr_expect(flat(25, 41, 3));
}

/* Two levels passed at one instant, as far as a double tells: upwards the lower comes first,
 * downwards last. */
Test(calc_curve_edges, crossings_at_one_instant)
{
	struct curve_limits limits = LIMITS;
	double t[4] = {1e6, 1e6 + 0.001, 1e6 + 0.002, 1e6 + 0.003}, f[4] = {0, 1e11, 1e11, 0};
	struct recording r = {.name = "", .time_s = t, .force_n = f, .count = 4};
	limits.static_n = 25.5;
	struct curve_result c = curve_evaluate(&arena, &r, &limits);
	cr_assert_eq(c.crossing_count, 4);
	cr_assert(c.crossings[0].s == c.crossings[1].s && c.crossings[2].s == c.crossings[3].s);
	cr_expect(c.crossings[0].up && c.crossings[0].level_n == 25);
	cr_expect(c.crossings[1].up && c.crossings[1].level_n == 25.5);
	cr_expect(!c.crossings[2].up && c.crossings[2].level_n == 25.5);
	cr_expect(!c.crossings[3].up && c.crossings[3].level_n == 25);
}
