#include "out/put.h"

#include <math.h>

#include "base/text.h"

static void drop(void *json)
{
	json_decref(json);
}

json_t *out_root(struct arena *a, json_t *json)
{
	if (!json)
		arena_exhausted(a);
	arena_defer(a, drop, json);
	return json;
}

void out_put(struct arena *a, json_t *object, const char *key, json_t *value)
{
	if (!value || json_object_set_new(object, key, value))
		arena_exhausted(a);
}

void out_text(struct arena *a, json_t *object, const char *key, const char *text)
{
	out_put(a, object, key, text ? json_string(text) : json_null());
}

void out_number(struct arena *a, json_t *object, const char *key, double value, int decimals)
{
	double rounded = value;
	text_scan(text_fixed(a, value, decimals), &rounded);
	out_put(a, object, key, isfinite(value) ? json_real(rounded) : json_null());
}

void out_exact(struct arena *a, json_t *object, const char *key, double value)
{
	out_put(a, object, key, isfinite(value) ? json_real(value) : json_null());
}

json_t *out_list(struct arena *a, json_t *object, const char *key)
{
	out_put(a, object, key, json_array());
	return json_object_get(object, key);
}

json_t *out_object(struct arena *a, json_t *list)
{
	if (json_array_append_new(list, json_object()))
		arena_exhausted(a);
	return json_array_get(list, json_array_size(list) - 1);
}

json_t *out_object_at(struct arena *a, json_t *object, const char *key)
{
	out_put(a, object, key, json_object());
	return json_object_get(object, key);
}

void out_word(struct arena *a, json_t *list, const char *text)
{
	if (json_array_append_new(list, json_string(text)))
		arena_exhausted(a);
}

/* Into room measured before: where the library itself makes the room, it leaves out a key that finds no
 * memory, and says nothing. */
char *out_dump(struct arena *a, const json_t *json)
{
	const size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(12);
	size_t length = json_dumpb(json, NULL, 0, flags);
	if (!length)
		arena_exhausted(a);
	char *text = arena_alloc(a, length + 2);
	if (json_dumpb(json, text, length, flags) != length)
		arena_exhausted(a);
	text[length] = '\n';
	return text;
}
