/* walk: what is still to be asked about a gate, in the order in which one walks round it. */
#include <stdlib.h>

#include "base/text.h"
#include "cli/session.h"
#include "work/briefing.h"
#include "work/question.h"

static const struct option_row OPTIONS[] = {{"--all", NULL}, {NULL, NULL}};

static const char *walk_words(const struct session *s, const char *key)
{
	const char *text = phrasebook_find(s->words, arena_format(s->arena, "walk.%s", key));
	return text ? text : key;
}

static const char *walk_fill(const struct session *s, const char *key, const char *name, const char *value)
{
	struct finding_value v = {name, value, NULL};
	return phrase_fill(s->arena, walk_words(s, key), &v);
}

static void print_told(const struct session *s, const struct briefing *b)
{
	static const char *const LEADS[] = {[TOLD_LEG] = "== ",
		[TOLD_HEADING] = "-- ",
		[TOLD_TEXT] = "",
		[TOLD_ITEM] = "  · ",
		[TOLD_DETAIL] = "    ",
		[TOLD_CAUTION] = "  ! "};
	for (size_t i = 0; i < b->count; i++) {
		if (i && b->items[i].kind == TOLD_HEADING)
			putchar('\n');
		print_wrapped(s, stdout, LEADS[b->items[i].kind], b->items[i].text);
	}
	if (b->count)
		putchar('\n');
}

/* Words that read as they are written go into one line; others get one each, with their meaning. */
static void print_choices(const struct session *s, const struct question *q)
{
	struct buf plain;
	buf_init(&plain, s->arena);
	for (size_t i = 0; i < q->choice_count; i++) {
		const struct choice *c = &q->choices[i];
		if (!*c->title || text_equal(c->word, c->title))
			buf_format(&plain, "%s%s", plain.length ? ", " : "", c->word);
		else
			print_wrapped(s, stdout, "    ", arena_format(s->arena, "%s: %s", c->word, c->title));
	}
	if (plain.length)
		print_wrapped(s, stdout, "    ", plain.bytes);
}

static void print_question(const struct session *s, const struct question *q)
{
	print_wrapped(s, stdout, "? ", q->title);
	if (*q->help)
		print_wrapped(s, stdout, "  ", q->help);
	print_wrapped(s, stdout, "  ", q->form);
	print_choices(s, q);
	if (q->none)
		print_wrapped(s, stdout, "  ", walk_words(s, "or-none"));
	if (q->not_applicable)
		print_wrapped(s, stdout, "  ", walk_words(s, "or-not-applicable"));
	if (q->value)
		print_wrapped(s, stdout, "  ", walk_fill(s, "on-record", "value", q->value));
	print_wrapped(s, stdout, "  ", walk_fill(s, "where", "path", q->ask->path));
	putchar('\n');
}

static size_t count_open(const struct agenda *agenda, const struct lib_leg *leg)
{
	size_t count = 0;
	for (size_t i = 0; i < agenda->count; i++)
		count += agenda->asks[i].open && (!leg || agenda->asks[i].leg == leg);
	return count;
}

/* The leg on which something is still open, or with --all every one. */
static enum exit_status print_agenda(struct session *s, const struct job *job, const struct agenda *agenda)
{
	size_t first = agenda_open(agenda, 0);
	if (first == agenda->count) {
		print_wrapped(s, stdout, "", walk_words(s, "nothing"));
		return EXIT_IN_ORDER;
	}
	const struct lib_leg *leg = session_option(s, "--all") ? NULL : agenda->asks[first].leg;
	const struct ask *before = NULL;
	for (size_t i = first; i < agenda->count; i = agenda_open(agenda, i + 1)) {
		struct briefing told;
		struct question question;
		if (leg && agenda->asks[i].leg != leg)
			break;
		briefing_of(s->arena, job, &agenda->asks[i], before, &told);
		print_told(s, &told);
		question_of(s->arena, job, &agenda->asks[i], &question);
		print_question(s, &question);
		before = &agenda->asks[i];
	}
	struct finding_value here = {"here",
		arena_format(s->arena, "%zu", count_open(agenda, agenda->asks[first].leg)), NULL};
	struct finding_value count = {"count", arena_format(s->arena, "%zu", count_open(agenda, NULL)), &here};
	print_wrapped(s, stdout, "", phrase_fill(s->arena, walk_words(s, "left"), &count));
	print_deferring(s, stdout);
	return EXIT_ANSWER_NO;
}

static enum exit_status run(struct session *s)
{
	static const struct agenda_memory NOTHING = {NULL, 0, false};
	struct job job;
	struct agenda agenda;
	job_open(s->arena, s->arguments[0], s->words, &job);
	findings_sort(&job.findings);
	if (!job.assessment) {
		print_findings(s, stderr, &job.findings);
		return status_of(&job.findings);
	}
	agenda_build(s->arena, &job, &NOTHING, &agenda);
	return print_agenda(s, &job, &agenda);
}

const struct command COMMAND_WALK = {"walk", "FOLDER", 1, 1, OPTIONS, run};
