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
	struct pose pose;
	struct geo_point *at, *velocity, *acceleration;
	double *arms;                 /* of each corner */
	struct rates *rates;          /* bounds over the cell */
	struct sway sway;
	struct geo_point *middles, *middle_at; /* of the pieces: centre of a circle around each */
	double *radii;
	double longest; /* arm of any corner */
	double fastest, hardest; /* speed and acceleration of any corner, over the cell */
};

struct couple {
	struct carried x, y;
	size_t piece_x, piece_y; /* that were nearest when last looked at */
	struct feature last;     /* of them */
};

struct couple couple_of(struct arena *a, const struct moving_body *x, const struct moving_body *y);

/* Puts both where they stand at t, and finds the nearest of all their pieces. */
struct feature couple_look(struct couple *c, double t);

/* A distance at one travel, and a rate of it there: where two pairs of points are the nearest, of either. 0 where they
 * overlap. */
struct moment {
	double distance, rate;
};

/* The same from what couple_look() found at t; where a rate of the motion changes there, with the rate after it, or
 * with the one before. */
struct moment couple_moment(const struct couple *c, const struct feature *f);
struct moment couple_moment_before(const struct couple *c, const struct feature *f, double t);

/* Of travel: its middle and half its width, and what the distance does at both ends. */
struct cell {
	double t, h;
	struct moment before, after;
};

/* The distance over a cell: never less than the straight line between the low values at its ends,
 * never more than the one between the high values. The low values may be less than 0. */
struct bounds {
	double low[2], high[2];
};

/* How far the distance can be from the straight line between the ends. */
double bounds_off(const struct bounds *b, const struct cell *cell);

/* Of all points over a cell around t: how far any two can approach or part from the middle to an end, and the
 * greatest speed and acceleration of one against the other. */
struct stir {
	double reach, speed, acceleration;
};
struct stir couple_stir(struct couple *c, double t, double h);

/* The distance is the least of those of all pairs of points. That of one pair bends up by at most a
 * + v² / d; so does the least of them, which may bend down as sharply as it likes. `low`: what the
 * distance is nowhere less than. */
double stir_bend(const struct stir *s, double low);

/* What follows from that alone, quickly: bounds of the distance over the cell, and how far it can be from the straight
 * line between the ends. */
struct quick {
	double low, high, off;
};
struct quick couple_quick(const struct stir *s, const struct cell *cell, const struct moment *middle);

/* Whether it certainly only grows, or only shrinks, by the same: a rate falls as it likes, but rises slowly. */
bool stir_steady(const struct stir *s, const struct cell *cell, double low);

/* Puts what is known of every corner in the middle of a cell, where couple_look() has put them, after couple_stir(). */
void couple_widen(struct couple *c);

/* `near`: what couple_look() found. Gives up, with bounds too narrow, as soon as bounds_off() is
 * more than `limit`. */
struct bounds couple_bounds(
	const struct couple *c, const struct feature *near, const struct cell *cell, double limit);

/* Whether the distance certainly only grows, or only shrinks, all through the cell: the same
 * features stay the nearest, and the rate between them keeps its sign. False when in doubt. After
 * couple_widen(). */
bool couple_steady(const struct couple *c, const struct feature *near, const struct cell *cell);

struct geo_point carried_velocity(const struct carried *c, struct geo_point place);

#endif
