/* Questions that come with measures: each zone asks those of the measures that it lists. */
#include "base/text.h"
#include "load/library_read.h"

enum { ASKS_MAX = 200 }; /* of one zone, those of its measures with them */

/* One measure. Zones that take a question from it alone share the rule of its condition. */
struct lender {
	size_t joined;                /* the zone, counted from 1, that it was met in last */
	const struct rule ***shared;  /* of each of its questions: where the rule is; NULL: not yet anywhere */
};

struct joining {
	struct lib_reader *r;
	struct lender *lenders; /* of each measure */
	const struct lib_measure **measures; /* room for every one */
	size_t at; /* first pending rule of the zone in hand: they stand in the order of the zones */
};

/* A question that a zone gets: the condition so far, and where its rule may be shared. */
struct gained {
	struct buf when;
	const struct rule ***shared;
};

/* One zone; its own questions come first in its array. */
struct gaining {
	struct lib_zone *zone;
	size_t own;
	struct gained *gained;
};

static const char *zone_path(struct joining *j, const struct lib_zone *zone)
{
	return bind_path(&j->r->bind, bind_entry(&j->r->bind, "zones", zone->note.id, 0), "asks");
}

static const char *measure_path(struct joining *j, const struct lib_measure *m)
{
	return bind_path(&j->r->bind, bind_entry(&j->r->bind, "measures", m->note.id, 0), "asks");
}

/* Notes the measures of the zone's hazards that ask something, each once; adds how many questions they have. */
static size_t measures_of(struct joining *j, const struct lib_zone *zone, size_t *asks)
{
	const struct library *l = j->r->library;
	size_t number = (size_t)(zone - l->zones) + 1, count = 0;
	for (size_t i = 0; i < zone->hazard_count; i++)
		for (size_t k = 0; k < zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(l, zone->hazards[i].measures.items[k]);
			struct lender *lender = m ? &j->lenders[m - l->measures] : NULL;
			if (!m || !m->ask_count || lender->joined == number)
				continue;
			lender->joined = number;
			j->measures[count++] = m;
			*asks += m->ask_count;
		}
	return count;
}

static bool same_question(const struct lib_field *a, const struct lib_field *b)
{
	return a->kind == b->kind && (a->kind != FIELD_QUANTITY || dimension_equal(a->dim, b->dim));
}

static void refuse_other(struct joining *j, const struct lib_measure *m, const struct lib_field *ask,
	struct place before)
{
	struct finding *f = bind_refuse(
		&j->r->bind, FINDING_CODE_LIBRARY_DUPLICATE, measure_path(j, m), ask->at, ask->id);
	bind_with_count(&j->r->bind, f, "line", (size_t)before.line);
}

/* The zone's own question goes before; one that several measures bring is due when either is chosen. */
static void gain(struct joining *j, struct gaining *g, const struct lib_measure *m, size_t number)
{
	struct lib_zone *zone = g->zone;
	const struct lib_field *ask = &m->asks[number];
	size_t at = 0;
	while (at < zone->ask_count && !text_equal(zone->asks[at].id, ask->id))
		at++;
	if (!ask->id || at < g->own)
		return;
	struct gained *gained = &g->gained[at];
	struct lib_field *field = &zone->asks[at];
	if (at < zone->ask_count && !same_question(field, ask)) {
		refuse_other(j, m, ask, field->at);
		return;
	}
	if (at == zone->ask_count) {
		*field = *ask;
		field->when = NULL;
		field->words = arena_format(j->r->bind.arena, "measures.%s.facts.%s", m->note.id, ask->id);
		buf_init(&gained->when, j->r->bind.arena);
		gained->shared = &j->lenders[m - j->r->library->measures].shared[number];
		zone->ask_count++;
	} else {
		buf_put(&gained->when, " or ");
		gained->shared = NULL;
	}
	if (ask->when_text)
		buf_format(&gained->when, "(chosen('%s') and (%s))", m->note.id, ask->when_text);
	else
		buf_format(&gained->when, "chosen('%s')", m->note.id);
}

static void give_rule(struct joining *j, struct gaining *g, size_t at)
{
	struct gained *gained = &g->gained[at];
	struct lib_field *field = &g->zone->asks[at];
	field->when_text = gained->when.bytes;
	if (gained->shared && *gained->shared) {
		library_share_rule(j->r, &field->when, *gained->shared);
		return;
	}
	if (gained->shared)
		*gained->shared = &field->when;
	struct node *text = arena_alloc(j->r->bind.arena, sizeof *text);
	text->kind = NODE_SCALAR;
	text->at = field->at;
	text->text = gained->when.bytes;
	const char *path = bind_entry(&j->r->bind, zone_path(j, g->zone), field->id, at);
	library_read_rule(j->r, text, bind_path(&j->r->bind, path, "when"), &field->when);
}

/* The array gets its full size first; the rules that wait to be compiled and point into it follow it. */
static void make_room(struct joining *j, struct lib_zone *zone, size_t most)
{
	struct lib_reader *r = j->r;
	struct lib_field *old = zone->asks;
	size_t own = zone->ask_count, at = j->at;
	zone->asks = arena_grow(r->bind.arena, old, own, most, sizeof *old);
	while (own && at < r->rule_count && r->rules[at].owner != zone)
		at++;
	/* A zone without a rule of its own is not among them. */
	if (at < r->rule_count)
		j->at = at;
	for (; at < r->rule_count && r->rules[at].owner == zone; at++)
		for (size_t k = 0; k < own; k++)
			if (r->rules[at].slot == &old[k].when)
				r->rules[at].slot = &zone->asks[k].when;
}

static void join_zone(struct joining *j, struct lib_zone *zone)
{
	struct lib_reader *r = j->r;
	size_t most = zone->ask_count, count = measures_of(j, zone, &most);
	if (!count)
		return;
	if (most > ASKS_MAX) {
		struct finding *f = bind_report(
			&r->bind, FINDING_CODE_LIBRARY_SIZE, zone_path(j, zone), zone->note.at);
		bind_with_count(&r->bind, f, "count", most);
		bind_with_count(&r->bind, f, "limit", ASKS_MAX);
		return;
	}
	struct gaining g = {zone, zone->ask_count, arena_array(r->bind.arena, most, sizeof *g.gained)};
	make_room(j, zone, most);
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < j->measures[i]->ask_count; k++)
			gain(j, &g, j->measures[i], k);
	r->group = GROUP_ZONES;
	r->entry = zone;
	r->known = false;
	for (size_t i = g.own; i < zone->ask_count; i++)
		give_rule(j, &g, i);
}

void library_join_asks(struct lib_reader *r)
{
	struct arena *a = r->bind.arena;
	const struct library *l = r->library;
	struct joining j = {.r = r};
	j.lenders = arena_array(a, l->measures_count, sizeof *j.lenders);
	j.measures = arena_array(a, l->measures_count, sizeof *j.measures);
	for (size_t i = 0; i < l->measures_count; i++)
		j.lenders[i].shared = arena_array(a, l->measures[i].ask_count, sizeof *j.lenders[i].shared);
	for (size_t i = 0; i < l->zones_count; i++)
		join_zone(&j, &r->library->zones[i]);
}
