/* The rows of tests/published: figures of others, with source and standing. Read alike by the unit tests, by the
 * tool that puts them to the program, and by the mutants. */
#ifndef PUBLISHED_ROWS_H
#define PUBLISHED_ROWS_H

#include "base/arena.h"
#include "model/reckoning.h"

enum { ROW_ARGUMENTS = 16 };

struct row {
	const char *file;
	int line;
	const char *what, *arguments, *expected, *tolerance, *why, *source, *standing;
	const char *split[ROW_ARGUMENTS]; /* of `arguments`, between the bars */
	size_t count;
	const char *reckoner; /* what follows "reckon "; NULL: of another kind */
};

struct rows {
	struct row *items;
	size_t count;
};

/* Every row of every file. The fault, or NULL. */
const char *rows_read(struct arena *a, struct rows *out);

/* What is wrong with a row as such (no source, no reason, a standing that is none, published in nothing that
 * can be found), or NULL. */
const char *row_fault(struct arena *a, const struct row *r);

/* Which of published, practice, memory; 3 for none of them. */
size_t row_standing(const struct row *r);

/* "result=value" of a row of the pocket book; NULL without an equals sign. */
const char *row_result(struct arena *a, const struct row *r);
const char *row_value(const struct row *r);

/* A result as the rows have it: a number with 17 digits, a word, yes or no, words joined by commas ("none": an
 * empty list), a table's cells joined by commas and its rows by semicolons, "-" for nothing. */
char *row_shown(struct arena *a, const struct reckon_outcome *o);

/* Whether what came out, written so, is what the row expects, within its tolerance. */
bool row_agrees(const struct row *r, const char *got);

#endif
