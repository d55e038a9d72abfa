/* Printed tables in the conditions of the library: values, doubt, and how far they can be trusted. */
#include <criterion/criterion.h>

#include "assess_bench.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_table, .init = setup, .fini = teardown);

#define TABLES \
	"tables:\n" \
	"  - id: gaps\n    standing: published\n    source: Table 9\n    is: length\n" \
	"    axes:\n      - {name: thrust, is: force, take: up-to, at: [500 N, 900 N, 2000 N]}\n" \
	"      - {name: battery, is: word, at: [slow, fast]}\n" \
	"    cells:\n      - [8 mm, 5 mm]\n      - [7 mm, 4 mm]\n      - [5 mm, '-']\n" \
	"    marks: [{at: [900 N, slow], source: Table 9 as heard, standing: memory}]\n" \
	"  - id: kinds\n    standing: practice\n    is: word\n" \
	"    axes: [{name: thrust, is: force, take: up-to, at: [500 N, 2000 N]}]\n    cells: [fast, slow]\n" \
	"limits:\n"

/* The gap on record is 6 mm; `limit` takes the place of the 8 mm that it is held against. */
static void gives(const char *limit, const char *found)
{
	bench_library(&b, "limits:\n", TABLES);
	bench_library(&b, "{id: tight, default: yes, value: 8 mm}",
		arena_format(&b.arena, "{id: tight, default: yes, rows: [%s]}", limit));
	bench_expect(&b, found);
	bench_again(&b);
}

#define OPEN "hazard-open slot@leaf-1\n"

Test(assess_table, the_cell_counts)
{
	gives("{value: \"table('gaps', 500 N, 'slow')\"}", "");
	gives("{value: \"table('gaps', 400 N, 'fast')\"}", OPEN);
	gives("{value: \"table('gaps', 901 N, 'slow')\"}", OPEN);
	gives("{value: \"table('gaps', 500 N, table('kinds', 1 kN))\"}", "");
	gives("{value: \"table('gaps', 500 N, table('kinds', 1 N))\"}", OPEN);
}

/* Neither what is at most that, nor what is more: the hazard is open both ways. */
static void unknown(const char *thrust, const char *arguments)
{
	for (int more = 0; more < 2; more++) {
		bench_record(&b, "thrust: 800 N", arena_format(&b.arena, "thrust: %s", thrust));
		bench_library(&b, "limits:\n", TABLES);
		bench_library(&b, "{id: tight, default: yes, value: 8 mm}",
			arena_format(&b.arena, "{id: tight, default: yes, value: \"table('gaps', %s)\"}", arguments));
		if (more)
			bench_library(&b, "here.gap <= limit('slot-gap')", "here.gap > limit('slot-gap')");
		bench_judge(&b);
		cr_expect_not_null(bench_finding(&b, "hazard-open", "slot@leaf-1"), "%s: %s", arguments,
			bench_found(&b));
		bench_again(&b);
	}
}

/* Outside, without a value, by no such word, by another dimension: unknown, and unknown is no pass. */
Test(assess_table, unknown_is_no_pass)
{
	static const char *const CALLS[] = {"2001 N, 'slow'", "2000 N, 'fast'", "500 N, 'slower'", "5 mm, 'slow'",
		"'slow', 'slow'", "500 N, 500 N", "drive.thrust * 0 + site.standing-height, 'slow'"};
	for (size_t i = 0; i < sizeof CALLS / sizeof *CALLS; i++)
		unknown("800 N", CALLS[i]);
}

/* 800 N ± 200 N may be in each of two rows, 7 mm and 5 mm: whether 6 mm is enough is not known. */
Test(assess_table, doubt_meets_all_its_cells)
{
	unknown("800 N ± 200 N", "drive.thrust, 'slow'");
	bench_record(&b, "thrust: 800 N", "thrust: 800 N ± 200 N");
	bench_library(&b, "limits:\n", TABLES);
	bench_library(&b, "{id: tight, default: yes, value: 8 mm}",
		"{id: tight, default: yes, value: \"table('gaps', drive.thrust, 'slow')\"}");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "slot@leaf-1"), "%s", bench_found(&b));
	cr_expect_not_null(bench_finding(&b, "reading-wanted", "slot-gap"));
	for (size_t i = 0; i < b.result->limit_count; i++)
		if (text_equal(b.result->limits[i].limit->note.id, "slot-gap")) {
			cr_expect_float_eq(b.result->limits[i].value.low, 0.005, 1e-12);
			cr_expect_float_eq(b.result->limits[i].value.high, 0.007, 1e-12);
			cr_expect_str_eq(b.result->limits[i].row->source, "Table 9 as heard");
		}
}

/* A row is trusted no more than the cells that it used; a cell that it did not use asks for nothing. */
Test(assess_table, memory_of_a_cell_wants_a_reading)
{
	gives("{value: \"table('gaps', 900 N, 'slow')\"}", "reading-wanted slot-gap\n");
	gives("{value: \"max(table('gaps', 500 N, 'slow'), table('gaps', 900 N, 'slow'))\"}",
		"reading-wanted slot-gap\n");
	gives("{when: \"table('gaps', 900 N, 'slow') = 7 mm\", value: 8 mm}, {value: 1 mm}",
		"reading-wanted slot-gap\n");
	gives("{when: \"table('gaps', 900 N, 'slow') = 3 mm\", value: 1 mm}, {value: 8 mm}", "");
	gives("{value: \"table('gaps', 900 N, 'slow')\", source: S 1, standing: memory}", "reading-wanted slot-gap\n");
	bench_record(&b, "parties:\n", "  readings: [{id: slot-gap, edition: '2020', clause: '4', read-on: "
		"2026-01-01}]\nparties:\n");
	gives("{value: \"table('gaps', 900 N, 'slow')\"}", "");
}

/* Outside limits the table itself has to be read, once. */
Test(assess_table, by_itself)
{
	const char *rule = "designed-out: here.gap <= limit('slot-gap')";
	const char *of_table = "designed-out: \"here.gap <= table('gaps', 900 N, 'slow') and here.gap <= "
			       "table('gaps', 899 N, 'slow')\"";
	bench_library(&b, "limits:\n", TABLES);
	bench_library(&b, rule, of_table);
	bench_expect(&b, "reading-wanted gaps\n");
	const struct finding *f = bench_finding(&b, "reading-wanted", "gaps");
	cr_assert_not_null(f);
	cr_expect_str_eq(f->source, "Table 9 as heard");
	bench_again(&b);
	bench_library(&b, "limits:\n", TABLES);
	bench_library(&b, rule, of_table);
	bench_record(&b, "parties:\n", "  readings: [{id: gaps, edition: '2020', clause: '4', read-on: "
		"2026-01-01}]\nparties:\n");
	bench_expect(&b, "");
	bench_again(&b);
	bench_library(&b, "limits:\n", TABLES);
	bench_library(&b, rule, "designed-out: \"here.gap <= table('gaps', 500 N, 'slow')\"");
	bench_expect(&b, "");
}
