#include "calc/resistance.h"

#include <math.h>

double resistance_parallel(const double *parts, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += 1 / parts[i];
	return 1 / sum;
}

struct resistance_band resistance_loop(const double *parts, size_t count, double tolerance, double cable)
{
	double whole = resistance_parallel(parts, count);
	return (struct resistance_band){whole + cable, whole * (1 - tolerance) + cable,
		whole * (1 + tolerance) + cable};
}

bool resistance_apart(const struct resistance_band *a, const struct resistance_band *b)
{
	double slack = 1e-9 * (a->high + b->high);
	return a->low > b->high + slack || b->low > a->high + slack;
}

double resistance_drop(double length_m, double section_mm2, double current, double resistivity)
{
	return 2 * resistivity * length_m * current / section_mm2;
}

double resistance_sum(const double *loads, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += loads[i];
	return sum;
}

double resistance_margin(double supply, double sum)
{
	double margin = supply - sum;
	return fabs(margin) <= 1e-9 * supply ? 0 : margin;
}
