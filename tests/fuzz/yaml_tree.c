/* Exercises src/yaml/tree.c on any bytes. Properties: a tree or a reason, never both; every finding
 * has a place inside the file; ranges nest and lie inside the file; reading twice gives the same
 * dump; the dump is read back to the same dump. Inputs beyond 64 KiB are no use here. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "yaml/tree.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(int holds, const char *what)
{
	if (holds)
		return;
	fprintf(stderr, "does not hold: %s\n", what);
	abort();
}

static int lines_of(const char *bytes, size_t length)
{
	int lines = 1;
	for (size_t i = 0; i < length; i++)
		lines += bytes[i] == '\n' || (bytes[i] == '\r' && (i + 1 == length || bytes[i + 1] != '\n'));
	return lines;
}

static void check_findings(const struct findings *f, const char *bytes, size_t length)
{
	int lines = lines_of(bytes, length);
	demand(f->count <= TREE_REASONS, "few findings");
	for (size_t i = 0; i < f->count; i++) {
		const struct finding *it = f->items[i];
		demand(it->at.line >= 1 && it->at.line <= lines, "a line inside the file");
		demand(it->at.column >= 1 && (size_t)it->at.column <= length + 1, "a column inside");
		demand(finding_level(it->code) == FINDING_INPUT, "a finding about input");
		demand(utf8_check(it->subject, strlen(it->subject)) == strlen(it->subject), "UTF-8");
		for (const struct finding_value *v = it->values; v; v = v->next)
			demand(utf8_check(v->value, strlen(v->value)) == strlen(v->value), "UTF-8");
	}
}

static void check_ranges(const struct node *n, size_t from, size_t to)
{
	demand(from <= n->from && n->from <= n->to && n->to <= to, "ranges nest");
	demand(n->at.line >= 1 && n->at.column >= 1, "a node has a place");
	for (size_t i = 0; i < n->count; i++) {
		const struct node *child = n->kind == NODE_MAP ? n->pairs[i].value : n->items[i];
		check_ranges(child, n->from, n->to);
		demand(n->kind != NODE_MAP || node_get(n, n->pairs[i].key) == child, "no key twice");
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	const char *bytes = (const char *)data;
	jmp_buf escape;
	struct arena a;
	struct findings f;
	arena_init(&a, &escape);
	if (setjmp(escape))
		abort();
	findings_init(&f, &a);
	struct node *n = tree_read(&a, bytes, size, "f", &f);
	demand((n == NULL) == (f.count > 0), "a tree or a reason");
	check_findings(&f, bytes, size);
	if (n) {
		check_ranges(n, 0, size);
		char *dump = tree_dump(&a, n);
		demand(strcmp(dump, tree_dump(&a, tree_read(&a, bytes, size, "f", &f))) == 0,
			"the same tree again");
		struct node *back = tree_read(&a, dump, strlen(dump), "f", &f);
		demand(back != NULL, "the dump is read");
		demand(strcmp(dump, tree_dump(&a, back)) == 0, "the dump says the same");
	}
	arena_release(&a);
	return 0;
}
