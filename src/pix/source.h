/* Inside src/pix: the formats give rows to a sink, which scales them as they come. */
#ifndef PIX_SOURCE_H
#define PIX_SOURCE_H

#include "pix/picture.h"

/* An area-averaging reduction, fed row by row. */
struct shrink {
	int in_width, in_height, out_width, out_height, channels;
	unsigned char *pixels; /* out_width * out_height * channels */
	double *sums;          /* of the output row being gathered; NULL: sizes are equal */
	double *across;        /* one input row, reduced sideways */
	int row;               /* input rows taken */
};

/* The largest size within the wish (0: none), at least 1 by 1, never larger than the picture. */
void shrink_size(int width, int height, int max_width, int max_height, int *out_width,
	int *out_height);

void shrink_init(struct shrink *s, struct arena *a, int in_width, int in_height, int channels,
	int out_width, int out_height);
void shrink_row(struct shrink *s, const unsigned char *row);

struct picture_wish {
	int max_width, max_height;
};

/* Both take bytes with the right magic number; the rest as picture_read(). The JPEG one reports the
 * orientation it found (1 to 8) and leaves turning to the caller. */
enum picture_outcome png_read(struct arena *a, const unsigned char *bytes, size_t length,
	struct picture_wish wish, struct picture *out, const char **reason);
enum picture_outcome jpeg_read(struct arena *a, const unsigned char *bytes, size_t length,
	struct picture_wish wish, struct picture *out, int *orientation, const char **reason);

/* Whether a size is within the caps; gives the reason otherwise. */
enum picture_outcome size_check(unsigned long width, unsigned long height, const char **reason);

#endif
