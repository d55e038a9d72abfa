/* A commented record to begin with: every field of the table, each unknown. */
#ifndef WORK_SKELETON_H
#define WORK_SKELETON_H

#include "model/library.h"
#include "model/phrase.h"

/* The text of a new gate.yaml for `type`: sections in the order of the field table, dimensions and zones
 * of the type, all commissioning checks; every value "?", its title as a comment. The text reads back
 * without input errors. `like` (NULL: none) is another job: who makes and signs, and what drive and
 * control it has, are carried over; nothing that had to be found, measured or tested is. */
char *skeleton_text(struct arena *a, const struct library *library, const struct lib_type *type,
	const struct phrasebook *words, const struct record *like);

#endif
