/* A document template: CommonMark with {{placeholders}}, turned into nodes of a document.
 *
 * What is understood: headings (a heading that ends in {#label} takes that label, any other its text as
 * "some-text"), paragraphs, lists, emphasis, strong, code, code blocks, hard breaks; links are reduced to
 * their text; a block quote becomes a ruled box, a thematic break a hairline. HTML comments are
 * dropped; other HTML and images are reported.
 * Placeholders: {{name}} in running text is replaced by `value`; a paragraph that is only
 * {{block name}} calls `block`. Values go in after the CommonMark was parsed, so that nothing a user typed
 * is taken for markup. */
#ifndef DOC_TEMPLATE_H
#define DOC_TEMPLATE_H

#include <stdbool.h>

#include "base/finding.h"
#include "doc/tree.h"
#include "model/phrase.h"

struct template {
	void *subject;
	/* The text for {{name}}; NULL: no such placeholder, which is reported. */
	const char *(*value)(void *subject, const char *name);
	/* Adds a block to the end of the document; false: no such block, which is reported. */
	bool (*block)(void *subject, const char *name);
	bool numbered;             /* headings are numbered; if not, the first level is the title */
	struct findings *findings; /* template-block, template-placeholder, template-markup,
	                              template-nested: with the place in the template */
};

/* Appends what `source` says to `d`. Faults are reported and leave a gap that is seen: the
 * placeholder as it stands. */
void template_expand(struct document *d, const struct phrase *source, const struct template *t);

/* `text` (plain, no CommonMark) with its placeholders replaced, as spans of `style`. `at` is the
 * place reported for unknown names. */
void template_spans(struct document *d, struct spans *spans, const char *text, unsigned style,
	struct place at, const struct template *t);

#endif
