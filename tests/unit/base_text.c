#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static jmp_buf escape;
static struct arena a;

static void setup(void)
{
	arena_init(&a, &escape);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(base_text, .init = setup, .fini = teardown);

/* A fixed sequence (xorshift64*, Vigna 2016), so that a failure can be had again. */
static uint64_t chance(uint64_t *state)
{
	*state ^= *state >> 12;
	*state ^= *state << 25;
	*state ^= *state >> 27;
	return *state * 2685821657736338717u;
}

static double scanned(const char *text)
{
	double v = NAN;
	cr_assert_eq(text_scan(text, &v), strlen(text), "%s", text);
	return v;
}

/* glibc's strtod in the C locale gives the nearest double: up to 15 digits the result must be the
 * same, beyond that at most a neighbour. */
Test(base_text, scan_like_strtod)
{
	uint64_t state = 20261125;
	char text[64];
	for (int i = 0; i < 400000; i++) {
		uint64_t digits = chance(&state) % 1000000000000000u;
		if (i % 3 == 0)
			digits %= 1000000;
		int places = (int)(chance(&state) % 16);
		const char *sign = chance(&state) % 2 ? "-" : "";
		uint64_t one = (uint64_t)pow(10, places);
		snprintf(text, sizeof text, "%s%lu.%0*lu", sign, digits / one, places ? places : 1,
			digits % one);
		double right = strtod(text, NULL), v = scanned(text);
		cr_assert(v >= right && v <= right, "%s: %.17g for %.17g", text, v, right);
	}
	for (int i = 0; i < 100000; i++) {
		int exponent = (int)(chance(&state) % 560) - 290;
		snprintf(text, sizeof text, "%lu.%lue%d", chance(&state) % 1000, chance(&state),
			exponent);
		double right = strtod(text, NULL), v = NAN;
		if (isinf(right))
			continue;
		v = scanned(text);
		cr_assert(v >= nextafter(right, -INFINITY) && v <= nextafter(right, INFINITY),
			"%s: %.17g for %.17g", text, v, right);
	}
}

Test(base_text, scan_edges)
{
	static const struct {
		const char *text;
		size_t taken;
		double value;
	} ROWS[] = {
		{"5", 1, 5},
		{"+5", 2, 5},
		{"-0.25x", 5, -0.25},
		{".5", 2, 0.5},
		{"5.", 1, 5},
		{"5.e3", 1, 5},
		{"5e", 1, 5},
		{"5e+", 1, 5},
		{"5e+2", 4, 500},
		{"5E-2 m", 4, 0.05},
		{"1.2.3", 3, 1.2},
		{"1,5", 1, 1},
		{"0x10", 1, 0},
		{"0e999999999999", 14, 0},
		{"1e-999999999999", 15, 0},
		{"00000000000000000000000000001", 29, 1},
		{"0.00000000000000000000000000000000000000001e41", 46, 1},
		{"123456789012345678901234567890e-29", 34, 1.2345678901234567},
		{"1.7976931348623157e308", 22, 1.7976931348623157e308},
		{"4.9406564584124654e-324", 23, 4.9406564584124654e-324},
	};
	static const char *const NONE[] = {"", "-", "+", ".", "-.", "e5", " 5", "inf", "nan",
		"Infinity", "1e309", "-1e400", "1e999999999999", "+-5", "--5", "٣"};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		double v = NAN;
		size_t taken = text_scan(ROWS[i].text, &v);
		cr_expect_eq(taken, ROWS[i].taken, "%s: %zu", ROWS[i].text, taken);
		cr_expect(fabs(v - ROWS[i].value) <= fabs(ROWS[i].value) * 3e-16, "%s: %.17g",
			ROWS[i].text, v);
	}
	for (size_t i = 0; i < sizeof NONE / sizeof *NONE; i++) {
		double v = 42;
		cr_expect_eq(text_scan(NONE[i], &v), 0, "%s", NONE[i]);
		cr_expect(v >= 42 && v <= 42, "untouched");
	}
}

/* Halves go away from zero: practice. */
Test(base_text, fixed)
{
	static const struct {
		double value;
		int digits;
		const char *text;
	} ROWS[] = {
		{0, 0, "0"},
		{0, 2, "0.00"},
		{0.5, 0, "1"},
		{-0.5, 0, "-1"},
		{1.5, 0, "2"},
		{2.5, 0, "3"},
		{0.125, 2, "0.13"},
		{-0.125, 2, "-0.13"},
		{1.005, 2, "1.01"},   /* held as 1.00499999999999989 */
		{2.675, 2, "2.68"},   /* held as 2.67499999999999982 */
		{1.115, 2, "1.12"},
		{0.285, 2, "0.29"},
		{1.4999, 0, "1"},
		{0.49999, 0, "0"},
		{1.00499, 2, "1.00"},
		{-0.001, 2, "0.00"},  /* never "-0" */
		{-0.0, 1, "0.0"},
		{999.995, 2, "1000.00"},
		{0.05, 1, "0.1"},
		{12345.6789, 3, "12345.679"},
		{1e15, 0, "1000000000000000"},
		{4503599627370497.0, 0, "4503599627370497"}, /* 2^52 + 1 */
		{123456789012.5, 3, "123456789012.500"},
		{999999999999999.0, 0, "999999999999999"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const char *text = text_fixed(&a, ROWS[i].value, ROWS[i].digits);
		cr_expect_str_eq(text, ROWS[i].text, "%.17g: %s", ROWS[i].value, text);
	}
}

/* Every decimal half of up to three places, against the sum done in whole numbers. */
Test(base_text, fixed_halves)
{
	char right[32];
	for (int thousandths = 5; thousandths < 400000; thousandths += 10) {
		int cents = (thousandths + 5) / 10;
		snprintf(right, sizeof right, "%d.%02d", cents / 100, cents % 100);
		double v = thousandths / 1000.0;
		const char *text = text_fixed(&a, v, 2);
		cr_assert_str_eq(text, right, "%.17g: %s", v, text);
	}
}

Test(base_text, number)
{
	static const struct {
		double value;
		int digits;
		const char *text;
	} ROWS[] = {
		{0, 3, "0"},
		{-0.0004, 3, "0"},
		{100, 3, "100"},
		{1.5, 3, "1.5"},
		{0.1 + 0.2, 6, "0.3"},
		{1200.050, 2, "1200.05"},
		{-7, 0, "-7"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_str_eq(text_number(&a, ROWS[i].value, ROWS[i].digits), ROWS[i].text);
}

/* The Unicode Standard, chapter 3, table 3-7: well-formed UTF-8 byte sequences. */
Test(base_text, utf8_table)
{
	static const struct {
		const char *bytes;
		size_t taken;
		uint32_t code;
	} ROWS[] = {
		{"\x01", 1, 0x01},
		{"\x7F", 1, 0x7F},
		{"\xC2\x80", 2, 0x80},
		{"\xDF\xBF", 2, 0x7FF},
		{"\xE0\xA0\x80", 3, 0x800},
		{"\xED\x9F\xBF", 3, 0xD7FF},
		{"\xEE\x80\x80", 3, 0xE000},
		{"\xEF\xBF\xBF", 3, 0xFFFF},
		{"\xF0\x90\x80\x80", 4, 0x10000},
		{"\xF4\x8F\xBF\xBF", 4, 0x10FFFF},
		{"\x80", 0, 0},
		{"\xBF", 0, 0},
		{"\xC0\x80", 0, 0},
		{"\xC1\xBF", 0, 0},
		{"\xC2", 0, 0},
		{"\xC2\x41", 0, 0},
		{"\xE0\x9F\xBF", 0, 0},
		{"\xE0\xA0", 0, 0},
		{"\xED\xA0\x80", 0, 0},
		{"\xED\xBF\xBF", 0, 0},
		{"\xF0\x8F\xBF\xBF", 0, 0},
		{"\xF4\x90\x80\x80", 0, 0},
		{"\xF5\x80\x80\x80", 0, 0},
		{"\xFF", 0, 0},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		uint32_t code = 0;
		size_t n = strlen(ROWS[i].bytes);
		cr_expect_eq(utf8_decode(ROWS[i].bytes, n, &code), ROWS[i].taken, "row %zu", i);
		cr_expect_eq(code, ROWS[i].code, "row %zu", i);
		cr_expect_eq(utf8_check(ROWS[i].bytes, n), ROWS[i].taken ? n : 0, "row %zu", i);
	}
}

Test(base_text, utf8_round_trip)
{
	for (uint32_t c = 0; c <= 0x10FFFF; c++) {
		struct buf b;
		uint32_t back = 0;
		if (c >= 0xD800 && c <= 0xDFFF)
			continue;
		char room[8] = "";
		b = (struct buf){&a, room, 0, sizeof room};
		utf8_encode(&b, c);
		cr_assert_eq(utf8_decode(b.bytes, b.length, &back), b.length);
		cr_assert_eq(back, c);
	}
	cr_expect_eq(utf8_check("aß\xC3", 4), 3);
	cr_expect_eq(utf8_length("aß€😀"), 4);
}

Test(base_text, closest)
{
	static const char *const WORDS[] = {"width", "height", "weight", "gap"};
	static const struct {
		const char *word, *closest;
	} ROWS[] = {
		{"widht", "width"}, /* two letters swapped is one slip */
		{"heigth", "height"},
		{"wieght", "weight"},
		{"widthh", "width"},
		{"gpa", "gap"},
		{"gaps", "gap"},
		{"g", NULL},
		{"", NULL},
		{"speed", NULL},
		{"thickness of the leaf over the whole of its height", NULL},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const char *found = text_closest(ROWS[i].word, WORDS, 4);
		cr_expect(text_equal(found, ROWS[i].closest), "%s: %s", ROWS[i].word,
			found ? found : "none");
	}
	cr_expect_null(text_closest("a", NULL, 0));
}

Test(base_text, helpers)
{
	cr_expect(text_equal(NULL, NULL));
	cr_expect_not(text_equal(NULL, ""));
	cr_expect_not(text_equal("a", "b"));
	cr_expect(text_begins("paper:x", "paper:"));
	cr_expect_not(text_begins("pap", "paper:"));
	cr_expect(text_ends("a.yaml", ".yaml"));
	cr_expect_not(text_ends("yaml", ".yaml"));
	cr_expect_str_eq(text_trim(&a, " \t a b\r\n"), "a b");
	cr_expect_str_eq(text_trim(&a, " \n"), "");
	cr_expect_str_eq(text_harmless(&a, "a\x1B[31mß\x7F\xC2\x9B\xFF\xE2\x80\xAE"),
		"a\\x1b[31mß\\x7f\\xc2\\x9b\\xff\\xe2\\x80\\xae");
}

Test(base_text, buffer)
{
	struct buf b;
	buf_init(&b, &a);
	cr_expect_str_eq(b.bytes, "");
	for (int i = 0; i < 1000; i++)
		buf_format(&b, "%d,", i);
	cr_expect_eq(b.length, 10 * 2 + 90 * 3 + 900 * 4);
	cr_expect_eq(strlen(b.bytes), b.length);
	buf_init(&b, &a);
	for (size_t n = 0; n < 600; n++) {
		buf_init(&b, &a);
		buf_format(&b, "%*s", (int)n, "");
		cr_assert_eq(b.length, n);
		cr_assert_eq(strlen(b.bytes), n);
	}
}
