/* Two bodies at one travel, and what their distance can do in a cell of travel around it. Private
 * to the clearance engine. */
#ifndef CALC_CELL_H
#define CALC_CELL_H

#include "calc/motion.h"
#include "calc/polygon.h"

/* A body where it stands in the middle of the cell in hand. */
struct carried {
	const struct motion *motion;
	struct polygon shape; /* closed position */
	struct step_state *states;
	struct pose pose;
	struct geo_point *at, *velocity, *acceleration;
	struct rates *rates; /* bounds over the cell */
	double turning;
	struct geo_point *middles, *middle_at; /* of the pieces: centre of a circle around each */
	double *radii;
	double fastest; /* of any corner, over the cell */
};

struct couple {
	struct carried x, y;
	size_t piece_x, piece_y; /* that were nearest when last looked at */
	struct feature last;     /* of them */
};

struct couple couple_of(struct arena *a, const struct moving_body *x, const struct moving_body *y);

/* Puts both where they stand at t, and finds the nearest of all their pieces. */
struct feature couple_look(struct couple *c, double t);

/* Of travel: its middle and half its width, and the distance at both ends. */
struct cell {
	double t, h, before, after;
};

/* The distance over a cell: never less than the straight line between the low values at its ends,
 * never more than the one between the high values. The low values may be less than 0. */
struct bounds {
	double low[2], high[2];
};

/* How far the distance can be from the straight line between the ends. */
double bounds_off(const struct bounds *b, const struct cell *cell);

/* Widens what is known of both from the middle of a cell, where couple_look() has put them, to all
 * of it. Returns how far any two points of them can approach or part from the middle to an end. */
double couple_widen(struct couple *c, double h);
/* `near`: what couple_look() found. Gives up, with bounds too narrow, as soon as bounds_off() is
 * more than `limit`. */
struct bounds couple_bounds(
	const struct couple *c, const struct feature *near, const struct cell *cell, double limit);

struct geo_point carried_velocity(const struct carried *c, struct geo_point place);

#endif
