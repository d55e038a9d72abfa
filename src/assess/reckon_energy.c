/* The pocket book: energy of a leaf and what takes it, and its weight on hinges and slopes. */
#include "assess/reckoner.h"
#include "calc/distance.h"
#include "calc/energy.h"

#define TEXT_BOOK "text-book mechanics"
#define STATICS "statics"

#define LEAF_MASS \
	{.name = "mass", .dim = &DIM_MASS, .low = "1 kg", .high = "20000 kg", .needed = FORM_ALL, .worse = WORSE_HIGHER}
#define LEAF_WIDTH(in_form) \
	{.name = "width", .dim = &DIM_LENGTH, .low = "0.1 m", .high = "40 m", .forms = in_form, .needed = in_form, \
		.worse = WORSE_HIGHER}

/* --- leaf-energy ----------------------------------------------------------------------------------- */

static const struct reckon_key LEAF_KEYS[] = {
	LEAF_MASS,
	{.name = "speed", .dim = &DIM_SPEED, .low = "0 m/s", .high = "5 m/s", .forms = FORM_1, .needed = FORM_1,
		.worse = WORSE_HIGHER},
	LEAF_WIDTH(FORM_2),
	{.name = "rate", .dim = &DIM_ANGULAR_RATE, .low = "0 deg/s", .high = "180 deg/s", .forms = FORM_2,
		.needed = FORM_2, .worse = WORSE_HIGHER},
};

static const struct reckon_result_key LEAF_RESULTS[] = {
	{"energy_j", WORSE_HIGHER}, {"inertia_kg_m2", WORSE_HIGHER}, {"low_energy", WORSE_LOWER},
};

static double turning_leaf(struct reckoning_run *r, double mass, double *inertia)
{
	double width = run_si(r, "width"), rate = run_si(r, "rate");
	double energy;
	*inertia = energy_inertia(mass, width);
	energy = energy_turning(*inertia, rate);
	run_step(r, "leaf-inertia", TEXT_BOOK, STANDING_MEMORY);
	run_figure(r, "m", mass);
	run_figure(r, "b", width);
	run_figure(r, "j", *inertia);
	run_step(r, "leaf-turning", TEXT_BOOK, STANDING_MEMORY);
	run_figure(r, "j", *inertia);
	run_figure(r, "rate", rate);
	run_figure(r, "e", energy);
	return energy;
}

static double sliding_leaf(struct reckoning_run *r, double mass)
{
	double speed = run_si(r, "speed"), energy = energy_sliding(mass, speed);
	run_step(r, "leaf-sliding", TEXT_BOOK, STANDING_MEMORY);
	run_figure(r, "m", mass);
	run_figure(r, "v", speed);
	run_figure(r, "e", energy);
	return energy;
}

static void run_leaf(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), inertia = 0, low;
	double energy = r->form == FORM_1 ? sliding_leaf(r, mass) : turning_leaf(r, mass, &inertia);
	if (!run_bound(r, "low-energy", &low))
		return;
	bool slow = distance_within(energy, low);
	run_step(r, slow ? "leaf-low" : "leaf-high", NULL, STANDING_PRACTICE);
	run_figure(r, "e", energy);
	run_figure(r, "low", low);
	run_number(r, "energy_j", energy);
	if (r->form == FORM_1)
		run_nothing(r, "inertia_kg_m2");
	else
		run_number(r, "inertia_kg_m2", inertia);
	run_truth(r, "low_energy", slow);
	run_means(r, slow ? "low" : "high", false);
	run_means_figure(r, "energy", energy);
	run_means_figure(r, "low", low);
}

/* --- least-time ------------------------------------------------------------------------------------ */

static const struct reckon_key TIME_KEYS[] = {
	{.name = "method", .kind = RECKON_WORD, .choices = "en16005-sliding|a156.19-swing", .needed = FORM_ALL},
	{.name = "mass", .dim = &DIM_MASS, .low = "10 kg", .high = "200 kg", .needed = FORM_ALL, .worse = WORSE_HIGHER},
	{.name = "travel", .dim = &DIM_LENGTH, .low = "0.7 m", .high = "2 m", .forms = FORM_1, .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "width", .dim = &DIM_LENGTH, .low = "0.7 m", .high = "1.4 m", .forms = FORM_2, .needed = FORM_2,
		.worse = WORSE_HIGHER},
};

static const struct reckon_result_key TIME_RESULTS[] = {{"time_s", WORSE_HIGHER}};

static void sliding_time(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), stroke = run_si(r, "travel"), energy, step;
	struct grid_key key = run_key(r, "travel");
	struct grid_hit heaviest;
	if (!run_look(r, "low-energy-mass", &key, &heaviest))
		return;
	if (!distance_within(mass, heaviest.low)) {
		run_refuse(r, "too-heavy");
		run_refuse_text(r, "most", figure_text(r->arena, heaviest.low));
		return;
	}
	if (!run_bound(r, "low-energy", &energy))
		return;
	double exact = energy_least_time(mass, stroke, energy);
	run_step(r, "time-sliding", "the moving energy at even speed", STANDING_PRACTICE);
	run_figure(r, "d", stroke);
	run_figure(r, "m", mass);
	run_figure(r, "e", energy);
	run_figure(r, "t", exact);
	if (!run_bound(r, "low-energy-step", &step))
		return;
	double time = energy_rounded_up(exact, step);
	run_step(r, "time-rounded", NULL, STANDING_PRACTICE);
	run_figure(r, "step", step);
	run_figure(r, "t", time);
	run_number(r, "time_s", time);
	run_means(r, "sliding", false);
	run_means_figure(r, "time", time);
}

static const double INCH = 0.0254, POUND = 0.45359237;

static bool width_in_print(struct reckoning_run *r)
{
	struct quantity width = run_value(r, "width").quantity;
	double least, most;
	if (!run_bound(r, "swing-width-least", &least) || !run_bound(r, "swing-width-most", &most))
		return false;
	r->source = NULL; /* only asked, and nothing reckoned with it */
	if (distance_within(least, width.low) && distance_within(width.high, most))
		return true;
	run_refuse(r, "width");
	run_refuse_text(r, "least", figure_text(r->arena, least / INCH));
	run_refuse_text(r, "most", figure_text(r->arena, most / INCH));
	return false;
}

static void swing_time(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), width = run_si(r, "width"), divisor, step, least;
	if (!width_in_print(r) || !run_bound(r, "swing-time-divisor", &divisor))
		return;
	double exact = energy_least_time_swing(mass, width, divisor);
	run_step(r, "time-swing", NULL, STANDING_PRACTICE);
	run_figure(r, "d", width / INCH);
	run_figure(r, "w", mass / POUND);
	run_figure(r, "divisor", divisor);
	run_figure(r, "t", exact);
	if (!run_bound(r, "swing-time-step", &step) || !run_bound(r, "swing-time-least", &least))
		return;
	double rounded = energy_rounded_up(exact, step), time = rounded > least ? rounded : least;
	run_step(r, "time-least", NULL, STANDING_PRACTICE);
	run_figure(r, "least", least);
	run_figure(r, "step", step);
	run_figure(r, "t", time);
	run_number(r, "time_s", time);
	run_means(r, "swing", false);
	run_means_figure(r, "time", time);
}

static void run_time(struct reckoning_run *r)
{
	bool sliding = text_equal(run_word(r, "method"), "en16005-sliding");
	if (sliding != (r->form == FORM_1))
		run_refuse(r, sliding ? "takes-travel" : "takes-width");
	else if (sliding)
		sliding_time(r);
	else
		swing_time(r);
}

/* --- stop-energy ----------------------------------------------------------------------------------- */

static const struct reckon_key STOP_KEYS[] = {
	LEAF_MASS,
	{.name = "speed", .dim = &DIM_SPEED, .low = "0 m/s", .high = "5 m/s", .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "thrust", .dim = &DIM_FORCE, .low = "0 N", .high = "50 kN", .needed = FORM_1, .worse = WORSE_HIGHER},
	/* A longer way adds energy and takes force away: worse in neither way. */
	{.name = "travel", .dim = &DIM_LENGTH, .low = "0.1 mm", .high = "1 m", .needed = FORM_1},
};

static const struct reckon_result_key STOP_RESULTS[] = {{"energy_j", WORSE_HIGHER}, {"mean_force_n", WORSE_HIGHER}};

static void run_stop(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), speed = run_si(r, "speed"), thrust = run_si(r, "thrust");
	double travel = run_si(r, "travel"), energy = energy_of_stop(mass, speed, thrust, travel);
	run_step(r, "stop-energy", "moving energy and thrust of the drive, mechanics", STANDING_PRACTICE);
	run_figure(r, "m", mass);
	run_figure(r, "v", speed);
	run_figure(r, "thrust", thrust);
	run_figure(r, "s", travel);
	run_figure(r, "e", energy);
	run_step(r, "stop-force", "mean over the way, mechanics", STANDING_PRACTICE);
	run_figure(r, "e", energy);
	run_figure(r, "s", travel);
	run_figure(r, "f", energy / travel);
	run_number(r, "energy_j", energy);
	run_number(r, "mean_force_n", energy / travel);
	run_means(r, "takes", false);
	run_means_figure(r, "energy", energy);
	run_means_figure(r, "force", energy / travel);
}

/* --- hinge-load ------------------------------------------------------------------------------------ */

static const struct reckon_key HINGE_KEYS[] = {
	LEAF_MASS,
	LEAF_WIDTH(FORM_1),
	{.name = "spacing", .dim = &DIM_LENGTH, .low = "0.05 m", .high = "10 m", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "offset", .dim = &DIM_LENGTH, .low = "0 mm", .high = "2 m", .usual = "0 mm", .worse = WORSE_HIGHER},
};

static const struct reckon_result_key HINGE_RESULTS[] = {
	{"horizontal_n", WORSE_HIGHER}, {"vertical_n", WORSE_HIGHER}, {"without_distortion_n", WORSE_HIGHER},
	{"without_failure_n", WORSE_HIGHER},
};

static void run_hinge(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), width = run_si(r, "width"), spacing = run_si(r, "spacing");
	double offset = run_si(r, "offset"), pull = energy_hinge_pull(mass, width, offset, spacing);
	double weight = mass * ENERGY_GRAVITY, distortion, failure;
	run_step(r, "hinge-vertical", STATICS, STANDING_PRACTICE);
	run_figure(r, "m", mass);
	run_figure(r, "g", ENERGY_GRAVITY);
	run_figure(r, "v", weight);
	run_step(r, "hinge-horizontal", STATICS, STANDING_PRACTICE);
	run_figure(r, "v", weight);
	run_figure(r, "b", width);
	run_figure(r, "a", offset);
	run_figure(r, "h", spacing);
	run_figure(r, "f", pull);
	if (!run_bound(r, "load-without-distortion", &distortion) || !run_bound(r, "load-without-failure", &failure))
		return;
	run_step(r, "hinge-design", NULL, STANDING_PRACTICE);
	run_figure(r, "distortion", distortion);
	run_figure(r, "failure", failure);
	run_figure(r, "bears", distortion * pull);
	run_figure(r, "holds", failure * pull);
	run_number(r, "horizontal_n", pull);
	run_number(r, "vertical_n", weight);
	run_number(r, "without_distortion_n", distortion * pull);
	run_number(r, "without_failure_n", failure * pull);
	run_means(r, "loads", false);
	run_means_figure(r, "horizontal", pull);
	run_means_figure(r, "vertical", weight);
	run_means_figure(r, "distortion", distortion);
	run_means_figure(r, "failure", failure);
}

/* --- slope ----------------------------------------------------------------------------------------- */

static const struct reckon_key SLOPE_KEYS[] = {
	LEAF_MASS,
	{.name = "grade", .dim = &DIM_NUMBER, .bare = "", .low = "0 %", .high = "30 %", .forms = FORM_1,
		.needed = FORM_1, .worse = WORSE_HIGHER},
	LEAF_WIDTH(FORM_2),
	{.name = "lean", .dim = &DIM_ANGLE, .low = "0 deg", .high = "30 deg", .forms = FORM_2, .needed = FORM_2,
		.worse = WORSE_HIGHER},
};

static const struct reckon_result_key SLOPE_RESULTS[] = {
	{"force_n", WORSE_HIGHER}, {"runs_away", WORSE_HIGHER}, {"moment_nm", WORSE_HIGHER},
	{"within", WORSE_LOWER},
};

static double on_grade(struct reckoning_run *r, double mass)
{
	double grade = run_si(r, "grade"), force = energy_slope_force(mass, grade);
	run_step(r, "slope-grade", STATICS, STANDING_PRACTICE);
	run_figure(r, "m", mass);
	run_figure(r, "g", ENERGY_GRAVITY);
	run_figure(r, "grade", grade * 100);
	run_figure(r, "f", force);
	return force;
}

static double on_lean(struct reckoning_run *r, double mass, double *moment)
{
	double width = run_si(r, "width"), lean = run_si(r, "lean"), force;
	*moment = energy_lean_moment(mass, width, lean);
	force = *moment / width;
	run_step(r, "slope-lean", STATICS, STANDING_PRACTICE);
	run_figure(r, "m", mass);
	run_figure(r, "g", ENERGY_GRAVITY);
	run_figure(r, "lean", lean);
	run_figure(r, "b", width);
	run_figure(r, "moment", *moment);
	run_step(r, "slope-edge", STATICS, STANDING_PRACTICE);
	run_figure(r, "moment", *moment);
	run_figure(r, "b", width);
	run_figure(r, "f", force);
	return force;
}

/* No document seen has a number for what friction holds: whatever pulls may move the leaf. */
static void run_slope(struct reckoning_run *r)
{
	double mass = run_si(r, "mass"), moment = 0, limit;
	double force = r->form == FORM_1 ? on_grade(r, mass) : on_lean(r, mass, &moment);
	if (!run_bound(r, "out-of-balance", &limit))
		return;
	bool within = distance_within(force, limit), runs = force > 0;
	run_step(r, within ? "slope-within" : "slope-over", NULL, STANDING_PRACTICE);
	run_figure(r, "f", force);
	run_figure(r, "limit", limit);
	run_number(r, "force_n", force);
	run_truth(r, "runs_away", runs);
	if (r->form == FORM_1)
		run_nothing(r, "moment_nm");
	else
		run_number(r, "moment_nm", moment);
	run_truth(r, "within", within);
	run_means(r, !within ? "over" : runs ? "runs" : "level", runs);
	run_means_figure(r, "force", force);
	run_means_figure(r, "limit", limit);
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"leaf-energy", KEYS(LEAF_KEYS), KEYS(LEAF_RESULTS), FORM_1 | FORM_2, run_leaf},
	{"least-time", KEYS(TIME_KEYS), KEYS(TIME_RESULTS), FORM_1 | FORM_2, run_time},
	{"stop-energy", KEYS(STOP_KEYS), KEYS(STOP_RESULTS), FORM_1, run_stop},
	{"hinge-load", KEYS(HINGE_KEYS), KEYS(HINGE_RESULTS), FORM_1, run_hinge},
	{"slope", KEYS(SLOPE_KEYS), KEYS(SLOPE_RESULTS), FORM_1 | FORM_2, run_slope},
};

const struct reckon_family RECKON_ENERGY = {"energy", KEYS(RECKONERS)};
