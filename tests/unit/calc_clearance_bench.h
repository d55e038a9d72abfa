/* Bodies drawn by lot, and their distance by other means than the engine's: corners carried one
 * step after the other, every edge of one body against every edge of the other. Lengths in m. */
#ifndef CALC_CLEARANCE_BENCH_H
#define CALC_CLEARANCE_BENCH_H

#include <stdint.h>

#include "calc/clearance.h"

enum { BENCH_CORNERS = 16, BENCH_STEPS = 3, BENCH_KNOTS = 4, BENCH_TURNS = 512 };

struct bench_body {
	struct geo_point points[BENCH_CORNERS];
	struct motion_step steps[BENCH_STEPS];
	struct geo_point knots[BENCH_STEPS][BENCH_KNOTS];
	struct moving_body body; /* of the above */
	bool concave;
};

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
double bench_draw(uint64_t *seed, double low, double high);

/* Two bodies, each convex or concave, at least one of which moves. The same seed gives the same
 * pair, which must stay where it is written. */
void bench_pair(uint64_t seed, struct bench_body pair[2]);

/* The case mirrored in the line y = 0. */
void bench_mirror(const struct bench_body *from, struct bench_body *to);

double bench_distance(const struct moving_body *x, const struct moving_body *y, double t);

/* What `steps` + 1 looks at even travels see of the gap. */
struct bench_truth {
	double least, greatest;
	double step_error; /* how far the gap can go between two looks beyond both: half the way of
			      the fastest corners */
	double *gaps;      /* [steps + 1], given by the caller */
};
void bench_look(const struct moving_body *x, const struct moving_body *y, double across, int steps,
	struct bench_truth *out);

/* The gaps at which a course turns, when swings of not more than `swing` are ignored: first, turns,
 * last; at most BENCH_TURNS. Gaps above `top` count as `top`. */
size_t bench_turns(
	const double *gaps, size_t count, double swing, double top, double turns[BENCH_TURNS]);

/* NULL when the profile agrees with `truth`; else what does not. `clear`: set when the turns of the
 * truth are so clear that they were compared. */
const char *bench_disagrees(const struct clearance_profile *p, const struct bench_truth *truth,
	int steps, double tolerance, double fine, bool *clear);

#endif
