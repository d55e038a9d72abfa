#include "work/agenda.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "model/field.h"

struct build {
	struct arena *arena;
	const struct job *job;
	const struct agenda_memory *memory;
	struct agenda *out;
	const char **wanting; /* sorted paths whose value is missing, unknown or cannot be read */
	size_t wanting_count;
	const struct lib_leg *leg;
};

static int compare(const void *x, const void *y)
{
	return strcmp(*(const char *const *)x, *(const char *const *)y);
}

static bool tells_of_a_value(enum finding_code code)
{
	return code == FINDING_CODE_FIELD_MISSING || code == FINDING_CODE_FIELD_UNKNOWN ||
		code == FINDING_CODE_FIELD_NO_ANSWER || code == FINDING_CODE_LIST_MISSING ||
		finding_level(code) == FINDING_INPUT;
}

static void gather_wanting(struct build *b)
{
	const struct findings *all = &b->job->findings;
	b->wanting = arena_array(b->arena, all->count, sizeof *b->wanting);
	for (size_t i = 0; i < all->count; i++)
		if (tells_of_a_value(all->items[i]->code))
			b->wanting[b->wanting_count++] = all->items[i]->subject;
	if (b->wanting_count)
		qsort(b->wanting, b->wanting_count, sizeof *b->wanting, compare);
}

static bool wanting(const struct build *b, const char *path)
{
	return b->wanting_count && bsearch(&path, b->wanting, b->wanting_count, sizeof *b->wanting, compare);
}

static bool growing(const struct build *b, const char *path)
{
	for (size_t i = 0; i < b->memory->growing_count; i++)
		if (text_equal(b->memory->growing[i], path))
			return true;
	return false;
}

static struct ask *add(struct build *b, enum ask_kind kind, const char *path)
{
	struct agenda *out = b->out;
	if (out->count == out->room) {
		size_t room = out->room ? out->room * 2 : 256;
		out->asks = arena_grow(b->arena, out->asks, out->count, room, sizeof *out->asks);
		out->room = room;
	}
	struct ask *ask = &out->asks[out->count++];
	*ask = (struct ask){.kind = kind, .leg = b->leg, .path = path};
	return ask;
}

static bool on_record(const struct fact *fact)
{
	return fact->state == FACT_GIVEN || fact->state == FACT_NONE || fact->state == FACT_NOT_APPLICABLE;
}

/* A value that is neither on record nor wanted is not asked for. */
static struct ask *add_value(struct build *b, const char *path, const struct fact *fact)
{
	bool open = wanting(b, path);
	if (!open && !on_record(fact))
		return NULL;
	struct ask *ask = add(b, ASK_VALUE, path);
	ask->fact = fact;
	ask->open = open;
	return ask;
}

static void add_row(struct build *b, const struct field *field, const char *path, const struct fact *fact)
{
	struct ask *ask = add_value(b, path, fact);
	if (!ask)
		return;
	ask->field = field;
	ask->words = arena_format(b->arena, "fields.%s", field->path);
}

static void add_declared(struct build *b, const struct lib_field *fields, size_t count, const struct item *item,
	const char *lead, const char *key_lead, const char *words)
{
	for (size_t i = 0; i < count; i++) {
		const char *key = arena_format(b->arena, "%s%s", key_lead, fields[i].id);
		struct ask *ask = add_value(b, arena_format(b->arena, "%s%s", lead, key), item_fact(item, key));
		if (!ask)
			continue;
		ask->declared = &fields[i];
		ask->words = fields[i].words ? fields[i].words : arena_format(b->arena, "%s.%s", words, fields[i].id);
	}
}

static void add_list(struct build *b, size_t index, const struct item *owner);

/* What the items of a keyed list declare stands where the table has its row for it. */
static void add_facts(struct build *b, const char *path, const struct item *item, const struct zone_result *zone,
	const struct check_result *check)
{
	const char *lead = arena_format(b->arena, "%s.", path);
	if (zone)
		add_declared(b, zone->zone->asks, zone->zone->ask_count, item, lead, "facts.",
			arena_format(b->arena, "zones.%s.facts", zone->zone->note.id));
	if (check)
		add_declared(b, check->check->asks, check->check->ask_count, item, lead, "facts.",
			arena_format(b->arena, "checks.%s.facts", check->check->note.id));
}

/* All fields of one item in the order of the table; `item` NULL: it is not on record yet. */
static void add_item(struct build *b, size_t index, const struct item *item, const char *path,
	const struct zone_result *zone, const struct check_result *check)
{
	static const struct item NOTHING = {.id = ""};
	const char *list = FIELD_LISTS[index].path;
	size_t n = strlen(list), first = b->out->count;
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *field = &FIELDS[i];
		if (strncmp(field->path, list, n) != 0 || strncmp(field->path + n, "[].", 3) != 0)
			continue;
		const char *key = field->path + n + 3;
		if (field->flags & FIELD_DECLARED)
			add_facts(b, path, item ? item : &NOTHING, zone, check);
		else if (!strstr(key, "[].") && !text_equal(key, "id"))
			add_row(b, field, arena_format(b->arena, "%s.%s", path, key),
				item_fact(item ? item : &NOTHING, key));
	}
	for (size_t i = 0; item && i < FIELD_LIST_COUNT; i++)
		if (strncmp(FIELD_LISTS[i].path, list, n) == 0 && strncmp(FIELD_LISTS[i].path + n, "[].", 3) == 0)
			add_list(b, i, item);
	for (size_t i = first; i < b->out->count; i++) {
		b->out->asks[i].zone = zone;
		b->out->asks[i].check = check;
	}
}

/* Path of the list as a record has it: "functions[stop].subsystems". */
static const char *list_path(struct build *b, const char *table_path, const struct item *owner)
{
	const char *inner = owner ? strstr(table_path, "[].") : NULL;
	return inner ? arena_format(b->arena, "%.*s[%s].%s", (int)(inner - table_path), table_path,
			       owner->id, inner + 3)
		     : table_path;
}

/* A planned point that nobody has measured stands where it is planned. */
static void add_points(struct build *b, size_t index)
{
	const struct assessment *r = b->job->assessment;
	for (size_t i = 0; i < r->point_count; i++) {
		const struct point_result *p = &r->points[i];
		size_t first = b->out->count;
		if (p->entry) {
			add_item(b, index, p->entry, item_path(b->arena, "force.points", p->entry), NULL, NULL);
		} else {
			struct ask *ask = add(b, ASK_POINT, arena_format(b->arena, "force.points[%s]", p->id));
			ask->open = true;
		}
		for (; first < b->out->count; first++)
			b->out->asks[first].point = p;
	}
}

static const struct function_result *missing_function(const struct build *b)
{
	const struct assessment *r = b->job->assessment;
	for (size_t i = 0; i < r->function_count; i++)
		if (r->functions[i].required && !r->functions[i].entry)
			return &r->functions[i];
	return NULL;
}

static void add_list(struct build *b, size_t index, const struct item *owner)
{
	const char *table_path = FIELD_LISTS[index].path, *path = list_path(b, table_path, owner);
	const struct item_list *list = record_list(b->job->record, table_path);
	size_t items = 0;
	for (size_t i = 0; i < list->count; i++) {
		const struct item *item = &list->items[i];
		if (item->owner != owner || !*item->id)
			continue;
		items++;
		add_item(b, index, item, item_path(b->arena, table_path, item), NULL, NULL);
	}
	bool required = FIELD_LISTS[index].required, unseen = required && !list->present;
	struct ask *ask = add(b, unseen ? ASK_LIST : ASK_MORE, path);
	ask->words = arena_format(b->arena, "fields.%s", table_path);
	ask->function = text_equal(table_path, "functions") ? missing_function(b) : NULL;
	ask->open = unseen || growing(b, path) || ask->function;
}

static void add_zones(struct build *b, size_t index)
{
	const struct assessment *r = b->job->assessment;
	for (size_t i = 0; i < r->zone_count; i++) {
		const struct zone_result *z = &r->zones[i];
		const char *path = arena_format(b->arena, "zones[%s]", z->key);
		size_t first = b->out->count;
		add_item(b, index, z->entry, path, z, NULL);
		if (first < b->out->count && text_ends(b->out->asks[first].path, ".as"))
			continue;
		/* Until it is said how the zone is answered, that alone is asked for. */
		struct ask *ask = add(b, ASK_VALUE, arena_format(b->arena, "%s.as", path));
		ask->field = field_find("zones[].as");
		ask->words = "fields.zones[].as";
		ask->zone = z;
		ask->open = z->outcome == OUTCOME_OPEN;
	}
}

static void add_checks(struct build *b, size_t index)
{
	const struct assessment *r = b->job->assessment;
	for (size_t i = 0; i < r->check_count; i++) {
		const struct check_result *check = &r->checks[i];
		const char *path = arena_format(b->arena, "checks[%s]", check->check->note.id);
		size_t first = b->out->count;
		if (check->outcome == OUTCOME_ABSENT && !check->entry)
			continue;
		add_item(b, index, check->entry, path, NULL, check);
		if (first < b->out->count && text_ends(b->out->asks[first].path, ".outcome"))
			continue;
		struct ask *ask = add(b, ASK_VALUE, arena_format(b->arena, "%s.outcome", path));
		ask->field = field_find("checks[].outcome");
		ask->words = "fields.checks[].outcome";
		ask->check = check;
		ask->open = check->outcome == OUTCOME_OPEN;
	}
}

static void add_dimensions(struct build *b)
{
	const struct record *r = b->job->record;
	if (r->type)
		add_declared(b, r->type->dimensions, r->type->dimension_count, &r->root, "", "gate.dimensions.",
			arena_format(b->arena, "types.%s.dimensions", r->type->note.id));
}

static void add_named(struct build *b, const char *name)
{
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++) {
		if (!text_equal(FIELD_LISTS[i].path, name))
			continue;
		if (text_equal(name, "zones"))
			add_zones(b, i);
		else if (text_equal(name, "checks"))
			add_checks(b, i);
		else if (text_equal(name, "force.points"))
			add_points(b, i);
		else
			add_list(b, i, NULL);
		return;
	}
	const struct field *field = field_find(name);
	if (text_equal(name, "gate.dimensions"))
		add_dimensions(b);
	else if (field)
		add_row(b, field, name, record_fact(b->job->record, name));
}

void agenda_build(struct arena *a, const struct job *job, const struct agenda_memory *memory, struct agenda *out)
{
	struct build b = {.arena = a, .job = job, .memory = memory, .out = out};
	*out = (struct agenda){NULL, 0, 0};
	gather_wanting(&b);
	for (size_t i = 0; i < job->library->legs_count; i++) {
		b.leg = &job->library->legs[i];
		for (size_t k = 0; k < b.leg->asks.count; k++)
			add_named(&b, b.leg->asks.items[k]);
		if (b.leg->shows && text_equal(b.leg->shows, "plan"))
			add(&b, ASK_PLAN, "gate")->open = memory->plan_due;
	}
}

size_t agenda_open(const struct agenda *agenda, size_t from)
{
	while (from < agenda->count && !agenda->asks[from].open)
		from++;
	return from;
}

size_t agenda_find(const struct agenda *agenda, enum ask_kind kind, const char *path)
{
	size_t at = 0;
	while (at < agenda->count && (agenda->asks[at].kind != kind || !text_equal(agenda->asks[at].path, path)))
		at++;
	return at;
}
