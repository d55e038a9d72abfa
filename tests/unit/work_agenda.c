/* What the walk asks: all that a record must hold, each once, by paths that a record has. Against
 * the field table, which is the contract of the record. */
#include <criterion/criterion.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"
#include "model/field.h"
#include "model/path.h"
#include "work/agenda.h"
#include "work/question.h"
#include "work/shipped.h"

static struct arena arena;
static jmp_buf escape;

static void begin(void)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(work_agenda, .init = begin, .fini = end);

static const struct library *shipped(void)
{
	struct findings found;
	findings_init(&found, &arena);
	const struct library *l = shipped_library(&arena, ".", &found);
	cr_assert_eq(found.count, 0u);
	return l;
}

/* How many legs ask for a field or a list. */
static size_t asked(const struct library *l, const char *path)
{
	size_t count = 0;
	for (size_t i = 0; i < l->legs_count; i++)
		for (size_t k = 0; k < l->legs[i].asks.count; k++)
			count += text_equal(l->legs[i].asks.items[k], path);
	return count;
}

Test(work_agenda, each_field_that_must_be_there_is_asked_on_one_leg)
{
	const struct library *l = shipped();
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		if (strstr(f->path, "[]") || !(f->flags & FIELD_ALWAYS) || text_equal(f->path, "record"))
			continue;
		cr_expect_eq(asked(l, f->path), 1u, "%s", f->path);
	}
	cr_expect_eq(asked(l, "gate.dimensions"), 1u);
}

Test(work_agenda, each_list_is_asked_on_one_leg)
{
	const struct library *l = shipped();
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++)
		if (!strstr(FIELD_LISTS[i].path, "[]"))
			cr_expect_eq(asked(l, FIELD_LISTS[i].path), 1u, "%s", FIELD_LISTS[i].path);
}

static void open_example(const char *folder, struct job *job)
{
	struct phrasebook *words = shipped_words(&arena, "en", NULL);
	job_open(&arena, folder, words, job);
	findings_sort(&job->findings);
	cr_assert_not_null(job->assessment, "%s", folder);
}

Test(work_agenda, nothing_is_left_of_a_job_in_order)
{
	static const struct agenda_memory NOTHING = {NULL, 0, false};
	struct job job;
	struct agenda agenda;
	open_example("examples/harbour-yard", &job);
	agenda_build(&arena, &job, &NOTHING, &agenda);
	cr_expect_gt(agenda.count, 300u);
	cr_expect_eq(agenda_open(&agenda, 0), agenda.count);
}

/* Every finding that asks for a value is an open ask, with the same path; and every path is one of a record. */
Test(work_agenda, asks_for_all_that_the_check_misses)
{
	static const char *const JOBS[] = {"examples/ledgate-playhouse", "examples/fernhollow-infirmary",
		"examples/brackhollow-cold-store", "examples/ardnashee-court"};
	static const struct agenda_memory NOTHING = {NULL, 0, false};
	for (size_t j = 0; j < sizeof JOBS / sizeof *JOBS; j++) {
		struct job job;
		struct agenda agenda;
		struct record_path path;
		open_example(JOBS[j], &job);
		agenda_build(&arena, &job, &NOTHING, &agenda);
		for (size_t i = 0; i < job.findings.count; i++) {
			const struct finding *f = job.findings.items[i];
			if (f->code != FINDING_CODE_FIELD_MISSING && f->code != FINDING_CODE_FIELD_UNKNOWN)
				continue;
			size_t at = agenda_find(&agenda, ASK_VALUE, f->subject);
			cr_expect(at < agenda.count && agenda.asks[at].open, "%s: %s", JOBS[j], f->subject);
		}
		for (size_t i = 0; i < agenda.count; i++) {
			struct question q;
			const struct ask *ask = &agenda.asks[i];
			question_of(&arena, &job, ask, &q);
			cr_expect(ask->kind == ASK_POINT ||
					  record_path_read(&arena, ask->path, &path),
				"%s", ask->path);
			cr_expect(*q.title && !strstr(q.title, "{{") && *q.form &&
					  !strstr(q.form, "{{"),
				"%s", ask->path);
			cr_expect(!q.keeps || q.value, "%s", ask->path);
		}
	}
}

/* How a zone is answered, what a check gave and when is never taken over from what stands there. */
Test(work_agenda, some_answers_are_never_kept_by_default)
{
	static const struct agenda_memory NOTHING = {NULL, 0, false};
	struct job job;
	struct agenda agenda;
	size_t never = 0, kept = 0;
	open_example("examples/harbour-yard", &job);
	agenda_build(&arena, &job, &NOTHING, &agenda);
	for (size_t i = 0; i < agenda.count; i++) {
		struct question q;
		const char *path = agenda.asks[i].path;
		question_of(&arena, &job, &agenda.asks[i], &q);
		bool disposition = text_begins(path, "zones[") && (text_ends(path, "].as") || text_ends(path, "].by"));
		if (disposition || text_begins(path, "checks[") || text_ends(path, "].recordings")) {
			cr_expect(!q.keeps, "%s", path);
			never++;
		}
		kept += q.keeps;
	}
	cr_expect_gt(never, 50u);
	cr_expect_gt(kept, 100u);
}
