/* The bodies of a gate as polygons in metres: those of its type, with the record's dimensions put in, and
 * those around it on record. */
#ifndef DOC_SHAPE_H
#define DOC_SHAPE_H

#include "doc/builder.h"

struct shape {
	const char *id;
	struct draw_point *points; /* m, closed polygon; moving ones in the closed position */
	size_t count;
	bool moves, recorded;      /* recorded: from gate.bodies */
};

struct shapes {
	struct shape *items;
	size_t count;
	size_t left_out;           /* bodies whose dimensions are not all on record */
	double travel;             /* m along x; 0 when it is not known */
	double x0, y0, x1, y1;     /* extent, open position included; count 0: none */
};

/* Plan or elevation. A body whose condition is unknown or whose corners are not all known is left out. */
struct shapes shapes_of(struct builder *b, bool elevation);

/* Convex hull of `s` in the closed and in the open position: what it sweeps, exactly so for convex
 * bodies and never less than that for others. Returns the number of corners. */
size_t shape_swept(struct arena *a, const struct shape *s, double travel, struct draw_point **out);

#endif
