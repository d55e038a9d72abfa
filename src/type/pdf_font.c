/* Fonts of the file: composite fonts with identity encoding, each with the part of its outlines in use. */
#include "type/pdf_private.h"

#include <string.h>

enum { MOST_GLYPHS = 0xFFF0, BFCHAR_BLOCK = 100 };

unsigned pdf_font_number(struct pdf *p, enum face face, const struct glyph *g)
{
	struct pdf_font *f = &p->fonts[face];
	if (!f->dict) {
		f->dict = pdf_object(p);
		pdf_set(p, p->font_resources, arena_format(p->arena, "F%d", (int)face), f->dict);
		f->count = 1; /* number 0 is the sign for a missing glyph, never drawn */
		f->room = 256;
		f->glyphs = arena_array(p->arena, f->room, sizeof *f->glyphs);
		f->codes = arena_array(p->arena, f->room, sizeof *f->codes);
	}
	uint16_t **block = &f->numbers[g->code / 256];
	if (!*block)
		*block = arena_array(p->arena, 256, sizeof **block);
	uint16_t *number = &(*block)[g->code % 256];
	uint16_t known = *number;
	if (known)
		return known;
	if (f->count == MOST_GLYPHS) {
		p->why = "more different characters than a font can hold";
		longjmp(p->failed, 1);
	}
	if (f->count == f->room) {
		f->glyphs = arena_grow(p->arena, f->glyphs, f->count, f->room * 2, sizeof *f->glyphs);
		f->codes = arena_grow(p->arena, f->codes, f->count, f->room * 2, sizeof *f->codes);
		f->room *= 2;
	}
	f->glyphs[f->count] = g->id;
	f->codes[f->count] = g->code;
	*number = (uint16_t)f->count++;
	return *number;
}

/* Which character each glyph number stands for, for searching and copying. */
static HPDF_Dict unicode_map(struct pdf *p, const struct pdf_font *f)
{
	struct buf b;
	buf_init(&b, p->arena);
	buf_put(&b, "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n");
	for (size_t from = 1; from < f->count; from += BFCHAR_BLOCK) {
		size_t to = from + BFCHAR_BLOCK < f->count ? from + BFCHAR_BLOCK : f->count;
		buf_format(&b, "%zu beginbfchar\n", to - from);
		for (size_t i = from; i < to; i++) {
			unsigned code = f->codes[i];
			if (code > 0xFFFF)
				buf_format(&b, "<%04zX> <%04X%04X>\n", i, 0xD800 + ((code - 0x10000) >> 10),
					0xDC00 + ((code - 0x10000) & 0x3FF));
			else
				buf_format(&b, "<%04zX> <%04X>\n", i, code);
		}
		buf_put(&b, "endbfchar\n");
	}
	buf_put(&b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
	return pdf_packed(p, b.bytes, b.length, PDF_PACK_TEXT);
}

/* Bits of the glyphs that the embedded file holds, first bit highest. */
static HPDF_Dict glyph_set(struct pdf *p, size_t count)
{
	size_t length = (count + 7) / 8;
	char *bits = arena_alloc(p->arena, length);
	for (size_t i = 0; i < count; i++)
		bits[i / 8] = (char)((unsigned char)bits[i / 8] | 0x80U >> i % 8);
	return pdf_packed(p, bits, length, PDF_PACK_TEXT);
}

static HPDF_Dict descriptor_make(struct pdf *p, const struct font_facts *facts, const char *name,
	const struct buf *file, size_t glyph_count)
{
	HPDF_Dict d = pdf_object(p);
	pdf_set_name(p, d, "Type", "FontDescriptor");
	pdf_set_name(p, d, "FontName", name);
	/* symbolic, since the numbers are our own; fixed pitch; italic */
	pdf_set_number(p, d, "Flags", 4 | (facts->fixed_pitch ? 1 : 0) | (facts->italic ? 64 : 0));
	HPDF_Array box = pdf_array_in(p, d, "FontBBox");
	for (size_t i = 0; i < 4; i++)
		pdf_push_number(p, box, facts->box[i]);
	pdf_set_number(p, d, "ItalicAngle", facts->italic_angle);
	pdf_set_number(p, d, "Ascent", facts->ascent);
	pdf_set_number(p, d, "Descent", facts->descent);
	pdf_set_number(p, d, "CapHeight", facts->cap_height);
	pdf_set_number(p, d, "StemV", facts->stem);
	HPDF_Dict outlines = pdf_packed(p, file->bytes, file->length, PDF_PACK_TEXT);
	pdf_set_number(p, outlines, "Length1", (int)file->length);
	pdf_set(p, d, "FontFile2", outlines);
	pdf_set(p, d, "CIDSet", glyph_set(p, glyph_count));
	return d;
}

static void widths_set(struct pdf *p, HPDF_Dict cid, const struct typeface *t, const struct pdf_font *f)
{
	enum { ROW = 1000 }; /* an array of an archival file holds 8191 items at most */
	HPDF_Array all = pdf_array_in(p, cid, "W");
	for (size_t from = 0; from < f->count; from += ROW) {
		pdf_push_number(p, all, (int)from);
		HPDF_Array row = pdf_array_item(p, all);
		for (size_t i = from; i < f->count && i < from + ROW; i++)
			pdf_push_real(p, row, 1000.0 * font_advance(t->font, f->glyphs[i]) / t->units);
	}
}

static void font_finish(struct pdf *p, enum face face)
{
	struct pdf_font *f = &p->fonts[face];
	const struct typeface *t = &p->faces->faces[face];
	struct font_facts facts;
	struct buf file;
	size_t glyph_count = 0;
	font_facts(t->font, &facts);
	buf_init(&file, p->arena);
	glyph_count = font_subset(p->arena, t->font, f->glyphs, f->count, &file);
	const char *name = arena_format(p->arena, "PINTL%c+%s", 'A' + (char)face, facts.name);

	HPDF_Dict cid = pdf_object(p);
	pdf_set_name(p, cid, "Type", "Font");
	pdf_set_name(p, cid, "Subtype", "CIDFontType2");
	pdf_set_name(p, cid, "BaseFont", name);
	HPDF_Dict system = pdf_dict_in(p, cid, "CIDSystemInfo");
	pdf_set_string(p, system, "Registry", "Adobe");
	pdf_set_string(p, system, "Ordering", "Identity");
	pdf_set_number(p, system, "Supplement", 0);
	pdf_set_name(p, cid, "CIDToGIDMap", "Identity");
	pdf_set(p, cid, "FontDescriptor", descriptor_make(p, &facts, name, &file, glyph_count));
	widths_set(p, cid, t, f);
	pdf_set_name(p, f->dict, "Type", "Font");
	pdf_set_name(p, f->dict, "Subtype", "Type0");
	pdf_set_name(p, f->dict, "BaseFont", name);
	pdf_set_name(p, f->dict, "Encoding", "Identity-H");
	pdf_push(p, pdf_array_in(p, f->dict, "DescendantFonts"), cid);
	pdf_set(p, f->dict, "ToUnicode", unicode_map(p, f));
}

void pdf_fonts_finish(struct pdf *p)
{
	for (int i = 0; i < FACE_COUNT; i++)
		if (p->fonts[i].dict)
			font_finish(p, (enum face)i);
}
