/* Force recordings reckoned a second time, plainly, by the words of calc/curve.h, and compared:
 * thousands of short seeded ones, made of values on, just beside and far from every limit.
 * PINTLE_SEED repeats a run. What lies beyond a recording is filled with what would be noticed. */
#include <criterion/criterion.h>
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calc/curve.h"

enum { CASES = 12000, SAMPLES = 16, MARGIN = 3 };

static struct arena arena;
static jmp_buf escape;
static uint64_t seed;

TestSuite(calc_curve_again);

static const struct curve_limits LIMITS = {
	.peak_n = 400,
	.static_n = 150,
	.contact_n = 25,
	.dynamic_s = 0.012,
	.end_s = 0.04,
	.rate_hz = 200,
	.baseline_n = 5,
	.range_n = 2000,
	.flat_samples = 3,
};

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
static size_t draw(size_t below)
{
	seed ^= seed >> 12;
	seed ^= seed << 25;
	seed ^= seed >> 27;
	return (size_t)((seed * 2685821657736338717u >> 11) % below);
}

struct trace {
	double t[SAMPLES + 2 * MARGIN], f[SAMPLES + 2 * MARGIN];
	struct recording r;
};

/* On, just beside and far from the limits; a part in 10^10 is equality, one in 10^7 is not. */
static double draw_force(void)
{
	static const double NEAR[] = {0, 1e-10, -1e-10, 1e-7, -1e-7, 0.01, -0.01};
	static const double LEVELS[] = {
		0, 0, 0, 1, 2, 3, 5, 25, 25, 50, 150, 150, 300, 300, 400, 400, 2000};
	double x = LEVELS[draw(sizeof LEVELS / sizeof *LEVELS)];
	switch (draw(6)) {
	case 0:
		x *= 1 + NEAR[draw(sizeof NEAR / sizeof *NEAR)];
		break;
	case 1:
		x = (double)draw(500);
		break;
	case 2:
		x = draw(2) ? x : -x / 10;
		break;
	default:
		break;
	}
	return x;
}

static double draw_step(void)
{
	static const double STEPS[] = {0.001, 0.002, 0.004, 0.005, 0.005, 0.005, 0.005 + 1e-10,
		0.005 + 1e-7, 0.0051, 0.006, 0.008, 0.02};
	return STEPS[draw(sizeof STEPS / sizeof *STEPS)];
}

/* What stands beside the samples must not be looked at: far away, close by, or earlier. */
static void fill_beyond(struct trace *x, size_t count)
{
	static const double STEPS[] = {0.001, 7, -7}, FORCES[] = {9e8, -9e8};
	double step = STEPS[draw(3)], force = FORCES[draw(2)], *t = x->t + MARGIN,
	       *f = x->f + MARGIN;
	bool close_by = draw(3) == 0;
	for (size_t i = 1; i <= MARGIN; i++) {
		t[-(ptrdiff_t)i] = t[0] - step * (double)i;
		t[count + i - 1] = t[count - 1] + step * (double)i;
		f[-(ptrdiff_t)i] = close_by ? f[0] + 0.001 : force;
		f[count + i - 1] = close_by ? f[count - 1] + 0.001 : force;
	}
}

static void draw_trace(struct trace *x)
{
	size_t count = draw(12) ? 2 + draw(SAMPLES - 2) : draw(3);
	bool even = draw(2), quiet = draw(3);
	double step = draw_step(), at = draw(2) ? 0 : (double)draw(2000) / 1000 - 1;
	memset(x, 0, sizeof *x);
	for (size_t i = 0; i < count; i++) {
		x->t[MARGIN + i] = at;
		x->f[MARGIN + i] = quiet && i < 2 ? (double)draw(8) - 1 : draw_force();
		/* Tops of several alike. */
		if (i && draw(4) == 0)
			x->f[MARGIN + i] = x->f[MARGIN + i - 1];
		at += even ? step : draw_step();
	}
	if (count)
		fill_beyond(x, count);
	x->r = (struct recording){
		.name = "", .time_s = x->t + MARGIN, .force_n = x->f + MARGIN, .count = count};
}

static bool over(double value, double limit)
{
	return value - limit > 1e-9 * fabs(limit);
}

static bool alike(double x, double y)
{
	return fabs(x - y) <= 1e-9 * (1 + fabs(x));
}

static double line(const struct recording *r, size_t i, double s)
{
	return r->force_n[i] + (r->force_n[i + 1] - r->force_n[i]) * (s - r->time_s[i]) /
				       (r->time_s[i + 1] - r->time_s[i]);
}

static int by_value(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static double median(const double *values, size_t count)
{
	double sorted[SAMPLES];
	memcpy(sorted, values, count * sizeof *values);
	qsort(sorted, count, sizeof *sorted, by_value);
	return (sorted[(count - 1) / 2] + sorted[count / 2]) / 2;
}

/* The greatest force from `s` on: of the samples there, and of the line at `s`. */
static double greatest(const struct recording *r, double s)
{
	double most = 0;
	bool any = false;
	for (size_t i = 0; i < r->count; i++) {
		if (r->time_s[i] >= s - 1e-9) {
			most = any ? fmax(most, r->force_n[i]) : r->force_n[i];
			any = true;
		}
		if (i + 1 < r->count && r->time_s[i] <= s && s < r->time_s[i + 1]) {
			most = any ? fmax(most, line(r, i, s)) : line(r, i, s);
			any = true;
		}
	}
	return most;
}

/* Time above a level, and where it is first passed upwards; crossings are counted. */
static size_t pass(const struct recording *r, double level, double *first, bool *has, double *time)
{
	size_t count = 0;
	*has = false;
	*first = *time = 0;
	for (size_t i = 0; i + 1 < r->count; i++) {
		bool before = over(r->force_n[i], level), after = over(r->force_n[i + 1], level);
		double a = r->time_s[i], b = r->time_s[i + 1];
		double s =
			a + (b - a) * (level - r->force_n[i]) / (r->force_n[i + 1] - r->force_n[i]);
		if (before && after)
			*time += b - a;
		if (before == after)
			continue;
		count++;
		*time += before ? s - a : b - s;
		if (after && !*has) {
			*has = true;
			*first = s;
		}
	}
	return count;
}

static double bend(const struct recording *r, size_t i)
{
	double a = r->time_s[i] - r->time_s[i - 1], b = r->time_s[i + 1] - r->time_s[i];
	return 2 *
	       ((r->force_n[i + 1] - r->force_n[i]) / b - (r->force_n[i] - r->force_n[i - 1]) / a) /
	       (a + b);
}

/* Of the samples about `i` that have two neighbours. */
static double bound(const struct recording *r, size_t i)
{
	double most = 0, change = 0, step = 0;
	for (size_t k = i > 0 ? i - 1 : 0; k <= i + 1 && k + 1 < r->count; k++) {
		if (k == 0)
			continue;
		most = fmax(most, fabs(bend(r, k)));
		if (k > 1 && k > (i > 0 ? i - 1 : 0))
			change = fmax(change, fabs(bend(r, k) - bend(r, k - 1)));
	}
	/* Both ends of a recording take the nearest sample with two neighbours. */
	if (i == 0 && r->count > 2)
		most = fabs(bend(r, 1));
	if (i == 0)
		change = 0;
	if (i + 1 == r->count && r->count > 2) {
		most = fabs(bend(r, r->count - 2));
		change = 0;
	}
	if (i > 0)
		step = r->time_s[i] - r->time_s[i - 1];
	if (i + 1 < r->count)
		step = fmax(step, r->time_s[i + 1] - r->time_s[i]);
	return (most + change) * step * step / 8;
}

static bool flat_top(const struct recording *r, double peak)
{
	double smallest = HUGE_VAL;
	for (size_t i = 1; i < r->count; i++)
		if (r->force_n[i] != r->force_n[i - 1])
			smallest = fmin(smallest, fabs(r->force_n[i] - r->force_n[i - 1]));
	for (size_t i = 0, run; i < r->count; i += run ? run : 1) {
		for (run = 0; i + run < r->count && r->force_n[i + run] == peak; run++)
			continue;
		double entry = i ? peak - r->force_n[i - 1] : peak;
		if (run >= LIMITS.flat_samples &&
			((entry > 2 * smallest && entry * (double)run / 4 > peak / 200) ||
				entry > peak / 10))
			return true;
	}
	return false;
}

struct expected {
	unsigned reasons;
	double peak, peak_at, reach, t0, t1, above_contact, above_static, static_from, static_after,
		end_from, end, base;
	double rate, longest;
	bool has_t0, has_t1;
	size_t crossings;
};

static void expect_peak(const struct recording *r, struct expected *e)
{
	size_t last = r->count - 1;
	e->peak = r->force_n[0];
	e->peak_at = r->time_s[0];
	for (size_t i = 0; i < r->count; i++)
		if (r->force_n[i] > e->peak) {
			e->peak = r->force_n[i];
			e->peak_at = r->time_s[i];
		}
	e->reach = e->peak;
	for (size_t i = 0; i < r->count; i++)
		if ((i == 0 || r->force_n[i] >= r->force_n[i - 1]) &&
			(i == last || r->force_n[i] >= r->force_n[i + 1]))
			e->reach = fmax(e->reach, r->force_n[i] + bound(r, i));
	if (over(e->peak, LIMITS.peak_n))
		e->reasons |= CURVE_PEAK;
}

static void expect_times(const struct recording *r, struct expected *e)
{
	double last = r->time_s[r->count - 1];
	size_t head = 1, tail = r->count;
	e->end_from = e->t0 + LIMITS.end_s;
	e->static_from = e->has_t1 ? e->t1 + LIMITS.dynamic_s : e->t0;
	e->static_after = greatest(r, e->static_from);
	e->end = greatest(r, e->end_from);
	e->reasons |= over(e->static_after, LIMITS.static_n) ? CURVE_STATIC : 0;
	e->reasons |= over(e->end, LIMITS.contact_n) ? CURVE_END : 0;
	if (last < e->end_from - 1e-9 || (e->has_t1 && last < e->static_from - 1e-9))
		e->reasons |= CURVE_SHORT;
	while (head < r->count && r->time_s[head] <= r->time_s[0] + (e->t0 - r->time_s[0]) / 10)
		head++;
	e->base = median(r->force_n, head);
	while (tail && r->time_s[tail - 1] >= e->end_from)
		tail--;
	if (over(fabs(e->base), LIMITS.baseline_n) ||
		(tail < r->count &&
			over(-median(r->force_n + tail, r->count - tail), LIMITS.baseline_n)))
		e->reasons |= CURVE_BASELINE;
}

static struct expected expect(const struct recording *r)
{
	struct expected e = {.reasons = 0};
	double steps[SAMPLES];
	expect_peak(r, &e);
	e.crossings = pass(r, LIMITS.contact_n, &e.t0, &e.has_t0, &e.above_contact) +
		      pass(r, LIMITS.static_n, &e.t1, &e.has_t1, &e.above_static);
	if (over(r->force_n[0], LIMITS.contact_n)) {
		e.reasons |= CURVE_LOADED;
		e.has_t0 = e.has_t1 = false;
		e.t0 = e.t1 = 0;
	} else if (e.has_t0) {
		expect_times(r, &e);
	} else {
		e.reasons |= CURVE_NO_CONTACT;
	}
	for (size_t i = 0; i + 1 < r->count; i++) {
		steps[i] = r->time_s[i + 1] - r->time_s[i];
		if (!e.has_t0 || (r->time_s[i + 1] > e.t0 && r->time_s[i] < e.end_from))
			e.longest = fmax(e.longest, steps[i]);
	}
	e.rate = 1 / median(steps, r->count - 1);
	if (1 / e.rate > 0.005 + 1e-9)
		e.reasons |= CURVE_RATE;
	else if (e.longest > 0.005 + 1e-9)
		e.reasons |= CURVE_GAP;
	if ((over(e.peak, LIMITS.static_n) && flat_top(r, e.peak)) || !over(LIMITS.range_n, e.peak))
		e.reasons |= CURVE_CLIPPED;
	return e;
}

static void compare(size_t n, const struct expected *e, const struct curve_result *got)
{
	cr_assert_eq(
		got->reasons, e->reasons, "%zu: reasons %x, not %x", n, got->reasons, e->reasons);
	cr_assert(alike(got->peak_n, e->peak) && alike(got->peak_s, e->peak_at), "%zu: peak", n);
	cr_assert(alike(got->peak_bound_n, e->reach - e->peak), "%zu: bound %g, not %g", n,
		got->peak_bound_n, e->reach - e->peak);
	cr_assert_eq(got->peak_uncertain,
		!(e->reasons & CURVE_PEAK) && over(e->reach, LIMITS.peak_n), "%zu", n);
	cr_assert(got->has_t0 == e->has_t0 && got->has_t1 == e->has_t1, "%zu: has t0, t1", n);
	cr_assert(alike(got->t0_s, e->t0) && alike(got->t1_s, e->t1), "%zu: t0, t1", n);
	cr_assert(alike(got->above_contact_s, e->above_contact), "%zu: above contact", n);
	cr_assert(alike(got->above_static_s, e->above_static), "%zu: above static", n);
	cr_assert(alike(got->static_from_s, e->static_from) && alike(got->end_from_s, e->end_from),
		"%zu: from", n);
	cr_assert(alike(got->static_after_n, e->static_after), "%zu: static %g, not %g", n,
		got->static_after_n, e->static_after);
	cr_assert(alike(got->end_n, e->end), "%zu: end %g, not %g", n, got->end_n, e->end);
	cr_assert(alike(got->baseline_n, e->base), "%zu: baseline", n);
	cr_assert(alike(got->rate_hz, e->rate) && alike(got->longest_s, e->longest),
		"%zu: rate, gap", n);
	cr_assert_eq(got->crossing_count, e->crossings, "%zu: crossings", n);
	for (size_t i = 1; i < e->crossings; i++) {
		const struct curve_crossing *a = &got->crossings[i - 1], *b = &got->crossings[i];
		cr_assert(a->s < b->s || (a->s == b->s && (b->up ? a->level_n <= b->level_n
								 : a->level_n >= b->level_n)),
			"%zu: order of crossings", n);
	}
	bool unusable = e->reasons & ~(unsigned)(CURVE_PEAK | CURVE_STATIC | CURVE_END);
	cr_assert_eq(got->verdict,
		unusable     ? CURVE_UNUSABLE
		: e->reasons ? CURVE_OVER
			     : CURVE_WITHIN,
		"%zu", n);
}

static void open_case(size_t n)
{
	const char *given = getenv("PINTLE_SEED");
	seed = (given ? strtoull(given, NULL, 10) : 20260610) + n * 1000003;
	draw(2);
	arena_init(&arena, &escape);
}

Test(calc_curve_again, reckoned_twice)
{
	struct trace x;
	size_t within = 0, clipped = 0;
	for (size_t n = 0; n < CASES; n++) {
		open_case(n);
		draw_trace(&x);
		struct curve_result got = curve_evaluate(&arena, &x.r, &LIMITS);
		cr_assert_eq(got.evaluated, x.r.count >= 2, "%zu", n);
		if (x.r.count >= 2) {
			struct expected e = expect(&x.r);
			compare(n, &e, &got);
			within += got.verdict != CURVE_UNUSABLE;
			clipped += (got.reasons & CURVE_CLIPPED) != 0;
		} else {
			cr_assert_eq(got.reasons, CURVE_EMPTY);
		}
		arena_release(&arena);
	}
	cr_expect(within > 100 && clipped > 100, "%zu, %zu", within, clipped);
}

/* By definition: laid upon each other at their highest samples; half of the shorter one has to be
 * covered. */
static bool same(const struct recording *a, const struct recording *b)
{
	size_t x = 0, y = 0, first, shared, shorter = a->count < b->count ? a->count : b->count;
	if (!shorter)
		return a->count == b->count;
	for (size_t i = 0; i < a->count; i++)
		x = a->force_n[i] > a->force_n[x] ? i : x;
	for (size_t i = 0; i < b->count; i++)
		y = b->force_n[i] > b->force_n[y] ? i : y;
	first = x < y ? x : y;
	shared = first + (a->count - x < b->count - y ? a->count - x : b->count - y);
	for (size_t i = 0; i < shared; i++)
		if (fabs(a->force_n[x - first + i] - b->force_n[y - first + i]) >
			1e-9 * fabs(a->force_n[x]))
			return false;
	return shared >= shorter / 2;
}

/* A copy, cut at either end, in other units of time, or with one sample that differs. */
static void copy_trace(struct trace *to, const struct trace *from)
{
	size_t head = draw(2) ? draw(from->r.count) : 0, count = from->r.count - head;
	static const double CHANGES[] = {1e-10, 1e-7, 1, -1};
	count -= draw(2) ? draw(count) : 0;
	*to = *from;
	memmove(to->f + MARGIN, from->f + MARGIN + head, count * sizeof *to->f);
	fill_beyond(to, count);
	to->r = (struct recording){
		.name = "", .time_s = to->t + MARGIN, .force_n = to->f + MARGIN, .count = count};
	if (draw(2))
		to->f[MARGIN + draw(count)] += 400 * CHANGES[draw(4)];
}

Test(calc_curve_again, same_by_definition)
{
	struct trace x, y;
	size_t alike_ones = 0;
	for (size_t n = 0; n < CASES; n++) {
		open_case(n);
		do
			draw_trace(&x);
		while (!x.r.count);
		copy_trace(&y, &x);
		cr_assert_eq(curve_same(&x.r, &y.r), same(&x.r, &y.r), "%zu", n);
		cr_assert_eq(curve_same(&y.r, &x.r), same(&y.r, &x.r), "%zu", n);
		alike_ones += same(&x.r, &y.r);
		arena_release(&arena);
	}
	cr_expect(alike_ones > CASES / 10 && alike_ones < CASES - CASES / 10, "%zu", alike_ones);
	struct recording none = {.count = 0};
	cr_expect(curve_same(&none, &none) && !curve_same(&none, &x.r) && !curve_same(&x.r, &none));
}
