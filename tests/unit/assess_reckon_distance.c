/* What the pocket book says about distances beside the figures: meanings, whether the answer is no, refusals, and how
 * far a value can be trusted. Figures as in tests/published. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess_bench.h"

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

TestSuite(assess_reckon_distance, .init = setup, .fini = teardown);

static const struct {
	const char *call, *meaning;
	bool no;
	const char *name, *value; /* in the words of the meaning */
} MEANINGS[] = {
	{"stopping speed=0.2m/s response=0.1s deceleration=1m/s2", "runs", false, "distance", "40"},
	{"stopping distance=62mm", "runs", false, "distance", "62"},
	{"over-travel opening=400mm travel=50mm", "within", false, "over", "0"},
	{"over-travel opening=400mm travel=62mm", "over", true, "over", "12"},
	{"separation approach=normal time=320ms resolution=14mm", "field", false, "distance", "512"},
	{"separation approach=normal time=100ms resolution=60mm", "field", false, "distance", "1010"},
	{"separation approach=parallel time=0.4s height=300mm", "parallel", false, "coarsest", "70"},
	{"separation approach=beams time=0.5s beams=2", "beams", false, "heights", "400 mm and 900 mm"},
	{"separation approach=mat time=0.5s", "mat", false, "width", "750"},
	/* Short slots with a value of their own: over 20 up to 30 mm, children over 12 up to 20 mm, legs over 15 up to
	 * 35 mm (EN ISO 13857, notes to Tables 4, 5 and 7; the latter two memory). */
	{"reach-through shape=slot opening=20mm age=14", "distance", false, "distance", "120"},
	{"reach-through shape=slot opening=20.1mm age=14", "slot", false, "distance", "850"},
	{"reach-through shape=slot opening=30mm age=14", "slot", false, "distance", "850"},
	{"reach-through shape=slot opening=30.1mm age=14", "distance", false, "distance", "850"},
	{"reach-through shape=slot opening=12mm age=3", "distance", false, "distance", "100"},
	{"reach-through shape=slot opening=12.1mm age=3", "slot", false, "distance", "900"},
	{"reach-through shape=slot opening=20mm age=3", "slot", false, "distance", "900"},
	{"reach-through shape=slot opening=20.1mm age=3", "distance", false, "distance", "900"},
	{"reach-limb shape=slot opening=15mm", "distance", false, "distance", "10"},
	{"reach-limb shape=slot opening=15.1mm", "slot", false, "distance", "80"},
	{"reach-limb shape=slot opening=35mm", "slot", false, "distance", "80"},
	{"reach-limb shape=slot opening=35.1mm", "distance", false, "distance", "180"},
	{"reach-through shape=slot opening=25mm age=14", "slot", false, "distance", "850"},
	{"reach-through shape=slot opening=25mm age=14 length=60mm", "distance", false, "distance", "200"},
	{"reach-through shape=slot opening=15mm age=3 length=30mm", "slot", false, "distance", "900"},
	{"reach-through shape=round opening=25mm age=14", "distance", false, "distance", "120"},
	{"reach-limb shape=slot opening=30mm", "slot", false, "distance", "80"},
	{"reach-limb shape=square opening=30mm", "distance", false, "distance", "25"},
	{"reach-over hazard=1m barrier=1400mm risk=low", "distance", false, "distance", "900"},
	{"reach-over hazard=1m barrier=1399.9mm risk=low", "not-alone", true, "alone", "1400"},
	{"reach-over hazard=1m barrier=1400mm risk=high", "distance", false, "distance", "1000"},
	{"reach-over hazard=1m barrier=1399.9mm risk=high", "not-alone", true, "alone", "1400"},
	{"reach-over hazard=2500mm barrier=1m risk=low", "out-of-reach", false, "distance", ""},
	{"least-gap part=head", "gap", false, "gap", "300"},
	{"finger-gap from=0mm to=4mm", "kept-out", false, "closes", "none"},
	{"finger-gap from=0mm to=8mm edition=8-25", "kept-out", false, "closes", "none"},
	{"finger-gap from=25mm to=25mm", "stays-open", false, "closes", "none"},
	{"finger-gap from=500mm to=501mm", "stays-open", false, "closes", "none"},
	{"finger-gap from=60mm to=55mm", "crushes", true, "closes", "hand, arm, foot"},
	{"finger-gap from=150mm to=180mm", "crushes", true, "closes", "head"},
	{"finger-gap from=119.9mm to=120mm", "crushes", true, "closes", "arm, foot"},
	{"finger-gap from=499.9mm to=501mm", "crushes", true, "closes", "body"},
	{"finger-gap from=60mm to=40mm", "changes", true, "percent", "20"},
	{"finger-gap from=600mm to=800mm", "changes", true, "closes", "none"},
	{"finger-gap from=3mm to=12mm", "catches", true, "closes", "fingers, hand"},
};

Test(assess_reckon_distance, meanings)
{
	for (size_t i = 0; i < sizeof MEANINGS / sizeof *MEANINGS; i++) {
		const struct reckoning *r = bench_ask(&b, MEANINGS[i].call);
		cr_assert_not_null(r->meaning, "%s", MEANINGS[i].call);
		cr_expect_str_eq(r->meaning, MEANINGS[i].meaning, "%s: %s", MEANINGS[i].call, r->meaning);
		cr_expect_eq(r->no, MEANINGS[i].no, "%s", MEANINGS[i].call);
		cr_expect_str_eq(bench_value(r->values, MEANINGS[i].name), MEANINGS[i].value,
			"%s: %s", MEANINGS[i].call, bench_value(r->values, MEANINGS[i].name));
	}
}

/* Each refusal names its reason, and what would be computable. */
static const struct {
	const char *call, *reason, *name, *value;
} REFUSALS[] = {
	{"stopping distance=19mm speed=0.2m/s response=0.1s", "too-short", "run", "20"},
	{"separation approach=normal time=0.1s", "lacking", "key", "resolution"},
	{"separation approach=parallel time=0.1s resolution=40mm", "lacking", "key", "height"},
	{"separation approach=beams time=0.1s", "lacking", "key", "beams"},
	{"separation approach=mat time=0.1s beams=2", "not-used", "key", "beams"},
	{"separation approach=normal time=0.1s resolution=14mm height=1m", "not-used", "key", "height"},
	{"separation approach=beams time=0.1s beams=5", "outside-table", "table",
		"EN ISO 13855:2010, heights of beams"},
	{"separation approach=parallel time=0.1s height=1001mm", "too-high", "most", "1000"},
	{"separation approach=mat time=0.1s height=500.1mm", "step-high", "most", "500"},
	{"separation approach=parallel time=0.1s height=1m±50mm", "too-high", "most", "1000"},
	{"separation approach=mat time=0.1s height=480mm±50mm", "step-high", "most", "500"},
	{"separation approach=parallel time=0.1s height=300mm resolution=71mm", "misses-leg", "least", "315"},
	{"reach-through shape=slot opening=120.1mm age=14", "too-large", "most", "120"},
	{"reach-through shape=slot opening=180mm age=14", "too-large", "body", "180"},
	{"reach-through shape=slot opening=180.1mm age=14", "whole-body", "body", "180"},
	{"reach-through shape=square opening=240mm age=14", "too-large", "body", "240"},
	{"reach-through shape=square opening=240.1mm age=14", "whole-body", "body", "240"},
	{"reach-through shape=round opening=240mm age=14", "too-large", "body", "240"},
	{"reach-through shape=round opening=240.1mm age=3", "whole-body", "most", "100"},
	{"reach-through shape=round opening=20mm age=14 length=30mm", "length-slot", "most", ""},
	{"reach-through shape=slot opening=20mm age=14 length=19mm", "length-short", "most", ""},
	{"reach-limb shape=slot opening=180.1mm", "whole-body", "most", "180"},
	{"reach-limb shape=round opening=240.1mm", "whole-body", "most", "240"},
	{"reach-over hazard=1m barrier=999mm risk=low", "too-low", "least", "1000"},
	{"reach-over hazard=1m barrier=999mm risk=high", "too-low", "least", "1000"},
};

Test(assess_reckon_distance, refusals)
{
	for (size_t i = 0; i < sizeof REFUSALS / sizeof *REFUSALS; i++) {
		const struct reckoning *r = bench_ask(&b, REFUSALS[i].call);
		cr_expect_null(r->results, "%s", REFUSALS[i].call);
		cr_assert_eq(r->findings->count, 1, "%s", REFUSALS[i].call);
		const struct finding *f = r->findings->items[0];
		cr_expect_eq(f->code, FINDING_CODE_RECKON_REFUSED);
		const char *reason = arena_format(&b.arena, ".%s", REFUSALS[i].reason);
		cr_expect(strstr(bench_value(f->values, "message"), reason), "%s: %s", REFUSALS[i].call,
			bench_value(f->values, "message"));
		cr_expect_str_eq(bench_value(f->values, REFUSALS[i].name), REFUSALS[i].value,
			"%s: %s", REFUSALS[i].call, bench_value(f->values, REFUSALS[i].name));
	}
}

/* How far each answer can be trusted, by the cells that it came from. */
Test(assess_reckon_distance, standings)
{
	static const struct {
		const char *call;
		enum standing standing;
	} ROWS[] = {
		{"reach-through shape=slot opening=25mm age=14", STANDING_PUBLISHED},
		{"reach-through shape=slot opening=25mm age=14 length=60mm", STANDING_PUBLISHED},
		{"reach-through shape=slot opening=25mm age=3", STANDING_MEMORY},
		{"reach-limb shape=slot opening=150mm", STANDING_PUBLISHED},
		{"reach-limb shape=round opening=150mm", STANDING_MEMORY},
		{"reach-over hazard=800mm barrier=2400mm risk=low", STANDING_PUBLISHED},
		{"reach-over hazard=700mm barrier=1000mm risk=low", STANDING_MEMORY},
		{"reach-over hazard=800mm barrier=2450mm risk=low", STANDING_MEMORY},
		{"reach-over hazard=2450mm barrier=1000mm risk=low", STANDING_MEMORY},
		{"reach-over hazard=1700mm barrier=2m risk=high", STANDING_PUBLISHED},
		{"reach-over hazard=1700mm barrier=1990mm risk=high", STANDING_MEMORY},
		{"reach-over hazard=2700mm barrier=1m risk=high", STANDING_PUBLISHED},
		{"separation approach=normal time=0.1s resolution=14mm", STANDING_PUBLISHED},
		{"separation approach=normal time=0.1s resolution=60mm", STANDING_MEMORY},
		{"separation approach=normal time=0.1s resolution=80mm", STANDING_PUBLISHED},
		{"separation approach=beams time=0.1s beams=1", STANDING_MEMORY},
		{"separation approach=beams time=0.1s beams=3", STANDING_PUBLISHED},
		{"separation approach=mat time=0.1s", STANDING_PUBLISHED},
		{"least-gap part=hand", STANDING_PUBLISHED},
		{"over-travel opening=1m travel=1mm", STANDING_PUBLISHED},
		{"stopping distance=62mm", STANDING_PRACTICE},
		{"finger-gap from=3mm to=12mm", STANDING_MEMORY},
		{"finger-gap from=3mm to=12mm edition=8-25", STANDING_MEMORY},
		{"separation approach=mat time=0.1s height=200mm", STANDING_PUBLISHED},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
		cr_expect_eq(bench_ask(&b, ROWS[i].call)->standing, ROWS[i].standing, "%s", ROWS[i].call);
}

/* With the distance measured, t = 2 s / v - t_r: the slowest leaf and the quickest response brake for longest. Even
 * deceleration, arithmetic by hand: 2 · 0.04 / 0.1 and 2 · 0.05 / 0.1 - 0.05. */
Test(assess_reckon_distance, worse_end_of_a_measured_stop)
{
	static const struct {
		const char *call;
		double time;
	} ROWS[] = {
		{"stopping distance=40mm speed=0.2m/s±0.1m/s", 0.8},
		{"stopping distance=40mm±10mm speed=0.15m/s±0.05m/s response=0.1s±0.05s", 0.95},
	};
	for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
		const struct reckoning *r = bench_ask(&b, ROWS[i].call);
		cr_assert_not_null(r->results, "%s", ROWS[i].call);
		cr_expect_float_eq(r->results->number, ROWS[i].time, 1e-9, "%s: %g", ROWS[i].call, r->results->number);
	}
}

/* The larger edition lets 8 mm keep fingers out by itself; no table of openings says so. */
Test(assess_reckon_distance, kept_out_by_one_source)
{
	const struct reckoning *r = bench_ask(&b, "finger-gap from=0mm to=8mm edition=8-25");
	for (const struct step *s = r->steps.first; s; s = s->next)
		cr_expect_null(strstr(s->source, "13857"), "%s", s->source);
}

/* The height of a danger that is not known to a hair meets every row that it may lie in. */
Test(assess_reckon_distance, doubt)
{
	const struct reckoning *r = bench_ask(&b, "reach-over hazard=2450mm±100mm barrier=1m risk=low");
	cr_assert_not_null(r->results);
	cr_expect_float_eq(r->results->number, 600, 1e-9);
	r = bench_ask(&b, "finger-gap from=3mm±1mm to=12mm");
	cr_expect_null(r->results);
}
