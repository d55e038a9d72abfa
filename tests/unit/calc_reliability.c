/* Formulas and levels of EN ISO 13849-1. The tables here are small ones made up for the tests, so that every edge and
 * every empty cell is in sight; the printed ones are looked at in tests/published. Worked examples: published
 * guidance with EN ISO 13849-1 unless a comment says memory. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "calc_reliability_bench.h"

TestSuite(calc_reliability);

Test(calc_reliability, words)
{
	static const char *const LEVELS[] = {"none", "a", "b", "c", "d", "e"};
	static const char *const CATEGORIES[] = {"none", "B", "1", "2", "3", "4"};
	static const char *const CLASSES[] = {"none", "low", "medium", "high"};
	for (int i = 0; i < 6; i++) {
		cr_expect_str_eq(level_word((enum level)i), LEVELS[i]);
		cr_expect_eq(level_of_word(LEVELS[i]), (enum level)i);
		cr_expect_str_eq(category_word((enum category)i), CATEGORIES[i]);
		cr_expect_eq(category_of_word(CATEGORIES[i]), (enum category)i);
	}
	for (int i = 0; i < 4; i++) {
		cr_expect_str_eq(life_word((enum life)i), CLASSES[i]);
		cr_expect_str_eq(coverage_word((enum coverage)i), CLASSES[i]);
	}
	cr_expect_eq(level_of_word(NULL), LEVEL_NONE);
	cr_expect_eq(level_of_word("f"), LEVEL_NONE);
	cr_expect_eq(category_of_word("5"), CATEGORY_NONE);
}

/* Days, hours, cycle in s; operations a year. The last: Annex C.4.3, memory. */
Test(calc_reliability, operations)
{
	static const double ROWS[][4] = {
		{220, 24, 3600, 5280}, {230, 16, 900, 14720}, {230, 8, 3600, 1840}, {220, 8, 60, 105600},
		{220, 16, 5, 2534400},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_float_eq(operations_per_year(ROWS[i][0], ROWS[i][1], ROWS[i][2]), ROWS[i][3], 1e-6, "%zu", i);
}

/* B10d, operations a year, years, and what the print rounds away. The last: Annex C.4.3, memory. */
Test(calc_reliability, life_of_b10d)
{
	static const double ROWS[][4] = {
		{250000, 5280, 473.48, 0.005},
		{1e6, 14720, 679.3, 0.05},
		{2e6, 14720, 1358.7, 0.05},
		{1.3e6, 14720, 883.2, 0.05},
		{1e5, 14720, 67.9, 0.05},
		{1e6, 1840, 5434.8, 0.05},
		{2e6, 1840, 10869.6, 0.05},
		{1e5, 105600, 9.47, 0.005},
		{1e5, 30 * 309, 107.87, 0.005},
		{60e6, 2534400, 237, 0.5},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_float_eq(life_of_b10d(ROWS[i][0], ROWS[i][1]), ROWS[i][2], ROWS[i][3], "%zu", i);
	cr_expect_float_eq(life_of_b10d(20e6, 691200), 289.3518519, 1e-6);
	cr_expect_float_eq(replacement_years(250000, 5280), 47.35, 0.005);
	cr_expect_float_eq(replacement_years(60e6, 2534400), 23.7, 0.05);
	cr_expect_float_eq(replacement_years(20e6, 691200), 28.93518519, 1e-7);
}

/* Guard door: PFH = (1 − DC)/(MTTFd·8760); a thermostat limiter without diagnostics. */
Test(calc_reliability, single_channel)
{
	cr_expect_float_eq(single_channel_per_hour(473.4848), 2.411e-7, 5e-11);
	cr_expect_float_eq((1 - 0.99) * single_channel_per_hour(679.3), 1.68e-9, 5e-12);
	cr_expect_float_eq((1 - 0.99) * single_channel_per_hour(1358.7), 8.4e-10, 5e-13);
	cr_expect_float_eq((1 - 0.90) * single_channel_per_hour(883.2), 1.29e-8, 5e-11);
	cr_expect_float_eq((1 - 0.99) * single_channel_per_hour(5434.8), 2.10e-10, 5e-13);
	/* "3.8E-6" of category 1 at 30 years. */
	cr_expect_float_eq(single_channel_per_hour(30), 3.8e-6, 5e-8);
	/* Logic of 1.4E-8 is as 8154 years. */
	cr_expect_float_eq(single_channel_per_hour(8154), 1.4e-8, 1e-12);
}

Test(calc_reliability, parts)
{
	/* Annex D.1, memory. */
	static const double TABLE[] = {1142, 1142, 22831, 22831, 22831, 22831, 22831, 5708, 5708, 5708, 5708, 315.66,
		315.66, 315.66, 315.66, 31.57};
	static const double CHANNEL_B[] = {107.87, 30, 8154, 150}, CONVERTER[] = {20, 20, 20};
	cr_expect_float_eq(life_of_parts(TABLE, 16), 21.27, 0.005);
	cr_expect_float_eq(life_of_parts(CHANNEL_B, 4), 20.25, 0.005);
	cr_expect_float_eq(life_of_parts(CONVERTER, 3), 6.7, 0.05); /* Annex I, memory */
	cr_expect_float_eq(life_of_parts(CONVERTER, 1), 20, 1e-12);
}

Test(calc_reliability, channels)
{
	cr_expect_float_eq(life_of_channels(3, 100, 100), 66.7249191, 1e-6); /* Annex D.2 states 66, memory */
	cr_expect_float_eq(life_of_channels(400, 3, 100), 66.7249191, 1e-6);
	cr_expect_float_eq(life_of_channels(3, 400, 100), 66.7249191, 1e-6);
	cr_expect_float_eq(life_of_channels(30, 20.0 / 3, 100), 20.8080808, 1e-6); /* Annex I, memory */
	cr_expect_float_eq(life_of_channels(50, 50, 100), 50, 1e-12);
	cr_expect_float_eq(life_of_channels(5000, 5000, 2500), 2500, 1e-9);
}

Test(calc_reliability, cap)
{
	const struct reliability_tables *t = bench_tables();
	cr_expect_eq(life_capped(t, CATEGORY_3, 126.75), 100); /* published */
	cr_expect_eq(life_capped(t, CATEGORY_NONE, 100), 100);
	cr_expect_eq(life_capped(t, CATEGORY_3, 99.9), 99.9);
	cr_expect_eq(life_capped(t, CATEGORY_4, 2400), 2400);
	cr_expect_eq(life_capped(t, CATEGORY_4, 2600), 2500);
}

/* Annex I, example B, memory: 67 %. */
Test(calc_reliability, coverage)
{
	static const double DC[] = {0.99, 0.6, 0.3, 0.9}, YEARS[] = {30, 20, 20, 20};
	cr_expect_float_eq(coverage_average(DC, YEARS, 4), 0.67, 0.005);
	cr_expect_float_eq(coverage_average(DC, YEARS, 4), 0.6709091, 1e-6);
	cr_expect_float_eq(coverage_average(DC, YEARS, 1), 0.99, 1e-12);
}

/* Just below, on, just above each edge. */
Test(calc_reliability, classes)
{
	static const double LIVES[] = {3, 10, 30}, COVERAGES[] = {0.6, 0.9, 0.99};
	const struct reliability_tables *t = bench_tables();
	for (int i = 0; i < 3; i++) {
		cr_expect_eq(life_class(t, LIVES[i] * (1 - 1e-6)), (enum life)i);
		cr_expect_eq(life_class(t, LIVES[i]), (enum life)(i + 1));
		cr_expect_eq(life_class(t, LIVES[i] * (1 + 1e-6)), (enum life)(i + 1));
		cr_expect_eq(coverage_class(t, COVERAGES[i] * (1 - 1e-6)), (enum coverage)i);
		cr_expect_eq(coverage_class(t, COVERAGES[i]), (enum coverage)(i + 1));
		cr_expect_eq(coverage_class(t, COVERAGES[i] * (1 + 1e-6)), (enum coverage)(i + 1));
	}
	cr_expect_eq(coverage_class(t, 0), COVERAGE_NONE);
	cr_expect_eq(life_class(t, -1), LIFE_NONE);
}

/* Table 2, published: the lower end belongs to the band. */
Test(calc_reliability, bands)
{
	static const double ENDS[] = {1e-4, 1e-5, 3e-6, 1e-6, 1e-7};
	const struct reliability_tables *t = bench_tables();
	for (int i = 0; i < 5; i++) {
		cr_expect_eq(level_of_rate(t, ENDS[i] * (1 + 1e-6)), (enum level)i);
		cr_expect_eq(level_of_rate(t, ENDS[i]), (enum level)i);
		cr_expect_eq(level_of_rate(t, ENDS[i] * (1 - 1e-6)), (enum level)(i + 1));
		cr_expect_float_eq(level_worst_rate(t, (enum level)(i + 1)), ENDS[i], 2e-6 * ENDS[i]);
		cr_expect_eq(level_of_rate(t, level_worst_rate(t, (enum level)(i + 1))), (enum level)(i + 1));
	}
	cr_expect_eq(level_of_rate(t, 9e-10), LEVEL_E);
	cr_expect_eq(level_of_rate(t, 0), LEVEL_E);
	/* Asked for no level: the first edge. */
	cr_expect_float_eq(level_worst_rate(t, LEVEL_NONE), 1e-8, 1e-13);
}

Test(calc_reliability, risk_graph)
{
	static const char LEVELS[] = "abbccdde";
	for (int i = 0; i < 8; i++)
		cr_expect_str_eq(level_word(level_required(bench_tables(), 1 + i / 4, 1 + i / 2 % 2, 1 + i % 2)),
			((char[]){LEVELS[i], '\0'}));
}

Test(calc_reliability, points)
{
	double points = -1;
	cr_expect(common_cause_points(bench_tables(), "3.1", &points));
	cr_expect_eq(points, 15);
	cr_expect_not(common_cause_points(bench_tables(), "7", &points));
	cr_expect_eq(points, 15);
}

/* Table 11, published. */
Test(calc_reliability, series)
{
	static const struct {
		const char *levels, *result, *lowest;
		size_t times;
	} ROWS[] = {
		{"bbc", "b", "b", 2}, {"bbb", "a", "b", 3}, {"aaa", "a", "a", 3}, {"aaaa", "none", "a", 4},
		{"b", "b", "b", 1}, {"bb", "b", "b", 2}, {"cc", "c", "c", 2}, {"ccc", "b", "c", 3},
		{"ddd", "d", "d", 3}, {"dddd", "c", "d", 4}, {"eee", "e", "e", 3}, {"eeee", "d", "e", 4},
		{"ecd", "c", "c", 1}, {"eceec", "c", "c", 2}, {"dn", "none", "none", 1},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		enum level levels[8], lowest;
		size_t times, count = strlen(ROWS[i].levels);
		for (size_t k = 0; k < count; k++)
			levels[k] = level_of_word((char[]){ROWS[i].levels[k], '\0'});
		cr_expect_str_eq(level_word(level_of_series(bench_tables(), levels, count, &lowest, &times)),
			ROWS[i].result, "%s", ROWS[i].levels);
		cr_expect_str_eq(level_word(lowest), ROWS[i].lowest, "%s", ROWS[i].levels);
		cr_expect_eq(times, ROWS[i].times, "%s", ROWS[i].levels);
	}
}

/* Sums of published guidance, a tenth of what one cause may take. */
Test(calc_reliability, sums)
{
	static const double A[] = {0.10 * (2.10e-10 + 1.05e-10) / 2, 1.11e-9, 1.03e-9, 5.15e-9,
		5.15e-9, 5.15e-9, 5.15e-9};
	static const double B[] = {0.10 * (1.26e-9 * 2) / 2, 1.11e-9, 1.03e-9, 1.25e-9,
		0.10 * (1.93e-8 * 2) / 2, 1.11e-9};
	static const double C[] = {2.50e-10, 1.11e-9, 1.03e-9, 1.25e-9, 0.10 * 7.96e-11};
	cr_expect_float_eq(series_per_hour(A, 7), 2.28e-8, 5e-11);
	cr_expect_float_eq(series_per_hour(B, 6), 6.56e-9, 5e-12);
	cr_expect_float_eq(series_per_hour(C, 5), 3.65e-9, 5e-12);
	/* Life from a rate with 99 % coverage: 1028.8 years in print, rounded on the way there (0.05 %). */
	cr_expect_float_eq((1 - 0.99) * single_channel_per_hour(1028.8), 1.11e-9, 0.0006e-9);
	cr_expect_float_eq((1 - 0.99) * single_channel_per_hour(1108.6), 1.03e-9, 0.0006e-9);
}

struct cell {
	enum category category;
	double years, dc, per_hour, row; /* no rate: 0 */
	const char *column, *annex_k, *simplified, *level;
	bool lives;                      /* why not */
};

/* Rows and columns of the tables of the bench, whose figures are those of Table K.1 and Table 6, memory. */
Test(calc_reliability, cells)
{
	static const struct cell ROWS[] = {
		{CATEGORY_B, 2.9, 0, 0, 0, NULL, NULL, NULL, NULL, true},
		{CATEGORY_B, 3, 0, 3.80e-5, 3, "B", "a", "a", "a", true},
		{CATEGORY_B, 9.99, 0, 3.80e-5, 3, "B", "a", "a", "a", true},
		{CATEGORY_B, 10, 0, 1.14e-5, 10, "B", "a", "b", "a", true},
		{CATEGORY_B, 27, 0, 4.23e-6, 27, "B", "b", "b", "b", true},
		{CATEGORY_B, 100, 0, 4.23e-6, 27, "B", "b", "b", "b", true},
		{CATEGORY_1, 29.9, 0, 0, 0, NULL, NULL, NULL, NULL, true},
		{CATEGORY_1, 30, 0, 3.80e-6, 30, "1", "b", "c", "b", true},
		{CATEGORY_1, 30 * (1 - 1e-10), 0, 3.80e-6, 30, "1", "b", "c", "b", true},
		{CATEGORY_1, 100, 0.5, 1.14e-6, 100, "1", "c", "c", "c", true},
		{CATEGORY_2, 100, 0.59, 0, 0, NULL, NULL, NULL, NULL, false},
		{CATEGORY_2, 100, 0.6, 5.28e-7, 100, "2-low", "d", "c", "c", true},
		{CATEGORY_2, 100, 0.9, 2.29e-7, 100, "2-medium", "d", "d", "d", true},
		{CATEGORY_2, 3, 1, 1.99e-5, 3, "2-medium", "a", "b", "a", true},
		{CATEGORY_3, 100, 0, 0, 0, NULL, NULL, NULL, NULL, false},
		{CATEGORY_3, 99.9, 0.6, 6.94e-7, 30, "3-low", "d", "d", "d", true},
		{CATEGORY_3, 100, 0.99, 4.29e-8, 100, "3-medium", "e", "d", "d", true},
		{CATEGORY_4, 100, 0.98, 0, 0, NULL, NULL, NULL, NULL, false},
		{CATEGORY_4, 29.9, 0.99, 0, 0, NULL, NULL, NULL, NULL, true},
		{CATEGORY_4, 30, 0.99, 9.54e-8, 30, "4-high", "e", "e", "e", true},
		{CATEGORY_4, 109, 0.99, 2.47e-8, 100, "4-high", "e", "e", "e", true},
		{CATEGORY_4, 110, 0.99, 2.23e-8, 110, "4-high", "e", "e", "e", true},
		{CATEGORY_4, 2500, 1, 9.06e-10, 2500, "4-high", "e", "e", "e", true},
		{CATEGORY_3, 2500, 0.99, 4.29e-8, 100, "3-medium", "e", "d", "d", true},
		{CATEGORY_NONE, 30, 0.99, 0, 0, NULL, NULL, NULL, NULL, false},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const struct cell *c = &ROWS[i];
		struct level_cells got = {.per_hour = -1};
		bool lives = !c->lives;
		bool found = level_look(bench_tables(), c->category, c->years, c->dc, &got, &lives);
		cr_expect_eq(found, c->column != NULL, "%zu", i);
		cr_expect_eq(lives, c->lives, "%zu", i);
		cr_expect_float_eq(got.per_hour, found ? c->per_hour : -1, 0, "%zu: %g", i, got.per_hour);
		if (!found || !c->column)
			continue;
		cr_expect_float_eq(got.row_years, c->row, 0, "%zu", i);
		cr_expect_str_eq(got.column, c->column, "%zu", i);
		cr_expect_str_eq(level_word(got.annex_k), c->annex_k, "%zu", i);
		cr_expect_str_eq(level_word(got.simplified), c->simplified, "%zu", i);
		cr_expect_str_eq(level_word(got.level), c->level, "%zu", i);
		cr_expect_eq(got.rate_cell->value, got.per_hour, "%zu", i);
		cr_expect_str_eq(got.level_cell->word, c->simplified, "%zu", i);
	}
}

/* A table of an overlay may lack a column, or a class. */
Test(calc_reliability, tables_that_lack_something)
{
	struct reliability_tables t = *bench_tables();
	struct grid k = *t.annex_k, simple = *t.simplified;
	struct level_cells got;
	bool lives = false;
	static const char *const OTHER[] = {"B", "1", "2-low", "2-medium", "3-low", "3-medium", "5"};
	k.axes[1].words = OTHER;
	t.annex_k = &k;
	cr_expect_not(level_look(&t, CATEGORY_4, 30, 0.99, &got, &lives));
	cr_expect(lives);
	t.annex_k = bench_tables()->annex_k;
	simple.axes[1].words = OTHER;
	t.simplified = &simple;
	cr_expect_not(level_look(&t, CATEGORY_4, 30, 0.99, &got, &lives));
}

/* Four digits, downwards: 2 000 000 / 100 001 a year are 19.9998 years. What is exact stays. */
/* Rounding below a digit may hide one part in 10^12, and no more. */
Test(calc_reliability, years_down_beside_a_digit)
{
	cr_expect_float_eq(years_down(4.545 * (1 - 1e-10)), 4.544, 1e-9);
	cr_expect_float_eq(years_down(4.545 * (1 - 1e-13)), 4.545, 1e-9);
}

/* Where a table knows two classes of life, the second is the least that counts. */
Test(calc_reliability, life_least_of_two_classes)
{
	struct reliability_tables tables = *bench_tables();
	struct grid lives = *tables.lives;
	cr_assert_gt(lives.axes[0].count, 2);
	lives.axes[0].count = 2;
	tables.lives = &lives;
	cr_expect_float_eq(life_least(&tables), 3, 0);
}

Test(calc_reliability, years_down)
{
	static const double ROWS[][2] = {{19.9998, 19.99}, {20, 20}, {19.8, 19.8}, {1234.9, 1234}, {12345, 12340},
		{0.0123456, 0.01234}, {9.9999, 9.999}, {100, 100}, {0.1, 0.1}};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_float_eq(years_down(ROWS[i][0]), ROWS[i][1], 1e-9 * ROWS[i][1], "%zu: %.12g", i,
			years_down(ROWS[i][0]));
}

/* Table 5: 60 %, 99 %; Table 4: 3 years. */
Test(calc_reliability, least)
{
	cr_expect_float_eq(coverage_least(bench_tables(), CATEGORY_2), 0.6, 0);
	cr_expect_float_eq(coverage_least(bench_tables(), CATEGORY_3), 0.6, 0);
	cr_expect_float_eq(coverage_least(bench_tables(), CATEGORY_4), 0.99, 0);
	cr_expect_float_eq(life_least(bench_tables()), 3, 0);
	/* A table that has no class but none: its last edge. */
	struct grid short_lives = *bench_tables()->lives;
	struct reliability_tables tables = *bench_tables();
	short_lives.axes[0].count = 1;
	tables.lives = &short_lives;
	cr_expect_float_eq(life_least(&tables), 0, 0);
}
