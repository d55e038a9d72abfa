/* What the rows of the tables cannot say about types and zones: motions, bodies, pairs of bodies. */
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"

enum { MOTIONS_MAX = 32, STEPS_MAX = 8, BODIES_MAX = 200, POINTS_MAX = 64, FOLLOWED_MAX = 4 };

/* What each kind of step needs, and what it may have besides. */
static const struct step_kind {
	const char *key, *needs, *may;
} STEP_KINDS[] = {
	{"shift", NULL, "during"},
	{"turn", "about", "during"},
	{"aim", "about|with", NULL},
	{"reach", "about|with", NULL},
	{"link", "from|to|with|first|second|elbow", NULL},
};

static const struct step_kind *step_kind(const char *key)
{
	for (size_t i = 0; i < sizeof STEP_KINDS / sizeof *STEP_KINDS; i++)
		if (text_equal(STEP_KINDS[i].key, key))
			return &STEP_KINDS[i];
	return NULL;
}

/* A step is one thing, and has what that needs and nothing else. */
void library_complete_step(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_step *step = out;
	const struct step_kind *kind = NULL;
	bool whole = n->count > 0;
	for (size_t i = 0; i < n->count; i++) {
		const struct step_kind *k = step_kind(n->pairs[i].key);
		whole = whole && !(k && kind);
		kind = k ? k : kind;
	}
	if (kind) {
		struct choices needs = choices_split(r->bind.arena, kind->needs);
		for (size_t i = 0; i < needs.count; i++)
			bind_required(&r->bind, n, path, needs.items[i]);
		for (size_t i = 0; i < n->count; i++) {
			const char *key = n->pairs[i].key;
			whole = whole && (bind_own_key(key) || text_equal(key, kind->key) ||
						 choices_have(needs, key) || text_equal(key, kind->may));
		}
	}
	if (!kind || !whole || (node_get(n, "during") && step->during_count != 2))
		bind_report(&r->bind, FINDING_CODE_LIBRARY_STEP, path, n->at);
}

/* Only a shift or a turn can be one of several. */
void library_complete_motion(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_motion *m = out;
	const struct node *steps = node_get(n, "steps");
	for (size_t i = 0; m->step_count > 1 && i < m->step_count; i++)
		if (m->steps[i].with)
			bind_report(&r->bind, FINDING_CODE_LIBRARY_STEP,
				bind_entry(&r->bind, bind_path(&r->bind, path, "steps"), NULL, i), m->steps[i].at);
	if (m->id && !library_id_valid(m->id))
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_ID, path, n->at, m->id);
	if (steps && steps->kind == NODE_LIST && !steps->count)
		bind_report(&r->bind, FINDING_CODE_LIBRARY_STEP, bind_path(&r->bind, path, "steps"), steps->at);
}

/* The id is a part of the keys of zones that the geometry finds. */
void library_complete_body(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_body *b = out;
	if (b->id && !library_id_valid(b->id))
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_ID, path, n->at, b->id);
}

/* Whether there are not too many. */
static bool few(struct lib_reader *r, const char *path, struct place at, size_t count, size_t limit)
{
	if (count <= limit)
		return true;
	struct finding *f = bind_report(&r->bind, FINDING_CODE_LIBRARY_SIZE, path, at);
	bind_with_count(&r->bind, f, "count", count);
	bind_with_count(&r->bind, f, "limit", limit);
	return false;
}

static const struct lib_motion *motion_of(const struct lib_type *type, const char *id)
{
	for (size_t i = 0; id && i < type->motion_count; i++)
		if (text_equal(type->motions[i].id, id))
			return &type->motions[i];
	return NULL;
}

static void check_motion_id(struct lib_reader *r, const struct lib_type *type, const char *id, const char *path,
	struct place at)
{
	if (!id || motion_of(type, id))
		return;
	const char **ids = arena_array(r->bind.arena, type->motion_count, sizeof *ids);
	struct choices known = {ids, 0};
	for (size_t i = 0; i < type->motion_count; i++)
		if (type->motions[i].id)
			ids[known.count++] = type->motions[i].id;
	bind_unknown(&r->bind, FINDING_CODE_LIBRARY_REFERENCE, path, at, id, known);
}

/* What follows another motion must come to one that follows none, and soon. */
static void check_followed(struct lib_reader *r, const struct lib_type *type, const struct lib_motion *m,
	const char *path)
{
	size_t length = 0;
	const struct lib_motion *with = m->step_count ? motion_of(type, m->steps[0].with) : NULL;
	for (; with && with != m && length <= FOLLOWED_MAX; length++)
		with = with->step_count ? motion_of(type, with->steps[0].with) : NULL;
	if (with == m)
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_CIRCLE, path, m->at, m->id);
	else
		few(r, path, m->at, length, FOLLOWED_MAX);
}

static void check_motions(struct lib_reader *r, const struct lib_type *type, const char *path)
{
	for (size_t i = 0; i < type->motion_count; i++) {
		const struct lib_motion *m = &type->motions[i];
		const char *its = bind_entry(&r->bind, path, m->id, i), *steps = bind_path(&r->bind, its, "steps");
		if (!few(r, steps, m->at, m->step_count, STEPS_MAX))
			continue;
		for (size_t k = 0; k < m->step_count; k++)
			check_motion_id(r, type, m->steps[k].with,
				bind_path(&r->bind, bind_entry(&r->bind, steps, NULL, k), "with"), m->steps[k].at);
		if (m->id)
			check_followed(r, type, m, its);
	}
}

static void check_bodies(struct lib_reader *r, const struct lib_type *type, const char *path)
{
	for (size_t i = 0; i < type->body_count; i++) {
		const struct lib_body *b = &type->bodies[i];
		const char *its = bind_entry(&r->bind, path, b->id, i);
		if (!text_equal(b->moves, "no"))
			check_motion_id(r, type, b->moves, bind_path(&r->bind, its, "moves"), b->at);
		few(r, bind_path(&r->bind, its, "points"), b->at, b->count, POINTS_MAX);
	}
}

/* Lists that are too long are not looked into. */
void library_complete_type(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	const struct lib_type *type = out;
	const char *motions = bind_path(&r->bind, path, "motions"), *bodies = bind_path(&r->bind, path, "bodies");
	bool few_motions = few(r, motions, n->at, type->motion_count, MOTIONS_MAX);
	bool few_bodies = few(r, bodies, n->at, type->body_count, BODIES_MAX);
	if (few_motions)
		check_motions(r, type, motions);
	if (few_motions && few_bodies)
		check_bodies(r, type, bodies);
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
