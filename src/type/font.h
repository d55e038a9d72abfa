/* Typefaces: widths, kerning and coverage of TrueType fonts held in memory, and parts of them to embed.
 *
 * The layout sees a face only through `struct typeface`, so that a test can set text in a made-up one.
 * The fonts are pinned by digest, yet every offset read from them is checked. */
#ifndef TYPE_FONT_H
#define TYPE_FONT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/text.h"

/* In the order of fonts.def. */
enum face {
	FACE_TEXT,
	FACE_BOLD,
	FACE_ITALIC,
	FACE_BOLD_ITALIC,
	FACE_MONO,
	FACE_MONO_BOLD,
	FACE_SYMBOL, /* the fallback for characters that the others lack */
	FACE_COUNT,
};

struct font;

struct typeface {
	int units; /* font units per em; all lengths below are in them */
	int ascent, descent, cap_height, x_height; /* descent negative */
	/* The glyph of a character, 0 when the face lacks it. */
	unsigned (*glyph)(const struct typeface *t, uint32_t code);
	int (*advance)(const struct typeface *t, unsigned glyph);
	int (*kern)(const struct typeface *t, unsigned left, unsigned right);
	struct font *font; /* NULL in a made-up face */
};

struct typeface_set {
	struct typeface faces[FACE_COUNT];
};

struct typeface_bytes {
	const unsigned char *bytes;
	size_t length;
};

/* "fonts/Carlito-Regular.ttf": the name under which the file of `face` is embedded. */
const char *typeface_file(enum face face);

/* Reads the faces; the bytes must outlive the set. False with `*why` when one is no usable TrueType
 * font; `*set` is then in no state to be used. */
bool typeface_set_load(struct arena *a, const struct typeface_bytes files[FACE_COUNT],
	struct typeface_set *set, const char **why);

/* The face that shows `code` when `wanted` is asked for: that face itself, the text face of the same
 * weight, or the symbol face. `*glyph` is 0 when none has it. */
enum face typeface_for(const struct typeface_set *set, enum face wanted, uint32_t code,
	unsigned *glyph);

/* What a PDF font descriptor says of a face, in thousandths of an em. */
struct font_facts {
	char name[64]; /* PostScript name */
	int box[4];
	int ascent, descent, cap_height, italic_angle, stem;
	bool fixed_pitch, italic;
};

void font_facts(const struct font *f, struct font_facts *facts);

/* A TrueType file with the glyphs listed, numbered as listed (first must be 0, the same glyph may occur
 * twice), followed by the parts they are composed of. Returns the count of all. */
size_t font_subset(struct arena *a, const struct font *f, const uint16_t *glyphs, size_t count,
	struct buf *out);

#endif
