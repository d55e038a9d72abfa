/* geometry_time RECORD…: how long it takes to judge each record by the shipped library, and how much of that are the
 * clearances: medians of paired runs, in milliseconds. Run in the top folder. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "assess/geometry.h"
#include "base/text.h"
#include "load/library.h"
#include "load/record.h"

enum { RUNS = 101 };

static char *slurp(struct arena *a, const char *path, size_t *n)
{
	FILE *f = fopen(path, "rb");
	if (!f)
		return NULL;
	char *bytes = arena_alloc(a, 1 << 22);
	*n = fread(bytes, 1, (1 << 22) - 1, f);
	fclose(f);
	return bytes;
}

static int yaml_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".yaml");
}

static bool add_shipped(struct arena *a, struct library *l, struct findings *f)
{
	struct dirent **names;
	int count = scandir("hazards", &names, yaml_only, alphasort);
	for (int i = 0; i < count; i++) {
		size_t n = 0;
		char *path = arena_format(a, "hazards/%s", names[i]->d_name), *bytes = slurp(a, path, &n);
		if (bytes)
			library_add(a, l, bytes, n, path, false, f);
		free(names[i]);
	}
	if (count > 0)
		free(names);
	library_finish(a, l, f);
	return count > 0 && f->count == 0;
}

static double now_ms(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static int rising(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

/* The clearances alone, in a context of their own. */
static double clearances_ms(struct arena *a, const struct record *record, const struct library *library)
{
	struct findings f;
	struct assessment result = {.record = record, .library = library};
	struct context c = {.arena = a, .record = record, .library = library, .findings = &f, .result = &result};
	findings_init(&f, a);
	result.findings = &f;
	context_names(&c);
	double begin = now_ms();
	assess_geometry(&c);
	return now_ms() - begin;
}

static double assess_ms(struct arena *a, const struct record *record, const struct library *library)
{
	static const struct job_files NO_FILES = {NULL, 0};
	struct findings f;
	findings_init(&f, a);
	double begin = now_ms();
	assess(a, record, library, &NO_FILES, &f);
	return now_ms() - begin;
}

int main(int argc, char **argv)
{
	jmp_buf escape;
	struct arena all;
	struct library library = {0};
	struct findings found;
	arena_init(&all, &escape);
	if (setjmp(escape))
		return 3;
	findings_init(&found, &all);
	if (!add_shipped(&all, &library, &found))
		return 2;
	for (int i = 1; i < argc; i++) {
		double whole[RUNS], part[RUNS];
		size_t n = 0;
		char *text = slurp(&all, argv[i], &n);
		struct record *record = text ? record_load(&all, text, n, argv[i], "", &library, &found) : NULL;
		if (!record)
			return 2;
		for (int k = 0; k < RUNS; k++) {
			struct arena a;
			arena_init(&a, &escape);
			whole[k] = assess_ms(&a, record, &library);
			arena_release(&a);
			arena_init(&a, &escape);
			part[k] = clearances_ms(&a, record, &library);
			arena_release(&a);
		}
		qsort(whole, RUNS, sizeof *whole, rising);
		qsort(part, RUNS, sizeof *part, rising);
		printf("%s assess %.3f clearances %.3f\n", argv[i], whole[RUNS / 2], part[RUNS / 2]);
	}
	arena_release(&all);
	return 0;
}
