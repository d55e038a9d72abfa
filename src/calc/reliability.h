/* Reliability of the parts of a control, by EN ISO 13849-1. Lives are in years of 8760 h, rates in 1/h,
 * coverages are fractions. A value that equals the lower edge of a class or band belongs to it (one part in
 * 10^9 is equality); one that equals a limit meets it. What a standard's next edition could change comes in:
 * the tables are the library's, the limits beside them. */
#ifndef CALC_RELIABILITY_H
#define CALC_RELIABILITY_H

#include <stdbool.h>
#include <stddef.h>

#include "model/grid.h"

/* Each is worse than the next. */
enum level { LEVEL_NONE, LEVEL_A, LEVEL_B, LEVEL_C, LEVEL_D, LEVEL_E };
enum category { CATEGORY_NONE, CATEGORY_B, CATEGORY_1, CATEGORY_2, CATEGORY_3, CATEGORY_4 };
enum life { LIFE_NONE, LIFE_LOW, LIFE_MEDIUM, LIFE_HIGH };                     /* class of an MTTFd */
enum coverage { COVERAGE_NONE, COVERAGE_LOW, COVERAGE_MEDIUM, COVERAGE_HIGH }; /* class of a DC */

/* Plain numbers in all of them. Axes in brackets, with the way a value is taken. */
struct reliability_tables {
	const struct grid *risk_graph;  /* words a..e by [S1F1 … S2F2, equal] and [P1 P2, equal] */
	const struct grid *levels;      /* words e..a by [rate in 1/h, from 0]; "-" from the upper end of a on */
	const struct grid *lives;       /* words none..high by [years, from 0] */
	const struct grid *coverages;   /* words none..high by [fraction, from 0] */
	const struct grid *simplified;  /* words a..e by [low medium high] and the columns B 1 2-low … 4-high */
	const struct grid *annex_k;     /* rate in 1/h by [years, from] and the same columns */
	const struct grid *annex_k_4;   /* its continuation for category 4, one axis: [years, from] */
	const struct grid *series;      /* words by [lowest level a..e, equal] and [how many have it, from 1] */
	const struct grid *points;      /* against common cause, by [measure, equal] */
	double mission_years;           /* 20 */
	double cap_years, cap_4_years;  /* most that a channel counts for: 100; in category 4 2500 */
	double common_cause;            /* points that are enough: 65 */
	double tests, tests_few;        /* tests per demand, category 2: 100; 25 with a rate that is worse … */
	double tests_few_factor;        /* … by this factor: 1.1 */
	double test_channel_share;      /* least MTTFd of the test channel by that of the tested one: 0.5 */
};

const char *level_word(enum level l);          /* "none", "a" … "e" */
enum level level_of_word(const char *word);    /* LEVEL_NONE for any other; NULL allowed */
enum level level_worse(enum level a, enum level b);
const char *category_word(enum category c);    /* "none", "B", "1" … "4" */
enum category category_of_word(const char *word);
const char *life_word(enum life l);            /* "none" "low" "medium" "high" */
const char *coverage_word(enum coverage c);

/* nop = d·h·3600/t: `days` a year, `hours` a day, one operation every `cycle_s`, all over 0. EN ISO 13849-1:2015
 * Annex C.4. */
double operations_per_year(double days, double hours, double cycle_s);

/* MTTFd = B10d/(0.1·nop). Annex C.4. */
double life_of_b10d(double b10d, double per_year);

/* T10d = B10d/nop: a part is replaced by then, when that is before the mission time ends. Annex C.4. */
double replacement_years(double b10d, double per_year);

/* To four digits, and never more than it is: what is done by then is done in time. `years` over 0. */
double years_down(double years);

/* 1/MTTFd = Σ 1/MTTFd,i. Parts count, Annex D.1. `count` over 0. */
double life_of_parts(const double *years, size_t count);

/* Two channels that differ, as if both had this life: ⅔·(a + b − 1/(1/a + 1/b)), each capped first. Annex D.2. */
double life_of_channels(double a, double b, double cap);

/* The years that count: never over the cap. */
double life_capped(const struct reliability_tables *t, enum category c, double years);

/* Σ(DC,i/MTTFd,i) / Σ(1/MTTFd,i) over all parts of all channels. Annex E.2. `count` over 0. */
double coverage_average(const double *dc, const double *years, size_t count);

/* 1/(8760·MTTFd): dangerous failures of one channel that nothing watches. Beside Annex K, never instead. */
double single_channel_per_hour(double years);

enum life life_class(const struct reliability_tables *t, double years);
enum coverage coverage_class(const struct reliability_tables *t, double dc);

/* The coverage at which the first class begins that a category from 2 on can do with. */
double coverage_least(const struct reliability_tables *t, enum category c);

/* The life at which the lowest class begins. */
double life_least(const struct reliability_tables *t);

/* LEVEL_NONE: too many failures for any. */
enum level level_of_rate(const struct reliability_tables *t, double per_hour);

/* The rate of which a level is only known to be better: a millionth under the upper edge of its band, since
 * the edge itself belongs to the next worse level. `l` is not LEVEL_NONE. */
double level_worst_rate(const struct reliability_tables *t, enum level l);

/* The risk graph: each 1 or 2. */
enum level level_required(const struct reliability_tables *t, int severity, int frequency, int avoidance);

/* Points of a measure against common cause ("3.1"); false when the table has no such measure. */
bool common_cause_points(const struct reliability_tables *t, const char *measure, double *points);

/* What Annex K and the simplified procedure give for one category. */
struct level_cells {
	enum level level;             /* the worse of the two */
	enum level annex_k, simplified;
	double per_hour;              /* of Annex K */
	double row_years;             /* its row: the next that is not above the MTTFd */
	const char *column;           /* "2-low" */
	const struct grid_cell *rate_cell, *level_cell;
};

/* The next lower row and the lower class of coverage count, without interpolation; a life over the last row of
 * a column counts as that row (category B: 27 years). Categories B and 1 take no account of the coverage.
 * `years` is capped already. false, `*out` untouched, when the column has no row for so short a life
 * (`*lives` true) or no column asks for so little coverage (`*lives` false). */
bool level_look(const struct reliability_tables *t, enum category c, double years, double dc,
	struct level_cells *out, bool *lives);

/* In series, each level known only as such: Table 11. LEVEL_NONE: not allowed, or one of them is none. `count`
 * over 0; `*lowest` and `*times` say what was looked up. */
enum level level_of_series(const struct reliability_tables *t, const enum level *levels, size_t count,
	enum level *lowest, size_t *times);

/* In series, each rate known: Σ PFHd,i. */
double series_per_hour(const double *per_hour, size_t count);

#endif
