/* The pocket book: forces on a closing edge, and where they are measured. */
#include "assess/reckoner.h"

#include <math.h>
#include <string.h>

#include "calc/distance.h"
#include "calc/force.h"

#define MM 1000.0

/* --- curve-limits ---------------------------------------------------------------------------------- */

static const struct reckon_key CURVE_KEYS[] = {
	{.name = "movement", .kind = RECKON_WORD, .needed = FORM_1,
		.choices = "sliding|swing|vertical|barrier|horizontal|perpendicular-axis|parallel-axis"},
	{.name = "gap", .dim = &DIM_LENGTH, .low = "0 mm", .high = "30 m", .needed = FORM_1, .worse = WORSE_LOWER},
	{.name = "edition", .kind = RECKON_WORD, .choices = "2000|2017|EN 12453:2000|EN 12453:2017",
		.usual = "2017"},
};

static const struct reckon_result_key CURVE_RESULTS[] = {
	{"dynamic_n", WORSE_LOWER}, {"above_150_s", WORSE_LOWER}, {"static_n", WORSE_LOWER}, {"total_s", WORSE_LOWER},
	{"end_n", WORSE_LOWER},
};

/* Words of the trade for the movements of the table. */
static const char *movement_of(const char *word)
{
	static const char *const PLAIN[][2] = {
		{"sliding", "horizontal"}, {"swing", "perpendicular-axis"}, {"barrier", "parallel-axis"},
	};
	for (size_t i = 0; i < sizeof PLAIN / sizeof *PLAIN; i++)
		if (text_equal(PLAIN[i][0], word))
			return PLAIN[i][1];
	return word;
}

static bool edge_limit(struct reckoning_run *r, const char *movement, double gap, double *si)
{
	struct value arguments[] = {value_of_word(movement), run_length(gap), value_of_word("edge")};
	return run_limit(r, "peak-force", arguments, 3, si);
}

static void run_curve_limits(struct reckoning_run *r)
{
	const char *movement = movement_of(run_word(r, "movement")), *edition = run_word(r, "edition");
	double gap = run_si(r, "gap"), dynamic, short_time, still, whole_time, end;
	if (!edge_limit(r, movement, gap, &dynamic))
		return;
	run_step(r, "curve-dynamic", NULL, STANDING_PRACTICE);
	run_text(r, "edition", text_begins(edition, "EN 12453:") ? edition + strlen("EN 12453:") : edition);
	run_text(r, "movement", movement);
	run_figure(r, "gap", gap * MM);
	run_figure(r, "force", dynamic);
	if (!run_bound(r, "static-time", &short_time) || !run_bound(r, "static-force", &still))
		return;
	run_step(r, "curve-static", NULL, STANDING_PRACTICE);
	run_figure(r, "time", short_time);
	run_figure(r, "force", still);
	if (!run_bound(r, "total-time", &whole_time) || !run_bound(r, "end-force", &end))
		return;
	run_step(r, "curve-end", NULL, STANDING_PRACTICE);
	run_figure(r, "time", whole_time);
	run_figure(r, "force", end);
	run_number(r, "dynamic_n", dynamic);
	run_number(r, "above_150_s", short_time);
	run_number(r, "static_n", still);
	run_number(r, "total_s", whole_time);
	run_number(r, "end_n", end);
	run_means(r, "limits", false);
	run_means_figure(r, "dynamic", dynamic);
	run_means_figure(r, "time", short_time);
	run_means_figure(r, "static", still);
	run_means_figure(r, "total", whole_time);
	run_means_figure(r, "end", end);
}

/* --- peak-force ------------------------------------------------------------------------------------ */

static const struct reckon_key PEAK_KEYS[] = {
	{.name = "mass", .dim = &DIM_MASS, .low = "1 kg", .high = "20000 kg", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "speed", .dim = &DIM_SPEED, .low = "0 m/s", .high = "5 m/s", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "spring", .dim = &DIM_STIFFNESS, .low = "0.1 N/mm", .high = "10000 N/mm", .usual = "500 N/mm",
		.worse = WORSE_HIGHER},
	{.name = "thrust", .dim = &DIM_FORCE, .low = "0 N", .high = "50 kN", .usual = "0 N", .worse = WORSE_HIGHER},
	{.name = "motor-mass", .dim = &DIM_MASS, .low = "0 kg", .high = "20000 kg", .usual = "0 kg",
		.worse = WORSE_HIGHER},
	{.name = "limit", .dim = &DIM_FORCE, .low = "1 N", .high = "10 kN", .worse = WORSE_LOWER},
};

static const struct reckon_result_key PEAK_RESULTS[] = {
	{"peak_n", WORSE_HIGHER}, {"top_speed_m_per_s", WORSE_LOWER}, {"limit_n", WORSE_NEITHER},
};

struct blow {
	double mass, speed, spring, thrust, peak, limit;
};

/* The one given, else that of a closing edge where a body can be crushed. */
static bool blow_limit(struct reckoning_run *r, double *limit)
{
	static const double CRUSHING_GAP = 0.5;
	if (!run_has(r, "limit"))
		return edge_limit(r, "horizontal", CRUSHING_GAP, limit);
	*limit = run_si(r, "limit");
	return true;
}

static void blow_figures(struct reckoning_run *r, const struct blow *b)
{
	run_figure(r, "m", b->mass);
	run_figure(r, "v", b->speed);
	run_figure(r, "k", b->spring);
	run_figure(r, "t", b->thrust);
	run_figure(r, "f", b->peak);
	run_figure(r, "limit", b->limit);
}

static void peak_steps(struct reckoning_run *r, struct blow *b)
{
	static const char BALANCE[] = "energy balance with a spring; a screening";
	double leaf = run_si(r, "mass"), motor = run_si(r, "motor-mass");
	b->mass = leaf + motor;
	b->peak = force_peak(b->mass, b->speed, b->spring, b->thrust);
	if (motor > 0) {
		run_step(r, "peak-mass", "what turns in the drive, as mass at the edge", STANDING_PRACTICE);
		run_figure(r, "leaf", leaf);
		run_figure(r, "motor", motor);
		run_figure(r, "m", b->mass);
	}
	run_step(r, b->thrust > 0 ? "peak-driven" : "peak-free", BALANCE, STANDING_PRACTICE);
	blow_figures(r, b);
}

static void run_peak(struct reckoning_run *r)
{
	struct blow b = {.speed = run_si(r, "speed"), .spring = run_si(r, "spring"), .thrust = run_si(r, "thrust")};
	peak_steps(r, &b);
	if (!blow_limit(r, &b.limit))
		return;
	bool pushed = !distance_within(2 * b.thrust, b.limit), within = distance_within(b.peak, b.limit);
	double top = force_top_speed(b.mass, b.spring, b.thrust, b.limit);
	run_step(r, pushed ? "peak-thrust" : b.thrust > 0 ? "peak-speed-driven" : "peak-speed",
		"the same, for the speed",
		STANDING_PRACTICE);
	blow_figures(r, &b);
	run_figure(r, "top", top);
	run_number(r, "peak_n", b.peak);
	if (pushed)
		run_nothing(r, "top_speed_m_per_s");
	else
		run_number(r, "top_speed_m_per_s", top);
	run_number(r, "limit_n", b.limit);
	run_means(r, pushed ? "thrust" : within ? "within" : "over", !within);
	run_means_figure(r, "peak", b.peak);
	run_means_figure(r, "limit", b.limit);
	run_means_figure(r, "top", top);
	run_means_figure(r, "push", 2 * b.thrust);
}

/* --- edge-travel ----------------------------------------------------------------------------------- */

static const struct reckon_key EDGE_KEYS[] = {
	{.name = "speed", .dim = &DIM_SPEED, .low = "0.001 m/s", .high = "10 m/s", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "response", .dim = &DIM_TIME, .low = "0 s", .high = "10 s", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "deceleration", .dim = &DIM_ACCELERATION, .low = "0.01 m/s²", .high = "100 m/s²", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "travel", .dim = &DIM_LENGTH, .low = "0 mm", .high = "1 m", .needed = FORM_1, .worse = WORSE_LOWER},
	{.name = "force-points", .dim = &DIM_LENGTH, .low = "0 mm", .high = "1 m", .usual = "0 mm",
		.worse = WORSE_HIGHER},
};

static const struct reckon_result_key EDGE_RESULTS[] = {
	{"stopping_mm", WORSE_HIGHER}, {"usable_mm", WORSE_LOWER}, {"margin_mm", WORSE_LOWER},
};

static void run_edge(struct reckoning_run *r)
{
	double speed = run_si(r, "speed"), response = run_si(r, "response"), deceleration = run_si(r, "deceleration");
	double travel = run_si(r, "travel"), used = run_si(r, "force-points");
	double stopping = distance_stopping(speed, response, deceleration), usable = travel - used;
	if (!distance_within(used, travel)) {
		run_refuse(r, "used-up");
		run_refuse_text(r, "travel", figure_text(r->arena, travel * MM));
		return;
	}
	bool within = distance_within(stopping, usable);
	/* What only rounding keeps apart is equal. */
	double margin = within ? fmax(0, usable - stopping) : usable - stopping;
	run_step(r, "edge-stopping", "even deceleration, mechanics", STANDING_PRACTICE);
	run_figure(r, "v", speed);
	run_figure(r, "t", response);
	run_figure(r, "a", deceleration);
	run_figure(r, "s", stopping * MM);
	run_step(r, "edge-usable", "travel left once the contact has acted", STANDING_PRACTICE);
	run_figure(r, "travel", travel * MM);
	run_figure(r, "used", used * MM);
	run_figure(r, "usable", usable * MM);
	run_step(r, "edge-margin", "ASR A1.7, 6(2): over-travel no more than the edge gives", STANDING_PUBLISHED);
	run_figure(r, "usable", usable * MM);
	run_figure(r, "s", stopping * MM);
	run_figure(r, "margin", margin * MM);
	run_number(r, "stopping_mm", stopping * MM);
	run_number(r, "usable_mm", usable * MM);
	run_number(r, "margin_mm", margin * MM);
	run_means(r, within ? "within" : "over", !within);
	run_means_figure(r, "stopping", stopping * MM);
	run_means_figure(r, "usable", usable * MM);
	run_means_figure(r, "margin", fabs(margin) * MM);
}

/* --- force-points ---------------------------------------------------------------------------------- */

static const struct reckon_key POINTS_KEYS[] = {
	{.name = "type", .kind = RECKON_WORD, .choices = "sliding|swing|vertical|folding|barrier", .needed = FORM_1},
	{.name = "height", .dim = &DIM_LENGTH, .low = "0.7 m", .high = "10 m", .needed = FORM_1},
	{.name = "width", .dim = &DIM_LENGTH, .low = "0.5 m", .high = "40 m"},
	{.name = "edges", .dim = &DIM_NUMBER, .bare = "", .low = "1", .high = "20", .usual = "1"},
};

static const struct reckon_result_key POINTS_RESULTS[] = {
	{"points", WORSE_NEITHER}, {"count", WORSE_NEITHER}, {"repeats", WORSE_NEITHER}, {"recordings", WORSE_NEITHER},
};

enum { AXIS_MOST = 8 };

/* The values of one axis of a plan, for a leaf of these sizes. */
struct plan_axis {
	double at[AXIS_MOST];
	size_t count;
};

/* With the source of the limit that a value came from, else that of the plan. */
static void axis_step(struct reckoning_run *r, const struct lib_plan *plan, const char *id, size_t n,
	const struct rule *rule, double metres)
{
	const struct lib_limit_row *row = r->context->last_row;
	const char *formula = rule_text(row ? row->value : rule);
	const char *plain = quantity_in(r->arena, quantity_of(metres, DIM_LENGTH), "mm", 0);
	run_step(r, id, row && row->source ? row->source : plan->note.source,
		row ? row->standing : plan->note.standing);
	run_figure(r, "n", (double)n);
	run_text(r, "value", text_equal(formula, plain) ? plain : arena_format(r->arena, "%s = %s", formula, plain));
}

static bool axis_fill(struct reckoning_run *r, const struct lib_plan *plan, const char *id,
	const struct rule *const *rules, size_t count, struct plan_axis *out)
{
	out->count = 0;
	for (size_t i = 0; i < count && i < AXIS_MOST; i++) {
		r->context->last_row = NULL;
		struct value v = rule_value(r->arena, rules[i], &r->context->names);
		if (v.kind != VALUE_QUANTITY || !dimension_equal(v.quantity.dim, DIM_LENGTH)) {
			run_refuse(r, "plan-record");
			run_refuse_text(r, "plan", plan->note.id);
			return false;
		}
		out->at[out->count++] = v.quantity.value;
		axis_step(r, plan, id, i + 1, rules[i], v.quantity.value);
	}
	return true;
}

static void points_rows(struct reckoning_run *r, const struct plan_axis *gaps, const struct plan_axis *places,
	bool level, double repeats)
{
	run_rows(r, "points");
	for (size_t g = 0; g < gaps->count; g++)
		for (size_t h = 0; h < places->count; h++) {
			run_row(r);
			run_cell(r, "gap_mm", gaps->at[g] * MM);
			run_cell(r, level ? "position_mm" : "height_mm", places->at[h] * MM);
			run_cell(r, "repeats", repeats);
		}
}

static void points_of(struct reckoning_run *r, const struct lib_plan *plan, bool level, double edges)
{
	struct plan_axis gaps, places;
	if (!axis_fill(r, plan, "points-gap", plan->gaps, plan->gap_count, &gaps) ||
		!axis_fill(r, plan, level ? "points-position" : "points-height", plan->heights, plan->height_count,
			&places))
		return;
	double count = (double)(gaps.count * places.count), recordings = count * plan->repeats * edges;
	run_step(r, "points-count", plan->note.source, plan->note.standing);
	run_figure(r, "gaps", (double)gaps.count);
	run_figure(r, "places", (double)places.count);
	run_figure(r, "repeats", plan->repeats);
	run_figure(r, "edges", edges);
	run_figure(r, "recordings", recordings);
	points_rows(r, &gaps, &places, level, plan->repeats);
	run_number(r, "count", count);
	run_number(r, "repeats", plan->repeats);
	run_number(r, "recordings", recordings);
	run_means(r, run_word(r, "type"), false);
	run_means_figure(r, "recordings", recordings);
	run_means_figure(r, "repeats", plan->repeats);
}

static void run_points(struct reckoning_run *r)
{
	const char *type = run_word(r, "type");
	bool level = text_equal(type, "vertical");
	const struct lib_plan *plan = library_plan(r->context->library, arena_format(r->arena, "%s-edge", type));
	double height = run_si(r, "height"), edges = run_si(r, "edges");
	struct scope width = {.prefix = "leaf.length",
		.value = level && run_has(r, "width") ? run_length(run_si(r, "width")) : value_unknown()};
	struct scope leaf = {.prefix = "leaf.height", .value = run_length(height), .outer = &width};
	if (!plan || (level && !run_has(r, "width"))) {
		run_refuse(r, plan ? "no-width" : "no-plan");
		return;
	}
	if (fabs(edges - round(edges)) > 1e-9) {
		run_refuse(r, "whole");
		return;
	}
	r->context->scope = &leaf;
	points_of(r, plan, level, round(edges));
	r->context->scope = NULL;
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"curve-limits", KEYS(CURVE_KEYS), KEYS(CURVE_RESULTS), FORM_1, run_curve_limits},
	{"peak-force", KEYS(PEAK_KEYS), KEYS(PEAK_RESULTS), FORM_1, run_peak},
	{"edge-travel", KEYS(EDGE_KEYS), KEYS(EDGE_RESULTS), FORM_1, run_edge},
	{"force-points", KEYS(POINTS_KEYS), KEYS(POINTS_RESULTS), FORM_1, run_points},
};

const struct reckon_family RECKON_FORCE = {"force", KEYS(RECKONERS)};
