/* What the rows of the tables cannot say about types and zones: motions, pairs of bodies, questions of measures. */
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"

enum { MOTIONS_MAX = 32, STEPS_MAX = 8, BODIES_MAX = 200, POINTS_MAX = 64 };

static void refuse_size(struct lib_reader *r, const char *path, struct place at, size_t count, size_t limit)
{
	struct finding *f = bind_report(&r->bind, FINDING_CODE_LIBRARY_SIZE, path, at);
	bind_with_count(&r->bind, f, "count", count);
	bind_with_count(&r->bind, f, "limit", limit);
}

/* A step is one thing, and has what that needs. */
void library_complete_step(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	static const struct {
		const char *key, *needs;
	} STEPS[] = {{"shift", ""}, {"turn", "about"}, {"aim", "about|with"}, {"reach", "about|with"},
		{"link", "from|to|with|first|second|elbow"}};
	const struct lib_step *step = out;
	size_t found = 0;
	for (size_t i = 0; i < sizeof STEPS / sizeof *STEPS; i++) {
		if (!node_get(n, STEPS[i].key))
			continue;
		found++;
		struct choices needs = choices_split(r->bind.arena, STEPS[i].needs);
		for (size_t k = 0; *STEPS[i].needs && k < needs.count; k++)
			bind_required(&r->bind, n, path, needs.items[k]);
	}
	bool during = step->during_count == 0 || (step->during_count == 2 && (step->turn || node_get(n, "shift") ||
							 node_get(n, "turn")));
	if (found != 1 || !during)
		bind_report(&r->bind, FINDING_CODE_LIBRARY_STEP, path, n->at);
}

static struct choices motions_of(struct lib_reader *r, const struct lib_type *type)
{
	const char **ids = arena_array(r->bind.arena, type->motion_count, sizeof *ids);
	struct choices c = {ids, 0};
	for (size_t i = 0; i < type->motion_count; i++)
		if (type->motions[i].id)
			ids[c.count++] = type->motions[i].id;
	return c;
}

static void check_motion_id(struct lib_reader *r, struct choices known, const char *id, const char *path, struct place at)
{
	for (size_t i = 0; i < known.count; i++)
		if (text_equal(known.items[i], id))
			return;
	bind_unknown(&r->bind, FINDING_CODE_LIBRARY_REFERENCE, path, at, id, known);
}

static void check_motions(struct lib_reader *r, const struct lib_type *type, struct choices known, const char *path)
{
	for (size_t i = 0; i < type->motion_count; i++) {
		const struct lib_motion *m = &type->motions[i];
		if (m->step_count > STEPS_MAX)
			refuse_size(r, bind_path(&r->bind, path, "motions"), m->at, m->step_count, STEPS_MAX);
		for (size_t k = 0; k < m->step_count; k++)
			if (m->steps[k].with)
				check_motion_id(r, known, m->steps[k].with, bind_path(&r->bind, path, "motions"),
					m->steps[k].at);
	}
}

void library_complete_type(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_type *type = out;
	struct choices known = motions_of(r, type);
	const char *bodies = bind_path(&r->bind, path, "bodies");
	if (type->motion_count > MOTIONS_MAX)
		refuse_size(r, bind_path(&r->bind, path, "motions"), n->at, type->motion_count, MOTIONS_MAX);
	if (type->body_count > BODIES_MAX)
		refuse_size(r, bodies, n->at, type->body_count, BODIES_MAX);
	check_motions(r, type, known, path);
	for (size_t i = 0; i < type->body_count; i++) {
		const struct lib_body *b = &type->bodies[i];
		if (b->moves && !text_equal(b->moves, "no"))
			check_motion_id(r, known, b->moves, bodies, b->at);
		if (b->count > POINTS_MAX)
			refuse_size(r, bodies, b->at, b->count, POINTS_MAX);
	}
}

static bool is_pair(const char *word)
{
	const char *mark = strchr(word, '~');
	return mark && mark > word && mark[1] && !strchr(mark + 1, '~');
}

void library_complete_zone(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_zone *zone = out;
	const struct node *covers = node_get(n, "covers");
	for (size_t i = 0; i < zone->covers.count; i++)
		if (!is_pair(zone->covers.items[i]))
			bind_refuse(&r->bind, FINDING_CODE_LIBRARY_COVERS, bind_path(&r->bind, path, "covers"),
				covers->at, zone->covers.items[i]);
}

/* ---- questions of measures --------------------------------------------------------------------- */

static const char *text_of_rule(const struct lib_reader *r, const struct rule *const *slot)
{
	for (size_t i = 0; i < r->rule_count; i++)
		if (r->rules[i].slot == slot)
			return r->rules[i].text;
	return NULL;
}

static const char *ask_when(const struct lib_reader *r, const struct lib_measure *m, const struct lib_field *ask)
{
	const char *own = text_of_rule(r, &ask->when);
	return own ? arena_format(r->bind.arena, "chosen('%s') and (%s)", m->note.id, own)
		   : arena_format(r->bind.arena, "chosen('%s')", m->note.id);
}

/* Asked by another measure of the zone as well: due when either is chosen. */
static void widen_ask(struct lib_reader *r, const struct lib_field *field, const struct lib_measure *m,
	const struct lib_field *ask)
{
	const char *chosen = arena_format(r->bind.arena, "chosen('%s')", m->note.id);
	for (size_t i = 0; i < r->rule_count; i++)
		if (r->rules[i].slot == &field->when && !strstr(r->rules[i].text, chosen))
			r->rules[i].text = arena_format(r->bind.arena, "%s or (%s)", r->rules[i].text,
				ask_when(r, m, ask));
}

static void add_ask(struct lib_reader *r, struct lib_zone *zone, const struct lib_measure *m, const struct lib_field *ask)
{
	struct arena *a = r->bind.arena;
	struct lib_field *field = &zone->asks[zone->ask_count++];
	*field = *ask;
	field->words = arena_format(a, "measures.%s.facts.%s", m->note.id, ask->id);
	struct node *text = arena_alloc(a, sizeof *text);
	text->kind = NODE_SCALAR;
	text->at = ask->at;
	text->text = ask_when(r, m, ask);
	r->group = GROUP_ZONES;
	r->entry = zone;
	library_read_rule(r, text, arena_format(a, "measures[%s].asks[%s].when", m->note.id, ask->id), &field->when);
}

static size_t most_asks(const struct library *l, const struct lib_zone *zone)
{
	size_t count = zone->ask_count;
	for (size_t i = 0; i < zone->hazard_count; i++)
		for (size_t k = 0; k < zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(l, zone->hazards[i].measures.items[k]);
			count += m ? m->ask_count : 0;
		}
	return count;
}

static void join_measure(struct lib_reader *r, struct lib_zone *zone, const struct lib_measure *m)
{
	for (size_t j = 0; j < m->ask_count; j++) {
		const struct lib_field *ask = &m->asks[j];
		const struct lib_field *known = ask->id ? lib_field_find(zone->asks, zone->ask_count, ask->id) : NULL;
		if (ask->id && !known)
			add_ask(r, zone, m, ask);
		else if (known && known->words &&
			!text_equal(known->words, arena_format(r->bind.arena, "measures.%s.facts.%s", m->note.id, ask->id)))
			widen_ask(r, known, m, ask);
	}
}

/* The array gets its full size first: rules that wait to be compiled point into it. */
static void join_zone(struct lib_reader *r, struct lib_zone *zone)
{
	size_t most = most_asks(r->library, zone);
	if (most == zone->ask_count)
		return;
	struct lib_field *old = zone->asks;
	zone->asks = arena_grow(r->bind.arena, old, zone->ask_count, most, sizeof *old);
	for (size_t i = 0; i < r->rule_count; i++)
		for (size_t k = 0; k < zone->ask_count; k++)
			if (r->rules[i].slot == &old[k].when)
				r->rules[i].slot = &zone->asks[k].when;
	for (size_t i = 0; i < zone->hazard_count; i++)
		for (size_t k = 0; k < zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(r->library, zone->hazards[i].measures.items[k]);
			if (m)
				join_measure(r, zone, m);
		}
}

void library_join_asks(struct lib_reader *r)
{
	for (size_t i = 0; i < r->library->zones_count; i++)
		join_zone(r, &r->library->zones[i]);
}
