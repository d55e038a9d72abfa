/* Rules by which activations, safety functions, inputs and commissioning checks are judged. */
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

TestSuite(assess_controls, .init = setup, .fini = teardown);

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

/* What is fitted counts, whether it is live or not; the worst of them. */
Test(assess_controls, the_worst_activation_counts)
{
	static const struct {
		const char *activations, *worst;
	} CASES[] = {
		{"{id: a, kind: push-button, in-view: yes}", "impulse-in-view"},
		{"{id: a, kind: push-button, in-view: yes}, {id: b, kind: timer, in-view: yes, live: no}",
			"automatic"},
		{"{id: b, kind: timer, in-view: yes}, {id: a, kind: push-button, in-view: yes}", "automatic"},
		{"{id: a, kind: push-button, in-view: no}", "impulse-out-of-view"},
		{"{id: a, kind: push-button, in-view: unknown}", "impulse-out-of-view"},
		{"{id: a, kind: unknown, in-view: yes}", "automatic"},
		{"{id: a, kind: hold-to-run, in-view: yes}", "hold-to-run"},
		{"{id: a, kind: hold-to-run, in-view: yes}, {id: b, kind: push-button, in-view: yes}",
			"impulse-in-view"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		bench_record(&b,
			"    - {id: button, kind: push-button, place: hut, in-view: yes, live: yes,\n"
			"       reached-by: [named-staff], moves-other-gates: no}\n",
			arena_format(&b.arena, "    [%s]\n", CASES[i].activations));
		bench_judge(&b);
		cr_expect_str_eq(b.result->activation, CASES[i].worst, "%s", CASES[i].activations);
		bench_again(&b);
	}
}

/* No activation on record, or one that no class knows: nothing is said to be enough. */
Test(assess_controls, no_activation_is_open)
{
	const char *written = "  activations:\n"
			      "    - {id: button, kind: push-button, place: hut, in-view: yes, live: yes,\n"
			      "       reached-by: [named-staff], moves-other-gates: no}\n";
	record_gives(written, "  activations: []\n",
		"activation-unclassed control.activations\n");
	bench_record(&b, written, "");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "activation-unclassed", "control.activations"));
	cr_expect_not_null(bench_finding(&b, "list-missing", "control.activations"));
	bench_again(&b);
	bench_record(&b, "kind: push-button", "kind: keypad");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "activation-unclassed", "button"));
	cr_expect_not(b.result->ready);
}

Test(assess_controls, least_protection_by_use)
{
	record_gives("users: [named-staff]", "users: [named-staff, public]", "protection-open leaf-1\n");
	record_gives("public-passes: no", "public-passes: yes", "protection-open leaf-1\n");
	record_gives("users: [named-staff]", "users: unknown", "field-unknown site.users\nprotection-open leaf-1\n");
	record_gives("public-passes: no", "public-passes: unknown",
		"field-unknown site.public-passes\nprotection-open leaf-1\n");
	bench_record(&b, "users: [named-staff]", "users: unknown");
	bench_judge(&b);
	cr_expect_str_eq(b.result->use, "public");
	bench_again(&b);
	/* Contact and presence together are enough. */
	bench_record(&b, "by: [soft]", "by: [soft, watch]");
	record_gives("users: [named-staff]", "users: [public]", "");
	/* Without the definitions of the library nobody is trained. */
	bench_library(&b, "id: public-use", "id: other-use");
	bench_judge(&b);
	cr_expect_str_eq(b.result->use, "public");
}

/* An empty list of alternatives: not allowed, whatever is fitted. */
Test(assess_controls, not_allowed)
{
	bench_record(&b, "by: [soft]", "by: [soft, watch, held]");
	bench_record(&b, "users: [named-staff]", "users: [public]");
	bench_record(&b, "kind: push-button", "kind: hold-to-run");
	bench_judge(&b);
	const struct finding *f = bench_finding(&b, "protection-open", "leaf-1");
	cr_assert_not_null(f);
	cr_expect_str_eq(f->ways->id, "remove");
}

/* A pair of use and activation of which the table says nothing. */
Test(assess_controls, a_cell_that_is_missing)
{
	bench_record(&b, "kind: push-button", "kind: timer");
	record_gives("public-passes: no", "public-passes: yes", "protection-open leaf-1\n");
}

#define LOST "protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n"

Test(assess_controls, a_function_counts_by_level_and_category)
{
	record_gives("level: d", "level: c", "");
	/* More than its subsystems reach. */
	record_gives("level: d", "level: e", LOST "function-claim stop-by-edge\n");
	record_gives("level: d", "level: b", LOST "function-level stop-by-edge\n");
	record_gives("level: d", "level: unknown",
		LOST "field-unknown functions[stop-by-edge].level\nfunction-level stop-by-edge\n");
	record_gives("category: '3'", "category: '4'",
		LOST "function-category stop-by-edge\nfunction-claim-category stop-by-edge\n");
	record_gives("category: '3'", "category: B", LOST "function-category stop-by-edge\n");
	record_gives("category: '3'\n    tested-before-each-movement: no",
		"category: '2'\n    tested-before-each-movement: yes", "");
	record_gives("category: '3'", "category: '2'", LOST "function-untested stop-by-edge\n");
}

Test(assess_controls, a_function_counts_by_its_papers)
{
	record_gives("    paper: paper:edge\n", "    paper: photo:front\n",
		LOST "function-paper stop-by-edge\nevidence-unused edge\n");
	record_gives("papers/edge.pdf", "papers/gone.pdf", LOST "function-paper stop-by-edge\nfile-absent edge\n");
	record_gives("    proof: point:f1\n", "    proof: unknown\n",
		LOST "field-unknown functions[stop-by-edge].proof\nfunction-paper stop-by-edge\n");
	record_gives("    test-setting: on\n", "    test-setting: unknown\n",
		LOST "field-unknown functions[stop-by-edge].test-setting\n");
	record_gives("    proved-on: 2026-06-09\n", "    proved-on: unknown\n",
		LOST "field-unknown functions[stop-by-edge].proved-on\n");
}

/* A fault is found only of what the control can test. */
Test(assess_controls, inputs_of_a_function_are_monitored)
{
	record_gives("monitored: yes", "monitored: no",
		"protection-open leaf-1\ninput-unmonitored stop-by-edge\nhazard-open edge@leaf-1\n"
		"need-open edge@leaf-1\n");
	/* Category 1 finds none: it does without. */
	bench_library(&b, "categories: [2, 3]", "categories: [1, 2, 3]");
	bench_record(&b, "monitored: yes", "monitored: no");
	bench_record(&b, "category: '3'", "category: '1'");
	gives("");
}

Test(assess_controls, every_device_is_read_by_a_function)
{
	bench_library(&b, "  - id: contact\n", "  - id: contact-detection\n");
	bench_library(&b, "function: [contact]", "function: [contact-detection]");
	bench_record(&b, "kind: contact\n", "kind: contact-detection\n");
	bench_record(&b, "devices:\n  - {id: edge-1,",
		"devices:\n  - {id: edge-2, kind: pressure-edge, maker: A, model: M, serial: none, standard: EN 1,\n"
		"     fitted-on: 2026-05-02, zones: [edge@leaf-1], directions: [closing], input: in-1,\n"
		"     evidence: paper:manual}\n  - {id: edge-1,");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "function-device", "edge-2"));
	cr_expect_null(bench_finding(&b, "function-device", "edge-1"));
}

/* Firmware changed after the proof. On the same day the proof stands. */
Test(assess_controls, a_function_ages)
{
	bench_record(&b, "changes: []\n",
		"changes: [{id: c1, on: 2026-06-10, touches: [firmware], what: w, by: A}]\n");
	gives(LOST "evidence-aged stop-by-edge\n");
	bench_record(&b, "changes: []\n",
		"changes: [{id: c1, on: 2026-06-09, touches: [firmware], what: w, by: A}]\n");
	gives("");
}

Test(assess_controls, a_function_that_is_due)
{
	bench_record(&b, "kind: contact\n", "kind: presence\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "function-unknown", "stop-by-edge"));
	cr_expect_not_null(bench_finding(&b, "function-missing", "contact"));
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

Test(assess_controls, inputs)
{
	record_gives("at-rest: closed", "at-rest: open", "input-open in-1\n");
	record_gives("at-rest: closed", "at-rest: unknown",
		"input-open in-1\nfield-unknown control.inputs[in-1].at-rest\n");
	/* A rule for edges says nothing about a command; but the edge wired to it is told. */
	record_gives("function: edge, contact: normally-closed, monitored: yes, at-rest: closed",
		"function: command, contact: normally-closed, monitored: yes, at-rest: open",
		"device-input edge-1\n");
}

#define CHECK "{outcome: as-expected, on: 2026-06-03, by: A, facts: {pull: 600 N}, evidence: photo:slot}"

static void automatic(const char *check)
{
	bench_record(&b, "automatic-closing: no", "automatic-closing: yes\n  automatic-closing-pause: 20 s");
	bench_record(&b, "checks: {}\n", arena_format(&b.arena, "checks: {firm: %s}\n", check));
}

Test(assess_controls, checks)
{
	automatic(CHECK);
	gives("");
	automatic("{}");
	gives("check-missing firm\n");
	automatic("{outcome: as-expected, on: 2026-06-03, by: A, facts: {pull: 400 N}, evidence: photo:slot}");
	gives("check-failed firm\n");
	automatic("{outcome: not-as-expected, on: 2026-06-03, by: A, facts: {pull: 600 N}, evidence: photo:slot}");
	gives("check-failed firm\n");
	automatic("{outcome: as-expected, on: 2026-06-03, by: A, facts: {pull: 500 N ± 5 N}, evidence: photo:slot}");
	gives("check-failed firm\n");
	automatic("{outcome: as-expected, on: 2026-06-03, by: A, facts: {pull: 600 N}, evidence: paper:manual}");
	gives("check-evidence firm\n");
	automatic("{outcome: as-expected, on: 2026-06-03, by: A, evidence: photo:slot}");
	gives("field-missing checks[firm].facts.pull\ncheck-failed firm\n");
	automatic("{outcome: as-expected, by: A, facts: {pull: 600 N}, evidence: photo:slot}");
	bench_judge(&b);
	cr_expect_eq(b.result->checks[0].outcome, OUTCOME_OPEN, "no date");
}

/* Its condition does not hold: not asked for. Whether it holds is not known: asked for. */
Test(assess_controls, a_check_is_due_unless_it_is_not)
{
	bench_expect(&b, "");
	cr_expect_eq(b.result->checks[0].outcome, OUTCOME_ABSENT);
	record_gives("automatic-closing: no", "automatic-closing: unknown",
		"field-unknown control.automatic-closing\ncheck-missing firm\n");
	record_gives("checks: {}", "checks: {frim: {outcome: as-expected, on: 2026-06-03, by: A}}",
		"check-unknown frim\n");
}

Test(assess_controls, a_check_ages)
{
	automatic(CHECK);
	bench_record(&b, "changes: []\n",
		"changes: [{id: c1, on: 2026-06-04, touches: [device], what: w, by: A}]\n");
	bench_expect(&b, "evidence-aged firm\n");
	cr_expect_eq(b.result->checks[0].outcome, OUTCOME_OPEN);
}
