/* A record of what the clearance engine did for seeded cases when this was written: how many cells
 * it needed, where they end, how tight its bounds were, how outlines were cut. No source outside of
 * the program says that these figures are right. Whether gaps are true is tested elsewhere, against
 * closed forms and against looking often; here a change is noticed that costs cells, loses
 * tightness, or takes another of two equal ways. One that does so on purpose writes the record
 * anew, after a look at the first column: the count of knots, pieces or features. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "calc/cell.h"
#include "calc_clearance_bench.h"

static struct arena arena;
static jmp_buf escape;

static struct {
	uint64_t sum;
	size_t count;
} record;

static void start_record(void)
{
	record.sum = 0xCBF29CE484222325u;
	record.count = 0;
}

static void begin(void)
{
	arena_init(&arena, &escape);
	start_record();
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(calc_clearance_cells, .init = begin, .fini = end);

/* FNV-1a, Fowler, Noll and Vo, over words. */
static void mix_word(uint64_t word)
{
	record.sum = (record.sum ^ word) * 0x100000001B3u;
	record.sum ^= record.sum >> 29;
}

/* To a billionth, so that another library of sines does not matter. */
static void mix(double x)
{
	double rounded = isfinite(x) ? nearbyint(x * 1e9) + 0.0 : x;
	uint64_t bits;
	memcpy(&bits, &rounded, sizeof bits);
	mix_word(isnan(x) ? 1 : bits);
}

static void mix_point(struct geo_point p)
{
	mix(p.x);
	mix(p.y);
}

static void mix_feature(const struct feature *f)
{
	mix_word((uint64_t)f->kind * 2 + f->overlap);
	mix_word(f->p);
	mix_word(f->q);
	mix(f->distance);
	mix_point(f->on_p);
	mix_point(f->on_q);
}

static void expect(size_t count, uint64_t sum, const char *what)
{
	cr_expect(record.count == count && record.sum == sum, "%s: %zu, 0x%016lXu", what,
		record.count, (unsigned long)record.sum);
	(void)what;
	start_record();
}

/* ---- profiles ----------------------------------------------------------------------------------
 */

static void mix_profile(const struct clearance_profile *p)
{
	struct clearance_stretch *all;
	size_t n = clearance_stretches(&arena, p, 2e-4, &all);
	record.count += p->count;
	mix_word(p->count);
	for (size_t i = 0; i < p->count; i++) {
		mix(p->knots[i].travel);
		mix(p->knots[i].gap);
	}
	mix(p->least);
	mix(p->least_at);
	mix(p->greatest);
	mix(p->greatest_at);
	mix(p->error);
	mix_word(n);
	for (size_t i = 0; i < n; i++) {
		mix(all[i].start);
		mix(all[i].end);
		mix_word(all[i].opening);
	}
}

static void profiles(uint64_t from, uint64_t to)
{
	static const double ACROSS[] = {0, 0.05, 0, 0.4};
	struct bench_body pair[2];
	for (uint64_t seed = from; seed < to; seed++) {
		bench_pair(seed, pair);
		struct clearance_profile p = clearance_of(&arena, &pair[0].body, &pair[1].body,
			ACROSS[seed % 4], seed % 3 ? 1e-3 : 1e-4, seed % 5 ? 0.6 : 1e9);
		mix_profile(&p);
		mix_word(clearance_may_come_near(
			&pair[0].body, &pair[1].body, ACROSS[seed % 4], 0.3));
	}
}

Test(calc_clearance_cells, profiles_by_lot)
{
	profiles(1, 60);
	expect(2889, 0x02A6EA73D88F20D4u, "first");
	profiles(60, 150);
	expect(5552, 0x85D4731E5E7341ABu, "second");
}

/* Corners on a grid, so that much is parallel, touches, or is as near as something else. */
static size_t draw_on_grid(uint64_t *seed, struct geo_point *p, int shape, double size)
{
	static const struct geo_point BOX[] = {{0, 0}, {2, 0}, {2, 1}, {0, 1}},
				      ANGLE[] = {{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}},
				      THIN[] = {{0, 0}, {4, 0}},
				      CHANNEL[] = {{0, 0}, {3, 0}, {3, 2}, {2, 2}, {2, 1}, {1, 1},
					      {1, 2}, {0, 2}};
	static const struct {
		const struct geo_point *points;
		size_t count;
	} SHAPES[] = {{BOX, 4}, {ANGLE, 6}, {THIN, 2}, {CHANNEL, 8}};
	double x = floor(bench_draw(seed, -3, 4)), y = floor(bench_draw(seed, -3, 4));
	for (size_t i = 0; i < SHAPES[shape].count; i++)
		p[i] = (struct geo_point){size * (SHAPES[shape].points[i].x + x),
			size * (SHAPES[shape].points[i].y + y)};
	return SHAPES[shape].count;
}

static void draw_pair_on_grid(uint64_t seed, struct bench_body pair[2])
{
	uint64_t s = seed * 0x9E3779B97F4A7C15u + 1;
	bench_pair(seed, pair);
	for (int i = 0; i < 2; i++) {
		struct bench_body *b = &pair[i];
		b->body.count = draw_on_grid(&s, b->points, (int)bench_draw(&s, 0, 4), 0.5);
		for (size_t k = 0; k < b->body.motion.count; k++) {
			struct motion_step *step = &b->steps[k];
			step->by.x = floor(step->by.x);
			step->by.y = floor(step->by.y);
			step->angle = step->angle < 0 ? -M_PI / 2 : M_PI;
		}
	}
}

Test(calc_clearance_cells, profiles_on_a_grid)
{
	struct bench_body pair[2];
	for (uint64_t seed = 1; seed <= 60; seed++) {
		draw_pair_on_grid(seed, pair);
		struct clearance_profile p = clearance_of(
			&arena, &pair[0].body, &pair[1].body, seed % 3 ? 0 : 0.2, 1e-3, 0.6);
		mix_profile(&p);
	}
	expect(4369, 0xB0F742DA5028384Fu, "grid");
}

/* ---- bounds ------------------------------------------------------------------------------------
 */

static void mix_bounds(struct couple *c, double t, double h, double limit)
{
	struct feature from = couple_look(c, t - h);
	struct moment before = couple_moment(c, &from);
	struct feature to = couple_look(c, t + h);
	struct cell cell = {t, h, before, couple_moment_before(c, &to, t + h)};
	struct feature f = couple_look(c, t);
	struct moment middle = couple_moment(c, &f);
	struct stir stir = couple_stir(c, t, h);
	struct quick q = couple_quick(&stir, &cell, &middle);
	couple_widen(c);
	mix(stir.reach);
	mix(q.low);
	mix(q.high);
	mix(q.off);
	mix(stir_steady(&stir, &cell, q.low));
	mix(couple_steady(c, &f, &cell));
	struct bounds b = couple_bounds(c, &f, &cell, limit);
	record.count++;
	mix_feature(&f);
	for (int i = 0; i < 2; i++) {
		mix(b.low[i]);
		mix(b.high[i]);
	}
	mix(bounds_off(&b, &cell));
}

Test(calc_clearance_cells, bounds)
{
	static const double LIMITS[] = {INFINITY, 0.01, 0.3};
	struct bench_body pair[2];
	for (uint64_t seed = 1; seed <= 600; seed++) {
		(seed % 2 ? bench_pair : draw_pair_on_grid)(seed, pair);
		struct couple c = couple_of(&arena, &pair[0].body, &pair[1].body);
		for (int i = 0; i < 6; i++)
			mix_bounds(&c, (i + 0.5) / 6, pow(0.1, i % 4 + 1), LIMITS[i % 3]);
	}
	expect(3600, 0xA51DF9F707FFC16Cu, "bounds");
}

/* ---- pieces ------------------------------------------------------------------------------------
 */

enum { OUTLINE = 64 };

static void mix_pieces(const struct geo_point *p, size_t n)
{
	struct polygon g = polygon_cut(&arena, p, n);
	record.count += g.piece_count;
	mix_word(g.count);
	mix_word(g.piece_count);
	for (size_t k = 0; k < g.piece_count; k++) {
		mix_word(g.pieces[k].first);
		mix_word(g.pieces[k].count);
	}
	for (size_t i = 0; i < g.count; i++)
		mix_point(g.points[i]);
}

/* Stars, either way round, with corners doubled, and corners on the way straight on. */
static size_t draw_star(uint64_t *s, struct geo_point *p)
{
	size_t n = (size_t)bench_draw(s, 3, 30), count = 0;
	double deep = bench_draw(s, 0, 1), way = bench_draw(s, -1, 1) < 0 ? -1 : 1;
	for (size_t i = 0; i < n; i++) {
		double r = bench_draw(s, deep, 1),
		       angle = way * 2 * M_PI * ((double)i + bench_draw(s, 0, 0.9)) / (double)n;
		struct geo_point at = {r * cos(angle), r * sin(angle)};
		if (count && bench_draw(s, 0, 8) < 1) {
			struct geo_point last = p[count - 1];
			p[count++] = (struct geo_point){(last.x + at.x) / 2, (last.y + at.y) / 2};
		}
		p[count++] = at;
		if (bench_draw(s, 0, 8) < 1)
			p[count++] = at;
	}
	return count;
}

static size_t draw_corners(uint64_t *s, struct geo_point *p, size_t most, double size)
{
	size_t n = (size_t)bench_draw(s, 0, (double)most + 1);
	for (size_t i = 0; i < n; i++)
		p[i] = (struct geo_point){
			floor(bench_draw(s, 0, size)), floor(bench_draw(s, 0, size))};
	return n;
}

Test(calc_clearance_cells, pieces_of_stars)
{
	struct geo_point p[OUTLINE * 2];
	uint64_t s = 77;
	for (int i = 0; i < 150; i++)
		mix_pieces(p, draw_star(&s, p));
	/* Round, but for one corner: joined as long as there is room in a piece. */
	for (size_t n = 22; n < 34; n++) {
		for (size_t k = 0; k < n; k++) {
			double r = k == n / 2 ? 0.3 : 1, angle = 2 * M_PI * (double)k / (double)n;
			p[k] = (struct geo_point){r * cos(angle), r * sin(angle)};
		}
		mix_pieces(p, n);
	}
	expect(845, 0x1446457871B2246Fu, "stars");
}

/* Mostly crossing themselves, many degenerate. */
Test(calc_clearance_cells, pieces_of_corners_by_lot)
{
	struct geo_point p[OUTLINE];
	uint64_t s = 78;
	for (int i = 0; i < 1500; i++)
		mix_pieces(p, draw_corners(&s, p, 6, 4));
	for (int i = 0; i < 300; i++)
		mix_pieces(p, draw_corners(&s, p, 12, 9));
	for (int i = 0; i < 60; i++)
		mix_pieces(p, draw_corners(&s, p, OUTLINE, 1e4));
	expect(10026, 0xF16728589F5AADDDu, "corners");
}

/* Straight on is what turns by less than 10^-12 of the square of both edges, here 4. */
Test(calc_clearance_cells, nearly_straight_on)
{
	struct geo_point p[] = {{0, 0}, {1, -1e-10}, {2, 0}, {2, 1}, {0, 1}};
	cr_expect_eq(polygon_cut(&arena, p, 5).count, 5);
	p[1].y = -1e-13;
	cr_expect_eq(polygon_cut(&arena, p, 5).count, 4);
}

/* ---- features ----------------------------------------------------------------------------------
 */

struct list {
	struct geo_point points[24];
	struct convex piece;
};

/* A convex piece that does not begin at the first corner of its list: a point, a segment, a
 * triangle or part of an ellipse; on the grid, or not. */
static void draw_piece(uint64_t *s, struct list *out, bool on_grid)
{
	size_t first = (size_t)bench_draw(s, 0, 4), n = (size_t)bench_draw(s, 1, 8);
	struct geo_point at = {bench_draw(s, -3, 3), bench_draw(s, -3, 3)};
	double a = bench_draw(s, 0.3, 3), b = bench_draw(s, 0.3, 3), turn = bench_draw(s, 0, 7);
	static const struct geo_point GRID[] = {
		{0, 0}, {1, 0}, {2, 1}, {2, 2}, {1, 3}, {0, 3}, {-1, 2}};
	for (size_t i = 0; i < 24; i++) {
		size_t k = i >= first ? i - first : i + 7;
		double angle = turn + 2 * M_PI * (double)k / (double)n;
		out->points[i] =
			on_grid ? (struct geo_point){round(at.x) + GRID[k % 7].x, round(at.y) + GRID[k % 7].y}
				: (struct geo_point){at.x + a * cos(angle), at.y + b * sin(angle)};
	}
	out->piece = (struct convex){first, n};
}

static void mix_pair(const struct list *p, const struct list *q, struct feature *last)
{
	struct feature f = convex_distance(p->points, p->piece, q->points, q->piece), still;
	bool told = convex_still(p->points, p->piece, q->points, q->piece, last, &still);
	record.count += told;
	mix_feature(&f);
	mix_word(told);
	if (told)
		mix_feature(&still);
	mix_point(convex_shared(p->points, p->piece, q->points, q->piece));
	mix_point(convex_least_overlap(p->points, p->piece, q->points, q->piece));
	*last = f;
}

Test(calc_clearance_cells, features)
{
	struct list p, q;
	uint64_t s = 79;
	for (int i = 0; i < 2000; i++) {
		draw_piece(&s, &p, i % 2);
		draw_piece(&s, &q, i % 2);
		struct feature last = convex_distance(p.points, p.piece, q.points, q.piece);
		for (int k = 0; k < 3; k++) {
			struct geo_point by = i % 2 ? (struct geo_point){k - 1, k / 2}
						    : (struct geo_point){bench_draw(&s, -1, 1),
							      bench_draw(&s, -1, 1)};
			for (size_t n = 0; n < 24; n++) {
				p.points[n].x += by.x;
				p.points[n].y += by.y;
			}
			mix_pair(&p, &q, &last);
		}
	}
	expect(3144, 0xEABFB8B838341402u, "features");
}

/* ---- motion ------------------------------------------------------------------------------------
 */

static void mix_motion(const struct moving_body *b, struct geo_point p, double t)
{
	struct pose pose = motion_pose(&b->motion, t);
	struct sway sway = motion_sway(&b->motion, t, 0.1);
	double arm = motion_arm(&b->motion, p);
	mix_point(motion_apply(&b->motion, p, t));
	mix_point(motion_velocity(&b->motion, p, t));
	mix_point(pose_velocity(&pose, p));
	mix(sway_rates(&sway, arm).speed);
	mix(sway_rates(&sway, arm).acceleration);
	mix(sway_rates(&sway, arm).jerk);
	mix(sway.turning);
	mix(motion_reach(&b->motion, p, t, fmax(t - 0.2, 0), fmin(t + 0.2, 1)));
}

Test(calc_clearance_cells, motion_and_rates)
{
	struct bench_body pair[2];
	double travels[9];
	struct clearance_rate rates[9];
	for (int i = 0; i < 9; i++)
		travels[i] = i / 8.0;
	for (uint64_t seed = 1; seed <= 150; seed++) {
		(seed % 2 ? bench_pair : draw_pair_on_grid)(seed, pair);
		clearance_rates(&arena, &pair[0].body, &pair[1].body, travels, 9, rates);
		for (int i = 0; i < 9; i++) {
			mix(rates[i].along);
			mix(rates[i].past);
			mix_point(rates[i].on_x);
			mix_motion(&pair[i % 2].body, pair[0].points[1], travels[i]);
			record.count++;
		}
	}
	expect(1350, 0x3BD1D167A258DA0Bu, "motion");
}

Test(calc_clearance_cells, undersides)
{
	uint64_t s = 80;
	for (int i = 0; i < 60; i++) {
		struct underside u = {bench_draw(&s, 0, 0.2), bench_draw(&s, -0.1, 0.3),
			bench_draw(&s, 0.5, 6), bench_draw(&s, 0, 2), bench_draw(&s, -0.1, 0.1),
			bench_draw(&s, -0.1, 0.1)};
		struct clearance_profile p = clearance_underside(&arena, &u, 1e-4);
		mix_profile(&p);
	}
	expect(1188, 0xA6DE46AA199849CFu, "undersides");
}
