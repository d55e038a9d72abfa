/* check: everything still open, with ways. */
#include "base/text.h"
#include "cli/session.h"
#include "out/json.h"
#include "work/job.h"

static const struct option_row OPTIONS[] = {{"--json", NULL}, {NULL, NULL}};

/* A value of the record, or what to say of one that is not known yet. */
static const char *known_or(const struct session *s, const struct assessment *r, const char *path,
	const char *key)
{
	const struct fact *f = record_fact(r->record, path);
	return fact_given(f) ? fact_shown(s->arena, f) : session_words(s, key);
}

static void print_head(const struct session *s, const struct assessment *r)
{
	const char *type = r->record->type ? r->record->type->note.id : "?";
	const char *title = phrasebook_part(s->words, "types", type, "title");
	const char *regime = r->regime ? r->regime->note.id : session_words(s, "no-act");
	const char *act = phrasebook_part(s->words, "regimes", regime, "title");
	print_wrapped(s, stdout, "",
		arena_format(s->arena, "%s · %s · %s · %s",
			known_or(s, r, "job.reference", "no-reference"),
			known_or(s, r, "gate.name", "no-name"), title ? title : type, act ? act : regime));
	fputc('\n', stdout);
}

static const char *count_of(const struct session *s, const struct findings *f, enum finding_level level)
{
	return arena_format(s->arena, "%zu", findings_count(f, level));
}

static void print_outcome(const struct session *s, const struct findings *f, const struct assessment *r)
{
	size_t open = findings_count(f, FINDING_OPEN) + findings_count(f, FINDING_STOP);
	const char *key = findings_count(f, FINDING_INPUT) ? "check-input" : open ? "check-open" : "check-none";
	size_t runs = 0;
	for (size_t i = 0; r && i < r->point_count; i++)
		runs += r->points[i].usable;
	struct finding_value notes = {"notes", count_of(s, f, FINDING_NOTE), NULL};
	struct finding_value input = {"input", count_of(s, f, FINDING_INPUT), &notes};
	struct finding_value opens = {"open", arena_format(s->arena, "%zu", open), &input};
	struct finding_value zones = {"zones", arena_format(s->arena, "%zu", r ? r->zone_count : 0), &opens};
	struct finding_value points = {"points", arena_format(s->arena, "%zu", r ? r->point_count : 0), &zones};
	struct finding_value all = {"recordings", arena_format(s->arena, "%zu", runs), &points};
	if (f->count)
		fputc('\n', stdout);
	print_wrapped(s, stdout, "", phrase_fill(s->arena, session_words(s, key), &all));
}

static enum exit_status run(struct session *s)
{
	struct job job;
	job_open(s->arena, s->arguments[0], s->words, &job);
	if (session_option(s, "--json")) {
		fputs(json_check(s->arena, s->arguments[0], job.assessment, &job.findings, s->words), stdout);
		return status_of(&job.findings);
	}
	if (!job.assessment) {
		findings_sort(&job.findings);
		print_findings(s, stderr, &job.findings);
		return EXIT_BAD_INPUT;
	}
	print_head(s, job.assessment);
	print_findings(s, stdout, &job.findings);
	print_outcome(s, &job.findings, job.assessment);
	print_deferring(s, stdout);
	return status_of(&job.findings);
}

const struct command COMMAND_CHECK = {"check", "FOLDER", 1, 1, OPTIONS, run};
