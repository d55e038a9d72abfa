/* What the families of the pocket book ask for and write. */
#include "assess/reckoner.h"

#include <math.h>
#include <string.h>

/* --- what was put in ------------------------------------------------------------------------------ */

static const struct reckon_given *given(const struct reckoning_run *r, const char *key)
{
	for (const struct reckon_given *g = r->out->inputs; g; g = g->next)
		if (text_equal(g->key, key))
			return g;
	return NULL;
}

static enum worse worse_of(const struct reckoning_run *r, const char *key)
{
	for (size_t i = 0; i < r->reckoner->key_count; i++)
		if (text_equal(r->reckoner->keys[i].name, key))
			return r->reckoner->keys[i].worse;
	return WORSE_NEITHER;
}

bool run_has(const struct reckoning_run *r, const char *key)
{
	return given(r, key) != NULL;
}

static double worse_end(const struct quantity *q, enum worse worse)
{
	return worse == WORSE_HIGHER ? q->high : worse == WORSE_LOWER ? q->low : q->value;
}

double run_si(struct reckoning_run *r, const char *key)
{
	const struct quantity *q = &given(r, key)->values[0].quantity;
	enum worse worse = worse_of(r, key);
	if (worse == WORSE_NEITHER && q->low < q->high) {
		run_refuse(r, "doubt");
		run_refuse_text(r, "key", key);
	}
	return worse_end(q, worse);
}

struct value run_value(const struct reckoning_run *r, const char *key)
{
	const struct reckon_given *g = given(r, key);
	return g ? g->values[0] : value_unknown();
}

struct grid_key run_key(const struct reckoning_run *r, const char *key)
{
	struct value v = run_value(r, key);
	return v.kind == VALUE_QUANTITY ? (struct grid_key){NULL, v.quantity.low, v.quantity.high}
					: grid_word(run_word(r, key));
}

const char *run_word(const struct reckoning_run *r, const char *key)
{
	const struct reckon_given *g = given(r, key);
	return g && g->values[0].kind == VALUE_WORD ? g->values[0].word : "";
}

struct date run_date(const struct reckoning_run *r, const char *key)
{
	const struct reckon_given *g = given(r, key);
	return g ? g->values[0].date : (struct date){0};
}

const double *run_list(const struct reckoning_run *r, const char *key, size_t *count)
{
	const struct reckon_given *g = given(r, key);
	*count = g ? g->count : 0;
	double *list = arena_array(r->arena, *count + 1, sizeof *list);
	for (size_t i = 0; i < *count; i++)
		list[i] = worse_end(&g->values[i].quantity, worse_of(r, key));
	return list;
}

const char *const *run_words(const struct reckoning_run *r, const char *key, size_t *count)
{
	const struct reckon_given *g = given(r, key);
	*count = g ? g->count : 0;
	const char **words = arena_array(r->arena, *count + 1, sizeof *words);
	for (size_t i = 0; i < *count; i++)
		words[i] = g->values[i].word;
	return words;
}

/* --- what the library holds ------------------------------------------------------------------------ */

static void add_source(struct reckoning_run *r, const char *source, enum standing standing)
{
	if (!source || !*source)
		return;
	if (!r->source) {
		r->source = source;
		r->standing = standing;
		return;
	}
	r->standing = standing_weaker(r->standing, standing);
	if (!strstr(r->source, source))
		r->source = arena_format(r->arena, "%s; %s", r->source, source);
}

bool run_limit(struct reckoning_run *r, const char *id, const struct value *arguments, size_t count, double *si)
{
	struct value v = context_limit(r->context, id, arguments, count, "");
	if (v.kind != VALUE_QUANTITY || v.quantity.low < v.quantity.high) {
		run_refuse(r, v.kind == VALUE_QUANTITY ? "several" : "no-limit");
		run_refuse_text(r, "limit", id);
		return false;
	}
	const struct lib_limit *l = library_limit(r->context->library, id);
	const struct lib_limit_row *row = r->context->last_row;
	add_source(r, row && row->source ? row->source : l->note.source, row ? row->standing : l->note.standing);
	*si = v.quantity.value;
	return true;
}

bool run_bound(struct reckoning_run *r, const char *id, double *si)
{
	return run_limit(r, id, NULL, 0, si);
}

const struct lib_grid *run_grid(struct reckoning_run *r, const char *id)
{
	const struct lib_grid *g = library_grid(r->context->library, id);
	if (!g) {
		run_refuse(r, "no-limit");
		run_refuse_text(r, "limit", id);
	}
	return g;
}

bool run_look(struct reckoning_run *r, const char *id, const struct grid_key *keys, struct grid_hit *hit)
{
	const struct lib_grid *g = run_grid(r, id);
	if (!g)
		return false;
	if (!grid_look(&g->grid, keys, hit)) {
		run_refuse(r, "outside-table");
		run_refuse_text(r, "table", g->note.source);
		return false;
	}
	add_source(r, hit->cell->source ? hit->cell->source : g->note.source, hit->cell->standing);
	return true;
}

bool run_term(struct reckoning_run *r, const char *table, const char *word, double *out)
{
	struct grid_key key = grid_word(word);
	struct grid_hit hit;
	if (!run_look(r, table, &key, &hit))
		return false;
	*out = hit.high;
	return true;
}

struct value run_length(double metres)
{
	return value_of_quantity(quantity_of(metres, DIM_LENGTH));
}

/* --- steps ----------------------------------------------------------------------------------------- */

struct step *steps_add(struct arena *a, struct steps *s, const char *id, const char *source,
	enum standing standing)
{
	struct step *step = arena_alloc(a, sizeof *step);
	*step = (struct step){.id = id, .source = source, .standing = standing};
	if (s->last)
		s->last->next = step;
	else
		s->first = step;
	s->last = step;
	return step;
}

static struct finding_value *value_add(struct arena *a, struct finding_value **list, const char *name,
	const char *text)
{
	struct finding_value *v = arena_alloc(a, sizeof *v);
	*v = (struct finding_value){.name = name, .value = text};
	while (*list)
		list = &(*list)->next;
	return *list = v;
}

void step_text(struct arena *a, struct step *s, const char *name, const char *text)
{
	value_add(a, &s->values, name, text);
}

void step_figure(struct arena *a, struct step *s, const char *name, double value)
{
	step_text(a, s, name, figure_text(a, value));
}

void run_step(struct reckoning_run *r, const char *id, const char *source, enum standing standing)
{
	add_source(r, source, standing);
	r->step = steps_add(r->arena, &r->out->steps, id, r->source, r->source ? r->standing : STANDING_PRACTICE);
	r->source = NULL;
}

void run_text(struct reckoning_run *r, const char *name, const char *text)
{
	step_text(r->arena, r->step, name, text);
}

void run_figure(struct reckoning_run *r, const char *name, double value)
{
	run_text(r, name, figure_text(r->arena, value));
}

void run_figure_mm(struct reckoning_run *r, const char *name, double metres)
{
	run_figure(r, name, metres * 1000);
}

void run_quantity(struct reckoning_run *r, const char *name, double si, struct dimension dim)
{
	run_text(r, name, quantity_text(r->arena, quantity_of(si, dim)));
}

/* --- results --------------------------------------------------------------------------------------- */

static struct reckon_outcome *outcome_add(struct arena *a, struct reckon_outcome **list, const char *key,
	enum gives kind)
{
	struct reckon_outcome *o = arena_alloc(a, sizeof *o);
	*o = (struct reckon_outcome){.key = key, .kind = kind};
	while (*list)
		list = &(*list)->next;
	return *list = o;
}

static struct reckon_outcome *result(struct reckoning_run *r, const char *key, enum gives kind)
{
	return outcome_add(r->arena, &r->out->results, key, kind);
}

void run_number(struct reckoning_run *r, const char *key, double value)
{
	/* No number is better than one that is none. */
	if (!isfinite(value)) {
		run_refuse(r, "no-number");
		return;
	}
	result(r, key, GIVES_NUMBER)->number = value;
}

void run_result(struct reckoning_run *r, const char *key, const char *word)
{
	result(r, key, GIVES_WORD)->word = word;
}

void run_truth(struct reckoning_run *r, const char *key, bool truth)
{
	result(r, key, GIVES_TRUTH)->truth = truth;
}

void run_nothing(struct reckoning_run *r, const char *key)
{
	result(r, key, GIVES_NOTHING);
}

void run_list_of(struct reckoning_run *r, const char *key, const char *const *words, size_t count)
{
	struct reckon_outcome *o = result(r, key, GIVES_WORDS);
	o->words = words;
	o->word_count = count;
}

void run_rows(struct reckoning_run *r, const char *key)
{
	result(r, key, GIVES_ROWS);
}

static struct reckon_outcome *last_result(const struct reckoning_run *r)
{
	struct reckon_outcome *o = r->out->results;
	while (o->next)
		o = o->next;
	return o;
}

void run_row(struct reckoning_run *r)
{
	struct reckon_outcome *o = last_result(r);
	struct reckon_row *row = arena_alloc(r->arena, sizeof *row);
	if (o->last_row)
		o->last_row->next = row;
	else
		o->rows = row;
	o->last_row = row;
}

void run_cell(struct reckoning_run *r, const char *key, double value)
{
	outcome_add(r->arena, &last_result(r)->last_row->cells, key, GIVES_NUMBER)->number = value;
}

void run_cell_word(struct reckoning_run *r, const char *key, const char *word)
{
	outcome_add(r->arena, &last_result(r)->last_row->cells, key, GIVES_WORD)->word = word;
}

/* --- meaning and refusal --------------------------------------------------------------------------- */

void run_means(struct reckoning_run *r, const char *id, bool no)
{
	r->out->meaning = id;
	r->out->no = no;
}

void run_means_text(struct reckoning_run *r, const char *name, const char *text)
{
	value_add(r->arena, &r->out->values, name, text);
}

void run_means_figure(struct reckoning_run *r, const char *name, double value)
{
	run_means_text(r, name, figure_text(r->arena, value));
}

void run_refuse(struct reckoning_run *r, const char *id)
{
	struct findings *list = r->out->findings;
	/* One reason is enough, and what follows from it is none. */
	if (r->refused)
		return;
	struct finding *f = finding_add(list, FINDING_CODE_RECKON_REFUSED, r->out->name, (struct place){0});
	finding_with(list, f, "message", arena_format(r->arena, "reckon.%s.refuses.%s|reckon-refuses.%s", r->out->name,
		id, id));
	r->refused = true;
}

void run_refuse_text(struct reckoning_run *r, const char *name, const char *text)
{
	struct findings *list = r->out->findings;
	finding_with(list, list->items[list->count - 1], name, text);
}
