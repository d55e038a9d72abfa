#include <png.h>
#include <string.h>

#include "pix/source.h"

enum { SIGNATURE = 8, CHUNK_FRAME = 12 };

static unsigned long big_endian(const unsigned char *p)
{
	return (unsigned long)p[0] << 24 | (unsigned long)p[1] << 16 | (unsigned long)p[2] << 8 | p[3];
}

/* The chunks that decide what is seen; all others, texts and profiles, never reach the decoder. */
static bool chunk_wanted(const unsigned char *type)
{
	static const char wanted[][5] = {
		"IHDR", "PLTE", "tRNS", "gAMA", "sRGB", "IDAT", "IEND",
	};
	for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
		if (memcmp(type, wanted[i], 4) == 0)
			return true;
	return false;
}

/* Copies the wanted chunks. Returns the length, 0 with a reason when the file is not whole. */
static size_t clean(const unsigned char *in, size_t length, unsigned char *out, const char **reason)
{
	size_t at = SIGNATURE, n = SIGNATURE;
	memcpy(out, in, SIGNATURE);
	for (;;) {
		*reason = "picture-cut";
		if (length - at < CHUNK_FRAME)
			return 0;
		unsigned long size = big_endian(in + at);
		const unsigned char *type = in + at + 4;
		if (size > length - at - CHUNK_FRAME)
			return 0;
		*reason = "picture-structure";
		/* IHDR stands first; a critical chunk (capital first letter) that is not known is refused. */
		bool head = memcmp(type, "IHDR", 4) == 0, first = at == SIGNATURE;
		if (head != first || (head && size != 13) || (!chunk_wanted(type) && !(type[0] & 0x20)))
			return 0;
		if (chunk_wanted(type)) {
			memcpy(out + n, in + at, size + CHUNK_FRAME);
			n += size + CHUNK_FRAME;
		}
		at += size + CHUNK_FRAME;
		if (memcmp(type, "IEND", 4) == 0)
			return n;
	}
}

/* Whether the rows mean the same anywhere: grey or RGB of up to 8 bits, not interlaced, nothing
 * transparent, and the usual gamma (100000 / 2.2) where one is given. */
static bool is_plain(const unsigned char *clean_file, size_t length)
{
	enum { HEAD = SIGNATURE + 8, DEPTH = 8, COLOUR = 9, INTERLACE = 12, USUAL_GAMMA = 45455 };
	const unsigned char *head = clean_file + HEAD;
	if (head[DEPTH] > 8 || (head[COLOUR] != 0 && head[COLOUR] != 2) || head[INTERLACE])
		return false;
	for (size_t at = SIGNATURE; at < length; at += big_endian(clean_file + at) + CHUNK_FRAME) {
		const unsigned char *type = clean_file + at + 4;
		if (memcmp(type, "tRNS", 4) == 0)
			return false;
		if (memcmp(type, "gAMA", 4) == 0 &&
			(big_endian(clean_file + at) != 4 || big_endian(type + 4) != USUAL_GAMMA))
			return false;
	}
	return true;
}

/* The compressed rows, which the file may hold in pieces. */
static void keep_packed(struct arena *a, const unsigned char *clean_file, size_t length, struct picture *out)
{
	unsigned char *all = arena_alloc(a, length);
	size_t n = 0;
	for (size_t at = SIGNATURE; at < length; at += big_endian(clean_file + at) + CHUNK_FRAME) {
		size_t size = big_endian(clean_file + at);
		if (memcmp(clean_file + at + 4, "IDAT", 4) != 0)
			continue;
		memcpy(all + n, clean_file + at + 8, size);
		n += size;
	}
	out->packed = all;
	out->packed_length = n;
	out->packed_bits = clean_file[SIGNATURE + 8 + 8];
}

static void release_image(void *image)
{
	png_image_free(image);
}

static void release_arena(void *scratch)
{
	arena_release(scratch);
}

static enum picture_outcome refuse(struct arena *a, png_image *image, const char **reason)
{
	png_image_free(image);
	/* libpng has no other way of telling; a whole picture must not be called damaged. */
	if (strstr(image->message, "memory"))
		arena_exhausted(a);
	*reason = "picture-data";
	return PICTURE_DAMAGED;
}

static enum picture_outcome decode(struct arena *a, struct arena *scratch, png_image *image,
	struct picture_wish wish, struct picture *out, const char **reason)
{
	png_color white = {255, 255, 255};
	struct shrink s;
	image->format = image->format & PNG_FORMAT_FLAG_COLOR ? PNG_FORMAT_RGB : PNG_FORMAT_GRAY;
	image->flags |= PNG_IMAGE_FLAG_16BIT_sRGB;
	int w = (int)image->width, h = (int)image->height, out_w, out_h;
	int channels = image->format == PNG_FORMAT_RGB ? 3 : 1;
	size_t row = (size_t)w * (size_t)channels;
	shrink_size(w, h, wish.max_width, wish.max_height, &out_w, &out_h);
	unsigned char *pixels = arena_array(scratch, row, (size_t)h);
	if (!png_image_finish_read(image, &white, pixels, (png_int_32)row, NULL))
		return refuse(a, image, reason);
	shrink_init(&s, a, w, h, channels, out_w, out_h);
	for (int y = 0; y < h; y++)
		shrink_row(&s, pixels + (size_t)y * row);
	*out = (struct picture){.width = out_w, .height = out_h, .channels = channels, .pixels = s.pixels,
		.source_width = w, .source_height = h};
	return PICTURE_FINE;
}

enum picture_outcome png_read(struct arena *a, const unsigned char *bytes, size_t length,
	struct picture_wish wish, struct picture *out, const char **reason)
{
	/* The full picture is needed only here; its arena goes as soon as it was scaled. */
	struct arena *scratch = arena_alloc(a, sizeof *scratch);
	png_image *image = arena_alloc(a, sizeof *image);
	arena_init(scratch, a->escape);
	arena_defer(a, release_arena, scratch);
	unsigned char *cleaned = arena_alloc(scratch, length);
	size_t n = clean(bytes, length, cleaned, reason);
	if (n == 0) {
		arena_release(scratch);
		return PICTURE_DAMAGED;
	}
	enum picture_outcome outcome = size_check(big_endian(cleaned + SIGNATURE + 8),
		big_endian(cleaned + SIGNATURE + 12), reason);
	if (outcome == PICTURE_FINE) {
		image->version = PNG_IMAGE_VERSION;
		arena_defer(a, release_image, image);
		outcome = png_image_begin_read_from_memory(image, cleaned, n)
			? decode(a, scratch, image, wish, out, reason)
			: refuse(a, image, reason);
	}
	bool as_stored = outcome == PICTURE_FINE && out->width == out->source_width &&
		out->height == out->source_height;
	if (as_stored && is_plain(cleaned, n))
		keep_packed(a, cleaned, n, out);
	arena_release(scratch);
	return outcome;
}
