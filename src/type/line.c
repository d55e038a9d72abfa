#include "type/line.h"

#include <math.h>
#include <string.h>

#include "base/quantity.h"

enum {
	NO_BREAK_SPACE = 0xA0, SOFT_HYPHEN = 0xAD, EN_DASH = 0x2013, EM_DASH = 0x2014, PLUS_MINUS = 0xB1,
	TIMES = 0xD7, AT_MOST = 0x2264, AT_LEAST = 0x2265, REPLACEMENT = 0xFFFD, HOLLOW_SQUARE = 0x25A1,
	ZERO_SPACE = 0x200B, WORD_JOINER = 0x2060, BYTE_ORDER_MARK = 0xFEFF, THIN_SPACE = 0x2009,
	NARROW_SPACE = 0x202F,
};

static const double GREY_SPAN = 0.40;

double face_scale(enum face face)
{
	static const double scale[FACE_COUNT] = {
		[FACE_TEXT] = 1, [FACE_BOLD] = 1, [FACE_ITALIC] = 1, [FACE_BOLD_ITALIC] = 1,
		[FACE_MONO] = 0.87, [FACE_MONO_BOLD] = 0.87, [FACE_SYMBOL] = 0.9,
	};
	return scale[face];
}

static enum face face_of(unsigned marks)
{
	if (marks & SPAN_MONO)
		return marks & SPAN_BOLD ? FACE_MONO_BOLD : FACE_MONO;
	if (marks & SPAN_BOLD)
		return marks & SPAN_ITALIC ? FACE_BOLD_ITALIC : FACE_BOLD;
	return marks & SPAN_ITALIC ? FACE_ITALIC : FACE_TEXT;
}

static void missing_note(struct setter *s, uint32_t code)
{
	for (struct missing *m = s->missing; m; m = m->next)
		if (m->code == code) {
			m->count++;
			return;
		}
	if (s->missing_kinds == MISSING_KINDS) { /* the last entry counts all further kinds */
		s->missing_last->count++;
		return;
	}
	struct missing *m = arena_alloc(s->arena, sizeof *m);
	m->code = code;
	m->count = 1;
	if (s->missing_last)
		s->missing_last->next = m;
	else
		s->missing = m;
	s->missing_last = m;
	s->missing_kinds++;
}

/* Characters that steer only, without a mark of their own. */
static bool code_silent(uint32_t code)
{
	return code == SOFT_HYPHEN || (code >= ZERO_SPACE && code <= 0x200F) || code == WORD_JOINER ||
		code == BYTE_ORDER_MARK || code == '\r';
}

static void glyph_set(struct setter *s, struct glyph *g, uint32_t code, enum face wanted)
{
	unsigned id = 0;
	enum face face = FACE_SYMBOL;
	bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
	if (!control && code != REPLACEMENT)
		face = typeface_for(s->faces, wanted, code, &id);
	if (id == 0 && code == NARROW_SPACE)
		face = typeface_for(s->faces, wanted, NO_BREAK_SPACE, &id);
	if (id == 0) {
		missing_note(s, code);
		code = HOLLOW_SQUARE;
		face = typeface_for(s->faces, FACE_SYMBOL, code, &id);
	}
	g->code = code;
	g->id = (uint16_t)id;
	g->face = (uint8_t)face;
}

static bool letter(uint32_t c)
{
	return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= 0xC0 && c < 0x2000);
}

static bool digit(uint32_t c)
{
	return c >= '0' && c <= '9';
}

/* Whether the word that begins at `i` is a unit: "mm", "N/mm", "°C". */
static bool unit_follows(const struct text *t, size_t i)
{
	char name[16];
	size_t n = 0;
	for (; i < t->count; i++) {
		uint32_t c = t->glyphs[i].code;
		if (c == ' ' || c == NO_BREAK_SPACE || c == ',' || c == ';' || c == ')' || c == '\n' ||
		    c == '.' || c == ':')
			break;
		if (n + 3 > sizeof name || c >= 0x800)
			return false;
		if (c >= 0x80) {
			name[n++] = (char)(0xC0 | c >> 6);
			name[n++] = (char)(0x80 | (c & 0x3F));
		} else
			name[n++] = (char)c;
	}
	return n > 0 && unit_find(name, n) != NULL;
}

static enum line_break blank_break(const struct text *t, size_t i)
{
	uint32_t before = i > 0 ? t->glyphs[i - 1].code : ' ';
	uint32_t after = i + 1 < t->count ? t->glyphs[i + 1].code : ' ';
	uint32_t second = i + 2 < t->count ? t->glyphs[i + 2].code : ' ';
	if ((before == PLUS_MINUS || before == AT_MOST || before == AT_LEAST || before == TIMES) &&
	    digit(after))
		return BREAK_NONE;
	if ((after == EN_DASH || after == EM_DASH) && second == ' ')
		return BREAK_NONE;
	if (digit(before) && unit_follows(t, i + 1))
		return BREAK_NONE;
	return BREAK_BLANK;
}

static void breaks_find(struct text *t)
{
	for (size_t i = 0; i < t->count; i++) {
		struct glyph *g = &t->glyphs[i];
		if (g->breaks == BREAK_FORCED || g->breaks == BREAK_HERE)
			continue;
		uint32_t before = i > 0 ? t->glyphs[i - 1].code : ' ';
		uint32_t after = i + 1 < t->count ? t->glyphs[i + 1].code : ' ';
		if (g->code == ' ')
			g->breaks = (uint8_t)blank_break(t, i);
		else if (g->code == '-' && letter(before) && letter(after))
			g->breaks = BREAK_HERE;
		else if (g->code == EM_DASH && after != ' ')
			g->breaks = BREAK_HERE;
	}
}

static void advances_set(const struct setter *s, struct text *t)
{
	for (size_t i = 0; i < t->count; i++) {
		struct glyph *g = &t->glyphs[i];
		if (g->breaks == BREAK_FORCED)
			continue;
		const struct typeface *face = &s->faces->faces[g->face];
		double unit = t->spans[g->span].size * face_scale((enum face)g->face) / face->units;
		const struct glyph *left = i > 0 ? g - 1 : NULL;
		if (left && left->breaks != BREAK_FORCED && left->face == g->face && left->span == g->span)
			g->kern = (int16_t)face->kern(face, left->id, g->id);
		g->advance = unit * (face->advance(face, g->id) + g->kern);
	}
}

static void extent_measure(struct text *t)
{
	double part = 0, line = 0, blanks = 0;
	for (size_t i = 0; i < t->count; i++) {
		const struct glyph *g = &t->glyphs[i];
		if (g->breaks == BREAK_FORCED) {
			part = line = blanks = 0;
			continue;
		}
		if (g->breaks == BREAK_BLANK) {
			blanks += g->advance;
			part = 0;
			continue;
		}
		part += g->advance;
		line += blanks + g->advance;
		blanks = 0;
		t->least = part > t->least ? part : t->least;
		t->wanted = line > t->wanted ? line : t->wanted;
		if (g->breaks == BREAK_HERE)
			part = 0;
	}
}

static void span_set(struct setter *s, struct text *t, const struct span *span, const char *words,
	uint32_t index, const struct text_style *style)
{
	unsigned marks = span->style | style->marks;
	t->spans[index] = (struct text_span){
		.size = marks & SPAN_SMALL ? style->small_size : style->size,
		.grey = marks & SPAN_GREY ? GREY_SPAN : style->grey,
		.target = span->target,
	};
	enum face face = face_of(marks);
	size_t length = strlen(words);
	for (size_t at = 0; at < length;) {
		uint32_t code = REPLACEMENT;
		size_t taken = utf8_decode(words + at, length - at, &code);
		at += taken ? taken : 1;
		if (code == ZERO_SPACE && t->count > 0 && t->glyphs[t->count - 1].breaks == BREAK_NONE)
			t->glyphs[t->count - 1].breaks = BREAK_HERE;
		if (code_silent(code))
			continue;
		struct glyph *g = &t->glyphs[t->count++];
		g->span = index;
		if (code == '\n') {
			g->code = code;
			g->breaks = BREAK_FORCED;
		} else
			glyph_set(s, g, code == '\t' || code == THIN_SPACE ? ' ' : code, face);
	}
}

static const char *span_words(const struct setter *s, const struct span *span)
{
	if (!span->page_of_target)
		return span->text;
	const char *page = span->target && s->page_of ? s->page_of(s->pages, span->target) : NULL;
	return page ? page : "\xE2\x80\x93";
}

struct text text_prepare(struct setter *s, const struct spans *spans, const struct text_style *style)
{
	struct text t = { 0 };
	size_t length = 0, count = 0;
	for (const struct span *p = spans->first; p; p = p->next, count++)
		length += strlen(span_words(s, p));
	t.glyphs = arena_array(s->arena, length, sizeof *t.glyphs);
	t.spans = arena_array(s->arena, count, sizeof *t.spans);
	uint32_t index = 0;
	for (const struct span *p = spans->first; p; p = p->next)
		span_set(s, &t, p, span_words(s, p), index++, style);
	breaks_find(&t);
	advances_set(s, &t);
	extent_measure(&t);
	return t;
}

struct text text_prepare_plain(struct setter *s, const char *words, const struct text_style *style)
{
	struct span span = { .text = words };
	struct spans spans = { &span, &span };
	return text_prepare(s, &spans, style);
}

/* Cuts glyphs [from, to) into runs of one face and span. */
static struct line *line_make(struct arena *a, const struct text *t, size_t from, size_t to)
{
	struct line *line = arena_alloc(a, sizeof *line);
	struct run **next = &line->runs;
	double x = 0, ink = 0;
	for (size_t i = from; i < to;) {
		const struct glyph *g = &t->glyphs[i];
		struct run *r = arena_alloc(a, sizeof *r);
		*r = (struct run){ .glyphs = g, .face = (enum face)g->face, .span = &t->spans[g->span], .x = x };
		for (; i < to && t->glyphs[i].face == g->face && t->glyphs[i].span == g->span; i++) {
			x += t->glyphs[i].advance;
			if (t->glyphs[i].code != ' ') {
				ink = x;
				r->width = x - r->x;
			}
			r->count++;
		}
		*next = r;
		next = &r->next;
	}
	line->width = ink;
	return line;
}

static bool breaks_well(uint32_t c)
{
	return c == '/' || c == '-' || c == '_' || c == '.' || c == '@' || c == ':' || c == ',';
}

/* Where to cut a word that is wider than the box: glyphs [from, end) fit. */
static size_t word_cut(const struct text *t, size_t from, size_t end)
{
	if (end <= from)
		return from + 1;
	for (size_t i = end; i > from + (end - from) / 2; i--)
		if (breaks_well(t->glyphs[i - 1].code))
			return i;
	return end;
}

/* End of the line that begins at `from`; the glyphs from *next on belong to the next line. */
static size_t line_end(const struct text *t, size_t from, double width, size_t *next)
{
	double x = 0;
	size_t last = 0; /* behind the last place to break, 0: none yet */
	for (size_t i = from; i < t->count; i++) {
		const struct glyph *g = &t->glyphs[i];
		if (g->breaks == BREAK_FORCED) {
			*next = i + 1;
			return i;
		}
		x += g->advance;
		if (x > width + 1e-6 && g->breaks != BREAK_BLANK) {
			size_t cut = last ? last : word_cut(t, from, i);
			*next = cut;
			while (last && *next < t->count && t->glyphs[*next].breaks == BREAK_BLANK)
				++*next;
			return cut;
		}
		if (g->breaks != BREAK_NONE)
			last = i + 1;
	}
	*next = t->count;
	return t->count;
}

struct lines text_break(struct arena *a, const struct text *t, double width)
{
	struct lines lines = { 0 };
	struct line **next = &lines.first;
	size_t from = 0;
	bool more = true;
	while (more) {
		size_t after = from;
		size_t to = line_end(t, from, width, &after);
		*next = line_make(a, t, from, to);
		next = &(*next)->next;
		lines.count++;
		more = after < t->count;
		from = after;
	}
	return lines;
}
