/* Printed tables of the library: that they fit their axes, and that calls fit them. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"

static jmp_buf escape;
static struct arena a;
static struct findings found;
static struct library library;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&found, &a);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(load_grid, .init = setup, .fini = teardown);

static void load(const char *text)
{
	findings_init(&found, &a);
	memset(&library, 0, sizeof library);
	library_add(&a, &library, text, strlen(text), "a.yaml", false, &found);
	library_finish(&a, &library, &found);
}

/* One line a finding: code and path. */
static void expect(const char *text, const char *expected)
{
	struct buf b;
	load(text);
	buf_init(&b, &a);
	for (size_t i = 0; i < found.count; i++)
		buf_format(&b, "%s %s\n", finding_name(found.items[i]->code), found.items[i]->subject);
	cr_expect_str_eq(b.bytes, expected, "%s-- gave --\n%s-- expected --\n%s", text, b.bytes, expected);
}

#define HEAD \
	"library: 1\ntables:\n  - id: t\n    standing: published\n    source: Table 9\n    edition: '2020'\n" \
	"    is: length\n"
#define AXES \
	"    axes:\n      - {name: opening, is: length, take: up-to, at: [4 mm, 6 mm, 100 mm]}\n" \
	"      - {name: shape, is: word, at: [slot, round]}\n"
#define CELLS "    cells:\n      - [2 mm, 3 mm]\n      - [10 mm, '-']\n      - [0.9 m, 12 mm]\n"
#define ONE(axis, cells) HEAD "    axes: [" axis "]\n    cells: " cells "\n"

Test(load_grid, a_table_becomes_cells)
{
	expect(HEAD AXES CELLS
		"    marks:\n"
		"      - {at: [4 mm, round], source: heard, standing: memory}\n"
		"      - {at: [0.1 m, '*'], standing: practice}\n", "");
	const struct lib_grid *t = library_grid(&library, "t");
	cr_assert_not_null(t);
	cr_expect_str_eq(t->edition, "2020");
	const struct grid *g = &t->grid;
	cr_assert_eq(g->axis_count, 2);
	cr_expect_str_eq(g->axes[0].name, "opening");
	cr_expect_eq(g->axes[0].take, GRID_UP_TO);
	cr_expect_eq(g->axes[1].take, GRID_EQUAL);
	cr_expect(g->axes[1].worded && !g->axes[0].worded && !g->worded);
	cr_expect_float_eq(g->axes[0].at[2], 0.1, 1e-12);
	cr_expect_str_eq(g->axes[1].words[1], "round");
	cr_expect_float_eq(g->cells[4].value, 0.9, 1e-12);
	cr_expect(g->cells[2].given && !g->cells[3].given);
	cr_expect_eq(g->cells[0].standing, STANDING_PUBLISHED);
	cr_expect_str_eq(g->cells[0].source, "Table 9");
	cr_expect_eq(g->cells[1].standing, STANDING_MEMORY);
	cr_expect_str_eq(g->cells[1].source, "heard");
	cr_expect_eq(g->cells[4].standing, STANDING_PRACTICE);
	cr_expect_eq(g->cells[5].standing, STANDING_PRACTICE);
	cr_expect_str_eq(g->cells[5].source, "Table 9");
	expect("library: 1\ntables: [{id: t, standing: practice, is: word, axes: [{name: n, is: number, take: equal, "
	       "at: ['1', '2']}], cells: [one beam, two beams]}]\n", "");
	cr_expect_str_eq(library.grids[0].grid.cells[1].word, "two beams");
}

Test(load_grid, axes)
{
	static const char *const TAKES[] = {"up-to", "from", "between", "equal"};
	for (size_t i = 0; i < 4; i++) {
		expect(arena_format(&a, ONE("{name: x, is: force, take: %s, at: [1 N, 2 N]}", "[1 m, 2 m]"), TAKES[i]),
			"");
		cr_expect_eq(library.grids[0].grid.axes[0].take, (enum grid_take)i);
	}
	expect(ONE("{name: x, is: length, take: up-to, at: [4 mm, 4 mm]}", "[1 m, 2 m]"),
		"library-edges tables[t].axes[1].at[2]\n");
	expect(ONE("{name: x, is: length, take: up-to, at: [4 mm, 0.4 cm]}", "[1 m, 2 m]"),
		"library-edges tables[t].axes[1].at[2]\n");
	expect(ONE("{name: x, is: length, take: up-to, at: [4 mm, 3 mm]}", "[1 m, 2 m]"),
		"library-edges tables[t].axes[1].at[2]\n");
	expect(ONE("{name: x, is: length, take: up-to, at: [-4 mm, 0 mm]}", "[1 m, 2 m]"), "");
	expect(ONE("{name: x, is: word, at: [a, b, a]}", "[1 m, 2 m, 3 m]"),
		"library-duplicate tables[t].axes[1].at[3]\n");
	expect(ONE("{name: x, is: length, take: up-to, at: [4 mm, 5 N]}", "[1 m, 2 m]"),
		"value-dimension tables[t].axes[1].at[2]\n");
	expect(ONE("{name: x, is: length, at: [4 mm, 5 mm]}", "[1 m, 2 m]"), "value-missing tables[t].axes[1]\n");
	expect(ONE("{name: x, is: length, take: nearest, at: [4 mm]}", "[1 m]"),
		"value-choice tables[t].axes[1].take\n");
	expect(ONE("{name: x, is: word, take: from, at: [a]}", "[1 m]"), "value-choice tables[t].axes[1].take\n");
	expect(ONE("{name: x, is: width, take: from, at: [1 m]}", "[1 m]"), "value-choice tables[t].axes[1].is\n");
	expect(ONE("{is: word, at: [a]}", "[1 m]"), "value-missing tables[t].axes[1]\n");
	expect(ONE("{name: x, is: word, at: []}", "[]"), "value-shape tables[t].axes[1].at\n");
	expect(ONE("{name: x, is: word, at: a}", "[1 m]"), "value-shape tables[t].axes[1].at\n");
	expect(ONE("{name: x, is: word, at: [[a]]}", "[1 m]"), "value-shape tables[t].axes[1].at[1]\n");
	expect(ONE("{name: x, is: word, at: [a], unit: mm}", "[1 m]"), "library-unknown-key tables[t].axes[1].unit\n");
	expect(ONE("slot", "[1 m]"), "value-shape tables[t].axes[1]\n");
	expect(HEAD "    axes: {name: x}\n    cells: [1 m]\n", "value-shape tables[t].axes\n");
	expect(HEAD "    axes: [{}, {}, {}]\n    cells: [1 m]\n", "value-shape tables[t].axes\n");
	expect(HEAD "    cells: [1 m]\n", "value-missing tables[t]\n");
	expect(HEAD AXES, "value-missing tables[t]\n");
}

Test(load_grid, no_page_holds_so_many_edges)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, HEAD "    cells: []\n    axes: [{name: x, is: number, take: from, at: [");
	for (int i = 0; i < 401; i++)
		buf_format(&b, "%s'%d'", i ? ", " : "", i);
	buf_put(&b, "]}]\n");
	load(b.bytes);
	cr_expect_gt(found.count, 0);
	cr_expect_null(library.grids[0].grid.cells);
	buf_init(&b, &a);
	buf_put(&b, HEAD AXES CELLS "    marks: [");
	for (int i = 0; i < 401; i++)
		buf_format(&b, "%s{at: ['*', '*'], standing: memory}", i ? ", " : "");
	buf_put(&b, "]\n");
	expect(b.bytes, "value-shape tables[t].marks\n");
}

Test(load_grid, cells_fit_their_axes)
{
	expect(HEAD AXES "    cells:\n      - [2 mm, 3 mm]\n      - [10 mm, 4 mm]\n", "value-shape tables[t].cells\n");
	expect(HEAD AXES "    cells:\n      - [2 mm, 3 mm]\n      - [10 mm]\n      - [2 mm, 3 mm]\n",
		"value-shape tables[t].cells[2]\n");
	expect(HEAD AXES "    cells:\n      - [2 mm, 3 mm]\n      - 10 mm\n      - [2 mm, 3 mm]\n",
		"value-shape tables[t].cells[2]\n");
	expect(HEAD AXES "    cells: {a: b}\n", "value-shape tables[t].cells\n");
	expect(ONE("{name: x, is: word, at: [a, b]}", "[1 m, 2 kg]"), "value-dimension tables[t].cells[2]\n");
	expect(ONE("{name: x, is: word, at: [a, b]}", "[1 m]"), "value-shape tables[t].cells\n");
	expect(ONE("{name: x, is: word, at: [a]}", "[[1 m]]"), "value-shape tables[t].cells[1]\n");
	expect("library: 1\ntables: [{id: t, standing: practice, axes: [], cells: []}]\n",
		"value-missing tables[t]\n");
	expect("library: 1\ntables: [{id: t, standing: practice, is: lenght, axes: [{name: x, is: word, at: [a]}], "
	       "cells: [1 m]}]\n", "value-choice tables[t].is\n");
}

Test(load_grid, marks_name_cells)
{
	expect(HEAD AXES CELLS "    marks: [{at: [5 mm, slot], standing: memory}]\n",
		"library-reference tables[t].marks[1].at[1]\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slut], standing: memory}]\n",
		"library-reference tables[t].marks[1].at[2]\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm], standing: memory}]\n", "value-shape tables[t].marks[1].at\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 kg, slot], standing: memory}]\n",
		"value-dimension tables[t].marks[1].at[1]\n");
	expect(HEAD AXES CELLS "    marks: [{at: [[4 mm], slot], standing: memory}]\n",
		"value-shape tables[t].marks[1].at[1]\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slot]}]\n", "value-missing tables[t].marks[1]\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slot], standing: sure}]\n",
		"value-choice tables[t].marks[1].standing\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slot], standing: firm}]\n",
		"library-standing-shipped tables[t].marks[1].standing\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slot], standing: memory, sauce: x}]\n",
		"library-unknown-key tables[t].marks[1].sauce\n");
	expect(HEAD AXES CELLS "    marks: [{at: [4 mm, slot], standing: memory, source: [x]}]\n",
		"value-shape tables[t].marks[1].source\n");
	expect(HEAD AXES CELLS "    marks: [memory]\n", "value-shape tables[t].marks[1]\n");
	expect(HEAD AXES CELLS "    marks: memory\n", "value-shape tables[t].marks\n");
}

#define ASKS "definitions: [{id: d, standing: practice, rule: \"%s\"}]\n"

Test(load_grid, calls_fit_the_table)
{
	static const char *const CASES[][2] = {
		{"table('t', 5 mm, 'slot')", ""},
		{"table('u', 5 mm, 'slot')", "library-reference definitions[d].rule\n"},
		{"table(gate.movement, 5 mm)", "library-reference definitions[d].rule\n"},
		{"table('t', 5 mm)", "library-arguments definitions[d].rule\n"},
		{"table('t', 5 mm, 'slot', 'x')", "rule-name definitions[d].rule\n"},
		{"table('t')", "rule-name definitions[d].rule\n"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++)
		expect(arena_format(&a, HEAD AXES CELLS ASKS, CASES[i][0]), CASES[i][1]);
	/* One fault is told once: nothing is said about calls of a table that could not be read. */
	expect(arena_format(&a, HEAD "    axes: []\n    cells: [1 m]\n" ASKS, "table('t', 5 mm)"),
		"value-shape tables[t].axes\n");
}
