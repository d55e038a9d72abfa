#include "library_case.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "yaml/bind.h"

#define FOLDER "tests/library/"

enum { CASES_MAX = 1000 };

static const char *const FILE_KEYS[] = {"zones", "measures", NULL};
static const char *const ZONE_KEYS[] = {"zone", "records", "at", "measured", "designed-out", "absent", "gone",
	"unconditional", NULL};
static const char *const PAIR_KEYS[] = {"kinds", "there", "not", "blow", NULL};
static const char *const MEASURE_KEYS[] = {"measure", "answers", "enough", "with", "in-zone", "short", NULL};

static void check_keys(const struct node *map, const char *const *known)
{
	cr_assert(map->kind == NODE_MAP, "%s:%d: keys are expected", map->at.file, map->at.line);
	for (size_t i = 0; i < map->count; i++) {
		bool found = false;
		for (size_t k = 0; known[k]; k++)
			found = found || text_equal(map->pairs[i].key, known[k]);
		cr_assert(found, "%s:%d: no such key: %s", map->at.file, map->pairs[i].key_at.line, map->pairs[i].key);
	}
}

static void check_word(const struct node *n, bool known)
{
	cr_assert(known, "%s:%d: there is no %s", n->at.file, n->at.line, n->text);
}

static void check_zone(const struct cases *c, const struct node *n)
{
	static const char *const PAIRS[] = {"designed-out", "absent", "gone"};
	const struct node *const *items;
	const struct node *name = node_get(n, "zone");
	check_keys(n, ZONE_KEYS);
	cr_assert_not_null(name, "%s:%d: a case without its zone", n->at.file, n->at.line);
	check_word(name, library_zone(c->shop.library, name->text) != NULL);
	for (size_t i = 0, m = case_list(n, "records", &items); i < m; i++)
		check_word(items[i], shop_record(&c->shop, items[i]->text) != NULL);
	for (size_t p = 0; p < sizeof PAIRS / sizeof *PAIRS; p++)
		for (size_t i = 0, m = case_list(n, PAIRS[p], &items); i < m; i++)
			check_keys(items[i], PAIR_KEYS);
}

/* The kinds are written in both places, so that neither changes unnoticed. */
static void check_answers(const struct node *n, const struct lib_measure *m)
{
	const struct node *const *items;
	size_t count = case_list(n, "answers", &items);
	cr_expect(node_get(n, "answers") && count == m->answers.count, "%s:%d: %s answers %zu kinds", n->at.file,
		n->at.line, m->note.id, m->answers.count);
	for (size_t i = 0; i < count; i++)
		cr_expect(words_have(m->answers, items[i]->text), "%s:%d: %s does not answer %s", items[i]->at.file,
			items[i]->at.line, m->note.id, items[i]->text);
}

static void check_measure(const struct cases *c, const struct node *n)
{
	const struct node *name = node_get(n, "measure"), *shorts = node_get(n, "short");
	check_keys(n, MEASURE_KEYS);
	cr_assert_not_null(name, "%s:%d: a case without its measure", n->at.file, n->at.line);
	const struct lib_measure *m = library_measure(c->shop.library, name->text);
	check_word(name, m != NULL);
	cr_assert_eq(cases_measure(c, name->text), n, "%s:%d: a second case of %s", n->at.file, n->at.line, name->text);
	cr_assert_not_null(m);
	check_answers(n, m);
	for (size_t i = 0; shorts && i < shorts->count; i++) {
		bool found = false;
		for (size_t k = 0; k < m->need_count; k++)
			found = found || text_equal(m->needs[k].id, shorts->pairs[i].key);
		cr_assert(found, "%s:%d: %s has no need %s", n->at.file, shorts->pairs[i].key_at.line, name->text,
			shorts->pairs[i].key);
	}
}

static int yaml_only(const struct dirent *e)
{
	return text_ends(e->d_name, ".yaml");
}

static void add_all(const struct node *root, const char *group, const struct node **to, size_t *count)
{
	const struct node *const *items;
	for (size_t i = 0, n = case_list(root, group, &items); i < n; i++) {
		cr_assert_lt(*count, CASES_MAX, "more cases than foreseen");
		to[(*count)++] = items[i];
	}
}

void cases_open(struct cases *c)
{
	struct dirent **names;
	memset(c, 0, sizeof *c);
	shop_open(&c->shop);
	struct arena *a = &c->shop.arena;
	c->zones = arena_array(a, CASES_MAX, sizeof *c->zones);
	c->measures = arena_array(a, CASES_MAX, sizeof *c->measures);
	int count = scandir(FOLDER, &names, yaml_only, alphasort);
	for (int i = 0; i < count; i++) {
		const struct node *root = shop_read(&c->shop, arena_format(a, FOLDER "%s", names[i]->d_name));
		check_keys(root, FILE_KEYS);
		add_all(root, "zones", c->zones, &c->zone_count);
		add_all(root, "measures", c->measures, &c->measure_count);
		free(names[i]);
	}
	if (count >= 0)
		free(names);
	for (size_t i = 0; i < c->zone_count; i++)
		check_zone(c, c->zones[i]);
	for (size_t i = 0; i < c->measure_count; i++)
		check_measure(c, c->measures[i]);
}

void cases_close(struct cases *c)
{
	shop_close(&c->shop);
}

const struct node *cases_measure(const struct cases *c, const char *id)
{
	for (size_t i = 0; i < c->measure_count; i++)
		if (text_equal(node_text(c->measures[i], "measure"), id))
			return c->measures[i];
	return NULL;
}

size_t case_list(const struct node *map, const char *key, const struct node *const **items)
{
	*items = NULL;
	for (size_t i = 0; map && map->kind == NODE_MAP && i < map->count; i++) {
		struct node_pair *p = &map->pairs[i];
		if (!text_equal(p->key, key))
			continue;
		bool list = p->value->kind == NODE_LIST;
		*items = list ? (const struct node *const *)p->value->items : (const struct node *const *)&p->value;
		return list ? p->value->count : 1;
	}
	return 0;
}

bool case_has(const struct node *map, const char *key, const char *word)
{
	const struct node *const *items;
	for (size_t i = 0, n = case_list(map, key, &items); i < n; i++)
		if (text_equal(items[i]->text, word))
			return true;
	return false;
}

static bool is_pair(const char *key, const char *at)
{
	return !at || (text_begins(key, at) && key[strlen(at)] == '@');
}

static bool record_has(const struct gate_record *r, const char *zone, const char *at)
{
	for (size_t i = 0; i < r->zone_count; i++)
		if (text_equal(r->zones[i]->note.id, zone) && is_pair(r->keys[i], at))
			return true;
	return false;
}

const struct gate_record *case_record(const struct cases *c, const struct node *zone_case, size_t number)
{
	const struct node *const *items;
	size_t named = case_list(zone_case, "records", &items);
	if (named)
		return number < named ? shop_record(&c->shop, items[number]->text) : NULL;
	for (size_t i = 0; i < c->shop.record_count; i++) {
		const struct gate_record *r = &c->shop.records[i];
		if (record_has(r, node_text(zone_case, "zone"), node_text(zone_case, "at")) && !number--)
			return r;
	}
	return NULL;
}

const char *case_place(struct gate *g, const struct node *n)
{
	return arena_format(&g->arena, "%s:%d", n->at.file, n->at.line);
}

size_t case_keys(struct gate *g, const char *zone, const char *at, const char *const **keys)
{
	const struct gate_record *r = g->from;
	const char **found = arena_array(&g->arena, r->zone_count, sizeof *found);
	size_t count = 0;
	for (size_t i = 0; i < r->zone_count; i++)
		if (text_equal(r->zones[i]->note.id, zone) && is_pair(r->keys[i], at))
			found[count++] = r->keys[i];
	*keys = found;
	return count;
}

bool case_near(const struct node *a, const struct node *b)
{
	struct quantity x, y;
	if (!a || a->kind != NODE_SCALAR || b->kind != NODE_SCALAR || bind_empty(b))
		return true;
	if (quantity_read(a->text, &x) != QUANTITY_FINE || quantity_read(b->text, &y) != QUANTITY_FINE)
		return true;
	double most = 0.02 * fmax(fabs(x.value), fabs(y.value));
	if (dimension_equal(x.dim, DIM_LENGTH))
		most = fmax(most, 1e-3);
	if (dimension_equal(x.dim, DIM_NUMBER) && !strchr(a->text, '%'))
		most = fmax(most, 1);
	return dimension_equal(x.dim, y.dim) && fabs(x.value - y.value) <= most * (1 + 1e-9);
}
