/* The pocket book: how far a danger must stand behind an opening or a barrier, and which gaps a leaf may leave. */
#include "assess/reckoner.h"

#include <math.h>

#include "calc/distance.h"

#define MM 1000.0

/* --- reach-through, reach-limb --------------------------------------------------------------------- */

#define OPENING_KEYS \
	{.name = "shape", .kind = RECKON_WORD, .choices = "slot|square|round", .needed = FORM_1}, \
	{.name = "opening", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1, \
		.worse = WORSE_HIGHER}

#define SLOT_LENGTH {.name = "length", .dim = &DIM_LENGTH, .low = "0 mm", .high = "100 m", .worse = WORSE_HIGHER}

static const struct reckon_key THROUGH_KEYS[] = {
	OPENING_KEYS,
	{.name = "age", .kind = RECKON_WORD, .choices = "14|3", .needed = FORM_1},
	SLOT_LENGTH,
};

static const struct reckon_key LIMB_KEYS[] = {OPENING_KEYS, SLOT_LENGTH};

static const struct reckon_result_key REACH_RESULTS[] = {{"distance_mm", WORSE_HIGHER}};

/* No distance keeps a person out who can walk or climb through, and none is printed beyond the table. */
static bool opening_in_table(struct reckoning_run *r, const char *table, double opening)
{
	const struct lib_grid *g = run_grid(r, table);
	double body;
	if (!g || !run_term(r, "body-openings", run_word(r, "shape"), &body))
		return false;
	const struct grid_axis *axis = &g->grid.axes[0];
	double most = axis->at[axis->count - 1];
	bool whole = !distance_within(opening, body);
	r->source = NULL; /* only asked, and nothing decided by it */
	if (!whole && distance_within(opening, most))
		return true;
	run_refuse(r, whole ? "whole-body" : "too-large");
	run_refuse_text(r, "most", figure_text(r->arena, fmin(most, body) * MM));
	run_refuse_text(r, "body", figure_text(r->arena, body * MM));
	return false;
}

/* Whether the standard has a smaller value for a short slot of this size: decides what is said, not the distance. */
static bool short_slot(struct reckoning_run *r, const char *limit, double opening)
{
	struct grid_key above[] = {grid_word(limit), grid_word("above")};
	struct grid_key most[] = {grid_word(limit), grid_word("up-to")};
	struct grid_hit low, high;
	bool known = run_look(r, "short-slots", above, &low) && run_look(r, "short-slots", most, &high);
	r->source = NULL;
	return known && !distance_within(opening, low.low) && distance_within(opening, high.high);
}

/* The length of a slot counts only where it was given, and not where children are. */
static void reach_opening(struct reckoning_run *r, const char *limit, const char *table, bool child)
{
	double opening = run_si(r, "opening"), distance;
	bool slot = text_equal(run_word(r, "shape"), "slot"), length = run_has(r, "length");
	if (length && (!slot || !distance_within(opening, run_si(r, "length")))) {
		run_refuse(r, slot ? "length-short" : "length-slot");
		return;
	}
	if (!opening_in_table(r, table, opening))
		return;
	struct value arguments[3] = {run_length(opening), value_of_word(run_word(r, "shape")),
		length ? run_length(run_si(r, "length")) : value_unknown()};
	if (length && !child)
		r->context->edition = "short-slot";
	if (!run_limit(r, limit, arguments, 3, &distance))
		return;
	run_step(r, "reach-opening", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "opening", opening);
	run_text(r, "shape", run_word(r, "shape"));
	run_figure_mm(r, "distance", distance);
	run_number(r, "distance_mm", distance * MM);
	run_means(r, slot && (child || !length) && short_slot(r, limit, opening) ? "slot" : "distance", false);
	run_means_figure(r, "distance", distance * MM);
}

static void run_through(struct reckoning_run *r)
{
	bool child = text_equal(run_word(r, "age"), "3");
	reach_opening(r, child ? "reach-3" : "reach-14", child ? "openings-3" : "openings-14", child);
}

static void run_limb(struct reckoning_run *r)
{
	reach_opening(r, "reach-limb", "openings-limb", false);
}

/* --- reach-over ------------------------------------------------------------------------------------ */

static const struct reckon_key OVER_KEYS[] = {
	{.name = "hazard", .dim = &DIM_LENGTH, .low = "0 mm", .high = "20 m", .needed = FORM_1},
	{.name = "barrier", .dim = &DIM_LENGTH, .low = "0 mm", .high = "20 m", .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "risk", .kind = RECKON_WORD, .choices = "low|high", .needed = FORM_1},
};

/* All the neighbours of both heights; of them the greatest distance. */
static void over_barrier(struct reckoning_run *r, double reach_up, double barrier)
{
	bool high = text_equal(run_word(r, "risk"), "high");
	const char *table = high ? "reach-over-high" : "reach-over-low";
	const struct lib_grid *g = run_grid(r, table);
	struct grid_key keys[2] = {run_key(r, "hazard"), grid_number(fmin(barrier, reach_up))};
	struct grid_hit hit;
	double alone;
	if (!g || !run_term(r, "barrier-alone", run_word(r, "risk"), &alone))
		return;
	r->source = NULL; /* decides what is said, not the distance */
	keys[0].high = fmin(keys[0].high, reach_up);
	double least = g->grid.axes[1].at[0];
	if (!distance_within(least, barrier)) {
		run_refuse(r, "too-low");
		run_refuse_text(r, "least", figure_text(r->arena, least * MM));
		return;
	}
	if (!run_look(r, table, keys, &hit))
		return;
	run_step(r, hit.count > 1 ? "reach-over-neighbours" : "reach-over-cell", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "hazard", run_value(r, "hazard").quantity.value);
	run_figure_mm(r, "barrier", barrier);
	run_figure_mm(r, "distance", hit.high);
	run_figure(r, "cells", (double)hit.count);
	run_number(r, "distance_mm", hit.high * MM);
	bool stands = distance_within(alone, barrier);
	run_means(r, stands ? "distance" : "not-alone", !stands);
	run_means_figure(r, "distance", hit.high * MM);
	run_means_figure(r, "alone", alone * MM);
}

static void run_over(struct reckoning_run *r)
{
	double barrier = run_si(r, "barrier"), reach_up;
	struct quantity hazard = run_value(r, "hazard").quantity;
	if (!run_term(r, "reach-up", run_word(r, "risk"), &reach_up))
		return;
	if (!distance_within(reach_up, hazard.low)) {
		r->source = NULL;
		over_barrier(r, reach_up, barrier);
		return;
	}
	run_step(r, "reach-up", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "hazard", hazard.value);
	run_figure_mm(r, "up", reach_up);
	run_number(r, "distance_mm", 0);
	run_means(r, "out-of-reach", false);
}

/* --- least-gap ------------------------------------------------------------------------------------- */

static const struct reckon_key GAP_KEYS[] = {
	{.name = "part", .kind = RECKON_WORD, .choices = "body|head|leg|foot|toes|arm|hand|finger", .needed = FORM_1},
};

static const struct reckon_result_key GAP_RESULTS[] = {{"gap_mm", WORSE_HIGHER}};

static void run_least_gap(struct reckoning_run *r)
{
	struct value part = value_of_word(run_word(r, "part"));
	double gap;
	if (!run_limit(r, "crush-gap", &part, 1, &gap))
		return;
	run_step(r, "least-gap", NULL, STANDING_PRACTICE);
	run_text(r, "part", part.word);
	run_figure_mm(r, "gap", gap);
	run_number(r, "gap_mm", gap * MM);
	run_means(r, "gap", false);
	run_means_text(r, "part", part.word);
	run_means_figure(r, "gap", gap * MM);
}

/* --- finger-gap ------------------------------------------------------------------------------------ */

static const struct reckon_key FINGER_KEYS[] = {
	{.name = "from", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1},
	{.name = "to", .dim = &DIM_LENGTH, .low = "0 mm", .high = "10 m", .needed = FORM_1},
	{.name = "edition", .kind = RECKON_WORD, .choices = "4-25|8-25", .usual = "4-25"},
};

static const struct reckon_result_key FINGER_RESULTS[] = {
	{"admits", WORSE_NEITHER}, {"closes", WORSE_NEITHER}, {"verdict", WORSE_NEITHER},
};

enum { PARTS = 6 };

/* Smallest first. Only fingers are kept out by the rule of the edition; the others by the printed table. */
static const struct {
	const char *name, *crushed;
} PART[PARTS] = {
	{"fingers", "finger"}, {"hand", "hand"}, {"arm", "arm"}, {"foot", "foot"}, {"head", "head"}, {"body", "body"},
};

static const char *joined(struct reckoning_run *r, const char *const *words, size_t count)
{
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", words[i]);
	return count ? b.bytes : "none";
}

/* What the gap lets in at its widest; a part that is kept out keeps out all the larger ones. */
static bool admitted(struct reckoning_run *r, double wide, double fingers, const char **admits, size_t *count)
{
	double most = fingers;
	*count = 0;
	while (*count < PARTS && !distance_within(wide, most)) {
		admits[*count] = PART[*count].name;
		if (++*count < PARTS && !run_term(r, "kept-out", PART[*count].name, &most))
			return false;
	}
	if (!*count)
		return true;
	run_step(r, "finger-gap-admits", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "wide", wide);
	run_text(r, "parts", joined(r, admits, *count));
	return true;
}

/* Of those, what it is too narrow for at its narrowest; a gap that keeps its size crushes nothing. */
static bool closed_on(struct reckoning_run *r, double narrow, double wide, size_t count, const char **closes,
	size_t *closed)
{
	*closed = 0;
	for (size_t i = 0; i < count; i++) {
		struct value part = value_of_word(PART[i].crushed);
		double least;
		if (!run_limit(r, "crush-gap", &part, 1, &least))
			return false;
		if (!distance_within(wide, narrow) && !distance_within(least, narrow))
			closes[(*closed)++] = PART[i].name;
	}
	if (!count)
		return true;
	run_step(r, "finger-gap-closes", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "narrow", narrow);
	run_text(r, "parts", joined(r, closes, *closed));
	return true;
}

static const char *finger_verdict(double narrow, double wide, double low, double high, double share)
{
	if (distance_within(wide, low))
		return "kept-out";
	if (!distance_within(high, narrow))
		return "catches";
	return distance_steady(narrow, wide, share) ? "stays-open" : "changes";
}

static void run_finger_gap(struct reckoning_run *r)
{
	double from = run_si(r, "from"), to = run_si(r, "to"), narrow = fmin(from, to), wide = fmax(from, to);
	double low, high, share;
	const char **admits = arena_array(r->arena, PARTS, sizeof *admits);
	const char **closes = arena_array(r->arena, PARTS, sizeof *closes);
	size_t count, closed;
	r->context->edition = run_word(r, "edition");
	if (r->refused || !run_bound(r, "moving-gap-low", &low) || !run_bound(r, "moving-gap-high", &high) ||
		!run_bound(r, "moving-gap-change", &share))
		return;
	const char *verdict = finger_verdict(narrow, wide, low, high, share);
	run_step(r, "finger-gap-rule", NULL, STANDING_PRACTICE);
	run_figure_mm(r, "low", low);
	run_figure_mm(r, "high", high);
	run_figure(r, "percent", share * 100);
	run_figure_mm(r, "narrow", narrow);
	run_figure_mm(r, "wide", wide);
	if (!admitted(r, wide, low, admits, &count) ||
		!closed_on(r, narrow, wide, count, closes, &closed))
		return;
	run_list_of(r, "admits", admits, count);
	run_list_of(r, "closes", closes, closed);
	run_result(r, "verdict", verdict);
	/* The verdict is about fingers; a gap that leaves them free may still close on what is larger. */
	bool crushes = closed && text_equal(verdict, "stays-open");
	run_means(r, crushes ? "crushes" : verdict, closed || text_equal(verdict, "catches") ||
			text_equal(verdict, "changes"));
	run_means_text(r, "closes", joined(r, closes, closed));
	run_means_figure(r, "low", low * MM);
	run_means_figure(r, "high", high * MM);
	run_means_figure(r, "percent", share * 100);
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"reach-through", KEYS(THROUGH_KEYS), KEYS(REACH_RESULTS), FORM_1, run_through},
	{"reach-over", KEYS(OVER_KEYS), KEYS(REACH_RESULTS), FORM_1, run_over},
	{"reach-limb", KEYS(LIMB_KEYS), KEYS(REACH_RESULTS), FORM_1, run_limb},
	{"least-gap", KEYS(GAP_KEYS), KEYS(GAP_RESULTS), FORM_1, run_least_gap},
	{"finger-gap", KEYS(FINGER_KEYS), KEYS(FINGER_RESULTS), FORM_1, run_finger_gap},
};

const struct reckon_family RECKON_REACH = {"reach", KEYS(RECKONERS)};
