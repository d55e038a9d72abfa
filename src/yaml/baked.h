/* A tree read in advance: what the build makes of the YAML files that are built into the program, so
 * that no start of the program reads them again. The form belongs to one build: words of 32 bits in
 * the byte order of the machine that built; no address, no date, no name but that of the file.
 *
 *     struct baked_head
 *     struct baked_node    each; the first is the root; the children of one node are in a row
 *     texts                each once, ended with NUL; named by their offset among the texts */
#ifndef YAML_BAKED_H
#define YAML_BAKED_H

#include <stdint.h>

#include "base/text.h"
#include "yaml/tree.h"

enum { BAKED_FORM = 0x50420001 }; /* another number in the other byte order */

struct baked_head {
	uint32_t form;                /* BAKED_FORM */
	uint32_t file;                /* a text: the name of the file, for places */
	uint32_t nodes, pairs, items; /* how many of each */
};

struct baked_node {
	uint32_t kind; /* enum node_kind */
	uint32_t plain;
	uint32_t line, column, from, to;
	uint32_t first; /* scalar: its text; map, list: the number of its first child */
	uint32_t count;
	uint32_t key, key_line, key_column; /* in a map; else 0 */
};

/* Appends the baked form of the tree under `root`. The same tree gives the same bytes. */
void baked_write(struct buf *out, const struct node *root);

/* The tree that was written, equal in every field. Its nodes live in `a`, its texts are those at
 * `bytes`, which must outlive it and, unlike input, are trusted to be what baked_write() wrote; only
 * the form is asserted. */
const struct node *baked_read(struct arena *a, const void *bytes);

#endif
