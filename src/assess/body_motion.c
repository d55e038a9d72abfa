/* Motions of a type as chains of rigid steps. Rams and arms follow the leaf by tables of angles. */
#include <math.h>
#include <stdlib.h>

#include "assess/bodies.h"

enum { CARRIED_DEEPEST = 4 }; /* a motion with another with another … */

struct making {
	struct context *c;
	const struct lib_type *type;
	const struct geo_point *points; /* that move, where they are when closed */
	size_t point_count;
	double doubt;
	struct motion_step *steps;
	size_t count;
	int depth;
};

static bool make_motion(struct making *m, const struct lib_motion *motion);

/* How far from a place anything that moves can be: as it stands closed; after a step, as far as it
 * is from the origin. */
static double reach_about(const struct making *m, struct geo_point place)
{
	double far = 0, reach = 0;
	for (size_t i = 0; i < m->point_count; i++) {
		far = fmax(far, hypot(m->points[i].x - place.x, m->points[i].y - place.y));
		reach = fmax(reach, hypot(m->points[i].x, m->points[i].y));
	}
	return m->count ? reach + hypot(place.x, place.y) : far;
}

static bool point_at(
	struct making *m, const struct rule *const r[2], struct geo_point *out, double *doubt)
{
	double dx, dy;
	if (!body_amount(m->c, r[0], DIM_LENGTH, &out->x, &dx) ||
		!body_amount(m->c, r[1], DIM_LENGTH, &out->y, &dy))
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
		m->doubt += 2 * doubt + angle_doubt * reach_about(m, step->by);
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

/* m, by which a table of a follower may be off: part of its doubt. A quarter of it is left to where
 * it is sampled. */
static const double TABLE_ERROR = 1e-4;

/* A point `end` that another motion carries, and what has to reach it from `from`: a ram straight,
 * two arms by an elbow. Of what hangs on the point, the angle is told against its carrier. */
struct follower {
	struct motion carrier;
	struct geo_point end, from;
	bool arms, upper, hung;
	double first, second,
		side; /* of the arms; side 1: the elbow is left of the line to the point */
};

/* The elbow of two arms between `from` and `to`: where their circles meet, on the side asked for.
 */
static bool elbow_at(const struct follower *f, struct geo_point to, struct geo_point *out)
{
	double dx = to.x - f->from.x, dy = to.y - f->from.y, d = hypot(dx, dy);
	if (d < 1e-6 || d > f->first + f->second || d < fabs(f->first - f->second))
		return false;
	double u = (d * d + f->first * f->first - f->second * f->second) / (2 * d);
	double v = f->side * sqrt(fmax(f->first * f->first - u * u, 0));
	*out = (struct geo_point){
		f->from.x + (u * dx - v * dy) / d, f->from.y + (u * dy + v * dx) / d};
	return true;
}

/* Its angle at one travel. */
static bool follow(const struct follower *f, double t, double *angle)
{
	struct geo_point to = motion_apply(&f->carrier, f->end, t), elbow;
	*angle = atan2(to.y - f->from.y, to.x - f->from.x);
	if (f->arms) {
		if (!elbow_at(f, to, &elbow))
			return false;
		*angle = f->upper ? atan2(elbow.y - f->from.y, elbow.x - f->from.x)
				  : atan2(elbow.y - to.y, elbow.x - to.x);
	} else if (hypot(to.x - f->from.x, to.y - f->from.y) < 1e-3) {
		return false;
	}
	*angle -= f->hung ? motion_angle(&f->carrier, t) : 0;
	return true;
}

/* Where the angle of a follower is known: travels so near each other that a straight line
 * between them is true. */
struct sample {
	double t, angle;
};

struct sampling {
	struct arena *arena;
	const struct follower *follower;
	double radius; /* m, at which an angle counts */
	struct sample *samples;
	size_t count, room;
	double error; /* m, the most by which it is off where it was looked at */
};

static void keep(struct sampling *s, struct sample x)
{
	if (s->count == s->room) {
		size_t room = s->room ? 2 * s->room : 128;
		s->samples = arena_grow(s->arena, s->samples, s->count, room, sizeof *s->samples);
		s->room = room;
	}
	s->samples[s->count++] = x;
}

/* The sample at `t`, its angle within half a turn of the one before. */
static bool sample_at(
	const struct sampling *s, double t, const struct sample *before, struct sample *out)
{
	out->t = t;
	if (!follow(s->follower, t, &out->angle))
		return false;
	if (before)
		out->angle = before->angle + remainder(out->angle - before->angle, 2 * M_PI);
	return true;
}

/* Keeps what is needed after `a` up to `b`. The first halvings look whether it is straight at all.
 */
static bool sample_between(struct sampling *s, struct sample a, double to, int depth)
{
	enum { LOOK = 2, DEEPEST = 12 };
	struct sample middle, b;
	double t = (a.t + to) / 2;
	if (!sample_at(s, t, &a, &middle) || !sample_at(s, to, &middle, &b))
		return false;
	double error = fabs(middle.angle - (a.angle + b.angle) / 2) * s->radius;
	if (depth < LOOK || (error > TABLE_ERROR / 4 && depth < DEEPEST))
		return sample_between(s, a, t, depth + 1) &&
		       sample_between(s, s->samples[s->count - 1], to, depth + 1);
	s->error = fmax(s->error, error);
	keep(s, middle);
	keep(s, b);
	return true;
}

static int rising(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

/* Even steps, and every travel at which the rate of the carrier changes. */
static bool sample_all(struct sampling *s)
{
	enum { EVEN = 16 };
	const struct motion *carrier = &s->follower->carrier;
	size_t count = EVEN + 1;
	struct sample first;
	for (size_t i = 0; i < carrier->count; i++)
		count += carrier->steps[i].knot_count;
	double *travels = arena_array(s->arena, count, sizeof *travels);
	count = 0;
	for (int i = 0; i <= EVEN; i++)
		travels[count++] = (double)i / EVEN;
	for (size_t i = 0; i < carrier->count; i++)
		for (size_t k = 0; k < carrier->steps[i].knot_count; k++)
			travels[count++] = carrier->steps[i].knots[k].x;
	qsort(travels, count, sizeof *travels, rising);
	if (!sample_at(s, 0, NULL, &first))
		return false;
	keep(s, first);
	for (size_t i = 1; i < count; i++)
		if (travels[i] > travels[i - 1] &&
			!sample_between(s, s->samples[s->count - 1], travels[i], 0))
			return false;
	return true;
}

static bool carry(struct making *m, const struct lib_step *lib, struct follower *f)
{
	struct making other = {.c = m->c,
		.type = m->type,
		.points = &f->end,
		.point_count = 1,
		.depth = m->depth + 1};
	const struct lib_motion *with = lib->with ? motion_with(m->type, lib->with) : NULL;
	if (!with || other.depth > CARRIED_DEEPEST || !make_motion(&other, with))
		return false;
	f->carrier = (struct motion){other.steps, other.count};
	m->doubt += other.doubt;
	return true;
}

/* The farthest knot that a straight line from knot `i` reaches with every one between within
 * `error` of it. */
static size_t farthest(const struct geo_point *k, size_t count, size_t i, double error)
{
	size_t j = i + 1;
	for (; j + 1 < count; j++)
		for (size_t m = i + 1; m <= j; m++) {
			double u = (k[m].x - k[i].x) / fmax(k[j + 1].x - k[i].x, 1e-12);
			if (fabs(k[i].y + u * (k[j + 1].y - k[i].y) - k[m].y) > error)
				return j;
		}
	return j;
}

/* Leaves out what a straight line says as well: fewer knots are fewer cells. */
static size_t thin_out(struct geo_point *k, size_t count, double error)
{
	size_t kept = 1;
	for (size_t i = 0; i + 1 < count;) {
		i = farthest(k, count, i, error);
		k[kept++] = k[i];
	}
	return kept;
}

static void add_table(struct making *m, const struct sampling *s, struct geo_point about)
{
	struct geo_point *k = arena_array(m->c->arena, s->count, sizeof *k);
	for (size_t i = 0; i < s->count; i++)
		k[i] = (struct geo_point){s->samples[i].t, s->samples[i].angle - s->samples[0].angle};
	size_t kept = thin_out(k, s->count, 0.75 * TABLE_ERROR / s->radius);
	m->doubt += 0.75 * TABLE_ERROR + s->error;
	m->steps[m->count++] = (struct motion_step){
		.kind = MOTION_TURN, .by = about, .angle = 1, .knots = k, .knot_count = kept};
}

static struct sampling sampling_about(
	const struct making *m, const struct follower *f, struct geo_point pivot)
{
	return (struct sampling){
		.arena = m->c->arena, .follower = f, .radius = fmax(reach_about(m, pivot), 0.1)};
}

/* What hangs on the carried point turns about it as it stands closed, less what it is carried round by, and then is
 * carried: so against the carrier itself hardly anything moves. */
static bool hang_on(struct making *m, struct follower *f)
{
	struct sampling s = sampling_about(m, f, f->end);
	f->hung = true;
	if (!sample_all(&s))
		return false;
	add_table(m, &s, f->end);
	for (size_t i = 0; i < f->carrier.count; i++)
		m->steps[m->count++] = f->carrier.steps[i];
	return true;
}

static bool turn_about_from(struct making *m, struct follower *f)
{
	struct sampling s = sampling_about(m, f, f->from);
	if (!sample_all(&s))
		return false;
	add_table(m, &s, f->from);
	return true;
}

static bool add_follower(struct making *m, const struct lib_step *lib)
{
	struct follower f = {.arms = false};
	double doubt = 0, about_doubt = 0;
	const struct rule *const *point = lib->aim[0] ? lib->aim : lib->reach;
	if (!point_at(m, point, &f.end, &doubt) ||
		!point_at(m, lib->about, &f.from, &about_doubt) || !carry(m, lib, &f))
		return false;
	m->doubt += 2 * (doubt + about_doubt);
	return lib->reach[0] ? hang_on(m, &f) : turn_about_from(m, &f);
}

static bool add_link(struct making *m, const struct lib_step *lib)
{
	struct follower f = {.arms = true,
		.upper = text_equal(lib->link, "upper"),
		.side = text_equal(lib->elbow, "right") ? -1 : 1};
	double from_doubt, to_doubt, first_doubt, second_doubt;
	if (!point_at(m, lib->from, &f.from, &from_doubt) ||
		!point_at(m, lib->to, &f.end, &to_doubt) ||
		!body_amount(m->c, lib->first, DIM_LENGTH, &f.first, &first_doubt) ||
		!body_amount(m->c, lib->second, DIM_LENGTH, &f.second, &second_doubt) ||
		!carry(m, lib, &f))
		return false;
	m->doubt += 2 * (from_doubt + to_doubt + first_doubt + second_doubt);
	return f.upper ? turn_about_from(m, &f) : hang_on(m, &f);
}

/* A step that hangs on another motion brings the steps of that motion with it. */
static size_t steps_of(const struct lib_type *type, const struct lib_motion *motion, int depth)
{
	size_t count = 0;
	for (size_t i = 0; depth <= CARRIED_DEEPEST && i < motion->step_count; i++) {
		const struct lib_motion *with = motion->steps[i].with ? motion_with(type, motion->steps[i].with) : NULL;
		count += 1 + (with ? steps_of(type, with, depth + 1) : 0);
	}
	return count;
}

static bool make_motion(struct making *m, const struct lib_motion *motion)
{
	m->steps = arena_array(m->c->arena, steps_of(m->type, motion, m->depth), sizeof *m->steps);
	for (size_t i = 0; i < motion->step_count; i++) {
		const struct lib_step *s = &motion->steps[i];
		bool made = s->link                    ? add_link(m, s)
			    : s->aim[0] || s->reach[0] ? add_follower(m, s)
						       : add_plain(m, s);
		if (!made)
			return false;
	}
	return true;
}

bool body_motion(struct context *c, const struct lib_type *type, const struct lib_motion *motion,
	const struct geo_body *body, struct motion *out, double *doubt)
{
	struct making m = {.c = c, .type = type, .points = body->points, .point_count = body->count};
	if (!make_motion(&m, motion))
		return false;
	*out = (struct motion){m.steps, m.count};
	*doubt = m.doubt;
	return true;
}
