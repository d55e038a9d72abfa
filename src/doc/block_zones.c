#include <string.h>

#include "base/text.h"
#include "doc/block.h"

static const char *leaf_name(const struct builder *b, const struct zone_result *z)
{
	return z->leaf ? z->leaf->id : label(b, "whole-gate");
}

/* A zone that the geometry found is named by its two parts as well. */
static const char *short_title(const struct builder *b, const struct zone_result *z)
{
	const char *title = title_of(b, "zones", &z->zone->note);
	if (!z->clearance)
		return title;
	return arena_format(b->arena, "%s: %s", title, pair_title(b, z->clearance));
}

static const char *zone_title(const struct builder *b, const struct zone_result *z)
{
	const char *title = short_title(b, z);
	return z->leaf ? arena_format(b->arena, "%s, %s", title, z->leaf->id) : title;
}

/* ---- index ------------------------------------------------------------------------------------- */

void block_zone_index(struct builder *b)
{
	static const struct column columns[] = {{"number", 0, 8, ALIGN_RIGHT},
		{"zone", 0.55, 40, ALIGN_LEFT}, {"leaf", 0.15, 14, ALIGN_LEFT},
		{"disposition", 0.2, 22, ALIGN_LEFT}, {"outcome", 0.2, 20, ALIGN_LEFT},
		{"page", 0, 10, ALIGN_RIGHT}};
	struct doc_node *t = table_add(b, "summary-zone-index", columns, COUNT_OF(columns));
	for (size_t i = 0; i < b->assessment->zone_count; i++) {
		const struct zone_result *z = &b->assessment->zones[i];
		struct doc_row *row = doc_row(b->document, t);
		const char *to = target(b, "zone", z->key);
		cell(b, row, 0, arena_format(b->arena, "%d", z->number));
		spans_link(b->arena, &row->cells[1].spans, short_title(b, z), to);
		cell(b, row, 2, leaf_name(b, z));
		cell(b, row, 3, item_words(b, z->entry, "as"));
		cell(b, row, 4, outcome_text(b, z->outcome));
		spans_page(b->arena, &row->cells[5].spans, to);
	}
}

/* ---- one zone ---------------------------------------------------------------------------------- */

static const char *answered_by(const struct builder *b, const struct zone_result *z,
	const struct hazard_result *h)
{
	if (h->designed_out)
		return label(b, "by-design");
	if (h->by)
		return title_of(b, "measures", &h->by->note);
	return label(b, z->outcome == OUTCOME_ABSENT ? "not-present" : "nothing-yet");
}

static void hazard_row(struct builder *b, struct doc_node *t, const struct zone_result *z,
	const struct hazard_result *h)
{
	struct doc_row *row = doc_row(b->document, t);
	const struct lib_hazard *l = h->hazard;
	cell(b, row, 0, hazard_title(b, l->kind));
	cell(b, row, 1, words_text(b, l->arises));
	cell(b, row, 2, arena_format(b->arena, "%s", choice(b, l->harm ? l->harm : "–")));
	if (l->who.count)
		spans_add(b->arena, cell_line(b, row, 2), words_text(b, l->who), SPAN_GREY);
	const char *before = *h->risk_before ? choice(b, h->risk_before) : "–";
	const char *after = *h->risk_after ? choice(b, h->risk_after) : "–";
	cell(b, row, 3, arena_format(b->arena, "%s → %s", before, after));
	cell(b, row, 4, answered_by(b, z, h));
	if (*h->shown)
		spans_add(b->arena, cell_line(b, row, 4), rule_words(b, h->shown), SPAN_GREY);
	cell(b, row, 5, outcome_text(b, h->outcome));
}

static void hazard_table(struct builder *b, const struct zone_result *z)
{
	static const struct column columns[] = {{"hazard", 0.2, 22, ALIGN_LEFT},
		{"arises", 0.18, 18, ALIGN_LEFT}, {"harm", 0.2, 20, ALIGN_LEFT},
		{"risk-before-after", 0.2, 24, ALIGN_LEFT}, {"answered-by", 0.4, 36, ALIGN_LEFT},
		{"outcome", 0.14, 18, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-hazards", columns, COUNT_OF(columns));
	for (size_t i = 0; i < z->hazard_count; i++)
		hazard_row(b, t, z, &z->hazards[i]);
}

static const char *ask_title(const struct builder *b, const struct zone_result *z, const struct lib_field *ask)
{
	const char *key = ask->words ? ask->words
				     : arena_format(b->arena, "zones.%s.facts.%s", z->zone->note.id, ask->id);
	const char *text = phrasebook_find(b->input->phrasebook, key);
	return text ? text : ask->id;
}

static void zone_facts(struct builder *b, const struct zone_result *z)
{
	struct doc_node *t = facts_table(b, "summary-zone-facts");
	facts_row(b, t, field_title(b, "zones[].as"), item_words(b, z->entry, "as"));
	facts_evidence(b, t, field_title(b, "zones[].evidence"), item_fact(z->entry, "evidence"));
	facts_row(b, t, field_title(b, "zones[].looked-on"), item_words(b, z->entry, "looked-on"));
	for (size_t i = 0; i < z->zone->ask_count; i++) {
		const char *id = z->zone->asks[i].id;
		const struct fact *f = item_fact(z->entry, arena_format(b->arena, "facts.%s", id));
		if (f->state != FACT_ABSENT)
			facts_row(b, t, ask_title(b, z, &z->zone->asks[i]), fact_words(b, f));
	}
	if (z->outcome != OUTCOME_ABSENT) {
		facts_row(b, t, field_title(b, "zones[].likely-before"),
			item_words(b, z->entry, "likely-before"));
		facts_row(b, t, field_title(b, "zones[].likely-after"),
			item_words(b, z->entry, "likely-after"));
		facts_row(b, t, field_title(b, "zones[].residual"), item_words(b, z->entry, "residual"));
	}
	if (fact_given(item_fact(z->entry, "note")))
		facts_row(b, t, field_title(b, "zones[].note"), item_words(b, z->entry, "note"));
}

static const char *name_in_group(const struct builder *b, enum need_kind kind, const char *name)
{
	const struct library *l = b->assessment->library;
	const struct lib_measure *m = library_measure(l, name);
	const struct lib_function *f = library_function(l, name);
	const struct lib_check *c = library_check(l, name);
	if (kind == NEED_WITH && m)
		return title_of(b, "measures", &m->note);
	if (kind == NEED_FUNCTION && f)
		return title_of(b, "functions", &f->note);
	if (kind == NEED_CHECK && c)
		return title_of(b, "checks", &c->note);
	return choice(b, name);
}

/* What is needed, said from its kind: "Safety function: contact detection". */
static const char *need_text(const struct builder *b, const struct lib_need *n)
{
	static const char *const kinds[] = {[NEED_HOLDS] = "holds", [NEED_DEVICE] = "device",
		[NEED_FUNCTION] = "function", [NEED_FORCE] = "force", [NEED_CHECK] = "check",
		[NEED_EVIDENCE] = "evidence", [NEED_WITH] = "with"};
	/* Of devices, functions, evidence one is enough; of checks all are due. */
	const char *between = n->kind == NEED_CHECK ? "; " : " / ";
	struct buf out;
	buf_init(&out, b->arena);
	buf_put(&out, label_of(b, "need", kinds[n->kind]));
	for (size_t i = 0; i < n->names.count; i++)
		buf_format(&out, "%s%s", i ? between : ": ", name_in_group(b, n->kind, n->names.items[i]));
	return out.bytes;
}

/* What answers the need, linked to where it stands. */
static void because_cell(struct builder *b, struct doc_row *row, const struct need_result *n)
{
	static const struct {
		enum need_kind kind;
		const char *target, *list;
	} places[] = {{NEED_DEVICE, "device", "devices"}, {NEED_FUNCTION, "function", "functions"},
		{NEED_CHECK, "check", "checks"}};
	if (n->need->kind == NEED_EVIDENCE && n->outcome == OUTCOME_ANSWERED) {
		cell(b, row, 1, label(b, "evidence-of-zone"));
		return;
	}
	for (size_t i = 0; i < COUNT_OF(places); i++)
		if (places[i].kind == n->need->kind && record_item(b->record, places[i].list, n->because)) {
			spans_link(b->arena, &row->cells[1].spans, n->because,
				target(b, places[i].target, n->because));
			return;
		}
	cell(b, row, 1, *n->because ? choice(b, n->because) : "–");
}

static void need_rows(struct builder *b, struct doc_node *t, const struct measure_result *m)
{
	for (size_t i = 0; i < m->need_count; i++) {
		const struct need_result *n = &m->needs[i];
		if (n->outcome == OUTCOME_ABSENT)
			continue;
		struct doc_row *row = doc_row(b->document, t);
		cell(b, row, 0, need_text(b, n->need));
		if (*n->shown)
			cell(b, row, 1, rule_words(b, n->shown));
		else
			because_cell(b, row, n);
		cell(b, row, 2, outcome_text(b, n->outcome));
	}
}

static void measure_tables(struct builder *b, const struct zone_result *z)
{
	static const struct column columns[] = {{"measure-and-need", 0.45, 50, ALIGN_LEFT},
		{"on-record", 0.4, 40, ALIGN_LEFT}, {"outcome", 0.15, 20, ALIGN_LEFT}};
	if (!z->measure_count)
		return;
	struct doc_node *t = table_add(b, "summary-needs", columns, COUNT_OF(columns));
	for (size_t i = 0; i < z->measure_count; i++) {
		const struct measure_result *m = &z->measures[i];
		struct doc_row *row = doc_row(b->document, t);
		row->strong_rule = true;
		row->keep_with_next = true;
		cell(b, row, 0, title_of(b, "measures", &m->measure->note))->style = SPAN_BOLD;
		cell(b, row, 1, source_text(b, m->measure->note.source, m->measure->note.standing))
			->style = SPAN_GREY;
		cell(b, row, 2, label(b, m->counts ? "counts" : "counts-not"))->style = SPAN_BOLD;
		need_rows(b, t, m);
	}
}

static void zone_sources(struct builder *b, const struct zone_result *z)
{
	struct buf out;
	buf_init(&out, b->arena);
	buf_put(&out, source_text(b, z->zone->note.source, z->zone->note.standing));
	for (size_t i = 0; i < z->hazard_count; i++)
		for (size_t k = 0; k < z->hazards[i].hazard->clauses.count; k++) {
			const char *clause = z->hazards[i].hazard->clauses.items[k];
			if (!strstr(out.bytes, clause))
				buf_format(&out, "; %s", clause);
		}
	note_add(b, label_with(b, "sources", "sources", out.bytes));
}

static void zone_section(struct builder *b, const struct zone_result *z)
{
	subheading(b, 2, arena_format(b->arena, "%s  %s", label_with(b, "zone-number", "zone",
		arena_format(b->arena, "%d", z->number)), zone_title(b, z)), target(b, "zone", z->key));
	struct doc_node *key = note_add(b, z->key);
	key->spans.first->style = SPAN_SMALL | SPAN_MONO;
	key->keep_with_next = true;
	const char *text = phrasebook_part(b->input->phrasebook, "zones", z->zone->note.id, "text");
	if (text)
		text_add(b, text)->keep_with_next = true;
	hazard_table(b, z);
	zone_facts(b, z);
	measure_tables(b, z);
	charts_of_zone(b, z);
	photographs_of_zone(b, z);
	zone_sources(b, z);
}

void block_risk_assessment(struct builder *b)
{
	for (size_t i = 0; i < b->assessment->zone_count; i++)
		zone_section(b, &b->assessment->zones[i]);
}

/* ---- measures ---------------------------------------------------------------------------------- */

static const struct measure_result *chosen_in(const struct zone_result *z, const struct lib_measure *m)
{
	for (size_t i = 0; i < z->measure_count; i++)
		if (z->measures[i].measure == m)
			return &z->measures[i];
	return NULL;
}

static void measure_row(struct builder *b, struct doc_node *t, const struct lib_measure *m,
	const struct zone_result *const *zones, size_t count, size_t counting)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, title_of(b, "measures", &m->note))->style = SPAN_BOLD;
	const char *text = phrasebook_part(b->input->phrasebook, "measures", m->note.id, "text");
	if (text)
		spans_add(b->arena, cell_line(b, row, 0), text, 0);
	spans_add(b->arena, cell_line(b, row, 0), source_text(b, m->note.source, m->note.standing),
		SPAN_GREY);
	cell(b, row, 1, label_of(b, "step", m->step ? m->step : "none"));
	cell(b, row, 2, m->protection && *m->protection ? m->protection : "–");
	zone_numbers(b, &row->cells[3].spans, zones, count);
	cell(b, row, 4, arena_format(b->arena, "%zu / %zu", counting, count));
}

void block_measures(struct builder *b)
{
	static const struct column columns[] = {{"measure", 0.5, 50, ALIGN_LEFT},
		{"step", 0.2, 26, ALIGN_LEFT}, {"protection", 0, 14, ALIGN_CENTRE},
		{"zones", 0.2, 22, ALIGN_LEFT}, {"counts-in", 0, 16, ALIGN_RIGHT}};
	const struct assessment *s = b->assessment;
	const struct zone_result **zones = arena_array(b->arena, s->zone_count, sizeof *zones);
	struct doc_node *t = table_add(b, "summary-measures", columns, COUNT_OF(columns));
	for (size_t m = 0; m < s->library->measures_count; m++) {
		const struct lib_measure *measure = &s->library->measures[m];
		size_t count = 0, counting = 0;
		for (size_t i = 0; i < s->zone_count; i++) {
			const struct measure_result *r = chosen_in(&s->zones[i], measure);
			if (r) {
				zones[count++] = &s->zones[i];
				counting += r->counts;
			}
		}
		if (count)
			measure_row(b, t, measure, zones, count, counting);
	}
}

/* ---- residual risks, gaps ---------------------------------------------------------------------- */

void block_residual_risks(struct builder *b)
{
	static const struct column columns[] = {{"number", 0, 8, ALIGN_RIGHT},
		{"zone", 0.35, 36, ALIGN_LEFT}, {"residual", 0.65, 60, ALIGN_LEFT}};
	struct doc_node *t = NULL;
	for (size_t i = 0; i < b->assessment->zone_count; i++) {
		const struct zone_result *z = &b->assessment->zones[i];
		const struct fact *f = item_fact(z->entry, "residual");
		if (z->outcome == OUTCOME_ABSENT || f->state == FACT_NONE)
			continue;
		if (!t)
			t = table_add(b, "summary-residual", columns, COUNT_OF(columns));
		struct doc_row *row = doc_row(b->document, t);
		zone_numbers(b, &row->cells[0].spans, &z, 1);
		cell(b, row, 1, zone_title(b, z));
		cell(b, row, 2, fact_words(b, f));
	}
	if (!t)
		text_add(b, label(b, "no-residual"));
}

static void rule_row(struct builder *b, struct doc_node *t, const struct zone_result *z, const char *about,
	const char *shown, const char *outcome)
{
	struct doc_row *row = doc_row(b->document, t);
	zone_numbers(b, &row->cells[0].spans, &z, 1);
	cell(b, row, 1, about);
	cell(b, row, 2, rule_words(b, shown));
	cell(b, row, 3, outcome);
}

static void zone_rule_rows(struct builder *b, struct doc_node *t, const struct zone_result *z)
{
	/* Geometry that does not hold is of no account where a measure answers the hazard. */
	for (size_t i = 0; i < z->hazard_count; i++) {
		const struct hazard_result *h = &z->hazards[i];
		if (*h->shown && (h->designed_out || h->outcome == OUTCOME_OPEN))
			rule_row(b, t, z, hazard_title(b, h->hazard->kind), h->shown,
				label(b, h->designed_out ? "rule-holds" : "rule-holds-not"));
	}
	for (size_t i = 0; i < z->measure_count; i++)
		for (size_t k = 0; k < z->measures[i].need_count; k++) {
			const struct need_result *n = &z->measures[i].needs[k];
			if (*n->shown && n->outcome != OUTCOME_ABSENT)
				rule_row(b, t, z, title_of(b, "measures", &z->measures[i].measure->note),
					n->shown, label(b, n->outcome == OUTCOME_ANSWERED ? "rule-holds" :
						"rule-holds-not"));
		}
}

void block_gaps_and_reach(struct builder *b)
{
	static const struct column columns[] = {{"zone", 0, 10, ALIGN_RIGHT},
		{"hazard-or-measure", 0.3, 34, ALIGN_LEFT}, {"rule-with-numbers", 0.55, 60, ALIGN_LEFT},
		{"outcome", 0.15, 20, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-gaps", columns, COUNT_OF(columns));
	for (size_t i = 0; i < b->assessment->zone_count; i++)
		zone_rule_rows(b, t, &b->assessment->zones[i]);
	if (!t->first_row)
		cell(b, doc_row(b->document, t), 2, label(b, "no-rules"));
}
