#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "yaml/bind.h"

static jmp_buf escape;
static struct arena a;
static struct findings found;
static struct bind b;

static void setup(void)
{
	arena_init(&a, &escape);
	findings_init(&found, &a);
	b = (struct bind){.arena = &a, .findings = &found};
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(yaml_bind, .init = setup, .fini = teardown);

/* The value of `v` in a document written in flow form. */
static const struct node *node(const char *value)
{
	const char *text = arena_format(&a, "v: %s\n", value);
	const struct node *root = tree_read(&a, text, strlen(text), "f.yaml", &found);
	cr_assert_not_null(root, "%s", value);
	return node_get(root, "v");
}

static const char *last(void)
{
	return found.count ? finding_name(found.items[found.count - 1]->code) : "";
}

static const char *value_of(const struct finding_value *v, const char *name)
{
	for (; v; v = v->next)
		if (text_equal(v->name, name))
			return v->value;
	return "";
}

Test(yaml_bind, quantities)
{
	static const struct {
		const char *text;
		const struct dimension *dim;
		const char *code; /* "" when it is read */
		double si;
	} CASES[] = {
		/* SI factors: BIPM, SI Brochure, 9th edition; pound-force: NIST SP 811, appendix B.8. */
		{"62 mm", &DIM_LENGTH, "", 0.062},
		{"62mm ± 3 mm", &DIM_LENGTH, "", 0.062},
		{"-5 %", &DIM_NUMBER, "", -0.05},
		{"3", &DIM_NUMBER, "", 3},
		{"0.4 kN", &DIM_FORCE, "", 400},
		{"1 lbf", &DIM_FORCE, "", 4.4482216152605},
		{"62", &DIM_LENGTH, "value-bare", 0},
		{"'62 '", &DIM_LENGTH, "value-bare", 0},
		{"62 kg", &DIM_LENGTH, "value-dimension", 0},
		{"62 %", &DIM_LENGTH, "value-dimension", 0},
		{"62 mm", &DIM_NUMBER, "value-dimension", 0},
		{"62 furlong", &DIM_LENGTH, "value-unit", 0},
		{"0,62 m", &DIM_LENGTH, "value-comma", 0},
		{"wide", &DIM_LENGTH, "value-number", 0},
		{"''", &DIM_LENGTH, "value-number", 0},
		{"62 mm ± wide", &DIM_LENGTH, "value-doubt", 0},
		{"62 mm ± -1 mm", &DIM_LENGTH, "value-doubt", 0},
		{"inf m", &DIM_LENGTH, "value-number", 0},
		{"[62 mm]", &DIM_LENGTH, "value-shape", 0},
		{"{a: 62 mm}", &DIM_LENGTH, "value-shape", 0},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		struct quantity q = {.value = -1};
		size_t before = found.count;
		bool fine = bind_quantity(&b, node(CASES[i].text), "p", *CASES[i].dim, NULL, NULL, &q);
		cr_expect_eq(fine, *CASES[i].code == '\0', "%s", CASES[i].text);
		cr_expect_eq(found.count, before + (fine ? 0 : 1), "%s", CASES[i].text);
		cr_expect_float_eq(q.value, fine ? CASES[i].si : -1, 1e-12, "%s: untouched when refused",
			CASES[i].text);
		if (!fine)
			cr_expect_str_eq(last(), CASES[i].code, "%s gave %s", CASES[i].text, last());
	}
}

Test(yaml_bind, a_refused_quantity_names_the_units)
{
	struct quantity q;
	cr_expect_not(bind_quantity(&b, node("450"), "drive.thrust", DIM_FORCE, NULL, NULL, &q));
	const struct finding *f = found.items[0];
	cr_expect_str_eq(f->subject, "drive.thrust");
	cr_expect_eq(f->at.line, 1);
	cr_expect_eq(f->at.column, 4);
	cr_expect_str_eq(value_of(f->values, "found"), "450");
	cr_expect_str_eq(value_of(f->values, "kind"), "a force");
	cr_expect(strstr(value_of(f->ways->values, "units"), "kN"));
}

Test(yaml_bind, ranges_include_their_ends)
{
	struct quantity low = quantity_of(0.1, DIM_LENGTH), high = quantity_of(2, DIM_LENGTH), q;
	cr_expect(bind_quantity(&b, node("100 mm"), "p", DIM_LENGTH, &low, &high, &q));
	cr_expect(bind_quantity(&b, node("2 m"), "p", DIM_LENGTH, &low, &high, &q));
	cr_expect_eq(found.count, 0);
	cr_expect_not(bind_quantity(&b, node("99 mm"), "p", DIM_LENGTH, &low, &high, &q));
	cr_expect_str_eq(last(), "value-range");
	cr_expect_not(bind_quantity(&b, node("2.001 m"), "p", DIM_LENGTH, NULL, &high, &q));
	cr_expect_str_eq(value_of(found.items[1]->values, "low"), "any");
	cr_expect_str_eq(value_of(found.items[1]->values, "high"), "2 m");
}

Test(yaml_bind, counts_are_whole_and_bare)
{
	struct quantity q;
	cr_expect(bind_count(&b, node("12"), "p", NULL, NULL, &q));
	cr_expect_float_eq(q.value, 12, 1e-12);
	static const char *const BAD[] = {"1.5", "-1", "3 %", "3 m", "many", "''", "1e12"};
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) {
		cr_expect_not(bind_count(&b, node(BAD[i]), "p", NULL, NULL, &q), "%s", BAD[i]);
		cr_expect_str_eq(last(), "value-whole");
	}
	cr_expect_not(bind_count(&b, node("[1]"), "p", NULL, NULL, &q));
	cr_expect_str_eq(last(), "value-shape");
}

Test(yaml_bind, dates_and_truths_have_one_form)
{
	struct date d = {0};
	bool truth = false;
	cr_expect(bind_date(&b, node("2028-02-29"), "p", &d), "a leap year of the Gregorian calendar");
	cr_expect_eq(d.day, 29);
	cr_expect_not(bind_date(&b, node("2027-02-29"), "p", &d));
	cr_expect_eq(d.year, 2028);
	cr_expect_str_eq(last(), "value-date");
	cr_expect(bind_truth(&b, node("yes"), "p", &truth));
	cr_expect(truth);
	cr_expect(bind_truth(&b, node("'no'"), "p", &truth));
	cr_expect_not(truth);
	cr_expect_not(bind_truth(&b, node("true"), "p", &truth));
	cr_expect_str_eq(last(), "value-truth");
}

Test(yaml_bind, ids)
{
	cr_expect(id_valid("a", ""));
	cr_expect(id_valid("leaf-1", ""));
	cr_expect(id_valid("main-edge@leaf-1", "@"));
	cr_expect(id_valid("post~wall", "@~"));
	static const char *const BAD[] = {"", "1a", "A", "a b", "a_b", "ä", "-a", "a@b", "a.b"};
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++)
		cr_expect_not(id_valid(BAD[i], ""), "%s", BAD[i]);
	cr_expect_not(id_valid("a@", "@"));
	cr_expect_not(id_valid("@a", "@"));
	cr_expect_not(id_valid("a@b@c", "@"));
}

Test(yaml_bind, nothing_written)
{
	cr_expect(bind_empty(node("")));
	cr_expect(bind_empty(node("~")));
	cr_expect(bind_empty(node("null")));
	cr_expect_not(bind_empty(node("''")));
	cr_expect_not(bind_empty(node("'null'")));
	cr_expect_not(bind_empty(node("[]")));
}

Test(yaml_bind, required_keys)
{
	const struct node *map = node("{a: 1, b: }");
	cr_expect_not_null(bind_required(&b, map, "p", "a"));
	cr_expect_null(bind_required(&b, map, "p", "b"));
	cr_expect_null(bind_required(&b, map, "p", "c"));
	cr_assert_eq(found.count, 2);
	cr_expect_str_eq(last(), "value-missing");
	cr_expect_str_eq(value_of(found.items[1]->values, "key"), "c");
	cr_expect_eq(found.items[1]->at.column, 4);
}

Test(yaml_bind, slips_of_the_finger_are_recognised)
{
	struct choices known = choices_split(&a, "pressure-edge|beam|light-curtain");
	cr_assert_eq(known.count, 3);
	cr_expect(choices_have(known, "beam"));
	cr_expect_not(choices_have(known, "bea"));
	cr_expect(bind_choice(&b, "beam", "p", (struct place){"f", 1, 1}, known));
	cr_expect_not(bind_choice(&b, "presure-edge", "p", (struct place){"f", 1, 1}, known));
	const struct way *w = found.items[0]->ways;
	cr_expect_str_eq(w->id, "did-you-mean");
	cr_expect_str_eq(value_of(w->values, "closest"), "pressure-edge");
	cr_expect_str_eq(value_of(w->next->values, "choices"), "pressure-edge, beam, light-curtain");
	cr_expect_not(bind_choice(&b, "xylophone", "p", (struct place){"f", 1, 1}, known));
	cr_expect_str_eq(found.items[1]->ways->id, "one-of", "nothing is near");
	cr_expect_eq(choices_split(&a, NULL).count, 0);
	cr_expect(bind_choice(&b, "anything", "p", (struct place){"f", 1, 1}, choices_split(&a, NULL)));
}

Test(yaml_bind, guesses_are_bounded)
{
	struct choices known = choices_split(&a, "beam");
	for (int i = 0; i < 200; i++)
		bind_unknown(&b, FINDING_CODE_RECORD_UNKNOWN_KEY, "p", (struct place){"f", 1, 1}, "baem", known);
	cr_expect_not_null(found.items[0]->ways);
	cr_expect_null(found.items[199]->ways);
}

Test(yaml_bind, data_in_messages_is_harmless_and_short)
{
	cr_expect_null(strchr(bind_found(&b, "a\033[31mb"), '\033'));
	const char *cut = bind_found(&b, "ääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääää");
	cr_expect_eq(utf8_length(cut), 61);
	cr_expect(text_ends(cut, "ä…"));
}

Test(yaml_bind, paths)
{
	cr_expect_str_eq(bind_path(&b, "", "drive"), "drive");
	cr_expect_str_eq(bind_path(&b, "drive", "thrust"), "drive.thrust");
	cr_expect_str_eq(bind_entry(&b, "devices", "edge-1", 4), "devices[edge-1]");
	cr_expect_str_eq(bind_entry(&b, "devices", NULL, 4), "devices[5]");
	cr_expect(bind_own_key("x-mine") && !bind_own_key("xmine"));
}
