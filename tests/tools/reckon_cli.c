/* Puts the pocket book to the program as people call it.
 *
 *   reckon_cli rows PROGRAM    every row of tests/published for it, by `reckon NAME … --json`
 *   reckon_cli calls PROGRAM   of every name: its page, its example, and what it says to wrong
 * calls
 *
 * Prints "ok …" and "FAILED …" lines; ends with 1 when something failed. Two processes share the
 * work.
 */
#include <jansson.h>
#include <setjmp.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../unit/published_rows.h"
#include "assess/reckon.h"
#include "base/text.h"

enum { WORKERS = 2, MOST_ARGUMENTS = 40 };

struct call {
	const char *words[MOST_ARGUMENTS + 2]; /* what follows the name */
	size_t count;
};

struct answer {
	int status;
	char *out, *err;
};

struct tally {
	struct arena *arena;
	const char *program;
	size_t passed, failed;
};

/* --- running the program
 * --------------------------------------------------------------------------- */

static char *drain(struct arena *a, FILE *f)
{
	fseek(f, 0, SEEK_END);
	size_t size = (size_t)ftell(f);
	char *text = arena_alloc(a, size + 1);
	rewind(f);
	text[fread(text, 1, size, f)] = '\0';
	fclose(f);
	return text;
}

static struct answer ask(struct tally *t, const char *name, const struct call *c)
{
	char *argv[MOST_ARGUMENTS + 8];
	size_t n = 0;
	FILE *out = tmpfile(), *err = tmpfile();
	if (!out || !err)
		exit(3);
	argv[n++] = arena_string(t->arena, t->program);
	argv[n++] = arena_string(t->arena, "reckon");
	argv[n++] = arena_string(t->arena, name);
	for (size_t i = 0; i < c->count; i++)
		argv[n++] = arena_string(t->arena, c->words[i]);
	argv[n] = NULL;
	posix_spawn_file_actions_t files;
	pid_t pid;
	int status = 0;
	posix_spawn_file_actions_init(&files);
	posix_spawn_file_actions_adddup2(&files, fileno(out), 1);
	posix_spawn_file_actions_adddup2(&files, fileno(err), 2);
	if (posix_spawn(&pid, t->program, &files, NULL, argv, environ) != 0)
		exit(3);
	posix_spawn_file_actions_destroy(&files);
	waitpid(pid, &status, 0);
	struct answer got = {.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128};
	got.out = drain(t->arena, out);
	got.err = drain(t->arena, err);
	return got;
}

static const char *called(struct tally *t, const char *name, const struct call *c)
{
	struct buf b;
	buf_init(&b, t->arena);
	buf_put(&b, name);
	for (size_t i = 0; i < c->count; i++)
		buf_format(&b, " '%s'", c->words[i]);
	return b.bytes;
}

static void expect(struct tally *t, bool holds, const char *what, const char *name,
	const struct call *c, const struct answer *got)
{
	if (holds) {
		t->passed++;
		return;
	}
	t->failed++;
	printf("FAILED %s: reckon %s: status %d %.300s\n", what, called(t, name, c), got->status,
		got->err);
}

/* --- reading its JSON
 * ------------------------------------------------------------------------------ */

static void show_json(struct buf *b, const json_t *v)
{
	size_t i;
	const char *key;
	json_t *item;
	switch (json_typeof(v)) {
	case JSON_INTEGER:
	case JSON_REAL:
		buf_format(b, "%.17g", json_number_value(v));
		return;
	case JSON_TRUE:
	case JSON_FALSE:
		buf_put(b, json_is_true(v) ? "yes" : "no");
		return;
	case JSON_STRING:
		buf_put(b, json_string_value(v));
		return;
	case JSON_NULL:
		buf_put(b, "-");
		return;
	case JSON_ARRAY:
		if (!json_array_size(v))
			buf_put(b, "none");
		for (i = 0; i < json_array_size(v); i++) {
			item = json_array_get(v, i);
			buf_put(b, !i ? "" : json_is_object(item) ? ";" : ",");
			show_json(b, item);
		}
		return;
	case JSON_OBJECT:
		break;
	}
	i = 0;
	/* The cells in the order in which they were written. */
	for (void *at = json_object_iter((json_t *)(uintptr_t)v); at;
		at = json_object_iter_next((json_t *)(uintptr_t)v, at)) {
		key = json_object_iter_key(at);
		buf_put(b, i++ && key ? "," : "");
		show_json(b, json_object_iter_value(at));
	}
}

/* "-" where it refused, NULL where there is no such result or no JSON. */
static const char *result_of(struct tally *t, const struct answer *got, const char *result)
{
	struct buf b;
	const char *shown = NULL;
	json_t *root = json_loads(got->out, 0, NULL), *value;
	const json_t *results = json_object_get(root, "results");
	if (json_is_object(results) && got->status == 2 && !json_object_size(results))
		shown = "-";
	else if (got->status <= 1 && (value = json_object_get(results, result)) &&
		 json_boolean_value(json_object_get(root, "in_order")) == (got->status == 0)) {
		buf_init(&b, t->arena);
		show_json(&b, value);
		shown = b.bytes;
	}
	json_decref(root);
	return shown;
}

/* --- rows
 * ------------------------------------------------------------------------------------------- */

static bool same_call(const struct row *a, const struct row *b)
{
	return b->reckoner && text_equal(a->reckoner, b->reckoner) &&
	       text_equal(a->arguments, b->arguments);
}

/* All rows that share a call are held against one answer. */
static void try_rows(struct tally *t, const struct rows *rows, size_t from)
{
	const struct row *first = &rows->items[from];
	struct call c = {.count = 0};
	for (size_t i = 0; i < first->count; i++)
		c.words[c.count++] = first->split[i];
	c.words[c.count++] = "--json";
	struct answer got = ask(t, first->reckoner, &c);
	for (size_t i = from; i < rows->count; i++) {
		const struct row *r = &rows->items[i];
		if (!same_call(first, r))
			continue;
		const char *shown = result_of(t, &got, row_result(t->arena, r));
		if (shown && row_agrees(r, shown)) {
			t->passed++;
			continue;
		}
		t->failed++;
		printf("FAILED %s:%d: reckon %s: %s, not %s, status %d %.200s\n", r->file, r->line,
			called(t, r->reckoner, &c), shown ? shown : "no result", r->expected,
			got.status, got.err);
	}
}

static bool seen_before(const struct rows *rows, size_t i)
{
	for (size_t k = 0; k < i; k++)
		if (rows->items[k].reckoner && same_call(&rows->items[k], &rows->items[i]))
			return true;
	return false;
}

static void all_rows(struct tally *t, size_t worker)
{
	struct rows rows;
	const char *fault = rows_read(t->arena, &rows);
	size_t turn = 0;
	if (fault) {
		printf("FAILED %s\n", fault);
		t->failed++;
		return;
	}
	for (size_t i = 0; i < rows.count; i++)
		if (rows.items[i].reckoner && !seen_before(&rows, i) && turn++ % WORKERS == worker)
			try_rows(t, &rows, i);
}

/* --- calls right and wrong
 * -------------------------------------------------------------------------- */

static const struct reckon_key *key_of(const struct reckoner *k, const char *word)
{
	size_t n = strcspn(word, "=");
	for (size_t i = 0; i < k->key_count; i++)
		if (strlen(k->keys[i].name) == n && strncmp(k->keys[i].name, word, n) == 0)
			return &k->keys[i];
	return NULL;
}

/* The words of the page's example behind "pintle reckon NAME". */
static bool example_of(
	struct tally *t, const struct reckoner *k, const struct answer *page, struct call *out)
{
	json_t *root = json_loads(page->out, 0, NULL), *line;
	const json_t *entry = json_array_get(json_object_get(root, "entries"), 0);
	size_t i;
	char *text = NULL, *word;
	json_array_foreach(json_object_get(entry, "lines"), i,
		line) if (text_equal(json_string_value(json_object_get(line, "key")), "example"))
		text = arena_string(t->arena, json_string_value(json_object_get(line, "value")));
	json_decref(root);
	word = text ? strstr(text, k->name) : NULL;
	*out = (struct call){.count = 0};
	for (word = word ? strtok(word + strlen(k->name), " ") : NULL;
		word && out->count < MOST_ARGUMENTS; word = strtok(NULL, " "))
		out->words[out->count++] = word;
	return out->count > 0;
}

/* The results of the example are those of the table, no more and no fewer. */
static bool keys_agree(const struct reckoner *k, const struct answer *got)
{
	json_t *root = json_loads(got->out, 0, NULL);
	const json_t *results = json_object_get(root, "results");
	bool agree = json_object_size(results) == k->result_count &&
		     json_boolean_value(json_object_get(root, "in_order")) == (got->status == 0);
	for (size_t i = 0; i < k->result_count; i++)
		agree = agree && json_object_get(results, k->results[i].name);
	agree = agree && json_array_size(json_object_get(root, "steps")) &&
		json_string_length(json_object_get(root, "holds"));
	json_decref(root);
	return agree;
}

static struct call changed(const struct call *c, size_t at, const char *word)
{
	struct call out = *c;
	if (word)
		out.words[at] = word;
	for (size_t i = at; !word && i + 1 < c->count; i++)
		out.words[i] = c->words[i + 1];
	out.count -= !word;
	return out;
}

/* Status 2, nothing but a message, and `name` in it. */
static void refuses(struct tally *t, const char *what, const struct reckoner *k,
	const struct call *c, const char *named)
{
	struct answer got = ask(t, k->name, c);
	expect(t, got.status == 2 && !*got.out && strstr(got.err, named), what, k->name, c, &got);
}

/* "1.01 times 10 kPa": the number of a bound moved outward, its unit kept. */
static const char *beyond(struct tally *t, const char *key, const char *bound, bool up)
{
	char *unit;
	double x = strtod(bound, &unit),
	       moved = x == 0 ? (up ? 0.01 : -0.01) : x * (up == (x > 0) ? 1.01 : 0.99);
	return arena_format(t->arena, "%s=%.10g%s", key, moved, unit);
}

static void wrong_value(
	struct tally *t, const struct reckoner *k, const struct call *example, size_t i)
{
	const struct reckon_key *key = key_of(k, example->words[i]);
	const char *name = key->name;
	struct call c = changed(example, i, name);
	refuses(t, "no equals sign", k, &c, name);
	c = *example;
	c.words[c.count++] = example->words[i];
	refuses(t, "twice", k, &c, name);
	if (key->choices || key->kind == RECKON_DATE) {
		c = changed(example, i, arena_format(t->arena, "%s=nonsense", name));
		refuses(t, "a word that is none", k, &c, name);
	}
	if (key->kind != RECKON_QUANTITY)
		return;
	c = changed(example, i, arena_format(t->arena, "%s=1 furlong", name));
	refuses(t, "a unit that is none", k, &c, name);
	if (!key->bare) {
		c = changed(example, i, arena_format(t->arena, "%s=1", name));
		refuses(t, "no unit", k, &c, name);
	}
	if (key->low) {
		c = changed(example, i, beyond(t, name, key->low, false));
		refuses(t, "below the range", k, &c, name);
	}
	if (key->high) {
		c = changed(example, i, beyond(t, name, key->high, true));
		refuses(t, "above the range", k, &c, name);
	}
}

static void wrong_calls(struct tally *t, const struct reckoner *k, const struct call *example)
{
	struct call c = *example;
	c.words[c.count++] = "nonsense=1";
	refuses(t, "a key that is none", k, &c, "nonsense");
	for (size_t i = 0; i < example->count; i++) {
		const struct reckon_key *key = key_of(k, example->words[i]);
		if (!key)
			continue;
		c = changed(example, i, NULL);
		if (key->needed && c.count)
			refuses(t, "a key is missing", k, &c, key->name);
		wrong_value(t, k, example, i);
	}
}

static void try_name(struct tally *t, const struct reckoner *k)
{
	struct call c = {{"--json"}, 1}, example;
	struct answer page = ask(t, k->name, &c);
	expect(t, page.status == 0, "its page as JSON", k->name, &c, &page);
	bool has = example_of(t, k, &page, &example);
	expect(t, has, "an example", k->name, &c, &page);
	c.count = 0;
	page = ask(t, k->name, &c);
	bool named = page.status == 0 && strstr(page.out, "Example");
	for (size_t i = 0; i < k->key_count; i++)
		named = named && strstr(page.out, k->keys[i].name);
	expect(t, named, "its page names every key", k->name, &c, &page);
	if (!has)
		return;
	struct call json = example;
	json.words[json.count++] = "--json";
	struct answer got = ask(t, k->name, &json);
	expect(t, got.status <= 1 && keys_agree(k, &got), "its example", k->name, &json, &got);
	got = ask(t, k->name, &example);
	expect(t, got.status <= 1 && *got.out && !*got.err, "its example in words", k->name,
		&example, &got);
	wrong_calls(t, k, &example);
}

static void all_names(struct tally *t, size_t worker)
{
	size_t turn = 0;
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count; i++)
			if (turn++ % WORKERS == worker)
				try_name(t, &(*f)->reckoners[i]);
}

/* --- sharing the work
 * ------------------------------------------------------------------------------- */

static int work(const char *what, const char *program, size_t worker)
{
	struct arena arena;
	jmp_buf escape;
	arena_init(&arena, &escape);
	if (setjmp(escape))
		return 3;
	struct tally t = {.arena = &arena, .program = program};
	if (text_equal(what, "rows"))
		all_rows(&t, worker);
	else
		all_names(&t, worker);
	printf("%s reckon %s, share %zu of %d: %zu passed, %zu failed\n",
		t.failed || !t.passed ? "FAILED" : "ok", what, worker + 1, WORKERS, t.passed,
		t.failed);
	bool fine = !t.failed && t.passed;
	arena_release(&arena);
	return fine ? 0 : 1;
}

int main(int argc, char **argv)
{
	int bad = 0, status;
	if (argc != 3 || (strcmp(argv[1], "rows") != 0 && strcmp(argv[1], "calls") != 0)) {
		fprintf(stderr, "usage: reckon_cli rows|calls PROGRAM\n");
		return 2;
	}
	for (size_t w = 0; w < WORKERS; w++)
		if (fork() == 0) {
			status = work(argv[1], argv[2], w);
			fflush(stdout);
			_exit(status);
		}
	while (wait(&status) > 0)
		bad += !WIFEXITED(status) || WEXITSTATUS(status) != 0;
	return bad ? 1 : 0;
}
