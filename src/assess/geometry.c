#include "assess/geometry.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/bodies.h"

/* Parts of the travel, in whose middle it is looked how two bodies move against each other: closed or open, faces may
 * be parallel, and any point of them the nearest. */
enum { GLANCES = 48 };

static const double TOLERANCE = 1e-4;      /* m, of every clearance */
static const double LINE = 2e-3;           /* m, between knots where the gap only grows or shrinks */
static const double LEAST_CHANGE = 2e-4;   /* m, that counts as shrinking */
static const double LEAST_SLIDE = 0.01;    /* m, that two bodies pass each other before something is taken along */

struct glance;

struct pairing {
	struct context *c;
	const struct body_set *set;
	struct geometry *out;
	size_t room;
	double enters[CLEARANCE_PARTS], crush[CLEARANCE_PARTS]; /* m, the strict end; NAN: not known */
	double reach;              /* m above the ground, to which hazards count */
	double play, sag, over_opening, over_closing;
	double way, speed_opening, speed_closing; /* 0: not known */
	double across;             /* of the pair in hand: how far the two are apart across the view */
	struct glance *glances;    /* GLANCES, at the pair in hand */
};

/* How two bodies move against each other in the middle of a part of the travel, with the greatest
 * and the least gap in it; looked at only where they are near enough to hurt. */
struct glance {
	double travel, gap, least;
	bool near;
	struct clearance_rate rate;
};

static double length_on_record(const struct context *c, const char *path)
{
	const struct fact *f = record_fact(c->record, path);
	return fact_given(f) && f->kind == FIELD_QUANTITY ? f->quantity.high : 0;
}

static double limit_of_part(struct context *c, const char *id, const char *part, bool low)
{
	struct value argument = value_of_word(part), v = context_limit(c, id, &argument, 1, "geometry");
	return v.kind != VALUE_QUANTITY ? NAN : low ? v.quantity.low : v.quantity.high;
}

static void prepare(struct pairing *p)
{
	struct context *c = p->c;
	double unsure;
	for (size_t i = 0; i < CLEARANCE_PARTS; i++) {
		p->enters[i] = limit_of_part(c, "enters-gap", CLEARANCE_PART[i], true);
		p->crush[i] = limit_of_part(c, "crush-gap", CLEARANCE_PART[i], false);
	}
	p->reach = INFINITY;
	struct value v = context_limit(c, "reach-height", NULL, 0, "geometry");
	if (v.kind == VALUE_QUANTITY && fact_given(record_fact(c->record, "site.standing-height")))
		p->reach = v.quantity.high + length_on_record(c, "site.standing-height");
	p->play = length_on_record(c, "gate.play.sideways") + length_on_record(c, "gate.play.flex");
	p->sag = length_on_record(c, "gate.play.sag");
	p->over_opening = length_on_record(c, "drive.over-travel-opening");
	p->over_closing = length_on_record(c, "drive.over-travel-closing");
	p->speed_opening = length_on_record(c, "drive.speed-opening");
	p->speed_closing = length_on_record(c, "drive.speed-closing");
	if (!body_amount(c, c->record->type->travel, DIM_LENGTH, &p->way, &unsure))
		p->way = 0;
}

/* How far apart across the view; negative: how far they overlap there. */
static double apart_of(const struct geo_body *a, const struct geo_body *b)
{
	return fmax(b->low - a->high, a->low - b->high);
}

/* Rates at a travel where the gap is `gap`. Bodies that lie over each other in the view, one before the other, only
 * pass each other. */
static void past_each_other(const struct pairing *p, double gap, struct clearance_rate *rate)
{
	if (p->across <= 0 || gap > p->across + TOLERANCE)
		return;
	rate->past = hypot(rate->past, rate->along);
	rate->along = 0;
}

/* Between bodies of which one is low, only what is no thicker than that can be held. */
static unsigned parts_as_high(const struct pairing *p, const struct clearance_result *r, unsigned parts)
{
	double high = r->b && !r->a->elevation ? fmin(r->a->high + r->a->across_doubt, r->b->high + r->b->across_doubt)
						: INFINITY;
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (!isnan(p->enters[i]) && p->enters[i] > high)
			parts &= ~(1u << i);
	return parts;
}

/* ---- what a gap can do ------------------------------------------------------------------------- */

static unsigned parts_between(const struct pairing *p, double most, double least)
{
	unsigned parts = 0;
	for (size_t i = 0; i < CLEARANCE_PARTS; i++) {
		/* A size that the library does not tell may be the worst. */
		bool enters = isnan(p->enters[i]) || most > p->enters[i] + 1e-9;
		bool hurts = isnan(p->crush[i]) || least < p->crush[i] - 1e-9;
		parts |= enters && hurts ? 1u << i : 0;
	}
	return parts;
}

static double largest_crush(const struct pairing *p, unsigned parts)
{
	double most = 0;
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			most = fmax(most, isnan(p->crush[i]) ? CLEARANCE_FINE : p->crush[i]);
	return most;
}

static double speed_of(const struct pairing *p, const struct clearance_result *r, const struct clearance_stretch *s)
{
	double drive = s->opening ? p->speed_opening : p->speed_closing, rate = 0;
	for (size_t i = 1; i < r->knot_count; i++) {
		const struct clearance_knot *a = &r->knots[i - 1], *b = &r->knots[i];
		if (a->travel >= s->from && b->travel <= s->to && fmin(a->gap, b->gap) < CLEARANCE_FINE &&
			b->travel > a->travel)
			rate = fmax(rate, fabs(b->gap - a->gap) / (b->travel - a->travel));
	}
	return p->way > 0 ? rate * drive / p->way : 0;
}

/* Of a part that lies only partly in the stretch, unless its middle is where they have met. */
static bool glance_within(const struct glance *g, const struct clearance_stretch *s)
{
	double half = 0.5 / GLANCES;
	return g->travel + half > s->from && g->travel - half < s->to &&
	       (g->gap > 0 || (g->travel >= s->from && g->travel <= s->to));
}

/* Bodies come together along the line between them, or past each other: looked at wherever the gap is small enough to
 * hurt. One place where they do the one and one where they do the other make both; so does what cannot be told. */
static unsigned kinds_of(const struct pairing *p, const struct clearance_result *r, const struct clearance_stretch *s)
{
	double below = largest_crush(p, s->parts);
	bool open_work = r->a->open_work || (r->b && r->b->open_work);
	unsigned kinds = 0;
	for (size_t i = 0; i < GLANCES; i++) {
		const struct glance *g = &p->glances[i];
		if (!g->near || !glance_within(g, s) || g->least - r->doubt - s->over >= below)
			continue;
		double along = fabs(g->rate.along), past = fabs(g->rate.past);
		if (along >= past / 2)
			kinds |= CLEARANCE_CRUSHING;
		if (past > along / 2 || (past > along / 10 && open_work))
			kinds |= CLEARANCE_SHEARING;
	}
	/* What goes by before or behind something cuts like scissors, however it came there. */
	if (p->across > 0 && fmin(s->start, s->end) <= p->across + TOLERANCE)
		kinds |= CLEARANCE_SHEARING;
	return kinds ? kinds : CLEARANCE_CRUSHING | CLEARANCE_SHEARING;
}

static void judge_stretch(const struct pairing *p, struct clearance_result *r, struct clearance_stretch *s)
{
	s->over = s->opening ? (s->to >= 1 ? p->over_opening : 0) : (s->from <= 0 ? p->over_closing : 0);
	double most = fmax(s->start, s->end) + r->doubt, least = fmax(fmin(s->start, s->end) - r->doubt - s->over, 0);
	s->parts = parts_as_high(p, r, parts_between(p, most, least));
	if (!s->parts)
		return;
	s->speed = speed_of(p, r, s);
	s->kinds = r->b ? kinds_of(p, r, s) : CLEARANCE_CRUSHING;
	r->kinds |= s->kinds;
	r->parts |= s->parts;
}

/* What fits between in one part of the travel. A whole body or a head is not drawn in by what glides by. */
static unsigned taken_between(const struct pairing *p, const struct clearance_result *r, const struct glance *g)
{
	unsigned parts = parts_between(p, g->gap + r->doubt, fmax(g->gap - r->doubt, 0));
	return parts_as_high(p, r, parts) & ~(1u << 0 | 1u << 1);
}

/* Past each other, at a gap into which a part fits: it is taken along, or sheared off by what is open work. */
static void judge_sliding(const struct pairing *p, struct clearance_result *r)
{
	double slid = 0;
	unsigned parts = 0;
	for (size_t i = 0; i < GLANCES; i++) {
		struct glance g = p->glances[i];
		unsigned between = g.near ? taken_between(p, r, &g) : 0;
		past_each_other(p, g.gap, &g.rate);
		if (!between || fabs(g.rate.past) * 0.1 < fabs(g.rate.along))
			continue;
		slid += fabs(g.rate.past) / GLANCES;
		parts |= between;
	}
	if (slid < LEAST_SLIDE)
		return;
	r->slides = true;
	r->parts |= parts;
	r->kinds |= CLEARANCE_DRAWING_IN;
	if (r->a->open_work || (r->b && r->b->open_work))
		r->kinds |= CLEARANCE_SHEARING;
}

static void judge_clearance(const struct pairing *p, struct clearance_result *r, const struct moving_body *x,
	const struct moving_body *y)
{
	struct clearance_profile profile = {.knots = r->knots, .count = r->knot_count};
	struct clearance_stretch *stretches = NULL;
	double worst = INFINITY, at = r->least_at;
	r->stretch_count = clearance_stretches(p->c->arena, &profile, LEAST_CHANGE, &stretches);
	r->stretches = stretches;
	for (size_t i = 0; i < r->stretch_count; i++) {
		struct clearance_stretch *s = &stretches[i];
		judge_stretch(p, r, s);
		if (s->parts && fmin(s->start, s->end) < worst) {
			worst = fmin(s->start, s->end);
			at = s->start < s->end ? s->from : s->to;
		}
	}
	if (!y)
		return;
	judge_sliding(p, r);
	if (!r->kinds)
		return;
	struct geo_point on_x, on_y;
	clearance_at(p->c->arena, x, y, at, &on_x, &on_y);
	r->x = (on_x.x + on_y.x) / 2;
	r->y = (on_x.y + on_y.y) / 2;
}

/* ---- pairs ------------------------------------------------------------------------------------- */

static double bottom(const struct geo_body *b)
{
	double low = INFINITY;
	for (size_t i = 0; i < b->count; i++)
		low = fmin(low, b->points[i].y - b->doubt);
	return low;
}

/* Out of everybody's reach: what is nearest between the two lies wholly above. */
static bool out_of_reach(const struct pairing *p, const struct geo_body *a, const struct geo_body *b)
{
	if (a->elevation)
		return fmax(a->moves ? -INFINITY : bottom(a), b->moves ? -INFINITY : bottom(b)) > p->reach;
	double low_a = a->low - a->across_doubt, high_a = a->high - a->across_doubt;
	double low_b = b->low - b->across_doubt, high_b = b->high - b->across_doubt;
	/* Either may hang lower than measured. */
	return fmin(fmax(low_a, low_b), fmin(high_a, high_b)) - p->sag > p->reach;
}

static bool moves_against(const struct pairing *p, size_t i, size_t k)
{
	const struct geo_body *a = &p->set->bodies[i], *b = &p->set->bodies[k];
	if (a->elevation != b->elevation || a->drawn_only || b->drawn_only || !(a->moves || b->moves) ||
		!body_in_view(p->c->record->type, a->elevation))
		return false;
	/* Carried along together. */
	if (a->moves && b->moves && p->set->motions[i] == p->set->motions[k] && a->leaf == b->leaf)
		return false;
	return !out_of_reach(p, a, b);
}

static struct clearance_result *add_result(struct pairing *p, const struct geo_body *a, const struct geo_body *b)
{
	struct geometry *g = p->out;
	if (g->clearance_count == p->room) {
		size_t room = p->room ? p->room * 2 : 32;
		g->clearances = arena_grow(p->c->arena, g->clearances, g->clearance_count, room, sizeof *g->clearances);
		p->room = room;
	}
	struct clearance_result *r = &g->clearances[g->clearance_count++];
	bool two = b && a->leaf && b->leaf && a->leaf != b->leaf;
	const struct item *leaf = two ? NULL : a->leaf ? a->leaf : b ? b->leaf : NULL;
	*r = (struct clearance_result){.a = a, .b = b, .leaf = leaf, .least = CLEARANCE_FINE, .greatest = INFINITY};
	r->key = arena_format(p->c->arena, "%s~%s@%s", a->id, b ? b->id : "ground", leaf ? leaf->id : "gate");
	return r;
}

static void take_profile(struct clearance_result *r, const struct clearance_profile *profile)
{
	r->knots = profile->knots;
	r->knot_count = profile->count;
	r->least = profile->least;
	r->greatest = profile->greatest;
	r->least_at = profile->least_at;
	r->greatest_at = profile->greatest_at;
	r->doubt += fmax(profile->error - TOLERANCE, 0);
}

/* By the straight lines between the knots, of which `*k` goes along. */
static double gap_at(const struct clearance_result *r, double travel, size_t *k)
{
	while (*k + 1 < r->knot_count && r->knots[*k].travel < travel)
		++*k;
	const struct clearance_knot *a = &r->knots[*k - 1], *b = &r->knots[*k];
	double way = b->travel - a->travel;
	return way > 0 ? a->gap + (travel - a->travel) / way * (b->gap - a->gap) : fmin(a->gap, b->gap);
}

static void glance_over(struct pairing *p, const struct clearance_result *r, const struct moving_body *x,
	const struct moving_body *y, double near)
{
	double travels[GLANCES], before = r->knots[0].gap;
	struct clearance_rate rates[GLANCES];
	size_t n = 0, k = 1;
	p->glances = arena_array(p->c->arena, GLANCES, sizeof *p->glances);
	for (size_t i = 0; i < GLANCES; i++) {
		struct glance *g = &p->glances[i];
		size_t first = k;
		g->travel = ((double)i + 0.5) / GLANCES;
		g->gap = gap_at(r, g->travel, &k);
		double after = gap_at(r, ((double)i + 1) / GLANCES, &k);
		g->least = fmin(fmin(before, after), g->gap);
		for (; first < k; first++)
			g->least = fmin(g->least, r->knots[first].gap);
		g->near = g->least < near;
		before = after;
		if (g->near)
			travels[n++] = g->travel;
	}
	clearance_rates(p->c->arena, x, y, travels, n, rates);
	for (size_t i = GLANCES; i-- > 0;)
		if (p->glances[i].near)
			p->glances[i].rate = rates[--n];
}

/* The play of a leaf that turns is measured at its free end: nearer its pivot it is less, as the
 * radius. Taken where the radius of what comes near is greatest; never less than a tenth. */
static double play_share(const struct pairing *p, const struct moving_body *x, const struct moving_body *y)
{
	double far = 0, near = 0;
	if (x->motion.count != 1 || x->motion.steps->kind != MOTION_TURN || y->motion.count)
		return 1;
	struct geo_point pivot = x->motion.steps->by;
	for (size_t i = 0; i < x->count; i++)
		far = fmax(far, hypot(x->points[i].x - pivot.x, x->points[i].y - pivot.y));
	for (size_t i = 0; i < GLANCES; i++) {
		struct geo_point on = p->glances[i].rate.on_x;
		if (p->glances[i].near)
			near = fmax(near, hypot(on.x - pivot.x, on.y - pivot.y));
	}
	return far > 0 ? fmin(fmax(near / far, 0.1), 1) : 1;
}

/* Takes over whom a part of the first body can crush that the whole did not show. What passes the
 * end of a strip only passes where it was cut: shearing is told of the whole. */
static void take_part(struct pairing *p, struct clearance_result *r, struct clearance_result *part)
{
	unsigned crushed = 0;
	for (size_t i = 0; i < part->stretch_count; i++) {
		struct clearance_stretch *s = &part->stretches[i];
		s->kinds &= CLEARANCE_CRUSHING;
		crushed |= s->kinds ? s->parts : 0;
	}
	if (!crushed || ((r->kinds & CLEARANCE_CRUSHING) && !(crushed & ~r->parts)))
		return;
	struct clearance_stretch *all = arena_grow(p->c->arena, r->stretches, r->stretch_count,
		r->stretch_count + part->stretch_count, sizeof *all);
	for (size_t i = 0; i < part->stretch_count; i++)
		if (part->stretches[i].kinds)
			all[r->stretch_count++] = part->stretches[i];
	r->stretches = all;
	r->kinds |= CLEARANCE_CRUSHING;
	r->parts |= crushed;
	r->x = part->x;
	r->y = part->y;
}

/* A leaf that turns may be near a wall at its hinge all the way, and still close on it with its
 * free end: it is looked at in strips. Only against what stands around: its own piers and drive are
 * described beside their place. */
static void judge_strips(struct pairing *p, struct clearance_result *r, const struct moving_body *x,
	const struct moving_body *y)
{
	enum { STRIPS_MAX = 8 };
	double from = INFINITY, to = -INFINITY;
	if (!r->b->item || x->motion.count != 1 || x->motion.steps->kind != MOTION_TURN || y->motion.count)
		return;
	for (size_t i = 0; i < x->count; i++) {
		from = fmin(from, x->points[i].x);
		to = fmax(to, x->points[i].x);
	}
	unsigned all = parts_as_high(p, r, (1u << CLEARANCE_PARTS) - 1);
	int count = r->kinds & CLEARANCE_CRUSHING && !(all & ~r->parts)
			    ? 0
			    : (int)fmin(ceil((to - from) / 0.4), STRIPS_MAX);
	double near = CLEARANCE_FINE + r->doubt + fmax(p->over_opening, p->over_closing);
	for (int i = 0; count > 1 && i < count; i++) {
		struct geo_point *points;
		struct moving_body strip = {.motion = x->motion};
		double width = (to - from) / count;
		strip.count = body_strip(p->c->arena, x, from + i * width, from + (i + 1) * width, &points);
		strip.points = points;
		if (strip.count < 3 || !clearance_may_come_near(&strip, y, p->across, near))
			continue;
		struct clearance_result part = *r;
		struct clearance_profile profile = clearance_outline(p->c->arena, &strip, y,
			p->across, TOLERANCE, LINE, CLEARANCE_FINE + r->doubt);
		take_profile(&part, &profile);
		glance_over(p, &part, &strip, y, near);
		part.kinds = part.parts = 0;
		part.stretch_count = 0;
		judge_clearance(p, &part, &strip, y);
		take_part(p, r, &part);
	}
}

/* Each of two leaves has play and sag of its own. */
static double loose(const struct geo_body *a, const struct geo_body *b)
{
	return a->moves && b->moves && a->leaf != b->leaf ? 2 : 1;
}

/* By how much the two may be nearer to each other, or farther, across the view than `apart_of` tells. */
static double across_doubt(const struct pairing *p, const struct geo_body *a, const struct geo_body *b)
{
	return a->across_doubt + b->across_doubt + loose(a, b) * (a->elevation ? p->play : p->sag);
}

static void measure(struct pairing *p, struct clearance_result *r, const struct moving_body *x,
	const struct moving_body *y, double across, double unsure)
{
	double times = loose(r->a, r->b), near = CLEARANCE_FINE + r->doubt + times * (p->play + p->sag);
	p->across = across;
	if (!clearance_may_come_near(x, y, across, near + unsure + fmax(p->over_opening, p->over_closing)))
		return;
	struct clearance_profile profile = clearance_outline(p->c->arena, x, y, across, TOLERANCE, LINE, near + unsure);
	take_profile(r, &profile);
	glance_over(p, r, x, y, near + unsure + fmax(p->over_opening, p->over_closing));
	r->doubt += times * (r->a->elevation ? p->sag : p->play * play_share(p, x, y));
	if (across > 0)
		r->doubt += unsure;
	judge_clearance(p, r, x, y);
	judge_strips(p, r, x, y);
}

/* The worse of two looks; what is said at one travel alone is asked of both. */
static void take_extremes(struct clearance_result *r, const struct clearance_result *other)
{
	r->otherwise = other;
	if (!other->knot_count)
		return;
	r->doubt = fmax(r->doubt, other->doubt);
	if (!r->knot_count || other->least < r->least) {
		r->least = other->least;
		r->least_at = other->least_at;
	}
	if (!r->knot_count || other->greatest > r->greatest) {
		r->greatest = other->greatest;
		r->greatest_at = other->greatest_at;
	}
}

/* Whether one passes before the other or runs into it cannot be told: both are looked at. */
static void measure_otherwise(struct pairing *p, struct clearance_result *r, const struct moving_body *x,
	const struct moving_body *y, double apart, double unsure)
{
	struct clearance_result *look = arena_alloc(p->c->arena, sizeof *look);
	*look = (struct clearance_result){.key = r->key, .a = r->a, .b = r->b, .leaf = r->leaf, .least = r->least,
		.greatest = r->greatest, .doubt = r->a->doubt + r->b->doubt};
	double half = (apart + unsure) / 2;
	measure(p, look, x, y, apart > 0 ? 0 : half, apart > 0 ? 0 : half);
	const struct clearance_result other = *look;
	take_extremes(r, look);
	if (!other.kinds)
		return;
	struct clearance_stretch *all = arena_grow(p->c->arena, r->stretches, r->stretch_count,
		r->stretch_count + other.stretch_count, sizeof *all);
	for (size_t i = 0; i < other.stretch_count; i++)
		if (other.stretches[i].kinds)
			all[r->stretch_count++] = other.stretches[i];
	r->stretches = all;
	r->slides = r->slides || other.slides;
	r->kinds |= other.kinds;
	r->parts |= other.parts;
	if (r->knot_count)
		return;
	r->knots = other.knots;
	r->knot_count = other.knot_count;
	r->x = other.x;
	r->y = other.y;
}

static void compute_pair(struct pairing *p, size_t i, size_t k)
{
	size_t first = p->set->bodies[i].moves ? i : k, second = first == i ? k : i;
	const struct geo_body *a = &p->set->bodies[first], *b = &p->set->bodies[second];
	const struct moving_body *x = &p->set->moving[first], *y = &p->set->moving[second];
	double apart = apart_of(a, b), unsure = across_doubt(p, a, b);
	struct clearance_result *r = add_result(p, a, b);
	r->doubt = a->doubt + b->doubt;
	measure(p, r, x, y, fmax(apart, 0), unsure);
	if (fabs(apart) < unsure)
		measure_otherwise(p, r, x, y, apart, unsure);
}

static const struct geo_body *body_called(const struct body_set *set, const char *id, const struct item *leaf)
{
	for (size_t i = 0; i < set->count; i++)
		if (text_equal(set->bodies[i].id, id) && set->bodies[i].leaf == leaf && set->bodies[i].moves)
			return &set->bodies[i];
	return NULL;
}

/* The underside over the ground, at the free end of one leaf. A second leaf stands the other way round on the slope. */
static void compute_underside(struct pairing *p, const struct lib_underside *lib, const struct item *leaf, size_t order)
{
	struct context *c = p->c;
	struct underside u;
	struct body_scope scope;
	double d[6] = {0};
	const struct geo_body *body = body_called(p->set, "leaf", leaf);
	if (!body)
		return;
	body_scope_begin(c, &scope, leaf, order);
	bool known = body_amount(c, lib->height, DIM_LENGTH, &u.height, &d[0]) &&
		body_amount(c, lib->rise, DIM_LENGTH, &u.rise, &d[1]) &&
		body_amount(c, lib->radius, DIM_LENGTH, &u.radius, &d[2]) &&
		body_amount(c, lib->angle, DIM_ANGLE, &u.angle, &d[3]) &&
		body_amount(c, lib->along, DIM_NUMBER, &u.along, &d[4]) &&
		body_amount(c, lib->across, DIM_NUMBER, &u.across, &d[5]);
	body_scope_end(c, &scope);
	if (!known)
		return;
	double steep = hypot(u.along, u.across);
	if (order == 2 && c->record->type->mirror)
		u.along = -u.along;
	struct clearance_result *r = add_result(p, body, NULL);
	r->doubt = d[0] + d[1] + 2 * steep * d[2] + steep * u.radius * d[3] + 2 * u.radius * (d[4] + d[5]) + p->sag;
	struct clearance_profile profile = clearance_underside(c->arena, &u, TOLERANCE);
	take_profile(r, &profile);
	judge_clearance(p, r, NULL, NULL);
	r->x = body->points[0].x;
	r->y = body->points[0].y;
}

static void compute_undersides(struct pairing *p)
{
	const struct lib_type *type = p->c->record->type;
	const struct item_list *leaves = record_list(p->c->record, "gate.leaves");
	for (size_t i = 0; type->underside_count && i < leaves->count && i < BODY_LEAVES; i++)
		compute_underside(p, type->underside, &leaves->items[i], i + 1);
	if (type->underside_count && !leaves->count)
		compute_underside(p, type->underside, NULL, 1);
}

static int by_key(const void *x, const void *y)
{
	const struct clearance_result *a = x, *b = y;
	return strcmp(a->key, b->key);
}

/* A gate of another number of leaves is of another type. */
static void check_leaves(struct context *c)
{
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	double due, unsure;
	if (!leaves->count || !body_amount(c, c->record->type->leaves, DIM_NUMBER, &due, &unsure) ||
		(double)leaves->count == due)
		return;
	point_out_with(c, FINDING_CODE_LEAVES_COUNT, "gate.leaves", leaves->at, "wanted",
		arena_format(c->arena, "%g", due));
}

/* What makes a gap smaller or larger by nobody knows how much. */
static bool is_vague(const struct context *c)
{
	static const char *const PATHS[] = {"gate.play.sideways", "gate.play.flex", "gate.play.sag",
		"drive.over-travel-opening", "drive.over-travel-closing", "gate.ground.slope", "gate.ground.across"};
	for (size_t i = 0; i < sizeof PATHS / sizeof *PATHS; i++)
		if (!fact_given(record_fact(c->record, PATHS[i])))
			return true;
	return false;
}

/* What cannot be placed comes near nobody knows what. */
static void tell_missing(struct context *c, const struct body_set *set)
{
	struct buf names;
	buf_init(&names, c->arena);
	for (size_t i = 0; i < set->left_out; i++)
		if (!set->missing[i].drawn_only &&
			(set->missing[i].item || body_in_view(c->record->type, set->missing[i].elevation)))
			buf_format(&names, "%s%s", names.length ? ", " : "", set->missing[i].name);
	if (names.length)
		point_out_with(c, FINDING_CODE_BODIES_LEFT_OUT, "gate.dimensions",
			record_list(c->record, "gate.leaves")->at, "bodies", names.bytes);
}

void assess_geometry(struct context *c)
{
	if (!c->record->type)
		return;
	struct geometry *g = arena_alloc(c->arena, sizeof *g);
	struct body_set *set = arena_alloc(c->arena, sizeof *set);
	*set = bodies_build(c);
	bodies_pose(c, set, g);
	g->bodies = set->bodies;
	g->body_count = set->count;
	g->missing = set->missing;
	g->left_out = set->left_out;
	g->vague = is_vague(c);
	struct pairing p = {.c = c, .set = set, .out = g};
	prepare(&p);
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		g->crush[i] = p.crush[i];
	for (size_t i = 0; i < set->count; i++)
		for (size_t k = i + 1; k < set->count; k++)
			if (moves_against(&p, i, k))
				compute_pair(&p, i, k);
	compute_undersides(&p);
	check_leaves(c);
	tell_missing(c, set);
	if (g->clearance_count)
		qsort(g->clearances, g->clearance_count, sizeof *g->clearances, by_key);
	c->result->geometry = g;
}
