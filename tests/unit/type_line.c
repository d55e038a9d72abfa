/* Widths by hand: the made-up face sets 5 pt a character at 10 pt. */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "type/line.h"
#include "type_fake.h"

static struct arena arena;
static jmp_buf escape;
static struct typeface_set faces;
static struct setter setter;
static const struct text_style style = { 10, 8, 0, 0 };

static void begin(void)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&arena, &escape);
	faces = fake_faces();
	setter = (struct setter){ .arena = &arena, .faces = &faces };
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(type_line, .init = begin, .fini = end);

/* The lines with '|' between them. */
static const char *broken(const char *words, double width)
{
	struct text t = text_prepare_plain(&setter, words, &style);
	struct lines lines = text_break(&arena, &t, width);
	struct buf b;
	buf_init(&b, &arena);
	for (const struct line *line = lines.first; line; line = line->next) {
		cr_expect_leq(line->width, width + 1e-6, "%s", words);
		if (line != lines.first)
			buf_char(&b, '|');
		for (const struct run *r = line->runs; r; r = r->next)
			buf_put(&b, fake_words(&arena, r->glyphs, r->count));
	}
	return b.bytes;
}

Test(type_line, breaks_at_blanks_and_keeps_the_blank_outside_the_width)
{
	cr_expect_str_eq(broken("one two six", 35), "one two |six");
	cr_expect_str_eq(broken("one two six", 34), "one |two |six");
	cr_expect_str_eq(broken("", 35), "");
	cr_expect_str_eq(broken("a  b", 7), "a  |b");
}

Test(type_line, obeys_forced_breaks)
{
	cr_expect_str_eq(broken("a\nb\n\nc", 100), "a|b||c");
	cr_expect_str_eq(broken("a\n", 100), "a");
}

Test(type_line, keeps_what_belongs_together)
{
	cr_expect_str_eq(broken("gap 62\xC2\xA0mm", 35), "gap |62\xC2\xA0mm");
	cr_expect_str_eq(broken("gap 62 mm", 35), "gap |62 mm");
	cr_expect_str_eq(broken("gap 62 xx", 35), "gap 62 |xx");
	cr_expect_str_eq(broken("gap is 62 mm \xC2\xB1 3 mm", 60), "gap is 62 mm |\xC2\xB1 3 mm");
	cr_expect_str_eq(broken("abc \xE2\x80\x93 de", 25), "abc \xE2\x80\x93 |de");
	cr_expect_str_eq(broken("hold-to-run", 40), "hold-to-|run");
	cr_expect_str_eq(broken("at 2026-11-25", 40), "at |2026-11-|25");
}

Test(type_line, breaks_a_word_wider_than_the_box)
{
	cr_expect_str_eq(broken("abcdefghij", 20), "abcd|efgh|ij");
	cr_expect_str_eq(broken("a/bcdefgh", 25), "a/bcd|efgh");
	cr_expect_str_eq(broken("abc/defgh", 25), "abc/|defgh");
	struct text t = text_prepare_plain(&setter, "abc", &style);
	cr_expect_eq(text_break(&arena, &t, 0).count, 3, "never an endless loop");
}

Test(type_line, measures_least_and_wanted_width)
{
	struct text t = text_prepare_plain(&setter, "gap 62 mm\nword", &style);
	cr_expect(fabs(t.least - 25) < 1e-9);
	cr_expect(fabs(t.wanted - 45) < 1e-9);
}

Test(type_line, styles_make_runs_and_links_keep_their_target)
{
	struct spans spans = { NULL, NULL };
	spans_add(&arena, &spans, "see ", 0);
	spans_link(&arena, &spans, "there", "label");
	spans_add(&arena, &spans, "x", SPAN_MONO | SPAN_SMALL);
	struct text t = text_prepare(&setter, &spans, &style);
	const struct run *r = text_break(&arena, &t, HUGE_VAL).first->runs;
	cr_expect_null(r->span->target);
	cr_expect_str_eq(r->next->span->target, "label");
	cr_expect(fabs(r->next->x - 20) < 1e-9);
	cr_expect_eq(r->next->next->face, FACE_MONO);
	cr_expect_eq(r->next->next->span->size, 8);
}

Test(type_line, says_what_it_cannot_show)
{
	struct text t = text_prepare_plain(&setter, "a\xE2\x98\x83\xE2\x98\x83\x01\xFF", &style);
	cr_expect_str_eq(fake_words(&arena, t.glyphs, t.count),
		"a\xE2\x96\xA1\xE2\x96\xA1\xE2\x96\xA1\xE2\x96\xA1");
	cr_expect_eq(setter.missing->code, FAKE_MISSING);
	cr_expect_eq(setter.missing->count, 2);
	cr_expect_eq(setter.missing->next->code, 1);
	cr_expect_eq(setter.missing->next->next->code, 0xFFFD);
	cr_expect_null(setter.missing->next->next->next);
}

Test(type_line, an_unknown_page_is_a_dash)
{
	struct spans spans = { NULL, NULL };
	spans_page(&arena, &spans, "nowhere");
	struct text t = text_prepare(&setter, &spans, &style);
	cr_expect_str_eq(fake_words(&arena, t.glyphs, t.count), "\xE2\x80\x93");
}
