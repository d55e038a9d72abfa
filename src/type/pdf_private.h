/* Inside of the PDF device: the only headers of the PDF library in the program.
 *
 * The library serves as object model, cross-reference table, compressor and page tree. Fonts, metadata,
 * pictures, links, tags and page contents are made here: what the library offers for them is no archival
 * PDF, or is unsafe. Every object made here joins the document in the same breath (a parent frees what it
 * could not take), so that control may leave at any call and HPDF_Free() still finds all memory. */
#ifndef TYPE_PDF_PRIVATE_H
#define TYPE_PDF_PRIVATE_H

#include <setjmp.h>

#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_objects.h>
#include <hpdf_pages.h>
#include <hpdf_pdfa.h>
#include <hpdf_streams.h>

#include "type/font_data.h"
#include "type/pdf.h"

_Static_assert(HPDF_VERSION_ID == 20300, "the PDF device knows the inside of libharu 2.3.0 only");

enum { PDF_SRGB_LENGTH = 592 };

extern const unsigned char pdf_srgb_profile[PDF_SRGB_LENGTH];

/* One face as it is embedded: glyphs are numbered in the order of their first use, one number for each
 * character, so that text can be read back exactly. */
struct pdf_font {
	HPDF_Dict dict; /* NULL: not used so far */
	uint16_t *numbers[CODE_BLOCKS];
	uint16_t *glyphs;
	uint32_t *codes;
	size_t count, room;
};

struct pdf_picture {
	const struct doc_picture *picture;
	HPDF_Dict object;
	struct pdf_picture *next;
};

struct pdf_tag {
	HPDF_Dict object;
	HPDF_Array kids;
	HPDF_Dict page; /* of its own contents so far */
	bool attached;
};

/* Room used again and again, since an arena gives none back. */
struct scratch {
	char *bytes;
	size_t room;
};

struct pdf {
	struct arena *arena;
	const struct document *document;
	const struct typeface_set *faces;
	const struct pages *pages;
	HPDF_Doc doc;
	jmp_buf failed;
	const char *why;
	HPDF_Dict *page_objects;
	HPDF_Dict font_resources, picture_resources;
	struct pdf_font fonts[FACE_COUNT];
	struct pdf_picture *pictures;
	size_t picture_count;
	struct scratch packing, rows;
	size_t stored;           /* bytes of all streams so far */
	/* tags */
	struct pdf_tag *tags;
	HPDF_Array page_parents; /* parents of the page at hand, by number of the marked content */
	HPDF_Array parent_nodes; /* of all pages, then of the links: a tree of numbers in pieces */
	HPDF_Array parents, parent_limits; /* the piece at hand */
	size_t parent_count;
	size_t marked;           /* marked contents on the page at hand */
};

/* Ends the writing: memory gone goes the arena's way, anything else makes pdf_write() return false. */
_Noreturn void pdf_fail(struct pdf *p);
void pdf_check(struct pdf *p, HPDF_STATUS status);

HPDF_Dict pdf_object(struct pdf *p); /* a dictionary with a number of its own */
HPDF_Dict pdf_dict_in(struct pdf *p, HPDF_Dict parent, const char *key);
HPDF_Array pdf_array_in(struct pdf *p, HPDF_Dict parent, const char *key);
HPDF_Dict pdf_dict_item(struct pdf *p, HPDF_Array parent);
HPDF_Array pdf_array_item(struct pdf *p, HPDF_Array parent);
char *scratch_room(struct arena *a, struct scratch *s, size_t length);
HPDF_Dict pdf_stream(struct pdf *p, const char *bytes, size_t length);
/* A stream that is packed already. */
HPDF_Dict pdf_stored(struct pdf *p, const char *packed, size_t length);

/* How bytes are packed: as text, or by runs of equal ones, as rows of pictures that hold differences. */
enum pdf_packing { PDF_PACK_TEXT, PDF_PACK_RUNS };

/* Compressed here and not by the library, which copies byte by byte and packs at one level only. */
HPDF_Dict pdf_packed(struct pdf *p, const char *bytes, size_t length, enum pdf_packing how);
void pdf_set(struct pdf *p, HPDF_Dict d, const char *key, void *object);
void pdf_set_name(struct pdf *p, HPDF_Dict d, const char *key, const char *name);
void pdf_set_number(struct pdf *p, HPDF_Dict d, const char *key, int value);
void pdf_push(struct pdf *p, HPDF_Array a, void *object);
void pdf_push_number(struct pdf *p, HPDF_Array a, int value);
void pdf_push_real(struct pdf *p, HPDF_Array a, double value);

void pdf_set_string(struct pdf *p, HPDF_Dict d, const char *key, const char *ascii);
/* UTF-8 text; control characters become blanks. */
void pdf_set_words(struct pdf *p, HPDF_Dict d, const char *key, const char *text);

/* A number with at most two decimals. */
void pdf_number(struct buf *b, double value);

void pdf_metadata(struct pdf *p);
void pdf_contents(struct pdf *p);

/* Number of a glyph of `face`, counted in at its first use. */
unsigned pdf_font_number(struct pdf *p, enum face face, const struct glyph *g);
void pdf_fonts_finish(struct pdf *p);

/* Number of the picture among the resources. */
size_t pdf_picture_number(struct pdf *p, const struct doc_picture *picture);

void pdf_tags_begin(struct pdf *p);
void pdf_tags_page(struct pdf *p, size_t page);
/* Number of the next piece of marked content on page `page`, which belongs to `tag`. */
size_t pdf_tag_mark(struct pdf *p, const struct tag *tag, size_t page);
/* Makes `annotation` part of `tag`. */
void pdf_tag_link(struct pdf *p, const struct tag *tag, HPDF_Dict annotation, size_t page);
void pdf_tags_finish(struct pdf *p);
const char *pdf_tag_name(enum tag_kind kind);

#endif
