/* Curves are polylines whose breakpoints stand on sample instants, so that every figure has a closed
 * form. The force-time rules (25 N, 150 N, 0.75 s, 5 s, 400 N) are those of EN 12453 Annex A. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

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

TestSuite(calc_curve, .init = open_arena, .fini = close_arena);

static const struct curve_limits LIMITS = {
	.peak_n = 400, .static_n = 150, .contact_n = 25, .dynamic_s = 0.75, .end_s = 5, .rate_hz = 200,
	.baseline_n = 5, .range_n = 2000, .flat_samples = 4,
};

enum { POINTS = 12 };

struct point {
	double s, n;
};

static double polyline(const struct point *p, size_t count, double s)
{
	for (size_t i = 0; i + 1 < count; i++)
		if (s <= p[i + 1].s)
			return p[i].n + (p[i + 1].n - p[i].n) * (s - p[i].s) / (p[i + 1].s - p[i].s);
	return p[count - 1].n;
}

static size_t points(const struct point *p)
{
	size_t n = 1;
	while (n < POINTS && p[n].s > p[n - 1].s)
		n++;
	return n;
}

/* A recording of `count` samples at `rate`, whose samples the caller then fills. */
static struct recording blank(size_t count, double start, double rate, double **force)
{
	double *t = arena_array(&arena, count, sizeof *t);
	*force = arena_array(&arena, count, sizeof **force);
	for (size_t i = 0; i < count; i++)
		t[i] = start + (double)i / rate;
	return (struct recording){.name = "", .time_s = t, .force_n = *force, .count = count};
}

static struct recording sampled(const struct point *p, double rate)
{
	double *f;
	size_t n = points(p), count = (size_t)llround((p[n - 1].s - p[0].s) * rate) + 1;
	struct recording r = blank(count, p[0].s, rate, &f);
	for (size_t i = 0; i < count; i++)
		f[i] = polyline(p, n, r.time_s[i]);
	return r;
}

static const double RATES[] = {200, 500, 1000, 2000, 10000};

/* Each row's expectation by hand from its corners: on a straight line from (a, A) to (b, B) the level L
 * is passed at a + (L - A) / (B - A) * (b - a). */
struct trace {
	const char *name;
	struct point p[POINTS];
	double t0, t1; /* t1 < 0: none */
	double peak, above_static, above_contact, static_after, end;
	unsigned reasons;
};

static const struct trace TRACES[] = {
	/* V1 to V4: derived vectors, not published */
	{"V1", {{0, 0}, {0.05, 380}, {0.6, 140}, {2, 140}, {2.1, 0}, {6, 0}}, 0.00328947, 0.01973684,
		380, 0.55734649, 2.07885338, 140, 0, 0},
	{"V2", {{0, 0}, {0.05, 380}, {1, 140}, {2, 140}, {2.1, 0}, {6, 0}}, 0.00328947, 0.01973684,
		380, 0.94067982, 2.07885338, 380 - 240 * (0.76973684 - 0.05) / 0.95, 0, CURVE_STATIC},
	{"V3 at 400 N", {{0, 0}, {0.05, 900}, {0.5, 100}, {1, 0}, {6, 0}}, 0.00138889, 0.00833333, 900,
		0.46354167, 0.87361111, 100 - 100 * (0.75833333 - 0.5) / 0.5, 0, CURVE_PEAK},
	{"V4", {{0, 0}, {0.05, 300}, {0.4, 120}, {6, 120}}, 0.00416667, 0.025, 300, 0.31666667,
		5.99583333, 120, 120, CURVE_END},
	/* rise 25 N -> 150 N -> 300 N in 0.12 s, hold at 120 N, release */
	{"press", {{-0.3, 0}, {0, 0}, {0.12, 300}, {0.4, 120}, {1.4, 120}, {1.6, 0}, {5.5, 0}}, 0.01,
		0.06, 300, 0.29333333, 1.54833333, 120, 0, 0},
	/* never above 150 N: no t1; the greatest force from t0 on stands for the static one */
	{"soft", {{-0.2, 0}, {0, 0}, {0.2, 150}, {0.5, 100}, {1, 0}, {5.5, 0}}, 0.03333333, -1, 150, 0,
		0.84166667, 150, 0, 0},
	/* 150 N exactly from 0.5 s on: equality is within */
	{"static on 150", {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.5, 150}, {2, 150}, {2.2, 0}, {5.5, 0}},
		0.0125, 0.075, 200, 0.425, 2.15416667, 150, 0, 0},
	{"static 151", {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.5, 151}, {2, 151}, {2.2, 0}, {5.5, 0}},
		0.0125, 0.075, 200, 1.92632450, 2.15438742, 151, 0, CURVE_STATIC},
	/* 25 N exactly for ever: within */
	{"rest on 25", {{-0.1, 0}, {0, 0}, {0.1, 100}, {1, 25}, {6, 25}}, 0.025, -1, 100, 0, 0.975, 100,
		25, 0},
	{"rest 26", {{-0.1, 0}, {0, 0}, {0.1, 100}, {1, 26}, {6, 26}}, 0.025, -1, 100, 0, 5.975, 100, 26,
		CURVE_END},
	/* a bounce above 150 N at 1.2 s, after the dynamic period that ends at 0.825 s */
	{"bounce", {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.3, 40}, {1, 40}, {1.2, 180}, {1.4, 0}, {5.5, 0}},
		0.0125, 0.075, 200, 0.16369048, 1.35972222, 180, 0, CURVE_STATIC},
	/* the same bounce inside the dynamic period */
	{"early bounce", {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.3, 40}, {0.5, 180}, {0.7, 0}, {5.5, 0}},
		0.0125, 0.075, 200, 0.16369048, 0.65972222, 0, 0, 0},
	/* back above 25 N after 5 s: t0 + 5 = 5.0125 */
	{"second press", {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.5, 0}, {5.1, 0}, {5.2, 60}, {5.3, 0}, {5.5, 0}},
		0.0125, 0.075, 200, 0.125, 0.43750000 + 0.11666667, 60, 60, CURVE_END},
	{"peak on 400", {{-0.1, 0}, {0, 0}, {0.1, 400}, {0.3, 0}, {5.5, 0}}, 0.00625, 0.0375, 400, 0.1875,
		0.28125, 0, 0, 0},
	{"peak 400.1", {{-0.1, 0}, {0, 0}, {0.1, 400.1}, {0.3, 0}, {5.5, 0}}, 0.00624844, 0.03749063,
		400.1, 0.18752812, 0.28125469, 0, 0, CURVE_PEAK},
};

Test(calc_curve, closed_forms)
{
	for (size_t i = 0; i < sizeof TRACES / sizeof *TRACES; i++) {
		for (size_t k = 0; k < sizeof RATES / sizeof *RATES; k++) {
			const struct trace *t = &TRACES[i];
			struct recording r = sampled(t->p, RATES[k]);
			struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
			const char *at = arena_format(&arena, "%s at %g Hz", t->name, RATES[k]);
			cr_expect_float_eq(c.t0_s, t->t0, 1e-4, "%s: t0 %g", at, c.t0_s);
			cr_expect_eq(c.has_t1, t->t1 >= 0, "%s", at);
			if (t->t1 >= 0)
				cr_expect_float_eq(c.t1_s, t->t1, 1e-4, "%s: t1 %g", at, c.t1_s);
			cr_expect_float_eq(c.peak_n, t->peak, 0.1, "%s: peak %g", at, c.peak_n);
			cr_expect_float_eq(c.above_static_s, t->above_static, 1e-4, "%s: above static %.8f",
				at, c.above_static_s);
			cr_expect_float_eq(c.above_contact_s, t->above_contact, 1e-4,
				"%s: above contact %.8f", at, c.above_contact_s);
			cr_expect_float_eq(c.static_after_n, t->static_after, 0.1, "%s: static %g", at,
				c.static_after_n);
			cr_expect_float_eq(c.end_n, t->end, 0.1, "%s: end %g", at, c.end_n);
			cr_expect_eq(c.reasons, t->reasons, "%s: reasons %#x", at, c.reasons);
			cr_expect_eq(c.verdict, t->reasons ? CURVE_OVER : CURVE_WITHIN, "%s", at);
			cr_expect_float_eq(c.rate_hz, RATES[k], 1e-3, "%s: rate %g", at, c.rate_hz);
		}
	}
}

Test(calc_curve, vectors_at_1400_newton)
{
	/* derived vectors, verdicts at 1400 N */
	static const unsigned expected[] = {0, CURVE_STATIC, 0, CURVE_END};
	struct curve_limits limits = LIMITS;
	limits.peak_n = 1400;
	for (size_t i = 0; i < 4; i++) {
		struct recording r = sampled(TRACES[i].p, 1000);
		struct curve_result c = curve_evaluate(&arena, &r, &limits);
		cr_expect_eq(c.reasons, expected[i], "%s: %#x", TRACES[i].name, c.reasons);
	}
}

/* Just below, on and just above each threshold, at 1000 Hz. */
Test(calc_curve, thresholds)
{
	static const struct {
		double peak, hold, rest;
		unsigned reasons;
		bool t1;
	} rows[] = {
		{399.999, 120, 0, 0, true}, {400, 120, 0, 0, true}, {400.001, 120, 0, CURVE_PEAK, true},
		{200, 149.999, 0, 0, true}, {200, 150, 0, 0, true}, {200, 150.001, 0, CURVE_STATIC, true},
		{200, 120, 24.999, 0, true}, {200, 120, 25, 0, true}, {200, 120, 25.001, CURVE_END, true},
		{149.999, 120, 0, 0, false}, {150, 120, 0, 0, false}, {150.001, 120, 0, 0, true},
		{24.999, 20, 0, CURVE_NO_CONTACT, false}, {25, 20, 0, CURVE_NO_CONTACT, false},
		{25.001, 20, 0, 0, false},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct point p[POINTS] = {{-0.2, 0}, {0, 0}, {0.1, rows[i].peak}, {0.3, rows[i].hold},
			{2, rows[i].hold}, {2.5, rows[i].rest}, {5.6, rows[i].rest}};
		struct recording r = sampled(p, 1000);
		struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
		cr_expect_eq(c.reasons, rows[i].reasons, "row %zu: %#x", i, c.reasons);
		cr_expect_eq(c.has_t1, rows[i].t1, "row %zu", i);
	}
}

/* The curve passes 150 N downwards exactly at t1 + 0.75 s (equality: within), 1 ms later (over);
 * and 25 N exactly at t0 + 5 s, 1 ms later. t1 = 0.75 * 0.1 s, t0 = 0.125 * 0.1 s. */
Test(calc_curve, instants)
{
	for (int late = -1; late <= 1; late++) {
		double down = 0.825 + late * 0.001, release = 5.0125 + late * 0.001;
		struct point p[POINTS] = {{-0.1, 0}, {0, 0}, {0.1, 200}, {down, 150}, {1, 100}, {2, 0},
			{6, 0}};
		struct point q[POINTS] = {{-0.1, 0}, {0, 0}, {0.1, 200}, {0.5, 100}, {release, 25},
			{5.5, 0}, {6, 0}};
		struct recording r = sampled(p, 2000), e = sampled(q, 2000);
		struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
		cr_expect_eq(c.reasons, late > 0 ? CURVE_STATIC : 0, "%d: %#x", late, c.reasons);
		c = curve_evaluate(&arena, &e, &LIMITS);
		cr_expect_eq(c.reasons, late > 0 ? CURVE_END : 0, "%d: %#x", late, c.reasons);
	}
}

Test(calc_curve, crossings_in_order)
{
	struct recording r = sampled(TRACES[10].p, 1000);
	struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
	static const double at[] = {0.0125, 0.075, 0.1625, 1.15714286, 1.23333333, 1.37222222};
	static const bool up[] = {true, true, false, true, false, false};
	static const double level[] = {25, 150, 150, 150, 150, 25};
	cr_assert_eq(c.crossing_count, 6);
	for (size_t i = 0; i < 6; i++) {
		cr_expect_float_eq(c.crossings[i].s, at[i], 1e-6, "%zu: %g", i, c.crossings[i].s);
		cr_expect_eq(c.crossings[i].up, up[i]);
		cr_expect_float_eq(c.crossings[i].level_n, level[i], 0);
	}
}

enum shape { HALF_SINE, GAUSSIAN };

static struct recording smooth(enum shape shape, double peak, double rate, double phase)
{
	double *f, centre = 0.5 + phase / rate;
	struct recording r = blank((size_t)(6 * rate), 0, rate, &f);
	for (size_t i = 0; i < r.count; i++) {
		double x = r.time_s[i] - centre;
		if (shape == HALF_SINE) /* 80 ms long */
			f[i] = fabs(x) < 0.04 ? peak * cos(x / 0.08 * M_PI) : 0;
		else /* standard deviation 15 ms */
			f[i] = peak * exp(-x * x / (2 * 0.015 * 0.015));
	}
	return r;
}

/* The true peak is never outside [peak_n, peak_n + peak_bound_n], at any phase of the sampling, and the
 * bound is no empty one: at most 16 N for these peaks at 200 Hz, 1 N at 1000 Hz. */
Test(calc_curve, smooth_peaks_lie_within_the_bound)
{
	for (int shape = HALF_SINE; shape <= GAUSSIAN; shape++) {
		for (size_t k = 0; k < 3; k++) {
			for (int phase = 0; phase < 40; phase++) {
				double true_peak = 380;
				struct recording r = smooth(shape, true_peak, RATES[k], phase / 40.0);
				struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
				cr_expect(c.peak_n <= true_peak + 1e-9);
				cr_expect(c.peak_n + c.peak_bound_n >= true_peak - 1e-9,
					"shape %d at %g Hz, phase %d/40: %g + %g", shape, RATES[k], phase,
					c.peak_n, c.peak_bound_n);
				cr_expect_lt(c.peak_bound_n, k == 0 ? 16 : k == 1 ? 3 : 1);
			}
		}
	}
}

/* A parabola F = P - c (s - s0)^2 sampled half an interval off its top misses c h^2 / 4, which is
 * exactly M2 h^2 / 8 with M2 = 2 c. */
Test(calc_curve, bound_is_exact_for_a_parabola)
{
	double *f, h = 0.005, c = 40000;
	struct recording r = blank(1400, -0.5, 200, &f);
	for (size_t i = 0; i < r.count; i++)
		f[i] = fmax(0, 400.1 - c * pow(r.time_s[i] - 0.1525, 2));
	struct curve_result e = curve_evaluate(&arena, &r, &LIMITS);
	cr_expect_float_eq(e.peak_n, 400.1 - c * h * h / 4, 1e-6);
	cr_expect_float_eq(e.peak_bound_n, c * h * h / 4, 1e-6, "%g", e.peak_bound_n);
	cr_expect_eq(e.verdict, CURVE_WITHIN);
	cr_expect(e.peak_uncertain);
}

Test(calc_curve, limit_inside_the_bound_is_uncertain)
{
	struct recording r = smooth(HALF_SINE, 401, 200, 0.5);
	struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
	cr_assert_leq(c.peak_n, 400, "%g", c.peak_n);
	cr_expect_eq(c.verdict, CURVE_WITHIN);
	cr_expect(c.peak_uncertain);
	struct curve_limits limits = LIMITS;
	limits.peak_n = c.peak_n;
	cr_expect(curve_evaluate(&arena, &r, &limits).peak_uncertain);
	limits.peak_n = c.peak_n + c.peak_bound_n;
	cr_expect_not(curve_evaluate(&arena, &r, &limits).peak_uncertain);
	limits.peak_n = c.peak_n - 0.01;
	struct curve_result over = curve_evaluate(&arena, &r, &limits);
	cr_expect_eq(over.verdict, CURVE_OVER);
	cr_expect_not(over.peak_uncertain, "over is over, not uncertain");
}

/* A lower but narrower second peak may reach higher than the highest sample. */
Test(calc_curve, bound_looks_at_every_local_maximum)
{
	double *f, h = 0.005;
	struct recording r = blank(1300, 0, 200, &f);
	for (size_t i = 0; i < r.count; i++)
		f[i] = fmax(fmax(0, 300 - 1000 * pow(r.time_s[i] - 0.6, 2)),
			302 - 400000 * pow(r.time_s[i] - 1.2025, 2));
	struct curve_result c = curve_evaluate(&arena, &r, &LIMITS);
	cr_expect_float_eq(c.peak_n, 300, 1e-6);
	cr_expect_geq(c.peak_n + c.peak_bound_n, 302 - 400000 * h * h / 4 + 400000 * h * h / 4 - 1e-6);
}

static struct curve_result evaluated(struct recording r)
{
	return curve_evaluate(&arena, &r, &LIMITS);
}

Test(calc_curve, sampling)
{
	const struct point *p = TRACES[4].p;
	cr_expect_eq(evaluated(sampled(p, 200)).verdict, CURVE_WITHIN);
	struct curve_result slow = evaluated(sampled(p, 190));
	cr_expect_eq(slow.verdict, CURVE_UNUSABLE);
	cr_expect(slow.reasons & CURVE_RATE);
	/* one sample of 1000 lost is no harm, five in a row are, and nowhere when after the end */
	struct recording r = sampled(p, 1000);
	static const struct {
		size_t at, lost;
		unsigned reasons;
	} rows[] = {{1000, 1, 0}, {1000, 4, 0}, {1000, 5, CURVE_GAP}, {309, 5, CURVE_GAP}, {5700, 50, 0},
		{100, 50, 0}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		double *t = arena_grow(&arena, r.time_s, r.count, r.count, sizeof *t);
		double *f = arena_grow(&arena, r.force_n, r.count, r.count, sizeof *f);
		size_t rest = r.count - rows[i].at - rows[i].lost;
		memmove(t + rows[i].at, t + rows[i].at + rows[i].lost, rest * sizeof *t);
		memmove(f + rows[i].at, f + rows[i].at + rows[i].lost, rest * sizeof *f);
		struct recording cut = {.name = "", .time_s = t, .force_n = f,
			.count = r.count - rows[i].lost};
		cr_expect_eq(evaluated(cut).reasons, rows[i].reasons, "row %zu: %#x", i,
			evaluated(cut).reasons);
	}
}

Test(calc_curve, too_short)
{
	/* t0 at 0.01 s: 5.010 s is enough, 5.009 s is not */
	struct point p[POINTS] = {{-0.3, 0}, {0, 0}, {0.12, 300}, {0.4, 120}, {1.4, 0}, {5.01, 0}};
	cr_expect_eq(evaluated(sampled(p, 1000)).reasons, 0);
	p[5].s = 5.009;
	cr_expect_eq(evaluated(sampled(p, 1000)).reasons, CURVE_SHORT);
	cr_expect_eq(evaluated(sampled(p, 1000)).verdict, CURVE_UNUSABLE);
	/* above 150 N only from 4.6 s on: the time after the dynamic period is not on record */
	struct point q[POINTS] = {{-0.3, 0}, {0, 0}, {0.1, 100}, {4.5, 100}, {4.6, 160}, {4.9, 0}, {5.1, 0}};
	cr_expect(evaluated(sampled(q, 1000)).reasons & CURVE_SHORT);
}

Test(calc_curve, time_and_numbers)
{
	struct recording r = sampled(TRACES[4].p, 1000);
	double *t = arena_grow(&arena, r.time_s, r.count, r.count, sizeof *t);
	double *f = arena_grow(&arena, r.force_n, r.count, r.count, sizeof *f);
	struct recording bad = {.name = "", .time_s = t, .force_n = f, .count = r.count};
	t[500] = t[499];
	struct curve_result c = evaluated(bad);
	cr_expect_eq(c.reasons, CURVE_ORDER);
	cr_expect_not(c.evaluated);
	cr_expect_eq(c.verdict, CURVE_UNUSABLE);
	t[500] = t[498];
	cr_expect_eq(evaluated(bad).reasons, CURVE_ORDER);
	t[500] = r.time_s[500];
	cr_expect_eq(evaluated(bad).reasons, 0);
	f[7] = NAN;
	cr_expect_eq(evaluated(bad).reasons, CURVE_NOT_FINITE);
	f[7] = -INFINITY;
	cr_expect_eq(evaluated(bad).reasons, CURVE_NOT_FINITE);
	f[7] = 0;
	t[7] = NAN;
	cr_expect_eq(evaluated(bad).reasons, CURVE_NOT_FINITE);
	bad.count = 1;
	cr_expect_eq(evaluated(bad).reasons, CURVE_EMPTY);
	bad.count = 0;
	cr_expect_eq(evaluated(bad).reasons, CURVE_EMPTY);
}

Test(calc_curve, clipped)
{
	/* a blow cut off at 390 N; the same blow whole, read by a meter that resolves 1 N */
	for (int cut = 0; cut <= 1; cut++) {
		double *f;
		struct recording r = blank(6000, 0, 1000, &f);
		for (size_t i = 0; i < r.count; i++) {
			double x = r.time_s[i] - 0.5, n = 390 * exp(-x * x / (2 * 0.03 * 0.03));
			f[i] = cut ? fmin(390, 2 * n) : round(n);
		}
		cr_expect_eq(evaluated(r).reasons, cut ? CURVE_CLIPPED : 0, "%#x", evaluated(r).reasons);
	}
	/* a blow of one height: every step of the recording is the same */
	double *f;
	struct recording block = blank(6000, 0, 1000, &f);
	for (size_t i = 0; i < block.count; i++)
		f[i] = i >= 500 && i < 520 ? 300 : 0;
	cr_expect_eq(evaluated(block).reasons, CURVE_CLIPPED);
	/* three equal samples are no flat top yet */
	for (size_t i = 503; i < 520; i++)
		f[i] = 0;
	cr_expect_eq(evaluated(block).reasons, 0);
	struct recording high = sampled(TRACES[2].p, 1000);
	struct curve_limits limits = LIMITS;
	limits.peak_n = 1400;
	limits.range_n = 900;
	cr_expect_eq(curve_evaluate(&arena, &high, &limits).reasons, CURVE_CLIPPED);
	limits.range_n = 900.1;
	cr_expect_eq(curve_evaluate(&arena, &high, &limits).reasons, 0);
}

/* A parabola of top f0 cut off over n intervals and entered by a step s rises s n/4 above the cut: closed
 * form. 0.3 N over 4 samples hides 0.3 N of 200 N; 0.3 N over 40 samples hides 3 N, over half a percent. */
Test(calc_curve, a_rounded_top_hides_little)
{
	static const struct {
		size_t flat;
		unsigned reasons;
	} rows[] = {{4, 0}, {13, 0}, {14, CURVE_CLIPPED}, {40, CURVE_CLIPPED}};
	for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
		double *f;
		struct recording r = blank(6000, 0, 1000, &f);
		for (size_t i = 0; i < r.count; i++)
			f[i] = i < 500 ? 0.1 * (double)(i % 2)
				: i < 600 ? 1.997 * (double)(i - 500)
				: i < 700 ? 199.7 : 0.1;
		for (size_t i = 0; i < rows[k].flat; i++)
			f[640 + i] = 200;
		cr_expect_eq(evaluated(r).reasons, rows[k].reasons, "%zu: %#x", rows[k].flat,
			evaluated(r).reasons);
	}
}

Test(calc_curve, baseline)
{
	static const struct {
		double before, after;
		unsigned reasons;
	} rows[] = {{0, 0, 0}, {5, 0, 0}, {5.1, 0, CURVE_BASELINE}, {-5, 0, 0}, {-5.1, 0, CURVE_BASELINE},
		{20, 0, CURVE_BASELINE}, {0, 20, 0}, {0, -5, 0}, {0, -6, CURVE_BASELINE},
		{26, 0, CURVE_LOADED}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct point p[POINTS] = {{-0.3, rows[i].before}, {0, rows[i].before}, {0.1, 300},
			{0.3, 100}, {1, rows[i].after}, {5.5, rows[i].after}};
		struct curve_result c = evaluated(sampled(p, 1000));
		cr_expect_eq(c.reasons, rows[i].reasons, "row %zu: %#x", i, c.reasons);
	}
}

Test(calc_curve, same_samples_count_once)
{
	struct recording a = sampled(TRACES[4].p, 1000), b = sampled(TRACES[4].p, 1000);
	cr_expect(curve_same(&a, &b));
	double *t = arena_grow(&arena, b.time_s, b.count, b.count, sizeof *t);
	double *f = arena_grow(&arena, b.force_n, b.count, b.count, sizeof *f);
	for (size_t i = 0; i < b.count; i++)
		t[i] += 17.25;
	b.time_s = t;
	b.force_n = f;
	cr_expect(curve_same(&a, &b), "a shifted clock does not make another measurement");
	b.count -= 3;
	cr_expect(curve_same(&a, &b), "nor does one cut at its end");
	b.time_s += 2, b.force_n += 2, b.count -= 2;
	cr_expect(curve_same(&b, &a), "or at its beginning");
	for (size_t i = 0; i < b.count + 2; i++)
		t[i] = t[i] * 1000, f[i] = f[i] / 9.80665 * 9.80665;
	cr_expect(curve_same(&a, &b), "or one written in other units");
	f[100] += 0.1;
	cr_expect_not(curve_same(&a, &b));
	b.count = 0;
	cr_expect_not(curve_same(&a, &b));
}

Test(calc_curve, names)
{
	cr_expect_str_eq(curve_verdict_name(CURVE_UNUSABLE), "unusable");
	cr_expect_str_eq(curve_reason_name(CURVE_PEAK), "peak");
	cr_expect_str_eq(curve_reason_name(CURVE_NO_CONTACT), "no-contact");
	cr_expect_str_eq(curve_reason_name(CURVE_BASELINE), "baseline");
}
