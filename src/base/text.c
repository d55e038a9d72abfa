#include "base/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void buf_init(struct buf *b, struct arena *a)
{
	b->arena = a;
	b->length = 0;
	b->room = 64;
	b->bytes = arena_alloc(a, b->room);
}

void buf_reserve(struct buf *b, size_t more)
{
	if (b->room - b->length > more)
		return;
	size_t room = b->room;
	while (room - b->length <= more)
		room *= 2;
	b->bytes = arena_grow(b->arena, b->bytes, b->length + 1, room, 1);
	b->room = room;
}

void buf_add(struct buf *b, const void *bytes, size_t length)
{
	if (length == 0)
		return;
	buf_reserve(b, length);
	memcpy(b->bytes + b->length, bytes, length);
	b->length += length;
	b->bytes[b->length] = '\0';
}

void buf_put(struct buf *b, const char *text)
{
	buf_add(b, text, strlen(text));
}

void buf_char(struct buf *b, char c)
{
	buf_add(b, &c, 1);
}

void buf_format(struct buf *b, const char *format, ...)
{
	char small[256];
	va_list args, again;
	va_start(args, format);
	va_copy(again, args);
	int n = vsnprintf(small, sizeof small, format, args);
	va_end(args);
	if (n >= 0 && (size_t)n < sizeof small) {
		buf_add(b, small, (size_t)n);
	} else if (n >= 0) {
		buf_reserve(b, (size_t)n + 1);
		vsnprintf(b->bytes + b->length, (size_t)n + 1, format, again);
		b->length += (size_t)n;
	}
	va_end(again);
	if (n < 0)
		arena_exhausted(b->arena);
}

size_t utf8_decode(const char *bytes, size_t length, uint32_t *code)
{
	const unsigned char *p = (const unsigned char *)bytes;
	size_t need;
	uint32_t c, least;
	if (p[0] < 0x80) {
		*code = p[0];
		return 1;
	}
	if (p[0] >= 0xC2 && p[0] <= 0xDF) {
		need = 2, c = p[0] & 0x1F, least = 0x80;
	} else if (p[0] >= 0xE0 && p[0] <= 0xEF) {
		need = 3, c = p[0] & 0x0F, least = 0x800;
	} else if (p[0] >= 0xF0 && p[0] <= 0xF4) {
		need = 4, c = p[0] & 0x07, least = 0x10000;
	} else {
		return 0;
	}
	if (length < need)
		return 0;
	for (size_t i = 1; i < need; i++) {
		if ((p[i] & 0xC0) != 0x80)
			return 0;
		c = c << 6 | (p[i] & 0x3F);
	}
	if (c < least || c > 0x10FFFF || (c >= 0xD800 && c <= 0xDFFF))
		return 0;
	*code = c;
	return need;
}

void utf8_encode(struct buf *b, uint32_t code)
{
	char out[4];
	size_t n;
	if (code < 0x80) {
		out[0] = (char)code, n = 1;
	} else if (code < 0x800) {
		out[0] = (char)(0xC0 | code >> 6), n = 2;
	} else if (code < 0x10000) {
		out[0] = (char)(0xE0 | code >> 12), n = 3;
	} else {
		out[0] = (char)(0xF0 | code >> 18), n = 4;
	}
	for (size_t i = 1; i < n; i++)
		out[i] = (char)(0x80 | (code >> (6 * (n - 1 - i)) & 0x3F));
	buf_add(b, out, n);
}

size_t utf8_check(const char *bytes, size_t length)
{
	size_t at = 0;
	while (at < length) {
		uint32_t code;
		size_t n = utf8_decode(bytes + at, length - at, &code);
		if (n == 0)
			return at;
		at += n;
	}
	return at;
}

size_t utf8_length(const char *text)
{
	size_t n = 0;
	for (; *text; text++)
		n += ((unsigned char)*text & 0xC0) != 0x80;
	return n;
}

bool text_equal(const char *a, const char *b)
{
	return a == b || (a && b && *a == *b && strcmp(a, b) == 0);
}

bool text_begins(const char *text, const char *head)
{
	return strncmp(text, head, strlen(head)) == 0;
}

bool text_ends(const char *text, const char *tail)
{
	size_t n = strlen(text), m = strlen(tail);
	return n >= m && memcmp(text + n - m, tail, m) == 0;
}

static bool is_blank(char c)
{
	return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

char *text_trim(struct arena *a, const char *text)
{
	size_t n = strlen(text);
	while (n && is_blank(*text))
		text++, n--;
	while (n && is_blank(text[n - 1]))
		n--;
	return arena_copy(a, text, n);
}

enum { CLOSEST_MAX = 48 };

/* Edit distance with transposition of neighbours, the slips a hand makes. */
static size_t distance(const char *a, size_t n, const char *b, size_t m)
{
	size_t rows[3][CLOSEST_MAX + 1];
	for (size_t j = 0; j <= m; j++)
		rows[0][j] = j;
	for (size_t i = 1; i <= n; i++) {
		size_t *now = rows[i % 3], *last = rows[(i + 2) % 3], *older = rows[(i + 1) % 3];
		now[0] = i;
		for (size_t j = 1; j <= m; j++) {
			size_t best = last[j - 1] + (a[i - 1] != b[j - 1]);
			if (last[j] + 1 < best)
				best = last[j] + 1;
			if (now[j - 1] + 1 < best)
				best = now[j - 1] + 1;
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
				older[j - 2] + 1 < best)
				best = older[j - 2] + 1;
			now[j] = best;
		}
	}
	return rows[n % 3][m];
}

const char *text_closest(const char *word, const char *const *candidates, size_t count)
{
	size_t n = strlen(word), best = 4;
	const char *found = NULL;
	if (n > CLOSEST_MAX)
		return NULL;
	for (size_t i = 0; i < count; i++) {
		size_t m = strlen(candidates[i]);
		if (m > CLOSEST_MAX)
			continue;
		size_t d = distance(word, n, candidates[i], m);
		if (d < best && d * 3 <= (n > m ? n : m)) {
			best = d;
			found = candidates[i];
		}
	}
	return found;
}

char *text_fixed(struct arena *a, double value, int digits)
{
	double scale = 1;
	for (int i = 0; i < digits; i++)
		scale *= 10;
	/* A decimal half that binary holds a hair low counts as a half. */
	double scaled = fabs(value) * scale;
	double nudge = fmin(scaled * 4e-16, 0.01), below = floor(scaled);
	double rounded = scaled - below >= 0.5 - nudge ? below + 1 : below;
	if (!(rounded < 9e15))
		return arena_format(a, "%.*e", digits, value);
	/* From the last digit to the first: at least one before the point. */
	char *text = arena_alloc(a, (size_t)digits + 24), *p = text + digits + 23;
	uint64_t whole = (uint64_t)rounded;
	for (int i = 0; i <= digits || whole; i++, whole /= 10) {
		if (i == digits && digits > 0)
			*--p = '.';
		*--p = (char)('0' + whole % 10);
	}
	if (value < 0 && rounded > 0)
		*--p = '-';
	return p;
}

char *text_number(struct arena *a, double value, int digits)
{
	char *text = text_fixed(a, value, digits);
	if (!strchr(text, '.') || strchr(text, 'e'))
		return text;
	size_t n = strlen(text);
	while (text[n - 1] == '0')
		n--;
	if (text[n - 1] == '.')
		n--;
	text[n] = '\0';
	return text_equal(text, "-0") ? text + 1 : text;
}

static long double ten_to(int n)
{
	long double power = 1;
	while (n-- > 0)
		power *= 10;
	return power;
}

static double times_ten_to(uint64_t whole, int exponent)
{
	enum { EXACT = 22, EXACT_LONG = 27 }; /* powers of ten that double and long double hold */
	/* Both exact as double: one rounding, so the result is the nearest double. */
	if (whole <= (uint64_t)1 << 53 && abs(exponent) <= EXACT) {
		double power = (double)ten_to(abs(exponent));
		return exponent < 0 ? (double)whole / power : (double)whole * power;
	}
	if (whole == 0 || exponent < -400)
		return 0;
	if (exponent > 400)
		return HUGE_VAL;
	long double scaled = (long double)whole;
	while (exponent) {
		int step = abs(exponent) < EXACT_LONG ? abs(exponent) : EXACT_LONG;
		scaled = exponent > 0 ? scaled * ten_to(step) : scaled / ten_to(step);
		exponent += exponent > 0 ? -step : step;
	}
	return (double)scaled;
}

size_t text_scan(const char *text, double *value)
{
	const char *p = text;
	int exponent = 0, seen = 0;
	bool negative = *p == '-';
	/* Up to 18 significant digits are held exactly as an integer; the rest only scale. */
	uint64_t whole = 0;
	if (*p == '-' || *p == '+')
		p++;
	for (bool point = false; (*p >= '0' && *p <= '9') || (*p == '.' && !point); p++) {
		if (*p == '.') {
			point = true;
			continue;
		}
		seen++;
		if (whole < 100000000000000000u) {
			whole = whole * 10 + (uint64_t)(*p - '0');
			exponent -= point;
		} else {
			exponent += !point;
		}
	}
	if (!seen)
		return 0;
	if (p[-1] == '.')
		p--;
	if (*p == 'e' || *p == 'E') {
		const char *q = p + 1;
		bool down = *q == '-';
		int e = 0;
		if (*q == '-' || *q == '+')
			q++;
		if (*q >= '0' && *q <= '9') {
			for (; *q >= '0' && *q <= '9'; q++)
				e = e < 10000 ? e * 10 + (*q - '0') : e;
			exponent += down ? -e : e;
			p = q;
		}
	}
	double v = times_ten_to(whole, exponent);
	if (!isfinite(v))
		return 0;
	*value = negative ? -v : v;
	return (size_t)(p - text);
}

char *text_harmless(struct arena *a, const char *text)
{
	struct buf b;
	size_t left = strlen(text);
	buf_init(&b, a);
	while (left) {
		uint32_t code = 0;
		size_t n = utf8_decode(text, left, &code);
		bool shown = n && code >= 0x20 && !(code >= 0x7F && code < 0xA0) &&
			!(code >= 0x202A && code <= 0x202E) && !(code >= 0x2066 && code <= 0x2069);
		if (n == 0)
			n = 1;
		if (shown)
			buf_add(&b, text, n);
		else
			for (size_t i = 0; i < n; i++)
				buf_format(&b, "\\x%02x", (unsigned)(unsigned char)text[i]);
		text += n;
		left -= n;
	}
	return b.bytes;
}
