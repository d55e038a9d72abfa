/* Energy of a moving leaf and what has to take it; the weight of a leaf on its hinges and on a slope. SI units. */
#ifndef CALC_ENERGY_H
#define CALC_ENERGY_H

#define ENERGY_GRAVITY 9.80665 /* m/s², standard acceleration: 3rd CGPM, 1901 */

/* E = m v² / 2: a leaf that slides or lifts. kg, m/s; J. Text-book. */
double energy_sliding(double mass, double speed);

/* J = m b² / 3: an even leaf of width b that turns about one side. kg, m; kg m². Text-book. */
double energy_inertia(double mass, double width);

/* E = J omega² / 2, the rate in degrees per second; J. Text-book. */
double energy_turning(double inertia, double rate);

/* Least time for a stroke at even speed that keeps the energy: t = D sqrt(m / (2 E)). Mass kg, stroke m, energy
 * J > 0; s, not rounded. It is what the times printed in EN 16005:2012 come to. */
double energy_least_time(double mass, double stroke, double energy);

/* ANSI/BHMA A156.19: T = D sqrt(W) / divisor, D in inches, W in pounds (both given in SI here), divisor > 0; s, not
 * rounded. */
double energy_least_time_swing(double mass, double width, double divisor);

/* Up to the next whole multiple of `step` > 0; a multiple itself, to one part in 10^9 of the step, stays. */
double energy_rounded_up(double x, double step);

/* What a stop has to take on its way s: E = m v² / 2 + T s, the thrust T pushing on. kg, m/s, N, m; J. */
double energy_of_stop(double mass, double speed, double thrust, double travel);

/* Pull on the upper hinge and push on the lower, along the leaf: H = m g (b / 2 + a) / h. Mass kg of an even leaf,
 * its width b, the offset a from hinge line to leaf, the spacing h > 0 of the hinges, all m; N. Statics. */
double energy_hinge_pull(double mass, double width, double offset, double spacing);

/* Force along a slope: m g sin(atan(grade)), the grade as rise over run >= 0. N. Statics, no friction. */
double energy_slope_force(double mass, double grade);

/* Moment of its weight about a hinge line that leans by `lean` degrees, where it is greatest, with the leaf level
 * with the lean: m g sin(lean) b / 2. N m. Statics, no friction. */
double energy_lean_moment(double mass, double width, double lean);

#endif
