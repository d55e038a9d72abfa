/* Spoils a finished record in one place after the other and sees whether each spoilt record stays
 * open: every line left out, every key misspelt, every value replaced by `?` and by `unknown`. A line
 * nobody would miss is a line nobody needs, or a rule that is not there.
 *
 *   spoil JOB PROGRAM EVERY [--only PATH] [--step N] [EXEMPT]...
 *
 * JOB is a finished job. Files that it cites are read once, and the assessment runs in this process.
 * Each EVERYth spoilt record goes through PROGRAM as well, which has to give the same answer, in
 * JOB.0 and JOB.1: copies of JOB whose gate.yaml is overwritten. EXEMPT is a path of the record
 * ("parties.owner.mail", "devices[].model") that may be spoilt unnoticed; those are counted. --only
 * tries one path alone, --step each Nth line. Comments and blank lines are not tried. Prints what
 * went unnoticed; ends with 1 when something did that was not exempt, or when nothing was tried.
 */
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "assess/assess.h"
#include "base/text.h"
#include "load/record.h"
#include "sys/file.h"
#include "sys/folder.h"
#include "work/job.h"
#include "work/shipped.h"

enum spoiling { LEAVE_OUT, MISSPELL, QUESTION, UNKNOWN, SPOILINGS };
enum { DEPTH = 16, PATH_ROOM = 512, WORKERS = 2 };

static const char *const NAMES[] = {"left out", "misspelt", "?", "unknown"};

struct line {
	const char *text;
	size_t length;
	size_t key, key_end;     /* within the line; the same: no key */
	size_t value, value_end; /* the same: none */
	char path[PATH_ROOM];
};

struct spoiler {
	struct job job;
	struct line *lines;
	size_t count;
	const char *folder, *program;
	size_t every;
	const char *only;
	size_t step;
	char **exempt;
	int exempt_count;
};

struct tally {
	size_t tried, exempt, unnoticed, through, differ;
};

/* --- Lines and their paths --- */

static void find_parts(struct line *l)
{
	size_t at = strspn(l->text, " ");
	if (at + 1 < l->length && l->text[at] == '-' && l->text[at + 1] == ' ')
		at += 2;
	if (at >= l->length || l->text[at] == '#')
		return;
	const char *colon = memchr(l->text + at, ':', l->length - at);
	if (!colon)
		return;
	l->key = at;
	l->key_end = (size_t)(colon - l->text);
	size_t from = l->key_end + 1;
	while (from < l->length && l->text[from] == ' ')
		from++;
	if (from == l->length || l->text[from] == '#')
		return;
	l->value = from;
	l->value_end = l->length;
	const char *comment = memmem(l->text, l->length, " #", 2);
	if (comment)
		l->value_end = (size_t)(comment - l->text);
}

/* The path of each line, lists as "devices[]", keys with a place in them ("zone@leaf") as "*". */
static void find_paths(struct line *lines, size_t count)
{
	struct {
		size_t indent;
		char name[64];
	} open[DEPTH];
	size_t depth = 0;
	for (size_t i = 0; i < count; i++) {
		struct line *l = &lines[i];
		if (l->key == l->key_end)
			continue;
		while (depth && open[depth - 1].indent >= l->key)
			depth--;
		if (depth == DEPTH)
			continue;
		open[depth].indent = l->key;
		snprintf(open[depth].name, sizeof open[depth].name, "%.*s", (int)(l->key_end - l->key),
			l->text + l->key);
		size_t used = 0;
		for (size_t k = 0; k <= depth && used < PATH_ROOM; k++)
			used += (size_t)snprintf(l->path + used, PATH_ROOM - used, "%s%s%s", k ? "." : "",
				strchr(open[k].name, '@') ? "*" : open[k].name,
				k < depth && open[k + 1].indent >= open[k].indent + 4 ? "[]" : "");
		depth++;
	}
}

static void split(struct spoiler *s, struct arena *a)
{
	const char *text = s->job.record->text, *end = text + s->job.record->length;
	for (const char *p = text; p < end; p++)
		s->count += *p == '\n';
	s->lines = arena_array(a, s->count, sizeof *s->lines);
	for (size_t i = 0; i < s->count; i++) {
		const char *stop = memchr(text, '\n', (size_t)(end - text));
		s->lines[i] = (struct line){.text = text, .length = (size_t)(stop - text)};
		find_parts(&s->lines[i]);
		text = stop + 1;
	}
	find_paths(s->lines, s->count);
}

/* --- One spoilt record --- */

static bool can_spoil(const struct spoiler *s, const struct line *l, enum spoiling how)
{
	if (s->only && strcmp(s->only, l->path) != 0)
		return false;
	if (how == LEAVE_OUT || how == MISSPELL)
		return l->key != l->key_end;
	return l->value != l->value_end;
}

static char *spoilt(struct arena *a, const struct spoiler *s, const struct line *l,
	enum spoiling how, size_t *length)
{
	const char *whole = s->job.record->text, *after = l->text + l->length;
	struct buf b;
	buf_init(&b, a);
	buf_add(&b, whole, (size_t)(l->text - whole));
	switch (how) {
	case LEAVE_OUT:
		after++;
		break;
	case MISSPELL:
		buf_add(&b, l->text, l->key + 1);
		buf_char(&b, 'q');
		buf_add(&b, l->text + l->key + 1, l->length - l->key - 1);
		break;
	case QUESTION:
	case UNKNOWN:
	case SPOILINGS:
		buf_add(&b, l->text, l->value);
		buf_put(&b, how == QUESTION ? "?" : "unknown");
		buf_add(&b, l->text + l->value_end, l->length - l->value_end);
		break;
	}
	buf_add(&b, after, s->job.record->length - (size_t)(after - whole));
	*length = b.length;
	return b.bytes;
}

static bool noticed(struct arena *a, const struct spoiler *s, const char *text, size_t length)
{
	struct findings findings;
	findings_init(&findings, a);
	struct record *record = record_load(a, text, length, "gate.yaml", "", s->job.library, &findings);
	if (!record)
		return true;
	return !assess(a, record, s->job.library, &s->job.files, &findings)->ready;
}

static int through_program(const struct spoiler *s, const char *text, size_t length,
	const char *folder)
{
	char path[PATH_ROOM];
	snprintf(path, sizeof path, "%s/gate.yaml", folder);
	FILE *f = fopen(path, "wb");
	if (!f || fwrite(text, 1, length, f) != length || fclose(f))
		return -1;
	pid_t child = fork();
	if (child == 0) {
		if (!freopen("/dev/null", "w", stdout) || !freopen("/dev/null", "w", stderr))
			_exit(126);
		execl(s->program, s->program, "check", folder, (char *)NULL);
		_exit(127);
	}
	int status;
	if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status))
		return -1;
	return WEXITSTATUS(status);
}

static bool exempt(const struct spoiler *s, const struct line *l)
{
	for (int i = 0; i < s->exempt_count; i++)
		if (strcmp(s->exempt[i], l->path) == 0)
			return true;
	return false;
}

static void try_one(const struct spoiler *s, size_t index, enum spoiling how, const char *folder,
	struct tally *t)
{
	const struct line *l = &s->lines[index];
	struct arena a;
	jmp_buf escape;
	arena_init(&a, &escape);
	if (setjmp(escape)) {
		fputs("spoil: no memory\n", stderr);
		exit(3);
	}
	size_t length;
	const char *text = spoilt(&a, s, l, how, &length);
	bool seen = noticed(&a, s, text, length);
	t->tried++;
	if (t->tried % s->every == 0) {
		int status = through_program(s, text, length, folder);
		t->through++;
		if (status < 0 || status > 2 || (status != 0) != seen) {
			printf("gate.yaml:%zu: %s %s: the program ends with %d\n", index + 1, l->path,
				NAMES[how], status);
			t->differ++;
		}
	}
	if (!seen && exempt(s, l)) {
		t->exempt++;
	} else if (!seen) {
		printf("gate.yaml:%zu: %s %s: not noticed\n", index + 1, l->path, NAMES[how]);
		t->unnoticed++;
	}
	arena_release(&a);
}

/* --- All of them --- */

/* Every WORKERSth line (of those that --step leaves) from `first` on; to `pipe_end` the tally. */
static void work(const struct spoiler *s, size_t first, int pipe_end)
{
	char folder[PATH_ROOM];
	struct tally t = {0};
	snprintf(folder, sizeof folder, "%s.%zu", s->folder, first);
	for (size_t i = first; i < s->count; i += WORKERS * s->step)
		for (int how = 0; how < SPOILINGS; how++)
			if (can_spoil(s, &s->lines[i], (enum spoiling)how))
				try_one(s, i, (enum spoiling)how, folder, &t);
	fflush(stdout);
	if (write(pipe_end, &t, sizeof t) != (ssize_t)sizeof t)
		_exit(3);
	_exit(0);
}

static bool work_all(const struct spoiler *s, struct tally *sum)
{
	int ends[2];
	bool fine = pipe(ends) == 0;
	fflush(stdout);
	for (size_t k = 0; fine && k < WORKERS; k++) {
		pid_t child = fork();
		if (child == 0)
			work(s, k, ends[1]);
		fine = child > 0;
	}
	for (size_t k = 0; fine && k < WORKERS; k++) {
		struct tally t;
		int status;
		fine = wait(&status) > 0 && status == 0 && read(ends[0], &t, sizeof t) == (ssize_t)sizeof t;
		if (!fine)
			break;
		sum->tried += t.tried;
		sum->exempt += t.exempt;
		sum->unnoticed += t.unnoticed;
		sum->through += t.through;
		sum->differ += t.differ;
	}
	return fine;
}

static void take_options(struct spoiler *s, char **rest, int count)
{
	for (s->step = 1; count > 1; rest += 2, count -= 2) {
		if (strcmp(rest[0], "--only") == 0)
			s->only = rest[1];
		else if (strcmp(rest[0], "--step") == 0)
			s->step = strtoul(rest[1], NULL, 10);
		else
			break;
	}
	s->exempt = rest;
	s->exempt_count = count;
}

int main(int argc, char **argv)
{
	static struct arena a;
	static jmp_buf escape;
	static struct spoiler s;
	struct tally sum = {0};
	if (argc < 4 || (s.every = strtoul(argv[3], NULL, 10)) == 0) {
		fputs("usage: spoil JOB PROGRAM EVERY [--only PATH] [--step N] [EXEMPT]...\n", stderr);
		return 2;
	}
	arena_init(&a, &escape);
	if (setjmp(escape))
		return 3;
	s.folder = argv[1];
	s.program = argv[2];
	take_options(&s, argv + 4, argc - 4);
	struct findings words;
	findings_init(&words, &a);
	job_open(&a, s.folder, shipped_words(&a, "en", &words), &s.job);
	if (!s.job.assessment || !s.job.assessment->ready) {
		fputs("spoil: the job is not in order to begin with\n", stderr);
		return 2;
	}
	s.step = s.step ? s.step : 1;
	split(&s, &a);
	bool fine = work_all(&s, &sum);
	double share = sum.tried ? 100.0 * (double)sum.exempt / (double)sum.tried : 0;
	printf("%zu spoilt records, %zu of them through the program; "
	       "%zu exempt went unnoticed (%.1f %%), %zu others\n",
		sum.tried, sum.through, sum.exempt, share, sum.unnoticed);
	arena_release(&a);
	return fine && sum.tried && !sum.unnoticed && !sum.differ ? 0 : 1;
}
