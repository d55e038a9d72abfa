#include "out/json.h"

#include "base/text.h"
#include "out/json_geometry.h"
#include "out/put.h"

static const char *const OUTCOMES[] = {"open", "answered", "absent"};

void out_findings(struct arena *a, json_t *to, const struct findings *findings,
	const struct phrasebook *words)
{
	json_t *list = out_list(a, to, "findings");
	for (size_t i = 0; i < findings->count; i++) {
		const struct finding *f = findings->items[i];
		json_t *o = out_object(a, list);
		out_text(a, o, "code", finding_name(f->code));
		out_text(a, o, "level", finding_level_name(finding_level(f->code)));
		out_text(a, o, "subject", f->subject);
		out_text(a, o, "message", phrase_finding(a, words, f));
		json_t *ways = out_list(a, o, "ways");
		for (const struct way *w = f->ways; w; w = w->next)
			out_word(a, ways, phrase_way(a, words, f, w));
		out_text(a, o, "source", f->source);
		out_text(a, o, "standing", f->source ? standing_name(f->standing) : NULL);
		out_text(a, o, "file", f->at.file);
		out_put(a, o, "line", json_integer(f->at.line));
		out_put(a, o, "column", json_integer(f->at.column));
	}
}

static void put_zones(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = out_list(a, to, "zones");
	for (size_t i = 0; i < r->zone_count; i++) {
		const struct zone_result *z = &r->zones[i];
		json_t *o = out_object(a, list);
		out_text(a, o, "zone", z->key);
		out_put(a, o, "number", json_integer(z->number));
		out_text(a, o, "outcome", OUTCOMES[z->outcome]);
		json_t *hazards = out_list(a, o, "hazards");
		for (size_t k = 0; k < z->hazard_count; k++) {
			const struct hazard_result *h = &z->hazards[k];
			json_t *x = out_object(a, hazards);
			out_text(a, x, "kind", h->hazard->kind);
			out_text(a, x, "outcome", OUTCOMES[h->outcome]);
			out_text(a, x, "by",
				h->designed_out ? "designed-out" : h->by ? h->by->note.id : NULL);
		}
	}
}

static void put_points(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = out_list(a, to, "force_points");
	for (size_t i = 0; i < r->point_count; i++) {
		const struct point_result *p = &r->points[i];
		json_t *o = out_object(a, list);
		out_text(a, o, "point", p->id);
		out_text(a, o, "zone", p->zone_key);
		out_text(a, o, "direction", p->direction);
		out_number(a, o, "gap_mm", p->gap * 1000, 1);
		out_number(a, o, "height_mm", p->height * 1000, 1);
		out_number(a, o, "limit_n", p->limit, 1);
		out_put(a, o, "recordings", json_integer((json_int_t)p->usable));
		out_number(a, o, "mean_peak_n", p->mean_peak, 1);
		out_text(a, o, "outcome", OUTCOMES[p->outcome]);
	}
}

static void put_functions(struct arena *a, json_t *to, const struct assessment *r)
{
	json_t *list = out_list(a, to, "functions");
	for (size_t i = 0; i < r->function_count; i++) {
		const struct function_result *f = &r->functions[i];
		json_t *o = out_object(a, list);
		out_text(a, o, "function", f->function->note.id);
		out_text(a, o, "id", f->entry ? f->entry->id : NULL);
		out_put(a, o, "required", json_boolean(f->required));
		out_text(a, o, "outcome", OUTCOMES[f->outcome]);
		out_text(a, o, "level_required", *f->least ? f->least : NULL);
		out_text(a, o, "level", *f->level ? f->level : NULL);
		if (f->per_hour > 0)
			out_exact(a, o, "per_hour", f->per_hour);
		else
			out_text(a, o, "per_hour", NULL);
		out_text(a, o, "weakest", *f->weakest ? f->weakest : NULL);
	}
}

static void put_cause(struct arena *a, json_t *list, const struct cause_result *r)
{
	json_t *o = out_object(a, list);
	out_text(a, o, "cause", r->cause->note.id);
	out_text(a, o, "input", r->input ? r->input->id : NULL);
	out_put(a, o, "fits", json_boolean(r->fits));
	out_number(a, o, "rank", r->cause->rank, 1);
	out_text(a, o, "standing", standing_name(r->cause->note.standing));
	json_t *missing = out_list(a, o, "measure");
	for (size_t i = 0; i < r->missing_count; i++)
		out_word(a, missing, r->missing[i]);
}

static void put_diagnoses(struct arena *a, json_t *to, const struct assessment *r, const struct phrasebook *words)
{
	json_t *list = out_list(a, to, "diagnoses");
	for (size_t i = 0; r && i < r->diagnosis_count; i++) {
		const struct diagnosis *d = &r->diagnoses[i];
		json_t *o = out_object(a, list);
		out_text(a, o, "symptom", d->symptom);
		out_text(a, o, "caution", phrasebook_find(words, "diagnosis.caution"));
		json_t *causes = out_list(a, o, "causes");
		for (size_t k = 0; k < d->cause_count; k++)
			put_cause(a, causes, &d->causes[k]);
	}
}

char *json_check(struct arena *a, const char *job, const struct assessment *r,
	const struct findings *findings, const struct phrasebook *words)
{
	json_t *o = out_root(a, json_object());
	out_put(a, o, "format", json_integer(1));
	out_text(a, o, "job", r ? fact_text(record_fact(r->record, "job.reference")) : job);
	out_text(a, o, "gate_type", r && r->record->type ? r->record->type->note.id : NULL);
	out_text(a, o, "regime", r && r->regime ? r->regime->note.id : NULL);
	out_put(a, o, "ready", json_boolean(r && r->ready));
	out_findings(a, o, findings, words);
	if (r) {
		put_zones(a, o, r);
		put_points(a, o, r);
		put_functions(a, o, r);
	} else {
		out_list(a, o, "zones");
		out_list(a, o, "force_points");
		out_list(a, o, "functions");
	}
	put_diagnoses(a, o, r, words);
	json_clearances(a, o, r);
	return out_dump(a, o);
}

char *json_findings(struct arena *a, const struct findings *findings, const struct phrasebook *words)
{
	json_t *o = out_root(a, json_object());
	out_put(a, o, "format", json_integer(1));
	out_findings(a, o, findings, words);
	return out_dump(a, o);
}

char *json_curves(struct arena *a, const struct run_result *runs, const double *limits, size_t count)
{
	json_t *list = out_root(a, json_array());
	for (size_t i = 0; i < count; i++) {
		const struct run_result *r = &runs[i];
		json_t *o = out_object(a, list);
		out_put(a, o, "format", json_integer(1));
		out_text(a, o, "file", r->file);
		out_put(a, o, "samples",
			json_integer(r->recording ? (json_int_t)r->recording->count : 0));
		out_number(a, o, "rate_hz", r->rate, 3);
		out_number(a, o, "peak_n", r->peak, 3);
		out_number(a, o, "peak_bound_n", r->peak_bound, 3);
		out_number(a, o, "above_150_s", r->above_static_time, 6);
		out_number(a, o, "static_n", r->static_force, 3);
		out_number(a, o, "above_25_s", r->above_end_time, 6);
		out_number(a, o, "end_n", r->end_force, 3);
		out_number(a, o, "limit_n", limits[i], 3);
		out_text(a, o, "verdict", r->verdict);
		json_t *reasons = out_list(a, o, "reasons");
		for (size_t k = 0; k < r->reason_count; k++)
			out_word(a, reasons, r->reasons[k]);
	}
	return out_dump(a, list);
}

char *json_explained(struct arena *a, const char *word, const struct explained_list *found)
{
	json_t *o = out_root(a, json_object());
	out_put(a, o, "format", json_integer(1));
	out_text(a, o, "word", word);
	json_t *entries = out_list(a, o, "entries");
	for (size_t i = 0; i < found->count; i++) {
		const struct explained *e = &found->items[i];
		json_t *entry = out_object(a, entries);
		out_text(a, entry, "id", e->id);
		out_text(a, entry, "kind", e->kind);
		json_t *lines = out_list(a, entry, "lines");
		for (size_t k = 0; k < e->count; k++) {
			json_t *l = out_object(a, lines);
			out_text(a, l, "key", e->lines[k].key);
			out_text(a, l, "label", e->lines[k].label);
			out_text(a, l, "value", e->lines[k].value);
		}
	}
	return out_dump(a, o);
}
