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

#endif
