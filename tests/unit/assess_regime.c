/* The law in force, limits and their standing, choices, requirements, the declaration. */
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

TestSuite(assess_regime, .init = setup, .fini = teardown);

/* The texts as they are give these findings; they are whole again afterwards. */
static void gives(const char *found)
{
	bench_expect(&b, found);
	bench_again(&b);
}

static void record_gives(const char *old, const char *new, const char *found)
{
	bench_record(&b, old, new);
	gives(found);
}

static void library_gives(const char *old, const char *new, const char *found)
{
	bench_library(&b, old, new);
	gives(found);
}

Test(assess_regime, by_the_day_of_first_use)
{
	static const char *const CASES[][2] = {{"2027-01-19", "old"}, {"2027-01-20", "new"}};
	for (size_t i = 0; i < 2; i++) {
		bench_record(&b, "first-use: 2026-06-20", arena_format(&b.arena, "first-use: %s", CASES[i][0]));
		bench_expect(&b, "");
		cr_expect_str_eq(b.result->regime->note.id, CASES[i][1]);
		bench_again(&b);
	}
	record_gives("territory: IE", "territory: GB", "regime-none job.territory\n");
	record_gives("first-use: 2026-06-20", "first-use: unknown", "field-unknown job.first-use\n");
}

/* What stands from memory and decides must have been read. */
Test(assess_regime, memory_wants_a_reading)
{
	const char *limit = "  - id: slot-gap\n    standing: practice\n",
		*memory = "  - id: slot-gap\n    source: S 1\n    standing: memory\n";
	library_gives(limit, memory, "reading-wanted slot-gap\n");
	bench_library(&b, limit, memory);
	record_gives("parties:\n", "  readings: [{id: slot-gap, edition: '2020', clause: '4', read-on: "
		"2026-01-01}]\nparties:\n", "");
	/* A reading without a clause is none. */
	bench_library(&b, limit, memory);
	bench_record(&b, "parties:\n",
		"  readings: [{id: slot-gap, edition: '2020', clause: unknown, read-on: 2026-01-01}]\nparties:\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "reading-wanted", "slot-gap"));
	bench_again(&b);
	bench_library(&b, limit, memory);
	record_gives("parties:\n", "  readings: [{id: slot-gop, edition: '2020', clause: '4', read-on: "
		"2026-01-01}]\nparties:\n",
		"reading-wanted slot-gap\nreading-unknown slot-gop\n");
}

/* Not only limits: measures, functions, plans, protection, regimes. */
Test(assess_regime, every_entry_that_decides)
{
	static const char *const ENTRIES[] = {"  - id: lock\n", "  - id: soft\n", "  - id: contact\n",
		"  - id: plan\n",
		"  - id: old\n"};
	static const char *const IDS[] = {"lock", "soft", "contact", "plan", "old"};
	for (size_t i = 0; i < 5; i++) {
		bench_library(&b, arena_format(&b.arena, "%s    standing: practice\n", ENTRIES[i]),
			arena_format(&b.arena, "%s    source: S 1\n    standing: memory\n", ENTRIES[i]));
		bench_expect(&b, arena_format(&b.arena, "reading-wanted %s\n", IDS[i]));
		bench_again(&b);
	}
	library_gives("{id: p1, standing: practice", "{id: p1, source: S 1, standing: memory", "reading-wanted p1\n");
	/* What decided nothing needs no reading. */
	library_gives("  - id: cap\n    standing: practice\n",
		"  - id: cap\n    source: S 1\n    standing: memory\n", "");
	library_gives("{id: p2, standing: practice", "{id: p2, source: S 1, standing: memory", "");
}

/* Only the rows that were applied have to be read. */
Test(assess_regime, rows_that_were_not_applied)
{
	const char *rows = "rows: [{when: gap <= 500 mm, value: 400 N}, {value: 1400 N}]";
	library_gives(rows, "rows: [{when: gap <= 500 mm, value: 400 N}, {value: 1400 N, source: S 1, standing: "
		"memory}]", "");
	library_gives(rows, "rows: [{when: gap <= 500 mm, value: 400 N, source: S 1, standing: memory}, {value: "
		"1400 N}]",
		"reading-wanted peak-force\n");
	/* A row that may apply has decided too. */
	bench_record(&b, "thrust: 800 N", "thrust: 800 N ± 50 N");
	library_gives(rows, "rows: [{when: drive.thrust < 800 N, value: 500 N, source: S 1, standing: memory}, "
		"{value: 400 N}]",
		"reading-wanted peak-force\n");
}

Test(assess_regime, choices)
{
	bench_record(&b, "{gap: 6 mm}", "{gap: 11 mm}");
	record_gives("parties:\n", "  choices: [{id: slot-gap, take: wide, edition: '2020', clause: '4', "
		"reason: r}]\nparties:\n",
		"choice-loosened slot-gap\n");
	bench_record(&b, "{gap: 6 mm}", "{gap: 11 mm}");
	record_gives("parties:\n", "  choices: [{id: slot-gap, take: wider, edition: '2020', clause: '4', "
		"reason: r}]\nparties:\n",
		"choice-unknown slot-gap\nhazard-open slot@leaf-1\n");
	bench_record(&b, "{gap: 6 mm}", "{gap: 13 mm}");
	record_gives("parties:\n", "  choices: [{id: slot-gap, take: wide, edition: '2020', clause: '4', "
		"reason: r}]\nparties:\n",
		"hazard-open slot@leaf-1\nchoice-loosened slot-gap\n");
	/* A choice without edition and clause is open. */
	bench_record(&b, "{gap: 6 mm}", "{gap: 11 mm}");
	bench_record(&b, "parties:\n", "  choices: [{id: slot-gap, take: wide}]\nparties:\n");
	bench_judge(&b);
	cr_expect_not(b.result->ready);
}

/* To take the default is no loosening. */
Test(assess_regime, the_default_taken)
{
	bench_record(&b, "parties:\n",
		"  choices: [{id: slot-gap, take: tight, edition: '2020', clause: '4', reason: r}]\nparties:\n");
	bench_judge(&b);
	cr_expect(b.result->ready);
	for (size_t i = 0; i < b.result->limit_count; i++)
		cr_expect_not(b.result->limits[i].loosened);
	cr_expect_null(bench_finding(&b, "choice-loosened", "slot-gap"), "the default is the strict one");
}

Test(assess_regime, requirements)
{
	library_gives("applies: always, shown-by: [zones]", "applies: always", "requirement-open r2\n");
	bench_record(&b, "{gap: 6 mm}", "{gap: 9 mm}");
	bench_judge(&b);
	cr_expect_eq(b.result->requirements[1].outcome, OUTCOME_OPEN, "a zone is open");
	cr_expect_eq(b.result->requirements[0].outcome, OUTCOME_ANSWERED, "its own zone is answered");
	bench_again(&b);
	bench_record(&b, "level: d", "level: b");
	bench_judge(&b);
	cr_expect_eq(b.result->requirements[0].outcome, OUTCOME_OPEN);
	bench_again(&b);
	/* It is none of the numbering in force. */
	bench_record(&b, "first-use: 2026-06-20", "first-use: 2027-02-01");
	bench_judge(&b);
	cr_expect_eq(b.result->requirement_count, 1);
	bench_again(&b);
	/* Whether it applies is not known. */
	bench_library(&b, "applies: always, shown-by: [zones]",
		"applies: check, when: gate.dimensions.opening > 6 m");
	record_gives("opening: 5 m", "opening: 5 m", "");
	bench_library(&b, "applies: always, shown-by: [zones]", "applies: check, when: drive.thrust > 800 N");
	record_gives("thrust: 800 N", "thrust: 800 N ± 1 N", "requirement-open r2\n");
	/* Shown by a check that failed, a field that is unknown. */
	bench_library(&b, "shown-by: [zones]", "shown-by: [zones, 'field:job.note']");
	bench_judge(&b);
	cr_expect_eq(b.result->requirements[1].outcome, OUTCOME_OPEN);
	cr_expect_not(b.result->ready, "a requirement that stays open blocks the signature");
}

Test(assess_regime, declaration)
{
	record_gives("mail: a@b.example", "mail: unknown",
		"field-unknown parties.manufacturer.mail\ndeclaration-item parties.manufacturer.mail\n");
	/* An item with a condition. */
	record_gives("work: new-gate", "work: gate-changed", "declaration-item job.note\n");
	record_gives("work: new-gate", "work: gate-changed\n  note: changed", "");
	bench_record(&b, "work: new-gate", "work: unknown");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "declaration-item", "job.note"), "whether it applies is not known");
}

Test(assess_regime, standards_and_type)
{
	record_gives("standards: [s1]", "standards: [s2]", "standard-unknown s2\n");
	record_gives("language: en", "language: de", "language-unknown job.language\n");
	bench_record(&b, "type: slider", "type: swing");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "type-unknown", "gate.type"));
	cr_expect_not(b.result->ready);
}
