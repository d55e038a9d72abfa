/* Every measure where it suffices, where one of its needs is not met, and where it is the wrong one. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "library_case.h"

static struct cases c;

static void setup(void)
{
	cases_open(&c);
}

static void teardown(void)
{
	cases_close(&c);
}

TestSuite(library_measures, .init = setup, .fini = teardown);

enum { BY_MAX = 8 };

/* One measure, with those that it needs beside it, in some zones of a gate. */
struct choice {
	const struct node *measure_case;
	const struct lib_measure *measure;
	const char *by[BY_MAX];
	size_t by_count;
	const char *const *keys;
	size_t key_count;
};

static bool lists(const struct lib_hazard *h, const struct lib_measure *m)
{
	return words_have(h->measures, m->note.id);
}

/* What the library says; that the program says the same is what is tested. */
static bool right(const struct lib_hazard *h, const struct lib_measure *m)
{
	return lists(h, m) && words_have(m->answers, h->kind) && !words_have(m->never, h->kind) &&
		!text_equal(m->step, "information");
}

static bool listed(const struct lib_zone *z, const struct lib_measure *m)
{
	for (size_t i = 0; i < z->hazard_count; i++)
		if (lists(&z->hazards[i], m))
			return true;
	return false;
}

static const struct lib_zone *zone_of(const struct gate *g, const char *key)
{
	for (size_t i = 0; i < g->from->zone_count; i++)
		if (text_equal(g->from->keys[i], key))
			return g->from->zones[i];
	return NULL;
}

static struct choice choice_of(const struct node *measure_case)
{
	struct choice x = {.measure_case = measure_case};
	const struct node *const *items;
	x.by[x.by_count++] = node_text(measure_case, "measure");
	x.measure = library_measure(c.shop.library, x.by[0]);
	for (size_t i = 0, n = case_list(measure_case, "with", &items); i < n; i++) {
		cr_assert(x.by_count < BY_MAX && cases_measure(&c, items[i]->text), "%s:%d: no case of %s",
			items[i]->at.file, items[i]->at.line, items[i]->text);
		x.by[x.by_count++] = items[i]->text;
	}
	return x;
}

/* What the zones of one id need besides. */
static void set_in_zones(struct gate *g, const struct choice *x, const struct node *in_zone)
{
	for (size_t i = 0; in_zone && i < in_zone->count; i++)
		for (size_t k = 0; k < x->key_count; k++)
			if (text_equal(zone_of(g, x->keys[k])->note.id, in_zone->pairs[i].key))
				gate_set(g, in_zone->pairs[i].value, &x->keys[k], 1);
}

static void choose(struct gate *g, const struct choice *x)
{
	for (size_t i = 0; i < x->key_count; i++)
		gate_answer(g, x->keys[i], "protected", x->by, x->by_count);
	for (size_t i = x->by_count; i-- > 0;) {
		const struct node *one = cases_measure(&c, x->by[i]);
		gate_set(g, node_get(one, "enough"), x->keys, x->key_count);
		set_in_zones(g, x, node_get(one, "in-zone"));
	}
}

/* ---- enough, and wrong ----------------------------------------------------------------------------- */

static bool open_there(const struct gate *g, const char *key, const char *kind)
{
	return gate_hazard(g, key, kind)->outcome == OUTCOME_OPEN && gate_finds(g, "hazard-open", key, "hazard", kind);
}

static void check_hazard(struct gate *g, const struct choice *x, const char *key, const struct lib_hazard *h)
{
	const struct hazard_result *r = gate_hazard(g, key, h->kind);
	const char *at = case_place(g, x->measure_case), *id = x->measure->note.id;
	if (record_answers(g->from, zone_of(g, key)->note.id, h->kind))
		return;
	cr_expect(r && !r->designed_out, "%s: %s in %s: what is enough for %s takes away %s", at, key, g->from->name,
		id, h->kind);
	if (!r || r->designed_out)
		return;
	if (right(h, x->measure))
		cr_expect(r->outcome == OUTCOME_ANSWERED && r->by == x->measure &&
				!gate_finds(g, "hazard-open", key, "hazard", h->kind),
			"%s: %s in %s does not answer %s%s", at, key, g->from->name, h->kind, gate_told(g, key));
	else
		cr_expect(r->by != x->measure && (x->by_count > 1 || open_there(g, key, h->kind)),
			"%s: %s in %s: %s is wrong and answers %s%s", at, key, g->from->name, id, h->kind,
			gate_told(g, key));
}

static void check_zone(struct gate *g, const struct choice *x, const char *key)
{
	const struct lib_zone *z = zone_of(g, key);
	const char *at = case_place(g, x->measure_case), *id = x->measure->note.id;
	const struct measure_result *m = gate_measure(g, key, id);
	bool possible = x->measure->answers.count == 0;
	cr_assert_not_null(m, "%s: %s in %s is gone", at, key, g->from->name);
	for (size_t i = 0; i < z->hazard_count; i++) {
		check_hazard(g, x, key, &z->hazards[i]);
		possible = possible || right(&z->hazards[i], x->measure);
	}
	if (!listed(z, x->measure))
		cr_expect(gate_finds(g, "measure-idle", key, "measure", id),
			"%s: %s in %s: nobody says that %s is idle", at, key, g->from->name, id);
	else
		cr_expect(m->counts && !gate_finds(g, "need-open", key, "measure", id) &&
				gate_finds(g, "measure-cannot", key, "measure", id) == !possible,
			"%s: %s in %s: %s is not enough%s", at, key, g->from->name, id, gate_told(g, key));
}

/* Each measure is chosen in every zone at once: where the library lists it, and where it does not. */
Test(library_measures, enough_where_right_and_nothing_where_wrong)
{
	for (size_t r = 0; r < c.shop.record_count; r++)
		for (size_t i = 0; i < c.measure_count; i++) {
			struct gate g;
			struct choice x = choice_of(c.measures[i]);
			x.keys = c.shop.records[r].keys;
			x.key_count = c.shop.records[r].zone_count;
			gate_open(&g, &c.shop, &c.shop.records[r]);
			choose(&g, &x);
			gate_judge(&g);
			for (size_t k = 0; k < x.key_count; k++)
				check_zone(&g, &x, x.keys[k]);
			gate_close(&g);
		}
}

/* ---- short ------------------------------------------------------------------------------------------- */

/* A need of a measure in a zone of a record in which the need is met. */
struct lack {
	struct choice choice;
	const struct gate_record *record;
	const char *key;
	const struct lib_need *need;
	const struct node *at;
};

static void check_lack(struct gate *g, const struct lack *l, const char *how)
{
	const struct lib_measure *m = l->choice.measure;
	const struct lib_zone *z = zone_of(g, l->key);
	const char *at = case_place(g, l->at);
	gate_judge(g);
	for (size_t i = 0; i < m->need_count; i++) {
		const char *words = arena_format(&g->arena, "measures.%s.needs.%s", m->note.id, m->needs[i].id);
		bool own = &m->needs[i] == l->need, told = gate_finds(g, "need-open", l->key, "words", words);
		/* What another measure has to do fails with it. */
		cr_expect(told == own || (told && m->needs[i].kind == NEED_WITH),
			"%s: %s in %s, %s of %s (%s): %s is %s%s", at, l->key, g->from->name, l->need->id, m->note.id,
			how, m->needs[i].id, told ? "open" : "met", gate_told(g, l->key));
	}
	cr_expect_not(gate_measure(g, l->key, m->note.id)->counts, "%s: %s counts", at, m->note.id);
	for (size_t i = 0; i < z->hazard_count; i++)
		cr_expect(!right(&z->hazards[i], m) || open_there(g, l->key, z->hazards[i].kind),
			"%s: %s in %s, %s of %s (%s): %s is answered%s", at, l->key, g->from->name, l->need->id,
			m->note.id, how, z->hazards[i].kind, gate_told(g, l->key));
}

static void begin(struct gate *g, const struct lack *l)
{
	gate_open(g, &c.shop, l->record);
	choose(g, &l->choice);
}

static void finish(struct gate *g, const struct lack *l, const char *how)
{
	check_lack(g, l, how);
	gate_close(g);
}

static const struct node *list_of(const struct gate *g, const char *path)
{
	static const struct node NOTHING = {.kind = NODE_LIST};
	const struct node *n = patch_get(g->tree, path);
	return n && n->kind == NODE_LIST ? n : &NOTHING;
}

/* To every device of these kinds in the zone. */
static void change_devices(struct gate *g, const struct lack *l, const char *key, const char *value)
{
	const struct node *devices = list_of(g, "devices");
	for (size_t i = 0; i < devices->count; i++) {
		const char *id = node_text(devices->items[i], "id"), *kind = node_text(devices->items[i], "kind");
		if (kind && words_have(l->need->names, kind) && case_has(devices->items[i], "zones", l->key))
			patch_set(&g->arena, g->tree, arena_format(&g->arena, "devices.%s.%s", id, key),
				patch_scalar(&g->arena, value, true));
	}
}

static void without_device(const struct lack *l)
{
	struct gate g;
	begin(&g, l);
	change_devices(&g, l, "zones", "none");
	finish(&g, l, "none fitted");
	const struct words directions = zone_of(&g, l->key)->directions;
	for (size_t i = 0; l->need->each_direction && i < directions.count; i++) {
		const char *other = text_equal(directions.items[i], "closing") ? "opening" : "closing";
		begin(&g, l);
		change_devices(&g, l, "directions", arena_format(&g.arena, "[%s]", other));
		finish(&g, l, "the other direction only");
	}
}

static void without_function(const struct lack *l)
{
	struct gate g;
	begin(&g, l);
	const struct node *functions = patch_copy(&g.arena, list_of(&g, "functions"));
	for (size_t i = 0; i < functions->count; i++)
		if (words_have(l->need->names, node_text(functions->items[i], "kind")))
			patch_set(&g.arena, g.tree,
				arena_format(&g.arena, "functions.%s", node_text(functions->items[i], "id")),
				patch_scalar(&g.arena, "", true));
	finish(&g, l, "no such function");
}

static void without_check(const struct lack *l)
{
	for (size_t i = 0; i < l->need->names.count; i++) {
		struct gate g;
		const char *name = l->need->names.items[i];
		begin(&g, l);
		patch_set(&g.arena, g.tree, arena_format(&g.arena, "checks.%s", name),
			patch_scalar(&g.arena, "", true));
		finish(&g, l, arena_format(&g.arena, "without %s", name));
		begin(&g, l);
		patch_set(&g.arena, g.tree, arena_format(&g.arena, "checks.%s.outcome", name),
			patch_scalar(&g.arena, "not-as-expected", true));
		finish(&g, l, arena_format(&g.arena, "%s failed", name));
	}
}

/* A point not measured, a peak over every limit of the table, and a force that stays above 150 N. */
static void without_force(const struct lack *l)
{
	static const char *const BLOWS[] = {NULL, "1450+60", "200+151"};
	for (size_t i = 0; i < sizeof BLOWS / sizeof *BLOWS; i++) {
		struct gate g;
		begin(&g, l);
		g.blow = BLOWS[i];
		g.points_short = !BLOWS[i];
		g.points_of = l->key;
		finish(&g, l, BLOWS[i] ? BLOWS[i] : "a point is missing");
	}
}

static void without_evidence(const struct lack *l)
{
	struct gate g;
	const struct words kinds = l->need->names;
	const char *other = "check:settings-locked";
	if (!words_have(kinds, "photo"))
		other = "photo:site";
	else if (!words_have(kinds, "paper"))
		other = "paper:manual";
	begin(&g, l);
	gate_enter(&g, l->key, "evidence", patch_words(&g.arena, &other, 1));
	finish(&g, l, other);
}

static void without_companion(const struct lack *l)
{
	struct gate g;
	begin(&g, l);
	gate_enter(&g, l->key, "by", patch_words(&g.arena, l->choice.by, 1));
	finish(&g, l, "alone");
}

static void without(const struct lack *l)
{
	switch (l->need->kind) {
	case NEED_DEVICE:
		without_device(l);
		return;
	case NEED_FUNCTION:
		without_function(l);
		return;
	case NEED_FORCE:
		without_force(l);
		return;
	case NEED_CHECK:
		without_check(l);
		return;
	case NEED_EVIDENCE:
		without_evidence(l);
		return;
	case NEED_WITH:
		without_companion(l);
		return;
	case NEED_HOLDS:
		cr_expect_fail("%s:%d: a condition needs a record in which it just does not hold", l->at->at.file,
			l->at->at.line);
	}
}

static void check_near(struct gate *g, const struct lack *l, const struct node *sets)
{
	for (size_t i = 0; i < sets->count; i++) {
		const char *path = sets->pairs[i].key;
		if (text_begins(path, "here."))
			path = arena_format(&g->arena, "zones.%s.facts.%s", l->key, path + strlen("here."));
		cr_expect(case_near(patch_get(g->tree, path), sets->pairs[i].value), "%s: %s is too far from enough",
			case_place(g, sets->pairs[i].value), path);
	}
}

static void fall_short(const struct lack *l)
{
	const struct node *const *items;
	const struct node *shorts = node_get(l->choice.measure_case, "short");
	for (size_t i = 0, n = case_list(shorts, l->need->id, &items); i < n; i++) {
		struct gate g;
		if (items[i]->kind == NODE_SCALAR && text_equal(items[i]->text, "without")) {
			without(l);
			continue;
		}
		cr_assert(items[i]->kind == NODE_MAP, "%s:%d: `without`, or paths and values", items[i]->at.file,
			items[i]->at.line);
		begin(&g, l);
		check_near(&g, l, items[i]);
		gate_set(&g, items[i], l->choice.keys, 1);
		finish(&g, l, "as written");
	}
}

/* Whether the need applies there and is met. */
static bool met(const struct lack *l)
{
	struct gate g;
	begin(&g, l);
	gate_judge(&g);
	const struct need_result *n = gate_need(&g, l->key, l->choice.measure->note.id, l->need->id);
	bool is = n && n->outcome == OUTCOME_ANSWERED && gate_measure(&g, l->key, l->choice.measure->note.id)->counts;
	gate_close(&g);
	return is;
}

/* The first zone of the first record that lists the measure for something and in which the need applies; that of the
 * need before, where it does. */
static bool find_place(struct lack *l)
{
	if (l->record && met(l))
		return true;
	for (size_t r = 0; r < c.shop.record_count; r++)
		for (size_t k = 0; k < c.shop.records[r].zone_count; k++) {
			l->record = &c.shop.records[r];
			l->key = l->record->keys[k];
			l->choice.keys = &l->record->keys[k];
			l->choice.key_count = 1;
			if (listed(l->record->zones[k], l->choice.measure) && met(l))
				return true;
		}
	return false;
}

Test(library_measures, short_of_each_need)
{
	for (size_t i = 0; i < c.measure_count; i++) {
		const struct node *shorts = node_get(c.measures[i], "short");
		struct lack l = {.choice = choice_of(c.measures[i])};
		for (size_t k = 0; shorts && k < l.choice.measure->need_count; k++) {
			l.need = &l.choice.measure->needs[k];
			l.at = node_get(shorts, l.need->id);
			if (!l.at)
				continue;
			bool found = find_place(&l);
			cr_expect(found, "%s:%d: %s of %s applies and is met in no record", l.at->at.file,
				l.at->at.line, l.need->id, l.choice.measure->note.id);
			if (found)
				fall_short(&l);
		}
	}
}
