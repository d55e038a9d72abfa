/* Symptoms on record, explained by the readings of the input register that do not fit. */
#include "assess/context.h"

#include <stdlib.h>
#include <string.h>

#include "model/field.h"

/* A detector or limit that the control disregards in a direction explains nothing there. */
static bool disregarded(const struct item *input, const char *symptom)
{
	static const struct {
		const char *symptom, *did;
	} DIRECTIONS[] = {
		{"will-not-close", "did-closing"},
		{"stays-open", "did-closing"},
		{"will-not-open", "did-opening"},
	};
	const struct fact *function = item_fact(input, "function");
	if (!fact_is(function, "edge") && !fact_is(function, "beam") && !fact_is(function, "limit"))
		return false;
	for (size_t i = 0; i < sizeof DIRECTIONS / sizeof *DIRECTIONS; i++)
		if (text_equal(DIRECTIONS[i].symptom, symptom))
			return fact_is(item_fact(input, DIRECTIONS[i].did), "not-used");
	return false;
}

/* The paths of those unknown names that a record can answer. */
static void note_missing(struct context *c, const struct rule_result *r, struct cause_result *out)
{
	const char **paths = arena_array(c->arena, r->unknown_count + 1, sizeof *paths);
	for (size_t i = 0; i < r->unknown_count; i++) {
		const char *name = r->unknown[i];
		const char *path = text_begins(name, "input.")
			? arena_format(c->arena, "control.inputs[].%s", name + strlen("input.")) : name;
		if (field_find(path))
			paths[out->missing_count++] = path;
	}
	out->missing = paths;
}

struct search {
	struct context *c;
	struct diagnosis *d;
	size_t room;
};

static void try_cause(struct search *s, const struct lib_cause *cause, const struct item *input)
{
	struct context *c = s->c;
	struct diagnosis *d = s->d;
	struct scope scope = {.prefix = "input", .item = input, .key_prefix = "", .outer = c->scope};
	c->scope = input ? &scope : c->scope;
	struct rule_result r = context_test(c, cause->when);
	c->scope = scope.outer;
	if (r.truth == TRUTH_NO)
		return;
	if (d->cause_count == s->room) {
		size_t room = s->room ? s->room * 2 : 16;
		d->causes = arena_grow(c->arena, d->causes, d->cause_count, room, sizeof *d->causes);
		s->room = room;
	}
	struct cause_result *out = &d->causes[d->cause_count];
	*out = (struct cause_result){.cause = cause, .input = input, .fits = r.truth == TRUTH_YES,
		.order = d->cause_count};
	if (!out->fits)
		note_missing(c, &r, out);
	d->cause_count++;
	d->fit_count += out->fits;
}

static int compare_causes(const void *x, const void *y)
{
	const struct cause_result *a = x, *b = y;
	if (a->fits != b->fits)
		return a->fits ? -1 : 1;
	if (a->cause->rank != b->cause->rank)
		return a->cause->rank < b->cause->rank ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

static void find_causes(struct context *c, struct diagnosis *d)
{
	const struct item_list *inputs = record_list(c->record, "control.inputs");
	struct search s = {.c = c, .d = d};
	for (size_t k = 0; k < c->library->causes_count; k++) {
		const struct lib_cause *cause = &c->library->causes[k];
		if (!cause->when || !words_have(cause->symptoms, d->symptom))
			continue;
		if (!cause->functions.count)
			try_cause(&s, cause, NULL);
		for (size_t i = 0; cause->functions.count && i < inputs->count; i++) {
			const struct item *input = &inputs->items[i];
			if (words_have(cause->functions, fact_text(item_fact(input, "function"))) &&
				!disregarded(input, d->symptom))
				try_cause(&s, cause, input);
		}
	}
	if (d->cause_count)
		qsort(d->causes, d->cause_count, sizeof *d->causes, compare_causes);
}

/* --- words -------------------------------------------------------------------------------------- */

static const char *bound_text(struct context *c, const struct rule *bound)
{
	return value_text(c->arena, rule_value(c->arena, bound, &c->names));
}

/* What the words of a cause may name: the input, its readings, and where they would have to lie. */
static void name_cause(struct context *c, struct finding *f, const struct cause_result *r)
{
	static const char *const READINGS[] = {
		"contact", "at-rest", "actuated", "rest-reading", "actuated-reading", "edges"};
	const struct lib_note *note = &r->cause->note;
	struct scope scope = {.prefix = "input", .item = r->input, .key_prefix = "", .outer = c->scope};
	bool own = note->title && *note->title;
	struct way *w = way_out(c, f, own ? r->input ? "own-on-input" : "own" : "cause");
	if (own) {
		way_value(c, w, "title", note->title);
	} else {
		way_value(c, w, "message", arena_format(c->arena, "causes.%s.message", note->id));
		way_value(c, w, "way", arena_format(c->arena, "causes.%s.way", note->id));
	}
	c->scope = r->input ? &scope : c->scope;
	way_value(c, w, "shown", rule_shown(c->arena, r->cause->when, &c->names));
	if (r->cause->low)
		way_value(c, w, "low", bound_text(c, r->cause->low));
	if (r->cause->high)
		way_value(c, w, "high", bound_text(c, r->cause->high));
	c->scope = scope.outer;
	if (!r->input)
		return;
	way_value(c, w, "input", r->input->id);
	for (size_t i = 0; i < sizeof READINGS / sizeof *READINGS; i++) {
		const struct fact *reading = item_fact(r->input, READINGS[i]);
		way_value(c, w, READINGS[i], fact_given(reading) ? fact_shown(c->arena, reading) : "–");
	}
}

/* What has to be read on one input (or of the gate), and the causes that hang on it. */
struct unread {
	const struct item *input;
	const char **missing;
	size_t missing_count;
	struct buf fields, causes;
};

static void add_unread(struct context *c, struct unread *u, const struct cause_result *r)
{
	const struct lib_note *note = &r->cause->note;
	bool own = note->title && *note->title;
	if (!u->causes.bytes) {
		buf_init(&u->fields, c->arena);
		buf_init(&u->causes, c->arena);
		u->missing = arena_array(c->arena, FIELD_COUNT_ALL, sizeof *u->missing);
		u->input = r->input;
	}
	buf_format(&u->causes, "%s%s", u->causes.length ? ", " : "", own ? note->title : note->id);
	for (size_t i = 0; i < r->missing_count; i++) {
		if (words_have((struct words){u->missing, u->missing_count}, r->missing[i]))
			continue;
		u->missing[u->missing_count++] = r->missing[i];
		buf_format(&u->fields, "%s%s", u->fields.length ? ", " : "", r->missing[i]);
	}
}

/* One way an input, in the order of its likeliest cause. */
static void name_unread(struct context *c, struct finding *f, const struct diagnosis *d)
{
	const struct item_list *inputs = record_list(c->record, "control.inputs");
	struct unread *of = arena_array(c->arena, inputs->count + 1, sizeof *of);
	struct unread **in_order = arena_array(c->arena, inputs->count + 1, sizeof *in_order);
	size_t count = 0;
	for (size_t i = d->fit_count; i < d->cause_count; i++) {
		const struct cause_result *r = &d->causes[i];
		struct unread *u = &of[r->input ? (size_t)(r->input - inputs->items) : inputs->count];
		if (!u->causes.bytes)
			in_order[count++] = u;
		add_unread(c, u, r);
	}
	for (size_t i = 0; i < count; i++) {
		const struct unread *u = in_order[i];
		struct way *w = way_out(c, f, !u->missing_count ? "closer" : u->input ? "measure" : "find-out");
		if (u->missing_count)
			way_value(c, w, "fields", u->fields.bytes);
		way_value(c, w, "causes", u->causes.bytes);
		way_value(c, w, "input", u->input ? u->input->id : "control");
	}
}

static void report(struct context *c, const struct diagnosis *d, struct place at)
{
	struct finding *f = point_out(c, d->fit_count ? FINDING_CODE_SYMPTOM_EXPLAINED
		: FINDING_CODE_SYMPTOM_UNEXPLAINED, d->symptom, at);
	with(c, f, "symptom", d->symptom);
	with(c, f, "caution", "diagnosis.caution");
	/* A symptom that is a danger has words of its own. */
	with(c, f, "message", arena_format(c->arena, "symptoms.%s.message", d->symptom));
	for (size_t i = 0; i < d->fit_count; i++)
		name_cause(c, f, &d->causes[i]);
	name_unread(c, f, d);
	if (!d->fit_count)
		way_value(c, way_out(c, f, "look"), "next",
			arena_format(c->arena, "symptoms.%s.next", d->symptom));
	if (d->cause_count)
		finding_source(f, d->causes->cause->note.source, d->causes->cause->note.standing);
}

void assess_diagnosis(struct context *c)
{
	struct assessment *r = c->result;
	const struct fact *symptoms = record_fact(c->record, "control.symptoms");
	if (!fact_given(symptoms))
		return;
	r->diagnoses = arena_array(c->arena, symptoms->count + 1, sizeof *r->diagnoses);
	for (size_t i = 0; i < symptoms->count; i++) {
		struct diagnosis *d = &r->diagnoses[r->diagnosis_count];
		bool again = false;
		for (size_t k = 0; k < r->diagnosis_count; k++)
			again = again || text_equal(r->diagnoses[k].symptom, symptoms->list[i]);
		if (again)
			continue;
		d->symptom = symptoms->list[i];
		r->diagnosis_count++;
		find_causes(c, d);
		report(c, d, symptoms->list_at[i]);
	}
}
