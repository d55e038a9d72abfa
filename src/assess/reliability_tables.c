#include "assess/reliability_tables.h"

#define MONTHS_A_YEAR 12.0

static const struct {
	const char *id;
	size_t at;
	bool worded;         /* cells */
	size_t axis_count;
	bool axis_worded[2];
} TABLES[] = {
	{TABLE_RISK_GRAPH, offsetof(struct reliability_tables, risk_graph), true, 2, {true, true}},
	{TABLE_LEVELS, offsetof(struct reliability_tables, levels), true, 1, {false, false}},
	{TABLE_LIVES, offsetof(struct reliability_tables, lives), true, 1, {false, false}},
	{TABLE_COVERAGES, offsetof(struct reliability_tables, coverages), true, 1, {false, false}},
	{TABLE_SIMPLIFIED, offsetof(struct reliability_tables, simplified), true, 2, {true, true}},
	{TABLE_ANNEX_K, offsetof(struct reliability_tables, annex_k), false, 2, {false, true}},
	{TABLE_ANNEX_K_4, offsetof(struct reliability_tables, annex_k_4), false, 1, {false, false}},
	{TABLE_SERIES, offsetof(struct reliability_tables, series), true, 2, {true, false}},
	{TABLE_POINTS, offsetof(struct reliability_tables, points), false, 1, {true, false}},
};

static const struct {
	const char *id;
	size_t at;
	double unit;
} LIMITS[] = {
	{LIMIT_MISSION, offsetof(struct reliability_tables, mission_years), MONTHS_A_YEAR},
	{LIMIT_CAP, offsetof(struct reliability_tables, cap_years), MONTHS_A_YEAR},
	{LIMIT_CAP_4, offsetof(struct reliability_tables, cap_4_years), MONTHS_A_YEAR},
	{LIMIT_COMMON_CAUSE, offsetof(struct reliability_tables, common_cause), 1},
	{LIMIT_TESTS, offsetof(struct reliability_tables, tests), 1},
	{LIMIT_TESTS_FEW, offsetof(struct reliability_tables, tests_few), 1},
	{LIMIT_TESTS_FEW_FACTOR, offsetof(struct reliability_tables, tests_few_factor), 1},
	{LIMIT_TEST_CHANNEL, offsetof(struct reliability_tables, test_channel_share), 1},
};

static bool fits(const struct grid *g, size_t i)
{
	bool same = g->worded == TABLES[i].worded && g->axis_count == TABLES[i].axis_count;
	for (size_t axis = 0; same && axis < g->axis_count; axis++)
		same = g->axes[axis].worded == TABLES[i].axis_worded[axis];
	return same;
}

const char *reliability_tables_fill(struct context *c, struct reliability_tables *out)
{
	for (size_t i = 0; i < sizeof TABLES / sizeof *TABLES; i++) {
		const struct lib_grid *g = library_grid(c->library, TABLES[i].id);
		if (!g || !fits(&g->grid, i))
			return TABLES[i].id;
		*(const struct grid **)((char *)out + TABLES[i].at) = &g->grid;
	}
	for (size_t i = 0; i < sizeof LIMITS / sizeof *LIMITS; i++) {
		double si;
		if (!context_bound(c, LIMITS[i].id, "", &si))
			return LIMITS[i].id;
		*(double *)(void *)((char *)out + LIMITS[i].at) = si / LIMITS[i].unit;
	}
	return NULL;
}
