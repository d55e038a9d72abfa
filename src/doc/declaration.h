/* The declaration of conformity, in the words of the act and the voice of its signatory. */
#ifndef DOC_DECLARATION_H
#define DOC_DECLARATION_H

#include "doc/input.h"
#include "doc/tree.h"

/* NULL while anything is open: a declaration is not written before. */
struct document *declaration_build(struct arena *a, const struct doc_input *input);

#endif
