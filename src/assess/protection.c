/* Least protection of the main edge: what the worst way of starting and the worst user call for. */
#include "assess/context.h"

const struct lib_protection *protection_find(const struct library *l, const char *activation, const char *use)
{
	const struct lib_protection *found = NULL;
	for (size_t i = 0; i < l->protections_count; i++) {
		const struct lib_protection *p = &l->protections[i];
		if (text_equal(p->activation, activation) && text_equal(p->use, use))
			found = p;
	}
	return found;
}

/* Whether a measure of this letter counts at the main edge of `leaf`. */
static bool protection_letter(const struct context *c, const struct item *leaf, char letter)
{
	for (size_t i = 0; i < c->result->zone_count; i++) {
		const struct zone_result *z = &c->result->zones[i];
		for (size_t k = 0; z->leaf == leaf && text_equal(z->zone->edge, "main") && k < z->measure_count;
			k++) {
			/* An edge beside the leaf counts there too, and has no letter. */
			const char *has = z->measures[k].measure->protection;
			if (z->measures[k].counts && has && *has == letter)
				return true;
		}
	}
	return false;
}

static bool protection_met(const struct context *c, const struct item *leaf)
{
	const struct lib_protection *p = c->result->protection;
	for (size_t i = 0; p && i < p->least.count; i++) {
		bool all = true;
		for (const char *s = p->least.items[i]; *s; s++)
			if (*s >= 'A' && *s <= 'E')
				all = all && protection_letter(c, leaf, *s);
		if (all)
			return true;
	}
	return false;
}

static void report_protection(struct context *c, const struct item *leaf)
{
	const struct lib_protection *p = c->result->protection;
	struct finding *f = point_out(c, FINDING_CODE_PROTECTION_OPEN, leaf->id,
		record_list(c->record, "control.activations")->at);
	struct buf b;
	buf_init(&b, c->arena);
	for (size_t i = 0; p && i < p->least.count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", p->least.items[i]);
	with(c, f, "leaf", leaf->id);
	with(c, f, "activation", c->result->activation);
	with(c, f, "use", c->result->use);
	with(c, f, "least", b.length ? b.bytes : "–");
	way_value(c, way_out(c, f, b.length ? "add" : "remove"), "least", b.bytes);
	if (p)
		finding_source(f, p->note.source, p->note.standing);
}

void assess_protection(struct context *c)
{
	struct assessment *r = c->result;
	r->protection = protection_find(c->library, r->activation, r->use);
	if (r->protection)
		context_decides(c, &r->protection->note, "protection");
	const struct item_list *leaves = record_list(c->record, "gate.leaves");
	/* Without a class of activation that is the open point, and there is nothing to measure against. */
	for (size_t i = 0; *r->activation && i < leaves->count; i++)
		if (!protection_met(c, &leaves->items[i]))
			report_protection(c, &leaves->items[i]);
}
