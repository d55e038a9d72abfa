/* An assessment from end to end, and the names it lends to others. */
#include "assess/context.h"

/* Every open point says what would close it: those that computed nothing of their own have the way `do` in
 * their words. */
static void offer_ways(struct context *c)
{
	for (size_t i = 0; i < c->findings->count; i++) {
		struct finding *f = c->findings->items[i];
		if (f->ways || finding_level(f->code) == FINDING_NOTE || finding_level(f->code) == FINDING_INPUT)
			continue;
		struct way *w = finding_way(c->findings, f, "do");
		for (const struct finding_value *v = f->values; v; v = v->next)
			way_with(c->findings, w, v->name, v->value);
	}
}

struct assessment *assess(struct arena *a, const struct record *record, const struct library *library,
	const struct job_files *files, struct findings *findings)
{
	struct assess_whole *whole = arena_alloc(a, sizeof *whole);
	struct context *c = &whole->context;
	*c = (struct context){.arena = a, .record = record, .library = library, .files = files,
		.findings = findings, .result = &whole->result};
	c->result->record = record;
	c->result->library = library;
	c->result->findings = findings;
	context_names(c);
	assess_regime(c);
	assess_references(c);
	assess_zones(c);
	assess_fields(c);
	assess_controls(c);
	assess_diagnosis(c);
	assess_force(c);
	assess_hazards(c);
	assess_protection(c);
	assess_requirements(c);
	assess_limits(c);
	assess_declaration(c);
	offer_ways(c);
	c->result->ready = findings_worst(findings) == FINDING_NOTE;
	findings_sort(findings);
	return c->result;
}

static const struct context *context_of(const struct assessment *result)
{
	/* `result` is the first member of the whole. */
	return &((const struct assess_whole *)(const void *)result)->context;
}

const struct rule_names *assess_names(const struct assessment *result)
{
	return &context_of(result)->names;
}

const struct rule_names *assess_zone_names(struct arena *a, const struct assessment *result,
	const struct zone_result *zone)
{
	struct context *c = arena_alloc(a, sizeof *c);
	*c = *context_of(result);
	context_names(c);
	c->zone = zone;
	return &c->names;
}
