#include "calc/force.h"

#include <math.h>

double force_peak(double mass, double speed, double spring, double thrust)
{
	return thrust + sqrt(thrust * thrust + spring * mass * speed * speed);
}

double force_top_speed(double mass, double spring, double thrust, double limit)
{
	return sqrt(limit * fmax(limit - 2 * thrust, 0) / (spring * mass));
}
