#include "out/json.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static void drop(void *json)
{
	json_decref(json);
}

/* Roots are dropped with the arena; what is put into them belongs to them. */
static json_t *root(struct arena *a, json_t *json)
{
	if (!json)
		arena_exhausted(a);
	arena_defer(a, drop, json);
	return json;
}

static void put(struct arena *a, json_t *object, const char *key, json_t *value)
{
	if (!value || json_object_set_new(object, key, value))
		arena_exhausted(a);
}

static void put_text(struct arena *a, json_t *object, const char *key, const char *text)
{
	put(a, object, key, text ? json_string(text) : json_null());
}

/* Figures are rounded to what a person could use, so that the text of a double stays short. */
static void put_number(struct arena *a, json_t *object, const char *key, double value, int decimals)
{
	double rounded = value;
	text_scan(text_fixed(a, value, decimals), &rounded);
	put(a, object, key, isfinite(value) ? json_real(rounded) : json_null());
}

static json_t *list_in(struct arena *a, json_t *object, const char *key)
{
	put(a, object, key, json_array());
	return json_object_get(object, key);
}

static json_t *object_in(struct arena *a, json_t *list)
{
	if (json_array_append_new(list, json_object()))
		arena_exhausted(a);
	return json_array_get(list, json_array_size(list) - 1);
}

static void add_text(struct arena *a, json_t *list, const char *text)
{
	if (json_array_append_new(list, json_string(text)))
		arena_exhausted(a);
}

/* Into room measured before: where the library itself makes the room, it leaves out a key that finds no
 * memory, and says nothing. */
static char *dump(struct arena *a, const json_t *json)
{
	const size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(12);
	size_t length = json_dumpb(json, NULL, 0, flags);
	if (!length)
		arena_exhausted(a);
	char *text = arena_alloc(a, length + 2);
	if (json_dumpb(json, text, length, flags) != length)
		arena_exhausted(a);
	text[length] = '\n';
	return text;
}

static const char *const OUTCOMES[] = {"open", "answered", "absent"};

static void put_findings(struct arena *a, json_t *to, const struct findings *findings,
	const struct phrasebook *words)
{
	json_t *list = list_in(a, to, "findings");
	for (size_t i = 0; i < findings->count; i++) {
		const struct finding *f = findings->items[i];
		json_t *o = object_in(a, list);
		put_text(a, o, "code", finding_name(f->code));
		put_text(a, o, "level", finding_level_name(finding_level(f->code)));
		put_text(a, o, "subject", f->subject);
		put_text(a, o, "message", phrase_finding(a, words, f));
		json_t *ways = list_in(a, o, "ways");
		for (const struct way *w = f->ways; w; w = w->next)
			add_text(a, ways, phrase_way(a, words, f, w));
		put_text(a, o, "source", f->source);
		put_text(a, o, "standing", f->source ? standing_name(f->standing) : NULL);
		put_text(a, o, "file", f->at.file);
		put(a, o, "line", json_integer(f->at.line));
		put(a, o, "column", json_integer(f->at.column));
	}
}

static void put_zones(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = list_in(a, to, "zones");
	for (size_t i = 0; i < r->zone_count; i++) {
		const struct zone_result *z = &r->zones[i];
		json_t *o = object_in(a, list);
		put_text(a, o, "zone", z->key);
		put(a, o, "number", json_integer(z->number));
		put_text(a, o, "outcome", OUTCOMES[z->outcome]);
		json_t *hazards = list_in(a, o, "hazards");
		for (size_t k = 0; k < z->hazard_count; k++) {
			const struct hazard_result *h = &z->hazards[k];
			json_t *x = object_in(a, hazards);
			put_text(a, x, "kind", h->hazard->kind);
			put_text(a, x, "outcome", OUTCOMES[h->outcome]);
			put_text(a, x, "by",
				h->designed_out ? "designed-out" : h->by ? h->by->note.id : NULL);
		}
	}
}

static void put_points(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = list_in(a, to, "force_points");
	for (size_t i = 0; i < r->point_count; i++) {
		const struct point_result *p = &r->points[i];
		json_t *o = object_in(a, list);
		put_text(a, o, "point", p->id);
		put_text(a, o, "zone", p->zone_key);
		put_text(a, o, "direction", p->direction);
		put_number(a, o, "gap_mm", p->gap * 1000, 1);
		put_number(a, o, "height_mm", p->height * 1000, 1);
		put_number(a, o, "limit_n", p->limit, 1);
		put(a, o, "recordings", json_integer((json_int_t)p->usable));
		put_number(a, o, "mean_peak_n", p->mean_peak, 1);
		put_text(a, o, "outcome", OUTCOMES[p->outcome]);
	}
}

static void put_functions(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = list_in(a, to, "functions");
	for (size_t i = 0; i < r->function_count; i++) {
		const struct function_result *f = &r->functions[i];
		json_t *o = object_in(a, list);
		put_text(a, o, "function", f->function->note.id);
		put_text(a, o, "id", f->entry ? f->entry->id : NULL);
		put(a, o, "required", json_boolean(f->required));
		put_text(a, o, "outcome", OUTCOMES[f->outcome]);
	}
}

char *json_check(struct arena *a, const char *job, const struct assessment *r,
	const struct findings *findings, const struct phrasebook *words)
{
	json_t *o = root(a, json_object());
	put(a, o, "format", json_integer(1));
	put_text(a, o, "job", r ? fact_text(record_fact(r->record, "job.reference")) : job);
	put_text(a, o, "gate_type", r && r->record->type ? r->record->type->note.id : NULL);
	put_text(a, o, "regime", r && r->regime ? r->regime->note.id : NULL);
	put(a, o, "ready", json_boolean(r && r->ready));
	put_findings(a, o, findings, words);
	if (r) {
		put_zones(a, o, r);
		put_points(a, o, r);
		put_functions(a, o, r);
	} else {
		list_in(a, o, "zones");
		list_in(a, o, "force_points");
		list_in(a, o, "functions");
	}
	return dump(a, o);
}

char *json_findings(struct arena *a, const struct findings *findings, const struct phrasebook *words)
{
	json_t *o = root(a, json_object());
	put(a, o, "format", json_integer(1));
	put_findings(a, o, findings, words);
	return dump(a, o);
}

char *json_curves(struct arena *a, const struct run_result *runs, const double *limits, size_t count)
{
	json_t *list = root(a, json_array());
	for (size_t i = 0; i < count; i++) {
		const struct run_result *r = &runs[i];
		json_t *o = object_in(a, list);
		put(a, o, "format", json_integer(1));
		put_text(a, o, "file", r->file);
		put(a, o, "samples",
			json_integer(r->recording ? (json_int_t)r->recording->count : 0));
		put_number(a, o, "rate_hz", r->rate, 3);
		put_number(a, o, "peak_n", r->peak, 3);
		put_number(a, o, "peak_bound_n", r->peak_bound, 3);
		put_number(a, o, "above_150_s", r->above_static_time, 6);
		put_number(a, o, "static_n", r->static_force, 3);
		put_number(a, o, "above_25_s", r->above_end_time, 6);
		put_number(a, o, "end_n", r->end_force, 3);
		put_number(a, o, "limit_n", limits[i], 3);
		put_text(a, o, "verdict", r->verdict);
		json_t *reasons = list_in(a, o, "reasons");
		for (size_t k = 0; k < r->reason_count; k++)
			add_text(a, reasons, r->reasons[k]);
	}
	return dump(a, list);
}

char *json_explained(struct arena *a, const char *word, const struct explained_list *found)
{
	json_t *o = root(a, json_object());
	put(a, o, "format", json_integer(1));
	put_text(a, o, "word", word);
	json_t *entries = list_in(a, o, "entries");
	for (size_t i = 0; i < found->count; i++) {
		const struct explained *e = &found->items[i];
		json_t *entry = object_in(a, entries);
		put_text(a, entry, "id", e->id);
		put_text(a, entry, "kind", e->kind);
		json_t *lines = list_in(a, entry, "lines");
		for (size_t k = 0; k < e->count; k++) {
			json_t *l = object_in(a, lines);
			put_text(a, l, "key", e->lines[k].key);
			put_text(a, l, "label", e->lines[k].label);
			put_text(a, l, "value", e->lines[k].value);
		}
	}
	return dump(a, o);
}
