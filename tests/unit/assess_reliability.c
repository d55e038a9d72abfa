/* The tables of reliability in the library: those that no computation shows cell by cell, and what happens where an
 * overlay took one away or gave it another shape. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess/reckon.h"
#include "assess_bench.h"
#include "calc/grid.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
	bench_shipped(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_reliability, .init = setup, .fini = teardown);

static struct lib_grid *table(const char *id)
{
	for (size_t i = 0; i < b.library.grids_count; i++)
		if (text_equal(b.library.grids[i].note.id, id))
			return &b.library.grids[i];
	cr_assert_fail("%s", id);
	return NULL;
}

/* EN ISO 13849-1:2015, Table C.1, memory; relays, and hydraulics in frequent use, published. */
Test(assess_reliability, typical_b10d)
{
	static const struct {
		const char *component;
		double b10d;
	} ROWS[] = {
		{"pneumatic", 20e6}, {"relay-small-load", 20e6}, {"relay-nominal-load", 400e3},
		{"proximity-small-load", 20e6}, {"proximity-nominal-load", 400e3}, {"contactor-small-load", 20e6},
		{"contactor-nominal-load", 1.3e6}, {"position-switch", 20e6}, {"position-switch-actuator", 2e6},
		{"emergency-stop", 100e3}, {"push-button", 100e3},
	};
	const struct grid *g = &table("typical-b10d")->grid;
	cr_expect_eq(g->axes[0].count, sizeof ROWS / sizeof *ROWS);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		double got = 0;
		cr_expect(grid_value(g, grid_word(ROWS[i].component), grid_number(0), &got), "%s", ROWS[i].component);
		cr_expect_float_eq(got, ROWS[i].b10d, 0, "%s: %g", ROWS[i].component, got);
	}
}

Test(assess_reliability, typical_lives)
{
	static const double ROWS[][2] = {{0, 1200}, {249999, 1200}, {250000, 600}, {499999, 600},
		{500000, 300}, {999999, 300}, {1e6, 150}, {9e6, 150}};
	double got = 0;
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		cr_expect(grid_value(&table("typical-life-hydraulic")->grid,
			grid_number(ROWS[i][0]), grid_number(0), &got));
		cr_expect_float_eq(got, ROWS[i][1], 0, "%g", ROWS[i][0]);
	}
	cr_expect(grid_value(&table("typical-life")->grid, grid_word("mechanical"), grid_number(0), &got));
	cr_expect_float_eq(got, 150, 0);
}

/* Table 6: the best of each category's columns. Memory; category 1 published. */
Test(assess_reliability, highest)
{
	static const char *const ROWS[][2] = {{"B", "b"}, {"1", "c"}, {"2", "d"}, {"3", "d"}, {"4", "e"}};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const char *got = "";
		cr_expect(grid_words(&table("category-highest")->grid, grid_word(ROWS[i][0]), grid_number(0), &got));
		cr_expect_str_eq(got, ROWS[i][1]);
	}
}

static const struct reckoning *level(void)
{
	static const struct reckon_argument ARGUMENTS[] = {
		{"category", "3"}, {"mttfd", "30"}, {"dc", "90%"}, {"common-cause", "65"}};
	return reckon(&b.arena, &b.library, "level", ARGUMENTS, sizeof ARGUMENTS / sizeof *ARGUMENTS);
}

static void expect_refused(const char *id, const char *why)
{
	const struct reckoning *r = level();
	const char *named = "";
	cr_expect_null(r->results, "%s %s", id, why);
	for (size_t i = 0; i < r->findings->count; i++)
		for (const struct finding_value *v = r->findings->items[i]->values; v; v = v->next)
			if (text_equal(v->name, "limit"))
				named = v->value;
	cr_expect_str_eq(named, id, "%s %s: %s", id, why, named);
}

Test(assess_reliability, overlays)
{
	static const char *const IDS[] = {"risk-graph", "performance-level", "life-class", "coverage-class",
		"level-simplified", "annex-k", "annex-k-4", "level-series", "common-cause-points"};
	cr_expect_not_null(level()->results);
	for (size_t i = 0; i < sizeof IDS / sizeof *IDS; i++) {
		struct lib_grid *g = table(IDS[i]), kept = *g;
		g->note.id = "another";
		expect_refused(IDS[i], "is not there");
		*g = kept;
		g->grid.worded = !kept.grid.worded;
		expect_refused(IDS[i], "has other cells");
		*g = kept;
		g->grid.axis_count = 3 - kept.grid.axis_count;
		expect_refused(IDS[i], "has other axes");
		*g = kept;
		for (size_t axis = 0; axis < kept.grid.axis_count; axis++) {
			g->grid.axes[axis].worded = !kept.grid.axes[axis].worded;
			expect_refused(IDS[i], "has an axis of another kind");
			*g = kept;
		}
	}
	for (size_t i = 0; i < b.library.limits_count; i++)
		if (text_equal(b.library.limits[i].note.id, "mission-time"))
			b.library.limits[i].note.id = "another";
	expect_refused("mission-time", "is not there");
}
