/* Reliability of the parts of a control, by EN ISO 13849-1. */
#include "assess/level_steps.h"

#include <math.h>

#define MONTHS_A_YEAR 12.0
#define SECONDS_AN_HOUR 3600.0
#define HOURS_A_YEAR 8760.0

#define LIFE(key_name) .name = key_name, .dim = &DIM_MONTHS, .bare = "years", .low = "0.001 years", \
	.high = "1000000 years", .worse = WORSE_LOWER
#define B10D_KEYS(in_form) \
	{.name = "b10d", .dim = &DIM_NUMBER, .bare = "", .low = "1", .high = "10000000000", .forms = in_form, \
		.needed = in_form, .worse = WORSE_LOWER}, \
	{.name = "operations", .dim = &DIM_RATE, .bare = "1/year", .low = "0.01 1/year", \
		.high = "1000000000 1/year", .forms = in_form, .needed = in_form, .worse = WORSE_HIGHER}

/* --- what they share ------------------------------------------------------------------------------- */

static bool tables(struct reckoning_run *r, struct reliability_tables *t)
{
	const char *missing = reliability_tables_fill(r->context, t);
	if (missing) {
		run_refuse(r, "no-limit");
		run_refuse_text(r, "limit", missing);
	}
	return !missing;
}

static double years(struct reckoning_run *r, const char *key)
{
	return run_si(r, key) / MONTHS_A_YEAR;
}

static double per_year(struct reckoning_run *r)
{
	return run_si(r, "operations") * SECONDS_AN_HOUR * HOURS_A_YEAR;
}

static const double *list_in(struct reckoning_run *r, const char *key, double factor, size_t *count)
{
	const double *si = run_list(r, key, count);
	double *list = arena_array(r->arena, *count + 1, sizeof *list);
	for (size_t i = 0; i < *count; i++)
		list[i] = si[i] * factor;
	return list;
}

/* "a + b + c" with each as `format` has it. */
static const char *sum_text(struct reckoning_run *r, const double *values, size_t count, const char *before)
{
	struct buf b;
	buf_init(&b, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&b, "%s%s%s", i ? " + " : "", before, figure_text(r->arena, values[i]));
	return b.bytes;
}

/* A result that is a level: nothing where there is none. */
static void level_result(struct reckoning_run *r, const char *key, enum level l)
{
	if (l == LEVEL_NONE)
		run_nothing(r, key);
	else
		run_result(r, key, level_word(l));
}

static struct level_steps steps_of(struct reckoning_run *r, const struct reliability_tables *t)
{
	return (struct level_steps){.context = r->context, .steps = &r->out->steps, .tables = t};
}

static void life_step(struct reckoning_run *r, const struct reliability_tables *t, double of_years)
{
	struct level_steps w = steps_of(r, t);
	level_say_look(&w, "reliability-life-class", TABLE_LIVES, of_years);
	level_figure(&w, "years", of_years);
	level_word_of(&w, "class", life_word(life_class(t, of_years)));
}

static void cap_step(struct reckoning_run *r, enum category c, double of_years, double counts)
{
	double cap;
	if (!run_bound(r, c == CATEGORY_4 ? LIMIT_CAP_4 : LIMIT_CAP, &cap))
		return;
	run_step(r, "reliability-cap", NULL, STANDING_PUBLISHED);
	run_figure(r, "years", of_years);
	run_figure(r, "cap", cap / MONTHS_A_YEAR);
	run_figure(r, "counts", counts);
}

/* --- required-level -------------------------------------------------------------------------------- */

static const struct reckon_key REQUIRED_KEYS[] = {
	{.name = "severity", .kind = RECKON_WORD, .choices = "1|2", .needed = FORM_1},
	{.name = "frequency", .kind = RECKON_WORD, .choices = "1|2", .needed = FORM_1},
	{.name = "avoidance", .kind = RECKON_WORD, .choices = "1|2", .needed = FORM_1},
	{.name = "floor", .kind = RECKON_WORD, .choices = "a|b|c|d|e"},
};

static const struct reckon_result_key REQUIRED_RESULTS[] = {{"level", WORSE_NEITHER}};

static int one_or_two(const struct reckoning_run *r, const char *key)
{
	return run_word(r, key)[0] == '2' ? 2 : 1;
}

static void run_required(struct reckoning_run *r)
{
	struct reliability_tables t;
	if (!tables(r, &t))
		return;
	int s = one_or_two(r, "severity"), f = one_or_two(r, "frequency"), p = one_or_two(r, "avoidance");
	enum level l = level_required(&t, s, f, p), floor = level_of_word(run_word(r, "floor"));
	struct grid_key keys[] = {grid_word(arena_format(r->arena, "S%dF%d", s, f)),
		grid_word(arena_format(r->arena, "P%d", p))};
	struct grid_hit hit;
	if (!run_look(r, TABLE_RISK_GRAPH, keys, &hit))
		return;
	run_step(r, "reliability-risk-graph", NULL, STANDING_PUBLISHED);
	run_text(r, "severity", run_word(r, "severity"));
	run_text(r, "frequency", run_word(r, "frequency"));
	run_text(r, "avoidance", run_word(r, "avoidance"));
	run_text(r, "level", level_word(l));
	if (floor != LEVEL_NONE) {
		run_step(r, "reliability-floor", "the floor put in", STANDING_PRACTICE);
		run_text(r, "level", level_word(l));
		run_text(r, "floor", level_word(floor));
		run_text(r, "higher", level_word(floor > l ? floor : l));
	}
	l = floor > l ? floor : l;
	level_result(r, "level", l);
	run_means(r, "needs", false);
	run_means_text(r, "level", level_word(l));
}

/* --- operations ------------------------------------------------------------------------------------ */

static const struct reckon_key OPERATION_KEYS[] = {
	{.name = "days", .dim = &DIM_DAYS, .bare = "days", .low = "1 days", .high = "366 days", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "hours", .dim = &DIM_TIME, .bare = "h", .low = "0.01 h", .high = "24 h", .needed = FORM_1,
		.worse = WORSE_HIGHER},
	{.name = "cycle", .dim = &DIM_TIME, .low = "0.1 s", .high = "8784 h", .needed = FORM_1, .worse = WORSE_LOWER},
};

static const struct reckon_result_key OPERATION_RESULTS[] = {{"per_year", WORSE_HIGHER}};

static void run_operations(struct reckoning_run *r)
{
	double days = run_si(r, "days"), hours = run_si(r, "hours") / SECONDS_AN_HOUR, cycle = run_si(r, "cycle");
	double n = operations_per_year(days, hours, cycle);
	run_step(r, "reliability-operations", "EN ISO 13849-1:2015, Annex C.4", STANDING_PUBLISHED);
	run_figure(r, "days", days);
	run_figure(r, "hours", hours);
	run_figure(r, "cycle", cycle);
	run_figure(r, "n", n);
	run_number(r, "per_year", n);
	run_means(r, "rate", false);
	run_means_figure(r, "n", n);
}

/* --- mttfd ----------------------------------------------------------------------------------------- */

static const struct reckon_key LIFE_KEYS[] = {
	B10D_KEYS(FORM_1),
	{LIFE("parts"), .list = true, .forms = FORM_2, .needed = FORM_2},
	{LIFE("channels"), .list = true, .forms = FORM_3, .needed = FORM_3},
	{.name = "category", .kind = RECKON_WORD, .choices = "B|1|2|3|4"},
};

static const struct reckon_result_key LIFE_RESULTS[] = {
	{"years", WORSE_LOWER}, {"capped_years", WORSE_LOWER}, {"class", WORSE_LOWER},
};

static double life_by_b10d(struct reckoning_run *r)
{
	double b10d = run_si(r, "b10d"), n = per_year(r), life = life_of_b10d(b10d, n);
	run_step(r, "reliability-b10d", "EN ISO 13849-1:2015, Annex C.4", STANDING_PUBLISHED);
	run_figure(r, "b10d", b10d);
	run_figure(r, "n", n);
	run_figure(r, "years", life);
	return life;
}

static double life_by_parts(struct reckoning_run *r)
{
	size_t count;
	const double *parts = list_in(r, "parts", 1 / MONTHS_A_YEAR, &count);
	double life = life_of_parts(parts, count);
	run_step(r, "reliability-parts", "EN ISO 13849-1:2015, Annex D.1", STANDING_MEMORY);
	run_text(r, "sum", sum_text(r, parts, count, "1/"));
	run_figure(r, "total", 1 / life);
	run_figure(r, "years", life);
	return life;
}

static double life_by_channels(struct reckoning_run *r, const struct reliability_tables *t, enum category c)
{
	size_t count;
	const double *channels = list_in(r, "channels", 1 / MONTHS_A_YEAR, &count);
	if (count != 2) {
		run_refuse(r, "two-channels");
		run_refuse_text(r, "count", figure_text(r->arena, (double)count));
		return 0;
	}
	double shorter = fmin(channels[0], channels[1]);
	if (life_class(t, shorter) == LIFE_NONE) {
		run_refuse(r, "channel-short");
		run_refuse_text(r, "years", figure_text(r->arena, shorter));
		run_refuse_text(r, "least", figure_text(r->arena, life_least(t)));
		return 0;
	}
	for (size_t i = 0; i < 2; i++)
		cap_step(r, c, channels[i], life_capped(t, c, channels[i]));
	double a = life_capped(t, c, channels[0]), b = life_capped(t, c, channels[1]);
	double life = life_of_channels(a, b, HUGE_VAL);
	run_step(r, "reliability-channels", "EN ISO 13849-1:2015, Annex D.2", STANDING_PUBLISHED);
	run_figure(r, "a", a);
	run_figure(r, "b", b);
	run_figure(r, "years", life);
	return life;
}

static void run_life(struct reckoning_run *r)
{
	struct reliability_tables t;
	enum category c = category_of_word(run_word(r, "category"));
	if (!tables(r, &t))
		return;
	double life = r->form == FORM_1   ? life_by_b10d(r)
		      : r->form == FORM_2 ? life_by_parts(r)
					  : life_by_channels(r, &t, c);
	if (r->refused)
		return;
	double counts = life_capped(&t, c, life);
	enum life class = life_class(&t, counts);
	if (r->form != FORM_3)
		cap_step(r, c, life, counts);
	life_step(r, &t, counts);
	run_number(r, "years", life);
	run_number(r, "capped_years", counts);
	run_result(r, "class", life_word(class));
	run_means(r, class == LIFE_NONE ? "none" : "counts", class == LIFE_NONE);
	run_means_figure(r, "years", counts);
	run_means_text(r, "class", life_word(class));
}

/* --- coverage -------------------------------------------------------------------------------------- */

/* The average rises when a part that is watched well fails more often: a shorter life is no way to worse. */
static const struct reckon_key COVERAGE_KEYS[] = {
	{.name = "dc", .dim = &DIM_NUMBER, .bare = "", .low = "0", .high = "1", .list = true, .needed = FORM_1,
		.worse = WORSE_LOWER},
	{.name = "mttfd", .dim = &DIM_MONTHS, .bare = "years", .low = "0.001 years", .high = "1000000 years",
		.list = true, .needed = FORM_1},
};

static const struct reckon_result_key COVERAGE_RESULTS[] = {{"average", WORSE_LOWER}, {"class", WORSE_LOWER}};

static void coverage_average_step(struct reckoning_run *r, const double *dc, const double *lives, size_t count,
	double average)
{
	struct buf covered;
	buf_init(&covered, r->arena);
	for (size_t i = 0; i < count; i++)
		buf_format(&covered, "%s%s/%s", i ? " + " : "", figure_text(r->arena, dc[i]),
			figure_text(r->arena, lives[i]));
	run_step(r, "reliability-coverage", "EN ISO 13849-1:2015, Annex E.2", STANDING_MEMORY);
	run_text(r, "covered", covered.bytes);
	run_text(r, "all", sum_text(r, lives, count, "1/"));
	run_figure(r, "average", average);
}

/* Which end of a life is the worse one depends on all the others. */
static bool lives_in_doubt(struct reckoning_run *r)
{
	const struct reckon_given *g = r->out->inputs;
	while (!text_equal(g->key, "mttfd"))
		g = g->next;
	for (size_t i = 0; i < g->count; i++)
		if (g->values[i].quantity.low < g->values[i].quantity.high) {
			run_refuse(r, "doubt");
			run_refuse_text(r, "key", "mttfd");
			return true;
		}
	return false;
}

static void run_coverage(struct reckoning_run *r)
{
	struct reliability_tables t;
	size_t count, lives_count;
	if (!tables(r, &t) || lives_in_doubt(r))
		return;
	const double *dc = run_list(r, "dc", &count), *lives = list_in(r, "mttfd", 1 / MONTHS_A_YEAR, &lives_count);
	if (count != lives_count) {
		run_refuse(r, "pairs");
		run_refuse_text(r, "dc", figure_text(r->arena, (double)count));
		run_refuse_text(r, "mttfd", figure_text(r->arena, (double)lives_count));
		return;
	}
	double average = coverage_average(dc, lives, count);
	enum coverage class = coverage_class(&t, average);
	coverage_average_step(r, dc, lives, count, average);
	struct level_steps steps = steps_of(r, &t);
	level_coverage(&steps, average);
	run_number(r, "average", average);
	run_result(r, "class", coverage_word(class));
	run_means(r, class == COVERAGE_NONE ? "none" : "counts", class == COVERAGE_NONE);
	run_means_figure(r, "percent", average * 100);
	run_means_text(r, "class", coverage_word(class));
}

/* --- common-cause ---------------------------------------------------------------------------------- */

static const struct reckon_key CAUSE_KEYS[] = {
	{.name = "measures", .kind = RECKON_WORDS, .choices = "1|2|3.1|3.2|4|5|6.1|6.2", .needed = FORM_1},
};

static const struct reckon_result_key CAUSE_RESULTS[] = {{"score", WORSE_LOWER}, {"enough", WORSE_LOWER}};

static bool each_once(struct reckoning_run *r, const char *const *measures, size_t count)
{
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < i; k++)
			if (text_equal(measures[i], measures[k])) {
				run_refuse(r, "once");
				run_refuse_text(r, "measure", measures[i]);
				return false;
			}
	return true;
}

static void run_cause(struct reckoning_run *r)
{
	size_t count;
	const char *const *measures = run_words(r, "measures", &count);
	double *points = arena_array(r->arena, count + 1, sizeof *points), score = 0, enough;
	if (!each_once(r, measures, count))
		return;
	for (size_t i = 0; i < count; i++) {
		struct grid_key key = grid_word(measures[i]);
		struct grid_hit hit;
		if (!run_look(r, TABLE_POINTS, &key, &hit))
			return;
		points[i] = hit.low;
		score += hit.low;
	}
	run_step(r, "reliability-points", NULL, STANDING_PUBLISHED);
	run_text(r, "sum", sum_text(r, points, count, ""));
	run_figure(r, "score", score);
	if (!run_bound(r, LIMIT_COMMON_CAUSE, &enough))
		return;
	bool is_enough = score >= enough;
	run_step(r, is_enough ? "reliability-points-enough" : "reliability-points-few", NULL, STANDING_PUBLISHED);
	run_figure(r, "score", score);
	run_figure(r, "enough", enough);
	run_number(r, "score", score);
	run_truth(r, "enough", is_enough);
	run_means(r, is_enough ? "enough" : "few", !is_enough);
	run_means_figure(r, "score", score);
	run_means_figure(r, "enough", enough);
}

/* --- level ----------------------------------------------------------------------------------------- */

static const struct reckon_key LEVEL_KEYS[] = {
	{.name = "category", .kind = RECKON_WORD, .choices = "B|1|2|3|4", .needed = FORM_1},
	{LIFE("mttfd"), .needed = FORM_1},
	{.name = "dc", .dim = &DIM_NUMBER, .bare = "", .low = "0", .high = "1", .needed = FORM_1, .worse = WORSE_LOWER},
	{.name = "common-cause", .dim = &DIM_NUMBER, .bare = "", .low = "0", .high = "100", .worse = WORSE_LOWER},
	{.name = "test-rate", .dim = &DIM_NUMBER, .bare = "", .low = "0", .high = "1000000000", .worse = WORSE_LOWER},
	{LIFE("test-mttfd")},
};

static const struct reckon_result_key LEVEL_RESULTS[] = {
	{"per_hour", WORSE_HIGHER}, {"level", WORSE_LOWER}, {"by", WORSE_NEITHER}, {"simplified_level", WORSE_LOWER},
};

/* By subsystem_gap. Those without a word cannot come up here. */
static const char *const GAPS[] = {
	[GAP_LIFE_SHORT] = "life-short",
	[GAP_COVERAGE_UNUSED] = "coverage-unused",
	[GAP_LIFE_CATEGORY] = "life-category",
	[GAP_COVERAGE] = "coverage",
	[GAP_COMMON_CAUSE] = "common-cause",
	[GAP_TEST_RATE] = "test-rate",
	[GAP_TEST_LIFE_UNKNOWN] = "test-life-unknown",
	[GAP_TEST_LIFE] = "test-life",
};

static double number_or_none(struct reckoning_run *r, const char *key)
{
	return run_has(r, key) ? run_si(r, key) : 0;
}

static void refuse_gap(struct reckoning_run *r, const struct reliability_tables *t, const struct subsystem *s,
	const struct subsystem_result *result)
{
	enum subsystem_gap gap = result->gap;
	bool missing = (gap == GAP_COMMON_CAUSE && !run_has(r, "common-cause")) ||
		       (gap == GAP_TEST_RATE && !run_has(r, "test-rate"));
	run_refuse(r, missing ? arena_format(r->arena, "%s-unknown", GAPS[gap]) : GAPS[gap]);
	run_refuse_text(r, "category", category_word(s->category));
	run_refuse_text(r, "years", figure_text(r->arena, s->channels[0].years));
	run_refuse_text(r, "percent", figure_text(r->arena, s->dc * 100));
	run_refuse_text(r, "least-percent", figure_text(r->arena, coverage_least(t, s->category) * 100));
	run_refuse_text(r, "points", figure_text(r->arena, s->common_cause));
	run_refuse_text(r, "enough", figure_text(r->arena, t->common_cause));
	run_refuse_text(r, "tests", figure_text(r->arena, s->tests_per_demand));
	run_refuse_text(r, "few", figure_text(r->arena, t->tests_few));
	run_refuse_text(r, "test-years", figure_text(r->arena, s->test_years));
	run_refuse_text(r, "least", figure_text(r->arena, t->test_channel_share * result->years));
}

/* What only some categories ask for. */
static bool keys_belong(struct reckoning_run *r, enum category c)
{
	static const struct {
		const char *key;
		enum category first, last;
	} ASKED[] = {
		{"common-cause", CATEGORY_2, CATEGORY_4},
		{"test-rate", CATEGORY_2, CATEGORY_2},
		{"test-mttfd", CATEGORY_2, CATEGORY_2},
	};
	for (size_t i = 0; i < sizeof ASKED / sizeof *ASKED; i++)
		if (run_has(r, ASKED[i].key) && (c < ASKED[i].first || c > ASKED[i].last)) {
			run_refuse(r, "not-asked");
			run_refuse_text(r, "key", ASKED[i].key);
			run_refuse_text(r, "category", category_word(c));
			return false;
		}
	return true;
}

static void run_level(struct reckoning_run *r)
{
	struct reliability_tables t;
	struct grid_hit highest;
	struct grid_key key = grid_word(run_word(r, "category"));
	if (!tables(r, &t) || !keys_belong(r, category_of_word(key.word)))
		return;
	struct subsystem s = {.category = category_of_word(run_word(r, "category")),
		.channels = {{.years = years(r, "mttfd")}}, .dc = run_si(r, "dc"),
		.common_cause = number_or_none(r, "common-cause"), .tests_per_demand = number_or_none(r, "test-rate"),
		.test_years = number_or_none(r, "test-mttfd") / MONTHS_A_YEAR};
	struct subsystem_result result = subsystem_judge(&t, &s);
	if (result.gap != GAP_NONE) {
		refuse_gap(r, &t, &s, &result);
		return;
	}
	struct level_steps steps = steps_of(r, &t);
	level_by_category(&steps, &s, &result);
	if (!run_look(r, "category-highest", &key, &highest))
		return;
	run_step(r, "reliability-highest", NULL, STANDING_PUBLISHED);
	run_text(r, "category", run_word(r, "category"));
	run_text(r, "level", highest.word);
	run_number(r, "per_hour", result.per_hour);
	level_result(r, "level", result.level);
	run_result(r, "by", decided_word(result.by));
	level_result(r, "simplified_level", result.cells.simplified);
	run_means(r, decided_word(result.by), false);
	run_means_text(r, "level", level_word(result.level));
	run_means_text(r, "simplified", level_word(result.cells.simplified));
	run_means_text(r, "annex-k", level_word(level_of_rate(&t, result.per_hour)));
}

/* --- chain ----------------------------------------------------------------------------------------- */

static const struct reckon_key CHAIN_KEYS[] = {
	{.name = "per-hour", .dim = &DIM_RATE, .bare = "1/h", .low = "1E-12 1/h", .high = "1 1/h", .list = true,
		.forms = FORM_1, .needed = FORM_1, .worse = WORSE_HIGHER},
	{.name = "levels", .kind = RECKON_WORDS, .choices = "a|b|c|d|e", .forms = FORM_1 | FORM_2, .needed = FORM_2,
		.worse = WORSE_LOWER},
};

static const struct reckon_result_key CHAIN_RESULTS[] = {{"per_hour", WORSE_HIGHER}, {"level", WORSE_LOWER}};

static enum level *chain_levels(struct reckoning_run *r, size_t *count)
{
	const char *const *words = run_words(r, "levels", count);
	enum level *levels = arena_array(r->arena, *count + 1, sizeof *levels);
	for (size_t i = 0; i < *count; i++)
		levels[i] = level_of_word(words[i]);
	return levels;
}

/* The sum of the rates may look better than a subsystem is by its category. */
static enum level chain_of_rates(struct reckoning_run *r, const struct reliability_tables *t)
{
	size_t count, level_count, times;
	const double *rates = list_in(r, "per-hour", SECONDS_AN_HOUR, &count);
	const enum level *levels = chain_levels(r, &level_count);
	if (level_count && level_count != count) {
		run_refuse(r, "pairs");
		run_refuse_text(r, "rates", figure_text(r->arena, (double)count));
		run_refuse_text(r, "levels", figure_text(r->arena, (double)level_count));
		return LEVEL_NONE;
	}
	double sum = series_per_hour(rates, count);
	enum level l = level_of_rate(t, sum), lowest;
	run_step(r, "reliability-sum", "EN ISO 13849-1, subsystems in series", STANDING_PUBLISHED);
	run_text(r, "sum", sum_text(r, rates, count, ""));
	run_figure(r, "rate", sum);
	struct level_steps steps = steps_of(r, t);
	level_band(&steps, sum);
	if (level_count) {
		level_of_series(t, levels, level_count, &lowest, &times);
		run_step(r, "reliability-lowest", "no chain is better than its lowest subsystem", STANDING_PRACTICE);
		run_text(r, "sum", level_word(l));
		run_text(r, "lowest", level_word(lowest));
		l = lowest < l ? lowest : l;
		run_text(r, "level", level_word(l));
	}
	run_number(r, "per_hour", sum);
	return l;
}

static enum level chain_of_levels(struct reckoning_run *r, const struct reliability_tables *t)
{
	size_t count, times;
	const enum level *levels = chain_levels(r, &count);
	enum level lowest, l = level_of_series(t, levels, count, &lowest, &times);
	const struct lib_grid *g = run_grid(r, TABLE_SERIES);
	struct grid_key keys[] = {grid_word(level_word(lowest)), grid_number((double)times)};
	struct grid_hit hit = {.cell = NULL};
	bool allowed = grid_look(&g->grid, keys, &hit);
	run_step(r, "reliability-series", allowed ? hit.cell->source : g->note.source,
		allowed ? hit.cell->standing : g->note.standing);
	run_text(r, "lowest", level_word(lowest));
	run_figure(r, "times", (double)times);
	run_text(r, "level", level_word(l));
	run_nothing(r, "per_hour");
	return l;
}

static void run_chain(struct reckoning_run *r)
{
	struct reliability_tables t;
	if (!tables(r, &t))
		return;
	enum level l = r->form == FORM_1 ? chain_of_rates(r, &t) : chain_of_levels(r, &t);
	if (r->refused)
		return;
	level_result(r, "level", l);
	run_means(r, l == LEVEL_NONE ? "none" : run_has(r, "levels") ? "reaches" : "rates-alone", l == LEVEL_NONE);
	run_means_text(r, "level", level_word(l));
}

/* --- replace-by ------------------------------------------------------------------------------------ */

static const struct reckon_key REPLACE_KEYS[] = {B10D_KEYS(FORM_1)};

static const struct reckon_result_key REPLACE_RESULTS[] = {{"years", WORSE_LOWER}};

static void run_replace(struct reckoning_run *r)
{
	double b10d = run_si(r, "b10d"), n = per_year(r), by = replacement_years(b10d, n), mission;
	run_step(r, "reliability-replace", "EN ISO 13849-1:2015, Annex C.4", STANDING_PUBLISHED);
	run_figure(r, "b10d", b10d);
	run_figure(r, "n", n);
	run_figure(r, "years", by);
	if (!run_bound(r, LIMIT_MISSION, &mission))
		return;
	mission /= MONTHS_A_YEAR;
	bool before = by < mission * (1 - 1e-9);
	run_step(r, before ? "reliability-before-mission" : "reliability-lasts", NULL, STANDING_PUBLISHED);
	run_figure(r, "years", by);
	run_figure(r, "mission", mission);
	run_number(r, "years", by);
	run_means(r, before ? "before" : "lasts", false);
	run_means_figure(r, "years", years_down(by));
	run_means_figure(r, "mission", mission);
}

static const struct reckoner RECKONERS[] = {
	{"required-level", KEYS(REQUIRED_KEYS), KEYS(REQUIRED_RESULTS), FORM_1, run_required},
	{"operations", KEYS(OPERATION_KEYS), KEYS(OPERATION_RESULTS), FORM_1, run_operations},
	{"mttfd", KEYS(LIFE_KEYS), KEYS(LIFE_RESULTS), FORM_1 | FORM_2 | FORM_3, run_life},
	{"coverage", KEYS(COVERAGE_KEYS), KEYS(COVERAGE_RESULTS), FORM_1, run_coverage},
	{"common-cause", KEYS(CAUSE_KEYS), KEYS(CAUSE_RESULTS), FORM_1, run_cause},
	{"level", KEYS(LEVEL_KEYS), KEYS(LEVEL_RESULTS), FORM_1, run_level},
	{"chain", KEYS(CHAIN_KEYS), KEYS(CHAIN_RESULTS), FORM_1 | FORM_2, run_chain},
	{"replace-by", KEYS(REPLACE_KEYS), KEYS(REPLACE_RESULTS), FORM_1, run_replace},
};

const struct reckon_family RECKON_RELIABILITY = {"reliability", KEYS(RECKONERS)};
