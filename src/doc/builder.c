#include "doc/builder.h"

#include <string.h>

#include "base/text.h"
#include "doc/block.h"
#include "model/field.h"

/* ---- words ------------------------------------------------------------------------------------ */

static const char *phrase(const struct builder *b, const char *group, const char *id)
{
	return phrasebook_find(b->input->phrasebook, arena_format(b->arena, "%s.%s", group, id));
}

const char *label(const struct builder *b, const char *id)
{
	const char *text = phrase(b, "labels-doc", id);
	if (!text)
		text = phrase(b, "labels", id);
	return text ? text : id;
}

const char *label_of(const struct builder *b, const char *group, const char *id)
{
	return label(b, arena_format(b->arena, "%s-%s", group, id));
}

const char *label_with(const struct builder *b, const char *id, const char *name, const char *value)
{
	struct finding_value v = {.name = name, .value = value};
	return phrase_fill(b->arena, label(b, id), &v);
}

const char *choice(const struct builder *b, const char *word)
{
	const char *text = phrase(b, "choices", word);
	return text ? text : word;
}

const char *title_of(const struct builder *b, const char *group, const struct lib_note *note)
{
	if (note->title && *note->title)
		return note->title;
	const char *text = phrasebook_part(b->input->phrasebook, group, note->id, "title");
	return text ? text : note->id;
}

const char *hazard_title(const struct builder *b, const char *kind)
{
	const char *text = phrasebook_part(b->input->phrasebook, "hazards", kind, "title");
	return text ? text : kind;
}

const char *pair_title(const struct builder *b, const struct clearance_result *r)
{
	const struct phrasebook *words = b->input->phrasebook;
	return arena_format(b->arena, "%s – %s", phrase_title(b->arena, words, "bodies", r->a->name),
		phrase_title(b->arena, words, "bodies", r->b ? r->b->name : "ground"));
}

const char *field_title(const struct builder *b, const char *path)
{
	const char *text = phrasebook_part(b->input->phrasebook, "fields", path, "title");
	return text ? text : path;
}

const char *source_text(const struct builder *b, const char *source, enum standing standing)
{
	const char *word = label_of(b, "standing", standing_name(standing));
	if (!source || !*source)
		return word;
	return text_begins(source, word) ? source : arena_format(b->arena, "%s (%s)", source, word);
}

const char *rule_words(const struct builder *b, const char *shown)
{
	if (!strpbrk(shown, "'[]"))
		return shown;
	char *words = arena_string(b->arena, shown), *to = words;
	for (const char *from = words; *from; from++)
		if (!strchr("'[]", *from))
			*to++ = *from;
	*to = '\0';
	return words;
}

const char *outcome_text(const struct builder *b, enum outcome o)
{
	static const char *const names[] = {
		[OUTCOME_OPEN] = "open", [OUTCOME_ANSWERED] = "answered", [OUTCOME_ABSENT] = "absent"};
	return label_of(b, "outcome", names[o]);
}

const char *yes_no(const struct builder *b, bool yes)
{
	return label(b, yes ? "yes" : "no");
}

/* ---- values of the record --------------------------------------------------------------------- */

static bool is_choice(enum field_kind kind)
{
	return kind == FIELD_WORD || kind == FIELD_WORDS || kind == FIELD_TRUTH;
}

static const char *list_words(const struct builder *b, const struct fact *f)
{
	return words_text(b, (struct words){f->list, f->count});
}

const char *fact_words(const struct builder *b, const struct fact *f)
{
	switch (f->state) {
	case FACT_ABSENT:
		return label(b, "not-on-record");
	case FACT_UNKNOWN:
		return label(b, "unknown");
	case FACT_NONE:
		return label(b, "none");
	case FACT_NOT_APPLICABLE:
		return label_with(b, "not-applicable", "reason", f->text);
	case FACT_GIVEN:
		break;
	}
	if (f->kind == FIELD_WORDS)
		return list_words(b, f);
	if (f->kind == FIELD_TRUTH)
		return yes_no(b, f->truth == TRUTH_YES);
	/* A share is read as it was written: 3 %, not 0.03. */
	if (f->kind == FIELD_QUANTITY && strchr(f->text, '%'))
		return f->text;
	return is_choice(f->kind) ? choice(b, f->text) : fact_shown(b->arena, f);
}

const char *record_words(const struct builder *b, const char *path)
{
	return fact_words(b, record_fact(b->record, path));
}

const char *item_words(const struct builder *b, const struct item *item, const char *key)
{
	return fact_words(b, item_fact(item, key));
}

const char *force_text(const struct builder *b, double newton)
{
	return arena_format(b->arena, "%s N", text_fixed(b->arena, newton, 0));
}

const char *seconds_text(const struct builder *b, double s)
{
	return arena_format(b->arena, "%s s", text_fixed(b->arena, s, 2));
}

const char *words_text(const struct builder *b, struct words w)
{
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; i < w.count; i++)
		buf_format(&out, "%s%s", i ? ", " : "", choice(b, w.items[i]));
	return out.bytes;
}

/* ---- placeholders ----------------------------------------------------------------------------- */

static size_t zones_with(const struct assessment *s, enum outcome o)
{
	size_t n = 0;
	for (size_t i = 0; i < s->zone_count; i++)
		n += s->zones[i].outcome == o;
	return n;
}

static size_t points_within(const struct assessment *s)
{
	size_t n = 0;
	for (size_t i = 0; i < s->point_count; i++)
		n += s->points[i].outcome == OUTCOME_ANSWERED;
	return n;
}

static size_t open_count(const struct assessment *s)
{
	size_t n = 0;
	for (size_t i = 0; i < s->findings->count; i++)
		n += finding_level(s->findings->items[i]->code) > FINDING_NOTE;
	return n;
}

static const char *number_value(struct arena *a, size_t n)
{
	return arena_format(a, "%zu", n);
}

static const char *counted_value(const struct builder *b, const char *name)
{
	const struct assessment *s = b->assessment;
	const struct {
		const char *name;
		size_t count;
	} counts[] = {
		{"zones.count", s->zone_count},
		{"zones.open", zones_with(s, OUTCOME_OPEN)},
		{"zones.answered", zones_with(s, OUTCOME_ANSWERED)},
		{"zones.absent", zones_with(s, OUTCOME_ABSENT)},
		{"points.count", s->point_count},
		{"points.within", points_within(s)},
		{"functions.count", s->function_count},
		{"checks.count", s->check_count},
		{"open.count", open_count(s)},
	};
	for (size_t i = 0; i < COUNT_OF(counts); i++)
		if (text_equal(counts[i].name, name))
			return number_value(b->arena, counts[i].count);
	return NULL;
}

static const char *regime_value(const struct builder *b, const char *name)
{
	const struct lib_regime *r = b->assessment->regime;
	if (!r)
		return label(b, "not-told");
	if (text_equal(name, "regime.act"))
		return r->act ? r->act : label(b, "not-told");
	if (text_equal(name, "regime.reference"))
		return r->reference ? r->reference : label(b, "not-told");
	if (text_equal(name, "regime.mark"))
		return r->mark ? r->mark : label(b, "none");
	if (text_equal(name, "regime.retention"))
		return quantity_text(b->arena, r->retention);
	return phrasebook_part(b->input->phrasebook, "regimes", r->note.id, name + strlen("regime."));
}

static const char *computed_value(const struct builder *b, const char *name)
{
	const struct lib_type *type = b->record->type;
	if (text_equal(name, "document.title"))
		return b->title;
	if (text_equal(name, "program.version"))
		return b->input->version;
	if (text_equal(name, "record.digest"))
		return b->record->digest;
	if (text_equal(name, "record.short-digest"))
		return arena_format(b->arena, "%.12s", b->record->digest);
	if (text_equal(name, "type.title"))
		return type ? title_of(b, "types", &type->note) : label(b, "not-told");
	if (text_equal(name, "least-protection"))
		return b->assessment->protection ?
			words_text(b, b->assessment->protection->least) : label(b, "not-told");
	if (text_equal(name, "activation-class"))
		return choice(b, b->assessment->activation);
	if (text_equal(name, "use-class"))
		return choice(b, b->assessment->use);
	if (text_equal(name, "standards.harmonised"))
		return standards_listed(b, true);
	if (text_equal(name, "standards.other"))
		return standards_listed(b, false);
	return text_begins(name, "regime.") ? regime_value(b, name) : counted_value(b, name);
}

/* Computed: document.title, program.version, record.digest, record.short-digest, type.title,
 * regime.act reference mark retention, regime.WORD of its words (title, text, statement…),
 * standards.harmonised, standards.other, least-protection, activation-class, use-class,
 * zones.count open answered absent, points.count within, functions.count, checks.count, open.count.
 * words.KEY is the phrase of that key. All else is a path of the record. */
const char *builder_value(void *subject, const char *name)
{
	struct builder *b = subject;
	if (text_begins(name, "words."))
		return phrasebook_find(b->input->phrasebook, name + strlen("words."));
	const char *value = computed_value(b, name);
	if (value)
		return value;
	return field_find(name) && !strstr(name, "[]") ? record_words(b, name) : NULL;
}

/* ---- tables and text -------------------------------------------------------------------------- */

struct doc_node *table_add(struct builder *b, const char *summary, const struct column *columns,
	size_t count)
{
	struct doc_node *t = doc_table(b->document, count, label(b, summary));
	t->small = true;
	for (size_t i = 0; i < count; i++) {
		t->columns[i].weight = columns[i].weight;
		t->columns[i].least = columns[i].least;
		t->columns[i].align = columns[i].align;
		if (columns[i].head)
			spans_add(b->arena, &t->columns[i].head, label(b, columns[i].head), 0);
	}
	return t;
}

struct doc_node *facts_table(struct builder *b, const char *summary)
{
	static const struct column columns[] = {{NULL, 0.38, 40, ALIGN_LEFT}, {NULL, 0.62, 40, ALIGN_LEFT}};
	return table_add(b, summary, columns, COUNT_OF(columns));
}

void facts_row(struct builder *b, struct doc_node *table, const char *name, const char *value)
{
	struct doc_row *row = doc_row(b->document, table);
	cell(b, row, 0, name)->style = SPAN_GREY;
	cell(b, row, 1, value);
}

void facts_evidence(struct builder *b, struct doc_node *table, const char *name, const struct fact *f)
{
	struct doc_row *row = doc_row(b->document, table);
	cell(b, row, 0, name)->style = SPAN_GREY;
	evidence_spans(b, &row->cells[1].spans, f);
}

void facts_rows(struct builder *b, struct doc_node *table, const char *const *paths, size_t count)
{
	for (size_t i = 0; i < count; i++)
		facts_row(b, table, field_title(b, paths[i]), record_words(b, paths[i]));
}

struct span *cell(struct builder *b, struct doc_row *row, size_t i, const char *text)
{
	return doc_cell_text(b->document, row, i, text);
}

struct spans *cell_line(struct builder *b, struct doc_row *row, size_t i)
{
	struct spans *s = &row->cells[i].spans;
	if (s->first)
		spans_add(b->arena, s, "\n", 0);
	return s;
}

static void item_cell(struct builder *b, struct doc_row *row, size_t i, const struct item *item,
	const char *key)
{
	const struct fact *f = item_fact(item, key);
	if (text_equal(key, "id"))
		cell(b, row, i, item->id);
	else if (f->kind == FIELD_EVIDENCE && fact_given(f))
		evidence_spans(b, &row->cells[i].spans, f);
	else
		cell(b, row, i, fact_words(b, f));
}

void items_table(struct builder *b, const char *summary, const char *path, const char *const *keys,
	const struct column *columns, size_t count, const char *kind)
{
	const struct item_list *list = record_list(b->record, path);
	if (!list || !list->count)
		return;
	struct doc_node *t = table_add(b, summary, columns, count);
	for (size_t i = 0; i < list->count; i++) {
		struct doc_row *row = doc_row(b->document, t);
		if (kind)
			row->label = target(b, kind, list->items[i].id);
		for (size_t k = 0; k < count; k++)
			item_cell(b, row, k, &list->items[i], keys[k]);
	}
}

struct doc_node *note_add(struct builder *b, const char *text)
{
	/* A note belongs to the table before it. */
	struct doc_node *before = b->document->last;
	if (before && before->kind == DOC_TABLE && before->last_row)
		before->last_row->keep_with_next = true;
	struct doc_node *p = doc_add(b->document, DOC_PARAGRAPH);
	spans_add(b->arena, &p->spans, text, SPAN_SMALL | SPAN_GREY);
	return p;
}

struct doc_node *subheading(struct builder *b, int level, const char *text, const char *target_label)
{
	struct doc_node *h = doc_heading(b->document, level, text, target_label);
	h->numbered = b->template.numbered && level < 3;
	return h;
}

struct doc_node *text_add(struct builder *b, const char *text)
{
	return doc_paragraph(b->document, text);
}

const char *job_path(const struct builder *b, const char *path)
{
	const char *end = strrchr(b->record->file, '/');
	size_t folder = end ? (size_t)(end - b->record->file) + 1 : 0;
	return path && strncmp(path, b->record->file, folder) == 0 ? path + folder : path ? path : "";
}

/* ---- links ------------------------------------------------------------------------------------ */

const char *target(const struct builder *b, const char *kind, const char *id)
{
	return arena_format(b->arena, "%s-%s", kind, id);
}

static const struct {
	const char *kind, *list;
} CITED[] = {
	{"paper", "papers"}, {"photo", "photos"}, {"point", "force.points"}, {"check", "checks"},
	{"function", "functions"},
};

bool citation_known(const struct builder *b, const char *citation)
{
	const char *colon = strchr(citation, ':');
	for (size_t i = 0; colon && i < COUNT_OF(CITED); i++)
		if (strlen(CITED[i].kind) == (size_t)(colon - citation) &&
			text_begins(citation, CITED[i].kind))
			return record_item(b->record, CITED[i].list, colon + 1) != NULL;
	return false;
}

void evidence_spans(struct builder *b, struct spans *s, const struct fact *f)
{
	struct arena *a = b->arena;
	if (!fact_given(f) || !f->count) {
		spans_add(a, s, "–", SPAN_GREY);
		return;
	}
	for (size_t i = 0; i < f->count; i++) {
		const char *citation = f->list[i], *colon = strchr(citation, ':');
		if (i)
			spans_add(a, s, ", ", 0);
		if (!colon || !citation_known(b, citation)) {
			spans_add(a, s, arena_format(a, "%s (%s)", citation, label(b, "not-on-record")), 0);
			continue;
		}
		const char *kind = arena_copy(a, citation, (size_t)(colon - citation));
		spans_link(a, s, arena_format(a, "%s %s", label_of(b, "cited", kind), colon + 1),
			target(b, kind, colon + 1));
	}
}

void zone_numbers(struct builder *b, struct spans *s, const struct zone_result *const *zones,
	size_t count)
{
	struct arena *a = b->arena;
	if (!count)
		spans_add(a, s, "–", SPAN_GREY);
	for (size_t i = 0; i < count; i++) {
		if (i)
			spans_add(a, s, ", ", 0);
		spans_link(a, s, arena_format(a, "%d", zones[i]->number),
			target(b, "zone", zones[i]->key));
	}
}

const struct zone_result *zone_of_key(const struct builder *b, const char *key)
{
	for (size_t i = 0; key && i < b->assessment->zone_count; i++)
		if (text_equal(b->assessment->zones[i].key, key))
			return &b->assessment->zones[i];
	return NULL;
}

/* ---- the builder itself ----------------------------------------------------------------------- */

struct named_blocks {
	struct builder *builder;
	const struct block *blocks;
	size_t count;
};

static const char *value_of_builder(void *subject, const char *name)
{
	return builder_value(((struct named_blocks *)subject)->builder, name);
}

static bool call_block(void *subject, const char *name)
{
	const struct named_blocks *n = subject;
	for (size_t i = 0; i < n->count; i++)
		if (text_equal(n->blocks[i].name, name)) {
			n->blocks[i].build(n->builder);
			return true;
		}
	return false;
}

static int hex_digit(char c)
{
	return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : 0;
}

/* From the digest of the record and the kind of document, so that two documents differ. */
static void set_file_id(struct document *d, const char *digest, const char *kind)
{
	size_t n = strlen(digest);
	for (size_t i = 0; i < sizeof d->id && 2 * i + 1 < n; i++)
		d->id[i] = (unsigned char)(hex_digit(digest[2 * i]) * 16 + hex_digit(digest[2 * i + 1]));
	for (size_t i = 0; kind[i]; i++)
		d->id[i % sizeof d->id] = (unsigned char)(d->id[i % sizeof d->id] ^ kind[i]);
}

/* The date in the metadata is one on record: of signature, of the build, of the beginning. */
static const char *record_date(const struct builder *b)
{
	static const char *const paths[] = {"signature.date", "job.built", "job.begun"};
	for (size_t i = 0; i < COUNT_OF(paths); i++) {
		const struct fact *f = record_fact(b->record, paths[i]);
		if (fact_given(f))
			return date_text(b->arena, f->date);
	}
	return "1970-01-01";
}

static void set_words(struct builder *b, const char *kind)
{
	struct document *d = b->document;
	const char *name = fact_text(record_fact(b->record, "gate.name"));
	const char *reference = fact_text(record_fact(b->record, "job.reference"));
	b->title = label_of(b, "title", kind);
	d->title = arena_format(b->arena, "%s – %s %s", b->title, reference, name);
	d->subject = b->title;
	d->author = fact_text(record_fact(b->record, "parties.manufacturer.name"));
	d->language = b->input->phrasebook->language ? b->input->phrasebook->language : "en";
	d->head_left = arena_format(b->arena, "%s  %s", reference, name);
	d->head_right = b->title;
	struct finding_value version = {.name = "version", .value = b->input->version};
	struct finding_value digest = {.name = "digest", .next = &version,
		.value = arena_format(b->arena, "%.12s", b->record->digest)};
	d->foot = phrase_fill(b->arena, label(b, "foot"), &digest);
	d->page_of = label(b, "page-of");
	d->continued = label(b, "continued");
	d->stamp = record_date(b);
	set_file_id(d, b->record->digest, kind);
	if (!b->assessment->ready)
		d->draft = label_with(b, "draft", "count",
			number_value(b->arena, open_count(b->assessment)));
}

struct builder *builder_new(struct arena *a, const struct doc_input *input, const char *kind,
	const struct block *blocks, size_t block_count)
{
	struct builder *b = arena_alloc(a, sizeof *b);
	struct named_blocks *named = arena_alloc(a, sizeof *named);
	*named = (struct named_blocks){b, blocks, block_count};
	b->arena = a;
	b->document = document_new(a);
	b->input = input;
	b->assessment = input->assessment;
	b->record = input->assessment->record;
	b->template = (struct template){.subject = named, .value = value_of_builder,
		.block = call_block, .numbered = true, .findings = input->findings};
	set_words(b, kind);
	return b;
}

void builder_expand(struct builder *b, const char *kind)
{
	const struct phrasebook *book = b->input->phrasebook;
	for (size_t i = 0; i < book->document_count; i++)
		if (text_equal(book->documents[i].key, kind)) {
			template_expand(b->document, &book->documents[i], &b->template);
			return;
		}
	struct findings *f = b->input->findings;
	finding_with(f, finding_add(f, FINDING_CODE_TEMPLATE_MISSING, kind, (struct place){0}), "name",
		kind);
}
