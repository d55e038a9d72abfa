/* A plot of force over time: the recordings of one point against the limit. Device-free, 160 x 62 mm, so
 * that two go on a page. */
#ifndef DOC_PLOT_H
#define DOC_PLOT_H

#include "doc/tree.h"
#include "model/result.h"

/* The limit over time, beside the peak limit of the point: not above static_n from dynamic_s after the
 * curve first passed it; not above contact_n from end_s after contact. */
struct plot_limit {
	double static_n, contact_n, dynamic_s, end_s;
};

/* Words on the plot, ready to print. */
struct plot_words {
	const char *force, *time;   /* axes: "Force in N", "Time from contact in s" */
	const char *limit;          /* "Limit" */
	const char *const *runs;    /* one for each recording: "Recording 1" */
};

/* Most points drawn of one recording: two for each stretch of time. */
enum { PLOT_STRETCHES = 300, PLOT_POINTS = 2 * PLOT_STRETCHES };

#define PLOT_WIDTH 160.0
#define PLOT_HEIGHT 62.0

/* Time zero is the contact of each recording (its t0). The time axis runs from a little before contact
 * to past end_s. Recordings that could not be read or were never in contact are left out; when none is
 * left the plot shows the limit alone. The step from peak to static force stands at the earliest t1 of the
 * recordings plus dynamic_s; a point whose peak limit is not known (0) has no limit line. */
struct drawing *plot_draw(struct arena *a, const struct point_result *point,
	const struct plot_limit *limit, const struct plot_words *words);

/* The samples of `r` between times `from` and `to` (its own clock) as at most `most` points in order of
 * time. Time is cut into equal parts and the least and the greatest force of each are kept as they were
 * recorded, so that no peak is lost. x: s, y: N. `most` at least 4; returns how many. */
size_t plot_thin(struct arena *a, const struct recording *r, double from, double to, size_t most,
	struct draw_point **out);

#endif
