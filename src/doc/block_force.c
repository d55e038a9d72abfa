#include <math.h>

#include "base/text.h"
#include "doc/block.h"
#include "doc/plot.h"

/* ---- words of points and runs ------------------------------------------------------------------ */

static const char *length_text(const struct builder *b, double m)
{
	return arena_format(b->arena, "%s mm", text_number(b->arena, m * 1000, 0));
}

static const char *word_or_dash(const struct builder *b, const char *word)
{
	return word && *word ? choice(b, word) : "–";
}

static const char *point_outcome(const struct builder *b, const struct point_result *p)
{
	if (p->outcome == OUTCOME_ANSWERED)
		return label(b, "within-limit");
	for (size_t i = 0; i < p->run_count; i++)
		if (text_equal(p->runs[i].verdict, "over"))
			return label(b, "over-limit");
	return label(b, "outcome-open");
}

static const char *run_outcome(const struct builder *b, const struct run_result *r)
{
	if (r->recording && text_equal(r->verdict, "within"))
		return label(b, "within-limit");
	return label(b, text_equal(r->verdict, "over") ? "over-limit" : "unusable");
}

static const char *run_reasons(const struct builder *b, const struct run_result *r)
{
	struct buf out;
	buf_init(&out, b->arena);
	if (!r->recording)
		buf_put(&out, label(b, "not-readable"));
	for (size_t i = 0; i < r->reason_count; i++) {
		const char *key = arena_format(b->arena, "curve-reasons.%s", r->reasons[i]);
		const char *text = phrasebook_find(b->input->phrasebook, key);
		buf_format(&out, "%s%s", out.length ? "; " : "", text ? text : r->reasons[i]);
	}
	if (!r->counts_once)
		buf_format(&out, "%s%s", out.length ? "; " : "", label(b, "same-samples"));
	return out.bytes;
}

/* "Zone 3, closing, gap 50 mm, height 300 mm" */
static const char *point_words(const struct builder *b, const struct point_result *p)
{
	const struct zone_result *z = zone_of_key(b, p->zone_key);
	const char *zone = z ? arena_format(b->arena, "%d", z->number) : p->zone_key;
	return arena_format(b->arena, "%s, %s, %s %s, %s %s", label_with(b, "zone-number", "zone", zone),
		word_or_dash(b, p->direction), label(b, "at-gap"), length_text(b, p->gap),
		label(b, "at-height"), length_text(b, p->height));
}

/* ---- the plan ---------------------------------------------------------------------------------- */

static void point_zone(struct builder *b, struct doc_row *row, size_t column, const struct point_result *p)
{
	const struct zone_result *z = zone_of_key(b, p->zone_key);
	zone_numbers(b, &row->cells[column].spans, &z, z ? 1 : 0);
}

static void plan_row(struct builder *b, struct doc_node *t, const struct point_result *p, bool group)
{
	struct doc_row *row = doc_row(b->document, t);
	row->strong_rule = group;
	if (p->entry)
		spans_link(b->arena, &row->cells[0].spans, p->id, target(b, "point", p->id));
	else
		cell(b, row, 0, p->id);
	point_zone(b, row, 1, p);
	cell(b, row, 2, word_or_dash(b, p->direction));
	cell(b, row, 3, length_text(b, p->gap));
	cell(b, row, 4, length_text(b, p->height));
	cell(b, row, 5, arena_format(b->arena, "%s, %s", word_or_dash(b, p->leaves),
		word_or_dash(b, p->speed)));
	cell(b, row, 6, p->limit > 0 ? force_text(b, p->limit) : label(b, "not-told"));
	cell(b, row, 7, label(b, p->planned ? "asked-by-plan" : "additional"));
}

void block_force_plan(struct builder *b)
{
	static const struct column columns[] = {{"point", 0.3, 24, ALIGN_LEFT},
		{"zone", 0, 10, ALIGN_LEFT}, {"direction", 0.12, 14, ALIGN_LEFT}, {"gap", 0, 14, ALIGN_RIGHT},
		{"height", 0, 14, ALIGN_RIGHT}, {"leaves-and-speed", 0.2, 20, ALIGN_LEFT},
		{"peak-limit", 0, 16, ALIGN_RIGHT}, {"asked", 0.15, 16, ALIGN_LEFT}};
	const struct assessment *s = b->assessment;
	if (!s->point_count) {
		text_add(b, label(b, s->force_needed ? "no-points" : "no-force-tests"));
		return;
	}
	struct doc_node *t = table_add(b, "summary-force-plan", columns, COUNT_OF(columns));
	const char *before = NULL;
	for (size_t i = 0; i < s->point_count; i++) {
		plan_row(b, t, &s->points[i], before && !text_equal(before, s->points[i].zone_key));
		before = s->points[i].zone_key;
	}
}

/* ---- results ----------------------------------------------------------------------------------- */

static const struct column RUN_COLUMNS[] = {{"recording", 0.4, 28, ALIGN_LEFT},
	{"peak", 0, 14, ALIGN_RIGHT}, {"above-static-time", 0, 16, ALIGN_RIGHT},
	{"static-force", 0, 14, ALIGN_RIGHT}, {"above-contact-time", 0, 16, ALIGN_RIGHT},
	{"end-force", 0, 14, ALIGN_RIGHT}, {"outcome", 0.25, 24, ALIGN_LEFT}};

static void run_row(struct builder *b, struct doc_node *t, const struct run_result *r)
{
	struct doc_row *row = doc_row(b->document, t);
	row->keep_with_next = true;
	cell(b, row, 0, r->file);
	bool read = r->recording != NULL;
	const char *figures[] = {force_text(b, r->peak), seconds_text(b, r->above_static_time),
		force_text(b, r->static_force), seconds_text(b, r->above_end_time),
		force_text(b, r->end_force)};
	for (size_t i = 0; i < COUNT_OF(figures); i++)
		cell(b, row, i + 1, read ? figures[i] : "–");
	cell(b, row, 6, run_outcome(b, r));
	const char *reasons = run_reasons(b, r);
	if (*reasons)
		spans_add(b->arena, cell_line(b, row, 6), reasons, SPAN_GREY);
}

static void mean_row(struct builder *b, struct doc_node *t, const struct point_result *p)
{
	struct doc_row *row = doc_row(b->document, t);
	row->strong_rule = true;
	cell(b, row, 0, label(b, "mean-peak"))->style = SPAN_BOLD;
	cell(b, row, 1, p->mean_peak > 0 ? force_text(b, p->mean_peak) : "–")->style = SPAN_BOLD;
	row->cells[2].across = 4;
	for (size_t i = 3; i < 6; i++)
		row->cells[i].across = 0;
	cell(b, row, 2, p->limit > 0 ? arena_format(b->arena, "%s %s", label(b, "peak-limit"),
		force_text(b, p->limit)) : label(b, "limit-not-told"));
	if (p->limit_source)
		spans_add(b->arena, cell_line(b, row, 2), source_text(b, p->limit_source,
			p->limit_standing), SPAN_GREY);
	cell(b, row, 6, point_outcome(b, p))->style = SPAN_BOLD;
}

static double limit_si(const struct builder *b, const char *id)
{
	const struct assessment *s = b->assessment;
	for (size_t i = 0; i < s->limit_count; i++)
		if (text_equal(s->limits[i].limit->note.id, id))
			return s->limits[i].value.value;
	return 0;
}

/* False when one of them decided nothing in this assessment, so that there is no line to draw. */
static bool plot_limits(const struct builder *b, struct plot_limit *l)
{
	*l = (struct plot_limit){limit_si(b, "static-force"), limit_si(b, "end-force"),
		limit_si(b, "static-time"), limit_si(b, "total-time")};
	return l->static_n > 0 && l->contact_n > 0 && l->dynamic_s > 0 && l->end_s > 0;
}

static size_t most_samples(const struct point_result *p)
{
	size_t most = 0;
	for (size_t i = 0; i < p->run_count; i++)
		if (p->runs[i].recording && p->runs[i].recording->count > most)
			most = p->runs[i].recording->count;
	return most;
}

static void plot_figure(struct builder *b, const struct point_result *p, const struct plot_limit *l)
{
	const char **runs = arena_array(b->arena, p->run_count, sizeof *runs);
	for (size_t i = 0; i < p->run_count; i++)
		runs[i] = label_with(b, p->runs[i].usable ? "recording-number" : "recording-unusable",
			"number", arena_format(b->arena, "%zu", i + 1));
	struct plot_words words = {label(b, "axis-force"), label(b, "axis-time"), label(b, "limit"), runs};
	struct doc_node *f = doc_add(b->document, DOC_FIGURE);
	f->drawing = plot_draw(b->arena, p, l, &words);
	f->keep_with_next = true;
	f->summary = label_with(b, "summary-plot", "point", point_words(b, p));
	spans_add(b->arena, &f->spans, label(b, "caption-plot"), SPAN_SMALL);
	if (most_samples(p) > PLOT_POINTS)
		spans_add(b->arena, &f->spans, arena_format(b->arena, " %s",
			label_with(b, "caption-thinned", "count",
				arena_format(b->arena, "%d", PLOT_STRETCHES))), SPAN_SMALL);
}

static void point_remarks(struct builder *b, const struct point_result *p)
{
	const char *because = fact_text(item_fact(p->entry, "accepted-because"));
	if (p->near_limit)
		note_add(b, label(b, "near-limit"));
	if (*because)
		note_add(b, label_with(b, "accepted-because", "reason", because));
	const char *typed = fact_text(item_fact(p->entry, "typed-peaks"));
	if (*typed)
		note_add(b, label_with(b, "typed-peaks", "peaks", typed));
}

static bool has_curve(const struct point_result *p)
{
	return most_samples(p) > 1;
}

static void point_section(struct builder *b, const struct point_result *p)
{
	subheading(b, 3, arena_format(b->arena, "%s · %s", p->id, point_words(b, p)),
		target(b, "point", p->id));
	struct plot_limit l;
	if (has_curve(p) && plot_limits(b, &l))
		plot_figure(b, p, &l);
	struct doc_node *t = table_add(b, "summary-runs", RUN_COLUMNS, COUNT_OF(RUN_COLUMNS));
	for (size_t i = 0; i < p->run_count; i++)
		run_row(b, t, &p->runs[i]);
	mean_row(b, t, p);
	point_remarks(b, p);
}

void block_force_plots(struct builder *b)
{
	for (size_t i = 0; i < b->assessment->point_count; i++)
		if (b->assessment->points[i].entry)
			point_section(b, &b->assessment->points[i]);
}

/* The greatest of what the usable recordings say, for the table of all points. */
static double worst(const struct point_result *p, double (*figure)(const struct run_result *r))
{
	double most = 0;
	for (size_t i = 0; i < p->run_count; i++)
		if (p->runs[i].usable)
			most = fmax(most, figure(&p->runs[i]));
	return most;
}

static double static_of(const struct run_result *r)
{
	return r->static_force;
}

static double end_of(const struct run_result *r)
{
	return r->end_force;
}

static double time_of(const struct run_result *r)
{
	return r->above_static_time;
}

static void result_row(struct builder *b, struct doc_node *t, const struct point_result *p)
{
	struct doc_row *row = doc_row(b->document, t);
	if (p->entry) {
		spans_link(b->arena, &row->cells[0].spans, p->id, target(b, "point", p->id));
		spans_page(b->arena, &row->cells[8].spans, target(b, "point", p->id));
	} else {
		cell(b, row, 0, p->id);
		cell(b, row, 8, "–");
	}
	point_zone(b, row, 1, p);
	cell(b, row, 2, arena_format(b->arena, "%zu", p->usable));
	bool any = p->usable > 0;
	cell(b, row, 3, any ? force_text(b, p->mean_peak) : "–");
	cell(b, row, 4, p->limit > 0 ? force_text(b, p->limit) : "–");
	cell(b, row, 5, any ? arena_format(b->arena, "%s\n%s", force_text(b, worst(p, static_of)),
		seconds_text(b, worst(p, time_of))) : "–");
	cell(b, row, 6, any ? force_text(b, worst(p, end_of)) : "–");
	cell(b, row, 7, point_outcome(b, p));
}

void block_force_table(struct builder *b)
{
	static const struct column columns[] = {{"point", 0.6, 22, ALIGN_LEFT},
		{"zone", 0, 8, ALIGN_LEFT}, {"usable-recordings", 0, 10, ALIGN_RIGHT},
		{"mean-peak", 0, 14, ALIGN_RIGHT}, {"peak-limit", 0, 14, ALIGN_RIGHT},
		{"static-force-and-time", 0, 18, ALIGN_RIGHT}, {"end-force", 0, 12, ALIGN_RIGHT},
		{"outcome", 0.5, 22, ALIGN_LEFT}, {"page", 0, 8, ALIGN_RIGHT}};
	const struct assessment *s = b->assessment;
	if (!s->point_count)
		return;
	struct doc_node *t = table_add(b, "summary-force-table", columns, COUNT_OF(columns));
	for (size_t i = 0; i < s->point_count; i++)
		result_row(b, t, &s->points[i]);
}

void block_instrument(struct builder *b)
{
	static const char *const instrument[] = {"force.instrument.type", "force.instrument.serial",
		"force.instrument.spring", "force.instrument.range", "force.instrument.accuracy",
		"force.instrument.calibrated-on", "force.instrument.valid-until"};
	static const char *const conditions[] = {"force.conditions.on", "force.conditions.by",
		"force.conditions.temperature", "force.conditions.wind", "force.conditions.supply",
		"force.conditions.warm-up-cycles", "force.conditions.automatic-closing-off",
		"force.conditions.remotes-off", "force.conditions.proved-again-after"};
	static const char *const evidence[] = {"force.instrument.certificate",
		"force.conditions.settings-evidence"};
	struct doc_node *t = facts_table(b, "summary-instrument");
	facts_rows(b, t, instrument, COUNT_OF(instrument));
	facts_rows(b, t, conditions, COUNT_OF(conditions));
	for (size_t i = 0; i < COUNT_OF(evidence); i++)
		facts_evidence(b, t, field_title(b, evidence[i]), record_fact(b->record, evidence[i]));
}
