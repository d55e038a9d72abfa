/* Subsystems and functions, by EN ISO 13849-1: which data give a level, what is missing, and which single change
 * would be enough. The tables are those of calc_reliability_bench.h; what is expected follows from their figures by
 * hand. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "calc_reliability_bench.h"

TestSuite(calc_function);

static enum level level_of(char letter)
{
	return level_of_word((char[]){letter, '\0'});
}

static void expect(const char *what, const struct subsystem *s, enum subsystem_gap gap, char level, const char *by,
	double per_hour)
{
	struct subsystem_result r = subsystem_judge(bench_tables(), s);
	cr_expect_eq(r.gap, gap, "%s: gap %d", what, (int)r.gap);
	cr_expect_eq(r.level, level_of(level), "%s: level %s", what, level_word(r.level));
	cr_expect_str_eq(decided_word(r.by), by, "%s", what);
	cr_expect_float_eq(r.per_hour, per_hour, 2e-6 * per_hour, "%s: %g", what, r.per_hour);
}

/* --- one subsystem --------------------------------------------------------------------------------- */

Test(calc_function, maker)
{
	expect("both", &(struct subsystem){.level = LEVEL_D, .per_hour = 2e-7}, GAP_NONE, 'd', "maker", 2e-7);
	expect("better rate", &(struct subsystem){.level = LEVEL_D, .per_hour = 2e-8}, GAP_NONE, 'd', "maker", 2e-8);
	expect("worse rate", &(struct subsystem){.level = LEVEL_D, .per_hour = 2e-6}, GAP_NONE, 'c', "rate", 2e-6);
	expect("edge", &(struct subsystem){.level = LEVEL_D, .per_hour = 1e-6}, GAP_NONE, 'c', "rate", 1e-6);
	expect("rate alone", &(struct subsystem){.per_hour = 2e-7}, GAP_NONE, 'd', "rate", 2e-7);
	expect("too high", &(struct subsystem){.per_hour = 1e-4}, GAP_NONE, '-', "rate", 1e-4);
	expect("as good as its category", &(struct subsystem){.level = LEVEL_B, .category = CATEGORY_B}, GAP_NONE, 'b',
		"maker", 1e-5);
	/* The worst of the band, without falling out of it. */
	static const double ENDS[] = {1e-4, 1e-5, 3e-6, 1e-6, 1e-7};
	for (int i = 0; i < 5; i++) {
		struct subsystem_result r =
			subsystem_judge(bench_tables(), &(struct subsystem){.level = (enum level)(i + 1)});
		cr_expect_eq(r.level, (enum level)(i + 1));
		cr_expect_str_eq(decided_word(r.by), "maker");
		cr_expect_not(r.rate_known);
		cr_expect_float_eq(r.per_hour, ENDS[i], 2e-6 * ENDS[i]);
	}
}

/* Best of each category by Annex K: B 4.23E-6, 1 1.14E-6, 2 2.29E-7, 3 4.29E-8. */
Test(calc_function, maker_beside_a_category)
{
	static const char BEST[] = "-bcdee";
	for (enum category c = CATEGORY_B; c <= CATEGORY_4; c++)
		for (enum level l = LEVEL_A; l <= LEVEL_E; l++) {
			struct subsystem s = {.level = l, .category = c};
			struct subsystem_result r = subsystem_judge(bench_tables(), &s);
			bool fine = l <= level_of(BEST[c]);
			cr_expect_eq(r.gap, fine ? GAP_NONE : GAP_LEVEL_CATEGORY, "%d %d", (int)c, (int)l);
			cr_expect_eq(r.level, fine ? l : LEVEL_NONE, "%d %d", (int)c, (int)l);
		}
	/* A rate alone gives no more than that either. */
	expect("rate", &(struct subsystem){.per_hour = 2e-9, .category = CATEGORY_2}, GAP_NONE, 'd', "rate", 2e-9);
}

#define YEARS(y) .channels = {{.years = (y)}}

static struct subsystem in_category(enum category c, double years, double dc)
{
	return (struct subsystem){.category = c, YEARS(years), .dc = dc, .common_cause = 65, .tests_per_demand = 100,
		.test_years = 50};
}

/* All that a category asks for is there as well: 5.28E-7 in category 2 is c by the simplified procedure. */
Test(calc_function, the_worse_of_maker_and_category)
{
	struct subsystem s = in_category(CATEGORY_2, 100, 0.6);
	s.level = LEVEL_D;
	expect("level", &s, GAP_NONE, 'c', "simplified", 5.28e-7);
	s.level = LEVEL_C;
	s.per_hour = 4e-7;
	expect("rate", &s, GAP_NONE, 'c', "simplified", 5.28e-7);
	s.per_hour = 6e-7;
	expect("worse rate", &s, GAP_NONE, 'c', "maker", 6e-7);
	s.level = LEVEL_B;
	expect("worse level", &s, GAP_NONE, 'b', "maker", 6e-7);
	/* Each by itself. */
	s.per_hour = 4e-7;
	expect("worse level, better rate", &s, GAP_NONE, 'b', "maker", 5.28e-7);
	s.per_hour = 0;
	expect("worse level without a rate", &s, GAP_NONE, 'b', "maker", 5.28e-7);
	s.level = LEVEL_D;
	s.per_hour = 6e-7;
	expect("better level, worse rate", &s, GAP_NONE, 'c', "simplified", 6e-7);
	/* What is not known of the category is not asked of a maker's level. */
	s.level = LEVEL_D;
	s.common_cause = 0;
	expect("lacking", &s, GAP_NONE, 'd', "maker", 6e-7);
	s.level = LEVEL_E;
	expect("too good", &s, GAP_LEVEL_CATEGORY, '-', "none", 0);
}

/* Beside a maker's word, what is known of a category may fall short of it, whatever else is not known. */
Test(calc_function, maker_contradicted_by_what_is_known)
{
	static const struct {
		const char *what;
		struct subsystem data;
		enum subsystem_gap gap;
	} CASES[] = {
		{"nothing known", {.category = CATEGORY_2}, GAP_NONE},
		{"nothing known", {.category = CATEGORY_3}, GAP_NONE},
		{"nothing known", {.category = CATEGORY_4}, GAP_NONE},
		{"nothing known", {.category = CATEGORY_1}, GAP_NONE},
		{"1 year", {.category = CATEGORY_3, YEARS(1)}, GAP_LIFE_SHORT},
		{"2 years", {.category = CATEGORY_3, YEARS(2)}, GAP_LIFE_SHORT},
		{"3 years", {.category = CATEGORY_3, YEARS(3)}, GAP_NONE},
		{"one channel 2 years", {.category = CATEGORY_3, .channels = {{0}, {.years = 2}}},
			GAP_LIFE_SHORT},
		{"one channel 3 years", {.category = CATEGORY_3, .channels = {{0}, {.years = 3}}},
			GAP_NONE},
		{"B10d of the second alone",
			{.category = CATEGORY_3, .channels = {{.years = 3}, {.b10d = 5}}},
			GAP_NONE},
		{"2 years by operations",
			{.category = CATEGORY_3,
				.channels = {{.b10d = 200, .per_year = 1000}},
				.replaced_years = 0.1},
			GAP_LIFE_SHORT},
		{"half covered", {.category = CATEGORY_3, .dc = 0.5}, GAP_COVERAGE},
		{"60 %", {.category = CATEGORY_3, .dc = 0.6}, GAP_NONE},
		{"90 % in 4", {.category = CATEGORY_4, .dc = 0.9}, GAP_COVERAGE},
		{"covered without a test", {.category = CATEGORY_1, .dc = 0.6},
			GAP_COVERAGE_UNUSED},
		{"29 years", {.category = CATEGORY_1, YEARS(29)}, GAP_LIFE_CATEGORY},
		{"29 years in 4", {.category = CATEGORY_4, YEARS(29)}, GAP_LIFE_CATEGORY},
		{"1 point", {.category = CATEGORY_2, .common_cause = 1}, GAP_COMMON_CAUSE},
		{"64 points", {.category = CATEGORY_2, .common_cause = 64}, GAP_COMMON_CAUSE},
		{"65 points", {.category = CATEGORY_2, .common_cause = 65}, GAP_NONE},
		{"64 points in 1", {.category = CATEGORY_1, .common_cause = 64}, GAP_NONE},
		{"1 test", {.category = CATEGORY_2, .tests_per_demand = 1}, GAP_TEST_RATE},
		{"24 tests", {.category = CATEGORY_2, .tests_per_demand = 24}, GAP_TEST_RATE},
		{"25 tests", {.category = CATEGORY_2, .tests_per_demand = 25}, GAP_NONE},
		{"24 tests in 3", {.category = CATEGORY_3, .tests_per_demand = 24}, GAP_NONE},
		{"tests of no known life for 100", {.category = CATEGORY_2, YEARS(100)}, GAP_NONE},
		{"tests of 1 year for 100", {.category = CATEGORY_2, YEARS(100), .test_years = 1},
			GAP_TEST_LIFE},
		{"tests of 49 years for 100",
			{.category = CATEGORY_2, YEARS(100), .test_years = 49}, GAP_TEST_LIFE},
		{"tests of 50 years for 100",
			{.category = CATEGORY_2, YEARS(100), .test_years = 50}, GAP_NONE},
		{"tests of 1 year for what is not known", {.category = CATEGORY_2, .test_years = 1},
			GAP_NONE},
		{"no category", {.dc = 0.5, .common_cause = 1, YEARS(1)}, GAP_NONE},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		struct subsystem s = CASES[i].data;
		s.per_hour = 2e-6;
		bool fine = CASES[i].gap == GAP_NONE;
		expect(CASES[i].what, &s, CASES[i].gap, fine ? 'c' : '-', fine ? "rate" : "none", fine ? 2e-6 : 0);
	}
}

/* A part that wears out does so beside a maker's word too. */
Test(calc_function, maker_of_what_wears_out)
{
	struct subsystem s = {.level = LEVEL_D, .per_hour = 2e-7, .channels = {{.b10d = 19000, .per_year = 1000}}};
	struct subsystem_result r = subsystem_judge(bench_tables(), &s);
	cr_expect_eq(r.gap, GAP_REPLACEMENT);
	cr_expect_float_eq(r.replacement_years, 19, 1e-9);
	cr_expect_eq(r.level, LEVEL_NONE);
	s.replaced_years = 19;
	expect("replaced", &s, GAP_NONE, 'd', "maker", 2e-7);
	s.channels[0].b10d = 20000;
	s.replaced_years = 0;
	expect("20 years", &s, GAP_NONE, 'd', "maker", 2e-7);
}

/* Years and a B10d: the shorter life. 100 000 operations of 10 000 a year are 100 years. */
Test(calc_function, years_and_operations)
{
	struct subsystem s = in_category(CATEGORY_3, 0, 0.9);
	s.channels[0] = (struct channel){.years = 500, .b10d = 1e5, .per_year = 1e4};
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).channel_years[0], 100, 1e-9);
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_REPLACEMENT);
	s.channels[0].years = 40;
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).channel_years[0], 40, 1e-9);
	s.channels[0].per_year = 0;
	s.channels[0].years = 500;
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).channel_years[0], 500, 1e-9);
}

Test(calc_function, categories)
{
	static const struct {
		enum category category;
		double years, dc;
		enum subsystem_gap gap;
		char level;
		const char *by;
		double per_hour;
	} ROWS[] = {
		{CATEGORY_B, 27, 0, GAP_NONE, 'b', "both", 4.23e-6},
		{CATEGORY_B, 10, 0.59, GAP_NONE, 'a', "annex-k", 1.14e-5},
		{CATEGORY_B, 10, 0.6, GAP_COVERAGE_UNUSED, '-', "none", 0},
		{CATEGORY_1, 100, 0.6, GAP_COVERAGE_UNUSED, '-', "none", 0},
		{CATEGORY_B, 2.99, 0, GAP_LIFE_SHORT, '-', "none", 0},
		{CATEGORY_B, 0, 0, GAP_LIFE_UNKNOWN, '-', "none", 0},
		{CATEGORY_1, 29.9, 0, GAP_LIFE_CATEGORY, '-', "none", 0},
		{CATEGORY_1, 30, 0, GAP_NONE, 'b', "annex-k", 3.8e-6},
		{CATEGORY_1, 473.5, 0, GAP_NONE, 'c', "both", 1.14e-6},
		{CATEGORY_2, 100, 0.59, GAP_COVERAGE, '-', "none", 0},
		{CATEGORY_2, 100, 0.6, GAP_NONE, 'c', "simplified", 5.28e-7},
		{CATEGORY_3, 100, 0.9, GAP_NONE, 'd', "simplified", 4.29e-8},
		{CATEGORY_3, 30, 0.9, GAP_NONE, 'd', "both", 2.65e-7},
		{CATEGORY_4, 30, 0.98, GAP_COVERAGE, '-', "none", 0},
		{CATEGORY_4, 29, 0.99, GAP_LIFE_CATEGORY, '-', "none", 0},
		{CATEGORY_4, 30, 0.99, GAP_NONE, 'e', "both", 9.54e-8},
		{CATEGORY_4, 9000, 0.99, GAP_NONE, 'e', "both", 9.06e-10},
	};
	expect("nothing", &(struct subsystem){.dc = 0.9}, GAP_NOTHING, '-', "none", 0);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct subsystem s = in_category(ROWS[i].category, ROWS[i].years, ROWS[i].dc);
		char what[16] = {(char)('a' + i)};
		expect(what, &s, ROWS[i].gap, ROWS[i].level, ROWS[i].by, ROWS[i].per_hour);
	}
}

Test(calc_function, common_cause)
{
	for (enum category c = CATEGORY_B; c <= CATEGORY_4; c++) {
		struct subsystem s = in_category(c, 100, c >= CATEGORY_2 ? 0.99 : 0);
		enum subsystem_gap asked = c >= CATEGORY_2 ? GAP_COMMON_CAUSE : GAP_NONE;
		cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_NONE);
		s.common_cause = 64;
		cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, asked);
		s.common_cause = 0;
		cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, asked);
	}
}

Test(calc_function, tests)
{
	static const struct {
		double tests, test_years;
		enum subsystem_gap gap;
		double per_hour;
	} ROWS[] = {
		{0, 50, GAP_TEST_RATE, 0}, {24.9, 50, GAP_TEST_RATE, 0}, {25, 50, GAP_NONE, 2.519e-7},
		{99.9, 50, GAP_NONE, 2.519e-7}, {100, 50, GAP_NONE, 2.29e-7}, {1000, 50, GAP_NONE, 2.29e-7},
		{100, 0, GAP_TEST_LIFE_UNKNOWN, 0}, {100, 49.9, GAP_TEST_LIFE, 0}, {100, 50.1, GAP_NONE, 2.29e-7},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		/* Of 300 years 100 count, so that 50 are half. */
		struct subsystem s = in_category(CATEGORY_2, 300, 0.9);
		s.tests_per_demand = ROWS[i].tests;
		s.test_years = ROWS[i].test_years;
		struct subsystem_result r = subsystem_judge(bench_tables(), &s);
		cr_expect_eq(r.gap, ROWS[i].gap, "%zu", i);
		cr_expect_float_eq(r.per_hour, ROWS[i].per_hour, 1e-13, "%zu: %g", i, r.per_hour);
		cr_expect_eq(r.few_tests, ROWS[i].per_hour > 2.5e-7, "%zu", i);
		/* No other category asks. */
		s.category = CATEGORY_3;
		cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_NONE, "%zu", i);
	}
}

/* The worse rate counts for the level: 1.1 · 2.32E-6 is c, and 1.1 · 7.18E-6 is b still. */
Test(calc_function, few_tests_and_level)
{
	struct subsystem s = in_category(CATEGORY_2, 10, 0.6);
	s.tests_per_demand = 25;
	expect("10 years", &s, GAP_NONE, 'b', "both", 7.898e-6);
	struct subsystem high = in_category(CATEGORY_2, 30, 0.6);
	high.tests_per_demand = 25;
	expect("30 years", &high, GAP_NONE, 'c', "both", 2.266e-6);
}

Test(calc_function, channels)
{
	struct subsystem s = in_category(CATEGORY_3, 100, 0.9);
	struct subsystem_result r = subsystem_judge(bench_tables(), &s);
	cr_expect_float_eq(r.years, 100, 1e-9);
	s.channels[1].years = 3;
	r = subsystem_judge(bench_tables(), &s);
	cr_expect_float_eq(r.years, 66.7249191, 1e-6); /* Annex D.2, arithmetic by hand */
	cr_expect_float_eq(r.channel_years[0], 100, 0);
	cr_expect_float_eq(r.channel_years[1], 3, 0);
	s.channels[1].years = 2.9;
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_LIFE_SHORT);
	/* Something is known of the second channel, but not enough. */
	s.channels[1] = (struct channel){.b10d = 1e6};
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_LIFE_UNKNOWN);
	s.channels[1] = (struct channel){.per_year = 1e6};
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_LIFE_UNKNOWN);
	/* There is one channel in category 2. */
	s.category = CATEGORY_2;
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_NONE);
	/* 400 years count as 100 before the two are put together. */
	s = in_category(CATEGORY_3, 400, 0.9);
	s.channels[1].years = 3;
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).years, 66.7249191, 1e-6);
}

Test(calc_function, replacement)
{
	static const struct {
		double b10d, per_year, replaced;
		enum subsystem_gap gap;
		bool replace;
	} ROWS[] = {
		{100000, 5000, 0, GAP_NONE, false},      /* T10d of 20 years is the mission time */
		{99000, 5000, 0, GAP_REPLACEMENT, true}, /* 19.8 */
		{99000, 5000, 19.8, GAP_NONE, true},
		{99000, 5000, 19.7, GAP_NONE, true},
		{99000, 5000, 19.9, GAP_REPLACEMENT, true},
		{101000, 5000, 0, GAP_NONE, false},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct subsystem s = in_category(CATEGORY_3, 0, 0.9);
		s.channels[0] = (struct channel){.b10d = ROWS[i].b10d, .per_year = ROWS[i].per_year};
		s.replaced_years = ROWS[i].replaced;
		struct subsystem_result r = subsystem_judge(bench_tables(), &s);
		cr_expect_eq(r.gap, ROWS[i].gap, "%zu", i);
		cr_expect_eq(r.replace, ROWS[i].replace, "%zu", i);
		cr_expect_float_eq(r.replacement_years, ROWS[i].b10d / ROWS[i].per_year, 1e-9, "%zu", i);
	}
	/* The shorter of two, whether or not years are given besides. */
	struct subsystem s = in_category(CATEGORY_3, 0, 0.9);
	s.channels[0] = (struct channel){.b10d = 1e6, .per_year = 1000};
	s.channels[1] = (struct channel){.b10d = 1e5, .per_year = 1000};
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).replacement_years, 100, 1e-9);
	s.channels[1].years = 50;
	cr_expect_float_eq(subsystem_judge(bench_tables(), &s).replacement_years, 100, 1e-9);
	s.channels[0] = (struct channel){.b10d = 1e5};
	cr_expect_eq(subsystem_judge(bench_tables(), &s).gap, GAP_LIFE_UNKNOWN);
}

/* --- functions ------------------------------------------------------------------------------------- */

static struct series_result judge(const struct subsystem *s, size_t count)
{
	struct subsystem_result results[8];
	return function_judge(bench_tables(), s, count, results);
}

Test(calc_function, sum_of_rates)
{
	const struct subsystem s[] = {{.level = LEVEL_D, .per_hour = 5e-7}, {.level = LEVEL_D, .per_hour = 4.9e-7},
		{.level = LEVEL_E, .per_hour = 1e-8}};
	struct series_result r = judge(s, 2);
	cr_expect_str_eq(level_word(r.level), "d");
	cr_expect_str_eq(decided_word(r.by), "sum");
	cr_expect_float_eq(r.per_hour, 9.9e-7, 1e-15);
	cr_expect_float_eq(r.known_per_hour, 9.9e-7, 1e-15);
	cr_expect(r.rates_known);
	cr_expect_eq(r.weakest, 0);
	cr_expect_eq(r.by_series, LEVEL_NONE);
	r = judge(s, 3);
	cr_expect_str_eq(level_word(r.level), "c"); /* on the edge */
	cr_expect_eq(r.by_sum, LEVEL_C);
}

Test(calc_function, never_above_the_lowest)
{
	const struct subsystem s[] = {{.level = LEVEL_E, .per_hour = 5e-8}, {.level = LEVEL_C, .per_hour = 1e-9}};
	struct series_result r = judge(s, 2);
	cr_expect_str_eq(level_word(r.level), "c");
	cr_expect_str_eq(decided_word(r.by), "lowest");
	cr_expect_eq(r.by_sum, LEVEL_E);
	cr_expect_eq(r.weakest, 1);
	cr_expect_eq(r.lowest, LEVEL_C);
	cr_expect_eq(r.times, 1);
}

/* No rate is known: Table 11, or the sum with the worst of each band, whichever is better. */
Test(calc_function, unknown_rates)
{
	const struct subsystem three[] = {
		{.level = LEVEL_D}, {.level = LEVEL_D}, {.level = LEVEL_D}, {.level = LEVEL_D}};
	struct series_result r = judge(three, 3);
	cr_expect_str_eq(level_word(r.level), "d");
	cr_expect_str_eq(decided_word(r.by), "series");
	cr_expect_not(r.rates_known);
	cr_expect_float_eq(r.per_hour, 3e-6, 1e-11);
	cr_expect_float_eq(r.known_per_hour, 0, 0);
	r = judge(three, 1);
	cr_expect_str_eq(level_word(r.level), "d");
	cr_expect_str_eq(decided_word(r.by), "sum");
	r = judge(three, 4);
	cr_expect_str_eq(level_word(r.level), "c");
	cr_expect_eq(r.by_series, LEVEL_C);
	/* Four at a are not allowed. */
	const struct subsystem four[] = {
		{.level = LEVEL_A}, {.level = LEVEL_A}, {.level = LEVEL_A}, {.level = LEVEL_A}};
	r = judge(four, 4);
	cr_expect_eq(r.level, LEVEL_NONE);
	cr_expect_str_eq(decided_word(r.by), "none");
	cr_expect_str_eq(level_word(judge(four, 3).level), "a");
}

/* One rate is known: of the others the worst of their band counts. 2.9E-6 and 3E-6 (of c) are b, as 2.9E-6 twice is;
 * Table 11 would give c for two at c. */
Test(calc_function, a_rate_left_out_is_no_gain)
{
	struct subsystem s[] = {{.level = LEVEL_C, .per_hour = 2.9e-6}, {.level = LEVEL_C, .per_hour = 2.9e-6}};
	struct series_result r = judge(s, 2);
	cr_expect_str_eq(level_word(r.level), "b");
	cr_expect_not(r.by_levels);
	for (int i = 0; i < 2; i++) {
		struct subsystem less[] = {s[0], s[1]};
		less[i].per_hour = 0;
		r = judge(less, 2);
		cr_expect_str_eq(level_word(r.level), "b", "%d", i);
		cr_expect_str_eq(decided_word(r.by), "sum");
		cr_expect_eq(r.by_series, LEVEL_NONE);
		cr_expect_not(r.by_levels);
		cr_expect_float_eq(r.per_hour, 5.9e-6, 1e-11);
	}
	/* No rate at all: two at c are c. */
	s[0].per_hour = s[1].per_hour = 0;
	r = judge(s, 2);
	cr_expect_str_eq(level_word(r.level), "c");
	cr_expect_str_eq(decided_word(r.by), "series");
	cr_expect(r.by_levels);
	/* 6E-7 and the worst of e, 1E-7, are in the band of d: the lowest, c, counts. */
	const struct subsystem small[] = {{.level = LEVEL_C, .per_hour = 2e-7}, {.level = LEVEL_C, .per_hour = 2e-7},
		{.level = LEVEL_C, .per_hour = 2e-7}, {.level = LEVEL_E}};
	r = judge(small, 4);
	cr_expect_str_eq(level_word(r.level), "c");
	cr_expect_str_eq(decided_word(r.by), "lowest");
	/* 1.6E-6 and the worst of d, 1E-6: c. */
	const struct subsystem known[] = {{.level = LEVEL_D, .per_hour = 8e-7}, {.level = LEVEL_D, .per_hour = 8e-7},
		{.level = LEVEL_D}};
	r = judge(known, 3);
	cr_expect_str_eq(level_word(r.level), "c");
}

Test(calc_function, weakest)
{
	const struct subsystem s[] = {{.level = LEVEL_D, .per_hour = 2e-7}, {.level = LEVEL_D, .per_hour = 3e-7},
		{.level = LEVEL_D, .per_hour = 1e-7}, {.level = LEVEL_C, .per_hour = 1e-9}, {.dc = 0},
		{.category = CATEGORY_B}};
	cr_expect_eq(judge(s, 1).weakest, 0);
	cr_expect_eq(judge(s, 3).weakest, 1);
	cr_expect_eq(judge(s, 4).weakest, 3);
	struct series_result r = judge(s, 5);
	cr_expect_eq(r.weakest, 4);
	cr_expect_eq(r.gap, GAP_NOTHING);
	cr_expect_eq(r.level, LEVEL_NONE);
	cr_expect_float_eq(r.per_hour, 0, 0);
	cr_expect_eq(judge(s, 6).weakest, 4); /* the first of two gaps */
	cr_expect_eq(judge(s + 4, 2).weakest, 0);
	const struct subsystem first[] = {{.category = CATEGORY_B}, {.level = LEVEL_A}};
	cr_expect_eq(judge(first, 2).weakest, 0);
}

/* --- the single change ----------------------------------------------------------------------------- */

static struct function_change change(const struct subsystem *s, size_t count, enum level required)
{
	struct subsystem_result scratch[8];
	return function_change_for(bench_tables(), s, count, required, scratch);
}

Test(calc_function, no_change_needed)
{
	const struct subsystem s = {.level = LEVEL_D};
	cr_expect_eq(change(&s, 1, LEVEL_D).kind, CHANGE_NONE);
	cr_expect_eq(change(&s, 1, LEVEL_C).kind, CHANGE_NONE);
}

Test(calc_function, change_of_coverage)
{
	/* Category 2 and 3 with no coverage: 60 % gives c, and 90 % gives d. */
	struct subsystem s = in_category(CATEGORY_2, 100, 0);
	struct function_change c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_COVERAGE);
	cr_expect_float_eq(c.to, 0.6, 0);
	cr_expect_eq(c.reaches, LEVEL_C);
	c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_COVERAGE);
	cr_expect_float_eq(c.to, 0.9, 0);
	s = in_category(CATEGORY_4, 30, 0.9);
	c = change(&s, 1, LEVEL_E);
	cr_expect_eq(c.kind, CHANGE_COVERAGE);
	cr_expect_float_eq(c.to, 0.99, 0);
	/* On the edge already: the next. */
	s = in_category(CATEGORY_2, 100, 0.6);
	c = change(&s, 1, LEVEL_D);
	cr_expect_float_eq(c.to, 0.9, 0);
}

Test(calc_function, change_of_life)
{
	/* Category 1: c from the row of 100 years on here (1.14E-6). */
	struct subsystem s = in_category(CATEGORY_1, 30, 0);
	struct function_change c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 100, 0);
	cr_expect_float_eq(c.b10d, 0, 0);
	/* By B10d: 100 years of 0.1 · 1000 operations, and T10d of 10 years replaced. */
	s.channels[0] = (struct channel){.b10d = 3000, .per_year = 1000};
	s.replaced_years = 1;
	c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.b10d, 10000, 1e-6);
	/* Both are given: both have to be as long. */
	s.channels[0] = (struct channel){.years = 40, .b10d = 30000, .per_year = 1000};
	c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 100, 0);
	cr_expect_float_eq(c.b10d, 30000, 1e-6);
	s.channels[0] = (struct channel){.years = 400, .b10d = 3000, .per_year = 1000};
	cr_expect_float_eq(change(&s, 1, LEVEL_C).b10d, 10000, 1e-6);
	/* Nobody counted the operations: 10 years give c in category 3. */
	s = in_category(CATEGORY_3, 0, 0.9);
	s.channels[0].b10d = 1e5;
	c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 10, 0);
	cr_expect_float_eq(c.b10d, 0, 0);
	/* Too short for any category. */
	s = in_category(CATEGORY_B, 1, 0);
	c = change(&s, 1, LEVEL_A);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 3, 0);
	/* Both channels: 27 years give c by the simplified procedure, 30 give d. */
	s = in_category(CATEGORY_3, 3, 0.6);
	s.channels[1].years = 10;
	c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 30, 0);
	/* The longer one stays: 50 and 3 years are as 33.4 both. Only the shorter is by B10d. */
	s = in_category(CATEGORY_4, 50, 0.99);
	s.channels[1] = (struct channel){.b10d = 29, .per_year = 100};
	s.replaced_years = 0.1;
	c = change(&s, 1, LEVEL_E);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_float_eq(c.to, 3, 0);
	cr_expect_float_eq(c.b10d, 0, 0);
}

/* In category 4 the rows go on: two others leave 4E-9 of 1E-7. */
Test(calc_function, change_of_a_long_life)
{
	struct subsystem s[] = {{.level = LEVEL_E, .per_hour = 9.6e-8}, in_category(CATEGORY_4, 100, 0.99)};
	struct function_change c = change(s, 2, LEVEL_E);
	cr_expect_eq(c.kind, CHANGE_LIFE);
	cr_expect_eq(c.subsystem, 1);
	cr_expect_float_eq(c.to, 1000, 0);
	cr_expect_eq(c.reaches, LEVEL_E);
}

Test(calc_function, change_of_category)
{
	/* B gives no more than b: 1 gives c at 100 years, 2 with 90 % is not tried with less than low. */
	struct subsystem s = {.category = CATEGORY_B, YEARS(100)};
	struct function_change c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.category, CATEGORY_1);
	cr_expect_float_eq(c.dc, 0, 0);
	c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.category, CATEGORY_3);
	cr_expect_float_eq(c.dc, 0.6, 0);
	c = change(&s, 1, LEVEL_E);
	cr_expect_eq(c.category, CATEGORY_4);
	cr_expect_float_eq(c.dc, 0.99, 0);
	/* 27 years: 2 with 60 % gives b only, 3 gives c. */
	s.channels[0].years = 27;
	c = change(&s, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.category, CATEGORY_3);
	/* What is there already is kept. */
	s = in_category(CATEGORY_1, 100, 0);
	s.category = CATEGORY_NONE;
	s.dc = 0.9;
	c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.category, CATEGORY_2);
	cr_expect_float_eq(c.dc, 0.9, 0);
}

Test(calc_function, change_of_replacement)
{
	struct subsystem s = in_category(CATEGORY_3, 0, 0.9);
	s.channels[0] = (struct channel){.b10d = 50000, .per_year = 5000};
	struct function_change c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_REPLACEMENT);
	cr_expect_float_eq(c.to, 10, 1e-9);
	cr_expect_eq(c.reaches, LEVEL_D);
	/* Of what a maker gives the level of, too. */
	s = (struct subsystem){.level = LEVEL_D, .channels = {{.b10d = 50000, .per_year = 5000}}};
	c = change(&s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_REPLACEMENT);
	cr_expect_float_eq(c.to, 10, 1e-9);
}

Test(calc_function, change_of_maker)
{
	const struct subsystem s[] = {{.level = LEVEL_E, .per_hour = 1e-9}, {.level = LEVEL_B, .per_hour = 5e-6},
		{.level = LEVEL_D, .per_hour = 2e-7}};
	/* 3E-6 at the worst of c, and 2.01E-7, are b; 1E-6 at the worst of d are c; 1E-7 at the worst of e are d. */
	struct function_change c = change(s, 3, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.subsystem, 1);
	cr_expect_eq(c.level, LEVEL_D);
	c = change(s, 3, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_E);
	/* No single one reaches e. */
	cr_expect_eq(change(s, 3, LEVEL_E).kind, CHANGE_NONE);
	/* In place of one of which nothing is known. */
	const struct subsystem nothing = {.dc = 0};
	c = change(&nothing, 1, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_C);
	/* Two of them: no single change. */
	const struct subsystem two[] = {{.dc = 0}, {.dc = 0}};
	cr_expect_eq(change(two, 2, LEVEL_A).kind, CHANGE_NONE);
	/* Another one than the weakest: Table 11 has four at d, and the first has the highest rate. */
	const struct subsystem five[] = {
		{.level = LEVEL_D}, {.level = LEVEL_D}, {.level = LEVEL_D}, {.level = LEVEL_D}};
	c = change(five, 4, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_E);
}

/* What is stated already is no change: of two at c with 2.9E-6 one at d (3.9E-6) leaves b, one at e
 * is c (under 3E-6). */
Test(calc_function, another_maker_states_a_better_level)
{
	struct subsystem s[] = {{.level = LEVEL_C, .per_hour = 2.9e-6}, {.level = LEVEL_C, .per_hour = 2.9e-6}};
	struct function_change c = change(s, 2, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_E);
	cr_expect_eq(c.reaches, LEVEL_C);
	/* One whose rate is not known: the other's is still there to add to. */
	s[1].per_hour = 0;
	c = change(s, 2, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.subsystem, 1);
	cr_expect_eq(c.level, LEVEL_E);
	/* A rate that belies its level is not better for leaving it out. */
	s[0] = (struct subsystem){.level = LEVEL_D, .per_hour = 5e-6};
	c = change(s, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_E);
	/* One that wears out too soon is replaced by another of its level. */
	const struct subsystem worn[] = {{.level = LEVEL_D, .channels = {{.b10d = 50000, .per_year = 5000}}},
		{.level = LEVEL_D}};
	c = change(worn, 2, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_REPLACEMENT);
	const struct subsystem wrong = {.level = LEVEL_E, .category = CATEGORY_2};
	c = change(&wrong, 1, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_MAKER);
	cr_expect_eq(c.level, LEVEL_D);
}

/* The weakest comes first, then the others as they stand. */
Test(calc_function, order_of_the_search)
{
	struct subsystem s[] = {in_category(CATEGORY_2, 100, 0.6), in_category(CATEGORY_B, 27, 0),
		in_category(CATEGORY_2, 100, 0.6)};
	struct function_change c = change(s, 3, LEVEL_C);
	cr_expect_eq(c.kind, CHANGE_CATEGORY);
	cr_expect_eq(c.subsystem, 1);
	cr_expect_eq(c.category, CATEGORY_3);
	/* Kinds come first: more coverage in the last one is enough, though the first is weaker by its rate. */
	struct subsystem two[] = {{.level = LEVEL_D, .per_hour = 5e-7}, in_category(CATEGORY_3, 30, 0.6)};
	c = change(two, 2, LEVEL_D);
	cr_expect_eq(c.kind, CHANGE_COVERAGE);
	cr_expect_eq(c.subsystem, 1);
	cr_expect_float_eq(c.to, 0.9, 0);
}
