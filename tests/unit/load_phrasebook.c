#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "load/phrasebook.h"

static jmp_buf escape;
static struct arena a;
static struct findings found;
static struct phrasebook book;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&found, &a);
	memset(&book, 0, sizeof book);
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(load_phrasebook, .init = setup, .fini = teardown);

static bool add(const char *file, const char *text)
{
	return phrasebook_add(&a, &book, text, strlen(text), file, &found);
}

static void expect_finding(size_t i, enum finding_code code, const char *file, int line, int column)
{
	cr_assert_gt(found.count, i);
	cr_expect_eq(found.items[i]->code, code, "%s", finding_name(found.items[i]->code));
	cr_expect_str_eq(found.items[i]->at.file, file);
	cr_expect_eq(found.items[i]->at.line, line);
	cr_expect_eq(found.items[i]->at.column, column);
}

Test(load_phrasebook, groups_are_flattened_over_files)
{
	cr_expect(add("templates/en/zones.yaml", "zones:\n  tail: {title: Tail, facts: {gap: How wide?}}\n"));
	cr_expect(add("templates/en/more.yaml",
		"fields:\n  \"drive.thrust\": {title: Thrust}\nlabels: {zone: Zone}\n"));
	phrasebook_finish(&a, &book, &found);
	cr_expect_eq(found.count, 0);
	cr_expect_str_eq(phrasebook_part(&book, "zones", "tail", "title"), "Tail");
	cr_expect_str_eq(phrasebook_find(&book, "zones.tail.facts.gap"), "How wide?");
	cr_expect_str_eq(phrasebook_part(&book, "fields", "drive.thrust", "title"), "Thrust");
	cr_expect_str_eq(phrasebook_find(&book, "labels.zone"), "Zone");
	cr_expect_null(phrasebook_find(&book, "labels.zon"));
	cr_expect_null(phrasebook_part(&book, "zones", "tail", "text"));
}

Test(load_phrasebook, the_file_of_findings_is_their_group)
{
	cr_expect(add("en/findings.yaml", "zone-open: {message: Open.}\n"));
	cr_expect(add("en/findings-gate.yaml", "findings:\n  zone-risk: {message: Risk.}\n"));
	phrasebook_finish(&a, &book, &found);
	cr_expect_str_eq(phrasebook_part(&book, "findings", "zone-open", "message"), "Open.");
	cr_expect_str_eq(phrasebook_part(&book, "findings", "zone-risk", "message"), "Risk.");
}

Test(load_phrasebook, documents_are_kept_by_name)
{
	cr_expect(add("templates/en/technical-file.md", "# File\n\n{{block cover}} and {{gate.name\n"));
	cr_expect(add("templates/en/declaration.md", "Declared.\n"));
	phrasebook_finish(&a, &book, &found);
	cr_expect_eq(found.count, 0, "what stands in a document is for the document to judge");
	cr_expect_str_eq(phrasebook_document(&book, "declaration"), "Declared.\n");
	cr_expect_not_null(phrasebook_document(&book, "technical-file"));
	cr_expect_null(phrasebook_document(&book, "plate"));
}

Test(load_phrasebook, what_was_given_twice_is_told_and_the_first_stays)
{
	cr_expect(add("b.yaml", "labels: {zone: Second}\n"));
	cr_expect(add("a.yaml", "labels:\n  zone: First\n"));
	phrasebook_finish(&a, &book, &found);
	cr_assert_eq(found.count, 1);
	expect_finding(0, FINDING_CODE_WORDS_DUPLICATE, "b.yaml", 1, 16);
	cr_expect_str_eq(found.items[0]->values->next->value, "a.yaml:2");
	cr_expect_str_eq(phrasebook_find(&book, "labels.zone"), "First");
	cr_expect_eq(book.count, 1);
}

Test(load_phrasebook, bad_files_are_told)
{
	cr_expect_not(add("a.yaml", "labels:\n  zones: [a, b]\n"));
	expect_finding(0, FINDING_CODE_WORDS_SHAPE, "a.yaml", 2, 10);
	cr_expect_not(add("b.yaml", "labels:\n  zone: Zone {{Name}}\n"));
	expect_finding(1, FINDING_CODE_WORDS_PLACEHOLDER, "b.yaml", 2, 9);
	cr_expect_not(add("c.yaml", "labels:\n  zone: Zone {{name\n"));
	expect_finding(2, FINDING_CODE_WORDS_PLACEHOLDER, "c.yaml", 2, 9);
	cr_expect_not(add("d.yaml", "- words\n"));
	expect_finding(3, FINDING_CODE_WORDS_SHAPE, "d.yaml", 1, 1);
	cr_expect_not(add("e.md", "fine\nno\xFF t"));
	expect_finding(4, FINDING_CODE_WORDS_ENCODING, "e.md", 2, 3);
	cr_expect_not(phrasebook_add(&a, &book, "a\0b", 3, "f.md", &found));
	expect_finding(5, FINDING_CODE_WORDS_ENCODING, "f.md", 1, 2);
	cr_expect_not(add("g.yaml", "labels: {a: 1, a: 2}\n"));
	expect_finding(6, FINDING_CODE_YAML_DUPLICATE, "g.yaml", 1, 16);
	cr_expect_eq(found.count, 7);
}

Test(load_phrasebook, an_empty_book_has_nothing)
{
	phrasebook_finish(&a, &book, &found);
	cr_expect_null(phrasebook_find(&book, "labels.zone"));
	cr_expect_null(phrasebook_document(&book, "plate"));
}

static const char *upper(void *subject, const char *name)
{
	const char *seen = *(const char **)subject;
	return text_equal(name, seen) ? "{{other}} $1 \\0" : NULL;
}

Test(load_phrasebook, placeholders_take_values_once)
{
	const char *name = "gate.name";
	cr_expect_str_eq(phrase_expand(&a, "A {{gate.name}}, {{ gate.name }}.", upper, &name),
		"A {{other}} $1 \\0, {{other}} $1 \\0.");
	cr_expect_str_eq(phrase_expand(&a, "{{gate.nam}} {{gate.name}}", upper, &name),
		"{{gate.nam}} {{other}} $1 \\0");
	cr_expect_str_eq(phrase_expand(&a, "{{ {{gate.name}} {{{gate.name}}}", upper, &name),
		"{{ {{other}} $1 \\0 {{{other}} $1 \\0}");
	cr_expect_str_eq(phrase_expand(&a, "", upper, &name), "");
	cr_expect_str_eq(phrase_expand(&a, "größer {{gate.name", upper, &name), "größer {{gate.name");
}

Test(load_phrasebook, findings_are_filled_with_values_titles_and_their_subject)
{
	add("findings.yaml", "zone-open:\n  message: \"{{zone in zones}} ({{zone}}) of {{subject}}: {{left}}\"\n"
			     "  ways: {widen: \"Widen {{zone in zones}} by {{by}}.\"}\n");
	add("zones.yaml", "zones: {tail: {title: The tail}}\n");
	add("ways.yaml", "ways: {ask: \"Ask {{whom}}.\"}\n");
	phrasebook_finish(&a, &book, &found);
	struct findings list;
	findings_init(&list, &a);
	struct finding *f = finding_add(&list, FINDING_CODE_ZONE_OPEN, "zones[tail@gate]", (struct place){0});
	finding_with(&list, f, "zone", "tail");
	struct way *w = finding_way(&list, f, "widen");
	way_with(&list, way_with(&list, w, "zone", "unheard-of"), "by", "3 mm");
	struct way *ask = finding_way(&list, f, "ask");
	way_with(&list, ask, "whom", "the maker");
	cr_expect_str_eq(phrase_finding(&a, &book, f), "The tail (tail) of zones[tail@gate]: {{left}}");
	cr_expect_str_eq(phrase_way(&a, &book, f, w), "Widen unheard-of by 3 mm.");
	cr_expect_str_eq(phrase_way(&a, &book, f, ask), "Ask the maker.");
	cr_expect_str_eq(phrase_way(&a, &book, f, finding_way(&list, f, "gone")), "gone");
	/* Several: titles apart, sentences one after the other; the semicolon parts titles that hold commas. */
	add("more.yaml", "more: {one: {title: \"a, b\"}, two: {title: c}, three: {title: C.}, four: {title: D.}}\n"
			 "ways: {all: \"{{ids in more}}\"}\n");
	phrasebook_finish(&a, &book, &found);
	struct way *all = finding_way(&list, f, "all");
	way_with(&list, all, "ids", "one, two, three, four");
	cr_expect_str_eq(phrase_way(&a, &book, f, all), "a, b; c; C. D.");
	struct finding *bare = finding_add(&list, FINDING_CODE_ZONE_RISK, "x", (struct place){0});
	cr_expect_str_eq(phrase_finding(&a, &book, bare), "zone-risk");
}
