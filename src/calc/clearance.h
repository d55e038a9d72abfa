/* Clearance between two bodies that move: the distance between two polygons, each carried by a
 * chain of rigid steps, as a function of the travel t from 0 to 1. Lengths in m, angles in rad,
 * anticlockwise.
 *
 * The distance is certified, not sampled: over each cell of travel it is held from below by the gap
 * along a direction fixed in one of the bodies and from above by the distance of two features, both
 * with the greatest acceleration of any of their points in the cell (s(t) within s + s' u ± M
 * u²/2); cells are halved until both bounds lie within the tolerance of the straight line between
 * the ends. Polygons may be concave: they are cut into convex pieces. Bodies that overlap have
 * distance 0. */
#ifndef CALC_CLEARANCE_H
#define CALC_CLEARANCE_H

#include "base/arena.h"
#include "model/geometry.h"

enum motion_kind { MOTION_SHIFT, MOTION_TURN };

/* One rigid step, linear in its own progress f(t). `knots`: pairs (t, f), t rising from 0 to 1,
 * linear between; count 0: f = t. A step of a type's `during: [a, b]` has the knots (0,0) (a,0)
 * (b,1) (1,1). */
struct motion_step {
	enum motion_kind kind;
	struct geo_point by;           /* MOTION_SHIFT: whole way; MOTION_TURN: pivot */
	double angle;                  /* MOTION_TURN: whole angle */
	const struct geo_point *knots; /* x = t, y = f */
	size_t knot_count;
};

/* Applied in order, each in the fixed frame: the first step acts on the closed position. No steps:
 * it stands. */
struct motion {
	const struct motion_step *steps;
	size_t count;
};

struct moving_body {
	const struct geo_point *points; /* simple polygon, either way round */
	size_t count;
	struct motion motion;
};

struct geo_point motion_apply(const struct motion *m, struct geo_point p, double t);
/* Velocity per unit of travel; at a knot of the way the one after it. */
struct geo_point motion_velocity(const struct motion *m, struct geo_point p, double t);

/* By how much it has turned all in all. */
double motion_angle(const struct motion *m, double t);

/* Distance between two polygons where they stand at `t`, with the nearest points (may be NULL). */
double clearance_at(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	double t, struct geo_point *on_x, struct geo_point *on_y);

struct clearance_profile {
	const struct clearance_knot *knots; /* travel 0 … 1, rising */
	size_t count;
	double least, greatest, least_at, greatest_at; /* known to `error`; of bodies that meet,
							  least_at is where they do first */
	double error; /* the tolerance asked for; more only where bodies of no human size would need
			 too many cells */
};

/* `across`: distance of the bodies at right angles to the view (0 where their extents overlap); the
 * gap is the distance in space, √(d² + across²). Between knots the gap is within `tolerance` of the
 * straight line where it is less than `fine`; farther away it may be told more roughly (to a tenth
 * of itself), but least and greatest are always known to `tolerance`. */
struct clearance_profile clearance_of(struct arena *a, const struct moving_body *x,
	const struct moving_body *y, double across, double tolerance, double fine);

/* The same with fewer knots: where the gap certainly only grows or only shrinks from one knot to the next, it may be as
 * far as `line` from the straight line between them. So least, greatest and every turning point are known as well as
 * before, and no stretch is missed. */
struct clearance_profile clearance_outline(struct arena *a, const struct moving_body *x,
	const struct moving_body *y, double across, double tolerance, double line, double fine);

/* Whether the bodies can come within `near` of each other at all: a quick certificate; true when in
 * doubt. */
bool clearance_may_come_near(
	const struct moving_body *x, const struct moving_body *y, double across, double near);

/* Stretches between the turning points of a profile: rises and falls of not more than
 * `least_change` are ignored. Fills from, to, start, end, opening. */
size_t clearance_stretches(struct arena *a, const struct clearance_profile *p, double least_change,
	struct clearance_stretch **out);

/* How two bodies move against each other: rates per unit of travel, of the nearest points. */
struct clearance_rate {
	double along;          /* the line between them; negative: approaching */
	double past;           /* each other */
	struct geo_point on_x, on_y; /* the nearest points */
};

/* At each of `count` travels. At distance 0 the line is the normal of the edge along which they
 * overlap least. */
void clearance_rates(struct arena *a, const struct moving_body *x, const struct moving_body *y,
	const double *travels, size_t count, struct clearance_rate *out);

/* Underside of a turning leaf over sloping ground, at its free end: height when closed + rise t -
 * the rise of the ground from the closed place: r (along (cos φ - 1) + across sin φ), φ = angle t;
 * zero angle along the opening. Certified in the same way. */
struct underside {
	double height, rise, radius, angle, along, across;
};
struct clearance_profile clearance_underside(
	struct arena *a, const struct underside *u, double tolerance);

#endif
