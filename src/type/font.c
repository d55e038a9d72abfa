#include "type/font.h"

#include <string.h>

#include "type/font_data.h"

static const char *const files[FACE_COUNT] = {
#define FONT(file, package, sha256, licence) "fonts/" file,
#include "type/fonts.def"
#undef FONT
};

const char *typeface_file(enum face face)
{
	return files[face];
}

unsigned font_u16(const struct font *f, size_t at)
{
	if (at + 2 > f->length)
		return 0;
	return (unsigned)f->bytes[at] << 8 | f->bytes[at + 1];
}

int font_s16(const struct font *f, size_t at)
{
	int value = (int)font_u16(f, at);
	return value >= 0x8000 ? value - 0x10000 : value;
}

uint32_t font_u32(const struct font *f, size_t at)
{
	return (uint32_t)font_u16(f, at) << 16 | font_u16(f, at + 2);
}

static struct font_table table_find(const struct font *f, const char *tag)
{
	struct font_table none = { 0, 0 };
	unsigned count = font_u16(f, 4);
	for (unsigned i = 0; i < count && i < 64; i++) {
		size_t entry = 12 + 16 * (size_t)i;
		if (entry + 16 > f->length)
			break;
		if (memcmp(f->bytes + entry, tag, 4) != 0)
			continue;
		struct font_table t = { font_u32(f, entry + 8), font_u32(f, entry + 12) };
		return t.at <= f->length && t.length <= f->length - t.at ? t : none;
	}
	return none;
}

static void code_set(struct arena *a, struct font *f, uint32_t code, unsigned glyph)
{
	if (glyph == 0 || glyph >= f->glyph_count)
		return;
	uint16_t **block = &f->codes[code / 256];
	if (!*block)
		*block = arena_array(a, 256, sizeof **block);
	(*block)[code % 256] = (uint16_t)glyph;
}

static void cmap_read_4(struct arena *a, struct font *f, size_t at)
{
	unsigned segments = font_u16(f, at + 6) / 2;
	size_t ends = at + 14, starts = ends + 2 * (size_t)segments + 2;
	size_t deltas = starts + 2 * (size_t)segments, offsets = deltas + 2 * (size_t)segments;
	for (unsigned i = 0; i < segments; i++) {
		size_t step = 2 * (size_t)i;
		unsigned start = font_u16(f, starts + step), end = font_u16(f, ends + step);
		unsigned delta = font_u16(f, deltas + step), offset = font_u16(f, offsets + step);
		for (unsigned code = start; code <= end && code < 0xFFFF; code++) {
			unsigned glyph = code;
			if (offset) {
				glyph = font_u16(f, offsets + step + offset + 2 * (size_t)(code - start));
				if (glyph == 0)
					continue;
			}
			code_set(a, f, code, (glyph + delta) & 0xFFFF);
		}
	}
}

static void cmap_read_12(struct arena *a, struct font *f, size_t at)
{
	uint32_t groups = font_u32(f, at + 12);
	for (uint32_t i = 0; i < groups && i < 4096; i++) {
		size_t group = at + 16 + 12 * (size_t)i;
		uint32_t start = font_u32(f, group), end = font_u32(f, group + 4);
		uint32_t glyph = font_u32(f, group + 8);
		for (uint32_t code = start; code <= end && code < 0x110000; code++, glyph++) {
			if (glyph >= f->glyph_count)
				break;
			code_set(a, f, code, glyph);
		}
	}
}

static bool cmap_read(struct arena *a, struct font *f)
{
	size_t wide = 0, plain = 0;
	unsigned count = font_u16(f, f->cmap.at + 2);
	for (unsigned i = 0; i < count && i < 64; i++) {
		size_t entry = f->cmap.at + 4 + 8 * (size_t)i;
		size_t at = f->cmap.at + font_u32(f, entry + 4);
		if (font_u16(f, entry) != 3)
			continue;
		if (font_u16(f, entry + 2) == 10 && font_u16(f, at) == 12)
			wide = at;
		if (font_u16(f, entry + 2) == 1 && font_u16(f, at) == 4)
			plain = at;
	}
	if (wide)
		cmap_read_12(a, f, wide);
	else if (plain)
		cmap_read_4(a, f, plain);
	return wide || plain;
}

int font_advance(const struct font *f, unsigned glyph)
{
	if (glyph >= f->metric_count)
		glyph = f->metric_count - 1;
	return (int)font_u16(f, f->hmtx.at + 4 * (size_t)glyph);
}

struct font_table font_outline(const struct font *f, unsigned glyph)
{
	struct font_table none = { 0, 0 };
	if (glyph >= f->glyph_count)
		return none;
	size_t from, to;
	if (f->long_loca) {
		from = font_u32(f, f->loca.at + 4 * (size_t)glyph);
		to = font_u32(f, f->loca.at + 4 * (size_t)glyph + 4);
	} else {
		from = 2 * (size_t)font_u16(f, f->loca.at + 2 * (size_t)glyph);
		to = 2 * (size_t)font_u16(f, f->loca.at + 2 * (size_t)glyph + 2);
	}
	if (from >= to || to > f->glyf.length)
		return none;
	return (struct font_table){ f->glyf.at + from, to - from };
}

static unsigned face_glyph(const struct typeface *t, uint32_t code)
{
	const uint16_t *block = code < 0x110000 ? t->font->codes[code / 256] : NULL;
	return block ? block[code % 256] : 0;
}

static int face_advance(const struct typeface *t, unsigned glyph)
{
	return font_advance(t->font, glyph);
}

static int face_kern(const struct typeface *t, unsigned left, unsigned right)
{
	return font_pair(t->font, left, right);
}

static void tables_find(struct font *f)
{
	const struct {
		const char *tag;
		struct font_table *table;
	} wanted[] = {
		{ "head", &f->head }, { "hhea", &f->hhea }, { "hmtx", &f->hmtx }, { "maxp", &f->maxp },
		{ "loca", &f->loca }, { "glyf", &f->glyf }, { "cmap", &f->cmap }, { "GPOS", &f->gpos },
		{ "kern", &f->kern }, { "OS/2", &f->os2 }, { "post", &f->post }, { "name", &f->name },
		{ "cvt ", &f->cvt }, { "fpgm", &f->fpgm }, { "prep", &f->prep },
	};
	for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
		*wanted[i].table = table_find(f, wanted[i].tag);
}

static bool face_load(struct arena *a, struct typeface_bytes file, struct typeface *t)
{
	struct font *f = arena_alloc(a, sizeof *f);
	f->bytes = file.bytes;
	f->length = file.length;
	if (!file.bytes || font_u32(f, 0) != 0x00010000)
		return false;
	tables_find(f);
	f->glyph_count = font_u16(f, f->maxp.at + 4);
	f->metric_count = font_u16(f, f->hhea.at + 34);
	f->long_loca = font_u16(f, f->head.at + 50) == 1;
	size_t loca = ((size_t)f->glyph_count + 1) * (f->long_loca ? 4 : 2);
	if (f->head.length < 54 || f->hhea.length < 36 || f->maxp.length < 6 || f->glyph_count == 0 ||
	    f->metric_count == 0 || f->metric_count > f->glyph_count || f->loca.length < loca ||
	    f->hmtx.length < 4 * (size_t)f->metric_count + 2 * (size_t)(f->glyph_count - f->metric_count) ||
	    f->glyf.length == 0 || !cmap_read(a, f))
		return false;
	t->units = (int)font_u16(f, f->head.at + 18);
	if (t->units < 16)
		return false;
	font_pairs_read(f);
	t->ascent = font_s16(f, f->hhea.at + 4);
	t->descent = font_s16(f, f->hhea.at + 6);
	bool sized = f->os2.length >= 90; /* from version 2 on the table knows these heights */
	t->x_height = sized ? font_s16(f, f->os2.at + 86) : t->units / 2;
	t->cap_height = sized ? font_s16(f, f->os2.at + 88) : t->units * 7 / 10;
	t->glyph = face_glyph;
	t->advance = face_advance;
	t->kern = face_kern;
	t->font = f;
	return true;
}

bool typeface_set_load(struct arena *a, const struct typeface_bytes bytes[FACE_COUNT],
	struct typeface_set *set, const char **why)
{
	for (int i = 0; i < FACE_COUNT; i++)
		if (!face_load(a, bytes[i], &set->faces[i])) {
			*why = arena_format(a, "%s is no usable TrueType font", files[i]);
			return false;
		}
	return true;
}

enum face typeface_for(const struct typeface_set *set, enum face wanted, uint32_t code, unsigned *glyph)
{
	bool bold = wanted == FACE_BOLD || wanted == FACE_BOLD_ITALIC || wanted == FACE_MONO_BOLD;
	const enum face order[] = { wanted, bold ? FACE_BOLD : FACE_TEXT, FACE_SYMBOL };
	for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
		const struct typeface *t = &set->faces[order[i]];
		*glyph = t->glyph(t, code);
		if (*glyph)
			return order[i];
	}
	return FACE_SYMBOL;
}
