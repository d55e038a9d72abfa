/* Wind against print and closed forms. DIN EN 1991-1-4/NA:2010 prints pairs of speed and pressure; EN 1991-1-4 worked
 * example: vb 22 m/s, terrain III, z 13.48 m. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/wind.h"

TestSuite(calc_wind);

/* DIN EN 1991-1-4/NA:2010, wind zones 1 to 4: printed in kN/m² with two decimals, hence ±5 Pa. */
Test(calc_wind, zones)
{
	static const double PAIRS[][2] = {{22.5, 320}, {25, 390}, {27.5, 470}, {30, 560}};
	for (size_t i = 0; i < sizeof PAIRS / sizeof *PAIRS; i++)
		cr_expect_float_eq(wind_pressure(PAIRS[i][0], 1.25), PAIRS[i][1], 5);
}

/* q = rho v² / 2, by hand: 20 m/s at 1.25 kg/m³ is 250 Pa, at 1.225 245 Pa. */
Test(calc_wind, pressure_and_speed)
{
	cr_expect_float_eq(wind_pressure(20, 1.25), 250, 1e-12);
	cr_expect_float_eq(wind_pressure(20, 1.225), 245, 1e-12);
	cr_expect_float_eq(wind_pressure(0, 1.25), 0, 0);
	cr_expect_float_eq(wind_speed(250, 1.25), 20, 1e-12);
	cr_expect_float_eq(wind_speed(1000, 1.25), 40, 1e-12);
	cr_expect_float_eq(wind_speed(0, 1.25), 0, 0);
}

/* The worked example prints qb 0.303 kN/m², kr 0.215, cr 0.82, vm 18.0 m/s, Iv 0.263, qp 0.58 kN/m². */
Test(calc_wind, profile)
{
	static const struct wind_terrain THIRD = {0.3, 5};
	struct wind_profile p = wind_over(22, 13.48, &THIRD, 0.05, 1.25);
	cr_expect_float_eq(p.height_m, 13.48, 0);
	cr_expect_float_eq(p.base_pa, 303, 0.51);
	cr_expect_float_eq(p.terrain_factor, 0.215, 0.0005);
	cr_expect_float_eq(p.roughness_factor, 0.82, 0.005);
	cr_expect_float_eq(p.mean_m_s, 18.0, 0.05);
	cr_expect_float_eq(p.turbulence, 0.263, 0.0005);
	cr_expect_float_eq(p.peak_pa, 580, 5);
}

/* Closed form: z = e z0 in terrain II gives ln = 1, kr = cr = 0.19, Iv = 1, qp = 8 · 0.19² · qb. */
Test(calc_wind, profile_closed_form)
{
	static const struct wind_terrain SECOND = {0.05, 0.01};
	struct wind_profile p = wind_over(20, 0.05 * exp(1), &SECOND, 0.05, 1.25);
	cr_expect_float_eq(p.terrain_factor, 0.19, 1e-12);
	cr_expect_float_eq(p.roughness_factor, 0.19, 1e-12);
	cr_expect_float_eq(p.mean_m_s, 3.8, 1e-12);
	cr_expect_float_eq(p.turbulence, 1, 1e-12);
	cr_expect_float_eq(p.peak_pa, 8 * 0.0361 * 250, 1e-9);
	/* z0 = 128 z0,II: kr = 0.19 · 128^0.07 = 0.19 · 2^0.49 */
	static const struct wind_terrain ROUGH = {6.4, 7};
	cr_expect_float_eq(wind_over(20, 10, &ROUGH, 0.05, 1.25).terrain_factor, 0.19 * exp2(0.49), 1e-12);
}

/* Below the least height of the terrain the wind counts as at it. */
Test(calc_wind, least_height)
{
	static const struct wind_terrain FOURTH = {1, 10};
	double at = wind_over(25, 10, &FOURTH, 0.05, 1.25).peak_pa;
	cr_expect_float_eq(wind_over(25, 2, &FOURTH, 0.05, 1.25).peak_pa, at, 0);
	cr_expect_float_eq(wind_over(25, 2, &FOURTH, 0.05, 1.25).height_m, 10, 0);
	cr_expect_gt(wind_over(25, 10.01, &FOURTH, 0.05, 1.25).peak_pa, at);
}

/* EN 12424 (memory): 300, 450, 700, 1000 Pa; class 5 from 1001 Pa, as declared. */
static const double REFERENCES[] = {300, 450, 700, 1000, 1001};

Test(calc_wind, classes)
{
	static const struct {
		double pa;
		size_t reached, needed;
	} ROWS[] = {
		{0, 0, 0}, {1, 0, 1}, {299.9, 0, 1}, {300, 1, 1}, {300.1, 1, 2}, {449.9, 1, 2}, {450, 2, 2},
		{450.1, 2, 3}, {699.9, 2, 3}, {700, 3, 3}, {700.1, 3, 4}, {999.9, 3, 4}, {1000, 4, 4}, {1000.9, 4, 5},
		{1001, 5, 5}, {3000, 5, 5}, {300 * (1 - 1e-12), 1, 1}, {300 * (1 + 1e-12), 1, 1},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		cr_expect_eq(wind_class_reached(REFERENCES, 5, ROWS[i].pa), ROWS[i].reached, "%g", ROWS[i].pa);
		cr_expect_eq(wind_class_needed(REFERENCES, 5, ROWS[i].pa), ROWS[i].needed, "%g", ROWS[i].pa);
	}
}

/* EN 1991-1-4, Table 7.9 (memory), zone A: 2.3 up to l/h 3, 2.9 at 5, 3.4 from 10 on; half-way 2.6 and 3.15. */
Test(calc_wind, between)
{
	static const double AT[] = {3, 5, 10}, VALUES[] = {2.3, 2.9, 3.4};
	static const double ROWS[][2] = {{0, 2.3}, {3, 2.3}, {4, 2.6}, {5, 2.9}, {7.5, 3.15}, {10, 3.4}, {40, 3.4}};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_float_eq(wind_between(AT, VALUES, 3, ROWS[i][0]), ROWS[i][1], 1e-12);
	cr_expect_float_eq(wind_between(AT, VALUES, 1, 7), 2.3, 0);
}

/* F = q c phi A, M = F b / 2. 18 m/s on 5 m × 5 m: a storm text prints about 5000 N; 202.5 Pa · 25 m² = 5062.5 N. */
Test(calc_wind, leaf)
{
	cr_expect_float_eq(wind_force(wind_pressure(18, 1.25), 1, 25, 1), 5062.5, 1e-9);
	cr_expect_float_eq(wind_force(500, 1.2, 4, 0.5), 1200, 1e-9);
	cr_expect_float_eq(wind_moment(1200, 3), 1800, 1e-9);
	cr_expect_float_eq(wind_part_of_thrust(1800, 600, 3), 1, 1e-12);
	cr_expect_float_eq(wind_part_of_thrust(1800, 1200, 3), 0.5, 1e-12);
}
