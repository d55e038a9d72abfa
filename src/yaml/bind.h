/* From nodes of a tree to values, with findings that say what would have been valid. Used by every
 * loader, so that the same slip gets the same words in a record and in the library.
 *
 * Each bind_… function that returns bool leaves its outputs untouched and adds a finding when it
 * returns false. `path` is the path in the data, the subject of the finding. */
#ifndef YAML_BIND_H
#define YAML_BIND_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/date.h"
#include "base/finding.h"
#include "base/quantity.h"
#include "yaml/tree.h"

struct bind {
	struct arena *arena;
	struct arena *paths; /* for what bind_path() and bind_entry() give; NULL: `arena`. Findings keep copies. */
	struct findings *findings;
	size_t guesses; /* made so far; bounded, since a guess looks at every candidate */
};

/* Words to choose from. */
struct choices {
	const char *const *items;
	size_t count;
};

/* The parts of "a|b|c"; none for NULL. */
struct choices choices_split(struct arena *a, const char *joined);
bool choices_have(struct choices c, const char *word);

/* "parent.key", or "key" when `parent` is empty. */
const char *bind_path(struct bind *b, const char *parent, const char *key);
/* "parent[id]", or "parent[3]" (counted from 1) for the entry with index 2 without an id. */
const char *bind_entry(struct bind *b, const char *parent, const char *id, size_t index);

/* Data as messages show it: control characters harmless, cut after 60 characters. */
const char *bind_found(struct bind *b, const char *text);

/* A finding; what it says is copied into the arena of the findings, which may outlive the tree. */
struct finding *bind_report(
	struct bind *b, enum finding_code code, const char *path, struct place at);
/* Gives it a value, or a number. Both return `f`. */
struct finding *bind_with(struct bind *b, struct finding *f, const char *name, const char *value);
struct finding *bind_with_count(struct bind *b, struct finding *f, const char *name, size_t count);

/* The same with the value "found", as messages show data. */
struct finding *bind_refuse(struct bind *b, enum finding_code code, const char *path,
	struct place at, const char *found);

/* Nothing was written: `key:`, `key: ~`, `key: null`. */
bool bind_empty(const struct node *n);

/* Keys that begin with "x-" are the user's own and never looked at. */
bool bind_own_key(const char *key);

/* What is expected, for people: "a text", "yes or no". */
bool bind_scalar(struct bind *b, const struct node *n, const char *path, const char *expected);
bool bind_map(struct bind *b, const struct node *n, const char *path, const char *expected);
bool bind_list(struct bind *b, const struct node *n, const char *path, const char *expected);

/* The value under `key`; a finding and NULL when it is absent or empty. */
const struct node *bind_required(
	struct bind *b, const struct node *map, const char *path, const char *key);

/* Adds a finding for a key (or an id) that is not among `known`, with the one that may be meant. */
void bind_unknown(struct bind *b, enum finding_code code, const char *path, struct place at,
	const char *key, struct choices known);

/* One of `known`; any text when there are none. */
bool bind_choice(
	struct bind *b, const char *text, const char *path, struct place at, struct choices known);

/* `low` and `high`: NULL for no bound; the nominal value is compared. */
bool bind_quantity(struct bind *b, const struct node *n, const char *path, struct dimension dim,
	const struct quantity *low, const struct quantity *high, struct quantity *out);

/* A whole number without a unit. */
bool bind_count(struct bind *b, const struct node *n, const char *path, const struct quantity *low,
	const struct quantity *high, struct quantity *out);

bool bind_date(struct bind *b, const struct node *n, const char *path, struct date *out);

/* yes or no, and nothing else. */
bool bind_truth(struct bind *b, const struct node *n, const char *path, bool *out);

/* [a-z][a-z0-9-]*, or several of these, each two joined by a character of `joints`, another each time. */
bool id_valid(const char *text, const char *joints);
bool bind_id(
	struct bind *b, const char *text, const char *path, struct place at, const char *joints);

#endif
