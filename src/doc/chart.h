/* Clearance through travel: the gap of two bodies from closed to open with its doubt, beside the
 * sizes of parts of the body. */
#ifndef DOC_CHART_H
#define DOC_CHART_H

#include "doc/tree.h"
#include "model/geometry.h"

/* 80 x 45 mm: two stand side by side on a page. */
#define CHART_WIDTH 80.0
#define CHART_HEIGHT 45.0

/* A line across the chart. */
struct chart_size {
	const char *name;
	double metres; /* not drawn when 0 or more than the chart shows */
};

/* Words on the chart, ready to print. */
struct chart_words {
	const char *title, *gap;   /* "leaf – wall"; of the upright axis: "Gap in mm" */
	const char *closed, *open; /* ends of the travel */
	const char *over;          /* where the gap is more than the chart shows: "over 600 mm" */
	const char *passing;       /* the two pass each other */
};

/* The gap from 0 to what the range needs, at most CLEARANCE_FINE: beyond that there is no line.
 * Grey: the doubt. Under the axis a thick line where something is hurt, its arrow in the direction
 * of movement: opening above, closing beneath. The least gap is dimensioned. NULL for a pair that
 * never comes near. */
struct drawing *chart_draw(struct arena *a, const struct clearance_result *r,
	const struct chart_size *sizes, size_t count, const struct chart_words *words);

/* What the upright axis goes to, m. */
double chart_range(const struct clearance_result *r, const struct chart_size *sizes, size_t count);

#endif
