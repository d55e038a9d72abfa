#include "model/geometry.h"

/* EN ISO 13854:2019, Table 1, in its order. */
const char *const CLEARANCE_PART[CLEARANCE_PARTS] = {"body", "head", "leg", "foot", "toes", "arm", "hand", "finger"};
