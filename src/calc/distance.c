#include "calc/distance.h"

#include <math.h>

bool distance_within(double a, double b)
{
	return a - b <= 1e-9 * fabs(b);
}

double distance_stopping_time(double speed, double response, double deceleration)
{
	return response + speed / deceleration;
}

double distance_stopping(double speed, double response, double deceleration)
{
	return speed * response + speed * speed / (2 * deceleration);
}

double distance_time_of(double distance, double speed, double response)
{
	return response + 2 * (distance - speed * response) / speed;
}

double distance_of_approach(double time, double speed, double reach)
{
	return speed * time + reach;
}

double distance_field_reach(double resolution, double finest, double slope)
{
	return slope * fmax(resolution - finest, 0);
}

double distance_of_field(double time, double reach, double fast, double slow, double least, double most,
	double *speed)
{
	double near = distance_of_approach(time, fast, reach);
	*speed = fast;
	if (distance_within(near, most))
		return fmax(near, least);
	*speed = slow;
	return fmax(distance_of_approach(time, slow, reach), most);
}

double distance_low_reach(double height, double base, double share, double least)
{
	return fmax(base - share * height, least);
}

double distance_least_height(double resolution, double factor, double base)
{
	return factor * fmax(resolution - base, 0);
}

double distance_coarsest(double height, double factor, double base)
{
	return height / factor + base;
}

bool distance_steady(double narrow, double wide, double share)
{
	return distance_within(wide, narrow * (1 + share));
}
