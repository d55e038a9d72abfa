/* Library x record -> zones, demands, outcomes, open points and ways. Pure: files were read before. */
#ifndef ASSESS_ASSESS_H
#define ASSESS_ASSESS_H

#include "model/result.h"

/* Never fails: what is missing or unknown becomes an open point in `findings`, which may already hold
 * findings of the loaders; `ready` takes account of all of them. Quantities are evaluated once. */
struct assessment *assess(struct arena *a, const struct record *record, const struct library *library,
	const struct job_files *files, struct findings *findings);

/* Names for rules evaluated outside the assessment (bodies of drawings): the record's paths, definitions
 * and limits, no zone. Lives as long as `result`. */
const struct rule_names *assess_names(const struct assessment *result);

/* Names with `zone` in hand, for showing its facts: here.*, leaf.*. */
const struct rule_names *assess_zone_names(struct arena *a, const struct assessment *result,
	const struct zone_result *zone);

/* What is known about a recording that stands alone. */
struct curve_question {
	const char *movement; /* horizontal…, NULL: not said */
	double gap_m;         /* negative: not said */
	const char *edition;  /* edition or id of a variant of the limits, NULL: the default */
	double range_n;       /* of the instrument, 0: not said */
};

/* Evaluates one recording by the library's limits; where movement or gap is not said, by the lowest limit
 * that may apply. false, outputs untouched, when the library has no limit for it. */
bool assess_curve(struct arena *a, const struct library *library, const struct curve_question *question,
	const struct recording *recording, struct run_result *out, double *limit);

#endif
