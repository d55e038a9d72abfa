/* Drawings as SVG. Whatever words a drawing holds, the file is well-formed XML 1.0: checked by a
 * reader of the part of the grammar that such files use (productions of XML 1.0, 5th edition, named
 * beside each step). */
#include <criterion/criterion.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "type/svg.h"

static struct arena a;
static jmp_buf escape;

/* [2] Char */
static bool chars_allowed(const char *text)
{
	for (size_t left = strlen(text), taken; left; text += taken, left -= taken) {
		uint32_t c = 0;
		taken = utf8_decode(text, left, &c);
		if (!taken)
			return false;
		if (!(c == 9 || c == 10 || c == 13 || (c >= 0x20 && c <= 0xd7ff) ||
			    (c >= 0xe000 && c <= 0xfffd) || c >= 0x10000))
			return false;
	}
	return true;
}

/* [67] Reference: of the five that are predefined, [68]. */
static const char *skip_reference(const char *p)
{
	static const char *const known[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&apos;"};
	for (size_t i = 0; i < sizeof known / sizeof *known; i++)
		if (text_begins(p, known[i]))
			return p + strlen(known[i]);
	return NULL;
}

static size_t name_length(const char *p)
{
	return strspn(p, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-");
}

/* [41] Attribute, [10] AttValue: no < and no bare & in it. */
static const char *skip_attribute(const char *p)
{
	size_t n = name_length(p);
	if (!n || p[n] != '=' || p[n + 1] != '"')
		return NULL;
	for (p += n + 2; p && *p && *p != '"';)
		p = *p == '<' ? NULL : *p == '&' ? skip_reference(p) : p + 1;
	return p && *p == '"' ? p + 1 : NULL;
}

/* [39] element: begun and ended in pairs, one root. */
static bool well_formed(const char *text)
{
	struct {
		const char *name;
		size_t length;
	} open[16];
	size_t depth = 0, roots = 0;
	const char *p = text;
	if (!chars_allowed(text) || !text_begins(p, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"))
		return false;
	p += strlen("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
	while (*p) {
		if (*p == '&') {
			p = depth ? skip_reference(p) : NULL;
			if (!p)
				return false;
		} else if (*p != '<') {
			if ((!depth && *p != '\n') || text_begins(p, "]]>"))
				return false;
			p++;
		} else if (p[1] == '/') {
			size_t n = name_length(p + 2);
			if (!depth || n != open[depth - 1].length ||
				memcmp(p + 2, open[depth - 1].name, n) || p[2 + n] != '>')
				return false;
			depth--;
			p += n + 3;
		} else {
			size_t n = name_length(p + 1);
			if (!n || depth == 16 || (!depth && roots++))
				return false;
			open[depth].name = p + 1;
			open[depth++].length = n;
			for (p += n + 1; p && *p == ' ';)
				p = skip_attribute(p + 1);
			if (!p)
				return false;
			if (*p == '/') {
				depth--;
				p++;
			}
			if (*p++ != '>')
				return false;
		}
	}
	return !depth && roots == 1;
}

static struct drawing *some_drawing(const char *words)
{
	struct drawing *d = drawing_new(&a, 100, 50);
	struct draw *line = drawing_line(&a, d, 0, 0, 10, 50, 0.2);
	line->dash = 1;
	line->gap = 2;
	drawing_circle(&a, d, 20, 20, 3, 0, 0);
	drawing_text(&a, d, 1, 2, words, 7.5, ALIGN_CENTRE)->turn = 90;
	return d;
}

static const char *svg_of(const struct drawing *d, const char *title, const char *description)
{
	struct buf out;
	buf_init(&out, &a);
	svg_write(&out, d, title, description);
	return out.bytes;
}

TestSuite(type_svg);

Test(type_svg, the_checker_tells_what_is_not_well_formed)
{
#define HEAD "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
	static const char *const wrong[] = {"", "<svg/>", HEAD, HEAD "<svg>", HEAD "<svg></text>",
		HEAD "<svg/><svg/>", HEAD "<svg a=\"<\"/>", HEAD "<svg a=\"&\"/>",
		HEAD "<svg>&</svg>", HEAD "<svg>&nbsp;</svg>", HEAD "<svg>]]></svg>",
		HEAD "<svg>\x01</svg>", HEAD "<svg>\xff</svg>", HEAD "<svg>\xef\xbf\xbe</svg>",
		HEAD "x<svg/>"};
	cr_expect(well_formed(HEAD "<svg a=\"&lt;\"><b/>x &amp; y</svg>\n"));
	for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
		cr_expect_not(well_formed(wrong[i]), "%zu", i);
}

Test(type_svg, a_drawing_becomes_well_formed_text)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct drawing *d = some_drawing("a<b & \"c\"\x01>");
	const char *out = svg_of(d, "<title> & more", "seen < from above");
	cr_expect_str_eq(out, svg_of(d, "<title> & more", "seen < from above"));
	cr_expect(well_formed(out));
	cr_expect(strstr(out, "width=\"100mm\"") && strstr(out, "viewBox=\"0 0 100 50\""));
	/* y goes down in SVG: 0 stands at 50, 50 at 0. */
	cr_expect(strstr(out, "points=\"0,50 10,0\""));
	cr_expect(strstr(out, "stroke-dasharray=\"1 2\""));
	cr_expect(strstr(out, "<title>&lt;title&gt; &amp; more</title>"));
	cr_expect(strstr(out, "<desc>seen &lt; from above</desc>"));
	cr_expect(strstr(out, ">a&lt;b &amp; &quot;c&quot;&gt;</text>"), "no control character");
	cr_expect(strstr(out, "rotate(-90 1 48)"));
	cr_expect(text_ends(out, "</svg>\n"));
	cr_expect_not(strstr(svg_of(d, "t", NULL), "<desc>"));
	arena_release(&a);
}

Test(type_svg, hostile_words_do_no_harm)
{
	/* Markup, ends of sections, every control character, what XML forbids, malformed UTF-8:
	 * overlong, surrogate, cut. */
	static const char *const words[] = {"</text></svg><script>alert(1)</script>", "]]>",
		"<!-- --", "&#0;&#x1;&lt", "\" onload=\"x",
		"\x01\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b\x0c\x0d\x0e\x0f\x10\x1b\x1f\x7f",
		"\xef\xbf\xbe\xef\xbf\xbf", "\xc0\xaf", "\xed\xa0\x80", "\xf0\x9f\x9a", "\xff\xfe",
		"\xf4\x90\x80\x80", "", "&&&&<<<<>>>>''''"};
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
		const char *out = svg_of(some_drawing(words[i]), words[i], words[i]);
		cr_expect(well_formed(out), "%zu: %s", i, out);
		cr_expect_not(strstr(out, "<script"));
	}
	/* What is allowed stays. */
	cr_expect(strstr(svg_of(some_drawing("Tür – 2 m ≤ \xf0\x9f\x9a\xaa"), "t", NULL),
		"Tür – 2 m ≤ \xf0\x9f\x9a\xaa</text>"));
	arena_release(&a);
}

Test(type_svg, a_place_that_is_no_number_is_still_a_number)
{
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	struct drawing *d = drawing_new(&a, 10, 10);
	drawing_line(&a, d, NAN, INFINITY, -INFINITY, -0.0, 0.1);
	const char *out = svg_of(d, "", NULL);
	cr_expect(well_formed(out));
	cr_expect_not(strstr(out, "nan") || strstr(out, "inf") || strstr(out, "-0\""));
	arena_release(&a);
}
