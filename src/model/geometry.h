/* The gate as bodies that move among bodies that do not, and the clearances between them, as computed.
 * Lengths in m, travel from 0 (closed) to 1 (open). Axes: see struct lib_body. */
#ifndef MODEL_GEOMETRY_H
#define MODEL_GEOMETRY_H

#include <stdbool.h>
#include <stddef.h>

#include "model/record.h"

struct geo_point {
	double x, y;
};

enum { GEOMETRY_POSES = 25 }; /* at which the place of a moving body is kept: travel i / 24 */

/* A body with the record's dimensions put in. */
struct geo_body {
	const char *id, *role;     /* of the type's body, or of gate.bodies (its `at` is the role) */
	const char *name;          /* for phrase_title(): "leaf", "leaf@left" where there are two, "wall garden" */
	const struct item *leaf;   /* whose body it is, or NULL */
	const struct item *item;   /* of gate.bodies, or NULL */
	bool elevation, moves, open_work, drawn_only;
	double low, high;          /* extent across the view; -INFINITY, INFINITY: unbounded */
	double across_doubt;       /* of low and high */
	double doubt;              /* how far any corner may stand from where it is drawn */
	size_t count;
	const struct geo_point *points; /* simple polygon, closed position */
	const struct geo_point *poses;  /* [GEOMETRY_POSES][count]; NULL for a body that does not move */
};

/* Clearance at some travel, without doubt. Between knots it is within 0.1 mm of the straight line, wherever it is
 * less than CLEARANCE_FINE. */
struct clearance_knot {
	double travel, gap;
};

#define CLEARANCE_FINE 0.6

/* A stretch of travel in which the gap only grows or only shrinks, by more than 0.2 mm. */
struct clearance_stretch {
	double from, to;           /* travel, from < to */
	double start, end;         /* gap at `from` and at `to` */
	bool opening;              /* it shrinks while the gate opens (end < start); else while it closes */
	double speed; /* m/s, the fastest rate at which it shrinks below CLEARANCE_FINE; 0: not to
			 be told */
	double over;  /* m, by which it may close farther than told here: over-travel at the end of
			 the movement */
	unsigned kinds;            /* enum clearance_kind, found here */
	unsigned parts;            /* 1 << index into CLEARANCE_PARTS: that can be hurt here */
};

enum clearance_kind { CLEARANCE_CRUSHING = 1, CLEARANCE_SHEARING = 2, CLEARANCE_DRAWING_IN = 4 };

/* Parts of the body, as EN ISO 13854 names them. */
enum { CLEARANCE_PARTS = 8 };
extern const char *const CLEARANCE_PART[CLEARANCE_PARTS]; /* body head leg foot toes arm hand finger */

struct lib_zone;

/* Two bodies that move against each other. */
struct clearance_result {
	const char *key;           /* a~b@leaf or a~b@gate */
	const struct geo_body *a, *b; /* a moves; b NULL: the ground */
	const struct item *leaf;   /* NULL: between two leaves, or of the gate */
	const struct clearance_knot *knots;
	size_t knot_count;
	struct clearance_stretch *stretches;
	size_t stretch_count;
	double least, greatest, least_at, greatest_at; /* gap, and travel */
	double doubt;              /* every gap above is known to this much: tape, play, flex, sag */
	const struct clearance_result *otherwise; /* another look at the two, where it cannot be told whether
						     one passes before the other or runs into it; or NULL */
	bool slides;               /* past each other, at some travel at which a part fits between */
	unsigned kinds, parts;     /* of all stretches, and of sliding */
	const char *listed; /* key of the zone that deals with it (the first one listed for it, else
			       its own); NULL: nothing found */
	unsigned own;              /* kinds that no listed zone deals with: judged in a zone of its own */
	double x, y;               /* where the gap is least while something can be hurt; in the view */
};

struct geometry {
	struct geo_body *bodies;
	size_t body_count;
	const struct geo_body *missing; /* bodies whose dimensions are not all on record: id, role, name,
					   leaf, item, elevation and drawn_only alone */
	size_t left_out;           /* how many */
	bool vague;                /* play, flex, sag, over-travel or slope is not on record: a gap may be any */
	struct clearance_result *clearances; /* sorted by key; pairs that never come within
						CLEARANCE_FINE included without knots */
	size_t clearance_count;
	double crush[CLEARANCE_PARTS]; /* least gap that does not crush the part; NAN: not told */
	double x0, y0, x1, y1;     /* extent in plan, all poses included */
	double e0, f0, e1, f1;     /* extent in elevation */
};

#endif
