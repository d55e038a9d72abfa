#include "assess/run.h"

bool run_limits(struct context *c, struct curve_limits *l)
{
	double flat = 0;
	bool all = context_bound(c, "static-force", "force tests", &l->static_n);
	all = context_bound(c, "end-force", "force tests", &l->contact_n) && all;
	all = context_bound(c, "static-time", "force tests", &l->dynamic_s) && all;
	all = context_bound(c, "total-time", "force tests", &l->end_s) && all;
	all = context_bound(c, "sample-rate", "force tests", &l->rate_hz) && all;
	all = context_bound(c, "baseline-force", "force tests", &l->baseline_n) && all;
	all = context_bound(c, "flat-samples", "force tests", &flat) && all;
	l->flat_samples = (size_t)flat;
	return all;
}

struct run_result run_evaluate(struct arena *a, const struct recording *recording, const char *citation,
	struct place at, const struct curve_limits *limits)
{
	struct curve_result r = curve_evaluate(a, recording, limits);
	const char **ids = arena_array(a, CURVE_REASON_COUNT, sizeof *ids);
	struct run_result run = {
		.file = citation,
		.at = at,
		.recording = recording,
		.verdict = curve_verdict_name(r.verdict),
		.usable = r.verdict != CURVE_UNUSABLE,
		.reasons = ids,
		.peak = r.peak_n,
		.peak_bound = r.peak_bound_n,
		.peak_uncertain = r.peak_uncertain,
		.above_static_time = r.above_static_s,
		.static_force = r.static_after_n,
		.above_end_time = r.above_contact_s,
		.end_force = r.end_n,
		.t0 = r.has_t0 ? r.t0_s : -1,
		.t1 = r.has_t1 ? r.t1_s : -1,
		.rate = r.rate_hz,
	};
	for (int i = 0; i < CURVE_REASON_COUNT; i++)
		if (r.reasons & 1u << i)
			ids[run.reason_count++] = curve_reason_name((enum curve_reason)(1u << i));
	return run;
}

bool assess_curve(struct arena *a, const struct library *library, const struct curve_question *q,
	const struct recording *recording, struct run_result *out, double *limit)
{
	static const struct record EMPTY = {.file = ""};
	struct findings none;
	struct assessment result = {.record = &EMPTY, .library = library};
	struct context c = {.arena = a, .record = &EMPTY, .library = library, .findings = &none,
		.result = &result, .edition = q->edition};
	struct curve_limits limits = {.range_n = q->range_n};
	findings_init(&none, a);
	context_names(&c);
	struct value arguments[] = {q->movement ? value_of_word(q->movement) : value_unknown(),
		q->gap_m >= 0 ? value_of_quantity(quantity_of(q->gap_m, DIM_LENGTH)) : value_unknown(),
		value_of_word("edge")};
	struct value peak = context_limit(&c, "peak-force", arguments, 3, "");
	if (peak.kind != VALUE_QUANTITY || !run_limits(&c, &limits))
		return false;
	/* What is not said may be the worst: an interval of limits counts by its low end. */
	limits.peak_n = peak.quantity.low;
	*out = run_evaluate(a, recording, "", recording->at, &limits);
	*limit = limits.peak_n;
	return true;
}
