/* Whole files: reading with a cap, resolving names inside a job folder, replacing in one step.
 *
 * Every function tells its outcome; unless it is FILE_FINE, outputs are untouched and errno says why
 * (0 where the system had no part in it). Turn both into words with file_reason() before anything
 * else touches errno. */
#ifndef SYS_FILE_H
#define SYS_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/finding.h"

enum file_outcome {
	FILE_FINE,
	FILE_ABSENT,    /* no such file or folder */
	FILE_LARGE,     /* more bytes than the cap */
	FILE_OUTSIDE,   /* the name leads out of the folder: absolute, by "..", or through a link */
	FILE_NOT_PLAIN, /* a folder, device, pipe or socket; when writing also a link */
	FILE_FAILED,    /* the system refused: errno */
};

enum file_kind { FILE_KIND_NONE, FILE_KIND_PLAIN, FILE_KIND_FOLDER, FILE_KIND_LINK, FILE_KIND_OTHER };

struct file_bytes {
	char *bytes; /* followed by a NUL that `length` does not count; never NULL */
	size_t length;
};

/* What `path` is; of a link, what it leads to (FILE_KIND_NONE when nowhere, never FILE_KIND_LINK). */
enum file_kind file_kind(const char *path);

/* Reads all of the plain file `path`, links followed, at most `cap` bytes (cap < SIZE_MAX / 4). */
enum file_outcome file_read(struct arena *a, const char *path, size_t cap, struct file_bytes *out);

/* Reads what is left of the open descriptor `fd` (a pipe, say), which stays open. */
enum file_outcome file_read_open(struct arena *a, int fd, size_t cap, struct file_bytes *out);

/* Reads the plain file `name` of the folder `root`. Links are followed only as long as they stay in
 * the folder; `root` itself may be a link. A link that is put in place meanwhile is not followed. */
enum file_outcome file_read_inside(struct arena *a, const char *root, const char *name, size_t cap,
	struct file_bytes *out);

/* Whether `name` may be used below `root`: FILE_FINE with the resolved path in `*path`, or
 * FILE_OUTSIDE, FILE_ABSENT, FILE_FAILED. Says nothing of what kind of file it is. */
enum file_outcome file_inside(struct arena *a, const char *root, const char *name,
	const char **path);

/* Replaces `path` by these bytes in one step: a new file beside it is written, flushed to the disk
 * and renamed. At whatever instant it ends, `path` holds all of the old bytes or all of the new ones;
 * after FILE_FAILED no temporary file is left. An old file's permissions are kept. */
enum file_outcome file_write(struct arena *a, const char *path, const void *bytes, size_t length);

/* Removes the plain file or link `path`; a folder is FILE_FAILED. */
enum file_outcome file_remove(const char *path);

/* Words for an outcome other than FILE_FINE: "no such file", or what the system said. Constant. */
const char *file_reason(enum file_outcome outcome, int error);

/* Adds the finding for an outcome other than FILE_FINE: file-missing, file-too-large, path-outside or
 * file-unreadable, about `subject`, at `at`, with the values "file" (the name), "limit" (the cap as
 * text: "4 MiB") and "reason". */
struct finding *file_finding(struct findings *list, enum file_outcome outcome, int error,
	const char *name, size_t cap, const char *subject, struct place at);

#endif
