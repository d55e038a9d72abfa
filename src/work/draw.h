/* Drawing: plan, elevation and a chart of each clearance that can hurt, as SVG files. */
#ifndef WORK_DRAW_H
#define WORK_DRAW_H

#include "work/job.h"

enum draw_outcome {
	DRAW_FINE,
	DRAW_NOTHING, /* no dimension is on record from which something could be drawn; nothing was written */
	DRAW_INPUT,   /* record or library cannot be used; nothing was written */
	DRAW_FAILED,  /* a file could not be written; those before it are whole */
};

struct draw_result {
	const char **files;  /* written */
	size_t count;
	const char **removed; /* drawings of an earlier state, which the gate no longer has */
	size_t removed_count;
	const char *missing[2]; /* names of drawings that were left out: their dimensions are not on record */
	size_t missing_count;
	size_t left_out;     /* bodies whose dimensions are not all on record */
	const char *why;     /* DRAW_FAILED: what happened */
};

/* Writes into `into`, which is made when missing. What it drew there before and the gate no longer has, it removes: a
 * plain file by one of its own names which still is as it was written. */
enum draw_outcome draw_job(struct job *job, const char *into, struct draw_result *result);

#endif
