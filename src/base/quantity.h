/* Quantities: a number with a physical dimension, held in SI, with the doubt it was measured with. */
#ifndef BASE_QUANTITY_H
#define BASE_QUANTITY_H

#include <stdbool.h>

#include "base/arena.h"

/* Exponents of the base dimensions. Time periods in days and above are their own dimension (`day`),
 * since a month has no fixed length in seconds; so are temperatures on a scale. */
struct dimension {
	signed char m, kg, s, a, celsius, deg, day, month;
};

extern const struct dimension DIM_NUMBER, DIM_LENGTH, DIM_AREA, DIM_MASS, DIM_FORCE, DIM_STIFFNESS,
	DIM_SPEED, DIM_ACCELERATION, DIM_ANGLE, DIM_ANGULAR_RATE, DIM_TIME, DIM_ENERGY, DIM_POWER, DIM_VOLTAGE,
	DIM_CURRENT, DIM_RESISTANCE, DIM_PRESSURE, DIM_DENSITY, DIM_RATE, DIM_DAYS, DIM_MONTHS,
	DIM_TEMPERATURE;

struct quantity {
	double value;        /* SI (m kg s A), degrees for angles and degrees Celsius, days, months */
	double low, high;    /* value - doubt, value + doubt; equal to value without doubt */
	struct dimension dim;
};

struct unit {
	const char *name;    /* as written after the number; "" for a bare number */
	struct dimension dim;
	double factor;       /* SI = number * factor */
};

bool dimension_equal(struct dimension a, struct dimension b);
struct dimension dimension_product(struct dimension a, struct dimension b, int sign);

/* "a length", "a force"…, or NULL for a dimension that has no name here. */
const char *dimension_name(struct dimension d);

/* The units accepted for `d`, as "mm, cm, m, in"; "" when there is none. */
const char *dimension_units(struct arena *a, struct dimension d);

/* The unit called `name`, or NULL. The pointer is to a constant table. */
const struct unit *unit_find(const char *name, size_t length);

struct quantity quantity_of(double si, struct dimension d);

enum quantity_fault {
	QUANTITY_FINE,
	QUANTITY_NO_NUMBER, /* does not begin with a decimal number */
	QUANTITY_COMMA,     /* a decimal comma */
	QUANTITY_NO_UNIT,   /* a bare number (never a fault of quantity_read itself) */
	QUANTITY_BAD_UNIT,  /* the unit is not known */
	QUANTITY_BAD_DOUBT, /* what follows ± is no number with a unit of the same dimension, or < 0 */
	QUANTITY_TOO_LARGE,
};

/* Reads "62 mm", "62mm", "62 mm ± 3 mm", "62 mm +/- 3 mm", "85 %", "12". Blanks around are allowed.
 * A bare number is read with DIM_NUMBER. `*out` is untouched unless QUANTITY_FINE is returned. */
enum quantity_fault quantity_read(const char *text, struct quantity *out);

/* As people write it: lengths in mm below 1 m… see the table in quantity.c; with its doubt where there
 * is one: "62 mm ± 3 mm". `decimals` < 0 chooses by unit. */
const char *quantity_text(struct arena *a, struct quantity q);

/* In the unit called `unit` (must be of q's dimension) with `decimals` decimals, without doubt. */
const char *quantity_in(struct arena *a, struct quantity q, const char *unit, int decimals);

#endif
