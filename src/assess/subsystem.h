/* Subsystems of safety functions: from record and library to `calc`, and each step in words. Private to `assess`. */
#ifndef ASSESS_SUBSYSTEM_H
#define ASSESS_SUBSYSTEM_H

#include "assess/reliability_tables.h"
#include "calc/function.h"

struct part_use {
	const struct item *entry;
	const struct lib_part *part; /* NULL: cites none, or one that the library does not have */
	const char *path;            /* functions[stop].subsystems[relay] */
	bool sound;                  /* nothing was found against what it cites */
};

/* What record and part say of one subsystem; a quantity with doubt counts by its worse end. Reports a part that
 * is not there or says something else than the record. */
struct subsystem subsystem_read(struct context *c, const struct item *entry, struct part_use *use);

/* Whether its part or a paper that it cites names the device: by a word of its model or, where no model is on
 * record, of its maker. Nothing to go by is no contradiction. */
bool subsystem_names(struct context *c, const struct part_use *use, const struct item *device);

/* Whether a paper that it cites shares a word with the device of its part. Without a part there is nothing to
 * compare. */
bool subsystem_paper_fits(struct context *c, const struct part_use *use);

/* "subsystem-gaps.coverage" and so on: key of the words. */
const char *subsystem_gap_name(enum subsystem_gap gap);

/* Says why a subsystem has no level, what would give it one, and what to ask the maker of its part. */
void subsystem_report(struct context *c, const struct part_use *use, const struct subsystem *s,
	const struct subsystem_result *r, const struct reliability_tables *t);

/* How the level of a subsystem came about. */
void subsystem_steps(struct context *c, struct steps *steps, const struct part_use *use, const struct subsystem *s,
	const struct subsystem_result *r, const struct reliability_tables *t);

#endif
