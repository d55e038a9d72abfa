/* Small circuits of a gate: the loop of resistive edges, the drop along a cable, the load of a supply. SI units. */
#ifndef CALC_RESISTANCE_H
#define CALC_RESISTANCE_H

#include <stdbool.h>
#include <stddef.h>

/* R = 1 / sum(1 / Ri), all Ri > 0, count >= 1. */
double resistance_parallel(const double *parts, size_t count);

/* What a loop reads: with nominal parts, and with all of them at the low and the high end of their tolerance. Equal
 * parts that are all off by the same part give a whole that is off by that part. */
struct resistance_band {
	double rest, low, high;
};

/* Resistors in parallel (one for a cascade, at its far end), behind a cable. Ohms; tolerance as a fraction, 0 to
 * below 1. */
struct resistance_band resistance_loop(const double *parts, size_t count, double tolerance, double cable);

/* Whether no reading of one band may be one of the other. Bands that touch are not apart; nor are ends that agree to
 * one part in 10^9. */
bool resistance_apart(const struct resistance_band *a, const struct resistance_band *b);

/* U = 2 rho l I / A: both conductors of a cable of one-way length l (m) and section A (mm²), current I (A), resistivity
 * in ohm mm²/m; V. */
double resistance_drop(double length_m, double section_mm2, double current, double resistivity);

/* The sum of loads; 0 of none. */
double resistance_sum(const double *loads, size_t count);

/* What is left of a supply; 0 when the two agree to one part in 10^9, < 0: the supply is overloaded. */
double resistance_margin(double supply, double sum);

#endif
