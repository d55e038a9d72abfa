/* The parts of the clearance engine, one by one: motions, pieces, distances, and small cases by
 * hand. Lengths in m. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/cell.h"
#include "calc_clearance_bench.h"

static struct arena arena;
static jmp_buf escape;
static uint64_t seed;

static void begin(void)
{
	seed = 0x5EED5EED5EEDu;
	arena_init(&arena, &escape);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(calc_clearance, .init = begin, .fini = end);

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void expect_point(struct geo_point p, double x, double y, double within)
{
	cr_expect_float_eq(p.x, x, within);
	cr_expect_float_eq(p.y, y, within);
}

/* ---- motions
 * ------------------------------------------------------------------------------------- */

/* By hand: (2, 0) shifted by half of (2, 2) is (3, 1); that turned by a half of 180° about (3, 0)
 * is (2, 0). */
Test(calc_clearance, motion_by_hand)
{
	struct motion_step steps[] = {{.kind = MOTION_SHIFT, .by = {2, 2}},
		{.kind = MOTION_TURN, .by = {3, 0}, .angle = M_PI}};
	struct motion m = {steps, 2};
	expect_point(motion_apply(&m, (struct geo_point){2, 0}, 0), 2, 0, 1e-15);
	expect_point(motion_apply(&m, (struct geo_point){2, 0}, 0.5), 2, 0, 1e-15);
	/* (1, 1) away, then over to (1, -2) + ... : (4, 2) about (3, 0) by 180° is (2, -2). */
	expect_point(motion_apply(&m, (struct geo_point){2, 0}, 1), 2, -2, 1e-15);
	/* There the shift (2, 2) is turned to (-2, -2), and the turn of π about the pivot from (-1,
	 * -2) adds π (2, -1). */
	expect_point(
		motion_velocity(&m, (struct geo_point){2, 0}, 1), -2 + 2 * M_PI, -2 - M_PI, 1e-12);
}

/* A step has its way between two knots, each piece with its own rate, and stands before the first
 * and behind the last. */
Test(calc_clearance, motion_with_knots)
{
	static const struct geo_point KNOTS[] = {{0.2, 0}, {0.4, 1}, {0.4, 0.5}, {0.8, -0.5}},
				      ONE[] = {{0.5, 0.25}};
	struct motion_step step = {
		.kind = MOTION_SHIFT, .by = {10, 0}, .knots = KNOTS, .knot_count = 4};
	struct motion m = {&step, 1};
	static const double AT[][3] = {{0, 0, 0}, {0.2, 0, 50}, {0.3, 5, 50}, {0.4, 5, -25},
		{0.6, 0, -25}, {0.8, -5, -25}, {0.9, -5, 0}};
	for (size_t i = 0; i < COUNT(AT); i++) {
		cr_expect_float_eq(
			motion_apply(&m, (struct geo_point){0, 0}, AT[i][0]).x, AT[i][1], 1e-12);
		cr_expect_float_eq(
			motion_velocity(&m, (struct geo_point){0, 0}, AT[i][0]).x, AT[i][2], 1e-9);
	}
	/* Two at once, and nothing else: the later one. */
	static const struct geo_point JUMP[] = {{0.5, 1}, {0.5, 2}};
	step.knots = JUMP;
	step.knot_count = 2;
	cr_expect_eq(motion_apply(&m, (struct geo_point){0, 0}, 0.4).x, 10);
	cr_expect_eq(motion_apply(&m, (struct geo_point){0, 0}, 0.5).x, 20);
	step.knots = ONE;
	step.knot_count = 1;
	cr_expect_float_eq(motion_apply(&m, (struct geo_point){0, 0}, 0.1).x, 2.5, 1e-15);
	cr_expect_float_eq(motion_apply(&m, (struct geo_point){0, 0}, 0.9).x, 2.5, 1e-15);
	cr_expect_eq(motion_velocity(&m, (struct geo_point){0, 0}, 0.5).x, 0);
}

Test(calc_clearance, knots_of_both)
{
	static const struct geo_point A[] = {{0, 0}, {0.5, 1}, {0.7, 1}, {1, 1}},
				      B[] = {{0.1, 0}, {0.7, 1}, {1, 1}};
	struct motion_step a[] = {
		{.kind = MOTION_TURN, .knots = A, .knot_count = 4}, {.kind = MOTION_SHIFT}};
	struct motion_step b[] = {{.kind = MOTION_SHIFT, .knots = B, .knot_count = 3}};
	struct motion x = {a, 2}, y = {b, 1}, none = {NULL, 0};
	double *t;
	cr_assert_eq(motion_knots(&arena, &x, &y, &t), 3u);
	cr_expect_eq(t[0], 0.1);
	cr_expect_eq(t[1], 0.5);
	cr_expect_eq(t[2], 0.7);
	cr_expect_eq(motion_knots(&arena, &none, &none, &t), 0u);
	cr_expect_eq(motion_knots(&arena, &none, &y, &t), 2u);
}

/* The field of acceleration is how the velocity changes, and its own change within the bound. */
static void expect_third(const struct motion *m, struct geo_point p, double t,
	const struct rates *most)
{
	double d = 1e-5;
	struct pose before = motion_pose(m, t - d), pose = motion_pose(m, t),
		    after = motion_pose(m, t + d);
	struct geo_point v = pose_velocity(&before, pose_place(&before, p)),
			 w = pose_velocity(&after, pose_place(&after, p)),
			 a = pose_acceleration(&before, pose_place(&before, p)),
			 b = pose_acceleration(&pose, pose_place(&pose, p)),
			 c = pose_acceleration(&after, pose_place(&after, p));
	double scale = 1 + most->jerk;
	cr_assert_float_eq(b.x, (w.x - v.x) / (2 * d), 1e-6 * scale);
	cr_assert_float_eq(b.y, (w.y - v.y) / (2 * d), 1e-6 * scale);
	cr_assert_leq(hypot(c.x - a.x, c.y - a.y) / (2 * d), most->jerk + 1e-6 * scale);
}

/* Of the chains drawn by lot: the velocity is what the place changes by, and no point is faster,
 * more accelerated, or farther away, than its bounds allow; a single step takes the bounds up
 * wholly. */
Test(calc_clearance, motion_within_its_bounds)
{
	for (int n = 0; n < 2000; n++) {
		struct bench_body pair[2];
		bench_pair((uint64_t)n + 20000, pair);
		const struct motion *m = &pair[0].body.motion;
		struct geo_point p = {bench_draw(&seed, -2, 2), bench_draw(&seed, -2, 2)};
		double t = bench_draw(&seed, 0.05, 0.95), h = bench_draw(&seed, 0.001, 0.05), speed,
		       acceleration, *knots;
		size_t count = motion_knots(&arena, m, m, &knots);
		struct pose pose = motion_pose(m, t);
		struct sway sway = motion_sway(m, t, h);
		struct geo_point at = pose_place(&pose, p), same = motion_apply(m, p, t);
		double reach = motion_reach(m, p, t, t - h, t + h);
		bool steady = true;
		for (size_t i = 0; i < count; i++)
			steady = steady && fabs(knots[i] - t) > h + 1e-5;
		struct rates most = sway_rates(&sway, motion_arm(m, p));
		speed = most.speed;
		acceleration = most.acceleration;
		cr_assert_float_eq(at.x, same.x, 1e-12);
		cr_assert_float_eq(at.y, same.y, 1e-12);
		for (int i = -4; i <= 4; i++) {
			double s = t + i * h / 4, d = 1e-5;
			struct geo_point q = motion_apply(m, p, s), v = motion_velocity(m, p, s);
			struct geo_point a = motion_velocity(m, p, s - d),
					 b = motion_velocity(m, p, s + d);
			struct geo_point from = motion_apply(m, p, s - d),
					 to = motion_apply(m, p, s + d);
			cr_assert_leq(hypot(q.x - at.x, q.y - at.y), reach + 1e-12);
			if (!steady)
				continue;
			cr_assert_float_eq(v.x, (to.x - from.x) / (2 * d), 1e-6);
			cr_assert_float_eq(v.y, (to.y - from.y) / (2 * d), 1e-6);
			cr_assert_leq(hypot(v.x, v.y), speed * (1 + 1e-9) + 1e-12);
			cr_assert_leq(hypot(b.x - a.x, b.y - a.y) / (2 * d),
				acceleration * (1 + 1e-6) + 1e-6);
			expect_third(m, p, s, &most);
			if (steady)
				cr_assert_float_eq(fabs(pose.omega), sway.turning, 1e-12);
			if (m->count == 1) {
				cr_assert_float_eq(hypot(v.x, v.y), speed, 1e-9);
				cr_assert_float_eq(
					hypot(b.x - a.x, b.y - a.y) / (2 * d), acceleration, 1e-4);
			}
		}
	}
}

/* By hand: 2 from the pivot, going out at 3 in what turns at 5, over 0.1: r up to 2.3, so that the
 * speed is at most 3 + 5 · 2.3 and the acceleration 2 · 5 · 3 + 5² · 2.3. */
Test(calc_clearance, bounds_by_hand)
{
	struct motion_step steps[] = {{.kind = MOTION_SHIFT, .by = {3, 0}},
		{.kind = MOTION_TURN, .by = {1.5, 0}, .angle = 5}};
	struct motion m = {steps, 2};
	struct sway sway = motion_sway(&m, 0.5, 0.1);
	double arm = motion_arm(&m, (struct geo_point){2, 0});
	cr_expect_float_eq(sway_rates(&sway, arm).speed, 14.5, 1e-12);
	cr_expect_float_eq(sway_rates(&sway, arm).acceleration, 87.5, 1e-12);
	/* 3 · 5² · 3 + 5³ · (1.8 + 0.5) */
	cr_expect_float_eq(sway_rates(&sway, arm).jerk, 512.5, 1e-12);
}

/* By hand: a panel hung 2 from its joint, folded back by twice the angle that carries the joint, 3 from the hinge:
 * it turns by 1 - 2, so the point moves at most at 1 · 2 + 1 · 3, and its acceleration is at most the same. Between the
 * panels, in whose frame the hinge stands, nothing but the fold is left: 2 · 2. */
Test(calc_clearance, bounds_of_a_fold)
{
	struct motion_step steps[] = {
		{.kind = MOTION_TURN, .by = {3, 0}, .angle = -2}, {.kind = MOTION_TURN, .angle = 1}};
	struct motion m = {steps, 2}, inner = {steps, 1};
	struct sway sway = motion_sway(&m, 0.5, 0.1), alone = motion_sway(&inner, 0.5, 0.1);
	double arm = motion_arm(&m, (struct geo_point){5, 0});
	cr_expect_float_eq(sway_rates(&sway, arm).speed, 5, 1e-12);
	cr_expect_float_eq(sway_rates(&sway, arm).acceleration, 5, 1e-12);
	cr_expect_float_eq(sway.turning, 1, 1e-12);
	cr_expect_float_eq(sway_rates(&alone, arm).speed, 4, 1e-12);
	cr_expect_float_eq(motion_arm(&(struct motion){NULL, 0}, (struct geo_point){5, 0}), 0, 0);
}

/* By hand: a shift turns nothing; a turn of 2 in the second half of the travel and one of -0.5 all
 * along make 1 - 0.375 at three quarters. The vector between two pivots 3 and 4 apart is 5 long:
 * turned at -0.5, with an arm of 1 turned at 3.5. */
Test(calc_clearance, turns_add_up_and_shifts_do_not_turn)
{
	static const struct geo_point LATE[] = {{0, 0}, {0.5, 0}, {1, 1}};
	struct motion_step steps[] = {
		{.kind = MOTION_TURN, .by = {1, 1}, .angle = 2, .knots = LATE, .knot_count = 3},
		{.kind = MOTION_SHIFT, .by = {7, 0}},
		{.kind = MOTION_TURN, .by = {4, 5}, .angle = -0.5}};
	struct motion m = {steps, 3}, turns = {(struct motion_step[]){steps[0], steps[2]}, 2};
	cr_expect_float_eq(motion_angle(&m, 0.75), 1 - 0.375, 1e-12);
	cr_expect_float_eq(motion_angle(&m, 0.25), -0.125, 1e-12);
	struct sway sway = motion_sway(&turns, 0.75, 0.01);
	cr_expect_float_eq(sway.turning, 3.5, 1e-12);
	cr_expect_float_eq(sway_rates(&sway, 1).speed, 0.5 * 5 + 3.5, 1e-12);
	cr_expect_float_eq(sway_rates(&sway, 1).acceleration, 0.25 * 5 + 3.5 * 3.5, 1e-12);
	cr_expect_float_eq(motion_arm(&m, (struct geo_point){1, 3}), 2, 1e-12);
	/* With the shift between, 7 long for three quarters of it: 0.5 times as much again, and 7 at its own. */
	sway = motion_sway(&m, 0.75, 0);
	cr_expect_float_eq(sway_rates(&sway, 1).speed, 0.5 * 5 + 3.5 + 7 + 0.5 * 0.75 * 7, 1e-12);
}

/* By hand: in the middle 1 from the pivot and done by a half; the knot at 0.45 is done by 0.1, 0.4
 * less, and the turn is of 2 rad. */
Test(calc_clearance, reach_looks_at_knots)
{
	static const struct geo_point KNOTS[] = {
		{0, 0.5}, {0.45, 0.1}, {0.5, 0.5}, {0.52, 0.6}, {0.6, 0.5}, {1, 3}};
	struct motion_step step = {
		.kind = MOTION_TURN, .by = {1, 0}, .angle = 2, .knots = KNOTS, .knot_count = 6};
	struct motion m = {&step, 1};
	cr_expect_float_eq(motion_reach(&m, (struct geo_point){2, 0}, 0.5, 0.4, 0.6), 0.8, 1e-12);
	/* At an end: from 0.49 on, 0.42 and so 0.08 less. */
	cr_expect_float_eq(motion_reach(&m, (struct geo_point){2, 0}, 0.5, 0.49, 0.5), 0.16, 1e-12);
	cr_expect_float_eq(
		motion_reach(&m, (struct geo_point){2, 0}, 0.5, 0.5, 0.8), 2 * (1.75 - 0.5), 1e-12);
}

/* ---- pieces
 * -------------------------------------------------------------------------------------- */

static double area_of(const struct geo_point *p, size_t n)
{
	double area = 0;
	for (size_t i = 0, k = n - 1; i < n; k = i++)
		area += (p[k].x * p[i].y - p[i].x * p[k].y) / 2;
	return area;
}

/* Pieces are convex, go round anticlockwise, and together have the area of the whole; none lies
 * outside. */
Test(calc_clearance, pieces_cover_their_polygon)
{
	size_t pieces = 0, corners = 0;
	for (int n = 0; n < 2000; n++) {
		struct bench_body pair[2];
		bench_pair((uint64_t)n + 40000, pair);
		const struct moving_body *b = &pair[0].body;
		struct polygon g = polygon_cut(&arena, b->points, b->count);
		double area = 0;
		for (size_t k = 0; k < g.piece_count; k++) {
			const struct geo_point *p = &g.points[g.pieces[k].first];
			size_t m = g.pieces[k].count;
			cr_assert_geq(m, 3u);
			cr_assert_eq(g.pieces[k].first,
				k ? g.pieces[k - 1].first + g.pieces[k - 1].count : 0);
			for (size_t i = 0; i < m; i++) {
				struct geo_point u = p[i], v = p[(i + 1) % m], w = p[(i + 2) % m];
				cr_assert_gt((v.x - u.x) * (w.y - u.y) - (v.y - u.y) * (w.x - u.x),
					-1e-12);
			}
			area += area_of(p, m);
		}
		cr_assert_float_eq(area, fabs(area_of(b->points, b->count)), 1e-9, "polygon %d", n);
		cr_assert(pair[0].concave || g.piece_count == 1);
		pieces += g.piece_count;
		corners += b->count;
	}
	/* A triangle for every corner but two would be seven each. */
	cr_expect_lt(pieces * 2, corners);
}

static struct polygon cut(const struct geo_point *p, size_t n)
{
	return polygon_cut(&arena, p, n);
}

Test(calc_clearance, pieces_by_hand)
{
	static const struct geo_point ANGLE[] = {{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}};
	static const struct geo_point IDLE[] = {
		{0, 0}, {1, 0}, {1, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 1}, {0, 0}};
	static const struct geo_point LINE[] = {{0, 0}, {3, 0}, {1, 0}, {2, 0}},
				      SAME[] = {{1, 1}, {1, 1}, {1, 1}};
	static const struct geo_point BOW[] = {{0, 0}, {2, 2}, {2, 0}, {0, 2}};
	struct polygon g = cut(ANGLE, 6);
	cr_expect_eq(g.piece_count, 2u);
	g = cut(IDLE, 8);
	cr_expect_eq(g.piece_count, 1u);
	cr_expect_eq(g.count, 4u);
	/* In a line: from end to end. */
	g = cut(LINE, 4);
	double low = INFINITY, high = -INFINITY;
	for (size_t i = 0; i < g.count; i++) {
		low = fmin(low, g.points[i].x);
		high = fmax(high, g.points[i].x);
	}
	cr_expect_eq(low, 0);
	cr_expect_eq(high, 3);
	g = cut(SAME, 3);
	cr_expect_eq(g.count, 1u);
	cr_expect_eq(cut(SAME, 0).count, 1u);
	cr_expect_eq(cut(SAME, 2).count, 1u);
	cr_expect_eq(cut(ANGLE, 2).count, 2u);
	/* Its outline, and what the triangles make of it. */
	cr_expect_gt(cut(BOW, 4).piece_count, 4u);
}

/* A star of five points goes round twice: all turns are left, and yet it is not convex. (0.5, 0.5)
 * lies in a notch of the second, comb-like shape, 0.5 from its sides. */
Test(calc_clearance, shapes_that_mislead)
{
	struct geo_point star[5];
	for (int i = 0; i < 5; i++)
		star[i] = (struct geo_point){cos(4 * M_PI / 5 * i), sin(4 * M_PI / 5 * i)};
	cr_expect_gt(cut(star, 5).piece_count, 5u);
	static const struct geo_point COMB[] = {{-1, -1}, {4, -1}, {4, 2}, {3, 2}, {3, 0}, {2, 0},
		{2, 2}, {1, 2}, {1, 0}, {0, 0}, {0, 2}, {-1, 2}};
	static const struct geo_point DOT[] = {{0.5, 1}};
	struct moving_body comb = {COMB, COUNT(COMB), {NULL, 0}}, dot = {DOT, 1, {NULL, 0}};
	struct geo_point on_comb, on_dot;
	cr_expect_float_eq(clearance_at(&arena, &comb, &dot, 0, &on_comb, &on_dot), 0.5, 1e-15);
	cr_expect_float_eq(fabs(on_comb.x - 0.5), 0.5, 1e-15);
	expect_point(on_dot, 0.5, 1, 0);
	cr_expect_float_eq(clearance_at(&arena, &dot, &comb, 0, NULL, NULL), 0.5, 1e-15);
}

/* Forty corners on a circle with a notch: pieces stay small, and cover. */
Test(calc_clearance, many_corners)
{
	struct geo_point p[64];
	for (int i = 0; i < 63; i++)
		p[i] = (struct geo_point){cos(0.1 * i), sin(0.1 * i)};
	p[63] = (struct geo_point){0.5, 0};
	struct polygon g = cut(p, 64);
	double area = 0;
	for (size_t k = 0; k < g.piece_count; k++) {
		cr_expect_leq(g.pieces[k].count, 24u);
		area += area_of(&g.points[g.pieces[k].first], g.pieces[k].count);
	}
	cr_expect_float_eq(area, area_of(p, 64), 1e-12);
	cr_expect_leq(g.piece_count, 6u);
}

/* ---- distances
 * ----------------------------------------------------------------------------------- */

static struct feature between(
	const struct geo_point *p, size_t n, const struct geo_point *q, size_t m)
{
	return convex_distance(p, (struct convex){0, n}, q, (struct convex){0, m});
}

static const struct geo_point SQUARE[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}},
			      ASIDE[] = {{3, 0.5}, {4, 0.2}, {4, 0.8}},
			      BEYOND[] = {{4, 5}, {5, 5}, {5, 6}},
			      OVER[] = {{0.5, 0.5}, {2, 0.4}, {2, 0.6}},
			      TOUCHING[] = {{1, 0.2}, {2, 0}, {2, 1}};

Test(calc_clearance, distances_by_hand)
{
	struct feature f = between(SQUARE, 4, ASIDE, 3);
	cr_expect(f.kind == FEATURE_EDGE_FIRST && f.p == 1 && f.q == 0 && !f.overlap);
	cr_expect_float_eq(f.distance, 2, 1e-15);
	expect_point(f.on_p, 1, 0.5, 1e-15);
	expect_point(f.on_q, 3, 0.5, 0);
	f = between(ASIDE, 3, SQUARE, 4);
	cr_expect(f.kind == FEATURE_EDGE_SECOND && f.p == 0 && f.q == 1);
	f = between(SQUARE, 4, BEYOND, 3);
	cr_expect(f.kind == FEATURE_CORNERS && f.p == 2 && f.q == 0);
	cr_expect_float_eq(f.distance, 5, 1e-15);
	f = between(SQUARE, 4, OVER, 3);
	cr_expect(f.overlap && f.distance == 0);
	f = between(SQUARE, 4, TOUCHING, 3);
	cr_expect(!f.overlap && f.distance == 0);
	/* Points and segments. */
	cr_expect_float_eq(between(SQUARE, 4, BEYOND, 1).distance, 5, 1e-15);
	cr_expect_float_eq(between(BEYOND, 1, OVER, 1).distance, hypot(3.5, 4.5), 1e-15);
	cr_expect_eq(between(SQUARE, 4, OVER, 1).distance, 0);
	cr_expect(between(SQUARE, 4, OVER, 2).overlap);
	cr_expect_eq(between(OVER, 1, OVER, 1).distance, 0);
	static const struct geo_point LONG[] = {{0, -1}, {0, 3}}, MORE[] = {{0, 4}, {0, 6}},
				      CROSSING[] = {{-1, 1}, {1, 1}};
	cr_expect_float_eq(between(LONG, 2, MORE, 2).distance, 1, 1e-15);
	cr_expect_eq(between(LONG, 2, CROSSING, 2).distance, 0);
	cr_expect_float_eq(between(MORE, 2, CROSSING, 2).distance, 3, 1e-15);
}

/* What is found from what was found before is what is found anew. */
Test(calc_clearance, still_the_same_features)
{
	/* No side along one of the square, where more than one corner may be the nearest. */
	static const struct geo_point WEDGE[] = {{-0.5, 0}, {0.5, -0.6}, {0.4, 0.7}};
	int still[3] = {0}, moved = 0;
	for (int n = 0; n < 20000; n++) {
		struct geo_point p[4], q[3],
			by = {bench_draw(&seed, -0.3, 0.3), bench_draw(&seed, -0.3, 0.3)};
		for (int i = 0; i < 4; i++)
			p[i] = SQUARE[i];
		struct geo_point at = {bench_draw(&seed, -2, 3), bench_draw(&seed, -2, 3)};
		for (int i = 0; i < 3; i++)
			q[i] = (struct geo_point){at.x + WEDGE[i].x, at.y + WEDGE[i].y};
		struct convex cp = {0, 4}, cq = {0, 3};
		struct feature last = convex_distance(p, cp, q, cq), here;
		for (int i = 0; i < 4; i++)
			p[i] = (struct geo_point){p[i].x + by.x, p[i].y + by.y};
		struct feature anew = convex_distance(p, cp, q, cq);
		if (!convex_still(p, cp, q, cq, &last, &here)) {
			moved++;
			continue;
		}
		cr_assert_float_eq(here.distance, anew.distance, 1e-12);
		cr_assert_float_eq(here.on_p.x, anew.on_p.x, 1e-9);
		cr_assert_float_eq(here.on_p.y, anew.on_p.y, 1e-9);
		cr_assert_float_eq(here.on_q.x, anew.on_q.x, 1e-9);
		cr_assert_float_eq(here.on_q.y, anew.on_q.y, 1e-9);
		cr_assert(here.kind == anew.kind && here.p == anew.p && here.q == anew.q &&
			  !here.overlap);
		cr_assert_not(anew.overlap);
		still[here.kind]++;
	}
	for (int i = 0; i < 3; i++)
		cr_expect_gt(still[i], 500);
	/* Mostly. */
	cr_expect_lt(moved, 10000);
}

/* By hand: what the square and the wedge share is the wedge up to x = 1, of the corners (0.5, 0.5)
 * (1, 0.467) (1, 0.533). */
Test(calc_clearance, shared_and_least_overlap)
{
	struct convex four = {0, 4}, three = {0, 3};
	struct geo_point s = convex_shared(SQUARE, four, OVER, three);
	expect_point(s, (0.5 + 1 + 1) / 3, 0.5, 1e-12);
	s = convex_shared(OVER, three, SQUARE, four);
	expect_point(s, (0.5 + 1 + 1) / 3, 0.5, 1e-12);
	/* The square has to go 0.5 to the left. */
	expect_point(convex_least_overlap(SQUARE, four, OVER, three), -1, 0, 1e-12);
	expect_point(convex_least_overlap(OVER, three, SQUARE, four), 1, 0, 1e-12);
	static const struct geo_point FLAT[] = {{0.2, 0.9}, {0.8, 0.9}, {0.8, 3}, {0.2, 3}};
	expect_point(convex_least_overlap(FLAT, four, SQUARE, four), 0, 1, 1e-12);
	expect_point(convex_least_overlap(SQUARE, four, FLAT, four), 0, -1, 1e-12);
	/* Nothing shared: some point all the same. */
	s = convex_shared(BEYOND, three, SQUARE, four);
	expect_point(s, 4, 5, 0);
	expect_point(convex_least_overlap(OVER, (struct convex){0, 1}, OVER, (struct convex){0, 1}),
		1, 0, 0);
}

/* More corners than are cut one by one: the point is in both still. */
Test(calc_clearance, shared_by_many_corners)
{
	struct geo_point p[200];
	for (int i = 0; i < 200; i++)
		p[i] = (struct geo_point){
			0.9 + 0.3 * cos(0.01 * M_PI * i), 0.5 + 0.3 * sin(0.01 * M_PI * i)};
	for (int i = 0; i < 2; i++) {
		struct geo_point s =
			i ? convex_shared(p, (struct convex){0, 200}, SQUARE, (struct convex){0, 4})
			  : convex_shared(
				    SQUARE, (struct convex){0, 4}, p, (struct convex){0, 200});
		cr_expect_leq(s.x, 1);
		cr_expect_lt(hypot(s.x - 0.9, s.y - 0.5), 0.299);
	}
	for (int i = 0; i < 200; i++)
		p[i].x -= 0.4;
	struct geo_point s =
		convex_shared(p, (struct convex){0, 200}, SQUARE, (struct convex){0, 4});
	cr_expect_lt(hypot(s.x - 0.5, s.y - 0.5), 0.299);
}

/* ---- gates by hand
 * ------------------------------------------------------------------------------- */

static const struct geo_point WALL[] = {{5, -5}, {6, -5}, {6, 5}, {5, 5}};

/* Straight on at 3 per travel, 4 from the wall: 4 - 3 t. Then on into it: 0 from t = 4/5 on. */
Test(calc_clearance, straight_into_a_wall)
{
	struct motion_step step = {.kind = MOTION_SHIFT, .by = {3, 0}};
	struct moving_body x = {SQUARE, 4, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	double at[] = {0.25, 0.9};
	struct clearance_rate rates[2];
	struct clearance_stretch *s;
	struct clearance_profile p = clearance_of(&arena, &x, &y, 0, 1e-4, 0.6);
	cr_expect_float_eq(p.least, 1, 1e-12);
	cr_expect_eq(p.least_at, 1);
	cr_expect_float_eq(p.greatest, 4, 1e-12);
	cr_expect_eq(p.greatest_at, 0);
	cr_expect_eq(p.count, 9u);
	cr_assert_eq(clearance_stretches(&arena, &p, 2e-4, &s), 1u);
	cr_expect(s[0].from == 0 && s[0].to == 1 && s[0].opening);
	clearance_rates(&arena, &x, &y, at, 1, rates);
	cr_expect_float_eq(rates[0].along, -3, 1e-12);
	cr_expect_float_eq(rates[0].past, 0, 1e-12);
	step.by = (struct geo_point){5, 1};
	p = clearance_of(&arena, &x, &y, 0, 1e-4, 0.6);
	cr_expect_eq(p.least, 0);
	cr_expect_float_eq(p.least_at, 0.8, 0.001);
	cr_expect_leq(p.count, 50u);
	for (size_t i = 0; i < p.count; i++)
		cr_expect_float_eq(p.knots[i].gap, fmax(4 - 5 * p.knots[i].travel, 0), 1e-12);
	clearance_rates(&arena, &x, &y, at, 2, rates);
	for (int i = 0; i < 2; i++) {
		cr_expect_float_eq(rates[i].along, -5, 1e-12);
		cr_expect_float_eq(fabs(rates[i].past), 1, 1e-12);
	}
	clearance_rates(&arena, &y, &x, at, 2, rates);
	for (int i = 0; i < 2; i++)
		cr_expect_float_eq(rates[i].along, -5, 1e-12);
	/* Across: in space √(d² + 1.5²). */
	p = clearance_of(&arena, &x, &y, 1.5, 1e-4, 0.6);
	cr_expect_float_eq(p.least, 1.5, 1e-4);
	cr_expect_float_eq(p.greatest, hypot(4, 1.5), 1e-4);
}

/* Turning about its corner (0, 0), beside a wall in x = 5, a square's far corner is √2 from there:
 * nearest when it points along x, a quarter of the whole turn of -π, at 5 - √2. */
Test(calc_clearance, turning_by_hand)
{
	struct motion_step step = {.kind = MOTION_TURN, .angle = -M_PI};
	struct moving_body x = {SQUARE, 4, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	struct clearance_profile p = clearance_of(&arena, &x, &y, 0, 1e-4, 0.6);
	cr_expect_float_eq(p.least, 5 - sqrt(2), 1e-4);
	cr_expect_float_eq(p.least_at, 0.25, 0.01);
	cr_expect_float_eq(p.greatest, 5, 1e-4);
	struct geo_point on_x, on_y;
	cr_expect_float_eq(clearance_at(&arena, &x, &y, 0.25, &on_x, &on_y), 5 - sqrt(2), 1e-12);
	expect_point(on_x, sqrt(2), 0, 1e-12);
	expect_point(on_y, 5, 0, 1e-12);
	/* There it goes past the wall, at π √2. */
	double at = 0.25;
	struct clearance_rate rate;
	clearance_rates(&arena, &x, &y, &at, 1, &rate);
	cr_expect_float_eq(rate.along, 0, 1e-12);
	cr_expect_float_eq(fabs(rate.past), M_PI * sqrt(2), 1e-12);
}

/* At the same place all the way, or sliding with a gap of nothing at an angle at which figures are
 * not even: the gap is 0 and few cells tell so. */
Test(calc_clearance, touching_all_the_way)
{
	for (int n = 0; n < 100; n++) {
		double angle = 0.0617 * n, c = cos(angle), s = sin(angle);
		struct geo_point leaf[4], rail[4];
		static const double X[] = {0, 2, 2, 0}, Y[] = {0, 0, 1, 1};
		for (int i = 0; i < 4; i++) {
			leaf[i] = (struct geo_point){c * X[i] - s * Y[i], s * X[i] + c * Y[i]};
			rail[i] = (struct geo_point){c * (4 * X[i] - 2) - s * (Y[i] - 1),
				s * (4 * X[i] - 2) + c * (Y[i] - 1)};
		}
		struct motion_step step = {.kind = MOTION_SHIFT, .by = {3 * c, 3 * s}};
		struct moving_body x = {leaf, 4, {&step, 1}}, y = {rail, 4, {NULL, 0}};
		struct clearance_profile p = n % 2 ? clearance_of(&arena, &x, &y, 0, 1e-4, 0.6)
						   : clearance_of(&arena, &y, &x, 0, 1e-4, 0.6);
		cr_assert_float_eq(p.greatest, 0, 1e-9);
		cr_assert_leq(p.count, 60u, "at %d: %zu", n, p.count);
	}
}

/* A leaf without thickness in a wall: there is no room beside it, and yet no need to look often. */
Test(calc_clearance, thin_and_overlapping)
{
	static const struct geo_point THIN[] = {{4, 0}, {7, 0}};
	struct motion_step step = {.kind = MOTION_TURN, .angle = 0.5};
	struct moving_body x = {THIN, 2, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	for (int i = 0; i < 2; i++) {
		struct clearance_profile p = i ? clearance_of(&arena, &x, &y, 0, 1e-4, 0.6)
					       : clearance_of(&arena, &y, &x, 0, 1e-4, 0.6);
		cr_expect(p.least == 0 && p.greatest == 0 && p.error == 1e-4);
		cr_expect_leq(p.count, 20u);
	}
}

/* Out and back within a fiftieth of the travel: between any two looks, and yet seen. */
Test(calc_clearance, a_short_dash_is_seen)
{
	static const struct geo_point KNOTS[] = {{0, 0}, {0.51, 0}, {0.515, 1}, {0.52, 0}, {1, 0}};
	struct motion_step step = {
		.kind = MOTION_SHIFT, .by = {3.9, 0}, .knots = KNOTS, .knot_count = 5};
	struct moving_body x = {SQUARE, 4, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	cr_expect(clearance_may_come_near(&x, &y, 0, 0.5));
	cr_expect(clearance_may_come_near(&y, &x, 0, 0.5));
	struct clearance_profile p = clearance_of(&arena, &x, &y, 0, 1e-4, 0.6);
	cr_expect_float_eq(p.least, 0.1, 1e-9);
	cr_expect_float_eq(p.least_at, 0.515, 1e-9);
	/* Three levels apart, whatever they do in the view; and where the dash does not lead near.
	 */
	cr_expect_not(clearance_may_come_near(&x, &y, 0.51, 0.5));
	cr_expect(clearance_may_come_near(&x, &y, 0.49, 0.5));
	step.by = (struct geo_point){-3, 0};
	cr_expect(clearance_may_come_near(&x, &y, 0, 4));
	static const struct geo_point FAR[] = {{50, 0}, {51, 0}, {51, 1}};
	struct moving_body far = {FAR, 3, {NULL, 0}};
	cr_expect_not(clearance_may_come_near(&x, &far, 0, 40));
	cr_expect(clearance_may_come_near(&x, &far, 0, 51));
}

/* ---- stretches
 * ----------------------------------------------------------------------------------- */

/* A fall, a rise with a dip that is too small to count, a fall that is only just large enough. */
Test(calc_clearance, stretches_by_hand)
{
	static const struct clearance_knot KNOTS[] = {{0, 0.5}, {0.1, 0.3}, {0.2, 0.1}, {0.3, 0.4},
		{0.4, 0.3999}, {0.5, 0.6}, {0.6, 0.5999}, {0.7, 0.5997}};
	struct clearance_profile p = {.knots = KNOTS, .count = COUNT(KNOTS)};
	struct clearance_stretch *s;
	cr_assert_eq(clearance_stretches(&arena, &p, 2e-4, &s), 3u);
	cr_expect(s[0].from == 0 && s[0].to == 0.2 && s[0].start == 0.5 && s[0].end == 0.1 &&
		  s[0].opening);
	cr_expect(s[1].from == 0.2 && s[1].to == 0.5 && s[1].start == 0.1 && s[1].end == 0.6 &&
		  !s[1].opening);
	cr_expect(s[2].from == 0.5 && s[2].to == 0.7 && s[2].start == 0.6 && s[2].end == 0.5997 &&
		  s[2].opening);
	cr_expect_eq(clearance_stretches(&arena, &p, 4e-4, &s), 2u);
	static const struct clearance_knot BASIN[] = {
		{0, 0.1}, {0.2, 0.5}, {0.3, 0.1}, {0.4, 0.1}, {0.6, 0.5}, {0.8, 0.5}, {1, 0.1}};
	p = (struct clearance_profile){.knots = BASIN, .count = COUNT(BASIN)};
	cr_assert_eq(clearance_stretches(&arena, &p, 2e-4, &s), 4u);
	cr_expect(s[0].from == 0 && s[0].to == 0.2 && !s[0].opening);
	/* Of places alike, the first. */
	cr_expect(s[1].from == 0.2 && s[1].to == 0.3 && s[1].opening);
	cr_expect(s[2].from == 0.3 && s[2].to == 0.6 && !s[2].opening);
	cr_expect(s[3].from == 0.6 && s[3].to == 1 && s[3].opening);
	/* A change that is just what is ignored. */
	static const struct clearance_knot JUST[] = {{0, 0}, {0.5, 0.25}, {1, 0}};
	p = (struct clearance_profile){.knots = JUST, .count = 3};
	cr_expect_eq(clearance_stretches(&arena, &p, 0.25, &s), 0u);
	cr_expect_eq(clearance_stretches(&arena, &p, 0.249, &s), 2u);
	p.count = 1;
	cr_expect_eq(clearance_stretches(&arena, &p, 2e-4, &s), 0u);
	p.count = 0;
	cr_expect_eq(clearance_stretches(&arena, &p, 2e-4, &s), 0u);
	static const struct clearance_knot EVEN[] = {{0, 0.1}, {0.5, 0.1001}, {1, 0.1}};
	p = (struct clearance_profile){.knots = EVEN, .count = 3};
	cr_expect_eq(clearance_stretches(&arena, &p, 2e-4, &s), 0u);
}

/* Level ground and a level leaf: one gap. A rise of 50 mm: 0.05 t, from 50 mm. A leaf that begins
 * in the ground comes free at 0.03 / 0.05 of its way. */
Test(calc_clearance, underside_by_hand)
{
	struct underside u = {.height = 0.05, .radius = 3, .angle = 1.5};
	struct clearance_profile p = clearance_underside(&arena, &u, 1e-4);
	cr_expect_eq(p.count, 2u);
	cr_expect(p.least == 0.05 && p.least_at == 0 && p.greatest == 0.05 && p.greatest_at == 0 &&
		  p.error == 1e-4);
	u.rise = 0.05;
	p = clearance_underside(&arena, &u, 1e-4);
	cr_expect(p.count == 2 && p.least == 0.05 && p.least_at == 0 && p.greatest == 0.1 &&
		  p.greatest_at == 1);
	u.height = -0.03;
	p = clearance_underside(&arena, &u, 1e-4);
	cr_assert_eq(p.count, 3u);
	cr_expect_eq(p.knots[0].gap, 0);
	cr_expect_float_eq(p.knots[1].travel, 0.6, 1e-12);
	cr_expect_eq(p.knots[1].gap, 0);
	cr_expect_float_eq(p.greatest, 0.02, 1e-15);
	u = (struct underside){.height = 0.03, .rise = -0.05, .radius = 3, .angle = 1.5};
	p = clearance_underside(&arena, &u, 1e-4);
	cr_assert_eq(p.count, 3u);
	cr_expect_float_eq(p.knots[1].travel, 0.6, 1e-12);
	/* From the ground on there is no place between. */
	u = (struct underside){.rise = 0.05, .radius = 3, .angle = 1.5};
	cr_expect_eq(clearance_underside(&arena, &u, 1e-4).count, 2u);
	/* 2 · 2² · 0.1 / 8 / 0.1 mm is 1000, of which the root is 31.6; and at a thousandth of
	 * that 1. */
	u = (struct underside){.height = 1, .radius = 2, .angle = 2, .along = 0.1};
	cr_expect_eq(clearance_underside(&arena, &u, 1e-4).count, 33u);
	cr_expect_eq(clearance_underside(&arena, &u, 0.2).count, 2u);
	/* More than can be told in so many steps is told as what it is known to. */
	u = (struct underside){.height = 1, .radius = 1e6, .angle = 3, .along = 0.1};
	p = clearance_underside(&arena, &u, 1e-4);
	cr_expect_float_eq(p.error, 1e6 * 9 * 0.1 / 8 / 1024 / 1024, 1e-9);
	cr_expect_eq(p.count, 1025u);
}

/* Bodies of kilometres need more cells than there are; the error says how far off the figures may
 * be. */
Test(calc_clearance, what_is_not_known_is_said)
{
	static const struct geo_point LONG[] = {{0, 0}, {1e6, 0}, {1e6, 0.1}, {0, 0.1}},
				      TOP[] = {{-1e6, 1e5}, {1e6, 1e5}, {0, 2e6}};
	struct motion_step step = {.kind = MOTION_TURN, .angle = 3};
	struct moving_body x = {LONG, 4, {&step, 1}}, y = {TOP, 3, {NULL, 0}};
	struct clearance_profile p = clearance_of(&arena, &x, &y, 0, 1e-7, 1e9);
	cr_expect_gt(p.error, 1e-7);
	cr_expect_leq(p.count, 10000u);
	cr_expect_lt(fabs(p.least - 0), 1e-9);
}
