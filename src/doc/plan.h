/* A view being drawn: plan or elevation. Private to the files of the drawings. */
#ifndef DOC_PLAN_H
#define DOC_PLAN_H

#include "doc/builder.h"
#include "doc/room.h"
#include "doc/shape.h"

/* On paper, mm. */
#define PLAN_WIDTH 164.0
#define PLAN_TEXT 7.5 /* points */

struct view {
	struct builder *b;
	struct drawing *d;
	struct shapes shapes;
	struct room room;
	double scale; /* mm on paper for a metre */
	int denominator;
	double left, right, bottom,
		top;            /* of the extent on paper; the bottom is 0 until all is drawn */
	double lowest, highest; /* of all that is drawn */
	bool elevation;
};

struct draw_point plan_place(const struct view *v, double x, double y);
struct draw_point *plan_outline(const struct view *v, const struct geo_point *points, size_t count);
void plan_words(struct view *v, double x, double y, const char *words, enum doc_align align);
/* A filled arrow head with its tip at `tip`, pointing along the unit vector (x, y). */
void plan_arrow(struct view *v, struct draw_point tip, double x, double y);

/* plan_gaps.c: the least gaps that can hurt, dimensioned where they are; at most a dozen. */
void plan_gaps(struct view *v);

/* plan_zones.c: the numbers of the zones, each in a balloon that stands free, with a line to its
 * place. */
void plan_zones(struct view *v);

/* plan_sizes.c */
/* Lines that dimensions will stand on, and words at the sides: before the numbers of the zones. */
void plan_sides(struct view *v);
/* Dimensions and the scale bar: under all the rest. */
void plan_sizes(struct view *v);

#endif
