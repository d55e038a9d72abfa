/* Safety functions in the technical file: what is asked for, and every step from the parts to the level. */
#include "base/text.h"
#include "doc/block.h"

static const char *least_text(const struct builder *b, const struct function_result *r)
{
	const char *level = *r->least ? r->least : "–";
	if (!r->function->categories.count)
		return level;
	return arena_format(b->arena, "%s, %s %s", level, label(b, "category"), words_text(b, r->function->categories));
}

static void function_rows(struct builder *b, struct doc_node *t, const struct item *e)
{
	static const char *const plain[] = {"devices", "level", "category", "tested-before-each-movement"};
	facts_row(b, t, label(b, "risk-graph"), arena_format(b->arena, "S %s, F %s, P %s", item_words(b, e, "severity"),
		item_words(b, e, "frequency"), item_words(b, e, "avoidance")));
	for (size_t i = 0; i < COUNT_OF(plain); i++)
		facts_row(b, t, field_title(b, arena_format(b->arena, "functions[].%s", plain[i])),
			item_words(b, e, plain[i]));
	static const char *const cited[] = {"paper", "wiring"};
	for (size_t i = 0; i < COUNT_OF(cited); i++)
		facts_evidence(b, t, field_title(b, arena_format(b->arena, "functions[].%s", cited[i])),
			item_fact(e, cited[i]));
	static const char *const proof[] = {"test-setting", "proved-on"};
	for (size_t i = 0; i < COUNT_OF(proof); i++)
		facts_row(b, t, field_title(b, arena_format(b->arena, "functions[].%s", proof[i])),
			item_words(b, e, proof[i]));
	facts_evidence(b, t, field_title(b, "functions[].proof"), item_fact(e, "proof"));
}

/* ---- the level: every step from the parts to the whole --------------------------------------------- */

static const char *rate_text(const struct builder *b, double per_hour, bool known)
{
	if (per_hour <= 0)
		return "–";
	return arena_format(b->arena, "%s%s 1/h", known ? "" : "≤ ", figure_text(b->arena, per_hour));
}

static void subsystem_row(struct builder *b, struct doc_node *t, const struct subsystem_view *v)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, v->entry->id);
	if (v->part)
		spans_add(b->arena, cell_line(b, row, 0), v->part->device, SPAN_GREY);
	cell(b, row, 1, item_words(b, v->entry, "roles"));
	cell(b, row, 2, *v->category ? v->category : "–");
	cell(b, row, 3, *v->gap ? "–" : v->level);
	cell(b, row, 4, rate_text(b, v->per_hour, v->rate_known));
	cell(b, row, 5, label_of(b, "decided", v->by));
	evidence_spans(b, cell_line(b, row, 6), item_fact(v->entry, "paper"));
}

static void subsystems_table(struct builder *b, const struct function_result *r)
{
	static const struct column columns[] = {{"subsystem", 0.24, 28, ALIGN_LEFT}, {"role", 0.14, 20, ALIGN_LEFT},
		{"category", 0.09, 14, ALIGN_LEFT}, {"level-short", 0.07, 11, ALIGN_LEFT},
		{"per-hour", 0.14, 22, ALIGN_LEFT}, {"decided-by", 0.16, 22, ALIGN_LEFT},
		{"paper", 0.16, 24, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-subsystems", columns, COUNT_OF(columns));
	for (size_t i = 0; i < r->subsystem_count; i++)
		subsystem_row(b, t, &r->subsystems[i]);
}

/* Steps in a row from one source name it once, with the last of them. */
static void steps_table(struct builder *b, const struct function_result *r)
{
	static const struct column columns[] = {{"step", 0.6, 80, ALIGN_LEFT}, {"source", 0.4, 50, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-steps", columns, COUNT_OF(columns));
	const struct step *before = NULL;
	struct doc_row *row = NULL;
	for (const struct step *s = r->steps.first; s; before = s, s = s->next) {
		bool same = before && text_equal(before->source, s->source) && before->standing == s->standing;
		if (!same) {
			row = doc_row(b->document, t);
			if (s->source)
				cell(b, row, 1, source_text(b, s->source, s->standing))->style = SPAN_GREY;
		}
		spans_add(b->arena, cell_line(b, row, 0), step_shown(b->arena, b->input->phrasebook, s), 0);
	}
}

static const char *reached_text(const struct builder *b, const struct function_result *r)
{
	return arena_format(b->arena, "%s, PFHd %s (%s)", r->level, rate_text(b, r->per_hour, true),
		label_of(b, "decided", r->by));
}

static void function_section(struct builder *b, const struct function_result *r)
{
	const char *title = title_of(b, "functions", &r->function->note);
	const char *id = r->entry ? r->entry->id : r->function->note.id;
	subheading(b, 3, r->entry ? arena_format(b->arena, "%s (%s)", title, id) : title,
		target(b, "function", id));
	const char *text = phrasebook_part(b->input->phrasebook, "functions", r->function->note.id, "text");
	if (text)
		text_add(b, text)->keep_with_next = true;
	struct doc_node *t = facts_table(b, "summary-function");
	facts_row(b, t, label(b, "asked-for"), yes_no(b, r->required));
	facts_row(b, t, label(b, "least-level"), least_text(b, r));
	facts_row(b, t, label(b, "source"), source_text(b, r->function->note.source,
		r->function->note.standing));
	if (*r->level) {
		facts_row(b, t, label(b, "level-reached"), reached_text(b, r));
		facts_row(b, t, label(b, "weakest"), r->weakest);
	}
	if (r->entry)
		function_rows(b, t, r->entry);
	facts_row(b, t, label(b, "outcome"), r->entry ? outcome_text(b, r->outcome) :
		label(b, "not-on-record"));
	t->last_row->cells[1].spans.first->style = SPAN_BOLD;
	if (!r->subsystem_count)
		return;
	subsystems_table(b, r);
	steps_table(b, r);
}

void block_functions(struct builder *b)
{
	const struct assessment *s = b->assessment;
	if (!s->function_count)
		text_add(b, label(b, "no-functions"));
	for (size_t i = 0; i < s->function_count; i++)
		function_section(b, &s->functions[i]);
}
