/* Peak force of a free mass on a spring, against closed forms worked by hand from the energy balance
 * m v² / 2 + T x = k x² / 2. Figures are chosen so that the root is a whole number. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/force.h"

TestSuite(calc_force);

/* 500 N/mm and 200 kg: √(k m) = √(1E8) = 1E4 N s/m. */
#define SPRING 500e3

Test(calc_force, peak_without_thrust)
{
	cr_expect_float_eq(force_peak(200, 0.04, SPRING, 0), 400, 1e-9);
	cr_expect_float_eq(force_peak(200, 0.14, SPRING, 0), 1400, 1e-9);
	cr_expect_float_eq(force_peak(200, 0, SPRING, 0), 0, 0);
	cr_expect_float_eq(force_peak(800, 0.04, SPRING, 0), 800, 1e-9, "four times the mass, twice the force");
	cr_expect_float_eq(force_peak(200, 0.04, SPRING / 4, 0), 200, 1e-9, "a quarter of the spring, half the force");
	/* 300 kg at 0.2 m/s: 0.2 √(1.5E8) N */
	cr_expect_float_eq(force_peak(300, 0.2, SPRING, 0), 2449.489743, 1e-6);
}

/* 300, 400, 500 and 87.5, 300, 312.5: whole triangles. At rest a thrust that is let go on a spring presses twice. */
Test(calc_force, peak_with_thrust)
{
	cr_expect_float_eq(force_peak(200, 0.04, SPRING, 300), 800, 1e-9);
	cr_expect_float_eq(force_peak(200, 0.03, SPRING, 87.5), 400, 1e-9);
	cr_expect_float_eq(force_peak(200, 0, SPRING, 150), 300, 1e-9);
}

/* The balance itself: what moves and what pushes is what the spring holds. */
Test(calc_force, balance)
{
	double peak = force_peak(271, 0.173, 320e3, 411), x = peak / 320e3;
	cr_expect_float_eq(271 * 0.173 * 0.173 / 2 + 411 * x, 320e3 * x * x / 2, 1e-9);
}

Test(calc_force, top_speed)
{
	cr_expect_float_eq(force_top_speed(200, SPRING, 0, 400), 0.04, 1e-12);
	cr_expect_float_eq(force_top_speed(200, SPRING, 0, 1400), 0.14, 1e-12);
	cr_expect_float_eq(force_top_speed(200, SPRING, 87.5, 400), 0.03, 1e-12);
	cr_expect_float_eq(force_top_speed(200, SPRING, 199.9, 400), sqrt(8e-7), 1e-12, "just below");
	cr_expect_float_eq(force_top_speed(200, SPRING, 200, 400), 0, 0, "twice the thrust on the limit");
	cr_expect_float_eq(force_top_speed(200, SPRING, 200.1, 400), 0, 0, "just above");
}

/* At the top speed the peak is the limit. */
Test(calc_force, there_and_back)
{
	for (double thrust = 0; thrust < 200; thrust += 40) {
		double v = force_top_speed(350, SPRING, thrust, 400);
		cr_expect_float_eq(force_peak(350, v, SPRING, thrust), 400, 1e-9);
	}
}
