/* Distances against published examples and hand arithmetic. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/distance.h"

TestSuite(calc_distance);

/* Uniform deceleration (text-book): 0.2 m/s, 0.1 s, 1 m/s²: 0.1 + 0.2 s; 20 mm + 20 mm. */
Test(calc_distance, stopping)
{
	cr_expect_float_eq(distance_stopping_time(0.2, 0.1, 1), 0.3, 1e-12);
	cr_expect_float_eq(distance_stopping(0.2, 0.1, 1), 0.04, 1e-12);
	cr_expect_float_eq(distance_stopping(0.3, 0, 0.5), 0.09, 1e-12);
	cr_expect_float_eq(distance_stopping(0, 0.1, 1), 0, 1e-12);
	cr_expect_float_eq(distance_time_of(0.04, 0.2, 0.1), 0.3, 1e-12);
	cr_expect_float_eq(distance_time_of(0.04, 0.2, 0), 0.4, 1e-12);
	cr_expect_float_eq(distance_time_of(0.02, 0.2, 0.1), 0.1, 1e-12);
}

/* EN ISO 13855:2010: C = 8 (d - 14): 14 gives 0, 20 gives 48, 30 gives 128, 40 gives 208 mm (by hand). */
Test(calc_distance, reach_through_a_field)
{
	cr_expect_float_eq(distance_field_reach(0.010, 0.014, 8), 0, 1e-12);
	cr_expect_float_eq(distance_field_reach(0.014, 0.014, 8), 0, 1e-12);
	cr_expect_float_eq(distance_field_reach(0.020, 0.014, 8), 0.048, 1e-12);
	cr_expect_float_eq(distance_field_reach(0.030, 0.014, 8), 0.128, 1e-12);
	cr_expect_float_eq(distance_field_reach(0.040, 0.014, 8), 0.208, 1e-12);
}

/* The first two are published examples (290 ms + 30 ms, d 14: 640 is over 500, so 512 mm; 25.7 ms, d 30: 179.4 mm);
 * the others are the formula of EN ISO 13855:2010 by hand. */
Test(calc_distance, field)
{
	static const struct {
		double time, reach, distance, speed;
	} ROWS[] = {
		{0.32, 0, 0.512, 1.6}, {0.0257, 0.128, 0.1794, 2}, {0.25, 0, 0.5, 2}, {0.2500001, 0, 0.5, 1.6},
		{0.30, 0, 0.5, 1.6}, {0.02, 0, 0.1, 2}, {0.05, 0, 0.1, 2}, {0.051, 0, 0.102, 2}, {0.2, 0.128, 0.5, 1.6},
		{0.5, 0.128, 0.928, 1.6}, {0.146, 0.208, 0.5, 2}, {0.313, 0, 0.5008, 1.6},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		double speed;
		cr_expect_float_eq(distance_of_field(ROWS[i].time, ROWS[i].reach, 2, 1.6, 0.1, 0.5, &speed),
			ROWS[i].distance, 1e-9, "row %zu", i);
		cr_expect_float_eq(speed, ROWS[i].speed, 1e-12, "row %zu", i);
	}
}

/* EN ISO 13855:2010, parallel approach: 1200 - 0.4 H, at least 850; T 0.4 s, H 300: 640 + 1080 = 1720 mm;
 * H 1000: 640 + 850 = 1490 mm (by hand). H >= 15 (d - 50): d 70 needs 300 mm. */
Test(calc_distance, parallel)
{
	cr_expect_float_eq(distance_of_approach(0.4, 1.6, distance_low_reach(0.3, 1.2, 0.4, 0.85)), 1.72, 1e-12);
	cr_expect_float_eq(distance_of_approach(0.4, 1.6, distance_low_reach(1, 1.2, 0.4, 0.85)), 1.49, 1e-12);
	cr_expect_float_eq(distance_low_reach(0.875, 1.2, 0.4, 0.85), 0.85, 1e-12);
	cr_expect_float_eq(distance_low_reach(0.87, 1.2, 0.4, 0.85), 0.852, 1e-12);
	cr_expect_float_eq(distance_least_height(0.07, 15, 0.05), 0.3, 1e-12);
	cr_expect_float_eq(distance_least_height(0.05, 15, 0.05), 0, 1e-12);
	cr_expect_float_eq(distance_least_height(0.03, 15, 0.05), 0, 1e-12);
	cr_expect_float_eq(distance_coarsest(0.3, 15, 0.05), 0.07, 1e-12);
}

/* Equal is within, to one part in 10^9. 30 mm is 20 % more than 25 mm. */
Test(calc_distance, equality)
{
	cr_expect(distance_within(0.1 + 0.2, 0.3));
	cr_expect(distance_within(0.299, 0.3));
	cr_expect_not(distance_within(0.3001, 0.3));
	cr_expect(distance_within(0, 0));
	cr_expect_not(distance_within(1e-6, 0));
	cr_expect(distance_steady(0.025, 0.030, 0.2));
	cr_expect(distance_steady(0.025, 0.029, 0.2));
	cr_expect_not(distance_steady(0.025, 0.0301, 0.2));
	cr_expect(distance_steady(0, 0, 0.2));
	cr_expect_not(distance_steady(0, 0.001, 0.2));
}
