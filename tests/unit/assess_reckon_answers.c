/* What the pocket book says about energy, wind, electricity and rules beside the figures: refusals that name the range,
 * and how far a step can be trusted. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess_bench.h"
#include "calc/grid.h"
#include "work/shipped.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
	bench_shipped(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_reckon_answers, .init = setup, .fini = teardown);

static const struct step *step_of(const struct reckoning *r, const char *id)
{
	const struct step *s = r->steps.first;
	while (s && !text_equal(s->id, id))
		s = s->next;
	return s;
}

/* A key of the other method is told by its name, whatever its size. Printed widths: 30 in (memory) to 48 in. */
Test(assess_reckon_answers, refusals)
{
	static const struct {
		const char *call, *reason, *name, *value;
	} ROWS[] = {
		{"least-time method=en16005-sliding mass=50kg width=1.3m", "takes-travel", "most", ""},
		{"least-time method=a156.19-swing mass=100lb travel=1m", "takes-width", "most", ""},
		{"least-time method=a156.19-swing mass=100lb width=29.9in", "width", "least", "30"},
		{"least-time method=a156.19-swing mass=100lb width=48.1in", "width", "most", "48"},
		{"least-time method=a156.19-swing mass=100lb width=47in±2in", "width", "most", "48"},
		{"least-time method=a156.19-swing mass=100lb width=31in±2in", "width", "least", "30"},
		{"least-time method=en16005-sliding mass=50kg travel=1301mm", "outside-table", "most", ""},
		{"regime territory=GB date=2012-01-01", "no-regime", "territory", "GB"},
		{"regime territory=DE date=2010-01-01", "no-regime", "date", "2010-01-01"},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const struct reckoning *r = bench_ask(&b, ROWS[i].call);
		cr_expect_null(r->results, "%s", ROWS[i].call);
		cr_assert_eq(r->findings->count, 1, "%s", ROWS[i].call);
		const struct finding *f = r->findings->items[0];
		cr_expect_eq(f->code, FINDING_CODE_RECKON_REFUSED, "%s", ROWS[i].call);
		const char *reason = arena_format(&b.arena, ".%s|", ROWS[i].reason);
		cr_expect(strstr(bench_value(f->values, "message"), reason), "%s: %s", ROWS[i].call,
			bench_value(f->values, "message"));
		cr_expect_str_eq(bench_value(f->values, ROWS[i].name), ROWS[i].value, "%s: %s", ROWS[i].call,
			bench_value(f->values, ROWS[i].name));
	}
}

/* 30 in is memory, and prints disagree about 36 in and 200 lb. */
Test(assess_reckon_answers, swing_times_are_memory)
{
	static const char *const CALLS[] = {
		"least-time method=a156.19-swing mass=100lb width=30in",
		"least-time method=a156.19-swing mass=200lb width=36in",
		"least-time method=a156.19-swing mass=110lb width=42in",
	};
	for (size_t i = 0; i < sizeof CALLS / sizeof *CALLS; i++) {
		const struct step *s = step_of(bench_ask(&b, CALLS[i]), "time-least");
		cr_assert_not_null(s, "%s", CALLS[i]);
		cr_expect_eq(s->standing, STANDING_MEMORY, "%s", CALLS[i]);
	}
}

/* The clause on the trailing edge was only restated by others. */
Test(assess_reckon_answers, main_edge_of_a_sliding_leaf)
{
	const struct step *s = step_of(bench_ask(&b, "force-points type=sliding height=2m"), "points-count");
	cr_assert_not_null(s);
	cr_expect_eq(s->standing, STANDING_PUBLISHED);
	cr_expect_null(strstr(s->source, "C.3.2.3"), "%s", s->source);
}

Test(assess_reckon_answers, one_load_is_no_sum)
{
	cr_expect_not_null(step_of(bench_ask(&b, "accessory-load supply=500mA loads=460mA"), "accessory-one"));
	cr_expect_not_null(step_of(bench_ask(&b, "accessory-load supply=500mA loads=460mA,10mA"), "accessory-sum"));
}

/* The title that `regime` names is the one that the declaration bears. */
Test(assess_reckon_answers, titles_of_declarations)
{
	struct findings none;
	findings_init(&none, &b.arena);
	const struct phrasebook *book = shipped_words(&b.arena, "en", &none);
	const struct lib_grid *g = library_grid(&b.library, "declaration-title");
	cr_assert_eq(g->grid.axes[0].count, b.library.regimes_count);
	for (size_t i = 0; i < b.library.regimes_count; i++) {
		const char *id = b.library.regimes[i].note.id, *title = NULL;
		cr_assert(grid_words(&g->grid, grid_word(id), grid_number(0), &title), "%s", id);
		cr_expect_str_eq(title, phrasebook_part(book, "regimes", id, "declaration-title"), "%s", id);
	}
}
