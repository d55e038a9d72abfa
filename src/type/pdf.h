/* The PDF device: a document to the bytes of an archival file (PDF/A-1b, ISO 19005-1), tagged, with its
 * fonts in parts, bookmarks and links. Memory to memory; the same input gives the same bytes. */
#ifndef TYPE_PDF_H
#define TYPE_PDF_H

#include "type/layout.h"

struct pdf_result {
	size_t pages;
	/* Characters that no face shows, in the order met, each with its count; a hollow square stands in their
	 * place. Kept in the arena. */
	const struct missing *missing;
};

/* Lays `d` out and writes the file to `out`, which must be initialised and empty. `*result` may be NULL.
 * False with `*why` (kept in the arena) when the document is beyond what the format can hold; `*result`
 * is then untouched and `out` to be thrown away. Memory that runs out goes the arena's way. */
bool pdf_write(struct arena *a, const struct document *d, const struct typeface_set *faces, struct buf *out,
	struct pdf_result *result, const char **why);

#endif
