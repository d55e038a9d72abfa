/* Inside of a font, shared by the files that read it. */
#ifndef TYPE_FONT_DATA_H
#define TYPE_FONT_DATA_H

#include "type/font.h"

struct font_table {
	size_t at, length; /* length 0: the font has none */
};

enum { CODE_BLOCKS = 0x110000 / 256, PAIR_TABLES = 24, PAIR_CACHE = 4096 };

struct pair_table {
	size_t at;      /* offset of a pair adjustment subtable in the file */
	unsigned group; /* of one group only the first that knows the left glyph counts */
};

struct font {
	const unsigned char *bytes;
	size_t length;
	struct font_table head, hhea, hmtx, maxp, loca, glyf, cmap, gpos, kern, os2, post, name, cvt, fpgm,
		prep;
	unsigned glyph_count, metric_count;
	bool long_loca;
	uint16_t *codes[CODE_BLOCKS]; /* character / 256 -> glyphs of 256 characters, or NULL */
	struct pair_table pairs[PAIR_TABLES];
	unsigned pair_count;
	struct {
		uint32_t key; /* left << 16 | right; 0 is no pair that can be kerned */
		int value;
	} cache[PAIR_CACHE];
};

/* Big-endian numbers at a file offset; 0 outside the file. */
unsigned font_u16(const struct font *f, size_t at);
int font_s16(const struct font *f, size_t at);
uint32_t font_u32(const struct font *f, size_t at);

/* Where the outline of `glyph` lies; length 0 for a blank or a glyph outside the font. */
struct font_table font_outline(const struct font *f, unsigned glyph);

int font_advance(const struct font *f, unsigned glyph);

/* Collects the pair tables, from GPOS when it has a kern feature, else none is noted and the old kern
 * table answers. */
void font_pairs_read(struct font *f);

/* Kerning between two glyphs in font units, cached. */
int font_pair(struct font *f, unsigned left, unsigned right);

#endif
