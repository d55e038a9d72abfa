/* Polygons as convex pieces, and the distance of two convex pieces. Private to the clearance
 * engine. Lengths in m. */
#ifndef CALC_POLYGON_H
#define CALC_POLYGON_H

#include "base/arena.h"
#include "model/geometry.h"

/* Corners anticlockwise; one or two corners stand for a point or a segment. */
struct convex {
	size_t first, count; /* in the points of its polygon */
};

struct polygon {
	struct geo_point *points; /* of all pieces, one after the other */
	size_t count;
	struct convex *pieces;
	size_t piece_count;
};

/* Cuts a simple polygon, either way round, into convex pieces that cover it. Doubled and idle
 * corners are left out. Of what crosses itself at least the outline is covered. No corner at all:
 * one piece at the origin. */
struct polygon polygon_cut(struct arena *a, const struct geo_point *points, size_t count);

enum feature_kind {
	FEATURE_CORNERS,     /* corner `p` of the first, corner `q` of the second */
	FEATURE_EDGE_FIRST,  /* edge from corner `p` of the first, corner `q` of the second */
	FEATURE_EDGE_SECOND, /* corner `p` of the first, edge from corner `q` of the second */
};

/* Where two pieces are nearest. Of two that overlap: where a corner of one is nearest to an edge of
 * the other. */
struct feature {
	enum feature_kind kind;
	bool overlap;
	size_t p, q;                 /* indices into the points given */
	double distance;             /* 0 when they overlap */
	struct geo_point on_p, on_q; /* the nearest points */
};

/* Distance of the convex pieces `p` and `q` of two lists of points. Pieces that only touch have
 * distance 0 and do not overlap. */
struct feature convex_distance(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq);

/* Whether the features that were nearest in `last` are the nearest here too, which is told sooner
 * than which ones are; then
 * `*out` is what convex_distance() finds. */
bool convex_still(const struct geo_point *p, struct convex cp, const struct geo_point *q,
	struct convex cq, const struct feature *last, struct feature *out);

/* A point in the middle of what two overlapping pieces share. */
struct geo_point convex_shared(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq);

/* The normal of that edge along which two pieces overlap least (or are farthest apart); it points
 * from `q` to `p`. */
struct geo_point convex_least_overlap(
	const struct geo_point *p, struct convex cp, const struct geo_point *q, struct convex cq);

#endif
