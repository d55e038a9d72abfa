/* Wind: pressure, class, push on a leaf. */
#include "assess/reckoner.h"
#include "calc/wind.h"

/* --- wind-pressure --------------------------------------------------------------------------------- */

static const struct reckon_key PRESSURE_KEYS[] = {
	{.name = "speed", .dim = &DIM_SPEED, .low = "0 m/s", .high = "100 m/s", .forms = FORM_1, .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "base", .dim = &DIM_SPEED, .low = "0 m/s", .high = "100 m/s", .forms = FORM_2, .needed = FORM_2,
		.worse = WORSE_HIGHER},
	{.name = "terrain", .kind = RECKON_WORD, .choices = "0|I|II|III|IV", .forms = FORM_2, .needed = FORM_2},
	{.name = "height", .dim = &DIM_LENGTH, .low = "0 m", .high = "200 m", .forms = FORM_2, .needed = FORM_2,
		.worse = WORSE_HIGHER},
	{.name = "density", .dim = &DIM_DENSITY, .bare = "kg/m³", .low = "0.9 kg/m³", .high = "1.6 kg/m³",
		.usual = "1.25 kg/m³", .worse = WORSE_HIGHER},
};

static const struct reckon_result_key PRESSURE_RESULTS[] = {
	{"pressure_pa", WORSE_HIGHER}, {"height_m", WORSE_NEITHER}, {"base_pa", WORSE_NEITHER},
	{"terrain_factor", WORSE_NEITHER}, {"roughness_factor", WORSE_NEITHER}, {"mean_m_per_s", WORSE_NEITHER},
	{"turbulence", WORSE_NEITHER},
};

#define FREE_SPEED "EN 1991-1-4:2005, 4.5"

static void pressure_of_speed(struct reckoning_run *r)
{
	double speed = run_si(r, "speed"), density = run_si(r, "density"), q = wind_pressure(speed, density);
	run_step(r, "wind-pressure", FREE_SPEED, STANDING_PUBLISHED);
	run_figure(r, "rho", density);
	run_figure(r, "v", speed);
	run_figure(r, "q", q);
	run_number(r, "pressure_pa", q);
	for (size_t i = 1; i < sizeof PRESSURE_RESULTS / sizeof *PRESSURE_RESULTS; i++)
		run_nothing(r, PRESSURE_RESULTS[i].name);
	run_means(r, "speed", false);
}

static bool terrain_cell(struct reckoning_run *r, const char *terrain, const char *column, double *si)
{
	struct grid_key keys[] = {grid_word(terrain), grid_word(column)};
	struct grid_hit hit;
	if (!run_look(r, "wind-terrain", keys, &hit))
		return false;
	*si = hit.low;
	return true;
}

static void profile_steps(struct reckoning_run *r, const struct wind_profile *p, double z0, double second)
{
	static const char FACTORS[] = "EN 1991-1-4:2005, 4.3.2";
	double base = run_si(r, "base"), density = run_si(r, "density");
	run_step(r, "wind-base", FREE_SPEED, STANDING_PUBLISHED);
	run_figure(r, "rho", density);
	run_figure(r, "vb", base);
	run_figure(r, "q", p->base_pa);
	run_step(r, "wind-terrain-factor", FACTORS, STANDING_PUBLISHED);
	run_figure(r, "z0", z0);
	run_figure(r, "second", second);
	run_figure(r, "kr", p->terrain_factor);
	run_step(r, "wind-roughness", FACTORS, STANDING_PUBLISHED);
	run_figure(r, "kr", p->terrain_factor);
	run_figure(r, "z", p->height_m);
	run_figure(r, "z0", z0);
	run_figure(r, "cr", p->roughness_factor);
	run_step(r, "wind-mean", "EN 1991-1-4:2005, 4.3.1; flat ground", STANDING_PUBLISHED);
	run_figure(r, "cr", p->roughness_factor);
	run_figure(r, "vb", base);
	run_figure(r, "vm", p->mean_m_s);
	run_step(r, "wind-turbulence", "EN 1991-1-4:2005, 4.4", STANDING_PUBLISHED);
	run_figure(r, "z", p->height_m);
	run_figure(r, "z0", z0);
	run_figure(r, "iv", p->turbulence);
	run_step(r, "wind-peak", FREE_SPEED, STANDING_PUBLISHED);
	run_figure(r, "iv", p->turbulence);
	run_figure(r, "rho", density);
	run_figure(r, "vm", p->mean_m_s);
	run_figure(r, "q", p->peak_pa);
}

static void pressure_of_terrain(struct reckoning_run *r)
{
	struct wind_terrain t;
	double second, height = run_si(r, "height");
	if (!terrain_cell(r, run_word(r, "terrain"), "roughness-length", &t.length_m) ||
		!terrain_cell(r, run_word(r, "terrain"), "least-height", &t.least_m) ||
		!terrain_cell(r, "II", "roughness-length", &second))
		return;
	run_step(r, "wind-terrain", NULL, STANDING_PUBLISHED);
	run_text(r, "terrain", run_word(r, "terrain"));
	run_figure(r, "z0", t.length_m);
	run_figure(r, "least", t.least_m);
	struct wind_profile p = wind_over(run_si(r, "base"), height, &t, second, run_si(r, "density"));
	if (height < t.least_m * (1 - 1e-9)) {
		run_step(r, "wind-least-height", "EN 1991-1-4:2005, 4.3.2 and 4.4, below the least height",
			STANDING_MEMORY);
		run_figure(r, "z", height);
		run_figure(r, "least", t.least_m);
	}
	profile_steps(r, &p, t.length_m, second);
	run_number(r, "pressure_pa", p.peak_pa);
	run_number(r, "height_m", p.height_m);
	run_number(r, "base_pa", p.base_pa);
	run_number(r, "terrain_factor", p.terrain_factor);
	run_number(r, "roughness_factor", p.roughness_factor);
	run_number(r, "mean_m_per_s", p.mean_m_s);
	run_number(r, "turbulence", p.turbulence);
	run_means(r, "terrain", false);
}

static void run_pressure(struct reckoning_run *r)
{
	if (r->form == FORM_1)
		pressure_of_speed(r);
	else
		pressure_of_terrain(r);
}

/* --- wind-class ------------------------------------------------------------------------------------ */

static const struct reckon_key CLASS_KEYS[] = {
	{.name = "pressure", .dim = &DIM_PRESSURE, .low = "0 Pa", .high = "10 kPa", .forms = FORM_1, .needed = FORM_1},
	{.name = "class", .kind = RECKON_WORD, .choices = "0|1|2|3|4|5", .forms = FORM_2, .needed = FORM_2},
};

static const struct reckon_result_key CLASS_RESULTS[] = {
	{"class", WORSE_NEITHER}, {"pressure_pa", WORSE_NEITHER}, {"needed", WORSE_NEITHER},
};

static void class_step(struct reckoning_run *r, const char *step, size_t class, double pressure)
{
	run_step(r, step, NULL, STANDING_MEMORY);
	run_figure(r, "class", (double)class);
	run_figure(r, "pressure", pressure);
}

/* A class that has a cell, with the source and standing of that cell. */
static bool class_pressure(struct reckoning_run *r, size_t class, double *pa)
{
	struct grid_key key = grid_word(arena_format(r->arena, "%zu", class));
	struct grid_hit hit;
	if (!run_look(r, "wind-class", &key, &hit))
		return false;
	*pa = hit.low;
	return true;
}

static void class_of_pressure(struct reckoning_run *r)
{
	const struct lib_grid *g = run_grid(r, "wind-class");
	double pressure = run_si(r, "pressure"), pa = 0;
	if (r->refused)
		return;
	double *references = arena_array(r->arena, g->grid.axes[0].count, sizeof *references);
	for (size_t i = 0; i < g->grid.axes[0].count; i++)
		references[i] = g->grid.cells[i].value;
	size_t reached = wind_class_reached(references, g->grid.axes[0].count, pressure);
	size_t needed = wind_class_needed(references, g->grid.axes[0].count, pressure);
	if (reached && !class_pressure(r, reached, &pa))
		return;
	if (!reached)
		run_step(r, "wind-class-none", g->note.source, g->note.standing);
	else
		class_step(r, "wind-class-reached", reached, pa);
	run_figure(r, "given", pressure);
	run_number(r, "class", (double)reached);
	if (reached)
		run_number(r, "pressure_pa", pa);
	else
		run_nothing(r, "pressure_pa");
	run_number(r, "needed", (double)needed);
	run_means(r, "reached", false);
	run_means_figure(r, "class", (double)reached);
	run_means_figure(r, "needed", (double)needed);
	run_means_figure(r, "pressure", pressure);
}

static void pressure_of_class(struct reckoning_run *r)
{
	size_t class = (size_t)(*run_word(r, "class") - '0');
	double pa;
	if (class && !class_pressure(r, class, &pa))
		return;
	run_number(r, "class", (double)class);
	if (class) {
		class_step(r, "wind-class", class, pa);
		run_number(r, "pressure_pa", pa);
	} else {
		run_step(r, "wind-class-zero", "EN 12424:2000, class 0", STANDING_MEMORY);
		run_nothing(r, "pressure_pa");
	}
	run_nothing(r, "needed");
	run_means(r, class ? class == 5 ? "declared" : "class" : "none", false);
}

static void run_class(struct reckoning_run *r)
{
	if (r->form == FORM_1)
		class_of_pressure(r);
	else
		pressure_of_class(r);
}

/* --- wind-on-leaf ---------------------------------------------------------------------------------- */

static const struct reckon_key LEAF_KEYS[] = {
	{.name = "pressure", .dim = &DIM_PRESSURE, .low = "0 Pa", .high = "10 kPa", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "width", .dim = &DIM_LENGTH, .low = "0.1 m", .high = "40 m", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "height", .dim = &DIM_LENGTH, .low = "0.1 m", .high = "10 m", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "solidity", .dim = &DIM_NUMBER, .bare = "", .low = "1 %", .high = "100 %", .usual = "100 %",
		.worse = WORSE_HIGHER},
	{.name = "coefficient", .dim = &DIM_NUMBER, .bare = "", .low = "0.5", .high = "5", .worse = WORSE_HIGHER},
	{.name = "hinge", .kind = RECKON_WORD, .choices = "yes|no", .usual = "no"},
	{.name = "thrust", .dim = &DIM_FORCE, .low = "1 N", .high = "50 kN", .worse = WORSE_LOWER},
};

static const struct reckon_result_key LEAF_RESULTS[] = {
	{"force_n", WORSE_HIGHER}, {"moment_nm", WORSE_HIGHER}, {"against_thrust", WORSE_HIGHER},
	{"coefficient", WORSE_NEITHER},
};

/* The one given, else that of a wall of these proportions at its free end. */
static double leaf_coefficient(struct reckoning_run *r, double width, double height)
{
	const struct lib_grid *g;
	if (run_has(r, "coefficient") || !(g = run_grid(r, "wind-wall")))
		return run_has(r, "coefficient") ? run_si(r, "coefficient") : 0;
	const struct grid_axis *axis = &g->grid.axes[0];
	double *values = arena_array(r->arena, axis->count, sizeof *values);
	for (size_t i = 0; i < axis->count; i++)
		values[i] = g->grid.cells[i].value;
	double c = wind_between(axis->at, values, axis->count, width / height);
	run_step(r, "wind-wall", g->note.source, g->note.standing);
	run_figure(r, "width", width);
	run_figure(r, "height", height);
	run_figure(r, "ratio", width / height);
	run_figure(r, "c", c);
	return c;
}

static void leaf_about_hinge(struct reckoning_run *r, double force, double width)
{
	double moment = wind_moment(force, width), part, thrust;
	run_step(r, "wind-moment", "an even push acts at mid-width", STANDING_MEMORY);
	run_figure(r, "f", force);
	run_figure(r, "width", width);
	run_figure(r, "m", moment);
	run_number(r, "moment_nm", moment);
	run_means(r, "hinge", false);
	if (!run_has(r, "thrust")) {
		run_nothing(r, "against_thrust");
		return;
	}
	thrust = run_si(r, "thrust");
	part = wind_part_of_thrust(moment, thrust, width);
	run_step(r, "wind-against-thrust", "both taken about the hinge", STANDING_PRACTICE);
	run_figure(r, "m", moment);
	run_figure(r, "thrust", thrust);
	run_figure(r, "width", width);
	run_figure(r, "part", part);
	run_number(r, "against_thrust", part);
	run_means(r, part < 1 - 1e-9 ? "holds" : "overcomes", part >= 1 - 1e-9);
	run_means_figure(r, "percent", 100 * part);
}

static void run_leaf(struct reckoning_run *r)
{
	double pressure = run_si(r, "pressure"), width = run_si(r, "width"), height = run_si(r, "height");
	double solidity = run_si(r, "solidity"), c = leaf_coefficient(r, width, height);
	double force = wind_force(pressure, c, width * height, solidity);
	run_step(r, "wind-force", "EN 1991-1-4:2005, 7.4.1", STANDING_MEMORY);
	run_figure(r, "q", pressure);
	run_figure(r, "c", c);
	run_figure(r, "phi", solidity);
	run_figure(r, "width", width);
	run_figure(r, "height", height);
	run_figure(r, "f", force);
	run_number(r, "force_n", force);
	if (text_equal(run_word(r, "hinge"), "yes")) {
		leaf_about_hinge(r, force, width);
	} else {
		run_nothing(r, "moment_nm");
		run_nothing(r, "against_thrust");
		run_means(r, run_has(r, "thrust") ? "across" : "push", false);
	}
	run_number(r, "coefficient", c);
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"wind-pressure", KEYS(PRESSURE_KEYS), KEYS(PRESSURE_RESULTS), FORM_1 | FORM_2, run_pressure},
	{"wind-class", KEYS(CLASS_KEYS), KEYS(CLASS_RESULTS), FORM_1 | FORM_2, run_class},
	{"wind-on-leaf", KEYS(LEAF_KEYS), KEYS(LEAF_RESULTS), FORM_1, run_leaf},
};

const struct reckon_family RECKON_WIND = {"wind", KEYS(RECKONERS)};
