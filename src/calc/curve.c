#include "calc/curve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const unsigned UNUSABLE = CURVE_EMPTY | CURVE_NOT_FINITE | CURVE_ORDER | CURVE_RATE | CURVE_GAP |
	CURVE_NO_CONTACT | CURVE_LOADED | CURVE_SHORT | CURVE_CLIPPED | CURVE_BASELINE;

static const char *const REASON_NAMES[CURVE_REASON_COUNT] = {
	"peak", "static", "end", "empty", "not-finite", "order", "rate", "gap", "no-contact", "loaded",
	"short", "clipped", "baseline",
};

/* Rounding of binary fractions, relative to the limit; and of times, in seconds. */
static const double ROUNDING = 1e-9;

/* Beyond this a value is no measurement, and its squares would leave the range of a double. */
static const double GREATEST = 1e12;

static bool above(double value, double limit)
{
	return value > limit + fabs(limit) * ROUNDING;
}

static int compare_values(const void *a, const void *b)
{
	const double *x = a, *y = b;
	return (*x > *y) - (*x < *y);
}

/* The median of `count` > 0 values, whose order it changes. */
static double median(double *values, size_t count)
{
	qsort(values, count, sizeof *values, compare_values);
	return (values[(count - 1) / 2] + values[count / 2]) / 2;
}

static double median_of(struct arena *a, const double *values, size_t count)
{
	double *copy = arena_grow(a, values, count, count, sizeof *copy);
	return median(copy, count);
}

static unsigned check_samples(const struct recording *r)
{
	unsigned reasons = 0;
	if (r->count < 2)
		return CURVE_EMPTY;
	for (size_t i = 0; i < r->count; i++) {
		/* Written so that NaN fails, too. */
		if (!(fabs(r->time_s[i]) <= GREATEST) || !(fabs(r->force_n[i]) <= GREATEST))
			reasons |= CURVE_NOT_FINITE;
		else if (i && r->time_s[i] - r->time_s[i - 1] <= ROUNDING)
			reasons |= CURVE_ORDER;
	}
	return reasons;
}

/* The index of the last sample at or before `s`, at most count - 2. */
static size_t segment_at(const struct recording *r, double s)
{
	size_t low = 0, high = r->count - 1;
	while (high - low > 1) {
		size_t middle = low + (high - low) / 2;
		if (r->time_s[middle] <= s)
			low = middle;
		else
			high = middle;
	}
	return low;
}

double curve_force(const struct recording *r, double s)
{
	size_t i = segment_at(r, s);
	double part = (s - r->time_s[i]) / (r->time_s[i + 1] - r->time_s[i]);
	return r->force_n[i] + (r->force_n[i + 1] - r->force_n[i]) * part;
}

/* The greatest force of the curve from `s` to its end; 0 when it ends before. */
static double greatest_from(const struct recording *r, double s)
{
	double last = r->time_s[r->count - 1];
	if (s > last + ROUNDING)
		return 0;
	if (s >= last)
		return r->force_n[r->count - 1];
	s = fmax(s, r->time_s[0]);
	double greatest = curve_force(r, s);
	for (size_t i = segment_at(r, s) + 1; i < r->count; i++)
		greatest = fmax(greatest, r->force_n[i]);
	return greatest;
}

/* Where the segment that begins at sample `i` passes `level`, which lies between its ends. */
static double crossing_time(const struct recording *r, size_t i, double level)
{
	double part = (level - r->force_n[i]) / (r->force_n[i + 1] - r->force_n[i]);
	return r->time_s[i] + (r->time_s[i + 1] - r->time_s[i]) * part;
}

/* Calls for one level: total time above it; crossings are written to `out` unless it is NULL. */
static size_t cross_level(const struct recording *r, double level, struct curve_crossing *out,
	double *total)
{
	size_t n = 0;
	*total = 0;
	for (size_t i = 0; i + 1 < r->count; i++) {
		bool from = above(r->force_n[i], level), to = above(r->force_n[i + 1], level);
		double start = r->time_s[i], end = r->time_s[i + 1];
		if (from && to)
			*total += end - start;
		if (from == to)
			continue;
		double s = crossing_time(r, i, level);
		*total += from ? s - start : end - s;
		if (out)
			out[n] = (struct curve_crossing){s, level, to};
		n++;
	}
	return n;
}

static int compare_crossings(const void *a, const void *b)
{
	const struct curve_crossing *x = a, *y = b;
	double order = x->s - y->s;
	/* Upwards the lower level is passed first, downwards last. */
	if (order == 0) {
		order = x->level_n - y->level_n;
		order = x->up ? order : -order;
	}
	return (order > 0) - (order < 0);
}

static void find_crossings(struct arena *a, const struct recording *r,
	const struct curve_limits *limits, struct curve_result *out)
{
	size_t contact = cross_level(r, limits->contact_n, NULL, &out->above_contact_s);
	size_t pressed = cross_level(r, limits->static_n, NULL, &out->above_static_s);
	struct curve_crossing *list = arena_array(a, contact + pressed, sizeof *list);
	double again;
	cross_level(r, limits->contact_n, list, &again);
	cross_level(r, limits->static_n, list + contact, &again);
	/* The first is downwards only where the recording begins loaded; then neither time counts. */
	for (size_t i = 0; i < contact && !out->has_t0; i++) {
		out->has_t0 = list[i].up;
		out->t0_s = list[i].s;
	}
	for (size_t i = contact; i < contact + pressed && !out->has_t1; i++) {
		out->has_t1 = list[i].up;
		out->t1_s = list[i].s;
	}
	qsort(list, contact + pressed, sizeof *list, compare_crossings);
	out->crossings = list;
	out->crossing_count = contact + pressed;
}

/* F'' at sample i, 0 < i < count - 1, from the slopes on both sides. */
static double second_derivative(const struct recording *r, size_t i)
{
	double before = r->time_s[i] - r->time_s[i - 1], after = r->time_s[i + 1] - r->time_s[i];
	double rise = (r->force_n[i] - r->force_n[i - 1]) / before;
	double fall = (r->force_n[i + 1] - r->force_n[i]) / after;
	return 2 * (fall - rise) / (before + after);
}

/* How much a smooth curve may rise above sample `i`, a local maximum. */
static double bound_at(const struct recording *r, size_t i)
{
	size_t from = i > 1 ? i - 1 : 1, to = i + 2 < r->count ? i + 1 : r->count - 2;
	double curvature = 0, change = 0, step = 0;
	for (size_t k = from; k <= to; k++) {
		double here = second_derivative(r, k);
		curvature = fmax(curvature, fabs(here));
		if (k > from)
			change = fmax(change, fabs(here - second_derivative(r, k - 1)));
	}
	if (i > 0)
		step = r->time_s[i] - r->time_s[i - 1];
	if (i + 1 < r->count)
		step = fmax(step, r->time_s[i + 1] - r->time_s[i]);
	return (curvature + change) * step * step / 8;
}

static size_t lesser(size_t a, size_t b)
{
	return a < b ? a : b;
}

static size_t highest_sample(const struct recording *r)
{
	size_t highest = 0;
	for (size_t i = 1; i < r->count; i++)
		if (r->force_n[i] > r->force_n[highest])
			highest = i;
	return highest;
}

static void find_peak(const struct recording *r, const struct curve_limits *limits,
	struct curve_result *out)
{
	size_t highest = highest_sample(r), last = r->count - 1;
	out->peak_n = r->force_n[highest];
	out->peak_s = r->time_s[highest];
	double reach = out->peak_n;
	for (size_t i = 0; i < r->count; i++) {
		bool rises = i == 0 || r->force_n[i] >= r->force_n[i - 1];
		bool falls = i == last || r->force_n[i] >= r->force_n[i + 1];
		if (rises && falls)
			reach = fmax(reach, r->force_n[i] + bound_at(r, i));
	}
	out->peak_bound_n = reach - out->peak_n;
	if (above(out->peak_n, limits->peak_n))
		out->reasons |= CURVE_PEAK;
	else
		out->peak_uncertain = above(reach, limits->peak_n);
}

static bool has_flat_top(const struct recording *r, double highest, size_t least)
{
	double smallest = HUGE_VAL;
	for (size_t i = 1; i < r->count; i++) {
		double step = fabs(r->force_n[i] - r->force_n[i - 1]);
		if (step > 0)
			smallest = fmin(smallest, step);
	}
	for (size_t i = 0; i < r->count; i++) {
		size_t first = i;
		/* Text has few digits: what was written alike is equal, bit for bit. */
		while (i < r->count && !(r->force_n[i] < highest))
			i++;
		size_t run = i - first;
		if (run < least)
			continue;
		double entry = first ? highest - r->force_n[first - 1] : highest;
		double hidden = entry * (double)run / 4;
		if ((entry > 2 * smallest && hidden > highest / 200) || entry > highest / 10)
			return true;
	}
	return false;
}

static void check_rate(struct arena *a, const struct recording *r, const struct curve_limits *limits,
	struct curve_result *out)
{
	double *steps = arena_array(a, r->count, sizeof *steps);
	double from = out->has_t0 ? out->t0_s : r->time_s[0];
	double to = out->has_t0 ? out->end_from_s : r->time_s[r->count - 1];
	for (size_t i = 0; i + 1 < r->count; i++) {
		steps[i] = r->time_s[i + 1] - r->time_s[i];
		if (r->time_s[i + 1] > from && r->time_s[i] < to)
			out->longest_s = fmax(out->longest_s, steps[i]);
	}
	double usual = median(steps, r->count - 1), longest = 1 / limits->rate_hz;
	out->rate_hz = 1 / usual;
	if (usual > longest + ROUNDING)
		out->reasons |= CURVE_RATE;
	else if (out->longest_s > longest + ROUNDING)
		out->reasons |= CURVE_GAP;
}

static void check_baseline(struct arena *a, const struct recording *r,
	const struct curve_limits *limits, struct curve_result *out)
{
	double until = r->time_s[0] + (out->t0_s - r->time_s[0]) / 10;
	size_t head = 1, tail = r->count;
	/* The last sample is after contact. */
	while (r->time_s[head] <= until)
		head++;
	out->baseline_n = median_of(a, r->force_n, head);
	if (above(fabs(out->baseline_n), limits->baseline_n))
		out->reasons |= CURVE_BASELINE;
	while (tail > 0 && r->time_s[tail - 1] >= out->end_from_s)
		tail--;
	if (tail < r->count &&
		above(-median_of(a, r->force_n + tail, r->count - tail), limits->baseline_n))
		out->reasons |= CURVE_BASELINE;
}

/* Everything that counts from t0. */
static void check_times(struct arena *a, const struct recording *r, const struct curve_limits *limits,
	struct curve_result *out)
{
	double last = r->time_s[r->count - 1];
	out->end_from_s = out->t0_s + limits->end_s;
	out->static_from_s = out->has_t1 ? out->t1_s + limits->dynamic_s : out->t0_s;
	out->static_after_n = greatest_from(r, out->static_from_s);
	out->end_n = greatest_from(r, out->end_from_s);
	if (above(out->static_after_n, limits->static_n))
		out->reasons |= CURVE_STATIC;
	if (above(out->end_n, limits->contact_n))
		out->reasons |= CURVE_END;
	if (last < out->end_from_s - ROUNDING || (out->has_t1 && last < out->static_from_s - ROUNDING))
		out->reasons |= CURVE_SHORT;
	check_baseline(a, r, limits, out);
}

struct curve_result curve_evaluate(struct arena *a, const struct recording *r,
	const struct curve_limits *limits)
{
	struct curve_result out = {.samples = r->count, .limit_n = limits->peak_n};
	out.reasons = check_samples(r);
	out.verdict = CURVE_UNUSABLE;
	if (out.reasons)
		return out;
	out.evaluated = true;
	find_peak(r, limits, &out);
	find_crossings(a, r, limits, &out);
	if (above(r->force_n[0], limits->contact_n)) {
		out.has_t0 = out.has_t1 = false;
		out.t0_s = out.t1_s = 0;
		out.reasons |= CURVE_LOADED;
	} else if (out.has_t0) {
		check_times(a, r, limits, &out);
	} else {
		out.reasons |= CURVE_NO_CONTACT;
	}
	check_rate(a, r, limits, &out);
	bool flat = limits->flat_samples && above(out.peak_n, limits->static_n) &&
		has_flat_top(r, out.peak_n, limits->flat_samples);
	if (flat || (limits->range_n > 0 && !above(limits->range_n, out.peak_n)))
		out.reasons |= CURVE_CLIPPED;
	out.verdict = out.reasons & UNUSABLE ? CURVE_UNUSABLE : out.reasons ? CURVE_OVER : CURVE_WITHIN;
	return out;
}

bool curve_same(const struct recording *a, const struct recording *b)
{
	if (!a->count || !b->count)
		return a->count == b->count;
	size_t x = highest_sample(a), y = highest_sample(b);
	size_t before = lesser(x, y), after = lesser(a->count - x, b->count - y);
	if (before + after < lesser(a->count, b->count) / 2)
		return false;
	double same = fabs(a->force_n[x]) * ROUNDING;
	for (size_t i = 0; i < before + after; i++)
		/* Written so that NaN differs. */
		if (!(fabs(a->force_n[x - before + i] - b->force_n[y - before + i]) <= same))
			return false;
	return true;
}

const char *curve_verdict_name(enum curve_verdict v)
{
	static const char *const names[] = {"within", "over", "unusable"};
	return names[v];
}

const char *curve_reason_name(enum curve_reason reason)
{
	size_t bit = 0;
	while (bit + 1 < CURVE_REASON_COUNT && !((unsigned)reason >> bit & 1))
		bit++;
	return REASON_NAMES[bit];
}
