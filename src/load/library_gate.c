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

/* Questions that several zones take from a measure on the same condition share its rule. */
struct shared_rule {
	const char *text;
	const struct rule **slot;
};

struct join {
	struct lib_reader *reader;
	struct shared_rule *shared;
	size_t shared_count, shared_room;
	size_t at; /* first pending rule of the zone in hand: they stand in the order of the zones */
};

static const char *ask_when(const struct lib_reader *r, const struct lib_measure *m, const struct lib_field *ask)
{
	return ask->when_text ? arena_format(r->bind.arena, "chosen('%s') and (%s)", m->note.id, ask->when_text)
			      : arena_format(r->bind.arena, "chosen('%s')", m->note.id);
}

/* A question asked by another measure of the zone as well is due when either is chosen. */
static void join_ask(struct lib_reader *r, struct lib_zone *zone, const struct lib_measure *m, const struct lib_field *ask)
{
	struct lib_field *known = NULL;
	for (size_t i = 0; i < zone->ask_count && !known; i++)
		if (text_equal(zone->asks[i].id, ask->id))
			known = &zone->asks[i];
	if (!known) {
		known = &zone->asks[zone->ask_count++];
		*known = *ask;
		known->when = NULL;
		known->words = arena_format(r->bind.arena, "measures.%s.facts.%s", m->note.id, ask->id);
		known->when_text = ask_when(r, m, ask);
	} else if (known->words &&
		   !strstr(known->when_text, arena_format(r->bind.arena, "chosen('%s')", m->note.id))) {
		known->when_text = arena_format(r->bind.arena, "%s or (%s)", known->when_text, ask_when(r, m, ask));
	}
}

static void read_joined(struct join *j, struct lib_zone *zone, struct lib_field *ask)
{
	struct lib_reader *r = j->reader;
	for (size_t i = 0; i < j->shared_count; i++)
		if (text_equal(j->shared[i].text, ask->when_text)) {
			library_share_rule(r, &ask->when, j->shared[i].slot);
			return;
		}
	if (j->shared_count == j->shared_room) {
		j->shared_room = j->shared_room ? j->shared_room * 2 : 64;
		j->shared = arena_grow(r->bind.arena, j->shared, j->shared_count, j->shared_room, sizeof *j->shared);
	}
	j->shared[j->shared_count++] = (struct shared_rule){ask->when_text, &ask->when};
	struct node *text = arena_alloc(r->bind.arena, sizeof *text);
	text->kind = NODE_SCALAR;
	text->at = ask->at;
	text->text = arena_string(r->bind.arena, ask->when_text);
	r->group = GROUP_ZONES;
	r->entry = zone;
	r->known = false;
	library_read_rule(r, text, ask->words, &ask->when);
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

/* The rules that wait to be compiled point into the array: they follow it to its larger room. */
static void make_room(struct join *j, struct lib_zone *zone, size_t most)
{
	struct lib_reader *r = j->reader;
	struct lib_field *old = zone->asks;
	zone->asks = arena_grow(r->bind.arena, old, zone->ask_count, most, sizeof *old);
	while (j->at < r->rule_count && r->rules[j->at].owner != zone)
		j->at++;
	for (size_t i = j->at; i < r->rule_count && r->rules[i].owner == zone; i++)
		for (size_t k = 0; k < zone->ask_count; k++)
			if (r->rules[i].slot == &old[k].when)
				r->rules[i].slot = &zone->asks[k].when;
}

static void join_zone(struct join *j, struct lib_zone *zone)
{
	const struct library *l = j->reader->library;
	size_t own = zone->ask_count, most = most_asks(l, zone), before = j->at;
	if (most == own)
		return;
	make_room(j, zone, most);
	/* A zone without a rule of its own is not among them. */
	if (j->at == j->reader->rule_count)
		j->at = before;
	for (size_t i = 0; i < zone->hazard_count; i++)
		for (size_t k = 0; k < zone->hazards[i].measures.count; k++) {
			const struct lib_measure *m = library_measure(l, zone->hazards[i].measures.items[k]);
			for (size_t n = 0; m && n < m->ask_count; n++)
				if (m->asks[n].id)
					join_ask(j->reader, zone, m, &m->asks[n]);
		}
	for (size_t i = own; i < zone->ask_count; i++)
		read_joined(j, zone, &zone->asks[i]);
}

void library_join_asks(struct lib_reader *r)
{
	struct join j = {.reader = r};
	for (size_t i = 0; i < r->library->zones_count; i++)
		join_zone(&j, &r->library->zones[i]);
}
