/* The constant table of record fields. It drives reading, validation, help and the reference in docs/.
 * Names, help and sources are words: templates/<language>/fields.yaml, keyed by path. */
#ifndef MODEL_FIELD_H
#define MODEL_FIELD_H

#include "model/record.h"

enum field_flag {
	FIELD_ALWAYS = 1,   /* required, unless `when` is given and does not hold */
	FIELD_NONE_OK = 2,  /* `none` answers it */
	FIELD_NA_OK = 4,    /* `n/a: reason` answers it */
	FIELD_DECLARED = 8, /* path ends in ".*": the key is declared by the library (dimensions, zone facts) */
	FIELD_WRITTEN = 16, /* may be left out; once it is written it has to be answered */
};

struct field {
	const char *path;    /* "drive.thrust", "devices[].maker", "zones[].facts.*" */
	enum field_kind kind;
	const struct dimension *dim; /* FIELD_QUANTITY */
	const char *choices; /* "a|b|c" for FIELD_WORD and FIELD_WORDS; NULL: any */
	const char *low, *high; /* range, as written in a record ("1 mm"); NULL: none */
	unsigned flags;
	const char *when;    /* condition under which it is required; names: the record's paths, and the
	                        item's own keys behind "item." */
};

struct field_list {
	const char *path;    /* "devices", "control.inputs", "functions[].subsystems" */
	bool keyed;          /* a map keyed by id instead of a list with ids */
	bool required;       /* must be present (an explicit empty list `[]` or `none` counts) */
};

extern const struct field FIELDS[];
extern const size_t FIELD_COUNT_ALL;
extern const struct field_list FIELD_LISTS[];
extern const size_t FIELD_LIST_COUNT;

/* Where the last "[]." of a path begins: what stands before it is its list, behind it its key. NULL: none. */
const char *field_brackets(const char *path);

/* The row for a full path ("drive.thrust", "devices[].maker"); declared rows match by prefix. NULL: none. */
const struct field *field_find(const char *path);

#endif
