#include "assess/level_steps.h"

#include <math.h>

void level_say(struct level_steps *w, const char *id, const char *source, enum standing standing)
{
	w->step = steps_add(w->context->arena, w->steps, id, source, standing);
}

void level_figure(struct level_steps *w, const char *name, double value)
{
	step_figure(w->context->arena, w->step, name, value);
}

void level_word_of(struct level_steps *w, const char *name, const char *word)
{
	step_text(w->context->arena, w->step, name, word);
}

void level_say_limit(struct level_steps *w, const char *id, const char *limit)
{
	const struct lib_limit *l = library_limit(w->context->library, limit);
	level_say(w, id, l->note.source, l->note.standing);
}

void level_say_look(struct level_steps *w, const char *id, const char *table, double value)
{
	const struct lib_grid *g = library_grid(w->context->library, table);
	struct grid_key keys[2] = {grid_number(value), grid_number(0)};
	struct grid_hit hit;
	if (grid_look(&g->grid, keys, &hit))
		level_say(w, id, hit.cell->source, hit.cell->standing);
	else
		level_say(w, id, g->note.source, g->note.standing);
}

void level_coverage(struct level_steps *w, double dc)
{
	level_say_look(w, "reliability-coverage-class", TABLE_COVERAGES, dc);
	level_figure(w, "dc", dc * 100);
	level_word_of(w, "class", coverage_word(coverage_class(w->tables, dc)));
}

void level_band(struct level_steps *w, double per_hour)
{
	level_say_look(w, "reliability-band", TABLE_LEVELS, per_hour);
	level_figure(w, "rate", per_hour);
	level_word_of(w, "level", level_word(level_of_rate(w->tables, per_hour)));
}

void level_wear(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r)
{
	if (r->replacement_years <= 0)
		return;
	level_say(w, "reliability-replace", "EN ISO 13849-1:2015, Annex C.4", STANDING_PUBLISHED);
	level_figure(w, "b10d", s->channels[0].b10d);
	level_figure(w, "n", s->channels[0].per_year);
	level_figure(w, "years", r->replacement_years);
	level_say_limit(w, r->replace ? "reliability-before-mission" : "reliability-lasts", LIMIT_MISSION);
	level_figure(w, "years", r->replacement_years);
	level_figure(w, "mission", w->tables->mission_years);
}

static void life(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r)
{
	if (r->replacement_years > 0) {
		level_say(w, "reliability-b10d", "EN ISO 13849-1:2015, Annex C.4", STANDING_PUBLISHED);
		level_figure(w, "b10d", s->channels[0].b10d);
		level_figure(w, "n", s->channels[0].per_year);
		level_figure(w, "years", life_of_b10d(s->channels[0].b10d, s->channels[0].per_year));
	}
	level_wear(w, s, r);
	double cap = life_capped(w->tables, s->category, HUGE_VAL);
	if (s->category >= CATEGORY_3 && s->channels[1].years > 0) {
		level_say(w, "reliability-channels", "EN ISO 13849-1:2015, Annex D.2", STANDING_PUBLISHED);
		level_figure(w, "a", fmin(r->channel_years[0], cap));
		level_figure(w, "b", fmin(r->channel_years[1], cap));
		level_figure(w, "years", r->years);
	} else {
		level_say_limit(w, "reliability-cap", s->category == CATEGORY_4 ? LIMIT_CAP_4 : LIMIT_CAP);
		level_figure(w, "years", r->channel_years[0]);
		level_figure(w, "cap", cap);
		level_figure(w, "counts", r->years);
	}
}

static void faults(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r)
{
	const struct reliability_tables *t = w->tables;
	if (s->category < CATEGORY_2)
		return;
	level_coverage(w, s->dc);
	level_say_limit(w, "reliability-points-enough", LIMIT_COMMON_CAUSE);
	level_figure(w, "score", s->common_cause);
	level_figure(w, "enough", t->common_cause);
	if (s->category != CATEGORY_2)
		return;
	level_say_limit(w, r->few_tests ? "reliability-tests-few" : "reliability-tests", LIMIT_TESTS);
	level_figure(w, "tests", s->tests_per_demand);
	level_figure(w, "least", t->tests);
	level_say_limit(w, "reliability-test-channel", LIMIT_TEST_CHANNEL);
	level_figure(w, "test-years", s->test_years);
	level_figure(w, "share", t->test_channel_share);
	level_figure(w, "years", r->years);
}

double level_own_rate(const struct reliability_tables *t, const struct subsystem_result *r)
{
	return r->cells.per_hour * (r->few_tests ? t->tests_few_factor : 1);
}

static void look_up(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r)
{
	const struct level_cells *cells = &r->cells;
	double own = level_own_rate(w->tables, r);
	level_say(w, "reliability-annex-k", cells->rate_cell->source, cells->rate_cell->standing);
	level_figure(w, "years", r->years);
	level_figure(w, "row", cells->row_years);
	level_word_of(w, "column", cells->column);
	level_figure(w, "rate", cells->per_hour);
	if (s->category <= CATEGORY_1) {
		level_say(w, "reliability-single-channel", "EN ISO 13849-1:2015, categories B and 1",
			STANDING_PUBLISHED);
		level_figure(w, "years", cells->row_years);
		level_figure(w, "rate", single_channel_per_hour(cells->row_years));
	}
	if (r->few_tests) {
		level_say_limit(w, "reliability-few-factor", LIMIT_TESTS_FEW_FACTOR);
		level_figure(w, "factor", w->tables->tests_few_factor);
		level_figure(w, "before", cells->per_hour);
		level_figure(w, "rate", own);
	}
	level_band(w, own);
	level_say(w, "reliability-simplified", cells->level_cell->source, cells->level_cell->standing);
	level_word_of(w, "class", life_word(life_class(w->tables, r->years)));
	level_word_of(w, "column", cells->column);
	level_word_of(w, "level", level_word(cells->simplified));
	level_say(w, "reliability-worse", "the worse of the two decides", STANDING_PRACTICE);
	level_word_of(w, "annex-k", level_word(level_of_rate(w->tables, own)));
	level_word_of(w, "simplified", level_word(cells->simplified));
	level_word_of(w, "level", level_word(r->level));
}

void level_by_category(struct level_steps *w, const struct subsystem *s, const struct subsystem_result *r)
{
	life(w, s, r);
	faults(w, s, r);
	look_up(w, s, r);
}
