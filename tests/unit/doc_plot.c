/* Force-time plots: thinning against a search through every sample, places on paper against the straight
 * line between the corners of the axes (14..158 mm for -0.25..5.5 s, 11..55 mm for 0..top N). */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <stdlib.h>

#include "doc/plot.h"

TestSuite(doc_plot);

static struct arena a;
static jmp_buf escape;

enum { SAMPLES = 6001 };
static double times[SAMPLES], forces[SAMPLES];
static int lines[SAMPLES];

/* 1 kHz, contact at 0.5 s, a single sample of 390 N at 0.8005 s. */
static struct recording make_recording(void)
{
	for (int i = 0; i < SAMPLES; i++) {
		times[i] = i * 0.001;
		double t = times[i] - 0.5;
		forces[i] = t < 0 ? 0 : t < 0.4 ? 300 * sin(3.14159265 * t / 0.4) : 8 + 3 * sin(70 * t);
		lines[i] = i + 2;
	}
	forces[801] = 390;
	return (struct recording){.name = "", .time_s = times, .force_n = forces, .lines = lines,
		.count = SAMPLES};
}

static const struct plot_limit LIMIT = {150, 25, 0.75, 5};
static const char *const RUNS[] = {"Recording 1", "Recording 2"};
static const struct plot_words WORDS = {"Force", "Time", "Limit", RUNS};

Test(doc_plot, thinning_keeps_extremes_order_and_bound)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	struct draw_point *p;
	size_t n = plot_thin(&a, &r, 0.25, 5.5, PLOT_POINTS, &p);
	cr_assert(n > 100 && n <= PLOT_POINTS);
	double most = 0, least = 1e9, all_most = 0, all_least = 1e9;
	for (size_t i = 0; i < n; i++) {
		most = fmax(most, p[i].y);
		least = fmin(least, p[i].y);
		cr_expect(i == 0 || p[i].x > p[i - 1].x);
		/* every point is a sample as recorded */
		size_t at = (size_t)lround(p[i].x / 0.001);
		cr_expect(p[i].x == times[at] && p[i].y == forces[at]);
	}
	for (int i = 250; i <= 5500; i++) {
		all_most = fmax(all_most, forces[i]);
		all_least = fmin(all_least, forces[i]);
	}
	cr_expect_eq(most, all_most);
	cr_expect_eq(least, all_least);
	cr_expect_eq(most, 390);
	arena_release(&a);
}

Test(doc_plot, few_samples_are_all_kept)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	struct draw_point *p;
	/* from 1.0 s to 1.1 s, both ends included: 101 samples */
	cr_expect_eq(plot_thin(&a, &r, 0.9995, 1.1005, PLOT_POINTS, &p), 101);
	cr_expect_eq(plot_thin(&a, &r, 7, 8, PLOT_POINTS, &p), 0);
	arena_release(&a);
}

static const struct draw *find_line(const struct drawing *d, size_t count, double stroke)
{
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_LINE && w->count == count && fabs(w->stroke - stroke) < 1e-9)
			return w;
	return NULL;
}

static double x_of(double s)
{
	return 14 + (s + 0.25) / 5.75 * 144;
}

static double y_of(double n, double top)
{
	return 11 + n / top * 44;
}

static struct drawing *draw(double limit, struct run_result *runs, size_t count)
{
	struct point_result point = {.id = "p", .limit = limit, .runs = runs, .run_count = count};
	return plot_draw(&a, &point, &LIMIT, &WORDS);
}

Test(doc_plot, the_limit_steps_at_the_earliest_t1)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	struct run_result runs[] = {
		{.recording = &r, .usable = true, .peak = 390, .t0 = 0.5, .t1 = 0.57},
		{.recording = &r, .usable = true, .peak = 390, .t0 = 0.5, .t1 = 0.56},
	};
	struct drawing *d = draw(400, runs, 2);
	const struct draw *l = find_line(d, 6, 0.5);
	cr_assert(l != NULL);
	/* 400 N and 390 N with 8 % of room ask for 432 N: the next step of 100 N is 500 N */
	const double corners[][2] = {{-0.25, 400}, {0.81, 400}, {0.81, 150}, {5, 150}, {5, 25}, {5.5, 25}};
	for (size_t i = 0; i < 6; i++) {
		cr_expect_float_eq(l->points[i].x, x_of(corners[i][0]), 1e-6, "corner %zu", i);
		cr_expect_float_eq(l->points[i].y, y_of(corners[i][1], 500), 1e-6, "corner %zu", i);
	}
	arena_release(&a);
}

Test(doc_plot, recordings_are_drawn_from_contact_and_told_apart)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	struct run_result runs[] = {
		{.recording = &r, .usable = true, .peak = 390, .t0 = 0.5, .t1 = 0.57},
		{.recording = NULL, .peak = 0},
		{.recording = &r, .usable = true, .peak = 390, .t0 = 0.5, .t1 = 0.57},
	};
	static const char *const three[] = {"1", "2", "3"};
	struct point_result point = {.id = "p", .limit = 400, .runs = runs, .run_count = 3};
	struct plot_words words = {"Force", "Time", "Limit", three};
	struct drawing *d = plot_draw(&a, &point, &LIMIT, &words);
	size_t drawn = 0;
	double dashes[2] = {0, 0};
	for (const struct draw *w = d->first; w; w = w->next)
		if (w->kind == DRAW_LINE && w->count > 100) {
			cr_assert_lt(drawn, 2);
			dashes[drawn++] = w->dash;
			double most = 0;
			for (size_t i = 0; i < w->count; i++)
				most = fmax(most, w->points[i].y);
			cr_expect_float_eq(most, y_of(390, 500), 1e-6);
			cr_expect_eq(w->grey, 0);
		}
	cr_expect_eq(drawn, 2);
	cr_expect(dashes[0] != dashes[1]);
	arena_release(&a);
}

Test(doc_plot, nothing_leaves_the_drawing)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	forces[900] = -800;
	forces[901] = NAN;
	times[2000] = 0.1; /* runs backwards */
	struct run_result run = {.recording = &r, .peak = 390, .t0 = 0.5, .t1 = -1};
	struct drawing *d = draw(1400, &run, 1);
	for (const struct draw *w = d->first; w; w = w->next)
		for (size_t i = 0; i < w->count; i++) {
			cr_expect(w->points[i].x >= 0 && w->points[i].x <= PLOT_WIDTH);
			cr_expect(w->points[i].y >= 0 && w->points[i].y <= PLOT_HEIGHT);
		}
	arena_release(&a);
}

Test(doc_plot, an_unknown_limit_is_not_drawn)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct recording r = make_recording();
	struct run_result run = {.recording = &r, .usable = true, .peak = 390, .t0 = 0.5, .t1 = 0.57};
	cr_expect(find_line(draw(0, &run, 1), 6, 0.5) == NULL);
	cr_expect(find_line(draw(400, &run, 1), 6, 0.5) != NULL);
	arena_release(&a);
}
