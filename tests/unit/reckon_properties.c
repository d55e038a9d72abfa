/* What must hold for every computation of the pocket book, whatever is put in: a worse value never
 * improves an outcome, units and order do not matter, and what comes out is a finite number or a
 * refusal. 10,000 cases a name, seeded: PINTLE_SEED repeats a run, PINTLE_CASES changes their
 * number. */
#include <criterion/criterion.h>
#include <criterion/parameterized.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assess/reckon.h"
#include "assess_bench.h"
#include "published_rows.h"

enum { CASES = 10000, LIST = 6, KEYS_MOST = 24, POOL = 200, NAMES = 80 };

/* Less than any figure that comes out (millimetres, newtons, failures per hour). */
static const double NOTHING = 1e-11;

/* Values that the published figures put in for a key: thresholds are among them, and just beside
 * them. */
struct pool {
	const char *words[POOL];
	double si[POOL];
	size_t word_count, count;
	double low, high;
	bool whole;
};

struct given {
	const struct reckon_key *key;
	const struct pool *pool;
	size_t count;
	double si[LIST];
	const char *words[LIST];
	const struct unit *unit; /* NULL: bare */
};

struct asked {
	struct given items[KEYS_MOST];
	size_t count;
	bool outside; /* a value beyond its range */
};

static struct bench b;
static struct pool pools[KEYS_MOST];
static const struct reckoner *tried;
static uint64_t seed;
static jmp_buf escape;
static struct arena scratch; /* of one case */

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
static uint64_t draw(uint64_t below)
{
	seed ^= seed >> 12;
	seed ^= seed << 25;
	seed ^= seed >> 27;
	return (seed * 2685821657736338717u >> 11) % below;
}

static double part(void)
{
	return (double)draw(1u << 30) / (1u << 30);
}

/* --- what may be put in
 * ---------------------------------------------------------------------------- */

static bool is_whole(double x)
{
	return fabs(x - round(x)) < 1e-9;
}

static void pool_text(struct pool *p, const struct reckon_key *k, const char *text)
{
	struct quantity q;
	if (k->kind != RECKON_QUANTITY && p->word_count < POOL)
		p->words[p->word_count++] = text;
	if (k->kind != RECKON_QUANTITY || quantity_read(text, &q) != QUANTITY_FINE ||
		p->count >= POOL)
		return;
	if (dimension_equal(q.dim, DIM_NUMBER) && k->bare && *k->bare)
		q.value *= unit_find(k->bare, strlen(k->bare))->factor;
	else if (!dimension_equal(q.dim, *k->dim))
		return;
	p->si[p->count++] = q.value;
	p->whole = p->whole && is_whole(q.value);
}

static void pool_list(struct pool *p, const struct reckon_key *k, const char *text)
{
	while (text && *text) {
		size_t n = k->list || k->kind == RECKON_WORDS ? strcspn(text, ",") : strlen(text);
		pool_text(p, k, text_trim(&b.arena, arena_copy(&b.arena, text, n)));
		text += n + (text[n] == ',');
	}
}

static double bound(const char *text, double otherwise)
{
	struct quantity q;
	return text && quantity_read(text, &q) == QUANTITY_FINE ? q.value : otherwise;
}

static void pool_fill(struct pool *p, const struct reckon_key *k, const struct rows *rows)
{
	size_t n = strlen(k->name);
	*p = (struct pool){.whole = true};
	for (size_t i = 0; i < rows->count; i++) {
		const struct row *r = &rows->items[i];
		for (size_t j = 0;
			r->reckoner && text_equal(r->reckoner, tried->name) && j < r->count; j++)
			if (strncmp(r->split[j], k->name, n) == 0 && r->split[j][n] == '=')
				pool_list(p, k, r->split[j] + n + 1);
	}
	for (const char *c = k->choices; c && *c;
		c += strcspn(c, "|") + (c[strcspn(c, "|")] == '|'))
		pool_text(p, k, arena_copy(&b.arena, c, strcspn(c, "|")));
	pool_list(p, k, k->usual);
	double least = HUGE_VAL, most = 0;
	for (size_t i = 0; i < p->count; i++) {
		least = fmin(least, p->si[i]);
		most = fmax(most, p->si[i]);
	}
	p->low = bound(k->low, p->count ? least / 10 : 1e-3);
	p->high = bound(k->high, p->count ? most * 10 : 1e3);
	p->whole = p->whole && p->count && k->dim && dimension_equal(*k->dim, DIM_NUMBER);
}

/* By size where the range spans sizes. */
static double draw_between(double low, double high)
{
	double floor = high * 1e-7;
	if (low < 0 || high <= 0)
		return low + (high - low) * part();
	if (low < floor)
		low = floor;
	return low * pow(high / low, part());
}

static double beside(double x)
{
	double step = x == 0 ? 1e-6 : fabs(x) * 1e-6;
	return draw(2) ? x + step : x - step;
}

static double draw_value(const struct pool *p)
{
	double x = draw_between(p->low, p->high);
	switch (draw(8)) {
	case 0:
		x = p->low;
		break;
	case 1:
		x = p->high;
		break;
	case 2:
		x = beside(draw(2) ? p->low : p->high);
		break;
	case 3:
	case 4:
		x = p->count ? p->si[draw(p->count)] : x;
		break;
	case 5:
		x = p->count ? beside(p->si[draw(p->count)]) : x;
		break;
	default:
		break;
	}
	return p->whole && draw(20) ? round(x) : x;
}

static const char *draw_date(void)
{
	return arena_format(&scratch, "%04d-%02d-%02d", 1985 + (int)draw(90), 1 + (int)draw(12),
		1 + (int)draw(28));
}

static const char *draw_word(const struct given *g)
{
	if (g->key->kind == RECKON_DATE && (draw(2) || !g->pool->word_count))
		return draw_date();
	return g->pool->word_count && draw(200) ? g->pool->words[draw(g->pool->word_count)] : "zz";
}

static bool is_list(const struct reckon_key *k)
{
	return k->list || k->kind == RECKON_WORDS;
}

/* A unit of the key's dimension; NULL for a bare number where that may stand. */
static const struct unit *draw_unit(const struct reckon_key *k)
{
	const char *units = dimension_units(&scratch, *k->dim);
	size_t count = 1, pick;
	if (dimension_equal(*k->dim, DIM_NUMBER))
		return draw(2) ? unit_find("%", 1) : unit_find("", 0);
	for (const char *p = units; *p; p++)
		count += *p == ',';
	pick = draw(count + (k->bare && *k->bare));
	if (pick == count)
		return NULL;
	while (pick--)
		units = strchr(units, ',') + 2;
	return unit_find(units, strcspn(units, ","));
}

static void draw_given(struct given *g, size_t count, bool *outside)
{
	g->count = is_list(g->key) ? count : 1;
	for (size_t i = 0; i < g->count; i++) {
		if (g->key->kind != RECKON_QUANTITY) {
			g->words[i] = draw_word(g);
			continue;
		}
		g->si[i] = draw_value(g->pool);
		if (draw(300)) {
			g->si[i] = fmin(fmax(g->si[i], g->pool->low), g->pool->high);
		} else {
			*outside = *outside ||
				   (g->key->high && g->si[i] > g->pool->high * (1 + 1e-9)) ||
				   (g->key->low &&
					   g->si[i] < g->pool->low - fabs(g->pool->low) * 1e-9);
		}
	}
	if (g->key->kind == RECKON_QUANTITY)
		g->unit = draw_unit(g->key);
}

/* What only other categories take is refused: mostly it is left out. */
static bool out_of_place(const struct asked *c, const struct reckon_key *k)
{
	if (!text_equal(tried->name, "level") || !c->count || k->needed)
		return false;
	const char *category = c->items[0].words[0];
	bool single = text_equal(category, "B") || text_equal(category, "1");
	return text_equal(k->name, "common-cause") ? single : !text_equal(category, "2");
}

static void draw_case(struct asked *out)
{
	unsigned form = FORM_1;
	size_t length = 1 + draw(LIST - 1);
	*out = (struct asked){.count = 0};
	do
		form = 1u << draw(3);
	while (!(form & tried->forms));
	for (size_t i = 0; i < tried->key_count; i++) {
		const struct reckon_key *k = &tried->keys[i];
		if ((k->forms && !(k->forms & form)) || (!(k->needed & form) && draw(2)) ||
			(out_of_place(out, k) && draw(30)))
			continue;
		struct given *g = &out->items[out->count++];
		g->key = k;
		g->pool = &pools[i];
		/* Lists that belong together are of one length, most of the time. */
		draw_given(g, draw(20) ? length : 1 + draw(LIST - 1), &out->outside);
	}
}

/* --- asking
 * ----------------------------------------------------------------------------------------- */

static const char *written(const struct given *g)
{
	struct buf text;
	buf_init(&text, &scratch);
	for (size_t i = 0; i < g->count; i++) {
		buf_put(&text, i ? "," : "");
		if (g->key->kind != RECKON_QUANTITY)
			buf_put(&text, g->words[i]);
		else if (g->unit)
			buf_format(&text, "%.15g %s", g->si[i] / g->unit->factor, g->unit->name);
		else
			buf_format(&text, "%.15g",
				g->si[i] / unit_find(g->key->bare, strlen(g->key->bare))->factor);
	}
	return text.bytes;
}

static struct reckoning *ask(const struct asked *c)
{
	struct reckon_argument arguments[KEYS_MOST];
	for (size_t i = 0; i < c->count; i++)
		arguments[i] =
			(struct reckon_argument){c->items[i].key->name, written(&c->items[i])};
	return reckon(&scratch, &b.library, tried->name, arguments, c->count);
}

static const char *called(const struct asked *c)
{
	struct buf text;
	buf_init(&text, &scratch);
	buf_put(&text, tried->name);
	for (size_t i = 0; i < c->count; i++)
		buf_format(&text, " '%s=%s'", c->items[i].key->name, written(&c->items[i]));
	return text.bytes;
}

static bool outcome_finite(const struct reckon_outcome *o)
{
	if (o->kind == GIVES_NUMBER)
		return isfinite(o->number);
	if (o->kind == GIVES_WORD)
		return o->word != NULL;
	for (const struct reckon_row *row = o->kind == GIVES_ROWS ? o->rows : NULL; row;
		row = row->next)
		for (const struct reckon_outcome *c = row->cells; c; c = c->next)
			if (!outcome_finite(c))
				return false;
	return true;
}

/* Finite results under the keys of the table, each once, or a refusal that says why. */
static void expect_sound(const struct asked *c, const struct reckoning *r)
{
	const struct reckon_outcome *o = r->results;
	size_t found = 0, count = 0;
	if (!o) {
		cr_assert_gt(r->findings->count, 0, "%s: neither a result nor a reason", called(c));
		return;
	}
	cr_assert(!c->outside, "%s: outside its range, and computed", called(c));
	cr_assert_eq(r->findings->count, 0, "%s: results and a complaint", called(c));
	cr_assert(r->steps.first && r->meaning, "%s: no step, or no meaning", called(c));
	for (; o; o = o->next, count++) {
		cr_assert(outcome_finite(o), "%s: %s is no finite value", called(c), o->key);
		for (size_t i = 0; i < tried->result_count; i++)
			found += text_equal(tried->results[i].name, o->key);
	}
	cr_assert(found == count && count == tried->result_count,
		"%s: %zu results, %zu of them of the table of %zu", called(c), count, found,
		tried->result_count);
}

/* --- comparing
 * -------------------------------------------------------------------------------------- */

/* Words that are steps of one thing, each worse than the next. */
static const char *const ORDERS[][7] = {
	{"none", "a", "b", "c", "d", "e"},
	{"none", "low", "medium", "high"},
};

enum { ORDER_COUNT = sizeof ORDERS / sizeof *ORDERS, ORDER_STEPS = 7 };

static bool word_rank(size_t order, const char *word, double *rank)
{
	for (size_t i = 0; i < ORDER_STEPS && ORDERS[order][i]; i++)
		if (text_equal(ORDERS[order][i], word)) {
			*rank = (double)i;
			return true;
		}
	return false;
}

/* Both as numbers; false when they cannot be compared. */
static bool ranks(
	const struct reckon_outcome *x, const struct reckon_outcome *y, double *rx, double *ry)
{
	if (x->kind != y->kind)
		return false;
	if (x->kind == GIVES_NUMBER) {
		*rx = x->number;
		*ry = y->number;
		return true;
	}
	*rx = x->truth;
	*ry = y->truth;
	if (x->kind == GIVES_TRUTH)
		return true;
	for (size_t order = 0; x->kind == GIVES_WORD && order < ORDER_COUNT; order++)
		if (word_rank(order, x->word, rx) && word_rank(order, y->word, ry))
			return true;
	return false;
}

static enum worse worse_of(const char *result)
{
	for (size_t i = 0; i < tried->result_count; i++)
		if (text_equal(tried->results[i].name, result))
			return tried->results[i].worse;
	return WORSE_NEITHER;
}

static const struct reckon_outcome *outcome(const struct reckoning *r, const char *key)
{
	const struct reckon_outcome *o = r->results;
	while (o && !text_equal(o->key, key))
		o = o->next;
	return o;
}

static void expect_no_better(const struct asked *base, const struct reckoning *was,
	const struct asked *change, const struct reckoning *is)
{
	if (!was->results || !is->results)
		return;
	cr_assert(!was->no || is->no, "%s is a no, %s is none", called(base), called(change));
	for (const struct reckon_outcome *o = was->results; o; o = o->next) {
		const struct reckon_outcome *now = outcome(is, o->key);
		enum worse worse = worse_of(o->key);
		double before, after;
		if (worse == WORSE_NEITHER || o->kind == GIVES_NOTHING ||
			now->kind == GIVES_NOTHING)
			continue;
		cr_assert(ranks(o, now, &before, &after), "%s: no order is known of %s: %s, %s",
			called(base), o->key, row_shown(&scratch, o), row_shown(&scratch, now));
		double slack = fmax(1e-9 * fabs(before), NOTHING);
		cr_assert(worse == WORSE_HIGHER ? after >= before - slack : after <= before + slack,
			"%s of %s is %s, and better, %s, of %s", o->key, called(base),
			row_shown(&scratch, o), row_shown(&scratch, now), called(change));
	}
}

/* Piece by piece: what rounding leaves counts as the same. */
static bool same_text(const char *x, const char *y)
{
	while (*x && *y) {
		char *ex, *ey;
		double nx = strtod(x, &ex), ny = strtod(y, &ey);
		if (ex > x && ey > y) {
			/* Of a difference of equals, rounding is all that is left. */
			if (fabs(nx - ny) > fmax(1e-9 * fmax(fabs(nx), fabs(ny)), NOTHING))
				return false;
			x = ex;
			y = ey;
		} else if (*x++ != *y++) {
			return false;
		}
	}
	return *x == *y;
}

static void expect_same(const char *why, const struct asked *base, const struct reckoning *was,
	const struct asked *change, const struct reckoning *is)
{
	cr_assert(
		!was->results == !is->results && was->no == is->no && was->standing == is->standing,
		"%s: %s and %s: %s, no %d, standing %d, and %s, no %d, standing %d", why,
		called(base), called(change), was->results ? "computed" : "refused", was->no,
		(int)was->standing, is->results ? "computed" : "refused", is->no,
		(int)is->standing);
	for (const struct reckon_outcome *o = was->results; o; o = o->next) {
		const char *before = row_shown(&scratch, o),
			   *after = row_shown(&scratch, outcome(is, o->key));
		cr_assert(same_text(before, after), "%s: %s of %s is %s, of %s %s", why, o->key,
			called(base), before, called(change), after);
	}
}

/* --- changing
 * --------------------------------------------------------------------------------------- */

static bool worsen_value(struct given *g, size_t i)
{
	bool up = g->key->worse == WORSE_HIGHER;
	double x = g->si[i], edge = up ? g->pool->high : g->pool->low;
	double moved = draw(3)   ? draw_between(fmin(x, edge), fmax(x, edge))
		       : draw(2) ? edge
				 : draw_value(g->pool);
	if (draw(6) == 0)
		moved = up ? x + fabs(x) * 1e-6 : x - fabs(x) * 1e-6;
	if (g->pool->whole)
		moved = up ? ceil(moved) : floor(moved);
	moved = fmin(fmax(moved, g->pool->low), g->pool->high);
	if (up ? moved <= x : moved >= x)
		return false;
	g->si[i] = moved;
	return true;
}

static bool worsen_word(struct given *g, size_t i)
{
	const char *other = draw_word(g);
	double from, to;
	for (size_t order = 0; order < ORDER_COUNT; order++)
		if (word_rank(order, g->words[i], &from) && word_rank(order, other, &to) &&
			(g->key->worse == WORSE_HIGHER ? to > from : to < from)) {
			g->words[i] = other;
			return true;
		}
	return false;
}

static bool worsen(struct asked *c)
{
	size_t from = draw(c->count);
	for (size_t i = 0; i < c->count; i++) {
		struct given *g = &c->items[(from + i) % c->count];
		size_t at = draw(g->count);
		if (g->key->worse == WORSE_NEITHER)
			continue;
		if (g->key->kind == RECKON_QUANTITY ? worsen_value(g, at) : worsen_word(g, at))
			return true;
	}
	return false;
}

/* Lists of which one more is worse (a part that may fail, a load), and those of which one less is.
 */
static const struct {
	const char *name, *key;
	bool more;
} SERIES[] = {
	{"mttfd", "parts", true},
	{"chain", "per-hour", true},
	{"chain", "levels", true},
	{"accessory-load", "loads", true},
	{"common-cause", "measures", false},
};

static bool lengthen(struct asked *c)
{
	for (size_t s = 0; s < sizeof SERIES / sizeof *SERIES; s++)
		for (size_t i = 0; text_equal(SERIES[s].name, tried->name) && i < c->count; i++) {
			struct given *g = &c->items[i];
			if (!text_equal(g->key->name, SERIES[s].key) ||
				(SERIES[s].more ? g->count == LIST : g->count == 1))
				continue;
			if (SERIES[s].more && g->key->kind == RECKON_QUANTITY)
				g->si[g->count] = fmin(
					fmax(draw_value(g->pool), g->pool->low), g->pool->high);
			else if (SERIES[s].more)
				g->words[g->count] = draw_word(g);
			g->count += SERIES[s].more ? 1 : (size_t)-1;
			return true;
		}
	return false;
}

static bool other_units(struct asked *c)
{
	bool any = false;
	for (size_t i = 0; i < c->count; i++) {
		struct given *g = &c->items[i];
		if (g->key->kind != RECKON_QUANTITY)
			continue;
		const struct unit *unit = draw_unit(g->key);
		any = any || unit != g->unit;
		g->unit = unit;
	}
	return any;
}

/* Lists of the same length go together: the second of one belongs to the second of the other. */
static bool reorder(struct asked *c)
{
	size_t length = 0;
	for (size_t i = 0; i < c->count; i++)
		if (is_list(c->items[i].key) && c->items[i].count > 1) {
			if (length && c->items[i].count != length)
				return false;
			length = c->items[i].count;
		}
	for (size_t n = length; n > 1; n--) {
		size_t k = draw(n);
		for (size_t i = 0; i < c->count; i++) {
			struct given *g = &c->items[i];
			if (!is_list(g->key) || g->count != length)
				continue;
			const char *word = g->words[n - 1];
			double si = g->si[n - 1];
			g->words[n - 1] = g->words[k];
			g->si[n - 1] = g->si[k];
			g->words[k] = word;
			g->si[k] = si;
		}
	}
	return length > 1;
}

/* --- the cases
 * -------------------------------------------------------------------------------------- */

struct tally {
	size_t computed, worse, units, order, longer;
};

static void try_case(struct tally *t)
{
	struct asked base, change;
	draw_case(&base);
	const struct reckoning *was = ask(&base), *is;
	expect_sound(&base, was);
	t->computed += was->results != NULL;
	/* Beyond its range there is nothing to compare. */
	if (base.outside)
		return;
	change = base;
	if (worsen(&change)) {
		is = ask(&change);
		expect_sound(&change, is);
		expect_no_better(&base, was, &change, is);
		t->worse += was->results && is->results;
	}
	change = base;
	if (lengthen(&change)) {
		is = ask(&change);
		expect_no_better(&base, was, &change, is);
		t->longer += was->results && is->results;
	}
	change = base;
	bool units = draw(2);
	if (units ? other_units(&change) : reorder(&change)) {
		expect_same("units and order", &base, was, &change, ask(&change));
		t->units += was->results && units;
		t->order += was->results && !units;
	}
}

static size_t all_names(const struct reckoner **out)
{
	size_t count = 0;
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t i = 0; i < (*f)->count && count < NAMES; i++)
			out[count++] = &(*f)->reckoners[i];
	return count;
}

ParameterizedTestParameters(reckon_properties, hold)
{
	static size_t indices[NAMES];
	const struct reckoner *names[NAMES];
	size_t count = all_names(names);
	for (size_t i = 0; i < count; i++)
		indices[i] = i;
	return cr_make_param_array(size_t, indices, count);
}

ParameterizedTest(size_t *index, reckon_properties, hold)
{
	const struct reckoner *names[NAMES];
	const char *given = getenv("PINTLE_SEED"), *cases = getenv("PINTLE_CASES");
	size_t most = cases ? strtoul(cases, NULL, 10) : CASES;
	struct rows rows;
	struct tally t = {0};
	all_names(names);
	tried = names[*index];
	bench_open(&b);
	cr_assert(!rows_read(&b.arena, &rows));
	cr_assert_leq(tried->key_count, KEYS_MOST);
	bench_shipped(&b);
	for (size_t i = 0; i < tried->key_count; i++)
		pool_fill(&pools[i], &tried->keys[i], &rows);
	for (size_t i = 0; i < most; i++) {
		/* So that a case can be repeated alone. */
		seed = (given ? strtoull(given, NULL, 10) : 20260610) + i * 1000003 + *index * 7919;
		draw(2);
		arena_init(&scratch, &escape);
		try_case(&t);
		arena_release(&scratch);
	}
	fprintf(stderr,
		"reckon_properties: %s: %zu of %zu computed; compared: %zu worse, %zu longer, %zu "
		"units, %zu order\n",
		tried->name, t.computed, most, t.worse, t.longer, t.units, t.order);
	cr_expect_geq(t.computed * 10, most, "%s: %zu computed", tried->name, t.computed);
	bench_close(&b);
}

/* What is always worse the more, or the less, of it there is says so in every table. Among
 * coverages a life is a weight, and neither way is worse. */
Test(reckon_properties, keys_say_what_is_worse)
{
	static const struct {
		const char *key;
		enum worse worse;
	} KNOWN[] = {
		{"mass", WORSE_HIGHER},
		{"speed", WORSE_HIGHER},
		{"response", WORSE_HIGHER},
		{"dc", WORSE_LOWER},
		{"mttfd", WORSE_LOWER},
		{"per-hour", WORSE_HIGHER},
		{"levels", WORSE_LOWER},
		{"parts", WORSE_LOWER},
		{"channels", WORSE_LOWER},
		{"loads", WORSE_HIGHER},
		{"test-rate", WORSE_LOWER},
		{"test-mttfd", WORSE_LOWER},
	};
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++)
		for (size_t n = 0; n < (*f)->count; n++)
			for (size_t k = 0; k < (*f)->reckoners[n].key_count; k++)
				for (size_t i = 0; i < sizeof KNOWN / sizeof *KNOWN; i++) {
					const struct reckon_key *key = &(*f)->reckoners[n].keys[k];
					bool weight =
						text_equal((*f)->reckoners[n].name, "coverage") &&
						text_equal(key->name, "mttfd");
					cr_expect(!text_equal(key->name, KNOWN[i].key) || weight ||
							  key->worse == KNOWN[i].worse,
						"%s of %s", key->name, (*f)->reckoners[n].name);
				}
}
