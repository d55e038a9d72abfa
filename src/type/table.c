/* Tables: column widths, rows as strips, heads to be repeated. Hairlines only. */
#include "type/galley.h"

#include <math.h>

enum { GAP = 12, PAD = 3, ROWS_PER_TAG = 1000 };

struct cell_set {
	struct text text;
	struct lines lines;
	double x, width;
	double integers; /* decimal columns: widest part before the point and from it on, over the column */
	double decimals;
	enum doc_align align;
	struct tag *tag;
};

struct column_set {
	double x, width;
	double least, wanted;
	double integers, decimals;
};

struct table_set {
	struct galley *g;
	const struct doc_node *node;
	struct column_set *columns;
	struct text_style style, head_style;
	struct text *texts; /* of all cells, row by row */
	double x, width, leading;
	struct table_head *head;
	struct tag *tag;
};

/* Splits the first `count` glyphs of text at the decimal point of its first figure; false when there is no
 * figure in it. What stands before the figure belongs to the left part. */
static bool decimal_split(const struct glyph *glyphs, size_t count, double *left, double *right)
{
	size_t i = 0;
	double x = 0, total = 0;
	for (size_t k = 0; k < count; k++)
		total += glyphs[k].breaks == BREAK_FORCED ? 0 : glyphs[k].advance;
	while (i < count && !(glyphs[i].code >= '0' && glyphs[i].code <= '9'))
		x += glyphs[i++].advance;
	if (i == count)
		return false;
	while (i < count && glyphs[i].code >= '0' && glyphs[i].code <= '9')
		x += glyphs[i++].advance;
	*left = x;
	*right = total - x;
	return true;
}

static size_t line_glyphs(const struct line *line)
{
	size_t count = 0;
	for (const struct run *r = line->runs; r; r = r->next)
		count += r->count;
	while (count && line->runs->glyphs[count - 1].code == ' ')
		count--;
	return count;
}

static void columns_measure(struct table_set *t)
{
	struct galley *g = t->g;
	for (size_t i = 0; i < t->node->column_count; i++) {
		const struct doc_column *c = &t->node->columns[i];
		struct text head = text_prepare(&g->setter, &c->head, &t->head_style);
		t->columns[i].least = head.least;
		t->columns[i].wanted = head.wanted;
	}
	size_t rows = 0;
	for (const struct doc_row *r = t->node->first_row; r; r = r->next)
		rows++;
	struct text *next = t->texts = arena_array(g->arena, rows * t->node->column_count, sizeof *next);
	for (const struct doc_row *r = t->node->first_row; r; r = r->next)
		for (size_t i = 0; i < t->node->column_count; i++, next++) {
			struct column_set *c = &t->columns[i];
			if (r->cells[i].across < 1)
				continue;
			*next = text_prepare(&g->setter, &r->cells[i].spans, &t->style);
			if (r->cells[i].across != 1)
				continue;
			struct text text = *next;
			double left, right;
			c->least = fmax(c->least, text.least);
			c->wanted = fmax(c->wanted, text.wanted);
			if (t->node->columns[i].align != ALIGN_DECIMAL ||
			    !decimal_split(text.glyphs, text.count, &left, &right))
				continue;
			c->integers = fmax(c->integers, left);
			c->decimals = fmax(c->decimals, right);
		}
	for (size_t i = 0; i < t->node->column_count; i++) {
		struct column_set *c = &t->columns[i];
		c->wanted = fmax(c->wanted, c->integers + c->decimals);
		c->least = fmax(c->least, t->node->columns[i].least * LAYOUT_MM);
		c->wanted = fmax(c->wanted, c->least) + 0.01;
	}
}

/* Scales the widths of the columns between their least and wanted ones so that they sum to `room`. */
static void columns_squeeze(struct table_set *t, double room, bool weighted)
{
	double least = 0, wanted = 0;
	for (size_t i = 0; i < t->node->column_count; i++) {
		if ((t->node->columns[i].weight > 0) != weighted)
			continue;
		least += t->columns[i].least;
		wanted += t->columns[i].wanted;
	}
	double part = wanted > least ? fmin(1, fmax(0, (room - least) / (wanted - least))) : 0;
	double scale = room < least && least > 0 ? fmax(room, 0) / least : 1;
	for (size_t i = 0; i < t->node->column_count; i++) {
		struct column_set *c = &t->columns[i];
		if ((t->node->columns[i].weight > 0) == weighted)
			c->width = (c->least + part * (c->wanted - c->least)) * scale;
	}
}

/* Deals `room` out to the weighted columns by weight, none below its least width. */
static void columns_deal(struct table_set *t, double room)
{
	size_t count = t->node->column_count;
	bool *fixed = arena_array(t->g->arena, count, sizeof *fixed);
	for (size_t round = 0; round <= count; round++) {
		double left = room, weights = 0;
		bool again = false;
		for (size_t i = 0; i < count; i++) {
			if (t->node->columns[i].weight <= 0)
				continue;
			if (fixed[i])
				left -= t->columns[i].least;
			else
				weights += t->node->columns[i].weight;
		}
		for (size_t i = 0; i < count; i++) {
			struct column_set *c = &t->columns[i];
			if (t->node->columns[i].weight <= 0)
				continue;
			c->width = fixed[i] ? c->least : left * t->node->columns[i].weight / weights;
			if (!fixed[i] && c->width < c->least) {
				fixed[i] = true;
				again = true;
			}
		}
		if (!again)
			return;
	}
}

static void columns_place(struct table_set *t, double available)
{
	size_t count = t->node->column_count;
	double room = available - GAP * (double)(count - 1), plain_wanted = 0, weighted_least = 0, least = 0;
	for (size_t i = 0; i < count; i++) {
		least += t->columns[i].least;
		if (t->node->columns[i].weight > 0)
			weighted_least += t->columns[i].least;
		else
			plain_wanted += t->columns[i].wanted;
	}
	if (least > room) { /* words must break: every column gives way, the widest most */
		double cap = room, sum = least;
		while (sum > room && cap > 1) {
			cap *= 0.95;
			sum = 0;
			for (size_t i = 0; i < count; i++)
				sum += fmin(t->columns[i].least, cap);
		}
		for (size_t i = 0; i < count; i++)
			t->columns[i].width = t->columns[i].least = fmin(t->columns[i].least, cap);
	} else {
		double plain = fmin(plain_wanted, room - weighted_least);
		columns_squeeze(t, plain, false);
		if (weighted_least > 0)
			columns_deal(t, room - plain);
	}
	double x = t->x;
	for (size_t i = 0; i < count; i++) {
		t->columns[i].x = x;
		x += t->columns[i].width + GAP;
	}
	t->width = x - GAP - t->x;
}

/* Sets and breaks the cells of one row. Returns the count of lines of its longest cell. */
static size_t row_break(struct table_set *t, const struct doc_row *row, const struct text *texts,
	struct cell_set *cells)
{
	size_t count = t->node->column_count, longest = 1;
	for (size_t i = 0; i < count; i++) {
		struct cell_set *cell = &cells[i];
		int across = row ? row->cells[i].across : 1;
		if (across < 1)
			continue;
		size_t last = i + (size_t)across - 1;
		last = last < count ? last : count - 1;
		cell->x = t->columns[i].x;
		cell->width = t->columns[last].x + t->columns[last].width - cell->x;
		cell->align = across > 1 ? ALIGN_LEFT : t->node->columns[i].align;
		cell->text = row ? texts[i]
			: text_prepare(&t->g->setter, &t->node->columns[i].head, &t->head_style);
		cell->lines = text_break(t->g->arena, &cell->text, cell->width);
		cell->integers = row ? t->columns[i].integers : 0;
		cell->decimals = row ? t->columns[i].decimals : 0;
		if (cell->lines.count > longest)
			longest = cell->lines.count;
	}
	return longest;
}

static double line_x(const struct cell_set *cell, const struct line *line)
{
	double left, right, free = cell->width - line->width;
	switch (cell->align) {
	case ALIGN_RIGHT:
		return cell->x + free;
	case ALIGN_CENTRE:
		return cell->x + free / 2;
	case ALIGN_DECIMAL:
		if (cell->integers + cell->decimals > 0 && cell->integers + cell->decimals <= cell->width &&
		    line->runs && decimal_split(line->runs->glyphs, line_glyphs(line), &left, &right) &&
		    left <= cell->width - cell->decimals && right <= cell->decimals)
			return cell->x + cell->width - cell->decimals - left;
		return cell->x + free;
	default:
		return cell->x;
	}
}

/* Draws the lines [from, to) of every cell into one strip; cells shorter than `foot` lines stand on the
 * last of them. */
static void cells_draw(struct table_set *t, struct strip *s, struct cell_set *cells, size_t from, size_t to,
	double top, size_t foot)
{
	for (size_t i = 0; i < t->node->column_count; i++) {
		size_t k = 0, lower = foot > cells[i].lines.count ? foot - cells[i].lines.count : 0;
		for (const struct line *line = cells[i].lines.first; line; line = line->next, k++) {
			double y = -top - ((double)(k + lower - from) + 0.75) * t->leading;
			if (k >= from && k < to)
				strip_line(t->g, s, line, line_x(&cells[i], line), y, cells[i].tag);
		}
	}
}

static void cells_tag(struct table_set *t, const struct doc_row *row, struct cell_set *cells)
{
	struct tag *tag = tag_new(t->g, t->tag, TAG_ROW);
	for (size_t i = 0; i < t->node->column_count; i++) {
		int across = row ? row->cells[i].across : 1;
		if (across < 1)
			continue;
		cells[i].tag = tag_new(t->g, tag, row ? TAG_CELL : TAG_HEAD_CELL);
		cells[i].tag->across = across;
	}
}

static bool head_given(const struct doc_node *n)
{
	for (size_t i = 0; i < n->column_count; i++)
		if (n->columns[i].head.first)
			return true;
	return false;
}

static void head_set(struct table_set *t)
{
	struct galley *g = t->g;
	if (!head_given(t->node)) {
		strip_rule(g, strip_add(g, 0, HAIRLINE), t->x, 0, t->width, 0);
		g->strips[g->count - 1]->keep = true;
		return;
	}
	struct cell_set *cells = arena_array(g->arena, t->node->column_count, sizeof *cells);
	size_t lines = row_break(t, NULL, NULL, cells);
	struct strip *s = strip_add(g, 0, (double)lines * t->leading + 2 * PAD);
	s->baseline = PAD + 0.75 * t->leading;
	s->keep = true;
	cells_tag(t, NULL, cells);
	strip_rule(g, s, t->x, 0, t->width, 0);
	cells_draw(t, s, cells, 0, lines, PAD, lines);
	strip_rule(g, s, t->x, -s->height, t->width, 0);
	t->head = arena_alloc(g->arena, sizeof *t->head);
	t->head->height = s->height;
	t->head->ops = s->first;
	s->shared = true;
	const char *continued = g->document->continued;
	if (!continued || !*continued)
		return;
	/* Set above the repeated head, flush right. */
	struct text_style style = { SMALL_SIZE, SMALL_SIZE, SPAN_ITALIC, GREY_TEXT };
	struct strip aside = { 0 };
	struct text words = text_prepare_plain(&g->setter, continued, &style);
	strip_words(g, &aside, continued, &style, t->x + t->width - words.wanted, PAD, NULL);
	if (aside.last) {
		aside.last->next = s->first;
		t->head->ops = aside.first;
	}
}

/* The first two rows stay together, and the last two: no page has a single row of a longer table. */
static bool is_last_but_one(const struct doc_row *row)
{
	return row->next && !row->next->next;
}

static void row_set(struct table_set *t, const struct doc_row *row, const struct text *texts,
	bool first)
{
	struct galley *g = t->g;
	struct cell_set *cells = arena_array(g->arena, t->node->column_count, sizeof *cells);
	size_t lines = row_break(t, row, texts, cells), done = 0;
	double head = t->head ? t->head->height + SMALL_LEADING : 0;
	size_t most = lines;
	if ((double)lines * t->leading + 2 * PAD > TEXT_HEIGHT - head)
		most = 1; /* higher than a page: may break between its lines */
	cells_tag(t, row, cells);
	if (row->label) {
		struct strip_anchor *anchor = arena_alloc(g->arena, sizeof *anchor);
		*anchor = (struct strip_anchor){ row->label, g->anchors };
		g->anchors = anchor;
	}
	while (done < lines) {
		size_t to = done + most < lines ? done + most : lines;
		double top = done == 0 ? PAD : 0, bottom = to == lines ? PAD : 0;
		struct strip *s = strip_add(g, 0, (double)(to - done) * t->leading + top + bottom);
		s->baseline = top + 0.75 * t->leading;
		s->head = t->head;
		s->head_gap = done ? PAD : 0;
		s->keep = (row->keep_with_next || first || is_last_but_one(row)) && to == lines && row->next;
		if (most < lines && (done == 0 || to + 1 == lines))
			s->keep = true;
		if (done == 0 && !first)
			strip_rule(g, s, t->x, 0, t->width, row->strong_rule ? 0 : GREY_LINE);
		cells_draw(t, s, cells, done, to, top, 0);
		if (!row->next && to == lines)
			strip_rule(g, s, t->x, -s->height, t->width, 0);
		done = to;
	}
}

void galley_table(struct galley *g, const struct column_box *c, const struct doc_node *n)
{
	if (n->column_count == 0)
		return;
	double size = n->small ? SMALL_SIZE : TABLE_SIZE;
	struct table_set t = { .g = g, .node = n, .x = c->x, .leading = n->small ? 10.5 : TABLE_LEADING,
		.style = { size, n->small ? 7.5 : SMALL_SIZE, 0, 0 },
		.head_style = { size, n->small ? 7.5 : SMALL_SIZE, SPAN_BOLD, 0 } };
	t.columns = arena_array(g->arena, n->column_count, sizeof *t.columns);
	t.tag = tag_new(g, c->tag, TAG_TABLE);
	t.tag->alt = n->summary;
	columns_measure(&t);
	columns_place(&t, c->width);
	g->pending = fmax(g->pending, 5);
	if (n->spans.first) { /* a caption stands above its table */
		struct text_style caption = { SMALL_SIZE, SMALL_SIZE, 0, 0 };
		struct text text = text_prepare(&g->setter, &n->spans, &caption);
		size_t from = g->count;
		galley_text(g, c, &text, 0, SMALL_LEADING, tag_new(g, c->tag, TAG_CAPTION));
		for (size_t i = from; i < g->count; i++)
			g->strips[i]->keep = true;
		g->pending = 3;
	}
	head_set(&t);
	const struct text *texts = t.texts;
	struct tag *whole = t.tag;
	size_t rows = 0;
	for (const struct doc_row *row = n->first_row; row; row = row->next, texts += n->column_count) {
		if (rows++ % ROWS_PER_TAG == 0)
			t.tag = tag_new(g, whole, TAG_ROWS);
		row_set(&t, row, texts, row == n->first_row);
	}
	if (!n->first_row)
		g->strips[g->count - 1]->keep = false;
	g->pending = 10;
}
