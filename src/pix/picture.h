/* Pictures, memory to memory: PNG and JPEG are checked in full, turned upright, laid on white and
 * scaled down, so that nothing behind this has to trust a file. Private data (place, camera, previews,
 * text) never gets through. */
#ifndef PIX_PICTURE_H
#define PIX_PICTURE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum {
	PICTURE_BYTES = 32 * 1024 * 1024,
	PICTURE_PIXELS = 64 * 1024 * 1024,
	PICTURE_SIDE = 30000,
	PICTURE_SCANS = 64, /* of a progressive JPEG: more only burn time */
};

enum picture_outcome {
	PICTURE_FINE,
	PICTURE_FOREIGN,     /* neither PNG nor JPEG */
	PICTURE_TOO_LARGE,   /* more bytes, pixels, or pixels on a side than above */
	PICTURE_DAMAGED,     /* breaks the rules of its format, ends too early, or decodes with warnings */
	PICTURE_UNSUPPORTED, /* whole as far as can be seen, but of a kind that is not read */
};

struct picture {
	int width, height;           /* upright, after scaling */
	int channels;                /* 1 grey, 3 red green blue; 8 bits each */
	const unsigned char *pixels; /* width * height * channels, rows from the top, without padding */
	const unsigned char *jpeg;   /* the same picture as a JPEG without private data, baseline or
	                              * progressive Huffman, grey or YCbCr; NULL when it was no such JPEG, or
	                              * had to be turned or scaled */
	size_t jpeg_length;
	const unsigned char *packed; /* the same picture as PNG packs it: filtered rows of `packed_bits` a
	                              * channel in one zlib stream, without anything else of the file; NULL when
	                              * it was no plain grey or RGB one of up to 8 bits, or had to be scaled */
	size_t packed_length;
	int packed_bits;
	int source_width, source_height; /* as stored in the file */
};

/* Reads a picture that shall be at most `max_width` by `max_height` pixels when upright; 0: no wish.
 * Scaling keeps the proportions and averages over areas. 16 bits become 8, palettes colours, transparent
 * parts white; the orientation of Exif (JEITA CP-3451, tag 0x0112) is applied. Colour profiles are
 * dropped, values taken as sRGB.
 * `*reason` gets the id of the reason, for the words: "picture-foreign", "picture-bytes",
 * "picture-pixels", "picture-cut", "picture-structure", "picture-data", "picture-scans",
 * "picture-colours", "picture-coding"; NULL with PICTURE_FINE. `*out` is untouched unless PICTURE_FINE
 * is returned. Everything lives in `a`. */
enum picture_outcome picture_read(struct arena *a, const void *bytes, size_t length, int max_width,
	int max_height, struct picture *out, const char **reason);

const char *picture_outcome_name(enum picture_outcome outcome);

#endif
