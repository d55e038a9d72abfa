#include "doc/chart.h"

#include <math.h>

#include "base/text.h"
#include "doc/axes.h"
#include "doc/room.h"

/* The frame of the axes inside the drawing, mm. */
enum { LEFT = 11, RIGHT = 61, BOTTOM = 12, TOP = 36 };

struct chart {
	struct arena *arena;
	struct drawing *d;
	const struct clearance_result *r;
	struct axes axes;
	const struct chart_words *words;
	const struct chart_size *sizes;
	size_t size_count;
};

double chart_range(const struct clearance_result *r, const struct chart_size *sizes, size_t count)
{
	double top = fmax(r->greatest + r->doubt, 0.05), next = INFINITY;
	for (size_t i = 0; i < count; i++)
		if (sizes[i].metres > r->least)
			next = fmin(next, sizes[i].metres);
	if (isfinite(next))
		top = fmax(top, next);
	top = fmin(top, CLEARANCE_FINE);
	double step = axes_step(top, 3);
	return fmin(ceil(top / step * (1 - 1e-9)) * step, CLEARANCE_FINE);
}

/* ---- the gap -----------------------------------------------------------------------------------
 */

static size_t add_crossing(struct clearance_knot *out, size_t n, size_t first,
	const struct clearance_knot *k, double gap)
{
	double part = (gap - k[0].gap) / (k[1].gap - k[0].gap);
	if (!(part > 0 && part < 1))
		return n;
	struct clearance_knot new = {k[0].travel + part * (k[1].travel - k[0].travel), gap};
	size_t at = n;
	for (; at > first && out[at - 1].travel > new.travel; at--)
		out[at] = out[at - 1];
	out[at] = new;
	return n + 1;
}

/* The knots, and more wherever the line, or an edge of its band, leaves the frame. */
static size_t refined(const struct chart *c, struct clearance_knot **out)
{
	const struct clearance_result *r = c->r;
	double top = c->axes.y_to;
	const double levels[] = {top, top - r->doubt, top + r->doubt, r->doubt};
	enum { LEVELS = sizeof levels / sizeof *levels };
	struct clearance_knot *all =
		arena_array(c->arena, r->knot_count * (1 + LEVELS), sizeof *all);
	size_t n = 0;
	for (size_t i = 0; i < r->knot_count; i++) {
		all[n++] = r->knots[i];
		for (size_t k = 0, first = n; k < LEVELS && i + 1 < r->knot_count; k++)
			n = add_crossing(all, n, first, &r->knots[i], levels[k]);
	}
	*out = all;
	return n;
}

static void draw_band(const struct chart *c, const struct clearance_knot *k, size_t n)
{
	struct draw_point *band = arena_array(c->arena, 2 * n, sizeof *band);
	for (size_t i = 0; i < n; i++) {
		double x = axes_x(&c->axes, k[i].travel);
		band[i] = (struct draw_point){x, axes_y(&c->axes, k[i].gap + c->r->doubt)};
		band[2 * n - 1 - i] =
			(struct draw_point){x, axes_y(&c->axes, k[i].gap - c->r->doubt)};
	}
	drawing_polygon(c->arena, c->d, band, 2 * n, 0, 0.82);
}

/* In as many pieces as there are within the frame; where there is none for long, words say why. */
static void draw_curve(const struct chart *c, const struct clearance_knot *k, size_t n)
{
	double top = c->axes.y_to * (1 + 1e-9);
	struct draw_point *line = arena_array(c->arena, n, sizeof *line);
	for (size_t i = 0; i < n;) {
		size_t count = 0;
		for (; i < n && k[i].gap <= top; i++)
			line[count++] = (struct draw_point){
				axes_x(&c->axes, k[i].travel), axes_y(&c->axes, k[i].gap)};
		if (count > 1)
			drawing_polyline(c->arena, c->d, line, count, 0.4);
		size_t from = i;
		while (i < n && k[i].gap > top)
			i++;
		if (i == from)
			continue;
		double x0 = axes_x(&c->axes, k[from ? from - 1 : 0].travel),
		       x1 = axes_x(&c->axes, k[i < n ? i : n - 1].travel);
		if (x1 - x0 > 18)
			axes_words(c->arena, c->d, (x0 + x1) / 2, TOP - 3, c->words->over,
				ALIGN_CENTRE);
	}
}

/* ---- sizes of parts of the body ----------------------------------------------------------------
 */

static void draw_sizes(const struct chart *c)
{
	const struct chart_size *sizes = c->sizes;
	double before = -10;
	for (size_t i = 0; i < c->size_count; i++) {
		if (sizes[i].metres <= 0 || sizes[i].metres > c->axes.y_to * (1 + 1e-9))
			continue;
		double y = axes_y(&c->axes, sizes[i].metres);
		struct draw *line = drawing_line(c->arena, c->d, LEFT, y, RIGHT, y, 0.1);
		line->dash = 0.8;
		line->gap = 0.8;
		double at = fmax(y - 0.9, before + 2.8);
		axes_words(c->arena, c->d, RIGHT + 1.2, at,
			arena_format(c->arena, "%s %s", sizes[i].name,
				text_number(c->arena, sizes[i].metres * 1000, 0)),
			ALIGN_LEFT);
		before = at;
	}
}

/* ---- where something is hurt -------------------------------------------------------------------
 */

/* The part of a stretch that the chart shows: it ends at the narrow end. */
static double shown_from(const struct chart *c, const struct clearance_stretch *s)
{
	double begin = s->opening ? s->from : s->to;
	for (size_t i = 0; i + 1 < c->r->knot_count; i++) {
		const struct clearance_knot *k = &c->r->knots[i];
		double part = (c->axes.y_to - k[0].gap) / (k[1].gap - k[0].gap);
		double at = k[0].travel + part * (k[1].travel - k[0].travel);
		if (part >= 0 && part < 1 && at >= s->from && at <= s->to)
			begin = at;
	}
	return begin;
}

static void draw_hurt(const struct chart *c)
{
	for (size_t i = 0; i < c->r->stretch_count; i++) {
		const struct clearance_stretch *s = &c->r->stretches[i];
		if (!s->kinds)
			continue;
		double y = BOTTOM - (s->opening ? 2.1 : 4.1), way = s->opening ? -1.8 : 1.8;
		double tip = axes_x(&c->axes, s->opening ? s->to : s->from),
		       begin = axes_x(&c->axes, shown_from(c, s));
		/* Never shorter than its own head. */
		begin = s->opening ? fmin(begin, tip - 3) : fmax(begin, tip + 3);
		drawing_line(c->arena, c->d, begin, y, tip + way, y, 0.7);
		struct draw_point p[] = {{tip, y}, {tip + way, y + 0.9}, {tip + way, y - 0.9}};
		drawing_polygon(c->arena, c->d, p, 3, 0, 0);
	}
	if (c->r->slides)
		axes_words(
			c->arena, c->d, (LEFT + RIGHT) / 2.0, 0.7, c->words->passing, ALIGN_CENTRE);
}

static void draw_head(const struct chart *c, double x, double y, double way)
{
	struct draw_point p[] = {{x, y}, {x + 0.5, y + way}, {x - 0.5, y + way}};
	drawing_polygon(c->arena, c->d, p, 3, 0, 0);
}

/* Whether the curve, or the line of a size, runs through words. */
static bool is_struck(const struct chart *c, struct box words)
{
	for (size_t i = 0; i < c->size_count; i++) {
		double y = axes_y(&c->axes, c->sizes[i].metres);
		if (c->sizes[i].metres > 0 && y > words.y0 && y < words.y1)
			return true;
	}
	for (size_t i = 0; i + 1 < c->r->knot_count; i++) {
		const struct clearance_knot *k = &c->r->knots[i];
		struct draw_point from = {axes_x(&c->axes, k[0].travel), axes_y(&c->axes, k[0].gap)};
		struct draw_point to = {axes_x(&c->axes, k[1].travel), axes_y(&c->axes, k[1].gap)};
		if (box_meets_line(words, from, to))
			return true;
	}
	return false;
}

/* The lowest base line from `base` upwards on which nothing strikes the words. */
static double free_base(
	const struct chart *c, double x, double base, const char *words, enum doc_align align)
{
	static const double STEP = 0.5, HEIGHT = 2;
	double at = base;
	while (at < TOP - HEIGHT && is_struck(c, box_of_words(x, at, words, align)))
		at += STEP;
	return at < TOP - HEIGHT ? at : base;
}

/* Upright from the axis to the least gap: under the curve there is room, since nothing of it lies
 * lower. */
static void draw_least(const struct chart *c)
{
	struct arena *a = c->arena;
	const struct clearance_result *r = c->r;
	double x = axes_x(&c->axes, r->least_at), y = axes_y(&c->axes, r->least),
	       at = fmin(fmax(x, LEFT + 2), RIGHT - 2);
	bool left = at > (LEFT + RIGHT) / 2.0;
	const char *text = quantity_text(a, quantity_of(round(r->least * 1e4) / 1e4, DIM_LENGTH));
	double width = 1.5 * (double)utf8_length(text), way = left ? -1 : 1, from = at + way * 0.9;
	enum doc_align align = left ? ALIGN_RIGHT : ALIGN_LEFT;
	double base = free_base(c, from, y + 1.2, text, align);
	drawing_circle(a, c->d, x, y, 0.7, 0.2, 1);
	if (y - BOTTOM > 6) {
		base = (y + BOTTOM) / 2 - 1;
		drawing_line(a, c->d, at, BOTTOM, at, y, 0.12);
		drawing_line(a, c->d, fmin(x, at - 0.6), y, fmax(x, at + 0.6), y, 0.12);
		draw_head(c, at, y, -1.7);
		draw_head(c, at, BOTTOM, 1.7);
		struct draw_point clear[] = {{from, base - 0.4}, {from + way * width, base - 0.4},
			{from + way * width, base + 2.2}, {from, base + 2.2}};
		drawing_polygon(a, c->d, clear, 4, 0, 1);
	}
	drawing_text(a, c->d, from, base, text, AXES_TEXT, align)->bold = true;
}

struct drawing *chart_draw(struct arena *a, const struct clearance_result *r,
	const struct chart_size *sizes, size_t count, const struct chart_words *words)
{
	if (r->knot_count < 2)
		return NULL;
	struct chart c = {a, drawing_new(a, CHART_WIDTH, CHART_HEIGHT), r,
		{LEFT, RIGHT, BOTTOM, TOP, 0, 1, chart_range(r, sizes, count)}, words, sizes, count};
	struct clearance_knot *knots;
	size_t n = refined(&c, &knots);
	draw_band(&c, knots, n);
	draw_sizes(&c);
	axes_draw(a, c.d, &c.axes, axes_step(c.axes.y_to, 3), 1000, false);
	for (int i = 0; i <= 4; i++)
		axes_mark(a, c.d, &c.axes, i / 4.0, 7.9,
			i == 0   ? words->closed
			: i == 4 ? words->open
				 : arena_format(a, "%d %%", i * 25));
	draw_curve(&c, knots, n);
	draw_hurt(&c);
	draw_least(&c);
	drawing_text(a, c.d, 0, 42, words->title, AXES_TEXT, ALIGN_LEFT)->bold = true;
	axes_words(a, c.d, 0, TOP + 2.2, words->gap, ALIGN_LEFT);
	return c.d;
}
