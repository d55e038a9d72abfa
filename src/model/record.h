/* The record of one gate: everything known about it, as typed, with the place of each value.
 *
 * A record is a root item (facts by full path, "drive.thrust") and lists of items with ids
 * ("devices", "gate.leaves", "control.inputs"; "zones" and "checks", which are maps keyed by id). A list inside
 * the items of another ("functions[].subsystems") holds those of all of them, each with its owner. */
#ifndef MODEL_RECORD_H
#define MODEL_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/finding.h"
#include "base/quantity.h"
#include "rule/rule.h"

/* Principle: unknown is never a pass. `?` and `unknown` are FACT_UNKNOWN, `none` is FACT_NONE (looked,
 * none there), `n/a: reason` is FACT_NOT_APPLICABLE with `text` the reason. */
enum fact_state { FACT_ABSENT, FACT_UNKNOWN, FACT_NONE, FACT_NOT_APPLICABLE, FACT_GIVEN };

enum field_kind {
	FIELD_TEXT,     /* free text */
	FIELD_WORD,     /* one of the choices */
	FIELD_QUANTITY, /* number with unit, may carry doubt */
	FIELD_COUNT,    /* whole number */
	FIELD_DATE,
	FIELD_TRUTH,    /* yes or no */
	FIELD_ID,       /* id of something: [a-z][a-z0-9-]*, may carry @id */
	FIELD_WORDS,    /* list of words, each one of the choices when there are choices */
	FIELD_EVIDENCE, /* list of paper:ID photo:ID point:ID check:ID function:ID; a scalar is a list of one */
	FIELD_FILE,     /* path inside the job folder */
	FIELD_FILES,    /* list of paths inside the job folder, each may end in #column */
	FIELD_SHA256,
};

struct field;

struct fact {
	enum fact_state state;
	const char *text;          /* as written, or the reason of n/a; never NULL */
	struct quantity quantity;  /* FIELD_QUANTITY, FIELD_COUNT */
	struct date date;
	enum truth truth;          /* FIELD_TRUTH */
	const char *const *list;   /* FIELD_WORDS, _EVIDENCE, _FILES */
	const struct place *list_at;
	size_t count;
	struct place at;           /* of the value; of the parent when absent */
	enum field_kind kind;
};

struct fact_entry {
	const char *key;
	struct fact fact;
};

struct item {
	const char *id;            /* never NULL; "" for the root */
	const struct item *owner;  /* the item that its list lies in ("functions[].subsystems"), or NULL */
	struct place at;
	struct fact_entry *facts;  /* sorted by key */
	size_t count;
};

struct item_list {
	const char *path;
	struct place at;
	bool present;
	struct item *items;        /* in the order written */
	size_t count;
};

struct record {
	const char *file;          /* as named to the user */
	const char *text;          /* the bytes read, for the appendix; NUL-terminated */
	size_t length;
	const char *digest;        /* SHA-256 in hex of those bytes */
	struct item root;
	struct item_list *lists;   /* one for each list of the field table, in its order */
	size_t list_count;
	const struct lib_type *type; /* NULL when gate.type is absent or unknown */
};

/* Never NULL: an absent fact when there is none. */
const struct fact *item_fact(const struct item *item, const char *key);
const struct fact *record_fact(const struct record *r, const char *path);

/* Never NULL for a path of the field table, else NULL. */
const struct item_list *record_list(const struct record *r, const char *path);

/* The item with that id, or NULL. */
const struct item *record_item(const struct record *r, const char *path, const char *id);
const struct item *list_item(const struct item_list *list, const char *id);

/* "functions[stop].subsystems[relay]" for an item of the list called `list_path`. */
char *item_path(struct arena *a, const char *list_path, const struct item *item);

bool fact_given(const struct fact *f);
/* The text when given, else "". */
const char *fact_text(const struct fact *f);
bool fact_is(const struct fact *f, const char *word); /* given and its text equals `word` */
bool fact_has(const struct fact *f, const char *word); /* given and its list holds `word` */
/* For conditions: unknown unless given; `none` is the word 'none', an empty list for lists. */
struct value fact_value(const struct fact *f);
/* As people read it: quantities normalised with their doubt, lists joined by ", ". */
const char *fact_shown(struct arena *a, const struct fact *f);

#endif
