/* The answer of the pocket book as JSON. */
#include <string.h>

#include "base/text.h"
#include "out/json.h"
#include "out/put.h"

static void put_inputs(struct arena *a, json_t *to, const struct reckoning *r)
{
	json_t *inputs = out_object_at(a, to, "inputs");
	for (const struct reckon_given *g = r->inputs; g; g = g->next)
		out_text(a, inputs, g->key, g->text);
}

static void put_result(struct arena *a, json_t *to, const struct reckon_outcome *o)
{
	json_t *list;
	switch (o->kind) {
	case GIVES_NOTHING:
		out_text(a, to, o->key, NULL);
		return;
	case GIVES_NUMBER:
		out_exact(a, to, o->key, o->number);
		return;
	case GIVES_WORD:
		out_text(a, to, o->key, o->word);
		return;
	case GIVES_TRUTH:
		out_put(a, to, o->key, json_boolean(o->truth));
		return;
	case GIVES_WORDS:
		list = out_list(a, to, o->key);
		for (size_t i = 0; i < o->word_count; i++)
			out_word(a, list, o->words[i]);
		return;
	case GIVES_ROWS:
		break;
	}
	list = out_list(a, to, o->key);
	for (const struct reckon_row *row = o->rows; row; row = row->next) {
		json_t *cells = out_object(a, list);
		for (const struct reckon_outcome *c = row->cells; c; c = c->next)
			put_result(a, cells, c);
	}
}

static void put_steps(struct arena *a, json_t *to, const struct reckoning *r, const struct phrasebook *words)
{
	struct buf formula, source;
	buf_init(&formula, a);
	buf_init(&source, a);
	for (const struct step *s = r->steps.first; s; s = s->next) {
		buf_format(&formula, "%s%s", formula.length ? "\n" : "", step_shown(a, words, s));
		if (s->source && !strstr(source.bytes, s->source))
			buf_format(&source, "%s%s", source.length ? "; " : "", s->source);
	}
	out_text(a, to, "formula", formula.bytes);
	out_text(a, to, "source", source.bytes);
	out_text(a, to, "standing", r->results ? standing_name(r->standing) : NULL);
	json_t *steps = out_list(a, to, "steps");
	for (const struct step *s = r->steps.first; s; s = s->next) {
		json_t *step = out_object(a, steps);
		out_text(a, step, "formula", step_shown(a, words, s));
		out_text(a, step, "source", s->source);
		out_text(a, step, "standing", standing_name(s->standing));
	}
}

char *json_reckoning(struct arena *a, const struct reckoning *r, const struct phrasebook *words)
{
	json_t *o = out_root(a, json_object());
	out_put(a, o, "format", json_integer(1));
	out_text(a, o, "name", r->name);
	put_inputs(a, o, r);
	json_t *results = out_object_at(a, o, "results");
	for (const struct reckon_outcome *out = r->results; out; out = out->next)
		put_result(a, results, out);
	put_steps(a, o, r, words);
	out_text(a, o, "meaning", reckoning_meaning(a, words, r));
	out_text(a, o, "holds", phrasebook_part(words, "reckon", r->name, "holds"));
	out_put(a, o, "in_order", json_boolean(r->results && !r->no));
	out_findings(a, o, r->findings, words);
	return out_dump(a, o);
}
