/* A made-up face for tests of the layout: every character is half an em wide and there is no kerning,
 * so that positions can be worked out by hand. It lacks the snowman. */
#ifndef TESTS_TYPE_FAKE_H
#define TESTS_TYPE_FAKE_H

#include "type/layout.h"

enum { FAKE_MISSING = 0x2603 };

static unsigned fake_glyph(const struct typeface *t, uint32_t code)
{
	(void)t;
	return code == FAKE_MISSING || code > 0xFFFF ? 0 : (unsigned)code;
}

static int fake_advance(const struct typeface *t, unsigned glyph)
{
	(void)t;
	(void)glyph;
	return 500;
}

static int fake_kern(const struct typeface *t, unsigned left, unsigned right)
{
	(void)t;
	(void)left;
	(void)right;
	return 0;
}

static struct typeface_set fake_faces(void)
{
	struct typeface_set set;
	for (int i = 0; i < FACE_COUNT; i++)
		set.faces[i] = (struct typeface){ .units = 1000, .ascent = 800, .descent = -200,
			.cap_height = 700, .x_height = 500, .glyph = fake_glyph, .advance = fake_advance,
			.kern = fake_kern };
	return set;
}

/* The characters of some glyphs as UTF-8. */
static inline char *fake_words(struct arena *a, const struct glyph *glyphs, size_t count)
{
	struct buf b;
	buf_init(&b, a);
	for (size_t i = 0; i < count; i++)
		utf8_encode(&b, glyphs[i].code);
	return b.bytes;
}

#endif
