/* Delimited text as instruments export it: encodings, lines, cells, numbers, and which separator and
 * decimal mark a file uses. Nothing is guessed: where a comma may be both, that is for the caller to
 * settle (see `dialect.marked`). */
#ifndef LOAD_DELIMITED_H
#define LOAD_DELIMITED_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum { DELIMITED_CELLS = 64 };

enum delimited_coding {
	DELIMITED_UTF8,
	DELIMITED_UTF16,
	DELIMITED_LATIN1, /* not well-formed UTF-8; every byte taken as its ISO 8859-1 character */
	DELIMITED_BINARY, /* no text: NUL, other control characters, broken UTF-16 */
};

struct line {
	const char *text; /* not NUL-terminated; without its line end */
	size_t length;
	int number; /* from 1 */
};

struct line_list {
	const struct line *items; /* every line, blank ones included */
	size_t count;
};

/* Decodes (byte-order marks are dropped) and cuts into lines at LF, CR LF or CR. For DELIMITED_BINARY
 * `*out` is untouched and `*bad_line` says where. */
enum delimited_coding delimited_read(struct arena *a, const char *bytes, size_t length,
	struct line_list *out, int *bad_line);

struct cell {
	const char *text; /* in the line, without blanks and quotes around it */
	size_t length;
};

/* Cuts a line at `separator` (' ': runs of blanks and tabs), honouring double quotes. Empty cells at
 * the end are dropped. Returns the number of cells; DELIMITED_CELLS + 1 when there are more. */
size_t line_split(const struct line *l, char separator, struct cell cells[DELIMITED_CELLS]);

/* Where a cell (or the place it would have) stands in its line: characters from 1. */
int line_column(const struct line *l, const char *at);

bool line_blank(const struct line *l);

/* A line that begins with # % or ; and is no row of a file that is separated by semicolons. */
bool line_comment(const struct line *l, char separator);

/* The whole cell as a decimal number with the given decimal mark, no grouping of digits. `*value` is
 * untouched when it is none. */
bool cell_number(const struct cell *c, char decimal, double *value);

struct dialect {
	char separator; /* '\t' ';' ',' ' '; 0: no line can be read as a row */
	char decimal;   /* '.' ',' */
	bool marked;    /* the decimal mark occurs in a number */
	bool grouped;   /* wherever it does it may as well group thousands, as in "1,234" */
	size_t mark_at; /* index of the first line where it does */
	size_t first;   /* index of the first row, or of spoiled rows right before it */
	size_t rows;    /* lines that read as rows */
};

/* The dialect under which most lines are rows: at least two numbers, and nothing but numbers and empty
 * cells; or, when no dialect gives such a line, at least two numbers, the first cell being one.
 * `separator` and `decimal` narrow the choice when they are not 0. */
struct dialect dialect_find(const struct line_list *lines, char separator, char decimal);

/* Index of the first line with two numbers one of which has a decimal point and the other a decimal
 * comma; lines->count when there is none. */
size_t dialect_mixed(const struct line_list *lines);

#endif
