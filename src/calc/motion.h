/* Where a body stands and how it moves at one travel. Private to the clearance engine. */
#ifndef CALC_MOTION_H
#define CALC_MOTION_H

#include "calc/clearance.h"

/* p -> R p + t with R = (c -s; s c), and the field of velocity at a place q: (-omega q.y + u.x,
 * omega q.x + u.y), both per unit of travel; (dux, duy) is the rate of u, of turning none. */
struct pose {
	double c, s, x, y;
	double omega, ux, uy, dux, duy;
};

struct pose motion_pose(const struct motion *m, double t);

/* In here, since most of the engine's time goes into them. */
static inline struct geo_point pose_place(const struct pose *pose, struct geo_point p)
{
	return (struct geo_point){
		pose->c * p.x - pose->s * p.y + pose->x, pose->s * p.x + pose->c * p.y + pose->y};
}

static inline struct geo_point pose_velocity(const struct pose *pose, struct geo_point place)
{
	return (struct geo_point){
		-pose->omega * place.y + pose->ux, pose->omega * place.x + pose->uy};
}

static inline struct geo_point pose_acceleration(const struct pose *pose, struct geo_point place)
{
	double w = pose->omega;
	return (struct geo_point){-w * w * place.x - w * pose->uy + pose->dux,
		-w * w * place.y + w * pose->ux + pose->duy};
}

/* One step at one travel: what the steps before it made of the body, and its own rate, of turning
 * about `pivot` or, when that is 0, of shifting. */
struct step_state {
	struct pose before;
	struct geo_point pivot;
	double turning, shifting; /* never negative */
};

/* The pose at `t`, and the state of each of the m->count steps. */
struct pose motion_states(const struct motion *m, double t, struct step_state *states);

/* Upper bounds over a cell of travel: of speed, of acceleration and of its rate. */
struct rates {
	double speed, acceleration, jerk;
};

/* Over [t - h, t + h], for the point that is at `p` when closed. `states` are those at t; the rates
 * of all steps must be constant in there. */
struct rates motion_bounds(
	const struct step_state *states, size_t count, struct geo_point p, double h);
/* The sum of the rates of turning: never less than the rate of the whole. */
double motion_turning(const struct step_state *states, size_t count);

/* How far the point that is at `p` when closed can be, within [from, to], from where it is at t;
 * rates may change in there. */
double motion_reach(const struct motion *m, struct geo_point p, double t, double from, double to);

/* The travels between 0 and 1 at which some rate changes, rising; returns how many. */
size_t motion_knots(struct arena *a, const struct motion *x, const struct motion *y, double **out);

#endif
