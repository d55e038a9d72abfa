/* Lists inside the items of others: functions[].subsystems. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"
#include "load/record.h"
#include "model/field.h"

static jmp_buf escape;
static struct arena a;
static struct findings found;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&found, &a);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(load_record_inner, .init = setup, .fini = teardown);

static struct record *load(const char *text)
{
	findings_init(&found, &a);
	return record_load(&a, text, strlen(text), "gate.yaml", "", NULL, &found);
}

/* Code, line and subject of all that was found. */
static const char *listed(const char *text)
{
	struct buf b;
	buf_init(&b, &a);
	load(text);
	findings_sort(&found);
	for (size_t i = 0; i < found.count; i++)
		buf_format(&b, "%s %d %s\n", finding_name(found.items[i]->code), found.items[i]->at.line,
			found.items[i]->subject);
	return b.bytes;
}

static const struct item_list *subsystems(const struct record *r)
{
	return record_list(r, "functions[].subsystems");
}

Test(load_record_inner, each_knows_its_owner)
{
	struct record *r = load("record: 1\n"
				"functions:\n"
				"  - id: stop\n"
				"    subsystems:\n"
				"      - {id: relay, dc: 90 %}\n"
				"      - {id: logic}\n"
				"    kind: stop\n"
				"  - id: bare\n"
				"  - id: start\n"
				"    subsystems: [{id: relay, dc: 60 %}]\n");
	const struct item_list *list = subsystems(r);
	const struct item_list *functions = record_list(r, "functions");
	cr_assert_eq(found.count, 0);
	cr_assert_eq(list->count, 3);
	cr_expect(list->present);
	cr_expect_eq(list->at.line, 4);
	cr_expect_eq(list->items[0].owner, &functions->items[0]);
	cr_expect_eq(list->items[1].owner, &functions->items[0]);
	cr_expect_eq(list->items[2].owner, &functions->items[2]);
	cr_expect_null(functions->items[0].owner);
	cr_expect_float_eq(item_fact(&list->items[0], "dc")->quantity.value, 0.9, 1e-12);
	cr_expect_float_eq(item_fact(&list->items[2], "dc")->quantity.value, 0.6, 1e-12);
	cr_expect_eq(item_fact(&list->items[2], "dc")->at.line, 10);
	/* What follows the inner list belongs to the outer item. */
	cr_expect_str_eq(fact_text(item_fact(&functions->items[0], "kind")), "stop");
	cr_expect_str_eq(item_path(&a, list->path, &list->items[2]), "functions[start].subsystems[relay]");
	cr_expect_str_eq(item_path(&a, functions->path, &functions->items[1]), "functions[bare]");
}

/* The same id in two functions is two subsystems; twice in one is a mistake. */
Test(load_record_inner, ids_are_each_owners)
{
	cr_expect_str_eq(listed("record: 1\nfunctions:\n"
				"  - {id: a, subsystems: [{id: x}, {id: y}]}\n"
				"  - {id: b, subsystems: [{id: y}, {id: x}]}\n"),
		"");
	cr_expect_str_eq(listed("record: 1\nfunctions:\n"
				"  - id: a\n    subsystems:\n      - {id: x}\n      - {id: y}\n      - {id: x}\n"
				"  - {id: b, subsystems: [{id: x}]}\n"),
		"record-duplicate-id 7 functions[a].subsystems[x]\n");
	/* An item without an id is no second of another one. */
	cr_expect_str_eq(listed("record: 1\nfunctions:\n  - id: a\n    subsystems:\n      - {dc: "
				"90 %}\n      - {dc: 80 %}\n"),
		"record-item-id 5 functions[a].subsystems[1]\nrecord-item-id 6 "
		"functions[a].subsystems[2]\n");
}

Test(load_record_inner, what_no_list_is)
{
	static const char *const CASES[][2] = {
		{"none", ""}, {"[]", ""}, {"unknown", ""},
		{"7", "value-shape 4 functions[a].subsystems\n"},
		{"{x: {dc: 90 %}}", "value-shape 4 functions[a].subsystems\n"},
		{"[x]", "value-shape 4 functions[a].subsystems[1]\n"},
		{"[[x]]", "value-shape 4 functions[a].subsystems[1]\n"},
		{"[{id: x, dc: 90}]", "value-range 4 functions[a].subsystems[x].dc\n"},
		{"[{id: x, dc: 100 %}]", "value-range 4 functions[a].subsystems[x].dc\n"},
		{"[{id: x, mttfd: 1000000 years}]", "value-range 4 functions[a].subsystems[x].mttfd\n"},
		{"[{id: x, per-hour: 0 1/h}]", "value-range 4 functions[a].subsystems[x].per-hour\n"},
		{"[{id: x, common-cause: 101}]", "value-range 4 functions[a].subsystems[x].common-cause\n"},
		{"[{id: x, b10d: 1.5}]", "value-whole 4 functions[a].subsystems[x].b10d\n"},
		{"[{id: x, category: 5}]", "value-choice 4 functions[a].subsystems[x].category\n"},
		{"[{id: x, roles: [eye]}]", "value-choice 4 functions[a].subsystems[x].roles\n"},
		{"[{id: x, dcc: 90 %}]", "record-unknown-key 4 functions[a].subsystems[x].dcc\n"},
		{"[{id: x, subsystems: []}]", "record-unknown-key 4 functions[a].subsystems[x].subsystems\n"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		const char *got = listed(arena_format(
			&a, "record: 1\nfunctions:\n  - id: a\n    subsystems: %s\n", CASES[i][0]));
		cr_expect_str_eq(got, CASES[i][1], "%s\n%s", CASES[i][0], got);
	}
	/* Only functions have them, and nothing stands at the top by that name. */
	cr_expect_str_eq(listed("record: 1\nsubsystems: []\n"), "record-unknown-key 2 subsystems\n");
	cr_expect_str_eq(listed("record: 1\ndevices: [{id: a, subsystems: []}]\n"),
		"record-unknown-key 2 devices[a].subsystems\n");
}

/* A misspelt name of the list is told what was meant. */
Test(load_record_inner, misspelt)
{
	load("record: 1\nfunctions: [{id: a, subsytems: []}]\n");
	cr_assert_eq(found.count, 1);
	bool meant = false;
	for (const struct way *w = found.items[0]->ways; w; w = w->next)
		for (const struct finding_value *v = w->values; v; v = v->next)
			meant = meant || text_equal(v->value, "subsystems");
	cr_expect(meant);
}

/* All of them together stay within what one list may hold. */
Test(load_record_inner, too_many)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, "record: 1\nfunctions:\n");
	for (int f = 0; f < 3; f++) {
		buf_format(&b, "  - id: f%d\n    subsystems:\n", f);
		for (int i = 0; i < 700; i++)
			buf_format(&b, "      - {id: s%d}\n", i);
	}
	const struct record *r = load(b.bytes);
	cr_assert_eq(found.count, 1);
	cr_expect_str_eq(finding_name(found.items[0]->code), "record-too-many");
	cr_expect_eq(subsystems(r)->count, 1400);
	/* They have moved while the list grew, and still know their owners. */
	for (size_t i = 0; i < 1400; i++) {
		const struct item *item = &subsystems(r)->items[i];
		cr_assert_eq(item->owner, &record_list(r, "functions")->items[i / 700]);
		cr_assert_str_eq(item->id, arena_format(&a, "s%zu", i % 700));
	}
}

/* The field table: the last brackets of a path end its list. */
Test(load_record_inner, brackets)
{
	cr_expect_null(field_brackets("drive.thrust"));
	cr_expect_str_eq(field_brackets("devices[].maker"), "[].maker");
	cr_expect_str_eq(field_brackets("functions[].subsystems[].dc"), "[].dc");
	cr_expect_str_eq(field_brackets("functions[].subsystems"), "[].subsystems");
	cr_assert_not_null(field_find("functions[].subsystems[].dc"));
	cr_expect_null(field_find("functions[].subsystems[].nothing"));
}
