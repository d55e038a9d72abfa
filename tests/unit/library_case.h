/* The cases of tests/library, as its README describes them. */
#ifndef LIBRARY_CASE_H
#define LIBRARY_CASE_H

#include "library_gate.h"

struct cases {
	struct workshop shop;
	const struct node **zones, **measures; /* items of the groups of those names, of all files */
	size_t zone_count, measure_count;
};

/* Reads records and cases. A key that is not known ends the test, and so does a name that the library has not. */
void cases_open(struct cases *c);
void cases_close(struct cases *c);

/* The case of that measure, or NULL. */
const struct node *cases_measure(const struct cases *c, const char *id);

/* A record that the zone's case names, counted from 0; where it names none, one that has the zone as it is. NULL after
 * the last. */
const struct gate_record *case_record(const struct cases *c, const struct node *zone_case, size_t number);

/* A list under `key`; one entry for anything else there; none where there is nothing. */
size_t case_list(const struct node *map, const char *key, const struct node *const **items);
bool case_has(const struct node *map, const char *key, const char *word);

/* "file:line" for messages. */
const char *case_place(struct gate *g, const struct node *n);

/* Keys of the record's zones of that id, as it is, in the room of the gate; of found ones those of the pair `at`. */
size_t case_keys(struct gate *g, const char *zone, const char *at, const char *const **keys);

/* Whether `b` comes after `a` at once: words and what is not there differ anyhow, quantities by 2 % or 1 mm at most,
 * counts by 1. */
bool case_near(const struct node *a, const struct node *b);

#endif
