#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <stdio.h>
#include <string.h>

#include "type_fake.h"

static struct arena arena;
static jmp_buf escape;
static struct typeface_set faces;
static struct document *doc;

static void begin(void)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
	faces = fake_faces();
	doc = document_new(&arena);
	doc->page_of = "Page %1 of %2";
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(type_layout, .init = begin, .fini = end);

static struct pages *layout(void)
{
	return layout_document(&arena, doc, &faces);
}

static const char *op_words(const struct op *op)
{
	return fake_words(&arena, op->glyphs, op->count);
}

/* The page, counted from 1, and the operation that shows exactly `words`; 0 and NULL when none does. */
static size_t find(const struct pages *p, const char *words, const struct op **found)
{
	for (size_t i = 0; i < p->count; i++)
		for (const struct op *op = p->pages[i].first; op; op = op->next)
			if (op->kind == OP_TEXT && strcmp(op_words(op), words) == 0) {
				if (found)
					*found = op;
				return i + 1;
			}
	return 0;
}

static const char *filler(int sentences)
{
	struct buf b;
	buf_init(&b, &arena);
	for (int i = 0; i < sentences; i++)
		buf_put(&b, "The leaf stops before it reaches the post and goes back. ");
	return b.bytes;
}

static struct doc_node *table(size_t columns)
{
	struct doc_node *t = doc_table(doc, columns, "A table");
	for (size_t i = 0; i < columns; i++)
		spans_add(&arena, &t->columns[i].head, arena_format(&arena, "Head%zu", i), 0);
	return t;
}

static void add_one_of_each(void)
{
	struct doc_node *n = doc_add(doc, DOC_LIST), *item = doc_add_to(doc, n, DOC_ITEM);
	spans_add(&arena, &doc_add_to(doc, item, DOC_PARAGRAPH)->spans, filler(3), 0);
	n = doc_add(doc, DOC_LITERAL);
	n->literal = "key: 0123456789012345678901234567890123456789012345678901234567890123456789"
		"01234567890123456789012345678901234567890123456789";
	n = doc_add(doc, DOC_BOX);
	spans_add(&arena, &doc_add_to(doc, n, DOC_PARAGRAPH)->spans, filler(4), SPAN_BOLD);
	n = table(3);
	n->columns[1].weight = 1;
	struct doc_row *row = doc_row(doc, n);
	doc_cell_text(doc, row, 0, "key");
	doc_cell_text(doc, row, 1, filler(5));
	doc_cell_text(doc, row, 2, "a-word-that-does-not-fit-anywhere-at-all-because-nobody-shortened-it-in-time");
	doc_add(doc, DOC_RULE);
	n = doc_add(doc, DOC_SIGN);
	spans_add(&arena, &n->spans, "Name, place, date", 0);
}

Test(type_layout, all_text_lies_within_the_margins)
{
	for (int i = 0; i < 20; i++) {
		doc_heading(doc, 1 + i % 3, "A heading that is long enough to be wrapped onto more than one line",
			NULL);
		doc_paragraph(doc, filler(i));
		add_one_of_each();
	}
	const struct pages *p = layout();
	cr_assert_gt(p->count, 5);
	for (size_t i = 0; i < p->count; i++)
		for (const struct op *op = p->pages[i].first; op; op = op->next) {
			if (op->kind != OP_TEXT)
				continue;
			cr_expect_geq(op->x, TEXT_LEFT - 1e-6, "%s", op_words(op));
			cr_expect_leq(op->x + op->width, TEXT_LEFT + TEXT_WIDTH + 1e-6, "%s", op_words(op));
			if (op->tag) {
				cr_expect_leq(op->y + 0.7 * op->size, TEXT_TOP, "%s", op_words(op));
				cr_expect_geq(op->y, TEXT_TOP - TEXT_HEIGHT, "%s", op_words(op));
			}
		}
}

Test(type_layout, every_page_says_its_number_and_the_count)
{
	for (int i = 0; i < 30; i++)
		doc_paragraph(doc, filler(20));
	const struct pages *p = layout();
	cr_assert_gt(p->count, 3);
	for (size_t i = 1; i <= p->count; i++)
		cr_expect_eq(find(p, arena_format(&arena, "Page %zu of %zu", i, p->count), NULL), i);
}

Test(type_layout, rows_stay_whole_and_the_head_comes_again)
{
	struct doc_node *t = table(2);
	for (int i = 0; i < 150; i++)
		doc_cell_text(doc, doc_row(doc, t), (size_t)(i % 2), arena_format(&arena, "a%d\nb%d\nc%d", i, i, i));
	const struct pages *p = layout();
	cr_assert_gt(p->count, 3);
	for (int i = 0; i < 150; i++) {
		size_t page = find(p, arena_format(&arena, "a%d", i), NULL);
		cr_expect_gt(page, 0);
		cr_expect_eq(find(p, arena_format(&arena, "b%d", i), NULL), page);
		cr_expect_eq(find(p, arena_format(&arena, "c%d", i), NULL), page);
	}
	for (size_t i = 0; i < p->count; i++) {
		int heads = 0;
		for (const struct op *op = p->pages[i].first; op; op = op->next)
			heads += op->kind == OP_TEXT && strcmp(op_words(op), "Head0") == 0;
		cr_expect_eq(heads, 1, "page %zu", i + 1);
	}
}

Test(type_layout, a_row_higher_than_a_page_is_split_between_its_lines)
{
	struct doc_node *t = table(2);
	struct buf b;
	buf_init(&b, &arena);
	for (int i = 0; i < 200; i++)
		buf_format(&b, "l%d\n", i);
	doc_cell_text(doc, doc_row(doc, t), 1, b.bytes);
	const struct pages *p = layout();
	size_t page = 1;
	for (int i = 0; i < 200; i++) {
		const struct op *op = NULL;
		size_t here = find(p, arena_format(&arena, "l%d", i), &op);
		cr_assert_geq(here, page, "l%d", i);
		page = here;
		cr_expect_geq(op->y, TEXT_TOP - TEXT_HEIGHT);
	}
	cr_expect_eq(page, p->count);
}

Test(type_layout, a_heading_stays_with_what_follows)
{
	for (int i = 0; i < 60; i++) {
		doc_heading(doc, 2, arena_format(&arena, "Part%d", i), NULL);
		doc_paragraph(doc, filler(3 + i % 7));
	}
	const struct pages *p = layout();
	for (size_t i = 0; i < p->count; i++) {
		const struct op *last = NULL;
		for (const struct op *op = p->pages[i].first; op; op = op->next)
			if (op->tag)
				last = op;
		cr_assert_not_null(last);
		cr_expect_neq(last->tag->kind, TAG_HEADING_2, "page %zu ends with a heading", i + 1);
	}
}

Test(type_layout, a_paragraph_leaves_no_single_line)
{
	for (int i = 0; i < 80; i++)
		doc_paragraph(doc, filler(4 + i % 5));
	const struct pages *p = layout();
	size_t *lines = arena_array(&arena, p->tag_count, sizeof *lines);
	for (size_t i = 0; i < p->count; i++)
		for (const struct op *op = p->pages[i].first; op; op = op->next)
			if (op->tag)
				lines[op->tag->number]++;
	for (size_t i = 0; i < p->count; i++) {
		size_t here = 0;
		const struct tag *tag = NULL;
		for (const struct op *op = p->pages[i].first; op; op = op->next) {
			if (!op->tag)
				continue;
			if (op->tag != tag) {
				cr_expect(!tag || here > 1 || lines[tag->number] == 1);
				here = 0;
			}
			tag = op->tag;
			here++;
		}
		cr_expect(!tag || here > 1 || lines[tag->number] == 1, "page %zu", i + 1);
	}
}

Test(type_layout, numbers_headings_and_lists_them_with_their_pages)
{
	doc_add(doc, DOC_CONTENTS);
	const char *const numbers[] = { "1 ", "1.1 ", "1.1.1 ", "2 ", "2.1 ", "2.2 " };
	const int levels[] = { 1, 2, 3, 1, 2, 2 };
	for (size_t i = 0; i < 6; i++) {
		doc_heading(doc, levels[i], arena_format(&arena, "Title%zu", i), arena_format(&arena, "t%zu", i));
		doc_paragraph(doc, filler(30));
	}
	struct spans *spans = &doc_paragraph(doc, "page:")->spans;
	spans_page(&arena, spans, "t5");
	const struct pages *p = layout();
	cr_expect_eq(p->bookmark_count, 6);
	for (size_t i = 0; i < 6; i++) {
		const struct anchor *anchor = anchor_find(p, arena_format(&arena, "t%zu", i));
		cr_assert_not_null(anchor);
		cr_expect_eq(p->bookmarks[i].page, anchor->page);
		const char *page = arena_format(&arena, "%zu", anchor->page + 1);
		bool listed = false, numbered = false;
		double y = 0;
		for (const struct op *op = p->pages[0].first; op; op = op->next) {
			if (op->kind != OP_TEXT)
				continue;
			if (op->tag && op->tag->kind == TAG_CONTENTS_ITEM &&
			    strcmp(op_words(op), arena_format(&arena, "Title%zu", i)) == 0)
				y = op->y;
			listed = listed || (op->tag && fabs(op->y - y) < 1e-6 && strcmp(op_words(op), page) == 0);
		}
		for (const struct op *op = p->pages[anchor->page].first; op; op = op->next)
			numbered = numbered || (op->kind == OP_TEXT && op->tag &&
				op->tag->kind <= TAG_HEADING_3 && strcmp(op_words(op), numbers[i]) == 0);
		cr_expect_eq(listed, levels[i] < 3, "Title%zu on page %s", i, page);
		cr_expect(numbered, "Title%zu", i);
	}
	cr_expect_gt(find(p, arena_format(&arena, "%zu", anchor_find(p, "t5")->page + 1), NULL), 0);
}

Test(type_layout, decimal_points_stand_below_each_other)
{
	const char *const values[] = { "9.75", "120", "-3.5 mm", "0.125" };
	const size_t before[] = { 1, 3, 2, 1 }; /* characters before the point */
	struct doc_node *t = table(2);
	t->columns[1].align = ALIGN_DECIMAL;
	for (size_t i = 0; i < 4; i++)
		doc_cell_text(doc, doc_row(doc, t), 1, values[i]);
	const struct pages *p = layout();
	double point = 0;
	for (size_t i = 0; i < 4; i++) {
		const struct op *op = NULL;
		cr_assert_eq(find(p, values[i], &op), 1);
		double here = op->x + (double)before[i] * op->size / 2;
		if (i == 0)
			point = here;
		cr_expect(fabs(here - point) < 1e-6, "%s", values[i]);
	}
}

Test(type_layout, a_line_to_sign_on_is_not_alone_on_its_page)
{
	for (int fill = 1; fill < 14; fill++) {
		doc = document_new(&arena);
		for (int i = 0; i < 11; i++)
			doc_paragraph(doc, filler(i == 0 ? 2 * fill : 8));
		doc_paragraph(doc, "declaration");
		spans_add(&arena, &doc_add(doc, DOC_SIGN)->spans, "signatory", 0);
		const struct pages *p = layout();
		cr_expect_gt(find(p, "signatory", NULL), 0);
		cr_expect_eq(find(p, "signatory", NULL), find(p, "declaration", NULL));
	}
}

Test(type_layout, an_empty_document_is_one_page)
{
	cr_expect_eq(layout()->count, 1);
	doc_add(doc, DOC_PAGE_BREAK);
	doc_add(doc, DOC_PAGE_BREAK);
	cr_expect_eq(layout()->count, 1);
	doc_paragraph(doc, "x");
	cr_expect_eq(layout()->count, 1);
}

Test(type_layout, reports_characters_that_no_face_has)
{
	doc_paragraph(doc, "a \xE2\x98\x83");
	doc->foot = "\xE2\x98\x83";
	const struct pages *p = layout();
	cr_assert_not_null(p->missing);
	cr_expect_eq(p->missing->code, FAKE_MISSING);
	cr_expect_eq(p->missing->count, 2);
}
