#include "load/library.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"
#include "model/recording.h"

/* An entry as written, kept until every file was added. */
struct draft {
	enum lib_group_id group;
	const struct node *node;
	const char *id, *replaces; /* id: NULL when there is none to be had */
	bool overlay, known; /* known: read while building, and tested */
	size_t order; /* in which it was added; a replacement takes the order of what it replaces */
	const struct node *replaced; /* what it replaces, as written, or NULL */
	bool dropped;
};

struct library_draft {
	struct draft *items;
	size_t count, room;
};

static void add_draft(struct arena *a, struct library *l, struct draft d)
{
	struct library_draft *all = l->draft;
	if (all->count == all->room) {
		size_t room = all->room ? all->room * 2 : 128;
		all->items = arena_grow(a, all->items, all->count, room, sizeof *all->items);
		all->room = room;
	}
	d.order = all->count;
	all->items[all->count++] = d;
}

static const char *entry_path(struct bind *b, const struct draft *d, size_t index)
{
	return bind_entry(b, LIB_GROUPS[d->group].name, d->id, index);
}

static void check_id(struct bind *b, struct draft *d, size_t index)
{
	const struct node *id = node_get(d->node, "id");
	if (!id && LIB_GROUPS[d->group].noted && d->replaces && library_id_valid(d->replaces)) {
		d->id = d->replaces;
	} else if (!id) {
		bind_required(b, d->node, entry_path(b, d, index), "id");
	} else if (bind_scalar(b, id, bind_path(b, entry_path(b, d, index), "id"), "an id")) {
		if (library_id_valid(id->text))
			d->id = id->text;
		else
			bind_refuse(b, FINDING_CODE_LIBRARY_ID, entry_path(b, d, index), id->at,
				id->text);
	}
	if (id && d->replaces && d->id && !text_equal(d->id, d->replaces))
		bind_with(b,
			bind_refuse(b, FINDING_CODE_LIBRARY_REPLACES, entry_path(b, d, index),
				id->at, d->id),
			"replaces", bind_found(b, d->replaces));
	if (d->replaces && !d->overlay) {
		bind_refuse(b, FINDING_CODE_LIBRARY_REPLACES_SHIPPED, entry_path(b, d, index),
			node_get(d->node, "replaces")->at, d->replaces);
		d->replaces = NULL;
	}
}

static void add_group(struct bind *b, struct library *l, enum lib_group_id group,
	const struct node *list, bool overlay, bool known)
{
	const char *name = LIB_GROUPS[group].name;
	if (bind_empty(list) || !bind_list(b, list, name, "a list of entries"))
		return;
	if (l->draft->count + list->count > LIBRARY_ENTRIES_MAX) {
		bind_with_count(b, bind_report(b, FINDING_CODE_LIBRARY_TOO_MANY, name, list->at),
			"limit", LIBRARY_ENTRIES_MAX);
		return;
	}
	for (size_t i = 0; i < list->count; i++) {
		struct draft d = {.group = group, .node = list->items[i], .overlay = overlay,
			.known = known};
		if (!bind_map(b, d.node, bind_entry(b, name, NULL, i), "a group of keys"))
			continue;
		d.replaces = node_text(d.node, "replaces");
		check_id(b, &d, i);
		add_draft(b->arena, l, d);
	}
}

static bool check_number(struct bind *b, const struct node *root)
{
	const struct node *n = node_get(root, "library");
	double number = 0;
	if (root->count == 0 || !n || !text_equal(root->pairs[0].key, "library") ||
		n->kind != NODE_SCALAR) {
		bind_report(b, FINDING_CODE_LIBRARY_NUMBER, "library", n ? n->at : root->at);
		return false;
	}
	if (text_equal(n->text, "1"))
		return true;
	bool newer = text_scan(n->text, &number) == strlen(n->text) && number > LIBRARY_NUMBER;
	bind_refuse(b, newer ? FINDING_CODE_LIBRARY_NEWER : FINDING_CODE_LIBRARY_NUMBER, "library",
		n->at, n->text);
	return false;
}

static struct choices group_names(struct arena *a)
{
	const char **names = arena_array(a, GROUP_COUNT, sizeof *names);
	for (size_t g = 0; g < GROUP_COUNT; g++)
		names[g] = LIB_GROUPS[g].name;
	return (struct choices){names, GROUP_COUNT};
}

static void note_overlay(struct arena *a, struct library *l, const char *file)
{
	const char **files =
		arena_grow(a, l->overlays, l->overlay_count, l->overlay_count + 1, sizeof *files);
	files[l->overlay_count++] = file;
	l->overlays = files;
}

static bool add_tree(struct arena *a, struct library *l, const struct node *root, bool overlay, bool known,
	struct findings *f)
{
	struct bind b = {.arena = a, .findings = f};
	if (!bind_map(&b, root, "", "a library, beginning with library: 1") ||
		!check_number(&b, root))
		return false;
	if (!l->draft)
		l->draft = arena_alloc(a, sizeof *l->draft);
	if (overlay)
		note_overlay(a, l, root->at.file);
	for (size_t i = 1; i < root->count; i++) {
		const struct node_pair *pair = &root->pairs[i];
		enum lib_group_id g = 0;
		while (g < GROUP_COUNT && !text_equal(LIB_GROUPS[g].name, pair->key))
			g++;
		if (g < GROUP_COUNT)
			add_group(&b, l, g, pair->value, overlay, known);
		else if (!bind_own_key(pair->key))
			bind_unknown(&b, FINDING_CODE_LIBRARY_UNKNOWN_KEY, pair->key, pair->key_at,
				pair->key, group_names(a));
	}
	return true;
}

bool library_add(struct arena *a, struct library *l, const char *bytes, size_t length,
	const char *file, bool overlay, struct findings *f)
{
	const struct node *root = tree_read(a, bytes, length, file, f);
	return root && add_tree(a, l, root, overlay, false, f);
}

bool library_add_tree(struct arena *a, struct library *l, const struct node *root, bool overlay,
	struct findings *f)
{
	return add_tree(a, l, root, overlay, !overlay, f);
}

static int compare_ids(const void *x, const void *y)
{
	const struct draft *a = *(struct draft *const *)x, *b = *(struct draft *const *)y;
	if (a->group != b->group)
		return a->group < b->group ? -1 : 1;
	int order = strcmp(a->id, b->id);
	return order ? order : (a->order > b->order) - (a->order < b->order);
}

static int compare_order(const void *x, const void *y)
{
	const struct draft *a = *(struct draft *const *)x, *b = *(struct draft *const *)y;
	if (a->group != b->group)
		return a->group < b->group ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

static void refuse_duplicate(struct lib_reader *r, const struct draft *first, const struct draft *d)
{
	const struct node *id = node_get(d->node, "id");
	struct finding *f = bind_refuse(&r->bind, FINDING_CODE_LIBRARY_DUPLICATE,
		entry_path(&r->bind, d, 0), id ? id->at : d->node->at, d->id);
	bind_with_count(&r->bind, f, "line", (size_t)first->node->at.line);
}

/* One id of one group, in the order added: an entry, and at most one that takes its place. */
static void resolve_run(struct lib_reader *r, struct draft **run, size_t count)
{
	if (run[0]->replaces) {
		bind_unknown(&r->bind, FINDING_CODE_LIBRARY_REPLACES_NOTHING,
			entry_path(&r->bind, run[0], 0), node_get(run[0]->node, "replaces")->at,
			run[0]->replaces, r->ids[run[0]->group]);
	}
	struct draft *current = run[0];
	for (size_t i = 1; i < count; i++) {
		if (run[i]->replaces && !current->overlay) {
			current->dropped = true;
			run[i]->order = current->order;
			run[i]->replaced = current->node;
			current = run[i];
		} else {
			refuse_duplicate(r, current, run[i]);
			run[i]->dropped = true;
		}
	}
}

/* The entries with an id, by group and id; fills the reader's sorted ids. */
static struct draft **sort_drafts(struct lib_reader *r, struct library_draft *all, size_t *count)
{
	struct draft **sorted = arena_array(r->bind.arena, all->count, sizeof *sorted);
	const char **ids = arena_array(r->bind.arena, all->count, sizeof *ids);
	*count = 0;
	for (size_t i = 0; i < all->count; i++)
		if (all->items[i].id)
			sorted[(*count)++] = &all->items[i];
	if (*count)
		qsort(sorted, *count, sizeof *sorted, compare_ids);
	for (size_t i = 0; i < *count; i++) {
		struct choices *c = &r->ids[sorted[i]->group];
		ids[i] = sorted[i]->id;
		if (c->count++ == 0)
			c->items = &ids[i];
	}
	return sorted;
}

static void resolve(struct lib_reader *r, struct draft **sorted, size_t count)
{
	for (size_t from = 0, to; from < count; from = to) {
		for (to = from + 1; to < count && sorted[to]->group == sorted[from]->group &&
				    text_equal(sorted[to]->id, sorted[from]->id);
			to++)
			;
		/* The same limit may have been read more than once. */
		if (sorted[from]->group != GROUP_READINGS)
			resolve_run(r, sorted + from, to - from);
	}
}

/* A measure that takes the place of another asks what that asked, unless it says what it asks. */
static const struct node *with_asks(struct arena *a, const struct draft *d)
{
	const struct node *n = d->node;
	if (d->group != GROUP_MEASURES || !d->replaced || node_get(n, "asks"))
		return n;
	const struct node *old = d->replaced;
	for (size_t i = 0; i < old->count; i++) {
		if (!text_equal(old->pairs[i].key, "asks"))
			continue;
		struct node *joined = arena_alloc(a, sizeof *joined);
		struct node_pair *pairs = arena_array(a, n->count + 1, sizeof *pairs);
		memcpy(pairs, n->pairs, n->count * sizeof *pairs);
		pairs[n->count] = old->pairs[i];
		*joined = *n;
		joined->pairs = pairs;
		joined->count++;
		return joined;
	}
	return n;
}

static void fill_group(
	struct lib_reader *r, enum lib_group_id group, struct draft **entries, size_t count)
{
	const struct lib_group *g = &LIB_GROUPS[group];
	char *array = arena_array(r->bind.arena, count, g->table->size);
	char *library = (char *)r->library;
	if (group == GROUP_HEADERS) {
		r->patterns = arena_array(r->bind.arena, count, sizeof *r->patterns);
	} else {
		const void *pointer = array;
		memcpy(library + g->at, &pointer, sizeof pointer);
		memcpy(library + g->count_at, &count, sizeof count);
	}
	for (size_t i = 0; i < count; i++) {
		r->overlay = entries[i]->overlay;
		r->replaced = r->replaced || (r->overlay && entries[i]->replaces);
		r->known = entries[i]->known;
		library_read_entry(r, group, with_asks(r->bind.arena, entries[i]), entry_path(&r->bind, entries[i], i),
			array + i * g->table->size);
	}
}

/* A measure that a hazard names must be able to answer it, or else count as protection of the edge.
 */
static void check_answers(
	struct lib_reader *r, const struct lib_zone *zone, const struct lib_hazard *hazard)
{
	for (size_t i = 0; hazard->kind && i < hazard->measures.count; i++) {
		const struct lib_measure *m =
			library_measure(r->library, hazard->measures.items[i]);
		bool answers = m && words_have(m->answers, hazard->kind) &&
			       !words_have(m->never, hazard->kind);
		if (!m || answers || m->protection)
			continue;
		struct finding *f = bind_refuse(&r->bind, FINDING_CODE_LIBRARY_ANSWERS,
			bind_entry(&r->bind, "zones", zone->note.id, 0), hazard->at, m->note.id);
		bind_with(&r->bind, f, "kind", hazard->kind);
	}
}

void library_finish(struct arena *a, struct library *l, struct findings *f)
{
	struct lib_reader r = {.bind = {.arena = a, .findings = f}, .library = l};
	size_t count = 0;
	if (!l->draft)
		return;
	/* Where things stand is wanted only until all is checked. */
	r.bind.paths = arena_scratch(a);
	struct draft **sorted = sort_drafts(&r, l->draft, &count);
	resolve(&r, sorted, count);
	r.fields = schema_of(a, NULL);
	if (count)
		qsort(sorted, count, sizeof *sorted, compare_order);
	struct draft **kept = arena_array(a, count, sizeof *kept);
	size_t at = 0, next = 0;
	for (enum lib_group_id g = 0; g < GROUP_COUNT; g++) {
		size_t from = at;
		for (; next < count && sorted[next]->group == g; next++)
			if (!sorted[next]->dropped)
				kept[at++] = sorted[next];
		fill_group(&r, g, kept + from, at - from);
	}
	library_join_asks(&r);
	library_compile_rules(&r);
	for (size_t i = 0; i < l->zones_count; i++)
		for (size_t j = 0; j < l->zones[i].hazard_count; j++)
			check_answers(&r, &l->zones[i], &l->zones[i].hazards[j]);
	l->draft = NULL;
	arena_release(r.bind.paths);
}
