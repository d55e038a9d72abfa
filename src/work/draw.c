#include "work/draw.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "assess/assess.h"
#include "base/text.h"
#include "doc/block.h"
#include "sys/digest.h"
#include "sys/file.h"
#include "sys/folder.h"
#include "type/svg.h"
#include "work/shipped.h"

struct sheet {
	const char *name, *title, *description;
	const struct drawing *drawing;
};

struct sheets {
	struct sheet *items;
	size_t count;
};

/* clearance-leaf-hinge-pier-left.svg. Ids hold nothing that a path could mind, and may be of any
 * length. */
static const char *chart_name(struct arena *a, const struct clearance_result *r)
{
	enum { LONGEST = 200 };
	char *name = arena_format(a, "clearance-%.*s", LONGEST, r->key);
	for (char *p = name; *p; p++)
		if (*p == '~' || *p == '@')
			*p = '-';
	return name;
}

static int by_name(const void *x, const void *y)
{
	const struct sheet *const *a = x, *const *b = y;
	int order = strcmp((*a)->name, (*b)->name);
	return order ? order : (*a > *b) - (*a < *b);
}

/* Two keys may come to one name, a~b-c and a-b~c: the later ones get a number, set off by what no
 * id holds. */
static void tell_apart(struct arena *a, struct sheet *sheets, size_t count)
{
	struct sheet **sorted = arena_array(a, count, sizeof *sorted);
	for (size_t i = 0; i < count; i++)
		sorted[i] = &sheets[i];
	if (count)
		qsort(sorted, count, sizeof(struct sheet *), by_name);
	const char *before = "";
	for (size_t i = 0, same = 1; i < count; i++) {
		same = text_equal(sorted[i]->name, before) ? same + 1 : 1;
		before = sorted[i]->name;
		sorted[i]->name = same > 1 ? arena_format(a, "%s_%zu.svg", before, same)
					   : arena_format(a, "%s.svg", before);
	}
}

static void add_view(
	struct builder *b, struct sheets *s, bool elevation, struct draw_result *result)
{
	int scale = 0;
	const char *name = elevation ? "elevation.svg" : "plan.svg";
	struct drawing *d = plan_drawing(b, elevation, &scale, &result->left_out);
	if (d)
		s->items[s->count++] = (struct sheet){name,
			label(b, elevation ? "summary-elevation" : "summary-plan"),
			plan_caption(b, elevation, scale), d};
	else
		result->missing[result->missing_count++] = name;
}

static struct sheets make_sheets(struct job *job, struct draw_result *result)
{
	struct doc_input *input = arena_alloc(job->arena, sizeof *input);
	*input = (struct doc_input){.assessment = job->assessment,
		.phrasebook = job->words,
		.files = &job->files,
		.version = PINTLE_VERSION,
		.names = assess_names(job->assessment),
		.findings = &job->findings};
	struct builder *b = builder_new(job->arena, input, "technical-file", NULL, 0);
	const struct geometry *g = job->assessment->geometry;
	struct sheets s = {.items = arena_array(
				   job->arena, 2 + (g ? g->clearance_count : 0), sizeof *s.items)};
	add_view(b, &s, false, result);
	add_view(b, &s, true, result);
	size_t views = s.count;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		struct drawing *d = r->kinds ? chart_drawing(b, r) : NULL;
		if (d)
			s.items[s.count++] = (struct sheet){chart_name(job->arena, r),
				label_with(b, "summary-chart", "pair", r->key),
				label(b, "caption-chart"), d};
	}
	tell_apart(job->arena, s.items + views, s.count - views);
	return s;
}

/* The last line of each file says what stands above it, so that a file in which somebody has drawn is told from
 * one that is as it was written. */
static const char SEAL[] = "<!-- SHA-256 of what stands above: ";
static const char SEAL_END[] = " -->\n";

static const char *seal_of(struct arena *a, const char *bytes, size_t length)
{
	return arena_format(a, "%s%s%s", SEAL, digest_text(a, digest_of(bytes, length)), SEAL_END);
}

static bool is_sealed(struct arena *a, const struct file_bytes *file)
{
	enum { DIGITS = 2 * DIGEST_SIZE };
	const size_t size = sizeof SEAL - 1 + DIGITS + sizeof SEAL_END - 1;
	if (file->length < size)
		return false;
	const char *end = file->bytes + file->length - size;
	return text_equal(end, seal_of(a, file->bytes, file->length - size));
}

static bool is_own_name(const char *name)
{
	return text_equal(name, "plan.svg") || text_equal(name, "elevation.svg") ||
	       (text_begins(name, "clearance-") && text_ends(name, ".svg"));
}

static int compare_names(const void *x, const void *y)
{
	return strcmp(*(const char *const *)x, *(const char *const *)y);
}

static const char **names_of(struct arena *a, const struct sheets *s)
{
	const char **names = arena_array(a, s->count, sizeof *names);
	for (size_t i = 0; i < s->count; i++)
		names[i] = s->items[i].name;
	if (s->count)
		qsort(names, s->count, sizeof *names, compare_names);
	return names;
}

/* Drawings of an earlier state of the job would pass for drawings of this one. Returns the first that cannot be
 * removed, or NULL. */
static const char *remove_old(struct arena *a, const char *into, const struct sheets *s,
	struct draw_result *result)
{
	enum { CAP = 16 * 1024 * 1024 };
	struct folder_list list;
	const char **names = names_of(a, s);
	if (folder_list(a, into, &list) != FILE_FINE)
		return NULL;
	result->removed = arena_array(a, list.count, sizeof *result->removed);
	for (size_t i = 0; i < list.count; i++) {
		const struct folder_entry *e = &list.items[i];
		struct file_bytes file;
		if (e->kind != FILE_KIND_PLAIN || !is_own_name(e->name) ||
			(s->count && bsearch(&e->name, names, s->count, sizeof *names, compare_names)))
			continue;
		const char *path = folder_join(a, into, e->name);
		if (file_read(a, path, CAP, &file) != FILE_FINE || !is_sealed(a, &file))
			continue;
		if (file_remove(path) != FILE_FINE)
			return path;
		result->removed[result->removed_count++] = path;
	}
	return NULL;
}

/* Writes each in turn; `*path`: the one that failed. */
static enum file_outcome write_all(struct arena *a, const char *into, const struct sheets *s,
	struct draw_result *result, const char **path)
{
	enum file_outcome outcome = folder_make(a, into);
	*path = into;
	result->files = arena_array(a, s->count, sizeof *result->files);
	for (size_t i = 0; outcome == FILE_FINE && i < s->count; i++) {
		struct buf out;
		buf_init(&out, a);
		svg_write(&out, s->items[i].drawing, s->items[i].title, s->items[i].description);
		buf_put(&out, seal_of(a, out.bytes, out.length));
		*path = folder_join(a, into, s->items[i].name);
		outcome = file_write(a, *path, out.bytes, out.length);
		if (outcome == FILE_FINE)
			result->files[result->count++] = *path;
	}
	return outcome;
}

enum draw_outcome draw_job(struct job *job, const char *into, struct draw_result *result)
{
	*result = (struct draw_result){0};
	if (!job->assessment || findings_worst(&job->findings) == FINDING_INPUT)
		return DRAW_INPUT;
	struct sheets s = make_sheets(job, result);
	const char *path = NULL;
	enum file_outcome outcome = s.count ? write_all(job->arena, into, &s, result, &path) : FILE_FINE;
	if (outcome == FILE_FINE && (path = remove_old(job->arena, into, &s, result)))
		outcome = FILE_FAILED;
	if (outcome == FILE_FINE)
		return s.count ? DRAW_FINE : DRAW_NOTHING;
	result->why = arena_format(job->arena, "%s: %s", path, file_reason(outcome, errno));
	return DRAW_FAILED;
}
