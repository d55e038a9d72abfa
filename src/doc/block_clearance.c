/* Clearances: the table of all that can hurt, and the charts of one zone. */
#include <math.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/chart.h"

/* ---- charts ------------------------------------------------------------------------------------
 */

/* What a part of the body needs, as the library has it; 0: not told. */
static double needs(const struct builder *b, const char *part)
{
	const struct geometry *g = b->assessment->geometry;
	for (size_t i = 0; g && i < CLEARANCE_PARTS; i++)
		if (text_equal(CLEARANCE_PART[i], part))
			return isnan(g->crush[i]) ? 0 : g->crush[i];
	return 0;
}

struct drawing *chart_drawing(struct builder *b, const struct clearance_result *r)
{
	static const char *const PARTS[] = {"finger", "hand", "head", "body"};
	struct chart_size sizes[COUNT_OF(PARTS)];
	for (size_t i = 0; i < COUNT_OF(PARTS); i++)
		sizes[i] = (struct chart_size){choice(b, PARTS[i]), needs(b, PARTS[i])};
	double range = chart_range(r, sizes, COUNT_OF(PARTS));
	struct chart_words words = {.title = pair_title(b, r),
		.gap = label(b, "axis-gap"),
		.closed = label(b, "closed"),
		.open = label(b, "open-end"),
		.over = label_with(b, "over-range", "gap",
			quantity_text(b->arena, quantity_of(range, DIM_LENGTH))),
		.passing = label(b, "slides-past")};
	return chart_draw(b->arena, r, sizes, COUNT_OF(PARTS), &words);
}

/* The clearances of a zone that have a chart, two of them side by side. */
struct row_of_charts {
	struct drawing *charts[2];
	const char *pairs[2];
	size_t count;
	struct doc_node *last; /* figure */
};

static void finish_row(struct builder *b, struct row_of_charts *row)
{
	static const double BETWEEN = 4;
	if (!row->count)
		return;
	struct doc_node *f = doc_add(b->document, DOC_FIGURE);
	f->drawing = drawing_new(b->arena, 2 * CHART_WIDTH + BETWEEN, CHART_HEIGHT);
	for (size_t i = 0; i < row->count; i++)
		drawing_place(b->arena, f->drawing, row->charts[i],
			(double)i * (CHART_WIDTH + BETWEEN), 0);
	f->summary = label_with(b, "summary-chart", "pair",
		row->count < 2 ? row->pairs[0]
			       : arena_format(b->arena, "%s; %s", row->pairs[0], row->pairs[1]));
	f->keep_with_next = true;
	row->last = f;
	row->count = 0;
}

void charts_of_zone(struct builder *b, const struct zone_result *z)
{
	const struct geometry *g = b->assessment->geometry;
	struct row_of_charts row = {.count = 0};
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		const struct clearance_result *r = &g->clearances[i];
		bool here = z->clearance ? z->clearance == r
					 : r->kinds && text_equal(r->listed, z->key);
		struct drawing *d = here ? chart_drawing(b, r) : NULL;
		if (!d)
			continue;
		row.charts[row.count] = d;
		row.pairs[row.count++] = pair_title(b, r);
		if (row.count == COUNT_OF(row.charts))
			finish_row(b, &row);
	}
	finish_row(b, &row);
	if (row.last) {
		row.last->keep_with_next = false;
		spans_add(b->arena, &row.last->spans, label(b, "caption-chart"), SPAN_SMALL);
	}
}

/* ---- the table ---------------------------------------------------------------------------------
 */

static const char *parts_words(const struct builder *b, unsigned parts)
{
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (parts & 1u << i)
			buf_format(
				&out, "%s%s", out.length ? ", " : "", choice(b, CLEARANCE_PART[i]));
	return out.length ? out.bytes : "–";
}

static const char *kinds_words(const struct builder *b, unsigned kinds)
{
	static const struct {
		unsigned kind;
		const char *hazard;
	} KINDS[] = {{CLEARANCE_CRUSHING, "crushing"}, {CLEARANCE_SHEARING, "shearing"},
		{CLEARANCE_DRAWING_IN, "drawing-in"}};
	struct buf out;
	buf_init(&out, b->arena);
	for (size_t i = 0; i < COUNT_OF(KINDS); i++)
		if (kinds & KINDS[i].kind)
			buf_format(&out, "%s%s", out.length ? ", " : "",
				hazard_title(b, KINDS[i].hazard));
	return out.bytes;
}

static const char *millimetres(const struct builder *b, double m)
{
	return arena_format(b->arena, "%s mm", text_number(b->arena, m * 1000, 1));
}

static void stretch_lines(struct builder *b, struct doc_row *row, const struct clearance_result *r)
{
	for (size_t i = 0; i < r->stretch_count; i++) {
		const struct clearance_stretch *s = &r->stretches[i];
		if (!s->kinds)
			continue;
		spans_add(b->arena, cell_line(b, row, 2),
			arena_format(b->arena, "%s: %s → %s",
				choice(b, s->opening ? "opening" : "closing"),
				millimetres(b, fmax(s->start, s->end)),
				millimetres(b, fmin(s->start, s->end))),
			0);
		if (s->speed >= 0.005)
			spans_add(b->arena, cell_line(b, row, 2),
				arena_format(
					b->arena, "%s m/s", text_number(b->arena, s->speed, 2)),
				SPAN_GREY);
	}
	if (r->slides)
		spans_add(b->arena, cell_line(b, row, 2), label(b, "slides-past"), 0);
}

static void clearance_row(struct builder *b, struct doc_node *t, const struct clearance_result *r)
{
	struct doc_row *row = doc_row(b->document, t);
	cell(b, row, 0, pair_title(b, r));
	cell(b, row, 1, millimetres(b, r->least));
	spans_add(b->arena, cell_line(b, row, 1),
		arena_format(b->arena, "± %s", millimetres(b, r->doubt)), SPAN_GREY);
	if (r->knot_count)
		spans_add(b->arena, cell_line(b, row, 1),
			label_with(b, "at-travel", "travel",
				arena_format(b->arena, "%s %%",
					text_number(b->arena, r->least_at * 100, 0))),
			SPAN_GREY);
	stretch_lines(b, row, r);
	cell(b, row, 3, parts_words(b, r->parts));
	spans_add(b->arena, cell_line(b, row, 3), kinds_words(b, r->kinds), SPAN_GREY);
	const struct zone_result *z = zone_of_key(b, r->listed);
	if (z)
		zone_numbers(b, &row->cells[4].spans, &z, 1);
}

void block_clearances(struct builder *b)
{
	static const struct column columns[] = {{"pair", 0.3, 34, ALIGN_LEFT},
		{"least-gap", 0.1, 24, ALIGN_RIGHT}, {"shrinks", 0.3, 40, ALIGN_LEFT},
		{"parts-hurt", 0.3, 34, ALIGN_LEFT}, {"zone", 0, 12, ALIGN_RIGHT}};
	const struct geometry *g = b->assessment->geometry;
	struct doc_node *t = NULL;
	for (size_t i = 0; g && i < g->clearance_count; i++) {
		if (!g->clearances[i].kinds)
			continue;
		if (!t)
			t = table_add(b, "summary-clearances", columns, COUNT_OF(columns));
		clearance_row(b, t, &g->clearances[i]);
	}
	if (!t)
		text_add(b, label(b, "no-clearances"));
}
