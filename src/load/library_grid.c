/* Printed tables: that the cells fit their axes. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "load/library_read.h"

/* Of an axis, and of the marks of a table; a printed page holds fewer. */
enum { EDGES_MOST = 400, MARKS_MOST = 400 };

static const struct {
	const char *name;
	enum grid_take take;
} TAKES[] = {
	{"up-to", GRID_UP_TO},
	{"from", GRID_FROM},
	{"between", GRID_BETWEEN},
	{"equal", GRID_EQUAL},
};

static const char *sub(struct lib_reader *r, const char *path, const char *key)
{
	return bind_path(&r->bind, path, key);
}

static void misshapen(struct lib_reader *r, const struct node *n, const char *path, const char *expected)
{
	const char *found = n->kind == NODE_LIST ? arena_format(r->bind.arena, "a list of %zu", n->count)
			    : n->kind == NODE_MAP ? "a group of keys"
						  : n->text;
	bind_with(&r->bind, bind_refuse(&r->bind, FINDING_CODE_VALUE_SHAPE, path, n->at, found), "expected", expected);
}

/* A list of exactly `count`. */
static bool list_of(struct lib_reader *r, const struct node *n, const char *path, size_t count, const char *what)
{
	if (n->kind == NODE_LIST && n->count == count)
		return true;
	misshapen(r, n, path, arena_format(r->bind.arena, "a list of %zu %s", count, what));
	return false;
}

/* `is:` of an axis or of the cells: a dimension, or words. */
static bool read_is(struct lib_reader *r, const struct node *n, const char *path, bool *worded, struct dimension *dim)
{
	const struct node *is = bind_required(&r->bind, n, path, "is");
	if (!is || !bind_scalar(&r->bind, is, sub(r, path, "is"), "a kind of value"))
		return false;
	*worded = text_equal(is->text, "word");
	if (*worded || lib_dimension(is->text, dim))
		return true;
	return bind_choice(&r->bind, is->text, sub(r, path, "is"), is->at,
		choices_split(r->bind.arena, arena_format(r->bind.arena, "word|%s", lib_dimension_names())));
}

/* Within one part in 10^9, as conditions compare. */
static bool same(double x, double y)
{
	return fabs(x - y) <= 1e-9 * fmax(fabs(x), fabs(y));
}

static bool read_edge(struct lib_reader *r, const struct node *n, const char *path, const struct grid_axis *axis,
	size_t i, double *at)
{
	struct quantity q;
	if (!bind_quantity(&r->bind, n, path, axis->dim, NULL, NULL, &q))
		return false;
	at[i] = q.value;
	if (i && (at[i] < at[i - 1] || same(at[i], at[i - 1]))) {
		bind_refuse(&r->bind, FINDING_CODE_LIBRARY_EDGES, path, n->at, n->text);
		return false;
	}
	return true;
}

static bool read_word(struct lib_reader *r, const struct node *n, const char *path, const struct node *list, size_t i,
	const char **words)
{
	if (!bind_scalar(&r->bind, n, path, "a word"))
		return false;
	for (size_t k = 0; k < i; k++)
		if (text_equal(words[k], n->text)) {
			struct finding *f = bind_refuse(&r->bind, FINDING_CODE_LIBRARY_DUPLICATE, path, n->at, n->text);
			bind_with_count(&r->bind, f, "line", (size_t)list->items[k]->at.line);
			return false;
		}
	words[i] = n->text;
	return true;
}

static bool read_edges(struct lib_reader *r, const struct node *n, const char *path, struct grid_axis *axis)
{
	if (!bind_list(&r->bind, n, path, "a list of edges"))
		return false;
	if (n->count == 0 || n->count > EDGES_MOST) {
		misshapen(r, n, path, arena_format(r->bind.arena, "a list of 1 to %d edges", EDGES_MOST));
		return false;
	}
	double *at = arena_array(r->bind.arena, n->count, sizeof *at);
	const char **words = arena_array(r->bind.arena, n->count, sizeof *words);
	bool fine = true;
	for (size_t i = 0; i < n->count && fine; i++) {
		const char *entry = bind_entry(&r->bind, path, NULL, i);
		fine = axis->worded ? read_word(r, n->items[i], entry, n, i, words)
				    : read_edge(r, n->items[i], entry, axis, i, at);
	}
	axis->at = at;
	axis->words = words;
	axis->count = n->count;
	return fine;
}

static bool read_take(struct lib_reader *r, const struct node *n, const char *path, struct grid_axis *axis)
{
	const struct node *take = node_get(n, "take");
	axis->take = GRID_EQUAL;
	if (axis->worded && (!take || bind_empty(take)))
		return true;
	take = bind_required(&r->bind, n, path, "take");
	path = sub(r, path, "take");
	if (!take || !bind_scalar(&r->bind, take, path, "a way to take an edge") ||
		!bind_choice(&r->bind, take->text, path, take->at,
			choices_split(r->bind.arena, axis->worded ? "equal" : "up-to|from|between|equal")))
		return false;
	for (size_t i = 0; i < sizeof TAKES / sizeof *TAKES; i++)
		if (text_equal(TAKES[i].name, take->text))
			axis->take = TAKES[i].take;
	return true;
}

static bool read_axis(struct lib_reader *r, const struct node *n, const char *path, struct grid_axis *axis)
{
	static const char *const KEYS[] = {"name", "is", "take", "at"};
	static const struct choices KNOWN = {KEYS, sizeof KEYS / sizeof *KEYS};
	if (!bind_map(&r->bind, n, path, "an axis"))
		return false;
	for (size_t i = 0; i < n->count; i++)
		if (!bind_own_key(n->pairs[i].key) && !choices_have(KNOWN, n->pairs[i].key))
			bind_unknown(&r->bind, FINDING_CODE_LIBRARY_UNKNOWN_KEY, sub(r, path, n->pairs[i].key),
				n->pairs[i].key_at, n->pairs[i].key, KNOWN);
	const struct node *name = bind_required(&r->bind, n, path, "name");
	const struct node *at = bind_required(&r->bind, n, path, "at");
	if (!name || !at || !bind_scalar(&r->bind, name, sub(r, path, "name"), "a name") ||
		!read_is(r, n, path, &axis->worded, &axis->dim) || !read_take(r, n, path, axis))
		return false;
	axis->name = name->text;
	return read_edges(r, at, sub(r, path, "at"), axis);
}

static bool read_axes(struct lib_reader *r, const struct node *n, const char *path, struct grid *g)
{
	if (n->kind != NODE_LIST || n->count < 1 || n->count > 2) {
		misshapen(r, n, path, "a list of one or two axes");
		return false;
	}
	for (size_t i = 0; i < n->count; i++)
		if (!read_axis(r, n->items[i], bind_entry(&r->bind, path, NULL, i), &g->axes[i]))
			return false;
	g->axis_count = n->count;
	return true;
}

static bool read_cell(struct lib_reader *r, const struct node *n, const char *path, const struct lib_grid *table,
	struct grid_cell *out)
{
	struct quantity q = {.value = 0};
	out->source = table->note.source;
	out->standing = table->note.standing;
	if (!bind_scalar(&r->bind, n, path, "a value, or - where there is none"))
		return false;
	if (text_equal(n->text, "-"))
		return true;
	if (!table->grid.worded && !bind_quantity(&r->bind, n, path, table->grid.dim, NULL, NULL, &q))
		return false;
	out->given = true;
	out->value = q.value;
	out->word = table->grid.worded ? n->text : NULL;
	return true;
}

static bool read_cells(struct lib_reader *r, const struct node *n, const char *path, const struct lib_grid *table,
	struct grid_cell *cells)
{
	const struct grid *g = &table->grid;
	size_t columns = g->axis_count > 1 ? g->axes[1].count : 1;
	if (!list_of(r, n, path, g->axes[0].count, g->axis_count > 1 ? "rows" : "cells"))
		return false;
	for (size_t row = 0; row < n->count; row++) {
		const char *row_path = bind_entry(&r->bind, path, NULL, row);
		const struct node *line = n->items[row];
		if (g->axis_count == 1) {
			if (!read_cell(r, line, row_path, table, &cells[row]))
				return false;
			continue;
		}
		if (!list_of(r, line, row_path, columns, "cells"))
			return false;
		for (size_t i = 0; i < columns; i++)
			if (!read_cell(r, line->items[i], bind_entry(&r->bind, row_path, NULL, i), table,
				    &cells[row * columns + i]))
				return false;
	}
	return true;
}

/* Which edges a mark means: one, as it is written there, or all of them. */
static bool find_edge(struct lib_reader *r, const struct node *n, const char *path, const struct grid_axis *axis,
	size_t *first, size_t *count)
{
	struct quantity q = {.value = 0};
	if (!bind_scalar(&r->bind, n, path, "an edge of the table"))
		return false;
	*first = 0;
	*count = axis->count;
	if (text_equal(n->text, "*"))
		return true;
	if (!axis->worded && !bind_quantity(&r->bind, n, path, axis->dim, NULL, NULL, &q))
		return false;
	*count = 1;
	for (size_t i = 0; i < axis->count; i++, *first = i)
		if (axis->worded ? text_equal(axis->words[i], n->text) : same(axis->at[i], q.value))
			return true;
	bind_unknown(&r->bind, FINDING_CODE_LIBRARY_REFERENCE, path, n->at, n->text, (struct choices){NULL, 0});
	return false;
}

static void read_mark(struct lib_reader *r, const struct node *n, const char *path, const struct lib_grid *table,
	struct grid_cell *cells)
{
	static const char *const KEYS[] = {"at", "source", "standing"};
	static const struct choices KNOWN = {KEYS, sizeof KEYS / sizeof *KEYS};
	const struct grid *g = &table->grid;
	size_t first[2] = {0, 0}, count[2] = {1, 1}, columns = g->axis_count > 1 ? g->axes[1].count : 1;
	if (!bind_map(&r->bind, n, path, "a mark"))
		return;
	for (size_t i = 0; i < n->count; i++)
		if (!bind_own_key(n->pairs[i].key) && !choices_have(KNOWN, n->pairs[i].key))
			bind_unknown(&r->bind, FINDING_CODE_LIBRARY_UNKNOWN_KEY, sub(r, path, n->pairs[i].key),
				n->pairs[i].key_at, n->pairs[i].key, KNOWN);
	const struct node *at = bind_required(&r->bind, n, path, "at");
	const struct node *standing = bind_required(&r->bind, n, path, "standing");
	const struct node *source = node_get(n, "source");
	if (!at || !standing || !list_of(r, at, sub(r, path, "at"), g->axis_count, "edges, one an axis") ||
		(source && !bind_scalar(&r->bind, source, sub(r, path, "source"), "a text")))
		return;
	for (size_t i = 0; i < g->axis_count; i++)
		if (!find_edge(r, at->items[i], bind_entry(&r->bind, sub(r, path, "at"), NULL, i), &g->axes[i],
			    &first[i], &count[i]))
			return;
	enum standing own = library_read_standing(r, standing, sub(r, path, "standing"));
	for (size_t row = first[0]; row < first[0] + count[0]; row++)
		for (size_t column = first[1]; column < first[1] + count[1]; column++) {
			struct grid_cell *c = &cells[row * columns + column];
			c->standing = own;
			c->source = source ? source->text : c->source;
		}
}

static void read_marks(struct lib_reader *r, const struct node *n, const char *path, const struct lib_grid *table,
	struct grid_cell *cells)
{
	if (!bind_list(&r->bind, n, path, "a list of marks"))
		return;
	if (n->count > MARKS_MOST)
		misshapen(r, n, path, arena_format(r->bind.arena, "a list of at most %d marks", MARKS_MOST));
	for (size_t i = 0; i < n->count && i < MARKS_MOST; i++)
		read_mark(r, n->items[i], bind_entry(&r->bind, path, NULL, i), table, cells);
}

void library_complete_grid(struct lib_reader *r, const struct node *n, const char *path, void *out)
{
	struct lib_grid *table = out;
	struct grid *g = &table->grid;
	const struct node *axes = bind_required(&r->bind, n, path, "axes");
	const struct node *cells = bind_required(&r->bind, n, path, "cells");
	const struct node *marks = node_get(n, "marks");
	if (!read_is(r, n, path, &g->worded, &g->dim) || !axes || !cells ||
		!read_axes(r, axes, sub(r, path, "axes"), g))
		return;
	g->cells = arena_array(r->bind.arena, g->axes[0].count * (g->axis_count > 1 ? g->axes[1].count : 1),
		sizeof *g->cells);
	if (read_cells(r, cells, sub(r, path, "cells"), table, g->cells) && marks && !bind_empty(marks))
		read_marks(r, marks, sub(r, path, "marks"), table, g->cells);
}
