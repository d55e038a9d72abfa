#include "sys/digest.h"

#include <sodium.h>
#include <string.h>

_Static_assert(DIGEST_SIZE == crypto_hash_sha256_BYTES, "a SHA-256 digest has 32 bytes");

struct digest digest_of(const void *bytes, size_t length)
{
	struct digest d;
	crypto_hash_sha256(d.bytes, length ? bytes : (const void *)"", length);
	return d;
}

const char *digest_text(struct arena *a, struct digest d)
{
	char *text = arena_alloc(a, 2 * DIGEST_SIZE + 1);
	return sodium_bin2hex(text, 2 * DIGEST_SIZE + 1, d.bytes, DIGEST_SIZE);
}

bool digest_read(const char *text, struct digest *out)
{
	struct digest d;
	size_t length;
	if (strlen(text) != 2 * DIGEST_SIZE ||
		sodium_hex2bin(d.bytes, DIGEST_SIZE, text, 2 * DIGEST_SIZE, NULL, &length, NULL) != 0 ||
		length != DIGEST_SIZE)
		return false;
	*out = d;
	return true;
}

bool digest_equal(struct digest a, struct digest b)
{
	return memcmp(a.bytes, b.bytes, DIGEST_SIZE) == 0;
}
