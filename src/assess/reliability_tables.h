/* The tables of EN ISO 13849-1 out of the library, for `calc`. Private to `assess`. */
#ifndef ASSESS_RELIABILITY_TABLES_H
#define ASSESS_RELIABILITY_TABLES_H

#include "assess/context.h"
#include "calc/reliability.h"

/* NULL, or the id of a table or limit that the library lacks, or that an overlay gave another shape; `*out` is
 * then not to be used. */
const char *reliability_tables_fill(struct context *c, struct reliability_tables *out);

/* Their ids in the library. */
#define TABLE_RISK_GRAPH "risk-graph"
#define TABLE_LEVELS "performance-level"
#define TABLE_LIVES "life-class"
#define TABLE_COVERAGES "coverage-class"
#define TABLE_SIMPLIFIED "level-simplified"
#define TABLE_ANNEX_K "annex-k"
#define TABLE_ANNEX_K_4 "annex-k-4"
#define TABLE_SERIES "level-series"
#define TABLE_POINTS "common-cause-points"
#define LIMIT_MISSION "mission-time"
#define LIMIT_CAP "channel-cap"
#define LIMIT_CAP_4 "channel-cap-4"
#define LIMIT_COMMON_CAUSE "common-cause-enough"
#define LIMIT_TESTS "test-rate"
#define LIMIT_TESTS_FEW "test-rate-few"
#define LIMIT_TESTS_FEW_FACTOR "test-rate-few-factor"
#define LIMIT_TEST_CHANNEL "test-channel-share"

#endif
