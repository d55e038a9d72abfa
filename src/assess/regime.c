/* The law in force, the standards, the requirements, the declaration; and the standing of everything that
 * decided something. */
#include "assess/context.h"

#include <string.h>

static bool in_force(const struct lib_regime *r, struct date on)
{
	return (!date_given(r->from) || date_compare(on, r->from) >= 0) &&
		(!date_given(r->to) || date_compare(on, r->to) <= 0);
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
		const char *close = text_closest(standards->list[i], ids, c->library->standards_count);
		struct finding *f = point_out(c, FINDING_CODE_STANDARD_UNKNOWN, standards->list[i],
			standards->list_at[i]);
		with(c, f, "standard", standards->list[i]);
		with(c, f, "close", close ? close : "");
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
	for (size_t i = 0; i < c->library->regimes_count; i++) {
		const struct lib_regime *r = &c->library->regimes[i];
		if (words_have(r->territories, territory->text) && in_force(r, first_use->date)) {
			c->result->regime = r;
			context_decides(c, &r->note, "regimes");
			return;
		}
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

/* --- standing ----------------------------------------------------------------------------------- */

void context_decides(struct context *c, const struct lib_note *note, const char *group)
{
	struct assessment *r = c->result;
	for (size_t i = 0; i < r->decision_count; i++)
		if (r->decisions[i].note == note)
			return;
	if (r->decision_count == c->decision_room) {
		size_t room = c->decision_room ? c->decision_room * 2 : 32;
		r->decisions = arena_grow(c->arena, r->decisions, r->decision_count, room, sizeof *r->decisions);
		c->decision_room = room;
	}
	r->decisions[r->decision_count++] = (struct decision){.note = note, .group = group};
}

struct reading {
	const char *edition, *clause;
	struct date read_on;
};

/* What the signatory, or the firm's overlay, says was read; false when nobody read it. */
static bool reading_of(const struct context *c, const char *id, struct reading *out)
{
	const struct item *item = record_item(c->record, "job.readings", id);
	const struct lib_reading *lib = library_reading(c->library, id);
	if (item && fact_given(item_fact(item, "edition")) && fact_given(item_fact(item, "clause"))) {
		*out = (struct reading){fact_text(item_fact(item, "edition")),
			fact_text(item_fact(item, "clause")), item_fact(item, "read-on")->date};
		return true;
	}
	if (lib && lib->edition && *lib->edition && lib->clause && *lib->clause) {
		*out = (struct reading){lib->edition, lib->clause, lib->read_on};
		return true;
	}
	return false;
}

/* What decides from memory, or from a firm's overlay in the place of what is shipped, must have been read: an
 * overlay may be looser, and only the signatory can answer for that. */
static bool needs_reading(const struct lib_note *note, enum standing standing)
{
	return standing == STANDING_MEMORY || standing == STANDING_FIRM || note->replaces;
}

static void want_reading(struct context *c, const char *id, const char *group, const char *source,
	enum standing standing)
{
	const struct item_list *readings = record_list(c->record, "job.readings");
	struct place at = readings->present ? readings->at : record_fact(c->record, "job.reference")->at;
	struct finding *f = point_out(c, FINDING_CODE_READING_WANTED, id, at);
	with(c, f, "id", id);
	with(c, f, "title", arena_format(c->arena, "%s.%s.title", group, id));
	with(c, f, "source", source ? source : "");
	struct way *w = way_out(c, f, "read");
	way_value(c, w, "id", id);
	way_value(c, w, "source", source ? source : "–");
	finding_source(f, source, standing);
}

static bool reported(const struct context *c, const char *id)
{
	for (size_t i = 0; i < c->findings->count; i++)
		if (c->findings->items[i]->code == FINDING_CODE_READING_WANTED &&
			text_equal(c->findings->items[i]->subject, id))
			return true;
	return false;
}

static bool entry_known(const struct context *c, const char *id)
{
	const struct library *l = c->library;
	bool known = library_limit(l, id) || library_type(l, id) || library_zone(l, id) ||
		library_measure(l, id) || library_definition(l, id) || library_function(l, id) ||
		library_check(l, id) || library_plan(l, id) || library_requirement(l, id) ||
		library_standard(l, id);
	for (size_t i = 0; i < l->regimes_count; i++)
		known = known || text_equal(l->regimes[i].note.id, id);
	for (size_t i = 0; i < l->protections_count; i++)
		known = known || text_equal(l->protections[i].note.id, id);
	for (size_t i = 0; i < l->activations_count; i++)
		known = known || text_equal(l->activations[i].note.id, id);
	for (size_t i = 0; i < l->input_rules_count; i++)
		known = known || text_equal(l->input_rules[i].note.id, id);
	return known;
}

static void judge_choices(struct context *c)
{
	const struct item_list *choices = record_list(c->record, "job.choices");
	for (size_t i = 0; i < choices->count; i++) {
		const struct item *choice = &choices->items[i];
		const struct lib_limit *l = library_limit(c->library, choice->id);
		const char *take = fact_text(item_fact(choice, "take"));
		bool known = false, standard = false;
		for (size_t k = 0; l && k < l->variant_count; k++)
			if (text_equal(l->variants[k].id, take)) {
				known = true;
				standard = l->variants[k].is_default;
			}
		if (standard)
			continue;
		struct finding *f = point_out(c,
			known ? FINDING_CODE_CHOICE_LOOSENED : FINDING_CODE_CHOICE_UNKNOWN, choice->id,
			choice->at);
		with(c, f, "limit", choice->id);
		with(c, f, "take", take);
	}
	const struct item_list *readings = record_list(c->record, "job.readings");
	for (size_t i = 0; i < readings->count; i++)
		if (!entry_known(c, readings->items[i].id))
			point_out_with(c, FINDING_CODE_READING_UNKNOWN, readings->items[i].id,
				readings->items[i].at, "id", readings->items[i].id);
}

static void judge_limit_use(struct context *c, struct limit_use *use)
{
	const char *id = use->limit->note.id;
	const struct item *choice = record_item(c->record, "job.choices", id);
	struct reading read;
	if (use->loosened && choice && fact_given(item_fact(choice, "edition")) &&
		fact_given(item_fact(choice, "clause"))) {
		use->read_edition = fact_text(item_fact(choice, "edition"));
		use->read_clause = fact_text(item_fact(choice, "clause"));
	} else if (reading_of(c, id, &read)) {
		use->read_edition = read.edition;
		use->read_clause = read.clause;
		use->read_on = read.read_on;
	} else if (needs_reading(&use->limit->note, use->row->standing) && !reported(c, id)) {
		want_reading(c, id, "limits", use->row->source, use->row->standing);
	}
}

static void judge_decision(struct context *c, struct decision *d)
{
	struct reading read;
	if (reading_of(c, d->note->id, &read)) {
		d->read_edition = read.edition;
		d->read_clause = read.clause;
		d->read_on = read.read_on;
	} else if (needs_reading(d->note, d->note->standing) && !reported(c, d->note->id)) {
		want_reading(c, d->note->id, d->group, d->note->source, d->note->standing);
	}
}

/* Whatever an overlay put in the place of a shipped entry decides, if only by what it no longer asks. */
static void decide_replaced(struct context *c)
{
	const struct library *l = c->library;
#define REPLACED(member, words) \
	for (size_t i = 0; i < l->member##_count; i++) \
		if (l->member[i].note.replaces) \
			context_decides(c, &l->member[i].note, words);
	REPLACED(types, "types")
	REPLACED(zones, "zones")
	REPLACED(measures, "measures")
	REPLACED(definitions, "definitions")
	REPLACED(protections, "protection")
	REPLACED(activations, "activation-classes")
	REPLACED(plans, "force-plans")
	REPLACED(checks, "checks")
	REPLACED(input_rules, "input-rules")
	REPLACED(functions, "functions")
	REPLACED(requirements, "requirements")
	REPLACED(standards, "standards")
	REPLACED(regimes, "regimes")
#undef REPLACED
}

void assess_limits(struct context *c)
{
	struct assessment *r = c->result;
	decide_replaced(c);
	for (size_t i = 0; i < r->limit_count; i++)
		judge_limit_use(c, &r->limits[i]);
	for (size_t i = 0; i < r->decision_count; i++)
		judge_decision(c, &r->decisions[i]);
	judge_choices(c);
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
