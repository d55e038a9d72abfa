/* Citations, files and dates: whether what is cited is there, unchanged and older than nothing it shows. */
#include "assess/context.h"

#include <stdlib.h>
#include <string.h>

#include "model/field.h"

static const struct reference_kind {
	const char *prefix, *list;
} KINDS[] = {
	{"paper", "papers"},
	{"photo", "photos"},
	{"point", "force.points"},
	{"check", "checks"},
	{"function", "functions"},
};

/* The item that "photo:front" names, or NULL; `*kind` is then its prefix. */
static const struct item *referred(const struct context *c, const char *citation, const char **kind)
{
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++) {
		size_t n = strlen(KINDS[i].prefix);
		if (strncmp(citation, KINDS[i].prefix, n) == 0 && citation[n] == ':') {
			*kind = KINDS[i].prefix;
			return record_item(c->record, KINDS[i].list, citation + n + 1);
		}
	}
	return NULL;
}

/* A paper or photograph counts when its file is there and is the one whose digest is on record. */
static bool file_sound(const struct context *c, const struct item *item)
{
	const struct job_file *f = job_files_find(c->files, fact_text(item_fact(item, "file")));
	const struct fact *digest = item_fact(item, "sha256");
	return f && f->present && !f->blank && !f->picture_fault && fact_given(digest) && f->digest &&
		text_equal(digest->text, f->digest);
}

/* What was tested supports a claim only when it came out. Points are judged after functions and checks; until
 * then one that is on record is taken at its word, since its zone is judged again with it. */
static bool supports(const struct context *c, const char *kind, const struct item *item)
{
	const struct assessment *r = c->result;
	if (text_equal(kind, "paper") || text_equal(kind, "photo"))
		return file_sound(c, item);
	for (size_t i = 0; i < r->check_count; i++)
		if (r->checks[i].entry == item)
			return r->checks[i].outcome == OUTCOME_ANSWERED;
	for (size_t i = 0; i < r->function_count; i++)
		if (r->functions[i].entry == item)
			return r->functions[i].outcome == OUTCOME_ANSWERED;
	for (size_t i = 0; i < r->point_count; i++)
		if (r->points[i].entry == item)
			return r->points[i].outcome == OUTCOME_ANSWERED;
	return true;
}

size_t evidence_count(const struct context *c, const struct fact *list, const char *kind)
{
	size_t n = 0;
	for (size_t i = 0; fact_given(list) && i < list->count; i++) {
		const char *found;
		const struct item *item = referred(c, list->list[i], &found);
		if (!item || (kind && !text_equal(found, kind)))
			continue;
		n += supports(c, found, item);
	}
	return n;
}

size_t papers_cited(const struct context *c, const struct fact *list, struct words kinds)
{
	size_t n = 0;
	for (size_t i = 0; fact_given(list) && i < list->count; i++) {
		const char *found;
		const struct item *item = referred(c, list->list[i], &found);
		n += item && text_equal(found, "paper") && file_sound(c, item) &&
			(!kinds.count || words_have(kinds, fact_text(item_fact(item, "kind"))));
	}
	return n;
}

static void judge_file(struct context *c, const struct item *item)
{
	const struct fact *path = item_fact(item, "file"), *digest = item_fact(item, "sha256");
	if (!fact_given(path))
		return;
	const struct job_file *f = job_files_find(c->files, path->text);
	if (!f || !f->present) {
		point_out_with(c, FINDING_CODE_FILE_ABSENT, item->id, path->at, "file", path->text);
		return;
	}
	if (f->blank)
		point_out_with(c, FINDING_CODE_FILE_EMPTY, item->id, path->at, "file", path->text);
	if (!fact_given(digest)) {
		struct finding *p = point_out(c, FINDING_CODE_DIGEST_MISSING, item->id,
			digest->state == FACT_ABSENT ? item->at : digest->at);
		with(c, p, "file", path->text);
		way_value(c, way_out(c, p, "enter"), "now", f->digest);
	} else if (!text_equal(digest->text, f->digest)) {
		struct finding *p = point_out(c, FINDING_CODE_FILE_CHANGED, item->id, digest->at);
		with(c, p, "file", path->text);
		with(c, p, "now", f->digest);
		way_value(c, way_out(c, p, "look"), "now", f->digest);
	}
	if (f->picture_fault) {
		struct finding *p = point_out(c, FINDING_CODE_PICTURE_BROKEN, item->id, path->at);
		with(c, p, "file", path->text);
		with(c, p, "fault", f->picture_fault);
	}
}

/* Every citation of the record, "photo:front", in the order of words once all are checked. */
struct citing {
	struct context *c;
	const char **cited;
	size_t count, room;
};

static void keep_citation(struct citing *by, const char *citation)
{
	if (by->count == by->room) {
		by->room = by->room ? by->room * 2 : 128;
		by->cited = arena_grow(by->c->arena, by->cited, by->count, by->room, sizeof *by->cited);
	}
	by->cited[by->count++] = citation;
}

static int compare_citations(const void *x, const void *y)
{
	return strcmp(*(const char *const *)x, *(const char *const *)y);
}

static void cite(struct citing *by, const struct fact *f, const char *subject)
{
	if (f->kind != FIELD_EVIDENCE || !fact_given(f))
		return;
	for (size_t i = 0; i < f->count; i++) {
		const char *kind;
		keep_citation(by, f->list[i]);
		if (!referred(by->c, f->list[i], &kind))
			point_out_with(by->c, FINDING_CODE_REFERENCE_UNKNOWN, subject, f->list_at[i], "citation",
				f->list[i]);
	}
}

static void cite_all(struct citing *by)
{
	const struct record *r = by->c->record;
	for (size_t i = 0; i < r->root.count; i++)
		cite(by, &r->root.facts[i].fact, r->root.facts[i].key);
	for (size_t l = 0; l < r->list_count; l++)
		for (size_t i = 0; i < r->lists[l].count; i++)
			for (size_t k = 0; k < r->lists[l].items[i].count; k++)
				cite(by, &r->lists[l].items[i].facts[k].fact, r->lists[l].items[i].id);
	if (by->count)
		qsort(by->cited, by->count, sizeof *by->cited, compare_citations);
}

/* One picture under two ids. Papers may well share a file: a maker's manual can hold its declaration. */
static void judge_alike(struct context *c)
{
	const struct item_list *photos = record_list(c->record, "photos");
	const struct job_file **files = arena_array(c->arena, photos->count + 1, sizeof *files);
	for (size_t i = 0; i < photos->count; i++) {
		files[i] = job_files_find(c->files, fact_text(item_fact(&photos->items[i], "file")));
		for (size_t k = 0; files[i] && files[i]->picture && k < i; k++)
			if (files[k] && files[k]->picture && text_equal(files[i]->digest, files[k]->digest)) {
				point_out_with(c, FINDING_CODE_EVIDENCE_TWICE, photos->items[i].id,
					item_fact(&photos->items[i], "file")->at, "other", photos->items[k].id);
				break;
			}
	}
}

static void judge_used(struct context *c, const struct citing *by, const char *list_path, const char *prefix)
{
	const struct item_list *list = record_list(c->record, list_path);
	for (size_t i = 0; i < list->count; i++) {
		const char *wanted = arena_format(c->arena, "%s:%s", prefix, list->items[i].id);
		judge_file(c, &list->items[i]);
		if (!by->count || !bsearch(&wanted, by->cited, by->count, sizeof *by->cited, compare_citations))
			point_out_with(c, FINDING_CODE_EVIDENCE_UNUSED, list->items[i].id, list->items[i].at,
				"citation", wanted);
	}
}

/* --- dates -------------------------------------------------------------------------------------- */

static void must_not_follow(struct context *c, const char *subject, const struct fact *earlier,
	const char *earlier_path, const struct fact *later, const char *later_path)
{
	if (!fact_given(earlier) || !fact_given(later) || date_compare(earlier->date, later->date) <= 0)
		return;
	struct finding *f = point_out(c, FINDING_CODE_DATE_ORDER, subject, earlier->at);
	with(c, f, "earlier", earlier_path);
	with(c, f, "earlier-date", earlier->text);
	with(c, f, "later", later_path);
	with(c, f, "later-date", later->text);
}

static void judge_dates(struct context *c)
{
	static const char *const ORDER[][2] = {
		{"job.begun", "job.built"},
		{"job.built", "job.first-use"},
		{"signature.date", "job.first-use"},
		{"job.begun", "signature.date"},
		{"job.built", "signature.date"},
		{"upkeep.instructions-handed-over", "job.first-use"},
		{"force.conditions.on", "signature.date"},
	};
	/* What the signatory relies on was there before the signature. */
	static const char *const DATED[][2] = {
		{"changes", "on"}, {"zones", "looked-on"}, {"force.points", "on"}, {"functions", "proved-on"},
		{"checks", "on"}, {"papers", "dated"}, {"photos", "taken"}, {"devices", "fitted-on"},
		{"job.readings", "read-on"},
	};
	/* And what was looked at or tried was this gate, at work that had begun. */
	enum { TRIED = 5 };
	const struct fact *signed_on = record_fact(c->record, "signature.date");
	const struct fact *begun = record_fact(c->record, "job.begun");
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++)
		must_not_follow(c, devices->items[i].id, item_fact(&devices->items[i], "fitted-on"),
			arena_format(c->arena, "devices[%s].fitted-on", devices->items[i].id),
			record_fact(c->record, "job.built"), "job.built");
	for (size_t i = 0; i < sizeof ORDER / sizeof *ORDER; i++)
		must_not_follow(c, ORDER[i][0], record_fact(c->record, ORDER[i][0]), ORDER[i][0],
			record_fact(c->record, ORDER[i][1]), ORDER[i][1]);
	for (size_t i = 0; i < sizeof DATED / sizeof *DATED; i++) {
		const struct item_list *list = record_list(c->record, DATED[i][0]);
		for (size_t k = 0; k < list->count; k++) {
			const char *path = arena_format(c->arena, "%s[%s].%s", DATED[i][0], list->items[k].id,
				DATED[i][1]);
			must_not_follow(c, list->items[k].id, item_fact(&list->items[k], DATED[i][1]), path,
				signed_on, "signature.date");
			if (i < TRIED && i > 0)
				must_not_follow(c, list->items[k].id, begun, "job.begun",
					item_fact(&list->items[k], DATED[i][1]), path);
		}
	}
}

/* Ids that one part of the record uses for another. */
static void judge_links(struct context *c)
{
	static const struct {
		const char *list, *key, *to;
	} LINKS[] = {
		{"devices", "input", "control.inputs"},
		{"functions", "devices", "devices"},
	};
	for (size_t l = 0; l < sizeof LINKS / sizeof *LINKS; l++) {
		const struct item_list *list = record_list(c->record, LINKS[l].list);
		for (size_t i = 0; i < list->count; i++) {
			const struct fact *f = item_fact(&list->items[i], LINKS[l].key);
			size_t n = !fact_given(f) ? 0 : f->kind == FIELD_WORDS ? f->count : 1;
			for (size_t k = 0; k < n; k++) {
				const char *id = f->kind == FIELD_WORDS ? f->list[k] : f->text;
				if (!record_item(c->record, LINKS[l].to, id))
					point_out_with(c, FINDING_CODE_REFERENCE_UNKNOWN, list->items[i].id,
						f->kind == FIELD_WORDS ? f->list_at[k] : f->at, "citation",
						id);
			}
		}
	}
}

/* A detector wired to an input that is judged as something else is not judged at all. */
static void judge_wiring(struct context *c)
{
	static const struct {
		const char *device, *function;
	} WIRED[] = {
		{"pressure-edge", "edge"},
		{"beam", "beam"},
		{"light-curtain", "beam"},
		{"emergency-stop", "stop"},
	};
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const struct item *device = &devices->items[i];
		const struct fact *input = item_fact(device, "input");
		const struct item *line = fact_given(input)
			? record_item(c->record, "control.inputs", input->text) : NULL;
		const struct fact *function = line ? item_fact(line, "function") : NULL;
		for (size_t k = 0; function && k < sizeof WIRED / sizeof *WIRED; k++) {
			if (!fact_is(item_fact(device, "kind"), WIRED[k].device) || !fact_given(function) ||
				fact_is(function, WIRED[k].function))
				continue;
			struct finding *f = point_out(c, FINDING_CODE_DEVICE_INPUT, device->id, input->at);
			with(c, f, "input", input->text);
			with(c, f, "function", function->text);
			with(c, f, "wanted", WIRED[k].function);
			way_value(c, way_out(c, f, "wire"), "wanted", WIRED[k].function);
		}
	}
}

void assess_references(struct context *c)
{
	judge_links(c);
	judge_wiring(c);
	struct citing by = {.c = c};
	cite_all(&by);
	judge_used(c, &by, "papers", "paper");
	judge_used(c, &by, "photos", "photo");
	judge_alike(c);
	judge_dates(c);
}
