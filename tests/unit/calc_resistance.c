/* Small circuits against print and closed forms. Resistors: E24 of IEC 60063:2015 has 8.2, ±5 %. */
#include <criterion/criterion.h>
#include <math.h>

#include "calc/resistance.h"

TestSuite(calc_resistance);

static const double EQUAL[] = {8200, 8200, 8200, 8200, 8200, 8200, 8200, 8200, 8200, 8200, 8200};

/* Printed: 105 ∥ 105 = 52.5, 105 ∥ 95 = 49.875 ohm. By hand: 8200 ∥ 1000 = 8200/9.2. */
Test(calc_resistance, parallel)
{
	cr_expect_float_eq(resistance_parallel((double[]){105, 105}, 2), 52.5, 1e-12);
	cr_expect_float_eq(resistance_parallel((double[]){105, 95}, 2), 49.875, 1e-12);
	cr_expect_float_eq(resistance_parallel((double[]){8200, 1000}, 2), 8200 / 9.2, 1e-9);
	cr_expect_float_eq(resistance_parallel((double[]){8200}, 1), 8200, 1e-9);
}

/* By hand: 8200 ohm ±5 % is 7790 … 8610; two 4100 (3895 … 4305), three 2733.33, four 2050. */
Test(calc_resistance, loop)
{
	static const struct {
		double tolerance, cable;
		size_t edges;
		double rest, low, high;
	} ROWS[] = {
		{0.05, 0, 1, 8200, 7790, 8610}, {0.01, 0, 1, 8200, 8118, 8282}, {0.05, 0, 2, 4100, 3895, 4305},
		{0.01, 0, 2, 4100, 4059, 4141}, {0, 0, 3, 8200.0 / 3, 8200.0 / 3, 8200.0 / 3},
		{0, 0, 4, 2050, 2050, 2050}, {0.05, 100, 1, 8300, 7890, 8710},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct resistance_band b =
			resistance_loop(EQUAL, ROWS[i].edges, ROWS[i].tolerance, ROWS[i].cable);
		cr_expect_float_eq(b.rest, ROWS[i].rest, 1e-9);
		cr_expect_float_eq(b.low, ROWS[i].low, 1e-9);
		cr_expect_float_eq(b.high, ROWS[i].high, 1e-9);
	}
}

/* Equal parts, one lost: apart while (n - 1)(1 + t) < n (1 - t), so t < 1 / (2n - 1): at 5 % up to 10 edges; at 20 %
 * two, three touch. */
Test(calc_resistance, apart)
{
	static const struct {
		double tolerance;
		size_t edges;
		bool apart;
	} ROWS[] = {
		{0.05, 2, true}, {0.05, 10, true}, {0.05, 11, false}, {0.2, 2, true}, {0.2, 3, false},
		{0.199, 3, true}, {0.2, 4, false},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct resistance_band all = resistance_loop(EQUAL, ROWS[i].edges, ROWS[i].tolerance, 0);
		struct resistance_band lost = resistance_loop(EQUAL, ROWS[i].edges - 1, ROWS[i].tolerance, 0);
		cr_expect_eq(resistance_apart(&lost, &all), ROWS[i].apart, "%zu", ROWS[i].edges);
		cr_expect_eq(resistance_apart(&all, &lost), ROWS[i].apart, "%zu", ROWS[i].edges);
	}
}

/* By hand: 50 m of 0.5 mm² at 0.018 ohm mm²/m, 1 A there and back: 2 · 0.018 · 50 / 0.5 = 3.6 V. */
Test(calc_resistance, drop)
{
	cr_expect_float_eq(resistance_drop(50, 0.5, 1, 0.018), 3.6, 1e-12);
	cr_expect_float_eq(resistance_drop(50, 1.5, 0.5, 0.018), 0.6, 1e-12);
	cr_expect_float_eq(resistance_drop(0, 1, 1, 0.018), 0, 0);
}

Test(calc_resistance, load)
{
	cr_expect_float_eq(resistance_sum((double[]){0.1, 0.2, 0.2}, 3), 0.5, 1e-12);
	cr_expect_float_eq(resistance_sum(NULL, 0), 0, 0);
	cr_expect_float_eq(resistance_margin(0.5, 0.1 + 0.2 + 0.2), 0, 0);
	cr_expect_float_eq(resistance_margin(0.3, 0.1 + 0.2), 0, 0);
	cr_expect_float_eq(resistance_margin(0.5, 0.2), 0.3, 1e-12);
	cr_expect_float_eq(resistance_margin(0.5, 0.501), -0.001, 1e-12);
}
