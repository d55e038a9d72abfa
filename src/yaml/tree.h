/* A YAML document as a tree with positions. Everything that could make two readers see two
 * different documents is refused: duplicate keys, aliases, tags, second documents, bad UTF-8, NUL. */
#ifndef YAML_TREE_H
#define YAML_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/finding.h"

enum {
	TREE_DEPTH = 64,              /* maps and lists within one another */
	TREE_NODES = 200000,          /* values and keys */
	TREE_BYTES = 4 * 1024 * 1024, /* of the file */
	TREE_KEY = 200,               /* bytes of a key */
	TREE_REASONS = 100,           /* findings after which reading stops */
};

enum node_kind { NODE_SCALAR, NODE_MAP, NODE_LIST };

struct node;

struct node_pair {
	const char *key;
	struct place key_at;
	struct node *value;
};

struct node {
	enum node_kind kind;
	struct place at;
	size_t from, to;         /* byte range in the source, for splicing; without comments and blank
				  * lines behind it; an empty scalar: both behind the colon or dash */
	const char *text;        /* scalar: its text, NUL-terminated, never containing NUL */
	bool plain;              /* scalar: written without quotes */
	struct node_pair *pairs; /* map, in the order written */
	struct node **items;     /* list */
	size_t count;            /* of pairs or items */
};

/* Reads one document. Returns NULL when it cannot be read; every reason is added to `findings` with
 * its place inside the file and, as subject, the path to it: "force.points[2].gap", entries counted
 * from 1. A fault of syntax or encoding has no path and ends the reading, since nothing behind it
 * can be trusted; the others do not. The tree and its strings live in `a`; `bytes` need not outlive
 * the call. `file` is kept, for places. A byte order mark is skipped. */
struct node *tree_read(struct arena *a, const char *bytes, size_t length, const char *file,
	struct findings *findings);

/* The value under `key` of a map; NULL when absent or when `map` is NULL or no map. */
struct node *node_get(const struct node *map, const char *key);

/* The text of a scalar under `key`; NULL when absent or no scalar. */
const char *node_text(const struct node *map, const char *key);

/* Canonical dump, for tests: one node a line, indented, every text in double quotes. It is YAML
 * itself, and reading it gives the same dump again. */
char *tree_dump(struct arena *a, const struct node *root);

#endif
