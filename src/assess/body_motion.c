/* Motions of a type as chains of rigid steps. Rams and arms follow the leaf by tables of angles. */
#include <math.h>
#include <stdlib.h>

#include "assess/bodies.h"

/* Even steps of travel, and the ends of `during` between them. */
enum { EVEN = 65, KNOTS = EVEN + 4 * 8 };

struct making {
	struct context *c;
	const struct lib_type *type;
	double reach, doubt;
	struct motion_step *steps;
	size_t count;
	int depth;
};

static bool make_motion(struct making *m, const struct lib_motion *motion);

static bool point_at(struct making *m, const struct rule *const r[2], struct geo_point *out, double *doubt)
{
	double dx, dy;
	if (!body_amount(m->c, r[0], DIM_LENGTH, &out->x, &dx) || !body_amount(m->c, r[1], DIM_LENGTH, &out->y, &dy))
		return false;
	*doubt = hypot(dx, dy);
	return true;
}

/* Standing still, then moving evenly, then standing still. */
static bool add_during(struct making *m, const struct lib_step *lib, struct motion_step *step)
{
	double a, b, unsure;
	if (!lib->during_count)
		return true;
	if (lib->during_count != 2 || !body_amount(m->c, lib->during[0], DIM_NUMBER, &a, &unsure) ||
		!body_amount(m->c, lib->during[1], DIM_NUMBER, &b, &unsure))
		return false;
	a = fmin(fmax(a, 0), 1);
	b = fmin(fmax(b, 0), 1);
	if (b - a < 1e-6)
		return false;
	struct geo_point *k = arena_array(m->c->arena, 4, sizeof *k);
	size_t n = 0;
	if (a > 0)
		k[n++] = (struct geo_point){0, 0};
	k[n++] = (struct geo_point){a, 0};
	k[n++] = (struct geo_point){b, 1};
	if (b < 1)
		k[n++] = (struct geo_point){1, 1};
	step->knots = k;
	step->knot_count = n;
	return true;
}

static bool add_plain(struct making *m, const struct lib_step *lib)
{
	struct motion_step *step = &m->steps[m->count];
	double doubt = 0, angle_doubt = 0;
	*step = (struct motion_step){.kind = lib->turn ? MOTION_TURN : MOTION_SHIFT};
	if (lib->turn) {
		if (!body_amount(m->c, lib->turn, DIM_ANGLE, &step->angle, &angle_doubt) ||
			!point_at(m, lib->about, &step->by, &doubt))
			return false;
		/* A point goes round a pivot that stands beside by at most twice as much. */
		m->doubt += 2 * doubt + angle_doubt * (m->reach + hypot(step->by.x, step->by.y));
	} else {
		if (!point_at(m, lib->shift, &step->by, &doubt))
			return false;
		m->doubt += doubt;
	}
	m->count++;
	return add_during(m, lib, step);
}

static const struct lib_motion *motion_with(const struct lib_type *type, const char *id)
{
	for (size_t i = 0; i < type->motion_count; i++)
		if (text_equal(type->motions[i].id, id))
			return &type->motions[i];
	return NULL;
}

/* The way of a point that another motion carries, at travels that hold every one at which its rate changes. */
struct followed {
	double travel[KNOTS];
	struct geo_point at[KNOTS];
	int count;
};

static int rising(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static bool carried(struct making *m, const struct lib_step *lib, struct geo_point p, struct followed *way)
{
	struct making other = {.c = m->c, .type = m->type, .reach = hypot(p.x, p.y), .depth = m->depth + 1};
	const struct lib_motion *with = lib->with ? motion_with(m->type, lib->with) : NULL;
	if (!with || other.depth > 4 || !make_motion(&other, with))
		return false;
	struct motion motion = {other.steps, other.count};
	way->count = 0;
	for (int i = 0; i < EVEN; i++)
		way->travel[way->count++] = (double)i / (EVEN - 1);
	for (size_t i = 0; i < other.count; i++)
		for (size_t k = 0; k < other.steps[i].knot_count && way->count < KNOTS; k++)
			way->travel[way->count++] = other.steps[i].knots[k].x;
	qsort(way->travel, (size_t)way->count, sizeof *way->travel, rising);
	for (int i = 0; i < way->count; i++)
		way->at[i] = motion_apply(&motion, p, way->travel[i]);
	m->doubt += other.doubt;
	return true;
}

/* m, by which a table of a follower may be off: part of its doubt. */
static const double TABLE_ERROR = 1e-4;

/* The farthest knot that a straight line from knot `i` reaches with every one between within `error` of it. */
static int farthest(const struct geo_point *k, int count, int i, double error)
{
	int j = i + 1;
	for (; j + 1 < count; j++)
		for (int m = i + 1; m <= j; m++) {
			double u = (k[m].x - k[i].x) / fmax(k[j + 1].x - k[i].x, 1e-12);
			if (fabs(k[i].y + u * (k[j + 1].y - k[i].y) - k[m].y) > error)
				return j;
		}
	return j;
}

/* Leaves out what a straight line says as well: fewer knots are fewer cells. */
static size_t thin_out(struct geo_point *k, int count, double error)
{
	size_t kept = 1;
	for (int i = 0; i + 1 < count;) {
		i = farthest(k, count, i, error);
		k[kept++] = k[i];
	}
	return kept;
}

/* `values`: f at even steps of travel. Angles are unwound, so that the table never jumps by a whole turn. */
static void add_table(struct making *m, enum motion_kind kind, struct geo_point by, const struct followed *way,
	const double values[KNOTS])
{
	struct geo_point *k = arena_array(m->c->arena, (size_t)way->count, sizeof *k);
	double turns = 0;
	for (int i = 0; i < way->count; i++) {
		if (i && kind == MOTION_TURN) {
			double jump = values[i] - values[i - 1];
			turns -= jump > M_PI ? 2 * M_PI : jump < -M_PI ? -2 * M_PI : 0;
		}
		k[i] = (struct geo_point){way->travel[i], values[i] - values[0] + turns};
	}
	size_t kept = thin_out(k, way->count, kind == MOTION_TURN ? TABLE_ERROR / fmax(m->reach, 1) : TABLE_ERROR);
	m->doubt += TABLE_ERROR;
	m->steps[m->count++] = (struct motion_step){.kind = kind, .by = by, .angle = kind == MOTION_TURN ? 1 : 0,
		.knots = k, .knot_count = kept};
}

static bool add_follower(struct making *m, const struct lib_step *lib)
{
	struct geo_point end, about;
	struct followed way;
	double doubt = 0, about_doubt = 0, angle[KNOTS] = {0}, length[KNOTS] = {0};
	const struct rule *const *point = lib->aim[0] ? lib->aim : lib->reach;
	if (!point_at(m, point, &end, &doubt) || !point_at(m, lib->about, &about, &about_doubt) ||
		!carried(m, lib, end, &way))
		return false;
	for (int i = 0; i < way.count; i++) {
		angle[i] = atan2(way.at[i].y - about.y, way.at[i].x - about.x);
		length[i] = hypot(way.at[i].x - about.x, way.at[i].y - about.y);
		if (length[i] < 1e-3)
			return false;
	}
	m->doubt += 2 * (doubt + about_doubt);
	struct geo_point along = {cos(angle[0]), sin(angle[0])};
	if (lib->reach[0])
		add_table(m, MOTION_SHIFT, along, &way, length);
	add_table(m, MOTION_TURN, about, &way, angle);
	return true;
}

/* The elbow of two arms between `from` and `to`: where their circles meet, on the side asked for. */
static bool elbow_at(struct geo_point from, struct geo_point to, double first, double second, double side,
	struct geo_point *out)
{
	double dx = to.x - from.x, dy = to.y - from.y, d = hypot(dx, dy);
	if (d < 1e-6 || d > first + second || d < fabs(first - second))
		return false;
	double u = (d * d + first * first - second * second) / (2 * d), v = sqrt(fmax(first * first - u * u, 0));
	*out = (struct geo_point){from.x + (u * dx - side * v * dy) / d, from.y + (u * dy + side * v * dx) / d};
	return true;
}

static bool add_link(struct making *m, const struct lib_step *lib)
{
	struct geo_point from, to, elbow;
	struct followed way;
	double from_doubt, to_doubt, first, second, unsure, angle[KNOTS] = {0}, x[KNOTS] = {0}, y[KNOTS] = {0};
	double side = text_equal(lib->elbow, "right") ? -1 : 1;
	bool upper = text_equal(lib->link, "upper");
	if (!point_at(m, lib->from, &from, &from_doubt) || !point_at(m, lib->to, &to, &to_doubt) ||
		!body_amount(m->c, lib->first, DIM_LENGTH, &first, &unsure) ||
		!body_amount(m->c, lib->second, DIM_LENGTH, &second, &unsure) || !carried(m, lib, to, &way))
		return false;
	for (int i = 0; i < way.count; i++) {
		if (!elbow_at(from, way.at[i], first, second, side, &elbow))
			return false;
		angle[i] = upper ? atan2(elbow.y - from.y, elbow.x - from.x)
				 : atan2(elbow.y - way.at[i].y, elbow.x - way.at[i].x);
		x[i] = way.at[i].x;
		y[i] = way.at[i].y;
	}
	m->doubt += 2 * (from_doubt + to_doubt);
	add_table(m, MOTION_TURN, upper ? from : to, &way, angle);
	if (!upper) {
		add_table(m, MOTION_SHIFT, (struct geo_point){1, 0}, &way, x);
		add_table(m, MOTION_SHIFT, (struct geo_point){0, 1}, &way, y);
	}
	return true;
}

static bool make_motion(struct making *m, const struct lib_motion *motion)
{
	m->steps = arena_array(m->c->arena, motion->step_count * 3, sizeof *m->steps);
	for (size_t i = 0; i < motion->step_count; i++) {
		const struct lib_step *s = &motion->steps[i];
		bool made = s->link ? add_link(m, s) : s->aim[0] || s->reach[0] ? add_follower(m, s) : add_plain(m, s);
		if (!made)
			return false;
	}
	return true;
}

bool body_motion(struct context *c, const struct lib_type *type, const struct lib_motion *motion, double reach,
	struct motion *out, double *doubt)
{
	struct making m = {.c = c, .type = type, .reach = reach};
	if (!make_motion(&m, motion))
		return false;
	*out = (struct motion){m.steps, m.count};
	*doubt = m.doubt;
	return true;
}
