#include "doc/plot.h"

#include <math.h>

#include "base/text.h"
#include "doc/axes.h"

/* The frame of the axes inside the drawing, mm. */
enum { LEFT = 14, RIGHT = 158, BOTTOM = 11, TOP = 55 };

static const double BEFORE_S = 0.25, AFTER_S = 0.5; /* shown before contact and after the end */

static size_t first_at(const struct recording *r, double from)
{
	size_t low = 0, high = r->count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (r->time_s[middle] < from)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

/* Least and greatest of the samples begin..end-1, in the order they came. */
static size_t keep_extremes(const struct recording *r, size_t begin, size_t end, struct draw_point *out)
{
	size_t least = begin, most = begin, n = 0;
	for (size_t i = begin; i < end; i++) {
		if (r->force_n[i] < r->force_n[least])
			least = i;
		if (r->force_n[i] > r->force_n[most])
			most = i;
	}
	size_t first = least < most ? least : most, second = least < most ? most : least;
	out[n++] = (struct draw_point){r->time_s[first], r->force_n[first]};
	if (second != first)
		out[n++] = (struct draw_point){r->time_s[second], r->force_n[second]};
	return n;
}

size_t plot_thin(struct arena *a, const struct recording *r, double from, double to, size_t most,
	struct draw_point **out)
{
	size_t i = first_at(r, from), end = first_at(r, nextafter(to, INFINITY)), n = 0;
	size_t parts = most / 2;
	*out = arena_array(a, most, sizeof **out);
	if (end - i <= most) {
		for (; i < end; i++)
			(*out)[n++] = (struct draw_point){r->time_s[i], r->force_n[i]};
		return n;
	}
	for (size_t part = 0; part < parts && i < end; part++) {
		double until = from + (to - from) * (double)(part + 1) / (double)parts;
		size_t stop = i;
		while (stop < end && (r->time_s[stop] < until || part + 1 == parts))
			stop++;
		if (stop > i)
			n += keep_extremes(r, i, stop, *out + n);
		i = stop;
	}
	return n;
}

static bool drawable(const struct run_result *run)
{
	return run->recording && run->recording->count > 1 && isfinite(run->t0) &&
		run->peak > 0 && run->peak < 1e9;
}

static struct axes choose_axes(const struct point_result *p, const struct plot_limit *l)
{
	double top = fmax(l->static_n * 1.5, p->limit);
	for (size_t i = 0; i < p->run_count; i++)
		if (drawable(&p->runs[i]))
			top = fmax(top, p->runs[i].peak);
	double step = axes_step(top * 1.08, 5);
	return (struct axes){LEFT, RIGHT, BOTTOM, TOP, -BEFORE_S, l->end_s + AFTER_S, ceil(top * 1.08 / step) * step};
}

static void draw_frame(struct arena *a, struct drawing *d, const struct axes *s, const struct plot_words *words)
{
	axes_draw(a, d, s, axes_step(s->y_to, 5), 1, true);
	for (int t = 0; t <= (int)floor(s->x_to); t++)
		axes_mark(a, d, s, t, 4.2, text_number(a, t, 0));
	double zero = axes_x(s, 0);
	struct draw *contact = drawing_line(a, d, zero, BOTTOM, zero, TOP, 0.1);
	contact->grey = 0.6;
	axes_words(a, d, LEFT - 12, TOP + 3, words->force, ALIGN_LEFT);
	axes_words(a, d, RIGHT, 1.4, words->time, ALIGN_RIGHT);
}

/* Seconds from contact to the first passing of the static force: the earliest of all recordings, which
 * gives the strictest step. 0 when none passed it. */
static double earliest_t1(const struct point_result *p)
{
	double earliest = INFINITY;
	for (size_t i = 0; i < p->run_count; i++)
		if (drawable(&p->runs[i]) && p->runs[i].t1 >= p->runs[i].t0)
			earliest = fmin(earliest, p->runs[i].t1 - p->runs[i].t0);
	return isfinite(earliest) ? earliest : 0;
}

static void draw_limit(struct arena *a, struct drawing *d, const struct axes *s,
	const struct point_result *p, const struct plot_limit *l, const struct plot_words *words)
{
	double step = earliest_t1(p) + l->dynamic_s;
	struct draw_point line[] = {
		{axes_x(s, s->x_from), axes_y(s, p->limit)}, {axes_x(s, step), axes_y(s, p->limit)},
		{axes_x(s, step), axes_y(s, l->static_n)},
		{axes_x(s, l->end_s), axes_y(s, l->static_n)},
		{axes_x(s, l->end_s), axes_y(s, l->contact_n)},
		{axes_x(s, s->x_to), axes_y(s, l->contact_n)},
	};
	drawing_polyline(a, d, line, sizeof line / sizeof *line, 0.5);
	const char *forces[] = {text_number(a, p->limit, 1), text_number(a, l->static_n, 1),
		text_number(a, l->contact_n, 1)};
	axes_words(a, d, line[1].x + 1.2, line[1].y - 2.6,
		arena_format(a, "%s %s N", words->limit, forces[0]), ALIGN_LEFT);
	axes_words(a, d, line[3].x - 1.2, line[3].y + 1.1,
		arena_format(a, "%s %s N", words->limit, forces[1]), ALIGN_RIGHT);
	axes_words(a, d, line[5].x, line[5].y + 1.1, arena_format(a, "%s N", forces[2]), ALIGN_RIGHT);
}

/* Black lines told apart by slightly different dashes. */
static const struct {
	double dash, gap;
} STROKES[] = {{0, 0}, {2.4, 0.7}, {0.8, 0.6}, {2.4, 1.8}, {0.3, 0.6}};
enum { STROKE_COUNT = sizeof STROKES / sizeof *STROKES };

static void set_stroke(struct draw *w, size_t run)
{
	w->dash = STROKES[run % STROKE_COUNT].dash;
	w->gap = STROKES[run % STROKE_COUNT].gap;
}

static void draw_run(struct arena *a, struct drawing *d, const struct axes *s,
	const struct run_result *run, size_t index)
{
	struct draw_point *points;
	size_t n = plot_thin(a, run->recording, run->t0 + s->x_from, run->t0 + s->x_to, PLOT_POINTS,
		&points);
	size_t kept = 0;
	for (size_t i = 0; i < n; i++)
		if (isfinite(points[i].x) && isfinite(points[i].y))
			points[kept++] = (struct draw_point){axes_x(s, points[i].x - run->t0),
				axes_y(s, points[i].y)};
	if (kept > 1)
		set_stroke(drawing_polyline(a, d, points, kept, 0.22), index);
}

/* A key in the upper right corner, below the top line. */
static void draw_key(struct arena *a, struct drawing *d, const struct point_result *p,
	const struct plot_words *words)
{
	double y = TOP - 3;
	for (size_t i = 0; i < p->run_count; i++) {
		if (!drawable(&p->runs[i]))
			continue;
		set_stroke(drawing_line(a, d, RIGHT - 40, y + 0.9, RIGHT - 30, y + 0.9, 0.25), i);
		axes_words(a, d, RIGHT - 28, y, words->runs[i], ALIGN_LEFT);
		y -= 3.6;
	}
}

struct drawing *plot_draw(struct arena *a, const struct point_result *point,
	const struct plot_limit *limit, const struct plot_words *words)
{
	struct drawing *d = drawing_new(a, PLOT_WIDTH, PLOT_HEIGHT);
	struct axes s = choose_axes(point, limit);
	draw_frame(a, d, &s, words);
	for (size_t i = 0; i < point->run_count; i++)
		if (drawable(&point->runs[i]))
			draw_run(a, d, &s, &point->runs[i], i);
	if (point->limit > 0)
		draw_limit(a, d, &s, point, limit, words);
	draw_key(a, d, point, words);
	return d;
}
