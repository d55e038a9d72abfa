#include "calc/reliability.h"

#include <math.h>
#include <string.h>

#include "calc/grid.h"

#define HOURS_A_YEAR 8760.0
#define SECONDS_AN_HOUR 3600.0
#define TENTH 0.1 /* of the parts have failed dangerously by B10d */
#define UNDER (1 - 1e-6)

/* Of a table with one axis the second is not looked at. */
static const struct grid_key NO_KEY;

static const char *const LEVELS[] = {"none", "a", "b", "c", "d", "e"};
static const char *const CATEGORIES[] = {"none", "B", "1", "2", "3", "4"};
static const char *const CLASSES[] = {"none", "low", "medium", "high"};

enum { LEVEL_COUNT = 6, CATEGORY_COUNT = 6, CLASS_COUNT = 4 };

/* The first is what is meant by any other word. */
static int word_number(const char *const *words, int count, const char *word)
{
	for (int i = count - 1; word && i > 0; i--)
		if (strcmp(words[i], word) == 0)
			return i;
	return 0;
}

const char *level_word(enum level l)
{
	return LEVELS[l];
}

enum level level_of_word(const char *word)
{
	return (enum level)word_number(LEVELS, LEVEL_COUNT, word);
}

enum level level_worse(enum level a, enum level b)
{
	return a < b ? a : b;
}

const char *category_word(enum category c)
{
	return CATEGORIES[c];
}

enum category category_of_word(const char *word)
{
	return (enum category)word_number(CATEGORIES, CATEGORY_COUNT, word);
}

const char *life_word(enum life l)
{
	return CLASSES[l];
}

const char *coverage_word(enum coverage c)
{
	return CLASSES[c];
}

double operations_per_year(double days, double hours, double cycle_s)
{
	return days * hours * SECONDS_AN_HOUR / cycle_s;
}

double life_of_b10d(double b10d, double per_year)
{
	return b10d / (TENTH * per_year);
}

double replacement_years(double b10d, double per_year)
{
	return b10d / per_year;
}

double years_down(double years)
{
	double digit = pow(10, floor(log10(years)) - 3);
	return floor(years / digit * (1 + 1e-12)) * digit;
}

double life_of_parts(const double *years, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += 1 / years[i];
	return 1 / sum;
}

double life_of_channels(double a, double b, double cap)
{
	a = fmin(a, cap);
	b = fmin(b, cap);
	return 2.0 / 3 * (a + b - 1 / (1 / a + 1 / b));
}

double life_capped(const struct reliability_tables *t, enum category c, double years)
{
	return fmin(years, c == CATEGORY_4 ? t->cap_4_years : t->cap_years);
}

double coverage_average(const double *dc, const double *years, size_t count)
{
	double covered = 0, all = 0;
	for (size_t i = 0; i < count; i++) {
		covered += dc[i] / years[i];
		all += 1 / years[i];
	}
	return covered / all;
}

double single_channel_per_hour(double years)
{
	return 1 / (HOURS_A_YEAR * years);
}

static const char *word_at(const struct grid *g, struct grid_key row, struct grid_key column)
{
	const char *word = NULL;
	grid_words(g, row, column, &word);
	return word;
}

enum life life_class(const struct reliability_tables *t, double years)
{
	return (enum life)word_number(CLASSES, CLASS_COUNT, word_at(t->lives, grid_number(years), NO_KEY));
}

enum coverage coverage_class(const struct reliability_tables *t, double dc)
{
	return (enum coverage)word_number(
		CLASSES, CLASS_COUNT, word_at(t->coverages, grid_number(dc), NO_KEY));
}

double coverage_least(const struct reliability_tables *t, enum category c)
{
	const struct grid_axis *edges = &t->coverages->axes[0];
	enum coverage least = c == CATEGORY_4 ? COVERAGE_HIGH : COVERAGE_LOW;
	size_t i = 0;
	while (i + 1 < edges->count && coverage_class(t, edges->at[i]) < least)
		i++;
	return edges->at[i];
}

double life_least(const struct reliability_tables *t)
{
	const struct grid_axis *edges = &t->lives->axes[0];
	size_t i = 0;
	while (i + 1 < edges->count && life_class(t, edges->at[i]) == LIFE_NONE)
		i++;
	return edges->at[i];
}

enum level level_of_rate(const struct reliability_tables *t, double per_hour)
{
	return level_of_word(word_at(t->levels, grid_number(per_hour), NO_KEY));
}

double level_worst_rate(const struct reliability_tables *t, enum level l)
{
	const struct grid *g = t->levels;
	size_t i = g->axes[0].count - 1;
	while (i > 1 && level_of_word(g->cells[i - 1].word) != l)
		i--;
	return g->axes[0].at[i] * UNDER;
}

enum level level_required(const struct reliability_tables *t, int severity, int frequency, int avoidance)
{
	static const char *const ROWS[2][2] = {{"S1F1", "S1F2"}, {"S2F1", "S2F2"}};
	static const char *const COLUMNS[2] = {"P1", "P2"};
	return level_of_word(word_at(t->risk_graph, grid_word(ROWS[severity - 1][frequency - 1]),
		grid_word(COLUMNS[avoidance - 1])));
}

bool common_cause_points(const struct reliability_tables *t, const char *measure, double *points)
{
	return grid_value(t->points, grid_word(measure), NO_KEY, points);
}

/* --- Annex K and the simplified procedure --------------------------------------------------------- */

/* The last that a category and coverage reach counts. */
static const struct {
	enum category category;
	enum coverage least;
	const char *name;
} COLUMNS[] = {
	{CATEGORY_B, COVERAGE_NONE, "B"},
	{CATEGORY_1, COVERAGE_NONE, "1"},
	{CATEGORY_2, COVERAGE_LOW, "2-low"},
	{CATEGORY_2, COVERAGE_MEDIUM, "2-medium"},
	{CATEGORY_3, COVERAGE_LOW, "3-low"},
	{CATEGORY_3, COVERAGE_MEDIUM, "3-medium"},
	{CATEGORY_4, COVERAGE_HIGH, "4-high"},
};

static const char *column_of(enum category c, enum coverage coverage)
{
	const char *name = NULL;
	for (size_t i = 0; i < sizeof COLUMNS / sizeof *COLUMNS; i++)
		if (COLUMNS[i].category == c && COLUMNS[i].least <= coverage)
			name = COLUMNS[i].name;
	return name;
}

/* The last cell that has a value in the rows before `end`. */
static const struct grid_cell *last_given(const struct grid *g, size_t end, size_t column, size_t *row)
{
	size_t columns = g->axis_count > 1 ? g->axes[1].count : 1;
	const struct grid_cell *found = NULL;
	for (size_t i = 0; i < end && column < columns; i++)
		if (g->cells[i * columns + column].given) {
			found = &g->cells[i * columns + column];
			*row = i;
		}
	return found;
}

/* Rows that are not above the value; numbers that agree to one part in 10^9 are equal. */
static size_t rows_to(const struct grid *g, double value)
{
	size_t n = 0;
	while (n < g->axes[0].count && g->axes[0].at[n] <= value * (1 + 1e-9))
		n++;
	return n;
}

/* The place of a word among an axis's, or their number. */
static size_t word_place(const struct grid_axis *axis, const char *word)
{
	size_t i = 0;
	while (i < axis->count && strcmp(axis->words[i], word) != 0)
		i++;
	return i;
}

static const struct grid_cell *rate_cell(const struct reliability_tables *t, enum category c, double years,
	size_t column, double *row_years)
{
	size_t row;
	const struct grid *g = t->annex_k_4;
	const struct grid_cell *cell = c == CATEGORY_4 ? last_given(g, rows_to(g, years), 0, &row) : NULL;
	if (!cell) {
		g = t->annex_k;
		cell = last_given(g, rows_to(g, years), column, &row);
	}
	if (cell)
		*row_years = g->axes[0].at[row];
	return cell;
}

bool level_look(const struct reliability_tables *t, enum category c, double years, double dc,
	struct level_cells *out, bool *lives)
{
	struct level_cells cells = {.column = column_of(c, coverage_class(t, dc))};
	*lives = cells.column != NULL;
	if (!cells.column)
		return false;
	size_t row, class = word_place(&t->simplified->axes[0], life_word(life_class(t, years)));
	cells.rate_cell = rate_cell(t, c, years, word_place(&t->annex_k->axes[1], cells.column), &cells.row_years);
	/* No class is as a row beyond the last. */
	cells.level_cell = class < t->simplified->axes[0].count
				   ? last_given(t->simplified, class + 1,
					     word_place(&t->simplified->axes[1], cells.column), &row)
				   : NULL;
	if (!cells.rate_cell || !cells.level_cell)
		return false;
	cells.per_hour = cells.rate_cell->value;
	cells.annex_k = level_of_rate(t, cells.per_hour);
	cells.simplified = level_of_word(cells.level_cell->word);
	cells.level = level_worse(cells.annex_k, cells.simplified);
	*out = cells;
	return true;
}

/* --- in series ------------------------------------------------------------------------------------- */

enum level level_of_series(const struct reliability_tables *t, const enum level *levels, size_t count,
	enum level *lowest, size_t *times)
{
	*lowest = LEVEL_E;
	*times = 0;
	for (size_t i = 0; i < count; i++) {
		if (levels[i] < *lowest) {
			*lowest = levels[i];
			*times = 0;
		}
		*times += levels[i] == *lowest;
	}
	return level_of_word(word_at(t->series, grid_word(level_word(*lowest)), grid_number((double)*times)));
}

double series_per_hour(const double *per_hour, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += per_hour[i];
	return sum;
}
