/* Looking up printed tables, on small ones worked out by hand. */
#include <criterion/criterion.h>

#include "calc/grid.h"

TestSuite(calc_grid);

static const double EDGES[] = {1, 2, 4};
static const char *const WORDS[] = {"slot", "round"};

static struct grid_cell cells[6];

static struct grid one_axis(enum grid_take take)
{
	for (size_t i = 0; i < 3; i++)
		cells[i] = (struct grid_cell){true, 10.0 * (double)(i + 1), NULL, "print", STANDING_PUBLISHED};
	return (struct grid){.axes = {{.name = "x", .take = take, .at = EDGES, .count = 3}}, .axis_count = 1,
		.cells = cells};
}

struct look {
	enum grid_take take;
	double low, high;   /* the key */
	double least, most; /* of the cells; none: -1 */
};

/* Every way to take an edge: below, on, between, on the last, beyond; a hair of one part in 10^10 is equal. */
Test(calc_grid, edges)
{
	static const struct look ROWS[] = {
		{GRID_UP_TO, 0, 0, 10, 10}, {GRID_UP_TO, 1, 1, 10, 10},
		{GRID_UP_TO, 1.0000000001, 1.0000000001, 10, 10},
		{GRID_UP_TO, 1.01, 1.01, 20, 20}, {GRID_UP_TO, 4, 4, 30, 30}, {GRID_UP_TO, 4.01, 4.01, -1, -1},
		{GRID_UP_TO, 0.9, 1.1, 10, 20}, {GRID_UP_TO, 0.9, 3, 10, 30}, {GRID_UP_TO, 3.9, 4.1, -1, -1},
		{GRID_FROM, 0.99, 0.99, -1, -1}, {GRID_FROM, 1, 1, 10, 10},
		{GRID_FROM, 0.9999999999, 0.9999999999, 10, 10},
		{GRID_FROM, 3.9, 3.9, 20, 20}, {GRID_FROM, 4, 4, 30, 30}, {GRID_FROM, 99, 99, 30, 30},
		{GRID_FROM, 0.9, 1.1, -1, -1}, {GRID_FROM, 1.9, 4.1, 10, 30},
		{GRID_BETWEEN, 0.99, 0.99, -1, -1}, {GRID_BETWEEN, 1, 1, 10, 10}, {GRID_BETWEEN, 1.5, 1.5, 10, 20},
		{GRID_BETWEEN, 2, 2, 20, 20}, {GRID_BETWEEN, 4, 4, 30, 30}, {GRID_BETWEEN, 4.01, 4.01, -1, -1},
		{GRID_BETWEEN, 1.9, 2.1, 10, 30}, {GRID_BETWEEN, 0.9, 1.1, -1, -1},
		{GRID_EQUAL, 2, 2, 20, 20}, {GRID_EQUAL, 2.0000000001, 2.0000000001, 20, 20},
		{GRID_EQUAL, 1.9, 1.9, -1, -1},
		{GRID_EQUAL, 2.1, 2.1, -1, -1}, {GRID_EQUAL, 1.9, 2.1, -1, -1}, {GRID_EQUAL, 2, 2.1, -1, -1},
		{GRID_EQUAL, 1.9, 2, -1, -1}, {GRID_EQUAL, 0.5, 0.5, -1, -1}, {GRID_EQUAL, 5, 5, -1, -1},
		{GRID_EQUAL, 2, 4, -1, -1},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct grid g = one_axis(ROWS[i].take);
		struct grid_key key = {NULL, ROWS[i].low, ROWS[i].high};
		struct grid_hit hit;
		bool found = grid_look(&g, &key, &hit);
		cr_expect_eq(found, ROWS[i].least > 0, "row %zu", i);
		if (!found)
			continue;
		cr_expect_eq(hit.low, ROWS[i].least, "row %zu: %g", i, hit.low);
		cr_expect_eq(hit.high, ROWS[i].most, "row %zu: %g", i, hit.high);
	}
}

static struct grid two_axes(void)
{
	for (size_t i = 0; i < 6; i++)
		cells[i] = (struct grid_cell){true, (double)i, NULL, "print", STANDING_PUBLISHED};
	return (struct grid){.axes = {{.name = "x", .take = GRID_UP_TO, .at = EDGES, .count = 3},
				     {.name = "shape", .worded = true, .words = WORDS, .count = 2}},
		.axis_count = 2, .cells = cells};
}

Test(calc_grid, rows_and_columns)
{
	struct grid g = two_axes();
	double value = -1;
	cr_expect(grid_value(&g, grid_number(1), grid_word("slot"), &value) && value == 0);
	cr_expect(grid_value(&g, grid_number(1), grid_word("round"), &value) && value == 1);
	cr_expect(grid_value(&g, grid_number(4), grid_word("round"), &value) && value == 5);
	cr_expect_not(grid_value(&g, grid_number(4), grid_word("star"), &value));
	cr_expect_not(grid_value(&g, grid_number(4), grid_number(1), &value));
	cr_expect_not(grid_value(&g, grid_word("slot"), grid_word("slot"), &value));
	cr_expect_not(grid_value(&g, (struct grid_key){NULL, 1, 2}, grid_word("slot"), &value), "two cells differ");
	cr_expect_eq(value, 5, "untouched");
	cells[4].given = false;
	cr_expect_not(grid_value(&g, grid_number(4), grid_word("slot"), &value), "a cell without a value");
	cr_expect_eq(value, 5);
}

/* Of the cells that may apply, the one from memory is named; the first of them when several are. */
Test(calc_grid, least_trusted_cell)
{
	struct grid g = one_axis(GRID_BETWEEN);
	struct grid_key key = {NULL, 1.5, 2.5};
	struct grid_hit hit;
	cr_assert(grid_look(&g, &key, &hit));
	cr_expect_eq(hit.cell, &cells[0]);
	cr_expect_eq(hit.count, 3);
	cells[1].standing = cells[2].standing = STANDING_MEMORY;
	cr_assert(grid_look(&g, &key, &hit));
	cr_expect_eq(hit.cell, &cells[1]);
	cr_expect_eq(hit.row, 1);
	cr_expect_eq(hit.column, 0);
}

Test(calc_grid, words)
{
	struct grid g = one_axis(GRID_BETWEEN);
	const char *word = "before";
	g.worded = true;
	cells[0].word = "one beam";
	cells[1].word = "one beam";
	cells[2].word = "two beams";
	cr_expect(grid_words(&g, grid_number(1.5), grid_number(0), &word));
	cr_expect_str_eq(word, "one beam");
	word = "before";
	cr_expect_not(grid_words(&g, grid_number(3), grid_number(0), &word), "two words may apply");
	cells[1].word = "two beams";
	cr_expect_not(grid_words(&g, (struct grid_key){NULL, 1, 4}, grid_number(0), &word), "once different, unknown");
	cr_expect_not(grid_words(&g, grid_number(9), grid_number(0), &word));
	cr_expect_str_eq(word, "before");
}
