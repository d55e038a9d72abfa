#include <string.h>

#include "base/text.h"
#include "doc/block.h"

static void title_add(struct builder *b, const char *text)
{
	struct doc_node *h = doc_heading(b->document, 0, text, "cover");
	h->numbered = false;
}

/* Which gate, and where: as far as it is known. */
static void name_add(struct builder *b)
{
	const char *name = fact_text(record_fact(b->record, "gate.name"));
	const char *place = fact_text(record_fact(b->record, "site.address"));
	if (*name || *place)
		text_add(b, arena_format(b->arena, "%s%s%s", name, *name && *place ? ", " : "", place))
			->spans.first->style = SPAN_BOLD;
}

static void identity_table(struct builder *b)
{
	static const char *const paths[] = {"job.reference", "gate.name", "gate.model", "gate.serial",
		"site.address", "site.owner-reference", "parties.owner.name", "parties.owner.address",
		"parties.manufacturer.name", "parties.manufacturer.address", "parties.manufacturer.telephone",
		"parties.manufacturer.mail", "parties.compiler.name", "parties.compiler.address",
		"parties.signatory.name", "signature.date", "job.built", "job.first-use"};
	const struct lib_type *type = b->record->type;
	struct doc_node *t = facts_table(b, "summary-identity");
	t->small = false;
	facts_rows(b, t, paths, COUNT_OF(paths));
	facts_row(b, t, label(b, "type"), type ? title_of(b, "types", &type->note) :
		record_words(b, "gate.type"));
	facts_row(b, t, label(b, "regime"), b->assessment->regime ?
		title_of(b, "regimes", &b->assessment->regime->note) : label(b, "not-told"));
}

static void guide_row(struct builder *b, struct doc_node *t, const char *question, const char *heading)
{
	facts_row(b, t, question, arena_format(b->arena, "%s ", label(b, "page")));
	spans_page(b->arena, &t->last_row->cells[1].spans, heading);
}

/* Where the questions of whoever receives the file are answered, by page. */
static void guide_table(struct builder *b)
{
	struct doc_node *t = facts_table(b, "summary-guide");
	t->small = false;
	guide_row(b, t, label(b, "where-forces"), "force-results");
	guide_row(b, t, label(b, "where-tested"), "checks");
	guide_row(b, t, label(b, "where-danger"), "residual-risks");
	guide_row(b, t, label(b, "where-upkeep"), "upkeep");
	guide_row(b, t, label(b, "where-signed"), "signature");
}

static const char *state_of_file(const struct builder *b)
{
	if (b->assessment->ready)
		return label(b, "state-closed");
	return b->document->draft;
}

void block_cover(struct builder *b)
{
	title_add(b, b->title);
	name_add(b);
	text_add(b, state_of_file(b));
	identity_table(b);
	guide_table(b);
	limits_named(b);
	struct doc_node *box = doc_add(b->document, DOC_BOX);
	struct doc_node *p = doc_add_to(b->document, box, DOC_PARAGRAPH);
	spans_add(b->arena, &p->spans, label(b, "deferring"), 0);
	doc_add(b->document, DOC_PAGE_BREAK);
}

void block_contents(struct builder *b)
{
	doc_add(b->document, DOC_CONTENTS);
}

/* ---- document control -------------------------------------------------------------------------- */

static void competence_rows(struct builder *b, struct doc_node *t)
{
	static const char *const paths[] = {"parties.signatory.name", "parties.signatory.function",
		"parties.signatory.competence", "signature.place", "signature.date"};
	facts_rows(b, t, paths, COUNT_OF(paths));
}

static size_t memory_count(const struct assessment *s)
{
	size_t n = 0;
	for (size_t i = 0; i < s->limit_count; i++) {
		const struct limit_use *u = &s->limits[i];
		n += (u->row ? u->row->standing : u->limit->note.standing) == STANDING_MEMORY;
	}
	return n;
}

static size_t loosened_count(const struct assessment *s)
{
	size_t n = 0;
	for (size_t i = 0; i < s->limit_count; i++)
		n += s->limits[i].loosened;
	return n;
}

void block_document_control(struct builder *b)
{
	const struct assessment *s = b->assessment;
	struct doc_node *t = facts_table(b, "summary-control-table");
	facts_row(b, t, label(b, "record-file"), job_path(b, b->record->file));
	facts_row(b, t, label(b, "record-digest"), "");
	t->last_row->cells[1].spans.first->text = b->record->digest;
	t->last_row->cells[1].spans.first->style = SPAN_MONO | SPAN_SMALL;
	facts_row(b, t, label(b, "program"), b->input->version);
	facts_row(b, t, label(b, "state"), state_of_file(b));
	for (size_t i = 0; i < s->library->overlay_count; i++)
		facts_row(b, t, label(b, "overlay"), job_path(b, s->library->overlays[i]));
	facts_row(b, t, label(b, "limits-used"), arena_format(b->arena, "%zu", s->limit_count));
	facts_row(b, t, label(b, "limits-memory"), arena_format(b->arena, "%zu", memory_count(s)));
	facts_row(b, t, label(b, "limits-loosened"), arena_format(b->arena, "%zu", loosened_count(s)));
	competence_rows(b, t);
}

/* ---- cautions, signature ----------------------------------------------------------------------- */

/* Phrases are sorted by key, and the keys of cautions begin with their number. */
void block_cautions(struct builder *b)
{
	const struct phrasebook *book = b->input->phrasebook;
	struct doc_node *box = doc_add(b->document, DOC_BOX);
	struct doc_node *list = doc_add_to(b->document, box, DOC_LIST);
	for (size_t i = 0; i < book->count; i++) {
		if (!text_begins(book->phrases[i].key, "cautions."))
			continue;
		struct doc_node *item = doc_add_to(b->document, list, DOC_ITEM);
		struct doc_node *p = doc_add_to(b->document, item, DOC_PARAGRAPH);
		spans_add(b->arena, &p->spans, book->phrases[i].text, 0);
	}
}

void block_signature(struct builder *b)
{
	struct doc_node *p = text_add(b, arena_format(b->arena, "%s: %s, %s", label(b, "place-and-date"),
		record_words(b, "signature.place"), record_words(b, "signature.date")));
	p->keep_with_next = true;
	struct doc_node *sign = doc_add(b->document, DOC_SIGN);
	sign->space = 18;
	spans_add(b->arena, &sign->spans, arena_format(b->arena, "%s, %s\n%s",
		record_words(b, "parties.signatory.name"), record_words(b, "parties.signatory.function"),
		record_words(b, "parties.manufacturer.name")), 0);
}

/* ---- open points ------------------------------------------------------------------------------- */

static void ways_cell(struct builder *b, struct doc_row *row, const struct finding *f)
{
	for (const struct way *w = f->ways; w; w = w->next)
		spans_add(b->arena, cell_line(b, row, 2),
			phrase_way(b->arena, b->input->phrasebook, f, w), 0);
	if (!f->ways)
		cell(b, row, 2, "–");
}

static void open_row(struct builder *b, struct doc_node *t, const struct finding *f, size_t number)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, arena_format(b->arena, "%zu", number));
	cell(b, row, 1, phrase_finding(b->arena, b->input->phrasebook, f));
	if (finding_level(f->code) == FINDING_STOP)
		row->cells[1].spans.first->style = SPAN_BOLD;
	struct spans *s = cell_line(b, row, 1);
	if (f->at.line)
		spans_add(b->arena, s, arena_format(b->arena, "%s:%d  ", job_path(b, f->at.file),
			f->at.line), SPAN_GREY | SPAN_MONO);
	spans_add(b->arena, s, f->subject, SPAN_GREY | SPAN_MONO);
	if (f->source)
		spans_add(b->arena, cell_line(b, row, 1), source_text(b, f->source, f->standing), SPAN_GREY);
	ways_cell(b, row, f);
}

void block_open_points(struct builder *b)
{
	static const struct column columns[] = {{NULL, 0, 8, ALIGN_RIGHT},
		{"open-point", 0.55, 70, ALIGN_LEFT}, {"ways", 0.45, 55, ALIGN_LEFT}};
	const struct findings *f = b->assessment->findings;
	size_t number = 0;
	struct doc_node *t = NULL;
	for (size_t i = 0; i < f->count; i++) {
		if (finding_level(f->items[i]->code) <= FINDING_NOTE)
			continue;
		if (!t)
			t = table_add(b, "summary-open-points", columns, COUNT_OF(columns));
		open_row(b, t, f->items[i], ++number);
	}
	if (!t)
		text_add(b, label(b, "no-open-points"));
}

/* ---- the record as an appendix ----------------------------------------------------------------- */

static void numbered_lines(struct buf *out, const char *text)
{
	for (int number = 1; *text; number++) {
		const char *end = strchr(text, '\n');
		size_t length = end ? (size_t)(end - text) : strlen(text);
		const char *line = text_harmless(out->arena, arena_copy(out->arena, text, length));
		buf_format(out, "%4d  %s\n", number, line);
		text += length + (end != NULL);
	}
}

void block_record_appendix(struct builder *b)
{
	struct doc_node *p = text_add(b, arena_format(b->arena, "%s ", label(b, "record-digest")));
	spans_add(b->arena, &p->spans, b->record->digest, SPAN_MONO | SPAN_SMALL);
	p->keep_with_next = true;
	struct buf out;
	buf_init(&out, b->arena);
	numbered_lines(&out, b->record->text);
	struct doc_node *n = doc_add(b->document, DOC_LITERAL);
	n->literal = out.bytes;
	n->small = true;
}
