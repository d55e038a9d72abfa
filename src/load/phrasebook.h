/* Words for people from the files of templates/<language>/. */
#ifndef LOAD_PHRASEBOOK_H
#define LOAD_PHRASEBOOK_H

#include "model/phrase.h"
#include "yaml/tree.h"

/* Adds one file to `b`, which begins zeroed. A name that ends in .md is a document, kept as it is.
 * Any other is YAML: groups of words, flattened to "group.id.part". A file called findings.yaml
 * without a group `findings` is that group itself. Every text must be well formed, and in YAML
 * every "{{" must begin a placeholder. `file` is kept, for places; `bytes` need not outlive the
 * call. false, after findings, when something in the file was not taken. */
bool phrasebook_add(struct arena *a, struct phrasebook *b, const char *bytes, size_t length,
	const char *file, struct findings *f);

/* The same from the tree of a YAML file, whose texts are kept. */
bool phrasebook_add_tree(struct arena *a, struct phrasebook *b, const struct node *root,
	struct findings *f);

/* Sorts, reports keys and documents that were given twice (the first one stays), and makes ready
 * for looking up. */
void phrasebook_finish(struct arena *a, struct phrasebook *b, struct findings *f);

#endif
