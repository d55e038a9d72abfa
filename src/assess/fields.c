/* Required fields: whether everything that must be on record is. */
#include "assess/context.h"

#include <string.h>

#include "model/field.h"

/* The place of the fact that shares the longest run of path with `path`, so that a message about
 * something missing points into the right section. */
static struct place nearest(const struct record *r, const char *path)
{
	struct place at = r->root.at;
	size_t best = 0;
	for (size_t i = 0; i < r->root.count; i++) {
		const struct fact_entry *e = &r->root.facts[i];
		size_t shared = 0;
		for (size_t k = 0; path[k] && path[k] == e->key[k]; k++)
			if (path[k] == '.')
				shared = k + 1;
		if (shared > best || (shared && shared == best && e->fact.at.line > at.line)) {
			best = shared;
			at = e->fact.at;
		}
	}
	return at;
}

/* A value that could not be read is told by the loader, and is not also unknown. */
static bool unreadable(const struct context *c, const struct fact *f)
{
	for (size_t i = 0; f->state == FACT_UNKNOWN && i < c->findings->count; i++) {
		const struct finding *said = c->findings->items[i];
		if (finding_level(said->code) == FINDING_INPUT && said->at.line == f->at.line &&
			said->at.column == f->at.column && text_equal(said->at.file, f->at.file))
			return true;
	}
	return false;
}

static void judge(struct context *c, const struct fact *f, unsigned flags, const char *subject,
	const char *help_path, struct place parent)
{
	static const enum finding_code CODES[] = {
		[FACT_ABSENT] = FINDING_CODE_FIELD_MISSING,
		[FACT_UNKNOWN] = FINDING_CODE_FIELD_UNKNOWN,
		[FACT_NONE] = FINDING_CODE_FIELD_NO_ANSWER,
		[FACT_NOT_APPLICABLE] = FINDING_CODE_FIELD_NO_ANSWER,
	};
	if (f->state == FACT_GIVEN || (f->state == FACT_NONE && flags & FIELD_NONE_OK) ||
		(f->state == FACT_NOT_APPLICABLE && flags & FIELD_NA_OK) || unreadable(c, f))
		return;
	struct finding *p = point_out(c, CODES[f->state], subject,
		f->state == FACT_ABSENT ? parent : f->at);
	with(c, p, "path", subject);
	with(c, p, "field", help_path);
	with(c, p, "written", fact_shown(c->arena, f));
	way_value(c, way_out(c, p, "enter"), "path", subject);
}

static const struct rule *condition(struct context *c, const struct field *field)
{
	if (!field->when)
		return NULL;
	return rule_compile(c->arena, field->when, (struct place){"field table", 1, 1}, NULL, c->findings);
}

/* Until it is said how a zone is answered, or how a check came out, that alone is asked for. */
static bool begun(const char *list_path, const struct item *item)
{
	if (text_equal(list_path, "zones"))
		return fact_given(item_fact(item, "as"));
	if (text_equal(list_path, "checks"))
		return fact_given(item_fact(item, "outcome"));
	return true;
}

static void judge_list(struct context *c, const struct field *field, const char *brackets)
{
	const char *list_path = arena_copy(c->arena, field->path, (size_t)(brackets - field->path));
	const char *key = brackets + strlen("[].");
	const struct item_list *list = record_list(c->record, list_path);
	const struct rule *when = condition(c, field);
	for (size_t i = 0; list && i < list->count; i++) {
		const struct item *item = &list->items[i];
		if (!begun(list_path, item))
			continue;
		struct scope scope = {.prefix = "item", .item = item, .key_prefix = "", .outer = c->scope};
		c->scope = &scope;
		bool due = !when || context_holds(c, when);
		c->scope = scope.outer;
		if (due && !text_equal(key, "id"))
			judge(c, item_fact(item, key), field->flags,
				arena_format(c->arena, "%s.%s", item_path(c->arena, list_path, item), key), field->path,
				item->at);
	}
}

static void judge_declared(struct context *c, const struct lib_field *asks, size_t count,
	const struct item *item, const char *key_prefix, const char *subject, const char *help)
{
	for (size_t i = 0; i < count; i++) {
		if (asks[i].when && !context_holds(c, asks[i].when))
			continue;
		const char *key = arena_format(c->arena, "%s%s", key_prefix, asks[i].id);
		struct place parent = item == &c->record->root ? nearest(c->record, key) : item->at;
		judge(c, item_fact(item, key), FIELD_ALWAYS,
			arena_format(c->arena, "%s%s%s", subject, *subject ? "." : "", key),
			asks[i].words ? asks[i].words : arena_format(c->arena, "%s.%s", help, asks[i].id), parent);
	}
}

static void judge_zones(struct context *c)
{
	for (size_t i = 0; i < c->result->zone_count; i++) {
		const struct zone_result *z = &c->result->zones[i];
		if (!z->entry || !begun("zones", z->entry))
			continue;
		c->zone = z;
		judge_declared(c, z->zone->asks, z->zone->ask_count, z->entry, "facts.",
			arena_format(c->arena, "zones[%s]", z->key),
			arena_format(c->arena, "zones.%s.facts", z->zone->note.id));
		c->zone = NULL;
	}
}

static void judge_checks(struct context *c)
{
	const struct item_list *checks = record_list(c->record, "checks");
	for (size_t i = 0; i < checks->count; i++) {
		const struct item *entry = &checks->items[i];
		const struct lib_check *check = library_check(c->library, entry->id);
		if (!check || !begun("checks", entry))
			continue;
		struct scope scope = {.prefix = "check", .item = entry, .key_prefix = "facts.", .outer = c->scope};
		c->scope = &scope;
		judge_declared(c, check->asks, check->ask_count, entry, "facts.",
			arena_format(c->arena, "checks[%s]", entry->id),
			arena_format(c->arena, "checks.%s.facts", entry->id));
		c->scope = scope.outer;
	}
}

static void judge_lists(struct context *c)
{
	for (size_t i = 0; i < FIELD_LIST_COUNT; i++) {
		const struct item_list *list = record_list(c->record, FIELD_LISTS[i].path);
		if (!FIELD_LISTS[i].required || list->present)
			continue;
		struct finding *f = point_out(c, FINDING_CODE_LIST_MISSING, FIELD_LISTS[i].path, list->at);
		with(c, f, "path", FIELD_LISTS[i].path);
		way_value(c, way_out(c, f, "enter"), "path", FIELD_LISTS[i].path);
	}
}

void assess_fields(struct context *c)
{
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *field = &FIELDS[i];
		bool written = field->flags & FIELD_WRITTEN &&
			record_fact(c->record, field->path)->state != FACT_ABSENT;
		if (!(field->flags & FIELD_ALWAYS) && !written)
			continue;
		const char *brackets = field_brackets(field->path);
		if (brackets) {
			judge_list(c, field, brackets);
			continue;
		}
		const struct rule *when = condition(c, field);
		if (!when || context_holds(c, when))
			judge(c, record_fact(c->record, field->path), field->flags, field->path, field->path,
				nearest(c->record, field->path));
	}
	if (c->record->type)
		judge_declared(c, c->record->type->dimensions, c->record->type->dimension_count,
			&c->record->root, "gate.dimensions.", "",
			arena_format(c->arena, "types.%s.dimensions", c->record->type->note.id));
	judge_lists(c);
	judge_zones(c);
	judge_checks(c);
}
