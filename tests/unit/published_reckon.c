/* The rows of tests/published that are for the pocket book, through reckon() with the shipped library. What they
 * expect comes from print, not from here: each row names its source. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "assess/reckon.h"
#include "assess_bench.h"
#include "published_rows.h"

static struct bench b;
static struct rows rows;

static void setup(void)
{
	bench_open(&b);
	const char *fault = rows_read(&b.arena, &rows);
	cr_assert(!fault, "%s", fault);
	bench_shipped(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(published_reckon, .init = setup, .fini = teardown);

static bool has_result(const struct reckoner *k, const char *result)
{
	for (size_t i = 0; i < k->result_count; i++)
		if (text_equal(k->results[i].name, result))
			return true;
	return false;
}

static struct reckoning *compute(const struct row *r)
{
	struct reckon_argument arguments[ROW_ARGUMENTS];
	for (size_t i = 0; i < r->count; i++) {
		const char *equals = strchr(r->split[i], '=');
		cr_assert(equals, "%s:%d: %s", r->file, r->line, r->split[i]);
		arguments[i] = (struct reckon_argument){
			arena_copy(&b.arena, r->split[i], (size_t)(equals - r->split[i])), equals + 1};
	}
	return reckon(&b.arena, &b.library, r->reckoner, arguments, r->count);
}

static const char *refusal(const struct reckoning *out)
{
	struct buf text;
	buf_init(&text, &b.arena);
	for (size_t i = 0; i < out->findings->count; i++) {
		const struct finding *f = out->findings->items[i];
		buf_format(&text, " %s %s", finding_name(f->code), f->subject);
		for (const struct finding_value *v = f->values; v; v = v->next)
			buf_format(&text, " %s=%s", v->name, v->value);
	}
	return text.bytes;
}

/* A limit or a table that the library does not have is no answer. */
static bool lacks_limit(const struct finding *f)
{
	for (const struct finding_value *v = f->values; v; v = v->next)
		if (text_equal(v->name, "limit"))
			return !library_limit(&b.library, v->value) && !library_grid(&b.library, v->value);
	return false;
}

/* What came out for the result of the row; "-" where it was refused, but only for a reason of the trade: a key
 * that does not exist is a fault of the row. */
static const char *got(const struct row *r, const struct reckoning *out)
{
	const char *result = row_result(&b.arena, r);
	if (!out->results) {
		cr_expect_gt(out->findings->count, 0);
		for (size_t i = 0; i < out->findings->count; i++) {
			enum finding_code code = out->findings->items[i]->code;
			cr_expect((code == FINDING_CODE_RECKON_REFUSED || code == FINDING_CODE_RECKON_RANGE) &&
					!lacks_limit(out->findings->items[i]),
				"%s:%d: cannot be asked:%s", r->file, r->line, refusal(out));
		}
		return "-";
	}
	for (const struct reckon_outcome *o = out->results; o; o = o->next)
		if (text_equal(o->key, result))
			return row_shown(&b.arena, o);
	return "no such result";
}

Test(published_reckon, figures)
{
	for (size_t i = 0; i < rows.count; i++) {
		const struct row *r = &rows.items[i];
		if (!r->reckoner)
			continue;
		const struct reckoner *k = reckoner_find(r->reckoner);
		cr_expect(k, "%s:%d: no %s", r->file, r->line, r->reckoner);
		if (!k)
			continue;
		cr_expect(has_result(k, row_result(&b.arena, r)), "%s:%d: %s has no result %s", r->file, r->line,
			r->reckoner, r->expected);
		const struct reckoning *out = compute(r);
		const char *shown = got(r, out);
		cr_expect(row_agrees(r, shown), "%s:%d: %s %s: %s, not %s (%s; %s)%s", r->file, r->line, r->reckoner,
			r->arguments, shown, r->expected, r->why, r->standing, refusal(out));
	}
}

/* No computation claims more for itself than its figures do: what says that it is published has figures in print. */
Test(published_reckon, no_standing_is_better_than_its_rows)
{
	for (size_t i = 0; i < rows.count; i++) {
		const struct row *r = &rows.items[i];
		bool printed = false;
		for (size_t k = 0; r->reckoner && k < rows.count && !printed; k++)
			printed = rows.items[k].reckoner && text_equal(rows.items[k].reckoner, r->reckoner) &&
				text_equal(rows.items[k].standing, "published");
		if (!r->reckoner || printed || !reckoner_find(r->reckoner))
			continue;
		const struct reckoning *out = compute(r);
		cr_expect(!out->results || out->standing != STANDING_PUBLISHED,
			"%s:%d: %s %s says that it is published, and has no figure in print", r->file, r->line,
			r->reckoner, r->arguments);
	}
}

Test(published_reckon, every_name_has_rows)
{
	for (const struct reckon_family *const *f = RECKON_FAMILIES; *f; f++) {
		size_t family[4] = {0};
		for (size_t n = 0; n < (*f)->count; n++) {
			const char *name = (*f)->reckoners[n].name;
			size_t count = 0;
			for (size_t i = 0; i < rows.count; i++)
				if (rows.items[i].reckoner && text_equal(rows.items[i].reckoner, name)) {
					family[row_standing(&rows.items[i])]++;
					count++;
				}
			cr_expect_geq(count, 3, "%s has %zu rows", name, count);
		}
		fprintf(stderr, "published figures of %s: %zu published, %zu practice, %zu memory\n", (*f)->id,
			family[0], family[1], family[2]);
	}
}
