/* The plan of the force tests: which points are asked for, and which of the record's stands for each. */
#include "assess/context.h"

#include <math.h>

struct plan_builder {
	struct context *c;
	struct point_result *points;
	size_t count, room;
};

static bool rule_length(struct context *c, const struct rule *r, double *out)
{
	struct value v = r ? rule_value(c->arena, r, &c->names) : value_unknown();
	if (v.kind != VALUE_QUANTITY || !dimension_equal(v.quantity.dim, DIM_LENGTH) ||
		!(v.quantity.value >= 0))
		return false;
	*out = v.quantity.value;
	return true;
}

static struct point_result *new_point(struct plan_builder *b)
{
	if (b->count == b->room) {
		size_t room = b->room ? b->room * 2 : 32;
		b->points = arena_grow(b->c->arena, b->points, b->count, room, sizeof *b->points);
		b->room = room;
	}
	return &b->points[b->count++];
}

/* Wherever in its doubt the measured value lies. */
static bool within(struct quantity q, double wanted, double tolerance)
{
	return fmax(q.high - wanted, wanted - q.low) <= tolerance + 1e-9;
}

/* The record's point closest to what the plan asks for, within the tolerance. */
static const struct item *entry_for(struct context *c, const struct point_result *p, double tolerance)
{
	const struct item_list *list = record_list(c->record, "force.points");
	const struct item *best = NULL;
	double best_off = HUGE_VAL;
	for (size_t i = 0; i < list->count; i++) {
		const struct item *e = &list->items[i];
		const struct fact *gap = item_fact(e, "gap"), *height = item_fact(e, "height");
		if (!fact_is(item_fact(e, "zone"), p->zone_key) ||
			!fact_is(item_fact(e, "direction"), p->direction) ||
			!fact_is(item_fact(e, "leaves"), p->leaves) ||
			!fact_is(item_fact(e, "speed"), p->speed) || !fact_given(gap) || !fact_given(height))
			continue;
		double off = fabs(gap->quantity.value - p->gap) + fabs(height->quantity.value - p->height);
		if (within(gap->quantity, p->gap, tolerance) &&
			within(height->quantity, p->height, tolerance) && off < best_off) {
			best = e;
			best_off = off;
		}
	}
	return best;
}

static void plan_point(struct plan_builder *b, const struct lib_plan *plan, const char *direction,
	const char *leaves, const char *speed, double gap, double height)
{
	struct point_result *p = new_point(b);
	*p = (struct point_result){.zone_key = b->c->zone->key, .direction = direction, .speed = speed,
		.leaves = leaves, .facing = plan->facing ? plan->facing : "edge", .gap = gap,
		.height = height, .planned = true};
	p->entry = entry_for(b->c, p, plan->tolerance.value);
	p->id = p->entry ? p->entry->id
			 : arena_format(b->c->arena, "%s %s %s/%s%s%s", p->zone_key, direction,
				   text_fixed(b->c->arena, gap * 1000, 0),
				   text_fixed(b->c->arena, height * 1000, 0),
				   text_equal(speed, "full") ? " full" : "",
				   text_equal(leaves, "together") ? " together" : "");
}

static void plan_unknown(struct plan_builder *b, const struct lib_plan *plan)
{
	struct context *c = b->c;
	const struct finding *last = c->findings->count ? c->findings->items[c->findings->count - 1] : NULL;
	/* Once for a zone: one dimension is missing, not nine points. */
	if (last && last->code == FINDING_CODE_FORCE_PLAN_UNKNOWN && text_equal(last->subject, c->zone->key))
		return;
	struct finding *f = point_out(c, FINDING_CODE_FORCE_PLAN_UNKNOWN, c->zone->key, c->zone->entry->at);
	with(c, f, "plan", plan->note.id);
}

static void plan_direction(struct plan_builder *b, const struct lib_plan *plan, const char *direction,
	const char *leaves)
{
	struct context *c = b->c;
	for (size_t g = 0; g < plan->gap_count; g++)
		for (size_t h = 0; h < plan->height_count; h++) {
			double gap, height;
			if (rule_length(c, plan->gaps[g], &gap) && rule_length(c, plan->heights[h], &height))
				plan_point(b, plan, direction, leaves, "normal", gap, height);
			else
				plan_unknown(b, plan);
		}
	for (size_t i = 0; i < plan->extra_count; i++) {
		const struct lib_plan_extra *x = &plan->extra[i];
		double gap, height;
		if (x->when && context_excludes(c, x->when))
			continue;
		if (rule_length(c, x->gap, &gap) && rule_length(c, x->height, &height))
			plan_point(b, plan, direction, leaves, x->speed, gap, height);
		else
			plan_unknown(b, plan);
	}
}

static bool wants_force(struct context *c, const struct zone_result *z)
{
	for (size_t i = 0; i < z->measure_count; i++)
		for (size_t k = 0; k < z->measures[i].measure->need_count; k++) {
			const struct lib_need *n = &z->measures[i].measure->needs[k];
			if (n->kind == NEED_FORCE && !(n->when && context_excludes(c, n->when)))
				return true;
		}
	return false;
}

static void plan_zone(struct plan_builder *b, const struct zone_result *z)
{
	struct context *c = b->c;
	const struct lib_plan *plan = library_plan(c->library, z->zone->plan);
	bool several = record_list(c->record, "gate.leaves")->count > 1;
	c->zone = z;
	if (plan && wants_force(c, z) && !(plan->note.id && !z->entry)) {
		context_decides(c, &plan->note, "force-plans");
		for (size_t i = 0; i < z->zone->directions.count; i++) {
			plan_direction(b, plan, z->zone->directions.items[i], "alone");
			if (several)
				plan_direction(b, plan, z->zone->directions.items[i], "together");
		}
	}
	c->zone = NULL;
}

/* Points on record that no plan asks for are judged as well: more evidence may not be ignored. */
static void add_unplanned(struct plan_builder *b)
{
	struct context *c = b->c;
	const struct item_list *list = record_list(c->record, "force.points");
	for (size_t i = 0; i < list->count; i++) {
		const struct item *e = &list->items[i];
		bool known = false;
		for (size_t k = 0; k < b->count; k++)
			known = known || b->points[k].entry == e;
		const struct fact *gap = item_fact(e, "gap"), *height = item_fact(e, "height");
		if (known || !fact_given(gap) || !fact_given(height))
			continue;
		point_out(c, FINDING_CODE_FORCE_POINT_UNPLANNED, e->id, e->at);
		*new_point(b) = (struct point_result){.id = e->id, .entry = e,
			.zone_key = fact_text(item_fact(e, "zone")),
			.direction = fact_text(item_fact(e, "direction")),
			.speed = fact_text(item_fact(e, "speed")), .leaves = fact_text(item_fact(e, "leaves")),
			.facing = "edge", .gap = gap->quantity.value, .height = height->quantity.value};
	}
}

void assess_force_plan(struct context *c)
{
	struct plan_builder b = {.c = c};
	for (size_t i = 0; i < c->result->zone_count; i++)
		plan_zone(&b, &c->result->zones[i]);
	add_unplanned(&b);
	c->result->points = b.points;
	c->result->point_count = b.count;
}
