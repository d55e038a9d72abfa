/* Pictures made by ImageMagick or put together byte by byte after ISO/IEC 15948 (PNG) and ISO/IEC
 * 10918-1 (JPEG): four fields, red and green above blue and white, and what breaks them. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pix/picture.h"

static struct arena arena;
static jmp_buf escape;
static struct picture picture;
static const char *reason;

static void open_arena(void)
{
	if (setjmp(escape))
		cr_assert_fail("out of memory");
	arena_init(&arena, &escape);
}

static void close_arena(void)
{
	arena_release(&arena);
}

TestSuite(pix_picture, .init = open_arena, .fini = close_arena);

static unsigned char *load(const char *name, size_t *length)
{
	char path[200];
	snprintf(path, sizeof path, "tests/fuzz/seeds/picture/%s", name);
	FILE *f = fopen(path, "rb");
	cr_assert(f, "%s", path);
	/* Of the exact size, so that a sanitizer sees a read beyond it. */
	unsigned char *bytes = arena_alloc(&arena, 100000);
	*length = fread(bytes, 1, 100000, f);
	fclose(f);
	unsigned char *exact = malloc(*length ? *length : 1);
	memcpy(exact, bytes, *length);
	return exact;
}

static enum picture_outcome read_file(const char *name, int max_width, int max_height)
{
	size_t n;
	unsigned char *bytes = load(name, &n);
	enum picture_outcome outcome = picture_read(&arena, bytes, n, max_width, max_height, &picture,
		&reason);
	free(bytes);
	return outcome;
}

/* The colour in the middle of a quadrant (0 to 3, by rows) as 0xRRGGBB, rounded to 0x11 steps. */
static unsigned field(int quadrant)
{
	int x = picture.width * (quadrant % 2 ? 3 : 1) / 4, y = picture.height * (quadrant / 2 ? 3 : 1) / 4;
	const unsigned char *p = picture.pixels + (y * picture.width + x) * picture.channels;
	unsigned value = 0;
	for (int k = 0; k < 3; k++)
		value = value << 8 | (unsigned)lround(p[picture.channels == 3 ? k : 0] / 17.0) * 17;
	return value;
}

static void expect_fields(const char *name, unsigned a, unsigned b, unsigned c, unsigned d)
{
	unsigned expected[] = {a, b, c, d};
	for (int i = 0; i < 4; i++)
		cr_expect_eq(field(i), expected[i], "%s: field %d is %06x", name, i, field(i));
}

enum { RED = 0xFF0000, GREEN = 0x00FF00, BLUE = 0x0000FF, WHITE = 0xFFFFFF, BLACK = 0 };

Test(pix_picture, png_of_every_kind)
{
	static const char *const names[] = {"rgb.png", "rgb16.png", "palette.png", "interlaced.png",
		"private.png"};
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		cr_assert_eq(read_file(names[i], 0, 0), PICTURE_FINE, "%s: %s", names[i], reason);
		cr_expect_eq(picture.width, 8);
		cr_expect_eq(picture.height, 6);
		cr_expect_eq(picture.channels, 3);
		cr_expect_null(picture.jpeg);
		expect_fields(names[i], RED, GREEN, BLUE, WHITE);
	}
}

Test(pix_picture, transparent_is_white)
{
	cr_assert_eq(read_file("rgba.png", 0, 0), PICTURE_FINE);
	expect_fields("rgba.png", WHITE, GREEN, BLUE, WHITE);
	cr_assert_eq(read_file("palette-alpha.png", 0, 0), PICTURE_FINE);
	expect_fields("palette-alpha.png", WHITE, GREEN, BLUE, WHITE);
}

Test(pix_picture, grey)
{
	/* a ramp of six rows from white to black: 255 * (5 - y) / 5 */
	cr_assert_eq(read_file("gray16.png", 0, 0), PICTURE_FINE);
	cr_assert_eq(picture.channels, 1);
	for (int y = 0; y < 6; y++)
		cr_expect_leq(abs(picture.pixels[y * 8] - 51 * (5 - y)), 1, "row %d: %d", y,
			picture.pixels[y * 8]);
	cr_assert_eq(read_file("gray1.png", 0, 0), PICTURE_FINE);
	cr_expect_eq(picture.channels, 1);
	cr_assert_eq(read_file("gray.jpg", 0, 0), PICTURE_FINE);
	cr_expect_eq(picture.channels, 1);
	cr_expect_not_null(picture.jpeg);
}

Test(pix_picture, jpeg)
{
	static const char *const names[] = {"rgb.jpg", "progressive.jpg", "private.jpg", "exif-1.jpg",
		"exif-9.jpg", "exif-cut.jpg", "exif-far.jpg"};
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		cr_assert_eq(read_file(names[i], 0, 0), PICTURE_FINE, "%s: %s", names[i], reason);
		cr_expect_eq(picture.width, 32);
		cr_expect_eq(picture.height, 24);
		expect_fields(names[i], RED, GREEN, BLUE, WHITE);
		cr_expect_not_null(picture.jpeg, "%s", names[i]);
	}
}

/* The cleaned file is a picture by itself, the same one, and holds nothing that was private. */
Test(pix_picture, private_data_is_dropped)
{
	static const char *const names[] = {"private.jpg", "exif-1.jpg", "rgb.jpg", "gray.jpg",
		"progressive.jpg"};
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		struct picture again;
		cr_assert_eq(read_file(names[i], 0, 0), PICTURE_FINE);
		cr_assert_not_null(picture.jpeg);
		cr_expect_null(memmem(picture.jpeg, picture.jpeg_length, "SEC", 3), "%s", names[i]);
		cr_expect_null(memmem(picture.jpeg, picture.jpeg_length, "Exif", 4), "%s", names[i]);
		cr_assert_eq(picture_read(&arena, picture.jpeg, picture.jpeg_length, 0, 0, &again, &reason),
			PICTURE_FINE);
		cr_expect_eq(again.jpeg_length, picture.jpeg_length);
		cr_expect_arr_eq(again.pixels, picture.pixels,
			(size_t)(picture.width * picture.height * picture.channels));
	}
}

/* JEITA CP-3451, tag 0x0112: 1 row 0 top, column 0 left; 2 top right; 3 bottom right; 4 bottom left; 5
 * left top; 6 right top; 7 right bottom; 8 left bottom. */
Test(pix_picture, orientation)
{
	static const unsigned expected[9][4] = {
		[2] = {GREEN, RED, WHITE, BLUE}, [3] = {WHITE, BLUE, GREEN, RED},
		[4] = {BLUE, WHITE, RED, GREEN}, [5] = {RED, BLUE, GREEN, WHITE},
		[6] = {BLUE, RED, WHITE, GREEN}, [7] = {WHITE, GREEN, BLUE, RED},
		[8] = {GREEN, WHITE, RED, BLUE},
	};
	for (int o = 2; o <= 8; o++) {
		const char *name = arena_format(&arena, "exif-%d.jpg", o);
		cr_assert_eq(read_file(name, 0, 0), PICTURE_FINE, "%s", reason);
		cr_expect_eq(picture.width, o < 5 ? 32 : 24);
		cr_expect_eq(picture.source_width, 32);
		cr_expect_null(picture.jpeg, "a turned picture is no longer the file's");
		expect_fields(name, expected[o][0], expected[o][1], expected[o][2], expected[o][3]);
		cr_assert_eq(read_file(name, 16, 6), PICTURE_FINE);
		cr_expect_eq(picture.width, o < 5 ? 8 : 4, "%d", picture.width);
		cr_expect_eq(picture.height, 6);
		expect_fields(name, expected[o][0], expected[o][1], expected[o][2], expected[o][3]);
	}
}

/* By hand: 8 x 6 down to 3 wide is 3 x 2; each output pixel is the mean over 8/3 x 3 pixels. The middle
 * one takes 4/3 columns from each side: half red, half green. */
Test(pix_picture, areas_are_averaged)
{
	cr_assert_eq(read_file("rgb.png", 3, 0), PICTURE_FINE);
	cr_assert_eq(picture.width, 3);
	cr_assert_eq(picture.height, 2);
	static const unsigned char expected[] = {255, 0, 0, 128, 128, 0, 0, 255, 0, 0, 0, 255, 128, 128, 255,
		255, 255, 255};
	cr_expect_arr_eq(picture.pixels, expected, sizeof expected);
	cr_assert_eq(read_file("rgb.png", 1, 1), PICTURE_FINE);
	/* means over the whole: red (255 + 255) / 4, and so on */
	static const unsigned char mean[] = {128, 128, 128};
	cr_expect_arr_eq(picture.pixels, mean, 3);
	cr_assert_eq(read_file("rgb.png", 800, 600), PICTURE_FINE);
	cr_expect_eq(picture.width, 8, "never enlarged");
	cr_assert_eq(read_file("rgb.jpg", 5, 100), PICTURE_FINE);
	cr_expect_eq(picture.width, 5);
	cr_expect_eq(picture.height, 3);
	cr_expect_null(picture.jpeg);
	cr_assert_eq(read_file("rgb.jpg", 32, 24), PICTURE_FINE);
	cr_expect_not_null(picture.jpeg, "within the wish: nothing to scale");
}

Test(pix_picture, broken_files)
{
	static const struct {
		const char *name;
		enum picture_outcome outcome;
		const char *reason;
	} rows[] = {
		{"empty", PICTURE_FOREIGN, "picture-foreign"},
		{"not-a-picture.gif", PICTURE_FOREIGN, "picture-foreign"},
		{"cut.png", PICTURE_DAMAGED, "picture-cut"},
		{"cut-header.png", PICTURE_DAMAGED, "picture-cut"},
		{"length-overflow.png", PICTURE_DAMAGED, "picture-cut"},
		{"bad-crc.png", PICTURE_DAMAGED, "picture-data"},
		{"no-data.png", PICTURE_DAMAGED, "picture-data"},
		{"short-data.png", PICTURE_DAMAGED, "picture-data"},
		{"no-palette.png", PICTURE_DAMAGED, "picture-data"},
		{"unknown-critical.png", PICTURE_DAMAGED, "picture-structure"},
		{"second-header.png", PICTURE_DAMAGED, "picture-structure"},
		{"zero.png", PICTURE_DAMAGED, "picture-structure"},
		{"huge.png", PICTURE_TOO_LARGE, "picture-pixels"},
		{"cut.jpg", PICTURE_DAMAGED, "picture-cut"},
		{"no-end.jpg", PICTURE_DAMAGED, "picture-cut"},
		{"header-only.jpg", PICTURE_DAMAGED, "picture-cut"},
		{"segment-overflow.jpg", PICTURE_DAMAGED, "picture-cut"},
		{"rubbish-scan.jpg", PICTURE_DAMAGED, "picture-data"},
		{"no-tables.jpg", PICTURE_DAMAGED, "picture-data"},
		{"no-scan.jpg", PICTURE_DAMAGED, "picture-structure"},
		{"zero.jpg", PICTURE_DAMAGED, "picture-structure"},
		{"huge.jpg", PICTURE_TOO_LARGE, "picture-pixels"},
		{"twelve-bit.jpg", PICTURE_UNSUPPORTED, "picture-coding"},
		{"arithmetic.jpg", PICTURE_UNSUPPORTED, "picture-coding"},
		{"lossless.jpg", PICTURE_UNSUPPORTED, "picture-coding"},
		{"cmyk.jpg", PICTURE_UNSUPPORTED, "picture-colours"},
		{"scans.jpg", PICTURE_UNSUPPORTED, "picture-scans"},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct picture before = picture;
		enum picture_outcome outcome = read_file(rows[i].name, 100, 100);
		cr_expect_eq(outcome, rows[i].outcome, "%s: %s", rows[i].name,
			picture_outcome_name(outcome));
		cr_expect_str_eq(reason ? reason : "none", rows[i].reason, "%s: %s", rows[i].name,
			reason ? reason : "none");
		cr_expect_eq(memcmp(&before, &picture, sizeof picture), 0, "left untouched");
	}
}

/* Every beginning of a whole file is refused, and none is read beyond its end. */
Test(pix_picture, every_cut_is_noticed)
{
	static const char *const names[] = {"rgb.png", "palette-alpha.png", "rgb.jpg", "progressive.jpg",
		"exif-6.jpg"};
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		size_t n;
		unsigned char *bytes = load(names[i], &n);
		for (size_t cut = 0; cut < n; cut++) {
			unsigned char *part = malloc(cut ? cut : 1);
			memcpy(part, bytes, cut);
			cr_expect_neq(picture_read(&arena, part, cut, 10, 10, &picture, &reason),
				PICTURE_FINE, "%s cut at %zu", names[i], cut);
			free(part);
		}
		free(bytes);
	}
}

Test(pix_picture, too_many_bytes)
{
	unsigned char *bytes = arena_alloc(&arena, PICTURE_BYTES + 1);
	cr_expect_eq(picture_read(&arena, bytes, PICTURE_BYTES + 1, 0, 0, &picture, &reason),
		PICTURE_TOO_LARGE);
	cr_expect_str_eq(reason, "picture-bytes");
}
