#include <criterion/criterion.h>
#include <setjmp.h>
#include <string.h>

#include "sys/embedded.h"
#include "type/font.h"

static struct arena arena;
static jmp_buf escape;
static struct typeface_set faces;
static struct typeface_bytes files[FACE_COUNT];

static void begin(void)
{
	const char *why = NULL;
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
	for (int i = 0; i < FACE_COUNT; i++) {
		const struct embedded_file *f = embedded_find(typeface_file((enum face)i));
		cr_assert_not_null(f, "%s", typeface_file((enum face)i));
		files[i] = (struct typeface_bytes){ f->bytes, f->length };
	}
	cr_assert(typeface_set_load(&arena, files, &faces, &why), "%s", why);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(type_font, .init = begin, .fini = end);

static int advance(enum face face, uint32_t code)
{
	const struct typeface *t = &faces.faces[face];
	return t->advance(t, t->glyph(t, code));
}

/* Widths of the family that the text face is made to match, in 2048ths of an em. memory */
Test(type_font, widths_are_those_of_the_matched_family)
{
	cr_expect_eq(faces.faces[FACE_TEXT].units, 2048);
	cr_expect_eq(advance(FACE_TEXT, '0'), 1038);
	cr_expect_eq(advance(FACE_TEXT, ' '), 463);
	cr_expect_eq(advance(FACE_TEXT, 'A'), 1185);
	/* The fixed pitch is 0.6 em, as in the typewriter face that it matches. memory */
	cr_expect_eq(advance(FACE_MONO, 'i'), 1229);
}

Test(type_font, figures_are_of_one_width)
{
	for (int face = 0; face < FACE_COUNT; face++)
		for (uint32_t c = '1'; c <= '9'; c++)
			cr_expect_eq(advance((enum face)face, c), advance((enum face)face, '0'));
}

Test(type_font, kerns_pairs_that_gape)
{
	const struct typeface *t = &faces.faces[FACE_TEXT];
	const char *const gaping[] = { "AV", "To", "Ta", "LT", "P." };
	for (size_t i = 0; i < 5; i++) {
		const unsigned char *pair = (const unsigned char *)gaping[i];
		int kern = t->kern(t, t->glyph(t, pair[0]), t->glyph(t, pair[1]));
		cr_expect_lt(kern, -20, "%s", gaping[i]);
		cr_expect_gt(kern, -400, "%s", gaping[i]);
		cr_expect_eq(t->kern(t, t->glyph(t, pair[0]), t->glyph(t, pair[1])), kern, "cached");
	}
	cr_expect_eq(t->kern(t, t->glyph(t, 'n'), t->glyph(t, 'n')), 0);
	cr_expect_eq(t->kern(t, t->glyph(t, '1'), t->glyph(t, '1')), 0, "figures must stay in columns");
}

Test(type_font, covers_what_documents_need)
{
	static const char needed[] = "é ü ß ł č ő ǖ Łódź Ω ≤ ≥ ± × · ² ³ µ ° – — “ ” ‘ ’ € "
				     "✓ ✗ → ↳ ⌀ ⚠ ☐ ☑ □ … • § ½ − ‰";
	for (size_t at = 0; at < sizeof needed - 1;) {
		uint32_t code = 0;
		unsigned glyph = 0;
		size_t taken = utf8_decode(needed + at, sizeof needed - 1 - at, &code);
		cr_assert_gt(taken, 0);
		at += taken;
		for (int face = 0; face < FACE_COUNT; face++) {
			typeface_for(&faces, (enum face)face, code, &glyph);
			cr_expect_neq(glyph, 0, "U+%04X", code);
		}
	}
}

Test(type_font, falls_back_in_order)
{
	unsigned glyph = 0;
	cr_expect_eq(typeface_for(&faces, FACE_BOLD, 'a', &glyph), FACE_BOLD);
	cr_expect_eq(typeface_for(&faces, FACE_BOLD, 0x2713, &glyph), FACE_SYMBOL);
	cr_expect_gt(glyph, 0);
	typeface_for(&faces, FACE_TEXT, 0x6F22, &glyph);
	cr_expect_eq(glyph, 0);
	typeface_for(&faces, FACE_TEXT, 0x10FFFF, &glyph);
	cr_expect_eq(glyph, 0);
}

/* The sum of a whole TrueType file in 32-bit words is 0xB1B0AFBA: OpenType specification, table "head",
 * checksumAdjustment. */
Test(type_font, a_subset_is_a_sound_file_with_the_parts_of_composed_letters)
{
	const struct typeface *t = &faces.faces[FACE_TEXT];
	const uint16_t glyphs[] = { 0, (uint16_t)t->glyph(t, 'a'), (uint16_t)t->glyph(t, 0xE9) };
	struct buf out;
	buf_init(&out, &arena);
	size_t count = font_subset(&arena, t->font, glyphs, 3, &out);
	cr_expect_geq(count, 3);
	cr_expect_lt(out.length, files[FACE_TEXT].length / 20);
	cr_assert_eq(out.length % 4, 0);
	uint32_t sum = 0;
	for (size_t i = 0; i < out.length; i += 4)
		for (size_t k = 0; k < 4; k++)
			sum += (uint32_t)(unsigned char)out.bytes[i + k] << (24 - 8 * k);
	cr_expect_eq(sum, 0xB1B0AFBA);
}

Test(type_font, refuses_what_is_no_font)
{
	struct typeface_set other;
	const char *why = NULL;
	struct typeface_bytes cut[FACE_COUNT];
	const size_t lengths[] = { 0, 3, 12, 200, 1000, 30000 };
	for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
		memcpy(cut, files, sizeof cut);
		cut[FACE_MONO].length = lengths[i];
		why = NULL;
		cr_expect_not(typeface_set_load(&arena, cut, &other, &why), "%zu", lengths[i]);
		cr_assert_not_null(why);
		cr_expect_not_null(strstr(why, "LiberationMono-Regular"));
	}
}
