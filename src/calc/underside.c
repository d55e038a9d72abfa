#include <math.h>

#include "calc/clearance.h"

static double height_at(const struct underside *u, double t)
{
	double phi = u->angle * t;
	return u->height + u->rise * t -
	       u->radius * (u->along * (cos(phi) - 1) + u->across * sin(phi));
}

static void take(struct clearance_profile *p, struct clearance_knot *knots, double t, double gap)
{
	knots[p->count++] = (struct clearance_knot){t, gap};
	if (gap < p->least) {
		p->least = gap;
		p->least_at = t;
	}
	if (gap > p->greatest) {
		p->greatest = gap;
		p->greatest_at = t;
	}
}

/* |z''| is at most r angle² √(along² + across²): a step w is off its chord by at most |z''| w² / 8.
 * So where the leaf touches the ground, within a step, the chord may tell. */
struct clearance_profile clearance_underside(
	struct arena *a, const struct underside *u, double tolerance)
{
	enum { STEPS_MAX = 1024, KNOTS_MAX = 2 * STEPS_MAX + 1 };
	double bend = fabs(u->radius) * u->angle * u->angle * hypot(u->along, u->across);
	double steps = fmin(fmax(ceil(sqrt(bend / (8 * tolerance))), 1), STEPS_MAX);
	struct clearance_knot *knots = arena_array(a, KNOTS_MAX, sizeof *knots);
	struct clearance_profile p = {.knots = knots,
		.least = INFINITY,
		.greatest = -INFINITY,
		.error = fmax(tolerance, bend / (8 * steps * steps))};
	double before = height_at(u, 0), from = 0;
	take(&p, knots, 0, fmax(before, 0));
	for (int i = 1; i <= (int)steps; i++) {
		double t = i / steps, gap = height_at(u, t);
		if (before * gap < 0)
			take(&p, knots, from + (t - from) * before / (before - gap), 0);
		take(&p, knots, t, fmax(gap, 0));
		before = gap;
		from = t;
	}
	return p;
}
