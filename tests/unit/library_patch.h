/* Records as trees that can be changed: copied, laid over one another, given values by path, written as text. */
#ifndef LIBRARY_PATCH_H
#define LIBRARY_PATCH_H

#include "yaml/tree.h"

struct node *patch_copy(struct arena *a, const struct node *n);

struct node *patch_scalar(struct arena *a, const char *text, bool plain);
struct node *patch_map(struct arena *a);
struct node *patch_words(struct arena *a, const char *const *words, size_t count);

/* `over` laid over `under`, which is changed and returned: maps key by key, lists of items by their ids, anything else
 * takes its place. An empty value takes the key away. */
struct node *patch_merge(struct arena *a, struct node *under, const struct node *over);

/* "gate.dimensions.opens", "devices.edge.zones": keys of maps and ids of items. NULL when there is none. */
const struct node *patch_get(const struct node *root, const char *path);

/* Puts `value` there as patch_merge() does; what lies on the way is made where it is absent. */
void patch_set(struct arena *a, struct node *root, const char *path, const struct node *value);

const char *patch_text(struct arena *a, const struct node *root);

#endif
