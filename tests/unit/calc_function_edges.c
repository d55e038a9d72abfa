/* Subsystems and functions on the edges of what calc/function.h promises: what counts as known,
 * what equality means, and which of several is the weakest. Expected by hand from the figures of
 * calc_reliability_bench.h. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc_reliability_bench.h"

TestSuite(calc_function_edges);

static struct subsystem_result judge(struct subsystem s)
{
	return subsystem_judge(bench_tables(), &s);
}

static struct subsystem in_category(enum category c, double years, double dc)
{
	return (struct subsystem){.category = c,
		.channels = {{.years = years}},
		.dc = dc,
		.common_cause = 65,
		.tests_per_demand = 100,
		.test_years = 50};
}

/* 65 points are enough, and one part in 10^9 less is rounding. */
Test(calc_function_edges, points)
{
	static const double ENOUGH[] = {65, 65 * (1 + 1e-7), 65 * (1 - 1e-10)},
			    FEW[] = {65 * (1 - 1e-7), 64};
	struct subsystem s = in_category(CATEGORY_3, 50, 0.9);
	for (size_t i = 0; i < 3; i++) {
		s.common_cause = ENOUGH[i];
		cr_expect_eq(judge(s).gap, GAP_NONE, "%zu", i);
	}
	s.common_cause = 65 * (1 - 1e-9);
	cr_expect_eq(judge(s).gap, GAP_NONE);
	for (size_t i = 0; i < 2; i++) {
		s.common_cause = FEW[i];
		cr_expect_eq(judge(s).gap, GAP_COMMON_CAUSE, "%zu", i);
	}
}

/* However small it is, a number over 0 is known. Half a year is a life, and too short; half an
 * operation a year of a part that lasts half a one is 0.5 / (0.1 · 0.5) = 10 years. */
Test(calc_function_edges, small_numbers_are_known)
{
	struct subsystem s = in_category(CATEGORY_3, 0.5, 0.9);
	s.channels[0].b10d = 1e6;
	s.channels[0].per_year = 1000;
	struct subsystem_result r = judge(s);
	cr_expect_eq(r.gap, GAP_LIFE_SHORT);
	cr_expect_float_eq(r.channel_years[0], 0.5, 0);
	cr_expect_float_eq(r.replacement_years, 1000, 1e-9);
	s.channels[0] = (struct channel){.b10d = 0.5, .per_year = 0.5};
	cr_expect_float_eq(judge(s).channel_years[0], 10, 1e-12);
	/* A second channel of which anything is known is one. */
	s.channels[0] = (struct channel){.years = 50};
	s.channels[1] = (struct channel){.b10d = 0.5, .per_year = 0.5};
	cr_expect_float_eq(judge(s).channel_years[1], 10, 1e-12);
	s.channels[1] = (struct channel){.b10d = 0.5};
	cr_expect_eq(judge(s).gap, GAP_LIFE_UNKNOWN);
	s.channels[1] = (struct channel){.per_year = 0.5};
	cr_expect_eq(judge(s).gap, GAP_LIFE_UNKNOWN);
	s.channels[1] = (struct channel){.years = 0.5};
	cr_expect_eq(judge(s).gap, GAP_LIFE_SHORT);
	s = in_category(CATEGORY_2, 50, 0.9);
	s.test_years = 0.5;
	cr_expect_eq(judge(s).gap, GAP_TEST_LIFE);
}

/* T10d = B10d / nop: half a year in the one channel, 40 years in the other. */
Test(calc_function_edges, replacement)
{
	struct subsystem s = in_category(CATEGORY_3, 0, 0.9);
	s.channels[0] = (struct channel){.b10d = 500, .per_year = 1000};
	s.channels[1] = (struct channel){.b10d = 40000, .per_year = 1000};
	struct subsystem_result r = judge(s);
	cr_expect_float_eq(r.replacement_years, 0.5, 1e-12);
	cr_expect(r.replace);
	cr_expect_eq(r.gap, GAP_REPLACEMENT);
}

/* What follows the two channels in a subsystem is no channel. */
Test(calc_function_edges, two_channels)
{
	struct subsystem s = in_category(CATEGORY_3, 50, 0);
	s.channels[1] = (struct channel){.years = 40};
	struct subsystem_result r = judge(s);
	cr_expect_eq(r.gap, GAP_COVERAGE);
	cr_expect_float_eq(r.replacement_years, 0, 0);
}

/* A subsystem with a gap is weaker than one that has none, be its rate too high for any level. Of
 * two alike the first is meant. */
Test(calc_function_edges, weakest)
{
	struct subsystem_result results[2];
	struct subsystem s[2] = {{.per_hour = 1e-4}, {.level = LEVEL_NONE}};
	struct series_result f = function_judge(bench_tables(), s, 2, results);
	cr_expect_eq(f.weakest, 1);
	cr_expect_eq(f.gap, GAP_NOTHING);
	struct subsystem alike[2] = {{.per_hour = 2e-7}, {.per_hour = 2e-7}};
	f = function_judge(bench_tables(), alike, 2, results);
	cr_expect_eq(f.weakest, 0);
}

/* A test channel is taken as half as long-lived as the tested one: 50 years beside 100. */
Test(calc_function_edges, category_2_with_all_that_it_asks_for)
{
	struct subsystem_result results[1];
	struct subsystem s = {.category = CATEGORY_B, .channels = {{.years = 100}}, .dc = 0.9};
	struct function_change c = function_change_for(bench_tables(), &s, 1, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.category, CATEGORY_2);
}

/* Another category is another one, even where this one would do with what it lacks. */
Test(calc_function_edges, another_category)
{
	struct subsystem_result results[1];
	struct subsystem s = in_category(CATEGORY_3, 50, 0.9);
	s.common_cause = 0;
	struct function_change c = function_change_for(bench_tables(), &s, 1, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.category, CATEGORY_4);
	/* In category 4 no life makes up for it. */
	s.category = CATEGORY_4;
	s.dc = 0.99;
	c = function_change_for(bench_tables(), &s, 1, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_MAKER);
}

/* The weakest cannot be changed; of the others each is tried, the first first. 27 years in category
 * 3 with 90 %: 3.1e-7 1/h; with 100 years 4.29e-8. 8e-7 and one or two of these are over 1e-6. */
Test(calc_function_edges, all_others_are_tried)
{
	struct subsystem_result results[3];
	struct subsystem maker = {.level = LEVEL_D, .per_hour = 1e-7},
			 weak = {.level = LEVEL_D, .per_hour = 8e-7};
	struct subsystem own = in_category(CATEGORY_3, 27, 0.9);
	struct subsystem last[3] = {maker, own, weak};
	weak.per_hour = last[2].per_hour = 7.5e-7;
	struct function_change c = function_change_for(bench_tables(), last, 3, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_eq(c.subsystem, 1);
	struct subsystem both[3] = {own, own, weak};
	both[2].per_hour = 4.5e-7;
	c = function_change_for(bench_tables(), both, 3, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_eq(c.subsystem, 0);
	struct subsystem middle[3] = {maker, weak, own};
	c = function_change_for(bench_tables(), middle, 3, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_eq(c.subsystem, 2);
}

/* The row of 10 years, one part in 10^10 below it, and one in 10^7. */
Test(calc_function_edges, rows_of_annex_k)
{
	static const double YEARS[] = {10, 10 * (1 - 1e-10), 10 * (1 - 1e-7)},
			    EXPECTED[] = {10, 10, 3};
	for (size_t i = 0; i < 3; i++) {
		struct level_cells cells;
		bool lives;
		cr_assert(level_look(bench_tables(), CATEGORY_3, YEARS[i], 0.9, &cells, &lives));
		cr_expect_float_eq(cells.row_years, EXPECTED[i], 0, "%zu", i);
	}
}

/* A millionth under the upper edge of the band of a, b, c, d and e. */
Test(calc_function_edges, worst_rates)
{
	static const double EXPECTED[] = {
		9.99999e-5, 9.99999e-6, 2.999997e-6, 9.99999e-7, 9.99999e-8};
	for (int i = 0; i < 5; i++)
		cr_expect_float_eq(level_worst_rate(bench_tables(), (enum level)(i + 1)),
			EXPECTED[i], 1e-9 * EXPECTED[i]);
}

/* Where both ways give the same, the maker's word is what is told. 100 years in category 3 with 90
 * %: d, 4.29e-8 1/h. */
Test(calc_function_edges, both_ways_alike)
{
	struct subsystem s = in_category(CATEGORY_3, 100, 0.9);
	s.level = LEVEL_D;
	s.per_hour = 4.29e-8;
	struct subsystem_result r = judge(s);
	cr_expect_eq(r.level, LEVEL_D);
	cr_expect_eq(r.by, BY_MAKER);
}

/* Half a year stands beside a B10d of 10 000 years: what is short becomes longer, to 27 years for
 * d. */
Test(calc_function_edges, the_shorter_of_two_lives_becomes_longer)
{
	struct subsystem_result results[1];
	struct subsystem s = in_category(CATEGORY_3, 0.5, 0.9);
	s.channels[0].b10d = 1e6;
	s.channels[0].per_year = 1000;
	struct function_change c = function_change_for(bench_tables(), &s, 1, LEVEL_D, results);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 27, 0);
}
