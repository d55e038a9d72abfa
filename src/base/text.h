/* Text: growing buffers in an arena, UTF-8, small string helpers. Nothing here knows a locale. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

/* A growing byte buffer. `bytes` is always NUL-terminated and never NULL after buf_init(). */
struct buf {
	struct arena *arena;
	char *bytes;
	size_t length, room;
};

void buf_init(struct buf *b, struct arena *a);
/* Makes room for `more` bytes at once, where their number is known. */
void buf_reserve(struct buf *b, size_t more);
void buf_add(struct buf *b, const void *bytes, size_t length);
void buf_put(struct buf *b, const char *text);
void buf_char(struct buf *b, char c);
void buf_format(struct buf *b, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Decodes one character strictly (no surrogates, no overlong forms). Returns the bytes taken, or 0
 * at a malformed sequence; `*code` is then untouched. `length` must be > 0. */
size_t utf8_decode(const char *bytes, size_t length, uint32_t *code);

/* Appends `code` (a Unicode scalar value) to `b`. */
void utf8_encode(struct buf *b, uint32_t code);

/* Offset of the first malformed byte, or `length` when all of it is well formed. */
size_t utf8_check(const char *bytes, size_t length);

/* Number of characters in well-formed text. */
size_t utf8_length(const char *text);

bool text_equal(const char *a, const char *b); /* NULL equals only NULL */
bool text_begins(const char *text, const char *head);
bool text_ends(const char *text, const char *tail);

/* `text` without blanks, tabs and line ends at both ends, as a copy. */
char *text_trim(struct arena *a, const char *text);

/* The candidate closest to `word` by edit distance, when it is close enough to be a slip of the
 * finger (distance at most a third of its length, at most 3); else NULL. Ties: the first. */
const char *text_closest(const char *word, const char *const *candidates, size_t count);

/* Shortest decimal form of `value` with at most `digits` decimals, trailing zeros cut, a decimal
 * point whatever the locale, "-0" never. For values of magnitude up to 1e15. */
char *text_number(struct arena *a, double value, int digits);

/* The same with exactly `digits` decimals, halves away from zero. */
char *text_fixed(struct arena *a, double value, int digits);

/* Reads a decimal number (sign, digits, point, exponent) from the start of `text` whatever the
 * locale. Returns the characters taken, 0 when there is none; `*value` is then untouched. Infinite
 * and NaN spellings are not numbers, and neither is a value too large to hold. The result is the
 * nearest double for up to 15 digits and powers of ten up to 22, else that or a neighbour of it. */
size_t text_scan(const char *text, double *value);

/* `text` with control characters shown as \xNN, so that data cannot drive a terminal. */
char *text_harmless(struct arena *a, const char *text);

#endif
