/* The control side: activations and users, the input register, commissioning checks. */
#include "assess/context.h"

#include <string.h>

/* --- activations and use ------------------------------------------------------------------------ */

static void classify_activations(struct context *c)
{
	const struct item_list *list = record_list(c->record, "control.activations");
	double worst = -1;
	c->result->activation = "";
	if (!list->count)
		point_out(c, FINDING_CODE_ACTIVATION_UNCLASSED, "control.activations", list->at);
	for (size_t i = 0; i < list->count; i++) {
		const struct item *item = &list->items[i];
		struct scope scope = {.prefix = "activation", .item = item, .key_prefix = "", .outer = c->scope};
		const struct lib_activation *found = NULL;
		c->scope = &scope;
		/* Worst class first: a rule that is unknown may hold, so the worst that may hold counts. */
		for (size_t k = 0; k < c->library->activations_count; k++) {
			const struct lib_activation *a = &c->library->activations[k];
			if (!context_excludes(c, a->when) && (!found || a->rank > found->rank))
				found = a;
		}
		c->scope = scope.outer;
		if (!found) {
			point_out(c, FINDING_CODE_ACTIVATION_UNCLASSED, item->id, item->at);
		} else if (found->rank > worst) {
			worst = found->rank;
			c->result->activation = found->note.id;
			context_decides(c, &found->note, "activation-classes");
		}
	}
}

static void classify_use(struct context *c)
{
	const struct lib_definition *open = library_definition(c->library, "public-use");
	const struct lib_definition *passing = library_definition(c->library, "trained-public");
	/* Unknown counts as the stricter use. */
	if (!open || !context_excludes(c, open->rule))
		c->result->use = "public";
	else if (!passing || !context_excludes(c, passing->rule))
		c->result->use = "trained-public";
	else
		c->result->use = "trained-private";
}

/* --- input register ----------------------------------------------------------------------------- */

static bool input_rule_holds(struct context *c, const struct lib_input_rule *rule, const struct item *item)
{
	if (rule->when && context_excludes(c, rule->when))
		return true;
	if (context_holds(c, rule->holds))
		return true;
	struct finding *f = point_out(c, FINDING_CODE_INPUT_OPEN, item->id, item->at);
	with(c, f, "rule", rule->note.id);
	with(c, f, "input", item->id);
	with(c, f, "shown", rule_shown(c->arena, rule->holds, &c->names));
	way_value(c, way_out(c, f, arena_format(c->arena, "input-rules.%s.way", rule->note.id)), "input",
		item->id);
	finding_source(f, rule->note.source, rule->note.standing);
	return false;
}

static void assess_inputs(struct context *c)
{
	struct assessment *r = c->result;
	const struct item_list *list = record_list(c->record, "control.inputs");
	r->inputs = arena_array(c->arena, list->count + 1, sizeof *r->inputs);
	for (size_t i = 0; i < list->count; i++) {
		const struct item *item = &list->items[i];
		struct scope scope = {.prefix = "input", .item = item, .key_prefix = "", .outer = c->scope};
		bool fine = true;
		c->scope = &scope;
		for (size_t k = 0; k < c->library->input_rules_count; k++) {
			const struct lib_input_rule *rule = &c->library->input_rules[k];
			if (rule->functions.count &&
				!words_have(rule->functions, fact_text(item_fact(item, "function"))))
				continue;
			fine = input_rule_holds(c, rule, item) && fine;
		}
		c->scope = scope.outer;
		r->inputs[r->input_count++] = (struct input_result){.entry = item,
			.outcome = fine ? OUTCOME_ANSWERED : OUTCOME_OPEN};
	}
}

/* --- commissioning checks ----------------------------------------------------------------------- */

static bool check_evidence(struct context *c, const struct lib_check *check, const struct item *entry)
{
	bool found = check->evidence.count == 0;
	for (size_t i = 0; i < check->evidence.count; i++)
		found = found || evidence_count(c, item_fact(entry, "evidence"), check->evidence.items[i]);
	if (!found)
		point_out_with(c, FINDING_CODE_CHECK_EVIDENCE, entry->id, entry->at, "kind",
			check->evidence.items[0]);
	return found;
}

static void report_failed(struct context *c, const struct check_result *r)
{
	const struct fact *outcome = item_fact(r->entry, "outcome");
	struct finding *f = point_out(c, FINDING_CODE_CHECK_FAILED, r->entry->id,
		outcome->at.line ? outcome->at : r->entry->at);
	with(c, f, "check", r->entry->id);
	with(c, f, "shown", *r->shown ? r->shown : "–");
	way_value(c, way_out(c, f, "again"), "check", r->entry->id);
	finding_source(f, r->check->note.source, r->check->note.standing);
}

/* A check that nothing asks for decides nothing, unless it says of this gate that it failed. */
static void judge_unasked(struct context *c, struct check_result *r)
{
	r->outcome = OUTCOME_ABSENT;
	if (!fact_is(item_fact(r->entry, "outcome"), "not-as-expected"))
		return;
	r->outcome = OUTCOME_OPEN;
	report_failed(c, r);
}

static void judge_check(struct context *c, struct check_result *r)
{
	const struct lib_check *check = r->check;
	if (!r->entry || !fact_given(item_fact(r->entry, "outcome"))) {
		struct finding *f = point_out(c, FINDING_CODE_CHECK_MISSING, check->note.id,
			r->entry ? r->entry->at : record_list(c->record, "checks")->at);
		with(c, f, "check", check->note.id);
		way_value(c, way_out(c, f, "do"), "check", check->note.id);
		finding_source(f, check->note.source, check->note.standing);
		return;
	}
	const struct fact *outcome = item_fact(r->entry, "outcome");
	struct scope scope = {.prefix = "check", .item = r->entry, .key_prefix = "facts.", .outer = c->scope};
	c->scope = &scope;
	bool holds = !check->holds || context_holds(c, check->holds);
	r->shown = check->holds ? rule_shown(c->arena, check->holds, &c->names) : "";
	c->scope = scope.outer;
	if (!fact_is(outcome, "as-expected") || !holds) {
		report_failed(c, r);
		return;
	}
	bool evidence = check_evidence(c, check, r->entry);
	const struct fact *on = item_fact(r->entry, "on");
	const struct item_list *devices = record_list(c->record, "devices");
	bool old = context_aged(c, r->entry->id, on, check->ages_by);
	/* A detector, or a stop, that was fitted later was not there to be tried. */
	for (size_t i = 0; words_have(check->ages_by, "device") && i < devices->count; i++)
		if (fact_given(item_fact(&devices->items[i], "input")))
			old = context_fitted(c, r->entry->id, on, &devices->items[i]) || old;
	if (evidence && !old && fact_given(on) && fact_given(item_fact(r->entry, "by"))) {
		r->outcome = OUTCOME_ANSWERED;
		context_decides(c, &check->note, "checks");
	}
}

static void report_strange_checks(struct context *c, const struct item_list *list)
{
	size_t n = c->library->checks_count;
	const char **ids = arena_array(c->arena, n + 1, sizeof *ids);
	for (size_t k = 0; k < n; k++)
		ids[k] = c->library->checks[k].note.id;
	for (size_t i = 0; i < list->count; i++)
		if (!library_check(c->library, list->items[i].id))
			suggest(c, point_out(c, FINDING_CODE_CHECK_UNKNOWN, list->items[i].id,
					   list->items[i].at),
				list->items[i].id, ids, n);
}

static void assess_checks(struct context *c)
{
	struct assessment *r = c->result;
	const struct item_list *list = record_list(c->record, "checks");
	r->checks = arena_array(c->arena, c->library->checks_count + 1, sizeof *r->checks);
	for (size_t i = 0; i < c->library->checks_count; i++) {
		struct check_result *k = &r->checks[r->check_count++];
		*k = (struct check_result){.check = &c->library->checks[i], .shown = ""};
		k->entry = list_item(list, k->check->note.id);
		if (k->check->when && context_excludes(c, k->check->when))
			judge_unasked(c, k);
		else
			judge_check(c, k);
	}
	report_strange_checks(c, list);
}

void assess_controls(struct context *c)
{
	classify_activations(c);
	classify_use(c);
	assess_inputs(c);
	assess_checks(c);
	assess_functions(c);
}
