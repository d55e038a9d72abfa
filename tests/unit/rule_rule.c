#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "rule/rule.h"

/* Kleene's strong three-valued logic: S. C. Kleene, Introduction to Metamathematics (1952), §64.
 * Interval arithmetic: R. E. Moore, Interval Analysis (1966), chapter 3. */

static const struct place HERE = {"rules.yaml", 3, 7};

static const struct named {
	const char *name, *text; /* a quantity, unless it begins with one of the marks below */
} NAMES[] = {
	{"here.gap", "7 mm"},
	{"edge", "62 mm ± 3 mm"},
	{"zeroish", "0 mm ± 1 mm"},
	{"zero", "0 mm"},
	{"speed", "0.18 m/s"},
	{"mass", "350 kg"},
	{"ratio", "0.5"},
	{"area", "4 m²"},
	{"gate.type", "'sliding"},
	{"control.automatic-closing", "yes"},
	{"dark", "no"},
	{"calibrated", "2026-03-31"},
	{"users", "["},
	{"odd", "nan"},
};

static struct value lookup(void *subject, const char *name)
{
	static const char *const USERS[] = {"visitors", "children"};
	struct quantity q;
	struct date d;
	int *asked = subject;
	if (asked)
		++*asked;
	for (size_t i = 0; i < sizeof NAMES / sizeof *NAMES; i++) {
		const char *text = NAMES[i].text;
		if (strcmp(NAMES[i].name, name) != 0)
			continue;
		if (*text == '\'')
			return value_of_word(text + 1);
		if (*text == '[')
			return (struct value){.kind = VALUE_LIST, .list = USERS, .count = 2};
		if (strcmp(text, "yes") == 0 || strcmp(text, "no") == 0)
			return value_of_truth(*text == 'y');
		if (strcmp(text, "nan") == 0)
			return value_of_quantity(quantity_of((double)NAN, DIM_LENGTH));
		if (date_read(text, &d))
			return value_of_date(d);
		cr_assert_eq(quantity_read(text, &q), QUANTITY_FINE);
		return value_of_quantity(q);
	}
	return value_unknown();
}

static struct value call(void *subject, const char *function, const struct value *arguments,
	size_t count)
{
	(void)subject;
	if (strcmp(function, "limit") == 0 && count == 1 &&
		text_equal(arguments[0].word, "finger-gap"))
		return value_of_quantity(quantity_of(0.008, DIM_LENGTH));
	if (strcmp(function, "always") == 0)
		return value_of_truth(true);
	return value_unknown();
}

static const struct rule_names VALUES = {NULL, lookup, call};

static struct rule *compile(struct arena *a, const char *text, struct findings *f)
{
	findings_init(f, a);
	return rule_compile(a, text, HERE, NULL, f);
}

static struct rule *good(struct arena *a, const char *text)
{
	struct findings f;
	struct rule *r = compile(a, text, &f);
	cr_assert_not_null(r, "%s: column %s", text, f.count ? f.items[0]->values->next->value : "");
	return r;
}

static const char *joined(struct arena *a, struct rule_result r)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < r.unknown_count; i++)
		buf_format(&b, "%s%s", i ? "," : "", r.unknown[i]);
	return b.bytes;
}

static void check_all(const char *const (*rows)[4], size_t count)
{
	static const char *const TRUTHS[] = {"no", "yes", "?"};
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < count; i++) {
		struct rule_result r = rule_test(&a, good(&a, rows[i][0]), &VALUES);
		cr_expect_str_eq(TRUTHS[r.truth], rows[i][1], "%s gave %s", rows[i][0],
			TRUTHS[r.truth]);
		cr_expect_str_eq(joined(&a, r), rows[i][2], "%s", rows[i][0]);
		const char *why = r.fault ? r.fault : r.doubtful ? "doubtful" : "";
		cr_expect_str_eq(why, rows[i][3], "%s: %s", rows[i][0], why);
	}
	arena_release(&a);
}

#define CHECK(rows) check_all(rows, sizeof rows / sizeof *rows)

/* All of Kleene's tables, `u` and `v` being unknown. */
Test(rule_rule, kleene)
{
	static const char *const ROWS[][4] = {
		{"not yes", "no", "", ""},
		{"not no", "yes", "", ""},
		{"not u", "?", "u", ""},
		{"yes and yes", "yes", "", ""},
		{"yes and no", "no", "", ""},
		{"yes and u", "?", "u", ""},
		{"no and yes", "no", "", ""},
		{"no and no", "no", "", ""},
		{"no and u", "no", "", ""},
		{"u and yes", "?", "u", ""},
		{"u and no", "no", "", ""},
		{"u and v", "?", "u,v", ""},
		{"yes or yes", "yes", "", ""},
		{"yes or no", "yes", "", ""},
		{"yes or u", "yes", "", ""},
		{"no or yes", "yes", "", ""},
		{"no or no", "no", "", ""},
		{"no or u", "?", "u", ""},
		{"u or yes", "yes", "", ""},
		{"u or no", "?", "u", ""},
		{"u or v", "?", "u,v", ""},
	};
	CHECK(ROWS);
}

/* Only what mattered is named, and once. */
Test(rule_rule, unknown_names)
{
	static const char *const ROWS[][4] = {
		{"u > 1 mm", "?", "u", ""},
		{"u > 1 mm or u < 2 mm or v = yes", "?", "u,v", ""},
		{"(u and no) or v", "?", "v", ""},
		{"(u or yes) and v", "?", "v", ""},
		{"u and (v and no)", "no", "", ""},
		{"known(u)", "no", "", ""},
		{"known(here.gap)", "yes", "", ""},
		{"known(u) or v", "?", "v", ""},
		{"not known(u) and here.gap < 8 mm", "yes", "", ""},
		{"limit('other') < 1 mm", "?", "limit('other')", ""},
		{"limit(u) < 1 mm", "?", "u", ""},
		{"known(limit('other'))", "no", "", ""},
		{"always(u)", "yes", "", ""},
		{"min(u, v, here.gap) < 1 mm", "?", "u,v", ""},
		{"u in ['a']", "?", "u", ""},
		{"gate.type in u", "?", "u", ""},
	};
	CHECK(ROWS);
}

Test(rule_rule, comparison)
{
	static const char *const ROWS[][4] = {
		{"here.gap <= limit('finger-gap')", "yes", "", ""},
		{"here.gap < 7 mm", "no", "", ""},
		{"here.gap <= 7 mm", "yes", "", ""},
		{"here.gap >= 7 mm", "yes", "", ""},
		{"here.gap > 7 mm", "no", "", ""},
		{"here.gap = 0.7 cm", "yes", "", ""},
		{"here.gap != 0.7 cm", "no", "", ""},
		/* In binary, 70 × 0.01 is not 0.7 and 0.1 + 0.2 is not 0.3. */
		{"70 cm = 0.7 m", "yes", "", ""},
		{"0.1 m + 0.2 m <= 0.3 m", "yes", "", ""},
		{"0.1 m + 0.2 m > 0.3 m", "no", "", ""},
		{"1 in = 25.4 mm", "yes", "", ""},
		{"ratio = 50 %", "yes", "", ""},
		{"gate.type = 'sliding'", "yes", "", ""},
		{"gate.type != 'sliding'", "no", "", ""},
		{"control.automatic-closing = yes", "yes", "", ""},
		{"control.automatic-closing", "yes", "", ""},
		{"dark = yes", "no", "", ""},
		{"not dark", "yes", "", ""},
		{"gate.type in ['swing', 'sliding']", "yes", "", ""},
		{"gate.type in ['swing']", "no", "", ""},
		{"not gate.type in ['swing']", "yes", "", ""},
		{"'children' in users", "yes", "", ""},
		{"'riders' in users", "no", "", ""},
		{"here.gap in [5 mm, 7 mm]", "yes", "", ""},
	};
	CHECK(ROWS);
}

/* edge is 59 to 65 mm. */
Test(rule_rule, doubt)
{
	static const char *const ROWS[][4] = {
		{"edge > 58 mm", "yes", "", ""},
		{"edge > 59 mm", "?", "", "doubtful"},
		{"edge >= 59 mm", "yes", "", ""},
		{"edge > 62 mm", "?", "", "doubtful"},
		{"edge >= 65 mm", "?", "", "doubtful"},
		{"edge > 65 mm", "no", "", ""},
		{"edge < 59 mm", "no", "", ""},
		{"edge < 65 mm", "?", "", "doubtful"},
		{"edge <= 65 mm", "yes", "", ""},
		{"edge <= 64.9 mm", "?", "", "doubtful"},
		{"edge < 66 mm", "yes", "", ""},
		{"edge = 62 mm", "?", "", "doubtful"},
		{"edge = 70 mm", "no", "", ""},
		{"edge != 70 mm", "yes", "", ""},
		{"edge != 62 mm", "?", "", "doubtful"},
		{"no and edge > 62 mm", "no", "", ""},
		{"edge > 62 mm or yes", "yes", "", ""},
		{"edge > 62 mm or u", "?", "u", "doubtful"},
		{"edge in [62 mm, 70 mm]", "?", "", "doubtful"},
		{"edge in [70 mm]", "no", "", ""},
		{"ratio / zeroish > 1 m", "?", "", "doubtful"},
		{"sqrt(zeroish * 1 mm) > 1 m", "?", "", "doubtful"},
	};
	CHECK(ROWS);
}

Test(rule_rule, faults)
{
	static const char *const ROWS[][4] = {
		{"here.gap < mass", "?", "", "cannot be compared: a length and a mass"},
		{"here.gap + mass > 1 m", "?", "", "cannot be added: a length and a mass"},
		{"here.gap - speed > 1 m", "?", "", "cannot be subtracted: a length and a speed"},
		{"min(here.gap, mass) > 1 m", "?", "", "no choice between: a length and a mass"},
		{"gate.type > 'a'", "?", "", "cannot be compared: a word and a word"},
		{"gate.type = here.gap", "?", "", "cannot be compared: a word and a length"},
		{"control.automatic-closing = gate.type", "?", "",
			"cannot be compared: yes or no and a word"},
		{"dark < dark", "?", "", "cannot be compared: yes or no and yes or no"},
		{"here.gap", "?", "", "not yes or no: a length"},
		{"here.gap and yes", "?", "", "not yes or no: a length"},
		{"not gate.type", "?", "", "not yes or no: a word"},
		{"1 m / zero > 2", "?", "", "division by zero"},
		{"sqrt(mass) > 1", "?", "", "no root: a mass"},
		{"sqrt(-area) > 1 m", "?", "", "root of a negative number"},
		{"abs(gate.type) > 1 m", "?", "", "no quantity: a word"},
		{"here.gap in users", "?", "", "cannot be looked up: a length and a list"},
		{"gate.type in gate.type", "?", "", "cannot be looked up: a word and a word"},
		{"calibrated > 'soon'", "?", "", "cannot be compared: a date and a word"},
		{"odd > 1 mm", "?", "odd", "a quantity outside its own bounds"},
		{"mass * 1e15 * 1e15 * mass / 1e15 > mass", "?", "",
			"cannot be compared: a quantity and a mass"},
		/* A fault that does not matter is none. */
		{"here.gap < mass or yes", "yes", "", ""},
	};
	CHECK(ROWS);
}

Test(rule_rule, dates)
{
	static const char *const ROWS[][4] = {
		{"calibrated < '2027-01-20'", "yes", "", ""},
		{"'2027-01-20' > calibrated", "yes", "", ""},
		{"calibrated = '2026-03-31'", "yes", "", ""},
		{"calibrated >= '2026-04-01'", "no", "", ""},
		{"calibrated in ['2026-03-31']", "yes", "", ""},
		{"calibrated + 12 months = '2027-03-31'", "yes", "", ""},
		{"calibrated + 1 month = '2026-04-30'", "yes", "", ""}, /* last day of a shorter month */
		{"calibrated - 31 days = '2026-02-28'", "yes", "", ""},
		{"30 days + calibrated = '2026-04-30'", "yes", "", ""},
		{"calibrated - calibrated = 0 days", "yes", "", ""},
		{"calibrated + calibrated > 1 day", "?", "", "cannot be added: a date and a date"},
		{"calibrated + 0.5 days = calibrated", "?", "",
			"a date moves by whole days or months"},
		{"calibrated + 1 m = calibrated", "?", "", "cannot be added: a date and a length"},
		{"calibrated + 400 years = calibrated", "?", "", "a date outside 1900 to 2199"},
		{"calibrated + 90000 days = calibrated", "?", "", "a date outside 1900 to 2199"},
		{"1 day - calibrated = 1 day", "?", "",
			"cannot be added: a number of days and a date"},
	};
	CHECK(ROWS);
}

/* A minus between blanks subtracts; inside a name it is a hyphen. A unit swallows its slash only
 * when the whole of it is a unit. */
Test(rule_rule, arithmetic)
{
	static const struct {
		const char *rule;
		double value, low, high;
		struct dimension dim;
	} ROWS[] = {
		{"1 m - 2 m", -1, -1, -1, {.m = 1}},
		{"2 * 3 + 4", 10, 10, 10, {0}},
		{"4 + 2 * 3", 10, 10, 10, {0}},
		{"(4 + 2) * 3", 18, 18, 18, {0}},
		{"8 - 4 - 2", 2, 2, 2, {0}},
		{"8 / 4 / 2", 1, 1, 1, {0}},
		{"-8 - -4", -4, -4, -4, {0}},
		{"2 * - 3", -6, -6, -6, {0}},
		{"0.5 m/s", 0.5, 0.5, 0.5, {.m = 1, .s = -1}},
		{"6 m/min", 0.1, 0.1, 0.1, {.m = 1, .s = -1}},
		{"0.5 m / 2 s", 0.25, 0.25, 0.25, {.m = 1, .s = -1}},
		{"0.5 m /2 s", 0.25, 0.25, 0.25, {.m = 1, .s = -1}},
		{"9.81 m/s2", 9.81, 9.81, 9.81, {.m = 1, .s = -2}},
		{"9.81 m/s²", 9.81, 9.81, 9.81, {.m = 1, .s = -2}},
		{"1 m/speed", 1 / 0.18, 1 / 0.18, 1 / 0.18, {.s = 1}},
		{"500 N/mm", 500000, 500000, 500000, {.kg = 1, .s = -2}},
		{"3600 1/h", 1, 1, 1, {.s = -1}},
		{"62mm", 0.062, 0.062, 0.062, {.m = 1}},
		{".5", 0.5, 0.5, 0.5, {0}},
		{"1e3", 1000, 1000, 1000, {0}},
		{"edge + 1 mm", 0.063, 0.060, 0.066, {.m = 1}},
		{"edge - edge", 0, -0.006, 0.006, {.m = 1}},
		{"10 mm - edge", -0.052, -0.055, -0.049, {.m = 1}},
		{"-edge", -0.062, -0.065, -0.059, {.m = 1}},
		{"edge * 2", 0.124, 0.118, 0.130, {.m = 1}},
		{"edge * -2", -0.124, -0.130, -0.118, {.m = 1}},
		{"zeroish * zeroish", 0, -1e-6, 1e-6, {.m = 2}},
		{"1 / edge", 1 / 0.062, 1 / 0.065, 1 / 0.059, {.m = -1}},
		{"abs(10 mm - edge)", 0.052, 0.049, 0.055, {.m = 1}},
		{"abs(zeroish)", 0, 0, 0.001, {.m = 1}},
		{"min(edge, 60 mm, 61 mm)", 0.060, 0.059, 0.060, {.m = 1}},
		{"max(edge, 60 mm, 61 mm)", 0.062, 0.061, 0.065, {.m = 1}},
		{"sqrt(area)", 2, 2, 2, {.m = 1}},
		/* 350 kg at 0.18 m/s: m v²/2 = 350 × 0.0324 / 2 = 5.67 J. */
		{"0.5 * mass * speed * speed", 5.67, 5.67, 5.67, {.m = 2, .kg = 1, .s = -2}},
		{"sqrt(edge * edge)", 0.062, 0.059, 0.065, {.m = 1}},
	};
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct value v = rule_value(&a, good(&a, ROWS[i].rule), &VALUES);
		cr_assert_eq(v.kind, VALUE_QUANTITY, "%s", ROWS[i].rule);
		cr_expect(dimension_equal(v.quantity.dim, ROWS[i].dim), "%s", ROWS[i].rule);
		cr_expect_float_eq(v.quantity.value, ROWS[i].value, 1e-12, "%s", ROWS[i].rule);
		cr_expect_float_eq(v.quantity.low, ROWS[i].low, 1e-12, "%s", ROWS[i].rule);
		cr_expect_float_eq(v.quantity.high, ROWS[i].high, 1e-12, "%s", ROWS[i].rule);
	}
	arena_release(&a);
}

static const char *value_named(const struct finding *f, const char *name)
{
	for (const struct finding_value *v = f->values; v; v = v->next)
		if (strcmp(v->name, name) == 0)
			return v->value;
	return "";
}

static const struct {
	const char *rule, *column, *near, *expected, *way;
	enum finding_code code;
} REFUSED[] = {
	{"", "1", "the end", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"  ", "3", "the end", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a and", "6", "the end", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"and a", "1", "and", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a = ", "5", "the end", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a b", "3", "b", "an operator or the end", "", FINDING_CODE_RULE_SYNTAX},
	{"a == b", "3", "==", "one of = != < <= > >=", "single-equals",
		FINDING_CODE_RULE_SYNTAX},
	{"1 m < a < 2 m", "9", "<", "and, or, or the end", "one-comparison",
		FINDING_CODE_RULE_SYNTAX},
	{"(a", "3", "the end", ")", "", FINDING_CODE_RULE_SYNTAX},
	{"a)", "2", ")", "an operator or the end", "", FINDING_CODE_RULE_SYNTAX},
	{"min(1 m)", "1", "min(1", "2 arguments or more", "", FINDING_CODE_RULE_SYNTAX},
	{"known(1 m)", "7", "1", "a name", "", FINDING_CODE_RULE_SYNTAX},
	{"known()", "1", "known()", "1 argument", "", FINDING_CODE_RULE_SYNTAX},
	{"sqrt(1, 2)", "1", "sqrt(1,", "1 argument", "", FINDING_CODE_RULE_SYNTAX},
	{"f(1", "4", "the end", ", or )", "", FINDING_CODE_RULE_SYNTAX},
	{"a in []", "7", "]", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a in ['b'", "10", "the end", ", or ]", "", FINDING_CODE_RULE_SYNTAX},
	{"a in [b]", "7", "b]", "a 'word' or a number", "", FINDING_CODE_RULE_SYNTAX},
	{"a = 'b", "5", "'b", "a closing '", "", FINDING_CODE_RULE_SYNTAX},
	{"a = \"b\"", "5", "\"b\"", "a value", "single-quoted-word",
		FINDING_CODE_RULE_SYNTAX},
	{"a < 5 mtr", "7", "mtr", "a unit", "", FINDING_CODE_RULE_SYNTAX},
	{"a < 5and b", "6", "and", "a unit", "", FINDING_CODE_RULE_SYNTAX},
	{"a < 1e400", "5", "1e400", "a number below 1e15", "", FINDING_CODE_RULE_SYNTAX},
	{"a -5 mm > b", "3", "-5", "a minus between blanks", "blanks-around-minus",
		FINDING_CODE_RULE_SYNTAX},
	{"a- b > c", "1", "a-", "a name", "blanks-around-minus", FINDING_CODE_RULE_SYNTAX},
	{"5-3 > c", "2", "-3", "a minus between blanks", "blanks-around-minus",
		FINDING_CODE_RULE_SYNTAX},
	{"a..b", "1", "a..b", "a name", "", FINDING_CODE_RULE_SYNTAX},
	{"a. = b", "1", "a.", "a name", "", FINDING_CODE_RULE_SYNTAX},
	{"ß = b", "1", "ß", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"'ßß' = %", "8", "%", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a ; b", "3", ";", "an operator or the end", "", FINDING_CODE_RULE_SYNTAX},
	{"a < ?", "5", "?", "a value", "", FINDING_CODE_RULE_SYNTAX},
	{"a = 1 m\x01", "8", "\\x01", "an operator or the end", "",
		FINDING_CODE_RULE_SYNTAX},
	{"1 m < 2 kg", "5", "<", "", "", FINDING_CODE_RULE_UNITS},
	{"a > 1 m + 2 s", "9", "+", "", "", FINDING_CODE_RULE_UNITS},
	{"a > 1 m - 5", "9", "-", "", "", FINDING_CODE_RULE_UNITS},
	{"min(a, 1 m, 2 s) > b", "13", "2", "", "", FINDING_CODE_RULE_UNITS},
	{"sqrt(2 m) > a", "1", "sqrt(2", "", "", FINDING_CODE_RULE_UNITS},
	{"a and 5 mm", "7", "5", "", "", FINDING_CODE_RULE_UNITS},
	{"not 'a'", "5", "'a'", "", "", FINDING_CODE_RULE_UNITS},
	{"'a' < 'b'", "5", "<", "", "", FINDING_CODE_RULE_UNITS},
	{"a + 'b' = c", "3", "+", "", "", FINDING_CODE_RULE_UNITS},
	{"5 mm in ['a']", "10", "'a']", "", "", FINDING_CODE_RULE_UNITS},
	{"yes < no", "5", "<", "", "", FINDING_CODE_RULE_UNITS},
	{"(a = b) = 5", "9", "=", "", "", FINDING_CODE_RULE_UNITS},
	/* Five inches. */
	{"5 in 'a'", "6", "'a'", "an operator or the end", "", FINDING_CODE_RULE_SYNTAX},
};

Test(rule_rule, refused)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof REFUSED / sizeof *REFUSED; i++) {
		struct findings f;
		const char *rule = REFUSED[i].rule;
		cr_assert_null(compile(&a, rule, &f), "%s was accepted", rule);
		cr_assert_eq(f.count, 1, "%s: %zu findings", rule, f.count);
		const struct finding *it = f.items[0];
		cr_expect_eq(it->code, REFUSED[i].code, "%s: %s", rule, finding_name(it->code));
		cr_expect_eq(it->at.line, HERE.line);
		cr_expect_str_eq(value_named(it, "column"), REFUSED[i].column, "%s: column %s", rule,
			value_named(it, "column"));
		cr_expect_str_eq(value_named(it, "near"), REFUSED[i].near, "%s: near %s", rule,
			value_named(it, "near"));
		cr_expect_str_eq(value_named(it, "expected"), REFUSED[i].expected, "%s: %s", rule,
			value_named(it, "expected"));
		cr_expect_str_eq(it->ways ? it->ways->id : "", REFUSED[i].way, "%s", rule);
	}
	arena_release(&a);
}

static bool known_name(const void *subject, const char *name)
{
	(void)subject;
	return text_begins(name, "here.");
}

static bool known_call(const void *subject, const char *function, size_t count)
{
	(void)subject;
	return strcmp(function, "limit") == 0 && count == 1;
}

Test(rule_rule, vocabulary)
{
	static const struct rule_vocabulary WORDS = {NULL, known_name, known_call};
	static const struct {
		const char *rule;
		size_t faults;
	} ROWS[] = {
		{"here.gap <= limit('a')", 0},
		{"here.gap <= limit('a') and known(here.cover) and min(here.a, here.b) > 1 m", 0},
		{"hear.gap <= limit('a')", 1},
		{"hear.gap <= limt('a')", 2},
		{"known(hear.gap)", 1},
		{"limit('a', 'b') > 1 m", 1},
		{"limit(a) > 1 m", 1},
		{"here.a in users", 1},
	};
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct findings f;
		findings_init(&f, &a);
		struct rule *r = rule_compile(&a, ROWS[i].rule, HERE, &WORDS, &f);
		cr_expect_eq(f.count, ROWS[i].faults, "%s: %zu", ROWS[i].rule, f.count);
		cr_expect_eq(r == NULL, ROWS[i].faults > 0, "%s", ROWS[i].rule);
		for (size_t j = 0; j < f.count; j++)
			cr_expect_eq(f.items[j]->code, FINDING_CODE_RULE_NAME);
	}
	arena_release(&a);
}

Test(rule_rule, shown)
{
	static const char *const ROWS[][2] = {
		{"here.gap <= limit('finger-gap')", "gap 7 mm ≤ 8 mm"},
		{"edge >= 60 mm", "edge 62 mm ± 3 mm ≥ 60 mm"},
		{"u > 1 m and limit('x') != 2 m", "u ? > 1 m and ? ≠ 2 m"},
		{"control.automatic-closing = yes", "automatic-closing yes"},
		{"gate.type in ['swing', 'sliding']", "type sliding"},
		{"'children' in users", "children in users visitors, children"},
		{"not (dark or u)", "not (dark no or u ?)"},
		{"dark or edge >= 50 mm", "edge 62 mm ± 3 mm ≥ 50 mm"},
		{"calibrated > '2026-01-01' and (dark or edge >= 50 mm)",
			"calibrated 2026-03-31 > 2026-01-01 and edge 62 mm ± 3 mm ≥ 50 mm"},
		{"gate.type = 'swing'", "type sliding = swing"},
		{"not dark or u", "not dark no"},
		{"1 m - (2 m - 3 m)", "1 m − (2 m − 3 m)"},
		{"(1 m + 2 m) * 3", "(1 m + 2 m) × 3"},
		{"8 / (4 / 2)", "8 / (4 / 2)"},
		{"- (1 m + 2 m) / 5", "−(1 m + 2 m) / 5"},
		{"known(u) and calibrated > '2026-01-01'",
			"no and calibrated 2026-03-31 > 2026-01-01"},
		{"(dark and u) or dark", "dark no and u ? or dark no"},
		{"dark and (u or dark)", "dark no and (u ? or dark no)"},
	};
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		char *text = rule_shown(&a, good(&a, ROWS[i][0]), &VALUES);
		cr_expect_str_eq(text, ROWS[i][1], "%s", text);
	}
	cr_expect_str_eq(rule_text(good(&a, " dark ")), " dark ");
	arena_release(&a);
}

/* What decides first spares the computation of the rest. */
Test(rule_rule, lazy)
{
	jmp_buf escape;
	struct arena a;
	int asked = 0;
	struct rule_names names = {&asked, lookup, call};
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	rule_test(&a, good(&a, "dark and speed > 1 m/s and mass > 1 kg"), &names);
	cr_expect_eq(asked, 1, "asked %d times", asked);
	arena_release(&a);
}

static char *repeated(struct arena *a, const char *head, const char *part, size_t times,
	const char *middle, const char *end_part, const char *tail)
{
	struct buf b;
	buf_init(&b, a);
	buf_put(&b, head);
	for (size_t i = 0; i < times; i++)
		buf_put(&b, part);
	buf_put(&b, middle);
	for (size_t i = 0; i < times; i++)
		buf_put(&b, end_part);
	buf_put(&b, tail);
	return b.bytes;
}

Test(rule_rule, nesting)
{
	static const struct {
		const char *open, *middle, *close;
		size_t most; /* times that `open` may stand */
	} ROWS[] = {
		{"(", "dark", ")", 31},
		{"not ", "dark", "", 31},
		{"f(", "dark", ")", 31},
		{"-", "1 = 1", "", 31},
	};
	jmp_buf escape;
	struct arena a;
	struct findings f;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		for (size_t more = 0; more < 2; more++) {
			char *text = repeated(&a, "", ROWS[i].open, ROWS[i].most + more,
				ROWS[i].middle, ROWS[i].close, "");
			cr_expect_eq(compile(&a, text, &f) == NULL, more == 1, "%s", text);
			cr_expect(more == 0 || text_equal(f.items[0]->ways->id, "split-rule"));
		}
	char *longest = repeated(&a, "no", " or no", 166, " ", "", " ");
	cr_assert_eq(strlen(longest), 1000);
	cr_expect_not_null(compile(&a, longest, &f));
	cr_expect_null(compile(&a, arena_format(&a, "%s ", longest), &f));
	arena_release(&a);
}

/* Dimensions must not wrap round: 300 lengths multiplied are no plain number. */
Test(rule_rule, hostile)
{
	jmp_buf escape;
	struct arena a;
	struct findings f;
	clock_t start = clock();
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	cr_expect_null(compile(&a, repeated(&a, "1 = 1 m", "*1 m", 180, "", "", ""), &f));
	struct rule *r = good(&a, repeated(&a, "1 = u", "*here.gap", 90, "", "", ""));
	struct rule_result t = rule_test(&a, r, &VALUES);
	cr_expect_eq(t.truth, TRUTH_UNKNOWN);
	r = good(&a, repeated(&a, "1 = here.gap", "*here.gap", 90, "", "", ""));
	t = rule_test(&a, r, &VALUES);
	cr_expect_eq(t.truth, TRUTH_UNKNOWN);
	cr_expect_not_null(t.fault);
	char *million = arena_alloc(&a, 1000001);
	memset(million, '(', 1000000);
	cr_expect_null(compile(&a, million, &f));
	for (int i = 0; i < 200; i++) {
		r = good(&a, repeated(&a, "u", " or u", 190, "", "", ""));
		cr_expect_eq(rule_test(&a, r, &VALUES).unknown_count, 1);
	}
	cr_expect_lt(clock() - start, CLOCKS_PER_SEC);
	arena_release(&a);
}
