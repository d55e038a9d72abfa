/* SHA-256 (FIPS 180-4). Nothing here can fail. */
#ifndef SYS_DIGEST_H
#define SYS_DIGEST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum { DIGEST_SIZE = 32 };

struct digest {
	unsigned char bytes[DIGEST_SIZE];
};

/* `bytes` may be NULL when `length` is 0. */
struct digest digest_of(const void *bytes, size_t length);

/* 64 lower-case hexadecimal digits. */
const char *digest_text(struct arena *a, struct digest d);

/* Reads exactly 64 hexadecimal digits of either case; `*out` is untouched when it returns false. */
bool digest_read(const char *text, struct digest *out);

bool digest_equal(struct digest a, struct digest b);

#endif
