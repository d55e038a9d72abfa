/* Folders: sorted listing, walking down, making. Outcomes and errno as in sys/file.h. */
#ifndef SYS_FOLDER_H
#define SYS_FOLDER_H

#include <stddef.h>

#include "base/arena.h"
#include "sys/file.h"

enum { FOLDER_DEPTH = 16, FOLDER_ENTRIES = 100000 };

struct folder_entry {
	const char *name;    /* in the folder; of a walk, the path below it: "photos/post.jpg" */
	enum file_kind kind; /* links are not followed */
	size_t size;         /* bytes of a plain file, else 0 */
};

struct folder_list {
	struct folder_entry *items; /* in byte order of their names */
	size_t count;
};

/* All that is in `path` except "." and "..". More than FOLDER_ENTRIES is FILE_LARGE. */
enum file_outcome folder_list(struct arena *a, const char *path, struct folder_list *out);

/* All files, links and others below `path`, the folders in it walked into but not listed. Deeper
 * than FOLDER_DEPTH or more than FOLDER_ENTRIES is FILE_LARGE. */
enum file_outcome folder_walk(struct arena *a, const char *path, struct folder_list *out);

/* Makes `path` and what is missing above it; FILE_FINE when it is a folder already. */
enum file_outcome folder_make(struct arena *a, const char *path);

/* "root/name", or `name` alone when `root` is "" or "."; no slash is doubled. */
const char *folder_join(struct arena *a, const char *root, const char *name);

#endif
