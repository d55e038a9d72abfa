#include "sys/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct reader {
	DIR *stream;
};

static void reader_close(void *subject)
{
	struct reader *r = subject;
	int kept = errno;
	if (r->stream)
		closedir(r->stream);
	r->stream = NULL;
	errno = kept;
}

static int by_name(const void *x, const void *y)
{
	const struct folder_entry *a = x, *b = y;
	return strcmp(a->name, b->name);
}

static void sort(struct folder_list *list)
{
	if (list->count)
		qsort(list->items, list->count, sizeof *list->items, by_name);
}

static void append(struct arena *a, struct folder_list *list, size_t *room, struct folder_entry e)
{
	if (list->count == *room) {
		*room = *room ? *room * 2 : 32;
		list->items = arena_grow(a, list->items, list->count, *room, sizeof *list->items);
	}
	list->items[list->count++] = e;
}

static enum file_outcome look(struct arena *a, DIR *stream, const char *name,
	struct folder_entry *out)
{
	struct stat st;
	if (fstatat(dirfd(stream), name, &st, AT_SYMLINK_NOFOLLOW) != 0)
		return FILE_FAILED;
	*out = (struct folder_entry){.name = arena_string(a, name), .kind = FILE_KIND_OTHER};
	if (S_ISREG(st.st_mode)) {
		out->kind = FILE_KIND_PLAIN;
		out->size = (size_t)st.st_size;
	} else if (S_ISDIR(st.st_mode)) {
		out->kind = FILE_KIND_FOLDER;
	} else if (S_ISLNK(st.st_mode)) {
		out->kind = FILE_KIND_LINK;
	}
	return FILE_FINE;
}

static enum file_outcome read_entries(struct arena *a, DIR *stream, struct folder_list *list)
{
	size_t room = 0;
	for (;;) {
		errno = 0;
		const struct dirent *d = readdir(stream);
		if (!d)
			return errno ? FILE_FAILED : FILE_FINE;
		if (strcmp(d->d_name, ".") == 0 || strcmp(d->d_name, "..") == 0)
			continue;
		struct folder_entry e;
		enum file_outcome outcome = look(a, stream, d->d_name, &e);
		/* Removed since it was listed: not there. */
		if (outcome == FILE_FAILED && errno == ENOENT)
			continue;
		if (outcome != FILE_FINE)
			return outcome;
		if (list->count == FOLDER_ENTRIES) {
			errno = 0;
			return FILE_LARGE;
		}
		append(a, list, &room, e);
	}
}

enum file_outcome folder_list(struct arena *a, const char *path, struct folder_list *out)
{
	struct folder_list list = {0};
	struct reader *r = arena_alloc(a, sizeof *r);
	arena_defer(a, reader_close, r);
	r->stream = opendir(path);
	if (!r->stream) {
		struct stat s;
		/* Either it is there and no folder, or the like is true of what it would be in. */
		if (errno == ENOTDIR)
			return lstat(path, &s) == 0 ? FILE_NOT_PLAIN : FILE_ABSENT;
		return errno == ENOENT ? FILE_ABSENT : FILE_FAILED;
	}
	enum file_outcome outcome = read_entries(a, r->stream, &list);
	reader_close(r);
	if (outcome == FILE_FINE) {
		sort(&list);
		*out = list;
	}
	return outcome;
}

/* Adds what is in `path`, whose place below the top is `below`. */
static enum file_outcome walk(struct arena *a, const char *path, const char *below, int depth,
	struct folder_list *list, size_t *room)
{
	struct folder_list here;
	enum file_outcome outcome = folder_list(a, path, &here);
	for (size_t i = 0; outcome == FILE_FINE && i < here.count; i++) {
		struct folder_entry e = here.items[i];
		const char *full = folder_join(a, path, e.name);
		e.name = folder_join(a, below, e.name);
		if (e.kind != FILE_KIND_FOLDER && list->count < FOLDER_ENTRIES) {
			append(a, list, room, e);
		} else if (e.kind == FILE_KIND_FOLDER && depth < FOLDER_DEPTH) {
			outcome = walk(a, full, e.name, depth + 1, list, room);
		} else {
			errno = 0;
			outcome = FILE_LARGE;
		}
	}
	return outcome;
}

enum file_outcome folder_walk(struct arena *a, const char *path, struct folder_list *out)
{
	struct folder_list list = {0};
	size_t room = 0;
	enum file_outcome outcome = walk(a, path, "", 1, &list, &room);
	if (outcome == FILE_FINE) {
		sort(&list);
		*out = list;
	}
	return outcome;
}

enum file_outcome folder_make(struct arena *a, const char *path)
{
	char *copy = arena_string(a, path);
	for (char *p = copy + (*copy == '/');; p++) {
		if (*p && *p != '/')
			continue;
		char kept = *p;
		*p = '\0';
		int error = *copy && mkdir(copy, 0777) != 0 ? errno : 0;
		if (error && file_kind(copy) != FILE_KIND_FOLDER) {
			errno = error;
			return error == EEXIST ? FILE_NOT_PLAIN : FILE_FAILED;
		}
		*p = kept;
		if (!kept)
			return FILE_FINE;
	}
}

const char *folder_join(struct arena *a, const char *root, const char *name)
{
	size_t n = strlen(root);
	if (n == 0 || strcmp(root, ".") == 0)
		return arena_string(a, name);
	return arena_format(a, root[n - 1] == '/' ? "%s%s" : "%s/%s", root, name);
}
