/* Stands in for Criterion where the unit tests run against mutants: thousands of runs, each to its first failed
 * check, in one process that divides itself. */
#ifndef MUTANTS_CRITERION_H
#define MUTANTS_CRITERION_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

struct mutant_options {
	void (*init)(void), (*fini)(void);
	const char *description;
	double timeout;
	int signal, exit_code;
	bool disabled;
};

struct mutant_test {
	const char *suite, *name;
	void (*run)(void);
	struct mutant_options options;
	struct mutant_test *next;
};

void mutant_enter_test(struct mutant_test *t);
void mutant_enter_suite(struct mutant_test *t);
void mutant_check(bool holds, const char *file, int line);

#define TestSuite(suite_, ...)                                                                                      \
	__attribute__((constructor)) static void enter_suite_##suite_(void)                                         \
	{                                                                                                           \
		static struct mutant_test t = {.suite = #suite_, .options = {.init = NULL, ##__VA_ARGS__}};          \
		mutant_enter_suite(&t);                                                                              \
	}                                                                                                           \
	typedef int suite_entered_##suite_

#define Test(suite_, name_, ...)                                                                                    \
	static void test_##suite_##_##name_(void);                                                                  \
	__attribute__((constructor)) static void enter_##suite_##_##name_(void)                                     \
	{                                                                                                           \
		static struct mutant_test t = {.suite = #suite_, .name = #name_, .run = test_##suite_##_##name_,      \
			.options = {.init = NULL, ##__VA_ARGS__}};                                                   \
		mutant_enter_test(&t);                                                                               \
	}                                                                                                           \
	static void test_##suite_##_##name_(void)

/* Messages are not looked at. */
#define MUTANT_FIRST(x, ...) (x)
#define MUTANT_CHECK(holds) mutant_check(holds, __FILE__, __LINE__)

#define cr_assert(...) MUTANT_CHECK(MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_not(...) MUTANT_CHECK(!MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_fail(...) MUTANT_CHECK(false)
#define cr_assert_null(...) MUTANT_CHECK(MUTANT_FIRST(__VA_ARGS__, 0) == NULL)
#define cr_assert_not_null(...) MUTANT_CHECK(MUTANT_FIRST(__VA_ARGS__, 0) != NULL)
#define cr_assert_eq(a, ...) MUTANT_CHECK((a) == MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_neq(a, ...) MUTANT_CHECK((a) != MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_lt(a, ...) MUTANT_CHECK((a) < MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_leq(a, ...) MUTANT_CHECK((a) <= MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_gt(a, ...) MUTANT_CHECK((a) > MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_geq(a, ...) MUTANT_CHECK((a) >= MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_float_eq(a, b, ...) MUTANT_CHECK(fabs((a) - (b)) <= MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_float_neq(a, b, ...) MUTANT_CHECK(fabs((a) - (b)) > MUTANT_FIRST(__VA_ARGS__, 0))
#define cr_assert_str_eq(a, ...) MUTANT_CHECK(strcmp((a), MUTANT_FIRST(__VA_ARGS__, 0)) == 0)
#define cr_assert_str_neq(a, ...) MUTANT_CHECK(strcmp((a), MUTANT_FIRST(__VA_ARGS__, 0)) != 0)

#define cr_expect(...) cr_assert(__VA_ARGS__)
#define cr_expect_not(...) cr_assert_not(__VA_ARGS__)
#define cr_expect_fail(...) cr_assert_fail(__VA_ARGS__)
#define cr_expect_null(...) cr_assert_null(__VA_ARGS__)
#define cr_expect_not_null(...) cr_assert_not_null(__VA_ARGS__)
#define cr_expect_eq(a, ...) cr_assert_eq(a, __VA_ARGS__)
#define cr_expect_neq(a, ...) cr_assert_neq(a, __VA_ARGS__)
#define cr_expect_lt(a, ...) cr_assert_lt(a, __VA_ARGS__)
#define cr_expect_leq(a, ...) cr_assert_leq(a, __VA_ARGS__)
#define cr_expect_gt(a, ...) cr_assert_gt(a, __VA_ARGS__)
#define cr_expect_geq(a, ...) cr_assert_geq(a, __VA_ARGS__)
#define cr_expect_float_eq(a, b, ...) cr_assert_float_eq(a, b, __VA_ARGS__)
#define cr_expect_float_neq(a, b, ...) cr_assert_float_neq(a, b, __VA_ARGS__)
#define cr_expect_str_eq(a, ...) cr_assert_str_eq(a, __VA_ARGS__)
#define cr_expect_str_neq(a, ...) cr_assert_str_neq(a, __VA_ARGS__)

#endif
