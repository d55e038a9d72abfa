/* Where a body stands and how it moves at one travel. Private to the clearance engine. */
#ifndef CALC_MOTION_H
#define CALC_MOTION_H

#include "calc/clearance.h"

/* p -> R p + t with R = (c -s; s c), and the field of velocity at a place q: (-omega q.y + u.x, omega q.x + u.y),
 * both per unit of travel. */
struct pose {
	double c, s, x, y;
	double omega, ux, uy;
};

/* The state of one step at some travel. */
struct step_now {
	double f, rate, c, s; /* c, s: of the angle turned */
};

/* `now`: room for every step of the motion. */
void motion_look(const struct motion *m, double t, struct step_now *now);
struct pose motion_pose(const struct motion *m, const struct step_now *now);
struct geo_point pose_place(const struct pose *pose, struct geo_point p);
struct geo_point pose_velocity(const struct pose *pose, struct geo_point place);

/* Upper bounds within `h` of that travel for the point that is at `p` when closed: speed and acceleration. The rates of all
 * steps must be constant in there. */
void motion_bounds(const struct motion *m, const struct step_now *now, struct geo_point p, double h, double *speed,
	double *acceleration);
/* The greatest amount by which the progress of a step differs, anywhere in [from, to], from that in the middle. */
double motion_change(const struct motion_step *step, double from, double to);
/* The sum of the rates of turning: never less than the rate of the whole. */
double motion_turning(const struct motion *m, const struct step_now *now);

/* The travels between 0 and 1 at which some rate changes, rising; returns how many. */
size_t motion_knots(struct arena *a, const struct motion *x, const struct motion *y, double **out);

#endif
