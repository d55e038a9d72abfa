#include <criterion/criterion.h>
#include <setjmp.h>

#include "doc/tree.h"

TestSuite(doc_tree);

Test(doc_tree, dump_shows_structure_marks_and_links)
{
	struct arena a;
	jmp_buf escape;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct document *d = document_new(&a);
	d->title = "A \"gate\"";
	doc_heading(d, 2, "Forces", "forces");
	struct doc_node *p = doc_paragraph(d, "See ");
	spans_link(&a, &p->spans, "forces", "forces")->style = SPAN_BOLD | SPAN_GREY;
	spans_page(&a, &p->spans, "forces");
	struct doc_node *list = doc_add(d, DOC_LIST);
	spans_add(&a, &doc_add_to(d, doc_add_to(d, list, DOC_ITEM), DOC_PARAGRAPH)->spans, "x\ny", 0);
	struct doc_node *t = doc_table(d, 2, "Peaks");
	t->columns[1].align = ALIGN_DECIMAL;
	t->columns[1].weight = 0.5;
	struct doc_row *row = doc_row(d, t);
	row->cells[0].across = 2;
	row->cells[1].across = 0;
	doc_cell_text(d, row, 0, "1.5 mm");
	struct doc_node *f = doc_add(d, DOC_FIGURE);
	f->drawing = drawing_new(&a, 100, 50);
	drawing_line(&a, f->drawing, 1, 2, 3, 4, 0.2);
	cr_expect_str_eq(document_dump(&a, d),
		"document \"A \\\"gate\\\"\"\n"
		"  heading 2 numbered #forces \"Forces\"\n"
		"  paragraph \"See \" bg\"forces\"->forces page->forces\n"
		"  list\n"
		"    item\n"
		"      paragraph \"x\\ny\"\n"
		"  table alt \"Peaks\"\n"
		"    column l 0\n"
		"    column d 0.5\n"
		"    row |2 \"1.5 mm\"\n"
		"  figure 100 x 50 mm\n"
		"    line 2 1,2\n");
	arena_release(&a);
}

Test(doc_tree, shapes_are_not_filled_unless_asked)
{
	struct arena a;
	jmp_buf escape;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct drawing *d = drawing_new(&a, 10, 10);
	cr_expect(drawing_line(&a, d, 0, 0, 1, 1, 0.1)->fill < 0);
	cr_expect(drawing_circle(&a, d, 5, 5, 2, 0.1, 0.5)->fill == 0.5);
	cr_expect_eq(d->last->count, 1);
	arena_release(&a);
}
