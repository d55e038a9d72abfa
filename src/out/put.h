/* Building JSON: every value that finds no memory ends in arena_exhausted(). Private to `out`. */
#ifndef OUT_PUT_H
#define OUT_PUT_H

#include <jansson.h>

#include "base/arena.h"
#include "base/finding.h"
#include "model/phrase.h"

/* Roots are dropped with the arena; what is put into them belongs to them. */
json_t *out_root(struct arena *a, json_t *json);
void out_put(struct arena *a, json_t *object, const char *key, json_t *value);
void out_text(struct arena *a, json_t *object, const char *key, const char *text); /* NULL: null */
/* Rounded to `decimals`: to what a person could use, so that the text of a double stays short. No number: null. */
void out_number(struct arena *a, json_t *object, const char *key, double value, int decimals);
/* A number as it is, to twelve digits. */
void out_exact(struct arena *a, json_t *object, const char *key, double value);
json_t *out_list(struct arena *a, json_t *object, const char *key);
json_t *out_object(struct arena *a, json_t *list);
json_t *out_object_at(struct arena *a, json_t *object, const char *key);
void out_word(struct arena *a, json_t *list, const char *text);

/* "findings": a list of all of them, with ways, source and place. */
void out_findings(struct arena *a, json_t *to, const struct findings *findings, const struct phrasebook *words);

/* The text, ended by a line end. */
char *out_dump(struct arena *a, const json_t *json);

#endif
