/* The pocket book explained: what each computation needs and gives. */
#include "assess/reckon.h"
#include "base/text.h"
#include "work/explain.h"

struct page {
	struct arena *arena;
	const struct phrasebook *words;
	struct explained *entry;
};

static void line(struct page *p, const char *key, const char *label, const char *value)
{
	struct explained *e = p->entry;
	if (!value || !*value)
		return;
	if (e->count == e->room) {
		size_t room = e->room ? e->room * 2 : 16;
		e->lines = arena_grow(p->arena, e->lines, e->count, room, sizeof *e->lines);
		e->room = room;
	}
	e->lines[e->count++] = (struct explained_line){key, label, value};
}

static const char *words_of(const struct page *p, const char *name, const char *part)
{
	return phrasebook_find(p->words, arena_format(p->arena, "reckon.%s.%s", name, part));
}

static const char *cli(const struct page *p, const char *key)
{
	const char *text = phrasebook_find(p->words, arena_format(p->arena, "cli.%s", key));
	return text ? text : key;
}

/* "mass speed [spring=500 N/mm]": what must be given, then what may be. */
static const char *form_text(const struct page *p, const struct reckoner *r, unsigned form)
{
	struct buf b;
	buf_init(&b, p->arena);
	for (size_t i = 0; i < r->key_count; i++)
		if (r->keys[i].needed & form)
			buf_format(&b, "%s%s", b.length ? " " : "", r->keys[i].name);
	for (size_t i = 0; i < r->key_count; i++) {
		const struct reckon_key *k = &r->keys[i];
		if ((k->needed & form) || (k->forms && !(k->forms & form)))
			continue;
		buf_format(&b, " [%s%s%s]", k->name, k->usual ? "=" : "", k->usual ? k->usual : "");
	}
	return b.bytes;
}

/* What may stand behind the =. */
static const char *takes(const struct page *p, const struct reckon_key *k)
{
	struct buf b;
	buf_init(&b, p->arena);
	if (k->kind == RECKON_DATE) {
		buf_put(&b, cli(p, "reckon-date"));
	} else if (k->kind != RECKON_QUANTITY) {
		for (const char *c = k->choices ? k->choices : ""; *c; c++)
			buf_format(&b, *c == '|' ? ", " : "%c", *c);
	} else {
		const char *units = dimension_units(p->arena, *k->dim);
		bool plain = k->bare && !*k->bare;
		buf_put(&b, plain || !*units ? cli(p, "reckon-number") : units);
		if (k->bare && *k->bare)
			buf_format(&b, "; %s %s", cli(p, "reckon-bare"), k->bare);
		if (k->low && k->high)
			buf_format(&b, "; %s … %s", k->low, k->high);
	}
	if (k->list || k->kind == RECKON_WORDS)
		buf_format(&b, "; %s", cli(p, "reckon-list"));
	return b.bytes;
}

static void key_line(struct page *p, const struct reckoner *r, const struct reckon_key *k)
{
	const char *what = words_of(p, r->name, arena_format(p->arena, "keys.%s", k->name));
	if (!what)
		what = phrasebook_find(p->words, arena_format(p->arena, "reckon-keys.%s", k->name));
	const char *taken = takes(p, k);
	line(p, "key", k->name, arena_format(p->arena, "%s%s%s", what ? what : "", what && *taken ? "\n" : "", taken));
}

static void describe(struct page *p, const struct reckoner *r)
{
	line(p, "text", NULL, words_of(p, r->name, "text"));
	for (unsigned form = FORM_1; form & r->forms; form <<= 1)
		line(p, "form", cli(p, form == FORM_1 ? "reckon-form" : "reckon-or"), form_text(p, r, form));
	for (size_t i = 0; i < r->key_count; i++)
		key_line(p, r, &r->keys[i]);
	for (size_t i = 0; i < r->result_count; i++) {
		const char *what = words_of(p, r->name,
			arena_format(p->arena, "results.%s", r->results[i].name));
		line(p, "result", r->results[i].name, what ? what : "–");
	}
	line(p, "holds", cli(p, "reckon-holds"), words_of(p, r->name, "holds"));
	line(p, "example", cli(p, "reckon-example"),
		arena_format(p->arena, "pintle reckon %s %s", r->name, words_of(p, r->name, "example")));
}

struct explained_list explain_reckoners(struct arena *a, const struct phrasebook *words, const char *name)
{
	struct page p = {.arena = a, .words = words};
	struct explained_list list = {0};
	size_t all = 0;
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		all += (*f)->count;
	list.items = arena_array(a, all + 1, sizeof *list.items);
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count; i++) {
			const struct reckoner *r = &(*f)->reckoners[i];
			if (name && !text_equal(name, r->name))
				continue;
			p.entry = &list.items[list.count++];
			*p.entry = (struct explained){.id = r->name, .kind = "reckon",
				.kind_label = cli(&p, "kind-reckon")};
			line(&p, "title", NULL, words_of(&p, r->name, "title"));
			line(&p, "family", cli(&p, "reckon-family"), phrasebook_part(words, "reckon-families",
				(*f)->id, "title"));
			if (name)
				describe(&p, r);
			else
				line(&p, "form", cli(&p, "reckon-form"), form_text(&p, r, FORM_1));
		}
	return list;
}
