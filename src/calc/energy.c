#include "calc/energy.h"

#include <math.h>

#define DEGREE (M_PI / 180)
#define INCH 0.0254
#define POUND 0.45359237

double energy_sliding(double mass, double speed)
{
	return mass * speed * speed / 2;
}

double energy_inertia(double mass, double width)
{
	return mass * width * width / 3;
}

double energy_turning(double inertia, double rate)
{
	return inertia * (rate * DEGREE) * (rate * DEGREE) / 2;
}

double energy_least_time(double mass, double stroke, double energy)
{
	return stroke * sqrt(mass / (2 * energy));
}

double energy_least_time_swing(double mass, double width, double divisor)
{
	return width / INCH * sqrt(mass / POUND) / divisor;
}

double energy_rounded_up(double x, double step)
{
	return ceil(x / step - 1e-9) / (1 / step); /* tenths as near as binary has them */
}

double energy_of_stop(double mass, double speed, double thrust, double travel)
{
	return energy_sliding(mass, speed) + thrust * travel;
}

double energy_hinge_pull(double mass, double width, double offset, double spacing)
{
	return mass * ENERGY_GRAVITY * (width / 2 + offset) / spacing;
}

double energy_slope_force(double mass, double grade)
{
	return mass * ENERGY_GRAVITY * grade / sqrt(1 + grade * grade);
}

double energy_lean_moment(double mass, double width, double lean)
{
	return mass * ENERGY_GRAVITY * sin(lean * DEGREE) * width / 2;
}
