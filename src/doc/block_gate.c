#include <string.h>

#include "base/text.h"
#include "doc/block.h"
#include "model/field.h"

/* ---- description ------------------------------------------------------------------------------- */

static const char *const SITE[] = {"site.address", "site.owner-reference", "site.surroundings",
	"site.users", "site.public-passes", "site.children-reach", "site.neighbour-side",
	"site.standing-height", "site.separate-footway"};
static const char *const GATE[] = {"gate.name", "gate.model", "gate.serial"};
static const char *const INFILL[] = {"gate.infill.kind", "gate.infill.shape", "gate.infill.opening",
	"gate.infill.slot-length", "gate.ground.surface", "gate.ground.slope", "gate.ground.gap"};
static const char *const DRIVE[] = {"drive.maker", "drive.model", "drive.serial", "drive.supply",
	"drive.battery", "drive.thrust", "drive.speed-opening", "drive.speed-closing", "drive.slows-down",
	"drive.slow-down-distance", "drive.slow-speed", "drive.over-travel-closing",
	"drive.over-travel-opening"};
static const char *const CONTROL[] = {"control.maker", "control.model", "control.serial",
	"control.firmware", "control.every-zone-in-view", "control.automatic-closing",
	"control.automatic-closing-pause", "control.settings-code-held-by"};

/* Fields that are not on record because they are not asked for here are left out. */
static void given_rows(struct builder *b, struct doc_node *t, const char *const *paths, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct field *f = field_find(paths[i]);
		if (record_fact(b->record, paths[i])->state != FACT_ABSENT || (f && !f->when))
			facts_rows(b, t, &paths[i], 1);
	}
}

static void part(struct builder *b, const char *id, const char *const *paths, size_t count)
{
	subheading(b, 3, label_of(b, "part", id), target(b, "part", id));
	given_rows(b, facts_table(b, arena_format(b->arena, "summary-%s", id)), paths, count);
}

static const char *dimension_title(const struct builder *b, const struct lib_type *type, const char *id)
{
	const char *keys[] = {
		arena_format(b->arena, "types.%s.dimensions.%s", type->note.id, id),
		arena_format(b->arena, "types.%s.facts.%s", type->note.id, id),
		arena_format(b->arena, "dimensions.%s", id),
		arena_format(b->arena, "fields.gate.dimensions.%s.title", id)};
	for (size_t i = 0; i < COUNT_OF(keys); i++) {
		const char *text = phrasebook_find(b->input->phrasebook, keys[i]);
		if (text)
			return text;
	}
	return id;
}

static void gate_part(struct builder *b)
{
	const struct lib_type *type = b->record->type;
	subheading(b, 3, label(b, "part-gate"), "part-gate");
	struct doc_node *t = facts_table(b, "summary-gate");
	given_rows(b, t, GATE, COUNT_OF(GATE));
	facts_row(b, t, label(b, "type"), type ? title_of(b, "types", &type->note) :
		record_words(b, "gate.type"));
	for (size_t i = 0; type && i < type->dimension_count; i++) {
		const char *id = type->dimensions[i].id;
		const struct fact *f = record_fact(b->record,
			arena_format(b->arena, "gate.dimensions.%s", id));
		if (f->state != FACT_ABSENT || !type->dimensions[i].when)
			facts_row(b, t, dimension_title(b, type, id), fact_words(b, f));
	}
	given_rows(b, t, INFILL, COUNT_OF(INFILL));
}

static void leaves_table(struct builder *b)
{
	static const char *const keys[] = {"id", "length", "height", "mass", "material"};
	static const struct column columns[] = {{"leaf", 0.2, 20, ALIGN_LEFT}, {"length", 0, 20, ALIGN_RIGHT},
		{"height", 0, 20, ALIGN_RIGHT}, {"mass", 0, 20, ALIGN_RIGHT},
		{"material", 0.8, 40, ALIGN_LEFT}};
	items_table(b, "summary-leaves", "gate.leaves", keys, columns, COUNT_OF(columns), NULL);
}

static void activations_table(struct builder *b)
{
	static const char *const keys[] = {"id", "kind", "place", "in-view", "live", "reached-by"};
	static const struct column columns[] = {{"activation", 0.18, 22, ALIGN_LEFT},
		{"kind", 0.18, 20, ALIGN_LEFT}, {"place", 0.3, 34, ALIGN_LEFT}, {"in-view", 0, 16, ALIGN_LEFT},
		{"live", 0, 12, ALIGN_LEFT}, {"reached-by", 0.3, 30, ALIGN_LEFT}};
	subheading(b, 3, label(b, "part-activations"), "part-activations");
	items_table(b, "summary-activations", "control.activations", keys, columns, COUNT_OF(columns), NULL);
	note_add(b, arena_format(b->arena, "%s: %s. %s: %s.", label(b, "worst-activation"),
		choice(b, b->assessment->activation), label(b, "worst-use"), choice(b, b->assessment->use)));
}

/* The zones that an item names, by number, with links. */
static void zones_named(struct builder *b, struct spans *to, const struct fact *zones)
{
	const struct assessment *s = b->assessment;
	const struct zone_result **found = arena_array(b->arena, s->zone_count + 1, sizeof *found);
	size_t count = 0;
	for (size_t i = 0; i < s->zone_count; i++)
		if (fact_has(zones, s->zones[i].key))
			found[count++] = &s->zones[i];
	zone_numbers(b, to, found, count);
}

static void devices_table(struct builder *b)
{
	static const struct column columns[] = {{"device", 0.22, 20, ALIGN_LEFT},
		{"make", 0.4, 36, ALIGN_LEFT}, {"standard", 0, 14, ALIGN_LEFT},
		{"fitted-on", 0, 16, ALIGN_LEFT}, {"zones", 0.12, 12, ALIGN_LEFT},
		{"evidence", 0.26, 26, ALIGN_LEFT}};
	const struct item_list *list = record_list(b->record, "devices");
	subheading(b, 3, label(b, "part-devices"), "part-devices");
	struct doc_node *t = table_add(b, "summary-devices", columns, COUNT_OF(columns));
	for (size_t i = 0; i < list->count; i++) {
		const struct item *d = &list->items[i];
		struct doc_row *row = doc_row(b->document, t);
		row->label = target(b, "device", d->id);
		cell(b, row, 0, d->id);
		spans_add(b->arena, cell_line(b, row, 0), fact_words(b, item_fact(d, "kind")), SPAN_GREY);
		cell(b, row, 1, arena_format(b->arena, "%s, %s", fact_words(b, item_fact(d, "maker")),
			fact_words(b, item_fact(d, "model"))));
		if (item_fact(d, "serial")->state != FACT_NONE)
			spans_add(b->arena, cell_line(b, row, 1), label_with(b, "serial-number", "serial",
				fact_words(b, item_fact(d, "serial"))), SPAN_GREY);
		cell(b, row, 2, fact_words(b, item_fact(d, "standard")));
		cell(b, row, 3, fact_words(b, item_fact(d, "fitted-on")));
		zones_named(b, &row->cells[4].spans, item_fact(d, "zones"));
		evidence_spans(b, &row->cells[5].spans, item_fact(d, "evidence"));
	}
}

static void changes_table(struct builder *b)
{
	static const char *const keys[] = {"id", "on", "touches", "what", "by"};
	static const struct column columns[] = {{"change", 0.16, 20, ALIGN_LEFT}, {"date", 0, 20, ALIGN_LEFT},
		{"touches", 0.22, 24, ALIGN_LEFT}, {"what", 0.42, 44, ALIGN_LEFT}, {"by", 0.2, 24, ALIGN_LEFT}};
	const struct item_list *list = record_list(b->record, "changes");
	if (!list || !list->count)
		return;
	subheading(b, 3, label(b, "part-changes"), "part-changes");
	items_table(b, "summary-changes", "changes", keys, columns, COUNT_OF(columns), NULL);
}

void block_description(struct builder *b)
{
	part(b, "site", SITE, COUNT_OF(SITE));
	gate_part(b);
	leaves_table(b);
	part(b, "drive", DRIVE, COUNT_OF(DRIVE));
	part(b, "control", CONTROL, COUNT_OF(CONTROL));
	activations_table(b);
	devices_table(b);
	changes_table(b);
}

static void task_row(struct builder *b, struct doc_node *t, const struct lib_task *task, bool sure)
{
	const char *why = phrasebook_part(b->input->phrasebook, "upkeep", task->note.id, "text");
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, title_of(b, "upkeep", &task->note));
	if (!sure)
		spans_add(b->arena, cell_line(b, row, 0), label(b, "may-apply"), SPAN_GREY);
	cell(b, row, 1, task->interval.value > 0 ? label_with(b, "at-least-every", "interval",
		quantity_text(b->arena, task->interval)) : label(b, "every-visit"));
	cell(b, row, 2, task->reason ? task->reason : why ? why : "–");
	cell(b, row, 3, source_text(b, task->note.source, task->note.standing));
}

/* What may concern this gate, in the order of the library. */
static void tasks_table(struct builder *b)
{
	static const struct column columns[] = {{"upkeep-task", 0.38, 48, ALIGN_LEFT},
		{"how-often", 0.14, 24, ALIGN_LEFT}, {"upkeep-reason", 0.34, 40, ALIGN_LEFT},
		{"source", 0.28, 32, ALIGN_LEFT}};
	const struct library *l = b->assessment->library;
	struct doc_node *t = NULL;
	for (size_t i = 0; i < l->tasks_count; i++) {
		const struct rule *when = l->tasks[i].when;
		enum truth due = when ? rule_test(b->arena, when, b->input->names).truth : TRUTH_YES;
		if (due == TRUTH_NO)
			continue;
		t = t ? t : table_add(b, "summary-upkeep-tasks", columns, COUNT_OF(columns));
		task_row(b, t, &l->tasks[i], due == TRUTH_YES);
	}
}

void block_upkeep(struct builder *b)
{
	static const char *const paths[] = {"upkeep.interval", "upkeep.reason", "upkeep.by",
		"upkeep.instructions-handed-over"};
	const struct fact *interval = record_fact(b->record, paths[0]);
	const struct fact *use = record_fact(b->record, "job.first-use");
	struct doc_node *t = facts_table(b, "summary-upkeep");
	facts_rows(b, t, paths, COUNT_OF(paths));
	if (fact_given(interval) && fact_given(use))
		facts_row(b, t, label(b, "first-visit"), date_text(b->arena,
			date_add_months(use->date, (int)interval->quantity.value)));
	tasks_table(b);
}

/* ---- papers and photographs -------------------------------------------------------------------- */

/* The digest of the file as found; beside it what the record claims when the two differ. */
static void digest_cell(struct builder *b, struct doc_row *row, size_t i, const struct item *item)
{
	const char *path = fact_text(item_fact(item, "file"));
	const struct job_file *file = job_files_find(b->input->files, path);
	bool found = file && file->present && file->digest;
	cell(b, row, i, *path ? path : label(b, "not-on-record"));
	struct spans *s = cell_line(b, row, i);
	if (!found) {
		spans_add(b->arena, s, label(b, "file-not-found"), SPAN_BOLD);
		return;
	}
	/* In two halves, which leave room for what stands beside them. */
	spans_add(b->arena, s, arena_format(b->arena, "%.32s\n%s", file->digest, file->digest + 32),
		SPAN_MONO | SPAN_SMALL);
	const char *claimed = fact_text(item_fact(item, "sha256"));
	if (*claimed && !text_equal(claimed, file->digest))
		spans_add(b->arena, cell_line(b, row, i), label(b, "digest-differs"), SPAN_BOLD);
}

void block_papers(struct builder *b)
{
	static const struct column columns[] = {{"paper", 0.3, 16, ALIGN_LEFT},
		{"paper-of", 0.7, 32, ALIGN_LEFT}, {"dated", 0, 18, ALIGN_LEFT},
		{"file-and-digest", 0, 52, ALIGN_LEFT}};
	const struct item_list *list = record_list(b->record, "papers");
	if (!list || !list->count) {
		text_add(b, label(b, "no-papers"));
		return;
	}
	struct doc_node *t = table_add(b, "summary-papers", columns, COUNT_OF(columns));
	for (size_t i = 0; i < list->count; i++) {
		const struct item *p = &list->items[i];
		struct doc_row *row = doc_row(b->document, t);
		row->label = target(b, "paper", p->id);
		cell(b, row, 0, p->id);
		cell(b, row, 1, item_words(b, p, "kind"));
		spans_add(b->arena, cell_line(b, row, 1), item_words(b, p, "of"), 0);
		spans_add(b->arena, cell_line(b, row, 1), item_words(b, p, "from"), SPAN_GREY);
		cell(b, row, 2, item_words(b, p, "dated"));
		digest_cell(b, row, 3, p);
	}
}

/* The first zone that cites photo `id`, or NULL. */
static const struct zone_result *zone_of_photo(const struct builder *b, const char *id)
{
	const char *citation = arena_format(b->arena, "photo:%s", id);
	for (size_t i = 0; i < b->assessment->zone_count; i++)
		if (fact_has(item_fact(b->assessment->zones[i].entry, "evidence"), citation))
			return &b->assessment->zones[i];
	return NULL;
}

static void photo_add(struct builder *b, const struct item *photo, double width)
{
	const char *path = fact_text(item_fact(photo, "file"));
	const struct job_file *file = job_files_find(b->input->files, path);
	const char *shows = item_words(b, photo, "shows");
	const char *caption = arena_format(b->arena, "%s %s: %s (%s)", label(b, "photo"), photo->id,
		shows, item_words(b, photo, "taken"));
	if (!file || !file->picture) {
		struct doc_node *p = note_add(b, arena_format(b->arena, "%s – %s", caption,
			label(b, file && file->present ? "picture-unusable" : "file-not-found")));
		p->label = target(b, "photo", photo->id);
		return;
	}
	struct doc_node *n = doc_add(b->document, DOC_PICTURE);
	n->picture = file->picture;
	n->width = width;
	n->summary = shows;
	n->label = target(b, "photo", photo->id);
	spans_add(b->arena, &n->spans, caption, SPAN_SMALL);
}

void photographs_of_zone(struct builder *b, const struct zone_result *z)
{
	const struct fact *f = item_fact(z->entry, "evidence");
	for (size_t i = 0; fact_given(f) && i < f->count; i++) {
		if (!text_begins(f->list[i], "photo:"))
			continue;
		const char *id = f->list[i] + strlen("photo:");
		const struct item *photo = record_item(b->record, "photos", id);
		if (photo && zone_of_photo(b, id) == z)
			photo_add(b, photo, 85);
	}
}

static void photo_row(struct builder *b, struct doc_node *t, const struct item *photo)
{
	struct doc_row *row = doc_row(b->document, t);
	spans_link(b->arena, &row->cells[0].spans, photo->id, target(b, "photo", photo->id));
	cell(b, row, 1, item_words(b, photo, "shows"));
	cell(b, row, 2, item_words(b, photo, "taken"));
	digest_cell(b, row, 3, photo);
	spans_page(b->arena, &row->cells[4].spans, target(b, "photo", photo->id));
}

void block_photographs(struct builder *b)
{
	static const struct column columns[] = {{"photo", 0.3, 16, ALIGN_LEFT},
		{"shows", 0.7, 28, ALIGN_LEFT}, {"taken", 0, 18, ALIGN_LEFT},
		{"file-and-digest", 0, 52, ALIGN_LEFT}, {"page", 0, 10, ALIGN_RIGHT}};
	const struct item_list *list = record_list(b->record, "photos");
	if (!list || !list->count) {
		text_add(b, label(b, "no-photos"));
		return;
	}
	struct doc_node *t = table_add(b, "summary-photos", columns, COUNT_OF(columns));
	for (size_t i = 0; i < list->count; i++)
		photo_row(b, t, &list->items[i]);
	for (size_t i = 0; i < list->count; i++)
		if (!zone_of_photo(b, list->items[i].id))
			photo_add(b, &list->items[i], 120);
}
