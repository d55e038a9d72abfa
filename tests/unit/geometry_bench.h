/* For tests of the geometry: the invented gates of bench/geometry.yaml, records of a few lines, and
 * what was found. */
#ifndef GEOMETRY_BENCH_H
#define GEOMETRY_BENCH_H

#include "assess_bench.h"
#include "model/geometry.h"

/* A bench with the library of the invented gates. */
void gap_open(struct bench *b);

/* A record of that type, one leaf `wing` of 2 m by 1.8 m of sheet on level ground, no play and no
 * over-travel. `dimensions` and `bodies` are what stands between the brackets in YAML. */
void gap_record(struct bench *b, const char *type, const char *dimensions, const char *bodies);
/* The same, judged. */
void gap_judge(struct bench *b, const char *type, const char *dimensions, const char *bodies);

/* The clearance of that key, or NULL. */
const struct clearance_result *gap_pair(const struct bench *b, const char *key);

/* The same; the test fails when it is not there or was never computed. */
const struct clearance_result *gap_known(const struct bench *b, const char *key);

bool gap_hurts(const struct clearance_result *r, const char *part);

/* "body hand": the parts that can be hurt, in the order of CLEARANCE_PART. */
const char *gap_parts(struct bench *b, const struct clearance_result *r);

const struct zone_result *gap_zone(const struct bench *b, const char *key);

/* The keys of all zones, a line each; and whether all of such a list are zones now. */
const char *gap_zones(struct bench *b);
bool gap_has_zones(struct bench *b, const char *keys);

/* The value of a way out of a finding, "" when there is none. */
const char *gap_way(const struct finding *f, const char *way, const char *name);

/* A number from rand() between two. */
double gap_random(double low, double high);

#endif
