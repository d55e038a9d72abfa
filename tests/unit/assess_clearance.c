/* What clearances are computed, what they say to rules, and in which zone each is dealt with:
 * invented gates of a few boxes (bench/geometry.yaml), each figure worked out by hand beside its
 * check. */
#include <criterion/criterion.h>
#include <math.h>

#include "assess/geometry.h"
#include "geometry_bench.h"

static struct bench b;

static void setup(void)
{
	gap_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_clearance, .init = setup, .fini = teardown);

/* The leaf comes to 50 mm before the stop and passes the post 60 mm beside it. */
#define SLIDE "travel: 1 m, beside: 60 mm, ahead: 50 mm, over: 0 mm"

static void change(const char *old, const char *new)
{
	bench_record(&b, old, new);
	bench_judge(&b);
}

/* clearance(a, c, what), asked in a zone or in none. */
static struct value asked(const char *zone, const char *a, const char *c, const char *what)
{
	struct context *context = &((struct assess_whole *)b.result)->context;
	context->zone = zone ? gap_zone(&b, zone) : NULL;
	struct value v = geometry_value(context, a, c, what);
	context->zone = NULL;
	return v;
}

static void expect_gap(const char *a, const char *c, const char *what, double low, double high)
{
	struct value v = asked(NULL, a, c, what);
	cr_assert_eq(v.kind, VALUE_QUANTITY, "%s~%s %s is not known", a, c, what);
	cr_expect_float_eq(v.quantity.low, low, 1e-4, "%s~%s %s: %g", a, c, what, v.quantity.low);
	cr_expect_float_eq(
		v.quantity.high, high, 1e-4, "%s~%s %s: %g", a, c, what, v.quantity.high);
}

/* ---- what the calls say ------------------------------------------------------------------------
 */

/* Closed 1 m + 50 mm, open 50 mm; beside the post 60 mm all the way, which never shrinks. */
Test(assess_clearance, calls_by_id_or_role_either_way_round)
{
	gap_judge(&b, "slide", SLIDE, "");
	expect_gap("leaf", "stop", "closed", 1.05, 1.05);
	expect_gap("stop", "leaf", "closed", 1.05, 1.05);
	expect_gap("leaf", "stop", "open", 0.05, 0.05);
	expect_gap("leaf", "stop", "least", 0.05, 0.05);
	expect_gap("leaf", "stop", "greatest", 1.05, 1.05);
	expect_gap("leaf", "stop", "entry", 1.05, 1.05);
	expect_gap("leaf", "stop", "end", 0.05, 0.05);
	expect_gap("leaf", "post", "least", 0.06, 0.06);
	expect_gap("leaf", "pillar", "greatest", 0.06, 0.06);
	expect_gap("pillar", "leaf", "end", 0.06, 0.06);
	expect_gap("leaf", "post", "entry", 0, 0);
}

Test(assess_clearance, calls_of_what_is_not_there_are_unknown)
{
	gap_judge(&b, "slide", SLIDE, "");
	cr_expect_eq(asked(NULL, "leaf", "hood", "least").kind, VALUE_UNKNOWN,
		"the hood does not exist");
	cr_expect_eq(asked(NULL, "leaf", "rail", "least").kind, VALUE_UNKNOWN, "drawn only");
	cr_expect_eq(asked(NULL, "post", "stop", "least").kind, VALUE_UNKNOWN, "neither moves");
	cr_expect_eq(asked(NULL, "leaf", "ground", "least").kind, VALUE_UNKNOWN, "no underside");
	cr_expect_eq(
		asked(NULL, "leaf", "stop", "middle").kind, VALUE_UNKNOWN, "no such clearance");
	change("ahead: 50 mm", "ahead: unknown");
	cr_expect_eq(
		asked(NULL, "leaf", "stop", "least").kind, VALUE_UNKNOWN, "its place is unknown");
	cr_expect_eq(b.result->geometry->left_out, 1u);
	gap_judge(&b, "no-such-type", "", "");
	cr_expect_eq(
		asked(NULL, "leaf", "stop", "least").kind, VALUE_UNKNOWN, "no type, no bodies");
}

/* Nearest 5 m: not computed, and known to be at least what matters. */
Test(assess_clearance, what_never_comes_near_is_known_to_stay_away)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 60 mm, ahead: 5 m, over: 0 mm", "");
	const struct clearance_result *r = gap_pair(&b, "leaf~stop@wing");
	cr_assert_not_null(r);
	cr_expect_eq(r->knot_count, 0u);
	cr_expect_eq(r->kinds, 0u);
	cr_expect_null(r->listed);
	struct value v = asked(NULL, "leaf", "stop", "least");
	cr_assert_eq(v.kind, VALUE_QUANTITY);
	cr_expect_float_eq(v.quantity.low, CLEARANCE_FINE, 1e-9);
	cr_expect_geq(v.quantity.high, 5);
}

/* The stop's corners: ± 5 mm of `ahead` and ± 2 mm of the travel; the leaf's way: ± 2 mm more. Play
 * of 3 mm and bending of 4 mm on top: 16 mm. */
Test(assess_clearance, every_doubt_counts)
{
	gap_judge(&b, "slide", "travel: 1 m ± 2 mm, beside: 60 mm, ahead: 50 mm ± 5 mm, over: 0 mm",
		"");
	expect_gap("leaf", "stop", "least", 0.041, 0.059);
	bench_record(&b, "sideways: 0 mm", "sideways: 3 mm");
	change("flex: 0 mm", "flex: 4 mm");
	expect_gap("leaf", "stop", "least", 0.034, 0.066);
	expect_gap("leaf", "stop", "greatest", 1.034, 1.066);
	/* The post: ± 0 of its own, ± 2 mm of the way of the leaf, ± 7 mm of play. */
	expect_gap("leaf", "post", "least", 0.051, 0.069);
	/* Less than nothing is nothing. */
	change("ahead: 50 mm ± 5 mm", "ahead: 10 mm ± 5 mm");
	expect_gap("leaf", "stop", "least", 0, 0.026);
}

/* A gap of 30 mm at the stop, with 10 mm of over-travel, comes to 20 mm: under the 25 mm that a
 * finger needs. */
Test(assess_clearance, over_travel_counts_at_its_end_of_the_travel)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 30 mm, over: 0 mm", "");
	cr_expect_str_eq(
		gap_parts(&b, gap_known(&b, "leaf~stop@wing")), "body head leg foot toes arm hand");
	change("over-travel-opening: 0 mm", "over-travel-opening: 10 mm");
	const struct clearance_result *r = gap_known(&b, "leaf~stop@wing");
	cr_expect_str_eq(gap_parts(&b, r), "body head leg foot toes arm hand finger");
	cr_assert_eq(r->stretch_count, 1u);
	cr_expect_float_eq(r->stretches[0].over, 0.010, 1e-9);
	cr_expect_float_eq(r->stretches[0].speed, 0.2, 1e-3, "0.2 m/s over 1 m");
	change("over-travel-closing: 0 mm", "over-travel-closing: 50 mm");
	cr_expect_float_eq(gap_known(&b, "leaf~stop@wing")->stretches[0].over, 0.010, 1e-9);
}

/* With 510 mm left and 20 mm of over-travel a body is hurt: by a leaf that comes straight at it, in
 * no other way. */
Test(assess_clearance, over_travel_alone_makes_no_other_kind)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 510 mm, over: 0 mm", "");
	cr_expect_eq(gap_known(&b, "leaf~stop@wing")->kinds, 0u);
	change("over-travel-opening: 0 mm", "over-travel-opening: 20 mm");
	const struct clearance_result *r = gap_known(&b, "leaf~stop@wing");
	cr_expect_str_eq(gap_parts(&b, r), "body");
	cr_expect_eq(r->kinds, (unsigned)CLEARANCE_CRUSHING);
}

/* ---- where it is dealt with --------------------------------------------------------------------
 */

Test(assess_clearance, a_listed_zone_that_covers_a_pair_gets_no_second_one)
{
	gap_judge(&b, "slide", SLIDE, "");
	const struct clearance_result *stop = gap_known(&b, "leaf~stop@wing"),
				      *post = gap_known(&b, "leaf~post@wing");
	cr_expect_eq(stop->kinds, (unsigned)CLEARANCE_CRUSHING);
	cr_expect_str_eq(stop->listed, "end@wing");
	cr_expect_eq(stop->own, 0u);
	/* What lets in 40 or 20 mm and crushes at 120 or 100 mm; 60 mm is not more than a leg
	 * needs. */
	cr_expect_str_eq(gap_parts(&b, post), "foot arm hand");
	cr_expect_eq(post->kinds, (unsigned)CLEARANCE_DRAWING_IN);
	cr_expect_str_eq(post->listed, "side@wing", "covered by its role");
	cr_expect_str_eq(gap_zones(&b), "end@wing\nside@wing\nquiet@gate\n");
}

/* Bars beside the post shear; the zone that covers the post lists drawing-in alone. */
Test(assess_clearance, a_kind_that_is_not_listed_gives_a_zone_of_its_own)
{
	gap_judge(&b, "slide", SLIDE, "");
	change("{kind: sheet}", "{kind: bars, shape: slot, opening: 100 mm}");
	const struct clearance_result *post = gap_known(&b, "leaf~post@wing");
	cr_expect_eq(post->kinds, (unsigned)(CLEARANCE_DRAWING_IN | CLEARANCE_SHEARING));
	cr_expect_eq(post->own, (unsigned)CLEARANCE_SHEARING);
	cr_expect_str_eq(post->listed, "side@wing");
	const struct zone_result *z = gap_zone(&b, "leaf~post@wing");
	cr_assert(z && z->clearance == post);
	cr_assert_eq(z->hazard_count, 1u);
	cr_expect_str_eq(z->hazards[0].hazard->kind, "shearing");
	cr_assert_eq(z->zone->directions.count, 2u, "it passes both ways");
	cr_expect(z->has_plan && !z->has_elevation);
	/* Between the leaf's inner face at 60 mm and the post's at 120 mm. */
	cr_expect_float_eq(z->plan_y, 0.090, 1e-4);
	/* Which cannot be told open work may be. */
	change("{kind: bars, shape: slot, opening: 100 mm}", "{kind: unknown}");
	cr_expect_not_null(gap_zone(&b, "leaf~post@wing"));
}

static void enter(const char *key, const char *rest)
{
	change("zones: {}",
		arena_format(&b.arena, "zones: {%s: {evidence: photo:view, %s}}", key, rest));
}

Test(assess_clearance, designed_out_is_refused_while_the_geometry_finds_it)
{
	gap_judge(&b, "slide", SLIDE, "");
	enter("end@wing", "as: designed-out");
	const struct finding *f = bench_finding(&b, "geometry-finds", "end@wing");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "first"), "leaf");
	cr_expect_str_eq(bench_value(f->values, "second"), "stop");
	cr_expect_str_eq(bench_value(f->values, "from"), "1.05 m");
	cr_expect_str_eq(bench_value(f->values, "to"), "50 mm");
	cr_expect_str_eq(bench_value(f->values, "direction"), "opening");
	cr_expect_str_eq(bench_value(f->values, "part"), "body");
	cr_expect_str_eq(gap_way(f, "widen", "more"), "450 mm");
	cr_expect_str_eq(gap_way(f, "narrow", "want"), "8 mm");
	cr_expect_eq(gap_zone(&b, "end@wing")->hazards[0].outcome, OUTCOME_OPEN);
	/* A kind that no geometry tells is left to its rule. */
	cr_expect_eq(gap_zone(&b, "end@wing")->hazards[1].outcome, OUTCOME_ANSWERED);
	/* Answered by a measure it needs no contradiction. */
	change("as: designed-out", "as: protected, by: [cover]");
	cr_expect_null(bench_finding(&b, "geometry-finds", "end@wing"));
	cr_expect_eq(gap_zone(&b, "end@wing")->outcome, OUTCOME_ANSWERED);
}

Test(assess_clearance, designed_out_counts_where_the_geometry_finds_nothing)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 60 mm, ahead: 500 mm, over: 0 mm", "");
	enter("end@wing", "as: designed-out");
	cr_expect_null(bench_finding(&b, "geometry-finds", "end@wing"));
	cr_expect_eq(gap_zone(&b, "end@wing")->outcome, OUTCOME_ANSWERED);
	change("ahead: 500 mm", "ahead: 500 mm ± 1 mm");
	cr_expect_not_null(
		bench_finding(&b, "geometry-finds", "end@wing"), "what may be too little is");
}

Test(assess_clearance, not_present_is_refused_while_the_geometry_finds_it)
{
	gap_judge(&b, "slide", SLIDE, "");
	enter("end@wing", "as: not-present");
	cr_expect_not_null(bench_finding(&b, "geometry-finds", "end@wing"));
	cr_expect_not_null(bench_finding(&b, "zone-not-absent", "end@wing"));
	cr_expect_eq(gap_zone(&b, "end@wing")->outcome, OUTCOME_OPEN);
	change("ahead: 50 mm", "ahead: 500 mm");
	cr_expect_null(bench_finding(&b, "zone-not-absent", "end@wing"));
	cr_expect_eq(gap_zone(&b, "end@wing")->outcome, OUTCOME_ABSENT);
}

#define BLOCK                                                                                      \
	"{id: block, kind: wall, at: sweep, x: 3.35 m, y: 30 mm, length: 100 mm, depth: 100 mm, "  \
	"height: 1 m}"

/* A block whose near face is at 3.3 m, 300 mm from where the leaf's end comes to. */
Test(assess_clearance, a_found_zone_is_judged_like_any_other)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm", BLOCK);
	const struct finding *f = bench_finding(&b, "zone-found", "leaf~block@wing");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "from"), "1.3 m");
	cr_expect_str_eq(bench_value(f->values, "to"), "300 mm");
	cr_expect_str_eq(gap_way(f, "widen", "want"), "500 mm");
	cr_expect_str_eq(gap_way(f, "widen", "more"), "200 mm");
	cr_expect_str_eq(gap_way(f, "enter", "key"), "leaf~block@wing");
	const struct zone_result *z = gap_zone(&b, "leaf~block@wing");
	cr_assert(z && z->clearance);
	cr_assert_eq(z->zone->directions.count, 1u);
	cr_expect_str_eq(z->zone->directions.items[0], "opening");
	/* Between 3 m and 3.3 m. */
	cr_expect_float_eq(z->plan_x, 3.15, 1e-4);
	enter("leaf~block@wing", "as: designed-out");
	cr_expect_null(bench_finding(&b, "zone-found", "leaf~block@wing"));
	cr_expect_null(bench_finding(&b, "geometry-finds", "leaf~block@wing"));
	cr_expect_not_null(
		bench_finding(&b, "hazard-open", "leaf~block@wing"), "300 mm are under 500 mm");
	change("as: designed-out", "as: protected, by: [cover]");
	cr_expect_eq(gap_zone(&b, "leaf~block@wing")->outcome, OUTCOME_ANSWERED);
	change("as: protected, by: [cover]", "as: not-present");
	cr_expect_not_null(bench_finding(&b, "zone-not-absent", "leaf~block@wing"));
}

/* A type that names no zone for what is found: it is computed, told, and dealt with nowhere. */
Test(assess_clearance, a_type_without_a_zone_for_what_is_found)
{
	b.library_text = bench_replaced(&b, b.library_text,
		"    travel: gate.dimensions.travel\n    leaves: \"1\"\n    found: found\n",
		"    travel: gate.dimensions.travel\n");
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm", BLOCK);
	const struct clearance_result *r = gap_known(&b, "leaf~block@wing");
	cr_expect_neq(r->kinds, 0u);
	cr_expect_null(r->listed);
	cr_expect_null(gap_zone(&b, "leaf~block@wing"));
}

Test(assess_clearance, the_number_of_leaves)
{
	gap_judge(&b, "slide", SLIDE, "");
	cr_expect_null(bench_finding(&b, "leaves-count", "gate.leaves"));
	gap_judge(&b, "pair", "middle: 1.505 m", "");
	const struct finding *f = bench_finding(&b, "leaves-count", "gate.leaves");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "wanted"), "2");
}

/* ---- which pairs are computed ------------------------------------------------------------------
 */

/* A hood over the leaf's closed place, 400 mm behind its end and 20 mm higher than its top: √(400²
 * + 20²) mm = 400.5 mm when closed. Both lie out of reach above 2.5 m over what one can stand on.
 */
Test(assess_clearance, heights_count_and_end_at_what_can_be_reached)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 20 mm", "");
	const struct clearance_result *r = gap_known(&b, "leaf~hood@wing");
	cr_expect_float_eq(r->knots[0].gap, 0.40050, 1e-4);
	cr_expect_float_eq(r->greatest, 1.40014, 1e-4);
	change("height: 1.8 m", "height: 2.52 m");
	cr_expect_null(gap_pair(&b, "leaf~hood@wing"));
	change("standing-height: 0 mm", "standing-height: 10 mm");
	cr_expect_null(gap_pair(&b, "leaf~hood@wing"));
	change("standing-height: 10 mm", "standing-height: 30 mm");
	cr_expect_not_null(gap_pair(&b, "leaf~hood@wing"));
	change("height: 2.52 m", "height: 2.5 m");
	cr_expect_not_null(gap_pair(&b, "leaf~hood@wing"));
	change("standing-height: 30 mm", "standing-height: unknown");
	change("height: 2.5 m", "height: 5 m");
	cr_expect_not_null(gap_pair(&b, "leaf~hood@wing"), "one may stand anywhere");
}

#define CURTAIN "rise: 1 m, low: 2.2 m, apart: 30 mm"

/* A curtain whose top at 2 m goes up before a lintel that begins at 2.2 m, 30 mm behind: √(200² +
 * 30²) mm, then 30 mm. Over the floor: 10 mm to 1.01 m. */
Test(assess_clearance, elevation_has_its_own_pairs)
{
	gap_judge(&b, "curtain", CURTAIN, "");
	const struct clearance_result *lintel = gap_known(&b, "curtain~lintel@gate"),
				      *floor = gap_known(&b, "curtain~floor@gate");
	cr_expect_float_eq(lintel->knots[0].gap, 0.20224, 1e-4);
	cr_expect_float_eq(lintel->least, 0.030, 1e-4);
	cr_expect(lintel->kinds & CLEARANCE_SHEARING, "it goes by");
	cr_expect_float_eq(floor->least, 0.010, 1e-4);
	cr_expect_float_eq(floor->greatest, 1.010, 1e-4);
	cr_expect_eq(floor->kinds, (unsigned)CLEARANCE_CRUSHING);
	const struct zone_result *z = gap_zone(&b, "curtain~floor@gate");
	cr_assert(z && z->has_elevation && !z->has_plan);
	cr_expect_float_eq(z->elevation_y, 0.005, 1e-4);
	cr_expect_null(gap_pair(&b, "plate~box@gate"), "plan is not looked at");
	/* Sag drops it; play across only where the two stand one before the other. */
	cr_expect_float_eq(floor->doubt, 0, 1e-9);
	change("sag: 0 mm", "sag: 4 mm");
	cr_expect_float_eq(gap_known(&b, "curtain~floor@gate")->doubt, 0.004, 1e-9);
	change("sideways: 0 mm", "sideways: 6 mm");
	cr_expect_float_eq(gap_known(&b, "curtain~floor@gate")->doubt, 0.004, 1e-9);
	cr_expect_float_eq(gap_known(&b, "curtain~lintel@gate")->doubt, 0.010, 1e-9);
}

Test(assess_clearance, in_elevation_what_hangs_too_high_is_out_of_reach)
{
	gap_judge(&b, "curtain", "rise: 1 m, low: 2.6 m, apart: 30 mm", "");
	cr_expect_null(gap_pair(&b, "curtain~lintel@gate"));
	cr_expect_not_null(gap_pair(&b, "curtain~floor@gate"));
	change("standing-height: 0 mm", "standing-height: 100 mm");
	cr_expect_not_null(gap_pair(&b, "curtain~lintel@gate"));
}

Test(assess_clearance, both_views_where_the_type_says_so)
{
	b.library_text = bench_replaced(
		&b, b.library_text, "clearance: [elevation]", "clearance: [plan, elevation]");
	gap_judge(&b, "curtain", CURTAIN, "");
	/* In plan the plate starts inside the box and shifts out of it by 1 m of its 1.99 m. */
	cr_expect_float_eq(gap_known(&b, "plate~box@gate")->greatest, 0, 1e-9);
	cr_expect_eq(gap_known(&b, "plate~box@gate")->kinds, 0u, "nothing gets in");
	cr_expect_not_null(gap_pair(&b, "curtain~floor@gate"));
}

/* ---- fixed objects -----------------------------------------------------------------------------
 */

/* A square of 100 mm turned by 45 degrees reaches 100 / √2 = 70.7 mm from its middle: 500 - 70.7 =
 * 429.3 mm. By tape outside: 100 mm from the line that the leaf's outer face is on. */
Test(assess_clearance, objects_by_their_middle_or_by_tape)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm",
		"{id: block, kind: pillar, at: sweep, x: 3.5 m, y: 30 mm, turn: 45 deg, length: "
		"100 mm, depth: 100 mm, height: 1 m},"
		"{id: fence, kind: fence, at: sweep, along: 1.4 m, off: 100 mm, side: outside, "
		"length: 1 m, depth: 80 mm, height: 1 m},"
		"{id: lost, kind: fence, at: sweep, along: 1.4 m, off: unknown, side: outside, "
		"length: 1 m, depth: 80 mm, height: 1 m},"
		"{id: vague, kind: fence, at: sweep, x: 1.4 m, y: 3 m, length: unknown, depth: 80 "
		"mm, height: 1 m}");
	cr_expect_float_eq(gap_known(&b, "leaf~block@wing")->least, 0.42929, 1e-4);
	cr_expect_float_eq(gap_known(&b, "leaf~fence@wing")->least, 0.100, 1e-4);
	cr_expect_null(gap_pair(&b, "leaf~lost@wing"));
	cr_expect_null(gap_pair(&b, "leaf~vague@wing"));
	cr_expect_eq(b.result->geometry->left_out, 2u);
}

/* An object begins where it does: `along` and `off` tell its near end and face. */
Test(assess_clearance, objects_count_from_the_origin_of_the_type)
{
	b.library_text = bench_replaced(&b, b.library_text, "    travel: gate.dimensions.travel\n",
		"    travel: gate.dimensions.travel\n    origin: [2 m, gate.dimensions.over]\n");
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm",
		"{id: block, kind: pillar, at: sweep, along: 1.2 m, off: 0 mm, side: inside, "
		"length: 100 mm, depth: 50 mm, height: 1 m}");
	cr_expect_float_eq(gap_known(&b, "leaf~block@wing")->least, 0.200, 1e-4);
	change("over: 0 mm", "over: unknown");
	cr_expect_null(gap_pair(&b, "leaf~block@wing"), "the origin is not known");
}

/* ---- two leaves --------------------------------------------------------------------------------
 */

static void judge_pair(const char *slope, const char *more)
{
	gap_judge(&b, "pair", "middle: 1.505 m", "");
	bench_record(&b, "slope: 0 %", arena_format(&b.arena, "slope: %s", slope));
	change("[{id: wing, mass: 90 kg, length: 2 m, height: 1.8 m, material: steel}]",
		arena_format(
			&b.arena, "[{id: one, length: 1.5 m}, {id: two, length: 1.5 m}%s]", more));
}

/* Leaves of 1.5 m, mirrored about 1.505 m: the ends are 10 mm apart when closed; open, 60 mm thick,
 * the axes are 3.01 m apart: 2.95 m. */
Test(assess_clearance, a_second_leaf_is_the_mirror_image)
{
	judge_pair("0 %", "");
	const struct clearance_result *r = gap_known(&b, "leaf~leaf@gate");
	cr_expect_null(r->leaf);
	cr_expect_float_eq(r->knots[0].gap, 0.010, 1e-4);
	cr_expect_float_eq(r->greatest, 2.950, 1e-4);
	cr_expect_str_eq(r->listed, "meeting@one");
	cr_expect_str_eq(r->a->name, "leaf@one");
	cr_expect_str_eq(r->b->name, "leaf@two");
	struct value v = asked("meeting@two", "leaf", "leaf", "closed");
	cr_expect(v.kind == VALUE_QUANTITY && fabs(v.quantity.value - 0.010) < 1e-4,
		"both zones may ask");
	const struct zone_result *two = gap_zone(&b, "meeting@two");
	cr_assert(two && two->has_plan && two->has_elevation);
	cr_expect_float_eq(two->plan_x, 2.51, 1e-9);
	cr_expect_float_eq(two->elevation_x, 2.51, 1e-9);
	cr_expect_null(bench_finding(&b, "leaves-count", "gate.leaves"));
}

/* Ground that rises by 2 % along the opening: the first leaf's end goes 1.5 m downhill, 60 + 30 mm;
 * the second's uphill, 60 - 30. */
Test(assess_clearance, the_second_leaf_meets_the_slope_the_other_way_round)
{
	judge_pair("2 %", "");
	cr_expect_float_eq(gap_known(&b, "leaf~ground@one")->greatest, 0.090, 1e-4);
	cr_expect_float_eq(gap_known(&b, "leaf~ground@one")->least, 0.060, 1e-4);
	cr_expect_float_eq(gap_known(&b, "leaf~ground@two")->least, 0.030, 1e-4);
	/* What a leaf asks of itself comes first. */
	struct value v = asked("meeting@two", "leaf", "ground", "least");
	cr_assert_eq(v.kind, VALUE_QUANTITY);
	cr_expect_float_eq(v.quantity.value, 0.030, 1e-4);
	v = asked("meeting@one", "leaf", "ground", "least");
	cr_expect_float_eq(v.quantity.value, 0.060, 1e-4);
	/* Asked for no leaf: the worst of the two. */
	expect_gap("leaf", "ground", "least", 0.030, 0.030);
	expect_gap("leaf", "ground", "greatest", 0.090, 0.090);
	change("slope: 2 %", "slope: unknown");
	cr_expect_null(gap_pair(&b, "leaf~ground@one"));
}

/* The latch of the second leaf stands at 3.01 - 0.5 m and draws back by 0.4 m in the second half of
 * the travel, away from the middle. */
Test(assess_clearance, what_a_second_leaf_carries_is_mirrored_as_well)
{
	judge_pair("0 %", "");
	const struct geometry *g = b.result->geometry;
	const struct geo_body *latch = NULL;
	for (size_t i = 0; i < g->body_count; i++)
		if (text_equal(g->bodies[i].name, "latch@two"))
			latch = &g->bodies[i];
	cr_assert_not_null(latch);
	cr_expect_float_eq(latch->poses[0].x, 2.51, 1e-9);
	cr_expect_float_eq(latch->poses[12 * latch->count].x, 2.51, 1e-9);
	cr_expect_float_eq(latch->poses[18 * latch->count].x, 2.71, 1e-9);
	cr_expect_float_eq(latch->poses[24 * latch->count].x, 2.91, 1e-9);
}

Test(assess_clearance, a_third_leaf_is_left_out_and_told)
{
	judge_pair("0 %", ", {id: three, length: 1 m}");
	cr_expect_eq(b.result->geometry->left_out, 1u);
	cr_expect_not_null(bench_finding(&b, "leaves-count", "gate.leaves"));
	change("middle: 1.505 m", "middle: unknown");
	cr_expect_eq(b.result->geometry->left_out, 3u, "the third, and two bodies of the second");
	cr_expect_null(gap_pair(&b, "leaf~leaf@gate"));
}

Test(assess_clearance, a_gate_without_leaves_on_record)
{
	gap_judge(&b, "turn", "angle: 90 deg, hand: 1, inward: 1, to-leaf: 10 mm, to-pier: 10 mm",
		"");
	change("[{id: wing, mass: 90 kg, length: 2 m, height: 1.8 m, material: steel}]", "[]");
	/* The height of the leaf is not known. */
	cr_expect_eq(b.result->geometry->left_out, 1u);
	cr_expect_null(gap_pair(&b, "leaf~pier@gate"));
	b.library_text = bench_replaced(&b, b.library_text,
		"        moves: swing\n        from: 50 mm\n        to: leaf.height\n",
		"        moves: swing\n");
	bench_judge(&b);
	cr_expect_not_null(gap_pair(&b, "leaf~pier@gate"));
	cr_expect_not_null(gap_pair(&b, "leaf~ground@gate"));
}

/* ---- what is not on record ---------------------------------------------------------------------
 */

/* Nobody knows how much nearer the two may come: the call is unknown, and the fact an open point. */
Test(assess_clearance, play_and_slope_that_are_not_on_record_leave_no_gap_known)
{
	static const struct {
		const char *path, *given, *unknown;
	} FACTS[] = {{"gate.play.sideways", "sideways: 0 mm", "sideways: unknown"},
		{"gate.play.flex", "flex: 0 mm", "flex: unknown"}, {"gate.play.sag", "sag: 0 mm", "sag: unknown"},
		{"drive.over-travel-opening", "over-travel-opening: 0 mm", "over-travel-opening: unknown"},
		{"drive.over-travel-closing", "over-travel-closing: 0 mm", "over-travel-closing: unknown"},
		{"gate.ground.slope", "slope: 0 %", "slope: unknown"},
		{"gate.ground.across", "across: 0 %", "across: unknown"}};
	for (size_t i = 0; i < sizeof FACTS / sizeof *FACTS; i++) {
		gap_judge(&b, "slide", SLIDE, "");
		cr_expect_eq(asked(NULL, "leaf", "stop", "least").kind, VALUE_QUANTITY);
		change(FACTS[i].given, FACTS[i].unknown);
		cr_expect_eq(asked(NULL, "leaf", "stop", "least").kind, VALUE_UNKNOWN, "%s", FACTS[i].path);
		cr_expect_eq(asked(NULL, "leaf", "stop", "closed").kind, VALUE_UNKNOWN, "%s", FACTS[i].path);
		cr_expect_not_null(bench_finding(&b, "field-unknown", FACTS[i].path), "%s", FACTS[i].path);
	}
}

/* 510 mm less 20 mm of over-travel are 490 mm when open; when closed it is 1.51 m as before. */
Test(assess_clearance, over_travel_counts_in_calls_and_in_the_zone_that_is_found)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 510 mm, over: 0 mm", "");
	change("over-travel-opening: 0 mm", "over-travel-opening: 20 mm");
	expect_gap("leaf", "stop", "least", 0.490, 0.510);
	expect_gap("leaf", "stop", "end", 0.490, 0.510);
	expect_gap("leaf", "stop", "open", 0.490, 0.510);
	expect_gap("leaf", "stop", "closed", 1.510, 1.510);
	/* A block 510 mm beyond where the leaf's end comes to: 500 mm are not kept. */
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm",
		"{id: block, kind: wall, at: sweep, x: 3.56 m, y: 30 mm, length: 100 mm, depth: 100 mm, height: 1 m}");
	bench_record(&b, "over-travel-opening: 0 mm", "over-travel-opening: 20 mm");
	enter("leaf~block@wing", "as: designed-out");
	cr_expect_not_null(bench_finding(&b, "hazard-open", "leaf~block@wing"));
	change("over-travel-opening: 20 mm", "over-travel-opening: 0 mm");
	cr_expect_null(gap_zone(&b, "leaf~block@wing"));
}

/* Two objects with one role, one of which cannot be placed: the other does not answer for it. */
Test(assess_clearance, what_is_left_out_is_told_and_leaves_no_call_known)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm",
		"{id: near, kind: fence, at: sweep, x: 3.35 m, y: 30 mm, length: 100 mm, depth: 80 mm, height: 1 m},"
		"{id: lost, kind: fence, at: sweep, x: 3.9 m, y: unknown, length: 100 mm, depth: 80 mm, height: 1 m}");
	cr_expect_eq(asked(NULL, "leaf", "sweep", "least").kind, VALUE_UNKNOWN);
	cr_expect_eq(asked(NULL, "leaf", "lost", "least").kind, VALUE_UNKNOWN);
	expect_gap("leaf", "near", "open", 0.3, 0.3);
	const struct finding *f = bench_finding(&b, "bodies-left-out", "gate.dimensions");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "bodies"), "fence lost");
	/* Whether the hood is there is not known. */
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: unknown", "");
	f = bench_finding(&b, "bodies-left-out", "gate.dimensions");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "bodies"), "hood");
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm", "");
	cr_expect_null(bench_finding(&b, "bodies-left-out", "gate.dimensions"));
}

/* By tape an object stands off the face of the leaf: where that is nobody knows while a thickness that the type asks
 * for is not on record. Of 60 mm, told from the middle, the fence inside stands at 30 + 100 mm. */
Test(assess_clearance, by_tape_needs_the_thickness_of_the_leaf)
{
	const char *fence = "{id: fence, kind: fence, at: sweep, along: 1.4 m, off: 100 mm, side: inside, "
			    "length: 1 m, depth: 80 mm, height: 1 m}";
	b.library_text = bench_replaced(&b, b.library_text,
		"      - {id: beside, is: length}\n",
		"      - {id: beside, is: length}\n      - {id: leaf-thickness, is: length}\n");
	gap_judge(&b, "slide", SLIDE ", leaf-thickness: unknown", fence);
	cr_expect_null(gap_pair(&b, "leaf~fence@wing"));
	cr_expect_str_eq(bench_value(bench_finding(&b, "bodies-left-out", "gate.dimensions")->values, "bodies"),
		"fence fence");
	gap_judge(&b, "slide", SLIDE ", leaf-thickness: 60 mm", fence);
	cr_expect_float_eq(gap_known(&b, "leaf~fence@wing")->b->points[0].y, 0.130, 1e-9);
}

/* Each of two leaves can be pushed by 3 mm and bends by 1 mm: they come 8 mm nearer to each other,
 * against a post 4 mm. */
Test(assess_clearance, two_leaves_have_play_each)
{
	judge_pair("0 %", "");
	bench_record(&b, "sideways: 0 mm", "sideways: 3 mm");
	change("flex: 0 mm", "flex: 1 mm");
	cr_expect_float_eq(gap_known(&b, "leaf~leaf@gate")->doubt, 0.008, 1e-4);
	gap_judge(&b, "slide", SLIDE, "");
	bench_record(&b, "sideways: 0 mm", "sideways: 3 mm");
	change("flex: 0 mm", "flex: 1 mm");
	cr_expect_float_eq(gap_known(&b, "leaf~post@wing")->doubt, 0.004, 1e-4);
}

/* Reach ends at 2.5 m. The leaf's top is measured at 2.51 m ± 20 mm or hangs 20 mm lower than at 2.51 m: 2.49 m. */
Test(assess_clearance, what_may_hang_within_reach_is_looked_at)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 20 mm", "");
	change("height: 1.8 m", "height: 2.51 m");
	cr_expect_null(gap_pair(&b, "leaf~hood@wing"));
	change("height: 2.51 m", "height: 2.51 m ± 20 mm");
	cr_expect_not_null(gap_pair(&b, "leaf~hood@wing"));
	change("height: 2.51 m ± 20 mm", "height: 2.51 m");
	change("sag: 0 mm", "sag: 20 mm");
	cr_expect_not_null(gap_pair(&b, "leaf~hood@wing"));
}

/* The leaf's lower edge is 50 mm above the ground, a kerb below it all the way 55 ± 10 mm high: they
 * touch, or as much as 50 - 45 = 5 mm are between. */
Test(assess_clearance, of_two_looks_the_worse_counts_in_calls)
{
	gap_judge(&b, "slide", "travel: 1 m, beside: 600 mm, ahead: 5 m, over: 0 mm",
		"{id: kerb, kind: kerb, at: sweep, x: 1.5 m, y: 30 mm, length: 5 m, depth: 60 mm, "
		"height: 55 mm ± 10 mm}");
	expect_gap("leaf", "kerb", "least", 0, 0.005);
	expect_gap("leaf", "kerb", "greatest", 0, 0.005);
	expect_gap("leaf", "kerb", "closed", 0, 0.005);
}
