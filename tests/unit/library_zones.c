/* Every hazard of every zone: a record in which it is, and the nearest one in which it just is not. */
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

TestSuite(library_zones, .init = setup, .fini = teardown);

/* Nothing is said of any zone. */
static void all_unanswered(const struct gate_record *r)
{
	struct gate g;
	gate_open(&g, &c.shop, r);
	gate_judge(&g);
	for (size_t i = 0; i < r->zone_count; i++)
		cr_expect(gate_finds(&g, "zone-open", r->keys[i], NULL, NULL) ||
				gate_finds(&g, "zone-found", r->keys[i], NULL, NULL) ||
				gate_finds(&g, "zone-slides", r->keys[i], NULL, NULL),
			"%s: %s is not open without an answer", r->name, r->keys[i]);
	cr_expect_not(g.result->ready, "%s", r->name);
	gate_close(&g);
}

/* Every zone is said to be protected, by nothing. */
static void all_open(const struct gate_record *r)
{
	struct gate g;
	gate_open(&g, &c.shop, r);
	for (size_t i = 0; i < r->zone_count; i++)
		gate_answer(&g, r->keys[i], "protected", NULL, 0);
	gate_judge(&g);
	for (size_t i = 0; i < r->zone_count; i++)
		for (size_t k = 0; k < r->zones[i]->hazard_count; k++) {
			const char *kind = r->zones[i]->hazards[k].kind;
			const struct hazard_result *h = gate_hazard(&g, r->keys[i], kind);
			bool answered = record_answers(r, r->zones[i]->note.id, kind);
			bool open = h && h->outcome == OUTCOME_OPEN &&
				gate_finds(&g, "hazard-open", r->keys[i], "hazard", kind);
			cr_expect(h && open != answered, "%s: %s, %s is %s; the rule: %s", r->name, r->keys[i], kind,
				open ? "open" : "not open", h ? h->shown : "");
		}
	gate_close(&g);
}

Test(library_zones, every_hazard_of_every_record_is_open_until_answered)
{
	for (size_t i = 0; i < c.shop.record_count; i++) {
		all_unanswered(&c.shop.records[i]);
		all_open(&c.shop.records[i]);
	}
}

/* ---- pairs ----------------------------------------------------------------------------------------- */

enum how { DESIGNED_OUT, ABSENT, GONE };

struct pair {
	enum how how;
	const struct gate_record *record;
	const struct node *zone_case, *pair;
};

enum side { THERE, NOT, NOT_BUT_UNSEEN };

/* The force on the edges of these zones is measured. */
static void measure_edges(struct gate *g, const struct node *zone_case)
{
	static const char *const BY[] = {"drive-force-limit"};
	const struct node *const *items;
	for (size_t i = 0, n = case_list(zone_case, "measured", &items); i < n; i++) {
		const char *const *keys;
		size_t count = case_keys(g, items[i]->text, NULL, &keys);
		cr_assert_gt(count, 0, "%s: %s has no zone %s", case_place(g, items[i]), g->from->name, items[i]->text);
		for (size_t k = 0; k < count; k++)
			gate_answer(g, keys[k], "protected", BY, 1);
	}
}

static const struct node *value_at(struct gate *g, const char *path, const char *key)
{
	if (text_begins(path, "here."))
		path = arena_format(&g->arena, "zones.%s.facts.%s", key, path + strlen("here."));
	return patch_get(g->tree, path);
}

static void check_near(struct gate *g, const struct node *not, const char *key)
{
	for (size_t i = 0; i < not->count; i++)
		cr_expect(case_near(value_at(g, not->pairs[i].key, key), not->pairs[i].value),
			"%s: %s is too far from what it is where the hazard is there",
			case_place(g, not->pairs[i].value), not->pairs[i].key);
}

/* The record of one side, judged. */
static void make_side(struct gate *g, const struct pair *p, enum side side, const char *const **keys, size_t *count)
{
	static const char *const AS[] = {"designed-out", "not-present", "designed-out"};
	const struct node *not = node_get(p->pair, "not");
	gate_open(g, &c.shop, p->record);
	g->blow = node_text(p->pair, "blow");
	*count = case_keys(g, node_text(p->zone_case, "zone"), node_text(p->zone_case, "at"), keys);
	cr_assert(*count > 0 && not, "%s: nothing to compare in %s", case_place(g, p->pair), p->record->name);
	gate_set(g, node_get(p->pair, "there"), *keys, *count);
	if (side != THERE) {
		check_near(g, not, (*keys)[0]);
		gate_set(g, not, *keys, *count);
	}
	for (size_t i = 0; p->how != GONE && i < *count; i++) {
		gate_answer(g, (*keys)[i], AS[p->how], NULL, 0);
		if (side == NOT_BUT_UNSEEN)
			gate_enter(g, (*keys)[i], "evidence", patch_scalar(&g->arena, "unknown", true));
	}
	measure_edges(g, p->zone_case);
	gate_judge(g);
}

static bool as_wanted(const struct gate *g, const struct pair *p, enum side side, const char *key, const char *kind)
{
	const struct zone_result *z = gate_zone(g, key);
	const struct hazard_result *h = gate_hazard(g, key, kind);
	bool open = h && h->outcome == OUTCOME_OPEN;
	if (side == NOT_BUT_UNSEEN)
		return p->how == GONE ||
			(z && z->outcome == OUTCOME_OPEN && gate_finds(g, "zone-evidence", key, NULL, NULL));
	if (p->how == GONE)
		return (h != NULL) == (side == THERE);
	if (p->how == ABSENT)
		return side == THERE ? open && gate_finds(g, "zone-not-absent", key, NULL, NULL)
				     : h && z->outcome == OUTCOME_ABSENT && h->outcome == OUTCOME_ABSENT &&
				!gate_finds(g, "zone-not-absent", key, NULL, NULL);
	return side == THERE ? open && gate_finds(g, "hazard-open", key, "hazard", kind)
			     : h && h->outcome == OUTCOME_ANSWERED && h->designed_out &&
			!gate_finds(g, "hazard-open", key, "hazard", kind);
}

static void check_side(const struct pair *p, enum side side)
{
	static const char *const SIDES[] = {"there", "not", "not, but shown by nothing"};
	struct gate g;
	const char *const *keys;
	size_t count, tried = 0;
	make_side(&g, p, side, &keys, &count);
	const struct lib_zone *zone = library_zone(c.shop.library, node_text(p->zone_case, "zone"));
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < zone->hazard_count; k++) {
			const char *kind = zone->hazards[k].kind;
			const struct hazard_result *h = gate_hazard(&g, keys[i], kind);
			if (node_get(p->pair, "kinds") && !case_has(p->pair, "kinds", kind))
				continue;
			tried++;
			cr_expect(as_wanted(&g, p, side, keys[i], kind), "%s: %s in %s, %s, side %s; the rule: %s%s",
				case_place(&g, p->pair), keys[i], p->record->name, kind, SIDES[side], h ? h->shown : "",
				gate_told(&g, keys[i]));
		}
	cr_expect_gt(tried, 0, "%s: no such kind", case_place(&g, p->pair));
	gate_close(&g);
}

static void check_pairs(enum how how, const char *key)
{
	const struct node *const *items;
	for (size_t i = 0; i < c.zone_count; i++)
		for (size_t n = 0; case_record(&c, c.zones[i], n); n++)
			for (size_t k = 0, m = case_list(c.zones[i], key, &items); k < m; k++) {
				struct pair p = {how, case_record(&c, c.zones[i], n), c.zones[i], items[k]};
				check_side(&p, THERE);
				check_side(&p, NOT);
				check_side(&p, NOT_BUT_UNSEEN);
			}
}

/* Distance and shape answer, when they are shown. */
Test(library_zones, designed_out)
{
	check_pairs(DESIGNED_OUT, "designed-out");
}

Test(library_zones, not_present)
{
	check_pairs(ABSENT, "absent");
}

/* The gate has no such zone, or the geometry finds nothing. */
Test(library_zones, no_zone)
{
	check_pairs(GONE, "gone");
}
