/* A safety function: subsystems in series, each with a maker's level or a category, by EN ISO 13849-1. A
 * number that is not known is 0 (a coverage of 0 is none). Units as in calc/reliability.h. */
#ifndef CALC_FUNCTION_H
#define CALC_FUNCTION_H

#include "calc/reliability.h"

/* The life of one channel: years, or B10d and operations a year; the shorter when both are given. */
struct channel {
	double years;
	double b10d, per_year;
};

struct subsystem {
	/* The maker's word. Either of the two may be missing. Beside a category and all that this asks for, the worse
	 * of the two ways decides; beside a part of that, what falls short of the category is a gap. */
	enum level level;
	double per_hour;
	/* Or what the level follows from. */
	enum category category;
	struct channel channels[2];   /* the second empty: as the first */
	double dc;                    /* average over all parts */
	double common_cause;          /* points */
	double tests_per_demand;      /* category 2 */
	double test_years;            /* MTTFd of the test channel, category 2 */
	double replaced_years;        /* stated interval of replacement of the parts with a B10d */
};

/* Why a subsystem has no level. The first that applies, in this order. */
enum subsystem_gap {
	GAP_NONE,
	GAP_NOTHING,          /* neither a maker's word nor a category */
	GAP_LEVEL_CATEGORY,   /* the maker's level is better than any that Annex K has for the category */
	GAP_LIFE_UNKNOWN,     /* no MTTFd, and no B10d with operations */
	GAP_LIFE_SHORT,       /* MTTFd of a channel below the lowest class (3 years) */
	GAP_COVERAGE_UNUSED,  /* category B or 1 with a coverage of the lowest class or more: they have none */
	GAP_LIFE_CATEGORY,    /* the category asks for a longer life: 1 and 4 for a high one */
	GAP_COVERAGE,         /* the category asks for more coverage: 2 and 3 for low, 4 for high */
	GAP_COMMON_CAUSE,     /* categories 2, 3, 4: points not known (0), or not enough */
	GAP_TEST_RATE,        /* category 2: tests per demand not known (0), or fewer than the least */
	GAP_TEST_LIFE_UNKNOWN,/* category 2: MTTFd of the test channel not known */
	GAP_TEST_LIFE,        /* category 2: it is below its share of that of the tested channel (as capped) */
	GAP_REPLACEMENT,      /* a part reaches T10d before the mission time, and no replacement by then is stated;
	                         beside a maker's word too */
};

/* What decided a level. */
enum decided_by {
	BY_NOTHING,      /* no level */
	BY_MAKER,        /* subsystem: the maker's level */
	BY_RATE,         /* subsystem: the band of the maker's rate, worse than his level or alone, and never above
	                    the best of the category */
	BY_ANNEX_K,
	BY_SIMPLIFIED,
	BY_BOTH,         /* Annex K and the simplified procedure agree */
	BY_SUM,          /* function: the band of the sum of the rates */
	BY_LOWEST,       /* function: the lowest level of its subsystems */
	BY_SERIES,       /* function: Table 11, since no rate is known */
};

const char *decided_word(enum decided_by by); /* "none" "maker" "rate" "annex-k" "simplified" "both" "sum" … */

struct subsystem_result {
	enum subsystem_gap gap;
	enum level level;             /* LEVEL_NONE with a gap, or when the rate is too high for any */
	enum decided_by by;
	double per_hour;              /* with `rate_known` false: level_worst_rate() of the maker's level */
	bool rate_known;
	/* As far as they could be reckoned (0 otherwise); `years` and what follows from a category by that only. */
	double channel_years[2];      /* before the cap */
	double years;                 /* that counts: capped, and both channels as one */
	double replacement_years;     /* the shorter T10d of parts with a B10d; 0: none known */
	bool replace;                 /* that is before the mission time ends */
	bool few_tests;               /* the rate is worse by the factor */
	struct level_cells cells;     /* without few_tests: cells.per_hour is the rate */
};

/* Judges one subsystem. */
struct subsystem_result subsystem_judge(const struct reliability_tables *t, const struct subsystem *s);

struct series_result {
	enum level level;             /* LEVEL_NONE with a gap in any subsystem */
	enum decided_by by;
	double per_hour;              /* sum; an upper bound when `rates_known` is false; 0 with a gap */
	double known_per_hour;        /* of those whose rate is known */
	bool rates_known;
	enum level lowest;            /* Table 11: the lowest level and how many have it */
	size_t times;
	bool by_levels;               /* no rate at all is known: Table 11 was looked up */
	enum level by_sum, by_series; /* by_series: LEVEL_NONE unless `by_levels` */
	size_t weakest;               /* a subsystem with a gap, else the lowest level, else the highest rate */
	enum subsystem_gap gap;       /* of the weakest */
};

/* Judges the series: the band of the sum of the rates, never above the lowest level. A level that stands alone
 * adds its worst rate, so that a rate left out is never better than the rate. Only where no rate at all is
 * known, Table 11 may give more. `results` takes one for each subsystem; `count` over 0. */
struct series_result function_judge(const struct reliability_tables *t, const struct subsystem *s,
	size_t count, struct subsystem_result *results);

enum change_kind {
	CHANGE_NONE,        /* no single change of these is enough (or the level is reached already) */
	CHANGE_COVERAGE,    /* `to`: fraction: the lower edge of a class (60, 90, 99 %) */
	CHANGE_LIFE,        /* `to`: MTTFd of each channel in years: the least row of Annex K that is printed for its
	                       category; `b10d`: as B10d of the first channel, 0 when that is not by B10d */
	CHANGE_CATEGORY,    /* `category`, with `dc` as average coverage, and all else that it asks for */
	CHANGE_REPLACEMENT, /* `to`: years, T10d */
	CHANGE_MAKER,       /* another subsystem whose maker states `level`, better than the one stated now; in place
	                       of a known rate with the worst of that level */
};

struct function_change {
	enum change_kind kind;
	size_t subsystem;
	double to, b10d, dc;
	enum category category;
	enum level level;
	enum level reaches;  /* the function's level then */
};

/* The single change that reaches `required`: kinds in the order above, within a kind the weakest subsystem
 * first, within that the smallest step. `scratch` has room for `count` results. */
struct function_change function_change_for(const struct reliability_tables *t, const struct subsystem *s,
	size_t count, enum level required, struct subsystem_result *scratch);

#endif
