#include "work/draw.h"

#include <errno.h>

#include "assess/assess.h"
#include "base/text.h"
#include "doc/block.h"
#include "sys/file.h"
#include "sys/folder.h"
#include "type/svg.h"
#include "work/shipped.h"

struct sheet {
	const char *name, *title;
	const struct drawing *drawing;
};

struct sheets {
	struct sheet *items;
	size_t count;
};

static void add_sheet(struct sheets *s, const struct drawing *d, const char *name, const char *title)
{
	if (d)
		s->items[s->count++] = (struct sheet){name, title, d};
}

/* clearance-leaf-hinge-pier-left.svg: ids hold nothing that a path could mind. */
static const char *chart_name(struct arena *a, const struct clearance_result *r)
{
	char *name = arena_format(a, "clearance-%s.svg", r->key);
	for (char *p = name; *p; p++)
		if (*p == '~' || *p == '@')
			*p = '-';
	return name;
}

static struct sheets make_sheets(struct job *job, struct draw_result *result)
{
	struct doc_input *input = arena_alloc(job->arena, sizeof *input);
	*input = (struct doc_input){.assessment = job->assessment, .phrasebook = job->words, .files = &job->files,
		.version = PINTLE_VERSION, .names = assess_names(job->assessment), .findings = &job->findings};
	struct builder *b = builder_new(job->arena, input, "technical-file", NULL, 0);
	const struct geometry *g = job->assessment->geometry;
	struct sheets s = {.items = arena_array(job->arena, 2 + (g ? g->clearance_count : 0), sizeof *s.items)};
	int scale;
	add_sheet(&s, plan_drawing(b, false, &scale, &result->left_out), "plan.svg", label(b, "summary-plan"));
	add_sheet(&s, plan_drawing(b, true, &scale, &result->left_out), "elevation.svg", label(b, "summary-elevation"));
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		if (r->kinds)
			add_sheet(&s, chart_drawing(b, r), chart_name(job->arena, r),
				label_with(b, "summary-chart", "pair", r->key));
	}
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
		svg_write(&out, s.items[i].drawing, s.items[i].title);
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
