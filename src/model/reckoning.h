/* One computation on its own: what was put in, what came out, and every step between. Computed by `assess`,
 * shown by `cli`, written by `out`. The words are in templates/<language>/reckon*.yaml. */
#ifndef MODEL_RECKONING_H
#define MODEL_RECKONING_H

#include "base/finding.h"
#include "rule/rule.h"

/* A formula with the numbers put in. Its words are steps.<id>; values fill the placeholders. */
struct step {
	const char *id;
	struct finding_value *values;
	const char *source;
	enum standing standing;
	struct step *next;
};

struct steps {
	struct step *first, *last;
};

enum gives { GIVES_NOTHING, GIVES_NUMBER, GIVES_WORD, GIVES_TRUTH, GIVES_WORDS, GIVES_ROWS };

struct reckon_outcome;

/* A row of a result that is a table: outcomes by name. */
struct reckon_row {
	struct reckon_outcome *cells;
	struct reckon_row *next;
};

/* A result. The unit of a number is the end of its key: distance_mm, years, per_hour. */
struct reckon_outcome {
	const char *key;
	enum gives kind;
	double number;
	const char *word;
	bool truth;
	struct reckon_row *rows, *last_row;
	const char *const *words;
	size_t word_count;
	struct reckon_outcome *next;
};

/* A value that was put in, or the default that stood in for it. */
struct reckon_given {
	const char *key, *text;  /* as typed */
	bool usual;              /* the default */
	const struct value *values; /* one, or those of a list */
	size_t count;
	bool list;
	struct reckon_given *next;
};

struct reckoning {
	const char *name;
	struct reckon_given *inputs;
	struct reckon_outcome *results; /* NULL: not computed; `findings` say why */
	struct steps steps;
	const char *meaning;            /* words reckon.<name>.means.<meaning>; NULL: none */
	struct finding_value *values;   /* for the words of the meaning */
	bool no;                        /* computed, and the answer is no */
	enum standing standing;         /* that of the step that can be trusted least */
	struct findings *findings;
};

struct arena;
struct phrasebook;

/* The formula of a step, filled; its id when there are no words. */
char *step_shown(struct arena *a, const struct phrasebook *words, const struct step *s);

/* "14 720", "0.2147", "2.47E-8": four significant digits or more, whole numbers in full, thousands set apart. What
 * would be rounded to a round number shows more ("29.9999"). */
const char *figure_text(struct arena *a, double value);

/* What a reckoning means for the gate, filled; NULL when nothing is to be said. */
char *reckoning_meaning(struct arena *a, const struct phrasebook *words, const struct reckoning *r);

#endif
