/* Private to `assess`: the bodies of a gate with the record's dimensions put in, and how they move. */
#ifndef ASSESS_BODIES_H
#define ASSESS_BODIES_H

#include "assess/context.h"
#include "calc/clearance.h"

/* Two leaves are as many as a type describes: what is beyond is counted as left out. */
enum { BODY_LEAVES = 2 };

struct body_set {
	struct geo_body *bodies;
	struct moving_body *moving;          /* beside `bodies` */
	const struct lib_motion **motions;   /* beside `bodies`; NULL for what stands */
	size_t count;
	struct geo_body *missing;            /* left out: id, role, name, leaf, view and what it is drawn for alone */
	size_t left_out;
};

/* The bodies of the type, leaf by leaf, then those of gate.bodies. A body whose condition is not known to hold, or
 * some of whose numbers are unknown, is left out. Poses are not made. */
struct body_set bodies_build(struct context *c);

/* Makes the poses of each body that moves, and the extent of both views. */
void bodies_pose(struct context *c, const struct body_set *set, struct geometry *out);

/* What of a polygon lies between two places along x: its corners, at most count + 4. */
size_t body_strip(struct arena *a, const struct moving_body *body, double from, double to, struct geo_point **out);

/* A length, an angle in rad or a number; false, outputs untouched, when it is not known. `*doubt`: how far it may be
 * from `*out`. */
bool body_amount(struct context *c, const struct rule *r, struct dimension dim, double *out, double *doubt);

/* Binds the names of the leaf (leaf.length, leaf.order) until body_scope_end. */
struct body_scope {
	struct scope order, leaf;
};
void body_scope_begin(struct context *c, struct body_scope *s, const struct item *leaf, size_t order);
void body_scope_end(struct context *c, const struct body_scope *s);

/* The chain of rigid steps of a motion of the type, for the leaf in scope; `*doubt`: how far it may
 * carry a point of `body` beside the true place. false when something in it is unknown, or an arm is
 * too short. */
bool body_motion(struct context *c, const struct lib_type *type, const struct lib_motion *motion,
	const struct geo_body *body, struct motion *out, double *doubt);

#endif
