/* Private to `assess`: zones that the geometry found and the type does not list, or does not list
 * for this kind of hazard. */
#ifndef ASSESS_FOUND_H
#define ASSESS_FOUND_H

#include "assess/geometry.h"

/* How many zones may be found: one for each pair of bodies. */
size_t found_most(const struct context *c);

/* The zone for what no listed zone deals with, made after the type's `found`: its hazards restricted to those kinds,
 * its directions to those in which the gap shrinks. NULL when nothing is left, or the library has no such zone. */
const struct lib_zone *found_zone(struct context *c, struct clearance_result *r);

/* Reports a found zone that is not on record, with what the geometry says and what would do away with it. */
void found_report(struct context *c, const struct zone_result *z, struct place at);

/* Reports that the geometry finds in a listed zone what is there said to be designed out or not present. */
void found_contradiction(struct context *c, const struct zone_result *z, const char *kind,
	const struct clearance_result *r, struct place at);

#endif
