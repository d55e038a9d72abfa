/* Changes one figure of a library that was read: a cell or an edge of a table, a constant of a
 * limit or of its condition, a letter of the table of least protection. */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "mutants.h"
#include "rule/rule_node.h"

struct search {
	struct arena *arena;
	size_t wanted, passed;
	bool change;
	struct mutant found;
};

/* Whether this is the place that is looked for. */
static bool here(struct search *s)
{
	return s->passed++ == s->wanted;
}

static double moved(double x)
{
	return x == 0 ? 1 : x * 1.05;
}

static const char *shown(struct search *s, double value, struct dimension dim)
{
	return quantity_text(s->arena, quantity_of(value, dim));
}

static void describe(struct search *s, struct place at, const char *kind, const char *from,
	const char *to, const char *text)
{
	s->found = (struct mutant){.file = at.file,
		.line = at.line,
		.kind = kind,
		.from = from,
		.to = to,
		.text = text};
}

/* --- tables
 * ---------------------------------------------------------------------------------------- */

static const char *edge_text(struct search *s, const struct grid_axis *axis, size_t i)
{
	return axis->worded ? axis->words[i] : shown(s, axis->at[i], axis->dim);
}

static const char *cell_place(struct search *s, const struct lib_grid *g, size_t i)
{
	const struct grid *t = &g->grid;
	size_t columns = t->axis_count > 1 ? t->axes[1].count : 1;
	const char *row = edge_text(s, &t->axes[0], i / columns);
	return t->axis_count > 1 ? arena_format(s->arena, "%s [%s, %s]", g->note.id, row,
					   edge_text(s, &t->axes[1], i % columns))
				 : arena_format(s->arena, "%s [%s]", g->note.id, row);
}

static size_t cell_count(const struct grid *t)
{
	return t->axes[0].count * (t->axis_count > 1 ? t->axes[1].count : 1);
}

/* Another word of the same table. */
static const char *other_word(const struct grid *t, const char *word)
{
	size_t count = cell_count(t), at = 0;
	while (at < count && !(t->cells[at].given && text_equal(t->cells[at].word, word)))
		at++;
	for (size_t k = 1; k < count; k++) {
		const struct grid_cell *c = &t->cells[(at + k) % count];
		if (c->given && !text_equal(c->word, word))
			return c->word;
	}
	return "another";
}

static void cell(struct search *s, struct lib_grid *g, size_t i)
{
	struct grid *t = &g->grid;
	struct grid_cell *c = &t->cells[i];
	if (!here(s))
		return;
	struct grid_cell new = *c;
	const char *was = !c->given ? "-" : t->worded ? c->word : shown(s, c->value, t->dim);
	if (!c->given) {
		const struct grid_cell *other = t->cells;
		while (!other->given)
			other++;
		new = *other;
	} else if (t->worded) {
		new.word = other_word(t, c->word);
	} else {
		new.value = moved(c->value);
	}
	describe(s, g->note.at, "table cell", was,
		t->worded ? new.word : shown(s, new.value, t->dim), cell_place(s, g, i));
	if (s->change)
		*c = new;
}

static void table(struct search *s, struct lib_grid *g)
{
	for (size_t i = 0; i < cell_count(&g->grid); i++)
		cell(s, g, i);
	for (size_t a = 0; a < g->grid.axis_count; a++) {
		struct grid_axis *axis = &g->grid.axes[a];
		for (size_t i = 0; !axis->worded && i < axis->count; i++) {
			if (!here(s))
				continue;
			double *edge = (double *)(uintptr_t)&axis->at[i];
			describe(s, g->note.at, "table edge", shown(s, *edge, axis->dim),
				shown(s, moved(*edge), axis->dim),
				arena_format(s->arena, "%s, %s", g->note.id, axis->name));
			if (s->change)
				*edge = moved(*edge);
		}
	}
}

/* --- limits
 * ---------------------------------------------------------------------------------------- */

static void literals(struct search *s, struct rule_node *n, struct place at, const char *kind,
	const char *id, const char *rule)
{
	for (size_t i = 0; i < n->count; i++)
		literals(s, n->items[i], at, kind, id, rule);
	if (n->op != RULE_LITERAL || n->literal.kind != VALUE_QUANTITY || !here(s))
		return;
	struct quantity *q = &n->literal.quantity;
	struct quantity new = quantity_of(moved(q->value), q->dim);
	describe(s, at, kind, quantity_text(s->arena, *q), quantity_text(s->arena, new),
		arena_format(s->arena, "%s: %s", id, rule));
	if (s->change)
		*q = new;
}

static void limit(struct search *s, const struct lib_limit *l)
{
	for (size_t v = 0; v < l->variant_count; v++)
		for (size_t r = 0; r < l->variants[v].row_count; r++) {
			const struct lib_limit_row *row = &l->variants[v].rows[r];
			const char *when = row->when ? rule_text(row->when) : "",
				   *value = row->value ? rule_text(row->value) : "";
			const char *id = l->variants[v].is_default
						 ? l->note.id
						 : arena_format(s->arena, "%s@%s", l->note.id,
							   l->variants[v].id);
			if (row->value)
				literals(s, rule_root(s->arena, row->value), row->at, "limit", id,
					*when ? arena_format(s->arena, "%s when %s", value, when)
					      : value);
			if (row->when)
				literals(s, rule_root(s->arena, row->when), row->at, "condition of a limit", id,
					when);
		}
}

/* --- least protection
 * ------------------------------------------------------------------------------ */

static void protection(struct search *s, struct lib_protection *p)
{
	for (size_t i = 0; i < p->least.count; i++) {
		if (!here(s))
			continue;
		const char *was = p->least.items[i];
		char *letters = arena_string(s->arena, was);
		letters[0] = letters[0] == 'E' ? 'A' : (char)(letters[0] + 1);
		const char **items = (const char **)(uintptr_t)p->least.items;
		if (s->change)
			items[i] = letters;
		describe(s, p->note.at, "least protection", was, letters,
			arena_format(s->arena, "%s, %s", p->activation, p->use));
	}
}

static void walk(struct search *s, struct library *l)
{
	for (size_t i = 0; i < l->grids_count; i++)
		table(s, &l->grids[i]);
	for (size_t i = 0; i < l->limits_count; i++)
		limit(s, &l->limits[i]);
	for (size_t i = 0; i < l->protections_count; i++)
		protection(s, &l->protections[i]);
}

size_t library_places(struct arena *a, struct library *l)
{
	struct search s = {.arena = a, .wanted = SIZE_MAX};
	walk(&s, l);
	return s.passed;
}

struct mutant library_mutant(struct arena *a, struct library *l, size_t n, bool change)
{
	struct search s = {.arena = a, .wanted = n, .change = change};
	walk(&s, l);
	return s.found;
}
