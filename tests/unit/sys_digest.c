#include <criterion/criterion.h>
#include <string.h>

#include "sys/digest.h"

/* Vectors: FIPS 180-4 examples as published by NIST ("SHA256.pdf", examples with intermediate values:
 * "abc" and the 448-bit message), and the one million "a" of FIPS 180-2 appendix B.3. The digest of
 * nothing: NIST CAVP SHA256ShortMsg, Len = 0. */
static const struct vector {
	const char *text, *hex;
} VECTORS[] = {
	{"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
	{"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
		"248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
	{"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
};

Test(sys_digest, published_vectors)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	for (size_t i = 0; i < sizeof VECTORS / sizeof *VECTORS; i++) {
		struct digest d = digest_of(VECTORS[i].text, strlen(VECTORS[i].text));
		cr_expect_str_eq(digest_text(&a, d), VECTORS[i].hex);
	}
	char *many = arena_alloc(&a, 1000000);
	memset(many, 'a', 1000000);
	cr_expect_str_eq(digest_text(&a, digest_of(many, 1000000)),
		"cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
	arena_release(&a);
}

Test(sys_digest, nothing_may_be_null)
{
	cr_expect(digest_equal(digest_of(NULL, 0), digest_of("", 0)));
}

Test(sys_digest, text_reads_back_in_either_case)
{
	jmp_buf escape;
	struct arena a;
	arena_init(&a, &escape);
	cr_assert_eq(setjmp(escape), 0);
	struct digest d = digest_of("gate", 4), back;
	char *text = arena_string(&a, digest_text(&a, d));
	cr_assert(digest_read(text, &back));
	cr_expect(digest_equal(d, back));
	for (char *p = text; *p; p++)
		if (*p >= 'a' && *p <= 'f')
			*p = (char)(*p - 'a' + 'A');
	memset(&back, 0, sizeof back);
	cr_assert(digest_read(text, &back));
	cr_expect(digest_equal(d, back));
	arena_release(&a);
}

Test(sys_digest, anything_else_is_refused)
{
	static const char *const BAD[] = {
		"",
		"ba7816bf",
		"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015a",
		"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad0",
		"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ag",
		"ba7816bf8f01cfea414140de5dae2223 b00361a396177a9cb410ff61f20015ad",
	};
	struct digest kept = digest_of("kept", 4), d = kept;
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++)
		cr_expect_not(digest_read(BAD[i], &d), "%s", BAD[i]);
	cr_expect(digest_equal(d, kept));
}

Test(sys_digest, one_bit_makes_another)
{
	cr_expect_not(digest_equal(digest_of("gate 1", 6), digest_of("gate 3", 6)));
}
