/* Which zones the gate has, what was chosen for each, and whether every hazard in them is answered. */
#include "assess/context.h"

#include <string.h>

#include "assess/found.h"

static struct place entry_place(const struct context *c, const struct zone_result *z)
{
	return z->entry ? z->entry->at : record_list(c->record, "zones")->at;
}

static void choose_measures(struct context *c, struct zone_result *z)
{
	const struct fact *by = item_fact(z->entry, "by");
	z->measures = arena_array(c->arena, by->count + 1, sizeof *z->measures);
	for (size_t i = 0; fact_given(by) && i < by->count; i++) {
		const struct lib_measure *m = library_measure(c->library, by->list[i]);
		if (!m) {
			struct finding *f = point_out(c, FINDING_CODE_MEASURE_UNKNOWN, z->key, by->list_at[i]);
			with(c, f, "measure", by->list[i]);
			continue;
		}
		struct measure_result *r = &z->measures[z->measure_count++];
		r->measure = m;
		r->need_count = m->need_count;
		r->needs = arena_array(c->arena, m->need_count + 1, sizeof *r->needs);
		for (size_t k = 0; k < m->need_count; k++)
			c->result->force_needed = c->result->force_needed || m->needs[k].kind == NEED_FORCE;
	}
}

/* `found`: by the geometry, or NULL for a zone that the type lists. */
static void add_zone(struct context *c, const struct lib_zone *zone, const struct item *leaf,
	const struct clearance_result *found)
{
	struct assessment *r = c->result;
	struct zone_result *z = &r->zones[r->zone_count];
	*z = (struct zone_result){.number = (int)r->zone_count + 1, .zone = zone, .leaf = leaf, .clearance = found};
	z->key = found ? found->key : arena_format(c->arena, "%s@%s", zone->note.id, leaf ? leaf->id : "gate");
	z->entry = record_item(c->record, "zones", z->key);
	c->zone = z;
	/* A zone whose existence is unknown counts as present. */
	bool exists = !zone->when || !context_excludes(c, zone->when);
	c->zone = NULL;
	if (!exists)
		return;
	r->zone_count++;
	context_decides(c, &zone->note, "zones");
	z->hazards = arena_array(c->arena, zone->hazard_count + 1, sizeof *z->hazards);
	z->hazard_count = zone->hazard_count;
	for (size_t i = 0; i < zone->hazard_count; i++)
		z->hazards[i] = (struct hazard_result){.hazard = &zone->hazards[i], .shown = "",
			.risk_before = "", .risk_after = ""};
	if (z->entry && fact_given(item_fact(z->entry, "as")))
		choose_measures(c, z);
}

/* A zone of the type that this gate has not, and of which nothing is said: left over from the blank record. */
static bool is_idle(const struct context *c, const struct item *entry)
{
	const char *id = arena_copy(c->arena, entry->id, strcspn(entry->id, "@"));
	return words_have(c->record->type->zones, id) && !fact_given(item_fact(entry, "as"));
}

static void report_strange_entries(struct context *c)
{
	const struct item_list *entries = record_list(c->record, "zones");
	size_t n = c->result->zone_count;
	/* Without a type there are no zones to compare with, and that is the open point. */
	if (!c->record->type)
		return;
	const char **keys = arena_array(c->arena, n + 1, sizeof *keys);
	for (size_t i = 0; i < n; i++)
		keys[i] = c->result->zones[i].key;
	for (size_t i = 0; i < entries->count; i++) {
		if (context_zone(c, entries->items[i].id) || is_idle(c, &entries->items[i]))
			continue;
		struct finding *f = point_out(c, FINDING_CODE_ZONE_UNKNOWN, entries->items[i].id,
			entries->items[i].at);
		with(c, f, "zone", entries->items[i].id);
		suggest(c, f, entries->items[i].id, keys, n);
	}
}

/* What the geometry finds and no zone of the type deals with. */
static void add_found_zones(struct context *c)
{
	const struct geometry *g = c->result->geometry;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		struct clearance_result *r = &g->clearances[i];
		geometry_listed(c, r);
		const struct lib_zone *zone = found_zone(c, r);
		if (!zone)
			continue;
		add_zone(c, zone, r->leaf, r);
		if (!r->listed)
			r->listed = r->key;
	}
}

void assess_zones(struct context *c)
{
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	const struct lib_type *type = c->record->type;
	assess_geometry(c);
	c->result->zones = arena_array(c->arena,
		c->library->zones_count * (leaves->count + 1) + found_most(c) + 1, sizeof *c->result->zones);
	if (type)
		context_decides(c, &type->note, "types");
	for (size_t i = 0; type && i < type->zones.count; i++) {
		const struct lib_zone *zone = library_zone(c->library, type->zones.items[i]);
		if (zone && zone->per_gate)
			add_zone(c, zone, NULL, NULL);
		for (size_t k = 0; zone && !zone->per_gate && k < leaves->count; k++)
			add_zone(c, zone, &leaves->items[k], NULL);
	}
	add_found_zones(c);
	report_strange_entries(c);
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const struct fact *zones = item_fact(&devices->items[i], "zones");
		for (size_t k = 0; fact_given(zones) && k < zones->count; k++)
			if (!context_zone(c, zones->list[k]))
				point_out_with(c, FINDING_CODE_DEVICE_ZONE, devices->items[i].id,
					zones->list_at[k], "zone", zones->list[k]);
	}
}

/* --- needs ------------------------------------------------------------------------------------ */

static bool need_device(struct context *c, const struct lib_need *need, struct need_result *r)
{
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const struct item *d = &devices->items[i];
		if (words_have(need->names, fact_text(item_fact(d, "kind"))) &&
			fact_has(item_fact(d, "zones"), c->zone->key) &&
			(!need->each_direction || (device_covers(c, d) && device_certified(d)))) {
			r->because = d->id;
			return true;
		}
	}
	return false;
}

/* A function that counts, of one of these kinds; where `device` is given it must be one that reads it. */
static bool function_for(const struct context *c, const struct lib_need *need, const struct item *device,
	struct need_result *r)
{
	for (size_t i = 0; i < c->result->function_count; i++) {
		const struct function_result *f = &c->result->functions[i];
		if (f->entry && f->outcome == OUTCOME_ANSWERED && words_have(need->names, f->function->note.id) &&
			(!device || fact_has(item_fact(f->entry, "devices"), device->id))) {
			r->because = f->entry->id;
			return true;
		}
	}
	return false;
}

/* What a detector sees counts only through a function that reads this detector: a function proved on
 * another edge proves nothing here. Every device of the measure in this zone that has an input needs one. */
static bool need_function(struct context *c, const struct lib_measure *measure, const struct lib_need *need,
	struct need_result *r)
{
	const struct item_list *devices = record_list(c->record, "devices");
	bool through_device = false;
	for (size_t n = 0; n < measure->need_count; n++) {
		const struct lib_need *fitted = &measure->needs[n];
		if (fitted->kind != NEED_DEVICE)
			continue;
		for (size_t i = 0; i < devices->count; i++) {
			const struct item *d = &devices->items[i];
			if (!words_have(fitted->names, fact_text(item_fact(d, "kind"))) ||
				!fact_has(item_fact(d, "zones"), c->zone->key) ||
				!fact_given(item_fact(d, "input")))
				continue;
			through_device = true;
			if (!function_for(c, need, d, r))
				return false;
		}
	}
	return through_device || function_for(c, need, NULL, r);
}

static bool need_checks(struct context *c, const struct lib_need *need, struct need_result *r)
{
	for (size_t i = 0; i < need->names.count; i++) {
		bool passed = false;
		for (size_t k = 0; k < c->result->check_count; k++)
			passed = passed || (text_equal(c->result->checks[k].check->note.id, need->names.items[i]) &&
					c->result->checks[k].outcome == OUTCOME_ANSWERED);
		if (!passed)
			return false;
		r->because = i ? arena_format(c->arena, "%s, %s", r->because, need->names.items[i])
			       : need->names.items[i];
	}
	return need->names.count > 0;
}

static bool need_evidence(struct context *c, const struct lib_need *need)
{
	for (size_t i = 0; i < need->names.count; i++)
		if (evidence_count(c, item_fact(c->zone->entry, "evidence"), need->names.items[i]))
			return true;
	return false;
}

static bool need_force(struct context *c, struct need_result *r)
{
	size_t planned = 0;
	/* Of a plan that is not known in full some point cannot have been tested. */
	for (size_t i = 0; i < c->findings->count; i++)
		if (c->findings->items[i]->code == FINDING_CODE_FORCE_PLAN_UNKNOWN &&
			text_equal(c->findings->items[i]->subject, c->zone->key))
			return false;
	for (size_t i = 0; i < c->result->point_count; i++) {
		const struct point_result *p = &c->result->points[i];
		if (!text_equal(p->zone_key, c->zone->key))
			continue;
		planned += p->planned;
		if (p->outcome != OUTCOME_ANSWERED) {
			r->because = p->id;
			return false;
		}
		r->because = *r->because ? arena_format(c->arena, "%s, %s", r->because, p->id) : p->id;
	}
	return planned > 0;
}

static bool measure_counts(const struct zone_result *z, const char *id)
{
	for (size_t i = 0; i < z->measure_count; i++)
		if (text_equal(z->measures[i].measure->note.id, id))
			return z->measures[i].counts;
	return false;
}

static bool need_with(const struct zone_result *z, const struct lib_need *need)
{
	for (size_t i = 0; i < need->names.count; i++)
		if (measure_counts(z, need->names.items[i]))
			return true;
	return false;
}

static bool need_met(struct context *c, const struct zone_result *z, const struct lib_measure *m,
	const struct lib_need *need, struct need_result *r)
{
	switch (need->kind) {
	case NEED_HOLDS:
		r->shown = rule_shown(c->arena, need->holds, &c->names);
		return context_holds(c, need->holds);
	case NEED_DEVICE:
		return need_device(c, need, r);
	case NEED_FUNCTION:
		return need_function(c, m, need, r);
	case NEED_FORCE:
		return need_force(c, r);
	case NEED_CHECK:
		return need_checks(c, need, r);
	case NEED_EVIDENCE:
		return need_evidence(c, need);
	case NEED_WITH:
		return need_with(z, need);
	}
	return false;
}

/* Judges the needs of one measure; says whether all hold. Needs of kind `with` look at the other measures
 * and so come in a second round. */
static bool judge_needs(struct context *c, const struct zone_result *z, struct measure_result *m,
	bool with_round)
{
	bool all = true;
	for (size_t i = 0; i < m->measure->need_count; i++) {
		const struct lib_need *need = &m->measure->needs[i];
		struct need_result *r = &m->needs[i];
		if ((need->kind == NEED_WITH) != with_round) {
			all = all && (with_round ? r->outcome != OUTCOME_OPEN : true);
			continue;
		}
		*r = (struct need_result){.need = need, .shown = "", .because = ""};
		if (need->when && context_excludes(c, need->when))
			r->outcome = OUTCOME_ABSENT;
		else
			r->outcome = need_met(c, z, m->measure, need, r) ? OUTCOME_ANSWERED : OUTCOME_OPEN;
		all = all && r->outcome != OUTCOME_OPEN;
	}
	return all;
}

static bool has_with(const struct measure_result *m)
{
	for (size_t i = 0; i < m->measure->need_count; i++)
		if (m->measure->needs[i].kind == NEED_WITH)
			return true;
	return false;
}

static void judge_measures(struct context *c, struct zone_result *z)
{
	for (size_t i = 0; i < z->measure_count; i++) {
		bool all = judge_needs(c, z, &z->measures[i], false);
		z->measures[i].counts = all && !has_with(&z->measures[i]);
	}
	/* Again while one more counts: the order in which they were chosen does not matter. */
	for (bool more = true; more;) {
		more = false;
		for (size_t i = 0; i < z->measure_count; i++)
			if (has_with(&z->measures[i]) && !z->measures[i].counts) {
				z->measures[i].counts = judge_needs(c, z, &z->measures[i], true);
				more = more || z->measures[i].counts;
			}
	}
	for (size_t i = 0; i < z->measure_count; i++)
		if (z->measures[i].counts)
			context_decides(c, &z->measures[i].measure->note, "measures");
}

static void report_needs(struct context *c, const struct zone_result *z, const struct measure_result *m)
{
	for (size_t i = 0; i < m->measure->need_count; i++) {
		const struct need_result *r = &m->needs[i];
		if (r->outcome != OUTCOME_OPEN || !r->need)
			continue;
		struct finding *f = point_out(c, FINDING_CODE_NEED_OPEN, z->key,
			item_fact(z->entry, "by")->at);
		with(c, f, "measure", m->measure->note.id);
		with(c, f, "words", arena_format(c->arena, "measures.%s.needs.%s", m->measure->note.id,
					     r->need->id));
		with(c, f, "shown", r->shown);
		struct way *w = way_out(c, f, arena_format(c->arena, "measures.%s.ways.%s",
						      m->measure->note.id, r->need->id));
		way_value(c, w, "shown", r->shown);
		if (r->need->names.count)
			way_value(c, w, "names", r->need->names.items[0]);
		finding_source(f, m->measure->note.source, m->measure->note.standing);
	}
}

/* --- hazards ---------------------------------------------------------------------------------- */

const char *risk_class_name(double class)
{
	static const char *const CLASSES[] = {"negligible", "low", "medium", "high"};
	return class >= 0 && class <= 3 ? CLASSES[(int)class] : "";
}

static const char *risk_class(struct context *c, const struct lib_hazard *h, const struct fact *likely)
{
	if (!fact_given(likely))
		return "";
	struct value arguments[] = {value_of_word(h->harm), value_of_word(likely->text)};
	struct value v = context_limit(c, "risk-class", arguments, 2, c->zone->key);
	return v.kind == VALUE_QUANTITY ? risk_class_name(v.quantity.value) : "";
}

static const struct measure_result *answering(const struct zone_result *z, const struct lib_hazard *h)
{
	for (size_t i = 0; i < z->measure_count; i++) {
		const struct lib_measure *m = z->measures[i].measure;
		if (z->measures[i].counts && words_have(h->measures, m->note.id) &&
			words_have(m->answers, h->kind) && !words_have(m->never, h->kind) &&
			!text_equal(m->step, "information"))
			return &z->measures[i];
	}
	return NULL;
}

static void report_hazard(struct context *c, const struct zone_result *z, const struct hazard_result *r)
{
	const struct lib_hazard *h = r->hazard;
	struct finding *f = point_out(c, FINDING_CODE_HAZARD_OPEN, z->key, z->entry->at);
	with(c, f, "hazard", h->kind);
	with(c, f, "zone", z->zone->note.id);
	with(c, f, "shown", r->shown);
	if (h->designed_out) {
		struct rule_shortfall s;
		bool figure = rule_shortfall(c->arena, h->designed_out, &c->names, &s);
		struct way *w = way_out(c, f, figure ? "bring" : "design-out");
		way_value(c, w, "shown", r->shown);
		if (figure) {
			way_value(c, w, "name", s.name);
			way_value(c, w, "have", s.have);
			way_value(c, w, "relation", s.relation);
			way_value(c, w, "want", s.want);
		}
	}
	for (size_t i = 0; i < h->measures.count; i++) {
		const struct lib_measure *m = library_measure(c->library, h->measures.items[i]);
		if (m && words_have(m->answers, h->kind))
			way_value(c, way_out(c, f, "choose"), "measure", m->note.id);
	}
	finding_source(f, z->zone->note.source, z->zone->note.standing);
}

static void judge_hazard(struct context *c, const struct zone_result *z, struct hazard_result *r)
{
	const struct lib_hazard *h = r->hazard;
	if (h->designed_out) {
		r->shown = rule_shown(c->arena, h->designed_out, &c->names);
		r->designed_out = context_holds(c, h->designed_out);
	}
	const struct clearance_result *against = z->clearance ? NULL : geometry_finds(c, z, h->kind);
	if (r->designed_out && against) {
		r->designed_out = false;
		if (!answering(z, h))
			found_contradiction(c, z, h->kind, against, z->entry->at);
	}
	const struct measure_result *by = r->designed_out ? NULL : answering(z, h);
	r->by = by ? by->measure : NULL;
	r->outcome = r->designed_out || by ? OUTCOME_ANSWERED : OUTCOME_OPEN;
	r->risk_before = risk_class(c, h, item_fact(z->entry, "likely-before"));
	r->risk_after = risk_class(c, h, item_fact(z->entry, "likely-after"));
	if (r->outcome == OUTCOME_OPEN)
		report_hazard(c, z, r);
	else if (text_equal(r->risk_after, "high"))
		point_out_with(c, FINDING_CODE_ZONE_RISK, z->key, item_fact(z->entry, "likely-after")->at,
			"hazard", h->kind);
}

/* A measure on record that answers nothing in its zone is a claim without meaning. */
static void report_idle(struct context *c, const struct zone_result *z)
{
	for (size_t i = 0; i < z->measure_count; i++) {
		const struct lib_measure *m = z->measures[i].measure;
		/* What answers nothing anywhere (a sign, a beam) is a supplement, and welcome. */
		bool listed = false, possible = m->answers.count == 0;
		for (size_t k = 0; k < z->hazard_count; k++) {
			const struct lib_hazard *h = z->hazards[k].hazard;
			listed = listed || words_have(h->measures, m->note.id);
			possible = possible || (words_have(h->measures, m->note.id) &&
					words_have(m->answers, h->kind) && !words_have(m->never, h->kind));
		}
		if (!listed || !possible)
			point_out_with(c, listed ? FINDING_CODE_MEASURE_CANNOT : FINDING_CODE_MEASURE_IDLE, z->key,
				item_fact(z->entry, "by")->at, "measure", m->note.id);
	}
}

static void judge_absent(struct context *c, struct zone_result *z)
{
	bool may = z->zone->absent_when && context_holds(c, z->zone->absent_when);
	for (size_t i = 0; may && i < z->hazard_count; i++) {
		const struct clearance_result *against = geometry_finds(c, z, z->hazards[i].hazard->kind);
		if (!against)
			continue;
		found_contradiction(c, z, z->hazards[i].hazard->kind, against, item_fact(z->entry, "as")->at);
		may = false;
	}
	if (!may) {
		struct finding *f = point_out(c, FINDING_CODE_ZONE_NOT_ABSENT, z->key,
			item_fact(z->entry, "as")->at);
		with(c, f, "zone", z->zone->note.id);
		with(c, f, "shown",
			z->zone->absent_when ? rule_shown(c->arena, z->zone->absent_when, &c->names) : "");
		way_out(c, f, "answer");
	}
	for (size_t i = 0; i < z->hazard_count; i++)
		z->hazards[i].outcome = may ? OUTCOME_ABSENT : OUTCOME_OPEN;
	z->outcome = may ? OUTCOME_ABSENT : OUTCOME_OPEN;
}

static void judge_zone(struct context *c, struct zone_result *z)
{
	if (z->clearance && (!z->entry || !fact_given(item_fact(z->entry, "as")))) {
		found_report(c, z, entry_place(c, z));
		return;
	}
	if (!z->entry || !fact_given(item_fact(z->entry, "as"))) {
		struct finding *f = point_out(c, FINDING_CODE_ZONE_OPEN, z->key, entry_place(c, z));
		with(c, f, "zone", z->zone->note.id);
		with(c, f, "key", z->key);
		way_value(c, way_out(c, f, "enter"), "key", z->key);
		finding_source(f, z->zone->note.source, z->zone->note.standing);
		return;
	}
	bool shown = evidence_count(c, item_fact(z->entry, "evidence"), NULL) > 0;
	if (!shown) {
		point_out_with(c, FINDING_CODE_ZONE_EVIDENCE, z->key, z->entry->at, "zone", z->zone->note.id);
		way_out(c, c->findings->items[c->findings->count - 1], "cite");
	}
	const struct fact *on = item_fact(z->entry, "looked-on");
	const struct item_list *devices = record_list(c->record, "devices");
	bool old = context_aged(c, z->key, on, z->zone->ages_by);
	for (size_t i = 0; i < devices->count; i++)
		if (fact_has(item_fact(&devices->items[i], "zones"), z->key))
			old = context_fitted(c, z->key, on, &devices->items[i]) || old;
	if (fact_is(item_fact(z->entry, "as"), "not-present")) {
		judge_absent(c, z);
		z->outcome = old || !shown ? OUTCOME_OPEN : z->outcome;
		return;
	}
	judge_measures(c, z);
	z->outcome = old || !shown ? OUTCOME_OPEN : OUTCOME_ANSWERED;
	for (size_t i = 0; i < z->hazard_count; i++) {
		judge_hazard(c, z, &z->hazards[i]);
		if (z->hazards[i].outcome == OUTCOME_OPEN)
			z->outcome = OUTCOME_OPEN;
	}
	for (size_t i = 0; i < z->measure_count; i++)
		report_needs(c, z, &z->measures[i]);
	report_idle(c, z);
}

static bool coordinate(struct context *c, const struct rule *r, double *out)
{
	struct value v = r ? rule_value(c->arena, r, &c->names) : value_unknown();
	if (v.kind != VALUE_QUANTITY)
		return false;
	*out = v.quantity.value;
	return true;
}

/* Where it was found, in the view in which it was; in the other at the leaf's place of the model zone, if any. */
static void place_found(struct zone_result *z)
{
	const struct clearance_result *r = z->clearance;
	bool elevation = r->a->elevation;
	z->has_plan = z->has_plan || !elevation;
	z->has_elevation = z->has_elevation || elevation;
	*(elevation ? &z->elevation_x : &z->plan_x) = r->x;
	*(elevation ? &z->elevation_y : &z->plan_y) = r->y;
}

/* Places are told for the first leaf; those of the second stand on the other side of the line. */
static void mirror_place(struct context *c, struct zone_result *z)
{
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	double line;
	if (!z->leaf || z->leaf == leaves->items || !c->record->type->mirror ||
		!coordinate(c, c->record->type->mirror, &line))
		return;
	z->plan_x = 2 * line - z->plan_x;
	z->elevation_x = 2 * line - z->elevation_x;
}

void assess_hazards(struct context *c)
{
	for (size_t i = 0; i < c->result->zone_count; i++) {
		struct zone_result *z = &c->result->zones[i];
		c->zone = z;
		judge_zone(c, z);
		z->has_plan = coordinate(c, z->zone->plan_at[0], &z->plan_x) &&
			coordinate(c, z->zone->plan_at[1], &z->plan_y);
		z->has_elevation = coordinate(c, z->zone->elevation_at[0], &z->elevation_x) &&
			coordinate(c, z->zone->elevation_at[1], &z->elevation_y);
		mirror_place(c, z);
		if (z->clearance)
			place_found(z);
		c->zone = NULL;
	}
}
