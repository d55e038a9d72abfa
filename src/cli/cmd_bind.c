/* bind: the documents as PDF. */
#include "base/text.h"
#include "cli/session.h"
#include "out/json.h"
#include "sys/folder.h"
#include "work/bind.h"

static const struct option_row OPTIONS[] = {{"--into", "FOLDER"}, {"--json", NULL}, {NULL, NULL}};

static void print_bound(const struct session *s, const struct bind_result *r)
{
	for (size_t i = 0; i < r->count; i++) {
		struct finding_value pages = {"pages", arena_format(s->arena, "%zu", r->files[i].pages), NULL};
		printf("%s  %s\n", text_harmless(s->arena, r->files[i].path),
			phrase_fill(s->arena, session_words(s, "bound-pages"), &pages));
	}
	if (r->removed)
		print_error(s, r->removed, session_words(s, "declaration-removed"));
}

static enum exit_status run(struct session *s)
{
	struct job job;
	struct bind_result result;
	const char *into = session_option(s, "--into");
	job_open(s->arena, s->arguments[0], s->words, &job);
	if (!into)
		into = folder_join(s->arena, s->arguments[0], "bound");
	enum bind_outcome outcome = bind_job(&job, into, &result);
	if (outcome == BIND_INPUT) {
		findings_sort(&job.findings);
		if (session_option(s, "--json"))
			fputs(json_findings(s->arena, &job.findings, s->words), stdout);
		else
			print_findings(s, stderr, &job.findings);
		return status_of(&job.findings);
	}
	if (outcome == BIND_FAILED) {
		print_findings(s, stderr, &job.findings);
		print_error(s, result.why ? result.why : "", session_words(s, "bind-failed"));
		return EXIT_SYSTEM;
	}
	if (session_option(s, "--json"))
		fputs(json_findings(s->arena, &job.findings, s->words), stdout);
	else
		print_bound(s, &result);
	if (outcome == BIND_DRAFT) {
		struct finding_value open = {"open",
			arena_format(s->arena, "%zu", findings_count(&job.findings, FINDING_OPEN) +
					findings_count(&job.findings, FINDING_STOP)),
			NULL};
		print_error(s, s->arguments[0], phrase_fill(s->arena, session_words(s, "bound-draft"), &open));
		return EXIT_ANSWER_NO;
	}
	if (!session_option(s, "--json"))
		print_deferring(s, stdout);
	return EXIT_IN_ORDER;
}

const struct command COMMAND_BIND = {"bind", "FOLDER", 1, 1, OPTIONS, run};
