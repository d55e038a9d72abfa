#include "work/question.h"

#include <string.h>

#include "base/text.h"
#include "model/field.h"

struct asking {
	struct arena *arena;
	const struct job *job;
	const struct ask *ask;
	struct question *out;
	struct choice *choices;
	size_t room;
};

static const char *find(const struct asking *q, const char *key)
{
	return phrasebook_find(q->job->words, key);
}

static const char *walk_words(const struct asking *q, const char *key)
{
	const char *text = find(q, arena_format(q->arena, "walk.%s", key));
	return text ? text : key;
}

static void add_choice(struct asking *q, const char *word, const char *title)
{
	struct question *out = q->out;
	if (!q->choices || out->choice_count == q->room) {
		size_t room = q->room ? q->room * 2 : 16;
		q->choices = arena_grow(q->arena, q->choices, out->choice_count, room, sizeof *q->choices);
		q->room = room;
	}
	q->choices[out->choice_count++] = (struct choice){word, title ? title : word};
	out->choices = q->choices;
}

static void add_word(struct asking *q, const char *word)
{
	const char *title = find(q, arena_format(q->arena, "choices.%s", word));
	add_choice(q, word, title);
}

static void add_words(struct asking *q, const char *choices)
{
	for (const char *at = choices; at && *at;) {
		size_t n = strcspn(at, "|");
		add_word(q, arena_copy(q->arena, at, n));
		at += n + (at[n] == '|');
	}
}

static const char *title_in(const struct asking *q, const char *group, const struct lib_note *note)
{
	const char *title = phrasebook_part(q->job->words, group, note->id, "title");
	return title ? title : note->title;
}

/* ---- choices that the library or the record gives ---------------------------------------------- */

static void offer_types(struct asking *q)
{
	const struct library *l = q->job->library;
	for (size_t i = 0; i < l->types_count; i++)
		add_choice(q, l->types[i].note.id, title_in(q, "types", &l->types[i].note));
}

static void offer_territories(struct asking *q)
{
	const struct library *l = q->job->library;
	for (size_t i = 0; i < l->regimes_count; i++)
		for (size_t k = 0; k < l->regimes[i].territories.count; k++) {
			const char *word = l->regimes[i].territories.items[k];
			size_t at = 0;
			while (at < q->out->choice_count && !text_equal(q->choices[at].word, word))
				at++;
			if (at == q->out->choice_count)
				add_word(q, word);
		}
}

static void offer_standards(struct asking *q)
{
	const struct library *l = q->job->library;
	for (size_t i = 0; i < l->standards_count; i++)
		add_choice(q, l->standards[i].note.id,
			arena_format(q->arena, "%s, %s", l->standards[i].number, l->standards[i].edition));
}

static void offer_functions(struct asking *q)
{
	const struct library *l = q->job->library;
	for (size_t i = 0; i < l->functions_count; i++)
		add_choice(q, l->functions[i].note.id, title_in(q, "functions", &l->functions[i].note));
}

static void offer_items(struct asking *q, const char *list, const char *lead, const char *key)
{
	const struct item_list *items = record_list(q->job->record, list);
	for (size_t i = 0; i < items->count; i++)
		add_choice(q, arena_format(q->arena, "%s%s", lead, items->items[i].id),
			fact_text(item_fact(&items->items[i], key)));
}

static void offer_inputs(struct asking *q)
{
	offer_items(q, "control.inputs", "", "function");
}

static void offer_devices(struct asking *q)
{
	offer_items(q, "devices", "", "kind");
}

static void offer_evidence(struct asking *q)
{
	offer_items(q, "photos", "photo:", "shows");
	offer_items(q, "papers", "paper:", "of");
	q->out->any_word = true;
}

static void offer_zones(struct asking *q)
{
	const struct assessment *r = q->job->assessment;
	for (size_t i = 0; i < r->zone_count; i++)
		add_choice(q, r->zones[i].key, title_in(q, "zones", &r->zones[i].zone->note));
}

/* Every measure that some hazard of the zone lists, each once. */
static void offer_measures(struct asking *q)
{
	const struct zone_result *z = q->ask->zone;
	const struct library *l = q->job->library;
	bool *seen = arena_array(q->arena, l->measures_count, sizeof *seen);
	for (size_t i = 0; z && i < z->zone->hazard_count; i++)
		for (size_t k = 0; k < z->zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(l, z->zone->hazards[i].measures.items[k]);
			if (!m || seen[m - l->measures])
				continue;
			seen[m - l->measures] = true;
			add_choice(q, m->note.id, title_in(q, "measures", &m->note));
		}
}

static const struct {
	const char *path;
	void (*offer)(struct asking *q);
} OFFERS[] = {
	{"gate.type", offer_types},
	{"job.territory", offer_territories},
	{"job.standards", offer_standards},
	{"functions[].kind", offer_functions},
	{"functions[].devices", offer_devices},
	{"devices[].input", offer_inputs},
	{"devices[].zones", offer_zones},
	{"force.points[].zone", offer_zones},
	{"zones[].by", offer_measures},
};

/* ---- how an answer is written ------------------------------------------------------------------ */

static const char *form_of(struct asking *q, enum field_kind kind, const struct dimension *dim, const char *low,
	const char *high)
{
	static const char *const FORMS[] = {[FIELD_TEXT] = "form-text", [FIELD_WORD] = "form-word",
		[FIELD_QUANTITY] = "form-quantity", [FIELD_COUNT] = "form-count", [FIELD_DATE] = "form-date",
		[FIELD_TRUTH] = "form-truth", [FIELD_ID] = "form-id", [FIELD_WORDS] = "form-words",
		[FIELD_EVIDENCE] = "form-evidence", [FIELD_FILE] = "form-file", [FIELD_FILES] = "form-files",
		[FIELD_SHA256] = "form-digest"};
	const char *units = dim ? dimension_units(q->arena, *dim) : "";
	const char *what = dim ? dimension_name(*dim) : NULL;
	struct finding_value to = {"high", high ? high : "", NULL}, from = {"low", low ? low : "", &to};
	struct finding_value unit = {"units", units, &from},
			     name = {"what", what ? what : walk_words(q, "a-number"), &unit};
	bool quantity = kind == FIELD_QUANTITY, length = quantity && dim && dimension_equal(*dim, DIM_LENGTH);
	const char *key = quantity && !*units ? "form-number" : length ? "form-length" : FORMS[kind];
	const char *form = phrase_fill(q->arena, walk_words(q, key), &name);
	if (!low || !high)
		return form;
	return arena_format(q->arena, "%s %s", form, phrase_fill(q->arena, walk_words(q, "form-range"), &name));
}

static void ask_field(struct asking *q)
{
	const struct field *f = q->ask->field;
	struct question *out = q->out;
	const char *title = find(q, arena_format(q->arena, "%s.title", q->ask->words));
	const char *help = find(q, arena_format(q->arena, "%s.help", q->ask->words));
	bool offered = false;
	out->title = title ? title : f->path;
	out->help = help ? help : "";
	add_words(q, f->choices);
	for (size_t i = 0; i < sizeof OFFERS / sizeof *OFFERS; i++)
		if (text_equal(OFFERS[i].path, f->path)) {
			OFFERS[i].offer(q);
			offered = true;
		}
	if (f->kind == FIELD_EVIDENCE)
		offer_evidence(q);
	out->any_word = !f->choices && !offered;
	out->several = f->kind == FIELD_WORDS || f->kind == FIELD_EVIDENCE || f->kind == FIELD_FILES;
	out->none = f->flags & FIELD_NONE_OK;
	out->not_applicable = f->flags & FIELD_NA_OK;
	out->form = form_of(q, f->kind, f->dim, f->low, f->high);
}

static const char *bound(struct asking *q, bool has, struct quantity value)
{
	return has ? quantity_text(q->arena, value) : NULL;
}

static void ask_declared(struct asking *q)
{
	const struct lib_field *f = q->ask->declared;
	struct question *out = q->out;
	const char *title = find(q, q->ask->words);
	if (!title)
		title = find(q, arena_format(q->arena, "%s.title", q->ask->words));
	out->title = title ? title : f->id;
	out->help = "";
	for (size_t i = 0; i < f->choices.count; i++)
		add_word(q, f->choices.items[i]);
	out->any_word = !f->choices.count;
	out->several = f->kind == FIELD_WORDS;
	out->form = form_of(q, f->kind, f->kind == FIELD_QUANTITY ? &f->dim : NULL, bound(q, f->has_low, f->low),
		bound(q, f->has_high, f->high));
}

static void ask_list(struct asking *q)
{
	struct question *out = q->out;
	const char *list = find(q, arena_format(q->arena, "%s.title", q->ask->words));
	const char *help = find(q, arena_format(q->arena, "%s.help", q->ask->words));
	struct finding_value name = {"list", list ? list : q->ask->path, NULL};
	out->title = phrase_fill(q->arena, walk_words(q, q->ask->kind == ASK_LIST ? "list-first" : "list-more"), &name);
	out->help = help ? help : "";
	out->form = walk_words(q, q->ask->kind == ASK_LIST ? "form-first" : "form-more");
	out->any_word = true;
	if (text_equal(q->ask->path, "functions"))
		offer_functions(q);
}

static const char *millimetres(struct asking *q, double metres)
{
	return arena_format(q->arena, "%s mm", text_number(q->arena, metres * 1000, 0));
}

static void ask_point(struct asking *q)
{
	const struct point_result *p = q->ask->point;
	struct finding_value height = {"height", millimetres(q, p->height), NULL};
	struct finding_value gap = {"gap", millimetres(q, p->gap), &height};
	struct finding_value direction = {"direction", p->direction, &gap}, zone = {"zone", p->zone_key, &direction};
	q->out->title = phrase_fill(q->arena, walk_words(q, "point"), &zone);
	q->out->help = walk_words(q, "point-help");
	q->out->form = walk_words(q, "form-files");
	q->out->any_word = q->out->several = true;
}

static void ask_plan(struct asking *q)
{
	q->out->title = walk_words(q, "plan");
	q->out->help = walk_words(q, "plan-help");
	q->out->form = walk_words(q, "form-truth");
}

/* How it is answered, what a meter read, how a check came out: such an answer is given anew, never by leaving
 * an old one standing. */
static bool never_by_default(const struct ask *ask)
{
	static const char *const PATHS[] = {"zones[].as", "zones[].by", "zones[].looked-on",
		"checks[].outcome", "checks[].on", "checks[].facts.*", "force.points[].recordings",
		"force.points[].on", "force.points[].typed-peaks"};
	for (size_t i = 0; ask->field && i < sizeof PATHS / sizeof *PATHS; i++)
		if (text_equal(ask->field->path, PATHS[i]))
			return true;
	return ask->check != NULL;
}

void question_of(struct arena *a, const struct job *job, const struct ask *ask, struct question *out)
{
	struct asking q = {.arena = a, .job = job, .ask = ask, .out = out};
	*out = (struct question){.ask = ask};
	switch (ask->kind) {
	case ASK_VALUE:
		if (ask->field)
			ask_field(&q);
		else
			ask_declared(&q);
		break;
	case ASK_LIST:
	case ASK_MORE:
		ask_list(&q);
		break;
	case ASK_POINT:
		ask_point(&q);
		break;
	case ASK_PLAN:
		ask_plan(&q);
		break;
	}
	if (ask->fact && (ask->fact->state == FACT_GIVEN || ask->fact->state == FACT_NONE)) {
		out->value = ask->fact->state == FACT_NONE ? "none" : fact_shown(a, ask->fact);
		out->keeps = !never_by_default(ask);
	}
}
