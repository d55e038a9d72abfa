#include <criterion/criterion.h>
#include <setjmp.h>
#include <string.h>
#include <zlib.h>

#include "sys/embedded.h"
#include "type/pdf.h"

static struct arena arena;
static jmp_buf escape;
static struct typeface_set faces;

static void begin(void)
{
	struct typeface_bytes files[FACE_COUNT];
	const char *why = NULL;
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
	for (int i = 0; i < FACE_COUNT; i++) {
		const struct embedded_file *f = embedded_find(typeface_file((enum face)i));
		cr_assert_not_null(f);
		files[i] = (struct typeface_bytes){ f->bytes, f->length };
	}
	cr_assert(typeface_set_load(&arena, files, &faces, &why), "%s", why);
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(type_pdf, .init = begin, .fini = end);

static struct document *sample(void)
{
	struct document *d = document_new(&arena);
	d->title = "Gate <1> & wicket – Łódź";
	d->stamp = "2026-11-25";
	d->language = "en-IE";
	memcpy(d->id, "\x00\x01\x02\x03(\\)<>\xFF\xFE\x80zzzz", sizeof d->id);
	doc_add(d, DOC_CONTENTS);
	doc_heading(d, 1, "First", "first");
	struct doc_node *p = doc_paragraph(d, "Ω ≤ ≥ ✓ ");
	spans_link(&arena, &p->spans, "see the table", "row");
	spans_link(&arena, &p->spans, "to nowhere", "unknown");
	struct doc_node *t = doc_table(d, 2, "A table");
	struct doc_row *row = doc_row(d, t);
	row->label = "row";
	doc_cell_text(d, row, 0, "1.5 mm");
	struct doc_node *f = doc_add(d, DOC_FIGURE);
	f->drawing = drawing_new(&arena, 50, 30);
	f->summary = "A circle";
	drawing_circle(&arena, f->drawing, 10, 10, 5, 0.2, 0.9);
	drawing_text(&arena, f->drawing, 10, 10, "turned ✓", 8, ALIGN_CENTRE)->turn = 90;
	static const unsigned char pixels[2 * 2 * 3] = { 255, 0, 0, 0, 255, 0, 0, 0, 255, 9, 9, 9 };
	static const struct doc_picture picture = { .width = 2, .height = 2, .channels = 3, .pixels = pixels };
	struct doc_node *n = doc_add(d, DOC_PICTURE);
	n->picture = &picture;
	n->width = 20;
	return d;
}

static struct buf written(const struct document *d, struct pdf_result *result)
{
	struct buf out;
	const char *why = NULL;
	buf_init(&out, &arena);
	cr_assert(pdf_write(&arena, d, &faces, &out, result, &why), "%s", why);
	return out;
}

static bool holds(const struct buf *b, const char *words)
{
	return memmem(b->bytes, b->length, words, strlen(words)) != NULL;
}

Test(type_pdf, the_same_document_gives_the_same_bytes)
{
	struct pdf_result result = { 0 };
	struct buf one = written(sample(), &result), two = written(sample(), NULL);
	cr_expect_eq(result.pages, 1);
	cr_expect_null(result.missing);
	cr_assert_eq(one.length, two.length);
	cr_expect_eq(memcmp(one.bytes, two.bytes, one.length), 0);
}

/* ISO 19005-1, 6.1.3 (identifier), 6.7.3 (dates agree), 6.7.11 (version and level): memory */
Test(type_pdf, metadata_are_those_of_the_document)
{
	struct buf out = written(sample(), NULL);
	cr_expect_eq(strncmp(out.bytes, "%PDF-1.4", 8), 0);
	cr_expect(holds(&out, "<pdfaid:part>1</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>"));
	cr_expect(holds(&out, ">Gate &lt;1&gt; &amp; wicket – Łódź<"));
	cr_expect(holds(&out, "<xmp:CreateDate>2026-11-25T00:00:00+00:00</xmp:CreateDate>"));
	cr_expect(holds(&out, "/CreationDate (D:20261125000000+00'00')") ||
		holds(&out, "/CreationDate (D:20261125000000+00\\'00\\')"));
	cr_expect(holds(&out, "/Lang (en-IE)") || holds(&out, "/Lang (en\\055IE)"));
	cr_expect(holds(&out, "<00010203285C293C3EFFFE807A7A7A7A>"));
	cr_expect(holds(&out, "/StructTreeRoot"));
	cr_expect(holds(&out, "/Subtype /XML"));
}

Test(type_pdf, links_go_only_to_what_exists)
{
	struct buf out = written(sample(), NULL);
	size_t links = 0;
	for (const char *at = out.bytes; (at = memmem(at, out.length - (size_t)(at - out.bytes),
		"/Subtype /Link", 14)); at++)
		links++;
	cr_expect_eq(links, 2, "one in the contents, one in the text");
}

/* ISO 32000-1, 7.4.4.4: the predictor is told beside the filter, in the same form (both single). memory */
Test(type_pdf, pictures_tell_their_predictor)
{
	static unsigned char pixels[64 * 64];
	static const struct doc_picture picture = { .width = 64, .height = 64, .channels = 1, .pixels = pixels };
	struct document *d = document_new(&arena);
	for (int y = 0; y < 64; y++)
		for (int x = 0; x < 64; x++)
			pixels[y * 64 + x] = (unsigned char)(x * 4 + y);
	doc_add(d, DOC_PICTURE)->picture = &picture;
	struct buf out = written(d, NULL);
	const char *image = memmem(out.bytes, out.length, "/Subtype /Image", 15);
	cr_assert_not_null(image);
	cr_expect(holds(&out, "/DecodeParms <<"));
	cr_expect(holds(&out, "/Predictor 15"));
	cr_expect(holds(&out, "/Colors 1"));
	cr_expect(holds(&out, "/Columns 64"));
	cr_expect(holds(&out, "/Filter /FlateDecode"));
	/* The first row as it is, then the difference of 1 to the row above: PNG specification, 9.2, filter 2. */
	const char *stream = memmem(image, out.length - (size_t)(image - out.bytes), "stream", 6);
	cr_assert_not_null(stream);
	stream += stream[6] == '\r' ? 8 : 7;
	unsigned char rows[64 * 65];
	uLongf length = sizeof rows;
	cr_assert_eq(uncompress(rows, &length, (const Bytef *)stream,
		out.length - (size_t)(stream - out.bytes)), Z_OK);
	cr_assert_eq(length, sizeof rows);
	for (int y = 0; y < 64; y++)
		for (int x = 0; x < 64; x++)
			cr_assert_eq(rows[y * 65 + 1 + x], y == 0 ? x * 4 : 1);
	cr_expect_eq(rows[65], 2);
}

Test(type_pdf, says_which_characters_were_not_shown)
{
	struct document *d = document_new(&arena);
	struct pdf_result result = { 0 };
	doc_paragraph(d, "漢漢 \x07");
	written(d, &result);
	cr_assert_not_null(result.missing);
	cr_expect_eq(result.missing->code, 0x6F22);
	cr_expect_eq(result.missing->count, 2);
	cr_expect_eq(result.missing->next->code, 7);
}

Test(type_pdf, takes_documents_without_anything)
{
	struct document *d = document_new(&arena);
	d->stamp = "not a date";
	d->title = "";
	struct buf out = written(d, NULL);
	cr_expect_not(holds(&out, "CreationDate"));
}
