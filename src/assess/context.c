#include "assess/context.h"

#include <string.h>

struct finding *point_out(struct context *c, enum finding_code code, const char *subject, struct place at)
{
	if (at.line == 0)
		at.file = c->record->file;
	return finding_add(c->findings, code, subject, at);
}

void with(struct context *c, struct finding *f, const char *name, const char *value)
{
	finding_with(c->findings, f, name, value);
}

struct finding *point_out_with(struct context *c, enum finding_code code, const char *subject,
	struct place at, const char *name, const char *value)
{
	return finding_with(c->findings, point_out(c, code, subject, at), name, value);
}

struct way *way_out(struct context *c, struct finding *f, const char *id)
{
	return finding_way(c->findings, f, id);
}

void way_value(struct context *c, struct way *w, const char *name, const char *value)
{
	way_with(c->findings, w, name, value);
}

void suggest(struct context *c, struct finding *f, const char *word, const char *const *ids, size_t count)
{
	const char *closest = text_closest(word, ids, count);
	if (closest)
		way_value(c, way_out(c, f, "did-you-mean"), "closest", closest);
}

struct rule_result context_test(struct context *c, const struct rule *r)
{
	return rule_test(c->arena, r, &c->names);
}

bool context_holds(struct context *c, const struct rule *r)
{
	return r && context_test(c, r).truth == TRUTH_YES;
}

bool context_excludes(struct context *c, const struct rule *r)
{
	return r && context_test(c, r).truth == TRUTH_NO;
}

bool context_bound(struct context *c, const char *id, const char *used_for, double *si)
{
	struct value v = context_limit(c, id, NULL, 0, used_for);
	if (v.kind != VALUE_QUANTITY)
		return false;
	*si = v.quantity.low;
	return true;
}

bool device_covers(const struct context *c, const struct item *device)
{
	const struct fact *directions = item_fact(device, "directions");
	const struct fact *input = item_fact(device, "input");
	const struct item *line = fact_given(input) ? record_item(c->record, "control.inputs", input->text) : NULL;
	const struct words wanted = c->zone->zone->directions;
	for (size_t i = 0; i < wanted.count; i++) {
		const struct fact *did = item_fact(line, arena_format(c->arena, "did-%s", wanted.items[i]));
		if (!fact_has(directions, wanted.items[i]) ||
			(line && !fact_is(did, "stopped") && !fact_is(did, "reversed")))
			return false;
	}
	return true;
}

struct zone_result *context_zone(const struct context *c, const char *key)
{
	for (size_t i = 0; i < c->result->zone_count; i++)
		if (text_equal(c->result->zones[i].key, key))
			return &c->result->zones[i];
	return NULL;
}

static struct date latest_change(const struct context *c, struct words kinds, const struct item **which)
{
	const struct item_list *changes = record_list(c->record, "changes");
	struct date latest = {0};
	*which = NULL;
	for (size_t i = 0; i < changes->count; i++) {
		const struct item *change = &changes->items[i];
		const struct fact *touches = item_fact(change, "touches"), *on = item_fact(change, "on");
		bool hits = false;
		for (size_t k = 0; k < kinds.count; k++)
			hits = hits || fact_has(touches, kinds.items[k]);
		if (hits && fact_given(on) && (!date_given(latest) || date_compare(on->date, latest) > 0)) {
			latest = on->date;
			*which = change;
		}
	}
	return latest;
}

bool context_fitted(struct context *c, const char *subject, const struct fact *on, const struct item *device)
{
	const struct fact *fitted = item_fact(device, "fitted-on");
	if (!fact_given(fitted) || !fact_given(on) || date_compare(fitted->date, on->date) <= 0)
		return false;
	struct finding *f = point_out(c, FINDING_CODE_EVIDENCE_AGED, subject, on->at);
	with(c, f, "on", on->text);
	with(c, f, "change", device->id);
	with(c, f, "changed-on", fitted->text);
	way_value(c, way_out(c, f, "again"), "change", device->id);
	return true;
}

bool context_aged(struct context *c, const char *subject, const struct fact *on, struct words kinds)
{
	const struct item *change;
	struct date latest = latest_change(c, kinds, &change);
	if (!change || !fact_given(on) || date_compare(on->date, latest) >= 0)
		return false;
	struct finding *f = point_out(c, FINDING_CODE_EVIDENCE_AGED, subject, on->at);
	with(c, f, "on", on->text);
	with(c, f, "change", change->id);
	with(c, f, "changed-on", date_text(c->arena, latest));
	way_value(c, way_out(c, f, "again"), "change", change->id);
	return true;
}
