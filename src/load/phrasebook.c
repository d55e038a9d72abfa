#include "load/phrasebook.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "rule/pattern.h"
#include "yaml/bind.h"

enum { KEY_MAX = 200 };

static void append(
	struct arena *a, struct phrase **list, size_t *count, size_t *room, struct phrase phrase)
{
	if (*count == *room) {
		size_t more = *room ? *room * 2 : 64;
		*list = arena_grow(a, *list, *count, more, sizeof **list);
		*room = more;
	}
	(*list)[(*count)++] = phrase;
}

static const struct pattern *placeholder(struct arena *a, struct phrasebook *b, struct findings *f)
{
	if (!b->placeholder)
		b->placeholder =
			pattern_compile(a, PHRASE_PLACEHOLDER, false, (struct place){"", 1, 1}, f);
	return b->placeholder;
}

/* Whether every "{{" begins a placeholder. */
static bool well_formed(const struct pattern *p, const char *text)
{
	struct pattern_match m;
	size_t length = strlen(text);
	for (const char *at = strstr(text, "{{"); at; at = strstr(text + m.to[0], "{{"))
		if (pattern_find(p, text, length, (size_t)(at - text), &m) != PATTERN_YES ||
			m.from[0] != (size_t)(at - text))
			return false;
	return true;
}

static bool add_text(struct bind *bind, struct phrasebook *b, const struct node *n, const char *key)
{
	if (strlen(key) > KEY_MAX) {
		bind_refuse(bind, FINDING_CODE_WORDS_NAME, key, n->at, key);
		return false;
	}
	if (!well_formed(placeholder(bind->arena, b, bind->findings), n->text)) {
		bind_refuse(bind, FINDING_CODE_WORDS_PLACEHOLDER, key, n->at, n->text);
		return false;
	}
	append(bind->arena, &b->phrases, &b->count, &b->phrase_room,
		(struct phrase){key, n->text, n->at});
	return true;
}

static bool flatten(struct bind *bind, struct phrasebook *b, const struct node *n, const char *key)
{
	bool fine = true;
	if (n->kind == NODE_LIST) {
		bind_refuse(bind, FINDING_CODE_WORDS_SHAPE, key, n->at, "a list");
		return false;
	}
	if (n->kind == NODE_SCALAR)
		return add_text(bind, b, n, key);
	for (size_t i = 0; i < n->count; i++) {
		const char *below = bind_path(bind, key, n->pairs[i].key);
		if (strlen(below) > KEY_MAX) {
			bind_refuse(bind, FINDING_CODE_WORDS_NAME, key, n->pairs[i].key_at,
				n->pairs[i].key);
			fine = false;
		} else if (!flatten(bind, b, n->pairs[i].value, below)) {
			fine = false;
		}
	}
	return fine;
}

/* The name of the file without folders and ending. */
static const char *stem(struct arena *a, const char *file)
{
	const char *slash = strrchr(file, '/');
	const char *name = slash ? slash + 1 : file, *dot = strrchr(name, '.');
	return arena_copy(a, name, dot ? (size_t)(dot - name) : strlen(name));
}

static struct place place_of(const char *bytes, size_t offset, const char *file)
{
	struct place at = {file, 1, 1};
	for (size_t i = 0; i < offset; i++) {
		if (bytes[i] == '\n') {
			at.line++;
			at.column = 1;
		} else if (((unsigned char)bytes[i] & 0xC0) != 0x80) {
			at.column++;
		}
	}
	return at;
}

static bool add_document(
	struct bind *bind, struct phrasebook *b, const char *bytes, size_t length, const char *file)
{
	size_t fault = utf8_check(bytes, length);
	const char *nul = length ? memchr(bytes, '\0', length) : NULL;
	if (nul && (size_t)(nul - bytes) < fault)
		fault = (size_t)(nul - bytes);
	if (fault < length) {
		bind_refuse(bind, FINDING_CODE_WORDS_ENCODING, file, place_of(bytes, fault, file),
			file);
		return false;
	}
	append(bind->arena, &b->documents, &b->document_count, &b->document_room,
		(struct phrase){stem(bind->arena, file), arena_copy(bind->arena, bytes, length),
			(struct place){file, 1, 1}});
	return true;
}

bool phrasebook_add_tree(struct arena *a, struct phrasebook *b, const struct node *root,
	struct findings *f)
{
	struct bind bind = {.arena = a, .findings = f};
	const char *file = root->at.file;
	if (root->kind != NODE_MAP) {
		bind_refuse(&bind, FINDING_CODE_WORDS_SHAPE, file, root->at, "no groups of words");
		return false;
	}
	const char *name = stem(a, file);
	bool itself = text_equal(name, "findings") && !node_get(root, name);
	return flatten(&bind, b, root, itself ? name : "");
}

bool phrasebook_add(struct arena *a, struct phrasebook *b, const char *bytes, size_t length,
	const char *file, struct findings *f)
{
	struct bind bind = {.arena = a, .findings = f};
	if (text_ends(file, ".md"))
		return add_document(&bind, b, bytes, length, file);
	const struct node *root = tree_read(a, bytes, length, file, f);
	return root && phrasebook_add_tree(a, b, root, f);
}

static int compare_phrases(const void *x, const void *y)
{
	const struct phrase *a = x, *b = y;
	int order = strcmp(a->key, b->key);
	if (order == 0)
		order = strcmp(a->at.file, b->at.file);
	return order ? order : (a->at.line > b->at.line) - (a->at.line < b->at.line);
}

static void sort_unique(struct bind *bind, struct phrase *phrases, size_t *count)
{
	size_t kept = 0;
	if (*count)
		qsort(phrases, *count, sizeof *phrases, compare_phrases);
	for (size_t i = 0; i < *count; i++) {
		if (kept && text_equal(phrases[kept - 1].key, phrases[i].key)) {
			const struct place *first = &phrases[kept - 1].at;
			struct finding *f = bind_refuse(bind, FINDING_CODE_WORDS_DUPLICATE,
				phrases[i].key, phrases[i].at, phrases[i].key);
			bind_with(bind, f, "first",
				arena_format(bind->arena, "%s:%d", first->file, first->line));
			continue;
		}
		phrases[kept++] = phrases[i];
	}
	*count = kept;
}

void phrasebook_finish(struct arena *a, struct phrasebook *b, struct findings *f)
{
	struct bind bind = {.arena = a, .findings = f};
	sort_unique(&bind, b->phrases, &b->count);
	sort_unique(&bind, b->documents, &b->document_count);
	placeholder(a, b, f);
}
