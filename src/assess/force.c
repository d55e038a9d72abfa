/* Force tests: the recordings against the plan, the instrument and the conditions. */
#include "assess/context.h"

#include <math.h>
#include <string.h>

#include "assess/run.h"

static const char *newtons(struct context *c, double n)
{
	return arena_format(c->arena, "%s N", text_fixed(c->arena, n, 0));
}

static const char *millimetres(struct context *c, double m)
{
	return arena_format(c->arena, "%s mm", text_fixed(c->arena, m * 1000, 0));
}

/* --- recordings --------------------------------------------------------------------------------- */

/* The recording that a citation names: file, file#2 (its second recording), file#heading. NULL with a
 * reason when there is none, or more than one to choose from. */
static const struct recording *cited(struct context *c, const char *citation, const char **reason)
{
	const char *hash = strchr(citation, '#');
	const char *path = hash ? arena_copy(c->arena, citation, (size_t)(hash - citation)) : citation;
	const struct job_file *file = job_files_find(c->files, path);
	*reason = "unreadable";
	if (!file || !file->present || !file->recordings.count)
		return NULL;
	*reason = "which-column";
	if (!hash)
		return file->recordings.count == 1 ? &file->recordings.items[0] : NULL;
	for (size_t i = 0; i < file->recordings.count; i++)
		if (text_equal(file->recordings.items[i].name, hash + 1) ||
			text_equal(arena_format(c->arena, "%zu", i + 1), hash + 1))
			return &file->recordings.items[i];
	return NULL;
}

static struct run_result evaluate(struct context *c, const char *citation, struct place at,
	const struct curve_limits *limits)
{
	struct run_result run = {.file = citation, .at = at, .verdict = "unusable", .t0 = -1, .t1 = -1};
	const char *reason;
	run.recording = cited(c, citation, &reason);
	if (!run.recording) {
		const char **ids = arena_array(c->arena, 1, sizeof *ids);
		ids[0] = reason;
		run.reasons = ids;
		run.reason_count = 1;
		return run;
	}
	return run_evaluate(c->arena, run.recording, citation, at, limits);
}

static bool seen_before(const struct context *c, const struct point_result *upto, size_t upto_run,
	const struct run_result *run)
{
	for (const struct point_result *p = c->result->points; p <= upto; p++)
		for (size_t i = 0; i < (p == upto ? upto_run : p->run_count); i++)
			if (p->runs[i].recording && curve_same(p->runs[i].recording, run->recording))
				return true;
	return false;
}

static bool has_reason(const struct run_result *run, const char *id)
{
	for (size_t i = 0; i < run->reason_count; i++)
		if (text_equal(run->reasons[i], id))
			return true;
	return false;
}

static const char *reasons_text(struct context *c, const struct run_result *run)
{
	struct buf b;
	buf_init(&b, c->arena);
	for (size_t i = 0; i < run->reason_count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", run->reasons[i]);
	return b.bytes;
}

static void report_run(struct context *c, const struct point_result *p, const struct run_result *run,
	const struct curve_limits *limits)
{
	if (!run->usable) {
		struct finding *f = point_out(c, FINDING_CODE_FORCE_RUN_UNUSABLE, p->id, run->at);
		with(c, f, "file", run->file);
		with(c, f, "reasons", reasons_text(c, run));
		way_out(c, f, "record-again");
		return;
	}
	if (has_reason(run, "static") || has_reason(run, "end")) {
		struct finding *f = point_out(c, FINDING_CODE_FORCE_RUN_OVER, p->id, run->at);
		bool late = has_reason(run, "static");
		with(c, f, "file", run->file);
		with(c, f, "force", newtons(c, late ? run->static_force : run->end_force));
		with(c, f, "limit", newtons(c, late ? limits->static_n : limits->contact_n));
		with(c, f, "from", arena_format(c->arena, "%s s",
					   text_number(c->arena, late ? limits->dynamic_s : limits->end_s, 2)));
		way_value(c, way_out(c, f, late ? "reverse-sooner" : "let-go"), "by",
			newtons(c, late ? run->static_force - limits->static_n
					: run->end_force - limits->contact_n));
	}
	if (run->peak_uncertain) {
		struct finding *f = point_out(c, FINDING_CODE_FORCE_PEAK_DOUBTFUL, p->id, run->at);
		with(c, f, "file", run->file);
		with(c, f, "peak", newtons(c, run->peak));
		with(c, f, "bound", newtons(c, run->peak_bound));
		with(c, f, "limit", newtons(c, p->limit));
		way_out(c, f, "faster");
	}
}

/* Speed that would bring the peak to the limit if it grew with speed, as that of a mass on a spring does. */
static void way_slower(struct context *c, struct finding *f, const struct point_result *p, double peak)
{
	const struct fact *speed = record_fact(c->record,
		text_equal(p->direction, "opening") ? "drive.speed-opening" : "drive.speed-closing");
	if (!fact_given(speed))
		return;
	struct way *w = way_out(c, f, "slower");
	way_value(c, w, "now", quantity_in(c->arena, speed->quantity, "m/s", 2));
	way_value(c, w, "speed",
		arena_format(c->arena, "%s m/s",
			text_fixed(c->arena, floor(speed->quantity.value * p->limit / peak * 100) / 100, 2)));
}

static void judge_peaks(struct context *c, struct point_result *p)
{
	double sum = 0, highest = 0;
	for (size_t i = 0; i < p->run_count; i++)
		if (p->runs[i].usable && p->runs[i].counts_once) {
			sum += p->runs[i].peak;
			highest = fmax(highest, p->runs[i].peak);
		}
	p->mean_peak = p->usable ? sum / (double)p->usable : 0;
	struct place at = p->entry->at;
	if (p->mean_peak > p->limit || highest > p->limit) {
		bool mean = p->mean_peak > p->limit;
		struct finding *f = point_out(c,
			mean ? FINDING_CODE_FORCE_MEAN_OVER : FINDING_CODE_FORCE_PEAK_SINGLE, p->id, at);
		with(c, f, "peak", newtons(c, mean ? p->mean_peak : highest));
		with(c, f, "limit", newtons(c, p->limit));
		with(c, f, "by", newtons(c, (mean ? p->mean_peak : highest) - p->limit));
		way_out(c, f, mean ? "softer" : "three-fresh");
		if (mean)
			way_slower(c, f, p, p->mean_peak);
		finding_source(f, p->limit_source, p->limit_standing);
		p->outcome = OUTCOME_OPEN;
		return;
	}
}

/* A force whose true value may be over the limit, by what the meter may be wrong, stays open until the
 * signatory says why it is accepted. */
static void judge_near(struct context *c, struct point_result *p, double force, double limit)
{
	const struct fact *accuracy = record_fact(c->record, "force.instrument.accuracy");
	double doubt = fact_given(accuracy) ? accuracy->quantity.high : 1;
	if (!p->usable || force > limit || force * (1 + doubt) <= limit)
		return;
	p->near_limit = true;
	if (fact_given(item_fact(p->entry, "accepted-because")))
		return;
	struct finding *f = point_out(c, FINDING_CODE_FORCE_NEAR_LIMIT, p->id, p->entry->at);
	with(c, f, "force", newtons(c, force));
	with(c, f, "limit", newtons(c, limit));
	with(c, f, "doubt", newtons(c, force * doubt));
	way_value(c, way_out(c, f, "lower"), "to", newtons(c, floor(limit / (1 + doubt))));
	way_out(c, f, "accept");
	finding_source(f, p->limit_source, p->limit_standing);
	p->outcome = OUTCOME_OPEN;
}

/* The peak counts by its mean, the forces after it by the worst of the recordings. */
static void judge_all_near(struct context *c, struct point_result *p, const struct curve_limits *limits)
{
	double later = 0, end = 0;
	for (size_t i = 0; i < p->run_count; i++)
		if (p->runs[i].usable) {
			later = fmax(later, p->runs[i].static_force);
			end = fmax(end, p->runs[i].end_force);
		}
	judge_near(c, p, p->mean_peak, p->limit);
	judge_near(c, p, later, limits->static_n);
	judge_near(c, p, end, limits->contact_n);
}

static double repeats_for(const struct context *c, const struct point_result *p)
{
	const struct zone_result *z = context_zone(c, p->zone_key);
	const struct lib_plan *plan = z ? library_plan(c->library, z->zone->plan) : NULL;
	return plan && plan->repeats >= 1 ? plan->repeats : 3;
}

static void judge_count(struct context *c, struct point_result *p)
{
	double want = repeats_for(c, p);
	if ((double)p->usable >= want)
		return;
	bool typed = !p->run_count && fact_given(item_fact(p->entry, "typed-peaks"));
	struct finding *f = point_out(c, typed ? FINDING_CODE_FORCE_TYPED : FINDING_CODE_FORCE_RUNS_FEW, p->id,
		p->entry->at);
	with(c, f, "usable", arena_format(c->arena, "%zu", p->usable));
	with(c, f, "wanted", arena_format(c->arena, "%.0f", want));
	way_value(c, way_out(c, f, "record"), "more",
		arena_format(c->arena, "%.0f", want - (double)p->usable));
	p->outcome = OUTCOME_OPEN;
}

/* A device fitted to the zone after the test was not there when it was made. */
static void judge_devices(struct context *c, struct point_result *p, const struct fact *on)
{
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const struct item *d = &devices->items[i];
		if (fact_has(item_fact(d, "zones"), p->zone_key) && context_fitted(c, p->id, on, d))
			p->outcome = OUTCOME_OPEN;
	}
}

static void judge_age(struct context *c, struct point_result *p)
{
	const struct zone_result *z = context_zone(c, p->zone_key);
	const struct lib_plan *plan = z ? library_plan(c->library, z->zone->plan) : NULL;
	const struct fact *on = item_fact(p->entry, "on");
	judge_devices(c, p, on);
	if (!fact_given(on) || (plan && context_aged(c, p->id, on, plan->ages_by)))
		p->outcome = OUTCOME_OPEN;
}

static void report_missing_point(struct context *c, const struct point_result *p)
{
	const struct zone_result *z = context_zone(c, p->zone_key);
	struct finding *f = point_out(c, FINDING_CODE_FORCE_POINT_MISSING, p->id,
		record_list(c->record, "force.points")->present ? record_list(c->record, "force.points")->at
								: z->entry->at);
	with(c, f, "zone", p->zone_key);
	with(c, f, "direction", p->direction);
	with(c, f, "gap", millimetres(c, p->gap));
	with(c, f, "height", millimetres(c, p->height));
	with(c, f, "speed", p->speed);
	with(c, f, "leaves", p->leaves);
	way_value(c, way_out(c, f, "measure"), "times", arena_format(c->arena, "%.0f", repeats_for(c, p)));
}

static bool limit_at(struct context *c, struct point_result *p, double gap)
{
	struct value arguments[] = {value_of_word(c->record->type ? c->record->type->movement : ""),
		value_of_quantity(quantity_of(gap, DIM_LENGTH)), value_of_word(p->facing)};
	struct value v = context_limit(c, "peak-force", arguments, 3, p->zone_key);
	if (v.kind != VALUE_QUANTITY) {
		point_out(c, FINDING_CODE_FORCE_LIMIT_UNKNOWN, p->id,
			p->entry ? p->entry->at : record_list(c->record, "force.points")->at);
		return false;
	}
	if (p->limit_source && p->limit <= v.quantity.low)
		return true;
	p->limit = v.quantity.low;
	p->limit_source = c->last_row->source;
	p->limit_standing = c->last_row->standing;
	return true;
}

/* The lowest limit of the gap that was asked for and of all that may have been measured. */
static bool point_limit(struct context *c, struct point_result *p)
{
	const struct fact *gap = item_fact(p->entry, "gap");
	return limit_at(c, p, p->gap) &&
		(!fact_given(gap) || (limit_at(c, p, gap->quantity.low) && limit_at(c, p, gap->quantity.high)));
}

static void judge_point(struct context *c, struct point_result *p, struct curve_limits limits)
{
	if (!point_limit(c, p))
		return;
	if (!p->entry) {
		report_missing_point(c, p);
		return;
	}
	const struct fact *files = item_fact(p->entry, "recordings");
	size_t n = fact_given(files) ? files->count : 0;
	limits.peak_n = p->limit;
	p->outcome = OUTCOME_ANSWERED;
	p->runs = arena_array(c->arena, n + 1, sizeof *p->runs);
	for (size_t i = 0; i < n; i++) {
		struct run_result *run = &p->runs[i];
		*run = evaluate(c, files->list[i], files->list_at[i], &limits);
		run->counts_once = run->recording && !seen_before(c, p, i, run);
		p->run_count++;
		report_run(c, p, run, &limits);
		if (run->recording && !run->counts_once)
			point_out_with(c, FINDING_CODE_FORCE_RUN_TWICE, p->id, run->at, "file", run->file);
		if (run->usable && run->counts_once)
			p->usable++;
		if (!run->usable || run->peak_uncertain || has_reason(run, "static") ||
			has_reason(run, "end") || !run->counts_once)
			p->outcome = OUTCOME_OPEN;
	}
	judge_count(c, p);
	judge_peaks(c, p);
	judge_all_near(c, p, &limits);
	judge_age(c, p);
}

/* --- instrument and conditions ------------------------------------------------------------------ */

static void judge_instrument(struct context *c)
{
	const struct fact *spring = record_fact(c->record, "force.instrument.spring");
	const struct fact *from = record_fact(c->record, "force.instrument.calibrated-on");
	const struct fact *to = record_fact(c->record, "force.instrument.valid-until");
	double low, high, months;
	if (fact_given(spring) && context_bound(c, "instrument-spring-low", "instrument", &low) &&
		context_bound(c, "instrument-spring-high", "instrument", &high) &&
		!(spring->quantity.low >= low && spring->quantity.high <= high))
		point_out_with(c, FINDING_CODE_INSTRUMENT_SPRING, "force.instrument.spring", spring->at, "spring",
			fact_shown(c->arena, spring));
	if (!fact_given(from) || !fact_given(to) ||
		!context_bound(c, "calibration-interval", "instrument", &months))
		return;
	struct date last = date_add_months(from->date, (int)months);
	if (date_compare(to->date, last) < 0)
		last = to->date;
	const struct item_list *points = record_list(c->record, "force.points");
	for (size_t i = 0; i < points->count; i++) {
		const struct fact *on = item_fact(&points->items[i], "on");
		if (!fact_given(on) ||
			(date_compare(on->date, from->date) >= 0 && date_compare(on->date, last) <= 0))
			continue;
		struct finding *f = point_out(c, FINDING_CODE_INSTRUMENT_DATE, points->items[i].id, on->at);
		with(c, f, "on", on->text);
		with(c, f, "from", from->text);
		with(c, f, "to", date_text(c->arena, last));
		way_out(c, f, "calibrate");
		for (size_t k = 0; k < c->result->point_count; k++)
			if (c->result->points[k].entry == &points->items[i])
				c->result->points[k].outcome = OUTCOME_OPEN;
	}
}

static void judge_range(struct context *c)
{
	const struct fact *range = record_fact(c->record, "force.instrument.range");
	const struct fact *accuracy = record_fact(c->record, "force.instrument.accuracy");
	double wanted, worst;
	if (fact_given(range) && context_bound(c, "instrument-range", "instrument", &wanted) &&
		!(range->quantity.low >= wanted))
		point_out_with(c, FINDING_CODE_INSTRUMENT_RANGE, "force.instrument.range", range->at, "limit",
			newtons(c, wanted));
	if (!fact_given(accuracy) || !context_bound(c, "instrument-accuracy", "instrument", &worst) ||
		accuracy->quantity.high <= worst + 1e-12)
		return;
	struct finding *f = point_out(c, FINDING_CODE_INSTRUMENT_ACCURACY, "force.instrument.accuracy",
		accuracy->at);
	with(c, f, "accuracy", quantity_in(c->arena, accuracy->quantity, "%", 1));
	with(c, f, "limit", arena_format(c->arena, "%s %%", text_number(c->arena, worst * 100, 1)));
}

/* Weather, supply and settings were noted for one day; a point of another day was measured under others. */
static void judge_days(struct context *c)
{
	const struct fact *day = record_fact(c->record, "force.conditions.on");
	for (size_t i = 0; fact_given(day) && i < c->result->point_count; i++) {
		struct point_result *p = &c->result->points[i];
		const struct fact *on = item_fact(p->entry, "on");
		if (!fact_given(on) || date_compare(on->date, day->date) == 0)
			continue;
		struct finding *f = point_out(c, FINDING_CODE_CONDITION_DAY, p->id, on->at);
		with(c, f, "on", on->text);
		with(c, f, "day", day->text);
		way_value(c, way_out(c, f, "again"), "day", day->text);
		p->outcome = OUTCOME_OPEN;
	}
}

/* A certificate older than the calibration on record is of another one. */
static bool certificate_fits(const struct context *c, const struct fact *cited)
{
	static const char *const KINDS[] = {"calibration"};
	const struct fact *on = record_fact(c->record, "force.instrument.calibrated-on");
	for (size_t i = 0; i < cited->count; i++) {
		const struct fact one = {.state = FACT_GIVEN, .list = &cited->list[i], .count = 1};
		const struct item *paper = text_begins(cited->list[i], "paper:")
			? record_item(c->record, "papers", cited->list[i] + strlen("paper:")) : NULL;
		const struct fact *dated = item_fact(paper, "dated");
		if (papers_cited(c, &one, (struct words){KINDS, 1}) &&
			!(fact_given(dated) && fact_given(on) && date_compare(dated->date, on->date) < 0))
			return true;
	}
	return false;
}

static void judge_certificate(struct context *c)
{
	const struct fact *cited = record_fact(c->record, "force.instrument.certificate");
	if (fact_given(cited) && !certificate_fits(c, cited))
		point_out(c, FINDING_CODE_INSTRUMENT_PAPER, "force.instrument.certificate", cited->at);
}

static void judge_conditions(struct context *c)
{
	judge_days(c);
	judge_certificate(c);
	static const char *const OFF[] = {"force.conditions.automatic-closing-off",
		"force.conditions.remotes-off", "force.conditions.proved-again-after"};
	for (size_t i = 0; i < sizeof OFF / sizeof *OFF; i++) {
		const struct fact *f = record_fact(c->record, OFF[i]);
		if (fact_given(f) && f->truth != TRUTH_YES)
			point_out_with(c, FINDING_CODE_CONDITION_LIVE, OFF[i], f->at, "condition", OFF[i]);
	}
	const struct fact *supply = record_fact(c->record, "force.conditions.supply");
	const struct fact *battery = record_fact(c->record, "drive.battery");
	bool want_battery = !fact_given(battery) || battery->truth == TRUTH_YES;
	if (fact_given(supply) && (!fact_has(supply, "mains") || (want_battery && !fact_has(supply, "battery"))))
		point_out_with(c, FINDING_CODE_CONDITION_SUPPLY, "force.conditions.supply", supply->at, "missing",
			fact_has(supply, "mains") ? "battery" : "mains");
}

void assess_force(struct context *c)
{
	struct assessment *result = c->result;
	struct curve_limits limits = {0};
	assess_force_plan(c);
	if (!result->point_count)
		return;
	const struct fact *range = record_fact(c->record, "force.instrument.range");
	limits.range_n = fact_given(range) ? range->quantity.low : 0;
	if (!run_limits(c, &limits)) {
		point_out(c, FINDING_CODE_FORCE_LIMIT_UNKNOWN, "force", record_list(c->record, "force.points")->at);
		return;
	}
	for (size_t i = 0; i < result->point_count; i++)
		judge_point(c, &result->points[i], limits);
	judge_instrument(c);
	judge_range(c);
	judge_conditions(c);
}
