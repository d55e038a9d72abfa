/* Explaining a word from the field table, the library and the catalogue of findings. */
#ifndef WORK_EXPLAIN_H
#define WORK_EXPLAIN_H

#include "model/explained.h"
#include "model/library.h"
#include "model/phrase.h"

/* Everything called `word`; an empty list when nothing is. `*closest` is then what may have been meant, or
 * NULL. */
struct explained_list explain_word(struct arena *a, const struct library *library,
	const struct phrasebook *words, const char *word, const char **closest);

/* The pocket book: all computations, by family ("family" lines say where one begins); or the one called `name`
 * with its keys, results, range and an example; an empty list when there is none. */
struct explained_list explain_reckoners(struct arena *a, const struct phrasebook *words, const char *name);

#endif
