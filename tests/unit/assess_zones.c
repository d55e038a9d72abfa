/* Rules by which zones, hazards and measures are judged: tests/unit/bench/library.yaml by hand. */
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

TestSuite(assess_zones, .init = setup, .fini = teardown);

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

static void library_gives(const char *old, const char *new, const char *found)
{
	bench_library(&b, old, new);
	gives(found);
}

/* A zone counts as present unless its condition is known not to hold. */
Test(assess_zones, existence_unknown_counts_as_present)
{
	record_gives("opening: 5 m", "opening: 6 m", "");
	record_gives("opening: 5 m", "opening: 6.01 m", "zone-open far@gate\n");
	record_gives("opening: 5 m", "opening: 5.9 m ± 0.2 m", "zone-open far@gate\n");
	record_gives("opening: 5 m", "opening: unknown",
		"field-unknown gate.dimensions.opening\nzone-open far@gate\n");
}

Test(assess_zones, not_present_needs_its_condition_and_evidence)
{
	const char *as = "    as: designed-out\n    facts: {gap: 6 mm}\n    evidence: photo:slot\n";
	record_gives(as, "    as: not-present\n    facts: {gap: 0 mm}\n    evidence: photo:slot\n", "");
	record_gives(as, "    as: not-present\n    facts: {gap: 1 mm}\n    evidence: photo:slot\n",
		"zone-not-absent slot@leaf-1\n");
	record_gives(as, "    as: not-present\n    facts: {gap: unknown}\n    evidence: photo:slot\n",
		"zone-not-absent slot@leaf-1\nfield-unknown zones[slot@leaf-1].facts.gap\n");
	record_gives(as, "    as: not-present\n    facts: {gap: 0 mm ± 1 mm}\n    evidence: photo:slot\n",
		"zone-not-absent slot@leaf-1\n");
	bench_record(&b, as, "    as: not-present\n    facts: {gap: 0 mm}\n");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "zone-evidence", "slot@leaf-1"));
	cr_expect_neq(b.result->zones[1].outcome, OUTCOME_ABSENT, "absent without evidence");
	bench_again(&b);
	/* A zone that says nothing of absence never is. */
	bench_record(&b, "    as: guarded\n    by: [lock]", "    as: not-present");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "zone-not-absent", "box@gate"));
	cr_expect_not(b.result->ready);
}

Test(assess_zones, designed_out_by_what_is_certain)
{
	record_gives("{gap: 6 mm}", "{gap: 8 mm}", "");
	record_gives("{gap: 6 mm}", "{gap: 8.1 mm}", "hazard-open slot@leaf-1\n");
	record_gives("{gap: 6 mm}", "{gap: 7 mm ± 1 mm}", "");
	record_gives("{gap: 6 mm}", "{gap: 7 mm ± 2 mm}", "hazard-open slot@leaf-1\n");
	record_gives("{gap: 6 mm}", "{gap: unknown}",
		"hazard-open slot@leaf-1\nfield-unknown zones[slot@leaf-1].facts.gap\n");
	record_gives("{gap: 6 mm}", "{gap: 0.8 cm}", "");
	record_gives("{gap: 6 mm}", "{gap: 0.81 cm}", "hazard-open slot@leaf-1\n");
}

/* Geometry cannot answer what has no rule for it. */
Test(assess_zones, designed_out_needs_a_rule)
{
	record_gives("    as: guarded\n    by: [lock]", "    as: designed-out", "hazard-open box@gate\n");
}

#define SLOT "    as: designed-out\n    facts: {gap: 6 mm}\n"

/* `soft` lists shearing in `answers`; `never` is the stronger. */
Test(assess_zones, never_is_never)
{
	bench_record(&b, "zones: [edge@leaf-1], directions: [closing]",
		"zones: [edge@leaf-1, slot@leaf-1], directions: [closing, opening]");
	record_gives(SLOT, "    as: protected\n    by: [soft]\n    facts: {gap: 9 mm}\n",
		"hazard-open slot@leaf-1\nneed-open slot@leaf-1\nmeasure-cannot slot@leaf-1\n");
	/* A measure that wants for nothing. */
	library_gives("    step: design\n    answers: [electrical, impact]\n",
		"    step: design\n    protection: B\n    answers: [electrical, impact]\n    never: [electrical]\n",
		"hazard-open box@gate\nmeasure-cannot box@gate\n");
}

Test(assess_zones, information_never_answers)
{
	record_gives(SLOT, "    as: protected\n    by: [told]\n    facts: {gap: 9 mm}\n",
		"hazard-open slot@leaf-1\n");
}

Test(assess_zones, a_measure_answers_only_where_it_is_listed)
{
	/* `held` answers crushing, and would be known, but the slot does not list it. */
	record_gives(SLOT, "    as: protected\n    by: [held]\n    facts: {gap: 9 mm}\n",
		"hazard-open slot@leaf-1\nmeasure-idle slot@leaf-1\n");
	record_gives(SLOT, "    as: protected\n    by: [hold]\n    facts: {gap: 9 mm}\n",
		"hazard-open slot@leaf-1\nmeasure-unknown slot@leaf-1\n");
}

#define FIRM "checks:\n  firm: {outcome: as-expected, on: 2026-06-03, by: A, facts: {pull: 500 N}, evidence: " \
	"photo:slot}\n"

static void with_cap(const char *gap)
{
	bench_record(&b, SLOT, arena_format(&b.arena, "    as: guarded\n    by: [cap]\n    facts: {gap: %s}\n", gap));
	bench_record(&b, "checks: {}\n", FIRM);
}

Test(assess_zones, a_need_unmet_takes_the_measure_away)
{
	with_cap("50 mm");
	gives("");
	with_cap("60 mm");
	gives("hazard-open slot@leaf-1\nneed-open slot@leaf-1\n");
	with_cap("59 mm ± 2 mm");
	gives("hazard-open slot@leaf-1\nneed-open slot@leaf-1\n");
	with_cap("50 mm");
	record_gives("pull: 500 N", "pull: 499 N",
		"hazard-open slot@leaf-1\nneed-open slot@leaf-1\ncheck-failed firm\n");
	with_cap("50 mm");
	record_gives("as-expected", "not-as-expected",
		"hazard-open slot@leaf-1\nneed-open slot@leaf-1\ncheck-failed firm\n");
}

/* A need that does not apply is no hindrance; one that may apply is. */
Test(assess_zones, needs_that_do_not_apply)
{
	const char *need = "{id: small, holds: here.gap < 60 mm}";
	with_cap("70 mm");
	library_gives(need, "{id: small, when: gate.dimensions.opening > 6 m, holds: here.gap < 60 mm}", "");
	with_cap("70 mm");
	bench_library(&b, need, "{id: small, when: gate.dimensions.opening > 4 m, holds: here.gap < 60 mm}");
	bench_expect(&b, "hazard-open slot@leaf-1\nneed-open slot@leaf-1\n");
	bench_record(&b, "opening: 5 m", "opening: 4 m ± 0.1 m");
	bench_expect(&b, "hazard-open slot@leaf-1\nneed-open slot@leaf-1\n");
}

/* `watch` answers only beside `soft`, and only when that counts itself. */
Test(assess_zones, with_looks_at_what_counts)
{
	record_gives("by: [soft]", "by: [soft, watch]", "");
	record_gives("by: [soft]", "by: [watch, soft]", "");
	record_gives("by: [soft]", "by: [watch]",
		"protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n"
		"force-point-unplanned f1\n");
	bench_record(&b, "by: [soft]", "by: [soft, watch]");
	bench_record(&b, "level: d", "level: b");
	bench_judge(&b);
	cr_expect_not(b.result->zones[0].measures[0].counts);
	cr_expect_not(b.result->zones[0].measures[1].counts, "a supplement counts without what it supplements");
}

/* Two measures that only lean on each other hold nothing up; a chain of them holds what its last holds. */
Test(assess_zones, with_goes_round_in_no_circle)
{
	bench_library(&b, "    protection: A\n    answers: [crushing]\n",
		"    protection: A\n    answers: [crushing]\n    needs: [{id: beside, with: [watch]}]\n");
	bench_library(&b, "with: [soft]", "with: [held]");
	bench_record(&b, "by: [soft]", "by: [held, watch]");
	bench_judge(&b);
	for (size_t i = 0; i < 2; i++)
		cr_expect_not(b.result->zones[0].measures[i].counts, "%s",
			b.result->zones[0].measures[i].measure->note.id);
	cr_expect_not_null(bench_finding(&b, "hazard-open", "edge@leaf-1"));
}

Test(assess_zones, with_may_form_a_chain)
{
	bench_library(&b, "    protection: A\n    answers: [crushing]\n",
		"    protection: A\n    answers: [crushing]\n    needs: [{id: beside, with: [watch]}]\n");
	record_gives("by: [soft]", "by: [soft, watch, held]", "");
	bench_library(&b, "    protection: A\n    answers: [crushing]\n",
		"    protection: A\n    answers: [crushing]\n    needs: [{id: beside, with: [watch]}]\n");
	record_gives("by: [soft]", "by: [held, watch, soft]", "");
}

/* A device counts where it names the zone, is of the kind, and covers every direction of the zone. */
Test(assess_zones, a_device_must_be_there)
{
	const char *lost = "protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n";
	record_gives("directions: [closing], input", "directions: [opening], input", lost);
	record_gives("directions: [closing], input", "directions: [closing, opening], input", "");
	record_gives("zones: [edge@leaf-1], directions", "zones: [slot@leaf-1], directions", lost);
	record_gives("zones: [edge@leaf-1], directions", "zones: [edge@leaf-2], directions",
		"protection-open leaf-1\ndevice-zone edge-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n");
}

/* A function proved on one edge proves nothing of another. */
Test(assess_zones, a_function_belongs_to_the_device_it_reads)
{
	const char *second = "     evidence: paper:manual}\n"
			     "  - {id: edge-2, kind: pressure-edge, maker: A, model: M, serial: none, standard: "
				"none,\n"
			     "     fitted-on: 2026-05-02, zones: [slot@leaf-1], directions: [closing], input: in-1,\n"
			     "     evidence: paper:manual}\nchanges: []\n";
	bench_record(&b, "     evidence: paper:manual}\nchanges: []\n", second);
	gives("");
	bench_record(&b, "     evidence: paper:manual}\nchanges: []\n", second);
	record_gives("devices: [edge-1]", "devices: [edge-2]",
		"protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n");
	/* Both edges guard the zone, only one is read by the function. */
	bench_record(&b, "     evidence: paper:manual}\nchanges: []\n", second);
	record_gives("zones: [slot@leaf-1], directions: [closing]", "zones: [edge@leaf-1], directions: [closing]",
		"protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n");
}

Test(assess_zones, a_zone_without_an_answer_is_open)
{
	record_gives("  box@gate:\n    as: guarded\n", "  box@gate:\n    as: unknown\n", "zone-open box@gate\n");
	record_gives("  box@gate:", "  bxo@gate:", "zone-open box@gate\nzone-unknown bxo@gate\n");
}

Test(assess_zones, evidence_is_what_is_there)
{
	record_gives("{gap: 6 mm}\n    evidence: photo:slot", "{gap: 6 mm}\n    evidence: photo:solt",
		"zone-evidence slot@leaf-1\nreference-unknown slot@leaf-1\nevidence-unused slot\n");
	record_gives("photos/slot.jpg", "photos/gone.jpg", "zone-evidence slot@leaf-1\nfile-absent slot\n");
	record_gives("photos/slot.jpg", "photos/torn.jpg", "zone-evidence slot@leaf-1\npicture-broken slot\n");
}

static void changed(const char *on, const char *touches)
{
	bench_record(&b, "changes: []\n",
		arena_format(&b.arena, "changes: [{id: c1, on: %s, touches: [%s], what: w, by: A}]\n", on, touches));
}

/* The zone was looked at before the travel was changed. */
Test(assess_zones, a_look_ages)
{
	changed("2026-06-02", "travel");
	bench_expect(&b, "");
	bench_again(&b);
	changed("2026-06-03", "travel");
	bench_expect(&b, "evidence-aged edge@leaf-1\n");
	cr_expect_eq(b.result->zones[0].outcome, OUTCOME_OPEN);
	bench_again(&b);
	changed("2026-06-03", "guides");
	bench_expect(&b, "");
}

Test(assess_zones, a_risk_left_high_is_open)
{
	bench_record(&b, "likely-before: likely\n    likely-after: remote",
		"likely-before: likely\n    likely-after: very-likely");
	bench_expect(&b, "zone-risk edge@leaf-1\n");
	cr_expect_str_eq(b.result->zones[0].hazards[0].risk_after, "high");
	cr_expect_str_eq(b.result->zones[0].hazards[0].risk_before, "low");
}
