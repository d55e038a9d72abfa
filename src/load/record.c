#include "load/record.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/schema.h"
#include "yaml/tree.h"

struct reading {
	struct bind bind;
	const struct library *library;
	struct record *record;
	struct schema root;
	struct schema *lists; /* in the order of FIELD_LISTS */
	size_t *rooms;        /* for the items of each */
};

/* A group of keys that is there, for the places of what is missing in it. */
struct section {
	const char *path; /* within the root or the item */
	struct place at;
};

/* Going through the root or through one item. */
struct walk {
	struct reading *reading;
	const struct schema *schema;
	const char *path; /* "" for the root, else "devices[edge-1]" */
	const struct item *item;
	bool root;
	const struct lib_field *declared;
	size_t declared_count;
	bool typed;         /* whether `declared` is to be had */
	struct fact *facts; /* by row; then by declared field */
	bool *seen;
	struct section *sections;
	size_t section_count, section_room;
};

static struct arena *arena_of(struct reading *r)
{
	return r->bind.arena;
}

static const char *text_at(const struct node *map, const char *key)
{
	const char *text = node_text(map, key);
	return text ? text : "";
}

static void add_section(struct walk *w, const char *path, struct place at)
{
	if (w->section_count == w->section_room) {
		size_t room = w->section_room ? w->section_room * 2 : 8;
		w->sections = arena_grow(arena_of(w->reading), w->sections, w->section_count, room,
			sizeof *w->sections);
		w->section_room = room;
	}
	w->sections[w->section_count++] = (struct section){path, at};
}

/* The longest section that `key` lies in. */
static struct place nearest(const struct walk *w, const char *key)
{
	const struct section *best = &w->sections[0];
	for (size_t i = 1; i < w->section_count; i++) {
		size_t n = strlen(w->sections[i].path);
		if (n > strlen(best->path) && strncmp(key, w->sections[i].path, n) == 0 &&
			key[n] == '.')
			best = &w->sections[i];
	}
	return best->at;
}

static struct walk walk_new(
	struct reading *r, const struct schema *schema, const char *path, struct place at)
{
	struct walk w = {.reading = r, .schema = schema, .path = path};
	w.root = schema == &r->root;
	add_section(&w, "", at);
	return w;
}

static void walk_declare(struct walk *w, const struct lib_field *fields, size_t count, bool typed)
{
	w->declared = fields;
	w->declared_count = count;
	w->typed = typed;
}

static void read_items(struct reading *r, size_t list, const struct item *owner, const struct node *n, struct place at);

static struct choices declared_ids(struct walk *w)
{
	const char **ids = arena_array(arena_of(w->reading), w->declared_count, sizeof *ids);
	for (size_t i = 0; i < w->declared_count; i++)
		ids[i] = w->declared[i].id;
	return (struct choices){ids, w->declared_count};
}

static void read_declared(struct walk *w, const struct node_pair *pair, const char *path)
{
	if (!w->typed)
		return;
	struct bind *b = &w->reading->bind;
	const struct lib_field *field = lib_field_find(w->declared, w->declared_count, pair->key);
	if (!field) {
		bind_unknown(b, FINDING_CODE_RECORD_UNKNOWN_KEY, path, pair->key_at, pair->key,
			declared_ids(w));
		return;
	}
	size_t slot = w->schema->count + (size_t)(field - w->declared);
	struct fact_spec spec = fact_spec_declared(field);
	w->facts[slot] = fact_read(b, pair->value, path, &spec);
	w->seen[slot] = true;
}

static bool states_unknown(const struct node *n)
{
	return bind_empty(n) || (n->kind == NODE_SCALAR && (text_equal(n->text, "?") ||
								   text_equal(n->text, "unknown")));
}

static void walk_map(struct walk *w, const struct node *map, const char *at);

static void read_section(
	struct walk *w, const struct node_pair *pair, const char *key, const char *path)
{
	if (states_unknown(pair->value))
		return;
	add_section(w, key, pair->key_at);
	if (bind_map(&w->reading->bind, pair->value, path, "a group of keys"))
		walk_map(w, pair->value, key);
}

static void unknown_key(
	struct walk *w, const struct node_pair *pair, const char *at, const char *path)
{
	struct bind *b = &w->reading->bind;
	bind_unknown(b, FINDING_CODE_RECORD_UNKNOWN_KEY, path, pair->key_at, pair->key,
		schema_keys(b->arena, w->schema, at, w->root));
}

/* `at`: the section, "" for the top. */
static void read_pair(struct walk *w, const struct node_pair *pair, const char *at, bool declares)
{
	struct reading *r = w->reading;
	struct bind *b = &r->bind;
	const char *key = bind_path(b, at, pair->key), *path = bind_path(b, w->path, key);
	if (bind_own_key(pair->key))
		return;
	if (declares) {
		read_declared(w, pair, path);
		return;
	}
	size_t row = schema_find(w->schema, key);
	size_t list = w->root ? schema_list(key) : schema_inner_list(w->schema, key);
	if (strpbrk(pair->key, ".[]")) {
		unknown_key(w, pair, at, path);
	} else if (row < w->schema->count) {
		w->facts[row] = fact_read(b, pair->value, path, &w->schema->rows[row].spec);
		w->seen[row] = true;
	} else if (list < FIELD_LIST_COUNT) {
		read_items(r, list, w->root ? NULL : w->item, pair->value, pair->key_at);
	} else if (schema_section(w->schema, key, w->root)) {
		read_section(w, pair, key, path);
	} else {
		unknown_key(w, pair, at, path);
	}
}

static void walk_map(struct walk *w, const struct node *map, const char *at)
{
	const char *declared = w->schema->declared;
	size_t n = strlen(at);
	bool declares = declared && n && strlen(declared) == n + 1 && memcmp(declared, at, n) == 0;
	for (size_t i = 0; i < map->count; i++)
		read_pair(w, &map->pairs[i], at, declares);
}

static int compare_entries(const void *x, const void *y)
{
	return strcmp(((const struct fact_entry *)x)->key, ((const struct fact_entry *)y)->key);
}

static void fill_entry(
	struct walk *w, size_t slot, const char *key, enum field_kind kind, struct fact_entry *e)
{
	e->key = key;
	e->fact = w->facts[slot];
	if (!w->seen[slot])
		e->fact = (struct fact){
			.state = FACT_ABSENT, .text = "", .kind = kind, .at = nearest(w, key)};
}

/* Reads `map` (NULL: nothing to read) into the facts of an item. */
static void walk_item(struct walk *w, const struct node *map, struct item *item)
{
	struct arena *a = arena_of(w->reading);
	size_t rows = w->schema->count, count = rows + w->declared_count;
	w->item = item;
	w->facts = arena_array(a, count, sizeof *w->facts);
	w->seen = arena_array(a, count, sizeof *w->seen);
	if (map)
		walk_map(w, map, "");
	item->facts = arena_array(a, count, sizeof *item->facts);
	item->count = count;
	for (size_t i = 0; i < rows; i++)
		fill_entry(w, i, w->schema->rows[i].key, w->schema->rows[i].spec.kind,
			&item->facts[i]);
	for (size_t i = rows; i < count; i++) {
		const struct lib_field *field = &w->declared[i - rows];
		const char *key = arena_format(a, "%s%s", w->schema->declared, field->id);
		fill_entry(w, i, key, field->kind, &item->facts[i]);
	}
	if (w->declared_count)
		qsort(item->facts, count, sizeof *item->facts, compare_entries);
}

/* What the items of keyed lists declare: a zone by what stands before its @, a check by its id. */
static void declare_item(struct walk *w, const char *list, const char *id)
{
	const struct library *lib = w->reading->library;
	if (!lib || !w->schema->declared)
		return;
	if (text_equal(list, "zones")) {
		const char *zone_id = arena_copy(arena_of(w->reading), id, strcspn(id, "@"));
		const struct lib_zone *zone = library_zone(lib, zone_id);
		/* A pair of bodies: found by the geometry, after the zone that the type names for that. */
		if (!zone && strchr(zone_id, '~') && w->reading->record->type && w->reading->record->type->found)
			zone = library_zone(lib, w->reading->record->type->found);
		if (zone)
			walk_declare(w, zone->asks, zone->ask_count, true);
	} else {
		const struct lib_check *check = library_check(lib, id);
		if (check)
			walk_declare(w, check->asks, check->ask_count, true);
	}
}

static bool room_for(struct reading *r, const struct item_list *list, const struct node *n)
{
	if (list->count + n->count <= RECORD_ITEMS_MAX)
		return true;
	struct finding *f = bind_report(&r->bind, FINDING_CODE_RECORD_TOO_MANY, list->path, n->at);
	bind_with_count(&r->bind, f, "count", list->count + n->count);
	bind_with_count(&r->bind, f, "limit", RECORD_ITEMS_MAX);
	return false;
}

/* The inner lists of several owners follow one another. */
static void make_room(struct reading *r, size_t index, size_t more)
{
	struct item_list *list = &r->record->lists[index];
	if (list->count + more <= r->rooms[index] && list->items)
		return;
	r->rooms[index] = list->count * 2 + more;
	list->items = arena_grow(arena_of(r), list->items, list->count, r->rooms[index], sizeof *list->items);
}

static void read_keyed(struct reading *r, size_t index, const struct node *map)
{
	struct item_list *list = &r->record->lists[index];
	for (size_t i = 0; i < map->count; i++) {
		const struct node_pair *pair = &map->pairs[i];
		const char *path = bind_entry(&r->bind, list->path, pair->key, i);
		struct item *item = &list->items[list->count];
		if (bind_own_key(pair->key) ||
			!bind_id(&r->bind, pair->key, path, pair->key_at, "@~"))
			continue;
		struct walk w = walk_new(r, &r->lists[index], path, pair->key_at);
		bool readable = !states_unknown(pair->value) &&
				bind_map(&r->bind, pair->value, path, "a group of keys");
		list->count++;
		item->id = pair->key;
		item->at = pair->key_at;
		declare_item(&w, list->path, pair->key);
		walk_item(&w, readable ? pair->value : NULL, item);
	}
}

/* "devices", or "functions[stop].subsystems". */
static const char *list_path(struct reading *r, const struct item_list *list, const struct item *owner)
{
	const char *inner = strstr(list->path, "[].");
	if (!inner)
		return list->path;
	return arena_format(arena_of(r), "%.*s[%s].%s", (int)(inner - list->path), list->path, owner->id,
		inner + 3);
}

static void read_listed(struct reading *r, size_t index, const struct item *owner, const struct node *n)
{
	struct item_list *list = &r->record->lists[index];
	const char *whole = list_path(r, list, owner);
	for (size_t i = 0; i < n->count; i++) {
		const struct node *entry = n->items[i];
		struct item *item = &list->items[list->count];
		const char *id = text_at(entry, "id");
		const char *path =
			bind_entry(&r->bind, whole, id_valid(id, "@") ? id : NULL, i);
		if (!bind_map(&r->bind, entry, path, "a group of keys with an id"))
			continue;
		if (*id == '\0' || text_equal(id, "?") || text_equal(id, "unknown"))
			bind_report(&r->bind, FINDING_CODE_RECORD_ITEM_ID, path, entry->at);
		struct walk w = walk_new(r, &r->lists[index], path, entry->at);
		list->count++;
		item->id = id;
		item->owner = owner;
		item->at = entry->at;
		walk_item(&w, entry, item);
	}
}

static int compare_items(const void *x, const void *y)
{
	const struct item *a = *(const struct item *const *)x, *b = *(const struct item *const *)y;
	int order = strcmp(a->id, b->id);
	if (a->owner != b->owner)
		return a->owner < b->owner ? -1 : 1;
	return order ? order : (a > b) - (a < b);
}

static void check_duplicates(struct reading *r, const struct item_list *list)
{
	const struct item **sorted = arena_array(arena_of(r), list->count, sizeof *sorted);
	for (size_t i = 0; i < list->count; i++)
		sorted[i] = &list->items[i];
	if (list->count)
		qsort(sorted, list->count, sizeof *sorted, compare_items);
	for (size_t i = 1, first = 0; i < list->count; i++) {
		if (*sorted[i]->id == '\0' || sorted[first]->owner != sorted[i]->owner ||
			!text_equal(sorted[first]->id, sorted[i]->id)) {
			first = i;
			continue;
		}
		struct finding *f = bind_refuse(&r->bind, FINDING_CODE_RECORD_DUPLICATE_ID,
			item_path(arena_of(r), list->path, sorted[i]),
			item_fact(sorted[i], "id")->at, sorted[i]->id);
		bind_with_count(
			&r->bind, f, "line", (size_t)item_fact(sorted[first], "id")->at.line);
	}
}

static void read_items(struct reading *r, size_t index, const struct item *owner, const struct node *n, struct place at)
{
	const struct field_list *row = &FIELD_LISTS[index];
	struct item_list *list = &r->record->lists[index];
	const char *path = list_path(r, list, owner);
	if (!list->at.line)
		list->at = at;
	if (states_unknown(n))
		return;
	if (n->kind == NODE_SCALAR && text_equal(n->text, "none")) {
		list->present = true;
		return;
	}
	bool empty_other = n->count == 0 && n->kind == NODE_LIST && row->keyed;
	bool fine =
		row->keyed
			? empty_other || bind_map(&r->bind, n, path, "a group of ids, or none")
			: bind_list(&r->bind, n, path, "a list of items with ids, or none");
	if (!fine || !room_for(r, list, n))
		return;
	list->present = true;
	make_room(r, index, n->count);
	if (row->keyed)
		read_keyed(r, index, n);
	else
		read_listed(r, index, owner, n);
	if (!owner)
		check_duplicates(r, list);
}

/* `record: 1` comes first, so that any program can tell at once whether it may read on. */
static bool check_number(struct reading *r, const struct node *root)
{
	struct bind *b = &r->bind;
	const struct node *n = node_get(root, "record");
	struct place at = n ? n->at : root->at;
	double number = 0;
	if (!n || !text_equal(root->pairs[0].key, "record"))
		bind_report(b, FINDING_CODE_RECORD_NUMBER_FIRST, "record", at);
	if (!n || (n->kind == NODE_SCALAR && text_equal(n->text, "1")))
		return true;
	if (!bind_scalar(b, n, "record", "the number 1"))
		return false;
	bool newer = text_scan(n->text, &number) == strlen(n->text) && number > RECORD_NUMBER;
	bind_refuse(b, newer ? FINDING_CODE_RECORD_NEWER : FINDING_CODE_RECORD_NUMBER, "record", at,
		n->text);
	return false;
}

static void prepare(
	struct reading *r, const char *bytes, size_t length, const char *file, const char *digest)
{
	struct arena *a = arena_of(r);
	struct record *record = arena_alloc(a, sizeof *record);
	record->file = file;
	record->text = arena_copy(a, bytes, length);
	record->length = length;
	record->digest = digest;
	record->lists = arena_array(a, FIELD_LIST_COUNT, sizeof *record->lists);
	record->list_count = FIELD_LIST_COUNT;
	record->root.id = "";
	r->record = record;
	r->root = schema_of(a, NULL);
	r->lists = arena_array(a, FIELD_LIST_COUNT, sizeof *r->lists);
	r->rooms = arena_array(a, FIELD_LIST_COUNT, sizeof *r->rooms);
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++) {
		r->lists[i] = schema_of(a, FIELD_LISTS[i].path);
		record->lists[i].path = FIELD_LISTS[i].path;
	}
}

static void read_root(struct reading *r, const struct node *root)
{
	struct record *record = r->record;
	struct walk w = walk_new(r, &r->root, "", root->at);
	if (r->library)
		record->type = library_type(r->library,
			text_trim(arena_of(r), text_at(node_get(root, "gate"), "type")));
	if (record->type)
		walk_declare(&w, record->type->dimensions, record->type->dimension_count, true);
	record->root.at = root->at;
	walk_item(&w, root, &record->root);
	for (size_t i = 0; i < record->list_count; i++)
		if (field_brackets(record->lists[i].path))
			check_duplicates(r, &record->lists[i]);
	for (size_t i = 0; i < record->list_count; i++)
		if (record->lists[i].at.line == 0)
			record->lists[i].at = nearest(&w, record->lists[i].path);
}

struct record *record_load(struct arena *a, const char *bytes, size_t length, const char *file,
	const char *digest, const struct library *lib, struct findings *f)
{
	struct reading r = {.bind = {.arena = a, .findings = f}, .library = lib};
	const struct node *root = tree_read(a, bytes, length, file, f);
	if (!root || !bind_map(&r.bind, root, "", "a record, beginning with record: 1") ||
		root->count == 0)
		return NULL;
	if (!check_number(&r, root))
		return NULL;
	prepare(&r, bytes, length, file, digest);
	read_root(&r, root);
	return r.record;
}
