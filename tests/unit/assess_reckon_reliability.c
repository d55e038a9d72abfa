/* What the pocket book says about reliability beside the figures: meanings, whether the answer is no, refusals, and how
 * far a cell can be trusted. Figures as in tests/published. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess_bench.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
	bench_shipped(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_reckon_reliability, .init = setup, .fini = teardown);

static const struct {
	const char *call, *meaning;
	bool no;
	const char *name, *value; /* in the words of the meaning */
} MEANINGS[] = {
	{"chain per-hour=4.29E-8", "rates-alone", false, "level", "e"},
	{"chain per-hour=4.29E-8 levels=d", "reaches", false, "level", "d"},
	{"chain per-hour=1E-8,1E-8 levels=e,b", "reaches", false, "level", "b"},
	{"chain levels=d,d", "reaches", false, "level", "d"},
	{"chain per-hour=1E-4", "none", true, "level", "none"},
	{"chain levels=a,a,a,a", "none", true, "level", "none"},
	/* Table 5: under 60 % is none. */
	{"coverage dc=0.599 mttfd=30", "none", true, "class", "none"},
	{"coverage dc=0.6 mttfd=30", "counts", false, "class", "low"},
	{"mttfd parts=2.9", "none", true, "class", "none"},
	{"mttfd parts=3", "counts", false, "class", "low"},
	/* 2 000 000 / 100 001 = 19.9998; 19.8 is exact. */
	{"replace-by b10d=2000000 operations=100001", "before", false, "years", "19.99"},
	{"replace-by b10d=99000 operations=5000", "before", false, "years", "19.8"},
	{"replace-by b10d=100000 operations=5000", "lasts", false, "years", "20"},
};

Test(assess_reckon_reliability, meanings)
{
	for (size_t i = 0; i < sizeof MEANINGS / sizeof *MEANINGS; i++) {
		struct reckoning *r = bench_ask(&b, MEANINGS[i].call);
		cr_assert(r->meaning, "%s is refused", MEANINGS[i].call);
		cr_expect_str_eq(r->meaning, MEANINGS[i].meaning, "%s", MEANINGS[i].call);
		cr_expect_eq(r->no, MEANINGS[i].no, "%s", MEANINGS[i].call);
		cr_expect_str_eq(bench_value(r->values, MEANINGS[i].name), MEANINGS[i].value, "%s", MEANINGS[i].call);
	}
}

/* Each with what its message says. */
static const struct {
	const char *call, *name, *value;
} REFUSALS[] = {
	{"mttfd channels=2.5,100 category=3", "least", "3"},
	{"mttfd channels=100,2.5", "years", "2.5"},
	{"level category=2 mttfd=50 dc=59.9% common-cause=65 test-rate=100 test-mttfd=50", "least-percent", "60"},
	{"level category=3 mttfd=50 dc=59.9% common-cause=65", "least-percent", "60"},
	{"level category=4 mttfd=50 dc=98.9% common-cause=65", "least-percent", "99"},
	{"level category=4 mttfd=50 dc=98.9% common-cause=65", "percent", "98.9"},
	{"level category=3 mttfd=50 dc=90% common-cause=65 test-rate=1", "key", "test-rate"},
	{"level category=4 mttfd=50 dc=99% common-cause=65 test-mttfd=50", "key", "test-mttfd"},
	{"level category=B mttfd=20 dc=0 common-cause=65", "key", "common-cause"},
	{"level category=1 mttfd=50 dc=0 test-rate=100", "key", "test-rate"},
	{"coverage dc=0.99,0.6 mttfd=20,80±40", "key", "mttfd"},
	{"chain per-hour=1E-8,1E-8 levels=d", "levels", "1"},
	{"chain per-hour=0", "range", "1E-12 1/h … 1 1/h"},
};

Test(assess_reckon_reliability, refusals)
{
	for (size_t i = 0; i < sizeof REFUSALS / sizeof *REFUSALS; i++) {
		struct reckoning *r = bench_ask(&b, REFUSALS[i].call);
		cr_expect_null(r->results, "%s", REFUSALS[i].call);
		cr_assert_eq(r->findings->count, 1, "%s", REFUSALS[i].call);
		cr_expect_str_eq(bench_value(r->findings->items[0]->values, REFUSALS[i].name), REFUSALS[i].value, "%s",
			REFUSALS[i].call);
	}
}

/* The cell of Annex K that was read. Seen in print: 30 years in categories 1 and 4, 100 years in 1 and 4. */
static const struct {
	const char *call;
	enum standing standing;
} CELLS[] = {
	{"level category=1 mttfd=30 dc=0", STANDING_PUBLISHED},
	{"level category=1 mttfd=100 dc=0", STANDING_PUBLISHED},
	{"level category=4 mttfd=30 dc=99% common-cause=65", STANDING_PUBLISHED},
	{"level category=4 mttfd=100 dc=99% common-cause=65", STANDING_PUBLISHED},
	{"level category=3 mttfd=100 dc=90% common-cause=65", STANDING_MEMORY},
	{"level category=3 mttfd=30 dc=90% common-cause=65", STANDING_MEMORY},
};

Test(assess_reckon_reliability, cells)
{
	for (size_t i = 0; i < sizeof CELLS / sizeof *CELLS; i++) {
		const struct step *s = bench_ask(&b, CELLS[i].call)->steps.first;
		while (s && !text_equal(s->id, "reliability-annex-k"))
			s = s->next;
		cr_assert(s, "%s", CELLS[i].call);
		cr_expect_eq(s->standing, CELLS[i].standing, "%s", CELLS[i].call);
	}
}

/* Table K.1 (memory), 16 years, category 2, medium: 2.77E-6; by hand 1.1 · 2.77E-6 = 3.047E-6,
 * which is b (Table 2) while the simplified procedure gives c. What is compared is the rate that
 * counts. */
Test(assess_reckon_reliability, few_tests_compare_the_worse_rate)
{
	const struct reckoning *r =
		bench_ask(&b, "level category=2 mttfd=16 dc=0.9 common-cause=65 test-rate=25 test-mttfd=16");
	const struct step *s = r->steps.first;
	while (s && !text_equal(s->id, "reliability-worse"))
		s = s->next;
	cr_assert(s);
	cr_expect_str_eq(bench_value(s->values, "annex-k"), "b");
	cr_expect_str_eq(bench_value(s->values, "simplified"), "c");
	cr_expect_str_eq(bench_value(s->values, "level"), "b");
}
