/* Kerning: pair adjustment of the GPOS table (OpenType specification, lookup types 2 and 9), or the
 * old kern table, format 0. */
#include "type/font_data.h"

#include <string.h>

enum { VALUE_X_ADVANCE = 4 };

static unsigned bits(unsigned value)
{
	unsigned n = 0;
	for (; value; value >>= 1)
		n += value & 1;
	return n;
}

static void subtables_note(struct font *f, size_t lookup, unsigned group)
{
	unsigned type = font_u16(f, lookup), count = font_u16(f, lookup + 4);
	for (unsigned i = 0; i < count && f->pair_count < PAIR_TABLES; i++) {
		size_t at = lookup + font_u16(f, lookup + 6 + 2 * (size_t)i);
		unsigned inner = type;
		if (type == 9) {
			inner = font_u16(f, at + 2);
			at += font_u32(f, at + 4);
		}
		if (inner == 2)
			f->pairs[f->pair_count++] = (struct pair_table){ at, group };
	}
}

void font_pairs_read(struct font *f)
{
	if (f->gpos.length < 10)
		return;
	size_t features = f->gpos.at + font_u16(f, f->gpos.at + 6);
	size_t lookups = f->gpos.at + font_u16(f, f->gpos.at + 8);
	unsigned feature_count = font_u16(f, features), lookup_count = font_u16(f, lookups);
	bool wanted[64] = { false };
	for (unsigned i = 0; i < feature_count && i < 512; i++) {
		size_t entry = features + 2 + 6 * (size_t)i;
		if (font_u32(f, entry) != 0x6B65726E) /* "kern" */
			continue;
		size_t feature = features + font_u16(f, entry + 4);
		unsigned count = font_u16(f, feature + 2);
		for (unsigned k = 0; k < count && k < 64; k++) {
			unsigned index = font_u16(f, feature + 4 + 2 * (size_t)k);
			if (index < 64)
				wanted[index] = true;
		}
	}
	for (unsigned i = 0; i < lookup_count && i < 64; i++)
		if (wanted[i])
			subtables_note(f, lookups + font_u16(f, lookups + 2 + 2 * (size_t)i), i);
}

/* The range of 6-byte records (first, last, value) that holds `glyph`, or 0. */
static size_t range_find(const struct font *f, size_t records, unsigned count, unsigned glyph)
{
	unsigned low = 0, high = count;
	while (low < high) {
		unsigned mid = low + (high - low) / 2;
		size_t at = records + 6 * (size_t)mid;
		if (glyph < font_u16(f, at))
			high = mid;
		else if (glyph > font_u16(f, at + 2))
			low = mid + 1;
		else
			return at;
	}
	return 0;
}

/* Index of `glyph` in `count` records of `step` bytes that begin with an ascending glyph, or -1. */
static int sorted_find(const struct font *f, size_t records, unsigned count, size_t step,
	unsigned glyph)
{
	unsigned low = 0, high = count;
	while (low < high) {
		unsigned mid = low + (high - low) / 2, seen = font_u16(f, records + step * mid);
		if (seen == glyph)
			return (int)mid;
		if (seen < glyph)
			low = mid + 1;
		else
			high = mid;
	}
	return -1;
}

static int coverage(const struct font *f, size_t at, unsigned glyph)
{
	unsigned count = font_u16(f, at + 2);
	if (font_u16(f, at) == 1)
		return sorted_find(f, at + 4, count, 2, glyph);
	size_t range = range_find(f, at + 4, count, glyph);
	return range ? (int)(font_u16(f, range + 4) + glyph - font_u16(f, range)) : -1;
}

static unsigned glyph_class(const struct font *f, size_t at, unsigned glyph)
{
	if (font_u16(f, at) == 1) {
		unsigned first = font_u16(f, at + 2), count = font_u16(f, at + 4);
		if (glyph < first || glyph - first >= count)
			return 0;
		return font_u16(f, at + 6 + 2 * (size_t)(glyph - first));
	}
	size_t range = range_find(f, at + 4, font_u16(f, at + 2), glyph);
	return range ? font_u16(f, range + 4) : 0;
}

/* True when the subtable decides about the pair, be it for no change. */
static bool subtable_pair(const struct font *f, size_t at, unsigned left, unsigned right, int *value)
{
	int index = coverage(f, at + font_u16(f, at + 2), left);
	if (index < 0)
		return false;
	unsigned first = font_u16(f, at + 4), second = font_u16(f, at + 6);
	size_t size = 2 * (size_t)(bits(first) + bits(second));
	size_t skip = 2 * (size_t)bits(first & (VALUE_X_ADVANCE - 1));
	size_t record = 0;
	if (font_u16(f, at) == 1) {
		if ((unsigned)index >= font_u16(f, at + 8))
			return false;
		size_t set = at + font_u16(f, at + 10 + 2 * (size_t)index);
		int k = sorted_find(f, set + 2, font_u16(f, set), 2 + size, right);
		if (k < 0)
			return false;
		record = set + 2 + (2 + size) * (size_t)k + 2;
	} else {
		unsigned c1 = glyph_class(f, at + font_u16(f, at + 8), left);
		unsigned c2 = glyph_class(f, at + font_u16(f, at + 10), right);
		unsigned n1 = font_u16(f, at + 12), n2 = font_u16(f, at + 14);
		if (c1 >= n1 || c2 >= n2)
			return false;
		record = at + 16 + ((size_t)c1 * n2 + c2) * size;
	}
	*value = first & VALUE_X_ADVANCE ? font_s16(f, record + skip) : 0;
	return true;
}

static int kern_table_pair(const struct font *f, unsigned left, unsigned right)
{
	if (f->kern.length < 18 || font_u16(f, f->kern.at) != 0 || font_u16(f, f->kern.at + 8) >> 8 != 0)
		return 0;
	size_t pairs = f->kern.at + 18;
	uint32_t wanted = (uint32_t)left << 16 | right;
	unsigned low = 0, high = font_u16(f, f->kern.at + 10);
	while (low < high) {
		unsigned mid = low + (high - low) / 2;
		uint32_t seen = font_u32(f, pairs + 6 * (size_t)mid);
		if (seen == wanted)
			return font_s16(f, pairs + 6 * (size_t)mid + 4);
		if (seen < wanted)
			low = mid + 1;
		else
			high = mid;
	}
	return 0;
}

static int pair_compute(const struct font *f, unsigned left, unsigned right)
{
	if (f->pair_count == 0)
		return kern_table_pair(f, left, right);
	int sum = 0;
	unsigned done = UINT32_MAX;
	for (unsigned i = 0; i < f->pair_count; i++) {
		int value = 0;
		if (f->pairs[i].group == done)
			continue;
		if (subtable_pair(f, f->pairs[i].at, left, right, &value)) {
			sum += value;
			done = f->pairs[i].group;
		}
	}
	return sum;
}

int font_pair(struct font *f, unsigned left, unsigned right)
{
	uint32_t key = (uint32_t)left << 16 | (right & 0xFFFF);
	uint32_t slot = (key * 2654435761U) >> 20; /* multiplicative hash to PAIR_CACHE slots */
	if (f->cache[slot].key != key) {
		f->cache[slot].key = key;
		f->cache[slot].value = pair_compute(f, left, right);
	}
	return f->cache[slot].value;
}
