/* What holds of the geometry for any gate: random gates of bench/geometry.yaml, seeded, against
 * rules of thumb and against a simple simulation of our own. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "geometry_bench.h"

enum { CASES = 320 };

static struct bench b;

static void setup(void)
{
	gap_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_geometry_property, .init = setup, .fini = teardown);

static void next_case(void)
{
	teardown();
	setup();
}

/* EN ISO 13854:2019, Table 1 (memory), and the sizes that let a part in (practice): those of
 * bench/geometry.yaml. mm. */
static const struct size {
	const char *part;
	double enters, crush;
} SIZES[CLEARANCE_PARTS] = {{"body", 150, 500}, {"head", 100, 300}, {"leg", 60, 180},
	{"foot", 40, 120}, {"toes", 20, 50}, {"arm", 20, 120}, {"hand", 20, 100},
	{"finger", 8, 25}};

/* Whole tenths of a mm, so that what is written is what is meant. */
static double tenths(double low, double high)
{
	return round(gap_random(low, high) * 10) / 10;
}

static void record(const char *old, const char *new)
{
	b.record_text = bench_replaced(&b, b.record_text, old, new);
}

/* ---- a leaf that comes straight at a stop ------------------------------------------------------
 */

/* The gap goes from travel + ahead to ahead, each ± what its doubts come to. */
static void judge_slide(double travel, double ahead, double doubt, double over)
{
	gap_record(&b, "slide",
		arena_format(&b.arena,
			"travel: %.1f mm, beside: 700 mm, ahead: %.1f mm ± %.1f mm, over: 0 mm",
			travel, ahead, doubt),
		"");
	record("over-travel-opening: 0 mm",
		arena_format(&b.arena, "over-travel-opening: %.1f mm", over));
	bench_judge(&b);
}

/* A part is hurt when it gets in at the widest and is not left its room at the narrowest. */
Test(assess_geometry_property, a_gap_hurts_what_gets_in_and_has_no_room)
{
	srand(20261128);
	for (int i = 0; i < CASES; i++) {
		const struct size *near = &SIZES[rand() % CLEARANCE_PARTS];
		/* Half of the cases within 2 mm of a size. */
		double ahead =
			rand() % 2 ? tenths(1, 600) : tenths(near->crush - 2, near->crush + 2);
		double most = rand() % 2
				      ? ahead + tenths(1, 900)
				      : fmax(tenths(near->enters - 2, near->enters + 2), ahead + 1);
		double doubt = rand() % 2 ? 0 : tenths(0.1, 9),
		       over = rand() % 2 ? 0 : tenths(1, 40);
		judge_slide(most - ahead, ahead, doubt, over);
		const struct clearance_result *r = gap_known(&b, "leaf~stop@wing");
		unsigned expected = 0;
		for (size_t k = 0; k < CLEARANCE_PARTS; k++)
			if (most + doubt > SIZES[k].enters + 1e-6 &&
				ahead - doubt - over < SIZES[k].crush - 1e-6)
				expected |= 1u << k;
		cr_expect_eq(r->parts, expected, "case %d: from %g to %g ± %g, over %g: %s", i,
			most, ahead, doubt, over, gap_parts(&b, r));
		cr_expect_eq(r->kinds, expected ? (unsigned)CLEARANCE_CRUSHING : 0u, "case %d", i);
		next_case();
	}
}

/* Over 500 mm all the way nobody is hurt, however much wider it gets. */
Test(assess_geometry_property, a_gap_that_stays_over_500_mm_adds_nothing)
{
	srand(20261129);
	for (int i = 0; i < CASES; i++) {
		double doubt = tenths(0, 20), ahead = 500 + doubt + tenths(0, 300),
		       travel = tenths(100, 3000);
		judge_slide(travel, ahead, doubt, 0);
		const char *before = gap_zones(&b);
		cr_expect_null(gap_zone(&b, "leaf~stop@wing"));
		judge_slide(travel + tenths(0, 500), ahead + tenths(0, 500), doubt, 0);
		cr_expect_str_eq(gap_zones(&b), before, "case %d", i);
		const struct clearance_result *r = gap_pair(&b, "leaf~stop@wing");
		cr_expect(r && r->kinds == 0 && r->parts == 0, "case %d: %g mm ± %g", i, ahead,
			doubt);
		next_case();
	}
}

/* Across a size that lets something in, more is hurt than before, and nothing less. */
Test(assess_geometry_property, a_gap_that_lets_more_in_hurts_more)
{
	srand(20261130);
	for (int i = 0; i < CASES; i++) {
		size_t k = (size_t)rand() % CLEARANCE_PARTS;
		double ahead = tenths(0.5, fmin(SIZES[k].enters, SIZES[k].crush) - 3),
		       less = tenths(0.1, 1.5), more = tenths(0.1, 1.5);
		judge_slide(SIZES[k].enters - less - ahead, ahead, 0, 0);
		unsigned before = gap_known(&b, "leaf~stop@wing")->parts;
		judge_slide(SIZES[k].enters + more - ahead, ahead, 0, 0);
		const struct clearance_result *r = gap_known(&b, "leaf~stop@wing");
		cr_expect(
			!(before & 1u << k) && r->parts & 1u << k, "case %d: %s", i, SIZES[k].part);
		cr_expect_eq(before & ~r->parts, 0u, "case %d: nothing is taken away", i);
		next_case();
	}
}

/* ---- a leaf that turns -------------------------------------------------------------------------
 */

struct box {
	double x, y, length, depth, turn, height; /* mm and degrees */
};

struct gate {
	double angle, to_leaf, to_pier, doubt, play, over;
	struct box boxes[3];
	size_t count;
};

static struct gate random_gate(size_t count)
{
	struct gate g = {.angle = tenths(60, 120),
		.to_leaf = tenths(2, 150),
		.to_pier = tenths(2, 150),
		.count = count,
		.play = rand() % 2 ? 0 : tenths(0, 12),
		.over = rand() % 2 ? 0 : tenths(0, 30)};
	for (size_t i = 0; i < count; i++)
		g.boxes[i] = (struct box){tenths(-900, 2500), tenths(300, 2400), tenths(60, 900),
			tenths(60, 500), rand() % 2 ? 0 : tenths(-90, 90), tenths(30, 2500)};
	return g;
}

/* `hand`, `inward`: 1, or -1 for the mirror image. */
static void judge_turn(const struct gate *g, int hand, int inward)
{
	struct buf boxes;
	buf_init(&boxes, &b.arena);
	for (size_t i = 0; i < g->count; i++) {
		const struct box *x = &g->boxes[i];
		buf_format(&boxes,
			"%s{id: box-%zu, kind: wall, at: sweep, x: %.1f mm, y: %.1f mm, turn: %.1f "
			"deg, length: %.1f mm, depth: %.1f mm,"
			" height: %.1f mm}",
			i ? ", " : "", i + 1, hand * x->x, inward * x->y, hand * inward * x->turn,
			x->length, x->depth, x->height);
	}
	gap_record(&b, "turn",
		arena_format(&b.arena,
			"angle: %.1f deg, hand: %d, inward: %d, to-leaf: %.1f mm ± %.1f mm, "
			"to-pier: %.1f mm ± %.1f mm",
			g->angle, hand, inward, g->to_leaf, g->doubt, g->to_pier, g->doubt),
		boxes.bytes);
	record("sideways: 0 mm", arena_format(&b.arena, "sideways: %.1f mm", g->play));
	record("over-travel-opening: 0 mm",
		arena_format(&b.arena, "over-travel-opening: %.1f mm", g->over));
	bench_judge(&b);
}

Test(assess_geometry_property, another_body_takes_no_zone_away)
{
	srand(20261131);
	for (int i = 0; i < CASES; i++) {
		struct gate g = random_gate(2);
		judge_turn(&g, 1, 1);
		const char *before = gap_zones(&b);
		g.count = 3;
		g.boxes[2] = random_gate(1).boxes[0];
		judge_turn(&g, 1, 1);
		cr_expect(gap_has_zones(&b, before), "case %d", i);
		next_case();
	}
}

/* Gaps, kinds and parts of each pair, kept while the bench is judged again. */
static struct clearance_result *kept(size_t *count)
{
	const struct geometry *g = b.result->geometry;
	struct clearance_result *all = arena_array(&b.arena, g->clearance_count, sizeof *all);
	*count = g->clearance_count;
	memcpy(all, g->clearances, *count * sizeof *all);
	return all;
}

Test(assess_geometry_property, the_mirror_image_hurts_in_the_same_way)
{
	srand(20261132);
	for (int i = 0; i < CASES; i++) {
		struct gate g = random_gate(2);
		size_t count;
		judge_turn(&g, 1, 1);
		const struct clearance_result *was = kept(&count);
		const char *zones = gap_zones(&b);
		judge_turn(&g, i % 2 ? -1 : 1, i % 2 ? 1 : -1);
		cr_expect_str_eq(gap_zones(&b), zones, "case %d", i);
		for (size_t k = 0; k < count; k++) {
			const struct clearance_result *r = gap_pair(&b, was[k].key);
			cr_assert_not_null(r);
			cr_expect_float_eq(r->least, was[k].least, 1e-4, "case %d: %s", i, r->key);
			cr_expect_float_eq(r->doubt, was[k].doubt, 1e-6, "case %d: %s", i, r->key);
			cr_expect_eq(r->kinds, was[k].kinds, "case %d: %s %u %u", i, r->key,
				r->kinds, was[k].kinds);
			cr_expect_eq(r->parts, was[k].parts, "case %d: %s", i, r->key);
			/* Of bodies that meet in more than one place either may be told. */
			if (r->kinds && r->least > 1e-3)
				cr_expect_float_eq(i % 2 ? -r->x : r->x, was[k].x, 2e-3,
					"case %d: %s", i, r->key);
		}
		next_case();
	}
}

Test(assess_geometry_property, doubt_takes_nothing_away)
{
	srand(20261133);
	for (int i = 0; i < CASES; i++) {
		struct gate g = random_gate(2);
		size_t count;
		judge_turn(&g, 1, 1);
		const struct clearance_result *was = kept(&count);
		const char *zones = gap_zones(&b);
		g.doubt = tenths(0, fmin(g.to_leaf, g.to_pier) / 2);
		g.play += tenths(0, 20);
		judge_turn(&g, 1, 1);
		cr_expect(gap_has_zones(&b, zones), "case %d", i);
		for (size_t k = 0; k < count; k++) {
			const struct clearance_result *r = gap_pair(&b, was[k].key);
			cr_assert_not_null(r);
			cr_expect_eq(was[k].kinds & ~r->kinds, 0u, "case %d: %s had %u, has %u", i,
				r->key, was[k].kinds, r->kinds);
			cr_expect_eq(was[k].parts & ~r->parts, 0u, "case %d: %s", i, r->key);
		}
		next_case();
	}
}

/* ---- a simulation of our own -------------------------------------------------------------------
 */

struct quad {
	struct geo_point p[4];
};

static struct quad box_at(const struct box *x)
{
	struct quad q;
	double a = x->turn * M_PI / 180;
	for (int i = 0; i < 4; i++) {
		double u = (i == 1 || i == 2 ? 1 : -1) * x->length / 2,
		       v = (i >= 2 ? 1 : -1) * x->depth / 2;
		q.p[i] = (struct geo_point){
			x->x + u * cos(a) - v * sin(a), x->y + u * sin(a) + v * cos(a)};
	}
	return q;
}

static struct quad leaf_at(const struct gate *g, double t)
{
	struct quad q = {{{g->to_leaf, -30}, {2000, -30}, {2000, 30}, {g->to_leaf, 30}}};
	double a = t * g->angle * M_PI / 180;
	for (int i = 0; i < 4; i++)
		q.p[i] = (struct geo_point){q.p[i].x * cos(a) - q.p[i].y * sin(a),
			q.p[i].x * sin(a) + q.p[i].y * cos(a)};
	return q;
}

static double to_edge(struct geo_point p, struct geo_point a, struct geo_point c)
{
	double dx = c.x - a.x, dy = c.y - a.y;
	double u = fmin(fmax(((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy), 0), 1);
	return hypot(p.x - a.x - u * dx, p.y - a.y - u * dy);
}

static double side(struct geo_point p, struct geo_point a, struct geo_point c)
{
	return (c.x - a.x) * (p.y - a.y) - (c.y - a.y) * (p.x - a.x);
}

static bool inside(struct geo_point p, const struct quad *q)
{
	for (int i = 0; i < 4; i++)
		if (side(p, q->p[i], q->p[(i + 1) % 4]) < 0)
			return false;
	return true;
}

static double distance(const struct quad *x, const struct quad *y)
{
	double least = INFINITY;
	for (int i = 0; i < 4; i++)
		for (int k = 0; k < 4; k++) {
			struct geo_point a = x->p[i], c = x->p[(i + 1) % 4], d = y->p[k],
					 e = y->p[(k + 1) % 4];
			least = fmin(least, fmin(to_edge(a, d, e), to_edge(d, a, c)));
			if (side(a, d, e) * side(c, d, e) < 0 && side(d, a, c) * side(e, a, c) < 0)
				return 0;
		}
	return inside(x->p[0], y) || inside(y->p[0], x) ? 0 : least;
}

/* Steps through the travel: a part that fitted in since the gap last grew, with 1 mm to spare, and
 * now has no room, by 1 mm, is hurt. */
static unsigned simulated(const struct gate *g, const struct box *x, bool backwards)
{
	enum { STEPS = 1500 };
	struct quad y = box_at(x);
	double most = 0, last = INFINITY;
	unsigned parts = 0;
	for (int i = 0; i <= STEPS; i++) {
		double t = (double)i / STEPS;
		struct quad leaf = leaf_at(g, backwards ? 1 - t : t);
		double gap = distance(&leaf, &y);
		most = gap > last ? gap : fmax(most, gap);
		last = gap;
		for (size_t k = 0; k < CLEARANCE_PARTS; k++)
			if (most > SIZES[k].enters + 1 && gap < SIZES[k].crush - 1 &&
				SIZES[k].enters <= fmin(x->height, 1800))
				parts |= 1u << k;
	}
	return parts;
}

Test(assess_geometry_property, what_a_simulation_sees_is_found)
{
	srand(20261134);
	int hurt = 0;
	for (int i = 0; i < CASES; i++) {
		struct gate g = random_gate(2);
		g.play = g.over = 0;
		judge_turn(&g, 1, 1);
		for (size_t k = 0; k < g.count; k++) {
			const struct clearance_result *r =
				gap_pair(&b, arena_format(&b.arena, "leaf~box-%zu@wing", k + 1));
			/* Lower than the underside of the leaf at 50 mm by what it is nearer in
			 * space. */
			if (g.boxes[k].height < 50)
				continue;
			cr_assert_not_null(r);
			unsigned seen = simulated(&g, &g.boxes[k], false) |
					simulated(&g, &g.boxes[k], true);
			cr_expect_eq(seen & ~r->parts, 0u, "case %d: box %zu: seen %x, found %x", i,
				k + 1, seen, r->parts);
			cr_expect(!seen || r->kinds, "case %d", i);
			hurt += seen != 0;
		}
		next_case();
	}
	cr_expect_gt(hurt, CASES / 4, "only %d", hurt);
}

/* ---- what is not known -------------------------------------------------------------------------
 */

static const char *const TYPES[][2] = {
	{"slide", "travel: 1 m\n beside: 60 mm\n ahead: 50 mm\n over: 20 mm"},
	{"turn", "angle: 90 deg\n hand: 1\n inward: 1\n to-leaf: 30 mm\n to-pier: 40 mm"},
	{"pair", "middle: 1.505 m"},
	{"driven", "pin-x: 0.1 m\n pin-y: 0.4 m\n bracket-x: 0.9 m\n bracket-y: 0 m\n first: 0.7 "
		   "m\n second: 0.7 m\n begin: 0\n finish: 1"},
};

/* Each dimension is unknown, left away or as it was; the zones that the type lists are all there.
 */
Test(assess_geometry_property, what_is_not_known_takes_no_listed_zone_away)
{
	srand(20261135);
	for (int i = 0; i < CASES; i++) {
		size_t which = (size_t)rand() % (sizeof TYPES / sizeof *TYPES);
		struct buf whole, holes;
		buf_init(&whole, &b.arena);
		buf_init(&holes, &b.arena);
		for (const char *p = TYPES[which][1]; *p; p += strspn(p, "\n ")) {
			size_t length = strcspn(p, "\n"), colon = strcspn(p, ":");
			int fate = rand() % 3;
			buf_format(&whole, "%s%.*s", whole.length ? ", " : "", (int)length, p);
			if (fate)
				buf_format(&holes, "%s%.*s%s", holes.length ? ", " : "",
					(int)(fate == 1 ? colon : length), p,
					fate == 1 ? ": unknown" : "");
			p += length;
		}
		gap_judge(&b, TYPES[which][0], whole.bytes, "");
		struct buf listed;
		buf_init(&listed, &b.arena);
		for (size_t k = 0; k < b.result->zone_count; k++)
			if (!b.result->zones[k].clearance)
				buf_format(&listed, "%s\n", b.result->zones[k].key);
		size_t pairs = b.result->geometry->clearance_count;
		gap_judge(&b, TYPES[which][0], holes.bytes, "");
		cr_expect(gap_has_zones(&b, listed.bytes), "case %d: %s without %s", i,
			TYPES[which][0], holes.bytes);
		cr_expect(b.result->geometry->clearance_count >= pairs ||
				  b.result->geometry->left_out,
			"case %d: untold", i);
		next_case();
	}
}
