/* Evaluation of a force recording.
 *
 * The curve is the straight line from sample to sample. t0 is the first crossing of the contact force
 * upwards, t1 that of the static force. The recording is over when
 *   - a sample is above the peak limit;
 *   - the curve is above the static force at t1 + dynamic_s or later, whether it stayed there or came
 *     back (a bounce counts);
 *   - the curve is above the contact force at t0 + end_s or later.
 * "Above" is strict: a force that equals a limit is within. Comparisons allow for the rounding of
 * binary fractions (one part in 10^9), which no meter resolves.
 * All limits are the caller's: EN 12453 Annex A gives 25 N, 150 N, 0.75 s, 5 s and the peak limits.
 */
#ifndef CALC_CURVE_H
#define CALC_CURVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "model/recording.h"

struct curve_limits {
	double peak_n;       /* greatest permissible force, e.g. 400 N */
	double static_n;     /* not above this after the dynamic period, e.g. 150 N */
	double contact_n;    /* above this there is contact, e.g. 25 N */
	double dynamic_s;    /* length of the dynamic period from t1, e.g. 0.75 s */
	double end_s;        /* from t0; not above contact_n from then on, e.g. 5 s */
	double rate_hz;      /* least sampling rate, e.g. 200 Hz */
	double baseline_n;   /* greatest reading, either way, while nothing touches the meter */
	double range_n;      /* end of the instrument's range; 0: not known, not judged */
	size_t flat_samples; /* so many equal highest samples in a row are a flat top; 0: not judged */
};

enum curve_verdict { CURVE_WITHIN, CURVE_OVER, CURVE_UNUSABLE };

enum curve_reason {
	/* over */
	CURVE_PEAK = 1 << 0,   /* a sample above peak_n */
	CURVE_STATIC = 1 << 1, /* above static_n after the dynamic period */
	CURVE_END = 1 << 2,    /* above contact_n from t0 + end_s on */
	/* unusable */
	CURVE_EMPTY = 1 << 3,      /* fewer than two samples */
	CURVE_NOT_FINITE = 1 << 4, /* a value that is no number, or beyond 10^12 */
	CURVE_ORDER = 1 << 5,      /* time does not increase (by over 1 ns) at each sample */
	CURVE_RATE = 1 << 6,       /* the usual (median) interval is longer than 1 / rate_hz */
	CURVE_GAP = 1 << 7,        /* it is not, but one interval between contact and end is */
	CURVE_NO_CONTACT = 1 << 8, /* never above contact_n */
	CURVE_LOADED = 1 << 9,     /* begins above contact_n, so that t0 is unknown */
	CURVE_SHORT = 1 << 10,     /* ends before t0 + end_s, or before t1 + dynamic_s */
	CURVE_CLIPPED = 1 << 11,   /* reaches range_n, or has a flat top */
	CURVE_BASELINE = 1 << 12,  /* off zero before contact, or below zero at the end */
};

enum { CURVE_REASON_COUNT = 13 };

/* Where the curve passes a level. */
struct curve_crossing {
	double s;       /* on the recording's own clock */
	double level_n; /* contact_n or static_n */
	bool up;
};

struct curve_result {
	enum curve_verdict verdict; /* unusable wins over over; the reasons then hold both */
	unsigned reasons;           /* enum curve_reason, or-ed */
	bool evaluated;             /* false: after EMPTY, NOT_FINITE, ORDER: all below is zero */
	size_t samples;
	double rate_hz;             /* one over the median interval */
	double longest_s;           /* longest interval between the last sample before t0 and t0 + end_s */
	double peak_n, peak_s;      /* highest sample, its time */
	double peak_bound_n;        /* how much higher a smooth curve may have been; see below */
	bool peak_uncertain;        /* peak_n is not above the limit, peak_n + peak_bound_n is */
	bool has_t0, has_t1;
	double t0_s, t1_s;
	double above_static_s;      /* total time above static_n */
	double above_contact_s;     /* total time above contact_n */
	double static_from_s;       /* t1 + dynamic_s; t0 when there is no t1 */
	double static_after_n;      /* greatest force from static_from_s on; 0 when nothing is on record */
	double end_from_s;          /* t0 + end_s */
	double end_n;               /* greatest force from end_from_s on; 0 when nothing is on record */
	double baseline_n;          /* median of the first tenth of the time before t0 */
	double limit_n;             /* the peak limit applied */
	const struct curve_crossing *crossings; /* both levels, in order of time */
	size_t crossing_count;
};

/* Evaluates `r`. Decisions taken here:
 * Sampling is judged on the longest interval where a peak could hide (from the last sample before
 * contact to t0 + end_s): one dropped sample can hide the peak, so the average is no answer.
 * The flat top: flat_samples or more equal highest samples in a row, above static_n, entered by a step
 * of more than twice the smallest step of the recording, that may hide over half a percent of the peak;
 * or entered by a tenth of the peak. A parabola cut off over n samples and entered by a step s rises s n/4
 * above the cut. A smooth peak of a meter with coarse digits comes to its top by single steps, and a
 * rounded one with a little noise hides next to nothing: neither is taken for a flat top.
 * The baseline: the median of the samples in the first tenth of the time before t0 (the last nine may
 * hold the beginning of the rise), and the median of what is recorded after t0 + end_s, which may not
 * be below -baseline_n, since a zero that has sunk hides force.
 * The peak bound: a curve that is smooth between samples h apart has its peak within h/2 of a sample,
 * so it rises above it by at most M2 h^2 / 8, M2 being the greatest |F''| there (Taylor's theorem with
 * F' = 0 at the peak). M2 is estimated: the greatest of the second differences at the three samples
 * about each local maximum, plus the greatest change between neighbours of these. This is exact for a
 * parabola and on the safe side for sine and bell shapes sampled four or more times over the peak's
 * width; it says nothing about a kink or a blow shorter than the interval. peak_bound_n is the greatest of
 * (local maximum + its bound), less peak_n. */
struct curve_result curve_evaluate(struct arena *a, const struct recording *r,
	const struct curve_limits *limits);

/* The force at time `s` on the straight line between samples; `s` within the recording. */
double curve_force(const struct recording *r, double s);

/* Whether two recordings hold the same samples, as a copied file does: forces are compared from the highest
 * on both ways, so that another clock, another unit or a cut at either end makes no second measurement. */
bool curve_same(const struct recording *a, const struct recording *b);

const char *curve_verdict_name(enum curve_verdict v);

/* "peak", "static", "end", "empty", "not-finite", "order", "rate", "gap", "no-contact", "loaded",
 * "short", "clipped", "baseline" for one bit. */
const char *curve_reason_name(enum curve_reason reason);

#endif
