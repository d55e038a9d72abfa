/* Exercises src/doc/template.c: the input is a template in CommonMark. It is expanded twice, once with plain
 * values and once with values full of markup: both documents have the same nodes. Inputs over 64 KiB are
 * passed over. */
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "doc/template.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct subject {
	const char *value;
	struct document *document;
};

static const char *value(void *subject, const char *name)
{
	return strlen(name) % 2 ? ((struct subject *)subject)->value : NULL;
}

static bool block(void *subject, const char *name)
{
	doc_add(((struct subject *)subject)->document, DOC_SPACE);
	return strlen(name) % 2 == 0;
}

/* The kinds of all nodes in order, with their depth. */
static void outline(struct buf *b, const struct doc_node *n, int depth)
{
	for (; n; n = n->next) {
		buf_format(b, "%d:%d:%d ", depth, (int)n->kind, n->level);
		outline(b, n->first, depth + 1);
	}
}

static const char *expand(struct arena *a, const char *text, const char *with, size_t *faults)
{
	struct findings findings;
	findings_init(&findings, a);
	struct subject s = {with, document_new(a)};
	struct template t = {.subject = &s, .value = value, .block = block, .numbered = true,
		.findings = &findings};
	struct phrase source = {"fuzz", text, {"fuzz.md", 1, 1}};
	template_expand(s.document, &source, &t);
	*faults = findings.count;
	struct buf b;
	buf_init(&b, a);
	outline(&b, s.document->first, 0);
	return b.bytes;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena a;
	jmp_buf escape;
	if (size > 65536)
		return 0;
	arena_init(&a, &escape);
	if (setjmp(escape) == 0) {
		size_t plain, marked;
		const char *text = arena_copy(&a, (const char *)data, size);
		const char *one = expand(&a, text, "x", &plain);
		const char *two = expand(&a, text, "\n# **x** <b> {{abc}}\n\n> - `y`", &marked);
		if (strcmp(one, two) != 0 || plain != marked)
			abort();
	}
	arena_release(&a);
	return 0;
}
