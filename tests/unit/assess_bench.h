/* For tests of judgements: a small library and a record that is ready by it, both as text, loaded by the
 * loaders and assessed. A test changes a place in either text and says what the assessment has to find. */
#ifndef ASSESS_BENCH_H
#define ASSESS_BENCH_H

#include "assess/assess.h"
#include "assess/reckon.h"
#include "base/text.h"

struct bench {
	jmp_buf escape;
	struct arena arena;
	struct findings findings;
	struct library library;
	const char *library_text, *record_text; /* the files of tests/unit/bench, as changed */
	const char *tables_text; /* the same of the tables of reliability, which go with the library */
	struct assessment *result;
};

void bench_open(struct bench *b);
void bench_close(struct bench *b);

/* Both texts as they were. */
void bench_again(struct bench *b);

/* `text` with its one `old` replaced by `new`; the test fails when `old` is not there exactly once. */
const char *bench_replaced(struct bench *b, const char *text, const char *old, const char *new);
void bench_library(struct bench *b, const char *old, const char *new);
void bench_record(struct bench *b, const char *old, const char *new);

/* Reads the library of hazards/ instead of the text. */
void bench_shipped(struct bench *b);

/* Loads both texts and assesses. Files cited are there, with the digest and recordings that their names ask
 * for: papers and photographs "0a..", "curves/PEAK[-n].csv" a blow of PEAK newtons (n tells equal ones apart). */
void bench_judge(struct bench *b);

/* "code subject", a line each, in the order found; notes as well. */
const char *bench_found(struct bench *b);

/* Judges and compares. */
void bench_expect(struct bench *b, const char *found);

/* The first finding of that code about that subject, or NULL. */
const struct finding *bench_finding(const struct bench *b, const char *code, const char *subject);

/* The value of that name, "" when there is none. */
const char *bench_value(const struct finding_value *values, const char *name);

/* The pocket book's answer to "wind-class pressure=700Pa": values without blanks. */
struct reckoning *bench_ask(struct bench *b, const char *call);

#endif
