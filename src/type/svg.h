/* A drawing as SVG 1.1: millimetres, y up as in the drawing, one generic family. The same drawing
 * gives the same bytes. */
#ifndef TYPE_SVG_H
#define TYPE_SVG_H

#include "base/text.h"
#include "doc/tree.h"

/* Appends a whole file to `out`. `title` and `description` (may be NULL) are the text alternative. What XML cannot
 * hold is left out of words: control characters, what is no character, malformed UTF-8. */
void svg_write(struct buf *out, const struct drawing *d, const char *title, const char *description);

#endif
