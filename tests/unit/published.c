/* Published figures against the shipped library, through the loader and the engine of conditions. The
 * figures stand in tests/published, each with its source and its standing; none of them was taken from hazards. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assess/context.h"
#include "assess_bench.h"
#include "calc/grid.h"
#include "load/library.h"
#include "published_rows.h"

enum { ARGUMENTS = ROW_ARGUMENTS };

static struct bench b;
static struct row *rows;
static size_t row_count;

static void setup(void)
{
	bench_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(published, .init = setup, .fini = teardown);

static void read_all(void)
{
	struct rows all;
	const char *fault = rows_read(&b.arena, &all);
	cr_assert(!fault, "%s", fault);
	rows = all.items;
	row_count = all.count;
	cr_assert_gt(row_count, 400);
}

/* ---- limits ---- */

struct asked {
	struct record empty;
	struct assessment result;
	struct context context;
};

static void asked_init(struct asked *q, const char *variant)
{
	memset(q, 0, sizeof *q);
	q->empty.file = "";
	q->result.record = &q->empty;
	q->result.library = &b.library;
	q->context = (struct context){.arena = &b.arena, .record = &q->empty, .library = &b.library,
		.findings = &b.findings, .result = &q->result, .edition = variant};
	context_names(&q->context);
}

static struct value value_from(const char *text)
{
	struct quantity q;
	if (text_equal(text, "?"))
		return value_unknown();
	if (text_equal(text, "yes") || text_equal(text, "no"))
		return value_of_truth(text_equal(text, "yes"));
	return quantity_read(text, &q) == QUANTITY_FINE ? value_of_quantity(q) : value_of_word(text);
}

/* "400 N", or "400 N..1400 N" for an interval. */
static struct quantity expected_quantity(const struct row *r)
{
	const char *dots = strstr(r->expected, "..");
	struct quantity low, high;
	const char *first = dots ? arena_copy(&b.arena, r->expected, (size_t)(dots - r->expected)) : r->expected;
	cr_assert_eq(quantity_read(first, &low), QUANTITY_FINE, "%s:%d: %s", r->file, r->line, r->expected);
	cr_assert_eq(quantity_read(dots ? dots + 2 : first, &high), QUANTITY_FINE, "%s:%d", r->file, r->line);
	low.high = high.value;
	return low;
}

static void check_quantity(const struct row *r, struct value got)
{
	struct quantity want = expected_quantity(r), near;
	cr_assert_eq(quantity_read(r->tolerance, &near), QUANTITY_FINE, "%s:%d: tolerance", r->file, r->line);
	double slack = near.value + 1e-9 * fabs(want.high);
	cr_expect(got.kind == VALUE_QUANTITY && dimension_equal(got.quantity.dim, want.dim) &&
			fabs(got.quantity.low - want.low) <= slack && fabs(got.quantity.high - want.high) <= slack,
		"%s:%d: %s(%s) is %s, not %s (%s)", r->file, r->line, r->what, r->arguments,
		got.kind == VALUE_QUANTITY
			? arena_format(&b.arena, "%g..%g", got.quantity.low, got.quantity.high)
			: value_text(&b.arena, got),
		r->expected, r->why);
}

/* No row of the library may claim more for itself than what is known of it here. */
static void check_standing(const struct row *r, const struct asked *q, const char *id)
{
	const struct limit_use *use = NULL;
	for (size_t i = 0; i < q->result.limit_count; i++)
		if (text_equal(q->result.limits[i].limit->note.id, id))
			use = &q->result.limits[i];
	if (!use || text_equal(r->expected, "?") || strstr(r->expected, ".."))
		return;
	cr_expect(use->row->source && *use->row->source, "%s: a row of %s has no source", use->row->at.file, id);
	cr_expect(use->row->standing != STANDING_PUBLISHED || text_equal(r->standing, "published"),
		"%s:%d: %s(%s) is published in the library at line %d, %s here", r->file, r->line, r->what,
		r->arguments, use->row->at.line, r->standing);
}

static void check_limit(const struct row *r)
{
	const char *at = strchr(r->what, '@');
	const char *id = at ? arena_copy(&b.arena, r->what, (size_t)(at - r->what)) : r->what;
	const struct lib_limit *limit = library_limit(&b.library, id);
	struct value arguments[ARGUMENTS];
	struct asked q;
	bool variant = !at;
	cr_assert_not_null(limit, "%s:%d: the library has no limit %s", r->file, r->line, id);
	for (size_t i = 0; at && i < limit->variant_count; i++)
		variant = variant || text_equal(limit->variants[i].id, at + 1);
	cr_assert(variant, "%s:%d: no variant %s", r->file, r->line, r->what);
	cr_assert_eq(limit->arguments.count, r->count, "%s:%d: %s takes %zu arguments", r->file, r->line, id,
		limit->arguments.count);
	for (size_t i = 0; i < r->count; i++)
		arguments[i] = value_from(r->split[i]);
	asked_init(&q, at ? at + 1 : NULL);
	struct value got = context_limit(&q.context, id, arguments, r->count, "");
	if (text_equal(r->expected, "?"))
		cr_expect_eq(got.kind, VALUE_UNKNOWN, "%s:%d: %s(%s) is %s, not unknown", r->file, r->line, r->what,
			r->arguments, value_text(&b.arena, got));
	else
		check_quantity(r, got);
	check_standing(r, &q, id);
}

/* ---- what needs a record ---- */

static void expect_text(const struct row *r, const char *got)
{
	cr_expect_str_eq(got, r->expected, "%s:%d: %s(%s) is %s, not %s (%s)", r->file, r->line, r->what,
		r->arguments, got, r->expected, r->why);
}

static void check_regime(const struct row *r)
{
	b.record_text = arena_format(&b.arena, "record: 1\njob: {territory: %s, first-use: %s}\n", r->split[0],
		text_equal(r->split[1], "?") ? "unknown" : r->split[1]);
	bench_judge(&b);
	expect_text(r, b.result->regime ? b.result->regime->note.id : "none");
}

static void check_retention(const struct row *r)
{
	for (size_t i = 0; i < b.library.regimes_count; i++)
		if (text_equal(b.library.regimes[i].note.id, r->arguments))
			expect_text(r, quantity_in(&b.arena, b.library.regimes[i].retention, "years", 0));
}

static void check_calibration(const struct row *r)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\nforce:\n  instrument: {calibrated-on: %s, valid-until: %s}\n"
		"  points: [{id: f1, zone: z, direction: closing, gap: 50 mm, height: 50 mm, on: %s}]\n",
		r->split[0], r->split[1], r->split[2]);
	bench_judge(&b);
	expect_text(r, bench_finding(&b, "instrument-date", "f1") ? "no" : "yes");
}

static const char *written(const char *value)
{
	return text_equal(value, "?") ? "unknown" : value;
}

static void check_activation(const struct row *r)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\ncontrol:\n  automatic-closing: %s\n  activations: [{id: a, kind: %s, in-view: %s}]\n",
		written(r->split[2]), written(r->split[0]), written(r->split[1]));
	bench_judge(&b);
	expect_text(r, b.result->activation);
}

static void check_use(const struct row *r)
{
	const char *users = text_equal(r->split[0], "?") ? "unknown" : arena_format(&b.arena, "[%s]", r->split[0]);
	const char *by = text_equal(r->split[3], "?") ? "unknown" : arena_format(&b.arena, "[%s]", r->split[3]);
	b.record_text = arena_format(&b.arena,
		"record: 1\nsite: {users: %s, public-passes: %s, children-reach: %s}\n"
		"control:\n  activations: [{id: a, kind: radio, reached-by: %s}]\n",
		users, written(r->split[1]), written(r->split[2]), by);
	bench_judge(&b);
	expect_text(r, b.result->use);
}

static void check_edge(const struct row *r)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\ncontrol:\n  inputs: [{id: in, function: edge, contact: resistive, edges-wired: %s,"
		" edges: %s, rest-reading: %s}]\n",
		r->split[0], r->split[1], r->split[2]);
	bench_judge(&b);
	bool open = false;
	for (size_t i = 0; i < b.findings.count; i++)
		for (const struct finding_value *v = b.findings.items[i]->values; v; v = v->next)
			open = open || text_equal(v->value, "edge-reading-healthy");
	expect_text(r, open ? "no" : "yes");
}

static void check_function(const struct row *r)
{
	const struct lib_function *f = library_function(&b.library, r->arguments);
	cr_assert_not_null(f, "%s:%d: no function %s", r->file, r->line, r->arguments);
	expect_text(r, f->least);
	cr_expect(f->note.standing != STANDING_PUBLISHED || text_equal(r->standing, "published"), "%s",
		r->arguments);
}

/* The plan of a zone that uses it, on a leaf of that height: its points in the order of the plan. */
static void check_plan(const struct row *r)
{
	b.record_text = arena_format(&b.arena,
		"record: 1\ngate:\n  type: sliding-track\n  leaves: [{id: leaf-1, height: %s}]\n"
		"drive: {slows-down: no}\n"
		"zones: {main-edge@leaf-1: {as: protected, by: [drive-force-limit]}}\n",
		r->split[1]);
	bench_judge(&b);
	struct buf out;
	buf_init(&out, &b.arena);
	for (size_t i = 0; i < b.result->point_count; i++) {
		const struct point_result *p = &b.result->points[i];
		if (text_equal(p->zone_key, "main-edge@leaf-1"))
			buf_format(&out, "%s%.0fx%.0f", out.length ? " " : "", p->gap * 1000, p->height * 1000);
	}
	expect_text(r, out.bytes);
}

static void check_repeats(const struct row *r)
{
	expect_text(r, text_number(&b.arena, library_plan(&b.library, r->arguments)->repeats, 2));
}

/* A cell of a table, looked up as a formula does; "-": there is none. */
static void check_cell(const struct row *r)
{
	const struct lib_grid *g = library_grid(&b.library, r->what + strlen("table "));
	struct grid_key keys[2] = {{0}};
	struct grid_hit hit;
	struct quantity want;
	cr_assert(g && g->grid.axis_count == r->count, "%s:%d: no such table", r->file, r->line);
	for (size_t i = 0; i < r->count; i++)
		keys[i] = g->grid.axes[i].worded ? grid_word(r->split[i])
						 : grid_number(value_from(r->split[i]).quantity.value);
	bool found = grid_look(&g->grid, keys, &hit);
	if (!found || text_equal(r->expected, "-"))
		expect_text(r, found ? "a cell" : "-");
	else if (g->grid.worded)
		expect_text(r, hit.word ? hit.word : "several");
	else
		cr_expect(quantity_read(r->expected, &want) == QUANTITY_FINE && hit.low == hit.high &&
				fabs(hit.low - want.value) <= 1e-9 * fabs(want.value),
			"%s:%d: %s(%s) is %g..%g, not %s", r->file, r->line, r->what, r->arguments, hit.low, hit.high,
			r->expected);
	cr_expect(!found || hit.cell->standing != STANDING_PUBLISHED || text_equal(r->standing, "published"),
		"%s:%d: %s(%s) is published in the library, %s here", r->file, r->line, r->what, r->arguments,
		r->standing);
}

static const struct {
	const char *what;
	void (*check)(const struct row *r);
} KINDS[] = {
	{"regime", check_regime}, {"retention", check_retention}, {"calibration", check_calibration},
	{"activation", check_activation}, {"use", check_use}, {"edge-healthy", check_edge},
	{"function", check_function}, {"plan", check_plan}, {"plan-repeats", check_repeats},
};

static void check_row(const struct row *r)
{
	for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
		if (text_equal(KINDS[i].what, r->what)) {
			KINDS[i].check(r);
			return;
		}
	if (text_begins(r->what, "table "))
		check_cell(r);
	else
		check_limit(r);
}

/* ---- tests ---- */

Test(published, every_row_has_a_source)
{
	size_t counts[4] = {0};
	read_all();
	for (size_t i = 0; i < row_count; i++) {
		const char *fault = row_fault(&b.arena, &rows[i]);
		cr_expect(!fault, "%s:%d: %s", rows[i].file, rows[i].line, fault);
		counts[row_standing(&rows[i])]++;
	}
	fprintf(stderr, "published figures: %zu published, %zu practice, %zu memory\n", counts[0], counts[1],
		counts[2]);
	cr_expect_gt(row_count, 250);
	cr_expect_geq(counts[0], 150);
}

Test(published, figures)
{
	read_all();
	bench_shipped(&b);
	for (size_t i = 0; i < row_count; i++)
		if (!text_equal(rows[i].what, "protection") && !rows[i].reckoner)
			check_row(&rows[i]);
}

/* Every limit of the library has figures here, and every variant. */
Test(published, no_limit_is_left_out)
{
	read_all();
	bench_shipped(&b);
	for (size_t i = 0; i < b.library.limits_count; i++) {
		const struct lib_limit *l = &b.library.limits[i];
		for (size_t k = 0; k < l->variant_count; k++) {
			const char *what = l->variants[k].is_default
				? l->note.id : arena_format(&b.arena, "%s@%s", l->note.id, l->variants[k].id);
			bool found = false;
			for (size_t n = 0; n < row_count; n++)
				found = found || text_equal(rows[n].what, what);
			cr_expect(found, "no figure for %s", what);
		}
	}
	for (size_t i = 0; i < b.library.functions_count; i++)
		cr_expect(b.library.functions[i].note.standing == STANDING_MEMORY, "%s: its level was not read",
			b.library.functions[i].note.id);
}

/* The table of least protection, met by measures that count and have these letters. */
Test(published, protection)
{
	struct bench shipped;
	read_all();
	bench_open(&shipped);
	bench_shipped(&shipped);
	for (size_t i = 0; i < row_count; i++) {
		const struct row *r = &rows[i];
		if (!text_equal(r->what, "protection"))
			continue;
		static const char *const KIND[][3] = {{"hold-to-run", "hold-to-run", "yes"},
			{"impulse-in-view", "push-button", "yes"}, {"impulse-out-of-view", "radio", "no"},
			{"automatic", "timer", "yes"}};
		struct buf by, text;
		buf_init(&by, &b.arena);
		buf_init(&text, &b.arena);
		for (const char *s = text_equal(r->split[2], "none") ? "" : r->split[2]; *s; s++)
			buf_format(&by, "%sm-%c", by.length ? ", " : "", *s - 'A' + 'a');
		buf_put(&text, "library: 1\ntypes: [{id: t, standing: practice, family: f, movement: horizontal, "
			"zones: [z]}]\nzones: [{id: z, standing: practice, edge: main, hazards: "
			"[{kind: crushing, harm: serious}]}]\n"
			"definitions:\n"
			"  - {id: public-use, standing: practice, rule: \"'public' in site.users\"}\n"
			"  - {id: trained-public, standing: practice, rule: site.public-passes = yes}\n"
			"activation-classes:\n");
		for (size_t k = 0; k < 4; k++)
			buf_format(&text, "  - {id: %s, standing: practice, rank: %zu, when: activation.kind = "
				"'%s'}\n",
				KIND[k][0], k + 1, KIND[k][1]);
		buf_put(&text, "measures:\n");
		for (char c = 'a'; c <= 'e'; c++)
			buf_format(&text, "  - {id: m-%c, standing: practice, step: safeguard, protection: %c, "
				"answers: [crushing]}\n", c, c - 'a' + 'A');
		const char *kind = "";
		for (size_t k = 0; k < 4; k++)
			kind = text_equal(KIND[k][0], r->split[0]) ? KIND[k][1] : kind;
		memset(&b.library, 0, sizeof b.library);
		findings_init(&b.findings, &b.arena);
		library_add(&b.arena, &b.library, text.bytes, text.length, "a.yaml", false, &b.findings);
		library_finish(&b.arena, &b.library, &b.findings);
		cr_assert_eq(b.findings.count, 0, "%s", bench_found(&b));
		b.library.protections = shipped.library.protections;
		b.library.protections_count = shipped.library.protections_count;
		b.library_text = NULL;
		b.record_text = arena_format(&b.arena,
			"record: 1\nsite: {users: [%s], public-passes: %s}\ngate: {type: t, leaves: [{id: leaf-1}]}\n"
			"control: {activations: [{id: a, kind: %s}]}\n"
			"zones: {z@leaf-1: {as: protected, by: [%s]}}\n",
			text_equal(r->split[1], "public") ? "public" : "named-staff",
			text_equal(r->split[1], "trained-public") ? "yes" : "no", kind, by.bytes);
		bench_judge(&b);
		cr_assert_str_eq(b.result->use, r->split[1], "%s:%d", r->file, r->line);
		cr_assert_str_eq(b.result->activation, r->split[0], "%s:%d", r->file, r->line);
		expect_text(r, bench_finding(&b, "protection-open", "leaf-1") ? "no" : "yes");
	}
	bench_close(&shipped);
}
