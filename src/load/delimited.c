#include "load/delimited.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

enum { NUMBER_LENGTH = 40 };

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

static bool plain_character(unsigned char c)
{
	return (c >= 0x20 && c != 0x7F) || c == '\t' || c == '\n' || c == '\r';
}

/* UTF-16 to UTF-8. Returns false at a lone surrogate or an odd byte. */
static bool decode_utf16(struct buf *out, const unsigned char *p, size_t length, bool big)
{
	if (length % 2)
		return false;
	for (size_t i = 0; i < length; i += 2) {
		uint32_t code = (uint32_t)(big ? p[i] << 8 | p[i + 1] : p[i + 1] << 8 | p[i]);
		if (code >= 0xDC00 && code <= 0xDFFF)
			return false;
		if (code >= 0xD800 && code <= 0xDBFF) {
			if (i + 3 >= length)
				return false;
			uint32_t low = big ? (uint32_t)(p[i + 2] << 8 | p[i + 3])
					   : (uint32_t)(p[i + 3] << 8 | p[i + 2]);
			if (low < 0xDC00 || low > 0xDFFF)
				return false;
			code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
			i += 2;
		}
		utf8_encode(out, code);
	}
	return true;
}

static enum delimited_coding decode(struct buf *out, const char *bytes, size_t length)
{
	const unsigned char *p = (const unsigned char *)bytes;
	if (length >= 3 && memcmp(p, "\xEF\xBB\xBF", 3) == 0) {
		buf_add(out, bytes + 3, length - 3);
		bool sound = utf8_check(out->bytes, out->length) == out->length;
		return sound ? DELIMITED_UTF8 : DELIMITED_BINARY;
	}
	if (length >= 2) {
		bool mark_big = p[0] == 0xFE && p[1] == 0xFF, mark_little = p[0] == 0xFF && p[1] == 0xFE;
		/* Without a mark: a NUL beside the first character can be nothing else in text. */
		bool big = mark_big || (!p[0] && p[1]), little = mark_little || (p[0] && !p[1]);
		size_t skip = mark_big || mark_little ? 2 : 0;
		if (big || little)
			return decode_utf16(out, p + skip, length - skip, big) ? DELIMITED_UTF16
									       : DELIMITED_BINARY;
	}
	if (utf8_check(bytes, length) == length) {
		buf_add(out, bytes, length);
		return DELIMITED_UTF8;
	}
	for (size_t i = 0; i < length; i++)
		utf8_encode(out, p[i]);
	return DELIMITED_LATIN1;
}

enum delimited_coding delimited_read(struct arena *a, const char *bytes, size_t length,
	struct line_list *out, int *bad_line)
{
	struct buf text;
	buf_init(&text, a);
	enum delimited_coding coding = decode(&text, bytes, length);
	/* The end-of-file character of old systems. */
	if (text.length && text.bytes[text.length - 1] == 0x1A)
		text.length--;
	size_t count = 1;
	for (size_t i = 0; i < text.length; i++) {
		unsigned char c = (unsigned char)text.bytes[i];
		bool pair = c == '\n' && i && text.bytes[i - 1] == '\r';
		count += (c == '\n' && !pair) || c == '\r';
		if (!plain_character(c) || coding == DELIMITED_BINARY) {
			*bad_line = (int)count;
			return DELIMITED_BINARY;
		}
	}
	if (coding == DELIMITED_BINARY) {
		*bad_line = 1;
		return coding;
	}
	struct line *lines = arena_array(a, count, sizeof *lines);
	size_t n = 0, from = 0;
	for (size_t i = 0; i <= text.length; i++) {
		if (i < text.length && text.bytes[i] != '\n' && text.bytes[i] != '\r')
			continue;
		lines[n] = (struct line){text.bytes + from, i - from, (int)n + 1};
		n++;
		if (i + 1 < text.length && text.bytes[i] == '\r' && text.bytes[i + 1] == '\n')
			i++;
		from = i + 1;
	}
	*out = (struct line_list){lines, n};
	return coding;
}

bool line_blank(const struct line *l)
{
	for (size_t i = 0; i < l->length; i++)
		if (!is_blank(l->text[i]))
			return false;
	return true;
}

int line_column(const struct line *l, const char *at)
{
	int column = 1;
	for (const char *p = l->text; p < at && p < l->text + l->length; p++)
		column += ((unsigned char)*p & 0xC0) != 0x80;
	return column;
}

static struct cell trimmed(const char *from, const char *to)
{
	while (from < to && is_blank(*from))
		from++;
	while (to > from && is_blank(to[-1]))
		to--;
	if (to - from >= 2 && *from == '"' && to[-1] == '"') {
		from++;
		to--;
		while (from < to && is_blank(*from))
			from++;
		while (to > from && is_blank(to[-1]))
			to--;
	}
	return (struct cell){from, (size_t)(to - from)};
}

/* The end of the cell that begins at `p`. */
static const char *cell_end(const char *p, const char *end, char separator)
{
	const char *start = p;
	bool quoted = false;
	while (start < end && is_blank(*start) && separator != '\t')
		start++;
	if (start < end && *start == '"')
		quoted = memchr(start + 1, '"', (size_t)(end - start - 1)) != NULL;
	if (quoted)
		for (p = start + 1; p < end && *p != '"';)
			p++;
	while (p < end && *p != separator && !(separator == ' ' && *p == '\t'))
		p++;
	return p;
}

size_t line_split(const struct line *l, char separator, struct cell cells[DELIMITED_CELLS])
{
	const char *p = l->text, *end = l->text + l->length;
	size_t n = 0, filled = 0;
	while (p <= end) {
		while (separator == ' ' && p < end && is_blank(*p))
			p++;
		const char *stop = cell_end(p, end, separator);
		struct cell c = trimmed(p, stop);
		if (c.length) {
			if (n >= DELIMITED_CELLS)
				return DELIMITED_CELLS + 1;
			filled = n + 1;
		}
		if (n < DELIMITED_CELLS)
			cells[n++] = c;
		p = stop + 1;
	}
	return filled;
}

bool cell_number(const struct cell *c, char decimal, double *value)
{
	char text[NUMBER_LENGTH + 1];
	double v;
	if (c->length == 0 || c->length > NUMBER_LENGTH)
		return false;
	for (size_t i = 0; i < c->length; i++) {
		char x = c->text[i];
		bool mark = x == '.' || x == ',';
		if (mark && x != decimal)
			return false;
		text[i] = mark ? '.' : x;
	}
	text[c->length] = '\0';
	if (text_scan(text, &v) != c->length)
		return false;
	*value = v;
	return true;
}

/* Whether a cell is written as a number, which is quicker to tell than its value. */
static bool is_number(const struct cell *c, char decimal)
{
	const char *p = c->text, *end = p + c->length;
	bool digit = false, mark = false;
	if (c->length == 0 || c->length > NUMBER_LENGTH)
		return false;
	p += *p == '-' || *p == '+';
	for (; p < end && ((*p >= '0' && *p <= '9') || (*p == decimal && !mark)); p++) {
		mark |= *p == decimal;
		digit |= *p != decimal;
	}
	if (!digit || p[-1] == decimal)
		return false;
	if (p == end || (*p != 'e' && *p != 'E'))
		return p == end;
	p++;
	p += p < end && (*p == '-' || *p == '+');
	const char *exponent = p;
	while (p < end && *p >= '0' && *p <= '9')
		p++;
	return p == end && p > exponent;
}

bool line_comment(const struct line *l, char separator)
{
	struct cell cells[DELIMITED_CELLS];
	size_t i = 0, numbers = 0;
	double v;
	while (i < l->length && is_blank(l->text[i]))
		i++;
	if (i == l->length)
		return false;
	if (l->text[i] == '#' || l->text[i] == '%')
		return true;
	if (l->text[i] != ';' || separator != ';')
		return l->text[i] == ';';
	size_t n = line_split(l, ';', cells);
	for (size_t k = 0; k < n && k < DELIMITED_CELLS; k++) {
		if (cells[k].length && !cell_number(&cells[k], '.', &v) &&
			!cell_number(&cells[k], ',', &v))
			return true;
		numbers += cells[k].length != 0;
	}
	return numbers == 0;
}

static const char SEPARATORS[] = {'\t', ';', ',', ' '};
static const char DECIMALS[] = {'.', ','};

enum { SEPARATOR_COUNT = 4, DECIMAL_COUNT = 2 };

/* Whether a line may be cut at `separator` at all. Blanks separate only where nothing else does. */
static bool may_split(const struct line *l, char separator)
{
	if (l->length == 0)
		return false;
	if (separator == ' ')
		return !memchr(l->text, '\t', l->length) && !memchr(l->text, ';', l->length) &&
			memchr(l->text, ' ', l->length);
	return memchr(l->text, separator, l->length) != NULL;
}

/* Whether the mark in a number may group thousands: one to three digits, not beginning with 0, then
 * three after each mark. */
static bool may_group(const struct cell *c, char mark)
{
	const char *p = c->text, *end = c->text + c->length;
	p += p < end && (*p == '-' || *p == '+');
	const char *first = memchr(p, mark, (size_t)(end - p));
	return first && *p != '0' && first > p && first - p <= 3 && end - first == 4;
}

struct tally {
	struct dialect strict[SEPARATOR_COUNT][DECIMAL_COUNT];
	struct dialect loose[SEPARATOR_COUNT][DECIMAL_COUNT];
	size_t most; /* rows of the strict way of reading that found most */
};

static void tally_cells(const struct cell *cells, size_t n, size_t index, char separator, char decimal,
	struct dialect *strict, struct dialect *loose)
{
	size_t numbers = 0, filled = 0;
	bool marked = false, leads = false, grouped = true;
	for (size_t i = 0; i < n; i++) {
		bool number = is_number(&cells[i], decimal);
		leads |= number && i == 0;
		numbers += number;
		filled += cells[i].length != 0;
		bool mark = number && memchr(cells[i].text, decimal, cells[i].length) != NULL;
		marked |= mark;
		grouped &= !mark || may_group(&cells[i], decimal);
	}
	struct dialect *both[] = {loose, strict};
	for (size_t i = 0; i < 2; i++) {
		if (numbers < 2 || (i == 0 ? !leads : numbers != filled))
			continue;
		struct dialect *d = both[i];
		if (d->rows++ == 0)
			*d = (struct dialect){separator, decimal, false, true, 0, index, 1};
		if (marked && !d->marked)
			d->mark_at = index;
		d->marked |= marked;
		d->grouped &= grouped;
	}
}

/* After this many rows a way of reading that found no number at all has lost. */
enum { TRIAL_ROWS = 512 };

static bool is_out(const struct tally *t, size_t separator, size_t decimal)
{
	return t->most >= TRIAL_ROWS && !t->loose[separator][decimal].rows &&
		!t->strict[separator][decimal].rows;
}

/* Whether more rows could change nothing: one way of reading is left, and its decimal mark is no doubt. */
static bool is_settled(const struct tally *t)
{
	const struct dialect *left = NULL;
	if (t->most < TRIAL_ROWS)
		return false;
	for (size_t s = 0; s < SEPARATOR_COUNT; s++)
		for (size_t d = 0; d < DECIMAL_COUNT; d++) {
			if (is_out(t, s, d))
				continue;
			if (left)
				return false;
			left = &t->strict[s][d];
		}
	return left && left->rows && left->marked && !left->grouped;
}

static void tally_line(struct tally *t, const struct line *l, size_t index)
{
	struct cell cells[DELIMITED_CELLS];
	for (size_t s = 0; s < SEPARATOR_COUNT; s++) {
		bool out = true;
		for (size_t d = 0; d < DECIMAL_COUNT; d++)
			out &= is_out(t, s, d);
		if (out || !may_split(l, SEPARATORS[s]) || line_comment(l, SEPARATORS[s]))
			continue;
		size_t n = line_split(l, SEPARATORS[s], cells);
		for (size_t d = 0; n >= 2 && n <= DELIMITED_CELLS && d < DECIMAL_COUNT; d++) {
			if (is_out(t, s, d))
				continue;
			tally_cells(cells, n, index, SEPARATORS[s], DECIMALS[d], &t->strict[s][d],
				&t->loose[s][d]);
			size_t rows = t->strict[s][d].rows;
			t->most = rows > t->most ? rows : t->most;
		}
	}
}

static struct dialect best(struct dialect table[SEPARATOR_COUNT][DECIMAL_COUNT], char separator,
	char decimal)
{
	struct dialect found = {0};
	for (size_t s = 0; s < SEPARATOR_COUNT; s++) {
		for (size_t d = 0; d < DECIMAL_COUNT; d++) {
			bool allowed = (!separator || separator == SEPARATORS[s]) &&
				(!decimal || decimal == DECIMALS[d]);
			if (allowed && table[s][d].rows > found.rows)
				found = table[s][d];
		}
	}
	return found;
}

/* Takes in the lines before the first row that begin with a number and have more cells: rows that are
 * spoiled, and must not pass for a heading. */
static void take_spoiled(const struct line_list *lines, struct dialect *d)
{
	struct cell cells[DELIMITED_CELLS];
	double v;
	for (size_t i = d->first; i-- > 0;) {
		const struct line *l = &lines->items[i];
		if (line_blank(l) || line_comment(l, d->separator))
			continue;
		if (line_split(l, d->separator, cells) < 2 || !cell_number(&cells[0], d->decimal, &v))
			return;
		d->first = i;
	}
}

struct dialect dialect_find(const struct line_list *lines, char separator, char decimal)
{
	struct tally t;
	memset(&t, 0, sizeof t);
	for (size_t i = 0; i < lines->count && !is_settled(&t); i++)
		tally_line(&t, &lines->items[i], i);
	struct dialect found = best(t.strict, separator, decimal);
	if (!found.rows)
		found = best(t.loose, separator, decimal);
	if (found.rows)
		take_spoiled(lines, &found);
	return found;
}

/* Whether a cell is a number with this decimal mark in it. */
static bool has_mark(const struct cell *c, char decimal)
{
	double v;
	return cell_number(c, decimal, &v) && memchr(c->text, decimal, c->length);
}

size_t dialect_mixed(const struct line_list *lines)
{
	struct cell cells[DELIMITED_CELLS];
	for (size_t i = 0; i < lines->count; i++) {
		for (size_t s = 0; s < SEPARATOR_COUNT; s++) {
			const struct line *l = &lines->items[i];
			bool point = false, comma = false;
			if (SEPARATORS[s] == ',' || !may_split(l, SEPARATORS[s]))
				continue;
			size_t n = line_split(l, SEPARATORS[s], cells);
			for (size_t k = 0; k < n && k < DELIMITED_CELLS; k++) {
				point |= has_mark(&cells[k], '.');
				comma |= has_mark(&cells[k], ',');
			}
			if (point && comma)
				return i;
		}
	}
	return lines->count;
}
