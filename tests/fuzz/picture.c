/* Exercises src/pix, with every file as stored and scaled down. What was read must have the size that was
 * wished, and its cleaned JPEG must read again as the same picture. Inputs over 256 KiB are passed over. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "pix/picture.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void try_size(struct arena *a, const uint8_t *data, size_t size, int wish)
{
	struct picture p, again;
	const char *reason;
	if (picture_read(a, data, size, wish, wish, &p, &reason) != PICTURE_FINE)
		return;
	size_t bytes = (size_t)p.width * (size_t)p.height * (size_t)p.channels;
	if (p.width < 1 || p.height < 1 || (wish && (p.width > wish || p.height > wish)))
		abort();
	if (!p.jpeg)
		return;
	if (picture_read(a, p.jpeg, p.jpeg_length, 0, 0, &again, &reason) != PICTURE_FINE)
		abort();
	if (again.width != p.width || memcmp(again.pixels, p.pixels, bytes) != 0)
		abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena arena;
	jmp_buf escape;
	if (size > 256 * 1024)
		return 0;
	arena_init(&arena, &escape);
	if (setjmp(escape) == 0) {
		try_size(&arena, data, size, 0);
		try_size(&arena, data, size, 5);
	}
	arena_release(&arena);
	return 0;
}
