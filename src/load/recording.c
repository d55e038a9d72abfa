#include "load/recording.h"

#include <stdint.h>
#include <string.h>

#include "base/quantity.h"
#include "base/text.h"
#include "load/delimited.h"

enum { HEADING_REACH = 3, ROW_FINDINGS = 20, SHOWN_LENGTH = 60 };

enum column_use { COLUMN_UNKNOWN, COLUMN_TIME, COLUMN_FORCE, COLUMN_COMMENT };

struct column {
	enum column_use use;
	const char *name;
	const char *unit_text; /* as written or implied; NULL: none */
	const struct unit *unit;
	struct place at;
	size_t time; /* force: index of its time column */
	double *values;
	size_t count, room;
	int first_line, first_column;
	struct place gap; /* where the first value is missing; line 0: nowhere yet */
};

struct reader {
	struct arena *a;
	const char *file;
	const struct recording_patterns *patterns;
	struct recording_units stated;
	struct findings *findings;
	struct line_list lines;
	struct dialect dialect;
	struct column columns[DELIMITED_CELLS];
	size_t column_count;
	size_t heading; /* index of its line; lines.count: none */
	int *numbers;   /* line numbers of the rows read */
	size_t rows, row_room;
	size_t samples, row_findings;
	bool failed;
};

static struct place place_in(const struct reader *r, const struct line *l, const char *at)
{
	return (struct place){r->file, l->number, line_column(l, at)};
}

static struct finding *fault(struct reader *r, enum finding_code code, struct place at)
{
	r->failed |= finding_level(code) == FINDING_INPUT;
	return finding_add(r->findings, code, r->file, at);
}

static void with(struct reader *r, struct finding *f, const char *name, const char *value)
{
	/* Findings may outlive what was read. */
	finding_with(r->findings, f, name, arena_string(r->findings->arena, value));
}

/* At most SHOWN_LENGTH bytes, cut between characters. */
static const char *shown(struct reader *r, const char *text, size_t length)
{
	size_t n = length < SHOWN_LENGTH ? length : SHOWN_LENGTH;
	while (n && n < length && ((unsigned char)text[n] & 0xC0) == 0x80)
		n--;
	return arena_format(r->a, "%.*s%s", (int)n, text, n < length ? "…" : "");
}

static const char *shown_line(struct reader *r, size_t index)
{
	return shown(r, r->lines.items[index].text, r->lines.items[index].length);
}

static const char *number(struct reader *r, size_t n)
{
	return arena_format(r->a, "%zu", n);
}

static struct place start_of(const struct reader *r, size_t index)
{
	return (struct place){r->file, r->lines.items[index].number, 1};
}

/* --- Headings --- */

/* Which pattern matches a cell; NULL: none. `*unit` gets the unit written in the cell, or is NULL. */
static const struct recording_pattern *match_cell(struct reader *r, const struct line *l,
	const struct cell *c, const char **unit)
{
	struct pattern_match m;
	*unit = NULL;
	for (size_t i = 0; c->length && i < r->patterns->count; i++) {
		const struct recording_pattern *p = &r->patterns->items[i];
		enum pattern_outcome outcome = pattern_find(p->pattern, c->text, c->length, 0, &m);
		if (outcome == PATTERN_GAVE_UP) {
			struct finding *f = fault(r, FINDING_CODE_PATTERN_LIMIT, place_in(r, l, c->text));
			with(r, f, "pattern", p->id);
		}
		if (outcome != PATTERN_YES)
			continue;
		int group = pattern_group(p->pattern, "unit");
		*unit = p->unit;
		if (group > 0 && group < PATTERN_GROUPS && m.set[group] && m.to[group] > m.from[group])
			*unit = arena_copy(r->a, c->text + m.from[group], m.to[group] - m.from[group]);
		return p;
	}
	return NULL;
}

/* The cells of a line that may be a heading; a comment mark before it is passed over. */
static size_t heading_cells(const struct reader *r, const struct line *l, struct cell *cells)
{
	struct line rest = *l;
	while (rest.length && strchr("#%; \t", *rest.text) && line_comment(l, r->dialect.separator)) {
		rest.text++;
		rest.length--;
	}
	size_t n = line_split(&rest, r->dialect.separator, cells);
	if (r->dialect.separator != ' ' || n > DELIMITED_CELLS)
		return n;
	/* Between blanks, "Time [s]" is one heading. */
	size_t kept = 0;
	for (size_t i = 0; i < n; i++) {
		if (kept && strchr("[(", *cells[i].text))
			cells[kept - 1].length = (size_t)(cells[i].text - cells[kept - 1].text) +
				cells[i].length;
		else
			cells[kept++] = cells[i];
	}
	return kept;
}

static void use_heading(struct reader *r, const struct line *l, const struct cell *cells, size_t n)
{
	static const enum column_use uses[] = {COLUMN_TIME, COLUMN_FORCE, COLUMN_COMMENT};
	for (size_t i = 0; i < n; i++) {
		const char *unit;
		const struct recording_pattern *p = match_cell(r, l, &cells[i], &unit);
		struct column *c = &r->columns[i];
		memset(c, 0, sizeof *c);
		c->use = p ? uses[p->role] : COLUMN_UNKNOWN;
		c->unit_text = unit;
		c->name = arena_copy(r->a, cells[i].text, cells[i].length);
		c->at = place_in(r, l, cells[i].text);
	}
	r->column_count = n;
}

static size_t columns_of(const struct reader *r, enum column_use use)
{
	size_t n = 0;
	for (size_t i = 0; i < r->column_count; i++)
		n += r->columns[i].use == use;
	return n;
}

/* Looks for the heading on the lines before the first row. A line that names only time or only force is
 * a heading of which half is not understood, which is a finding. */
static void find_heading(struct reader *r)
{
	struct cell cells[DELIMITED_CELLS];
	size_t half = r->lines.count, looked = 0;
	r->heading = r->lines.count;
	for (size_t i = r->dialect.first; i-- > 0 && looked < HEADING_REACH;) {
		const struct line *l = &r->lines.items[i];
		if (line_blank(l))
			continue;
		looked++;
		size_t n = heading_cells(r, l, cells);
		if (n < 2 || n > DELIMITED_CELLS)
			continue;
		use_heading(r, l, cells, n);
		bool time = columns_of(r, COLUMN_TIME), force = columns_of(r, COLUMN_FORCE);
		if (time && force) {
			r->heading = i;
			return;
		}
		if ((time || force) && half == r->lines.count) {
			half = i;
			struct finding *f = fault(r, time ? FINDING_CODE_RECORDING_NO_FORCE
							  : FINDING_CODE_RECORDING_NO_TIME, start_of(r, i));
			with(r, f, "heading", shown_line(r, i));
		}
	}
	r->column_count = 0;
}

/* A line of units below the heading, such as "s;N" or "[s];[N]". */
static void read_unit_line(struct reader *r)
{
	struct cell cells[DELIMITED_CELLS];
	const char *found[DELIMITED_CELLS] = {NULL};
	size_t i = r->heading + 1;
	while (i < r->dialect.first && line_blank(&r->lines.items[i]))
		i++;
	if (i >= r->dialect.first)
		return;
	size_t n = line_split(&r->lines.items[i], r->dialect.separator, cells);
	if (n > r->column_count)
		return;
	for (size_t k = 0; k < n; k++) {
		struct cell c = cells[k];
		if (c.length >= 2 && strchr("[(", *c.text) && strchr("])", c.text[c.length - 1]))
			c = (struct cell){c.text + 1, c.length - 2};
		if (c.length && unit_find(c.text, c.length))
			found[k] = arena_copy(r->a, c.text, c.length);
		else if (c.length && (r->columns[k].use == COLUMN_TIME || r->columns[k].use == COLUMN_FORCE))
			return;
	}
	for (size_t k = 0; k < n; k++)
		if (found[k] && !r->columns[k].unit_text)
			r->columns[k].unit_text = found[k];
}

/* Rows begin at the first line below the heading that has a number where one belongs. */
static void start_below_heading(struct reader *r)
{
	struct cell cells[DELIMITED_CELLS];
	double v;
	for (size_t i = r->heading + 1; i < r->dialect.first; i++) {
		const struct line *l = &r->lines.items[i];
		size_t n = line_comment(l, r->dialect.separator) ? 0
			: line_split(l, r->dialect.separator, cells);
		for (size_t k = 0; k < n && k < r->column_count; k++) {
			enum column_use use = r->columns[k].use;
			if ((use == COLUMN_TIME || use == COLUMN_FORCE) &&
				cell_number(&cells[k], r->dialect.decimal, &v)) {
				r->dialect.first = i;
				return;
			}
		}
	}
}

/* Without a heading: time first, as struct recording_units says. */
static void use_statement(struct reader *r)
{
	struct cell cells[DELIMITED_CELLS];
	size_t first = r->dialect.first, n;
	n = line_split(&r->lines.items[first], r->dialect.separator, cells);
	enum recording_layout layout = r->stated.layout;
	if (!r->stated.time || !r->stated.force) {
		size_t before = first;
		while (before > 0 && line_blank(&r->lines.items[before - 1]))
			before--;
		struct finding *f = fault(r, FINDING_CODE_RECORDING_NO_HEADING, start_of(r, first));
		with(r, f, "before", before ? shown_line(r, before - 1) : "");
		return;
	}
	if (n > 2 && (layout == RECORDING_LAYOUT_UNSTATED || (layout == RECORDING_LAYOUT_PAIRS && n % 2))) {
		struct finding *f = fault(r, FINDING_CODE_RECORDING_LAYOUT, start_of(r, first));
		with(r, f, "columns", number(r, n));
		return;
	}
	r->column_count = n;
	for (size_t i = 0; i < n; i++) {
		bool time = i == 0 || (layout == RECORDING_LAYOUT_PAIRS && i % 2 == 0);
		r->columns[i] = (struct column){.use = time ? COLUMN_TIME : COLUMN_FORCE, .name = "",
			.at = place_in(r, &r->lines.items[first], cells[i].text)};
	}
}

/* Gives each force column its time column. */
static void pair_columns(struct reader *r)
{
	size_t times = columns_of(r, COLUMN_TIME), last = r->column_count;
	bool served[DELIMITED_CELLS] = {false};
	for (size_t i = 0; i < r->column_count; i++)
		if (r->columns[i].use == COLUMN_TIME && times == 1)
			last = i;
	for (size_t i = 0; i < r->column_count; i++) {
		struct column *c = &r->columns[i];
		if (c->use == COLUMN_TIME)
			last = i;
		if (c->use == COLUMN_UNKNOWN && c->name[0])
			with(r, fault(r, FINDING_CODE_RECORDING_COLUMN_IGNORED, c->at), "heading", c->name);
		if (c->use != COLUMN_FORCE)
			continue;
		c->time = last;
		if (last < r->column_count)
			served[last] = true;
		else
			with(r, fault(r, FINDING_CODE_RECORDING_PAIRING, c->at), "heading", c->name);
	}
	for (size_t i = 0; i < r->column_count; i++)
		if (r->columns[i].use == COLUMN_TIME && !served[i])
			with(r, fault(r, FINDING_CODE_RECORDING_PAIRING, r->columns[i].at), "heading",
				r->columns[i].name);
}

/* --- Units --- */

static const struct unit *unit_known(const char *name, struct dimension dim)
{
	const struct unit *u = name ? unit_find(name, strlen(name)) : NULL;
	return u && dimension_equal(u->dim, dim) ? u : NULL;
}

static void unknown_unit(struct reader *r, struct place at, const char *unit, struct dimension dim)
{
	struct finding *f = fault(r, FINDING_CODE_RECORDING_UNIT_UNKNOWN, at);
	with(r, f, "unit", unit);
	with(r, f, "units", dimension_units(r->a, dim));
}

static void settle_unit(struct reader *r, struct column *c)
{
	bool time = c->use == COLUMN_TIME;
	struct dimension dim = time ? DIM_TIME : DIM_FORCE;
	const char *stated = time ? r->stated.time : r->stated.force;
	const struct unit *said = unit_known(stated, dim);
	c->unit = unit_known(c->unit_text, dim);
	if (c->unit_text && !c->unit) {
		unknown_unit(r, c->at, c->unit_text, dim);
	} else if (c->unit && said && c->unit != said) {
		struct finding *f = fault(r, FINDING_CODE_RECORDING_UNIT_CONFLICT, c->at);
		with(r, f, "heading", c->name);
		with(r, f, "unit", c->unit->name);
		with(r, f, "stated", stated);
	} else if (!c->unit && !said && !stated) {
		struct finding *f = fault(r, FINDING_CODE_RECORDING_UNIT, c->at);
		with(r, f, "heading", c->name);
		with(r, f, "units", dimension_units(r->a, dim));
	}
	if (!c->unit)
		c->unit = said;
}

static void settle_units(struct reader *r)
{
	struct place nowhere = {r->file, 0, 0};
	if (r->stated.time && !unit_known(r->stated.time, DIM_TIME))
		unknown_unit(r, nowhere, r->stated.time, DIM_TIME);
	if (r->stated.force && !unit_known(r->stated.force, DIM_FORCE))
		unknown_unit(r, nowhere, r->stated.force, DIM_FORCE);
	for (size_t i = 0; i < r->column_count; i++)
		if (r->columns[i].use == COLUMN_TIME || r->columns[i].use == COLUMN_FORCE)
			settle_unit(r, &r->columns[i]);
}

/* --- Rows --- */

/* A finding about a row, or NULL when there were enough. */
static struct finding *row_fault(struct reader *r, enum finding_code code, struct place at)
{
	r->failed = true;
	if (r->row_findings++ >= ROW_FINDINGS)
		return NULL;
	return fault(r, code, at);
}

static void add_value(struct reader *r, struct column *c, double value)
{
	if (c->count == c->room) {
		size_t room = c->room ? c->room * 2 : 1024;
		c->values = arena_grow(r->a, c->values, c->count, room, sizeof *c->values);
		c->room = room;
	}
	c->values[c->count++] = value;
}

static void add_row(struct reader *r, int line)
{
	if (r->rows == r->row_room) {
		size_t room = r->row_room ? r->row_room * 2 : 1024;
		r->numbers = arena_grow(r->a, r->numbers, r->rows, room, sizeof *r->numbers);
		r->row_room = room;
	}
	r->numbers[r->rows++] = line;
}

static void missing_value(struct reader *r, struct column *c, struct place at)
{
	struct finding *f = row_fault(r, FINDING_CODE_RECORDING_BLANK_CELL, at);
	if (f)
		with(r, f, "heading", c->name);
}

/* One value of a row; whether there was one. */
static bool read_cell(struct reader *r, const struct line *l, const struct cell *cell, struct column *c)
{
	double value;
	if (!cell || cell->length == 0) {
		if (c->gap.line == 0)
			c->gap = place_in(r, l, cell ? cell->text : l->text + l->length);
		return false;
	}
	if (!cell_number(cell, r->dialect.decimal, &value)) {
		struct finding *f = row_fault(r, FINDING_CODE_RECORDING_NUMBER, place_in(r, l, cell->text));
		if (f)
			with(r, f, "text", shown(r, cell->text, cell->length));
		value = 0;
	}
	/* A value below an empty cell: the empty one was a gap, not the end. Said once a gap. */
	if (c->gap.line) {
		missing_value(r, c, c->gap);
		c->gap.line = 0;
	}
	if (c->count == 0) {
		c->first_line = l->number;
		c->first_column = line_column(l, cell->text);
	}
	add_value(r, c, value);
	return true;
}

static void read_row(struct reader *r, const struct line *l, const struct cell *cells, size_t n)
{
	bool filled[DELIMITED_CELLS] = {false}, used[DELIMITED_CELLS] = {false};
	for (size_t i = 0; i < r->column_count; i++) {
		struct column *c = &r->columns[i];
		if (c->use != COLUMN_TIME && c->use != COLUMN_FORCE)
			continue;
		filled[i] = read_cell(r, l, i < n ? &cells[i] : NULL, c);
		r->samples += filled[i] && c->use == COLUMN_FORCE;
	}
	for (size_t i = 0; i < r->column_count; i++) {
		struct column *c = &r->columns[i];
		if (c->use != COLUMN_FORCE || !filled[i])
			continue;
		used[c->time] = true;
		struct column *time = &r->columns[c->time];
		if (!filled[c->time] && time->gap.line) {
			missing_value(r, time, time->gap);
			time->gap.line = 0;
		}
	}
	for (size_t i = 0; i < r->column_count; i++)
		if (r->columns[i].use == COLUMN_TIME && filled[i] && !used[i])
			missing_value(r, &r->columns[i], place_in(r, l, l->text + l->length));
	add_row(r, l->number);
}

/* Whether the number of cells settles what a comma means: with commas between the cells and no decimal
 * mark anywhere, "1,2,3" may be three numbers or two. */
static bool comma_settled(const struct reader *r, size_t n)
{
	bool said = r->stated.decimal == '.' || (r->stated.separator == ',' && !r->stated.decimal);
	if (r->dialect.separator != ',' || r->dialect.marked || said)
		return true;
	return r->heading < r->lines.count && n == r->column_count;
}

static bool comma_unclear(struct reader *r, size_t index)
{
	struct finding *f = fault(r, FINDING_CODE_RECORDING_SEPARATOR, start_of(r, index));
	with(r, f, "text", shown_line(r, index));
	return false;
}

static bool too_much(struct reader *r, enum finding_code code, struct place at, const char *limit)
{
	with(r, fault(r, code, at), "limit", limit);
	return false;
}

static void wrong_width(struct reader *r, size_t index, size_t n)
{
	struct finding *f = row_fault(r, FINDING_CODE_RECORDING_COLUMNS, start_of(r, index));
	if (!f)
		return;
	with(r, f, "found", number(r, n));
	with(r, f, "expected", number(r, r->column_count));
}

static bool read_rows(struct reader *r)
{
	struct cell cells[DELIMITED_CELLS];
	for (size_t i = r->dialect.first; i < r->lines.count; i++) {
		const struct line *l = &r->lines.items[i];
		if (line_blank(l) || line_comment(l, r->dialect.separator))
			continue;
		size_t n = line_split(l, r->dialect.separator, cells);
		if (n > DELIMITED_CELLS)
			return too_much(r, FINDING_CODE_RECORDING_WIDE, start_of(r, i),
				number(r, DELIMITED_CELLS));
		if (n && !comma_settled(r, n))
			return comma_unclear(r, i);
		if (n > r->column_count)
			wrong_width(r, i, n);
		else if (n)
			read_row(r, l, cells, n);
		if (r->samples > RECORDING_SAMPLES)
			return too_much(r, FINDING_CODE_RECORDING_LONG, start_of(r, i),
				number(r, RECORDING_SAMPLES));
	}
	if (r->row_findings > ROW_FINDINGS) {
		struct finding *f = fault(r, FINDING_CODE_RECORDING_MORE, start_of(r, r->dialect.first));
		with(r, f, "count", number(r, r->row_findings - ROW_FINDINGS));
	}
	return !r->failed;
}

/* --- The whole --- */

static void convert(struct column *c)
{
	/* Dividing by 1000 gives the double nearest to the decimal fraction; times 0.001 may not. */
	double factor = c->unit->factor;
	for (size_t i = 0; i < c->count; i++)
		c->values[i] = factor < 1 ? c->values[i] / (1 / factor) : c->values[i] * factor;
}

static void give(struct reader *r, struct recording_list *out)
{
	struct recording *items = arena_array(r->a, columns_of(r, COLUMN_FORCE), sizeof *items);
	size_t n = 0;
	for (size_t i = 0; i < r->column_count; i++)
		if (r->columns[i].use == COLUMN_TIME || r->columns[i].use == COLUMN_FORCE)
			convert(&r->columns[i]);
	for (size_t i = 0; i < r->column_count; i++) {
		struct column *c = &r->columns[i];
		if (c->use != COLUMN_FORCE)
			continue;
		if (c->count == 0) {
			with(r, fault(r, FINDING_CODE_RECORDING_COLUMN_EMPTY, c->at), "heading", c->name);
			continue;
		}
		items[n++] = (struct recording){.at = {r->file, c->first_line, c->first_column},
			.name = c->name, .column = (int)i + 1, .time_s = r->columns[c->time].values,
			.force_n = c->values, .lines = r->numbers, .count = c->count};
	}
	*out = (struct recording_list){items, n};
}

/* No line holds two numbers: says why, as far as it can be seen. */
static void no_rows(struct reader *r)
{
	size_t mixed = dialect_mixed(&r->lines), first = 0;
	while (first < r->lines.count && line_blank(&r->lines.items[first]))
		first++;
	if (first == r->lines.count) {
		fault(r, FINDING_CODE_RECORDING_EMPTY, (struct place){r->file, 1, 1});
		return;
	}
	if (mixed < r->lines.count)
		first = mixed;
	enum finding_code code = mixed < r->lines.count ? FINDING_CODE_RECORDING_DECIMAL
							: FINDING_CODE_RECORDING_NO_ROWS;
	struct finding *f = fault(r, code, start_of(r, first));
	with(r, f, "text", shown_line(r, first));
}

/* "1,234" alone may be 1.234 or 1234. */
static void check_grouping(struct reader *r)
{
	if (!r->dialect.marked || !r->dialect.grouped || r->stated.decimal)
		return;
	struct finding *f = fault(r, FINDING_CODE_RECORDING_GROUPING, start_of(r, r->dialect.mark_at));
	with(r, f, "text", shown_line(r, r->dialect.mark_at));
}

static void read_columns(struct reader *r)
{
	check_grouping(r);
	find_heading(r);
	if (r->failed)
		return;
	if (r->heading < r->lines.count) {
		read_unit_line(r);
		start_below_heading(r);
	} else if (!comma_settled(r, 0)) {
		comma_unclear(r, r->dialect.first);
	} else {
		use_statement(r);
	}
	if (r->failed)
		return;
	pair_columns(r);
	settle_units(r);
}

bool recording_read(struct arena *a, const char *bytes, size_t length, const char *file,
	const struct recording_patterns *patterns, const struct recording_units *stated,
	struct recording_list *out, struct findings *findings)
{
	struct reader *r = arena_alloc(a, sizeof *r);
	*r = (struct reader){.a = a, .file = file, .patterns = patterns, .findings = findings};
	int bad = 0;
	if (stated)
		r->stated = *stated;
	if (length > RECORDING_BYTES)
		return too_much(r, FINDING_CODE_RECORDING_LARGE, (struct place){file, 0, 0}, "8 MiB");
	enum delimited_coding coding = delimited_read(a, bytes, length, &r->lines, &bad);
	if (coding == DELIMITED_BINARY) {
		fault(r, FINDING_CODE_RECORDING_BINARY, (struct place){file, bad, 1});
		return false;
	}
	if (coding == DELIMITED_LATIN1)
		fault(r, FINDING_CODE_RECORDING_LATIN, (struct place){file, 1, 1});
	r->dialect = dialect_find(&r->lines, r->stated.separator, r->stated.decimal);
	if (r->dialect.rows == 0) {
		no_rows(r);
		return false;
	}
	read_columns(r);
	if (r->failed || !read_rows(r))
		return false;
	give(r, out);
	return true;
}

static void *copied(struct arena *a, const void *items, size_t count, size_t size)
{
	return arena_grow(a, items, count, count + 1, size);
}

struct recording_list recording_list_copy(struct arena *a, struct recording_list list)
{
	struct recording *items = arena_array(a, list.count + 1, sizeof *items);
	for (size_t i = 0; i < list.count; i++) {
		const struct recording *from = &list.items[i], *before = i ? from - 1 : NULL;
		bool long_enough = before && before->count >= from->count;
		bool same_time = long_enough && before->time_s == from->time_s;
		bool same_lines = long_enough && before->lines == from->lines;
		items[i] = *from;
		items[i].name = arena_string(a, from->name);
		items[i].force_n = copied(a, from->force_n, from->count, sizeof *from->force_n);
		items[i].time_s = same_time ? items[i - 1].time_s
					    : copied(a, from->time_s, from->count, sizeof *from->time_s);
		items[i].lines =
			same_lines ? items[i - 1].lines : copied(a, from->lines, from->count, sizeof *from->lines);
	}
	return (struct recording_list){items, list.count};
}
