#include "model/phrase.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "rule/pattern.h"

const char PHRASE_PLACEHOLDER[] =
	"\\{\\{[ ]*([a-z][a-z0-9.-]*)(?:[ ]+in[ ]+([a-z][a-z0-9.-]*))?[ ]*\\}\\}";

/* Where the words for placeholders come from. */
struct source {
	const struct phrasebook *book; /* for {{name in group}}; may be NULL */
	const char *(*value)(void *subject, const char *name);
	void *subject;
};

static int compare_key(const void *key, const void *phrase)
{
	return strcmp(key, ((const struct phrase *)phrase)->key);
}

static const char *find(const struct phrase *phrases, size_t count, const char *key)
{
	const struct phrase *p =
		count ? bsearch(key, phrases, count, sizeof *phrases, compare_key) : NULL;
	return p ? p->text : NULL;
}

const char *phrasebook_find(const struct phrasebook *b, const char *key)
{
	return find(b->phrases, b->count, key);
}

const char *phrasebook_document(const struct phrasebook *b, const char *name)
{
	return find(b->documents, b->document_count, name);
}

enum { KEY_MAX = 240 };

/* Joins up to four parts with dots into `key`; false when that is too long for any key. */
static bool join(char key[KEY_MAX], const char *const *parts, size_t count)
{
	size_t at = 0;
	for (size_t i = 0; i < count; i++) {
		size_t n = strlen(parts[i]);
		if (at + n + 2 > KEY_MAX)
			return false;
		if (i)
			key[at++] = '.';
		memcpy(key + at, parts[i], n);
		at += n;
	}
	key[at] = '\0';
	return true;
}

const char *phrasebook_part(const struct phrasebook *b, const char *group, const char *id,
	const char *part)
{
	char key[KEY_MAX];
	const char *parts[] = {group, id, part};
	return join(key, parts, 3) ? phrasebook_find(b, key) : NULL;
}

/* An id for people. */
static const char *titled(const struct phrasebook *b, const char *group, const char *id)
{
	char key[KEY_MAX];
	const char *parts[] = {group, id};
	const char *title = b ? phrasebook_part(b, group, id, "title") : NULL;
	if (!title && b && join(key, parts, 2))
		title = phrasebook_find(b, key);
	/* What the library declares has its words elsewhere: the id is then their whole key. */
	if (!title && b)
		title = phrasebook_find(b, id);
	parts[0] = id;
	parts[1] = "title";
	if (!title && b && join(key, parts, 2))
		title = phrasebook_find(b, key);
	return title ? title : id;
}

const char *phrase_title(struct arena *a, const struct phrasebook *b, const char *group, const char *id)
{
	const char *title = titled(b, group, id);
	size_t n = strcspn(id, "@ ");
	if (!b || title != id || !id[n])
		return title;
	title = phrasebook_find(b, arena_format(a, "%s.%.*s", group, (int)n, id));
	if (!title)
		return id;
	return arena_format(a, id[n] == '@' ? "%s (%s)" : "%s %s", title, id + n + 1);
}

static char *expand(struct arena *a, const char *text, const struct source *s);

/* {{name in words}}: the value is the whole key of other words, whose own placeholders are filled too, but
 * go no deeper. */
static const char *other_words(struct arena *a, const struct source *s, const char *key)
{
	const char *text = s->book ? phrasebook_find(s->book, key) : NULL;
	struct source plain = {NULL, s->value, s->subject};
	return text ? expand(a, text, &plain) : key;
}

/* Several ids joined by ", " are shown one after the other: sentences as such, other titles with semicolons. */
static void put_titles(struct buf *out, const struct source *s, const char *group, const char *ids)
{
	const char *between = "";
	for (const char *id = ids; *id;) {
		const char *comma = strstr(id, ", ");
		size_t length = comma ? (size_t)(comma - id) : strlen(id);
		const char *title = phrase_title(out->arena, s->book, group, arena_copy(out->arena, id, length));
		buf_put(out, between);
		buf_put(out, title);
		between = text_ends(title, ".") ? " " : "; ";
		id += length + (comma ? strlen(", ") : 0);
	}
}

static void put_value(struct buf *out, const struct source *s, const char *text,
	const struct pattern_match *m)
{
	struct arena *a = out->arena;
	const char *name = arena_copy(a, text + m->from[1], m->to[1] - m->from[1]);
	const char *value = s->value(s->subject, name);
	if (!value) {
		buf_add(out, text + m->from[0], m->to[0] - m->from[0]);
	} else if (m->set[2]) {
		const char *group = arena_copy(a, text + m->from[2], m->to[2] - m->from[2]);
		if (text_equal(group, "words"))
			buf_put(out, other_words(a, s, value));
		else
			put_titles(out, s, group, value);
	} else {
		buf_put(out, value);
	}
}

static const struct pattern *placeholder(struct arena *a, const struct phrasebook *b)
{
	struct findings none;
	if (b && b->placeholder)
		return b->placeholder;
	findings_init(&none, a);
	return pattern_compile(a, PHRASE_PLACEHOLDER, false, (struct place){0}, &none);
}

static char *expand(struct arena *a, const char *text, const struct source *s)
{
	struct pattern_match m;
	struct buf out;
	size_t at = 0, length = strlen(text);
	const char *braces = strstr(text, "{{");
	if (!braces)
		return arena_copy(a, text, length);
	const struct pattern *p = placeholder(a, s->book);
	buf_init(&out, a);
	while (braces && pattern_find(p, text, length, (size_t)(braces - text), &m) == PATTERN_YES) {
		buf_add(&out, text + at, m.from[0] - at);
		put_value(&out, s, text, &m);
		at = m.to[0];
		braces = strstr(text + at, "{{");
	}
	buf_add(&out, text + at, length - at);
	return out.bytes;
}

char *phrase_expand(struct arena *a, const char *text,
	const char *(*value)(void *subject, const char *name), void *subject)
{
	struct source s = {NULL, value, subject};
	return expand(a, text, &s);
}

struct values {
	const struct finding_value *first;
	const char *subject; /* for {{subject}}; NULL: none */
};

static const char *value_named(void *subject, const char *name)
{
	const struct values *all = subject;
	for (const struct finding_value *v = all->first; v; v = v->next)
		if (text_equal(v->name, name))
			return v->value;
	return text_equal(name, "subject") ? all->subject : NULL;
}

char *phrase_fill(struct arena *a, const char *text, const struct finding_value *values)
{
	struct values all = {values, NULL};
	return phrase_expand(a, text, value_named, &all);
}

/* A finding may bring the key of its message, or several with | between: the first that there are words for. */
static const char *own_message(struct arena *a, const struct phrasebook *b, const struct finding *f)
{
	struct values all = {f->values, NULL};
	const char *keys = value_named(&all, "message"), *text = NULL;
	while (keys && *keys && !text) {
		size_t n = strcspn(keys, "|");
		text = phrasebook_find(b, arena_copy(a, keys, n));
		keys += n + (keys[n] == '|');
	}
	return text;
}

char *phrase_finding(struct arena *a, const struct phrasebook *b, const struct finding *f)
{
	const char *name = finding_name(f->code);
	const char *text = own_message(a, b, f);
	if (!text)
		text = phrasebook_part(b, "findings", name, "message");
	struct values all = {f->values, f->subject};
	struct source s = {b, value_named, &all};
	return text ? expand(a, text, &s) : arena_string(a, name);
}

char *phrase_way(struct arena *a, const struct phrasebook *b, const struct finding *f,
	const struct way *w)
{
	char key[KEY_MAX];
	const char *own[] = {"findings", finding_name(f->code), "ways", w->id}, *shared[] = {"ways", w->id};
	const char *text = join(key, own, 4) ? phrasebook_find(b, key) : NULL;
	if (!text && join(key, shared, 2))
		text = phrasebook_find(b, key);
	if (!text)
		text = phrasebook_find(b, w->id);
	struct values all = {w->values, f->subject};
	struct source s = {b, value_named, &all};
	return text ? expand(a, text, &s) : arena_string(a, w->id);
}
