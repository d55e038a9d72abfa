/* Safety functions: the level reached by the subsystems against the level required, and all that must be shown. */
#include <string.h>

#include "assess/context.h"
#include "assess/reckoner.h"
#include "assess/subsystem.h"

/* One function of the record in hand. */
struct judged {
	struct context *c;
	const struct reliability_tables *tables;
	struct function_result *out;
	const struct lib_function *function;
	const struct item *entry;
	struct part_use *uses;
	struct subsystem *subsystems;
	struct subsystem_result *results;
	size_t count;
	enum level required;
	bool counts;
};

static struct finding *against(struct judged *j, enum finding_code code, struct place at)
{
	j->counts = false;
	return point_out(j->c, code, j->entry->id, at);
}

/* --- what is required ------------------------------------------------------------------------------ */

static int one_or_two(const struct item *entry, const char *key)
{
	const struct fact *f = item_fact(entry, key);
	return fact_is(f, "1") ? 1 : fact_is(f, "2") ? 2 : 0;
}

/* The higher of the risk graph and the floor of the library. While one of the three is not on record, which is
 * open already, the worst that it may be counts. */
static void find_required(struct judged *j)
{
	struct context *c = j->c;
	static const char *const KEYS[] = {"severity", "frequency", "avoidance"};
	const struct lib_grid *g = library_grid(c->library, TABLE_RISK_GRAPH);
	int answers[3];
	for (size_t i = 0; i < 3; i++) {
		answers[i] = one_or_two(j->entry, KEYS[i]);
		if (!answers[i])
			answers[i] = 2;
	}
	enum level graph = level_required(j->tables, answers[0], answers[1], answers[2]);
	enum level floor = level_of_word(j->function->least);
	j->required = graph > floor ? graph : floor;
	j->out->least = level_word(j->required);
	struct step *s = steps_add(c->arena, &j->out->steps, "reliability-risk-graph", g->note.source,
		g->note.standing);
	for (size_t i = 0; i < 3; i++)
		step_text(c->arena, s, KEYS[i], answers[i] == 1 ? "1" : "2");
	step_text(c->arena, s, "level", level_word(graph));
	s = steps_add(c->arena, &j->out->steps, "reliability-floor", j->function->note.source,
		j->function->note.standing);
	step_text(c->arena, s, "level", level_word(graph));
	step_text(c->arena, s, "floor", level_word(floor));
	step_text(c->arena, s, "higher", level_word(j->required));
	context_decides(c, &g->note, "tables");
}

/* --- the subsystems -------------------------------------------------------------------------------- */

static void read_subsystems(struct judged *j)
{
	struct context *c = j->c;
	const struct item_list *list = record_list(c->record, "functions[].subsystems");
	size_t own = 0;
	for (size_t i = 0; i < list->count; i++)
		own += list->items[i].owner == j->entry;
	j->uses = arena_array(c->arena, own, sizeof *j->uses);
	j->subsystems = arena_array(c->arena, own, sizeof *j->subsystems);
	j->results = arena_array(c->arena, own, sizeof *j->results);
	for (size_t i = 0; i < list->count; i++) {
		if (list->items[i].owner != j->entry)
			continue;
		j->subsystems[j->count] = subsystem_read(c, &list->items[i], &j->uses[j->count]);
		j->counts = j->uses[j->count].sound && j->counts;
		j->count++;
	}
}

/* From the device that notices to the part that takes the power off, the chain must be whole. */
static void judge_roles(struct judged *j)
{
	static const char *const ROLES[] = {"device", "logic", "final-switching"};
	for (size_t i = 0; i < sizeof ROLES / sizeof *ROLES; i++) {
		bool found = false;
		for (size_t k = 0; k < j->count; k++)
			found = found || fact_has(item_fact(j->uses[k].entry, "roles"), ROLES[i]);
		if (found || (j->function->roles.count && !words_have(j->function->roles, ROLES[i])))
			continue;
		struct finding *f = against(j, FINDING_CODE_FUNCTION_ROLE, j->entry->at);
		with(j->c, f, "role", ROLES[i]);
		way_value(j->c, way_out(j->c, f, "enter"), "role", ROLES[i]);
	}
}

/* The devices that the function reads are those of its chain. */
static void judge_devices(struct judged *j)
{
	struct context *c = j->c;
	const struct fact *devices = item_fact(j->entry, "devices");
	if (j->function->roles.count && !words_have(j->function->roles, "device"))
		return;
	for (size_t i = 0; fact_given(devices) && i < devices->count; i++) {
		const struct item *device = record_item(c->record, "devices", devices->list[i]);
		bool role = false, named = false;
		for (size_t k = 0; device && k < j->count; k++)
			if (fact_has(item_fact(j->uses[k].entry, "roles"), "device")) {
				role = true;
				named = named || subsystem_names(c, &j->uses[k], device);
			}
		/* Where nothing has the role, that was said. */
		if (!role || named)
			continue;
		struct finding *f = against(j, FINDING_CODE_SUBSYSTEM_DEVICE, devices->list_at[i]);
		with(c, f, "device", device->id);
		with(c, f, "model", fact_shown(c->arena, item_fact(device, "model")));
		way_value(c, way_out(c, f, "enter"), "device", device->id);
	}
}

/* A fault may not take the function away: by category, whatever the level. */
static void judge_categories(struct judged *j)
{
	struct context *c = j->c;
	for (size_t i = 0; i < j->count; i++) {
		const struct part_use *use = &j->uses[i];
		const char *category = category_word(j->subsystems[i].category);
		if (j->function->categories.count && !words_have(j->function->categories, category)) {
			const struct fact *at = item_fact(use->entry, "category");
			struct finding *f = point_out(c, FINDING_CODE_SUBSYSTEM_CATEGORY, use->path,
				at->at.line ? at->at : use->entry->at);
			with(c, f, "subsystem", use->entry->id);
			with(c, f, "category", category);
			with(c, f, "function", j->function->note.id);
			way_out(c, f, "category");
			finding_source(f, j->function->note.source, j->function->note.standing);
			j->counts = false;
		}
	}
}

static void judge_papers(struct judged *j)
{
	struct context *c = j->c;
	for (size_t i = 0; i < j->count; i++) {
		const struct fact *cited = item_fact(j->uses[i].entry, "paper");
		bool there = fact_given(cited) && papers_cited(c, cited, j->function->papers);
		if (there && subsystem_paper_fits(c, &j->uses[i]))
			continue;
		struct finding *f = point_out(c, there ? FINDING_CODE_PART_PAPER : FINDING_CODE_SUBSYSTEM_PAPER,
			j->uses[i].path, cited->at.line ? cited->at : j->uses[i].entry->at);
		with(c, f, "subsystem", j->uses[i].entry->id);
		if (there)
			with(c, f, "device", j->uses[i].part->device);
		way_out(c, f, "cite");
		j->counts = false;
	}
}

/* --- what is reached ------------------------------------------------------------------------------- */

static void decide(struct context *c, const char *table)
{
	context_decides(c, &library_grid(c->library, table)->note, "tables");
}

static bool by_category(const struct subsystem_result *r)
{
	return r->by != BY_MAKER && r->by != BY_RATE;
}

/* The limits that a level rests on. */
static void use_limits(struct judged *j, const struct subsystem *s, const struct subsystem_result *r)
{
	bool computed = by_category(r);
	const struct {
		const char *id;
		bool used;
	} LIMITS[] = {
		{LIMIT_MISSION, r->replacement_years > 0},
		{LIMIT_CAP, computed && s->category != CATEGORY_4},
		{LIMIT_CAP_4, computed && s->category == CATEGORY_4},
		{LIMIT_COMMON_CAUSE, computed && s->category >= CATEGORY_2},
		{LIMIT_TESTS, computed && s->category == CATEGORY_2},
		{LIMIT_TEST_CHANNEL, computed && s->category == CATEGORY_2},
		{LIMIT_TESTS_FEW, r->few_tests},
		{LIMIT_TESTS_FEW_FACTOR, r->few_tests},
	};
	double si;
	for (size_t i = 0; i < sizeof LIMITS / sizeof *LIMITS; i++)
		if (LIMITS[i].used)
			(void)context_bound(j->c, LIMITS[i].id, j->entry->id, &si);
}

static void view_subsystems(struct judged *j)
{
	struct context *c = j->c;
	struct function_result *out = j->out;
	out->subsystems = arena_array(c->arena, j->count + 1, sizeof *out->subsystems);
	for (size_t i = 0; i < j->count; i++) {
		const struct subsystem_result *r = &j->results[i];
		out->subsystems[out->subsystem_count++] = (struct subsystem_view){.entry = j->uses[i].entry,
			.part = j->uses[i].part, .level = level_word(r->level), .by = decided_word(r->by),
			.category = j->subsystems[i].category == CATEGORY_NONE
				? "" : category_word(j->subsystems[i].category),
			.gap = r->gap == GAP_NONE ? "" : subsystem_gap_name(r->gap), .per_hour = r->per_hour,
			.rate_known = r->rate_known};
		subsystem_steps(c, &out->steps, &j->uses[i], &j->subsystems[i], r, j->tables);
		if (r->gap != GAP_NONE) {
			subsystem_report(c, &j->uses[i], &j->subsystems[i], r, j->tables);
			continue;
		}
		use_limits(j, &j->subsystems[i], r);
		if (by_category(r)) {
			decide(c, r->years > j->tables->cap_years ? TABLE_ANNEX_K_4 : TABLE_ANNEX_K);
			decide(c, TABLE_SIMPLIFIED);
		}
	}
}

static void series_steps(struct judged *j, const struct series_result *series)
{
	struct context *c = j->c;
	struct buf sum;
	buf_init(&sum, c->arena);
	for (size_t i = 0; i < j->count; i++)
		buf_format(&sum, "%s%s", i ? " + " : "", figure_text(c->arena, j->results[i].per_hour));
	struct step *s = steps_add(c->arena, &j->out->steps, "reliability-sum",
		"EN ISO 13849-1, subsystems in series", STANDING_PUBLISHED);
	step_text(c->arena, s, "sum", sum.bytes);
	step_figure(c->arena, s, "rate", series->per_hour);
	const struct lib_grid *g = library_grid(c->library, TABLE_LEVELS);
	s = steps_add(c->arena, &j->out->steps, "reliability-band", g->note.source, g->note.standing);
	step_figure(c->arena, s, "rate", series->per_hour);
	step_text(c->arena, s, "level", level_word(series->by_sum));
	if (series->by_levels) {
		g = library_grid(c->library, TABLE_SERIES);
		s = steps_add(c->arena, &j->out->steps, "reliability-series", g->note.source, g->note.standing);
		step_text(c->arena, s, "lowest", level_word(series->lowest));
		step_figure(c->arena, s, "times", (double)series->times);
		step_text(c->arena, s, "level", level_word(series->by_series));
	}
	s = steps_add(c->arena, &j->out->steps, "function-reached", NULL, STANDING_PUBLISHED);
	step_text(c->arena, s, "level", level_word(series->level));
	step_text(c->arena, s, "required", level_word(j->required));
	step_text(c->arena, s, "weakest", j->uses[series->weakest].entry->id);
}

/* The single change that would reach what is required. */
static void offer_change(struct judged *j, struct finding *f)
{
	static const char *const WAYS[] = {
		[CHANGE_NONE] = "redesign", [CHANGE_COVERAGE] = "coverage", [CHANGE_LIFE] = "life",
		[CHANGE_CATEGORY] = "category", [CHANGE_REPLACEMENT] = "replacement", [CHANGE_MAKER] = "maker",
	};
	struct context *c = j->c;
	struct subsystem_result *scratch = arena_array(c->arena, j->count, sizeof *scratch);
	struct function_change x = function_change_for(j->tables, j->subsystems, j->count, j->required, scratch);
	struct way *w = way_out(c, f, x.kind == CHANGE_LIFE && x.b10d > 0 ? "b10d" : WAYS[x.kind]);
	way_value(c, w, "subsystem", j->uses[x.subsystem].entry->id);
	double to = x.kind == CHANGE_COVERAGE ? x.to * 100 : x.kind == CHANGE_REPLACEMENT ? years_down(x.to) : x.to;
	way_value(c, w, "to", figure_text(c->arena, to));
	way_value(c, w, "b10d", figure_text(c->arena, x.b10d));
	way_value(c, w, "dc", figure_text(c->arena, x.dc * 100));
	way_value(c, w, "category", category_word(x.category));
	way_value(c, w, "level", level_word(x.level));
	way_value(c, w, "reaches", level_word(x.reaches));
	way_value(c, w, "required", level_word(j->required));
}

static void judge_level(struct judged *j, const struct series_result *series)
{
	struct context *c = j->c;
	const struct fact *claim = item_fact(j->entry, "level");
	enum level claimed = level_of_word(fact_text(claim));
	j->counts = j->counts && series->level >= j->required;
	/* Why a subsystem has no level was said. */
	if (series->level < j->required && series->gap == GAP_NONE) {
		struct finding *f = against(j, FINDING_CODE_FUNCTION_UNREACHED, j->entry->at);
		with(c, f, "reached", level_word(series->level));
		with(c, f, "required", level_word(j->required));
		with(c, f, "weakest", j->uses[series->weakest].entry->id);
		offer_change(j, f);
		finding_source(f, j->function->note.source, j->function->note.standing);
	}
	/* A claim may be lower than what was reached, never higher; and it must be enough too. */
	if (claimed > series->level && series->gap == GAP_NONE) {
		struct finding *f = against(j, FINDING_CODE_FUNCTION_CLAIM, claim->at);
		with(c, f, "claimed", level_word(claimed));
		with(c, f, "reached", level_word(series->level));
		way_value(c, way_out(c, f, "correct"), "reached", level_word(series->level));
	}
	if (claimed < j->required) {
		struct finding *f = against(j, FINDING_CODE_FUNCTION_LEVEL, claim->at);
		with(c, f, "level", fact_text(claim));
		with(c, f, "least", level_word(j->required));
		way_value(c, way_out(c, f, "reach"), "least", level_word(j->required));
		finding_source(f, j->function->note.source, j->function->note.standing);
	}
}

static void compute(struct judged *j)
{
	find_required(j);
	read_subsystems(j);
	if (!j->count) {
		way_out(j->c, against(j, FINDING_CODE_FUNCTION_SUBSYSTEMS, j->entry->at), "enter");
		return;
	}
	judge_roles(j);
	judge_devices(j);
	judge_categories(j);
	judge_papers(j);
	struct series_result series = function_judge(j->tables, j->subsystems, j->count, j->results);
	view_subsystems(j);
	j->out->level = level_word(series.level);
	j->out->by = decided_word(series.by);
	j->out->per_hour = series.per_hour;
	j->out->weakest = j->uses[series.weakest].entry->id;
	if (series.gap == GAP_NONE)
		series_steps(j, &series);
	if (series.by_levels)
		decide(j->c, TABLE_SERIES);
	judge_level(j, &series);
}

/* --- all that must be shown besides ---------------------------------------------------------------- */

/* A fault is found only of an input that the control can test; category 1 does without finding any. */
static bool inputs_monitored(struct context *c, const struct lib_function *f, const struct item *entry)
{
	const struct fact *devices = item_fact(entry, "devices");
	bool fine = true;
	if (!f->categories.count || fact_is(item_fact(entry, "category"), "1"))
		return true;
	for (size_t i = 0; fact_given(devices) && i < devices->count; i++) {
		const struct item *d = record_item(c->record, "devices", devices->list[i]);
		const struct item *input =
			d ? record_item(c->record, "control.inputs", fact_text(item_fact(d, "input"))) : NULL;
		const struct fact *monitored = item_fact(input, "monitored");
		if (!input || fact_is(monitored, "yes"))
			continue;
		struct finding *p = point_out(c, FINDING_CODE_INPUT_UNMONITORED, entry->id,
			monitored->at.line ? monitored->at : input->at);
		with(c, p, "input", input->id);
		way_value(c, way_out(c, p, "monitor"), "input", input->id);
		fine = false;
	}
	return fine;
}

/* A function is no evidence for a function: least of all for itself. */
static size_t shown_by(const struct context *c, const struct fact *cited)
{
	static const char *const KINDS[] = {"paper", "photo", "check", "point"};
	size_t n = 0;
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		n += evidence_count(c, cited, KINDS[i]);
	return n;
}

/* Whether a device of the function was fitted after it was proved. */
static bool fitted_since(struct context *c, const struct item *entry, const struct fact *on)
{
	const struct fact *devices = item_fact(entry, "devices");
	bool since = false;
	for (size_t i = 0; fact_given(devices) && i < devices->count; i++)
		since = context_fitted(c, entry->id, on, record_item(c->record, "devices", devices->list[i])) || since;
	return since;
}

static void judge_category(struct judged *j)
{
	struct context *c = j->c;
	const struct lib_function *f = j->function;
	const struct fact *category = item_fact(j->entry, "category");
	if (f->categories.count && !words_have(f->categories, fact_text(category))) {
		struct finding *p = against(j, FINDING_CODE_FUNCTION_CATEGORY, category->at);
		with(c, p, "category", fact_text(category));
		with(c, p, "function", f->note.id);
		way_out(c, p, "category");
		finding_source(p, f->note.source, f->note.standing);
	}
}

/* The whole is no better than the part that may lose it to the fewest faults. */
static void judge_claimed_category(struct judged *j)
{
	const struct fact *claim = item_fact(j->entry, "category");
	enum category lowest = CATEGORY_4;
	for (size_t i = 0; i < j->count; i++)
		if (j->subsystems[i].category < lowest)
			lowest = j->subsystems[i].category;
	/* One without a category was told. */
	if (!j->count || lowest == CATEGORY_NONE || category_of_word(fact_text(claim)) <= lowest)
		return;
	struct finding *f = against(j, FINDING_CODE_FUNCTION_CLAIM_CATEGORY, claim->at);
	with(j->c, f, "claimed", fact_text(claim));
	with(j->c, f, "lowest", category_word(lowest));
	way_value(j->c, way_out(j->c, f, "correct"), "lowest", category_word(lowest));
}

/* Category 2 finds a fault by testing: in any part of the chain, or as claimed for the whole. */
static void judge_tests(struct judged *j)
{
	const struct fact *tested = item_fact(j->entry, "tested-before-each-movement");
	bool two = fact_is(item_fact(j->entry, "category"), "2");
	for (size_t i = 0; i < j->count; i++)
		two = two || j->subsystems[i].category == CATEGORY_2;
	if (two && !fact_is(tested, "yes"))
		way_out(j->c, against(j, FINDING_CODE_FUNCTION_UNTESTED, tested->at), "test");
}

static void judge_shown(struct judged *j)
{
	static const char *const CITED[] = {"paper", "wiring", "proof"};
	struct context *c = j->c;
	for (size_t i = 0; i < sizeof CITED / sizeof *CITED; i++) {
		const struct fact *cited = item_fact(j->entry, CITED[i]);
		bool paper = text_equal(CITED[i], "paper");
		if (fact_given(cited) && (paper ? papers_cited(c, cited, j->function->papers) : shown_by(c, cited)))
			continue;
		struct finding *p = against(j, FINDING_CODE_FUNCTION_PAPER, cited->at.line ? cited->at : j->entry->at);
		with(c, p, "what", CITED[i]);
		way_value(c, way_out(c, p, "cite"), "what", CITED[i]);
	}
	const struct fact *on = item_fact(j->entry, "proved-on");
	bool old = context_aged(c, j->entry->id, on, j->function->ages_by);
	if (fitted_since(c, j->entry, on) || old || !fact_given(on) ||
		!fact_given(item_fact(j->entry, "test-setting")))
		j->counts = false;
}

/* Every device that has to stop the gate is read by a function of its kind. */
static void judge_readers(struct context *c)
{
	static const struct {
		const char *device, *function;
	} READ[] = {
		{"pressure-edge", "contact-detection"},
		{"beam", "presence-detection"},
		{"light-curtain", "full-presence-detection"},
		{"emergency-stop", "emergency-stop"},
	};
	const struct item_list *devices = record_list(c->record, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const struct item *d = &devices->items[i];
		for (size_t k = 0; k < sizeof READ / sizeof *READ; k++) {
			const struct lib_function *f = library_function(c->library, READ[k].function);
			bool there = false, read = false;
			for (size_t n = 0; f && n < c->result->function_count; n++) {
				const struct function_result *r = &c->result->functions[n];
				there = there || (r->function == f && r->entry);
				read = read || (r->function == f && fact_has(item_fact(r->entry, "devices"), d->id));
			}
			/* Where there is none of that kind, that is said already. */
			if (!there || read || !fact_is(item_fact(d, "kind"), READ[k].device))
				continue;
			struct finding *p = point_out(c, FINDING_CODE_FUNCTION_DEVICE, d->id, d->at);
			with(c, p, "function", f->note.id);
			way_value(c, way_out(c, p, "add"), "device", d->id);
		}
	}
}

static void judge_function(struct context *c, const struct reliability_tables *tables, const struct item *entry,
	const struct lib_function *f)
{
	struct assessment *r = c->result;
	struct function_result *out = &r->functions[r->function_count++];
	struct judged j = {.c = c, .tables = tables, .out = out, .function = f, .entry = entry, .counts = true};
	*out = (struct function_result){.function = f, .entry = entry, .least = f->least ? f->least : "", .level = "",
		.by = "", .weakest = ""};
	if (tables)
		compute(&j);
	else
		j.counts = false;
	judge_category(&j);
	judge_claimed_category(&j);
	judge_tests(&j);
	if (!inputs_monitored(c, f, entry))
		j.counts = false;
	judge_shown(&j);
	if (j.counts)
		context_decides(c, &f->note, "functions");
	out->outcome = j.counts ? OUTCOME_ANSWERED : OUTCOME_OPEN;
}

/* What the library asks for and the record does not have. */
static void report_missing(struct context *c, const struct item_list *list)
{
	struct assessment *r = c->result;
	for (size_t i = 0; i < c->library->functions_count; i++) {
		const struct lib_function *f = &c->library->functions[i];
		bool due = f->when && !context_excludes(c, f->when), found = false;
		for (size_t k = 0; k < r->function_count; k++)
			if (r->functions[k].function == f) {
				r->functions[k].required = due;
				found = true;
			}
		if (!due || found)
			continue;
		r->functions[r->function_count++] = (struct function_result){.function = f, .required = true,
			.least = f->least ? f->least : "", .level = "", .by = "", .weakest = ""};
		struct finding *p = point_out(c, FINDING_CODE_FUNCTION_MISSING, f->note.id, list->at);
		with(c, p, "function", f->note.id);
		way_value(c, way_out(c, p, "enter"), "function", f->note.id);
		finding_source(p, f->note.source, f->note.standing);
	}
}

/* NULL after saying what the library lacks. What limits are there is no use of them yet. */
static const struct reliability_tables *tables_of(struct context *c, struct reliability_tables *tables)
{
	size_t used = c->result->limit_count;
	const char *lacking = reliability_tables_fill(c, tables);
	c->result->limit_count = used;
	if (!lacking)
		return tables;
	point_out_with(c, FINDING_CODE_FUNCTION_TABLES, "functions", record_list(c->record, "functions")->at, "table",
		lacking);
	return NULL;
}

void assess_functions(struct context *c)
{
	struct assessment *r = c->result;
	const struct item_list *list = record_list(c->record, "functions");
	struct reliability_tables room;
	const struct reliability_tables *tables = list->count ? tables_of(c, &room) : NULL;
	r->functions = arena_array(c->arena, list->count + c->library->functions_count + 1, sizeof *r->functions);
	for (size_t i = 0; i < list->count; i++) {
		const struct item *entry = &list->items[i];
		const struct fact *kind = item_fact(entry, "kind");
		const struct lib_function *f = library_function(c->library, fact_text(kind));
		if (f)
			judge_function(c, tables, entry, f);
		else
			point_out_with(c, FINDING_CODE_FUNCTION_UNKNOWN, entry->id,
				kind->at.line ? kind->at : entry->at, "kind", fact_text(kind));
	}
	report_missing(c, list);
	judge_readers(c);
}
