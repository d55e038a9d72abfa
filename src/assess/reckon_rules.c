/* What rules say: risk, least protection, the act in force, the next visit. */
#include <math.h>
#include <string.h>

#include "assess/reckoner.h"
#include "calc/schedule.h"

/* --- risk-class ------------------------------------------------------------------------------------ */

static const struct reckon_key RISK_KEYS[] = {
	{.name = "severity", .kind = RECKON_WORD, .choices = "catastrophic|serious|moderate|minor", .needed = FORM_1},
	{.name = "probability", .kind = RECKON_WORD, .choices = "very-likely|likely|unlikely|remote",
		.needed = FORM_1},
};

static const struct reckon_result_key RISK_RESULTS[] = {{"class", WORSE_NEITHER}};

static void run_risk(struct reckoning_run *r)
{
	const char *severity = run_word(r, "severity"), *probability = run_word(r, "probability");
	struct value arguments[] = {value_of_word(severity), value_of_word(probability)};
	double class;
	if (!run_limit(r, "risk-class", arguments, 2, &class))
		return;
	run_step(r, "risk-class", NULL, STANDING_PUBLISHED);
	run_text(r, "severity", severity);
	run_text(r, "probability", probability);
	run_text(r, "class", risk_class_name(class));
	run_result(r, "class", risk_class_name(class));
	run_means(r, risk_class_name(class), false);
}

/* --- protection ------------------------------------------------------------------------------------ */

static const struct reckon_key PROTECTION_KEYS[] = {
	{.name = "activation", .kind = RECKON_WORD, .choices = "hold-to-run|impulse|automatic", .needed = FORM_1},
	{.name = "view", .kind = RECKON_WORD, .choices = "yes|no", .needed = FORM_1},
	{.name = "users", .kind = RECKON_WORD, .choices = "trained-private|trained-public|public|1|2|3",
		.needed = FORM_1},
};

static const struct reckon_result_key PROTECTION_RESULTS[] = {{"least", WORSE_NEITHER}, {"also", WORSE_NEITHER}};

/* As the library's activation-classes have it: what starts out of view is an impulse, held or not. */
static const char *activation_class(const char *activation, bool view)
{
	if (text_equal(activation, "automatic"))
		return "automatic";
	if (!view)
		return "impulse-out-of-view";
	return text_equal(activation, "impulse") ? "impulse-in-view" : activation;
}

static const char *use_named(const char *users)
{
	static const char *const USES[] = {"trained-private", "trained-public", "public"};
	return *users >= '1' && *users <= '3' ? USES[*users - '1'] : users;
}

static const char *joined(struct arena *a, const char *const *items, size_t count)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < count; i++)
		buf_format(&b, "%s%s", i ? " or " : "", items[i]);
	return b.bytes;
}

static void run_protection(struct reckoning_run *r)
{
	bool view = text_equal(run_word(r, "view"), "yes");
	const char *activation = activation_class(run_word(r, "activation"), view);
	const char *use = use_named(run_word(r, "users"));
	const struct lib_protection *p = protection_find(r->context->library, activation, use);
	if (!p) {
		run_refuse(r, "no-cell");
		return;
	}
	/* For hold-to-run the table prints one letter; the further ones on record stand above it. */
	bool held = text_equal(activation, "hold-to-run");
	size_t least = held && p->least.count ? 1 : p->least.count;
	run_step(r, least ? "protection-cell" : "protection-none", p->note.source, p->note.standing);
	run_text(r, "activation", activation);
	run_text(r, "use", use);
	run_text(r, "least", joined(r->arena, p->least.items, least));
	run_list_of(r, "least", p->least.items, least);
	run_list_of(r, "also", p->least.items + least, p->least.count - least);
	run_means(r, !p->least.count ? "not-allowed" : !held && text_equal(run_word(r, "activation"), "hold-to-run")
			? "held-out-of-view" : "least", !p->least.count);
	run_means_text(r, "least", joined(r->arena, p->least.items, least));
}

/* --- regime ---------------------------------------------------------------------------------------- */

static const struct reckon_key REGIME_KEYS[] = {
	{.name = "territory", .kind = RECKON_WORD, .needed = FORM_1},
	{.name = "date", .kind = RECKON_DATE, .needed = FORM_1},
};

static const struct reckon_result_key REGIME_RESULTS[] = {
	{"acts", WORSE_NEITHER}, {"declaration", WORSE_NEITHER}, {"marking", WORSE_NEITHER},
	{"retention", WORSE_NEITHER},
};

static void run_regime(struct reckoning_run *r)
{
	const char *territory = run_word(r, "territory");
	const struct lib_regime *g = regime_find(r->context->library, territory, run_date(r, "date"));
	if (!g) {
		run_refuse(r, "no-regime");
		run_refuse_text(r, "territory", text_harmless(r->arena, territory));
		run_refuse_text(r, "date", date_text(r->arena, run_date(r, "date")));
		return;
	}
	struct grid_key key = grid_word(g->note.id);
	struct grid_hit title;
	if (!run_look(r, "declaration-title", &key, &title))
		return;
	const char *retention = quantity_text(r->arena, g->retention);
	const char **acts = arena_array(r->arena, g->other_acts.count + 1, sizeof *acts);
	acts[0] = arena_format(r->arena, "%s (%s)", g->act, g->reference);
	for (size_t i = 0; i < g->other_acts.count; i++)
		acts[i + 1] = g->other_acts.items[i];
	run_step(r, "regime-declaration", NULL, STANDING_MEMORY);
	run_text(r, "title", title.word);
	run_step(r, "regime", g->note.source, g->note.standing);
	run_text(r, "territory", territory);
	run_text(r, "date", date_text(r->arena, run_date(r, "date")));
	run_text(r, "from", date_given(g->from) ? date_text(r->arena, g->from) : "…");
	run_text(r, "to", date_given(g->to) ? date_text(r->arena, g->to) : "…");
	run_text(r, "act", acts[0]);
	run_list_of(r, "acts", acts, g->other_acts.count + 1);
	run_result(r, "declaration", title.word);
	run_result(r, "marking", g->mark);
	run_result(r, "retention", retention);
	run_means(r, text_equal(g->mark, "CE") ? "declare" : "declare-gb", false);
	run_means_text(r, "title", title.word);
	run_means_text(r, "retention", retention);
}

/* --- next-visit ------------------------------------------------------------------------------------ */

static const struct reckon_key VISIT_KEYS[] = {
	{.name = "country", .kind = RECKON_WORD, .needed = FORM_1},
	{.name = "use", .kind = RECKON_WORD, .choices = "workplace|commercial|public|shared|private",
		.needed = FORM_1},
	{.name = "last", .kind = RECKON_DATE, .needed = FORM_1},
	{.name = "interval", .dim = &DIM_MONTHS, .bare = "months", .low = "1 months", .high = "120 months"},
	{.name = "operations", .dim = &DIM_RATE, .bare = "1/year", .low = "0 1/year", .high = "10000000 1/year",
		.worse = WORSE_HIGHER},
};

static const struct reckon_result_key VISIT_RESULTS[] = {
	{"due", WORSE_NEITHER}, {"source", WORSE_NEITHER}, {"months", WORSE_LOWER},
};

static bool known_territory(const struct library *l, const char *country)
{
	for (size_t i = 0; i < l->regimes_count; i++)
		if (words_have(l->regimes[i].territories, country))
			return true;
	return false;
}

static void visit_steps(struct reckoning_run *r, double rule, double own)
{
	run_step(r, "visit-rule", NULL, STANDING_PRACTICE);
	run_text(r, "country", run_word(r, "country"));
	run_text(r, "use", run_word(r, "use"));
	run_figure(r, "months", rule);
	if (isfinite(own)) {
		run_step(r, "visit-own", "maker's instructions, as given", STANDING_PRACTICE);
		run_figure(r, "own", own);
		run_figure(r, "months", fmin(rule, own));
	}
}

static void run_visit(struct reckoning_run *r)
{
	const char *country = run_word(r, "country");
	double own = run_has(r, "interval") ? run_si(r, "interval") : INFINITY, rule;
	struct value arguments[] = {value_of_word(country), value_of_word(run_word(r, "use")), value_unknown()};
	if (run_has(r, "operations")) {
		double a_year = run_si(r, "operations") / unit_find("1/year", strlen("1/year"))->factor;
		arguments[2] = value_of_quantity(quantity_of(a_year, DIM_NUMBER));
	}
	if (!known_territory(r->context->library, country)) {
		run_refuse(r, "country");
		run_refuse_text(r, "country", text_harmless(r->arena, country));
	}
	if (r->refused || !run_limit(r, "service-interval", arguments, 3, &rule))
		return;
	const char *source = own < rule ? "maker's instructions, as given" : r->source;
	struct date due = schedule_due(run_date(r, "last"), rule, own);
	if (due.year > 2199) {
		run_refuse(r, "too-late");
		return;
	}
	visit_steps(r, rule, own);
	run_step(r, "visit-due", "the same day of the month; the last day of a shorter one", STANDING_PRACTICE);
	run_text(r, "last", date_text(r->arena, run_date(r, "last")));
	run_figure(r, "months", floor(fmin(rule, own) + 1e-9));
	run_text(r, "due", date_text(r->arena, due));
	run_result(r, "due", date_text(r->arena, due));
	run_result(r, "source", source);
	run_number(r, "months", floor(fmin(rule, own) + 1e-9));
	run_means(r, "due", false);
	run_means_text(r, "due", date_text(r->arena, due));
}

/* --- the family ------------------------------------------------------------------------------------ */

static const struct reckoner RECKONERS[] = {
	{"risk-class", KEYS(RISK_KEYS), KEYS(RISK_RESULTS), FORM_1, run_risk},
	{"protection", KEYS(PROTECTION_KEYS), KEYS(PROTECTION_RESULTS), FORM_1, run_protection},
	{"regime", KEYS(REGIME_KEYS), KEYS(REGIME_RESULTS), FORM_1, run_regime},
	{"next-visit", KEYS(VISIT_KEYS), KEYS(VISIT_RESULTS), FORM_1, run_visit},
};

const struct reckon_family RECKON_RULES = {"rules", KEYS(RECKONERS)};
