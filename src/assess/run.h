/* One force recording against the limits of the library. */
#ifndef ASSESS_RUN_H
#define ASSESS_RUN_H

#include "assess/context.h"
#include "calc/curve.h"

/* What the library says a recording must keep, all but the peak limit and the instrument's range; false
 * when one of the limits is unknown. */
bool run_limits(struct context *c, struct curve_limits *limits);

/* Evaluates a recording; `counts_once` is left false. */
struct run_result run_evaluate(struct arena *a, const struct recording *recording, const char *citation,
	struct place at, const struct curve_limits *limits);

#endif
