/* What the families of the pocket book share. Private to `assess`. */
#ifndef ASSESS_RECKONER_H
#define ASSESS_RECKONER_H

#include "assess/context.h"
#include "assess/reckon.h"
#include "calc/grid.h"

struct reckoning_run {
	struct arena *arena;
	struct context *context;   /* of an empty record: limits and tables can be asked for */
	const struct reckoner *reckoner;
	struct reckoning *out;
	unsigned form;             /* the one that was chosen: FORM_1… */
	struct step *step;         /* the last one written */
	const char *source;        /* of the limits and tables asked for since; NULL: none */
	enum standing standing;
	bool refused;
};

/* --- what was put in ------------------------------------------------------------------------------ */

/* Given, or with a default. */
bool run_has(const struct reckoning_run *r, const char *key);
/* In SI; a quantity with doubt by its worse end. The key must be given or have a default. */
double run_si(struct reckoning_run *r, const char *key);
/* The same with its doubt, for limits and tables. */
struct value run_value(const struct reckoning_run *r, const char *key);
struct grid_key run_key(const struct reckoning_run *r, const char *key);
const char *run_word(const struct reckoning_run *r, const char *key); /* "" when not given */
struct date run_date(const struct reckoning_run *r, const char *key);
/* The values of a list in SI; `*count` 0 when not given. */
const double *run_list(const struct reckoning_run *r, const char *key, size_t *count);
const char *const *run_words(const struct reckoning_run *r, const char *key, size_t *count);

/* --- what the library holds ------------------------------------------------------------------------ */

/* A limit, in SI, without doubt in it: false after refusing when it is unknown or may be several. What was
 * used is remembered: its source and standing become those of the next step. */
bool run_limit(struct reckoning_run *r, const char *id, const struct value *arguments, size_t count, double *si);
struct value run_length(double metres); /* as an argument */
/* The same for a limit without arguments. */
bool run_bound(struct reckoning_run *r, const char *id, double *si);
/* A table: all cells that may apply. false after refusing ("outside-table") when a key lies outside. */
bool run_look(struct reckoning_run *r, const char *id, const struct grid_key *keys, struct grid_hit *hit);
/* The cell for one word of a table with one axis. */
bool run_term(struct reckoning_run *r, const char *table, const char *word, double *out);
const struct lib_grid *run_grid(struct reckoning_run *r, const char *id);

/* --- what comes out -------------------------------------------------------------------------------- */

/* Begins a step: words steps.<id>. Its source and standing: of the limits and tables asked for since the last
 * step (the standing that can be trusted least; sources joined), and `source` (NULL: none) with `standing`. */
void run_step(struct reckoning_run *r, const char *id, const char *source, enum standing standing);
/* A value for the words of that step: a number with four significant digits, or as written. */
void run_figure(struct reckoning_run *r, const char *name, double value);
void run_figure_mm(struct reckoning_run *r, const char *name, double metres);
void run_text(struct reckoning_run *r, const char *name, const char *text);
void run_quantity(struct reckoning_run *r, const char *name, double si, struct dimension dim);

void run_number(struct reckoning_run *r, const char *key, double value); /* in the unit that ends the key */
void run_result(struct reckoning_run *r, const char *key, const char *word);
void run_truth(struct reckoning_run *r, const char *key, bool truth);
void run_nothing(struct reckoning_run *r, const char *key);  /* there is none: null */
void run_list_of(struct reckoning_run *r, const char *key, const char *const *words, size_t count);
/* A table as result; then for each row run_row() and its cells. */
void run_rows(struct reckoning_run *r, const char *key);
void run_row(struct reckoning_run *r);
void run_cell(struct reckoning_run *r, const char *key, double value);
void run_cell_word(struct reckoning_run *r, const char *key, const char *word);

/* What it means for the gate: words reckon.<name>.means.<id>; `no`: the answer is no. */
void run_means(struct reckoning_run *r, const char *id, bool no);
void run_means_text(struct reckoning_run *r, const char *name, const char *text);
void run_means_figure(struct reckoning_run *r, const char *name, double value);

/* Not computable, for this reason; after the first, further ones are not told. Words reckon.<name>.refuses.<id>,
 * else reckon-refuses.<id>; what would be computable stands there. Results so far are dropped. */
void run_refuse(struct reckoning_run *r, const char *id);
void run_refuse_text(struct reckoning_run *r, const char *name, const char *text);

/* Steps outside the pocket book, for the technical file. */
struct step *steps_add(struct arena *a, struct steps *s, const char *id, const char *source,
	enum standing standing);
void step_text(struct arena *a, struct step *s, const char *name, const char *text);
void step_figure(struct arena *a, struct step *s, const char *name, double value);

/* The one that can be trusted less: published, practice, firm, memory. */
enum standing standing_weaker(enum standing a, enum standing b);

/* Each in assess/reckon_<family>.c. */
extern const struct reckon_family RECKON_FORCE, RECKON_ENERGY, RECKON_DISTANCE, RECKON_REACH, RECKON_RELIABILITY,
	RECKON_ELECTRICAL, RECKON_WIND, RECKON_RULES;

#define KEYS(list) list, sizeof list / sizeof *list

#endif
