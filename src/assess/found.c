#include "assess/found.h"

#include <math.h>
#include <string.h>

size_t found_most(const struct context *c)
{
	return c->result->geometry ? c->result->geometry->clearance_count : 0;
}

static struct words directions_of(struct context *c, const struct clearance_result *r)
{
	bool shrinks[2] = {r->slides, r->slides}; /* while closing, while opening */
	for (size_t i = 0; i < r->stretch_count; i++)
		if (r->stretches[i].kinds)
			shrinks[r->stretches[i].opening] = true;
	const char **words = arena_array(c->arena, 2, sizeof *words);
	size_t n = 0;
	if (shrinks[0])
		words[n++] = "closing";
	if (shrinks[1])
		words[n++] = "opening";
	return (struct words){words, n};
}

const struct lib_zone *found_zone(struct context *c, struct clearance_result *r)
{
	const struct lib_type *type = c->record->type;
	const struct lib_zone *model = type->found ? library_zone(c->library, type->found) : NULL;
	if (!r->own || !model)
		return NULL;
	struct lib_zone *zone = arena_alloc(c->arena, sizeof *zone);
	*zone = *model;
	zone->hazards = arena_array(c->arena, model->hazard_count, sizeof *zone->hazards);
	zone->hazard_count = 0;
	for (size_t i = 0; i < model->hazard_count; i++)
		if (r->own & clearance_kind_of(model->hazards[i].kind))
			zone->hazards[zone->hazard_count++] = model->hazards[i];
	zone->directions = directions_of(c, r);
	return zone;
}

/* The stretch that goes from where most gets in, and of those alike the one that closes farthest. */
static const struct clearance_stretch *telling(const struct clearance_result *r)
{
	const struct clearance_stretch *worst = NULL;
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		if (s->parts && (!worst || fmin(s->start, s->end) < fmin(worst->start, worst->end)))
			worst = s;
	}
	return worst;
}

/* Parts stand from the largest to the smallest. */
static const char *largest_part(unsigned parts)
{
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			return CLEARANCE_PART[i];
	return "";
}

static const char *length_text(struct context *c, double m)
{
	return quantity_text(c->arena, quantity_of(round(m * 1e4) / 1e4, DIM_LENGTH));
}

static void tell(struct context *c, struct finding *f, const struct clearance_result *r)
{
	const struct clearance_stretch *s = telling(r);
	double from = s ? fmax(s->start, s->end) : r->greatest, to = s ? fmin(s->start, s->end) : r->least;
	with(c, f, "first", r->a->name);
	with(c, f, "second", r->b ? r->b->name : "ground");
	with(c, f, "from", length_text(c, from));
	with(c, f, "to", length_text(c, to));
	with(c, f, "doubt", length_text(c, r->doubt));
	with(c, f, "direction", s ? s->opening ? "opening" : "closing" : "both");
	with(c, f, "part", largest_part(s ? s->parts : r->parts));
}

/* Wide enough for the largest part that is hurt, over the whole doubt and over-travel; or so narrow
 * that the smallest stays out. */
static void add_ways(struct context *c, struct finding *f, const struct clearance_result *r)
{
	const struct clearance_stretch *s = telling(r);
	double to = s ? fmin(s->start, s->end) - s->over : r->least;
	struct value body = value_of_word("body"), finger = value_of_word("finger");
	struct value wide = context_limit(c, "crush-gap", &body, 1, "geometry");
	struct value narrow = context_limit(c, "enters-gap", &finger, 1, "geometry");
	if (wide.kind == VALUE_QUANTITY) {
		struct way *w = way_out(c, f, "widen");
		way_value(c, w, "want", length_text(c, wide.quantity.high));
		way_value(c, w, "more", length_text(c, fmax(wide.quantity.high - to + r->doubt, 0)));
	}
	if (narrow.kind == VALUE_QUANTITY)
		way_value(c, way_out(c, f, "narrow"), "want", length_text(c, narrow.quantity.low));
}

void found_report(struct context *c, const struct zone_result *z, struct place at)
{
	struct finding *f = point_out(c, telling(z->clearance) ? FINDING_CODE_ZONE_FOUND : FINDING_CODE_ZONE_SLIDES,
		z->key, at);
	with(c, f, "zone", z->zone->note.id);
	with(c, f, "key", z->key);
	tell(c, f, z->clearance);
	add_ways(c, f, z->clearance);
	way_value(c, way_out(c, f, "enter"), "key", z->key);
	finding_source(f, z->zone->note.source, z->zone->note.standing);
}

void found_contradiction(struct context *c, const struct zone_result *z, const char *kind,
	const struct clearance_result *r, struct place at)
{
	struct finding *f = point_out(c, FINDING_CODE_GEOMETRY_FINDS, z->key, at);
	with(c, f, "zone", z->zone->note.id);
	with(c, f, "hazard", kind);
	tell(c, f, r);
	add_ways(c, f, r);
}
