/* Pictures: a JPEG file or the packed rows of a PNG, checked before and taken as they are; else pixels as
 * differences to the row above (filter type 2 of PNG). */
#include "type/pdf_private.h"

enum { FILTER_UP = 2 };

/* How the rows were filtered. */
static void rows_described(struct pdf *p, HPDF_Dict object, const struct doc_picture *picture, int bits)
{
	/* One dictionary for the one filter: an array here would be passed over. */
	HPDF_Dict parameters = pdf_dict_in(p, object, "DecodeParms");
	pdf_set_number(p, parameters, "Predictor", 15);
	pdf_set_number(p, parameters, "Colors", picture->channels);
	pdf_set_number(p, parameters, "BitsPerComponent", bits);
	pdf_set_number(p, parameters, "Columns", picture->width);
}

static HPDF_Dict pixels_write(struct pdf *p, const struct doc_picture *picture)
{
	size_t length = (size_t)picture->width * (size_t)picture->channels;
	size_t rows = (size_t)picture->height;
	char *all = scratch_room(p->arena, &p->rows, rows * (length + 1));
	for (size_t y = 0; y < rows; y++) {
		char *row = all + y * (length + 1);
		const unsigned char *now = picture->pixels + y * length;
		const unsigned char *before = y ? now - length : NULL;
		row[0] = FILTER_UP;
		for (size_t i = 0; i < length; i++)
			row[i + 1] = (char)(now[i] - (before ? before[i] : 0));
	}
	HPDF_Dict object = pdf_packed(p, all, rows * (length + 1), PDF_PACK_RUNS);
	rows_described(p, object, picture, 8);
	return object;
}

size_t pdf_picture_number(struct pdf *p, const struct doc_picture *picture)
{
	size_t number = p->picture_count;
	for (const struct pdf_picture *seen = p->pictures; seen; seen = seen->next, number--)
		if (seen->picture == picture)
			return number;
	HPDF_Dict object;
	int bits = 8;
	if (picture->jpeg) {
		object = pdf_stream(p, (const char *)picture->jpeg, picture->jpeg_length);
		object->filter = HPDF_STREAM_FILTER_DCT_DECODE;
	} else if (picture->packed) {
		object = pdf_stored(p, (const char *)picture->packed, picture->packed_length);
		rows_described(p, object, picture, picture->packed_bits);
		bits = picture->packed_bits;
	} else {
		object = pixels_write(p, picture);
	}
	pdf_set_name(p, object, "Type", "XObject");
	pdf_set_name(p, object, "Subtype", "Image");
	pdf_set_name(p, object, "ColorSpace", picture->channels == 1 ? "DeviceGray" : "DeviceRGB");
	pdf_set_number(p, object, "Width", picture->width);
	pdf_set_number(p, object, "Height", picture->height);
	pdf_set_number(p, object, "BitsPerComponent", bits);
	struct pdf_picture *fresh = arena_alloc(p->arena, sizeof *fresh);
	*fresh = (struct pdf_picture){ picture, object, p->pictures };
	p->pictures = fresh;
	p->picture_count++;
	pdf_set(p, p->picture_resources, arena_format(p->arena, "I%zu", p->picture_count), object);
	return p->picture_count;
}
