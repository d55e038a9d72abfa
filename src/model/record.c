#include "model/record.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static const struct fact ABSENT = {.state = FACT_ABSENT, .text = ""};

static int compare_key(const void *key, const void *entry)
{
	return strcmp(key, ((const struct fact_entry *)entry)->key);
}

const struct fact *item_fact(const struct item *item, const char *key)
{
	if (!item || !item->count)
		return &ABSENT;
	const struct fact_entry *e =
		bsearch(key, item->facts, item->count, sizeof *item->facts, compare_key);
	return e ? &e->fact : &ABSENT;
}

const struct fact *record_fact(const struct record *r, const char *path)
{
	return item_fact(&r->root, path);
}

const struct item_list *record_list(const struct record *r, const char *path)
{
	for (size_t i = 0; i < r->list_count; i++)
		if (text_equal(r->lists[i].path, path))
			return &r->lists[i];
	return NULL;
}

const struct item *list_item(const struct item_list *list, const char *id)
{
	for (size_t i = 0; list && i < list->count; i++)
		if (text_equal(list->items[i].id, id))
			return &list->items[i];
	return NULL;
}

char *item_path(struct arena *a, const char *list_path, const struct item *item)
{
	const char *inner = item->owner ? strstr(list_path, "[].") : NULL;
	if (!inner)
		return arena_format(a, "%s[%s]", list_path, item->id);
	return arena_format(a, "%.*s[%s].%s[%s]", (int)(inner - list_path), list_path, item->owner->id, inner + 3,
		item->id);
}

const struct item *record_item(const struct record *r, const char *path, const char *id)
{
	return list_item(record_list(r, path), id);
}

bool fact_given(const struct fact *f)
{
	return f->state == FACT_GIVEN;
}

const char *fact_text(const struct fact *f)
{
	return fact_given(f) ? f->text : "";
}

bool fact_is(const struct fact *f, const char *word)
{
	return fact_given(f) && text_equal(f->text, word);
}

bool fact_has(const struct fact *f, const char *word)
{
	for (size_t i = 0; fact_given(f) && i < f->count; i++)
		if (text_equal(f->list[i], word))
			return true;
	return false;
}

static struct value list_value(const struct fact *f)
{
	return (struct value){.kind = VALUE_LIST, .list = f->list, .count = f->count};
}

static bool is_list(enum field_kind kind)
{
	return kind == FIELD_WORDS || kind == FIELD_EVIDENCE || kind == FIELD_FILES;
}

struct value fact_value(const struct fact *f)
{
	if (f->state == FACT_NONE)
		return is_list(f->kind) ? (struct value){.kind = VALUE_LIST} : value_of_word("none");
	if (!fact_given(f))
		return value_unknown();
	switch (f->kind) {
	case FIELD_QUANTITY:
	case FIELD_COUNT:
		return value_of_quantity(f->quantity);
	case FIELD_DATE:
		return value_of_date(f->date);
	case FIELD_TRUTH:
		return value_of_truth(f->truth == TRUTH_YES);
	case FIELD_WORDS:
	case FIELD_EVIDENCE:
	case FIELD_FILES:
		return list_value(f);
	case FIELD_TEXT:
	case FIELD_WORD:
	case FIELD_ID:
	case FIELD_FILE:
	case FIELD_SHA256:
		break;
	}
	return value_of_word(f->text);
}

static const char *list_shown(struct arena *a, const struct fact *f)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < f->count; i++)
		buf_format(&b, "%s%s", i ? ", " : "", f->list[i]);
	return b.bytes;
}

const char *fact_shown(struct arena *a, const struct fact *f)
{
	switch (f->state) {
	case FACT_ABSENT:
		return "";
	case FACT_UNKNOWN:
		return "?";
	case FACT_NONE:
		return "none";
	case FACT_NOT_APPLICABLE:
		return arena_format(a, "n/a: %s", f->text);
	case FACT_GIVEN:
		break;
	}
	if (f->kind == FIELD_QUANTITY || f->kind == FIELD_COUNT)
		return quantity_text(a, f->quantity);
	return is_list(f->kind) ? list_shown(a, f) : f->text;
}
