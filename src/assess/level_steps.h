/* How the level of a subsystem came about, by its category: steps for the technical file and the pocket book.
 * Private to `assess`. The words are steps.*; each step has the source of the cell or limit that it rests on. */
#ifndef ASSESS_LEVEL_STEPS_H
#define ASSESS_LEVEL_STEPS_H

#include "assess/reckoner.h"
#include "assess/reliability_tables.h"
#include "calc/function.h"

struct level_steps {
	struct context *context;
	struct steps *steps;
	const struct reliability_tables *tables;
	struct step *step; /* the last one written */
};

void level_say(struct level_steps *w, const char *id, const char *source, enum standing standing);
void level_figure(struct level_steps *w, const char *name, double value);
void level_word_of(struct level_steps *w, const char *name, const char *word);

/* A step that rests on a limit, or on the cell of a table whose rows begin at an edge (on the table, where it has no
 * value). */
void level_say_limit(struct level_steps *w, const char *id, const char *limit);
void level_say_look(struct level_steps *w, const char *id, const char *table, double value);

/* The class that a coverage belongs to. */
void level_coverage(struct level_steps *w, double dc);

/* The band that a rate belongs to. */
void level_band(struct level_steps *w, double per_hour);

/* T10d against the mission time; nothing without a B10d. */
void level_wear(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r);

/* Life, coverage, common cause, tests, and the worse of Annex K and the simplified procedure. `r` without a gap. */
void level_by_category(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r);

/* The rate that the category alone gives. */
double level_own_rate(const struct reliability_tables *t, const struct subsystem_result *r);

#endif
