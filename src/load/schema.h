/* The rows of the field table that belong together: the root's, or those of the items of one list.
 */
#ifndef LOAD_SCHEMA_H
#define LOAD_SCHEMA_H

#include "load/fact.h"

struct schema_row {
	const char *key; /* path within the root or the item: "drive.thrust", "maker" */
	struct fact_spec spec;
};

struct schema {
	struct schema_row *rows; /* sorted by key */
	size_t count;
	const char *list;     /* as given to schema_of() */
	const char *declared; /* "gate.dimensions.", "facts."; NULL: no keys are declared here */
};

/* `list`: path of a list of the field table, or NULL for the root. */
struct schema schema_of(struct arena *a, const char *list);

/* Index of the row with this key, or `count`. */
size_t schema_find(const struct schema *s, const char *key);

/* The index in FIELD_LISTS of the list `key` inside the items of this one, or FIELD_LIST_COUNT. */
size_t schema_inner_list(const struct schema *s, const char *key);

/* Whether some row or list lies below `path`. */
bool schema_section(const struct schema *s, const char *path, bool root);

/* The keys that may stand directly below `path` ("" for the top). */
struct choices schema_keys(struct arena *a, const struct schema *s, const char *path, bool root);

/* Index in FIELD_LISTS, or FIELD_LIST_COUNT. */
size_t schema_list(const char *path);

#endif
