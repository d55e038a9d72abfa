/* Paths of a record: the forms that the reference of the record in docs/ writes. */
#include <criterion/criterion.h>
#include <setjmp.h>

#include "model/path.h"

static struct arena arena;
static jmp_buf escape;

static void begin(void)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(model_path, .init = begin, .fini = end);

static const struct {
	const char *written, *canonical, *list, *id, *key, *row;
} GOOD[] = {
	{"drive.thrust", "drive.thrust", NULL, NULL, "drive.thrust", "drive.thrust"},
	{"drive", "drive", NULL, NULL, "drive", NULL},
	{"devices", "devices", "devices", NULL, "", NULL},
	{"gate.leaves", "gate.leaves", "gate.leaves", NULL, "", NULL},
	{"devices[edge-1]", "devices[edge-1]", "devices", "edge-1", "", NULL},
	{"devices[edge-1].maker", "devices[edge-1].maker", "devices", "edge-1", "maker", "devices[].maker"},
	{"control.inputs[stop].at-rest", "control.inputs[stop].at-rest", "control.inputs", "stop", "at-rest",
		"control.inputs[].at-rest"},
	{"zones[main-edge@leaf-1].as", "zones[main-edge@leaf-1].as", "zones", "main-edge@leaf-1", "as", "zones[].as"},
	{"zones.main-edge@leaf-1.as", "zones[main-edge@leaf-1].as", "zones", "main-edge@leaf-1", "as", "zones[].as"},
	{"zones.a~b@leaf-1.facts.gap", "zones[a~b@leaf-1].facts.gap", "zones", "a~b@leaf-1", "facts.gap",
		"zones[].facts.*"},
	{"checks.stop-works", "checks[stop-works]", "checks", "stop-works", "", NULL},
	{"functions[stop].subsystems[relay].paper",
		"functions[stop].subsystems[relay].paper", "functions", "stop", "paper",
		"functions[].subsystems[].paper"},
	{"functions[stop].subsystems", "functions[stop].subsystems", "functions", "stop", "subsystems", NULL},
	{"gate.dimensions.travel", "gate.dimensions.travel", NULL, NULL, "gate.dimensions.travel",
		"gate.dimensions.*"},
};

static const char *const BAD[] = {"", "driv.thrust", "drive.thrusts", "devices[]", "devices[edge-1",
	"devices[edge-1]maker",
	"devices[edge-1].makers", "devices[a].b[c].d", "drive[a].thrust", "zones.", "zones.x.", "zones.x.was",
	"functions[a].subsystems[].paper", "functions[a].subsystems[b].c[d].e", "functions[a].chains[b].paper",
	"drive.thrust.more"};

Test(model_path, reads_what_people_write)
{
	for (size_t i = 0; i < sizeof GOOD / sizeof *GOOD; i++) {
		struct record_path p;
		cr_assert(record_path_read(&arena, GOOD[i].written, &p), "%s", GOOD[i].written);
		cr_expect_str_eq(record_path_text(&arena, &p), GOOD[i].canonical);
		cr_expect_str_eq(p.list ? p.list : "-", GOOD[i].list ? GOOD[i].list : "-", "%s", GOOD[i].written);
		cr_expect_str_eq(p.id ? p.id : "-", GOOD[i].id ? GOOD[i].id : "-", "%s", GOOD[i].written);
		cr_expect_str_eq(p.key, GOOD[i].key, "%s", GOOD[i].written);
		cr_expect_str_eq(p.field ? p.field->path : "-", GOOD[i].row ? GOOD[i].row : "-", "%s", GOOD[i].written);
	}
}

Test(model_path, refuses_the_rest_and_touches_nothing)
{
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) {
		struct record_path p = {.id = "untouched"};
		cr_expect(!record_path_read(&arena, BAD[i], &p), "%s", BAD[i]);
		cr_expect_str_eq(p.id, "untouched");
	}
}

Test(model_path, names_the_list_of_an_item)
{
	struct record_path p;
	cr_assert(record_path_read(&arena, "functions[stop].subsystems[relay].paper", &p));
	cr_expect_str_eq(record_path_list(&arena, &p), "functions[].subsystems");
	cr_assert(record_path_read(&arena, "drive.thrust", &p));
	cr_expect(record_path_list(&arena, &p) == NULL);
}
