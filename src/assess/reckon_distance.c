/* The pocket book: distances and gaps. */
#include "assess/reckoner.h"

#include <math.h>

#include "calc/distance.h"

#define MM 1000.0

static void figure_mm(struct reckoning_run *r, const char *name, double metres)
{
	run_figure(r, name, metres * MM);
}

/* A table with one axis of words. */
static bool term(struct reckoning_run *r, const char *table, const char *word, double *out)
{
	struct grid_key key = grid_word(word);
	struct grid_hit hit;
	if (!run_look(r, table, &key, &hit))
		return false;
	*out = hit.high;
	return true;
}

static struct value length_value(double metres)
{
	return value_of_quantity(quantity_of(metres, DIM_LENGTH));
}

/* --- stopping -------------------------------------------------------------------------------------- */

static const struct reckon_key STOPPING_KEYS[] = {
	{.name = "speed", .dim = &DIM_SPEED, .low = "0.001 m/s", .high = "10 m/s", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "response", .dim = &DIM_TIME, .low = "0 s", .high = "10 s", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "deceleration", .dim = &DIM_ACCELERATION, .low = "0.01 m/s²", .high = "100 m/s²", .forms = FORM_1,
		.needed = FORM_1, .worse = WORSE_LOWER},
	{.name = "distance", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .forms = FORM_2, .needed = FORM_2,
		.worse = WORSE_HIGHER},
};

/* A longer braking at a given distance is no worse, so that the time has no worse side. */
static const struct reckon_result_key STOPPING_RESULTS[] = {{"time_s", WORSE_NEITHER}, {"distance_mm", WORSE_HIGHER}};

#define UNIFORM "even deceleration, mechanics"

/* The distance is measured: the time follows from the speed, if that is known. */
static bool time_of_distance(struct reckoning_run *r, double distance)
{
	if (!run_has(r, "speed")) {
		run_nothing(r, "time_s");
		return true;
	}
	/* With the distance measured, the slower leaf and the quicker response brake for longest. */
	double speed = run_value(r, "speed").quantity.low;
	double response = run_has(r, "response") ? run_value(r, "response").quantity.low : 0;
	if (!distance_within(speed * response, distance)) {
		run_refuse(r, "too-short");
		run_refuse_text(r, "run", figure_text(r->arena, speed * response * MM));
		return false;
	}
	double time = distance_time_of(distance, speed, response);
	run_step(r, "stopping-time-of", UNIFORM, STANDING_PRACTICE);
	run_figure(r, "speed", speed);
	run_figure(r, "response", response);
	figure_mm(r, "distance", distance);
	run_figure(r, "time", time);
	run_number(r, "time_s", time);
	return true;
}

static void run_stopping(struct reckoning_run *r)
{
	double distance;
	if (r->form == FORM_1) {
		double speed = run_si(r, "speed"), response = run_si(r, "response");
		double deceleration = run_si(r, "deceleration");
		double time = distance_stopping_time(speed, response, deceleration);
		distance = distance_stopping(speed, response, deceleration);
		run_step(r, "stopping-time", UNIFORM, STANDING_PRACTICE);
		run_figure(r, "speed", speed);
		run_figure(r, "response", response);
		run_figure(r, "deceleration", deceleration);
		run_figure(r, "time", time);
		run_step(r, "stopping-distance", UNIFORM, STANDING_PRACTICE);
		run_figure(r, "speed", speed);
		run_figure(r, "response", response);
		run_figure(r, "deceleration", deceleration);
		figure_mm(r, "distance", distance);
		run_number(r, "time_s", time);
	} else {
		distance = run_si(r, "distance");
		run_step(r, "stopping-measured", "as measured", STANDING_PRACTICE);
		figure_mm(r, "distance", distance);
		if (!time_of_distance(r, distance))
			return;
	}
	run_number(r, "distance_mm", distance * MM);
	run_means(r, "runs", false);
	run_means_figure(r, "distance", distance * MM);
}

/* --- over-travel ----------------------------------------------------------------------------------- */

static const struct reckon_key OVER_TRAVEL_KEYS[] = {
	{.name = "opening", .dim = &DIM_LENGTH, .low = "0 mm", .high = "30 m", .needed = FORM_1, .worse = WORSE_LOWER},
	{.name = "travel", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1, .worse = WORSE_HIGHER},
};

static const struct reckon_result_key OVER_TRAVEL_RESULTS[] = {
	{"limit_mm", WORSE_LOWER}, {"margin_mm", WORSE_LOWER}, {"within", WORSE_LOWER},
};

static void run_over_travel(struct reckoning_run *r)
{
	double opening = run_si(r, "opening"), travel = run_si(r, "travel"), limit;
	struct value gap = length_value(opening);
	if (!run_limit(r, "hold-to-run-over-travel", &gap, 1, &limit))
		return;
	bool within = distance_within(travel, limit);
	run_step(r, "over-travel", NULL, STANDING_PRACTICE);
	figure_mm(r, "opening", opening);
	figure_mm(r, "limit", limit);
	figure_mm(r, "travel", travel);
	run_number(r, "limit_mm", limit * MM);
	run_number(r, "margin_mm", (limit - travel) * MM);
	run_truth(r, "within", within);
	run_means(r, within ? "within" : "over", !within);
	run_means_figure(r, "over", fabs(travel - limit) * MM);
}

/* --- separation ------------------------------------------------------------------------------------ */

static const struct reckon_key SEPARATION_KEYS[] = {
	{.name = "approach", .kind = RECKON_WORD, .choices = "normal|parallel|beams|mat", .needed = FORM_1},
	{.name = "time", .dim = &DIM_TIME, .low = "0 s", .high = "10 s", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "resolution", .dim = &DIM_LENGTH, .low = "1 mm", .high = "1 m", .worse = WORSE_HIGHER},
	{.name = "height", .dim = &DIM_LENGTH, .low = "0 mm", .high = "3 m", .worse = WORSE_LOWER},
	{.name = "beams", .dim = &DIM_NUMBER, .bare = "", .low = "1", .high = "20", .worse = WORSE_LOWER},
};

static const struct reckon_result_key SEPARATION_RESULTS[] = {
	{"distance_mm", WORSE_HIGHER}, {"speed_mm_per_s", WORSE_NEITHER}, {"reach_mm", WORSE_HIGHER},
	{"heights", WORSE_NEITHER},
};

static bool field_length(struct reckoning_run *r, const char *word, double *out)
{
	return term(r, "field-lengths", word, out);
}

/* `heights`: of beams; NULL: none. */
static void separation_results(struct reckoning_run *r, double distance, double speed, double reach,
	const char *heights)
{
	run_number(r, "distance_mm", distance * MM);
	run_number(r, "speed_mm_per_s", speed * MM);
	run_number(r, "reach_mm", reach * MM);
	if (heights)
		run_result(r, "heights", heights);
	else
		run_nothing(r, "heights");
	run_means_figure(r, "distance", distance * MM);
}

/* S = K T + C at walking speed. */
static bool walk_up(struct reckoning_run *r, double reach, const char *heights)
{
	double time = run_si(r, "time"), speed;
	if (!term(r, "person-speed", "walking", &speed))
		return false;
	double distance = distance_of_approach(time, speed, reach);
	run_step(r, "field-distance", NULL, STANDING_PRACTICE);
	figure_mm(r, "speed", speed);
	run_figure(r, "time", time);
	figure_mm(r, "reach", reach);
	figure_mm(r, "distance", distance);
	separation_results(r, distance, speed, reach, heights);
	return true;
}

/* A field that sees an arm: both speeds of the rule. */
static void arm_field(struct reckoning_run *r, double resolution)
{
	double time = run_si(r, "time"), finest, slope, fast, slow, least, most, speed;
	if (!field_length(r, "finest", &finest) || !term(r, "field-factors", "reach-by-resolution", &slope))
		return;
	double reach = distance_field_reach(resolution, finest, slope);
	run_step(r, "field-reach", NULL, STANDING_PRACTICE);
	run_figure(r, "slope", slope);
	figure_mm(r, "resolution", resolution);
	figure_mm(r, "finest", finest);
	figure_mm(r, "reach", reach);
	if (!term(r, "person-speed", "arm", &fast) || !term(r, "person-speed", "walking", &slow) ||
		!field_length(r, "nearest", &least) || !field_length(r, "arm-most", &most))
		return;
	double distance = distance_of_field(time, reach, fast, slow, least, most, &speed);
	double first = distance_of_approach(time, fast, reach);
	bool far = speed < fast;
	run_step(r, far ? "field-far" : "field-near", NULL, STANDING_PRACTICE);
	figure_mm(r, "fast", fast);
	run_figure(r, "time", time);
	figure_mm(r, "reach", reach);
	figure_mm(r, "first", first);
	figure_mm(r, "most", most);
	figure_mm(r, "least", least);
	figure_mm(r, "slow", slow);
	figure_mm(r, "second", distance_of_approach(time, slow, reach));
	figure_mm(r, "distance", distance);
	separation_results(r, distance, speed, reach, NULL);
	run_means(r, "field", false);
}

static void normal_approach(struct reckoning_run *r)
{
	double resolution = run_si(r, "resolution"), fine, coarse, reach;
	if (!field_length(r, "fine", &fine))
		return;
	if (distance_within(resolution, fine)) {
		arm_field(r, resolution);
		return;
	}
	if (!field_length(r, "coarse", &coarse) ||
		!field_length(r, distance_within(resolution, coarse) ? "reach-coarse" : "reach-body", &reach))
		return;
	run_step(r, "field-coarse", NULL, STANDING_PRACTICE);
	figure_mm(r, "resolution", resolution);
	figure_mm(r, "fine", fine);
	figure_mm(r, "coarse", coarse);
	figure_mm(r, "reach", reach);
	if (walk_up(r, reach, NULL))
		run_means(r, "field", false);
}

static void beam_approach(struct reckoning_run *r)
{
	double beams = run_si(r, "beams"), reach;
	struct grid_key key = grid_number(beams);
	struct grid_hit hit;
	if (!run_look(r, "beam-heights", &key, &hit) ||
		!field_length(r, hit.row > 0 ? "reach-beams" : "reach-body", &reach))
		return;
	run_step(r, "field-beams", NULL, STANDING_PRACTICE);
	run_figure(r, "beams", beams);
	run_text(r, "heights", hit.word);
	figure_mm(r, "reach", reach);
	if (!walk_up(r, reach, hit.word))
		return;
	run_means(r, "beams", false);
	run_means_text(r, "heights", hit.word);
}

/* The low end of a height in doubt counts for the reach, its high end for what is too high. */
static bool low_enough(struct reckoning_run *r, const char *length, const char *refusal)
{
	double most;
	if (!field_length(r, length, &most))
		return false;
	if (run_has(r, "height") && !distance_within(run_value(r, "height").quantity.high, most)) {
		run_refuse(r, refusal);
		run_refuse_text(r, "most", figure_text(r->arena, most * MM));
		return false;
	}
	r->source = NULL; /* only asked, and nothing reckoned with it */
	return true;
}

/* A field that must still find a leg at its height. */
static bool finds_leg(struct reckoning_run *r, double height, double *coarsest)
{
	double factor, base;
	if (!term(r, "field-factors", "height-by-resolution", &factor) || !field_length(r, "depth-base", &base))
		return false;
	*coarsest = distance_coarsest(height, factor, base);
	double least = run_has(r, "resolution") ? distance_least_height(run_si(r, "resolution"), factor, base) : 0;
	run_step(r, "field-leg", NULL, STANDING_PRACTICE);
	figure_mm(r, "height", height);
	run_figure(r, "factor", factor);
	figure_mm(r, "base", base);
	figure_mm(r, "coarsest", *coarsest);
	if (distance_within(least, height))
		return true;
	run_refuse(r, "misses-leg");
	run_refuse_text(r, "least", figure_text(r->arena, least * MM));
	run_refuse_text(r, "coarsest", figure_text(r->arena, *coarsest * MM));
	return false;
}

static void parallel_approach(struct reckoning_run *r, double height)
{
	double base, share, least, coarsest;
	if (!low_enough(r, "height-most", "too-high") || !finds_leg(r, height, &coarsest) ||
		!field_length(r, "reach-low", &base) ||
		!term(r, "field-factors", "reach-by-height", &share) ||
		!field_length(r, "reach-low-least", &least))
		return;
	double reach = distance_low_reach(height, base, share, least);
	run_step(r, "field-low", NULL, STANDING_PRACTICE);
	figure_mm(r, "base", base);
	run_figure(r, "share", share);
	figure_mm(r, "height", height);
	figure_mm(r, "least", least);
	figure_mm(r, "reach", reach);
	if (!walk_up(r, reach, NULL))
		return;
	run_means(r, "parallel", false);
	run_means_figure(r, "coarsest", coarsest * MM);
}

static void mat_approach(struct reckoning_run *r)
{
	double height = run_has(r, "height") ? run_si(r, "height") : 0, base, share, width;
	if (!low_enough(r, "step-most", "step-high") || !field_length(r, "reach-body", &base) ||
		!term(r, "field-factors", "reach-by-height", &share) || !field_length(r, "mat-width", &width))
		return;
	double reach = distance_low_reach(height, base, share, 0);
	run_step(r, "field-mat", NULL, STANDING_PRACTICE);
	figure_mm(r, "base", base);
	run_figure(r, "share", share);
	figure_mm(r, "height", height);
	figure_mm(r, "reach", reach);
	if (!walk_up(r, reach, NULL))
		return;
	run_means(r, "mat", false);
	run_means_figure(r, "width", width * MM);
}

/* Which keys an approach takes: n needs it, o may have it. */
static const struct approach {
	const char *name, *needs, *takes; /* takes: beside what it needs; "" nothing */
} APPROACHES[] = {
	{"normal", "resolution", ""},
	{"parallel", "height", "resolution"},
	{"beams", "beams", ""},
	{"mat", "", "height"},
};

static bool approach_keys(struct reckoning_run *r, const struct approach *a)
{
	static const char *const KEYS_OF[] = {"resolution", "height", "beams"};
	for (size_t i = 0; i < sizeof KEYS_OF / sizeof *KEYS_OF; i++) {
		bool needed = text_equal(a->needs, KEYS_OF[i]), taken = needed || text_equal(a->takes, KEYS_OF[i]);
		bool has = run_has(r, KEYS_OF[i]);
		if (has ? taken : !needed)
			continue;
		run_refuse(r, has ? "not-used" : "lacking");
		run_refuse_text(r, "key", KEYS_OF[i]);
		run_refuse_text(r, "approach", a->name);
		return false;
	}
	return true;
}

static void run_separation(struct reckoning_run *r)
{
	size_t i = 0;
	while (!text_equal(APPROACHES[i].name, run_word(r, "approach")))
		i++;
	if (!approach_keys(r, &APPROACHES[i]))
		return;
	if (i == 0)
		normal_approach(r);
	else if (i == 1)
		parallel_approach(r, run_si(r, "height"));
	else if (i == 2)
		beam_approach(r);
	else
		mat_approach(r);
}

/* --- reach-through, reach-limb --------------------------------------------------------------------- */

#define OPENING_KEYS \
	{.name = "shape", .kind = RECKON_WORD, .choices = "slot|square|round", .needed = FORM_1}, \
	{.name = "opening", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1, \
		.worse = WORSE_HIGHER}

#define SLOT_LENGTH {.name = "length", .dim = &DIM_LENGTH, .low = "0 mm", .high = "100 m", .worse = WORSE_HIGHER}

static const struct reckon_key THROUGH_KEYS[] = {
	OPENING_KEYS,
	{.name = "age", .kind = RECKON_WORD, .choices = "14|3", .needed = FORM_1},
	SLOT_LENGTH,
};

static const struct reckon_key LIMB_KEYS[] = {OPENING_KEYS, SLOT_LENGTH};

static const struct reckon_result_key REACH_RESULTS[] = {{"distance_mm", WORSE_HIGHER}};

/* No distance keeps a person out who can walk or climb through, and none is printed beyond the table. */
static bool opening_in_table(struct reckoning_run *r, const char *table, double opening)
{
	const struct lib_grid *g = run_grid(r, table);
	double body;
	if (!g || !term(r, "body-openings", run_word(r, "shape"), &body))
		return false;
	const struct grid_axis *axis = &g->grid.axes[0];
	double most = axis->at[axis->count - 1];
	bool whole = !distance_within(opening, body);
	r->source = NULL; /* only asked, and nothing decided by it */
	if (!whole && distance_within(opening, most))
		return true;
	run_refuse(r, whole ? "whole-body" : "too-large");
	run_refuse_text(r, "most", figure_text(r->arena, fmin(most, body) * MM));
	run_refuse_text(r, "body", figure_text(r->arena, body * MM));
	return false;
}

/* Whether the standard has a smaller value for a short slot of this size: decides what is said, not the distance. */
static bool short_slot(struct reckoning_run *r, const char *limit, double opening)
{
	struct grid_key above[] = {grid_word(limit), grid_word("above")};
	struct grid_key most[] = {grid_word(limit), grid_word("up-to")};
	struct grid_hit low, high;
	bool known = run_look(r, "short-slots", above, &low) && run_look(r, "short-slots", most, &high);
	r->source = NULL;
	return known && !distance_within(opening, low.low) && distance_within(opening, high.high);
}

/* The length of a slot counts only where it was given, and not where children are. */
static void reach_opening(struct reckoning_run *r, const char *limit, const char *table, bool child)
{
	double opening = run_si(r, "opening"), distance;
	bool slot = text_equal(run_word(r, "shape"), "slot"), length = run_has(r, "length");
	if (length && (!slot || !distance_within(opening, run_si(r, "length")))) {
		run_refuse(r, slot ? "length-short" : "length-slot");
		return;
	}
	if (!opening_in_table(r, table, opening))
		return;
	struct value arguments[3] = {length_value(opening), value_of_word(run_word(r, "shape")),
		length ? length_value(run_si(r, "length")) : value_unknown()};
	if (length && !child)
		r->context->edition = "short-slot";
	if (!run_limit(r, limit, arguments, 3, &distance))
		return;
	run_step(r, "reach-opening", NULL, STANDING_PRACTICE);
	figure_mm(r, "opening", opening);
	run_text(r, "shape", run_word(r, "shape"));
	figure_mm(r, "distance", distance);
	run_number(r, "distance_mm", distance * MM);
	run_means(r, slot && (child || !length) && short_slot(r, limit, opening) ? "slot" : "distance", false);
	run_means_figure(r, "distance", distance * MM);
}

static void run_through(struct reckoning_run *r)
{
	bool child = text_equal(run_word(r, "age"), "3");
	reach_opening(r, child ? "reach-3" : "reach-14", child ? "openings-3" : "openings-14", child);
}

static void run_limb(struct reckoning_run *r)
{
	reach_opening(r, "reach-limb", "openings-limb", false);
}

/* --- reach-over ------------------------------------------------------------------------------------ */

static const struct reckon_key OVER_KEYS[] = {
	{.name = "hazard", .dim = &DIM_LENGTH, .low = "0 mm", .high = "20 m", .needed = FORM_1},
	{.name = "barrier", .dim = &DIM_LENGTH, .low = "0 mm", .high = "20 m", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "risk", .kind = RECKON_WORD, .choices = "low|high", .needed = FORM_1},
};

/* All the neighbours of both heights; of them the greatest distance. */
static void over_barrier(struct reckoning_run *r, double reach_up, double barrier)
{
	bool high = text_equal(run_word(r, "risk"), "high");
	const char *table = high ? "reach-over-high" : "reach-over-low";
	const struct lib_grid *g = run_grid(r, table);
	struct grid_key keys[2] = {run_key(r, "hazard"), grid_number(fmin(barrier, reach_up))};
	struct grid_hit hit;
	double alone;
	if (!g || !term(r, "barrier-alone", run_word(r, "risk"), &alone))
		return;
	r->source = NULL; /* decides what is said, not the distance */
	keys[0].high = fmin(keys[0].high, reach_up);
	double least = g->grid.axes[1].at[0];
	if (!distance_within(least, barrier)) {
		run_refuse(r, "too-low");
		run_refuse_text(r, "least", figure_text(r->arena, least * MM));
		return;
	}
	if (!run_look(r, table, keys, &hit))
		return;
	run_step(r, hit.count > 1 ? "reach-over-neighbours" : "reach-over-cell", NULL, STANDING_PRACTICE);
	figure_mm(r, "hazard", run_value(r, "hazard").quantity.value);
	figure_mm(r, "barrier", barrier);
	figure_mm(r, "distance", hit.high);
	run_figure(r, "cells", (double)hit.count);
	run_number(r, "distance_mm", hit.high * MM);
	bool stands = distance_within(alone, barrier);
	run_means(r, stands ? "distance" : "not-alone", !stands);
	run_means_figure(r, "distance", hit.high * MM);
	run_means_figure(r, "alone", alone * MM);
}

static void run_over(struct reckoning_run *r)
{
	double barrier = run_si(r, "barrier"), reach_up;
	struct quantity hazard = run_value(r, "hazard").quantity;
	if (!term(r, "reach-up", run_word(r, "risk"), &reach_up))
		return;
	if (!distance_within(reach_up, hazard.low)) {
		r->source = NULL;
		over_barrier(r, reach_up, barrier);
		return;
	}
	run_step(r, "reach-up", NULL, STANDING_PRACTICE);
	figure_mm(r, "hazard", hazard.value);
	figure_mm(r, "up", reach_up);
	run_number(r, "distance_mm", 0);
	run_means(r, "out-of-reach", false);
}

/* --- least-gap ------------------------------------------------------------------------------------- */

static const struct reckon_key GAP_KEYS[] = {
	{.name = "part", .kind = RECKON_WORD, .choices = "body|head|leg|foot|toes|arm|hand|finger", .needed = FORM_1},
};

static const struct reckon_result_key GAP_RESULTS[] = {{"gap_mm", WORSE_HIGHER}};

static void run_least_gap(struct reckoning_run *r)
{
	struct value part = value_of_word(run_word(r, "part"));
	double gap;
	if (!run_limit(r, "crush-gap", &part, 1, &gap))
		return;
	run_step(r, "least-gap", NULL, STANDING_PRACTICE);
	run_text(r, "part", part.word);
	figure_mm(r, "gap", gap);
	run_number(r, "gap_mm", gap * MM);
	run_means(r, "gap", false);
	run_means_text(r, "part", part.word);
	run_means_figure(r, "gap", gap * MM);
}

/* --- finger-gap ------------------------------------------------------------------------------------ */

static const struct reckon_key FINGER_KEYS[] = {
	{.name = "from", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1},
	{.name = "to", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1},
	{.name = "edition", .kind = RECKON_WORD, .choices = "4-25|8-25", .usual = "4-25"},
};

static const struct reckon_result_key FINGER_RESULTS[] = {
	{"admits", WORSE_NEITHER}, {"closes", WORSE_NEITHER}, {"verdict", WORSE_NEITHER},
};

enum { PARTS = 6 };

/* Smallest first. Only fingers are kept out by the rule of the edition; the others by the printed table. */
static const struct {
	const char *name, *crushed;
} PART[PARTS] = {
	{"fingers", "finger"}, {"hand", "hand"}, {"arm", "arm"}, {"foot", "foot"}, {"head", "head"}, {"body", "body"},
};

static const char *joined(struct reckoning_run *r, const char *const *words, size_t count)
{
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", words[i]);
	return count ? b.bytes : "none";
}

/* What the gap lets in at its widest; a part that is kept out keeps out all the larger ones. */
static bool admitted(struct reckoning_run *r, double wide, double fingers, const char **admits, size_t *count)
{
	double most = fingers;
	*count = 0;
	while (*count < PARTS && !distance_within(wide, most)) {
		admits[*count] = PART[*count].name;
		if (++*count < PARTS && !term(r, "kept-out", PART[*count].name, &most))
			return false;
	}
	if (!*count)
		return true;
	run_step(r, "finger-gap-admits", NULL, STANDING_PRACTICE);
	figure_mm(r, "wide", wide);
	run_text(r, "parts", joined(r, admits, *count));
	return true;
}

/* Of those, what it is too narrow for at its narrowest; a gap that keeps its size crushes nothing. */
static bool closed_on(struct reckoning_run *r, double narrow, double wide, size_t count, const char **closes,
	size_t *closed)
{
	*closed = 0;
	for (size_t i = 0; i < count; i++) {
		struct value part = value_of_word(PART[i].crushed);
		double least;
		if (!run_limit(r, "crush-gap", &part, 1, &least))
			return false;
		if (!distance_within(wide, narrow) && !distance_within(least, narrow))
			closes[(*closed)++] = PART[i].name;
	}
	if (!count)
		return true;
	run_step(r, "finger-gap-closes", NULL, STANDING_PRACTICE);
	figure_mm(r, "narrow", narrow);
	run_text(r, "parts", joined(r, closes, *closed));
	return true;
}

static const char *finger_verdict(double narrow, double wide, double low, double high, double share)
{
	if (distance_within(wide, low))
		return "kept-out";
	if (!distance_within(high, narrow))
		return "catches";
	return distance_steady(narrow, wide, share) ? "stays-open" : "changes";
}

static void run_finger_gap(struct reckoning_run *r)
{
	double from = run_si(r, "from"), to = run_si(r, "to"), narrow = fmin(from, to), wide = fmax(from, to);
	double low, high, share;
	const char **admits = arena_array(r->arena, PARTS, sizeof *admits);
	const char **closes = arena_array(r->arena, PARTS, sizeof *closes);
	size_t count, closed;
	r->context->edition = run_word(r, "edition");
	if (r->refused || !run_bound(r, "moving-gap-low", &low) || !run_bound(r, "moving-gap-high", &high) ||
		!run_bound(r, "moving-gap-change", &share))
		return;
	const char *verdict = finger_verdict(narrow, wide, low, high, share);
	run_step(r, "finger-gap-rule", NULL, STANDING_PRACTICE);
	figure_mm(r, "low", low);
	figure_mm(r, "high", high);
	run_figure(r, "percent", share * 100);
	figure_mm(r, "narrow", narrow);
	figure_mm(r, "wide", wide);
	if (!admitted(r, wide, low, admits, &count) ||
		!closed_on(r, narrow, wide, count, closes, &closed))
		return;
	run_list_of(r, "admits", admits, count);
	run_list_of(r, "closes", closes, closed);
	run_result(r, "verdict", verdict);
	/* The verdict is about fingers; a gap that leaves them free may still close on what is larger. */
	bool crushes = closed && text_equal(verdict, "stays-open");
	run_means(r, crushes ? "crushes" : verdict, closed || text_equal(verdict, "catches") ||
			text_equal(verdict, "changes"));
	run_means_text(r, "closes", joined(r, closes, closed));
	run_means_figure(r, "low", low * MM);
	run_means_figure(r, "high", high * MM);
	run_means_figure(r, "percent", share * 100);
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"stopping", KEYS(STOPPING_KEYS), KEYS(STOPPING_RESULTS), FORM_1 | FORM_2, run_stopping},
	{"over-travel", KEYS(OVER_TRAVEL_KEYS), KEYS(OVER_TRAVEL_RESULTS), FORM_1, run_over_travel},
	{"separation", KEYS(SEPARATION_KEYS), KEYS(SEPARATION_RESULTS), FORM_1, run_separation},
	{"reach-through", KEYS(THROUGH_KEYS), KEYS(REACH_RESULTS), FORM_1, run_through},
	{"reach-over", KEYS(OVER_KEYS), KEYS(REACH_RESULTS), FORM_1, run_over},
	{"reach-limb", KEYS(LIMB_KEYS), KEYS(REACH_RESULTS), FORM_1, run_limb},
	{"least-gap", KEYS(GAP_KEYS), KEYS(GAP_RESULTS), FORM_1, run_least_gap},
	{"finger-gap", KEYS(FINGER_KEYS), KEYS(FINGER_RESULTS), FORM_1, run_finger_gap},
};

const struct reckon_family RECKON_DISTANCE = {"distance", KEYS(RECKONERS)};
