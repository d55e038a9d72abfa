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

/* Where a rate changes, with the rate after it, or with the one before. */
struct pose motion_pose(const struct motion *m, double t);
struct pose motion_pose_before(const struct motion *m, double t);

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

/* Upper bounds over a cell of travel: of speed, of acceleration and of its rate. */
struct rates {
	double speed, acceleration, jerk;
};

/* What is carried by turns and shifts is a sum of vectors, each of a fixed length (or growing
 * evenly) and turning at the net rate of the steps from its own on: the arm from the first pivot,
 * which depends on the point, and others, which do not. */
struct sway {
	struct rates others;        /* at most */
	double arm;                 /* net rate at which the arm turns; never negative */
	double turning;             /* rate of turning of the whole; never negative */
};

/* Upper bounds over [t - h, t + h]; the rates of all steps must be constant in there. */
struct sway motion_sway(const struct motion *m, double t, double h);

/* Length of the arm of the point that is at `p` when closed; 0 when nothing turns. */
double motion_arm(const struct motion *m, struct geo_point p);

static inline struct rates sway_rates(const struct sway *s, double arm)
{
	double w = s->arm;
	return (struct rates){s->others.speed + w * arm, s->others.acceleration + w * w * arm,
		s->others.jerk + w * w * w * arm};
}

/* How far the point that is at `p` when closed can be, within [from, to], from where it is at t;
 * rates may change in there. */
double motion_reach(const struct motion *m, struct geo_point p, double t, double from, double to);

/* The travels between 0 and 1 at which some rate changes, rising; returns how many. */
size_t motion_knots(struct arena *a, const struct motion *x, const struct motion *y, double **out);

#endif
