/* Templates: CommonMark as its specification 0.30 has it (section named beside each case), and the
 * contract of doc/template.h. */
#include <criterion/criterion.h>
#include <setjmp.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "doc/template.h"

TestSuite(doc_template);

static struct arena a;
static jmp_buf escape;
static struct findings findings;
static struct document *document;

static const char *value(void *subject, const char *name)
{
	(void)subject;
	if (text_equal(name, "owner"))
		return "A **bold** <b>owner</b> & Co {{gate}}\n# not a heading";
	return text_equal(name, "gate") ? "North gate" : NULL;
}

static bool block(void *subject, const char *name)
{
	(void)subject;
	if (!text_equal(name, "table"))
		return false;
	doc_paragraph(document, "[table]");
	return true;
}

static const char *expand(const char *text, bool numbered)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	findings_init(&findings, &a);
	document = document_new(&a);
	struct template t = {.value = value, .block = block, .numbered = numbered, .findings = &findings};
	struct phrase source = {"test", text, {"test.md", 1, 1}};
	template_expand(document, &source, &t);
	return document_dump(&a, document);
}

static void check(const char *text, const char *expected)
{
	cr_expect_str_eq(expand(text, true), expected);
	cr_expect_eq(findings.count, 0);
	arena_release(&a);
}

Test(doc_template, headings_take_their_label)
{
	/* 4.2 ATX headings; level 4 and deeper are set as level 3 */
	check("# Force tests\n\n## Curves, as made {#curves}\n\n##### Deep\n",
		"document \"\"\n"
		"  heading 1 numbered #force-tests \"Force tests\"\n"
		"  heading 2 numbered #curves \"Curves, as made\"\n"
		"  heading 3 numbered #deep \"Deep\"\n");
}

Test(doc_template, without_numbers_the_first_heading_is_the_title)
{
	cr_expect_str_eq(expand("# Declaration\n", false),
		"document \"\"\n  heading 0 #declaration \"Declaration\"\n");
	arena_release(&a);
}

Test(doc_template, inlines_become_styles)
{
	/* 6.2 emphasis, 6.1 code spans, 6.3 links, 6.7 hard and 6.8 soft line breaks */
	check("One *two* **three** ***four*** `five` [six](http://seven.example)\\\neight\nnine\n",
		"document \"\"\n"
		"  paragraph \"One \" i\"two\" \" \" b\"three\" \" \" bi\"four\" \" \" m\"five\" \" \" \"six\""
		" \"\\n\" \"eight\" \" \" \"nine\"\n");
}

Test(doc_template, containers_nest)
{
	/* 5.1 block quotes, 5.3 lists, 4.1 thematic breaks, 4.5 fenced code */
	check("> Mind the leaf.\n\n1. First\n2. Second\n   - inner\n\n***\n\n```\nas  is\n```\n",
		"document \"\"\n"
		"  box\n"
		"    paragraph \"Mind the leaf.\"\n"
		"  list numbered\n"
		"    item\n"
		"      paragraph \"First\"\n"
		"    item\n"
		"      paragraph \"Second\"\n"
		"      list\n"
		"        item\n"
		"          paragraph \"inner\"\n"
		"  rule\n"
		"  literal \"as  is\\n\"\n");
}

Test(doc_template, values_are_never_markup)
{
	check("Of *{{ owner }}*, {{gate}}.\n\n# {{gate}}\n",
		"document \"\"\n"
		"  paragraph \"Of \" i\"A **bold** <b>owner</b> & Co {{gate}}\\n# not a heading\""
		" \", North gate.\"\n"
		"  heading 1 numbered #north-gate \"North gate\"\n");
}

Test(doc_template, a_paragraph_of_its_own_calls_a_block)
{
	check("Before.\n\n{{block table}}\n\nBraces {{ or, and {{block table}} in a line stay.\n",
		"document \"\"\n"
		"  paragraph \"Before.\"\n"
		"  paragraph \"[table]\"\n"
		"  paragraph \"Braces {{ or, and {{block table}} in a line stay.\"\n");
}

static void check_fault(const char *text, enum finding_code code, const char *name, int line)
{
	expand(text, true);
	cr_assert_eq(findings.count, 1, "%s: %zu findings", text, findings.count);
	cr_expect_eq(findings.items[0]->code, code, "%s: %s", text, finding_name(findings.items[0]->code));
	cr_expect_str_eq(findings.items[0]->subject, name);
	cr_expect_str_eq(findings.items[0]->at.file, "test.md");
	cr_expect_eq(findings.items[0]->at.line, line, "%s: line %d", text, findings.items[0]->at.line);
	arena_release(&a);
}

Test(doc_template, faults_are_reported_with_their_line)
{
	check_fault("Fine.\n\nOf {{ownr}}.\n", FINDING_CODE_TEMPLATE_PLACEHOLDER, "ownr", 3);
	check_fault("Fine.\n\n{{block tabel}}\n", FINDING_CODE_TEMPLATE_BLOCK, "tabel", 3);
	check_fault("> {{block table}}\n", FINDING_CODE_TEMPLATE_NESTED, "table", 1);
	check_fault("A\n\n<table>\n</table>\n", FINDING_CODE_TEMPLATE_MARKUP, "html_block", 3);
	check_fault("An <b>inline\n", FINDING_CODE_TEMPLATE_MARKUP, "html_inline", 1);
	check_fault("![picture](x.png)\n", FINDING_CODE_TEMPLATE_MARKUP, "image", 1);
}

Test(doc_template, an_unknown_placeholder_stays_to_be_seen)
{
	cr_expect(strstr(expand("Of {{ownr}}.\n", true), "{{ownr}}") != NULL);
	arena_release(&a);
}

Test(doc_template, comments_are_dropped)
{
	check("<!-- for translators -->\n\nText <!-- here -->.\n",
		"document \"\"\n  paragraph \"Text \" \".\"\n");
}

Test(doc_template, nesting_has_an_end)
{
	char deep[4000];
	memset(deep, '>', sizeof deep - 3);
	memcpy(deep + sizeof deep - 3, "x\n", 3);
	expand(deep, true);
	cr_expect(findings.count >= 1);
	cr_expect_eq(findings.items[0]->code, FINDING_CODE_TEMPLATE_MARKUP);
	arena_release(&a);
	size_t n = 0;
	for (int i = 0; i < 900; i++)
		n += (size_t)snprintf(deep + n, sizeof deep - n, "*a ");
	deep[n++] = 'b';
	for (int i = 0; i < 900; i++)
		deep[n++] = '*';
	deep[n] = '\0';
	expand(deep, true);
	cr_expect(findings.count >= 1);
	arena_release(&a);
}
