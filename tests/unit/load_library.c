#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"
#include "model/recording.h"

static jmp_buf escape;
static struct arena a;
static struct findings found;
static struct library library;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&found, &a);
	memset(&library, 0, sizeof library);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(load_library, .init = setup, .fini = teardown);

static bool add(const char *text, const char *file, bool overlay)
{
	return library_add(&a, &library, text, strlen(text), file, overlay, &found);
}

/* One line a finding: code, line:column, path; in the order found. */
static const char *listed(void)
{
	struct buf b;
	buf_init(&b, &a);
	for (size_t i = 0; i < found.count; i++) {
		const struct finding *f = found.items[i];
		buf_format(&b, "%s %d:%d %s\n", finding_name(f->code), f->at.line, f->at.column, f->subject);
	}
	return b.bytes;
}

static void expect(const char *text, const char *expected)
{
	findings_init(&found, &a);
	memset(&library, 0, sizeof library);
	add(text, "a.yaml", false);
	library_finish(&a, &library, &found);
	cr_expect_str_eq(listed(), expected, "%s-- gave --\n%s-- expected --\n%s", text, listed(), expected);
}

static int yaml_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".yaml");
}

Test(load_library, the_shipped_library_is_whole)
{
	struct dirent **names;
	int count = scandir("hazards", &names, yaml_only, alphasort);
	cr_assert_gt(count, 0, "the tests run in the top folder");
	for (int i = 0; i < count; i++) {
		char *bytes = arena_alloc(&a, 1 << 20);
		FILE *f = fopen(arena_format(&a, "hazards/%s", names[i]->d_name), "rb");
		cr_assert_not_null(f);
		size_t n = fread(bytes, 1, (1 << 20) - 1, f);
		fclose(f);
		cr_expect(library_add(&a, &library, bytes, n, arena_string(&a, names[i]->d_name), false, &found));
		free(names[i]);
	}
	free(names);
	library_finish(&a, &library, &found);
	cr_expect_str_eq(listed(), "");
	cr_expect_gt(library.types_count, 0);
	cr_expect_gt(library.zones_count, 10);
	cr_expect_gt(library.limits_count, 10);
	cr_expect_gt(library.pattern_count, 3);
}

static const char BASE[] =
	"library: 1\n"
	"types:\n"
	"  - id: slider\n"
	"    standing: practice\n"
	"    family: sliding\n"
	"    movement: horizontal\n"
	"    dimensions: [{id: opening, is: length, from: 0.5 m, to: 20 m}]\n"
	"    travel: gate.dimensions.opening\n"
	"    motions: [{id: leaf, steps: [{shift: [gate.dimensions.opening, 0 m]}]}]\n"
	"    bodies:\n"
	"      - {id: leaf, view: plan, moves: leaf, points: [[0 m, 0 m], [gate.dimensions.opening, 50 mm]]}\n"
	"    zones: [edge]\n"
	"zones:\n"
	"  - id: edge\n"
	"    standing: published\n"
	"    source: Table 1\n"
	"    per: gate\n"
	"    at: [0 m, leaf.length / 2]\n"
	"    asks: [{id: gap, is: length, when: drive.battery = yes}, {id: cover, is: word, choices: [full, none]}]\n"
	"    hazards:\n"
	"      - {kind: crushing, harm: serious, designed-out: here.gap >= the.body, measures: [cover]}\n"
	"measures:\n"
	"  - id: cover\n"
	"    standing: practice\n"
	"    step: safeguard\n"
	"    answers: crushing\n"
	"    needs:\n"
	"      - {id: closed, holds: here.cover = 'full'}\n"
	"      - {id: seen, evidence: [photo], each-direction: no}\n"
	"definitions:\n"
	"  - {id: body, standing: memory, rule: 'limit(''gap'', gate.movement)'}\n"
	"limits:\n"
	"  - id: gap\n"
	"    is: length\n"
	"    arguments: [movement]\n"
	"    source: Table 2\n"
	"    standing: published\n"
	"    rows:\n"
	"      - {when: movement = 'horizontal', value: 500 mm}\n"
	"      - {value: 300 mm, standing: memory, source: heard}\n"
	"  - {id: short, is: force, value: 150 N, standing: practice}\n"
	"recording-headers:\n"
	"  - {id: t, role: time, pattern: '^t', unit: s, standing: practice}\n";

static void add_base(void)
{
	cr_assert(add(BASE, "base.yaml", false));
}

Test(load_library, entries_become_structs)
{
	add_base();
	library_finish(&a, &library, &found);
	cr_expect_str_eq(listed(), "");
	const struct lib_type *type = library_type(&library, "slider");
	cr_assert_not_null(type);
	cr_expect_str_eq(type->movement, "horizontal");
	cr_expect_float_eq(type->dimensions[0].high.value, 20, 1e-12);
	cr_expect(type->dimensions[0].has_low && dimension_equal(type->dimensions[0].dim, DIM_LENGTH));
	cr_expect_str_eq(rule_text(type->bodies[0].points[1][0]), "gate.dimensions.opening");
	cr_expect_str_eq(type->bodies[0].moves, "leaf");
	cr_expect(!type->bodies[0].elevation);
	cr_expect(words_have(type->zones, "edge"));
	const struct lib_zone *zone = library_zone(&library, "edge");
	cr_expect(zone->per_gate);
	cr_expect_eq(zone->note.standing, STANDING_PUBLISHED);
	cr_expect_eq(zone->note.at.line, 14);
	cr_expect_str_eq(zone->note.at.file, "base.yaml");
	cr_expect_str_eq(rule_text(zone->plan_at[1]), "leaf.length / 2");
	cr_expect_null(zone->elevation_at[0]);
	cr_expect_eq(zone->asks[1].kind, FIELD_WORD);
	cr_expect(words_have(zone->hazards[0].measures, "cover"));
	const struct lib_measure *m = library_measure(&library, "cover");
	cr_assert_eq(m->need_count, 2);
	cr_expect_eq(m->needs[0].kind, NEED_HOLDS);
	cr_expect_eq(m->needs[1].kind, NEED_EVIDENCE);
	cr_expect(words_have(m->answers, "crushing") && words_have(m->needs[1].names, "photo"));
	cr_assert_eq(library.pattern_count, 1);
	cr_expect_eq(library.patterns[0].role, RECORDING_TIME);
	cr_expect_not_null(library.patterns[0].pattern);
}

Test(load_library, rows_of_limits_take_what_they_do_not_say_from_the_entry)
{
	add_base();
	library_finish(&a, &library, &found);
	const struct lib_limit *gap = library_limit(&library, "gap"), *brief = library_limit(&library, "short");
	cr_assert_eq(gap->variant_count, 1);
	cr_expect(gap->variants[0].is_default);
	const struct lib_limit_row *rows = gap->variants[0].rows;
	cr_assert_eq(gap->variants[0].row_count, 2);
	cr_expect_str_eq(rows[0].source, "Table 2");
	cr_expect_eq(rows[0].standing, STANDING_PUBLISHED);
	cr_expect_str_eq(rows[1].source, "heard");
	cr_expect_eq(rows[1].standing, STANDING_MEMORY);
	cr_expect_null(rows[1].when);
	cr_expect_eq(brief->variants[0].rows[0].standing, STANDING_PRACTICE);
	cr_expect_str_eq(rule_text(brief->variants[0].rows[0].value), "150 N");
}

Test(load_library, an_overlay_replaces_whole_entries_in_their_place_and_adds)
{
	add_base();
	cr_expect(add("library: 1\n"
		      "limits:\n"
		      "  - {replaces: gap, title: Our gap, source: house rule 4, is: length, arguments: [m], "
		      "value: 550 mm}\n"
		      "  - {id: own, source: house rule 5, is: length, value: 1 m}\n"
		      "readings:\n"
		      "  - {id: short, edition: '2017', clause: A.1, by: J. Moran, read-on: 2026-03-01}\n",
		"firm.yaml", true));
	library_finish(&a, &library, &found);
	cr_expect_str_eq(listed(), "");
	cr_assert_eq(library.limits_count, 3);
	const struct lib_limit *gap = &library.limits[0];
	cr_expect_str_eq(gap->note.id, "gap");
	cr_expect_str_eq(gap->note.title, "Our gap");
	cr_expect_str_eq(gap->note.replaces, "gap");
	cr_expect_eq(gap->note.standing, STANDING_FIRM);
	cr_expect_eq(gap->variants[0].rows[0].standing, STANDING_FIRM);
	cr_expect_str_eq(library.limits[2].note.id, "own");
	cr_assert_eq(library.overlay_count, 1);
	cr_expect_str_eq(library.overlays[0], "firm.yaml");
	cr_assert_eq(library.reading_count, 1);
	cr_expect_str_eq(library.readings[0].id, "short");
	cr_expect_eq(library.readings[0].read_on.year, 2026);
}

Test(load_library, overlays_cannot_go_further)
{
	add_base();
	add("library: 1\n"
	    "limits:\n"
	    "  - {id: gap, source: s, is: length, value: 1 m}\n"
	    "  - {id: gab, replaces: gap, source: s, is: length, value: 1 m}\n"
	    "  - {replaces: gub, source: s, is: length, value: 1 m}\n"
	    "  - {replaces: short, source: s, standing: published, is: force, value: 1 N}\n"
	    "  - {replaces: short, source: s, is: force, value: 2 N}\n"
	    "  - {id: own, is: force, value: 2 N}\n"
	    "readings:\n"
	    "  - {id: shorn, edition: e, clause: c, by: b, read-on: 2026-03-01}\n",
		"firm.yaml", true);
	library_finish(&a, &library, &found);
	findings_sort(&found);
	cr_expect_str_eq(listed(),
		"library-duplicate 3:10 limits[gap]\n"
		"library-replaces 4:10 limits[gab]\n"
		"library-replaces-nothing 4:25 limits[gab]\n"
		"library-replaces-nothing 5:16 limits[gub]\n"
		"library-standing-firm 6:44 limits[short].standing\n"
		"library-duplicate 7:5 limits[short]\n"
		"value-missing 8:5 limits[own]\n"
		"library-reference 10:10 readings[shorn].id\n");
}

Test(load_library, files_of_another_form_are_left_out)
{
	cr_expect_not(add("types: []\n", "a.yaml", false));
	cr_expect_not(add("library: 2\n", "b.yaml", false));
	cr_expect_not(add("library: [1]\n", "c.yaml", false));
	cr_expect_not(add("- library: 1\n", "d.yaml", false));
	cr_expect_not(add("limits: []\nlibrary: 1\n", "e.yaml", false));
	cr_expect(add("library: 1\n", "f.yaml", false));
	cr_expect_str_eq(listed(), "library-number 1:1 library\nlibrary-newer 1:10 library\n"
		"library-number 1:10 library\nvalue-shape 1:1 \nlibrary-number 2:10 library\n");
	library_finish(&a, &library, &found);
	cr_expect_eq(found.count, 5);
}

Test(load_library, slips_in_entries_are_told)
{
	expect("library: 1\nlimit: []\n", "library-unknown-key 2:1 limit\n");
	expect("library: 1\nlimits: {gap: 3}\n", "value-shape 2:9 limits\n");
	expect("library: 1\nlimits: [3]\n", "value-shape 2:10 limits[1]\n");
	expect("library: 1\nlimits:\n  - {is: force, value: 1 N, standing: practice}\n",
		"value-missing 3:5 limits[1]\n");
	expect("library: 1\nlimits:\n  - {id: a b, is: force, value: 1 N, standing: practice}\n",
		"library-id 3:10 limits[1]\n");
	expect("library: 1\nlimits:\n  - {id: a, is: farce, value: 1 N, standing: practice}\n",
		"value-choice 3:17 limits[a].is\n");
	expect("library: 1\nlimits:\n  - {id: a, is: force, valu: 1 N, standing: practice}\n",
		"library-unknown-key 3:24 limits[a].valu\nlibrary-limit 3:5 limits[a]\n");
	expect("library: 1\nlimits:\n  - {id: a, is: force, value: 1 N}\n", "value-missing 3:5 limits[a]\n");
	expect("library: 1\nlimits:\n  - {id: a, is: force, value: 1 N, standing: published}\n",
		"value-missing 3:5 limits[a]\n");
	expect("library: 1\nlimits:\n  - {id: a, is: force, value: 1 N, source: s, standing: firm}\n",
		"library-standing-shipped 3:57 limits[a].standing\n");
	expect("library: 1\nlimits:\n  - {replaces: a, is: force, value: 1 N, source: s, standing: published}\n",
		"library-replaces-shipped 3:16 limits[a]\n");
	expect("library: 1\nlimits:\n  - id: a\n    is: force\n    standing: practice\n    variants:\n"
	       "      - {id: x, value: 1 N}\n      - {id: y, value: 2 N}\n", "library-default 3:5 limits[a]\n");
	expect("library: 1\nlimits:\n  - id: a\n    is: force\n    standing: practice\n    variants:\n"
	       "      - {id: x, value: 1 N, default: yes}\n      - {id: x, value: 2 N}\n",
		"library-duplicate 8:14 limits[a].variants\n");
	static const char *const EMPTY[] = {"variants: ", "variants: []", "rows: []", "value: ",
		"rows: [{value: 1 N}], value: 1 N"};
	for (size_t i = 0; i < sizeof EMPTY / sizeof *EMPTY; i++)
		expect(arena_format(&a, "library: 1\nlimits:\n  - {id: a, is: force, standing: practice, %s}\n",
			EMPTY[i]), "library-limit 3:5 limits[a]\n");
	expect("library: 1\nlimits:\n  - {id: a, is: force, standing: practice, variants: [{id: x, rows: []}]}\n",
		"library-limit 3:55 limits[a].variants[x]\n");
	expect("library: 1\nchecks:\n  - {id: a, standing: practice}\n  - {id: a, standing: practice}\n",
		"library-duplicate 4:10 checks[a]\n");
	expect("library: 1\nregimes:\n  - {id: r, standing: practice, territories: [IE], numbering: directive, "
	       "act: A,\n"
	       "     from: 2026-13-01, items: [{no: '1', id: i, needs: [gate.nam]}]}\n",
		"value-date 4:12 regimes[r].from\nlibrary-reference 4:57 regimes[r].items[i].needs[1]\n");
	expect("library: 1\nrecording-headers:\n  - {id: t, role: time, pattern: '(', standing: practice}\n",
		"pattern-syntax 3:34 recording-headers[t].pattern\n");
	expect("library: 1\nreadings:\n  - {id: t, edition: e, clause: c, by: b, read-on: 2026-01-01}\n",
		"library-reference 3:10 readings[t].id\nlibrary-reading 3:5 readings[t]\n");
}

#define MEASURE "library: 1\nmeasures:\n  - id: m\n    standing: practice\n    step: design\n"

Test(load_library, needs_ask_for_one_thing_that_exists)
{
	expect(MEASURE "    needs: [{id: n}]\n", "library-need 6:13 measures[m].needs[n]\n");
	expect(MEASURE "    needs: [{id: n, force: yes, evidence: photo}]\n",
		"library-need 6:13 measures[m].needs[n]\n");
	expect(MEASURE "    needs: [{id: n, force: no}]\n", "value-choice 6:28 measures[m].needs[n].force\n");
	expect(MEASURE "    needs: [{id: n, device: [bean]}]\n",
		"value-choice 6:30 measures[m].needs[n].device[1]\n");
	expect(MEASURE "    needs: [{id: n, check: stop}]\n", "library-reference 6:28 measures[m].needs[n].check\n");
	expect(MEASURE "    needs: [{id: n, function: [stop]}]\n",
		"library-reference 6:32 measures[m].needs[n].function[1]\n");
	expect(MEASURE "    needs: [{id: n, with: [m]}]\n", "");
}

#define ZONE "library: 1\nzones:\n  - id: z\n    standing: practice\n    asks: [{id: gap, is: length}]\n"
#define HAZARDS "    hazards: [{kind: crushing, harm: serious}]\n"

Test(load_library, rules_may_name_only_what_there_is)
{
	expect(ZONE HAZARDS "    when: here.gap < 3 mm and leaf.mass > 3 kg and force.needed = yes\n", "");
	expect(ZONE HAZARDS "    when: here.gab < 3 mm\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: leaf.wight < 3 kg\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: drive.trust < 3 N\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: gate.dimensions.opening < 3 m\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: input.monitored = yes\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: the.use = 'public'\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: check.gap = yes\n", "rule-name 7:11 zones[z].when\n");
	expect("library: 1\nchecks:\n  - {id: c, standing: practice, asks: [{id: tries, is: count}],\n"
	       "     holds: check.tries > 2 and here.gap < 3 mm}\n", "rule-name 4:13 checks[c].holds\n");
	expect("library: 1\ninput-rules:\n  - {id: i, standing: practice, holds: input.monitored = yes}\n", "");
	expect("library: 1\ninput-rules:\n  - {id: i, standing: practice, holds: activation.live = yes}\n",
		"rule-name 3:40 input-rules[i].holds\n");
	expect(ZONE HAZARDS "    when: drive.thrust <\n", "rule-syntax 7:11 zones[z].when\n");
}

Test(load_library, calls_are_checked_against_what_they_name)
{
	expect(ZONE HAZARDS "    when: here.gap < limit('gop')\n", "library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: here.gap < limit('l', 3 mm)\n"
	       "limits: [{id: l, is: length, value: 1 m, standing: practice}]\n",
		"library-arguments 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: here.gap < limit('l', max(3 mm, 4 mm), 'a, b')\n"
	       "limits: [{id: l, is: length, arguments: [x, y], value: x, standing: practice}]\n", "");
	expect(ZONE HAZARDS "    when: any('devices', 'kind', ['beam', 'cover'])\n", "");
	expect(ZONE HAZARDS "    when: any('device', 'kind', ['beam'])\n", "library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: any('devices', 'king', ['beam'])\n", "library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: any('devices', 'kind')\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: chosen('cover')\n", "library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: picked('cover')\n", "rule-name 7:11 zones[z].when\n");
}

Test(load_library, values_of_limits_have_their_dimension)
{
	expect("library: 1\nlimits: [{id: l, is: length, value: 3 N, standing: practice}]\n",
		"library-dimension 2:37 limits[l].value\n");
	expect("library: 1\nlimits: [{id: l, is: length, arguments: [x], value: 2 * 3 m, standing: practice}]\n", "");
	expect("library: 1\nlimits: [{id: l, is: length, arguments: [x], value: x, standing: practice}]\n", "");
	expect("library: 1\nlimits: [{id: l, is: length, value: \"'wide'\", standing: practice}]\n",
		"library-dimension 2:37 limits[l].value\n");
	expect("library: 1\nforce-plans: [{id: f, standing: practice, gaps: [50 mm], heights: [3 kg],\n"
	       "  repeats: 3, tolerance: 20 mm, facing: edge}]\n",
		"library-dimension 2:68 force-plans[f].heights[1]\n");
}

Test(load_library, a_measure_must_be_able_to_answer)
{
	const char *zone = ZONE "    hazards: [{kind: shearing, harm: serious, measures: [m]}]\n";
	expect(arena_format(&a, "%smeasures: [{id: m, standing: practice, step: design, answers: [shearing]}]\n",
		zone), "");
	expect(arena_format(&a, "%smeasures: [{id: m, standing: practice, step: design, answers: [crushing]}]\n", zone),
		"library-answers 6:15 zones[z]\n");
	expect(arena_format(&a,
		"%smeasures: [{id: m, standing: practice, step: design, protection: D, answers: [crushing]}]\n",
		zone), "");
	expect(zone, "library-reference 6:58 zones[z].hazards[1].measures[1]\n");
}

Test(load_library, circles_are_found)
{
	expect("library: 1\ndefinitions:\n"
	       "  - {id: a, standing: practice, rule: the.b + 1 m}\n"
	       "  - {id: b, standing: practice, rule: 'limit(''l'')'}\n"
	       "  - {id: c, standing: practice, rule: 2 m}\n"
	       "limits:\n"
	       "  - {id: l, standing: practice, is: length, value: the.a + the.c}\n",
		"library-circle 3:5 definitions[a]\nlibrary-circle 4:5 definitions[b]\n"
		"library-circle 7:5 limits[l]\n");
	expect("library: 1\ndefinitions:\n  - {id: a, standing: practice, rule: the.a}\n",
		"library-circle 3:5 definitions[a]\n");
}

Test(load_library, too_many_entries_are_refused)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, "library: 1\nchecks:\n");
	for (int i = 0; i <= LIBRARY_ENTRIES_MAX; i++)
		buf_format(&b, "  - {id: c%d, standing: practice}\n", i);
	expect(b.bytes, "library-too-many 3:3 checks\n");
}

/* ---- types: motions, bodies, pairs of bodies ---------------------------------------------------- */

#define TYPE \
	"library: 1\nzones: [{id: z, standing: practice, hazards: [{kind: crushing, harm: serious}]}]\n" \
	"types:\n  - id: t\n    standing: practice\n    family: f\n    movement: vertical\n    zones: [z]\n"

static void expect_step(const char *step, const char *expected)
{
	expect(arena_format(&a, TYPE "    motions: [{id: m, steps: [{%s}]}]\n", step), expected);
}

Test(load_library, a_type_is_read_whole)
{
	expect("library: 1\nzones:\n"
	       "  - {id: z, standing: practice, covers: [leaf~post, a-b~c.d],\n"
	       "      hazards: [{kind: crushing, harm: serious}]}\n"
	       "types:\n  - id: t\n    standing: practice\n    family: f\n    movement: parallel-axis\n    zones: [z]\n"
	       "    leaves: '2'\n    mirror: 1 m\n    origin: [1 m, 2 m]\n    clearance: [plan, elevation]\n"
	       "    found: z\n"
	       "    underside: [{height: 1 m, rise: 0 m, radius: 3 m, angle: 90 deg, along: 1 %, across: 0 %}]\n"
	       "    motions:\n"
	       "      - {id: leaf, steps: [{shift: [1 m, 0 m], during: ['0', '0.5']},\n"
	       "          {turn: 90 deg, about: [0 m, 0 m]}]}\n"
	       "      - {id: rod, steps: [{reach: [1 m, 0 m], with: leaf, about: [0 m, 0 m]}]}\n"
	       "      - {id: arm, steps: [{link: fore, from: [0 m, 0 m], to: [1 m, 0 m], with: leaf,\n"
	       "          first: 1 m, second: 1 m, elbow: right}]}\n"
	       "    bodies:\n"
	       "      - {id: leaf, view: elevation, per: leaf, moves: leaf, from: 0 m, to: 1 m,\n"
	       "          open-work: leaf.order = 2, points: [[0 m, 0 m], [leaf.length, 0 m], [0 m, 1 m]]}\n"
	       "      - {id: post-a, role: post, view: plan, moves: no, drawn-only: yes, points: [[0 m, 0 m]]}\n",
		"");
	const struct lib_type *t = library_type(&library, "t");
	cr_assert_not_null(t);
	cr_expect_str_eq(t->movement, "parallel-axis");
	cr_expect_str_eq(t->found, "z");
	cr_expect(t->leaves && t->mirror && t->origin[0] && t->origin[1]);
	cr_expect(words_have(t->clearance, "plan") && words_have(t->clearance, "elevation"));
	cr_assert_eq(t->underside_count, 1);
	cr_expect(t->underside[0].angle && t->underside[0].across);
	cr_assert_eq(t->motion_count, 3);
	cr_assert_eq(t->motions[0].step_count, 2);
	cr_expect_eq(t->motions[0].steps[0].during_count, 2);
	cr_expect(t->motions[0].steps[0].shift[1] && t->motions[0].steps[1].turn && !t->motions[0].steps[1].shift[0]);
	cr_expect_str_eq(t->motions[1].steps[0].with, "leaf");
	cr_expect_str_eq(t->motions[2].steps[0].link, "fore");
	cr_expect_str_eq(t->motions[2].steps[0].elbow, "right");
	cr_assert_eq(t->body_count, 2);
	cr_expect(t->bodies[0].elevation && t->bodies[0].per_leaf && !t->bodies[0].drawn_only);
	cr_expect(t->bodies[0].from && t->bodies[0].to && t->bodies[0].open_work);
	cr_expect_eq(t->bodies[0].count, 3);
	cr_expect(!t->bodies[1].elevation && !t->bodies[1].per_leaf && t->bodies[1].drawn_only);
	cr_expect_str_eq(t->bodies[1].role, "post");
	cr_expect_eq(library.zones[0].covers.count, 2);
}

Test(load_library, a_step_is_one_movement_and_whole)
{
	expect_step("shift: [1 m, 0 m]", "");
	expect_step("turn: 90 deg, about: [0 m, 0 m], during: ['0', '0.5'], x-note: own", "");
	expect_step("x-note: own", "library-step 9:31 types[t].motions[m].steps[1]\n");
	expect_step("shift: [1 m, 0 m], turn: 90 deg, about: [0 m, 0 m]",
		"library-step 9:31 types[t].motions[m].steps[1]\n");
	expect_step("turn: 90 deg", "value-missing 9:31 types[t].motions[m].steps[1]\n");
	expect_step("shift: [1 m, 0 m], about: [0 m, 0 m]", "library-step 9:31 types[t].motions[m].steps[1]\n");
	expect_step("turn: 90 deg, about: [0 m, 0 m], with: m",
		"library-step 9:31 types[t].motions[m].steps[1]\nlibrary-circle 9:15 types[t].motions[m]\n");
	expect_step("turn: 90 deg, about: [0 m, 0 m], during: ['0']",
		"library-step 9:31 types[t].motions[m].steps[1]\n");
	expect_step("turn: 90 deg, about: [0 m, 0 m], during: []", "library-step 9:31 types[t].motions[m].steps[1]\n");
	expect_step("aim: [1 m, 0 m], about: [0 m, 0 m]", "value-missing 9:31 types[t].motions[m].steps[1]\n");
	expect_step("aim: [1 m, 0 m], about: [0 m, 0 m], with: leaf, during: ['0', '1']",
		"library-step 9:31 types[t].motions[m].steps[1]\n"
		"library-reference 9:31 types[t].motions[m].steps[1].with\n");
	expect_step("link: middle, from: [0 m, 0 m], to: [1 m, 0 m], with: m, first: 1 m, second: 1 m",
		"value-choice 9:38 types[t].motions[m].steps[1].link\nvalue-missing 9:31 types[t].motions[m].steps[1]\n"
		"library-circle 9:15 types[t].motions[m]\n");
}

Test(load_library, constants_of_a_type_have_their_dimension)
{
	expect_step("turn: '90', about: [0 m, 0 m]", "library-dimension 9:38 types[t].motions[m].steps[1].turn\n");
	expect_step("shift: ['1', 0 m]", "library-dimension 9:40 types[t].motions[m].steps[1].shift[1]\n");
	expect_step("shift: [1 m, 0 m], during: [0 m, '1']",
		"library-dimension 9:60 types[t].motions[m].steps[1].during[1]\n");
	expect(TYPE "    leaves: 2 m\n    mirror: '1'\n    agrees: [1 = 1]\n",
		"library-dimension 9:13 types[t].leaves\nlibrary-dimension 10:13 types[t].mirror\n");
	expect(TYPE "    bodies: [{id: b, view: plan, when: 1 = 1, open-work: 1 = 1, to: 3 N, points: [[0 m, 0 m]]}]\n",
		"library-dimension 9:69 types[t].bodies[b].to\n");
}

Test(load_library, motions_follow_others_of_their_type_and_never_themselves)
{
#define FOLLOWS(id, other) \
	"      - {id: " id ", steps: [{aim: [1 m, 0 m], with: " other ", about: [0 m, 0 m]}]}\n"
#define SHIFT(id) "      - {id: " id ", steps: [{shift: [1 m, 0 m]}]}\n"
	expect(TYPE "    motions:\n" FOLLOWS("a", "b") FOLLOWS("b", "c") FOLLOWS("c", "d") FOLLOWS("d", "e")
		SHIFT("e"), "");
	expect(TYPE "    motions:\n" FOLLOWS("x", "a") FOLLOWS("a", "b") FOLLOWS("b", "c") FOLLOWS("c", "d")
		FOLLOWS("d", "e") SHIFT("e"), "library-size 10:9 types[t].motions[x]\n");
	expect(TYPE "    motions:\n" FOLLOWS("a", "b") FOLLOWS("b", "a"),
		"library-circle 10:9 types[t].motions[a]\nlibrary-circle 11:9 types[t].motions[b]\n");
	expect(TYPE "    motions:\n" FOLLOWS("a", "b"), "library-reference 10:25 types[t].motions[a].steps[1].with\n");
	expect(TYPE "    motions:\n" SHIFT("a") SHIFT("a"), "library-duplicate 11:14 types[t].motions\n");
	expect(TYPE "    motions: [{id: a~b, steps: [{shift: [1 m, 0 m]}]}, {id: c, steps: []}]\n",
		"library-id 9:15 types[t].motions[1]\nlibrary-step 9:71 types[t].motions[c].steps\n");
	expect(TYPE "    motions:\n" SHIFT("e")
		"      - {id: a, steps: [{shift: [1 m, 0 m]}, {aim: [1 m, 0 m], with: e, about: [0 m, 0 m]}]}\n",
		"library-step 11:46 types[t].motions[a].steps[2]\n");
}

Test(load_library, bodies_move_as_their_type_can)
{
	expect(TYPE "    motions:\n" SHIFT("leaf") "    bodies:\n"
	       "      - {id: a, view: plan, moves: leaf, points: [[0 m, 0 m]]}\n"
	       "      - {id: b, view: plan, moves: no, points: [[0 m, 0 m]]}\n"
	       "      - {id: c, view: plan, points: [[0 m, 0 m]]}\n", "");
	expect(TYPE "    motions:\n" SHIFT("leaf") "    bodies:\n"
	       "      - {id: a, view: plan, moves: yes, points: [[0 m, 0 m]]}\n",
		"library-reference 12:9 types[t].bodies[a].moves\n");
	expect(TYPE "    bodies: [{id: a@b, view: plan, points: [[0 m, 0 m]]}]\n",
		"library-id 9:14 types[t].bodies[1]\n");
	expect(TYPE "    clearance: [section]\n    found: y\n",
		"value-choice 9:17 types[t].clearance[1]\nlibrary-reference 10:12 types[t].found\n");
}

static const char *repeated(const char *head, const char *item, int count, const char *tail)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, head);
	for (int i = 0; i < count; i++)
		buf_put(&b, item);
	buf_put(&b, tail);
	return b.bytes;
}

static const char *numbered(const char *head, const char *before, const char *after, int count)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, head);
	for (int i = 0; i < count; i++)
		buf_format(&b, "%s%d%s", before, i, after);
	return b.bytes;
}

Test(load_library, a_type_holds_so_much_and_no_more)
{
	const char *steps = TYPE "    motions: [{id: m, steps: [", *step = "{shift: [1 m, 0 m]}, ";
	expect(repeated(steps, step, 8, "]}]\n"), "");
	expect(repeated(steps, step, 9, "]}]\n"), "library-size 9:15 types[t].motions[m].steps\n");
	const char *points = TYPE "    bodies: [{id: b, view: plan, points: [", *point = "[0 m, 0 m], ";
	expect(repeated(points, point, 64, "]}]\n"), "");
	expect(repeated(points, point, 65, "]}]\n"), "library-size 9:14 types[t].bodies[b].points\n");
	const char *motions = TYPE "    motions:\n", *shift = ", steps: [{shift: [1 m, 0 m]}]}\n";
	expect(numbered(motions, "      - {id: m", shift, 32), "");
	expect(numbered(motions, "      - {id: m", shift, 33), "library-size 4:5 types[t].motions\n");
	const char *bodies = TYPE "    bodies:\n", *body = ", view: plan, points: [[0 m, 0 m]]}\n";
	expect(numbered(bodies, "      - {id: b", body, 200), "");
	expect(numbered(bodies, "      - {id: b", body, 201), "library-size 4:5 types[t].bodies\n");
}

Test(load_library, what_a_zone_covers_are_pairs)
{
	static const char *const BAD[] = {"leaf", "leaf~", "~post", "a~b~c"};
	expect(ZONE HAZARDS "    covers: leaf~post\n", "");
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++)
		expect(arena_format(&a, ZONE HAZARDS "    covers: ['%s']\n", BAD[i]),
			"library-covers 7:13 zones[z].covers\n");
}

Test(load_library, clearances_are_named_by_two_bodies_and_what_is_asked_of_them)
{
	expect(ZONE HAZARDS "    when: clearance('leaf', 'post', 'entry') > 0 mm and clearance.least < 3 mm\n", "");
	expect(ZONE HAZARDS "    when: clearance('leaf', 'post', 'smallest') > 0 mm\n",
		"library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: clearance('leaf', 'post') > 0 mm\n", "rule-name 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: clearance('leaf', 3 mm, 'least') > 0 mm\n",
		"library-reference 7:11 zones[z].when\n");
	expect(ZONE HAZARDS "    when: clearance.smallest < 3 mm\n", "rule-name 7:11 zones[z].when\n");
	expect("library: 1\nchecks:\n"
	       "  - {id: c, standing: practice, holds: 'clearance(''a'', ''b'', ''end'') > 1 m'}\n", "");
	expect("library: 1\ninput-rules:\n"
	       "  - {id: i, standing: practice, holds: 'clearance(''a'', ''b'', ''end'') > 1 m'}\n",
		"rule-name 3:40 input-rules[i].holds\n");
	expect("library: 1\ninput-rules:\n  - {id: i, standing: practice, holds: clearance.least > 0 mm}\n",
		"rule-name 3:40 input-rules[i].holds\n");
}

/* ---- questions that come with measures ----------------------------------------------------------- */

#define GUARD \
	"library: 1\nmeasures:\n" \
	"  - id: guard\n    standing: practice\n    step: safeguard\n    answers: [crushing]\n" \
	"    asks: [{id: opening, is: length},\n" \
	"      {id: shape, is: word, choices: [slot, round], when: here.opening > 0 mm}]\n" \
	"    needs: [{id: n, holds: here.opening < 3 mm}]\n" \
	"  - {id: cover, standing: practice, step: safeguard, answers: [crushing], asks: [{id: opening, is: %s}]}\n"
#define GUARDED(asks, measures) \
	"zones:\n  - {id: z, standing: practice, asks: [" asks "],\n" \
	"     hazards: [{kind: crushing, harm: serious, measures: [" measures "]}]}\n"

static const struct lib_field *asked(size_t count, const char *id)
{
	cr_assert_eq(library.zones_count, 1);
	cr_assert_eq(library.zones[0].ask_count, count, "%zu questions", library.zones[0].ask_count);
	return lib_field_find(library.zones[0].asks, count, id);
}

Test(load_library, a_zone_asks_what_its_measures_ask)
{
	const char *own = "drive.battery = yes";
	expect(arena_format(&a, GUARD GUARDED("{id: gap, is: length, when: %s}", "guard"), "length", own), "");
	cr_expect_null(asked(3, "gap")->words);
	cr_expect_str_eq(rule_text(asked(3, "gap")->when), own);
	cr_expect_str_eq(asked(3, "opening")->words, "measures.guard.facts.opening");
	cr_expect_str_eq(rule_text(asked(3, "opening")->when), "chosen('guard')");
	cr_expect_str_eq(rule_text(asked(3, "shape")->when), "(chosen('guard') and (here.opening > 0 mm))");
	cr_expect_eq(asked(3, "shape")->choices.count, 2);
	/* Measures that bring the same question: due when either is chosen. */
	expect(arena_format(&a, GUARD GUARDED("", "cover, guard, cover"), "length"), "");
	cr_expect_str_eq(rule_text(asked(2, "opening")->when), "chosen('cover') or chosen('guard')");
	/* The zone's own question goes before. */
	expect(arena_format(&a, GUARD GUARDED("{id: opening, is: length}", "guard, cover"), "length"), "");
	cr_expect_null(asked(2, "opening")->when);
	cr_expect_null(asked(2, "opening")->words);
	/* Not the same question at all. */
	expect(arena_format(&a, GUARD GUARDED("", "guard, cover"), "truth"),
		"library-duplicate 10:82 measures[cover].asks\n");
	/* A measure that no zone lists knows its own facts. */
	expect(arena_format(&a, GUARD, "length"), "");
}

/* The zone of the guard, and a firm's own in its place that says nothing or something of what it asks. */
static void replace_guard(const char *asks)
{
	findings_init(&found, &a);
	memset(&library, 0, sizeof library);
	cr_assert(add(arena_format(&a, GUARD GUARDED("", "guard"), "length"), "a.yaml", false));
	cr_assert(add(arena_format(&a,
			      "library: 1\nmeasures:\n  - {replaces: guard, title: Ours, source: house rule 2, "
			      "step: safeguard, answers: [crushing]%s}\n",
			      asks),
		"firm.yaml", true));
	library_finish(&a, &library, &found);
	cr_expect_str_eq(listed(), "");
	cr_expect_str_eq(library_measure(&library, "guard")->note.title, "Ours");
}

Test(load_library, a_measure_in_the_place_of_another_asks_what_that_asked)
{
	replace_guard("");
	cr_expect_eq(library_measure(&library, "guard")->ask_count, 2);
	cr_expect_str_eq(asked(2, "opening")->words, "measures.guard.facts.opening");
	cr_expect_str_eq(rule_text(asked(2, "shape")->when), "(chosen('guard') and (here.opening > 0 mm))");
	cr_expect_eq(library_measure(&library, "guard")->need_count, 0, "nothing else is taken over");
	replace_guard(", asks: []");
	asked(0, "");
	replace_guard(", asks: [{id: width, is: length}]");
	cr_expect_not_null(asked(1, "width"));
}

Test(load_library, what_is_looked_after)
{
	expect("library: 1\nupkeep:\n"
	       "  - {id: a, standing: practice, when: gate.family = 'swing', interval: 12 months, reason: wear}\n"
	       "  - {id: b, standing: practice}\n", "");
	cr_assert_eq(library.tasks_count, 2);
	cr_expect_str_eq(rule_text(library.tasks[0].when), "gate.family = 'swing'");
	cr_expect_str_eq(quantity_text(&a, library.tasks[0].interval), "12 months");
	cr_expect_str_eq(library.tasks[0].reason, "wear");
	cr_expect_null(library.tasks[1].when);
	cr_expect_eq(library.tasks[1].interval.value, 0, "on every visit");
	expect("library: 1\nupkeep:\n  - {id: a, standing: practice, when: leaf.mass > 1 kg}\n",
		"rule-name 3:39 upkeep[a].when\n");
	expect("library: 1\nupkeep:\n  - {id: a, standing: practice, interval: 2 m}\n",
		"value-dimension 3:43 upkeep[a].interval\n");
}

Test(load_library, a_zone_is_asked_so_much_and_no_more)
{
	const char *head = "library: 1\nmeasures:\n  - id: m\n    standing: practice\n    step: safeguard\n"
			   "    answers: [crushing]\n    asks:\n";
	for (int more = 0; more < 2; more++) {
		const char *measure = numbered(head, "      - {id: a", ", is: truth}\n", 199 + more);
		expect(arena_format(&a, "%s%s", measure, GUARDED("{id: own, is: truth}", "m")),
			more ? "library-size 209:5 zones[z].asks\n" : "");
	}
}
