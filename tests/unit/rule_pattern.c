#include <criterion/criterion.h>

#include <string.h>
#include <time.h>

#include "base/text.h"
#include "rule/pattern.h"

static const struct place HERE = {"meters.yaml", 4, 9};

static jmp_buf escape;
static struct arena a;
static struct findings f;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&f, &a);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(rule_pattern, .init = setup, .fini = teardown);

static enum pattern_outcome find(const char *pattern, bool ignore_case, const char *subject,
	struct pattern_match *m)
{
	struct pattern *p = pattern_compile(&a, pattern, ignore_case, HERE, &f);
	cr_assert_not_null(p, "%s", pattern);
	return pattern_find(p, subject, strlen(subject), 0, m);
}

Test(rule_pattern, found)
{
	static const struct {
		const char *pattern;
		bool ignore_case;
		const char *subject;
		enum pattern_outcome outcome;
		size_t from, to;
	} ROWS[] = {
		{"b+", false, "abbc", PATTERN_YES, 1, 3},
		{"b+", false, "xyz", PATTERN_NO, 0, 0},
		{"FORCE", false, "force", PATTERN_NO, 0, 0},
		{"FORCE", true, "the force", PATTERN_YES, 4, 9},
		{"é", true, "xÉ", PATTERN_YES, 1, 3},       /* É is two bytes */
		{"^.$", false, "€", PATTERN_YES, 0, 3},      /* one character, three bytes */
		{"", false, "abc", PATTERN_YES, 0, 0},
		{"\\d+", false, "٣٤ 12", PATTERN_YES, 5, 7}, /* only ASCII digits are digits */
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct pattern_match m = {0};
		enum pattern_outcome outcome = find(ROWS[i].pattern, ROWS[i].ignore_case,
			ROWS[i].subject, &m);
		cr_expect_eq(outcome, ROWS[i].outcome, "%s", ROWS[i].pattern);
		cr_expect_eq(m.from[0], ROWS[i].from, "%s", ROWS[i].pattern);
		cr_expect_eq(m.to[0], ROWS[i].to, "%s", ROWS[i].pattern);
	}
}

Test(rule_pattern, groups)
{
	struct pattern *p = pattern_compile(&a, "(?<name>\\w+)\\s*(x)?\\[(?<unit>\\w+)\\]", false,
		HERE, &f);
	struct pattern_match m;
	cr_assert_not_null(p);
	cr_assert_eq(pattern_find(p, "; Force [kN]", 12, 0, &m), PATTERN_YES);
	int name = pattern_group(p, "name"), unit = pattern_group(p, "unit");
	cr_expect_eq(name, 1);
	cr_expect_eq(unit, 3);
	cr_expect_eq(pattern_group(p, "other"), -1);
	cr_expect_eq(m.from[name], 2);
	cr_expect_eq(m.to[name], 7);
	cr_expect(m.set[unit] && m.from[unit] == 9 && m.to[unit] == 11);
	cr_expect_not(m.set[2], "a group that took no part is not set");
	cr_expect_not(m.set[4]);
}

Test(rule_pattern, from)
{
	struct pattern *p = pattern_compile(&a, "a", false, HERE, &f);
	struct pattern_match m, before;
	cr_assert_eq(pattern_find(p, "abca", 4, 1, &m), PATTERN_YES);
	cr_expect_eq(m.from[0], 3);
	before = m;
	cr_expect_eq(pattern_find(p, "abca", 4, 4, &m), PATTERN_NO);
	cr_expect_eq(pattern_find(p, "abca", 4, 5, &m), PATTERN_NO);
	cr_expect_arr_eq(&m, &before, sizeof m, "untouched when nothing is found");
	/* The part before `from` still counts as what stands before. */
	p = pattern_compile(&a, "^a", false, HERE, &f);
	cr_expect_eq(pattern_find(p, "aa", 2, 1, &m), PATTERN_NO);
}

Test(rule_pattern, refused)
{
	static const struct {
		const char *pattern, *column;
	} ROWS[] = {
		{"(a", "3"},
		{"ßß(", "4"}, /* characters are counted, not bytes */
		{"a)", "2"},
		{"[a", "3"},
		{"*", "1"},
		{"(?<a>.)(?<a>.)", "13"}, /* behind the name, where it is noticed */
		{"\\C", "3"},
		{"()()()()()()()()()()()()()()()()", "1"}, /* 16 groups and the whole */
		{"((a{1000}){1000}){1000}", "24"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		findings_init(&f, &a);
		cr_expect_null(pattern_compile(&a, ROWS[i].pattern, false, HERE, &f), "%s",
			ROWS[i].pattern);
		cr_assert_eq(f.count, 1, "%s", ROWS[i].pattern);
		cr_expect_eq(f.items[0]->code, FINDING_CODE_PATTERN_SYNTAX);
		cr_expect_eq(f.items[0]->at.line, HERE.line);
		const struct finding_value *v = f.items[0]->values;
		cr_expect_str_eq(v->value, ROWS[i].pattern);
		cr_expect_str_eq(v->next->value, ROWS[i].column, "%s: column %s", ROWS[i].pattern,
			v->next->value);
		cr_expect_neq(*v->next->next->value, '\0', "a reason");
	}
}

/* Patterns that a backtracking engine tries for ever, and subjects that feed them. */
Test(rule_pattern, hostile)
{
	static const char *const BOMBS[] = {
		"^(a+)+$",
		"^(a|aa)+$",
		"^(a*)*b$",
		"(.*)*(.*)*(.*)*x$",
		"^(?:a?){60}a{60}$",
		"^((a|b)*)*c$",
	};
	clock_t start = clock();
	char *subject = arena_alloc(&a, PATTERN_SUBJECT + 2);
	struct pattern_match m;
	memset(subject, 'a', 40);
	subject[40] = '!';
	for (size_t i = 0; i < sizeof BOMBS / sizeof *BOMBS; i++) {
		enum pattern_outcome outcome = find(BOMBS[i], false, subject, &m);
		cr_expect_neq(outcome, PATTERN_YES, "%s", BOMBS[i]);
	}
	cr_expect_eq(find("^(a+)+$", false, subject, &m), PATTERN_GAVE_UP);
	memset(subject, 'a', PATTERN_SUBJECT);
	cr_expect_eq(find("^(?:a|b)*c", false, subject, &m), PATTERN_GAVE_UP, "depth or heap");
	cr_expect_neq(find("(a)\\1*[bc]", false, subject, &m), PATTERN_YES);
	cr_expect_neq(find("a*[bc]", false, subject, &m), PATTERN_YES);
	subject[PATTERN_SUBJECT] = 'a';
	cr_expect_eq(find("a", false, subject, &m), PATTERN_GAVE_UP, "too long a subject");
	cr_expect_lt(clock() - start, 3 * CLOCKS_PER_SEC);
}

Test(rule_pattern, malformed_subject)
{
	struct pattern_match m;
	cr_expect_eq(find("a", false, "\xC3(a", &m), PATTERN_GAVE_UP);
}

Test(rule_pattern, too_long)
{
	char *text = arena_alloc(&a, PATTERN_LENGTH + 2);
	memset(text, 'a', PATTERN_LENGTH);
	cr_expect_not_null(pattern_compile(&a, text, false, HERE, &f));
	text[PATTERN_LENGTH] = 'a';
	cr_expect_null(pattern_compile(&a, text, false, HERE, &f));
	cr_expect_eq(f.count, 1);
}
