/* A drawing as SVG 1.1: millimetres, y up as in the drawing, one generic family. The same drawing
 * gives the same bytes. */
#ifndef TYPE_SVG_H
#define TYPE_SVG_H

#include "base/text.h"
#include "doc/tree.h"

/* Appends a whole file to `out`. `title` is the text alternative. Characters that XML cannot hold are left out. */
void svg_write(struct buf *out, const struct drawing *d, const char *title);

#endif
