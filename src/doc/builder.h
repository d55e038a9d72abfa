/* What the builders of blocks share: the document being built, words, the record's values as people
 * read them, tables, links to evidence. The blocks themselves are declared in doc/block.h. */
#ifndef DOC_BUILDER_H
#define DOC_BUILDER_H

#include "doc/input.h"
#include "doc/template.h"
#include "doc/tree.h"

struct builder {
	struct arena *arena;
	struct document *document;
	const struct doc_input *input;
	const struct assessment *assessment;
	const struct record *record;
	struct template template; /* subject: this builder */
	const char *title;        /* of the document */
};

typedef void (*block_function)(struct builder *b);

/* A name that a template may call. */
struct block {
	const char *name;
	block_function build;
};

/* Makes an empty document whose words (title, footer, draft…) are set. `kind` is the id of the document:
 * "technical-file". `blocks` is for the template; must outlive the builder. */
struct builder *builder_new(struct arena *a, const struct doc_input *input, const char *kind,
	const struct block *blocks, size_t block_count);

/* Expands the template called `kind`; template-missing when there is none. */
void builder_expand(struct builder *b, const char *kind);

/* The label labels-doc.ID, else labels.ID, else the id itself. */
const char *label(const struct builder *b, const char *id);
/* The same for a group of labels: labels-doc.GROUP-ID. */
const char *label_of(const struct builder *b, const char *group, const char *id);
/* label() with one {{name}} replaced. */
const char *label_with(const struct builder *b, const char *id, const char *name, const char *value);
/* A word that a choice field may hold, as people read it; the word itself without one. */
const char *choice(const struct builder *b, const char *word);
/* Title of an entry of the library: its own, else GROUP.ID.title, else its id. */
const char *title_of(const struct builder *b, const char *group, const struct lib_note *note);
const char *hazard_title(const struct builder *b, const char *kind);
/* "leaf (left) – wall garden": the two bodies of a clearance. */
const char *pair_title(const struct builder *b, const struct clearance_result *r);
/* Title of a field of the record, by path; the path without one. */
const char *field_title(const struct builder *b, const char *path);
/* "EN 12453, table A.1 (published)"; a source that begins with its standing says it once. */
const char *source_text(const struct builder *b, const char *source, enum standing standing);
/* A rule with its figures, as rule_shown() gives it, without the quotes and brackets of the library. */
const char *rule_words(const struct builder *b, const char *shown);
const char *outcome_text(const struct builder *b, enum outcome o);
const char *yes_no(const struct builder *b, bool yes);

/* A fact as people read it: choices in words, states in words; never empty. */
const char *fact_words(const struct builder *b, const struct fact *f);
const char *record_words(const struct builder *b, const char *path);
const char *item_words(const struct builder *b, const struct item *item, const char *key);
const char *force_text(const struct builder *b, double newton);
const char *seconds_text(const struct builder *b, double s);
/* Words joined by ", ", each through choice(). */
const char *words_text(const struct builder *b, struct words w);

/* The value of a placeholder, or NULL: see the comment in builder.c for what there is. */
const char *builder_value(void *subject, const char *name);

/* A column of a table: label of its head (NULL: none), weight, least width in mm, alignment. */
struct column {
	const char *head;
	double weight, least;
	enum doc_align align;
};

/* A table whose alternative text is the label `summary`. */
struct doc_node *table_add(struct builder *b, const char *summary, const struct column *columns,
	size_t count);
/* Two columns without heads: what, value. */
struct doc_node *facts_table(struct builder *b, const char *summary);
void facts_row(struct builder *b, struct doc_node *table, const char *name, const char *value);
/* The same with citations as the value. */
void facts_evidence(struct builder *b, struct doc_node *table, const char *name, const struct fact *f);
/* A row of a facts table for each path, titled by the field table. */
void facts_rows(struct builder *b, struct doc_node *table, const char *const *paths, size_t count);
struct span *cell(struct builder *b, struct doc_row *row, size_t i, const char *text);
/* Appends to a cell; a line break first when something stands in it. */
struct spans *cell_line(struct builder *b, struct doc_row *row, size_t i);

/* The items of a list of the record as a table: column i shows the field keys[i], the key "id" the id
 * itself. Rows are targets "KIND-ID" when `kind` is given. Nothing when the list is absent or empty. */
void items_table(struct builder *b, const char *summary, const char *path, const char *const *keys,
	const struct column *columns, size_t count, const char *kind);

/* Text in the paragraph style: grey and small, for what explains a table. */
struct doc_node *note_add(struct builder *b, const char *text);
struct doc_node *subheading(struct builder *b, int level, const char *text, const char *label);
struct doc_node *text_add(struct builder *b, const char *text);

/* A path inside the job folder: without the folder, which is no business of a document. */
const char *job_path(const struct builder *b, const char *path);

/* Links. Labels are made of a kind and an id: "zone-main-edge@leaf-1". */
const char *target(const struct builder *b, const char *kind, const char *id);
/* Whether the record has what `citation` ("paper:ID") names. */
bool citation_known(const struct builder *b, const char *citation);
/* Citations of a fact of evidence as links; a dash without any. */
void evidence_spans(struct builder *b, struct spans *s, const struct fact *f);
/* "3, 4, 7" linked to the zones. */
void zone_numbers(struct builder *b, struct spans *s, const struct zone_result *const *zones,
	size_t count);
const struct zone_result *zone_of_key(const struct builder *b, const char *key);

#define COUNT_OF(array) (sizeof(array) / sizeof *(array))

#endif
