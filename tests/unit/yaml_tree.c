#include <criterion/criterion.h>

#include <string.h>
#include <time.h>

#include "base/text.h"
#include "yaml/tree.h"

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

TestSuite(yaml_tree, .init = setup, .fini = teardown);

static struct node *read_bytes(const char *bytes, size_t length)
{
	findings_init(&f, &a);
	return tree_read(&a, bytes, length, "gate.yaml", &f);
}

static struct node *read_text(const char *text)
{
	return read_bytes(text, strlen(text));
}

static struct node *good(const char *text)
{
	struct node *n = read_text(text);
	cr_assert_not_null(n, "%s: %s", text, f.count ? finding_name(f.items[0]->code) : "");
	cr_assert_eq(f.count, 0);
	return n;
}

static const char *value_named(const struct finding *it, const char *name)
{
	for (const struct finding_value *v = it->values; v; v = v->next)
		if (strcmp(v->name, name) == 0)
			return v->value;
	return "";
}

/* The YAML 1.2 specification, chapters 6 to 8, on the styles of scalars and collections. */
Test(yaml_tree, read)
{
	static const char *const ROWS[][2] = {
		{"a: 1\n", "---\n\"a\": \"1\"\n"},
		{"a:\n", "---\n\"a\": \"\"\n"},
		{"{}", "--- {}\n"},
		{"[]", "--- []\n"},
		{"'text'", "--- \"text\"\n"},
		{"a: [b, 'c', \"d\\te\"]", "---\n\"a\":\n  - \"b\"\n  - \"c\"\n  - \"d\\x09e\"\n"},
		{"- - 1\n  - 2\n- {a: b}\n", "---\n-\n  - \"1\"\n  - \"2\"\n-\n  \"a\": \"b\"\n"},
		{"a: |\n  one\n  two\n", "---\n\"a\": \"one\\x0Atwo\\x0A\"\n"},
		{"a: >-\n  one\n  two\n\n", "---\n\"a\": \"one two\"\n"},
		{"a: one\n  two\n", "---\n\"a\": \"one two\"\n"},
		{"a: no\nb: 010\nc: ~\n", "---\n\"a\": \"no\"\n\"b\": \"010\"\n\"c\": \"~\"\n"},
		{"a: \"q\\\"\\\\\"", "---\n\"a\": \"q\\\"\\\\\"\n"},
		{"a: 'Łódź ± 3 €'", "---\n\"a\": \"Łódź ± 3 €\"\n"},
		{"a: \"\\u2028\\x85\\x7f\"", "---\n\"a\": \"\\u2028\\x85\\x7F\"\n"},
		{"# only\na: 1 # tail\n# end\n", "---\n\"a\": \"1\"\n"},
		{"\xEF\xBB\xBF" "a: 1", "---\n\"a\": \"1\"\n"},
		{"a: 1\r\nb: 2\r\n", "---\n\"a\": \"1\"\n\"b\": \"2\"\n"},
		{"---\na: 1\n...\n", "---\n\"a\": \"1\"\n"},
		{"%YAML 1.2\n---\na: 1\n", "---\n\"a\": \"1\"\n"},
		{"x-note: a#b\n", "---\n\"x-note\": \"a#b\"\n"},
		{"? a\n: 1\n", "---\n\"a\": \"1\"\n"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		char *dump = tree_dump(&a, good(ROWS[i][0]));
		cr_expect_str_eq(dump, ROWS[i][1], "%s gave %s", ROWS[i][0], dump);
		/* The dump is YAML and says the same. */
		cr_expect_str_eq(tree_dump(&a, good(dump)), dump);
	}
}

Test(yaml_tree, get)
{
	struct node *n = good("gate:\n  type: sliding\n  leaves: [a, b]\nempty:\nq: '?'\n");
	const struct node *gate = node_get(n, "gate");
	cr_assert_not_null(gate);
	cr_expect_str_eq(node_text(gate, "type"), "sliding");
	cr_expect_null(node_text(gate, "leaves"), "a list has no text");
	cr_expect_null(node_text(gate, "typ"));
	cr_expect_null(node_get(node_get(gate, "leaves"), "a"), "a list has no keys");
	cr_expect_null(node_get(NULL, "a"));
	cr_expect_str_eq(node_text(n, "empty"), "");
	cr_expect(node_get(gate, "type")->plain);
	cr_expect_not(node_get(n, "q")->plain);
	cr_expect_eq(node_get(gate, "leaves")->count, 2);
}

/* Lines and columns count from 1, columns in characters; ranges in bytes. */
Test(yaml_tree, places)
{
	static const char TEXT[] =
		"\xEF\xBB\xBF"
		"# Łódź\r\n"
		"site:\r\n"
		"  name: Łódź yard # there\r\n"
		"  tags: [ä, ö]  # list\r\n"
		"  empty:\r\n"
		"  text: |\r\n"
		"    ß one\r\n"
		"\r\n"
		"  last: 'ß'\r\n"
		"\r\n"
		"# tail\r\n";
	static const struct {
		const char *key, *source;
		int line, column, key_column;
	} ROWS[] = {
		{"name", "Łódź yard", 3, 9, 3},
		{"tags", "[ä, ö]", 4, 9, 3},
		{"empty", "", 5, 9, 3},
		{"text", "|\r\n    ß one", 6, 9, 3},
		{"last", "'ß'", 9, 9, 3},
	};
	struct node *root = read_bytes(TEXT, sizeof TEXT - 1), *site = node_get(root, "site");
	cr_assert_not_null(site);
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const struct node *n = site->pairs[i].value;
		cr_expect_str_eq(site->pairs[i].key, ROWS[i].key);
		cr_expect_eq(site->pairs[i].key_at.line, ROWS[i].line, "%s", ROWS[i].key);
		cr_expect_eq(site->pairs[i].key_at.column, ROWS[i].key_column, "%s", ROWS[i].key);
		cr_expect_eq(n->at.line, ROWS[i].line, "%s: line %d", ROWS[i].key, n->at.line);
		cr_expect_eq(n->at.column, ROWS[i].column, "%s: %d", ROWS[i].key, n->at.column);
		cr_expect_str_eq(n->at.file, "gate.yaml");
		char *source = arena_copy(&a, TEXT + n->from, n->to - n->from);
		cr_expect_str_eq(source, ROWS[i].source, "%s: %s", ROWS[i].key, source);
	}
	cr_expect_str_eq(arena_copy(&a, TEXT + site->from, 4), "name");
	cr_expect_str_eq(arena_copy(&a, TEXT + site->to - 3, 3), "ß'", "a block ends with its last");
	cr_expect_str_eq(arena_copy(&a, TEXT + node_get(site, "empty")->from - 1, 1), ":");
}

/* Ranges of long text with characters of every length: each entry is found again in the source. */
Test(yaml_tree, ranges)
{
	static const char *const WORDS[] = {"a", "ß", "€", "😀", "abc€", "x😀ß"};
	struct buf b;
	buf_init(&b, &a);
	for (size_t i = 0; i < 3000; i++)
		buf_format(&b, "- %s%zu\n", WORDS[i % 6], i);
	struct node *n = read_bytes(b.bytes, b.length);
	cr_assert_not_null(n);
	cr_assert_eq(n->count, 3000);
	for (size_t i = 0; i < n->count; i++) {
		const struct node *item = n->items[i];
		size_t length = item->to - item->from;
		cr_assert_eq(length, strlen(item->text));
		cr_assert_eq(memcmp(b.bytes + item->from, item->text, length), 0, "%zu", i);
	}
}

static const struct {
	const char *text;
	int line, column;
	enum finding_code code;
	const char *subject, *way;
} REFUSED[] = {
	/* What two readers could read differently. */
	{"a: 1\na: 2\n", 2, 1, FINDING_CODE_YAML_DUPLICATE, "", ""},
	{"g:\n  b: 1\n  'b': 2\n", 3, 3, FINDING_CODE_YAML_DUPLICATE, "g", ""},
	{"{a: 1, \"a\": 2}", 1, 8, FINDING_CODE_YAML_DUPLICATE, "", ""},
	{"a: &x 1\n", 1, 4, FINDING_CODE_YAML_ALIAS, "a", ""},
	{"a: &x [1]\n", 1, 4, FINDING_CODE_YAML_ALIAS, "a", ""},
	{"a: !!str 1\n", 1, 4, FINDING_CODE_YAML_TAG, "a", ""},
	{"a: ! 1\n", 1, 4, FINDING_CODE_YAML_TAG, "a", ""},
	{"a: !x {b: 1}\n", 1, 4, FINDING_CODE_YAML_TAG, "a", ""},
	{"a: 1\n---\nb: 2\n", 2, 1, FINDING_CODE_YAML_DOCUMENTS, "", ""},
	{"a: 1\n--- 5", 2, 1, FINDING_CODE_YAML_DOCUMENTS, "", ""},
	{"a: \"x\\x00y\"\n", 1, 4, FINDING_CODE_YAML_NUL, "a", ""},
	{"\"a\\0\": 1\n", 1, 1, FINDING_CODE_YAML_NUL, "", ""},
	{"<<: {a: 1}\n", 1, 1, FINDING_CODE_YAML_KEY, "", "no-merge"},
	{"? [a]\n: 1\n", 1, 3, FINDING_CODE_YAML_KEY, "", "plain-key"},
	{"? {a: 1}\n: 1\n", 1, 3, FINDING_CODE_YAML_KEY, "", "quote-braces"},
	{"m: {{value}}\n", 1, 5, FINDING_CODE_YAML_KEY, "m", "quote-braces"},
	{": 1\n", 1, 1, FINDING_CODE_YAML_SYNTAX, "", "name-and-colon"},
	{"g:\n  - ?\n", 2, 6, FINDING_CODE_YAML_KEY, "g[1]", "quote-question-mark"},
	{"g:\n  ?\n", 2, 4, FINDING_CODE_YAML_KEY, "g", "quote-question-mark"},
	/* Nothing to read. */
	{"", 1, 1, FINDING_CODE_YAML_EMPTY, "", ""},
	{"\n\n# words\n", 1, 1, FINDING_CODE_YAML_EMPTY, "", ""},
	{"---\n", 1, 1, FINDING_CODE_YAML_EMPTY, "", ""},
	{"\xEF\xBB\xBF", 1, 1, FINDING_CODE_YAML_EMPTY, "", ""},
	/* Characters. */
	{"a: caf\xE9\n", 1, 7, FINDING_CODE_YAML_ENCODING, "", "save-as-utf-8"},
	{"a: 1\nb: ß\xC0\xAF\n", 2, 5, FINDING_CODE_YAML_ENCODING, "", "save-as-utf-8"},
	{"\xFF\xFE" "a", 1, 1, FINDING_CODE_YAML_ENCODING, "", "save-as-utf-8"},
	{"a: 1\r\n\xED\xA0\x80", 2, 1, FINDING_CODE_YAML_ENCODING, "", "save-as-utf-8"},
	{"a: \x07", 1, 4, FINDING_CODE_YAML_ENCODING, "", "remove-character"},
	{"a: x\xC2\x85y", 1, 5, FINDING_CODE_YAML_ENCODING, "", "remove-character"},
	{"a: x\xE2\x80\xA8y", 1, 5, FINDING_CODE_YAML_ENCODING, "", "remove-character"},
	{"a: \xEF\xBB\xBF", 1, 4, FINDING_CODE_YAML_ENCODING, "", "remove-character"},
	/* Slips of syntax, each with what would be right. */
	{"key: ?\n", 1, 6, FINDING_CODE_YAML_SYNTAX, "", "quote-question-mark"},
	{"key: ? x\n", 1, 6, FINDING_CODE_YAML_SYNTAX, "", "quote-question-mark"},
	{"g:\n\ta: 1\n", 2, 1, FINDING_CODE_YAML_SYNTAX, "", "spaces-not-tabs"},
	{"g:\n  a: 1\n\tb: 2\n", 3, 1, FINDING_CODE_YAML_SYNTAX, "", "spaces-not-tabs"},
	{"a: 1\nb:2\nc: 3\n", 2, 1, FINDING_CODE_YAML_SYNTAX, "", "blank-after-colon"},
	{"a: 1\nb:2\n", 2, 1, FINDING_CODE_YAML_SYNTAX, "", "blank-after-colon"},
	{"a: 1\nbroken\nc: 3\n", 2, 1, FINDING_CODE_YAML_SYNTAX, "", "name-and-colon"},
	{"note: see: this\n", 1, 10, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: 1\n  b: 2\n", 2, 4, FINDING_CODE_YAML_SYNTAX, "", "indent-alike"},
	{"g:\n    a: 1\n  b: 2\n", 3, 3, FINDING_CODE_YAML_SYNTAX, "", "indent-alike"},
	{"  a: 1\nb: 2\n", 2, 1, FINDING_CODE_YAML_SYNTAX, "", "indent-alike"},
	{"g:\n  - a\n b\n", 3, 2, FINDING_CODE_YAML_SYNTAX, "", "indent-alike"},
	{"a: \"open\nb: 2\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "close-quote"},
	{"a: 'it's'\n", 1, 8, FINDING_CODE_YAML_SYNTAX, "", "quote-all"},
	{"a: \"x\" y\n", 1, 8, FINDING_CODE_YAML_SYNTAX, "", "quote-all"},
	{"a: [1, 2\nb: 2\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "close-bracket"},
	{"a: {b: 1\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "close-bracket"},
	{"a: \"C:\\photos\"\n", 1, 7, FINDING_CODE_YAML_SYNTAX, "", "single-quotes"},
	{"a: - b\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "list-on-new-line"},
	{"a: @b\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: `b`\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: %b\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: & b\n", 1, 5, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: *\n", 1, 5, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: !x!y z\n", 1, 4, FINDING_CODE_YAML_SYNTAX, "", "quote-text"},
	{"a: |x\n  b\n", 1, 5, FINDING_CODE_YAML_SYNTAX, "", "block-text"},
	{"a: 1\n...\nb: 2\n", 3, 1, FINDING_CODE_YAML_SYNTAX, "", "indent-alike"},
};

Test(yaml_tree, refused)
{
	for (size_t i = 0; i < sizeof REFUSED / sizeof *REFUSED; i++) {
		const char *text = REFUSED[i].text;
		cr_assert_null(read_text(text), "accepted: %s", text);
		cr_assert_eq(f.count, 1, "%s: %zu findings", text, f.count);
		const struct finding *it = f.items[0];
		cr_expect_eq(it->code, REFUSED[i].code, "%s: %s", text, finding_name(it->code));
		cr_expect(it->at.line == REFUSED[i].line && it->at.column == REFUSED[i].column,
			"%s: %d:%d", text, it->at.line, it->at.column);
		cr_expect_str_eq(it->subject, REFUSED[i].subject, "%s: %s", text, it->subject);
		cr_expect_str_eq(it->ways ? it->ways->id : "", REFUSED[i].way, "%s: %s (%s)", text,
			it->ways ? it->ways->id : "", value_named(it, "reason"));
	}
}

Test(yaml_tree, nul_byte)
{
	cr_expect_null(read_bytes("a: 1\nb: \0", 9));
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->code, FINDING_CODE_YAML_NUL);
	cr_expect_eq(f.items[0]->at.line, 2);
	cr_expect_eq(f.items[0]->at.column, 4);
}

/* All that can be told is told in one reading. */
Test(yaml_tree, several)
{
	cr_expect_null(read_text("a: &x 1\nb: *x\nc: !!int 2\na: 3\nd: [1, {e: 1, e: 2, e: 3}]\n"));
	cr_assert_eq(f.count, 6);
	findings_sort(&f);
	static const int LINES[] = {1, 2, 3, 4, 5, 5};
	for (size_t i = 0; i < 6; i++)
		cr_expect_eq(f.items[i]->at.line, LINES[i]);
	cr_expect_str_eq(f.items[4]->subject, "d[2]");
	cr_expect_str_eq(value_named(f.items[3], "line"), "1");
	cr_expect_str_eq(value_named(f.items[3], "key"), "a");
	cr_expect_str_eq(value_named(f.items[1], "found"), "*x");
}

Test(yaml_tree, excerpt)
{
	cr_expect_null(read_text("a: 1\n   note: see: this \x20\n"));
	cr_expect_str_eq(value_named(f.items[0], "near"), "note: see: this");
	cr_expect_null(read_text(
		"note: 1234567890123456789012345678901234567890123456789012345: ß: abcdef\n"));
	cr_expect_str_eq(value_named(f.items[0], "near"),
		"note: 123456789012345678901234567890123456789012345678901234…");
	cr_expect_null(read_text("a: [1,\n\n\n"));
	cr_expect_str_eq(value_named(f.items[0], "near"), "a: [1,");
}

static char *repeat(const char *part, size_t times, size_t *length)
{
	struct buf b;
	buf_init(&b, &a);
	for (size_t i = 0; i < times; i++)
		buf_put(&b, part);
	*length = b.length;
	return b.bytes;
}

Test(yaml_tree, depth)
{
	struct buf b;
	for (size_t deep = TREE_DEPTH; deep <= TREE_DEPTH + 1; deep++) {
		buf_init(&b, &a);
		for (size_t i = 0; i < deep; i++)
			buf_char(&b, '[');
		for (size_t i = 0; i < deep; i++)
			buf_char(&b, ']');
		cr_expect_eq(read_bytes(b.bytes, b.length) != NULL, deep == TREE_DEPTH);
	}
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->code, FINDING_CODE_YAML_DEPTH);
	cr_expect_eq(f.items[0]->at.column, TREE_DEPTH + 1);
	buf_init(&b, &a);
	for (int i = 0; i < TREE_DEPTH + 1; i++)
		buf_format(&b, "%*sk:\n", i, "");
	cr_expect_null(read_bytes(b.bytes, b.length));
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->code, FINDING_CODE_YAML_DEPTH);
}

Test(yaml_tree, sizes)
{
	size_t length;
	char *text = repeat("- 1\n", TREE_NODES - 1, &length); /* and the list itself */
	cr_expect_not_null(read_bytes(text, length));
	text = repeat("- 1\n", TREE_NODES, &length);
	cr_expect_null(read_bytes(text, length));
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->code, FINDING_CODE_YAML_SIZE);
	text = repeat("x", TREE_BYTES, &length);
	cr_expect_not_null(read_bytes(text, length));
	text = repeat("x", TREE_BYTES + 1, &length);
	cr_expect_null(read_bytes(text, length));
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->code, FINDING_CODE_YAML_SIZE);
	text = repeat("k", TREE_KEY, &length);
	cr_expect_not_null(read_text(arena_format(&a, "%s: 1", text)));
	cr_expect_null(read_text(arena_format(&a, "%sk: 1", text)));
	cr_expect_str_eq(f.items[0]->ways->id, "short-key");
	/* Cut between characters, not within one. */
	text = repeat("ß", TREE_KEY / 2 + 1, &length);
	cr_expect_null(read_text(arena_format(&a, "a%s: 1", text)));
	cr_expect_str_eq(value_named(f.items[0], "key"), "aßßßßßßßßßßßßßßßßßßß…");
	text = repeat("- *a\n", 10000, &length);
	cr_expect_null(read_bytes(text, length));
	cr_expect_eq(f.count, TREE_REASONS);
}

/* None of these may take long: nesting, keys, aliases, quotes, comments, blanks by the megabyte. */
Test(yaml_tree, hostile)
{
	static const char *const PARTS[] = {"[", "{", "- ", "? ", "[{", "a: ", "a:\n", "k: &a [*a]\n",
		"\"", "'", "\\", "#\n", "# ", "\n", " ", "\t", "!", "&", "*", "|\n", ">\n", "%", "---\n",
		"...\n", ",", ":", "}", "]", "- - ", "!!", "\"\\x00\"\n", "ß", "{a: [", "a: b: ", "x\n",
		"\r", "\xFF", "@", "{a,", "[? ", "a: |\n b\n", "!<x> ", "%YAML 1.1\n", "x: 'a'\n"};
	jmp_buf local;
	clock_t start = clock();
	for (size_t i = 0; i < sizeof PARTS / sizeof *PARTS; i++) {
		size_t length = 0;
		struct arena own;
		struct findings list;
		arena_init(&own, &local);
		findings_init(&list, &own);
		clock_t one = clock();
		char *text = repeat(PARTS[i], 1000000 / strlen(PARTS[i]), &length);
		struct node *n = tree_read(&own, text, length, "gate.yaml", &list);
		cr_expect((n == NULL) == (list.count > 0), "%s", PARTS[i]);
		cr_expect_leq(list.count, TREE_REASONS);
		cr_expect_lt(clock() - one, 2 * CLOCKS_PER_SEC, "%s took long", PARTS[i]);
		arena_release(&own);
	}
	cr_expect_lt(clock() - start, 20 * CLOCKS_PER_SEC);
}

/* As many keys as fit, and one of them again. */
Test(yaml_tree, many_keys)
{
	struct buf b;
	buf_init(&b, &a);
	for (int i = 0; i < 95000; i++)
		buf_format(&b, "k%d: 1\n", i);
	clock_t start = clock();
	cr_expect_not_null(read_bytes(b.bytes, b.length));
	buf_put(&b, "k77: 2\n");
	cr_expect_null(read_bytes(b.bytes, b.length));
	cr_assert_eq(f.count, 1);
	cr_expect_eq(f.items[0]->at.line, 95001);
	cr_expect_str_eq(value_named(f.items[0], "line"), "78");
	cr_expect_lt(clock() - start, 4 * CLOCKS_PER_SEC);
}
