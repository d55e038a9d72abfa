#include "calc_reliability_bench.h"

#define NO {.given = false}
#define N(v) {.given = true, .value = (v)}
#define W(w) {.given = true, .word = (w)}
#define COUNT(list) (sizeof(list) / sizeof *(list))
#define NUMBERS(list) {.take = GRID_FROM, .at = (list), .count = COUNT(list)}
#define WORDS(list) {.take = GRID_EQUAL, .worded = true, .words = (list), .count = COUNT(list)}

static const char *const SEVERITIES[] = {"S1F1", "S1F2", "S2F1", "S2F2"};
static const char *const AVOIDANCES[] = {"P1", "P2"};
static struct grid_cell graph_cells[] = {W("a"), W("b"), W("b"), W("c"), W("c"), W("d"), W("d"), W("e")};
static const struct grid GRAPH = {
	.worded = true, .axes = {WORDS(SEVERITIES), WORDS(AVOIDANCES)}, .axis_count = 2, .cells = graph_cells};

static const double RATES[] = {0, 1e-8, 1e-7, 1e-6, 3e-6, 1e-5, 1e-4};
static struct grid_cell rate_cells[] = {W("e"), W("e"), W("d"), W("c"), W("b"), W("a"), NO};
static const struct grid LEVELS = {.worded = true, .axes = {NUMBERS(RATES)}, .axis_count = 1, .cells = rate_cells};

static struct grid_cell class_cells[] = {W("none"), W("low"), W("medium"), W("high")};
static const double YEARS[] = {0, 3, 10, 30};
static const struct grid LIVES = {.worded = true, .axes = {NUMBERS(YEARS)}, .axis_count = 1, .cells = class_cells};
static const double DCS[] = {0, 0.6, 0.9, 0.99};
static const struct grid COVERAGES = {.worded = true, .axes = {NUMBERS(DCS)}, .axis_count = 1, .cells = class_cells};

static const char *const COLUMNS[] = {"B", "1", "2-low", "2-medium", "3-low", "3-medium", "4-high"};
static const char *const CLASSES[] = {"low", "medium", "high"};
static struct grid_cell simple_cells[] = {
	W("a"), NO, W("a"), W("b"), W("b"), W("c"), NO,
	W("b"), NO, W("b"), W("c"), W("c"), W("d"), NO,
	NO, W("c"), W("c"), W("d"), W("d"), W("d"), W("e"),
};
static const struct grid SIMPLIFIED = {
	.worded = true, .axes = {WORDS(CLASSES), WORDS(COLUMNS)}, .axis_count = 2, .cells = simple_cells};

static const double ROWS[] = {3, 10, 27, 30, 100};
static struct grid_cell k_cells[] = {
	N(3.80e-5), NO, N(2.58e-5), N(1.99e-5), N(1.26e-5), N(6.09e-6), NO,
	N(1.14e-5), NO, N(7.18e-6), N(5.14e-6), N(3.21e-6), N(1.36e-6), NO,
	N(4.23e-6), NO, N(2.32e-6), N(1.39e-6), N(8.04e-7), N(3.10e-7), NO,
	NO, N(3.80e-6), N(2.06e-6), N(1.21e-6), N(6.94e-7), N(2.65e-7), N(9.54e-8),
	NO, N(1.14e-6), N(5.28e-7), N(2.29e-7), N(1.01e-7), N(4.29e-8), N(2.47e-8),
};
static const struct grid ANNEX_K = {.axes = {NUMBERS(ROWS), WORDS(COLUMNS)}, .axis_count = 2, .cells = k_cells};

static const double ROWS_4[] = {110, 1000, 2500};
static struct grid_cell k_4_cells[] = {N(2.23e-8), N(2.28e-9), N(9.06e-10)};
static const struct grid ANNEX_K_4 = {.axes = {NUMBERS(ROWS_4)}, .axis_count = 1, .cells = k_4_cells};

static const char *const LOWEST[] = {"a", "b", "c", "d", "e"};
static const double TIMES[] = {1, 3, 4};
static struct grid_cell series_cells[] = {W("a"), W("a"), NO, W("b"), W("a"), W("a"), W("c"),
	W("b"), W("b"), W("d"), W("d"), W("c"), W("e"), W("e"), W("d")};
static const struct grid SERIES = {
	.worded = true, .axes = {WORDS(LOWEST), NUMBERS(TIMES)}, .axis_count = 2, .cells = series_cells};

static const char *const MEASURES[] = {"1", "3.1"};
static struct grid_cell point_cells[] = {N(15), N(15)};
static const struct grid POINTS = {.axes = {WORDS(MEASURES)}, .axis_count = 1, .cells = point_cells};

const struct reliability_tables *bench_tables(void)
{
	static const struct reliability_tables TABLES = {
		.risk_graph = &GRAPH,
		.levels = &LEVELS,
		.lives = &LIVES,
		.coverages = &COVERAGES,
		.simplified = &SIMPLIFIED,
		.annex_k = &ANNEX_K,
		.annex_k_4 = &ANNEX_K_4,
		.series = &SERIES,
		.points = &POINTS,
		.mission_years = 20,
		.cap_years = 100,
		.cap_4_years = 2500,
		.common_cause = 65,
		.tests = 100,
		.tests_few = 25,
		.tests_few_factor = 1.1,
		.test_channel_share = 0.5,
	};
	return &TABLES;
}
