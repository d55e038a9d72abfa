/* bake FILE.yaml: its tree in baked form on standard output. Runs while the program is built. What is
 * wrong with the file ends it with status 1, told as FILE:LINE:COLUMN. */
#include <stdio.h>

#include "yaml/baked.h"

static bool file_read(struct buf *text, const char *name)
{
	char some[65536];
	size_t n;
	FILE *f = fopen(name, "rb");
	if (!f)
		return false;
	while ((n = fread(some, 1, sizeof some, f)) > 0)
		buf_add(text, some, n);
	bool fine = !ferror(f);
	fclose(f);
	return fine;
}

/* By code and values: the words are in the files that are being read. */
static void tell(const struct findings *all)
{
	for (size_t i = 0; i < all->count; i++) {
		const struct finding *f = all->items[i];
		fprintf(stderr, "%s:%d:%d: %s", f->at.file, f->at.line, f->at.column,
			finding_name(f->code));
		if (*f->subject)
			fprintf(stderr, " %s", f->subject);
		for (const struct finding_value *v = f->values; v; v = v->next)
			fprintf(stderr, ", %s: %s", v->name, v->value);
		fputc('\n', stderr);
	}
}

static int bake(struct arena *a, const char *name)
{
	struct findings findings;
	struct buf text, out;
	findings_init(&findings, a);
	buf_init(&text, a);
	buf_init(&out, a);
	if (!file_read(&text, name)) {
		perror(name);
		return 1;
	}
	const struct node *root = tree_read(a, text.bytes, text.length, name, &findings);
	if (!root) {
		tell(&findings);
		return 1;
	}
	baked_write(&out, root);
	if (fwrite(out.bytes, 1, out.length, stdout) != out.length || fflush(stdout) != 0) {
		perror("bake");
		return 1;
	}
	return 0;
}

int main(int argc, char **argv)
{
	jmp_buf escape;
	struct arena a;
	if (argc != 2) {
		fprintf(stderr, "usage: bake FILE.yaml >FILE.tree\n");
		return 2;
	}
	arena_init(&a, &escape);
	if (setjmp(escape)) {
		fprintf(stderr, "bake: no memory\n");
		arena_release(&a);
		return 1;
	}
	int status = bake(&a, argv[1]);
	arena_release(&a);
	return status;
}
