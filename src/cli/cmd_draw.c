/* draw: drawings and clearance charts as SVG. */
#include "base/text.h"
#include "cli/session.h"
#include "sys/folder.h"
#include "work/draw.h"

static const struct option_row OPTIONS[] = {{"--into", "FOLDER"}, {NULL, NULL}};

static void print_left_out(const struct session *s, const struct draw_result *r)
{
	struct finding_value count = {"count", arena_format(s->arena, "%zu", r->left_out), NULL};
	if (r->left_out)
		print_error(s, s->arguments[0],
			phrase_fill(s->arena, session_words(s, "draw-left-out"), &count));
}

static enum exit_status run(struct session *s)
{
	struct job job;
	struct draw_result result;
	const char *into = session_option(s, "--into");
	job_open(s->arena, s->arguments[0], s->words, &job);
	if (!into)
		into = folder_join(s->arena, s->arguments[0], "bound");
	enum draw_outcome outcome = draw_job(&job, into, &result);
	for (size_t i = 0; i < result.count; i++)
		printf("%s\n", text_harmless(s->arena, result.files[i]));
	for (size_t i = 0; i < result.removed_count; i++)
		print_error(s, result.removed[i], session_words(s, "draw-removed"));
	switch (outcome) {
	case DRAW_INPUT:
		findings_sort(&job.findings);
		print_findings(s, stderr, &job.findings);
		return status_of(&job.findings);
	case DRAW_FAILED:
		print_error(s, result.why, session_words(s, "draw-failed"));
		return EXIT_SYSTEM;
	case DRAW_NOTHING:
		print_error(s, s->arguments[0], session_words(s, "draw-nothing"));
		return EXIT_ANSWER_NO;
	case DRAW_FINE:
		break;
	}
	for (size_t i = 0; i < result.missing_count; i++)
		print_error(s, result.missing[i], session_words(s, "draw-missing"));
	print_left_out(s, &result);
	return EXIT_IN_ORDER;
}

const struct command COMMAND_DRAW = {"draw", "FOLDER", 1, 1, OPTIONS, run};
