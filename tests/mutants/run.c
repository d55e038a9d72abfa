/* Whether the unit tests notice when a comparison, a constant or an operator of src/calc, or a
 * figure of the library, is another one.
 *
 *   mutants LIST EXPLAINED [--report FILE] [--sample COUNT] [--only TEXT] [--seed SEED]
 *
 * LIST is what `mutate` wrote, EXPLAINED tells why the survivors do: file, line of source, what it
 * was, what it becomes, which of several alike in that line, and why. Each mutant has a process of
 * its own, which ends with the first check that fails. Ends with 1 when a mutant survives that is
 * not explained, or with a report when 2 % or more survive. Explanations that are no longer of any
 * are told.
 */
#include <criterion/criterion.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "assess_bench.h"
#include "mutant.h"
#include "mutants.h"
#include "published_rows.h"

enum { SETTERS = 4000, WORKERS = 2, TESTS = 400, SECONDS = 3, EXPLANATIONS = 400, COLUMNS = 7 };

enum fate { FATE_UNTRIED, FATE_KILLED, FATE_STOPPED, FATE_SURVIVED };

struct result {
	enum fate fate;
	int test; /* that noticed */
};

struct explanation {
	const char *file, *text, *from, *to, *nth, *why;
	bool used;
};

int mutant_number;

static struct {
	int number;
	void (*set)(void);
} setters[SETTERS];
static size_t setter_count;

static struct mutant_test *tests[TESTS], *suites[TESTS];
static size_t test_count, suite_count;

static struct bench loaded; /* the shipped library, read once */
static bool is_loaded;
static struct rows all_rows;
static struct mutant *mutants;
static size_t mutant_count, switched; /* those of sources come first */
static struct result *results;
static struct explanation explanations[EXPLANATIONS];
static size_t explanation_count, unswitched;
static double *seconds; /* that each test takes without a mutant */
static bool loud;

/* --- what the tests call
 * ---------------------------------------------------------------------------- */

void mutant_setter(int n, void (*set)(void))
{
	setters[setter_count].number = n;
	setters[setter_count++].set = set;
}

void mutant_enter_test(struct mutant_test *t)
{
	tests[test_count++] = t;
}

void mutant_enter_suite(struct mutant_test *t)
{
	suites[suite_count++] = t;
}

void mutant_check(bool holds, const char *file, int line)
{
	if (holds)
		return;
	if (loud)
		fprintf(stderr, "%s:%d: fails without any mutant\n", file, line);
	_exit(1);
}

void __real_bench_shipped(struct bench *b);
void __wrap_bench_shipped(struct bench *b);

void __wrap_bench_shipped(struct bench *b)
{
	if (!is_loaded) {
		__real_bench_shipped(b);
		return;
	}
	b->library = loaded.library;
	b->library_text = NULL;
}

/* Rows do not change either. */
const char *__real_rows_read(struct arena *a, struct rows *out);
const char *__wrap_rows_read(struct arena *a, struct rows *out);

const char *__wrap_rows_read(struct arena *a, struct rows *out)
{
	if (!all_rows.count)
		return __real_rows_read(a, out);
	*out = all_rows;
	return NULL;
}

/* --- one mutant
 * -------------------------------------------------------------------------------------- */

/* The suites of the changed source come first, since they notice soonest. */
static bool is_near(const struct mutant_test *t, const struct mutant *m)
{
	if (m->number == 0)
		return text_begins(t->suite, "published") || text_begins(t->suite, "assess_reckon");
	const char *slash = strrchr(m->file, '/'), *name = slash ? slash + 1 : m->file;
	size_t n = strcspn(name, ".");
	return text_begins(t->suite, "calc_") && strncmp(t->suite + strlen("calc_"), name, n) == 0;
}

static void run_test(size_t i, struct result *to)
{
	const struct mutant_test *t = tests[i], *suite = NULL;
	for (size_t s = 0; s < suite_count; s++)
		if (text_equal(suites[s]->suite, t->suite))
			suite = suites[s];
	to->test = (int)i;
	if (suite && suite->options.init)
		suite->options.init();
	t->run();
	if (suite && suite->options.fini)
		suite->options.fini();
}

static double clock_now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* The quick ones first. */
static void sort_tests(void)
{
	for (size_t i = 1; i < test_count; i++)
		for (size_t k = i; k > 0 && seconds[k] < seconds[k - 1]; k--) {
			struct mutant_test *test = tests[k];
			double time = seconds[k];
			tests[k] = tests[k - 1];
			seconds[k] = seconds[k - 1];
			tests[k - 1] = test;
			seconds[k - 1] = time;
		}
}

/* In a child: ends with 0 when nothing was noticed. */
static _Noreturn void live(const struct mutant *m, struct result *to)
{
	struct itimerval limit = {.it_value = {SECONDS, 0}};
	setitimer(ITIMER_VIRTUAL, &limit, NULL);
	if (!loud) {
		int null = open("/dev/null", O_WRONLY);
		dup2(null, 1);
		dup2(null, 2);
	}
	mutant_number = m->number;
	for (size_t i = 0; i < setter_count; i++)
		if (m->number && setters[i].number == m->number)
			setters[i].set();
	for (int near = 1; near >= 0; near--)
		for (size_t i = 0; i < test_count; i++)
			/* The formulas know nothing of the library. */
			if (is_near(tests[i], m) == near && (m->number || near || loud)) {
				double begin = clock_now();
				run_test(i, to);
				if (loud)
					seconds[i] = clock_now() - begin;
			}
	_exit(0);
}

static void try_mutant(size_t i)
{
	pid_t pid = fork();
	int status;
	if (pid == 0) {
		if (!mutants[i].number)
			library_mutant(&loaded.arena, &loaded.library, i - switched, true);
		live(&mutants[i], &results[i]);
	}
	waitpid(pid, &status, 0);
	if (WIFEXITED(status))
		results[i].fate = WEXITSTATUS(status) ? FATE_KILLED : FATE_SURVIVED;
	else
		results[i].fate = WTERMSIG(status) == SIGVTALRM ? FATE_STOPPED : FATE_KILLED;
}

static bool sound_without(void)
{
	struct mutant none = {.file = ""};
	struct result unused;
	int status;
	fflush(stdout);
	pid_t pid = fork();
	if (pid == 0) {
		loud = true;
		live(&none, &unused);
	}
	waitpid(pid, &status, 0);
	return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

/* --- lists
 * ------------------------------------------------------------------------------------------- */

/* Divides a line at its tabs; false unless there are as many columns. */
static bool columns(char *line, const char **out, size_t count)
{
	size_t n = 0;
	line[strcspn(line, "\n")] = '\0';
	for (char *p = line; p && n < count; n++) {
		out[n] = arena_string(&loaded.arena, "");
		char *end = strchr(p, '\t');
		out[n] = arena_copy(&loaded.arena, p, end ? (size_t)(end - p) : strlen(p));
		p = end ? end + 1 : NULL;
	}
	return n == count;
}

static void read_mutants(const char *path)
{
	char line[2000];
	const char *c[COLUMNS];
	FILE *f = fopen(path, "r");
	size_t places = library_places(&loaded.arena, &loaded.library);
	mutants = arena_array(&loaded.arena, SETTERS + places, sizeof *mutants);
	if (!f) {
		fprintf(stderr, "mutants: %s cannot be read\n", path);
		exit(2);
	}
	while (fgets(line, sizeof line, f) && mutant_count < SETTERS)
		if (columns(line, c, COLUMNS) && atoi(c[0]))
			mutants[mutant_count++] = (struct mutant){.number = atoi(c[0]),
				.file = c[1],
				.line = atoi(c[2]),
				.kind = c[3],
				.from = c[4],
				.to = c[5],
				.text = c[6]};
		else if (!atoi(c[0]))
			unswitched++;
	fclose(f);
	switched = mutant_count;
	for (size_t i = 0; i < places; i++) {
		struct mutant *m = &mutants[mutant_count++];
		*m = library_mutant(&loaded.arena, &loaded.library, i, false);
		m->file = arena_format(&loaded.arena, "hazards/%s", m->file);
	}
}

static void read_explanations(const char *path)
{
	char line[2000];
	const char *c[6];
	FILE *f = fopen(path, "r");
	while (f && fgets(line, sizeof line, f) && explanation_count < EXPLANATIONS)
		if (*line != '#' && columns(line, c, 6))
			explanations[explanation_count++] =
				(struct explanation){c[0], c[1], c[2], c[3], c[4], c[5], false};
	if (f)
		fclose(f);
}

/* Which of several alike in its line it is. */
static size_t turn_of(size_t i)
{
	const struct mutant *m = &mutants[i];
	size_t turn = 1;
	for (size_t k = 0; k < i; k++)
		turn += mutants[k].line == m->line && text_equal(mutants[k].file, m->file) &&
			text_equal(mutants[k].text, m->text) &&
			text_equal(mutants[k].from, m->from) && text_equal(mutants[k].to, m->to);
	return turn;
}

static struct explanation *explained(size_t i)
{
	const struct mutant *m = &mutants[i];
	const char *turn = arena_format(&loaded.arena, "%zu", turn_of(i));
	for (size_t k = 0; k < explanation_count; k++) {
		struct explanation *e = &explanations[k];
		if (text_equal(e->file, m->file) && text_equal(e->text, m->text) &&
			text_equal(e->from, m->from) && text_equal(e->to, m->to) &&
			text_equal(e->nth, turn))
			return e;
	}
	return NULL;
}

/* --- the runs
 * ---------------------------------------------------------------------------------------- */

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
static uint64_t draw(uint64_t *seed, uint64_t below)
{
	*seed ^= *seed >> 12;
	*seed ^= *seed << 25;
	*seed ^= *seed >> 27;
	return (*seed * 2685821657736338717u >> 11) % below;
}

/* The numbers of those to be tried: all, those of which the line has a text, or a sample. */
static size_t choose(size_t *chosen, const char *only, size_t sample, uint64_t seed)
{
	size_t count = 0;
	for (size_t i = 0; i < mutant_count; i++)
		if (!only || strstr(mutants[i].text, only) || strstr(mutants[i].file, only))
			chosen[count++] = i;
	for (size_t i = 0; sample && i < sample && i < count; i++) {
		size_t other = i + (size_t)draw(&seed, count - i), kept = chosen[i];
		chosen[i] = chosen[other];
		chosen[other] = kept;
	}
	return sample && sample < count ? sample : count;
}

static void try_all(const size_t *chosen, size_t count)
{
	fflush(stdout);
	for (size_t w = 0; w < WORKERS; w++)
		if (fork() == 0) {
			for (size_t i = w; i < count; i += WORKERS)
				try_mutant(chosen[i]);
			_exit(0);
		}
	while (wait(NULL) > 0)
		continue;
}

/* Prints the survivors nobody explained; their number. */
static size_t tell_survivors(const size_t *chosen, size_t count, size_t *survived)
{
	size_t unexplained = 0;
	for (size_t n = 0; n < count; n++) {
		size_t i = chosen[n];
		const struct mutant *m = &mutants[i];
		if (results[i].fate == FATE_UNTRIED) {
			printf("not tried: %s:%d\n", m->file, m->line);
			unexplained++;
		}
		if (results[i].fate != FATE_SURVIVED)
			continue;
		++*survived;
		struct explanation *e = explained(i);
		if (e) {
			e->used = true;
			continue;
		}
		unexplained++;
		printf("survives: %s:%d\t%s\t%s\t%s\t%zu\n", m->file, m->line, m->text, m->from,
			m->to, turn_of(i));
	}
	return unexplained;
}

/* --- the report
 * -------------------------------------------------------------------------------------- */

static size_t count_of(const char *file, const char *kind, int fate)
{
	size_t n = 0;
	for (size_t i = 0; i < mutant_count; i++)
		n += (!file || text_equal(mutants[i].file, file)) &&
		     (!kind || text_equal(mutants[i].kind, kind)) &&
		     (fate < 0 || results[i].fate == (enum fate)fate);
	return n;
}

static void put_row(FILE *out, const char *name, const char *file, const char *kind)
{
	size_t all = count_of(file, kind, -1), survived = count_of(file, kind, FATE_SURVIVED);
	fprintf(out, "| %s | %zu | %zu | %zu |\n", name, all, all - survived, survived);
}

static void put_table(FILE *out, const char *head, bool by_file)
{
	fprintf(out, "| %s | Mutants | Noticed | Not noticed |\n|---|---:|---:|---:|\n", head);
	for (size_t i = 0; i < mutant_count; i++) {
		const char *name = by_file ? mutants[i].file : mutants[i].kind;
		bool before = false;
		for (size_t k = 0; k < i; k++)
			before = before ||
				 text_equal(name, by_file ? mutants[k].file : mutants[k].kind);
		if (!before)
			put_row(out, name, by_file ? name : NULL, by_file ? NULL : name);
	}
	put_row(out, "all", NULL, NULL);
	fputc('\n', out);
}

static void put_survivors(FILE *out)
{
	for (size_t i = 0; i < mutant_count; i++) {
		const struct mutant *m = &mutants[i];
		if (results[i].fate != FATE_SURVIVED)
			continue;
		const struct explanation *e = explained(i);
		fprintf(out, "- `%s:%d`: `%s`, where `%s` becomes `%s`", m->file, m->line, m->text,
			m->from, m->to);
		fprintf(out, turn_of(i) > 1 ? ", the %zu. of these in the line" : "", turn_of(i));
		fprintf(out, ". %s\n", e ? e->why : "Not explained.");
	}
}

static void report(const char *path, size_t survived)
{
	FILE *out = fopen(path, "w");
	if (!out)
		exit(3);
	fprintf(out,
		"# Mutants\n\n"
		"Whether the tests notice a wrong figure. Each mutant changes one place: a "
		"comparison, an `&&` or `||`, a sum\n"
		"or product, or a constant of `src/calc`; a cell or an edge of a table of "
		"`hazards/`, a constant of a limit or\n"
		"of its condition, a letter of the table of least protection. Then the unit tests "
		"of `calc` and of the pocket\n"
		"book and the rows of `tests/published` run. `make mutants` writes this file; a "
		"sample of a hundred runs with `make test`.\n\n"
		"Comparisons become the one with or without equality, and their opposite. Whole "
		"constants become one more and\n"
		"one less, others 5 %% more, tolerances a thousandfold and none. Figures of the "
		"library become 5 %% more, words\n"
		"another word of the same table. Constants of constant expressions cannot be "
		"switched; there are %zu.\n\n"
		"%zu mutants, %zu noticed, of these %zu by running too long; %zu not noticed (%.2f "
		"%%).\n\n",
		unswitched, mutant_count, mutant_count - survived,
		count_of(NULL, NULL, FATE_STOPPED), survived,
		100.0 * (double)survived / (double)mutant_count);
	put_table(out, "Kind", false);
	put_table(out, "File", true);
	if (survived)
		fputs("## Not noticed\n\n", out);
	put_survivors(out);
	fclose(out);
}

static void tell_stale(void)
{
	for (size_t k = 0; k < explanation_count; k++)
		if (!explanations[k].used)
			printf("explained, but noticed or gone: %s: %s, %s to %s\n",
				explanations[k].file, explanations[k].text, explanations[k].from,
				explanations[k].to);
}

int main(int argc, char **argv)
{
	const char *to = NULL, *only = NULL;
	uint64_t seed = 20260610;
	size_t sample = 0, survived = 0;
	if (argc < 3)
		return 2;
	for (int i = 3; i + 1 < argc; i += 2) {
		to = text_equal(argv[i], "--report") ? argv[i + 1] : to;
		only = text_equal(argv[i], "--only") ? argv[i + 1] : only;
		sample = text_equal(argv[i], "--sample") ? strtoul(argv[i + 1], NULL, 10) : sample;
		seed = text_equal(argv[i], "--seed") ? strtoull(argv[i + 1], NULL, 10) : seed;
	}
	bench_open(&loaded);
	__real_bench_shipped(&loaded);
	is_loaded = true;
	read_mutants(argv[1]);
	read_explanations(argv[2]);
	results = mmap(NULL, mutant_count * sizeof *results, PROT_READ | PROT_WRITE,
		MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	seconds = mmap(NULL, TESTS * sizeof *seconds, PROT_READ | PROT_WRITE,
		MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	size_t *chosen = arena_array(&loaded.arena, mutant_count, sizeof *chosen);
	const char *fault = __real_rows_read(&loaded.arena, &all_rows);
	if (fault || results == MAP_FAILED || seconds == MAP_FAILED || !sound_without()) {
		fprintf(stderr, "mutants: the tests fail without any\n");
		return 2;
	}
	sort_tests();
	size_t count = choose(chosen, only, sample, seed);
	try_all(chosen, count);
	size_t unexplained = tell_survivors(chosen, count, &survived);
	printf("%zu mutants of %zu, seed %" PRIu64
	       ": %zu noticed, %zu survive, %zu of them unexplained\n",
		count, mutant_count, seed, count - survived, survived, unexplained);
	bool bad = unexplained > 0;
	if (to) {
		report(to, survived);
		tell_stale();
		bad = bad || survived * 50 >= count;
	}
	fflush(stdout);
	bench_close(&loaded);
	return bad ? 1 : 0;
}
