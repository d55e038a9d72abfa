/* Wind: pressure from speed, the wind over a terrain, classes of resistance, the push on a leaf. SI units. */
#ifndef CALC_WIND_H
#define CALC_WIND_H

#include <stddef.h>

/* q = rho v² / 2 (EN 1991-1-4, 4.5). Speed m/s >= 0, density kg/m³ > 0; Pa. */
double wind_pressure(double speed, double density);

/* The speed of undisturbed air that has this pressure: v = sqrt(2 q / rho). Pressure Pa >= 0. */
double wind_speed(double pressure, double density);

/* What a terrain is to the wind (EN 1991-1-4, Table 4.1). */
struct wind_terrain {
	double length_m; /* roughness length z0, > 0 */
	double least_m;  /* least height zmin, > z0: below it the wind counts as at it */
};

/* From the basic wind velocity to the peak velocity pressure (EN 1991-1-4, 4.3 to 4.5), each step. Flat ground:
 * orography factor 1; turbulence factor 1; direction and season factor 1. */
struct wind_profile {
	double height_m;         /* z, at least zmin */
	double base_pa;          /* qb = rho vb² / 2 */
	double terrain_factor;   /* kr = 0.19 (z0 / z0,II)^0.07 */
	double roughness_factor; /* cr = kr ln(z / z0) */
	double mean_m_s;         /* vm = cr vb */
	double turbulence;       /* Iv = 1 / ln(z / z0) */
	double peak_pa;          /* qp = (1 + 7 Iv) rho vm² / 2 */
};

/* Base m/s >= 0; height above ground m; `second_m` the roughness length of terrain II; density kg/m³. A height
 * that equals zmin is itself. */
struct wind_profile wind_over(double base, double height, const struct wind_terrain *terrain, double second_m,
	double density);

/* The class by reference pressures that increase, class 1 first: the greatest whose reference pressure is not above
 * `pressure`; equality reaches the class (numbers that agree to one part in 10^9 are equal). 0: not even the first. */
size_t wind_class_reached(const double *references, size_t count, double pressure);

/* The least class whose reference pressure is not below `pressure`; equality is enough; 0 for no pressure; the last
 * one, whose pressure is as declared, beyond all. */
size_t wind_class_needed(const double *references, size_t count, double pressure);

/* Straight line between printed pairs: `at` increases, count >= 1; at and beyond an end its value. */
double wind_between(const double *at, const double *values, size_t count, double x);

/* F = q c phi A: pressure Pa, coefficient, area m² of the outline, solidity (closed part of it, 0 to 1); N. */
double wind_force(double pressure, double coefficient, double area, double solidity);

/* M = F b / 2: an even push acts at the middle of the leaf's width b from the hinge. N m. */
double wind_moment(double force, double width);

/* The part of a thrust at the main edge that the wind takes, both about the hinge: M / (T b); 1 and more: the wind
 * wins. Thrust N > 0, width m > 0. */
double wind_part_of_thrust(double moment, double thrust, double width);

#endif
