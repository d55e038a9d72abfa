#include <setjmp.h>
#include <stdio.h>
#include <string.h>

/* After stdio.h, whose types they use. */
#include <jpeglib.h>
#include <jerror.h>

#include "pix/source.h"

/* ISO/IEC 10918-1 Annex B */
enum {
	SOF0 = 0xC0, SOF1 = 0xC1, SOF2 = 0xC2, DHT = 0xC4, RST0 = 0xD0, RST7 = 0xD7, SOI = 0xD8,
	EOI = 0xD9, SOS = 0xDA, DQT = 0xDB, DRI = 0xDD, APP0 = 0xE0, APP1 = 0xE1, APP14 = 0xEE,
	APP15 = 0xEF, COM = 0xFE,
};

/* The walk over the markers of a file; what is kept goes to `out`. */
struct walk {
	const unsigned char *in;
	size_t length, at;
	unsigned char *out; /* room for all of it and a JFIF header */
	size_t kept;
	int frame; /* marker of the frame header; 0: none yet */
	int width, height, components, scans, orientation;
	const char *reason;
};

static unsigned pair(const unsigned char *p)
{
	return (unsigned)p[0] << 8 | p[1];
}

static void keep(struct walk *w, const void *bytes, size_t n)
{
	memcpy(w->out + w->kept, bytes, n);
	w->kept += n;
}

static enum picture_outcome refuse(struct walk *w, enum picture_outcome outcome, const char *reason)
{
	w->reason = reason;
	return outcome;
}

static unsigned tiff(const unsigned char *p, int bytes, bool big)
{
	unsigned v = 0;
	for (int i = 0; i < bytes; i++)
		v |= (unsigned)p[i] << 8 * (big ? bytes - 1 - i : i);
	return v;
}

/* The orientation in an Exif segment's TIFF part; 0 when there is none or it makes no sense. */
static int exif_orientation(const unsigned char *p, size_t n)
{
	if (n < 8 || memcmp(p, p[0] == 'M' ? "MM\0*" : "II*\0", 4) != 0)
		return 0;
	bool big = p[0] == 'M';
	size_t at = tiff(p + 4, 4, big);
	if (at > n - 2)
		return 0;
	size_t entries = tiff(p + at, 2, big);
	for (size_t i = 0; i < entries && (i + 1) * 12 <= n - at - 2; i++) {
		const unsigned char *e = p + at + 2 + i * 12;
		unsigned value = tiff(e + 8, 2, big);
		if (tiff(e, 2, big) == 0x0112)
			return tiff(e + 2, 2, big) == 3 && value >= 1 && value <= 8 ? (int)value : 0;
	}
	return 0;
}

static void take_app(struct walk *w, int marker, const unsigned char *p, size_t n)
{
	if (marker == APP0 && n >= 14 && memcmp(p, "JFIF", 5) == 0) {
		/* Its thumbnail, the last two bytes and what follows, stays behind. */
		keep(w, "\xFF\xE0\x00\x10", 4);
		keep(w, p, 12);
		keep(w, "\0\0", 2);
	} else if (marker == APP14 && n >= 12 && memcmp(p, "Adobe", 5) == 0) {
		keep(w, "\xFF\xEE\x00\x0E", 4);
		keep(w, p, 12);
	} else if (marker == APP1 && n >= 6 && memcmp(p, "Exif\0", 6) == 0 && !w->orientation) {
		w->orientation = exif_orientation(p + 6, n - 6);
	}
}

static enum picture_outcome take_frame(struct walk *w, int marker, const unsigned char *p,
	size_t n)
{
	if (marker > SOF2)
		return refuse(w, PICTURE_UNSUPPORTED, "picture-coding");
	if (w->frame || n < 6)
		return refuse(w, PICTURE_DAMAGED, "picture-structure");
	if (p[0] != 8)
		return refuse(w, PICTURE_UNSUPPORTED, "picture-coding");
	w->frame = marker;
	w->height = (int)pair(p + 1);
	w->width = (int)pair(p + 3);
	w->components = p[5];
	enum picture_outcome outcome = size_check((unsigned long)w->width, (unsigned long)w->height,
		&w->reason);
	if (outcome == PICTURE_FINE && w->components != 1 && w->components != 3)
		outcome = refuse(w, PICTURE_UNSUPPORTED, "picture-colours");
	return outcome;
}

static bool is_frame(int marker)
{
	return marker >= SOF0 && marker <= 0xCF && marker != DHT && marker != 0xC8 && marker != 0xCC;
}

/* The coded data after a scan header: up to the next marker that does not belong to it. */
static void take_scan(struct walk *w)
{
	size_t from = w->at;
	while (w->at + 1 < w->length) {
		const unsigned char *p = memchr(w->in + w->at, 0xFF, w->length - w->at - 1);
		w->at = p ? (size_t)(p - w->in) : w->length;
		if (!p || (p[1] != 0 && p[1] != 0xFF && (p[1] < RST0 || p[1] > RST7)))
			break;
		w->at += p[1] == 0xFF ? 1 : 2;
	}
	keep(w, w->in + from, w->at - from);
}

static enum picture_outcome take_segment(struct walk *w, int marker)
{
	const unsigned char *start = w->in + w->at;
	size_t left = w->length - w->at, size = left < 2 ? 0 : pair(start);
	if (size > left || left < 2)
		return refuse(w, PICTURE_DAMAGED, "picture-cut");
	if (size < 2)
		return refuse(w, PICTURE_DAMAGED, "picture-structure");
	w->at += size;
	if (marker >= APP0 && marker <= APP15) {
		take_app(w, marker, start + 2, size - 2);
		return PICTURE_FINE;
	}
	if (marker == COM)
		return PICTURE_FINE;
	if (is_frame(marker)) {
		enum picture_outcome outcome = take_frame(w, marker, start + 2, size - 2);
		if (outcome != PICTURE_FINE)
			return outcome;
	} else if (marker != DHT && marker != DQT && marker != DRI && marker != SOS) {
		return refuse(w, PICTURE_UNSUPPORTED, "picture-coding");
	}
	unsigned char head[2] = {0xFF, (unsigned char)marker};
	keep(w, head, 2);
	keep(w, start, size);
	if (marker != SOS)
		return PICTURE_FINE;
	if (!w->frame)
		return refuse(w, PICTURE_DAMAGED, "picture-structure");
	if (++w->scans > PICTURE_SCANS)
		return refuse(w, PICTURE_UNSUPPORTED, "picture-scans");
	take_scan(w);
	return PICTURE_FINE;
}

/* From start to end of image; what follows the end (a film, a second picture) is left behind. */
static enum picture_outcome walk_file(struct walk *w)
{
	keep(w, w->in, 2);
	w->at = 2;
	for (;;) {
		if (w->at >= w->length)
			return refuse(w, PICTURE_DAMAGED, "picture-cut");
		if (w->in[w->at] != 0xFF)
			return refuse(w, PICTURE_DAMAGED, "picture-structure");
		while (w->at < w->length && w->in[w->at] == 0xFF)
			w->at++;
		if (w->at >= w->length)
			return refuse(w, PICTURE_DAMAGED, "picture-cut");
		int marker = w->in[w->at++];
		if (marker == EOI) {
			keep(w, "\xFF\xD9", 2);
			return w->scans ? PICTURE_FINE : refuse(w, PICTURE_DAMAGED, "picture-structure");
		}
		if (marker < SOF0 || (marker >= RST0 && marker <= SOI))
			return refuse(w, PICTURE_DAMAGED, "picture-structure");
		enum picture_outcome outcome = take_segment(w, marker);
		if (outcome != PICTURE_FINE)
			return outcome;
	}
}

struct decoder {
	struct jpeg_decompress_struct info;
	struct jpeg_error_mgr errors;
	jmp_buf escape;
	bool open;
};

static void on_error(j_common_ptr info)
{
	struct decoder *d = info->client_data;
	longjmp(d->escape, 1);
}

static void on_message(j_common_ptr info, int level)
{
	if (level < 0)
		info->err->num_warnings++;
}

static void on_output(j_common_ptr info)
{
	(void)info;
}

static void close_decoder(void *subject)
{
	struct decoder *d = subject;
	if (d->open)
		jpeg_destroy_decompress(&d->info);
	d->open = false;
}

/* Lets the decoder halve, quarter… the picture while that leaves at least what is wanted. */
static void choose_scale(struct jpeg_decompress_struct *info, int out_width, int out_height)
{
	info->scale_num = 1;
	for (info->scale_denom = 8; info->scale_denom > 1; info->scale_denom /= 2) {
		jpeg_calc_output_dimensions(info);
		if (info->output_width >= (unsigned)out_width &&
			info->output_height >= (unsigned)out_height)
			return;
	}
	jpeg_calc_output_dimensions(info);
}

/* Decodes what was kept, into `s`. Nothing that this function changes is read after an error. */
static bool decode(struct arena *a, struct decoder *d, const struct walk *w, int out_width,
	int out_height, struct shrink *s)
{
	struct jpeg_decompress_struct *info = &d->info;
	info->err = jpeg_std_error(&d->errors);
	d->errors.error_exit = on_error;
	d->errors.emit_message = on_message;
	d->errors.output_message = on_output;
	info->client_data = d;
	if (setjmp(d->escape))
		return false;
	d->open = true;
	jpeg_create_decompress(info);
	jpeg_mem_src(info, w->out, w->kept);
	jpeg_read_header(info, TRUE);
	info->out_color_space = w->components == 1 ? JCS_GRAYSCALE : JCS_RGB;
	choose_scale(info, out_width, out_height);
	jpeg_start_decompress(info);
	shrink_init(s, a, (int)info->output_width, (int)info->output_height, w->components, out_width,
		out_height);
	unsigned char *row = arena_array(a, info->output_width, (size_t)w->components);
	while (info->output_scanline < info->output_height) {
		jpeg_read_scanlines(info, &row, 1);
		shrink_row(s, row);
	}
	jpeg_finish_decompress(info);
	return d->errors.num_warnings == 0;
}

enum picture_outcome jpeg_read(struct arena *a, const unsigned char *bytes, size_t length,
	struct picture_wish wish, struct picture *out, int *orientation, const char **reason)
{
	struct walk w = {.in = bytes, .length = length};
	struct decoder *d = arena_alloc(a, sizeof *d);
	struct shrink *s = arena_alloc(a, sizeof *s);
	int out_width, out_height;
	w.out = arena_alloc(a, length + 32);
	enum picture_outcome outcome = walk_file(&w);
	*reason = w.reason;
	if (outcome != PICTURE_FINE)
		return outcome;
	*orientation = w.orientation ? w.orientation : 1;
	bool swap = *orientation >= 5;
	shrink_size(w.width, w.height, swap ? wish.max_height : wish.max_width,
		swap ? wish.max_width : wish.max_height, &out_width, &out_height);
	arena_defer(a, close_decoder, d);
	bool fine = decode(a, d, &w, out_width, out_height, s);
	bool memory = !fine && d->errors.msg_code == JERR_OUT_OF_MEMORY;
	bool reusable = d->info.jpeg_color_space == JCS_GRAYSCALE ||
		d->info.jpeg_color_space == JCS_YCbCr;
	close_decoder(d);
	if (memory)
		arena_exhausted(a);
	if (!fine) {
		*reason = "picture-data";
		return PICTURE_DAMAGED;
	}
	bool as_stored = out_width == w.width && out_height == w.height && w.frame != SOF1 && reusable;
	*out = (struct picture){.width = out_width, .height = out_height, .channels = w.components,
		.pixels = s->pixels, .jpeg = as_stored ? w.out : NULL,
		.jpeg_length = as_stored ? w.kept : 0, .source_width = w.width, .source_height = w.height};
	return PICTURE_FINE;
}
