/* Electrical: the loop of resistive edges, the drop along a cable, the load of accessories. */
#include <math.h>

#include "assess/reckoner.h"
#include "calc/resistance.h"

/* --- edge-loop ------------------------------------------------------------------------------------- */

enum { EDGES_MOST = 32 };

static const struct reckon_key LOOP_KEYS[] = {
	{.name = "edges", .dim = &DIM_NUMBER, .bare = "", .low = "1", .high = "32", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "wiring", .kind = RECKON_WORD, .choices = "parallel|cascade", .needed = FORM_1},
	{.name = "nominal", .dim = &DIM_RESISTANCE, .low = "10 ohm", .high = "1000 kohm", .usual = "8.2 kohm"},
	{.name = "tolerance", .dim = &DIM_NUMBER, .bare = "", .low = "0 %", .high = "50 %", .usual = "5 %",
		.worse = WORSE_HIGHER},
	{.name = "cable", .dim = &DIM_RESISTANCE, .low = "0 ohm", .high = "10 kohm", .usual = "0 ohm"},
};

static const struct reckon_result_key LOOP_RESULTS[] = {
	{"rest_ohm", WORSE_NEITHER}, {"low_ohm", WORSE_NEITHER}, {"high_ohm", WORSE_NEITHER},
	{"lost_edge_ohm", WORSE_NEITHER}, {"told_apart", WORSE_LOWER},
};

static void band_figures(struct reckoning_run *r, const struct resistance_band *b)
{
	run_figure(r, "rest", b->rest);
	run_figure(r, "low", b->low);
	run_figure(r, "high", b->high);
}

static void loop_inputs(struct reckoning_run *r, double count)
{
	run_figure(r, "nominal", run_si(r, "nominal"));
	run_figure(r, "percent", 100 * run_si(r, "tolerance"));
	run_figure(r, "cable", run_si(r, "cable"));
	run_figure(r, "count", count);
}

#define EDGE_SOURCE "common practice; control makers' manuals, no standard"
#define PARALLEL_SOURCE "resistors in parallel: R = 1 / Σ (1/Ri)"

/* One branch of a parallel wiring broken off: the rest still reads as a whole loop. */
static bool lost_edge(struct reckoning_run *r, const double *parts, size_t edges, const struct resistance_band *all)
{
	struct resistance_band lost =
		resistance_loop(parts, edges - 1, run_si(r, "tolerance"), run_si(r, "cable"));
	bool apart = resistance_apart(&lost, all);
	run_step(r, "edge-loop-lost", PARALLEL_SOURCE, STANDING_PUBLISHED);
	loop_inputs(r, (double)(edges - 1));
	band_figures(r, &lost);
	run_step(r, apart ? "edge-loop-apart" : "edge-loop-meet", "intervals that meet cannot be told apart",
		STANDING_PRACTICE);
	run_figure(r, "lost-low", lost.low);
	run_figure(r, "lost-high", lost.high);
	run_figure(r, "low", all->low);
	run_figure(r, "high", all->high);
	run_number(r, "lost_edge_ohm", lost.rest);
	return apart;
}

static void loop_meaning(struct reckoning_run *r, bool parallel, bool apart, double most)
{
	bool long_cable = run_si(r, "cable") > most * (1 + 1e-9);
	run_means(r, !apart ? "not-apart" : long_cable ? "cable" : parallel ? "parallel" : "cascade",
		!apart || long_cable);
	run_means_figure(r, "most", most);
}

static void run_loop(struct reckoning_run *r)
{
	double edges = run_si(r, "edges"), nominal = run_si(r, "nominal"), parts[EDGES_MOST], most;
	bool parallel = text_equal(run_word(r, "wiring"), "parallel"), apart = true;
	if (fabs(edges - round(edges)) > 1e-9)
		run_refuse(r, "part-of-an-edge");
	if (r->refused)
		return;
	size_t count = parallel ? (size_t)lround(edges) : 1;
	for (size_t i = 0; i < count; i++)
		parts[i] = nominal;
	struct resistance_band all = resistance_loop(parts, count, run_si(r, "tolerance"), run_si(r, "cable"));
	if (parallel)
		run_step(r, "edge-loop-parallel", PARALLEL_SOURCE, STANDING_PUBLISHED);
	else
		run_step(r, "edge-loop-cascade", EDGE_SOURCE, STANDING_PRACTICE);
	loop_inputs(r, (double)count);
	band_figures(r, &all);
	run_number(r, "rest_ohm", all.rest);
	run_number(r, "low_ohm", all.low);
	run_number(r, "high_ohm", all.high);
	if (count > 1) {
		apart = lost_edge(r, parts, count, &all);
	} else {
		run_step(r, "edge-loop-open", EDGE_SOURCE, STANDING_PRACTICE);
		run_nothing(r, "lost_edge_ohm");
	}
	run_truth(r, "told_apart", apart);
	if (!run_bound(r, "edge-cable", &most))
		return;
	run_step(r, "edge-loop-cable", NULL, STANDING_PRACTICE);
	run_figure(r, "cable", run_si(r, "cable"));
	run_figure(r, "most", most);
	loop_meaning(r, parallel && count > 1, apart, most);
}

/* --- cable-drop ------------------------------------------------------------------------------------ */

static const struct reckon_key DROP_KEYS[] = {
	{.name = "length", .dim = &DIM_LENGTH, .low = "0.1 m", .high = "2000 m", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "section", .dim = &DIM_AREA, .low = "0.05 mm²", .high = "300 mm²", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "current", .dim = &DIM_CURRENT, .low = "0 A", .high = "500 A", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "voltage", .dim = &DIM_VOLTAGE, .low = "1 V", .high = "1000 V", .usual = "24 V",
		.worse = WORSE_LOWER},
	{.name = "material", .kind = RECKON_WORD, .choices = "copper|aluminium", .usual = "copper"},
};

static const struct reckon_result_key DROP_RESULTS[] = {{"drop_v", WORSE_HIGHER}, {"drop_percent", WORSE_HIGHER}};

static void run_drop(struct reckoning_run *r)
{
	double length = run_si(r, "length"), section = run_si(r, "section") * 1e6, current = run_si(r, "current");
	double voltage = run_si(r, "voltage"), rho;
	struct value material = value_of_word(run_word(r, "material"));
	if (!run_limit(r, "resistivity", &material, 1, &rho))
		return;
	double drop = resistance_drop(length, section, current, rho);
	if (drop >= voltage * (1 - 1e-9)) {
		run_refuse(r, "all");
		run_refuse_text(r, "drop", figure_text(r->arena, drop));
		run_refuse_text(r, "voltage", figure_text(r->arena, voltage));
		return;
	}
	run_step(r, "cable-drop", NULL, STANDING_PRACTICE);
	run_figure(r, "rho", rho);
	run_figure(r, "length", length);
	run_figure(r, "section", section);
	run_figure(r, "current", current);
	run_figure(r, "drop", drop);
	run_step(r, "cable-drop-part", "part of the voltage at the source", STANDING_PRACTICE);
	run_figure(r, "drop", drop);
	run_figure(r, "voltage", voltage);
	run_figure(r, "percent", 100 * drop / voltage);
	run_number(r, "drop_v", drop);
	run_number(r, "drop_percent", 100 * drop / voltage);
	run_means(r, "left", false);
	run_means_figure(r, "left", voltage - drop);
}

/* --- accessory-load -------------------------------------------------------------------------------- */

static const struct reckon_key LOAD_KEYS[] = {
	{.name = "supply", .dim = &DIM_CURRENT, .low = "1 mA", .high = "1000 A", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "loads", .dim = &DIM_CURRENT, .low = "0 A", .high = "1000 A", .list = true, .needed = FORM_1,
		.worse = WORSE_HIGHER},
};

static const struct reckon_result_key LOAD_RESULTS[] = {{"sum", WORSE_HIGHER}, {"margin", WORSE_LOWER}};

static void run_load(struct reckoning_run *r)
{
	size_t count;
	const double *loads = run_list(r, "loads", &count);
	double supply = run_si(r, "supply"), sum = resistance_sum(loads, count);
	double margin = resistance_margin(supply, sum);
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&b, "%s%s", i ? " + " : "", figure_text(r->arena, loads[i]));
	run_step(r, count > 1 ? "accessory-sum" : "accessory-one", "sum of the loads that can be on at once",
		STANDING_PRACTICE);
	run_text(r, "loads", b.bytes);
	run_figure(r, "sum", sum);
	run_step(r, "accessory-margin", "supply less loads", STANDING_PRACTICE);
	run_figure(r, "supply", supply);
	run_figure(r, "sum", sum);
	run_figure(r, "margin", margin);
	run_number(r, "sum", sum);
	run_number(r, "margin", margin);
	run_means(r, margin < 0 ? "over" : "within", margin < 0);
	run_means_figure(r, "margin", fabs(margin));
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"edge-loop", KEYS(LOOP_KEYS), KEYS(LOOP_RESULTS), FORM_1, run_loop},
	{"cable-drop", KEYS(DROP_KEYS), KEYS(DROP_RESULTS), FORM_1, run_drop},
	{"accessory-load", KEYS(LOAD_KEYS), KEYS(LOAD_RESULTS), FORM_1, run_load},
};

const struct reckon_family RECKON_ELECTRICAL = {"electrical", KEYS(RECKONERS)};
