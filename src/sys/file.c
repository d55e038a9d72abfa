#include "sys/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"

enum { FIRST_ROOM = 16 * 1024, TEMPORARY_NAMES = 100 };

/* A descriptor that is closed when its arena is released, so that running out of memory leaks none. */
struct guard {
	int fd;
};

static int guard_close(struct guard *g)
{
	int fd = g->fd;
	g->fd = -1;
	/* On Linux the descriptor is gone even when close() was interrupted. */
	if (fd < 0 || close(fd) == 0 || errno == EINTR)
		return 0;
	return -1;
}

static void guard_release(void *subject)
{
	int kept = errno;
	guard_close(subject);
	errno = kept;
}

static struct guard *guard_new(struct arena *a)
{
	struct guard *g = arena_alloc(a, sizeof *g);
	g->fd = -1;
	arena_defer(a, guard_release, g);
	return g;
}

static enum file_outcome outcome_of(int error)
{
	return error == ENOENT || error == ENOTDIR ? FILE_ABSENT : FILE_FAILED;
}

static enum file_outcome refused(enum file_outcome outcome)
{
	errno = 0;
	return outcome;
}

enum file_kind file_kind(const char *path)
{
	struct stat st;
	if (stat(path, &st) != 0)
		return FILE_KIND_NONE;
	if (S_ISREG(st.st_mode))
		return FILE_KIND_PLAIN;
	return S_ISDIR(st.st_mode) ? FILE_KIND_FOLDER : FILE_KIND_OTHER;
}

/* Reads to the end; `room` bytes are expected. */
static enum file_outcome read_all(struct arena *a, int fd, size_t room, size_t cap,
	struct file_bytes *out)
{
	size_t length = 0;
	char *bytes = arena_alloc(a, room + 1);
	for (;;) {
		if (length == room) {
			/* One byte more than the cap is enough to know that there is more. */
			room = room > cap / 2 ? cap + 1 : room * 2;
			bytes = arena_grow(a, bytes, length, room + 1, 1);
		}
		ssize_t n = read(fd, bytes + length, room - length);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return FILE_FAILED;
		if (n == 0)
			break;
		length += (size_t)n;
		if (length > cap)
			return refused(FILE_LARGE);
	}
	bytes[length] = '\0';
	out->bytes = bytes;
	out->length = length;
	return FILE_FINE;
}

enum file_outcome file_read_open(struct arena *a, int fd, size_t cap, struct file_bytes *out)
{
	return read_all(a, fd, cap < FIRST_ROOM ? cap + 1 : FIRST_ROOM, cap, out);
}

/* Reads and closes what was opened; the descriptor must be of a plain file. */
static enum file_outcome read_plain(struct arena *a, struct guard *g, size_t cap,
	struct file_bytes *out)
{
	struct stat st;
	if (fstat(g->fd, &st) != 0)
		return FILE_FAILED;
	if (!S_ISREG(st.st_mode))
		return refused(FILE_NOT_PLAIN);
	if (st.st_size < 0 || (unsigned long long)st.st_size > cap)
		return refused(FILE_LARGE);
	struct file_bytes read;
	enum file_outcome outcome = read_all(a, g->fd, (size_t)st.st_size + 1, cap, &read);
	if (outcome != FILE_FINE)
		return outcome;
	if (guard_close(g) != 0)
		return FILE_FAILED;
	*out = read;
	return FILE_FINE;
}

/* Opening must neither wait for the other end of a pipe nor take a terminal. */
enum { OPEN_TO_READ = O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY };

enum file_outcome file_read(struct arena *a, const char *path, size_t cap, struct file_bytes *out)
{
	struct guard *g = guard_new(a);
	g->fd = open(path, OPEN_TO_READ);
	enum file_outcome outcome = g->fd < 0 ? outcome_of(errno) : read_plain(a, g, cap, out);
	guard_release(g);
	return outcome;
}

/* Whether following `name` never climbs above where it starts, links aside. */
static bool stays_below(const char *name)
{
	int depth = 0;
	if (*name == '/')
		return false;
	while (*name) {
		size_t n = strcspn(name, "/");
		if (n == 2 && name[0] == '.' && name[1] == '.')
			depth--;
		else if (n != 0 && !(n == 1 && name[0] == '.'))
			depth++;
		if (depth < 0)
			return false;
		name += n;
		name += strspn(name, "/");
	}
	return true;
}

/* Resolves root and name; `*below` is the part of the resolved path behind the root's. */
static enum file_outcome resolve(struct arena *a, const char *root, const char *name, char **top,
	char **below)
{
	char resolved[PATH_MAX], target[PATH_MAX];
	if (!stays_below(name))
		return refused(FILE_OUTSIDE);
	if (!realpath(root, resolved))
		return outcome_of(errno);
	char *path = arena_format(a, "%s/%s", resolved, name);
	if (!realpath(path, target))
		return outcome_of(errno);
	size_t n = strcmp(resolved, "/") == 0 ? 0 : strlen(resolved);
	if (strncmp(target, resolved, n) != 0 || (target[n] != '/' && target[n] != '\0'))
		return refused(FILE_OUTSIDE);
	*top = arena_string(a, resolved);
	*below = arena_string(a, target[n] == '/' ? target + n + 1 : "");
	return FILE_FINE;
}

enum file_outcome file_inside(struct arena *a, const char *root, const char *name,
	const char **path)
{
	char *top, *below;
	enum file_outcome outcome = resolve(a, root, name, &top, &below);
	if (outcome == FILE_FINE)
		*path = *below ? arena_format(a, "%s/%s", strcmp(top, "/") ? top : "", below) : top;
	return outcome;
}

enum file_outcome file_read_inside(struct arena *a, const char *root, const char *name, size_t cap,
	struct file_bytes *out)
{
	char *top, *below;
	enum file_outcome outcome = resolve(a, root, name, &top, &below);
	if (outcome != FILE_FINE)
		return outcome;
	/* What was resolved holds no link any more; one that appears now must not be followed. */
	struct guard *at = guard_new(a), *next = guard_new(a);
	at->fd = open(top, O_RDONLY | O_CLOEXEC | O_DIRECTORY);
	for (char *part = below; at->fd >= 0 && *part;) {
		size_t n = strcspn(part, "/");
		bool last = part[n] == '\0';
		part[n] = '\0';
		int folder = O_RDONLY | O_CLOEXEC | O_DIRECTORY;
		next->fd = openat(at->fd, part, O_NOFOLLOW | (last ? OPEN_TO_READ : folder));
		guard_release(at);
		at->fd = next->fd;
		next->fd = -1;
		part += last ? n : n + 1;
	}
	if (at->fd < 0)
		outcome = errno == ELOOP ? refused(FILE_OUTSIDE) : outcome_of(errno);
	else
		outcome = read_plain(a, at, cap, out);
	guard_release(at);
	return outcome;
}

static int write_all(int fd, const char *bytes, size_t length)
{
	while (length) {
		ssize_t n = write(fd, bytes, length);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0) {
			errno = n == 0 ? EIO : errno;
			return -1;
		}
		bytes += n;
		length -= (size_t)n;
	}
	return 0;
}

/* Creates a file beside `path` and returns its name; NULL with errno when there can be none. */
static char *temporary_open(struct arena *a, const char *path, struct guard *g)
{
	for (int i = 0; i < TEMPORARY_NAMES; i++) {
		char *name = arena_format(a, "%s.%d.tmp", path, i);
		g->fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
		if (g->fd >= 0)
			return name;
		if (errno != EEXIST)
			return NULL;
	}
	return NULL;
}

static int folder_flush(const char *folder)
{
	int fd = open(folder, O_RDONLY | O_CLOEXEC | O_DIRECTORY);
	if (fd < 0)
		return -1;
	/* Some file systems cannot flush a folder; they say so with EINVAL. */
	int failed = fsync(fd) != 0 && errno != EINVAL ? errno : 0;
	close(fd);
	errno = failed;
	return failed ? -1 : 0;
}

enum file_outcome file_write(struct arena *a, const char *path, const void *bytes, size_t length)
{
	struct stat st;
	bool replaces = lstat(path, &st) == 0;
	if (replaces && !S_ISREG(st.st_mode))
		return refused(FILE_NOT_PLAIN);
	/* All memory is taken before the temporary file exists: from then on nothing escapes. */
	const char *slash = strrchr(path, '/');
	char *folder = slash ? arena_copy(a, path, (size_t)(slash - path + 1)) : arena_string(a, ".");
	struct guard *g = guard_new(a);
	char *temporary = temporary_open(a, path, g);
	if (!temporary)
		return outcome_of(errno);
	if ((replaces && fchmod(g->fd, st.st_mode & 07777) != 0) ||
		write_all(g->fd, bytes, length) != 0 || fsync(g->fd) != 0 || guard_close(g) != 0 ||
		rename(temporary, path) != 0) {
		int error = errno;
		guard_close(g);
		unlink(temporary);
		errno = error;
		return FILE_FAILED;
	}
	return folder_flush(folder) == 0 ? FILE_FINE : FILE_FAILED;
}

enum file_outcome file_remove(const char *path)
{
	return unlink(path) == 0 ? FILE_FINE : errno == ENOENT ? FILE_ABSENT : FILE_FAILED;
}

const char *file_reason(enum file_outcome outcome, int error)
{
	static const char *const REASONS[] = {
		[FILE_FINE] = "nothing wrong",
		[FILE_ABSENT] = "no such file or folder",
		[FILE_LARGE] = "too large",
		[FILE_OUTSIDE] = "outside of the folder",
		[FILE_NOT_PLAIN] = "not a plain file",
	};
	if (outcome != FILE_FAILED)
		return REASONS[outcome];
	const char *words = strerrordesc_np(error);
	return error != 0 && words ? words : "failed for an unknown reason";
}

static const char *size_text(struct arena *a, size_t bytes)
{
	static const char *const UNITS[] = {"bytes", "KiB", "MiB", "GiB"};
	size_t unit = 0;
	while (unit < 3 && bytes >= 1024 && bytes % 1024 == 0) {
		bytes /= 1024;
		unit++;
	}
	return arena_format(a, "%zu %s", bytes, UNITS[unit]);
}

struct finding *file_finding(struct findings *list, enum file_outcome outcome, int error,
	const char *name, size_t cap, const char *subject, struct place at)
{
	static const enum finding_code CODES[] = {
		[FILE_FINE] = FINDING_CODE_FILE_UNREADABLE,
		[FILE_ABSENT] = FINDING_CODE_FILE_MISSING,
		[FILE_LARGE] = FINDING_CODE_FILE_TOO_LARGE,
		[FILE_OUTSIDE] = FINDING_CODE_PATH_OUTSIDE,
		[FILE_NOT_PLAIN] = FINDING_CODE_FILE_UNREADABLE,
		[FILE_FAILED] = FINDING_CODE_FILE_UNREADABLE,
	};
	struct finding *f = finding_add(list, CODES[outcome], subject, at);
	finding_with(list, f, "file", text_harmless(list->arena, name));
	finding_with(list, f, "limit", size_text(list->arena, cap));
	return finding_with(list, f, "reason", file_reason(outcome, error));
}
