/* Answers as JSON, for other programs: "format": 1 in each. Keys are a contract; a new key may come, none
 * changes its meaning. */
#ifndef OUT_JSON_H
#define OUT_JSON_H

#include "base/arena.h"
#include "model/explained.h"
#include "model/phrase.h"
#include "model/reckoning.h"
#include "model/result.h"

/* A whole assessment. NULL assessment: only the findings, "ready": false. Ends with a line end. */
char *json_check(struct arena *a, const char *job, const struct assessment *assessment,
	const struct findings *findings, const struct phrasebook *words);

/* Evaluated recordings, an array; `limits` holds the peak limit of each in N. */
char *json_curves(struct arena *a, const struct run_result *runs, const double *limits, size_t count);

/* Findings alone: {"format": 1, "findings": […]}. */
char *json_findings(struct arena *a, const struct findings *findings, const struct phrasebook *words);

/* {"format": 1, "word", "entries": [{"id", "kind", "lines": [{"key", "label", "value"}]}]}. */
char *json_explained(struct arena *a, const char *word, const struct explained_list *found);

/* {"format": 1, "name", "inputs", "results", "formula", "source", "standing", "steps": [{"formula", "source",
 * "standing"}], "meaning", "holds", "in_order", "findings"}. Inputs as typed or by default; results as numbers in
 * the unit that ends their key, words, lists, or null where there is none. "formula" and "source" join those
 * of the steps. */
char *json_reckoning(struct arena *a, const struct reckoning *r, const struct phrasebook *words);

#endif
