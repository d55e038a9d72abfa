#include <criterion/criterion.h>

#include <glob.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "sys/embedded.h"
#include "yaml/baked.h"

static jmp_buf escape;
static struct arena a;
static struct findings f;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&f, &a);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(yaml_baked, .init = setup, .fini = teardown);

static void same_place(const struct place *x, const struct place *y, const char *file)
{
	cr_assert_str_eq(x->file, file);
	cr_assert_eq(x->line, y->line, "%s:%d: line %d", file, y->line, x->line);
	cr_assert_eq(x->column, y->column, "%s:%d", file, y->line);
}

/* Every field; how many nodes were compared. */
static size_t same(const struct node *x, const struct node *y, const char *file)
{
	size_t nodes = 1;
	same_place(&x->at, &y->at, file);
	int line = y->at.line;
	cr_assert_eq(x->kind, y->kind, "%s:%d", file, line);
	cr_assert_eq(x->from, y->from, "%s:%d", file, line);
	cr_assert_eq(x->to, y->to, "%s:%d", file, line);
	cr_assert_str_eq(x->text, y->text, "%s:%d", file, line);
	cr_assert_eq(x->plain, y->plain, "%s:%d", file, line);
	cr_assert_eq(x->count, y->count, "%s:%d", file, line);
	cr_assert_eq(!x->pairs, !y->pairs, "%s:%d", file, line);
	cr_assert_eq(!x->items, !y->items, "%s:%d", file, line);
	for (size_t i = 0; i < x->count; i++) {
		if (x->kind == NODE_LIST) {
			nodes += same(x->items[i], y->items[i], file);
			continue;
		}
		cr_assert_str_eq(x->pairs[i].key, y->pairs[i].key, "%s:%d", file, line);
		same_place(&x->pairs[i].key_at, &y->pairs[i].key_at, file);
		nodes += same(x->pairs[i].value, y->pairs[i].value, file);
	}
	return nodes;
}

static struct buf file_read(const char *name)
{
	struct buf text;
	char some[4096];
	size_t n;
	buf_init(&text, &a);
	FILE *stream = fopen(name, "rb");
	cr_assert_not_null(stream, "%s", name);
	while ((n = fread(some, 1, sizeof some, stream)) > 0)
		buf_add(&text, some, n);
	fclose(stream);
	return text;
}

/* Against the files in the tree, read as a record is: the tests run in the top folder. */
Test(yaml_baked, what_is_built_in_is_what_the_files_say)
{
	glob_t names;
	size_t nodes = 0, baked = 0;
	cr_assert_eq(glob("hazards/*.yaml", 0, NULL, &names), 0);
	cr_assert_eq(glob("templates/*/*.yaml", GLOB_APPEND, NULL, &names), 0);
	for (size_t i = 0; i < names.gl_pathc; i++) {
		const char *name = names.gl_pathv[i];
		struct buf text = file_read(name);
		const struct node *read = tree_read(&a, text.bytes, text.length, name, &f);
		cr_assert_not_null(read, "%s", name);
		const struct embedded_file *e = embedded_find(
			arena_format(&a, "%.*s.tree", (int)(strlen(name) - strlen(".yaml")), name));
		cr_assert_not_null(e, "%s", name);
		nodes += same(baked_read(&a, e->bytes), read, name);
	}
	for (size_t i = 0; i < embedded_file_count; i++)
		baked += text_ends(embedded_files[i].name, ".tree");
	cr_expect_eq(baked, names.gl_pathc);
	cr_expect_gt(nodes, 5000);
	globfree(&names);
}

static struct buf bake(const char *text, const struct node **read)
{
	struct buf out;
	*read = tree_read(&a, text, strlen(text), "some/file.yaml", &f);
	cr_assert_not_null(*read, "%s", text);
	buf_init(&out, &a);
	baked_write(&out, *read);
	return out;
}

Test(yaml_baked, every_shape_comes_back)
{
	static const char *const TEXTS[] = {
		"a: 1\n",
		"a:\n",
		"word\n",
		"''\n",
		"{}\n",
		"[]\n",
		"- {}\n- []\n- ''\n-\n- [[[]]]\n",
		"a: {b: {c: [d, {e: f}]}, g: []}\nh: [i, [j, k], {l: m}]\n",
		"a: \"two\\nlines\"\nb: |\n  block\n\nc: >\n  folded\n  text\n",
		"some/file.yaml: a\nb: some/file.yaml\n",
		"\xEF\xBB\xBF\"\xC3\xA9\": \xE2\x80\xA6 # remark\n",
	};
	for (size_t i = 0; i < sizeof TEXTS / sizeof *TEXTS; i++) {
		const struct node *read;
		struct buf out = bake(TEXTS[i], &read);
		same(baked_read(&a, out.bytes), read, "some/file.yaml");
	}
}

/* What is embedded may lie anywhere, and the bytes depend on nothing but the tree. */
Test(yaml_baked, position_and_time_do_not_matter)
{
	static const char TEXT[] = "a: [1, 2, {b: c}]\nd: {e: f}\n";
	const struct node *read, *again;
	struct buf first = bake(TEXT, &read), second = bake(TEXT, &again);
	cr_assert_eq(first.length, second.length);
	cr_expect_eq(memcmp(first.bytes, second.bytes, first.length), 0);
	for (size_t shift = 1; shift < 8; shift++) {
		char *moved = arena_alloc(&a, first.length + shift);
		memcpy(moved + shift, first.bytes, first.length);
		same(baked_read(&a, moved + shift), read, "some/file.yaml");
	}
}

Test(yaml_baked, a_text_that_occurs_often_is_there_once)
{
	const struct node *once, *often;
	struct buf one = bake("[a long text that takes room, b]\n", &once);
	struct buf two = bake("[a long text that takes room, a long text that takes room]\n", &often);
	cr_expect_lt(two.length, one.length);
}
