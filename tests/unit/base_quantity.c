#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "base/quantity.h"

static jmp_buf escape;
static struct arena a;

static void setup(void)
{
	arena_init(&a, &escape);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(base_quantity, .init = setup, .fini = teardown);

/* Factors (memory for the places): BIPM, The International System of Units (SI brochure), 9th
 * edition 2019, table 7 (prefixes), table 8 (min, h), 2.3.4 (derived units); inch and pound: the
 * agreement of 1 July 1959 (24 FR 5348), 1 yd = 0.9144 m, 1 lb = 0.45359237 kg; gravity 9.80665 m/s²:
 * 3rd CGPM, 1901. The year of failure rates, 8760 h: practice. */
Test(base_quantity, units)
{
	static const struct {
		const char *text;
		double si;
		struct dimension dim;
	} ROWS[] = {
		{"1 mm", 0.001, {.m = 1}},
		{"1 cm", 0.01, {.m = 1}},
		{"1 m", 1, {.m = 1}},
		{"36 in", 0.9144, {.m = 1}},
		{"1 mm²", 1e-6, {.m = 2}},
		{"1 mm2", 1e-6, {.m = 2}},
		{"1 m²", 1, {.m = 2}},
		{"1 kg", 1, {.kg = 1}},
		{"1 lb", 0.45359237, {.kg = 1}},
		{"1 N", 1, {.m = 1, .kg = 1, .s = -2}},
		{"1 kN", 1000, {.m = 1, .kg = 1, .s = -2}},
		{"1 daN", 10, {.m = 1, .kg = 1, .s = -2}},
		{"1 kgf", 9.80665, {.m = 1, .kg = 1, .s = -2}},
		{"1 lbf", 4.4482216152605, {.m = 1, .kg = 1, .s = -2}},
		{"500 N/mm", 500000, {.kg = 1, .s = -2}},
		{"1 m/s", 1, {.m = 1, .s = -1}},
		{"180 mm/s", 0.18, {.m = 1, .s = -1}},
		{"12 m/min", 0.2, {.m = 1, .s = -1}},
		{"36 km/h", 10, {.m = 1, .s = -1}},
		{"1 m/s²", 1, {.m = 1, .s = -2}},
		{"90 deg", 90, {.deg = 1}},
		{"90°", 90, {.deg = 1}},
		{"6 deg/s", 6, {.deg = 1, .s = -1}},
		{"6 °/s", 6, {.deg = 1, .s = -1}},
		{"1 rad/s", 57.295779513082321, {.deg = 1, .s = -1}},
		{"1 s", 1, {.s = 1}},
		{"750 ms", 0.75, {.s = 1}},
		{"1 min", 60, {.s = 1}},
		{"1 h", 3600, {.s = 1}},
		{"1 J", 1, {.m = 2, .kg = 1, .s = -2}},
		{"1 W", 1, {.m = 2, .kg = 1, .s = -3}},
		{"1 V", 1, {.m = 2, .kg = 1, .s = -3, .a = -1}},
		{"1 mV", 0.001, {.m = 2, .kg = 1, .s = -3, .a = -1}},
		{"1 A", 1, {.a = 1}},
		{"1 mA", 0.001, {.a = 1}},
		{"1 ohm", 1, {.m = 2, .kg = 1, .s = -3, .a = -2}},
		{"8.2 kohm", 8200, {.m = 2, .kg = 1, .s = -3, .a = -2}},
		{"1 Pa", 1, {.m = -1, .kg = 1, .s = -2}},
		{"1 kPa", 1000, {.m = -1, .kg = 1, .s = -2}},
		{"1.25 kg/m³", 1.25, {.m = -3, .kg = 1}},
		{"1.25kg/m3", 1.25, {.m = -3, .kg = 1}},
		{"85 %", 0.85, {0}},
		{"12", 12, {0}},
		{"3600 1/h", 1, {.s = -1}},
		{"8760 1/year", 1.0 / 3600, {.s = -1}},
		{"30 days", 30, {.day = 1}},
		{"1 day", 1, {.day = 1}},
		{"6 months", 6, {.month = 1}},
		{"2 years", 24, {.month = 1}},
		{"-20 °C", -20, {.celsius = 1}},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct quantity q;
		cr_assert_eq(quantity_read(ROWS[i].text, &q), QUANTITY_FINE, "%s", ROWS[i].text);
		cr_expect(fabs(q.value - ROWS[i].si) <= fabs(ROWS[i].si) * 4e-16, "%s: %.17g",
			ROWS[i].text, q.value);
		cr_expect(dimension_equal(q.dim, ROWS[i].dim), "%s", ROWS[i].text);
		cr_expect(q.low >= q.value && q.high <= q.value, "%s: no doubt", ROWS[i].text);
	}
}

/* Derived dimensions hang together: N = kg m/s², J = N m, W = J/s, V = W/A, ohm = V/A, Pa = N/m²
 * (SI brochure, table 4). */
Test(base_quantity, dimensions)
{
	struct dimension d = dimension_product(DIM_MASS, DIM_ACCELERATION, 1);
	cr_expect(dimension_equal(d, DIM_FORCE));
	cr_expect(dimension_equal(dimension_product(DIM_FORCE, DIM_LENGTH, 1), DIM_ENERGY));
	cr_expect(dimension_equal(dimension_product(DIM_ENERGY, DIM_TIME, -1), DIM_POWER));
	cr_expect(dimension_equal(dimension_product(DIM_POWER, DIM_CURRENT, -1), DIM_VOLTAGE));
	cr_expect(dimension_equal(dimension_product(DIM_VOLTAGE, DIM_CURRENT, -1), DIM_RESISTANCE));
	cr_expect(dimension_equal(dimension_product(DIM_FORCE, DIM_AREA, -1), DIM_PRESSURE));
	cr_expect(dimension_equal(dimension_product(DIM_FORCE, DIM_LENGTH, -1), DIM_STIFFNESS));
	cr_expect(dimension_equal(dimension_product(dimension_product(DIM_DENSITY, DIM_SPEED, 1), DIM_SPEED, 1),
		DIM_PRESSURE));
	cr_expect_str_eq(dimension_name(DIM_DENSITY), "a density");
	cr_expect_str_eq(dimension_units(&a, DIM_DENSITY), "kg/m³, kg/m3");
	cr_expect(dimension_equal(dimension_product(DIM_LENGTH, DIM_TIME, -1), DIM_SPEED));
	cr_expect(dimension_equal(dimension_product(DIM_SPEED, DIM_TIME, -1), DIM_ACCELERATION));
	cr_expect(dimension_equal(dimension_product(DIM_NUMBER, DIM_TIME, -1), DIM_RATE));
	cr_expect(dimension_equal(dimension_product(DIM_ANGLE, DIM_TIME, -1), DIM_ANGULAR_RATE));
	cr_expect_not(dimension_equal(DIM_DAYS, DIM_TIME));
	cr_expect_not(dimension_equal(DIM_DAYS, DIM_MONTHS));
	cr_expect_not(dimension_equal(DIM_ANGLE, DIM_NUMBER));
	cr_expect_str_eq(dimension_name(DIM_FORCE), "a force");
	cr_expect_null(dimension_name(dimension_product(DIM_FORCE, DIM_FORCE, 1)));
	cr_expect_str_eq(dimension_units(&a, DIM_LENGTH), "mm, cm, m, in");
	cr_expect_str_eq(dimension_units(&a, dimension_product(DIM_FORCE, DIM_FORCE, 1)), "");
	cr_expect_null(unit_find("MM", 2), "upper and lower case differ");
	cr_expect_null(unit_find("mmm", 3));
}

Test(base_quantity, doubt)
{
	static const struct {
		const char *text;
		double value, low, high;
	} ROWS[] = {
		{"62 mm ± 3 mm", 0.062, 0.059, 0.065},
		{"62 mm +/- 3 mm", 0.062, 0.059, 0.065},
		{"62mm±3mm", 0.062, 0.059, 0.065},
		{" 6.2 cm ± 3 mm ", 0.062, 0.059, 0.065},
		{"62 mm ± 0 mm", 0.062, 0.062, 0.062},
		{"0 mm ± 1 mm", 0, -0.001, 0.001},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct quantity q;
		cr_assert_eq(quantity_read(ROWS[i].text, &q), QUANTITY_FINE, "%s", ROWS[i].text);
		cr_expect_float_eq(q.value, ROWS[i].value, 1e-15);
		cr_expect_float_eq(q.low, ROWS[i].low, 1e-15);
		cr_expect_float_eq(q.high, ROWS[i].high, 1e-15);
	}
}

Test(base_quantity, refused)
{
	static const struct {
		const char *text;
		enum quantity_fault fault;
	} ROWS[] = {
		{"", QUANTITY_NO_NUMBER},
		{"mm", QUANTITY_NO_NUMBER},
		{"?", QUANTITY_NO_NUMBER},
		{"unknown", QUANTITY_NO_NUMBER},
		{"-", QUANTITY_NO_NUMBER},
		{"nan mm", QUANTITY_NO_NUMBER},
		{"± 3 mm", QUANTITY_NO_NUMBER},
		{"about 3 mm", QUANTITY_NO_NUMBER},
		{"0,5 m", QUANTITY_COMMA},
		{"1,000 mm", QUANTITY_COMMA},
		{"5 MM", QUANTITY_BAD_UNIT},
		{"5 mm mm", QUANTITY_BAD_UNIT},
		{"5 m / s", QUANTITY_BAD_UNIT},
		{"5 mm - 3 mm", QUANTITY_BAD_UNIT},
		{"5 ft", QUANTITY_BAD_UNIT},
		{"5 - 3", QUANTITY_BAD_UNIT},
		{"5 mm\n", QUANTITY_BAD_UNIT},
		{"62 mm ±", QUANTITY_BAD_DOUBT},
		{"62 mm ± 3", QUANTITY_BAD_DOUBT},
		{"62 mm ± 3 kg", QUANTITY_BAD_DOUBT},
		{"62 mm ± -3 mm", QUANTITY_BAD_DOUBT},
		{"62 mm ± 0,5 mm", QUANTITY_BAD_DOUBT},
		{"62 mm ± 3 mm ± 3 mm", QUANTITY_BAD_DOUBT},
		{"62 ± 3 mm", QUANTITY_BAD_DOUBT},
		{"1e400 mm", QUANTITY_TOO_LARGE},
		{"-1e400 mm", QUANTITY_TOO_LARGE},
		{"1e16 m", QUANTITY_TOO_LARGE},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct quantity q = {.value = 42};
		enum quantity_fault fault = quantity_read(ROWS[i].text, &q);
		cr_expect_eq(fault, ROWS[i].fault, "%s: %d", ROWS[i].text, (int)fault);
		cr_expect(q.value >= 42 && q.value <= 42, "%s: untouched", ROWS[i].text);
	}
}

Test(base_quantity, text)
{
	static const char *const ROWS[][2] = {
		{"62 mm", "62 mm"},
		{"4.2 m", "4.2 m"},
		{"4200 mm", "4.2 m"},
		{"999.9 mm", "999.9 mm"},
		{"62 mm ± 3 mm", "62 mm ± 3 mm"},
		{"62 mm ± 0.02 mm", "62 mm ± 0.02 mm"},
		{"1.2 m ± 3 mm", "1.2 m ± 0.003 m"},
		{"-5 mm", "-5 mm"},
		{"0 mm", "0 mm"},
		{"350 kg", "350 kg"},
		{"0.18 m/s", "0.18 m/s"},
		{"500 N/mm", "500 N/mm"},
		{"150 N", "150 N"},
		{"750 ms", "0.75 s"},
		{"8.2 kohm", "8.2 kohm"},
		{"82 ohm", "82 ohm"},
		{"20 mA", "20 mA"},
		{"85 %", "0.85"},
		{"18 months", "18 months"},
		{"30 months", "2.5 years"},
		{"30 days", "30 days"},
		{"-20 °C", "-20 °C"},
		{"90 deg", "90 deg"},
		{"1e-7 1/h", "1.00e-07 1/h"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		struct quantity q;
		cr_assert_eq(quantity_read(ROWS[i][0], &q), QUANTITY_FINE, "%s", ROWS[i][0]);
		cr_expect_str_eq(quantity_text(&a, q), ROWS[i][1], "%s: %s", ROWS[i][0],
			quantity_text(&a, q));
	}
	struct quantity q = quantity_of(4.4482216152605, DIM_FORCE);
	cr_expect_str_eq(quantity_in(&a, q, "N", 2), "4.45 N");
	cr_expect_str_eq(quantity_in(&a, q, "lbf", 3), "1.000 lbf");
	cr_expect_str_eq(quantity_in(&a, quantity_of(0.5, DIM_NUMBER), "%", 0), "50 %");
	cr_expect_str_eq(quantity_in(&a, quantity_of(0.5, DIM_NUMBER), "", 1), "0.5");
}

/* What is shown is read back as the same quantity but for the decimals that are not shown. */
Test(base_quantity, round_trip)
{
	static const struct {
		struct dimension dim;
		double hidden;
	} ROWS[] = {
		{{.m = 1}, 0.001},
		{{.m = 2}, 0.001},
		{{.kg = 1}, 0.05},
		{{.m = 1, .kg = 1, .s = -2}, 0.05},
		{{.kg = 1, .s = -2}, 50},
		{{.m = 1, .s = -1}, 0.001},
		{{.m = 1, .s = -2}, 0.001},
		{{.deg = 1}, 0.05},
		{{.s = 1}, 0.001},
		{{.m = 2, .kg = 1, .s = -2}, 0.005},
		{{.m = 2, .kg = 1, .s = -3}, 0.05},
		{{.m = 2, .kg = 1, .s = -3, .a = -1}, 0.005},
		{{.a = 1}, 0.005},
		{{.m = 2, .kg = 1, .s = -3, .a = -2}, 1},
		{{.m = -1, .kg = 1, .s = -2}, 0.05},
		{{.s = -1}, 0.05},
		{{.day = 1}, 0.5},
		{{.month = 1}, 0.6},
		{{.celsius = 1}, 0.05},
		{{0}, 1e-6},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		for (double v = 0.012; v < 1e6; v *= 1.7) {
			double near = ROWS[i].hidden + v * 1e-9;
			struct quantity back, q = {v, v - v / 8, v + v / 8, ROWS[i].dim};
			const char *text = quantity_text(&a, q);
			cr_assert_eq(quantity_read(text, &back), QUANTITY_FINE, "%s", text);
			cr_expect(dimension_equal(back.dim, q.dim), "%s", text);
			cr_expect_gt(back.value, 0, "%s for %g", text, v);
			cr_expect_gt(back.high, back.value, "%s for %g", text, v);
			cr_expect_float_eq(back.value, v, near, "%s for %g", text, v);
			cr_expect_float_eq(back.high, q.high, 2 * near, "%s for %g", text, v);
		}
}
