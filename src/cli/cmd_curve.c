/* curve: evaluate force recordings on their own. */
#include <errno.h>

#include "assess/assess.h"
#include "base/text.h"
#include "cli/session.h"
#include "load/recording.h"
#include "out/json.h"
#include "sys/file.h"
#include "work/shipped.h"

static const struct option_row OPTIONS[] = {{"--movement", "WORD"}, {"--gap", "LENGTH"},
	{"--edition", "EDITION"}, {"--force-unit", "UNIT"}, {"--time-unit", "UNIT"}, {"--json", NULL},
	{NULL, NULL}};

struct answers {
	struct session *s;
	const struct library *library;
	struct curve_question question;
	struct findings findings;
	struct run_result *runs;
	double *limits;
	size_t count, room;
};

static bool read_question(struct session *s, struct curve_question *q)
{
	const char *gap = session_option(s, "--gap");
	struct quantity length;
	*q = (struct curve_question){.movement = session_option(s, "--movement"), .gap_m = -1,
		.edition = session_option(s, "--edition")};
	if (!gap)
		return true;
	if (quantity_read(gap, &length) != QUANTITY_FINE || !dimension_equal(length.dim, DIM_LENGTH) ||
		!(length.value >= 0)) {
		print_error(s, gap, session_words(s, "curve-gap"));
		return false;
	}
	q->gap_m = length.value;
	return true;
}

/* `number` counts the recordings of a file from 1, as the record cites them; 0 when there is only one. */
static void add(struct answers *w, const char *file, const struct recording *r, size_t number)
{
	if (w->count == w->room) {
		size_t room = w->room ? w->room * 2 : 16;
		w->runs = arena_grow(w->s->arena, w->runs, w->count, room, sizeof *w->runs);
		w->limits = arena_grow(w->s->arena, w->limits, w->count, room, sizeof *w->limits);
		w->room = room;
	}
	if (!assess_curve(w->s->arena, w->library, &w->question, r, &w->runs[w->count], &w->limits[w->count])) {
		const char *movement = w->question.movement ? w->question.movement : "";
		finding_with(&w->findings,
			finding_add(&w->findings, FINDING_CODE_CURVE_LIMIT, file, r->at), "movement", movement);
		return;
	}
	w->runs[w->count++].file = number ? arena_format(w->s->arena, "%s#%zu", file, number) : file;
}

static void read_file(struct answers *w, const char *path)
{
	struct session *s = w->s;
	struct file_bytes bytes;
	struct recording_list list;
	struct recording_patterns patterns = {w->library->patterns, w->library->pattern_count};
	struct recording_units units = {.time = session_option(s, "--time-unit"),
		.force = session_option(s, "--force-unit")};
	enum file_outcome outcome = file_read(s->arena, path, RECORDING_BYTES, &bytes);
	if (outcome != FILE_FINE) {
		file_finding(&w->findings, outcome, errno, path, RECORDING_BYTES, path, (struct place){path, 0, 0});
		return;
	}
	if (recording_read(s->arena, bytes.bytes, bytes.length, path, &patterns, &units, &list, &w->findings))
		for (size_t i = 0; i < list.count; i++)
			add(w, path, &list.items[i], list.count > 1 ? i + 1 : 0);
}

static void print_run(const struct session *s, const struct run_result *r, double limit)
{
	struct arena *a = s->arena;
	struct finding_value v[] = {
		{"peak", text_fixed(a, r->peak, 1), NULL}, {"limit", text_fixed(a, limit, 0), NULL},
		{"bound", text_fixed(a, r->peak_bound, 1), NULL},
		{"above-static", text_fixed(a, r->above_static_time, 3), NULL},
		{"static", text_fixed(a, r->static_force, 1), NULL},
		{"above-end", text_fixed(a, r->above_end_time, 3), NULL},
		{"end", text_fixed(a, r->end_force, 1), NULL}, {"rate", text_number(a, r->rate, 0), NULL},
		{"verdict", session_words(s, arena_format(a, "verdict-%s", r->verdict)), NULL},
	};
	for (size_t i = 0; i + 1 < sizeof v / sizeof *v; i++)
		v[i].next = &v[i + 1];
	printf("%s\n", text_harmless(a, r->file));
	print_wrapped(s, stdout, "  ", phrase_fill(a, session_words(s, "curve-line"), v));
	for (size_t i = 0; i < r->reason_count; i++) {
		const char *words = phrasebook_find(s->words,
			arena_format(a, "curve-reasons.%s", r->reasons[i]));
		print_wrapped(s, stdout, "  → ", words ? words : r->reasons[i]);
	}
	if (r->peak_uncertain)
		print_wrapped(s, stdout, "  → ", session_words(s, "curve-uncertain"));
}

static enum exit_status answer(struct answers *w)
{
	struct session *s = w->s;
	enum exit_status status = status_of(&w->findings);
	for (size_t i = 0; i < w->count; i++)
		if (status == EXIT_IN_ORDER && (!text_equal(w->runs[i].verdict, "within") ||
			w->runs[i].peak_uncertain))
			status = EXIT_ANSWER_NO;
	findings_sort(&w->findings);
	print_findings(s, stderr, &w->findings);
	if (session_option(s, "--json")) {
		fputs(json_curves(s->arena, w->runs, w->limits, w->count), stdout);
		return status;
	}
	if (!w->count)
		return status;
	for (size_t i = 0; i < w->count; i++)
		print_run(s, &w->runs[i], w->limits[i]);
	if (!w->question.movement || w->question.gap_m < 0)
		print_wrapped(s, stdout, "", session_words(s, "curve-lowest"));
	print_deferring(s, stdout);
	return status;
}

/* A misspelt word must not quietly mean the default. */
static bool question_known(const struct answers *w)
{
	static const char *const MOVEMENTS[] = {"horizontal", "perpendicular-axis", "vertical", "parallel-axis"};
	const char *movement = w->question.movement, *edition = w->question.edition;
	bool known = !movement, found = !edition;
	for (size_t i = 0; !known && i < sizeof MOVEMENTS / sizeof *MOVEMENTS; i++)
		known = text_equal(movement, MOVEMENTS[i]);
	for (size_t i = 0; !found && i < w->library->limits_count; i++)
		for (size_t k = 0; k < w->library->limits[i].variant_count; k++) {
			const struct lib_limit_variant *v = &w->library->limits[i].variants[k];
			found = found || text_equal(edition, v->edition) || text_equal(edition, v->id);
		}
	if (!known)
		print_error(w->s, movement, session_words(w->s, "curve-movement"));
	if (!found)
		print_error(w->s, edition, session_words(w->s, "curve-edition"));
	return known && found;
}

static enum exit_status run(struct session *s)
{
	struct answers w = {.s = s};
	if (!read_question(s, &w.question))
		return EXIT_BAD_INPUT;
	findings_init(&w.findings, s->arena);
	w.library = shipped_library(s->arena, NULL, &w.findings);
	if (findings_worst(&w.findings) == FINDING_INPUT) {
		print_findings(s, stderr, &w.findings);
		return EXIT_SYSTEM;
	}
	if (!question_known(&w))
		return EXIT_BAD_INPUT;
	for (int i = 0; i < s->argument_count; i++)
		read_file(&w, s->arguments[i]);
	return answer(&w);
}

const struct command COMMAND_CURVE = {"curve", "FILE…", 1, -1, OPTIONS, run};
