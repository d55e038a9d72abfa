/* What the shipped library's gate types and the geometry make of dimensions alone. Each gap is
 * worked out by hand beside its check; the injuries are told in general terms, with the bulletin or
 * guidance that describes them. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "geometry_bench.h"

static struct bench b;

static void open_shipped(void)
{
	bench_open(&b);
	bench_shipped(&b);
}

/* A swing leaf of 2 m that opens inside by 90 degrees, underground drive. The hinge axis is the
 * origin; the leaf lies from `to_leaf` to 2 m along the gate and from `offset` to offset + 60 mm
 * across it; the pier's face is `to_pier` behind the axis. */
struct swing {
	const char *to_pier, *to_leaf, *offset, *across, *bodies;
};

static const struct swing CLEAR = {"4 mm", "4 mm", "-60 mm", "0 %", "[]"};

static void judge_swing(const struct swing *s)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\n"
		"site: {standing-height: 0 mm}\n"
		"gate:\n"
		"  type: swing-one\n"
		"  dimensions: {opens: inside, opening-angle: 90 deg, clear-opening: 2.1 m, "
		"leaf-thickness: 60 mm,\n"
		"    axis-to-pier: %s, axis-behind-face: 250 mm, axis-to-leaf: %s, leaf-offset: "
		"%s, spine: no, leaf-rise: 0 mm,\n"
		"    pier-width: 450 mm, pier-depth: 450 mm, pier-height: 2 m, stepped: no, "
		"ground-stop: no, drop-bolt: no,\n"
		"    drive-kind: underground, box-length: 400 mm, box-width: 300 mm}\n"
		"  infill: {kind: sheet}\n"
		"  ground: {slope: 0 %%, across: %s, gap: 60 mm}\n"
		"  play: {sideways: 0 mm, flex: 0 mm, sag: 0 mm}\n"
		"  leaves: [{id: wing, mass: 90 kg, length: 2 m, height: 1.8 m, material: steel}]\n"
		"  bodies: %s\n"
		"drive: {over-travel-opening: 0 mm, over-travel-closing: 0 mm, speed-opening: 0.2 "
		"m/s, speed-closing: 0.2 m/s}\n",
		s->to_pier, s->to_leaf, s->offset, s->across, s->bodies);
	bench_judge(&b);
}

static void judge_sliding(const char *infill, const char *gap)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\n"
		"site: {standing-height: 0 mm}\n"
		"gate:\n"
		"  type: sliding-track\n"
		"  dimensions: {biparting: no, clear-opening: 4 m, leaf-travel: 4.1 m, "
		"leaf-length: 4.6 m, leaf-height: 1.8 m,\n"
		"    leaf-thickness: 60 mm, run-back-room: 1 m, guide-gap: %s, post-width: 120 mm, "
		"post-height: 2 m,\n"
		"    drive-length: 300 mm, drive-width: 200 mm, drive-height: 400 mm, rack: no}\n"
		"  infill: %s\n"
		"  ground: {slope: 0 %%, across: 0 %%, gap: 60 mm}\n"
		"  play: {sideways: 0 mm, flex: 0 mm, sag: 0 mm}\n"
		"  leaves: [{id: wing, mass: 300 kg, length: 4.6 m, height: 1.8 m, material: "
		"steel}]\n"
		"  bodies: []\n",
		gap, infill);
	bench_judge(&b);
}

/* HSE safety bulletin FOD WSW 1-2010: a child's head and upper body in the gap between leaf and
 * pillar, which shrinks as the leaf opens. Closed the gap is 40 + 80 mm; open the leaf's face
 * stands 30 mm behind the axis: 80 - 30 = 50 mm. */
Test(assess_geometry, a_hinge_side_gap_that_takes_a_head_and_shrinks)
{
	open_shipped();
	judge_swing(&(struct swing){"80 mm", "40 mm", "-30 mm", "0 %", "[]"});
	const struct clearance_result *r = gap_pair(&b, "leaf~hinge-pier@wing");
	cr_assert(r && r->knot_count);
	cr_expect_float_eq(r->knots[0].gap, 0.120, 1e-4);
	cr_expect_float_eq(r->least, 0.050, 1e-4);
	cr_expect(r->kinds & CLEARANCE_CRUSHING);
	cr_expect(gap_hurts(r, "head") && gap_hurts(r, "hand") && !gap_hurts(r, "body"));
	cr_assert_not_null(r->listed);
	cr_expect(text_begins(r->listed, "hinge-side"));
	const struct zone_result *z = gap_zone(&b, r->listed);
	cr_expect(z && z->has_plan);
	bench_close(&b);
}

/* Closed 4 + 4 = 8 mm, open 4 mm: at no time does more than 8 mm let a finger in (UNAC Guide No. 1,
 * item 7). */
Test(assess_geometry, a_hinge_side_gap_kept_at_8_mm)
{
	open_shipped();
	judge_swing(&CLEAR);
	const struct clearance_result *r = gap_pair(&b, "leaf~hinge-pier@wing");
	cr_assert(r && r->knot_count);
	cr_expect_float_eq(r->knots[0].gap, 0.008, 1e-4);
	cr_expect_float_eq(r->least, 0.004, 1e-4);
	cr_expect_eq(r->kinds, 0u);
	bench_close(&b);
}

/* The same bulletin names piers with a projecting course as a cause. The step reaches 60 mm out of
 * a pier 160 mm behind the axis: closed 40 + 100 mm, open 100 - 30 = 70 mm. */
Test(assess_geometry, a_stepped_pier)
{
	open_shipped();
	judge_swing(&(struct swing){"160 mm", "40 mm", "-30 mm", "0 %", "[]"});
	cr_expect_null(gap_pair(&b, "leaf~hinge-pier-step@wing"));
	bench_record(&b, "stepped: no",
		"stepped: yes, step-out: 60 mm, step-from: 300 mm, step-to: 1.2 m");
	bench_judge(&b);
	const struct clearance_result *r = gap_known(&b, "leaf~hinge-pier-step@wing");
	cr_expect_float_eq(r->knots[0].gap, 0.140, 1e-4);
	cr_expect_float_eq(r->least, 0.070, 1e-4);
	cr_expect(r->kinds & CLEARANCE_CRUSHING);
	cr_expect_str_eq(gap_parts(&b, r), "head leg foot arm hand");
	cr_expect_str_eq(r->listed, "stepped-pier@wing");
	cr_expect_null(gap_zone(&b, r->key), "no second zone");
	const struct zone_result *z = gap_zone(&b, "stepped-pier@wing");
	cr_expect(z && z->has_plan);
	/* Above the step the pier itself is 60 mm farther away. */
	cr_expect_float_eq(gap_known(&b, "leaf~hinge-pier@wing")->least, 0.130, 1e-4);
	/* 500 mm left for whoever got in: nobody is crushed. */
	bench_record(&b, "axis-to-pier: 160 mm", "axis-to-pier: 590 mm");
	bench_judge(&b);
	r = gap_known(&b, "leaf~hinge-pier-step@wing");
	cr_expect_float_eq(r->least, 0.500, 1e-4);
	cr_expect_eq(r->kinds & CLEARANCE_CRUSHING, 0u);
	bench_close(&b);
}

/* A wall 200 mm thick whose near face is `gap` beyond the face of the open leaf, which stands at x
 * = 0 (offset -60 mm). */
static const char *wall(double gap_mm)
{
	return arena_format(&b.arena,
		"[{id: wall, kind: wall, at: sweep, along: %g mm, off: 0.6 m, side: inside, "
		"length: 200 mm,"
		" depth: 3 m, height: 1.5 m}]",
		-(200 + gap_mm));
}

/* DHF and HSE guidance, swept area: walls near the open leaf. 300 mm is less than a body needs (EN
 * ISO 13854, 500 mm). */
Test(assess_geometry, a_leaf_that_opens_to_300_mm_from_a_wall)
{
	open_shipped();
	struct swing s = CLEAR;
	s.bodies = wall(300);
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~wall@wing");
	cr_assert(r && r->knot_count);
	cr_expect_float_eq(r->least, 0.300, 1e-4);
	cr_expect(r->kinds & CLEARANCE_CRUSHING);
	cr_expect(gap_hurts(r, "body"));
	cr_expect_str_eq(r->listed, "leaf~wall@wing");
	const struct zone_result *z = gap_zone(&b, "leaf~wall@wing");
	cr_assert(z && z->has_plan && z->clearance == r);
	const struct finding *f = bench_finding(&b, "zone-found", "leaf~wall@wing");
	cr_assert_not_null(f);
	cr_expect_str_eq(bench_value(f->values, "to"), "300 mm");
	cr_expect_str_eq(bench_value(f->values, "direction"), "opening");
	cr_expect_str_eq(bench_value(f->values, "part"), "body");
	cr_expect_str_eq(gap_way(f, "widen", "more"), "200 mm");
	cr_expect_str_eq(gap_way(f, "narrow", "want"), "8 mm");
	/* Half way between the face of the open leaf and the wall. */
	cr_expect_float_eq(z->plan_x, -0.150, 1e-4);
	cr_expect(!gap_hurts(r, "head"), "300 mm are enough for a head");
	s.bodies = wall(290);
	judge_swing(&s);
	r = gap_known(&b, "leaf~wall@wing");
	cr_expect_str_eq(gap_parts(&b, r), "body head");
	cr_expect_str_eq(
		gap_way(bench_finding(&b, "zone-found", r->key), "widen", "more"), "210 mm");
	bench_close(&b);
}

Test(assess_geometry, a_wall_510_mm_away_is_none)
{
	open_shipped();
	struct swing s = CLEAR;
	s.bodies = wall(510);
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~wall@wing");
	cr_assert_not_null(r);
	cr_expect_float_eq(r->least, 0.510, 1e-4);
	cr_expect_eq(r->kinds, 0u);
	cr_expect_null(gap_zone(&b, "leaf~wall@wing"));
	bench_close(&b);
}

/* A leaf near a wall at its hinge all the way, and closing on it with its free end: the small gap
 * hides nothing. */
Test(assess_geometry, a_wall_right_behind_the_whole_leaf)
{
	open_shipped();
	struct swing s = CLEAR;
	s.bodies = "[{id: wall, kind: wall, at: sweep, along: -210 mm, off: 5 mm, side: inside, "
		   "length: 200 mm, depth: 3 m,"
		   " height: 1.5 m}]";
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~wall@wing");
	cr_assert_not_null(r);
	cr_expect(r->kinds & CLEARANCE_CRUSHING);
	cr_expect(gap_hurts(r, "body"), "the free end comes from over 1 m to 10 mm");
	bench_close(&b);
}

/* HSE and trade guidance, crushing at the lower edges: a kerb 50 mm high under a leaf whose lower
 * edge is 60 mm above the ground. */
Test(assess_geometry, a_kerb_under_a_swing_leaf)
{
	open_shipped();
	struct swing s = CLEAR;
	s.bodies = "[{id: kerb, kind: kerb, at: sweep, along: 1 m, off: 0.8 m, side: inside, "
		   "length: 150 mm, depth: 2 m, height: 50 mm}]";
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~kerb@wing");
	cr_assert_not_null(r);
	cr_expect_float_eq(r->least, 0.010, 1e-4);
	cr_expect(gap_hurts(r, "foot") && gap_hurts(r, "toes"));
	cr_expect(!gap_hurts(r, "body"), "a body is thicker than the kerb is high");
	cr_expect_not_null(gap_zone(&b, "leaf~kerb@wing"));
	bench_close(&b);
}

/* Trade guidance, crushing at the lower edges: slopes and kerbs together. The kerb is 20 mm high,
 * and the ground below it rises by 1 % of its way from the gate: at its far end, at y, the gap is
 * 60 - 20 - 0.01 y. */
Test(assess_geometry, a_kerb_on_rising_ground)
{
	open_shipped();
	struct swing s = CLEAR;
	s.across = "1 %";
	s.bodies = "[{id: kerb, kind: kerb, at: sweep, along: 1 m, off: 0.8 m, side: inside, "
		   "length: 150 mm, depth: 2 m, height: 20 mm}]";
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~kerb@wing");
	cr_assert_not_null(r);
	double far = r->b->points[2].y;
	cr_expect_float_eq(far, 2.8 - 0.030, 0.031);
	cr_expect_float_eq(r->least - r->doubt, 0.060 - 0.020 - 0.01 * far, 1e-4);
	cr_expect(gap_hurts(r, "toes"));
	bench_close(&b);
}

/* A kerb 40 mm high on ground that rises by 2 %: near the gate the leaf passes over it, at 1.8 m it runs into it. Both
 * kinds are told. */
Test(assess_geometry, a_kerb_that_the_leaf_may_pass_over_or_run_into)
{
	open_shipped();
	struct swing s = CLEAR;
	s.across = "2 %";
	s.bodies = "[{id: kerb, kind: kerb, at: sweep, along: 1 m, off: 0.2 m, side: inside, "
		   "length: 150 mm, depth: 1.6 m, height: 40 mm}]";
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~kerb@wing");
	cr_assert_not_null(r);
	cr_expect_eq(r->kinds & (CLEARANCE_CRUSHING | CLEARANCE_SHEARING), CLEARANCE_CRUSHING | CLEARANCE_SHEARING);
	bench_close(&b);
}

/* A wall 1 m long that stands askew by 45 degrees is 0.71 m wide and deep, by the Pythagorean
 * theorem: in elevation too. */
Test(assess_geometry, what_stands_askew_is_as_wide_as_its_corners)
{
	open_shipped();
	struct swing s = CLEAR;
	s.bodies = "[{id: screen, kind: wall, at: sweep, x: 3 m, y: 3 m, length: 1 m, depth: 2 mm, "
		   "height: 1 m, turn: 45 deg}]";
	judge_swing(&s);
	const struct geometry *g = b.result->geometry;
	const struct geo_body *upright = NULL;
	for (size_t i = 0; i < g->body_count; i++)
		if (g->bodies[i].item && g->bodies[i].elevation)
			upright = &g->bodies[i];
	cr_assert_not_null(upright);
	cr_expect_float_eq(upright->points[1].x - upright->points[0].x, (1 + 0.002) * sqrt(0.5), 1e-9);
	cr_expect_float_eq(upright->high - upright->low, (1 + 0.002) * sqrt(0.5), 1e-9);
	bench_close(&b);
}

/* Ground that rises by 2 % inward: at 2 m the open leaf has 60 - 40 = 20 mm left. Level ground:
 * nothing shrinks. */
Test(assess_geometry, rising_ground_under_a_swing_leaf)
{
	open_shipped();
	struct swing s = CLEAR;
	s.across = "2 %";
	judge_swing(&s);
	const struct clearance_result *r = gap_pair(&b, "leaf~ground@wing");
	cr_assert_not_null(r);
	cr_expect_float_eq(r->least, 0.020, 1e-4);
	cr_expect(gap_hurts(r, "foot"));
	judge_swing(&CLEAR);
	r = gap_pair(&b, "leaf~ground@wing");
	cr_assert_not_null(r);
	cr_expect_eq(r->kinds, 0u);
	bench_close(&b);
}

/* Irish and UK guidance, shearing: bars that pass a post with 60 mm between. A hand is sheared or
 * drawn in, a finger is not (25 mm). */
Test(assess_geometry, bars_that_pass_a_post_with_60_mm_between)
{
	open_shipped();
	judge_sliding("{kind: bars, shape: slot, opening: 110 mm, slot-length: 1.6 m}", "60 mm");
	const struct clearance_result *r = gap_pair(&b, "leaf~guide-post-inside@wing");
	cr_assert(r && r->knot_count);
	cr_expect_float_eq(r->least, 0.060, 1e-4);
	cr_expect(r->slides);
	cr_expect((r->kinds & CLEARANCE_SHEARING) && (r->kinds & CLEARANCE_DRAWING_IN));
	cr_expect(gap_hurts(r, "hand") && gap_hurts(r, "arm") && !gap_hurts(r, "finger"));
	cr_expect_str_eq(r->listed, "infill-post@wing");
	judge_sliding("{kind: sheet}", "8 mm");
	r = gap_pair(&b, "leaf~guide-post-inside@wing");
	cr_assert(r && r->knot_count);
	cr_expect_eq(r->kinds, 0u, "8 mm keep a finger out");
	bench_close(&b);
}

/* EN 12453:2017, ride-along: a person carried on the leaf into a post. The zone is listed whatever
 * the geometry says, and the post at the closed end is found. */
Test(assess_geometry, a_person_carried_into_a_post)
{
	open_shipped();
	judge_sliding("{kind: bars, shape: slot, opening: 110 mm, slot-length: 1.6 m}", "60 mm");
	cr_expect_not_null(gap_zone(&b, "ride-along@wing"));
	const struct clearance_result *r = gap_pair(&b, "leaf~receiving-post@wing");
	cr_assert(r && r->knot_count);
	cr_expect_float_eq(r->greatest, 4.1, 1e-4);
	cr_expect_float_eq(r->least, 0, 1e-4);
	cr_expect_eq(r->kinds, (unsigned)CLEARANCE_CRUSHING);
	cr_expect_str_eq(r->listed, "main-edge@wing");
	bench_close(&b);
}

/* ---- properties --------------------------------------------------------------------------------
 */

static const char *random_body(const char *id)
{
	return arena_format(&b.arena,
		"{id: %s, kind: wall, at: sweep, along: %.0f mm, off: %.0f mm, side: %s, length: "
		"%.0f mm,"
		" depth: %.0f mm, height: %.0f mm}",
		id, gap_random(-2000, 3000), gap_random(0, 3000), rand() % 2 ? "inside" : "outside",
		gap_random(50, 800), gap_random(50, 800), gap_random(60, 2000));
}

Test(assess_geometry, another_body_takes_no_zone_away)
{
	open_shipped();
	srand(20261125);
	for (int i = 0; i < 60; i++) {
		struct swing s = CLEAR;
		const char *first = random_body("first");
		s.bodies = arena_format(&b.arena, "[%s]", first);
		judge_swing(&s);
		const char *before = gap_zones(&b);
		s.bodies = arena_format(&b.arena, "[%s, %s]", first, random_body("second"));
		judge_swing(&s);
		cr_expect(gap_has_zones(&b, before), "case %d: %s", i, s.bodies);
	}
	bench_close(&b);
}

/* Sizes at which the library lets parts in: 8, 20, 40, 60, 100, 150 mm. Just over one of them, more
 * can be hurt than just under; and a gap that stays over 500 mm hurts nobody, however much wider it
 * gets. */
Test(assess_geometry, a_gap_that_lets_more_in_hurts_more)
{
	static const double SIZES[] = {20, 40, 60, 100};
	static const char *const LETS_IN[] = {"hand", "foot", "leg", "head"};
	open_shipped();
	for (size_t i = 0; i < sizeof SIZES / sizeof *SIZES; i++) {
		for (int over = 0; over < 2; over++) {
			/* Closed: to_leaf + to_pier; the leaf opens to to_pier - 0 = half of that.
			 */
			double half = (SIZES[i] + (over ? 1 : -1)) / 2;
			struct swing s = CLEAR;
			s.to_pier = s.to_leaf = arena_format(&b.arena, "%g mm", half);
			judge_swing(&s);
			const struct clearance_result *r = gap_pair(&b, "leaf~hinge-pier@wing");
			cr_assert(r && r->knot_count);
			cr_expect_eq(
				gap_hurts(r, LETS_IN[i]), over, "%g mm: %s", 2 * half, LETS_IN[i]);
		}
	}
	for (double gap = 510; gap < 3000; gap *= 1.4) {
		struct swing s = CLEAR;
		s.bodies = wall(gap);
		judge_swing(&s);
		cr_expect_null(gap_zone(&b, "leaf~wall@wing"), "%g mm", gap);
	}
	bench_close(&b);
}

Test(assess_geometry, doubt_takes_no_kind_away)
{
	open_shipped();
	srand(20261126);
	for (int i = 0; i < 40; i++) {
		double gap = gap_random(10, 200), leaf = gap_random(5, 60);
		struct swing s = CLEAR;
		s.to_pier = arena_format(&b.arena, "%.1f mm", gap);
		s.to_leaf = arena_format(&b.arena, "%.1f mm", leaf);
		judge_swing(&s);
		const struct clearance_result *r = gap_pair(&b, "leaf~hinge-pier@wing");
		cr_assert_not_null(r);
		unsigned kinds = r->kinds, parts = r->parts;
		s.to_pier = arena_format(&b.arena, "%.1f mm ± %.1f mm", gap, gap_random(0.5, 9));
		judge_swing(&s);
		r = gap_pair(&b, "leaf~hinge-pier@wing");
		cr_assert_not_null(r);
		cr_expect((kinds & ~r->kinds) == 0 && (parts & ~r->parts) == 0, "case %d", i);
	}
	bench_close(&b);
}

/* Inside and outside changed: the gaps are the same. The leaf's offset changes its sign about the
 * axis. */
Test(assess_geometry, mirroring_changes_only_the_side)
{
	open_shipped();
	judge_swing(&(struct swing){"80 mm", "40 mm", "-30 mm", "0 %", "[]"});
	const struct clearance_result inside = *gap_pair(&b, "leaf~hinge-pier@wing");
	/* The pier reaches 250 mm to the road and 200 mm inward of the axis; both are out of the
	 * leaf's reach. */
	b.record_text = bench_replaced(&b, b.record_text, "opens: inside", "opens: outside");
	bench_judge(&b);
	const struct clearance_result *r = gap_pair(&b, "leaf~hinge-pier@wing");
	cr_assert_not_null(r);
	cr_expect_float_eq(r->least, inside.least, 2e-4);
	cr_expect_float_eq(r->knots[0].gap, inside.knots[0].gap, 2e-4);
	cr_expect_eq(r->kinds, inside.kinds);
	cr_expect_eq(r->parts, inside.parts);
	bench_close(&b);
}

/* What stands behind "id: " in the dimensions of the record, made unknown; NULL: it is not written.
 */
static const char *with_unknown(const char *text, const char *id)
{
	const char *from = strstr(text, "dimensions: {"), *to = strstr(from, "infill:");
	const char *at = strstr(from, arena_format(&b.arena, " %s: ", id));
	at = at ? at : strstr(from, arena_format(&b.arena, "{%s: ", id));
	if (!at || at > to)
		return NULL;
	at = strstr(at, ": ") + 2;
	return arena_format(
		&b.arena, "%.*sunknown%s", (int)(at - text), text, at + strcspn(at, ",}"));
}

/* The zones that the type lists, each dimension in turn unknown. */
static void expect_listed_without_each(void)
{
	struct buf listed;
	buf_init(&listed, &b.arena);
	for (size_t i = 0; i < b.result->zone_count; i++)
		if (!b.result->zones[i].clearance)
			buf_format(&listed, "%s\n", b.result->zones[i].key);
	const struct lib_type *type = b.result->record->type;
	const char *whole = b.record_text;
	int tried = 0;
	for (size_t i = 0; i < type->dimension_count; i++) {
		const char *holed = with_unknown(whole, type->dimensions[i].id);
		if (!holed)
			continue;
		b.record_text = holed;
		bench_judge(&b);
		cr_expect(gap_has_zones(&b, listed.bytes), "%s", type->dimensions[i].id);
		tried++;
	}
	cr_expect_gt(tried, 8);
}

Test(assess_geometry, what_is_not_known_takes_no_listed_zone_away)
{
	open_shipped();
	judge_swing(&CLEAR);
	expect_listed_without_each();
	judge_sliding("{kind: sheet}", "8 mm");
	expect_listed_without_each();
	judge_swing(&CLEAR);
	b.record_text =
		bench_replaced(&b, b.record_text, "axis-to-pier: 4 mm", "axis-to-pier: unknown");
	bench_judge(&b);
	cr_expect_gt(b.result->geometry->left_out, 0u);
	bench_close(&b);
}
