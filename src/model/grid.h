/* Printed tables: cells by one or two axes, as a standard prints them. YAML group `tables`:
 *   {id, is: length|number|word|…, edition, source, standing, axes: [axis, axis], cells: [[…], …],
 *    marks: [{at: [row, column], source, standing}]}
 * axis: {name, is: length|…|word, take: up-to|from|between|equal, at: [edges or words]}. With one axis `cells`
 * is a list. A cell that is "-" has no value: what it stands for is not allowed or not known. `marks`
 * give single cells a source and standing of their own; "*" in `at` stands for all edges of an axis.
 * In a rule: table('id', row, column). */
#ifndef MODEL_GRID_H
#define MODEL_GRID_H

#include <stdbool.h>
#include <stddef.h>

#include "base/finding.h"
#include "base/quantity.h"

/* Which of the edges a value takes. Edges increase. Equality takes the edge itself in every way (numbers that
 * agree to one part in 10^9 are equal). */
enum grid_take {
	GRID_UP_TO,   /* the least edge that is not below the value; beyond the last: none */
	GRID_FROM,    /* the greatest edge that is not above the value; below the first: none */
	GRID_BETWEEN, /* both neighbours (no interpolation); outside the first and last: none */
	GRID_EQUAL,   /* the edge, or the word, itself */
};

struct grid_axis {
	const char *name;
	enum grid_take take;
	bool worded;
	struct dimension dim;     /* of the edges, unless worded */
	const double *at;         /* SI */
	const char *const *words;
	size_t count;
};

struct grid_cell {
	bool given;
	double value;             /* SI, of the grid's dimension */
	const char *word;         /* of a worded grid */
	const char *source;
	enum standing standing;
};

struct grid {
	bool worded;              /* cells are words */
	struct dimension dim;     /* of the cells, unless worded */
	struct grid_axis axes[2];
	size_t axis_count;        /* 1 or 2 */
	struct grid_cell *cells;  /* row by row: axes[0] counts the rows, axes[1] the columns */
};

#endif
