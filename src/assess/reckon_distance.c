/* The pocket book: how far a moving leaf still runs, and how far a detection field must stand from it. */
#include "assess/reckoner.h"

#include <math.h>

#include "calc/distance.h"

#define MM 1000.0

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
	run_figure_mm(r, "distance", distance);
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
		run_figure_mm(r, "distance", distance);
		run_number(r, "time_s", time);
	} else {
		distance = run_si(r, "distance");
		run_step(r, "stopping-measured", "as measured", STANDING_PRACTICE);
		run_figure_mm(r, "distance", distance);
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
	struct value gap = run_length(opening);
	if (!run_limit(r, "hold-to-run-over-travel", &gap, 1, &limit))
		return;
	bool within = distance_within(travel, limit);
	run_step(r, "over-travel", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "opening", opening);
	run_figure_mm(r, "limit", limit);
	run_figure_mm(r, "travel", travel);
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
	return run_term(r, "field-lengths", word, out);
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
	if (!run_term(r, "person-speed", "walking", &speed))
		return false;
	double distance = distance_of_approach(time, speed, reach);
	run_step(r, "field-distance", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "speed", speed);
	run_figure(r, "time", time);
	run_figure_mm(r, "reach", reach);
	run_figure_mm(r, "distance", distance);
	separation_results(r, distance, speed, reach, heights);
	return true;
}

/* A field that sees an arm: both speeds of the rule. */
static void arm_field(struct reckoning_run *r, double resolution)
{
	double time = run_si(r, "time"), finest, slope, fast, slow, least, most, speed;
	if (!field_length(r, "finest", &finest) || !run_term(r, "field-factors", "reach-by-resolution", &slope))
		return;
	double reach = distance_field_reach(resolution, finest, slope);
	run_step(r, "field-reach", NULL, STANDING_PRACTICE);
	run_figure(r, "slope", slope);
	run_figure_mm(r, "resolution", resolution);
	run_figure_mm(r, "finest", finest);
	run_figure_mm(r, "reach", reach);
	if (!run_term(r, "person-speed", "arm", &fast) || !run_term(r, "person-speed", "walking", &slow) ||
		!field_length(r, "nearest", &least) || !field_length(r, "arm-most", &most))
		return;
	double distance = distance_of_field(time, reach, fast, slow, least, most, &speed);
	double first = distance_of_approach(time, fast, reach);
	bool far = speed < fast;
	run_step(r, far ? "field-far" : "field-near", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "fast", fast);
	run_figure(r, "time", time);
	run_figure_mm(r, "reach", reach);
	run_figure_mm(r, "first", first);
	run_figure_mm(r, "most", most);
	run_figure_mm(r, "least", least);
	run_figure_mm(r, "slow", slow);
	run_figure_mm(r, "second", distance_of_approach(time, slow, reach));
	run_figure_mm(r, "distance", distance);
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
	run_figure_mm(r, "resolution", resolution);
	run_figure_mm(r, "fine", fine);
	run_figure_mm(r, "coarse", coarse);
	run_figure_mm(r, "reach", reach);
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
	run_figure_mm(r, "reach", reach);
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
	if (!run_term(r, "field-factors", "height-by-resolution", &factor) || !field_length(r, "depth-base", &base))
		return false;
	*coarsest = distance_coarsest(height, factor, base);
	double least = run_has(r, "resolution") ? distance_least_height(run_si(r, "resolution"), factor, base) : 0;
	run_step(r, "field-leg", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "height", height);
	run_figure(r, "factor", factor);
	run_figure_mm(r, "base", base);
	run_figure_mm(r, "coarsest", *coarsest);
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
		!run_term(r, "field-factors", "reach-by-height", &share) ||
		!field_length(r, "reach-low-least", &least))
		return;
	double reach = distance_low_reach(height, base, share, least);
	run_step(r, "field-low", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "base", base);
	run_figure(r, "share", share);
	run_figure_mm(r, "height", height);
	run_figure_mm(r, "least", least);
	run_figure_mm(r, "reach", reach);
	if (!walk_up(r, reach, NULL))
		return;
	run_means(r, "parallel", false);
	run_means_figure(r, "coarsest", coarsest * MM);
}

static void mat_approach(struct reckoning_run *r)
{
	double height = run_has(r, "height") ? run_si(r, "height") : 0, base, share, width;
	if (!low_enough(r, "step-most", "step-high") || !field_length(r, "reach-body", &base) ||
		!run_term(r, "field-factors", "reach-by-height", &share) || !field_length(r, "mat-width", &width))
		return;
	double reach = distance_low_reach(height, base, share, 0);
	run_step(r, "field-mat", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "base", base);
	run_figure(r, "share", share);
	run_figure_mm(r, "height", height);
	run_figure_mm(r, "reach", reach);
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

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"stopping", KEYS(STOPPING_KEYS), KEYS(STOPPING_RESULTS), FORM_1 | FORM_2, run_stopping},
	{"over-travel", KEYS(OVER_TRAVEL_KEYS), KEYS(OVER_TRAVEL_RESULTS), FORM_1, run_over_travel},
	{"separation", KEYS(SEPARATION_KEYS), KEYS(SEPARATION_RESULTS), FORM_1, run_separation},
};

const struct reckon_family RECKON_DISTANCE = {"distance", KEYS(RECKONERS)};
