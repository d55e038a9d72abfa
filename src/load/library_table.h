/* How the entries of each group of the library are written: one row a key. Internal to load/library*.c. */
#ifndef LOAD_LIBRARY_TABLE_H
#define LOAD_LIBRARY_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/quantity.h"
#include "model/library.h"
#include "yaml/tree.h"

enum lib_group_id {
	GROUP_TYPES,
	GROUP_ZONES,
	GROUP_MEASURES,
	GROUP_LIMITS,
	GROUP_GRIDS,
	GROUP_DEFINITIONS,
	GROUP_PROTECTION,
	GROUP_ACTIVATIONS,
	GROUP_PLANS,
	GROUP_CHECKS,
	GROUP_INPUT_RULES,
	GROUP_CAUSES,
	GROUP_FUNCTIONS,
	GROUP_PARTS,
	GROUP_REQUIREMENTS,
	GROUP_STANDARDS,
	GROUP_REGIMES,
	GROUP_TASKS,
	GROUP_LEGS,
	GROUP_HEADERS,
	GROUP_READINGS,
	GROUP_COUNT,
};

/* What a text must name, beyond the groups. */
enum { REFERS_NOTHING = 0, REFERS_FIELD = GROUP_COUNT + 1, REFERS_ANY_ENTRY };
#define REFERS(group) ((group) + 1)

enum lib_row_kind {
	ROW_TEXT,     /* const char * */
	ROW_WORD,     /* const char *, one of the choices */
	ROW_WORDS,    /* struct words, each one of the choices when there are some */
	ROW_TRUTH,    /* bool, yes or no */
	ROW_FLAG,     /* bool: true when the second of the two choices is written */
	ROW_NUMBER,   /* double */
	ROW_QUANTITY, /* struct quantity of `dim` */
	ROW_DATE,     /* struct date */
	ROW_STANDING, /* enum standing */
	ROW_DIMENSION, /* struct dimension, by name */
	ROW_RULE,     /* const struct rule * */
	ROW_RULES,    /* const struct rule **, with a count */
	ROW_POINT,    /* const struct rule *[2] */
	ROW_POINTS,   /* const struct rule *(*)[2], with a count */
	ROW_FIELDS,   /* struct lib_field *, with a count */
	ROW_ITEMS,    /* of `table`, with a count */
	ROW_OTHER,    /* looked at by the table's `complete` */
};

struct lib_reader;
struct lib_table;

struct lib_row {
	const char *key;
	enum lib_row_kind kind;
	size_t at, count_at;         /* offsets in the struct of the entry */
	bool required;
	const char *choices;         /* "a|b" */
	const char *field;           /* row of the field table whose choices apply */
	int refers;                  /* REFERS(group), REFERS_FIELD, … */
	const struct dimension *dim;
	const struct lib_table *table;
};

struct lib_table {
	const struct lib_row *rows;
	size_t count;
	size_t size;     /* of the struct */
	size_t place_at; /* offset of its struct place; TABLE_NO_PLACE: it has none */
	/* What rows cannot say. */
	void (*complete)(struct lib_reader *r, const struct node *n, const char *path, void *out);
};

#define TABLE_NO_PLACE ((size_t)-1)

struct lib_group {
	const char *name;            /* as in YAML */
	const struct lib_table *table;
	size_t at, count_at;         /* in struct library */
	bool noted;                  /* begins with a struct lib_note */
};

extern const struct lib_group LIB_GROUPS[GROUP_COUNT];
extern const struct lib_table LIB_FIELD_TABLE, LIB_LIMIT_ROW_TABLE;

/* A heading pattern before it is compiled. */
struct lib_header {
	struct lib_note note;
	const char *role, *pattern, *unit;
};

/* Named dimensions and kinds of `is:`. */
bool lib_dimension(const char *name, struct dimension *out);
const char *lib_dimension_names(void); /* "length|area|…" */

void library_complete_field(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_step(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_motion(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_body(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_type(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_zone(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_need(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_limit(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_grid(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_variant(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_header(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_part(struct lib_reader *r, const struct node *n, const char *path, void *out);
void library_complete_reading(struct lib_reader *r, const struct node *n, const char *path, void *out);

#endif
