/* What the clearances say to rules, and in which zone each is dealt with. */
#include "assess/geometry.h"

#include <math.h>
#include <string.h>

/* ---- in rules ---------------------------------------------------------------------------------- */

static bool is_body(const struct geo_body *b, const char *word)
{
	return b ? text_equal(b->id, word) || text_equal(b->role, word) : text_equal(word, "ground");
}

static bool is_pair(const struct clearance_result *r, const char *a, const char *b)
{
	return (is_body(r->a, a) && is_body(r->b, b)) || (is_body(r->a, b) && is_body(r->b, a));
}

bool body_in_view(const struct lib_type *type, bool elevation)
{
	if (!type->clearance.count)
		return !elevation;
	return words_have(type->clearance, elevation ? "elevation" : "plan");
}

static struct value around(double gap, double doubt)
{
	struct quantity q = {gap, fmax(gap - doubt, 0), gap + doubt, DIM_LENGTH};
	return value_of_quantity(q);
}

/* The greatest gap from which it then shrinks, or the least to which it shrinks. */
static double shrinking(const struct clearance_result *r, bool entry)
{
	double found = entry ? 0 : r->least;
	for (size_t i = 0; i < r->stretch_count; i++)
		found = entry ? fmax(found, fmax(r->stretches[i].start, r->stretches[i].end))
			      : fmin(found, fmin(r->stretches[i].start, r->stretches[i].end));
	return found;
}

/* How much farther the two may come together where the movement ends: at one end of the travel, or at any. */
static double over_at(const struct clearance_result *r, bool closed, bool open)
{
	double over = 0;
	for (size_t i = 0; i < r->stretch_count; i++)
		if (r->stretches[i].opening ? open : closed)
			over = fmax(over, r->stretches[i].over);
	return over;
}

static struct value less_by(struct value v, double over)
{
	v.quantity.low = fmax(v.quantity.low - over, 0);
	return v;
}

static struct value one_value(const struct clearance_result *r, const char *what)
{
	/* Never nearer than that: how far apart does not matter. */
	if (!r->knot_count)
		return value_of_quantity((struct quantity){CLEARANCE_FINE, CLEARANCE_FINE, 1e3, DIM_LENGTH});
	if (text_equal(what, "least"))
		return less_by(around(r->least, r->doubt), over_at(r, true, true));
	if (text_equal(what, "greatest"))
		return around(r->greatest, r->doubt);
	if (text_equal(what, "closed"))
		return less_by(around(r->knots[0].gap, r->doubt), over_at(r, true, false));
	if (text_equal(what, "open"))
		return less_by(around(r->knots[r->knot_count - 1].gap, r->doubt), over_at(r, false, true));
	if (text_equal(what, "end"))
		return less_by(around(shrinking(r, false), r->doubt), over_at(r, true, true));
	if (!text_equal(what, "entry"))
		return value_unknown();
	double entry = shrinking(r, true);
	return around(entry, entry > 0 ? r->doubt : 0);
}

struct value clearance_value(const struct context *c, const struct clearance_result *r, const char *what)
{
	if (c->result->geometry && c->result->geometry->vague)
		return value_unknown();
	struct value v = one_value(r, what), w = r->otherwise ? one_value(r->otherwise, what) : v;
	if (v.kind != VALUE_QUANTITY)
		return v;
	v.quantity.low = fmin(v.quantity.low, w.quantity.low);
	v.quantity.high = fmax(v.quantity.high, w.quantity.high);
	return v;
}

/* Of several pairs the worst: what gets in by the greatest gap, everything else by the least. */
static bool is_worse(const char *what, struct value v, struct value worst)
{
	bool most = text_equal(what, "entry") || text_equal(what, "greatest");
	return most ? v.quantity.high > worst.quantity.high : v.quantity.low < worst.quantity.low;
}

/* Whether something that could not be placed is one of the two. */
static bool is_missing(const struct context *c, const struct item *leaf, const char *a, const char *b)
{
	const struct geometry *g = c->result->geometry;
	for (size_t i = 0; i < g->left_out; i++) {
		const struct geo_body *m = &g->missing[i];
		if (!m->drawn_only && (!leaf || !m->leaf || m->leaf == leaf) &&
			(m->item || body_in_view(c->record->type, m->elevation)) && (is_body(m, a) || is_body(m, b)))
			return true;
	}
	return false;
}

struct value geometry_value(const struct context *c, const char *a, const char *b, const char *what)
{
	const struct geometry *g = c->result->geometry;
	const struct item *leaf = c->zone ? c->zone->leaf : NULL;
	struct value worst = value_unknown();
	bool own = false;
	if (g && is_missing(c, leaf, a, b))
		return value_unknown();
	for (size_t i = 0; leaf && g && i < g->clearance_count; i++)
		own = own || (g->clearances[i].leaf == leaf && is_pair(&g->clearances[i], a, b));
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		/* What a leaf has to do with its own parts comes before what it has to do with those of the other. */
		if ((leaf && r->leaf && r->leaf != leaf) || (own && r->leaf != leaf) || !is_pair(r, a, b))
			continue;
		struct value v = clearance_value(c, r, what);
		if (v.kind == VALUE_QUANTITY && (worst.kind != VALUE_QUANTITY || is_worse(what, v, worst)))
			worst = v;
	}
	return worst;
}

/* ---- where it is dealt with -------------------------------------------------------------------- */

static const struct {
	const char *word;
	unsigned bit;
} KINDS[] = {{"crushing", CLEARANCE_CRUSHING}, {"shearing", CLEARANCE_SHEARING}, {"drawing-in", CLEARANCE_DRAWING_IN}};

unsigned clearance_kind_of(const char *word)
{
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		if (text_equal(KINDS[i].word, word))
			return KINDS[i].bit;
	return 0;
}

static bool covers(const struct context *c, const struct zone_result *z, const struct clearance_result *r)
{
	if (z->clearance || (z->leaf && r->leaf && z->leaf != r->leaf))
		return false;
	for (size_t i = 0; i < z->zone->covers.count; i++) {
		const char *pair = z->zone->covers.items[i], *mark = strchr(pair, '~');
		if (mark && is_pair(r, arena_copy(c->arena, pair, (size_t)(mark - pair)), mark + 1))
			return true;
	}
	return false;
}

unsigned geometry_listed(struct context *c, struct clearance_result *r)
{
	unsigned left = r->kinds;
	for (size_t i = 0; r->kinds && i < c->result->zone_count; i++) {
		const struct zone_result *z = &c->result->zones[i];
		if (!covers(c, z, r))
			continue;
		for (size_t k = 0; k < z->hazard_count; k++)
			left &= ~clearance_kind_of(z->hazards[k].hazard->kind);
		if (!r->listed)
			r->listed = z->key;
	}
	r->own = left;
	return left;
}

const struct clearance_result *geometry_finds(const struct context *c, const struct zone_result *z, const char *kind)
{
	const struct geometry *g = c->result->geometry;
	unsigned bit = clearance_kind_of(kind);
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		if (z->clearance ? z->clearance == r && r->own & bit : r->kinds & bit && covers(c, z, r))
			return r;
	}
	return NULL;
}
