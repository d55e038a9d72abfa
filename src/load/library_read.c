#include "load/library_read.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static int compare_words(const void *x, const void *y)
{
	return strcmp(*(const char *const *)x, *(const char *const *)y);
}

bool library_has_id(struct choices sorted, const char *word)
{
	return sorted.count &&
	       bsearch(&word, sorted.items, sorted.count, sizeof *sorted.items, compare_words);
}

bool library_id_valid(const char *id)
{
	static const char LETTERS[] =
		"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
	if (*id == '\0' || !strchr(LETTERS, *id))
		return false;
	while (*id && (strchr(LETTERS, *id) || *id == '.' || *id == '-'))
		id++;
	return *id == '\0';
}

static const char *entry_name(const struct node *n)
{
	const char *id = node_text(n, "id");
	return id && library_id_valid(id) ? id : NULL;
}

static const struct node *text_node(struct lib_reader *r, const struct node *n, const char *path)
{
	if (!bind_scalar(&r->bind, n, path, "a single value"))
		return NULL;
	if (*text_trim(r->bind.arena, n->text) != '\0')
		return n;
	bind_refuse(&r->bind, FINDING_CODE_VALUE_EMPTY, path, n->at, n->text);
	return NULL;
}

/* A field, a list, or the group whose keys a gate type declares. */
static bool refers_field(struct lib_reader *r, const char *word)
{
	size_t n = strlen(word);
	const char *declared = r->fields.declared;
	return schema_find(&r->fields, word) < r->fields.count || schema_list(word) < FIELD_LIST_COUNT ||
	       (declared && strlen(declared) == n + 1 && text_begins(declared, word));
}

static bool refers_well(struct lib_reader *r, int refers, const char *word)
{
	if (refers == REFERS_FIELD)
		return refers_field(r, word);
	if (refers != REFERS_ANY_ENTRY)
		return library_has_id(r->ids[refers - 1], word);
	for (size_t g = 0; g < GROUP_COUNT; g++)
		if (g != GROUP_READINGS && library_has_id(r->ids[g], word))
			return true;
	return false;
}

static void check_reference(
	struct lib_reader *r, int refers, const struct node *n, const char *path)
{
	struct choices known = {NULL, 0};
	if (refers == REFERS_NOTHING || refers_well(r, refers, n->text))
		return;
	if (refers != REFERS_FIELD && refers != REFERS_ANY_ENTRY)
		known = r->ids[refers - 1];
	bind_unknown(&r->bind, FINDING_CODE_LIBRARY_REFERENCE, path, n->at, n->text, known);
}

static struct choices row_choices(struct lib_reader *r, const struct lib_row *row)
{
	const struct field *field = row->field ? field_find(row->field) : NULL;
	return choices_split(r->bind.arena, field ? field->choices : row->choices);
}

static const char *read_text(struct lib_reader *r, const struct node *n, const char *path,
	const struct lib_row *row, struct choices choices)
{
	if (!text_node(r, n, path))
		return NULL;
	if (!bind_choice(&r->bind, n->text, path, n->at, choices))
		return NULL;
	check_reference(r, row->refers, n, path);
	return n->text;
}

struct words library_read_words(
	struct lib_reader *r, const struct node *n, const char *path, const struct lib_row *row)
{
	struct node *one = arena_alloc(r->bind.arena, sizeof *one);
	*one = *n;
	bool list = n->kind == NODE_LIST;
	if (n->kind == NODE_MAP) {
		bind_list(&r->bind, n, path, "a list of words");
		return (struct words){NULL, 0};
	}
	struct node **nodes = list ? n->items : &one;
	size_t count = list ? n->count : 1;
	const char **words = arena_array(r->bind.arena, count, sizeof *words);
	struct words out = {words, 0};
	struct choices choices = row_choices(r, row);
	for (size_t i = 0; i < count; i++) {
		const char *word = read_text(r, nodes[i],
			list ? bind_entry(&r->bind, path, NULL, i) : path, row, choices);
		if (word)
			words[out.count++] = word;
	}
	return out;
}

enum standing library_read_standing(struct lib_reader *r, const struct node *n, const char *path)
{
	struct choices known = choices_split(r->bind.arena, "published|practice|memory|firm");
	size_t i = STANDING_MEMORY;
	if (text_node(r, n, path) && bind_choice(&r->bind, n->text, path, n->at, known))
		for (i = 0; !text_equal(known.items[i], n->text); i++)
			;
	else
		return r->overlay ? STANDING_FIRM : STANDING_MEMORY;
	/* A firm cannot make its own number a published one, nor the shipped library speak for a
	 * firm. */
	if ((i == STANDING_FIRM) != r->overlay)
		bind_refuse(&r->bind,
			r->overlay ? FINDING_CODE_LIBRARY_STANDING_FIRM
				   : FINDING_CODE_LIBRARY_STANDING_SHIPPED,
			path, n->at, n->text);
	return r->overlay ? STANDING_FIRM : (enum standing)i;
}

void library_read_rule(
	struct lib_reader *r, const struct node *n, const char *path, const struct rule **slot)
{
	if (!text_node(r, n, path))
		return;
	if (r->rule_count == r->rule_room) {
		size_t room = r->rule_room ? r->rule_room * 2 : 256;
		r->rules =
			arena_grow(r->bind.paths, r->rules, r->rule_count, room, sizeof *r->rules);
		r->rule_room = room;
	}
	r->rules[r->rule_count++] = (struct pending_rule){.slot = slot,
		.text = n->text,
		.path = path,
		.at = n->at,
		.group = r->group,
		.owner = r->entry,
		.known = r->known};
}

void library_share_rule(struct lib_reader *r, const struct rule **slot, const struct rule *const *first)
{
	if (r->copy_count == r->copy_room) {
		r->copy_room = r->copy_room ? r->copy_room * 2 : 256;
		r->copies = arena_grow(r->bind.paths, r->copies, r->copy_count, r->copy_room, sizeof *r->copies);
	}
	r->copies[r->copy_count++] = (struct rule_copy){slot, first};
}

/* Members are pointers of several types. */
static void put_pointer(void *slot, const void *pointer)
{
	memcpy(slot, &pointer, sizeof pointer);
}

static void read_rules(
	struct lib_reader *r, const struct node *n, const char *path, void *slot, size_t *count)
{
	if (!bind_list(&r->bind, n, path, "a list of rules"))
		return;
	const struct rule **rules = arena_array(r->bind.arena, n->count, sizeof *rules);
	for (size_t i = 0; i < n->count; i++)
		library_read_rule(r, n->items[i], bind_entry(&r->bind, path, NULL, i), &rules[i]);
	put_pointer(slot, rules);
	*count = n->count;
}

static void read_point(
	struct lib_reader *r, const struct node *n, const char *path, const struct rule **slots)
{
	if (n->kind != NODE_LIST || n->count != 2) {
		struct finding *f = bind_refuse(&r->bind, FINDING_CODE_VALUE_SHAPE, path, n->at,
			n->kind == NODE_LIST ? "a list of another length" : "something else");
		bind_with(&r->bind, f, "expected", "a list of two rules, [x, y]");
		return;
	}
	for (size_t i = 0; i < 2; i++)
		library_read_rule(r, n->items[i], bind_entry(&r->bind, path, NULL, i), &slots[i]);
}

static void read_points(
	struct lib_reader *r, const struct node *n, const char *path, void *slot, size_t *count)
{
	if (!bind_list(&r->bind, n, path, "a list of points [x, y]"))
		return;
	const struct rule *(*points)[2] = arena_array(r->bind.arena, n->count, sizeof *points);
	for (size_t i = 0; i < n->count; i++)
		read_point(r, n->items[i], bind_entry(&r->bind, path, NULL, i), points[i]);
	put_pointer(slot, points);
	*count = n->count;
}

static bool read_number(struct lib_reader *r, const struct node *n, const char *path, double *out)
{
	struct quantity q;
	if (!bind_quantity(&r->bind, n, path, DIM_NUMBER, NULL, NULL, &q))
		return false;
	*out = q.value;
	return true;
}

/* What a firm enters of its own has the range of the same field in a record. */
static void read_quantity(struct lib_reader *r, const struct node *n, const char *path, const struct lib_row *row,
	struct quantity *out)
{
	const struct field *field = row->field ? field_find(row->field) : NULL;
	struct fact_spec spec = {.kind = FIELD_QUANTITY, .dim = *row->dim};
	if (field)
		spec = fact_spec_field(r->bind.arena, field);
	const struct quantity *low = spec.has_low ? &spec.low : NULL, *high = spec.has_high ? &spec.high : NULL;
	if (spec.kind == FIELD_COUNT)
		bind_count(&r->bind, n, path, low, high, out);
	else
		bind_quantity(&r->bind, n, path, spec.dim, low, high, out);
}

static void read_flag(struct lib_reader *r, const struct node *n, const char *path,
	const struct lib_row *row, bool *out)
{
	struct choices choices = row_choices(r, row);
	const char *word = read_text(r, n, path, row, choices);
	if (word)
		*out = text_equal(word, choices.items[1]);
}

static void read_dimension(
	struct lib_reader *r, const struct node *n, const char *path, struct dimension *out)
{
	struct choices known = choices_split(r->bind.arena, lib_dimension_names());
	if (text_node(r, n, path) && bind_choice(&r->bind, n->text, path, n->at, known))
		lib_dimension(n->text, out);
}

static int compare_nodes(const void *x, const void *y)
{
	const struct node *a = *(const struct node *const *)x, *b = *(const struct node *const *)y;
	int order = strcmp(a->text, b->text);
	return order ? order : (a->from > b->from) - (a->from < b->from);
}

static void check_unique(struct lib_reader *r, const struct node *list, const char *path)
{
	const struct node **ids = arena_array(r->bind.arena, list->count, sizeof *ids);
	size_t count = 0;
	for (size_t i = 0; i < list->count; i++) {
		const struct node *id = node_get(list->items[i], "id");
		if (id && id->kind == NODE_SCALAR)
			ids[count++] = id;
	}
	if (count)
		qsort(ids, count, sizeof *ids, compare_nodes);
	for (size_t i = 1; i < count; i++)
		if (text_equal(ids[i - 1]->text, ids[i]->text)) {
			struct finding *f = bind_refuse(&r->bind, FINDING_CODE_LIBRARY_DUPLICATE,
				path, ids[i]->at, ids[i]->text);
			bind_with_count(&r->bind, f, "line", (size_t)ids[i - 1]->at.line);
		}
}

static void read_rows(struct lib_reader *r, const struct lib_table *table, bool noted,
	const struct node *n, const char *path, char *out);

void *library_read_items(struct lib_reader *r, const struct lib_table *table, const struct node *n,
	const char *path, size_t *count)
{
	if (!bind_list(&r->bind, n, path, "a list"))
		return NULL;
	char *items = arena_array(r->bind.arena, n->count, table->size);
	for (size_t i = 0; i < n->count; i++) {
		const struct node *item = n->items[i];
		const char *item_path = bind_entry(&r->bind, path, entry_name(item), i);
		if (bind_map(&r->bind, item, item_path, "a group of keys"))
			read_rows(r, table, false, item, item_path, items + i * table->size);
	}
	check_unique(r, n, path);
	*count = n->count;
	return items;
}

static void read_row(struct lib_reader *r, const struct lib_row *row, const struct node *n,
	const char *path, char *out)
{
	void *slot = out + row->at;
	size_t *count = (size_t *)(void *)(out + row->count_at);
	switch (row->kind) {
	case ROW_TEXT:
	case ROW_WORD:
		*(const char **)slot = read_text(r, n, path, row, row_choices(r, row));
		break;
	case ROW_WORDS:
		*(struct words *)slot = library_read_words(r, n, path, row);
		break;
	case ROW_TRUTH:
		bind_truth(&r->bind, n, path, slot);
		break;
	case ROW_FLAG:
		read_flag(r, n, path, row, slot);
		break;
	case ROW_NUMBER:
		read_number(r, n, path, slot);
		break;
	case ROW_QUANTITY:
		read_quantity(r, n, path, row, slot);
		break;
	case ROW_DATE:
		bind_date(&r->bind, n, path, slot);
		break;
	case ROW_STANDING:
		*(enum standing *)slot = library_read_standing(r, n, path);
		break;
	case ROW_DIMENSION:
		read_dimension(r, n, path, slot);
		break;
	case ROW_RULE:
		library_read_rule(r, n, path, slot);
		break;
	case ROW_RULES:
		read_rules(r, n, path, slot, count);
		break;
	case ROW_POINT:
		read_point(r, n, path, slot);
		break;
	case ROW_POINTS:
		read_points(r, n, path, slot, count);
		break;
	case ROW_FIELDS:
		put_pointer(slot, library_read_items(r, &LIB_FIELD_TABLE, n, path, count));
		break;
	case ROW_ITEMS:
		put_pointer(slot, library_read_items(r, row->table, n, path, count));
		break;
	case ROW_OTHER:
		break;
	}
}

static const char *const NOTE_KEYS[] = {"id", "title", "source", "standing", "replaces"};
enum { NOTE_KEY_COUNT = sizeof NOTE_KEYS / sizeof *NOTE_KEYS };

static const struct lib_row *find_row(const struct lib_table *table, const char *key)
{
	for (size_t i = 0; i < table->count; i++)
		if (text_equal(table->rows[i].key, key))
			return &table->rows[i];
	return NULL;
}

static bool is_note_key(const char *key)
{
	for (size_t i = 0; i < NOTE_KEY_COUNT; i++)
		if (text_equal(NOTE_KEYS[i], key))
			return true;
	return false;
}

static void refuse_key(struct lib_reader *r, const struct lib_table *table, bool noted,
	const struct node_pair *pair, const char *path)
{
	const char **keys = arena_array(r->bind.arena, table->count + NOTE_KEY_COUNT, sizeof *keys);
	size_t count = 0;
	for (size_t i = 0; i < table->count; i++)
		keys[count++] = table->rows[i].key;
	for (size_t i = 0; noted && i < NOTE_KEY_COUNT; i++)
		keys[count++] = NOTE_KEYS[i];
	bind_unknown(&r->bind, FINDING_CODE_LIBRARY_UNKNOWN_KEY, path, pair->key_at, pair->key,
		(struct choices){keys, count});
}

static void read_rows(struct lib_reader *r, const struct lib_table *table, bool noted,
	const struct node *n, const char *path, char *out)
{
	for (size_t i = 0; i < n->count; i++) {
		const struct node_pair *pair = &n->pairs[i];
		const struct lib_row *row = find_row(table, pair->key);
		const char *row_path = bind_path(&r->bind, path, pair->key);
		if (row && !bind_empty(pair->value))
			read_row(r, row, pair->value, row_path, out);
		else if (!row && !bind_own_key(pair->key) && !(noted && is_note_key(pair->key)))
			refuse_key(r, table, noted, pair, row_path);
	}
	for (size_t i = 0; i < table->count; i++)
		if (table->rows[i].required)
			bind_required(&r->bind, n, path, table->rows[i].key);
	if (table->place_at != TABLE_NO_PLACE)
		*(struct place *)(void *)(out + table->place_at) = n->at;
	if (table->complete)
		table->complete(r, n, path, out);
}

static const char *note_text(
	struct lib_reader *r, const struct node *n, const char *path, const char *key)
{
	const struct node *value = node_get(n, key);
	if (!value || bind_empty(value))
		return NULL;
	return text_node(r, value, bind_path(&r->bind, path, key)) ? value->text : NULL;
}

static void read_note(
	struct lib_reader *r, const struct node *n, const char *path, struct lib_note *note)
{
	note->title = note_text(r, n, path, "title");
	note->source = note_text(r, n, path, "source");
	note->replaces = note_text(r, n, path, "replaces");
	const char *id = node_text(n, "id");
	note->id = id ? id : note->replaces;
	note->at = n->at;
	note->standing = r->overlay ? STANDING_FIRM : STANDING_MEMORY;
	const struct node *standing =
		r->overlay ? node_get(n, "standing") : bind_required(&r->bind, n, path, "standing");
	if (standing)
		note->standing =
			library_read_standing(r, standing, bind_path(&r->bind, path, "standing"));
	/* Whoever reads a number from a document or sets it for a firm can say where it is from. */
	if (note->standing == STANDING_PUBLISHED || note->standing == STANDING_FIRM)
		bind_required(&r->bind, n, path, "source");
}

void library_name_findings(struct lib_reader *r, size_t from, const char *path)
{
	for (size_t i = from; i < r->bind.findings->count; i++)
		r->bind.findings->items[i]->subject = text_harmless(r->bind.findings->arena, path);
}

void library_read_entry(struct lib_reader *r, enum lib_group_id group, const struct node *n,
	const char *path, void *out)
{
	const struct lib_group *g = &LIB_GROUPS[group];
	r->group = group;
	r->entry = out;
	if (g->noted)
		read_note(r, n, path, out);
	read_rows(r, g->table, g->noted, n, path, out);
}
