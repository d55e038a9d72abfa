/* Equality in the formulas: one part in 10^9 is rounding, more is a difference. And nothing beyond
 * the end of what was given is looked at. */
#include <criterion/criterion.h>

#include "calc/distance.h"
#include "calc/grid.h"
#include "calc/resistance.h"
#include "calc/schedule.h"
#include "calc/wind.h"

TestSuite(calc_edges);

/* Edges 0.3, 1000, 2000 up to; what stands behind them is no edge. */
Test(calc_edges, grid)
{
	static const double AT[] = {0.3, 1000, 2000, 5000};
	struct grid_cell cells[4] = {{.given = true, .value = 1}, {.given = true, .value = 2},
		{.given = true, .value = 3}, {.given = true, .value = 4}};
	struct grid g = {.axis_count = 1,
		.cells = cells,
		.axes = {{.take = GRID_UP_TO, .at = AT, .count = 3}}};
	static const struct {
		double key, value; /* 0: outside */
	} ROWS[] = {
		{0.3, 1},
		{0.3 * (1 + 1e-10), 1},
		{0.3 * (1 + 1e-8), 2},
		{0.3 * (1 - 1e-8), 1},
		{1000, 2},
		{1000 * (1 + 1e-10), 2},
		{1000 * (1 + 1e-8), 3},
		{2000 * (1 + 1e-10), 3},
		{2000 * (1 + 1e-8), 0},
		{4000, 0},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		double got = 0;
		cr_expect_eq(grid_value(&g, grid_number(ROWS[i].key), grid_number(0), &got),
			ROWS[i].value > 0, "%zu", i);
		cr_expect_float_eq(got, ROWS[i].value, 0, "%zu", i);
	}
}

/* From 0.3, 1000, 2000 on. */
Test(calc_edges, grid_from)
{
	static const double AT[] = {0.3, 1000, 2000};
	struct grid_cell cells[3] = {{.given = true, .value = 1}, {.given = true, .value = 2},
		{.given = true, .value = 3}};
	struct grid g = {.axis_count = 1,
		.cells = cells,
		.axes = {{.take = GRID_FROM, .at = AT, .count = 3}}};
	static const struct {
		double key, value;
	} ROWS[] = {
		{0.3, 1},
		{0.3 * (1 - 1e-10), 1},
		{0.3 * (1 - 1e-8), 0},
		{1000 * (1 - 1e-10), 2},
		{1000 * (1 - 1e-8), 1},
		{1000, 2},
		{2000, 3},
		{9000, 3},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		double got = 0;
		cr_expect_eq(grid_value(&g, grid_number(ROWS[i].key), grid_number(0), &got),
			ROWS[i].value > 0, "%zu", i);
		cr_expect_float_eq(got, ROWS[i].value, 0, "%zu", i);
	}
}

/* Bands that touch are not told apart: the upper end of one is 100 ohm, the lower end of the other
 * as given. */
Test(calc_edges, bands)
{
	static const struct {
		double low;
		bool apart;
	} ROWS[] = {{99, false}, {100, false}, {100 * (1 + 1e-10), false}, {100 * (1 + 1e-7), true},
		{101, true}};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct resistance_band a = {95, 90, 100}, b = {110, ROWS[i].low, 120};
		cr_expect_eq(resistance_apart(&a, &b), ROWS[i].apart, "%zu", i);
		cr_expect_eq(resistance_apart(&b, &a), ROWS[i].apart, "%zu", i);
	}
	struct resistance_band a = {95, 90, 100}, b = {110, 0, 120};
	b.low = 100 + 1e-9 * (100 + 120);
	cr_expect_not(resistance_apart(&a, &b));
	cr_expect_not(resistance_apart(&b, &a));
}

Test(calc_edges, margin)
{
	cr_expect_float_eq(resistance_margin(100, 100), 0, 0);
	cr_expect_float_eq(resistance_margin(100, 100 * (1 + 1e-10)), 0, 0);
	cr_expect_float_eq(resistance_margin(100, 100 * (1 - 1e-10)), 0, 0);
	cr_expect_lt(resistance_margin(100, 100 * (1 + 1e-7)), 0);
	cr_expect_gt(resistance_margin(100, 100 * (1 - 1e-7)), 0);
}

/* Parts of a month are dropped, but not what is lost in twelfths. */
Test(calc_edges, months)
{
	struct date last = {.year = 2026, .month = 3, .day = 15};
	cr_expect_eq(schedule_due(last, 12, 6 - 1e-10).month, 9);
	cr_expect_eq(schedule_due(last, 12, 6 - 1e-7).month, 8);
}

Test(calc_edges, wind_classes)
{
	double p = 300, above[2] = {p + 1e-9 * p, 1000}, below[2] = {p - 1e-9 * p, 1000};
	static const double REFERENCES[] = {300, 450};
	cr_expect_eq(wind_class_reached(above, 2, p), 1);
	cr_expect_eq(wind_class_needed(below, 2, p), 1);
	cr_expect_eq(wind_class_reached(REFERENCES, 2, 300 * (1 - 1e-10)), 1);
	cr_expect_eq(wind_class_reached(REFERENCES, 2, 300 * (1 - 1e-7)), 0);
	cr_expect_eq(wind_class_needed(REFERENCES, 2, 300 * (1 + 1e-10)), 1);
	cr_expect_eq(wind_class_needed(REFERENCES, 2, 300 * (1 + 1e-7)), 2);
}

/* What stands behind the last edge is no edge. */
Test(calc_edges, wind_between)
{
	static const double AT[] = {3, 5, 10, 100}, VALUES[] = {2.3, 2.9, 3.4, 99};
	cr_expect_float_eq(wind_between(AT, VALUES, 3, 40), 3.4, 0);
}

/* 0.1 s to answer, then 0.5 m/s at 2 m/s²: 0.1 + 0.25 s. */
Test(calc_edges, stopping_time)
{
	cr_expect_float_eq(distance_stopping_time(0.5, 0.1, 2), 0.35, 1e-12);
}
