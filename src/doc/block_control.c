#include <string.h>

#include "base/text.h"
#include "doc/block.h"

/* ---- the input register ------------------------------------------------------------------------ */

/* "closed" or, for a value, the reading. */
static const char *state_text(const struct builder *b, const struct item *e, const char *state,
	const char *reading)
{
	const struct fact *f = item_fact(e, reading);
	return fact_given(f) ? fact_shown(b->arena, f) : item_words(b, e, state);
}

static const char *proof_text(const struct builder *b, const struct item *e)
{
	const struct fact *off = item_fact(e, "disconnected-no-start");
	const struct fact *blocked = item_fact(e, "test-blocked-no-start");
	if (off->state == FACT_ABSENT && blocked->state == FACT_ABSENT)
		return "–";
	return arena_format(b->arena, "%s / %s", fact_words(b, off),
		blocked->state == FACT_ABSENT ? "–" : fact_words(b, blocked));
}

static void input_row(struct builder *b, struct doc_node *t, const struct input_result *r)
{
	const struct item *e = r->entry;
	struct doc_row *row = doc_row(b->document, t);
	row->label = target(b, "input", e->id);
	cell(b, row, 0, e->id);
	cell(b, row, 1, item_words(b, e, "function"));
	cell(b, row, 2, item_words(b, e, "contact"));
	cell(b, row, 3, arena_format(b->arena, "%s / %s", state_text(b, e, "at-rest", "rest-reading"),
		state_text(b, e, "actuated", "actuated-reading")));
	cell(b, row, 4, arena_format(b->arena, "%s / %s", item_words(b, e, "did-opening"),
		item_words(b, e, "did-closing")));
	cell(b, row, 5, item_words(b, e, "as-manual-says"));
	cell(b, row, 6, proof_text(b, e));
	cell(b, row, 7, label(b, r->outcome == OUTCOME_ANSWERED ? "as-expected" : "outcome-open"));
}

static void symptom_row(struct builder *b, struct doc_node *t, const struct diagnosis *d)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, choice(b, d->symptom))->style = SPAN_BOLD;
	for (size_t i = 0; i < d->cause_count; i++) {
		const struct cause_result *r = &d->causes[i];
		const char *title = title_of(b, "causes", &r->cause->note);
		if (r->input)
			title = arena_format(b->arena, "%s: %s", r->input->id, title);
		spans_add(b->arena, cell_line(b, row, 1), r->fits ? title :
			label_with(b, "cause-unread", "cause", title), r->fits ? 0 : SPAN_GREY);
	}
	if (!d->cause_count)
		cell(b, row, 1, label(b, "no-cause"));
}

/* With the caution, wherever a reader may go on to look for the cause. */
static void symptoms_table(struct builder *b)
{
	static const struct column columns[] = {{"symptom", 0.25, 30, ALIGN_LEFT},
		{"likely-causes", 0.75, 80, ALIGN_LEFT}};
	const struct assessment *s = b->assessment;
	const char *caution = phrasebook_find(b->input->phrasebook, "diagnosis.caution");
	if (!s->diagnosis_count)
		return;
	struct doc_node *t = table_add(b, "summary-symptoms", columns, COUNT_OF(columns));
	for (size_t i = 0; i < s->diagnosis_count; i++)
		symptom_row(b, t, &s->diagnoses[i]);
	text_add(b, caution ? caution : "diagnosis.caution");
}

void block_inputs(struct builder *b)
{
	static const struct column columns[] = {{"input", 0.14, 18, ALIGN_LEFT},
		{"function", 0.12, 16, ALIGN_LEFT}, {"contact", 0.14, 18, ALIGN_LEFT},
		{"rest-actuated", 0.2, 24, ALIGN_LEFT}, {"opening-closing", 0.18, 24, ALIGN_LEFT},
		{"as-manual", 0, 14, ALIGN_LEFT}, {"no-start", 0, 18, ALIGN_LEFT},
		{"outcome", 0.12, 18, ALIGN_LEFT}};
	const struct assessment *s = b->assessment;
	if (!s->input_count) {
		text_add(b, label(b, "no-inputs"));
		symptoms_table(b);
		return;
	}
	struct doc_node *t = table_add(b, "summary-inputs", columns, COUNT_OF(columns));
	for (size_t i = 0; i < s->input_count; i++)
		input_row(b, t, &s->inputs[i]);
	symptoms_table(b);
}

/* ---- commissioning checks ---------------------------------------------------------------------- */

/* A rule that compares nothing only says the answers again. */
static bool compares(const char *shown)
{
	static const char *const signs[] = {"<", ">", "≤", "≥", "≠", " = "};
	for (size_t i = 0; i < COUNT_OF(signs); i++)
		if (strstr(shown, signs[i]))
			return true;
	return false;
}

static void check_facts(struct builder *b, struct doc_row *row, const struct check_result *r)
{
	for (size_t i = 0; i < r->check->ask_count; i++) {
		const char *id = r->check->asks[i].id;
		const char *key = arena_format(b->arena, "checks.%s.facts.%s", r->check->note.id, id);
		const char *question = phrasebook_find(b->input->phrasebook, key);
		const struct fact *f = item_fact(r->entry, arena_format(b->arena, "facts.%s", id));
		struct spans *s = cell_line(b, row, 1);
		spans_add(b->arena, s, question ? question : id, SPAN_GREY);
		spans_add(b->arena, s, arena_format(b->arena, " %s", fact_words(b, f)), 0);
	}
	if (compares(r->shown))
		spans_add(b->arena, cell_line(b, row, 1), label_with(b, "rule-of-check", "rule",
			rule_words(b, r->shown)), SPAN_GREY);
	if (!row->cells[1].spans.first)
		cell(b, row, 1, item_words(b, r->entry, "outcome"));
}

static void check_row(struct builder *b, struct doc_node *t, const struct check_result *r)
{
	struct doc_row *row = doc_row(b->document, t);
	const struct lib_note *note = &r->check->note;
	row->label = target(b, "check", note->id);
	cell(b, row, 0, title_of(b, "checks", note))->style = SPAN_BOLD;
	const char *text = phrasebook_part(b->input->phrasebook, "checks", note->id, "text");
	if (text)
		spans_add(b->arena, cell_line(b, row, 0), text, 0);
	spans_add(b->arena, cell_line(b, row, 0), source_text(b, note->source, note->standing), SPAN_GREY);
	check_facts(b, row, r);
	cell(b, row, 2, r->entry ? arena_format(b->arena, "%s\n%s", item_words(b, r->entry, "on"),
		item_words(b, r->entry, "by")) : label(b, "not-on-record"));
	if (fact_given(item_fact(r->entry, "evidence")))
		evidence_spans(b, cell_line(b, row, 2), item_fact(r->entry, "evidence"));
	cell(b, row, 3, r->outcome == OUTCOME_ANSWERED ? label(b, "as-expected") :
		label(b, "outcome-open"))->style = SPAN_BOLD;
}

void block_checks(struct builder *b)
{
	static const struct column columns[] = {{"check", 0.42, 46, ALIGN_LEFT},
		{"found", 0.36, 40, ALIGN_LEFT}, {"date-by-evidence", 0.22, 28, ALIGN_LEFT},
		{"outcome", 0, 22, ALIGN_LEFT}};
	const struct assessment *s = b->assessment;
	struct doc_node *t = table_add(b, "summary-checks", columns, COUNT_OF(columns));
	size_t absent = 0;
	for (size_t i = 0; i < s->check_count; i++)
		if (s->checks[i].outcome == OUTCOME_ABSENT)
			absent++;
		else
			check_row(b, t, &s->checks[i]);
	if (absent)
		note_add(b, label_with(b, "checks-absent", "count", arena_format(b->arena, "%zu", absent)));
}
