/* All that there is to ask about a gate, in the order of the walk, as it follows from the record and its
 * assessment. It is built again after every answer; what has to be remembered between is handed in. */
#ifndef WORK_AGENDA_H
#define WORK_AGENDA_H

#include "work/job.h"

enum ask_kind {
	ASK_VALUE, /* the value at `path` */
	ASK_LIST,  /* of a list that nobody has looked at: none, or its first item */
	ASK_MORE,  /* whether there is another item */
	ASK_POINT, /* recordings for a planned force point that is not on record */
	ASK_PLAN,  /* whether the drawing is like the gate */
};

struct ask {
	enum ask_kind kind;
	const struct lib_leg *leg;
	const char *path;                 /* of the value, or of the list; ASK_PLAN: "gate" */
	const struct field *field;        /* row of the table, or NULL */
	const struct lib_field *declared; /* what the library declares, or NULL */
	const char *words;                /* key of its title, or of the text itself for what is declared */
	const struct fact *fact;          /* on record, or NULL */
	const struct zone_result *zone;   /* that it belongs to, or NULL */
	const struct check_result *check;
	const struct point_result *point;
	const struct function_result *function; /* ASK_MORE of functions: one that is missing */
	bool open;                        /* still to be answered */
};

struct agenda {
	struct ask *asks;
	size_t count, room;
};

/* Lists that are being filled in this session, and whether the drawing waits to be looked at. */
struct agenda_memory {
	const char *const *growing; /* their paths, canonical */
	size_t growing_count;
	bool plan_due;
};

/* The job must have a record and an assessment. Everything lives in `a`, or in the job. */
void agenda_build(struct arena *a, const struct job *job, const struct agenda_memory *memory, struct agenda *out);

/* The first open ask at or behind `from`, or `count`. */
size_t agenda_open(const struct agenda *agenda, size_t from);

/* The ask with this path and kind, or `count`. */
size_t agenda_find(const struct agenda *agenda, enum ask_kind kind, const char *path);

#endif
