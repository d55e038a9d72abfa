/* What is known about one word: a field, zone, measure, limit, check, law, finding. Built by `work`, shown by
 * `cli`, written by `out`. */
#ifndef MODEL_EXPLAINED_H
#define MODEL_EXPLAINED_H

#include <stddef.h>

struct explained_line {
	const char *key;   /* "title", "source", "measures"…: a contract for programs */
	const char *label; /* for people; NULL: the value stands alone */
	const char *value;
};

struct explained {
	const char *id, *kind; /* kind: group of the words, "limits" */
	const char *kind_label;
	struct explained_line *lines;
	size_t count, room;
};

struct explained_list {
	struct explained *items;
	size_t count, room;
};

#endif
