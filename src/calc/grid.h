/* Looking up printed tables. */
#ifndef CALC_GRID_H
#define CALC_GRID_H

#include "model/grid.h"

/* What is looked up on one axis: a word, or a number in SI with its doubt (low = high without). */
struct grid_key {
	const char *word; /* NULL: the number */
	double low, high;
};

/* All the cells that may apply. */
struct grid_hit {
	double low, high;              /* least and greatest value; of a worded grid 0 */
	const char *word;              /* of a worded grid; NULL when different words may apply */
	const struct grid_cell *cell;  /* of those, the one whose standing can be trusted least */
	size_t row, column;            /* of that cell */
	size_t count;                  /* cells that may apply */
};

struct grid_key grid_number(double si);
struct grid_key grid_word(const char *word);

/* The cells for one key an axis. false, `*out` untouched, when a key lies outside its axis (in part is
 * enough), is a word that the axis does not have, or when a cell that may apply has no value. */
bool grid_look(const struct grid *g, const struct grid_key *keys, struct grid_hit *out);

/* The same for keys that leave no doubt: the number, or the word, of the one cell. */
bool grid_value(const struct grid *g, struct grid_key row, struct grid_key column, double *out);
bool grid_words(const struct grid *g, struct grid_key row, struct grid_key column, const char **out);

#endif
