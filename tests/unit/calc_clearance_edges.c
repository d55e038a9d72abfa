/* Clearances of boxes by hand: how near is near, how rough is rough, which way is which. Lengths in
 * m. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/clearance.h"

static struct arena arena;
static jmp_buf escape;

static void begin(void)
{
	arena_init(&arena, &escape);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(calc_clearance_edges, .init = begin, .fini = end);

static const struct geo_point SQUARE[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}},
			      WALL[] = {{5, -5}, {6, -5}, {6, 5}, {5, 5}};

/* The circles around two squares side by side, 10 apart: 10 - √2 between them. The last corner is
 * none of the second. */
Test(calc_clearance_edges, quick_look)
{
	static const struct geo_point OTHER[] = {{10, 0}, {11, 0}, {11, 1}, {10, 1}, {-500, 70}};
	struct moving_body x = {SQUARE, 4, {NULL, 0}}, y = {OTHER, 4, {NULL, 0}};
	cr_expect_not(clearance_may_come_near(&x, &y, 0, 10 - sqrt(2) - 1e-9));
	cr_expect(clearance_may_come_near(&x, &y, 0, 10 - sqrt(2) + 1e-9));
	cr_expect_not(clearance_may_come_near(&x, &y, 3, hypot(10 - sqrt(2), 3) - 1e-9));
	cr_expect(clearance_may_come_near(&x, &y, 3, hypot(10 - sqrt(2), 3) + 1e-9));
	/* Only just. */
	cr_expect(clearance_may_come_near(&x, &x, 0.5, 0.5));
}

/* From 20 away 16 towards it, in 16 looks of 1 each, half of it before the middle and half behind;
 * and away instead. */
Test(calc_clearance_edges, quick_look_at_what_moves)
{
	static const struct geo_point AWAY[] = {{20, 0}, {21, 0}, {21, 1}, {20, 1}};
	struct motion_step step = {.kind = MOTION_SHIFT, .by = {-16, 0}};
	struct moving_body x = {SQUARE, 4, {NULL, 0}}, y = {AWAY, 4, {&step, 1}};
	cr_expect_not(clearance_may_come_near(&x, &y, 0, 4 - sqrt(2) - 1e-9));
	cr_expect(clearance_may_come_near(&x, &y, 0, 4 - sqrt(2) + 1e-9));
	cr_expect_not(clearance_may_come_near(&y, &x, 0, 4 - sqrt(2) - 1e-9));
	step.by.x = 16;
	cr_expect_not(clearance_may_come_near(&x, &y, 0, 20 - sqrt(2) - 1e-9));
	cr_expect(clearance_may_come_near(&x, &y, 0, 20 - sqrt(2) + 1e-9));
}

/* A bow tie and a star cross themselves: no place of their outlines is away from them, and what is
 * 1 beside them is 1 away. */
Test(calc_clearance_edges, outlines_that_cross_themselves)
{
	static const struct geo_point BOW[] = {{0, 0}, {2, 2}, {2, 0}, {0, 2}};
	struct geo_point star[5], dot[1];
	for (int i = 0; i < 5; i++)
		star[i] = (struct geo_point){cos(4 * M_PI / 5 * i), sin(4 * M_PI / 5 * i)};
	for (int n = 0; n < 2; n++) {
		struct moving_body x = {n ? star : BOW, n ? 5 : 4, {NULL, 0}},
				   y = {dot, 1, {NULL, 0}};
		for (size_t i = 0; i < x.count; i++)
			for (int k = 0; k <= 10; k++) {
				struct geo_point p = x.points[i], q = x.points[(i + 1) % x.count];
				dot[0] = (struct geo_point){
					p.x + (q.x - p.x) * k / 10, p.y + (q.y - p.y) * k / 10};
				cr_assert_float_eq(
					clearance_at(&arena, &x, &y, 0, NULL, NULL), 0, 1e-12);
			}
		dot[0] = (struct geo_point){n ? 2 : 3, 0};
		cr_expect_float_eq(clearance_at(&arena, &x, &y, 0, NULL, NULL), 1, 1e-12);
	}
}

/* Past a wall at another height: √((4 - 5 t)² + a²), and a from t = 4/5 on. Straight lines that
 * keep within 0.1 mm of it are at least √(a²/r³) / √(8 · 0.1 mm), summed over d from 0 to 4;
 * halving takes up to twice as many, and the bounds half as many again. */
Test(calc_clearance_edges, gap_in_space)
{
	static const double ACROSS[] = {0.01, 0.05, 0.3, 1.5};
	struct motion_step step = {.kind = MOTION_SHIFT, .by = {5, 0}};
	struct moving_body x = {SQUARE, 4, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	for (size_t n = 0; n < sizeof ACROSS / sizeof *ACROSS; n++) {
		double a = ACROSS[n], fewest = 0;
		struct clearance_profile p = clearance_of(&arena, &x, &y, a, 1e-4, 1e9);
		for (int i = 0; i < 4000; i++)
			fewest +=
				sqrt(a * a / pow(hypot(0.001 * i, a), 3)) * 0.001 / sqrt(8 * 1e-4);
		cr_expect_lt((double)p.count, 3 * fewest + 30, "%zu, %g", p.count, fewest);
		for (size_t k = 1; k < p.count; k++) {
			const struct clearance_knot *b = &p.knots[k - 1], *c = &p.knots[k];
			for (int i = 0; i <= 10; i++) {
				double t = b->travel + (c->travel - b->travel) * i / 10;
				double line = b->gap + (c->gap - b->gap) * i / 10;
				cr_assert_float_eq(
					line, hypot(fmax(4 - 5 * t, 0), a), 1e-4 + 1e-12);
			}
		}
	}
}

/* Where nothing is near, a tenth of the gap is near enough, but for the least and the greatest. */
Test(calc_clearance_edges, roughly_where_it_is_far)
{
	struct motion_step step = {.kind = MOTION_TURN, .angle = -M_PI};
	struct moving_body x = {SQUARE, 4, {&step, 1}}, y = {WALL, 4, {NULL, 0}};
	size_t rough = clearance_of(&arena, &x, &y, 0, 1e-4, 0.6).count;
	size_t fine = clearance_of(&arena, &x, &y, 0, 1e-4, 1e9).count;
	cr_expect_lt(rough * 3, fine, "%zu of %zu", rough, fine);
}

/* To the right of what stands, up: past it by so much, and anticlockwise about it. */
Test(calc_clearance_edges, rates_have_a_sign)
{
	static const struct geo_point CORNER[] = {{4, 5}, {6, 5}, {6, 7}};
	struct motion_step step = {.kind = MOTION_SHIFT, .by = {0, 0.3}};
	struct moving_body x = {WALL, 4, {&step, 1}}, y = {SQUARE, 4, {NULL, 0}};
	struct clearance_rate rate;
	double at = 0.5;
	clearance_rates(&arena, &x, &y, &at, 1, &rate);
	cr_expect_float_eq(rate.past, 0.3, 1e-12);
	clearance_rates(&arena, &y, &x, &at, 1, &rate);
	cr_expect_float_eq(rate.past, 0.3, 1e-12);
	/* Beyond the corner (1, 1), along (0.6, 0.8): out by 0.6 · 0.5 + 0.8 · 0.1, past by
	 * 0.6 · 0.1 - 0.8 · 0.5. */
	step.by = (struct geo_point){0.5, 0.1};
	x.points = CORNER;
	x.count = 3;
	at = 0;
	clearance_rates(&arena, &x, &y, &at, 1, &rate);
	cr_expect_float_eq(rate.along, 0.38, 1e-12);
	cr_expect_float_eq(rate.past, -0.34, 1e-12);
}

/* A spike of which the tip comes first: its middle is (6, 0), the tip 6 from there, the others √10.
 * The middle of the square is 7.5 from there, its corners √0.5 from that. */
Test(calc_clearance_edges, quick_look_at_a_tip)
{
	static const struct geo_point SPIKE[] = {{0, 0}, {9, -1}, {9, 1}},
				      BOX[] = {{-2, -0.5}, {-1, -0.5}, {-1, 0.5}, {-2, 0.5}};
	struct moving_body x = {SPIKE, 3, {NULL, 0}}, y = {BOX, 4, {NULL, 0}};
	double apart = 7.5 - 6 - sqrt(0.5);
	cr_expect_not(clearance_may_come_near(&x, &y, 0, apart - 1e-9));
	cr_expect(clearance_may_come_near(&x, &y, 0, apart + 1e-9));
}

/* Half a micrometre beyond a corner, along (0.6, 0.8), and moving along x: away by 0.6 of its rate.
 * A third of a nanometre beyond, they touch: the line is the normal of an edge, along x or y. */
Test(calc_clearance_edges, rates_next_to_touching)
{
	struct motion_step step = {.kind = MOTION_SHIFT, .by = {0.5, 0}};
	double at = 0;
	for (int touching = 0; touching < 2; touching++) {
		double off = touching ? 3e-10 : 5e-7, dx = 1 + 0.6 * off, dy = 1 + 0.8 * off;
		struct geo_point box[] = {{dx, dy}, {dx + 1, dy}, {dx + 1, dy + 1}, {dx, dy + 1}};
		struct moving_body x = {box, 4, {&step, 1}}, y = {SQUARE, 4, {NULL, 0}};
		struct clearance_rate rate;
		clearance_rates(&arena, &x, &y, &at, 1, &rate);
		if (!touching)
			cr_expect_float_eq(rate.along, 0.3, 1e-6);
		else
			cr_expect(fabs(rate.along) < 1e-9 || fabs(rate.along - 0.5) < 1e-9, "%g",
				rate.along);
	}
}
