#include "calc/wind.h"

#include <math.h>

double wind_pressure(double speed, double density)
{
	return density * speed * speed / 2;
}

double wind_speed(double pressure, double density)
{
	return sqrt(2 * pressure / density);
}

struct wind_profile wind_over(double base, double height, const struct wind_terrain *terrain, double second_m,
	double density)
{
	struct wind_profile p = {.height_m = fmax(height, terrain->least_m)};
	double rise = log(p.height_m / terrain->length_m);
	p.base_pa = wind_pressure(base, density);
	p.terrain_factor = 0.19 * pow(terrain->length_m / second_m, 0.07);
	p.roughness_factor = p.terrain_factor * rise;
	p.mean_m_s = p.roughness_factor * base;
	p.turbulence = 1 / rise;
	p.peak_pa = (1 + 7 * p.turbulence) * wind_pressure(p.mean_m_s, density);
	return p;
}

/* Decimal fractions are not exact in binary. */
static double slack(double x)
{
	return 1e-9 * x;
}

size_t wind_class_reached(const double *references, size_t count, double pressure)
{
	size_t n = 0;
	while (n < count && references[n] <= pressure + slack(pressure))
		n++;
	return n;
}

size_t wind_class_needed(const double *references, size_t count, double pressure)
{
	size_t n = 0;
	if (pressure <= 0)
		return 0;
	while (n + 1 < count && references[n] < pressure - slack(pressure))
		n++;
	return n + 1;
}

double wind_between(const double *at, const double *values, size_t count, double x)
{
	if (x <= at[0])
		return values[0];
	for (size_t i = 1; i < count; i++)
		if (x <= at[i])
			return values[i - 1] + (values[i] - values[i - 1]) * (x - at[i - 1]) / (at[i] - at[i - 1]);
	return values[count - 1];
}

double wind_force(double pressure, double coefficient, double area, double solidity)
{
	return pressure * coefficient * solidity * area;
}

double wind_moment(double force, double width)
{
	return force * width / 2;
}

double wind_part_of_thrust(double moment, double thrust, double width)
{
	return moment / (thrust * width);
}
