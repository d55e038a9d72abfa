/* Rules by which force tests are judged: a mean of three, single peaks, age, instrument, calibration. */
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

TestSuite(assess_force, .init = setup, .fini = teardown);

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

#define RUNS "[curves/300.csv, curves/310.csv, curves/320.csv]"

Test(assess_force, mean_of_three)
{
	bench_expect(&b, "");
	cr_expect_float_eq(b.result->points[0].mean_peak, 310, 0.01);
	cr_expect_float_eq(b.result->points[0].limit, 400, 1e-9);
	cr_expect_eq(b.result->points[0].usable, 3);
}

/* 380, 400, 420: the mean is on the limit, one is over. */
Test(assess_force, a_single_peak_over)
{
	record_gives(RUNS, "[curves/300.csv, curves/310.csv, curves/401.csv]", "protection-open leaf-1\n"
		"hazard-open edge@leaf-1\nneed-open edge@leaf-1\nforce-peak-single f1\n");
}

Test(assess_force, mean_over)
{
	bench_record(&b, RUNS, "[curves/390.csv, curves/405.csv, curves/420.csv]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-mean-over", "f1"));
	cr_expect_null(bench_finding(&b, "force-peak-single", "f1"), "said twice");
	cr_expect_eq(b.result->points[0].outcome, OUTCOME_OPEN);
}

/* EN 12453 Annex A: equality with a limit is within. With no doubt at all 400 N three times would pass; the
 * doubt of the instrument makes it near. */
Test(assess_force, on_the_limit)
{
	bench_record(&b, RUNS, "[curves/400.csv, curves/400-1.csv, curves/400-2.csv]");
	bench_judge(&b);
	cr_expect_null(bench_finding(&b, "force-mean-over", "f1"));
	cr_expect_null(bench_finding(&b, "force-peak-single", "f1"));
	cr_expect_not_null(bench_finding(&b, "force-near-limit", "f1"));
}

/* ±5 % of the reading: 380.95 N and 5 % are 400 N. */
Test(assess_force, near_the_limit_wants_a_reason)
{
	bench_record(&b, RUNS, "[curves/380.csv, curves/380-1.csv, curves/382.csv]");
	bench_judge(&b);
	cr_expect_null(bench_finding(&b, "force-near-limit", "f1"), "380.67 N and 5 %% are 399.7 N");
	bench_again(&b);
	bench_record(&b, RUNS, "[curves/381.csv, curves/381-1.csv, curves/381-2.csv]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-near-limit", "f1"));
	cr_expect_not(b.result->ready);
	bench_again(&b);
	bench_record(&b, RUNS, "[curves/381.csv, curves/381-1.csv, curves/381-2.csv]\n      accepted-because: "
		"soft edge");
	gives("");
	/* A reason accepts nothing over the limit. */
	bench_record(&b, RUNS, "[curves/381.csv, curves/381-1.csv, curves/401.csv]\n      accepted-because: "
		"soft edge");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-peak-single", "f1"));
	bench_again(&b);
	bench_record(&b, "    accuracy: 5 %", "    accuracy: unknown");
	bench_judge(&b);
	cr_expect_not(b.result->ready, "accuracy unknown");
}

/* The same for what is left after 0.75 s: 142 N and 5 % are 149.1 N, 143 N and 5 % are 150.15 N. */
Test(assess_force, near_the_static_limit)
{
	bench_record(&b, RUNS, "[curves/300+142.csv, curves/310+142.csv, curves/320+142.csv]");
	gives("");
	bench_record(&b, RUNS, "[curves/300+142.csv, curves/310+143.csv, curves/320+142.csv]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-near-limit", "f1"));
	cr_expect_not(b.result->ready);
	bench_again(&b);
	bench_record(&b, RUNS, "[curves/300+142.csv, curves/310+143.csv, curves/320+142.csv]\n      accepted-because: "
		"soft edge");
	gives("");
	bench_record(&b, RUNS, "[curves/300+142.csv, curves/310+151.csv, curves/320+142.csv]\n      accepted-because: "
		"soft edge");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-run-over", "f1"));
}

/* Copies of one recording are one measurement. */
Test(assess_force, copies_count_once)
{
	bench_record(&b, RUNS, "[curves/300.csv, curves/300.csv, curves/320.csv]");
	bench_judge(&b);
	cr_expect_eq(b.result->points[0].usable, 2);
	cr_expect_not_null(bench_finding(&b, "force-run-twice", "f1"));
	cr_expect_not_null(bench_finding(&b, "force-runs-few", "f1"));
	bench_again(&b);
	/* Neither under another name. */
	bench_record(&b, RUNS, "[curves/300.csv, curves/300.0.csv, curves/320.csv]");
	bench_judge(&b);
	cr_expect_eq(b.result->points[0].usable, 2);
}

Test(assess_force, too_few)
{
	bench_record(&b, RUNS, "[curves/300.csv, curves/310.csv]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-runs-few", "f1"));
	cr_expect_eq(b.result->points[0].outcome, OUTCOME_OPEN);
	bench_again(&b);
	bench_record(&b, RUNS, "[curves/300.csv, curves/310.csv, curves/320.csv, curves/330.csv]");
	gives("");
}

/* Numbers typed in instead of recordings are read by nobody. */
Test(assess_force, typed_peaks_close_nothing)
{
	bench_record(&b, RUNS, "none\n      typed-peaks: 300 N, 310 N, 320 N");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-typed", "f1"));
	cr_expect_eq(b.result->points[0].outcome, OUTCOME_OPEN);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	bench_again(&b);
	bench_record(&b, RUNS, "[curves/300.csv, curves/310.csv]\n      typed-peaks: 300 N, 310 N, 320 N");
	bench_judge(&b);
	cr_expect_eq(b.result->points[0].outcome, OUTCOME_OPEN);
}

/* The plan asks for 300 mm and 1000 mm, give or take 20 mm. */
Test(assess_force, a_point_stands_where_the_plan_asks)
{
	record_gives("gap: 300 mm", "gap: 320 mm", "");
	record_gives("gap: 300 mm", "gap: 280 mm", "");
	bench_record(&b, "gap: 300 mm", "gap: 321 mm");
	bench_judge(&b);
	cr_expect_eq(b.result->point_count, 2);
	cr_expect_not_null(bench_finding(&b, "force-point-unplanned", "f1"));
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	bench_again(&b);
	record_gives("height: 1000 mm", "height: 1020 mm", "");
	bench_record(&b, "height: 1000 mm", "height: 979 mm");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	bench_again(&b);
	bench_record(&b, "direction: closing\n", "direction: opening\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	bench_again(&b);
	bench_record(&b, "speed: normal", "speed: full");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

/* More evidence is not ignored: an additional point over the limit blocks as well. */
Test(assess_force, additional_points_count)
{
	bench_record(&b, "      recordings: " RUNS "\n",
		"      recordings: " RUNS "\n"
		"    - {id: f2, zone: edge@leaf-1, direction: closing, gap: 500 mm, height: 500 mm, leaves: alone,\n"
		"       speed: normal, on: 2026-06-10, recordings: [curves/300-1.csv, curves/310-1.csv, "
			"curves/450.csv]}\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-peak-single", "f2"));
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	cr_expect_not(b.result->ready);
}

static void changed(const char *on, const char *touches)
{
	bench_record(&b, "changes: []\n",
		arena_format(&b.arena, "changes: [{id: c1, on: %s, touches: [%s], what: w, by: A}]\n", on, touches));
}

/* The plan ages by speed and firmware; the function by firmware. */
Test(assess_force, tests_age)
{
	changed("2026-06-10", "speed");
	gives("");
	changed("2026-06-11", "speed");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "evidence-aged", "f1"));
	cr_expect_eq(b.result->points[0].outcome, OUTCOME_OPEN);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
	bench_again(&b);
	changed("2026-06-11", "surroundings");
	gives("");
	changed("2026-06-09", "firmware, speed");
	gives("");
	/* A device fitted to the zone after the test. */
	bench_record(&b, "fitted-on: 2026-05-02", "fitted-on: 2026-06-11");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "evidence-aged", "f1"));
	bench_again(&b);
	bench_record(&b, "fitted-on: 2026-05-02", "fitted-on: 2026-06-10");
	bench_record(&b, "built: 2026-05-20", "built: 2026-06-10");
	/* Its zone was looked at, and its function proved, no sooner. */
	bench_record(&b, "by: [soft]\n    evidence: photo:front\n    looked-on: 2026-06-02",
		"by: [soft]\n    evidence: photo:front\n    looked-on: 2026-06-10");
	bench_record(&b, "proved-on: 2026-06-09", "proved-on: 2026-06-10");
	gives("");
}

/* The worst date of several changes counts. */
Test(assess_force, the_last_change_counts)
{
	bench_record(&b, "changes: []\n",
		"changes:\n"
		"  - {id: c1, on: 2026-06-12, touches: [speed], what: w, by: A}\n"
		"  - {id: c2, on: 2026-06-01, touches: [speed], what: w, by: A}\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "evidence-aged", "f1"));
}

Test(assess_force, calibration)
{
	static const struct {
		const char *from, *to;
		bool fine;
	} CASES[] = {
		{"2026-06-11", "2027-02-10", false}, /* the day after the test */
		{"2026-06-10", "2027-02-10", true},
		{"2026-06-09", "2027-02-10", true},
		{"2026-02-10", "2026-06-09", false},
		{"2026-02-10", "2026-06-10", true},
		{"2025-06-10", "2027-02-10", true}, /* 12 months to the day */
		{"2025-06-09", "2027-02-10", false},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		bench_record(&b, "calibrated-on: 2026-02-10",
			arena_format(&b.arena, "calibrated-on: %s", CASES[i].from));
		bench_record(&b, "valid-until: 2027-02-10", arena_format(&b.arena, "valid-until: %s", CASES[i].to));
		bench_judge(&b);
		cr_expect_eq(bench_finding(&b, "instrument-date", "f1") == NULL, CASES[i].fine, "%s %s",
			CASES[i].from,
			CASES[i].to);
		cr_expect_eq(b.result->points[0].outcome == OUTCOME_ANSWERED, CASES[i].fine);
		cr_expect_eq(bench_finding(&b, "hazard-open", "edge@leaf-1") == NULL, CASES[i].fine,
			"a test with an instrument out of date answers nothing: %s %s", CASES[i].from, CASES[i].to);
		bench_again(&b);
	}
}

Test(assess_force, instrument)
{
	record_gives("spring: 500 N/mm", "spring: 450 N/mm", "");
	record_gives("spring: 500 N/mm", "spring: 550 N/mm", "");
	record_gives("spring: 500 N/mm", "spring: 449 N/mm", "instrument-spring force.instrument.spring\n");
	record_gives("spring: 500 N/mm", "spring: 551 N/mm", "instrument-spring force.instrument.spring\n");
	record_gives("spring: 500 N/mm", "spring: 540 N/mm ± 20 N/mm", "instrument-spring force.instrument.spring\n");
	record_gives("spring: 500 N/mm", "spring: 460 N/mm ± 20 N/mm", "instrument-spring force.instrument.spring\n");
	record_gives("range: 2000 N", "range: 1999 N", "instrument-range force.instrument.range\n");
	record_gives("accuracy: 5 %", "accuracy: 5.1 %", "instrument-accuracy force.instrument.accuracy\n");
}

Test(assess_force, conditions)
{
	record_gives("remotes-off: yes", "remotes-off: no", "condition-live force.conditions.remotes-off\n");
	record_gives("proved-again-after: yes", "proved-again-after: no",
		"condition-live force.conditions.proved-again-after\n");
	record_gives("supply: [mains]", "supply: [battery]", "condition-supply force.conditions.supply\n");
	record_gives("battery: no", "battery: yes", "condition-supply force.conditions.supply\n");
	record_gives("battery: no", "battery: unknown",
		"field-unknown drive.battery\ncondition-supply force.conditions.supply\n");
}

/* With two leaves the plan asks for each alone and for both together. */
Test(assess_force, two_leaves)
{
	bench_record(&b, "leaves: [{id: leaf-1,", "leaves: [{id: leaf-2, mass: 1 kg, length: 1 m, height: 2 m, "
		"material: a}, {id: leaf-1,");
	bench_judge(&b);
	size_t alone = 0, together = 0;
	for (size_t i = 0; i < b.result->point_count; i++) {
		alone += text_equal(b.result->points[i].leaves, "alone");
		together += text_equal(b.result->points[i].leaves, "together");
	}
	cr_expect_eq(alone, 1, "only leaf-1 has an entry");
	cr_expect_eq(together, 1);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

Test(assess_force, a_plan_that_cannot_be_told_is_open)
{
	bench_record(&b, "length: 6 m, height: 2 m", "length: 6 m, height: unknown");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-plan-unknown", "edge@leaf-1"));
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

/* One gap of two cannot be told: what is known of the plan does not answer for the rest. */
Test(assess_force, half_a_plan_answers_nothing)
{
	bench_library(&b, "gaps: [300 mm]", "gaps: [300 mm, drive.slow-down-distance]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "force-plan-unknown", "edge@leaf-1"));
	cr_expect_not(b.result->zones[0].measures[0].counts, "the plan is not known in full");
}

/* A doubtful gap meets the lower limit of those it may fall under. */
Test(assess_force, the_worst_limit_of_an_interval)
{
	static const char *const ROWS[] = {
		"rows: [{when: drive.thrust > 700 N, value: 250 N}, {value: 400 N}]",
		"rows: [{when: drive.thrust > 700 N, value: 400 N}, {value: 250 N}]",
	};
	for (size_t i = 0; i < 2; i++) {
		bench_library(&b, "rows: [{when: gap <= 500 mm, value: 400 N}, {value: 1400 N}]", ROWS[i]);
		bench_record(&b, "thrust: 800 N", "thrust: 700 N ± 50 N");
		bench_judge(&b);
		cr_expect_float_eq(b.result->points[0].limit, 250, 1e-9, "%s", ROWS[i]);
		cr_expect_not_null(bench_finding(&b, "force-mean-over", "f1"));
		bench_again(&b);
	}
}
