/* Energy and weight of leaves, against print and closed forms worked by hand. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/energy.h"

TestSuite(calc_energy);

/* EN 953:1997+A1:2009, 5.2.5.2 and ISO 14120:2015: 10 J, 180 kg, 0.33 m/s; the speed has two decimals, ± 3 %. */
Test(calc_energy, sliding)
{
	cr_expect_float_eq(energy_sliding(180, 0.33), 10, 0.3);
	cr_expect_float_eq(energy_sliding(300, 0.2), 6, 1e-12);
	cr_expect_float_eq(energy_sliding(300, 0), 0, 0);
}

/* m b² / 3 and J omega² / 2 by hand; 180° a second is π rad/s. */
Test(calc_energy, turning)
{
	cr_expect_float_eq(energy_inertia(3, 1), 1, 1e-12);
	cr_expect_float_eq(energy_inertia(150, 2), 200, 1e-12);
	cr_expect_float_eq(energy_turning(2, 180), M_PI * M_PI, 1e-12);
	cr_expect_float_eq(energy_turning(200, 18), M_PI * M_PI, 1e-12);
	cr_expect_float_eq(energy_turning(200, 0), 0, 0);
	/* The energy is a sixth of what the mass would have at the speed of the edge, twice: m v² / 6. */
	cr_expect_float_eq(energy_turning(energy_inertia(120, 2.5), 10), 120 * pow(2.5 * M_PI / 18, 2) / 6, 1e-12);
}

/* EN 16005:2012, low-energy sliding leaves: least time over 90 % of the stroke, every printed cell. Rows: stroke
 * 0.7 m to 1.3 m; columns: 10 kg to 150 kg; 0: not printed. */
Test(calc_energy, printed_times_of_sliding_leaves)
{
	static const double TIMES[7][15] = {
		{1.3, 1.8, 2.1, 2.5, 2.7, 3.0, 3.2, 3.5, 3.7, 3.9, 4.0, 4.2, 4.4, 4.6, 4.7},
		{1.4, 2.0, 2.4, 2.8, 3.1, 3.4, 3.7, 3.9, 4.2, 4.4, 4.6, 4.8, 5.0, 5.2, 5.4},
		{1.6, 2.2, 2.7, 3.1, 3.5, 3.8, 4.1, 4.4, 4.7, 4.9, 5.2, 5.4, 5.6, 5.8, 6.0},
		{1.8, 2.5, 3.0, 3.5, 3.9, 4.3, 4.6, 4.9, 5.2, 5.5, 5.8, 6.0, 6.3, 6.5, 6.7},
		{1.9, 2.7, 3.3, 3.8, 4.3, 4.7, 5.1, 5.4, 5.7, 6.0, 6.3, 6.6, 6.9, 7.1, 7.4},
		{2.1, 3.0, 3.6, 4.2, 4.7, 5.1, 5.5, 5.9, 6.2, 6.6, 6.9, 7.2, 7.5, 7.8, 8.0},
		{2.3, 3.2, 3.9, 4.5, 5.0, 5.5, 6.0, 6.4, 6.8},
	};
	for (size_t d = 0; d < 7; d++)
		for (size_t m = 0; m < 15; m++) {
			double stroke = 0.7 + 0.1 * (double)d, mass = 10 * (double)(m + 1);
			if (TIMES[d][m] > 0)
				cr_expect_float_eq(energy_rounded_up(energy_least_time(mass, stroke, 1.69), 0.1),
					TIMES[d][m], 1e-12, "%g m, %g kg", stroke, mass);
		}
	/* 1.3 √(50 / 3.38) = 5 */
	cr_expect_float_eq(energy_least_time(50, 1.3, 1.69), 5, 1e-12);
}

/* ANSI/BHMA A156.19, Table I (row 30 in: memory; 36 in, 175 lb and 200 lb are printed differently and left out).
 * Rows: 30, 36, 42, 48 in; columns: 100 lb to 200 lb. */
Test(calc_energy, printed_times_of_swing_leaves)
{
	static const double TIMES[4][5] = {
		{3.0, 3.0, 3.0, 3.0, 3.5}, {3.0, 3.5, 3.5}, {3.5, 4.0, 4.0, 4.5, 4.5}, {4.0, 4.5, 4.5, 5.0, 5.5},
	};
	for (size_t d = 0; d < 4; d++)
		for (size_t w = 0; w < 5; w++) {
			double width = (30 + 6 * (double)d) * 0.0254, mass = (100 + 25 * (double)w) * 0.45359237;
			double t = energy_rounded_up(energy_least_time_swing(mass, width, 133), 0.5);
			if (TIMES[d][w] > 0)
				cr_expect_float_eq(fmax(t, 3), TIMES[d][w], 1e-12, "%zu, %zu", d, w);
		}
	/* 46.55 in, 100 lb: 46.55 · 10 / 133 = 3.5 */
	cr_expect_float_eq(energy_least_time_swing(45.359237, 46.55 * 0.0254, 133), 3.5, 1e-12);
}

Test(calc_energy, rounded_up)
{
	cr_expect_float_eq(energy_rounded_up(5, 0.1), 5, 0, "a multiple stays");
	cr_expect_float_eq(energy_rounded_up(5.00001, 0.1), 5.1, 1e-12, "just above");
	cr_expect_float_eq(energy_rounded_up(4.99999, 0.1), 5, 1e-12, "just below");
	cr_expect_float_eq(energy_rounded_up(0.1 + 0.2, 0.1), 0.3, 1e-12, "what binary makes of 0.3");
	/* One part in 10^9 of a step is rounding, more is a difference. */
	cr_expect_float_eq(energy_rounded_up(5 * (1 + 1e-11), 0.1), 5, 1e-12);
	cr_expect_float_eq(energy_rounded_up(5 * (1 + 1e-9), 0.1), 5.1, 1e-12);
	cr_expect_float_eq(energy_rounded_up(3.5, 0.5), 3.5, 0);
	cr_expect_float_eq(energy_rounded_up(3.51, 0.5), 4, 0);
	cr_expect_float_eq(energy_rounded_up(0, 0.5), 0, 0);
}

/* ½ · 300 · 0.04 + 600 · 0.02 = 6 + 12 */
Test(calc_energy, stop)
{
	cr_expect_float_eq(energy_of_stop(300, 0.2, 600, 0.02), 18, 1e-12);
	cr_expect_float_eq(energy_of_stop(300, 0.2, 0, 0.02), 6, 1e-12);
	cr_expect_float_eq(energy_of_stop(300, 0, 600, 0.02), 12, 1e-12);
}

/* g 9.80665 m/s² (3rd CGPM, 1901): 100 kg weigh 980.665 N. */
Test(calc_energy, hinges)
{
	cr_expect_float_eq(energy_hinge_pull(100, 2, 0, 1), 980.665, 1e-9);
	cr_expect_float_eq(energy_hinge_pull(100, 2, 0.5, 1), 1470.9975, 1e-9);
	cr_expect_float_eq(energy_hinge_pull(100, 2, 0, 2), 490.3325, 1e-9);
}

/* 7, 24, 25: sine 0.28; the sine of 30° is one half. */
Test(calc_energy, slopes)
{
	cr_expect_float_eq(energy_slope_force(100, 7.0 / 24), 274.5862, 1e-9);
	cr_expect_float_eq(energy_slope_force(100, 0), 0, 0);
	cr_expect_float_eq(energy_lean_moment(100, 3, 30), 735.49875, 1e-9);
	cr_expect_float_eq(energy_lean_moment(100, 3, 0), 0, 0);
}
