#include "base/quantity.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

const struct dimension DIM_NUMBER = {0};
const struct dimension DIM_LENGTH = {.m = 1};
const struct dimension DIM_AREA = {.m = 2};
const struct dimension DIM_MASS = {.kg = 1};
const struct dimension DIM_FORCE = {.m = 1, .kg = 1, .s = -2};
const struct dimension DIM_STIFFNESS = {.kg = 1, .s = -2};
const struct dimension DIM_SPEED = {.m = 1, .s = -1};
const struct dimension DIM_ACCELERATION = {.m = 1, .s = -2};
const struct dimension DIM_ANGLE = {.deg = 1};
const struct dimension DIM_ANGULAR_RATE = {.s = -1, .deg = 1};
const struct dimension DIM_TIME = {.s = 1};
const struct dimension DIM_ENERGY = {.m = 2, .kg = 1, .s = -2};
const struct dimension DIM_POWER = {.m = 2, .kg = 1, .s = -3};
const struct dimension DIM_VOLTAGE = {.m = 2, .kg = 1, .s = -3, .a = -1};
const struct dimension DIM_CURRENT = {.a = 1};
const struct dimension DIM_RESISTANCE = {.m = 2, .kg = 1, .s = -3, .a = -2};
const struct dimension DIM_PRESSURE = {.m = -1, .kg = 1, .s = -2};
const struct dimension DIM_DENSITY = {.m = -3, .kg = 1};
const struct dimension DIM_RATE = {.s = -1};
const struct dimension DIM_DAYS = {.day = 1};
const struct dimension DIM_MONTHS = {.month = 1};
const struct dimension DIM_TEMPERATURE = {.celsius = 1};

#define POUND 0.45359237
#define GRAVITY 9.80665
#define HOUR 3600.0
#define YEAR (8760.0 * HOUR) /* the year of reliability figures: 365 days */

/* Factors: SI brochure and the 1959 yard-pound agreement; gravity is the standard value. The first
 * unit of a dimension is the one that messages suggest first. */
static const struct unit UNITS[] = {
	{"", {0}, 1},
	{"%", {0}, 0.01},
	{"mm", {.m = 1}, 1e-3},
	{"cm", {.m = 1}, 1e-2},
	{"m", {.m = 1}, 1},
	{"in", {.m = 1}, 0.0254},
	{"mm²", {.m = 2}, 1e-6},
	{"mm2", {.m = 2}, 1e-6},
	{"m²", {.m = 2}, 1},
	{"m2", {.m = 2}, 1},
	{"kg", {.kg = 1}, 1},
	{"lb", {.kg = 1}, POUND},
	{"N", {.m = 1, .kg = 1, .s = -2}, 1},
	{"kN", {.m = 1, .kg = 1, .s = -2}, 1000},
	{"daN", {.m = 1, .kg = 1, .s = -2}, 10},
	{"kgf", {.m = 1, .kg = 1, .s = -2}, GRAVITY},
	{"lbf", {.m = 1, .kg = 1, .s = -2}, POUND * GRAVITY},
	{"N/mm", {.kg = 1, .s = -2}, 1000},
	{"m/s", {.m = 1, .s = -1}, 1},
	{"mm/s", {.m = 1, .s = -1}, 1e-3},
	{"m/min", {.m = 1, .s = -1}, 1.0 / 60},
	{"km/h", {.m = 1, .s = -1}, 1000 / HOUR},
	{"m/s²", {.m = 1, .s = -2}, 1},
	{"m/s2", {.m = 1, .s = -2}, 1},
	{"deg", {.deg = 1}, 1},
	{"°", {.deg = 1}, 1},
	{"deg/s", {.s = -1, .deg = 1}, 1},
	{"°/s", {.s = -1, .deg = 1}, 1},
	{"rad/s", {.s = -1, .deg = 1}, 180 / M_PI},
	{"s", {.s = 1}, 1},
	{"ms", {.s = 1}, 1e-3},
	{"min", {.s = 1}, 60},
	{"h", {.s = 1}, HOUR},
	{"J", {.m = 2, .kg = 1, .s = -2}, 1},
	{"W", {.m = 2, .kg = 1, .s = -3}, 1},
	{"V", {.m = 2, .kg = 1, .s = -3, .a = -1}, 1},
	{"mV", {.m = 2, .kg = 1, .s = -3, .a = -1}, 1e-3},
	{"A", {.a = 1}, 1},
	{"mA", {.a = 1}, 1e-3},
	{"kohm", {.m = 2, .kg = 1, .s = -3, .a = -2}, 1000},
	{"ohm", {.m = 2, .kg = 1, .s = -3, .a = -2}, 1},
	{"Pa", {.m = -1, .kg = 1, .s = -2}, 1},
	{"kPa", {.m = -1, .kg = 1, .s = -2}, 1000},
	{"kg/m³", {.m = -3, .kg = 1}, 1},
	{"kg/m3", {.m = -3, .kg = 1}, 1},
	{"1/h", {.s = -1}, 1 / HOUR},
	{"1/year", {.s = -1}, 1 / YEAR},
	{"Hz", {.s = -1}, 1},
	{"days", {.day = 1}, 1},
	{"day", {.day = 1}, 1},
	{"months", {.month = 1}, 1},
	{"month", {.month = 1}, 1},
	{"years", {.month = 1}, 12},
	{"year", {.month = 1}, 12},
	{"°C", {.celsius = 1}, 1},
};

enum { UNIT_COUNT = sizeof UNITS / sizeof *UNITS };

/* How a quantity is shown: the unit by size of the value, and the decimals kept at most. */
static const struct shown {
	struct dimension dim;
	double from; /* from this magnitude on */
	const char *unit;
	int decimals;
	const char *name;
} SHOWN[] = {
	{{.m = 1}, 1, "m", 3, "a length"},
	{{.m = 1}, 0, "mm", 1, "a length"},
	{{.m = 2}, 0.01, "m²", 3, "an area"},
	{{.m = 2}, 0, "mm²", 0, "an area"},
	{{.kg = 1}, 0, "kg", 1, "a mass"},
	{{.m = 1, .kg = 1, .s = -2}, 0, "N", 1, "a force"},
	{{.kg = 1, .s = -2}, 0, "N/mm", 1, "a stiffness"},
	{{.m = 1, .s = -1}, 0, "m/s", 3, "a speed"},
	{{.m = 1, .s = -2}, 0, "m/s²", 3, "an acceleration"},
	{{.deg = 1}, 0, "deg", 1, "an angle"},
	{{.s = -1, .deg = 1}, 0, "deg/s", 1, "an angular rate"},
	{{.s = 1}, 0, "s", 3, "a time"},
	{{.m = 2, .kg = 1, .s = -2}, 0, "J", 2, "an energy"},
	{{.m = 2, .kg = 1, .s = -3}, 0, "W", 1, "a power"},
	{{.m = 2, .kg = 1, .s = -3, .a = -1}, 0, "V", 2, "a voltage"},
	{{.a = 1}, 1, "A", 2, "a current"},
	{{.a = 1}, 0, "mA", 1, "a current"},
	{{.m = 2, .kg = 1, .s = -3, .a = -2}, 1000, "kohm", 3, "a resistance"},
	{{.m = 2, .kg = 1, .s = -3, .a = -2}, 0, "ohm", 1, "a resistance"},
	{{.m = -1, .kg = 1, .s = -2}, 0, "Pa", 1, "a pressure"},
	{{.m = -3, .kg = 1}, 0, "kg/m³", 3, "a density"},
	{{.s = -1}, 1, "Hz", 1, "a rate"},
	{{.s = -1}, 0, "1/h", 12, "a rate"},
	{{.day = 1}, 0, "days", 0, "a number of days"},
	{{.month = 1}, 24, "years", 1, "a period"},
	{{.month = 1}, 0, "months", 0, "a period"},
	{{.celsius = 1}, 0, "°C", 1, "a temperature"},
	{{0}, 0, "", 6, "a number"},
};

bool dimension_equal(struct dimension a, struct dimension b)
{
	return memcmp(&a, &b, sizeof a) == 0;
}

struct dimension dimension_product(struct dimension a, struct dimension b, int sign)
{
	signed char *to = (signed char *)&a;
	const signed char *from = (const signed char *)&b;
	for (size_t i = 0; i < sizeof a; i++)
		to[i] = (signed char)(to[i] + sign * from[i]);
	return a;
}

const char *dimension_name(struct dimension d)
{
	for (size_t i = 0; i < sizeof SHOWN / sizeof *SHOWN; i++)
		if (dimension_equal(SHOWN[i].dim, d))
			return SHOWN[i].name;
	return NULL;
}

const char *dimension_units(struct arena *a, struct dimension d)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < UNIT_COUNT; i++)
		if (dimension_equal(UNITS[i].dim, d) && *UNITS[i].name)
			buf_format(&b, "%s%s", b.length ? ", " : "", UNITS[i].name);
	return b.bytes;
}

const struct unit *unit_find(const char *name, size_t length)
{
	for (size_t i = 0; i < UNIT_COUNT; i++)
		if (strlen(UNITS[i].name) == length && memcmp(UNITS[i].name, name, length) == 0)
			return &UNITS[i];
	return NULL;
}

struct quantity quantity_of(double si, struct dimension d)
{
	return (struct quantity){.value = si, .low = si, .high = si, .dim = d};
}

static const char *skip_blanks(const char *p)
{
	while (*p == ' ' || *p == '\t')
		p++;
	return p;
}

/* Reads a number with its unit up to `end`; `*end` is then at the ± sign or at the end. */
static enum quantity_fault read_part(const char **end, double *si, const struct unit **unit)
{
	const char *p = skip_blanks(*end);
	double number;
	size_t n = text_scan(p, &number);
	if (n == 0) {
		p += *p == '-' || *p == '+';
		return *p >= '0' && *p <= '9' ? QUANTITY_TOO_LARGE : QUANTITY_NO_NUMBER;
	}
	p += n;
	if (*p == ',')
		return QUANTITY_COMMA;
	p = skip_blanks(p);
	const char *stop = p;
	while (*stop && *stop != ' ' && *stop != '\t' && !text_begins(stop, "±") &&
		!text_begins(stop, "+/-"))
		stop++;
	const struct unit *u = unit_find(p, (size_t)(stop - p));
	if (!u)
		return QUANTITY_BAD_UNIT;
	if (!isfinite(number * u->factor) || fabs(number * u->factor) > 1e15)
		return QUANTITY_TOO_LARGE;
	*si = number * u->factor;
	*unit = u;
	*end = skip_blanks(stop);
	return QUANTITY_FINE;
}

enum quantity_fault quantity_read(const char *text, struct quantity *out)
{
	const struct unit *unit, *doubt_unit;
	double value, doubt = 0;
	enum quantity_fault fault = read_part(&text, &value, &unit);
	if (fault != QUANTITY_FINE)
		return fault;
	size_t sign = text_begins(text, "±") ? strlen("±") : text_begins(text, "+/-") ? 3 : 0;
	if (sign) {
		text += sign;
		if (read_part(&text, &doubt, &doubt_unit) != QUANTITY_FINE || doubt < 0)
			return QUANTITY_BAD_DOUBT;
		if (!dimension_equal(unit->dim, doubt_unit->dim))
			return QUANTITY_BAD_DOUBT;
	}
	if (*text)
		return sign ? QUANTITY_BAD_DOUBT : QUANTITY_BAD_UNIT;
	*out = (struct quantity){value, value - doubt, value + doubt, unit->dim};
	return QUANTITY_FINE;
}

static const struct shown *shown_for(struct quantity q)
{
	for (size_t i = 0; i < sizeof SHOWN / sizeof *SHOWN; i++)
		if (dimension_equal(SHOWN[i].dim, q.dim) && fabs(q.value) >= SHOWN[i].from)
			return &SHOWN[i];
	return NULL;
}

static const char *number_in(struct arena *a, double si, const char *unit, int decimals, bool fixed)
{
	double n = si / unit_find(unit, strlen(unit))->factor;
	const char *text = fixed ? text_fixed(a, n, decimals) : text_number(a, n, decimals);
	return *unit ? arena_format(a, "%s %s", text, unit) : text;
}

/* As many decimals as `usual`, or as leave a digit of a number that would be shown as 0. */
static int decimals_for(double n, int usual)
{
	double half = 0.5;
	for (int i = 0; i < usual; i++)
		half /= 10;
	for (; n > 0 && n < half && usual < 12; half /= 10)
		usual++;
	return usual;
}

const char *quantity_text(struct arena *a, struct quantity q)
{
	const struct shown *s = shown_for(q);
	if (!s)
		return text_number(a, q.value, 6);
	double factor = unit_find(s->unit, strlen(s->unit))->factor;
	double n = fabs(q.value) / factor, doubt = (q.high - q.low) / 2 / factor;
	const char *blank = *s->unit ? " " : "";
	/* Very small numbers (failure rates) would vanish: show them with an exponent. */
	if (n > 0 && n < 1e-4 && !(doubt > 0))
		return arena_format(a, "%.2e%s%s", q.value / factor, blank, s->unit);
	int decimals = decimals_for(n, s->decimals);
	const char *text = number_in(a, q.value, s->unit, decimals, false);
	if (!(doubt > 0))
		return text;
	decimals = decimals_for(doubt, s->decimals);
	return arena_format(a, "%s ± %s%s%s", text, text_number(a, doubt, decimals), blank, s->unit);
}

const char *quantity_in(struct arena *a, struct quantity q, const char *unit, int decimals)
{
	return number_in(a, q.value, unit, decimals, true);
}
