/* Setting text in lines: characters to glyphs with fallback and kerning, and breaking to a width.
 *
 * Lines break at blanks, after hyphens between letters and after em dashes; never between a value and
 * its unit, after a sign that belongs to the figure behind it, or before a dash. A word wider than the
 * box is broken, after a mark of punctuation where there is one in the second half of the line. Lines
 * are ragged: no blank is stretched. All lengths in points. */
#ifndef TYPE_LINE_H
#define TYPE_LINE_H

#include "doc/tree.h"
#include "type/font.h"

enum { MISSING_KINDS = 256 };

/* A character that no face shows; a hollow square stands in its place. */
struct missing {
	uint32_t code; /* U+FFFD for malformed bytes */
	size_t count;
	struct missing *next;
};

/* One glyph as it will be drawn. */
struct glyph {
	uint32_t code;
	uint16_t id;
	int16_t kern;    /* font units added before it, when it does not begin a run */
	double advance;  /* with its kerning */
	uint32_t span;   /* index into text.spans */
	uint8_t face;    /* enum face */
	uint8_t breaks;  /* enum line_break: what may happen behind it */
};

enum line_break { BREAK_NONE, BREAK_HERE, BREAK_BLANK, BREAK_FORCED };

struct setter {
	struct arena *arena;
	const struct typeface_set *faces;
	struct missing *missing, *missing_last; /* in the order met */
	size_t missing_kinds;
	const char *(*page_of)(const void *pages, const char *label); /* NULL for an unknown label */
	const void *pages;
};

struct text_style {
	double size, small_size;
	unsigned marks; /* enum span_style bits that hold for all of it */
	double grey;
};

struct text_span {
	double size, grey;
	const char *target;
};

/* Text made ready: measured once, broken to any width. */
struct text {
	struct glyph *glyphs;
	size_t count;
	struct text_span *spans;
	double least;  /* widest part that does not break */
	double wanted; /* widest line when only forced breaks are taken */
};

struct run {
	const struct glyph *glyphs; /* of one face and one span */
	size_t count;
	enum face face;
	const struct text_span *span;
	double x, width; /* from the start of the line */
	struct run *next;
};

struct line {
	struct run *runs;
	double width; /* without the blank at its end, though that is in the last run */
	struct line *next;
};

struct lines {
	struct line *first;
	size_t count; /* at least 1: empty text is one empty line */
};

/* How much smaller than asked a face is set, so that faces look alike beside each other. */
double face_scale(enum face face);

struct text text_prepare(struct setter *s, const struct spans *spans, const struct text_style *style);
struct text text_prepare_plain(struct setter *s, const char *words, const struct text_style *style);

struct lines text_break(struct arena *a, const struct text *t, double width);

#endif
