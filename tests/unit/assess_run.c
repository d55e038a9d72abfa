/* A recording that stands alone: which limit it is held against. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess_bench.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
	bench_judge(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_run, .init = setup, .fini = teardown);

static const struct recording *recording(void)
{
	return b.result->points[0].runs[0].recording;
}

Test(assess_run, by_movement_and_gap)
{
	static const struct {
		struct curve_question question;
		double limit;
		const char *verdict;
	} CASES[] = {
		{{"horizontal", 0.3, NULL, 0}, 400, "within"},
		{{"horizontal", 0.5, NULL, 0}, 400, "within"},
		{{"horizontal", 0.501, NULL, 0}, 1400, "within"},
		{{"horizontal", -1, NULL, 0}, 400, "within"},  /* not said: the lowest that may apply */
		{{NULL, -1, NULL, 0}, 400, "within"},
		{{"horizontal", 0.3, NULL, 299}, 400, "unusable"}, /* beyond the meter's range */
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		struct run_result run;
		double limit = 0;
		cr_assert(assess_curve(&b.arena, &b.library, &CASES[i].question, recording(), &run, &limit));
		cr_expect_float_eq(limit, CASES[i].limit, 1e-9, "case %zu", i);
		cr_expect_str_eq(run.verdict, CASES[i].verdict, "case %zu", i);
	}
}

/* Without a limit nothing is said: the command line then has curve-limit to say. */
Test(assess_run, no_limit_no_verdict)
{
	struct curve_question question = {"horizontal", 0.3, NULL, 0};
	struct run_result run = {.verdict = "untouched"};
	double limit = -1;
	const struct recording *alone = recording();
	bench_library(&b, "  - id: peak-force\n", "  - id: peek-force\n");
	bench_judge(&b);
	cr_expect_not(assess_curve(&b.arena, &b.library, &question, alone, &run, &limit));
	cr_expect_str_eq(run.verdict, "untouched");
	cr_expect_float_eq(limit, -1, 1e-9);
}

Test(assess_run, by_edition)
{
	struct curve_question question = {"horizontal", 0.3, NULL, 0};
	struct run_result run;
	double limit = 0;
	bench_library(&b, "    rows: [{when: gap <= 500 mm, value: 400 N}, {value: 1400 N}]\n",
		"    variants:\n"
		"      - {id: table, default: yes, edition: '2017', rows: [{value: 300 N}]}\n"
		"      - {id: other, edition: '2000', rows: [{value: 200 N}]}\n");
	bench_judge(&b);
	static const struct {
		const char *edition;
		double limit;
	} CASES[] = {{NULL, 300}, {"2017", 300}, {"2000", 200}, {"other", 200}};
	for (size_t i = 0; i < 4; i++) {
		question.edition = CASES[i].edition;
		cr_assert(assess_curve(&b.arena, &b.library, &question, recording(), &run, &limit));
		cr_expect_float_eq(limit, CASES[i].limit, 1e-9, "%s", CASES[i].edition ? CASES[i].edition : "");
	}
}
