/* Private to `assess`: clearances of the gate in hand, what can be hurt in them, and where that is dealt with. */
#ifndef ASSESS_GEOMETRY_H
#define ASSESS_GEOMETRY_H

#include "assess/context.h"

/* Builds the bodies, computes the clearance of each pair that moves against each other, and says
 * what it can do to whom. `listed` of each clearance is left NULL. Result in c->result->geometry.
 */
void assess_geometry(struct context *c);

/* clearance('a', 'b', what) for the leaf in hand: ids or roles; several pairs give the worst. Unknown when there is
 * no such pair. */
struct value geometry_value(const struct context *c, const char *a, const char *b, const char *what);

/* clearance.<what> of one pair; over-travel counts to its low end. Unknown while play or the like is not on record. */
struct value clearance_value(const struct context *c, const struct clearance_result *r, const char *what);

/* Finds for each clearance that can hurt the listed zones that deal with it, and says which kinds are left. */
unsigned geometry_listed(struct context *c, struct clearance_result *r);

/* The first clearance dealt with in the zone in hand that has found this kind of hazard, or NULL. */
const struct clearance_result *geometry_finds(const struct context *c, const struct zone_result *z, const char *kind);

/* "crushing", "shearing", "drawing-in" of one bit; 0 for another word. */
unsigned clearance_kind_of(const char *word);

/* Whether pairs of bodies in this view are computed. */
bool body_in_view(const struct lib_type *type, bool elevation);

#endif
