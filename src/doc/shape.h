/* The bodies of a gate in one view, for drawing: those of the computed geometry. */
#ifndef DOC_SHAPE_H
#define DOC_SHAPE_H

#include "doc/builder.h"

struct shapes {
	const struct geo_body **items;
	size_t count;
	size_t left_out;           /* bodies whose dimensions are not all on record */
	double x0, y0, x1, y1;     /* m, extent with every pose */
};

/* Plan or elevation; count 0 without a geometry. */
struct shapes shapes_of(struct builder *b, bool elevation);

/* Whether a body is, or stands in this view for, one that moves: its role begins with the role of a body that moves in
 * the other view ("leaf-elevation" for "leaf"). */
bool shape_is_mover(const struct geometry *g, const struct geo_body *body);

/* What a moving body sweeps between two neighbouring poses: their convex hull, `pose` from 0 to
 * GEOMETRY_POSES - 2. Exactly that for convex bodies on a straight way, a little less on a bend,
 * never less than both poses. Returns the number of corners. */
size_t shape_swept(struct arena *a, const struct geo_body *body, size_t pose, struct draw_point **out);

/* The corners of a body at a pose; a body that stands has only one. */
const struct geo_point *shape_pose(const struct geo_body *body, size_t pose);

#endif
