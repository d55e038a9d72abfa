/* Distances from a danger, and how far a leaf runs on. Lengths in m, times in s, speeds in m/s. Numbers that agree
 * to one part in 10^9 are equal. Every argument is finite and, where not said otherwise, not negative. */
#ifndef CALC_DISTANCE_H
#define CALC_DISTANCE_H

#include <stdbool.h>

/* Whether `a` is not more than `b`; equal is within. */
bool distance_within(double a, double b);

/* From the signal to standstill: the speed is kept while the control answers, then lost evenly.
 * t = t_r + v / a, s = v t_r + v² / (2 a); a > 0. Uniform deceleration, text-book. */
double distance_stopping_time(double speed, double response, double deceleration);
double distance_stopping(double speed, double response, double deceleration);

/* The time in which `distance` is run with even braking from `speed` (> 0) after `response`:
 * t = t_r + 2 (s - v t_r) / v. Not for s < v t_r. Uniform deceleration, text-book. */
double distance_time_of(double distance, double speed, double response);

/* S = K T + C (EN ISO 13855). */
double distance_of_approach(double time, double speed, double reach);

/* What reaches through a field before it is seen: C = slope (d - finest), 0 for a finer resolution d. */
double distance_field_reach(double resolution, double finest, double slope);

/* Approach at right angles to a field that sees an arm: S by the speed `fast` of an arm, at least `least`; where
 * that is more than `most`, S by the walking speed `slow`, at least `most` (EN ISO 13855). A distance of exactly
 * `most` is kept. `*speed` is the one that counts. */
double distance_of_field(double time, double reach, double fast, double slow, double least, double most,
	double *speed);

/* Reach over the edge of a low field, or down to a mat on a step: C = base - share · H, at least `least`. */
double distance_low_reach(double height, double base, double share, double least);

/* Least height of a parallel field at which a resolution d still finds a leg: H = factor (d - base), at least 0. */
double distance_least_height(double resolution, double factor, double base);

/* The coarsest resolution for a parallel field at a height: the same the other way round; factor > 0. */
double distance_coarsest(double height, double factor, double base);

/* Whether a gap that moves between two sizes changes by no more than `share` of the narrower. */
bool distance_steady(double narrow, double wide, double share);

#endif
