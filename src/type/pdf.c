#include "type/pdf_private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#define ZLIB_CONST /* what is read stays const */
#include <zlib.h>

#include "base/date.h"

/* Level of compression: half the time of the usual level for three in a hundred more bytes. */
enum { LIKELY_REST = 1024 * 1024 }; /* of a file besides its streams: objects, tags, cross-references */
enum { PAGES_PER_NODE = 50, LONGEST_STRING = 16000, PACKING = 1 };

static const char producer[] = "Pintle (libharu 2.3.0)";

void pdf_fail(struct pdf *p)
{
	HPDF_STATUS error = p->doc ? HPDF_GetError(p->doc) : HPDF_FAILD_TO_ALLOC_MEM;
	/* An invalid stream is one that found no memory: no other kind is opened. */
	if (error == HPDF_FAILD_TO_ALLOC_MEM || error == HPDF_ZLIB_ERROR || error == HPDF_INVALID_STREAM ||
		error == HPDF_OK)
		arena_exhausted(p->arena);
	p->why = arena_format(p->arena, "the document cannot be held in the file (0x%lx)",
		(unsigned long)error);
	longjmp(p->failed, 1);
}

void pdf_check(struct pdf *p, HPDF_STATUS status)
{
	if (status != HPDF_OK)
		pdf_fail(p);
}

HPDF_Dict pdf_object(struct pdf *p)
{
	HPDF_Dict d = HPDF_Dict_New(p->doc->mmgr);
	if (!d)
		pdf_fail(p);
	pdf_check(p, HPDF_Xref_Add(p->doc->xref, d));
	return d;
}

HPDF_Dict pdf_dict_in(struct pdf *p, HPDF_Dict parent, const char *key)
{
	HPDF_Dict d = HPDF_Dict_New(p->doc->mmgr);
	if (!d)
		pdf_fail(p);
	pdf_set(p, parent, key, d);
	return d;
}

HPDF_Array pdf_array_in(struct pdf *p, HPDF_Dict parent, const char *key)
{
	HPDF_Array a = HPDF_Array_New(p->doc->mmgr);
	if (!a)
		pdf_fail(p);
	pdf_set(p, parent, key, a);
	return a;
}

HPDF_Dict pdf_dict_item(struct pdf *p, HPDF_Array parent)
{
	HPDF_Dict d = HPDF_Dict_New(p->doc->mmgr);
	if (!d)
		pdf_fail(p);
	pdf_push(p, parent, d);
	return d;
}

HPDF_Array pdf_array_item(struct pdf *p, HPDF_Array parent)
{
	HPDF_Array a = HPDF_Array_New(p->doc->mmgr);
	if (!a)
		pdf_fail(p);
	pdf_push(p, parent, a);
	return a;
}

HPDF_Dict pdf_stream(struct pdf *p, const char *bytes, size_t length)
{
	HPDF_Dict d = HPDF_DictStream_New(p->doc->mmgr, p->doc->xref);
	if (!d)
		pdf_fail(p);
	d->filter = HPDF_STREAM_FILTER_NONE;
	p->stored += length;
	if (length)
		pdf_check(p, HPDF_Stream_Write(d->stream, (const HPDF_BYTE *)bytes, (HPDF_UINT)length));
	return d;
}

char *scratch_room(struct arena *a, struct scratch *s, size_t length)
{
	if (s->room < length) {
		size_t room = length < s->room * 2 ? s->room * 2 : length;
		s->bytes = arena_alloc(a, room);
		s->room = room;
	}
	return s->bytes;
}

static HPDF_STATUS filter_write(HPDF_Dict d, HPDF_Stream out)
{
	(void)d;
	return HPDF_Stream_WriteStr(out, "/Filter /FlateDecode\n");
}

HPDF_Dict pdf_stored(struct pdf *p, const char *packed, size_t length)
{
	HPDF_Dict d = pdf_stream(p, packed, length);
	d->write_fn = filter_write;
	return d;
}

HPDF_Dict pdf_packed(struct pdf *p, const char *bytes, size_t length, enum pdf_packing how)
{
	z_stream z = {0};
	int strategy = how == PDF_PACK_RUNS ? Z_RLE : Z_DEFAULT_STRATEGY;
	/* Taken first, so that nothing of the library is open when memory runs out. */
	uLong room = compressBound(length);
	Bytef *out = (Bytef *)scratch_room(p->arena, &p->packing, room);
	if (deflateInit2(&z, PACKING, Z_DEFLATED, 15, 8, strategy) != Z_OK)
		arena_exhausted(p->arena);
	z.next_in = (const Bytef *)bytes;
	z.avail_in = (uInt)length;
	z.next_out = out;
	z.avail_out = (uInt)room;
	int end = deflate(&z, Z_FINISH);
	size_t packed = z.total_out;
	deflateEnd(&z);
	if (end != Z_STREAM_END)
		arena_exhausted(p->arena);
	return pdf_stored(p, (const char *)out, packed);
}

void pdf_set(struct pdf *p, HPDF_Dict d, const char *key, void *object)
{
	pdf_check(p, HPDF_Dict_Add(d, key, object));
}

void pdf_set_name(struct pdf *p, HPDF_Dict d, const char *key, const char *name)
{
	pdf_check(p, HPDF_Dict_AddName(d, key, name));
}

void pdf_set_number(struct pdf *p, HPDF_Dict d, const char *key, int value)
{
	pdf_check(p, HPDF_Dict_AddNumber(d, key, value));
}

void pdf_push(struct pdf *p, HPDF_Array a, void *object)
{
	pdf_check(p, HPDF_Array_Add(a, object));
}

void pdf_push_number(struct pdf *p, HPDF_Array a, int value)
{
	pdf_check(p, HPDF_Array_AddNumber(a, value));
}

void pdf_push_real(struct pdf *p, HPDF_Array a, double value)
{
	pdf_check(p, HPDF_Array_AddReal(a, (HPDF_REAL)value));
}

void pdf_set_string(struct pdf *p, HPDF_Dict d, const char *key, const char *ascii)
{
	HPDF_String s = HPDF_String_New(p->doc->mmgr, ascii, NULL);
	if (!s)
		pdf_fail(p);
	pdf_set(p, d, key, s);
}

void pdf_set_words(struct pdf *p, HPDF_Dict d, const char *key, const char *text)
{
	size_t length = text ? strlen(text) : 0, n = 0;
	if (length > LONGEST_STRING)
		length = LONGEST_STRING;
	HPDF_BYTE *units = arena_alloc(p->arena, 2 + 4 * length);
	units[n++] = 0xFE;
	units[n++] = 0xFF;
	for (size_t at = 0; at < length;) {
		uint32_t code = 0xFFFD;
		size_t taken = utf8_decode(text + at, length - at, &code);
		at += taken ? taken : 1;
		if (code < 0x20 || (code >= 0x7F && code < 0xA0))
			code = ' ';
		if (code > 0xFFFF) {
			uint32_t high = 0xD800 + ((code - 0x10000) >> 10);
			units[n++] = (HPDF_BYTE)(high >> 8);
			units[n++] = (HPDF_BYTE)(high & 0xFF);
			code = 0xDC00 + ((code - 0x10000) & 0x3FF);
		}
		units[n++] = (HPDF_BYTE)(code >> 8);
		units[n++] = (HPDF_BYTE)(code & 0xFF);
	}
	HPDF_Binary words = HPDF_Binary_New(p->doc->mmgr, units, (HPDF_UINT)n);
	if (!words)
		pdf_fail(p);
	pdf_set(p, d, key, words);
}

void pdf_number(struct buf *b, double value)
{
	char digits[16];
	size_t at = sizeof digits;
	long hundredths = isfinite(value) ? lround(fmin(fmax(value, -32000), 32000) * 100) : 0;
	unsigned long n = (unsigned long)labs(hundredths), part = n % 100;
	if (part) {
		if (part % 10)
			digits[--at] = (char)('0' + part % 10);
		digits[--at] = (char)('0' + part / 10);
		digits[--at] = '.';
	}
	n /= 100;
	do
		digits[--at] = (char)('0' + n % 10);
	while (n /= 10);
	if (hundredths < 0)
		digits[--at] = '-';
	buf_add(b, digits + at, sizeof digits - at);
}

static void destination_set(struct pdf *p, HPDF_Dict d, size_t page, double y)
{
	HPDF_Array a = pdf_array_in(p, d, "Dest");
	pdf_push(p, a, p->page_objects[page]);
	pdf_check(p, HPDF_Array_AddName(a, "XYZ"));
	pdf_push_real(p, a, 0);
	pdf_push_real(p, a, fmin(y + 6, p->pages->height));
	pdf_push_real(p, a, 0);
}

static void xml_put(struct buf *b, const char *text)
{
	size_t length = strlen(text);
	if (length > LONGEST_STRING)
		length = LONGEST_STRING;
	for (size_t at = 0; at < length;) {
		uint32_t code = 0xFFFD;
		size_t taken = utf8_decode(text + at, length - at, &code);
		at += taken ? taken : 1;
		if (code == '&')
			buf_put(b, "&amp;");
		else if (code == '<')
			buf_put(b, "&lt;");
		else if (code == '>')
			buf_put(b, "&gt;");
		else if (code < 0x20 || (code >= 0x7F && code < 0xA0))
			buf_char(b, ' ');
		else
			utf8_encode(b, code);
	}
}

static void xmp_part(struct buf *b, const char *prefix, const char *space)
{
	buf_format(b, "<rdf:Description rdf:about=\"\" xmlns:%s=\"%s\">\n", prefix, space);
}

static void xmp_write(struct pdf *p, struct buf *b, const char *date)
{
	const struct document *d = p->document;
	buf_put(b, "<?xpacket begin=\"\xEF\xBB\xBF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n"
		"<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n");
	xmp_part(b, "pdfaid", "http://www.aiim.org/pdfa/ns/id/");
	buf_put(b, "<pdfaid:part>1</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>\n"
		"</rdf:Description>\n");
	xmp_part(b, "dc", "http://purl.org/dc/elements/1.1/");
	buf_put(b, "<dc:format>application/pdf</dc:format>\n"
		"<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">");
	xml_put(b, d->title);
	buf_put(b, "</rdf:li></rdf:Alt></dc:title>\n<dc:creator><rdf:Seq><rdf:li>");
	xml_put(b, d->author);
	buf_put(b, "</rdf:li></rdf:Seq></dc:creator>\n"
		"<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">");
	xml_put(b, d->subject);
	buf_put(b, "</rdf:li></rdf:Alt></dc:description>\n</rdf:Description>\n");
	xmp_part(b, "pdf", "http://ns.adobe.com/pdf/1.3/");
	buf_format(b, "<pdf:Producer>%s</pdf:Producer>\n</rdf:Description>\n", producer);
	if (date) {
		xmp_part(b, "xmp", "http://ns.adobe.com/xap/1.0/");
		buf_format(b, "<xmp:CreateDate>%s</xmp:CreateDate>\n<xmp:ModifyDate>%s</xmp:ModifyDate>\n"
			"</rdf:Description>\n", date, date);
	}
	buf_put(b, "</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>");
}

static void date_set(struct pdf *p, HPDF_Dict info, struct date d)
{
	static const char *const keys[] = { "CreationDate", "ModDate" };
	const char *words = arena_format(p->arena, "D:%04d%02d%02d000000+00'00'", d.year, d.month, d.day);
	for (size_t i = 0; i < 2; i++)
		pdf_set_string(p, info, keys[i], words);
}

void pdf_metadata(struct pdf *p)
{
	const struct document *d = p->document;
	struct date date;
	const char *stamp = NULL;
	pdf_check(p, HPDF_SetInfoAttr(p->doc, HPDF_INFO_PRODUCER, producer));
	HPDF_Dict info = p->doc->info;
	pdf_set_words(p, info, "Title", d->title);
	pdf_set_words(p, info, "Author", d->author);
	pdf_set_words(p, info, "Subject", d->subject);
	if (d->stamp && strlen(d->stamp) >= 10 && date_read(arena_copy(p->arena, d->stamp, 10), &date)) {
		date_set(p, info, date);
		stamp = arena_format(p->arena, "%04d-%02d-%02dT00:00:00+00:00", date.year, date.month, date.day);
	}
	struct buf xmp;
	buf_init(&xmp, p->arena);
	xmp_write(p, &xmp, stamp);
	HPDF_Dict metadata = pdf_stream(p, xmp.bytes, xmp.length);
	pdf_set_name(p, metadata, "Type", "Metadata");
	pdf_set_name(p, metadata, "Subtype", "XML");
	pdf_set(p, p->doc->catalog, "Metadata", metadata);

	HPDF_Array ids = pdf_array_in(p, p->doc->trailer, "ID");
	for (int i = 0; i < 2; i++) {
		HPDF_BYTE *id = arena_alloc(p->arena, sizeof d->id);
		memcpy(id, d->id, sizeof d->id);
		HPDF_Binary binary = HPDF_Binary_New(p->doc->mmgr, id, sizeof d->id);
		if (!binary)
			pdf_fail(p);
		pdf_push(p, ids, binary);
	}
	HPDF_Dict profile = pdf_packed(p, (const char *)pdf_srgb_profile, PDF_SRGB_LENGTH, PDF_PACK_TEXT);
	pdf_set_number(p, profile, "N", 3);
	HPDF_Dict intent = pdf_object(p);
	static const char space[] = "sRGB IEC61966-2.1";
	pdf_set_name(p, intent, "Type", "OutputIntent");
	pdf_set_name(p, intent, "S", "GTS_PDFA1");
	pdf_set_string(p, intent, "OutputConditionIdentifier", space);
	pdf_set_string(p, intent, "Info", space);
	pdf_set(p, intent, "DestOutputProfile", profile);
	pdf_push(p, pdf_array_in(p, p->doc->catalog, "OutputIntents"), intent);
	pdf_set_string(p, p->doc->catalog, "Lang", d->language);
	HPDF_Dict viewer = pdf_dict_in(p, p->doc->catalog, "ViewerPreferences");
	pdf_check(p, HPDF_Dict_AddBoolean(viewer, "DisplayDocTitle", HPDF_TRUE));
}

static void bookmarks_write(struct pdf *p)
{
	HPDF_Outline above[4] = { NULL };
	for (size_t i = 0; i < p->pages->bookmark_count; i++) {
		const struct bookmark *b = &p->pages->bookmarks[i];
		HPDF_Outline parent = NULL;
		for (int level = b->level - 1; level > 0 && !parent; level--)
			parent = above[level];
		HPDF_Outline o = HPDF_CreateOutline(p->doc, parent, "-", NULL);
		if (!o)
			pdf_fail(p);
		pdf_set_words(p, o, "Title", b->title);
		destination_set(p, o, b->page, b->y);
		pdf_check(p, HPDF_Outline_SetOpened(o, HPDF_FALSE));
		above[b->level] = o;
		for (int level = b->level + 1; level < 4; level++)
			above[level] = NULL;
	}
	if (p->pages->bookmark_count > 1)
		pdf_check(p, HPDF_SetPageMode(p->doc, HPDF_PAGE_MODE_USE_OUTLINE));
}

static void links_write(struct pdf *p, size_t page)
{
	HPDF_Array annotations = NULL;
	for (const struct link *l = p->pages->pages[page].links; l; l = l->next) {
		const struct anchor *to = anchor_find(p->pages, l->target);
		if (!to)
			continue;
		if (!annotations)
			annotations = pdf_array_in(p, p->page_objects[page], "Annots");
		HPDF_Dict link = pdf_object(p);
		pdf_push(p, annotations, link);
		pdf_set_name(p, link, "Type", "Annot");
		pdf_set_name(p, link, "Subtype", "Link");
		pdf_set_number(p, link, "F", 4);
		HPDF_Array rect = pdf_array_in(p, link, "Rect"), border = pdf_array_in(p, link, "Border");
		const double corners[] = { l->x, l->y, l->x + l->width, l->y + l->height };
		for (size_t i = 0; i < 4; i++)
			pdf_push_real(p, rect, corners[i]);
		for (size_t i = 0; i < 3; i++)
			pdf_push_number(p, border, 0);
		destination_set(p, link, to->page, to->y);
		if (l->tag)
			pdf_tag_link(p, l->tag, link, page);
	}
}

/* Pages are made here, since the library's own way to make one falls when memory runs out in its midst.
 * The class of the objects tells the library to count them. */
static HPDF_Dict page_node(struct pdf *p, HPDF_Dict parent, const char *type, HPDF_UINT16 class)
{
	HPDF_Dict node = pdf_object(p);
	node->header.obj_class = (HPDF_UINT16)(node->header.obj_class | class);
	HPDF_Array kids = HPDF_Dict_GetItem(parent, "Kids", HPDF_OCLASS_ARRAY);
	if (!kids)
		pdf_fail(p);
	pdf_push(p, kids, node);
	pdf_set_name(p, node, "Type", type);
	pdf_set(p, node, "Parent", parent);
	return node;
}

static void pages_add(struct pdf *p)
{
	size_t count = p->pages->count;
	HPDF_Dict group = NULL, resources = pdf_object(p);
	p->page_objects = arena_array(p->arena, count, sizeof *p->page_objects);
	p->font_resources = pdf_dict_in(p, resources, "Font");
	p->picture_resources = pdf_dict_in(p, resources, "XObject");
	for (size_t i = 0; i < count; i++) {
		if (i % PAGES_PER_NODE == 0) {
			size_t rest = count - i;
			group = page_node(p, p->doc->root_pages, "Pages", HPDF_OSUBCLASS_PAGES);
			pdf_array_in(p, group, "Kids");
			pdf_set_number(p, group, "Count", (int)(rest < PAGES_PER_NODE ? rest : PAGES_PER_NODE));
		}
		HPDF_Dict page = page_node(p, group, "Page", HPDF_OSUBCLASS_PAGE);
		p->page_objects[i] = page;
		pdf_set(p, page, "Resources", resources);
		HPDF_Array box = pdf_array_in(p, page, "MediaBox");
		pdf_push_number(p, box, 0);
		pdf_push_number(p, box, 0);
		pdf_push_real(p, box, p->pages->width);
		pdf_push_real(p, box, p->pages->height);
	}
}

static void document_release(void *subject)
{
	HPDF_Free(subject);
}

static void document_open(struct pdf *p)
{
	p->doc = HPDF_New(NULL, NULL);
	if (!p->doc)
		arena_exhausted(p->arena);
	arena_defer(p->arena, document_release, p->doc);
	p->doc->pdf_version = HPDF_VER_14;
}

static HPDF_STATUS sink(HPDF_Stream stream, const HPDF_BYTE *bytes, HPDF_UINT length)
{
	buf_add(stream->attr, bytes, length);
	return HPDF_OK;
}

/* Saved straight into `out`: through the library's own stream every byte would be copied twice more. The
 * stream has to be in place before saving, and taken away again before the document is freed. */
static void document_save(struct pdf *p, struct buf *out)
{
	HPDF_Stream to = HPDF_CallbackWriter_New(p->doc->mmgr, sink, out);
	if (!to)
		pdf_fail(p);
	p->doc->stream = to;
	buf_reserve(out, p->stored + LIKELY_REST);
	pdf_check(p, HPDF_SaveToStream(p->doc));
	/* Saving does not look at all that it calls: a file without head or trailer would be called fine. */
	if (HPDF_GetError(p->doc) != HPDF_OK)
		pdf_fail(p);
	HPDF_FreeMem(p->doc->mmgr, to);
	p->doc->stream = NULL;
}

bool pdf_write(struct arena *a, const struct document *d, const struct typeface_set *faces, struct buf *out,
	struct pdf_result *result, const char **why)
{
	struct pdf *p = arena_alloc(a, sizeof *p);
	p->arena = a;
	p->document = d;
	p->faces = faces;
	p->pages = layout_document(a, d, faces);
	if (setjmp(p->failed)) {
		*why = p->why;
		return false;
	}
	document_open(p);
	pdf_metadata(p);
	pages_add(p);
	pdf_tags_begin(p);
	pdf_contents(p);
	for (size_t i = 0; i < p->pages->count; i++)
		links_write(p, i);
	bookmarks_write(p);
	pdf_fonts_finish(p);
	pdf_tags_finish(p);
	document_save(p, out);
	if (result)
		*result = (struct pdf_result){ p->pages->count, p->pages->missing };
	return true;
}
