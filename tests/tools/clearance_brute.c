/* Holds the clearance engine against looking very often, and takes its time.
 *
 *   clearance_brute [FIRST COUNT LOOKS]   pairs of bodies by lot, 1,000 and 100,000 looks each
 * unless told clearance_brute time                  a gate's worth of pairs, microseconds each
 *
 * `make brute` builds and runs it. Ends with 1 where one pair disagrees.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "../unit/calc_clearance_bench.h"

static const double TOLERANCE = 1e-4, FINE = 0.6;

static double seconds(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static int by_lot(struct arena *a, long first, long count, int looks)
{
	double engine = 0, looking = 0, worst_step = 0, steps = 0;
	long wrong = 0, compared = 0, concave = 0, knots = 0;
	struct bench_truth truth = {.gaps = malloc(((size_t)looks + 1) * sizeof *truth.gaps)};
	for (long n = first; truth.gaps && n < first + count; n++) {
		struct bench_body pair[2];
		double across = n % 3 ? 0 : 0.02 * (double)(n % 7), start = seconds();
		bool clear;
		bench_pair((uint64_t)n, pair);
		struct clearance_profile p =
			clearance_of(a, &pair[0].body, &pair[1].body, across, TOLERANCE, FINE);
		engine += seconds() - start;
		start = seconds();
		bench_look(&pair[0].body, &pair[1].body, across, looks, &truth);
		looking += seconds() - start;
		const char *why = bench_disagrees(&p, &truth, looks, TOLERANCE, FINE, &clear);
		if (why)
			printf("pair %ld: %s\n", n, why);
		wrong += why != NULL;
		compared += clear;
		concave += pair[0].concave + pair[1].concave;
		knots += (long)p.count;
		worst_step = fmax(worst_step, truth.step_error);
		steps += truth.step_error;
		arena_release(a);
	}
	printf("%ld pairs at %d looks, %.0f %% of the bodies concave: %ld disagree; turns clear "
	       "enough to compare in %ld\n",
		count, looks, 50.0 * (double)concave / (double)count, wrong, compared);
	printf("a step's own error %.3f mm, at most %.3f; %.0f knots and %.0f us a pair, looking "
	       "%.0f us\n",
		steps / (double)count * 1e3, worst_step * 1e3, (double)knots / (double)count,
		engine / (double)count * 1e6, looking / (double)count * 1e6);
	free(truth.gaps);
	return wrong > 0;
}

/* A swing gate of two leaves, a sliding and a folding one, and what stands beside them: corners x,
 * y. */
static struct geo_point LEAF[] = {{0.03, -0.03}, {3.06, -0.03}, {3.06, 0.03}, {0.03, 0.03}},
			SECOND[] = {{3.1, -0.03}, {6.15, -0.03}, {6.15, 0.03}, {3.1, 0.03}},
			PIER[] = {{-0.4, -0.2}, {-0.05, -0.2}, {-0.05, 0.3}, {-0.15, 0.3},
				{-0.15, 0.5}, {-0.4, 0.5}},
			WALL[] = {{-0.5, 0.5}, {-0.3, 0.5}, {-0.3, 5}, {-0.5, 5}},
			POST[] = {{6.3, -0.2}, {6.7, -0.2}, {6.7, 0.3}, {6.3, 0.3}},
			KERB[] = {{1, 2}, {2, 2}, {2, 2.2}, {1, 2.2}},
			SLIDER[] = {{0, 0}, {4.5, 0}, {4.5, 0.06}, {0, 0.06}},
			RECEIVER[] = {{-0.1, -0.02}, {-0.02, -0.02}, {-0.02, 0.08}, {-0.1, 0.08}},
			GUIDE[] = {{4.3, 0.1}, {4.4, 0.1}, {4.4, 0.2}, {4.3, 0.2}},
			FENCE[] = {{4.5, -0.15}, {10, -0.15}, {10, -0.1}, {4.5, -0.1}},
			END[] = {{9.8, 0}, {9.9, 0}, {9.9, 0.1}, {9.8, 0.1}},
			INNER[] = {{0, -0.02}, {2, -0.02}, {2, 0.02}, {0, 0.02}},
			OUTER[] = {{2, -0.02}, {4, -0.02}, {4, 0.02}, {2, 0.02}};
static struct motion_step SWING[] = {{.kind = MOTION_TURN, .angle = 1.6}},
			  SWING_BACK[] = {{.kind = MOTION_TURN, .by = {6.2, 0}, .angle = -1.6}},
			  SLIDE[] = {{.kind = MOTION_SHIFT, .by = {5, 0}}},
			  FOLD[] = {{.kind = MOTION_TURN, .by = {2, 0}, .angle = -3},
				  {.kind = MOTION_TURN, .angle = 1.5}};
#define BODY(points_, steps_, count_)                                                              \
	{                                                                                          \
		points_, sizeof points_ / sizeof *points_,                                         \
		{                                                                                  \
			steps_, count_                                                             \
		}                                                                                  \
	}
static const struct moving_body LEFT = BODY(LEAF, SWING, 1), RIGHT = BODY(SECOND, SWING_BACK, 1),
				SLIDING = BODY(SLIDER, SLIDE, 1),
				FIRST_PANEL = BODY(INNER, FOLD + 1, 1),
				LAST_PANEL = BODY(OUTER, FOLD, 2),
				STANDING[] = {BODY(PIER, NULL, 0), BODY(WALL, NULL, 0),
					BODY(POST, NULL, 0), BODY(KERB, NULL, 0),
					BODY(RECEIVER, NULL, 0), BODY(GUIDE, NULL, 0),
					BODY(FENCE, NULL, 0), BODY(END, NULL, 0)};

static const struct {
	const char *name;
	const struct moving_body *x, *y;
} PAIRS[] = {
	{"leaf, pier", &LEFT, &STANDING[0]},
	{"leaf, wall", &LEFT, &STANDING[1]},
	{"leaf, leaf", &LEFT, &RIGHT},
	{"leaf, far post", &LEFT, &STANDING[2]},
	{"leaf, kerb", &LEFT, &STANDING[3]},
	{"second leaf, pier", &RIGHT, &STANDING[0]},
	{"second leaf, wall", &RIGHT, &STANDING[1]},
	{"second leaf, kerb", &RIGHT, &STANDING[3]},
	{"sliding leaf, receiver", &SLIDING, &STANDING[4]},
	{"sliding leaf, guide", &SLIDING, &STANDING[5]},
	{"sliding leaf, fence", &SLIDING, &STANDING[6]},
	{"sliding leaf, end", &SLIDING, &STANDING[7]},
	{"panel, panel", &LAST_PANEL, &FIRST_PANEL},
	{"last panel, pier", &LAST_PANEL, &STANDING[0]},
	{"last panel, wall", &LAST_PANEL, &STANDING[1]},
	{"last panel, post", &LAST_PANEL, &STANDING[2]},
	{"last panel, kerb", &LAST_PANEL, &STANDING[3]},
	{"first panel, pier", &FIRST_PANEL, &STANDING[0]},
	{"first panel, wall", &FIRST_PANEL, &STANDING[1]},
	{"first panel, post", &FIRST_PANEL, &STANDING[2]},
};

static int compare(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static void take_time(struct arena *a)
{
	enum { RUNS = 201 };
	double all = 0, us[RUNS];
	for (size_t i = 0; i < sizeof PAIRS / sizeof *PAIRS; i++) {
		struct clearance_profile p = {0};
		for (int n = 0; n < RUNS; n++) {
			arena_release(a);
			double start = seconds();
			if (clearance_may_come_near(PAIRS[i].x, PAIRS[i].y, 0, FINE))
				p = clearance_of(a, PAIRS[i].x, PAIRS[i].y, 0, TOLERANCE, FINE);
			us[n] = (seconds() - start) * 1e6;
		}
		qsort(us, RUNS, sizeof *us, compare);
		printf("%8.1f us %5zu knots  %s\n", us[RUNS / 2], p.count, PAIRS[i].name);
		all += us[RUNS / 2];
	}
	printf("%8.1f us for all, medians of %d runs\n", all, RUNS);
}

static int run(struct arena *a, int argc, char **argv)
{
	if (argc == 2 && strcmp(argv[1], "time") == 0) {
		take_time(a);
		return 0;
	}
	if (argc == 1)
		return by_lot(a, 0, 1000, 100000);
	return argc == 4 ? by_lot(a, atol(argv[1]), atol(argv[2]), atoi(argv[3])) : 2;
}

int main(int argc, char **argv)
{
	static jmp_buf escape;
	struct arena a;
	if (setjmp(escape))
		return 2;
	arena_init(&a, &escape);
	int status = run(&a, argc, argv);
	arena_release(&a);
	return status;
}
