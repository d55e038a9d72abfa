/* The technical file: everything that the declaration rests on, in one document. */
#ifndef DOC_TECHNICAL_FILE_H
#define DOC_TECHNICAL_FILE_H

#include "doc/input.h"
#include "doc/tree.h"

/* A draft, marked on every page, while anything is open. Faults of the template are added to
 * input->findings; the document is made all the same. */
struct document *technical_file_build(struct arena *a, const struct doc_input *input);

#endif
