#include "work/shipped.h"

#include <errno.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"
#include "load/phrasebook.h"
#include "sys/embedded.h"
#include "sys/folder.h"
#include "yaml/baked.h"

enum { OVERLAY_BYTES = 4 * 1024 * 1024 };

struct phrasebook *shipped_words(struct arena *a, const char *language, struct findings *findings)
{
	struct phrasebook *book = arena_alloc(a, sizeof *book);
	const char *prefix = arena_format(a, "templates/%s/", language);
	const struct embedded_file *f;
	book->language = language;
	for (size_t i = 0; (f = embedded_list(prefix, i)); i++) {
		if (text_ends(f->name, ".tree"))
			phrasebook_add_tree(a, book, baked_read(a, f->bytes), findings);
		else
			phrasebook_add(a, book, (const char *)f->bytes, f->length, f->name, findings);
	}
	phrasebook_finish(a, book, findings);
	return book;
}

static void add_overlay(struct arena *a, struct library *l, const char *folder, const char *name,
	struct findings *findings)
{
	const char *path = arena_format(a, "library/%s", name);
	const char *shown = folder_join(a, folder, path);
	struct file_bytes bytes;
	enum file_outcome outcome = file_read_inside(a, folder, path, OVERLAY_BYTES, &bytes);
	if (outcome != FILE_FINE) {
		file_finding(findings, outcome, errno, shown, OVERLAY_BYTES, shown, (struct place){shown, 0, 0});
		return;
	}
	library_add(a, l, bytes.bytes, bytes.length, shown, true, findings);
}

/* No overlay is as good as an empty one; one that cannot be listed is not, since it may tighten a limit. */
static void add_overlays(struct arena *a, struct library *l, const char *folder, struct findings *findings)
{
	const char *path = folder_join(a, folder, "library");
	struct folder_list list;
	enum file_outcome outcome = folder_list(a, path, &list);
	if (outcome == FILE_FINE) {
		for (size_t i = 0; i < list.count; i++)
			if (text_ends(list.items[i].name, ".yaml"))
				add_overlay(a, l, folder, list.items[i].name, findings);
	} else if (outcome != FILE_ABSENT) {
		file_finding(findings, outcome, errno, path, OVERLAY_BYTES, path, (struct place){path, 0, 0});
	}
}

struct library *shipped_library(struct arena *a, const char *folder, struct findings *findings)
{
	struct library *l = arena_alloc(a, sizeof *l);
	const struct embedded_file *f;
	for (size_t i = 0; (f = embedded_list("hazards/", i)); i++)
		library_add_tree(a, l, baked_read(a, f->bytes), false, findings);
	if (folder)
		add_overlays(a, l, folder, findings);
	library_finish(a, l, findings);
	return l;
}
