#include "calc/function.h"

#include <math.h>

#include "calc/grid.h"

static const char *const DECIDED[] = {"none", "maker", "rate", "annex-k", "simplified", "both", "sum", "lowest",
	"series"};

const char *decided_word(enum decided_by by)
{
	return DECIDED[by];
}

/* One part in 10^9 is rounding. */
static bool below(double a, double b)
{
	return a < b * (1 - 1e-9);
}

/* --- one subsystem --------------------------------------------------------------------------------- */

static bool is_maker(const struct subsystem *s)
{
	return s->level != LEVEL_NONE || s->per_hour > 0;
}

static bool has_b10d(const struct channel *c)
{
	return c->b10d > 0 && c->per_year > 0;
}

/* 0: not known. */
static double channel_life(const struct channel *c)
{
	if (!has_b10d(c))
		return c->years;
	double life = life_of_b10d(c->b10d, c->per_year);
	return c->years > 0 ? fmin(c->years, life) : life;
}

static bool is_empty(const struct channel *c)
{
	return !(c->years > 0) && !(c->b10d > 0) && !(c->per_year > 0);
}

/* Both channels' lives, as one, and when their parts are to be replaced. */
static void judge_lives(const struct reliability_tables *t, const struct subsystem *s, struct subsystem_result *r)
{
	bool dual = s->category >= CATEGORY_3 && !is_empty(&s->channels[1]);
	for (size_t i = 0; i < 2; i++) {
		const struct channel *c = &s->channels[dual ? i : 0];
		r->channel_years[i] = channel_life(c);
		if (!has_b10d(c))
			continue;
		double by = replacement_years(c->b10d, c->per_year);
		r->replacement_years = r->replacement_years > 0 ? fmin(r->replacement_years, by) : by;
	}
	r->replace = r->replacement_years > 0 && below(r->replacement_years, t->mission_years);
	double shorter = fmin(r->channel_years[0], r->channel_years[1]);
	if (!(shorter > 0))
		r->gap = GAP_LIFE_UNKNOWN;
	else if (life_class(t, shorter) == LIFE_NONE)
		r->gap = GAP_LIFE_SHORT;
	else
		r->years = life_of_channels(r->channel_years[0], r->channel_years[1],
			life_capped(t, s->category, HUGE_VAL));
}

/* Worn out before the mission time ends, and not replaced by then. */
static bool wears_out(const struct subsystem *s, const struct subsystem_result *r)
{
	return r->replace && (!(s->replaced_years > 0) || below(r->replacement_years, s->replaced_years));
}

static enum subsystem_gap tests_gap(const struct reliability_tables *t, const struct subsystem *s, double years)
{
	if (below(s->tests_per_demand, t->tests_few))
		return GAP_TEST_RATE;
	if (!(s->test_years > 0))
		return GAP_TEST_LIFE_UNKNOWN;
	return below(s->test_years, t->test_channel_share * years) ? GAP_TEST_LIFE : GAP_NONE;
}

/* What a category asks for beside life and coverage. */
static enum subsystem_gap category_gap(const struct reliability_tables *t, const struct subsystem *s,
	const struct subsystem_result *r)
{
	if (s->category >= CATEGORY_2 && below(s->common_cause, t->common_cause))
		return GAP_COMMON_CAUSE;
	enum subsystem_gap gap = s->category == CATEGORY_2 ? tests_gap(t, s, r->years) : GAP_NONE;
	return gap == GAP_NONE && wears_out(s, r) ? GAP_REPLACEMENT : gap;
}

static void judge_category(const struct reliability_tables *t, const struct subsystem *s, struct subsystem_result *r)
{
	bool lives = false;
	judge_lives(t, s, r);
	if (r->gap != GAP_NONE)
		return;
	if (s->category <= CATEGORY_1 && coverage_class(t, s->dc) > COVERAGE_NONE)
		r->gap = GAP_COVERAGE_UNUSED;
	else if (!level_look(t, s->category, r->years, s->dc, &r->cells, &lives))
		r->gap = lives ? GAP_LIFE_CATEGORY : GAP_COVERAGE;
	else
		r->gap = category_gap(t, s, r);
	if (r->gap != GAP_NONE)
		return;
	r->few_tests = s->category == CATEGORY_2 && below(s->tests_per_demand, t->tests);
	r->per_hour = r->cells.per_hour * (r->few_tests ? t->tests_few_factor : 1);
	r->rate_known = true;
	enum level annex_k = level_of_rate(t, r->per_hour);
	r->level = level_worse(annex_k, r->cells.simplified);
	r->by = annex_k == r->cells.simplified ? BY_BOTH : r->level == annex_k ? BY_ANNEX_K : BY_SIMPLIFIED;
}

/* The best that parts of the longest life and the most coverage give in a category, by Annex K. */
static enum level best_of(const struct reliability_tables *t, enum category c)
{
	struct level_cells cells = {.annex_k = LEVEL_E};
	bool lives;
	if (c != CATEGORY_NONE)
		level_look(t, c, life_capped(t, c, HUGE_VAL), 1, &cells, &lives);
	return cells.annex_k;
}

static void judge_maker(const struct reliability_tables *t, const struct subsystem *s, struct subsystem_result *r)
{
	enum level best = best_of(t, s->category);
	judge_lives(t, s, r);
	r->gap = GAP_NONE;
	if (s->level > best)
		r->gap = GAP_LEVEL_CATEGORY;
	else if (wears_out(s, r))
		r->gap = GAP_REPLACEMENT;
	if (r->gap != GAP_NONE)
		return;
	r->rate_known = s->per_hour > 0;
	r->per_hour = r->rate_known ? s->per_hour : level_worst_rate(t, s->level);
	enum level band = level_worse(level_of_rate(t, r->per_hour), best);
	bool alone = s->level == LEVEL_NONE;
	r->by = alone || band < s->level ? BY_RATE : BY_MAKER;
	r->level = r->by == BY_RATE ? band : s->level;
}

/* The same with all that is not known at its best. */
static struct subsystem at_best(const struct reliability_tables *t, const struct subsystem *s)
{
	struct subsystem best = *s;
	for (size_t i = 0; i < 2; i++) {
		struct channel *c = &best.channels[i];
		if (channel_life(c) > 0 || (i == 1 && is_empty(c)))
			continue;
		c->years = life_capped(t, s->category, HUGE_VAL);
		best.test_years = HUGE_VAL; /* what tests is compared with what is tested */
	}
	if (!(s->dc > 0) && s->category >= CATEGORY_2)
		best.dc = HUGE_VAL;
	if (!(s->common_cause > 0))
		best.common_cause = t->common_cause;
	if (!(s->tests_per_demand > 0))
		best.tests_per_demand = t->tests;
	if (!(s->test_years > 0))
		best.test_years = HUGE_VAL;
	return best;
}

/* The worse level and the worse rate, each by itself. Where the maker gives none, that of the category is known. */
static struct subsystem_result both(const struct subsystem_result *own, const struct subsystem_result *said)
{
	bool own_rate = !said->rate_known || own->per_hour > said->per_hour;
	bool own_level = own->level < said->level || (own->level == said->level && own_rate);
	struct subsystem_result r = own_level ? *own : *said;
	r.per_hour = own_rate ? own->per_hour : said->per_hour;
	r.rate_known = true;
	return r;
}

struct subsystem_result subsystem_judge(const struct reliability_tables *t, const struct subsystem *s)
{
	struct subsystem_result own = {.gap = GAP_NOTHING}, said = {.gap = GAP_NONE}, least = {.gap = GAP_NONE};
	if (s->category != CATEGORY_NONE) {
		own.gap = GAP_NONE;
		judge_category(t, s, &own);
	}
	if (!is_maker(s))
		return own;
	judge_maker(t, s, &said);
	if (said.gap != GAP_NONE || s->category == CATEGORY_NONE)
		return said;
	if (own.gap == GAP_NONE)
		return both(&own, &said);
	/* Not all is known. What is may still contradict. */
	struct subsystem best = at_best(t, s);
	judge_category(t, &best, &least);
	return least.gap == GAP_NONE ? said : least;
}

/* --- in series ------------------------------------------------------------------------------------- */

static bool weaker(const struct subsystem_result *a, const struct subsystem_result *b)
{
	bool gap_a = a->gap != GAP_NONE, gap_b = b->gap != GAP_NONE;
	if (gap_a || gap_b)
		return gap_a && !gap_b;
	return a->level != b->level ? a->level < b->level : a->per_hour > b->per_hour;
}

/* One more in the series. */
static void add(struct series_result *f, const struct subsystem_result *r)
{
	f->per_hour += r->per_hour;
	f->known_per_hour += r->rate_known ? r->per_hour : 0;
	f->rates_known = f->rates_known && r->rate_known;
	if (r->level < f->lowest) {
		f->lowest = r->level;
		f->times = 0;
	}
	f->times += r->level == f->lowest;
}

static void decide(const struct reliability_tables *t, struct series_result *f)
{
	f->by_sum = level_of_rate(t, f->per_hour);
	enum level capped = level_worse(f->by_sum, f->lowest);
	const char *word = NULL;
	f->by_levels = !(f->known_per_hour > 0);
	if (f->by_levels)
		grid_words(t->series, grid_word(level_word(f->lowest)), grid_number((double)f->times), &word);
	f->by_series = level_of_word(word);
	f->level = capped;
	if (f->by_series > capped)
		f->level = f->by_series;
	if (f->level == LEVEL_NONE)
		f->by = BY_NOTHING;
	else if (f->by_series > capped)
		f->by = BY_SERIES;
	else
		f->by = f->by_sum == capped ? BY_SUM : BY_LOWEST;
}

struct series_result function_judge(const struct reliability_tables *t, const struct subsystem *s, size_t count,
	struct subsystem_result *results)
{
	struct series_result f = {.lowest = LEVEL_E, .rates_known = true};
	for (size_t i = 0; i < count; i++) {
		results[i] = subsystem_judge(t, &s[i]);
		add(&f, &results[i]);
		if (weaker(&results[i], &results[f.weakest]))
			f.weakest = i;
	}
	f.gap = results[f.weakest].gap;
	if (f.gap == GAP_NONE)
		decide(t, &f);
	else
		f.per_hour = f.known_per_hour = 0;
	return f;
}

/* --- the single change ----------------------------------------------------------------------------- */

struct search {
	const struct reliability_tables *tables;
	const struct subsystem *items;
	size_t count, at; /* `at`: the one that is changed */
	enum level required;
	struct subsystem_result *results;
	struct function_change found;
};

/* Whether the function reaches the level with `changed` in the place in hand. */
static bool reaches(struct search *s, const struct subsystem *changed)
{
	struct series_result f = {.lowest = LEVEL_E, .rates_known = true};
	for (size_t i = 0; i < s->count; i++) {
		struct subsystem_result r = i == s->at ? subsystem_judge(s->tables, changed) : s->results[i];
		if (r.gap != GAP_NONE)
			return false;
		add(&f, &r);
	}
	decide(s->tables, &f);
	s->found.reaches = f.level;
	return f.level >= s->required;
}

static bool try_coverage(struct search *s)
{
	struct subsystem changed = s->items[s->at];
	const struct grid_axis *edges = &s->tables->coverages->axes[0];
	for (size_t i = 0; i < edges->count; i++) {
		s->found.to = edges->at[i];
		if (!below(changed.dc, edges->at[i]))
			continue;
		changed.dc = edges->at[i];
		if (reaches(s, &changed))
			return true;
	}
	return false;
}

/* With each channel at least so long-lived. By B10d where the life comes from one. */
static bool try_row(struct search *s, double years)
{
	struct subsystem changed = s->items[s->at];
	bool longer = false;
	for (size_t i = 0; i < 2; i++) {
		struct channel *c = &changed.channels[i];
		if (is_empty(c) || !below(channel_life(c), years))
			continue;
		longer = true;
		if (has_b10d(c))
			c->b10d *= fmax(1, years / life_of_b10d(c->b10d, c->per_year));
		if (c->years > 0 || !has_b10d(c))
			c->years = fmax(c->years, years);
	}
	s->found.to = years;
	s->found.b10d = has_b10d(&changed.channels[0]) ? changed.channels[0].b10d : 0;
	return longer && reaches(s, &changed);
}

static bool try_life(struct search *s)
{
	const struct grid_axis *rows[2] = {&s->tables->annex_k->axes[0], &s->tables->annex_k_4->axes[0]};
	size_t tables = s->items[s->at].category == CATEGORY_4 ? 2 : 1;
	for (size_t t = 0; t < tables; t++)
		for (size_t i = 0; i < rows[t]->count; i++)
			if (try_row(s, rows[t]->at[i]))
				return true;
	return false;
}

/* All that the category asks for, where it is not there yet. */
static void meet(const struct reliability_tables *t, struct subsystem *s)
{
	struct subsystem_result r = {.gap = GAP_NONE};
	judge_lives(t, s, &r);
	s->dc = s->category <= CATEGORY_1 ? 0 : fmax(s->dc, coverage_least(t, s->category));
	s->common_cause = fmax(s->common_cause, t->common_cause);
	s->tests_per_demand = fmax(s->tests_per_demand, t->tests);
	s->test_years = fmax(s->test_years, t->test_channel_share * r.years);
}

static bool try_category(struct search *s)
{
	for (enum category c = s->items[s->at].category + 1; c <= CATEGORY_4; c++) {
		struct subsystem changed = s->items[s->at];
		changed.category = c;
		meet(s->tables, &changed);
		s->found.category = c;
		s->found.dc = changed.dc;
		if (reaches(s, &changed))
			return true;
	}
	return false;
}

static bool try_replacement(struct search *s)
{
	struct subsystem changed = s->items[s->at];
	changed.replaced_years = s->found.to = s->results[s->at].replacement_years;
	return reaches(s, &changed);
}

/* A rate that is known is not made up for by one that is not: in its place stands the worst of the level. */
static bool try_maker(struct search *s)
{
	const struct subsystem_result *now = &s->results[s->at];
	struct subsystem changed = {.level = s->required};
	if (now->gap == GAP_NONE && s->items[s->at].level >= changed.level)
		changed.level = s->items[s->at].level + 1;
	for (; changed.level <= LEVEL_E; changed.level++) {
		changed.per_hour = now->rate_known ? level_worst_rate(s->tables, changed.level) : 0;
		s->found.level = changed.level;
		if (reaches(s, &changed))
			return true;
	}
	return false;
}

static const struct {
	enum change_kind kind;
	bool for_maker; /* also where the maker gives the level */
	bool (*try)(struct search *s);
} CHANGES[] = {
	{CHANGE_COVERAGE, false, try_coverage},
	{CHANGE_LIFE, false, try_life},
	{CHANGE_CATEGORY, false, try_category},
	{CHANGE_REPLACEMENT, true, try_replacement},
	{CHANGE_MAKER, true, try_maker},
};

struct function_change function_change_for(const struct reliability_tables *t, const struct subsystem *s, size_t count,
	enum level required, struct subsystem_result *scratch)
{
	struct series_result now = function_judge(t, s, count, scratch);
	if (now.level >= required)
		return (struct function_change){.kind = CHANGE_NONE};
	for (size_t kind = 0; kind < sizeof CHANGES / sizeof *CHANGES; kind++)
		for (size_t i = 0; i < count; i++) {
			/* The weakest first, the others in their order. */
			size_t at = i == 0 ? now.weakest : i <= now.weakest ? i - 1 : i;
			struct search search = {t, s, count, at, required, scratch,
				{.kind = CHANGES[kind].kind, .subsystem = at}};
			if ((CHANGES[kind].for_maker || !is_maker(&s[at])) && CHANGES[kind].try(&search))
				return search.found;
		}
	return (struct function_change){.kind = CHANGE_NONE};
}
