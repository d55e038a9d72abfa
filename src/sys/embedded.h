/* Files built into the program: "templates/en/declaration.md", "fonts/Carlito-Regular.ttf"; for
 * "hazards/zones.yaml" there is its tree in baked form (yaml/baked.h), "hazards/zones.tree". Constant
 * data; nothing here can fail. */
#ifndef SYS_EMBEDDED_H
#define SYS_EMBEDDED_H

#include <stddef.h>

struct embedded_file {
	const char *name;
	const unsigned char *bytes; /* followed by a NUL that `length` does not count */
	size_t length;
};

/* All of them in byte order of their names, then one with a NULL name. Made by embed.sh. */
extern const struct embedded_file embedded_files[];
extern const size_t embedded_file_count;

/* The file called `name`, or NULL. */
const struct embedded_file *embedded_find(const char *name);

/* The file number `index` (from 0) among those whose names begin with `prefix`, or NULL past the
 * last, so that all can be visited:
 *     for (size_t i = 0; (f = embedded_list("hazards/", i)); i++) */
const struct embedded_file *embedded_list(const char *prefix, size_t index);

#endif
