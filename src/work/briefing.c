#include "work/briefing.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

struct telling {
	struct arena *arena;
	const struct job *job;
	const struct ask *ask;
	struct briefing *out;
};

static void tell(struct telling *t, enum told_kind kind, const char *text)
{
	struct briefing *out = t->out;
	if (!text || !*text)
		return;
	if (out->count == out->room) {
		size_t room = out->room ? out->room * 2 : 32;
		out->items = arena_grow(t->arena, out->items, out->count, room, sizeof *out->items);
		out->room = room;
	}
	out->items[out->count++] = (struct told){kind, text};
}

static const char *words(const struct telling *t, const char *group, const char *id)
{
	const char *text = phrasebook_find(t->job->words, arena_format(t->arena, "%s.%s", group, id));
	return text ? text : id;
}

static const char *part(const struct telling *t, const char *group, const char *id, const char *which)
{
	const char *text = phrasebook_part(t->job->words, group, id, which);
	return text ? text : text_equal(which, "title") ? id : "";
}

static const char *note_title(const struct telling *t, const char *group, const struct lib_note *note)
{
	const char *title = phrasebook_part(t->job->words, group, note->id, "title");
	return title ? title : note->title ? note->title : note->id;
}

static const char *joined(const struct telling *t, const char *group, struct words list)
{
	struct buf b;
	buf_init(&b, t->arena);
	for (size_t i = 0; i < list.count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", words(t, group, list.items[i]));
	return b.bytes;
}

/* ---- legs -------------------------------------------------------------------------------------- */

static void tell_leg(struct telling *t)
{
	const struct lib_leg *leg = t->ask->leg;
	tell(t, TOLD_LEG, note_title(t, "legs", &leg->note));
	tell(t, TOLD_TEXT, part(t, "legs", leg->note.id, "text"));
	for (size_t i = 0; i < leg->cautions.count; i++)
		tell(t, TOLD_CAUTION, words(t, "cautions", leg->cautions.items[i]));
}

/* ---- zones ------------------------------------------------------------------------------------- */

static const char *hazard_tail(struct telling *t, const struct lib_hazard *l)
{
	struct finding_value who = {"who", joined(t, "choices", l->who), NULL};
	struct finding_value arises = {"arises", joined(t, "choices", l->arises), &who};
	struct finding_value harm = {"harm", words(t, "choices", l->harm ? l->harm : "serious"), &arises};
	return phrase_fill(t->arena, words(t, "walk", "hazard"), &harm);
}

/* Kinds that hurt the same people in the same way are told together. */
static void tell_hazards(struct telling *t, const struct zone_result *z)
{
	for (size_t i = 0; i < z->hazard_count; i++) {
		const struct hazard_result *h = &z->hazards[i];
		const char *tail = hazard_tail(t, h->hazard);
		struct buf kinds;
		buf_init(&kinds, t->arena);
		buf_put(&kinds, part(t, "hazards", h->hazard->kind, "title"));
		while (i + 1 < z->hazard_count && text_equal(z->hazards[i + 1].shown, h->shown) &&
			text_equal(hazard_tail(t, z->hazards[i + 1].hazard), tail))
			buf_format(&kinds, ", %s", part(t, "hazards", z->hazards[++i].hazard->kind, "title"));
		tell(t, TOLD_ITEM, arena_format(t->arena, "%s: %s", kinds.bytes, tail));
		if (*h->shown)
			tell(t, TOLD_DETAIL, arena_format(t->arena, "%s: %s",
				words(t, "walk", h->designed_out ? "is-out" : "not-out"), h->shown));
	}
}

static const char *millimetres(const struct telling *t, double m)
{
	return arena_format(t->arena, "%s mm", text_number(t->arena, m * 1000, 1));
}

static const char *parts_of(const struct telling *t, unsigned parts)
{
	struct buf b;
	buf_init(&b, t->arena);
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			buf_format(&b, "%s%s", b.length ? ", " : "", words(t, "choices", CLEARANCE_PART[i]));
	return b.bytes;
}

static void tell_clearance(struct telling *t, const struct clearance_result *r)
{
	const char *one = phrase_title(t->arena, t->job->words, "bodies", r->a->name);
	const char *other = phrase_title(t->arena, t->job->words, "bodies", r->b ? r->b->name : "ground");
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		if (!s->kinds)
			continue;
		struct finding_value doubt = {"doubt", millimetres(t, r->doubt), NULL};
		struct finding_value part = {"parts", parts_of(t, s->parts), &doubt};
		struct finding_value way = {"direction",
			words(t, "choices", s->opening ? "opening" : "closing"), &part};
		struct finding_value to = {"to", millimetres(t, fmin(s->start, s->end)), &way};
		struct finding_value from = {"from", millimetres(t, fmax(s->start, s->end)), &to};
		struct finding_value second = {"second", other, &from}, first = {"first", one, &second};
		tell(t, TOLD_ITEM, phrase_fill(t->arena, words(t, "walk", "gap"), &first));
	}
	if (r->slides) {
		struct finding_value least = {"least", millimetres(t, r->least), NULL};
		struct finding_value second = {"second", other, &least}, first = {"first", one, &second};
		tell(t, TOLD_ITEM, phrase_fill(t->arena, words(t, "walk", "slides"), &first));
	}
}

static void tell_geometry(struct telling *t, const struct zone_result *z)
{
	const struct geometry *g = t->job->assessment->geometry;
	size_t before = t->out->count;
	tell(t, TOLD_TEXT, words(t, "walk", "geometry-says"));
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		if (z->clearance ? z->clearance == r : r->kinds && text_equal(r->listed, z->key))
			tell_clearance(t, r);
	}
	if (t->out->count == before + 1)
		t->out->count = before;
}

static const char *need_words(const struct telling *t, const struct lib_need *n)
{
	static const struct {
		const char *label, *group;
	} KINDS[] = {[NEED_HOLDS] = {"holds", "choices"},
		[NEED_DEVICE] = {"device", "choices"},
		[NEED_FUNCTION] = {"function", "functions"},
		[NEED_FORCE] = {"force", "choices"},
		[NEED_CHECK] = {"check", "checks"},
		[NEED_EVIDENCE] = {"evidence", "choices"},
		[NEED_WITH] = {"with", "measures"}};
	struct buf b;
	buf_init(&b, t->arena);
	buf_put(&b, words(t, "labels-doc", arena_format(t->arena, "need-%s", KINDS[n->kind].label)));
	for (size_t i = 0; i < n->names.count; i++) {
		const char *title = phrasebook_part(t->job->words, KINDS[n->kind].group, n->names.items[i], "title");
		buf_format(&b, "%s%s", i ? ", " : ": ", title ? title : words(t, "choices", n->names.items[i]));
	}
	return b.bytes;
}

static void tell_measure(struct telling *t, const struct lib_measure *m)
{
	struct buf needs;
	buf_init(&needs, t->arena);
	for (size_t i = 0; i < m->need_count; i++)
		if (m->needs[i].kind != NEED_HOLDS)
			buf_format(&needs, "%s%s", needs.length ? "; " : "", need_words(t, &m->needs[i]));
	tell(t, TOLD_ITEM, arena_format(t->arena, "%s: %s", note_title(t, "measures", &m->note),
		part(t, "measures", m->note.id, "text")));
	if (needs.length) {
		struct finding_value value = {"needs", needs.bytes, NULL};
		tell(t, TOLD_DETAIL, phrase_fill(t->arena, words(t, "walk", "needs"), &value));
	}
}

static void tell_measures(struct telling *t, const struct zone_result *z)
{
	const struct library *l = t->job->library;
	bool *seen = arena_array(t->arena, l->measures_count, sizeof *seen);
	bool begun = false;
	for (size_t i = 0; i < z->zone->hazard_count; i++)
		for (size_t k = 0; k < z->zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(l, z->zone->hazards[i].measures.items[k]);
			if (!m || seen[m - l->measures])
				continue;
			if (!begun)
				tell(t, TOLD_TEXT, words(t, "walk", "can-answer"));
			begun = true;
			seen[m - l->measures] = true;
			tell_measure(t, m);
		}
}

/* The least that the main edge asks for, by how the gate is worked and by whom. */
static void tell_least(struct telling *t, const struct zone_result *z)
{
	const struct lib_protection *p = t->job->assessment->protection;
	if (!p || !text_equal(z->zone->edge, "main"))
		return;
	struct buf b;
	buf_init(&b, t->arena);
	for (size_t i = 0; i < p->least.count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", p->least.items[i]);
	struct finding_value source = {"source", p->note.source, NULL}, least = {"least", b.bytes, &source};
	tell(t, TOLD_TEXT, phrase_fill(t->arena, words(t, "walk", p->least.count ? "least" : "never"), &least));
}

static void tell_zone(struct telling *t)
{
	const struct zone_result *z = t->ask->zone;
	struct finding_value title = {"title", note_title(t, "zones", &z->zone->note), NULL};
	struct finding_value where = {"where",
		z->clearance ? z->key
		: z->leaf    ? z->leaf->id
			     : words(t, "labels-doc", "whole-gate"),
		&title};
	struct finding_value number = {"number", arena_format(t->arena, "%d", z->number), &where};
	tell(t, TOLD_HEADING, phrase_fill(t->arena, words(t, "walk", "zone"), &number));
	tell(t, TOLD_TEXT, part(t, "zones", z->zone->note.id, "text"));
	tell_hazards(t, z);
	tell_geometry(t, z);
	tell_least(t, z);
	tell_measures(t, z);
}

/* ---- the rest ---------------------------------------------------------------------------------- */

static void tell_check(struct telling *t)
{
	const struct lib_check *c = t->ask->check->check;
	tell(t, TOLD_HEADING, note_title(t, "checks", &c->note));
	tell(t, TOLD_TEXT, part(t, "checks", c->note.id, "text"));
}

static void tell_function(struct telling *t)
{
	const struct function_result *f = t->ask->function;
	struct finding_value least = {"least", f->least, NULL};
	tell(t, TOLD_HEADING, note_title(t, "functions", &f->function->note));
	tell(t, TOLD_TEXT, part(t, "functions", f->function->note.id, "text"));
	if (*f->least)
		tell(t, TOLD_TEXT, phrase_fill(t->arena, words(t, "walk", "function-least"), &least));
}

static void tell_point(struct telling *t)
{
	const struct point_result *p = t->ask->point;
	struct finding_value source = {"source", p->limit_source ? p->limit_source : "", NULL};
	struct finding_value limit = {"limit",
		arena_format(t->arena, "%s N", text_number(t->arena, p->limit, 0)), &source};
	tell(t, TOLD_HEADING, p->id);
	if (p->limit > 0)
		tell(t, TOLD_TEXT, phrase_fill(t->arena, words(t, "walk", "point-limit"), &limit));
	for (size_t i = 0; i < t->ask->leg->cautions.count; i++)
		tell(t, TOLD_CAUTION, words(t, "cautions", t->ask->leg->cautions.items[i]));
}

void briefing_of(struct arena *a, const struct job *job, const struct ask *ask, const struct ask *before,
	struct briefing *out)
{
	struct telling t = {a, job, ask, out};
	*out = (struct briefing){NULL, 0, 0};
	if (!before || !text_equal(before->leg->note.id, ask->leg->note.id))
		tell_leg(&t);
	if (ask->zone && !(before && before->zone && text_equal(before->zone->key, ask->zone->key)))
		tell_zone(&t);
	if (ask->check && !(before && before->check && before->check->check == ask->check->check))
		tell_check(&t);
	if (ask->function)
		tell_function(&t);
	if (ask->point && !(before && before->point && text_equal(before->point->id, ask->point->id)))
		tell_point(&t);
}
