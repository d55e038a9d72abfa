/* Citations, files and the order of dates. */
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

TestSuite(assess_evidence, .init = setup, .fini = teardown);

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

Test(assess_evidence, papers_and_photographs)
{
	record_gives("papers/manual.pdf", "papers/gone.pdf", "file-absent manual\n");
	record_gives("  - {id: manual, file: papers/manual.pdf", "  - {id: other, file: papers/manual.pdf",
		"reference-unknown drive.evidence\nreference-unknown control.evidence\nreference-unknown edge-1\n"
		"evidence-unused other\n");
	bench_record(&b, "of: A, from: A, dated: 2025-01-01,\n     sha256: 0a",
		"of: A, from: A, dated: 2025-01-01,\n     sha256: 0b");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "file-changed", "manual"));
	cr_expect_not(b.result->ready);
	bench_again(&b);
	bench_record(&b, ", dated: 2025-01-01,\n     "
		"sha256: " "0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a}",
		", dated: 2025-01-01}");
	gives("digest-missing manual\n");
}

/* A file whose digest is another one shows nothing. */
Test(assess_evidence, a_changed_file_is_no_evidence)
{
	bench_record(&b, "{id: slot, file: photos/slot.jpg, shows: A, taken: 2026-06-02,\n     sha256: 0a",
		"{id: slot, file: photos/slot.jpg, shows: A, taken: 2026-06-02,\n     sha256: 0b");
	gives("zone-evidence slot@leaf-1\nfile-changed slot\n");
}

Test(assess_evidence, links)
{
	record_gives("input: in-1", "input: in-2", "reference-unknown edge-1\n");
	bench_record(&b, "devices: [edge-1]", "devices: [edge-2]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "reference-unknown", "stop-by-edge"));
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

/* Every date that must not come after another: on the same day is fine, a day later is not. */
Test(assess_evidence, order_of_dates)
{
	static const struct {
		const char *old, *same, *later, *subject;
	} CASES[] = {
		{"begun: 2026-03-01", "begun: 2026-05-20", "begun: 2026-05-21", "job.begun"},
		{"built: 2026-05-20", "built: 2026-06-15", "built: 2026-06-16", "job.built"},
		{"first-use: 2026-06-20", "first-use: 2026-06-18", "first-use: 2026-06-17",
			"upkeep.instructions-handed-over"},
		{"instructions-handed-over: 2026-06-18", "instructions-handed-over: 2026-06-20",
			"instructions-handed-over: 2026-06-21", "upkeep.instructions-handed-over"},
		{"signature: {place: P, date: 2026-06-15}", "signature: {place: P, date: 2026-06-20}",
			"signature: {place: P, date: 2026-06-21}", "signature.date"},
		{"    on: 2026-06-10\n    by: A", "    on: 2026-06-15\n    by: A", "    on: 2026-06-16\n    by: A",
			"force.conditions.on"},
		{"normal\n      on: 2026-06-10", "normal\n      on: 2026-06-15",
			"normal\n      on: 2026-06-16", "f1"},
		{"proved-on: 2026-06-09", "proved-on: 2026-06-15", "proved-on: 2026-06-16", "stop-by-edge"},
		{"shows: A, taken: 2026-06-02,\n     sha256: "
			"0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a}\n"
		 "  - {id: slot",
			"shows: A, taken: 2026-06-15,\n     sha256: "
				"0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a}\n"
			"  - {id: slot",
			"shows: A, taken: 2026-06-16,\n     sha256: "
				"0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a}\n"
			"  - {id: slot",
			"front"},
		{"dated: 2025-01-01", "dated: 2026-06-15", "dated: 2026-06-16", "manual"},
		{"fitted-on: 2026-05-02", "fitted-on: 2026-05-20", "fitted-on: 2026-05-21", "edge-1"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		bench_record(&b, CASES[i].old, CASES[i].same);
		bench_judge(&b);
		cr_expect_null(bench_finding(&b, "date-order", CASES[i].subject), "%s", CASES[i].same);
		bench_again(&b);
		bench_record(&b, CASES[i].old, CASES[i].later);
		bench_judge(&b);
		cr_expect_not_null(bench_finding(&b, "date-order", CASES[i].subject), "%s", CASES[i].later);
		cr_expect_not(b.result->ready, "%s", CASES[i].later);
		bench_again(&b);
	}
}
