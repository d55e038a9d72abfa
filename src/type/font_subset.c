#include "type/font_data.h"

#include <string.h>

enum {
	PART_WORDS = 0x0001,
	PART_SCALE = 0x0008,
	PART_MORE = 0x0020,
	PART_TWO_SCALES = 0x0040,
	PART_MATRIX = 0x0080,
};

enum { SUBSET_TABLES = 9 };

struct subset {
	struct arena *arena;
	const struct font *font;
	uint16_t *glyphs; /* new number -> old number */
	uint16_t *fresh;  /* old number -> new number + 1 of its first place */
	size_t count, room;
};

static void put16(struct buf *b, unsigned value)
{
	buf_char(b, (char)(value >> 8 & 0xFF));
	buf_char(b, (char)(value & 0xFF));
}

static void put32(struct buf *b, uint32_t value)
{
	put16(b, value >> 16);
	put16(b, value & 0xFFFF);
}

static void set16(struct buf *b, size_t at, unsigned value)
{
	b->bytes[at] = (char)(value >> 8 & 0xFF);
	b->bytes[at + 1] = (char)(value & 0xFF);
}

static void set32(struct buf *b, size_t at, uint32_t value)
{
	set16(b, at, value >> 16);
	set16(b, at + 2, value & 0xFFFF);
}

static unsigned subset_number(struct subset *s, unsigned glyph)
{
	if (glyph >= s->font->glyph_count)
		return 0;
	if (s->fresh[glyph])
		return s->fresh[glyph] - 1U;
	if (s->count >= 0xFFFE)
		return 0;
	if (s->count == s->room) {
		s->glyphs = arena_grow(s->arena, s->glyphs, s->count, s->room * 2, sizeof *s->glyphs);
		s->room *= 2;
	}
	s->glyphs[s->count++] = (uint16_t)glyph;
	s->fresh[glyph] = (uint16_t)s->count;
	return (unsigned)s->count - 1;
}

/* Copies one outline; parts of a composed glyph get their new numbers and join the subset. */
static void outline_copy(struct subset *s, unsigned glyph, struct buf *glyf)
{
	const struct font *f = s->font;
	struct font_table from = font_outline(f, glyph);
	size_t start = glyf->length;
	buf_add(glyf, f->bytes + from.at, from.length);
	while (glyf->length % 4)
		buf_char(glyf, '\0');
	if (from.length < 10 || font_s16(f, from.at) >= 0)
		return;
	size_t at = 10;
	unsigned flags;
	do {
		if (at + 4 > from.length)
			return;
		flags = font_u16(f, from.at + at);
		set16(glyf, start + at + 2, subset_number(s, font_u16(f, from.at + at + 2)));
		at += flags & PART_WORDS ? 8 : 6;
		if (flags & PART_SCALE)
			at += 2;
		else if (flags & PART_TWO_SCALES)
			at += 4;
		else if (flags & PART_MATRIX)
			at += 8;
	} while (flags & PART_MORE);
}

static uint32_t checksum(const char *bytes, size_t length)
{
	uint32_t sum = 0;
	for (size_t i = 0; i + 4 <= length; i += 4)
		sum += (uint32_t)(unsigned char)bytes[i] << 24 | (uint32_t)(unsigned char)bytes[i + 1] << 16 |
			(uint32_t)(unsigned char)bytes[i + 2] << 8 | (unsigned char)bytes[i + 3];
	return sum;
}

static void table_copy(const struct font *f, struct font_table t, struct buf *out)
{
	buf_add(out, (const char *)f->bytes + t.at, t.length);
}

/* Writes directory and tables; the tables come in the order of their tags. */
static void file_write(struct buf *out, const char (*tags)[5], struct buf *tables)
{
	unsigned count = 0, power = 1, log = 0;
	for (int i = 0; i < SUBSET_TABLES; i++)
		count += tables[i].length > 0;
	while (power * 2 <= count) {
		power *= 2;
		log++;
	}
	size_t base = out->length, head = 0;
	put32(out, 0x00010000);
	put16(out, count);
	put16(out, power * 16);
	put16(out, log);
	put16(out, (count - power) * 16);
	size_t at = 12 + 16 * (size_t)count;
	for (int i = 0; i < SUBSET_TABLES; i++) {
		size_t length = tables[i].length;
		if (length == 0)
			continue;
		while (tables[i].length % 4)
			buf_char(&tables[i], '\0');
		if (memcmp(tags[i], "head", 4) == 0)
			head = at;
		buf_add(out, tags[i], 4);
		put32(out, checksum(tables[i].bytes, tables[i].length));
		put32(out, (uint32_t)at);
		put32(out, (uint32_t)length);
		at += tables[i].length;
	}
	for (int i = 0; i < SUBSET_TABLES; i++)
		buf_add(out, tables[i].bytes, tables[i].length);
	set32(out, base + head + 8, 0xB1B0AFBAU - checksum(out->bytes + base, out->length - base));
}

size_t font_subset(struct arena *a, const struct font *f, const uint16_t *glyphs, size_t count,
	struct buf *out)
{
	enum { CVT, FPGM, GLYF, HEAD, HHEA, HMTX, LOCA, MAXP, PREP };
	static const char tags[SUBSET_TABLES][5] = { "cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca",
		"maxp", "prep" };
	struct buf tables[SUBSET_TABLES];
	struct subset s = { .arena = a, .font = f, .count = count, .room = count + 64 };
	s.glyphs = arena_grow(a, glyphs, count, s.room, sizeof *s.glyphs);
	s.fresh = arena_array(a, f->glyph_count, sizeof *s.fresh);
	for (size_t i = count; i-- > 0;)
		if (glyphs[i] < f->glyph_count)
			s.fresh[glyphs[i]] = (uint16_t)(i + 1);
	for (int i = 0; i < SUBSET_TABLES; i++)
		buf_init(&tables[i], a);
	for (size_t i = 0; i < s.count; i++) {
		put32(&tables[LOCA], (uint32_t)tables[GLYF].length);
		outline_copy(&s, s.glyphs[i], &tables[GLYF]);
		unsigned old = s.glyphs[i], n = f->metric_count;
		size_t bearing = old < n ? f->hmtx.at + 4 * (size_t)old + 2
					 : f->hmtx.at + 4 * (size_t)n + 2 * (size_t)(old - n);
		put16(&tables[HMTX], (unsigned)font_advance(f, old));
		put16(&tables[HMTX], font_u16(f, bearing));
	}
	put32(&tables[LOCA], (uint32_t)tables[GLYF].length);
	table_copy(f, f->cvt, &tables[CVT]);
	table_copy(f, f->fpgm, &tables[FPGM]);
	table_copy(f, f->prep, &tables[PREP]);
	table_copy(f, f->head, &tables[HEAD]);
	set32(&tables[HEAD], 8, 0);
	set16(&tables[HEAD], 50, 1);
	table_copy(f, f->hhea, &tables[HHEA]);
	set16(&tables[HHEA], 34, (unsigned)s.count);
	table_copy(f, f->maxp, &tables[MAXP]);
	set16(&tables[MAXP], 4, (unsigned)s.count);
	file_write(out, tags, tables);
	return s.count;
}

static void name_read(const struct font *f, struct font_facts *facts)
{
	size_t at = f->name.at, strings = at + font_u16(f, at + 4), n = 0;
	for (unsigned i = 0; i < font_u16(f, at + 2); i++) {
		size_t record = at + 6 + 12 * (size_t)i;
		if (font_u16(f, record) != 3 || font_u16(f, record + 6) != 6)
			continue;
		size_t length = font_u16(f, record + 8), text = strings + font_u16(f, record + 10);
		for (size_t k = 0; k + 2 <= length && n + 1 < sizeof facts->name; k += 2) {
			unsigned c = font_u16(f, text + k);
			/* only what a PDF name holds without escapes */
			if (c == '-' || (c >= '0' && c <= '9') || ((c | 32) >= 'a' && (c | 32) <= 'z'))
				facts->name[n++] = (char)c;
		}
		break;
	}
	if (n == 0)
		strcpy(facts->name, "Unnamed");
}

void font_facts(const struct font *f, struct font_facts *facts)
{
	memset(facts, 0, sizeof *facts);
	name_read(f, facts);
	int units = (int)font_u16(f, f->head.at + 18);
	for (size_t i = 0; i < 4; i++)
		facts->box[i] = font_s16(f, f->head.at + 36 + 2 * i) * 1000 / units;
	facts->ascent = font_s16(f, f->hhea.at + 4) * 1000 / units;
	facts->descent = font_s16(f, f->hhea.at + 6) * 1000 / units;
	facts->cap_height = f->os2.length >= 90 ? font_s16(f, f->os2.at + 88) * 1000 / units : 700;
	facts->italic_angle = font_s16(f, f->post.at + 4);
	facts->italic = facts->italic_angle != 0;
	facts->fixed_pitch = font_u32(f, f->post.at + 12) != 0;
	facts->stem = font_u16(f, f->os2.at + 4) >= 600 ? 140 : 80; /* weight class */
}
