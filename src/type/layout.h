/* Layout: a document to pages. A4; one family; hairlines; ragged right.
 *
 * Blocks are set as strips (a line, a table row, a figure) one below the other, then cut into pages so
 * that headings stay with what follows, no paragraph leaves a single line, and tables break between
 * rows. Page numbers in the text need pages, so the layout is repeated until they hold (a few rounds
 * at most; should they never settle, the last round stands). */
#ifndef TYPE_LAYOUT_H
#define TYPE_LAYOUT_H

#include "doc/tree.h"
#include "type/ops.h"

/* Page geometry in points: the box that holds the text. */
#define LAYOUT_MM (72.0 / 25.4)
#define PAGE_WIDTH (210 * LAYOUT_MM)
#define PAGE_HEIGHT (297 * LAYOUT_MM)
#define TEXT_LEFT (25 * LAYOUT_MM)
#define TEXT_WIDTH (165 * LAYOUT_MM)
#define TEXT_TOP (PAGE_HEIGHT - 24 * LAYOUT_MM)
#define TEXT_HEIGHT (247 * LAYOUT_MM)

/* Everything is made in `a`. The document is not changed. */
struct pages *layout_document(struct arena *a, const struct document *d,
	const struct typeface_set *faces);

/* The operations as text, one a line, for tests. */
char *pages_dump(struct arena *a, const struct pages *p);

#endif
