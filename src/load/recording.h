/* Force recordings from delimited text as any meter exports it. */
#ifndef LOAD_RECORDING_H
#define LOAD_RECORDING_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/finding.h"
#include "model/recording.h"

enum {
	RECORDING_BYTES = 8 * 1024 * 1024,
	RECORDING_SAMPLES = 2000000, /* of one file, all columns together */
};

/* Reads every recording of one file.
 *
 * Accepted: UTF-8 or UTF-16 with or without byte-order mark; lines ending in LF, CR LF or CR; tab,
 * semicolon, comma or blanks between cells; decimal point or comma; cells in double quotes; comment
 * lines that begin with # % or ;. Lines before the heading are skipped. The heading stands on one of the
 * three lines before the numbers (a heading that is a comment counts) and is recognised by `patterns`;
 * it may be followed by a line of units. A time column serves the force columns after it, up to the
 * next time column; a single one serves all. A column may end before the others.
 * Units come from the heading, else from `stated`; without a heading `stated` must give both, time
 * stands first, and more than two columns need `stated->layout`. `stated` may be NULL.
 *
 * Returns false with at least one finding of level FINDING_INPUT, `*out` untouched, when the file cannot
 * be read as meant: a comma that may be separator or decimal mark, a unit that is nowhere stated, a cell
 * that is no number. At most 20 findings about rows are given, then RECORDING_MORE.
 * True with notes: RECORDING_LATIN, RECORDING_COLUMN_IGNORED, RECORDING_COLUMN_EMPTY.
 * Whether the numbers make sense as a measurement is for calc/curve.h. */
bool recording_read(struct arena *a, const char *bytes, size_t length, const char *file,
	const struct recording_patterns *patterns, const struct recording_units *stated,
	struct recording_list *out, struct findings *findings);

/* A copy of the recordings in `a`, without what reading them needed; columns that share their times still
 * do. The file's name is kept, not copied. */
struct recording_list recording_list_copy(struct arena *a, struct recording_list list);

#endif
