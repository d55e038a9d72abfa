#include <string.h>

#include "base/text.h"
#include "doc/block.h"

/* ---- regime and standards ---------------------------------------------------------------------- */

static const char *or_dash(const char *text)
{
	return text && *text ? text : "–";
}

void block_regime(struct builder *b)
{
	static const char *const paths[] = {"job.territory", "job.work", "job.first-use", "job.built"};
	const struct lib_regime *r = b->assessment->regime;
	struct doc_node *t = facts_table(b, "summary-regime");
	facts_rows(b, t, paths, COUNT_OF(paths));
	if (!r) {
		facts_row(b, t, label(b, "regime"), label(b, "not-told"));
		return;
	}
	facts_row(b, t, label(b, "regime"), title_of(b, "regimes", &r->note));
	facts_row(b, t, label(b, "act"), arena_format(b->arena, "%s, %s", or_dash(r->act),
		or_dash(r->reference)));
	for (size_t i = 0; i < r->other_acts.count; i++)
		facts_row(b, t, label(b, "other-act"), r->other_acts.items[i]);
	facts_row(b, t, label(b, "mark"), or_dash(r->mark));
	facts_row(b, t, label(b, "retention"), quantity_text(b->arena, r->retention));
	facts_row(b, t, label(b, "source"), source_text(b, r->note.source, r->note.standing));
	const char *text = phrasebook_part(b->input->phrasebook, "regimes", r->note.id, "text");
	if (text)
		note_add(b, text);
}

/* The citation of `s` under the regime on the day of first use, or NULL. */
static const struct lib_citation *citation_of(const struct builder *b, const struct lib_standard *s)
{
	const struct lib_regime *r = b->assessment->regime;
	const struct fact *use = record_fact(b->record, "job.first-use");
	for (size_t i = 0; r && fact_given(use) && i < s->citation_count; i++) {
		const struct lib_citation *c = &s->citations[i];
		bool begun = !date_given(c->from) || date_compare(c->from, use->date) <= 0;
		bool lasts = !date_given(c->to) || date_compare(use->date, c->to) <= 0;
		if (text_equal(c->regime, r->note.id) && begun && lasts)
			return c;
	}
	return NULL;
}

static const char *standard_name(const struct builder *b, const struct lib_standard *s)
{
	const char *edition = s->edition && *s->edition ? s->edition : NULL;
	return edition ? arena_format(b->arena, "%s:%s", s->number, edition) : s->number;
}

const char *standards_listed(const struct builder *b, bool cited)
{
	const struct fact *f = record_fact(b->record, "job.standards");
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; fact_given(f) && i < f->count; i++) {
		const struct lib_standard *s = library_standard(b->assessment->library, f->list[i]);
		if ((s && citation_of(b, s)) == cited)
			buf_format(&out, "%s%s", out.length ? ", " : "",
				s ? standard_name(b, s) : f->list[i]);
	}
	return out.length ? out.bytes : label(b, "none");
}

static const char *covered(const struct builder *b, const struct lib_standard *s)
{
	const struct lib_regime *r = b->assessment->regime;
	bool regulation = r && text_equal(r->numbering, "regulation");
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; i < s->covers.count; i++) {
		const struct lib_requirement *q =
			library_requirement(b->assessment->library, s->covers.items[i]);
		const char *number = q ? regulation ? q->regulation : q->directive : NULL;
		if (number)
			buf_format(&out, "%s%s", out.length ? ", " : "", number);
	}
	return or_dash(out.bytes);
}

static void standard_row(struct builder *b, struct doc_node *t, const char *id)
{
	struct doc_row *row = doc_row(b->document, t);
	const struct lib_standard *s = library_standard(b->assessment->library, id);
	if (!s) {
		cell(b, row, 0, id);
		cell(b, row, 1, label(b, "not-in-library"));
		return;
	}
	const struct lib_citation *c = citation_of(b, s);
	const char *text = phrasebook_part(b->input->phrasebook, "standards", s->note.id, "text");
	cell(b, row, 0, standard_name(b, s));
	cell(b, row, 1, title_of(b, "standards", &s->note));
	if (text)
		spans_add(b->arena, cell_line(b, row, 1), text, SPAN_GREY);
	cell(b, row, 2, covered(b, s));
	cell(b, row, 3, c ? c->reference : label(b, "not-cited"));
	spans_add(b->arena, cell_line(b, row, 3), source_text(b, s->note.source, s->note.standing),
		SPAN_GREY);
}

void block_standards(struct builder *b)
{
	static const struct column columns[] = {{"standard", 0, 26, ALIGN_LEFT},
		{"what-it-covers", 0.36, 44, ALIGN_LEFT}, {"requirements-covered", 0.26, 30, ALIGN_LEFT},
		{"citation", 0.38, 38, ALIGN_LEFT}};
	const struct fact *f = record_fact(b->record, "job.standards");
	if (!fact_given(f) || !f->count) {
		text_add(b, fact_words(b, f));
		return;
	}
	struct doc_node *t = table_add(b, "summary-standards", columns, COUNT_OF(columns));
	for (size_t i = 0; i < f->count; i++)
		standard_row(b, t, f->list[i]);
}

/* ---- limits, choices, readings ----------------------------------------------------------------- */

static const char *limit_title(const struct builder *b, const struct limit_use *u)
{
	return title_of(b, "limits", &u->limit->note);
}

static enum standing limit_standing(const struct limit_use *u)
{
	return u->row ? u->row->standing : u->limit->note.standing;
}

static const char *limit_source(const struct limit_use *u)
{
	return u->row && u->row->source ? u->row->source : u->limit->note.source;
}

static const char *reading_text(const struct builder *b, bool wanted, const char *edition, const char *clause,
	struct date read_on)
{
	if (!edition)
		return wanted ? label(b, "not-read") : "–";
	const char *on = date_given(read_on) ? date_text(b->arena, read_on) : "";
	return arena_format(b->arena, "%s, %s %s", edition, or_dash(clause), on);
}

/* What the cover names: a looser reading, a value from memory, and what a firm set in its place. */
static bool is_unproven(const struct lib_note *note, enum standing standing)
{
	return standing == STANDING_MEMORY || standing == STANDING_FIRM || note->replaces;
}

static bool is_named(const struct limit_use *u)
{
	return u->loosened || is_unproven(&u->limit->note, limit_standing(u));
}

static const char *limit_reading(const struct builder *b, const struct limit_use *u)
{
	return reading_text(b, is_named(u), u->read_edition, u->read_clause, u->read_on);
}

static const char *decision_reading(const struct builder *b, const struct decision *d)
{
	return reading_text(b, is_unproven(d->note, d->note->standing), d->read_edition, d->read_clause,
		d->read_on);
}

/* One value, or the span of the rows of a table that were applied. */
static const char *limit_value(const struct builder *b, const struct limit_use *u)
{
	struct quantity low = quantity_of(u->value.low, u->value.dim);
	struct quantity high = quantity_of(u->value.high, u->value.dim);
	/* A share is read as it was written: 5 %, not 0.05. */
	if (u->row && u->row->value && text_ends(rule_text(u->row->value), "%"))
		return rule_text(u->row->value);
	if (!(u->value.high > u->value.low))
		return quantity_text(b->arena, low);
	return arena_format(b->arena, "%s – %s", quantity_text(b->arena, low), quantity_text(b->arena, high));
}

enum named_group { NAMED_LOOSENED, NAMED_UNREAD, NAMED_READ, NAMED_GROUPS };

static enum named_group group_of(bool other, bool read)
{
	return other ? NAMED_LOOSENED : read ? NAMED_READ : NAMED_UNREAD;
}

static void named(struct buf *out, const char *what)
{
	buf_format(out, "%s%s", out->length ? "; " : "", what);
}

/* One paragraph for each group, so that the cover stays a cover however many there are. */
void limits_named(struct builder *b)
{
	const char *const labels[] = {label(b, "named-loosened"), label(b, "named-unread"),
		label(b, "named-read")};
	const struct assessment *s = b->assessment;
	struct buf groups[NAMED_GROUPS];
	for (int g = 0; g < NAMED_GROUPS; g++)
		buf_init(&groups[g], b->arena);
	for (size_t i = 0; i < s->limit_count; i++) {
		const struct limit_use *u = &s->limits[i];
		if (is_named(u))
			named(&groups[group_of(u->loosened || u->limit->note.replaces, u->read_edition)],
				arena_format(b->arena, "%s (%s)", limit_title(b, u), limit_value(b, u)));
	}
	for (size_t i = 0; i < s->decision_count; i++) {
		const struct decision *d = &s->decisions[i];
		if (is_unproven(d->note, d->note->standing))
			named(&groups[group_of(d->note->replaces, d->read_edition)],
				title_of(b, d->group, d->note));
	}
	for (int g = 0; g < NAMED_GROUPS; g++) {
		if (!groups[g].length)
			continue;
		struct doc_node *p = doc_add(b->document, DOC_PARAGRAPH);
		spans_add(b->arena, &p->spans, labels[g], SPAN_SMALL | SPAN_BOLD);
		spans_add(b->arena, &p->spans, arena_format(b->arena, " %s.", groups[g].bytes), SPAN_SMALL);
	}
}

static void limits_table(struct builder *b)
{
	static const struct column columns[] = {{"limit-or-rule", 0.3, 34, ALIGN_LEFT},
		{"value", 0, 18, ALIGN_RIGHT}, {"variant", 0.14, 18, ALIGN_LEFT},
		{"source", 0.34, 40, ALIGN_LEFT}, {"read-in", 0.22, 26, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-limits", columns, COUNT_OF(columns));
	for (size_t i = 0; i < b->assessment->limit_count; i++) {
		const struct limit_use *u = &b->assessment->limits[i];
		struct doc_row *row = doc_row(b->document, t);
		cell(b, row, 0, limit_title(b, u));
		cell(b, row, 1, limit_value(b, u));
		cell(b, row, 2, u->loosened ? arena_format(b->arena, "%s\n%s", u->variant->id,
			label(b, "loosened")) : or_dash(u->variant ? u->variant->id : NULL));
		cell(b, row, 3, source_text(b, limit_source(u), limit_standing(u)));
		cell(b, row, 4, limit_reading(b, u));
	}
	for (size_t i = 0; i < b->assessment->decision_count; i++) {
		const struct decision *d = &b->assessment->decisions[i];
		struct doc_row *row = doc_row(b->document, t);
		cell(b, row, 0, title_of(b, d->group, d->note));
		cell(b, row, 1, "–");
		cell(b, row, 2, "–");
		cell(b, row, 3, source_text(b, d->note->source, d->note->standing));
		cell(b, row, 4, decision_reading(b, d));
	}
}

void block_choices_and_readings(struct builder *b)
{
	static const char *const choice_keys[] = {"id", "take", "edition", "clause", "reason"};
	static const struct column choice_columns[] = {{"choice", 0.2, 24, ALIGN_LEFT},
		{"taken", 0.15, 20, ALIGN_LEFT}, {"edition", 0.2, 24, ALIGN_LEFT},
		{"clause", 0.15, 18, ALIGN_LEFT}, {"reason", 0.3, 34, ALIGN_LEFT}};
	static const char *const read_keys[] = {"id", "edition", "clause", "read-on"};
	static const struct column read_columns[] = {{"reading-of", 0.3, 30, ALIGN_LEFT},
		{"edition", 0.35, 34, ALIGN_LEFT}, {"clause", 0.2, 24, ALIGN_LEFT},
		{"read-on", 0.15, 22, ALIGN_LEFT}};
	items_table(b, "summary-choices", "job.choices", choice_keys, choice_columns,
		COUNT_OF(choice_columns), NULL);
	items_table(b, "summary-readings", "job.readings", read_keys, read_columns,
		COUNT_OF(read_columns), NULL);
	limits_table(b);
	const struct library *l = b->assessment->library;
	for (size_t i = 0; i < l->overlay_count; i++)
		note_add(b, label_with(b, "overlay-read", "file", job_path(b, l->overlays[i])));
}

/* ---- requirements ------------------------------------------------------------------------------ */

static const char *requirement_number(const struct builder *b, const struct lib_requirement *q)
{
	const struct lib_regime *r = b->assessment->regime;
	const char *number = r && text_equal(r->numbering, "regulation") ? q->regulation : q->directive;
	return or_dash(number);
}

static const char *requirement_target(const struct builder *b, const struct lib_requirement *q)
{
	return target(b, "requirement", q->note.id);
}

static const char *check_title(const struct builder *b, const char *id)
{
	const struct lib_check *check = library_check(b->assessment->library, id);
	return check ? title_of(b, "checks", &check->note) : id;
}

/* What answers a requirement that no zone names, linked to where it stands. */
static void shown_by(struct builder *b, struct spans *to, const char *by)
{
	const char *id = strchr(by, ':');
	if (text_begins(by, "check:"))
		spans_link(b->arena, to, check_title(b, id + 1), target(b, "check", id + 1));
	else if (text_begins(by, "field:"))
		spans_add(b->arena, to, field_title(b, id + 1), 0);
	else
		spans_add(b->arena, to, label(b, "every-zone"), 0);
}

static void shown_by_all(struct builder *b, struct spans *to, const struct lib_requirement *q)
{
	for (size_t i = 0; i < q->shown_by.count; i++) {
		if (i)
			spans_add(b->arena, to, "; ", 0);
		shown_by(b, to, q->shown_by.items[i]);
	}
}

void block_requirements_matrix(struct builder *b)
{
	static const struct column columns[] = {{"number", 0, 14, ALIGN_LEFT},
		{"requirement", 0.55, 50, ALIGN_LEFT}, {"applies", 0, 16, ALIGN_LEFT},
		{"zones", 0.3, 26, ALIGN_LEFT}, {"outcome", 0.15, 22, ALIGN_LEFT}};
	struct doc_node *t = table_add(b, "summary-requirements", columns, COUNT_OF(columns));
	for (size_t i = 0; i < b->assessment->requirement_count; i++) {
		const struct requirement_result *r = &b->assessment->requirements[i];
		struct doc_row *row = doc_row(b->document, t);
		row->label = requirement_target(b, r->requirement);
		cell(b, row, 0, requirement_number(b, r->requirement));
		cell(b, row, 1, title_of(b, "requirements", &r->requirement->note));
		cell(b, row, 2, yes_no(b, r->applies));
		if (r->zone_count)
			zone_numbers(b, &row->cells[3].spans, r->zones, r->zone_count);
		else if (r->applies)
			shown_by_all(b, &row->cells[3].spans, r->requirement);
		cell(b, row, 4, r->applies ? outcome_text(b, r->outcome) : "–");
	}
}

/* ---- evidence matrix --------------------------------------------------------------------------- */

static bool names_requirement(const struct hazard_result *h, const struct lib_requirement *q)
{
	return words_have(h->hazard->requirements, q->note.id);
}

/* What answers the hazards of the zone that name the requirement, each once. */
static void answers_cell(struct builder *b, struct doc_row *row, const struct zone_result *z,
	const struct lib_requirement *q)
{
	for (size_t i = 0; i < z->hazard_count; i++) {
		const struct hazard_result *h = &z->hazards[i];
		bool said = false;
		for (size_t k = 0; k < i && !said; k++)
			said = names_requirement(&z->hazards[k], q) && z->hazards[k].by == h->by &&
				z->hazards[k].designed_out == h->designed_out;
		if (said || !names_requirement(h, q))
			continue;
		const char *text = h->designed_out ? label(b, "by-design") :
			h->by ? title_of(b, "measures", &h->by->note) : label(b,
				h->outcome == OUTCOME_ABSENT ? "not-present" : "nothing-yet");
		spans_add(b->arena, cell_line(b, row, 2), text, 0);
	}
}

/* Tests that stand behind the zone: its force points, and what answered the needs of its measures. */
static void tests_cell(struct builder *b, struct doc_row *row, const struct zone_result *z)
{
	struct spans *s = &row->cells[3].spans;
	const struct assessment *as = b->assessment;
	size_t points = 0, within = 0;
	const char *first = NULL;
	for (size_t i = 0; i < as->point_count; i++)
		if (text_equal(as->points[i].zone_key, z->key)) {
			points++;
			within += as->points[i].outcome == OUTCOME_ANSWERED;
			if (!first && as->points[i].entry)
				first = as->points[i].id;
		}
	if (points) {
		struct finding_value all = {.name = "count",
			.value = arena_format(b->arena, "%zu", points)};
		struct finding_value good = {.name = "within", .next = &all,
			.value = arena_format(b->arena, "%zu", within)};
		const char *text = phrase_fill(b->arena, label(b, "points-within"), &good);
		if (first)
			spans_link(b->arena, s, text, target(b, "point", first));
		else
			spans_add(b->arena, s, text, 0);
	}
	const struct fact *evidence = item_fact(z->entry, "evidence");
	if (fact_given(evidence) && evidence->count)
		evidence_spans(b, cell_line(b, row, 3), evidence);
	if (!s->first)
		spans_add(b->arena, s, "–", SPAN_GREY);
}

/* A requirement that no zone names, answered by checks or fields. */
static void shown_row(struct builder *b, struct doc_node *t, const struct requirement_result *r)
{
	struct doc_row *row = doc_row(b->document, t);
	row->strong_rule = true;
	spans_link(b->arena, &row->cells[0].spans, requirement_number(b, r->requirement),
		requirement_target(b, r->requirement));
	spans_add(b->arena, &row->cells[1].spans, "–", SPAN_GREY);
	shown_by_all(b, &row->cells[2].spans, r->requirement);
	spans_add(b->arena, &row->cells[3].spans, "–", SPAN_GREY);
	cell(b, row, 4, outcome_text(b, r->outcome));
	for (size_t i = 0; i < r->requirement->shown_by.count; i++) {
		const char *by = r->requirement->shown_by.items[i];
		if (!text_begins(by, "check:"))
			continue;
		spans_page(b->arena, &row->cells[5].spans, target(b, "check", strchr(by, ':') + 1));
		return;
	}
}

static void evidence_rows(struct builder *b, struct doc_node *t, const struct requirement_result *r)
{
	if (!r->zone_count)
		shown_row(b, t, r);
	for (size_t i = 0; i < r->zone_count; i++) {
		const struct zone_result *z = r->zones[i];
		struct doc_row *row = doc_row(b->document, t);
		row->strong_rule = i == 0;
		if (i == 0)
			spans_link(b->arena, &row->cells[0].spans,
				requirement_number(b, r->requirement), requirement_target(b, r->requirement));
		zone_numbers(b, &row->cells[1].spans, &z, 1);
		answers_cell(b, row, z, r->requirement);
		tests_cell(b, row, z);
		cell(b, row, 4, outcome_text(b, z->outcome));
		spans_page(b->arena, &row->cells[5].spans, target(b, "zone", z->key));
	}
}

void block_evidence_matrix(struct builder *b)
{
	static const struct column columns[] = {{"requirement", 0, 18, ALIGN_LEFT},
		{"zone", 0, 10, ALIGN_RIGHT}, {"answered-by", 0.45, 40, ALIGN_LEFT},
		{"tests-and-evidence", 0.55, 46, ALIGN_LEFT}, {"outcome", 0, 20, ALIGN_LEFT},
		{"page", 0, 10, ALIGN_RIGHT}};
	struct doc_node *t = table_add(b, "summary-evidence", columns, COUNT_OF(columns));
	for (size_t i = 0; i < b->assessment->requirement_count; i++)
		if (b->assessment->requirements[i].applies)
			evidence_rows(b, t, &b->assessment->requirements[i]);
}
