#include "assess_bench.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "load/library.h"
#include "load/record.h"

#define DIGEST "0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a"

static const char *slurp(struct bench *b, const char *path, size_t *length)
{
	char *bytes = arena_alloc(&b->arena, 1 << 20);
	FILE *f = fopen(path, "rb");
	cr_assert_not_null(f, "%s: the tests run in the top folder", path);
	*length = fread(bytes, 1, (1 << 20) - 1, f);
	fclose(f);
	return bytes;
}

void bench_open(struct bench *b)
{
	size_t n;
	memset(b, 0, sizeof *b);
	arena_init(&b->arena, &b->escape);
	findings_init(&b->findings, &b->arena);
	b->library_text = slurp(b, "tests/unit/bench/library.yaml", &n);
	b->tables_text = slurp(b, "tests/unit/bench/reliability.yaml", &n);
	b->record_text = slurp(b, "tests/unit/bench/record.yaml", &n);
}

void bench_close(struct bench *b)
{
	arena_release(&b->arena);
}

void bench_again(struct bench *b)
{
	bench_close(b);
	bench_open(b);
}

const char *bench_replaced(struct bench *b, const char *text, const char *old, const char *new)
{
	const char *at = strstr(text, old);
	cr_assert(at && !strstr(at + 1, old), "not exactly once: %s", old);
	return arena_format(&b->arena, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
}

void bench_library(struct bench *b, const char *old, const char *new)
{
	b->library_text = bench_replaced(b, b->library_text, old, new);
}

void bench_record(struct bench *b, const char *old, const char *new)
{
	b->record_text = bench_replaced(b, b->record_text, old, new);
}

static int yaml_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".yaml");
}

void bench_shipped(struct bench *b)
{
	struct dirent **names;
	int count = scandir("hazards", &names, yaml_only, alphasort);
	cr_assert_gt(count, 0, "the tests run in the top folder");
	for (int i = 0; i < count; i++) {
		size_t n;
		const char *bytes = slurp(b, arena_format(&b->arena, "hazards/%s", names[i]->d_name), &n);
		library_add(&b->arena, &b->library, bytes, n, arena_string(&b->arena, names[i]->d_name), false,
			&b->findings);
		free(names[i]);
	}
	free(names);
	library_finish(&b->arena, &b->library, &b->findings);
	cr_assert_eq(b->findings.count, 0, "hazards/ cannot be read");
	b->library_text = NULL;
}

/* A blow by hand: 0.1 s nothing, half a sine of 0.2 s to `peak`, 0 until 6 s; 1000 samples a second. */
static struct recording_list blow(struct bench *b, const char *path)
{
	enum { COUNT = 6000 };
	double peak = atof(path + strlen("curves/"));
	const char *odd = strchr(path, '-');
	const char *held = strchr(path, '+'); /* "300+140.csv": 140 N from 1.1 s to 2 s */
	double *t = arena_array(&b->arena, COUNT, sizeof *t), *n = arena_array(&b->arena, COUNT, sizeof *n);
	int *lines = arena_array(&b->arena, COUNT, sizeof *lines);
	for (int i = 0; i < COUNT; i++) {
		t[i] = i / 1000.0;
		n[i] = i > 100 && i < 300 ? peak * sin((i - 100) / 200.0 * 3.14159265358979323846) : 0;
		lines[i] = i + 2;
		if (held && i >= 1100 && i < 2000)
			n[i] = atof(held + 1);
	}
	n[20] = odd ? atof(odd + 1) / 100 : 0;
	struct recording *r = arena_alloc(&b->arena, sizeof *r);
	*r = (struct recording){.at = {path, 2, 2}, .name = "", .column = 2, .time_s = t, .force_n = n,
		.lines = lines, .count = COUNT};
	return (struct recording_list){r, 1};
}

static int by_path(const void *x, const void *y)
{
	return strcmp(((const struct job_file *)x)->path, ((const struct job_file *)y)->path);
}

static struct job_files files_of(struct bench *b, const struct record *record)
{
	struct job_file *files = arena_array(&b->arena, 200, sizeof *files);
	size_t count = 0;
	const char *const LISTS[] = {"papers", "photos"};
	for (size_t l = 0; l < 2; l++)
		for (size_t i = 0; i < record_list(record, LISTS[l])->count; i++) {
			const char *path = fact_text(item_fact(&record_list(record, LISTS[l])->items[i], "file"));
			if (!strstr(path, "gone"))
				files[count++] = (struct job_file){.path = path, .present = true, .digest = DIGEST,
					.picture_fault = strstr(path, "torn") ? "damaged" : NULL};
		}
	const struct item_list *points = record_list(record, "force.points");
	for (size_t i = 0; i < points->count; i++) {
		const struct fact *f = item_fact(&points->items[i], "recordings");
		for (size_t k = 0; fact_given(f) && k < f->count; k++) {
			bool known = false;
			for (size_t n = 0; n < count; n++)
				known = known || text_equal(files[n].path, f->list[k]);
			if (!known)
				files[count++] = (struct job_file){.path = f->list[k], .present = true,
					.recordings = blow(b, f->list[k])};
		}
	}
	qsort(files, count, sizeof *files, by_path);
	return (struct job_files){files, count};
}

void bench_judge(struct bench *b)
{
	findings_init(&b->findings, &b->arena);
	if (b->library_text) {
		memset(&b->library, 0, sizeof b->library);
		library_add(&b->arena, &b->library, b->library_text, strlen(b->library_text), "a.yaml", false,
			&b->findings);
		library_add(&b->arena, &b->library, b->tables_text, strlen(b->tables_text), "b.yaml", false,
			&b->findings);
		library_finish(&b->arena, &b->library, &b->findings);
		cr_assert_eq(b->findings.count, 0, "the library cannot be read: %s", bench_found(b));
	}
	struct record *record = record_load(&b->arena, b->record_text, strlen(b->record_text), "gate.yaml", "",
		&b->library, &b->findings);
	cr_assert_not_null(record);
	struct job_files *files = arena_alloc(&b->arena, sizeof *files);
	*files = files_of(b, record);
	b->result = assess(&b->arena, record, &b->library, files, &b->findings);
}

const char *bench_found(struct bench *b)
{
	struct buf out;
	buf_init(&out, &b->arena);
	for (size_t i = 0; i < b->findings.count; i++)
		buf_format(&out, "%s %s\n", finding_name(b->findings.items[i]->code),
			b->findings.items[i]->subject);
	return out.bytes;
}

void bench_expect(struct bench *b, const char *found)
{
	bench_judge(b);
	cr_expect_str_eq(bench_found(b), found, "-- gave --\n%s-- expected --\n%s", bench_found(b), found);
}

const struct finding *bench_finding(const struct bench *b, const char *code, const char *subject)
{
	for (size_t i = 0; i < b->findings.count; i++)
		if (text_equal(finding_name(b->findings.items[i]->code), code) &&
			text_equal(b->findings.items[i]->subject, subject))
			return b->findings.items[i];
	return NULL;
}

const char *bench_value(const struct finding_value *values, const char *name)
{
	while (values && !text_equal(values->name, name))
		values = values->next;
	return values ? values->value : "";
}

struct reckoning *bench_ask(struct bench *b, const char *call)
{
	struct reckon_argument arguments[8];
	size_t count = 0;
	char *text = arena_string(&b->arena, call), *rest = NULL, *name = strtok_r(text, " ", &rest);
	for (char *p; (p = strtok_r(NULL, " ", &rest));)
		arguments[count++] = reckon_argument_read(&b->arena, p);
	return reckon(&b->arena, &b->library, name, arguments, count);
}
