#include <criterion/criterion.h>

#include <string.h>

#include "base/finding.h"

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

TestSuite(base_finding, .init = setup, .fini = teardown);

/* Names are printed, looked up and used as keys: lower case words with hyphens, each once. */
Test(base_finding, catalogue)
{
	for (int i = 0; i < FINDING_CODE_COUNT; i++) {
		const char *name = finding_name((enum finding_code)i);
		size_t n = strlen(name);
		cr_expect_eq(strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-"), n, "%s", name);
		cr_expect(n && *name != '-' && name[n - 1] != '-' && !strstr(name, "--"), "%s", name);
		cr_expect_eq(finding_named(name), (enum finding_code)i, "%s stands twice", name);
	}
	cr_expect_eq(finding_named("no-such-code"), FINDING_CODE_COUNT);
	cr_expect_eq(finding_named(""), FINDING_CODE_COUNT);
	cr_expect_str_eq(finding_name(FINDING_CODE_YAML_SYNTAX), "yaml-syntax");
	cr_expect_eq(finding_level(FINDING_CODE_YAML_SYNTAX), FINDING_INPUT);
	cr_expect_str_eq(finding_level_name(FINDING_STOP), "stop");
	cr_expect_str_eq(standing_name(STANDING_FIRM), "firm");
}

Test(base_finding, values_and_ways)
{
	struct place at = {"gate.yaml", 3, 5};
	struct finding *it = finding_add(&f, FINDING_CODE_FIELD_MISSING, "gate.width", at);
	finding_with(&f, finding_with(&f, it, "one", "1"), "two", NULL);
	struct way *w = finding_way(&f, it, "first");
	way_with(&f, way_with(&f, w, "gap", "8 mm"), "edge", "9 mm");
	finding_way(&f, it, "second");
	finding_source(it, "a standard, edition, clause", STANDING_PUBLISHED);
	cr_expect_str_eq(it->subject, "gate.width");
	cr_expect_str_eq(it->values->name, "one");
	cr_expect_str_eq(it->values->next->value, "", "no value is an empty one");
	cr_expect_null(it->values->next->next);
	cr_expect_str_eq(it->ways->id, "first");
	cr_expect_str_eq(it->ways->values->next->name, "edge");
	cr_expect_str_eq(it->ways->next->id, "second");
	cr_expect_null(it->ways->next->next);
	cr_expect_eq(it->standing, STANDING_PUBLISHED);
	cr_expect_str_eq(finding_add(&f, FINDING_CODE_FIELD_MISSING, NULL, at)->subject, "");
}

Test(base_finding, sorted)
{
	static const struct {
		enum finding_code code;
		struct place at;
		const char *subject;
	} ADDED[] = {
		{FINDING_CODE_FIELD_MISSING, {"b.yaml", 1, 1}, "7"},
		{FINDING_CODE_FIELD_MISSING, {"a.yaml", 2, 9}, "5"},
		{FINDING_CODE_FIELD_MISSING, {"a.yaml", 2, 9}, "6"}, /* in the order added */
		{FINDING_CODE_FIELD_MISSING, {"a.yaml", 2, 1}, "4"},
		{FINDING_CODE_FIELD_MISSING, {NULL, 0, 0}, "3"},
		{FINDING_CODE_CHOICE_LOOSENED, {"a.yaml", 1, 1}, "8"},
		{FINDING_CODE_YAML_SYNTAX, {"z.yaml", 9, 9}, "2"},
		{FINDING_CODE_YAML_SYNTAX, {"z.yaml", 8, 9}, "1"},
	};
	findings_sort(&f);
	cr_expect_eq(findings_worst(&f), FINDING_NOTE, "none");
	for (size_t i = 0; i < sizeof ADDED / sizeof *ADDED; i++)
		finding_add(&f, ADDED[i].code, ADDED[i].subject, ADDED[i].at);
	findings_sort(&f);
	for (size_t i = 0; i < f.count; i++)
		cr_expect_eq(*f.items[i]->subject, (char)('1' + i), "place %zu: %s", i + 1,
			f.items[i]->subject);
	cr_expect_eq(findings_worst(&f), FINDING_INPUT);
	cr_expect_eq(findings_count(&f, FINDING_OPEN), 5);
	cr_expect_eq(findings_count(&f, FINDING_NOTE), 1);
	cr_expect_eq(findings_count(&f, FINDING_STOP), 0);
}

Test(base_finding, many)
{
	for (int i = 0; i < 10000; i++)
		finding_add(&f, FINDING_CODE_FIELD_MISSING, "x", (struct place){"f", 10000 - i, 1});
	findings_sort(&f);
	cr_assert_eq(f.count, 10000);
	for (int i = 0; i < 10000; i++)
		cr_assert_eq(f.items[i]->at.line, i + 1);
}
