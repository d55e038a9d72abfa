/* What must hold for any record: worse readings, fewer papers and more doubt never make a gate better, and
 * units do not matter. Seeded: PINTLE_SEED repeats a run. */
#include <criterion/criterion.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assess/context.h"
#include "assess_bench.h"

static struct bench b;
static uint64_t seed;

static void setup(void)
{
	const char *given = getenv("PINTLE_SEED");
	seed = given ? strtoull(given, NULL, 10) : 20260610;
	fprintf(stderr, "assess_property: PINTLE_SEED=%" PRIu64 "\n", seed);
	bench_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_property, .init = setup, .fini = teardown);

/* xorshift64*, Marsaglia 2003, Vigna 2016. */
static uint64_t draw(uint64_t below)
{
	seed ^= seed >> 12;
	seed ^= seed << 25;
	seed ^= seed >> 27;
	return (seed * 2685821657736338717u) % below;
}

struct state {
	bool ready, point, edge, slot;
};

static struct state judge(void)
{
	bench_judge(&b);
	return (struct state){b.result->ready, b.result->points[0].outcome == OUTCOME_ANSWERED,
		b.result->zones[0].outcome != OUTCOME_OPEN, b.result->zones[1].outcome != OUTCOME_OPEN};
}

static bool no_better(struct state worse, struct state than)
{
	return worse.ready <= than.ready && worse.point <= than.point && worse.edge <= than.edge &&
		worse.slot <= than.slot;
}

#define RUNS "[curves/300.csv, curves/310.csv, curves/320.csv]"

static void with_peaks(const int *peaks, bool accepted)
{
	bench_record(&b, RUNS,
		arena_format(&b.arena, "[curves/%d.csv, curves/%d-1.csv, curves/%d-2.csv]%s", peaks[0], peaks[1],
			peaks[2], accepted ? "\n      accepted-because: r" : ""));
}

Test(assess_property, a_higher_peak_is_no_better)
{
	int both[2] = {0};
	for (int i = 0; i < 120; i++) {
		int peaks[3];
		bool accepted = draw(2);
		for (int k = 0; k < 3; k++)
			peaks[k] = 340 + (int)draw(70);
		with_peaks(peaks, accepted);
		struct state before = judge();
		bench_again(&b);
		peaks[draw(3)] += 1 + (int)draw(60);
		with_peaks(peaks, accepted);
		struct state after = judge();
		cr_expect(no_better(after, before), "%d %d %d", peaks[0], peaks[1], peaks[2]);
		both[before.ready]++;
		bench_again(&b);
	}
	cr_expect(both[0] > 5 && both[1] > 5, "one sided: %d %d", both[0], both[1]);
}

static const char *tenths(uint64_t n)
{
	return text_number(&b.arena, (double)n / 10, 1);
}

Test(assess_property, a_wider_gap_or_more_doubt_is_no_better)
{
	int both[2] = {0};
	for (int i = 0; i < 120; i++) {
		uint64_t gap = 60 + draw(40), doubt = draw(20);
		bench_record(&b, "{gap: 6 mm}",
			arena_format(&b.arena, "{gap: %s mm ± %s mm}", tenths(gap), tenths(doubt)));
		struct state before = judge();
		bench_again(&b);
		if (draw(2))
			gap += 1 + draw(30);
		else
			doubt += 1 + draw(20);
		bench_record(&b, "{gap: 6 mm}",
			arena_format(&b.arena, "{gap: %s mm ± %s mm}", tenths(gap), tenths(doubt)));
		struct state after = judge();
		cr_expect(no_better(after, before), "gap %s ± %s", tenths(gap), tenths(doubt));
		both[before.ready]++;
		bench_again(&b);
	}
	cr_expect(both[0] > 5 && both[1] > 5, "one sided: %d %d", both[0], both[1]);
}

/* Every place of the ready record where something is cited. */
static const char *const CITED[] = {
	"over-travel-opening: 20 mm\n  evidence: paper:manual", "firmware: '1'\n  evidence: paper:manual",
	"settings-code-held-by: A\n  settings-evidence: photo:front", "input: in-1,\n     evidence: paper:manual",
	"by: [soft]\n    evidence: photo:front", "{gap: 6 mm}\n    evidence: photo:slot",
	"by: [lock]\n    evidence: photo:front", "certificate: paper:calibration",
	"warm-up-cycles: 3\n    settings-evidence: photo:front", "paper: paper:edge", "wiring: photo:front",
	"proof: point:f1", "recordings: " RUNS,
};

enum { CITATIONS = sizeof CITED / sizeof *CITED };

static void drop(size_t i)
{
	const char *colon = strrchr(CITED[i], ' ');
	while (i == CITATIONS - 1 && colon > CITED[i] && colon[1] != '[')
		colon--;
	bench_record(&b, CITED[i],
		arena_format(&b.arena, "%.*s unknown", (int)(colon - CITED[i]), CITED[i]));
}

Test(assess_property, without_its_evidence_a_ready_gate_is_open)
{
	for (size_t i = 0; i < CITATIONS; i++) {
		cr_assert(judge().ready);
		drop(i);
		cr_expect_not(judge().ready, "%s", CITED[i]);
		bench_again(&b);
	}
}

Test(assess_property, dropping_evidence_makes_no_gate_ready)
{
	static const char *const SPOILED[][2] = {
		{"{gap: 6 mm}", "{gap: 9 mm}"}, {"level: d", "level: b"}, {"curves/320.csv", "curves/420.csv"},
		{"opening: 5 m", "opening: 7 m"}, {"users: [named-staff]", "users: [public]"},
		{"at-rest: closed", "at-rest: open"}, {"spring: 500 N/mm", "spring: 400 N/mm"},
	};
	for (int i = 0; i < 60; i++) {
		size_t which = draw(sizeof SPOILED / sizeof *SPOILED);
		bench_record(&b, SPOILED[which][0], SPOILED[which][1]);
		cr_assert_not(judge().ready, "%s", SPOILED[which][1]);
		struct state before = judge();
		/* From the last to the first, so that one place is not changed twice. */
		for (size_t k = 0; k < CITATIONS; k++)
			if (draw(3) == 0 && strstr(b.record_text, CITED[k])) {
				drop(k);
				struct state after = judge();
				cr_expect(no_better(after, before), "%s without %s", SPOILED[which][1], CITED[k]);
				before = after;
			}
		bench_again(&b);
	}
}

/* The same figure in other words; the figures are such that the binary fractions differ. */
static const struct {
	const char *unit, *other;
	double factor;
} UNITS[] = {
	{" mm", " m", 0.001}, {" mm", " cm", 0.1}, {" m", " mm", 1000}, {" m", " cm", 100}, {" N", " kN", 0.001},
	{" %", "", 0.01}, {" kg", " kg", 1}, {" m/s", " mm/s", 1000},
};

static bool ends_unit(char c)
{
	return strchr(",}\n", c) != NULL;
}

static const char *in_other_units(const char *text)
{
	struct buf out;
	buf_init(&out, &b.arena);
	while (*text) {
		double value;
		size_t n = out.length && out.bytes[out.length - 1] == ' ' ? text_scan(text, &value) : 0;
		size_t pick = draw(sizeof UNITS / sizeof *UNITS), unit = strlen(UNITS[pick].unit);
		if (n && strncmp(text + n, UNITS[pick].unit, unit) == 0 && ends_unit(text[n + unit]) && draw(3)) {
			buf_format(&out, "%s%s", text_number(&b.arena, value * UNITS[pick].factor, 9),
				UNITS[pick].other);
			text += n + unit;
		} else {
			buf_char(&out, *text++);
		}
	}
	return out.bytes;
}

Test(assess_property, units_do_not_matter)
{
	static const char *const GAPS[] = {"7.9 mm", "8 mm", "8.1 mm"};
	int rewritten = 0;
	for (int i = 0; i < 100; i++) {
		bench_record(&b, "{gap: 6 mm}", arena_format(&b.arena, "{gap: %s}", GAPS[draw(3)]));
		struct state before = judge();
		const char *found = bench_found(&b), *other = in_other_units(b.record_text);
		double limit = b.result->points[0].limit;
		rewritten += !text_equal(other, b.record_text);
		b.record_text = other;
		struct state after = judge();
		cr_expect_str_eq(bench_found(&b), found);
		cr_expect(memcmp(&before, &after, sizeof before) == 0);
		cr_expect_eq(b.result->points[0].limit, limit);
		bench_again(&b);
	}
	cr_expect_gt(rewritten, 50);
}

/* The tables of the shipped library: a wider opening never asks for less distance, and doubt never for less
 * at its worse end. */
Test(assess_property, a_wider_opening_asks_for_no_less)
{
	static const char *const SHAPES[] = {"slot", "square", "round"};
	static const char *const LIMITS[] = {"reach-14", "reach-3"};
	bench_shipped(&b);
	struct record empty = {.file = ""};
	struct assessment result = {.record = &empty, .library = &b.library};
	struct context c = {.arena = &b.arena, .record = &empty, .library = &b.library, .findings = &b.findings,
		.result = &result};
	context_names(&c);
	for (int i = 0; i < 600; i++) {
		const char *limit = LIMITS[draw(2)];
		struct quantity narrow = quantity_of((double)(1 + draw(900)) / 1e4, DIM_LENGTH), wide = narrow;
		struct quantity slot = quantity_of((double)(10 + draw(90)) / 1e3, DIM_LENGTH);
		wide.value += (double)draw(100) / 1e4;
		wide.low = wide.high = wide.value;
		struct value arguments[] = {value_of_quantity(narrow), value_of_word(SHAPES[draw(3)]),
			value_of_quantity(slot)};
		struct value less = context_limit(&c, limit, arguments, 3, "");
		arguments[0] = value_of_quantity(wide);
		struct value more = context_limit(&c, limit, arguments, 3, "");
		wide.low = narrow.low;
		arguments[0] = value_of_quantity(wide);
		struct value doubtful = context_limit(&c, limit, arguments, 3, "");
		cr_assert(less.kind == VALUE_QUANTITY);
		if (more.kind != VALUE_QUANTITY)
			continue;
		cr_expect_geq(more.quantity.value, less.quantity.value, "%s %g %g", limit, narrow.value, wide.value);
		cr_expect_eq(doubtful.quantity.high, more.quantity.high);
	}
}
