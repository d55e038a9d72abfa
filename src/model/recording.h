/* A recording of the force on a closing edge over time, and what tells how a meter's file is read. */
#ifndef MODEL_RECORDING_H
#define MODEL_RECORDING_H

#include <stddef.h>

#include "base/finding.h"
#include "rule/pattern.h"

struct lib_note; /* model/library.h */

/* One force column of one file. Values are as exported: nothing is sorted, smoothed or left out. */
struct recording {
	struct place at;      /* file, line and column of the first force value */
	const char *name;     /* the heading of the force column, trimmed; "" without one */
	int column;           /* of the force in the file, counted from 1 */
	const double *time_s; /* seconds, from whatever instant the meter counts */
	const double *force_n;
	const int *lines;     /* the line of the file that each sample stands on */
	size_t count;
};

struct recording_list {
	const struct recording *items; /* in the order of the columns */
	size_t count;
};

enum recording_role {
	RECORDING_TIME,
	RECORDING_FORCE,
	RECORDING_COMMENT, /* a column known to be neither: a counter, a remark, a temperature */
};

/* How a column heading is recognised. The first pattern of the list that matches decides. */
struct recording_pattern {
	const char *id;
	enum recording_role role;
	const struct pattern *pattern; /* the group called `unit`, where it matched, holds the unit */
	const char *unit;              /* the unit that the heading implies by itself; NULL: none */
	const struct lib_note *note;   /* of its entry in the library; NULL: of none */
};

struct recording_patterns {
	const struct recording_pattern *items;
	size_t count;
};

enum recording_layout {
	RECORDING_LAYOUT_UNSTATED,
	RECORDING_LAYOUT_SHARED, /* one time column, then force columns */
	RECORDING_LAYOUT_PAIRS,  /* time, force, time, force… */
};

/* What the record states about a file, for what the file leaves open. Zero or NULL: not stated. A
 * statement that contradicts the file's own heading is a finding, never a correction. */
struct recording_units {
	const char *time;  /* s ms */
	const char *force; /* N kN daN kgf lbf */
	char separator;    /* ',' ';' '\t' or ' ' for blanks */
	char decimal;      /* '.' or ',' */
	enum recording_layout layout;
};

#endif
