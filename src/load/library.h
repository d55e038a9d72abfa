/* The library from its files: first every file is added, then everything is resolved at once. */
#ifndef LOAD_LIBRARY_H
#define LOAD_LIBRARY_H

#include "model/library.h"
#include "yaml/tree.h"

enum {
	LIBRARY_NUMBER = 1,         /* of the form that this program reads */
	LIBRARY_ENTRIES_MAX = 4000, /* in all files together */
};

/* Adds one file to `l`, which begins zeroed: the shipped ones by name, then those of the overlay.
 * Entries are only collected; `file` is kept, `bytes` need not outlive the call. false, after
 * findings, when the file has no tree or is no library of this form; the other files can still be
 * added. */
bool library_add(struct arena *a, struct library *l, const char *bytes, size_t length,
	const char *file, bool overlay, struct findings *f);

/* The same from the tree of the file, whose texts are kept. Where it is no overlay it was built in, and the tests have
 * compiled its rules: they are read when they are first wanted. */
bool library_add_tree(struct arena *a, struct library *l, const struct node *root, bool overlay,
	struct findings *f);

/* Puts overlay entries in the place of those they replace, fills the groups, compiles every rule
 * and pattern, and checks that all that is named exists. Everything wrong is a finding at level
 * input with its place and its path, `measures[elastic-edge].needs[2].holds`; `l` may be used only
 * when there was none. A rule that could not be compiled is NULL. */
void library_finish(struct arena *a, struct library *l, struct findings *f);

#endif
