/* Clearance charts. The frame is 50 mm wide from 11 mm and 24 mm high from 12 mm: places on paper
 * are worked out from that, beside each check. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "doc/chart.h"

static struct arena a;
static jmp_buf escape;

static const struct chart_words WORDS = {
	"a – b", "Gap in mm", "closed", "open", "over 600 mm", "they pass"};
/* EN ISO 13854:2019, Table 1. */
static const struct chart_size SIZES[] = {
	{"finger", 0.025}, {"hand", 0.1}, {"head", 0.3}, {"body", 0.5}, {"none", 0}};

static struct clearance_result pair(
	const struct clearance_knot *knots, size_t count, double least, double greatest)
{
	return (struct clearance_result){.key = "a~b@gate",
		.knots = knots,
		.knot_count = count,
		.least = least,
		.greatest = greatest,
		.doubt = 0.01};
}

static struct drawing *draw(const struct clearance_result *r)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	return chart_draw(&a, r, SIZES, sizeof SIZES / sizeof *SIZES, &WORDS);
}

static const struct draw *text_of(const struct drawing *d, const char *text)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_TEXT && text_equal(w->text, text))
			return w;
	return NULL;
}

/* The `index`-th curve. */
static const struct draw *curve_of(const struct drawing *d, int index)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_LINE && w->stroke == 0.4 && index-- == 0)
			return w;
	return NULL;
}

Test(doc_chart, gap_and_doubt_stand_where_they_are)
{
	static const struct clearance_knot KNOTS[] = {{0, 0.5}, {1, 0.3}};
	struct clearance_result r = pair(KNOTS, 2, 0.3, 0.5);
	r.least_at = 1;
	struct drawing *d = draw(&r);
	cr_assert_not_null(d);
	cr_expect(d->width == 80 && d->height == 45, "two stand side by side");
	/* 510 mm go on 600 mm: a millimetre for 25. 500 mm at 12 + 20, 300 mm at 12 + 12; ± 10 mm
	 * are 0.8 mm. */
	const struct draw *curve = curve_of(d, 0), *band = d->first;
	cr_assert(curve && curve->count == 2);
	cr_expect_float_eq(curve->points[0].x, 11, 1e-9);
	cr_expect_float_eq(curve->points[0].y, 32, 1e-9);
	cr_expect_float_eq(curve->points[1].x, 61, 1e-9);
	cr_expect_float_eq(curve->points[1].y, 24, 1e-9);
	cr_assert(band->kind == DRAW_POLYGON && band->count == 4);
	cr_expect_float_eq(band->points[0].y - band->points[3].y, 0.8, 1e-9);
	cr_expect(text_of(d, "300 mm") && text_of(d, "a – b") && text_of(d, "Gap in mm"));
	/* The line of the body lies at 12 + 20; what has no size has no line. */
	cr_expect_float_eq(text_of(d, "body 500")->points[0].y, 32 - 0.9, 1e-9);
	cr_expect_null(text_of(d, "none 0"));
	arena_release(&a);
}

Test(doc_chart, beyond_the_range_there_is_no_line)
{
	/* From 2600 mm to 100 mm and back: 600 mm are passed at 0.5 · 2000 / 2500 = 0.4, and at
	 * 0.6. */
	static const struct clearance_knot KNOTS[] = {{0, 2.6}, {0.5, 0.1}, {1, 2.6}};
	struct clearance_result r = pair(KNOTS, 3, 0.1, 2.6);
	r.least_at = 0.5;
	struct drawing *d = draw(&r);
	const struct draw *curve = curve_of(d, 0);
	cr_assert(curve && curve->count >= 3);
	cr_expect_null(curve_of(d, 1));
	cr_expect_float_eq(curve->points[0].x, 11 + 50 * 0.4, 1e-6);
	cr_expect_float_eq(curve->points[0].y, 36, 1e-6);
	cr_expect_float_eq(curve->points[curve->count - 1].x, 11 + 50 * 0.6, 1e-6);
	cr_expect(text_of(d, "over 600 mm"), "and words say so");
	/* The band leaves the frame where the gap less its doubt does: 610 mm, 0.5 · 1990 / 2500 =
	 * 0.398. */
	double first = INFINITY;
	for (size_t i = 0; i < d->first->count; i++)
		if (d->first->points[i].y < 36 - 1e-9)
			first = fmin(first, d->first->points[i].x);
	cr_expect(first > 11 + 50 * 0.398 - 1e-6);
	arena_release(&a);
}

Test(doc_chart, the_range_is_what_the_gap_and_the_next_part_need)
{
	/* 90 mm all the way, ± 10 mm: the hand, 100 mm, is the next. */
	struct clearance_result r = pair(NULL, 0, 0.09, 0.09);
	cr_expect_float_eq(chart_range(&r, SIZES, 5), 0.1, 1e-12);
	r = pair(NULL, 0, 0, 0.002); /* never less than 50 mm, in steps of 20 mm */
	cr_expect_float_eq(chart_range(&r, SIZES, 5), 0.06, 1e-12);
	r = pair(NULL, 0, 0.2, 30);
	cr_expect_float_eq(chart_range(&r, SIZES, 5), 0.6, 1e-12);
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	cr_expect_null(chart_draw(&a, &r, SIZES, 5, &WORDS), "never near: nothing to show");
	arena_release(&a);
}

/* The thick line under the axis, and the tip of its arrow. */
static const struct draw *hurt_of(const struct drawing *d, struct draw_point *tip)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_LINE && w->stroke == 0.7) {
			*tip = w->next->points[0];
			return w;
		}
	return NULL;
}

Test(doc_chart, an_arrow_tells_where_and_in_which_direction_it_hurts)
{
	/* 1100 mm to 100 mm: in the range from 0.5 on. */
	static const struct clearance_knot KNOTS[] = {{0, 1.1}, {1, 0.1}},
					   BACK[] = {{0, 0.1}, {1, 1.1}};
	struct clearance_stretch s = {
		.to = 1, .start = 1.1, .end = 0.1, .opening = true, .kinds = CLEARANCE_CRUSHING};
	struct clearance_result r = pair(KNOTS, 2, 0.1, 1.1);
	struct draw_point tip;
	r.stretches = &s;
	r.stretch_count = 1;
	const struct draw *line = hurt_of(draw(&r), &tip);
	cr_assert_not_null(line);
	cr_expect_float_eq(line->points[0].x, 11 + 25, 1e-6);
	cr_expect_float_eq(tip.x, 61, 1e-9, "opening: to the right");
	double opening = line->points[0].y;
	arena_release(&a);
	s = (struct clearance_stretch){
		.to = 1, .start = 0.1, .end = 1.1, .kinds = CLEARANCE_SHEARING};
	r.knots = BACK;
	line = hurt_of(draw(&r), &tip);
	cr_assert_not_null(line);
	cr_expect_float_eq(line->points[0].x, 11 + 25, 1e-6);
	cr_expect_float_eq(tip.x, 11, 1e-9, "closing: to the left");
	cr_expect(line->points[0].y < opening, "on a line of its own");
	arena_release(&a);
	s.kinds = 0;
	r.slides = true;
	struct drawing *d = draw(&r);
	cr_expect_null(hurt_of(d, &tip), "where nothing is hurt there is no line");
	cr_expect(text_of(d, "they pass"));
	arena_release(&a);
}

Test(doc_chart, no_line_strikes_the_least_gap)
{
	/* 20 mm on 600 mm stand at 12.8, 600 mm at 36: the curve rises by 0.464 a mm. Words of 9.75 mm
	 * begin at 13.9, so that it is at 18.67 where they end; they reach 0.6 below their base line. */
	static const struct clearance_knot KNOTS[] = {{0, 0.02}, {1, 0.6}};
	struct clearance_result r = pair(KNOTS, 2, 0.02, 0.6);
	struct drawing *d = draw(&r);
	const struct draw *words = text_of(d, "20 mm");
	cr_assert_not_null(words);
	cr_expect_float_eq(words->points[0].x, 13.9, 1e-9);
	cr_expect(words->points[0].y >= 19.27, "over the curve: %g", words->points[0].y);
	cr_expect(words->points[0].y < 19.27 + 0.5, "and no higher than it must");
	arena_release(&a);
}

Test(doc_chart, nothing_leaves_the_drawing)
{
	static const struct clearance_knot KNOTS[] = {
		{0, 5}, {0.2, 0}, {0.3, 0}, {0.31, 40}, {1, 0.001}};
	struct clearance_stretch s[] = {{.to = 0.2, .start = 5, .opening = true, .kinds = 1},
		{.from = 0.3, .to = 0.31, .end = 40, .kinds = 1},
		{.from = 0.31, .to = 1, .start = 40, .opening = true, .kinds = 2}};
	struct clearance_result r = pair(KNOTS, 5, 0, 40);
	r.stretches = s;
	r.stretch_count = 3;
	struct drawing *d = draw(&r);
	cr_assert_not_null(d);
	for (const struct draw *w = d->first; w; w = w->next)
		for (size_t i = 0; i < w->count; i++)
			cr_expect(w->points[i].x >= 0 && w->points[i].x <= d->width &&
					  w->points[i].y >= 0 && w->points[i].y <= d->height,
				"%g, %g", w->points[i].x, w->points[i].y);
	arena_release(&a);
}
