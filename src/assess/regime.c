/* The law in force, the standards, the requirements and the declaration. */
#include "assess/context.h"

#include <string.h>

#include "calc/schedule.h"

const struct lib_regime *regime_find(const struct library *l, const char *territory, struct date on)
{
	for (size_t i = 0; i < l->regimes_count; i++) {
		const struct lib_regime *r = &l->regimes[i];
		if (words_have(r->territories, territory) && schedule_covers(r->from, r->to, on))
			return r;
	}
	return NULL;
}

static void judge_standards(struct context *c)
{
	const struct fact *standards = record_fact(c->record, "job.standards");
	for (size_t i = 0; fact_given(standards) && i < standards->count; i++) {
		if (library_standard(c->library, standards->list[i]))
			continue;
		const char **ids = arena_array(c->arena, c->library->standards_count + 1, sizeof *ids);
		for (size_t k = 0; k < c->library->standards_count; k++)
			ids[k] = c->library->standards[k].note.id;
		struct finding *f = point_out(c, FINDING_CODE_STANDARD_UNKNOWN, standards->list[i],
			standards->list_at[i]);
		with(c, f, "standard", standards->list[i]);
		suggest(c, f, standards->list[i], ids, c->library->standards_count);
	}
}

/* Dimensions that cannot all be true of one gate. Unknown ones are asked for elsewhere. */
static void judge_dimensions(struct context *c)
{
	const struct lib_type *t = c->record->type;
	for (size_t i = 0; t && i < t->agree_count; i++) {
		if (!context_excludes(c, t->agrees[i]))
			continue;
		struct rule_shortfall s;
		struct finding *f = point_out(c, FINDING_CODE_DIMENSIONS_DISAGREE, "gate.dimensions",
			record_fact(c->record, "gate.type")->at);
		with(c, f, "shown", rule_shown(c->arena, t->agrees[i], &c->names));
		if (rule_shortfall(c->arena, t->agrees[i], &c->names, &s))
			with(c, f, "name", s.name);
	}
}

static void judge_gate(struct context *c)
{
	judge_dimensions(c);
	const struct fact *type = record_fact(c->record, "gate.type");
	if (fact_given(type) && !c->record->type) {
		struct buf b;
		buf_init(&b, c->arena);
		for (size_t i = 0; i < c->library->types_count; i++)
			buf_format(&b, "%s%s", i ? ", " : "", c->library->types[i].note.id);
		struct finding *f = point_out(c, FINDING_CODE_TYPE_UNKNOWN, "gate.type", type->at);
		with(c, f, "type", type->text);
		with(c, f, "types", b.bytes);
	}
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	const struct fact *biparting = record_fact(c->record, "gate.dimensions.biparting");
	size_t want = fact_given(biparting) && biparting->truth == TRUTH_YES ? 2 : 1;
	if (c->record->type && fact_given(biparting) && leaves->count != want)
		point_out_with(c, FINDING_CODE_LEAVES_COUNT, "gate.leaves", leaves->at, "wanted",
			arena_format(c->arena, "%zu", want));
	const struct fact *language = record_fact(c->record, "job.language");
	if (fact_given(language) && !text_equal(language->text, "en"))
		point_out_with(c, FINDING_CODE_LANGUAGE_UNKNOWN, "job.language", language->at, "language",
			language->text);
}

void assess_regime(struct context *c)
{
	const struct fact *territory = record_fact(c->record, "job.territory");
	const struct fact *first_use = record_fact(c->record, "job.first-use");
	judge_gate(c);
	judge_standards(c);
	if (!fact_given(territory) || !fact_given(first_use))
		return;
	c->result->regime = regime_find(c->library, territory->text, first_use->date);
	if (c->result->regime) {
		context_decides(c, &c->result->regime->note, "regimes");
		return;
	}
	struct finding *f = point_out(c, FINDING_CODE_REGIME_NONE, "job.territory", territory->at);
	with(c, f, "territory", territory->text);
	with(c, f, "date", first_use->text);
}

/* --- requirements ------------------------------------------------------------------------------- */

static bool names_requirement(const struct zone_result *z, const char *id)
{
	for (size_t i = 0; i < z->hazard_count; i++)
		if (words_have(z->hazards[i].hazard->requirements, id))
			return true;
	return false;
}

/* Whether one of `shown-by` is on record as it must be: check:ID came out, or does not apply; field:PATH is
 * given; zones: every one is answered. */
static bool shown(const struct context *c, const char *by)
{
	if (text_equal(by, "zones")) {
		for (size_t i = 0; i < c->result->zone_count; i++)
			if (c->result->zones[i].outcome == OUTCOME_OPEN)
				return false;
		return c->result->zone_count > 0;
	}
	if (text_begins(by, "field:"))
		return fact_given(record_fact(c->record, by + strlen("field:")));
	for (size_t i = 0; text_begins(by, "check:") && i < c->result->check_count; i++)
		if (text_equal(c->result->checks[i].check->note.id, by + strlen("check:")))
			return c->result->checks[i].outcome != OUTCOME_OPEN;
	return false;
}

/* A field that need not be there is missed by nobody else. */
static bool left_unsaid(const struct context *c, const char *by)
{
	if (!text_begins(by, "field:") || shown(c, by))
		return false;
	for (size_t i = 0; i < c->findings->count; i++)
		if (text_equal(c->findings->items[i]->subject, by + strlen("field:")))
			return false;
	return true;
}

static void judge_requirement(struct context *c, struct requirement_result *out)
{
	const struct lib_requirement *q = out->requirement;
	bool all = true;
	for (size_t i = 0; i < out->zone_count; i++)
		all = all && out->zones[i]->outcome != OUTCOME_OPEN;
	for (size_t i = 0; i < q->shown_by.count; i++)
		all = all && shown(c, q->shown_by.items[i]);
	if (all && (out->zone_count || q->shown_by.count)) {
		out->outcome = OUTCOME_ANSWERED;
		return;
	}
	out->outcome = OUTCOME_OPEN;
	/* Open zones, checks and required fields speak for themselves. */
	bool silent = !out->zone_count && !q->shown_by.count;
	for (size_t i = 0; i < q->shown_by.count; i++)
		silent = silent || left_unsaid(c, q->shown_by.items[i]);
	if (!silent)
		return;
	struct finding *f = point_out(c, FINDING_CODE_REQUIREMENT_OPEN, q->note.id,
		record_list(c->record, "zones")->at);
	with(c, f, "requirement", q->note.id);
	finding_source(f, q->note.source, q->note.standing);
}

static bool in_numbering(const struct context *c, const struct lib_requirement *q)
{
	const struct lib_regime *regime = c->result->regime;
	if (!regime)
		return true;
	const char *number = text_equal(regime->numbering, "regulation") ? q->regulation : q->directive;
	return number && *number;
}

void assess_requirements(struct context *c)
{
	struct assessment *r = c->result;
	r->requirements = arena_array(c->arena, c->library->requirements_count + 1, sizeof *r->requirements);
	for (size_t i = 0; i < c->library->requirements_count; i++) {
		const struct lib_requirement *q = &c->library->requirements[i];
		if (!in_numbering(c, q))
			continue;
		struct requirement_result *out = &r->requirements[r->requirement_count++];
		const struct zone_result **zones = arena_array(c->arena, r->zone_count + 1, sizeof *zones);
		*out = (struct requirement_result){.requirement = q, .outcome = OUTCOME_ABSENT};
		for (size_t k = 0; k < r->zone_count; k++)
			if (names_requirement(&r->zones[k], q->note.id))
				zones[out->zone_count++] = &r->zones[k];
		out->zones = zones;
		out->applies = text_equal(q->applies, "always") || out->zone_count ||
			(q->when && !context_excludes(c, q->when));
		if (out->applies)
			judge_requirement(c, out);
	}
}

/* --- declaration -------------------------------------------------------------------------------- */

void assess_declaration(struct context *c)
{
	struct assessment *r = c->result;
	const struct lib_regime *regime = r->regime;
	if (!regime)
		return;
	r->items = arena_array(c->arena, regime->item_count + 1, sizeof *r->items);
	for (size_t i = 0; i < regime->item_count; i++) {
		const struct lib_item *item = &regime->items[i];
		struct declaration_item *out = &r->items[r->item_count++];
		*out = (struct declaration_item){.item = item, .complete = true, .missing = "",
			.applies = !item->when || !context_excludes(c, item->when)};
		for (size_t k = 0; out->applies && out->complete && k < item->needs.count; k++)
			if (!fact_given(record_fact(c->record, item->needs.items[k]))) {
				out->complete = false;
				out->missing = item->needs.items[k];
			}
		if (out->complete)
			continue;
		const struct fact *f = record_fact(c->record, out->missing);
		struct finding *p = point_out(c, FINDING_CODE_DECLARATION_ITEM, out->missing, f->at);
		with(c, p, "no", item->no);
		with(c, p, "path", out->missing);
		with(c, p, "regime", regime->note.id);
	}
}
