#include "work/draw.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "assess/assess.h"
#include "base/text.h"
#include "doc/block.h"
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

enum draw_outcome draw_job(struct job *job, const char *into, struct draw_result *result)
{
	*result = (struct draw_result){0};
	if (!job->assessment || findings_worst(&job->findings) == FINDING_INPUT)
		return DRAW_INPUT;
	struct sheets s = make_sheets(job, result);
	if (!s.count)
		return DRAW_NOTHING;
	enum file_outcome outcome = folder_make(job->arena, into);
	const char *path = into;
	result->files = arena_array(job->arena, s.count, sizeof *result->files);
	for (size_t i = 0; outcome == FILE_FINE && i < s.count; i++) {
		struct buf out;
		buf_init(&out, job->arena);
		svg_write(&out, s.items[i].drawing, s.items[i].title, s.items[i].description);
		path = folder_join(job->arena, into, s.items[i].name);
		outcome = file_write(job->arena, path, out.bytes, out.length);
		if (outcome == FILE_FINE)
			result->files[result->count++] = path;
	}
	if (outcome == FILE_FINE)
		return DRAW_FINE;
	result->why = arena_format(job->arena, "%s: %s", path, file_reason(outcome, errno));
	return DRAW_FAILED;
}
