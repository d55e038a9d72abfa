#include "base/finding.h"

#include <stdlib.h>
#include <string.h>

static const struct catalogue_row {
	const char *name;
	enum finding_level level;
} CATALOGUE[] = {
#define FINDING(name, text, level) {text, level},
#include "base/findings.def"
#undef FINDING
};

static const char *const LEVEL_NAMES[] = {"note", "open", "stop", "input"};
static const char *const STANDING_NAMES[] = {"published", "practice", "memory", "firm"};

void findings_init(struct findings *list, struct arena *a)
{
	memset(list, 0, sizeof *list);
	list->arena = a;
}

struct finding *finding_add(struct findings *list, enum finding_code code, const char *subject,
	struct place at)
{
	struct finding *f = arena_alloc(list->arena, sizeof *f);
	if (list->count == list->room) {
		size_t room = list->room ? list->room * 2 : 16;
		list->items = arena_grow(list->arena, list->items, list->count, room,
			sizeof *list->items);
		list->room = room;
	}
	f->code = code;
	f->subject = subject ? subject : "";
	f->at = at;
	f->order = list->count;
	list->items[list->count++] = f;
	return f;
}

static void append_value(struct arena *a, struct finding_value **to, const char *name,
	const char *value)
{
	struct finding_value *v = arena_alloc(a, sizeof *v);
	v->name = name;
	v->value = value ? value : "";
	while (*to)
		to = &(*to)->next;
	*to = v;
}

struct finding *finding_with(struct findings *list, struct finding *f, const char *name,
	const char *value)
{
	append_value(list->arena, &f->values, name, value);
	return f;
}

struct way *finding_way(struct findings *list, struct finding *f, const char *id)
{
	struct way *w = arena_alloc(list->arena, sizeof *w), **to = &f->ways;
	w->id = id;
	while (*to)
		to = &(*to)->next;
	return *to = w;
}

struct way *way_with(struct findings *list, struct way *w, const char *name, const char *value)
{
	append_value(list->arena, &w->values, name, value);
	return w;
}

void finding_source(struct finding *f, const char *source, enum standing standing)
{
	f->source = source;
	f->standing = standing;
}

const char *finding_name(enum finding_code code)
{
	return CATALOGUE[code].name;
}

enum finding_level finding_level(enum finding_code code)
{
	return CATALOGUE[code].level;
}

const char *finding_level_name(enum finding_level level)
{
	return LEVEL_NAMES[level];
}

const char *standing_name(enum standing s)
{
	return STANDING_NAMES[s];
}

enum finding_level findings_worst(const struct findings *list)
{
	enum finding_level worst = FINDING_NOTE;
	for (size_t i = 0; i < list->count; i++)
		if (finding_level(list->items[i]->code) > worst)
			worst = finding_level(list->items[i]->code);
	return worst;
}

size_t findings_count(const struct findings *list, enum finding_level level)
{
	size_t n = 0;
	for (size_t i = 0; i < list->count; i++)
		n += finding_level(list->items[i]->code) == level;
	return n;
}

static int compare(const void *x, const void *y)
{
	const struct finding *a = *(const struct finding *const *)x;
	const struct finding *b = *(const struct finding *const *)y;
	int level = (int)finding_level(b->code) - (int)finding_level(a->code);
	if (level)
		return level;
	int file = strcmp(a->at.file ? a->at.file : "", b->at.file ? b->at.file : "");
	if (file)
		return file;
	if (a->at.line != b->at.line)
		return a->at.line - b->at.line;
	if (a->at.column != b->at.column)
		return a->at.column - b->at.column;
	return (a->order > b->order) - (a->order < b->order);
}

void findings_sort(struct findings *list)
{
	if (list->count)
		qsort(list->items, list->count, sizeof *list->items, compare);
}

enum finding_code finding_named(const char *name)
{
	for (int i = 0; i < FINDING_CODE_COUNT; i++)
		if (strcmp(CATALOGUE[i].name, name) == 0)
			return (enum finding_code)i;
	return FINDING_CODE_COUNT;
}
