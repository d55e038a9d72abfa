/* Rams and arms against closed forms: where the leaf's bracket is at a travel, and how cylinder,
 * rod and two arms have to lie so that they reach it. Bodies of the type `driven`
 * (bench/geometry.yaml): the first corner of each is the point looked at. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

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

TestSuite(assess_motion, .init = setup, .fini = teardown);

struct drive {
	struct geo_point pin, bracket;
	double first, second, begin, finish;
};

static void judge(const struct drive *d)
{
	gap_judge(&b, "driven",
		arena_format(&b.arena,
			"pin-x: %.4f m, pin-y: %.4f m, bracket-x: %.4f m, bracket-y: %.4f m, "
			"first: %.4f m, second: %.4f m,"
			" begin: %.3f, finish: %.3f",
			d->pin.x, d->pin.y, d->bracket.x, d->bracket.y, d->first, d->second,
			d->begin, d->finish),
		"");
}

static const struct geo_body *body(const char *id)
{
	const struct geometry *g = b.result->geometry;
	for (size_t i = 0; i < g->body_count; i++)
		if (text_equal(g->bodies[i].id, id))
			return &g->bodies[i];
	return NULL;
}

static struct geo_point at(const struct geo_body *x, int pose, size_t corner)
{
	return x->poses[(size_t)pose * x->count + corner];
}

static double apart(struct geo_point p, struct geo_point q)
{
	return hypot(p.x - q.x, p.y - q.y);
}

/* The bracket turns about the origin by 90 degrees, between two parts of the travel. */
static struct geo_point bracket_at(const struct drive *d, double t)
{
	double f = fmin(fmax((t - d->begin) / (d->finish - d->begin), 0), 1), a = f * M_PI / 2;
	return (struct geo_point){d->bracket.x * cos(a) - d->bracket.y * sin(a),
		d->bracket.x * sin(a) + d->bracket.y * cos(a)};
}

static double direction(struct geo_point from, struct geo_point to)
{
	return atan2(to.y - from.y, to.x - from.x);
}

/* Of the elbow of two arms from `from`, by the law of cosines; `side` 1: left of the line to the
 * bracket. */
static struct geo_point elbow(const struct drive *d, struct geo_point to, double side)
{
	double far = apart(d->pin, to);
	double inside = acos(
		(far * far + d->first * d->first - d->second * d->second) / (2 * far * d->first));
	double a = direction(d->pin, to) + side * inside;
	return (struct geo_point){d->pin.x + d->first * cos(a), d->pin.y + d->first * sin(a)};
}

/* `p` carried by a body that turns about `from` and goes to `to` with it. */
static struct geo_point turned(
	struct geo_point p, struct geo_point from, struct geo_point to, double angle)
{
	double x = p.x - from.x, y = p.y - from.y;
	return (struct geo_point){
		to.x + x * cos(angle) - y * sin(angle), to.y + x * sin(angle) + y * cos(angle)};
}

/* m: what tables of angles and lengths may be off, 0.1 mm each. */
static const double TURN = 1e-4, REACH = 2e-4, LINK = 3e-4;

static void expect_ram(const struct drive *d, int pose)
{
	struct geo_point end = bracket_at(d, pose / 24.0), start = d->bracket;
	double was = direction(d->pin, start), is = direction(d->pin, end),
	       length = apart(d->pin, start);
	const struct geo_body *leaf = body("leaf"), *cylinder = body("cylinder"),
			      *rod = body("rod");
	cr_assert(leaf && cylinder && rod);
	cr_expect_lt(apart(at(leaf, pose, 0), end), 1e-9);
	cr_expect_lt(apart(at(rod, pose, 0), end), REACH, "pose %d: the rod is %g m off", pose,
		apart(at(rod, pose, 0), end));
	cr_expect_lt(apart(at(cylinder, pose, 1), d->pin), 1e-9, "the cylinder stays on its pin");
	struct geo_point aimed = {d->pin.x + length * cos(is), d->pin.y + length * sin(is)};
	cr_expect_lt(apart(at(cylinder, pose, 0), aimed), TURN, "pose %d: the cylinder aims beside",
		pose);
	cr_expect_lt(
		apart(at(cylinder, pose, 2), turned(cylinder->points[2], d->pin, d->pin, is - was)),
		TURN);
}

static void expect_arms(const struct drive *d, int pose)
{
	struct geo_point end = bracket_at(d, pose / 24.0), start = d->bracket;
	const struct geo_body *fore = body("fore"), *arms[2] = {body("upper"), body("upper-right")};
	cr_assert(fore && arms[0] && arms[1]);
	for (int i = 0; i < 2; i++) {
		double side = i ? -1 : 1;
		double was = direction(d->pin, elbow(d, start, side)),
		       is = direction(d->pin, elbow(d, end, side));
		cr_expect_lt(apart(at(arms[i], pose, 0), d->pin), 1e-9);
		cr_expect_lt(apart(at(arms[i], pose, 1),
				     turned(arms[i]->points[1], d->pin, d->pin, is - was)),
			TURN, "pose %d of arm %d", pose, i);
	}
	double was = direction(start, elbow(d, start, 1)), is = direction(end, elbow(d, end, 1));
	cr_expect_lt(apart(at(fore, pose, 0), end), LINK, "pose %d: the forearm is %g m off", pose,
		apart(at(fore, pose, 0), end));
	cr_expect_lt(apart(at(fore, pose, 1), turned(fore->points[1], start, end, is - was)), LINK);
}

/* The far corner of every body is within 3 m of its pivot. */
static bool fits(const struct drive *d)
{
	for (int i = 0; i <= 96; i++) {
		double far = apart(d->pin, bracket_at(d, i / 96.0));
		if (far < 0.15 || far > d->first + d->second - 0.02 ||
			far < fabs(d->first - d->second) + 0.02)
			return false;
	}
	return true;
}

Test(assess_motion, ram_and_arms_stay_on_the_bracket)
{
	srand(20261127);
	for (int i = 0; i < 300;) {
		struct drive d = {.pin = {round(gap_random(-800, 800)) / 1e3,
					  round(gap_random(-800, 800)) / 1e3},
			.bracket = {round(gap_random(300, 1500)) / 1e3,
				round(gap_random(-100, 200)) / 1e3},
			.first = round(gap_random(300, 1500)) / 1e3,
			.second = round(gap_random(300, 1500)) / 1e3,
			.begin = rand() % 2 ? 0 : round(gap_random(0, 40)) / 100,
			.finish = rand() % 2 ? 1 : round(gap_random(60, 100)) / 100};
		if (!fits(&d))
			continue;
		judge(&d);
		for (int pose = 0; pose < GEOMETRY_POSES; pose++) {
			expect_ram(&d, pose);
			expect_arms(&d, pose);
		}
		i++;
		teardown();
		setup();
	}
}

static const struct drive PLAIN = {{-0.1, 0.3}, {0.8, 0.05}, 0.6, 0.7, 0, 1};

/* From (-0.1, 0.3) to the open bracket at (-0.05, 0.8) and to the closed one at (0.8, 0.05): 0.50 m
 * and 0.93 m. */
Test(assess_motion, an_arm_that_does_not_reach_leaves_its_bodies_out)
{
	judge(&PLAIN);
	cr_expect_eq(b.result->geometry->left_out, 0u);
	struct drive d = PLAIN;
	d.first = 0.4;
	d.second = 0.5;
	judge(&d);
	cr_expect_eq(b.result->geometry->left_out, 3u, "two upper arms and the forearm");
	cr_expect(!body("upper") && !body("upper-right") && !body("fore"));
	cr_expect(body("leaf") && body("cylinder") && body("rod"));
	/* Too long a difference: the bracket comes nearer than 0.6 m. */
	d.first = 1.4;
	d.second = 0.8;
	judge(&d);
	cr_expect_null(body("fore"));
	/* A pin that the bracket passes over aims nowhere; arms have no line there either. */
	d = PLAIN;
	d.pin = d.bracket;
	judge(&d);
	cr_expect_eq(b.result->geometry->left_out, 5u);
	cr_expect_not_null(body("leaf"));
}

/* Only a part of the travel that is one moves anything. */
Test(assess_motion, a_part_of_the_travel_has_to_be_one)
{
	struct drive d = PLAIN;
	d.begin = 0.5;
	d.finish = 0.5;
	judge(&d);
	cr_expect_eq(b.result->geometry->left_out, 6u);
	d.begin = -1;
	d.finish = 2;
	judge(&d);
	cr_assert_not_null(body("leaf"));
	/* Held to the travel: half of the turn in the middle, (0.8, 0.05) by 45 degrees. */
	cr_expect_float_eq(at(body("leaf"), 12, 0).x, (0.8 - 0.05) / sqrt(2), 1e-9);
	cr_expect_float_eq(at(body("leaf"), 12, 0).y, (0.8 + 0.05) / sqrt(2), 1e-9);
	bench_record(&b, "begin: -1.000", "begin: unknown");
	bench_judge(&b);
	cr_expect_eq(b.result->geometry->left_out, 6u);
	d = PLAIN;
	judge(&d);
	bench_record(&b, "pin-x: -0.1000 m", "pin-x: unknown");
	bench_judge(&b);
	cr_expect_eq(b.result->geometry->left_out, 5u);
	judge(&d);
	bench_record(&b, "first: 0.6000 m", "first: unknown");
	bench_judge(&b);
	cr_expect_eq(b.result->geometry->left_out, 3u);
}

/* Where the ends are told to ± 2 mm each way, the ram can be off by twice the hypotenuse of both.
 */
Test(assess_motion, the_doubt_of_its_points_is_the_doubt_of_a_ram)
{
	judge(&PLAIN);
	double sure = body("rod")->doubt;
	cr_expect_lt(sure, 1e-3);
	bench_record(&b, "pin-y: 0.3000 m", "pin-y: 300 mm ± 2 mm");
	bench_judge(&b);
	cr_expect_geq(body("rod")->doubt, sure + 0.004);
	cr_expect_float_eq(body("leaf")->doubt, 0, 1e-9);
	double fore = body("fore")->doubt;
	bench_record(&b, "second: 0.7000 m", "second: 700 mm ± 3 mm");
	bench_judge(&b);
	cr_expect_geq(body("fore")->doubt, fore + 0.003);
}
