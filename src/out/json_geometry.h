/* Clearances as JSON: every pair of bodies that come within 600 mm of each other. */
#ifndef OUT_JSON_GEOMETRY_H
#define OUT_JSON_GEOMETRY_H

#include <jansson.h>

#include "model/result.h"

/* Adds the list "clearances" to the object `to`; empty without a result. */
void json_clearances(struct arena *a, json_t *to, const struct assessment *r);

#endif
