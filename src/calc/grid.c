#include "calc/grid.h"

#include <math.h>
#include <string.h>

struct span {
	size_t first, last;
};

struct grid_key grid_number(double si)
{
	return (struct grid_key){NULL, si, si};
}

struct grid_key grid_word(const char *word)
{
	return (struct grid_key){.word = word};
}

static bool not_above(double a, double b)
{
	return a <= b || a - b <= 1e-9 * fabs(a);
}

/* How many edges are not above `x`. */
static size_t edges_to(const struct grid_axis *axis, double x)
{
	size_t n = 0;
	while (n < axis->count && not_above(axis->at[n], x))
		n++;
	return n;
}

/* How many edges are below `x`. */
static size_t edges_below(const struct grid_axis *axis, double x)
{
	size_t n = 0;
	while (n < axis->count && !not_above(x, axis->at[n]))
		n++;
	return n;
}

static bool find_word(const struct grid_axis *axis, const char *word, struct span *out)
{
	for (size_t i = 0; word && i < axis->count; i++)
		if (strcmp(axis->words[i], word) == 0) {
			*out = (struct span){i, i};
			return true;
		}
	return false;
}

static bool find_number(const struct grid_axis *axis, const struct grid_key *key, struct span *out)
{
	size_t below = edges_below(axis, key->low), above = edges_below(axis, key->high);
	size_t from_low = edges_to(axis, key->low), from_high = edges_to(axis, key->high);
	if (axis->take == GRID_UP_TO) {
		*out = (struct span){below, above};
		return above < axis->count;
	}
	if (axis->take == GRID_FROM) {
		*out = (struct span){from_low - 1, from_high - 1};
		return from_low > 0;
	}
	if (axis->take == GRID_BETWEEN) {
		*out = (struct span){from_low - 1, above};
		return from_low > 0 && above < axis->count;
	}
	*out = (struct span){below, below};
	return from_low == below + 1 && from_high == below + 1 && above == below;
}

static void take(const struct grid *g, const struct grid_cell *c, size_t row, size_t column, struct grid_hit *hit)
{
	bool first = hit->count++ == 0;
	if (first)
		*hit = (struct grid_hit){.low = c->value, .high = c->value, .word = c->word, .cell = c, .row = row,
			.column = column, .count = 1};
	hit->low = fmin(hit->low, c->value);
	hit->high = fmax(hit->high, c->value);
	if (g->worded && hit->word && strcmp(hit->word, c->word) != 0)
		hit->word = NULL;
	if (c->standing == STANDING_MEMORY && hit->cell->standing != STANDING_MEMORY) {
		hit->cell = c;
		hit->row = row;
		hit->column = column;
	}
}

bool grid_look(const struct grid *g, const struct grid_key *keys, struct grid_hit *out)
{
	struct span spans[2] = {{0}};
	struct grid_hit hit = {.count = 0};
	for (size_t i = 0; i < g->axis_count; i++)
		if (g->axes[i].worded ? !find_word(&g->axes[i], keys[i].word, &spans[i])
				      : keys[i].word || !find_number(&g->axes[i], &keys[i], &spans[i]))
			return false;
	size_t columns = g->axis_count > 1 ? g->axes[1].count : 1;
	for (size_t row = spans[0].first; row <= spans[0].last; row++)
		for (size_t column = spans[1].first; column <= spans[1].last; column++) {
			const struct grid_cell *c = &g->cells[row * columns + column];
			if (!c->given)
				return false;
			take(g, c, row, column, &hit);
		}
	*out = hit;
	return true;
}

bool grid_value(const struct grid *g, struct grid_key row, struct grid_key column, double *out)
{
	struct grid_hit hit;
	struct grid_key keys[2] = {row, column};
	if (!grid_look(g, keys, &hit) || hit.low < hit.high)
		return false;
	*out = hit.low;
	return true;
}

bool grid_words(const struct grid *g, struct grid_key row, struct grid_key column, const char **out)
{
	struct grid_hit hit;
	struct grid_key keys[2] = {row, column};
	if (!grid_look(g, keys, &hit) || !hit.word)
		return false;
	*out = hit.word;
	return true;
}
