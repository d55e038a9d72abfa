/* How far everything that decided something can be trusted, and whether the signatory has read it. */
#include "assess/context.h"

#include <string.h>

#include "model/recording.h"

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

static bool from_overlay(const struct lib_note *note)
{
	return note->standing == STANDING_FIRM || note->replaces;
}

/* The reading of an overlay that covers an entry. What was read for the shipped entry, or for another of that
 * name, says nothing about what a firm put in its place: that reading stands in the same file. What was read
 * after the signature was not there to rely on. */
static const struct lib_reading *overlay_reading(const struct context *c, const struct lib_note *note)
{
	const struct fact *signed_on = record_fact(c->record, "signature.date");
	for (size_t i = 0; i < c->library->reading_count; i++) {
		const struct lib_reading *l = &c->library->readings[i];
		if (text_equal(l->id, note->id) && l->edition && *l->edition && l->clause && *l->clause &&
			(!from_overlay(note) || text_equal(l->at.file, note->at.file)) &&
			!(fact_given(signed_on) && date_compare(l->read_on, signed_on->date) > 0))
			return l;
	}
	return NULL;
}

/* What the signatory, or the firm's overlay, says was read; false when nobody read it. */
static bool reading_of(const struct context *c, const struct lib_note *note, struct reading *out)
{
	const struct item *item = record_item(c->record, "job.readings", note->id);
	const struct lib_reading *lib = overlay_reading(c, note);
	if (item && fact_given(item_fact(item, "edition")) && fact_given(item_fact(item, "clause"))) {
		*out = (struct reading){fact_text(item_fact(item, "edition")),
			fact_text(item_fact(item, "clause")), item_fact(item, "read-on")->date};
		return true;
	}
	if (lib)
		*out = (struct reading){lib->edition, lib->clause, lib->read_on};
	return lib;
}

/* What decides from memory, or from a firm's overlay in the place of what is shipped, must have been read: an
 * overlay may be looser, and only the signatory can answer for that. */
static bool needs_reading(const struct lib_note *note, enum standing standing)
{
	return standing == STANDING_MEMORY || standing == STANDING_FIRM || from_overlay(note);
}

/* What only an overlay holds, and the headings of recordings, have no words in the templates. */
static const char *title_of(struct context *c, const struct lib_note *note, const char *group)
{
	if (note->title && *note->title)
		return note->title;
	bool worded = (!from_overlay(note) || note->replaces) && !text_equal(group, "recording-headers");
	return worded ? arena_format(c->arena, "%s.%s.title", group, note->id) : note->id;
}

static void want_reading(struct context *c, const struct lib_note *note, const char *group, const char *source,
	enum standing standing)
{
	const char *id = note->id;
	const struct item_list *readings = record_list(c->record, "job.readings");
	struct place at = readings->present ? readings->at : record_fact(c->record, "job.reference")->at;
	struct finding *f = point_out(c, FINDING_CODE_READING_WANTED, id, at);
	with(c, f, "id", id);
	with(c, f, "title", title_of(c, note, group));
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
	bool known = library_limit(l, id) || library_grid(l, id) || library_type(l, id) || library_zone(l, id) ||
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
	for (size_t i = 0; i < l->causes_count; i++)
		known = known || text_equal(l->causes[i].note.id, id);
	for (size_t i = 0; i < l->tasks_count; i++)
		known = known || text_equal(l->tasks[i].note.id, id);
	for (size_t i = 0; i < l->pattern_count; i++)
		known = known || text_equal(l->patterns[i].id, id);
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
	} else if (reading_of(c, &use->limit->note, &read)) {
		use->read_edition = read.edition;
		use->read_clause = read.clause;
		use->read_on = read.read_on;
	} else if (needs_reading(&use->limit->note, use->row->standing) && !reported(c, id)) {
		want_reading(c, &use->limit->note, "limits", use->row->source, use->row->standing);
	}
}

static void judge_decision(struct context *c, struct decision *d)
{
	struct reading read;
	if (reading_of(c, d->note, &read)) {
		d->read_edition = read.edition;
		d->read_clause = read.clause;
		d->read_on = read.read_on;
	} else if (needs_reading(d->note, d->note->standing) && !reported(c, d->note->id)) {
		want_reading(c, d->note, d->group, d->note->source, d->note->standing);
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
	REPLACED(grids, "tables")
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
	REPLACED(tasks, "upkeep")
#undef REPLACED
	/* A firm's heading says which column is the force, and in which unit. */
	for (size_t i = 0; c->result->point_count && i < l->pattern_count; i++)
		if (l->patterns[i].note && from_overlay(l->patterns[i].note))
			context_decides(c, l->patterns[i].note, "recording-headers");
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
