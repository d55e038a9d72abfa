#include "pix/picture.h"

#include <math.h>
#include <string.h>

#include "pix/source.h"

enum picture_outcome size_check(unsigned long width, unsigned long height, const char **reason)
{
	*reason = width && height ? "picture-pixels" : "picture-structure";
	if (width == 0 || height == 0)
		return PICTURE_DAMAGED;
	if (width > PICTURE_SIDE || height > PICTURE_SIDE || width > PICTURE_PIXELS / height)
		return PICTURE_TOO_LARGE;
	*reason = NULL;
	return PICTURE_FINE;
}

void shrink_size(int width, int height, int max_width, int max_height, int *out_width, int *out_height)
{
	double part = 1;
	if (max_width > 0)
		part = fmin(part, (double)max_width / width);
	if (max_height > 0)
		part = fmin(part, (double)max_height / height);
	*out_width = (int)fmax(1, floor(width * part + 1e-9));
	*out_height = (int)fmax(1, floor(height * part + 1e-9));
}

void shrink_init(struct shrink *s, struct arena *a, int in_width, int in_height, int channels,
	int out_width, int out_height)
{
	size_t row = (size_t)out_width * (size_t)channels;
	*s = (struct shrink){in_width, in_height, out_width, out_height, channels, NULL, NULL, NULL, 0};
	s->pixels = arena_array(a, row, (size_t)out_height);
	if (in_width == out_width && in_height == out_height)
		return;
	s->sums = arena_array(a, row, sizeof *s->sums);
	s->across = arena_array(a, row, sizeof *s->across);
}

/* How much of input cell `i` lies in output cell `o`, when `in` cells are laid over `out` cells; in
 * input cells. Everything times `out`, so that it stays whole numbers. */
static double overlap(int i, int o, int in, int out)
{
	long from = (long)i * out, to = from + out, low = (long)o * in, high = low + in;
	long a = from > low ? from : low, b = to < high ? to : high;
	return b > a ? (double)(b - a) / out : 0;
}

static void reduce_sideways(struct shrink *s, const unsigned char *row)
{
	int ch = s->channels;
	memset(s->across, 0, (size_t)s->out_width * (size_t)ch * sizeof *s->across);
	for (int x = 0; x < s->in_width; x++) {
		int first = (int)((long)x * s->out_width / s->in_width);
		for (int o = first; o < s->out_width && o <= first + 1; o++) {
			double weight = overlap(x, o, s->in_width, s->out_width);
			for (int k = 0; k < ch && weight > 0; k++)
				s->across[o * ch + k] += weight * row[x * ch + k];
		}
	}
}

static void finish_row(struct shrink *s, int o)
{
	int n = s->out_width * s->channels;
	double area = (double)s->in_width / s->out_width * s->in_height / s->out_height;
	for (int i = 0; i < n; i++) {
		double value = floor(s->sums[i] / area + 0.5);
		s->pixels[(size_t)o * (size_t)n + (size_t)i] = (unsigned char)fmin(255, fmax(0, value));
		s->sums[i] = 0;
	}
}

void shrink_row(struct shrink *s, const unsigned char *row)
{
	size_t n = (size_t)s->out_width * (size_t)s->channels;
	int y = s->row++;
	if (!s->sums) {
		memcpy(s->pixels + (size_t)y * n, row, n);
		return;
	}
	reduce_sideways(s, row);
	int first = (int)((long)y * s->out_height / s->in_height);
	for (int o = first; o < s->out_height && o <= first + 1; o++) {
		double weight = overlap(y, o, s->in_height, s->out_height);
		for (size_t i = 0; i < n && weight > 0; i++)
			s->sums[i] += weight * s->across[i];
		/* The last input row that touches this output row closes it. */
		if ((long)(y + 1) * s->out_height >= (long)(o + 1) * s->in_height)
			finish_row(s, o);
	}
}

/* Turns `p` as Exif's `orientation` 2 to 8 says. */
static void turn(struct arena *a, struct picture *p, int orientation)
{
	int w = p->width, h = p->height, ch = p->channels;
	bool swap = orientation >= 5;
	int out_w = swap ? h : w, out_h = swap ? w : h;
	unsigned char *out = arena_array(a, (size_t)w * (size_t)h, (size_t)ch);
	bool flip_x = orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8;
	bool flip_y = orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7;
	for (int y = 0; y < out_h; y++) {
		for (int x = 0; x < out_w; x++) {
			int from_x = swap ? y : x, from_y = swap ? x : y;
			from_x = flip_x ? w - 1 - from_x : from_x;
			from_y = flip_y ? h - 1 - from_y : from_y;
			memcpy(out + ((size_t)y * (size_t)out_w + (size_t)x) * (size_t)ch,
				p->pixels + ((size_t)from_y * (size_t)w + (size_t)from_x) * (size_t)ch,
				(size_t)ch);
		}
	}
	p->pixels = out;
	p->width = out_w;
	p->height = out_h;
	p->jpeg = NULL;
	p->jpeg_length = 0;
	p->packed = NULL;
	p->packed_length = 0;
}

enum picture_outcome picture_read(struct arena *a, const void *bytes, size_t length, int max_width,
	int max_height, struct picture *out, const char **reason)
{
	static const unsigned char png[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
	static const unsigned char jpeg[3] = {0xFF, 0xD8, 0xFF};
	struct picture p = {0};
	struct picture_wish wish = {max_width, max_height};
	enum picture_outcome outcome;
	int orientation = 1;
	if (length > PICTURE_BYTES) {
		*reason = "picture-bytes";
		return PICTURE_TOO_LARGE;
	}
	if (length >= sizeof png && memcmp(bytes, png, sizeof png) == 0) {
		outcome = png_read(a, bytes, length, wish, &p, reason);
	} else if (length >= sizeof jpeg && memcmp(bytes, jpeg, sizeof jpeg) == 0) {
		outcome = jpeg_read(a, bytes, length, wish, &p, &orientation, reason);
	} else {
		*reason = "picture-foreign";
		return PICTURE_FOREIGN;
	}
	if (outcome != PICTURE_FINE)
		return outcome;
	if (orientation > 1)
		turn(a, &p, orientation);
	*out = p;
	*reason = NULL;
	return PICTURE_FINE;
}

const char *picture_outcome_name(enum picture_outcome outcome)
{
	static const char *const names[] = {"fine", "foreign", "too-large", "damaged", "unsupported"};
	return names[outcome];
}
