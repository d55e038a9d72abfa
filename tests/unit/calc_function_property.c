/* What must hold for any chain of subsystems: a worse figure or one more subsystem never makes it better, the order
 * of the series does not matter, and what comes out is finite. 10,000 chains, seeded: PINTLE_SEED repeats a run. */
#include <criterion/criterion.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "calc_reliability_bench.h"

TestSuite(calc_function_property);

enum { CASES = 10000, CHAIN = 4 };

static uint64_t seed;

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
static uint64_t draw(uint64_t below)
{
	seed ^= seed >> 12;
	seed ^= seed << 25;
	seed ^= seed >> 27;
	return (seed * 2685821657736338717u) % below;
}

static double between(double low, double high)
{
	return low * pow(high / low, (double)draw(1001) / 1000);
}

/* Often on an edge: figures of the tables come up as they are. */
static double picked(const double *edges, size_t count, double low, double high)
{
	return draw(3) ? edges[draw(count)] : between(low, high);
}

static struct channel channel_drawn(void)
{
	static const double YEARS[] = {2, 3, 10, 27, 30, 60, 100, 300, 2500};
	struct channel c = {0};
	if (draw(3))
		c.years = picked(YEARS, 9, 1, 5000);
	if (c.years <= 0 || draw(4) == 0) {
		c.b10d = between(1e4, 1e7);
		c.per_year = between(100, 1e5);
	}
	return c;
}

/* Mostly with all that its category asks for, now and then just short of it. */
static struct subsystem drawn(void)
{
	static const double DC[] = {0.59, 0.6, 0.9, 0.98, 0.99, 0.99}, POINTS[] = {0, 64, 65, 65, 80, 100};
	static const double TESTS[] = {0, 24, 25, 100, 100, 1000}, TEST_YEARS[] = {0, 15, 50, 50, 100, 2000};
	static const double RATES[] = {1e-8, 1e-7, 2e-7, 1e-6, 3e-6, 1e-5, 1e-4};
	struct subsystem s = {.category = (enum category)draw(6), .dc = DC[draw(6)], .common_cause = POINTS[draw(6)],
		.tests_per_demand = TESTS[draw(6)], .test_years = TEST_YEARS[draw(6)],
		.replaced_years = draw(3) ? between(0.001, 1) : 0};
	if (s.category == CATEGORY_B || s.category == CATEGORY_1)
		s.dc = draw(8) ? 0 : s.dc;
	s.channels[0] = channel_drawn();
	if (draw(3) == 0)
		s.channels[1] = channel_drawn();
	if (draw(4) == 0)
		s.level = (enum level)(1 + draw(5));
	if (draw(4) == 0)
		s.per_hour = picked(RATES, 7, 1e-9, 2e-4);
	return s;
}

/* One figure worse. A test channel is measured by the channel that it tests, so that this one stays as it is in
 * category 2; a coverage of categories B and 1, which have none, is worth nothing. */
static void worsened(struct subsystem *s)
{
	double less = between(0.05, 1), more = 1 / less;
	bool first_category = s->category == CATEGORY_B || s->category == CATEGORY_1;
	struct channel *c = &s->channels[draw(2)];
	switch (draw(8)) {
	case 0:
		s->per_hour *= more;
		break;
	case 1:
		s->dc *= first_category ? 1 : less;
		break;
	case 2:
		s->common_cause *= less;
		break;
	case 3:
		s->tests_per_demand *= less;
		break;
	case 4:
		s->test_years *= less;
		break;
	case 5:
		s->replaced_years *= more;
		break;
	case 6:
		if (s->category != CATEGORY_2) {
			c->years *= less;
			c->b10d *= less;
			c->per_year *= more;
		}
		break;
	default:
		if (s->level > LEVEL_A)
			s->level--;
	}
}

static struct series_result judged(const struct subsystem *s, size_t count)
{
	struct subsystem_result results[CHAIN + 1];
	return function_judge(bench_tables(), s, count, results);
}

static bool better(struct series_result a, struct series_result than)
{
	if (a.level != than.level || a.level == LEVEL_NONE)
		return a.level > than.level;
	return a.per_hour < than.per_hour * (1 - 1e-9);
}

static void begin(void)
{
	const char *given = getenv("PINTLE_SEED");
	seed = given ? strtoull(given, NULL, 10) : 20260610;
	fprintf(stderr, "calc_function_property: PINTLE_SEED=%" PRIu64 "\n", seed);
}

static const char *told(const struct subsystem *s)
{
	static char text[400];
	snprintf(text, sizeof text,
		"level %s rate %g category %s (%g %g %g) (%g %g %g) dc %g points %g tests %g %g "
		"repl %g",
		level_word(s->level), s->per_hour, category_word(s->category), s->channels[0].years,
		s->channels[0].b10d, s->channels[0].per_year, s->channels[1].years,
		s->channels[1].b10d, s->channels[1].per_year, s->dc, s->common_cause,
		s->tests_per_demand, s->test_years, s->replaced_years);
	return text;
}

Test(calc_function_property, worse_never_improves)
{
	size_t reached = 0, changed = 0;
	begin();
	for (int i = 0; i < CASES; i++) {
		struct subsystem s[CHAIN];
		size_t count = 1 + draw(CHAIN), at = draw(count);
		for (size_t k = 0; k < count; k++)
			s[k] = drawn();
		struct series_result before = judged(s, count);
		struct subsystem was = s[at];
		worsened(&s[at]);
		struct series_result after = judged(s, count);
		cr_assert(isfinite(after.per_hour));
		reached += before.level != LEVEL_NONE;
		changed += before.level != after.level;
		/* A level that is too good to be true is refused. */
		if (!better(after, before) || before.gap == GAP_LEVEL_CATEGORY)
			continue;
		fprintf(stderr, "%s %g -> %s %g\n", level_word(before.level), before.per_hour, level_word(after.level),
			after.per_hour);
		fprintf(stderr, "%s\n", told(&was));
		cr_assert_fail("case %d: %s", i, told(&s[at]));
	}
	/* Enough of them say something. */
	cr_expect_gt(reached, CASES / 20, "%zu", reached);
	cr_expect_gt(changed, CASES / 100, "%zu", changed);
}

Test(calc_function_property, one_more_never_improves)
{
	begin();
	for (int i = 0; i < CASES; i++) {
		struct subsystem s[CHAIN + 1];
		size_t count = 1 + draw(CHAIN);
		for (size_t k = 0; k <= count; k++)
			s[k] = drawn();
		struct series_result before = judged(s, count), after = judged(s, count + 1);
		cr_assert_not(better(after, before), "case %d: %s", i, told(&s[count]));
	}
}

Test(calc_function_property, order_does_not_matter)
{
	begin();
	for (int i = 0; i < CASES; i++) {
		struct subsystem s[CHAIN], turned[CHAIN];
		for (size_t k = 0; k < CHAIN; k++)
			s[k] = turned[CHAIN - 1 - k] = drawn();
		struct series_result a = judged(s, CHAIN), b = judged(turned, CHAIN);
		cr_assert_eq(a.level, b.level, "case %d", i);
		cr_assert_eq(a.gap == GAP_NONE, b.gap == GAP_NONE, "case %d", i);
		cr_assert_float_eq(a.per_hour, b.per_hour, 1e-9 * a.per_hour, "case %d", i);
	}
}

/* What is offered does reach it. */
Test(calc_function_property, the_change_that_is_offered_reaches)
{
	size_t offered = 0;
	begin();
	for (int i = 0; i < CASES; i++) {
		struct subsystem s[CHAIN];
		struct subsystem_result scratch[CHAIN];
		size_t count = 1 + draw(CHAIN);
		enum level required = (enum level)(1 + draw(5));
		for (size_t k = 0; k < count; k++)
			s[k] = drawn();
		struct function_change x = function_change_for(bench_tables(), s, count, required, scratch);
		if (x.kind == CHANGE_NONE)
			continue;
		offered++;
		cr_assert(x.reaches >= required && judged(s, count).level < required,
			"case %d: change %d reaches %s of %s", i, (int)x.kind,
			level_word(x.reaches), level_word(required));
		if (x.kind == CHANGE_COVERAGE)
			s[x.subsystem].dc = x.to;
		else if (x.kind == CHANGE_REPLACEMENT)
			s[x.subsystem].replaced_years = x.to;
		else if (x.kind == CHANGE_MAKER)
			s[x.subsystem] = (struct subsystem){.level = x.level,
				.per_hour = scratch[x.subsystem].rate_known
						    ? level_worst_rate(bench_tables(), x.level)
						    : 0};
		else
			continue;
		cr_assert_eq(judged(s, count).level, x.reaches, "case %d: change %d of %zu, %g: %s", i, (int)x.kind,
			x.subsystem, x.to, told(&s[x.subsystem]));
	}
	cr_expect_gt(offered, CASES / 20, "%zu", offered);
}
