/* Safety functions by their subsystems: what is required, what is reached, what is missing, what would be enough. The
 * tables are those of tests/unit/bench/reliability.yaml; what is expected follows from their figures by hand. */
#include <criterion/criterion.h>
#include <string.h>

#include "assess_bench.h"

static struct bench b;

static void setup(void)
{
	bench_open(&b);
}

static void teardown(void)
{
	bench_close(&b);
}

TestSuite(assess_functions, .init = setup, .fini = teardown);

#define CHAIN \
	"      - {id: chain, roles: [device, logic, final-switching], per-hour: 2E-7 1/h, category: \"3\",\n" \
	"         paper: [paper:chain]}\n"
#define PATH "functions[stop-by-edge].subsystems[chain]"
#define LOST "protection-open leaf-1\nhazard-open edge@leaf-1\nneed-open edge@leaf-1\n"

#define TWO(x, y) \
	"      - {id: first, roles: [device], paper: [paper:chain], " x "}\n" \
	"      - {id: second, roles: [logic, final-switching], paper: [paper:chain], " y "}\n"

/* One subsystem with all roles, and these data. */
static const char *chain(const char *data)
{
	return arena_format(&b.arena,
		"      - {id: chain, roles: [device, logic, final-switching], paper: [paper:chain], %s}\n", data);
}

static void subsystems(const char *yaml)
{
	bench_record(&b, CHAIN, yaml);
}

static void part(const char *yaml)
{
	b.library_text = arena_format(&b.arena,
		"%sparts: [{id: p, standing: practice, device: D, %s}]\n", b.library_text, yaml);
}

static const struct function_result *result(void)
{
	return &b.result->functions[0];
}

static bool has_step(const char *id)
{
	for (const struct step *s = result()->steps.first; s; s = s->next)
		if (text_equal(s->id, id))
			return true;
	return false;
}

/* --- what is required ------------------------------------------------------------------------------ */

/* EN ISO 13849-1, Annex A, memory: the eight ends of the graph; the floor of the small library is c. */
Test(assess_functions, required)
{
	static const char GRAPH[] = "abbccdde";
	for (int i = 0; i < 8; i++) {
		bench_record(&b, "severity: '2'\n    frequency: '1'\n    avoidance: '1'",
			arena_format(&b.arena, "severity: %d\n    frequency: %d\n    avoidance: %d",
				i / 4 + 1, i / 2 % 2 + 1, i % 2 + 1));
		bench_judge(&b);
		char level[2] = {GRAPH[i] > 'c' ? GRAPH[i] : 'c', '\0'};
		cr_expect_str_eq(result()->least, level, "%d: %s", i, result()->least);
		cr_expect_str_eq(result()->level, "d");
		cr_expect_eq(bench_finding(&b, "function-unreached", "stop-by-edge") != NULL, level[0] == 'e', "%d", i);
		cr_expect_eq(bench_finding(&b, "function-level", "stop-by-edge") != NULL, level[0] == 'e', "%d", i);
		cr_expect_eq(result()->outcome, level[0] == 'e' ? OUTCOME_OPEN : OUTCOME_ANSWERED, "%d", i);
		bench_again(&b);
	}
}

/* Not on record: the worst that it may be. */
Test(assess_functions, required_without_an_answer)
{
	bench_record(&b, "avoidance: '1'", "avoidance: unknown");
	bench_judge(&b);
	cr_expect_str_eq(result()->least, "d");
	bench_again(&b);
	bench_record(&b, "    frequency: '1'\n    avoidance: '1'\n", "");
	bench_judge(&b);
	cr_expect_str_eq(result()->least, "e");
	bench_again(&b);
	bench_library(&b, "    least: c\n", "    least: a\n");
	bench_record(&b, "severity: '2'", "severity: 1");
	bench_judge(&b);
	cr_expect_str_eq(result()->least, "a");
}

/* --- what is missing ------------------------------------------------------------------------------- */

#define TESTED "category: 2, mttfd: 50 years, dc: 90 %, common-cause: 65"

Test(assess_functions, gaps)
{
	static const struct {
		const char *data, *gap;
	} CASES[] = {
		{"dc: 90 %", "nothing"},
		{"category: 3, dc: 90 %, common-cause: 65", "life-unknown"},
		{"category: 3, b10d: 1000000, dc: 90 %, common-cause: 65", "life-unknown"},
		{"category: 3, mttfd: 2.9 years, dc: 90 %, common-cause: 65", "life-short"},
		{"category: 3, mttfd: 50 years, second-mttfd: 2 years, dc: 90 %, common-cause: 65", "life-short"},
		{"category: 1, mttfd: 50 years, dc: 60 %", "coverage-unused"},
		{"category: 1, mttfd: 29 years", "life-category"},
		{"category: 3, mttfd: 50 years, common-cause: 65", "coverage"},
		{"category: 3, mttfd: 50 years, dc: 59 %, common-cause: 65", "coverage"},
		{"category: 4, mttfd: 50 years, dc: 98 %, common-cause: 65", "coverage"},
		{"category: 3, mttfd: 50 years, dc: 90 %", "common-cause"},
		{"category: 3, mttfd: 50 years, dc: 90 %, common-cause: 64", "common-cause"},
		{TESTED ", test-mttfd: 50 years", "test-rate"},
		{TESTED ", test-mttfd: 50 years, test-rate: 24", "test-rate"},
		{TESTED ", test-rate: 100", "test-life-unknown"},
		{TESTED ", test-rate: 100, test-mttfd: 24 years", "test-life"},
		{"category: 3, b10d: 1000000, operations: 50001, dc: 90 %, common-cause: 65", "replacement"},
		{"category: 3, b10d: 1000000, operations: 100000, replaced-every: 11 years, dc: 90 %, common-cause: 65",
			"replacement"},
		{"category: 2, level: e", "level-category"},
		{"category: 3, level: d, common-cause: 64", "common-cause"},
		{"category: 3, level: d, dc: 59 %", "coverage"},
		{"category: 3, level: d, second-mttfd: 2 years", "life-short"},
		{"category: 3, level: d, b10d: 1000000, operations: 100000", "replacement"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		subsystems(chain(CASES[i].data));
		bench_judge(&b);
		const struct finding *f = bench_finding(&b, "subsystem-gap", PATH);
		cr_expect_str_eq(result()->subsystems[0].gap, CASES[i].gap, "%s: %s", CASES[i].data,
			result()->subsystems[0].gap);
		cr_expect_str_eq(result()->level, "none");
		cr_expect_str_eq(result()->weakest, "chain");
		cr_expect_eq(result()->outcome, OUTCOME_OPEN);
		cr_expect(f && f->ways, "%s", CASES[i].data);
		/* What is not there has no level to be compared. */
		cr_expect_null(bench_finding(&b, "function-unreached", "stop-by-edge"));
		cr_expect_null(bench_finding(&b, "function-claim", "stop-by-edge"));
		bench_again(&b);
	}
}

/* The channel that is too short, and what would make it longer: fewer operations only where there is a B10d. B10d /
 * (0.1 · nop) = 2000 / (0.1 · 10 000) = 2 years. */
Test(assess_functions, a_channel_too_short)
{
	static const struct {
		const char *data, *years, *way;
	} CASES[] = {
		{"category: 3, mttfd: 100 years, second-mttfd: 1 year, dc: 90 %, common-cause: 65",
			"1", "way"},
		{"category: 3, mttfd: 1.5 years, second-mttfd: 100 years, dc: 90 %, common-cause: "
		 "65",
			"1.5", "way"},
		{"category: 3, b10d: 2000, operations: 10000, dc: 90 %, common-cause: 65", "2",
			"way-by-operations"},
		{"category: 3, b10d: 2000, operations: 10000, mttfd: 100 years, dc: 90 %, "
		 "common-cause: 65",
			"2", "way-by-operations"},
		{"category: 3, b10d: 2000, operations: 10000, mttfd: 1 year, dc: 90 %, "
		 "common-cause: 65",
			"1", "way"},
		{"category: 3, b10d: 2000, operations: 10000, second-mttfd: 1 year, dc: 90 %, "
		 "common-cause: 65",
			"1", "way"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		subsystems(chain(CASES[i].data));
		bench_judge(&b);
		const struct finding *f = bench_finding(&b, "subsystem-gap", PATH);
		cr_assert(f && f->ways, "%s", CASES[i].data);
		cr_expect_str_eq(bench_value(f->values, "years"), CASES[i].years, "%s", CASES[i].data);
		cr_expect_str_eq(bench_value(f->ways->values, "least-life"), "3");
		cr_expect_str_eq(f->ways->id,
			arena_format(&b.arena, "subsystem-gaps.life-short.%s", CASES[i].way), "%s",
			CASES[i].data);
		bench_again(&b);
	}
}

/* T10d = 1 000 000 / 50 001 = 19.9996 years: what is replaced after 20 comes too late. */
Test(assess_functions, replacement_is_rounded_down)
{
	subsystems(chain("category: 3, b10d: 1000000, operations: 50001, dc: 90 %, common-cause: 65"));
	bench_judge(&b);
	const struct finding *f = bench_finding(&b, "subsystem-gap", PATH);
	cr_assert(f && f->ways);
	cr_expect_str_eq(bench_value(f->ways->values, "replace"), "19.99");
	bench_again(&b);
	subsystems(chain("category: 3, b10d: 1000000, operations: 50001, replaced-every: 19.99 years, dc: 90 %, "
			 "common-cause: 65"));
	bench_expect(&b, "");
}

/* A rate left out is no gain: 2.9E-6 twice is b, and so is 2.9E-6 with the worst of c; another part has to be better
 * than what is stated now. */
Test(assess_functions, a_rate_left_out)
{
	static const char *const CHAINS[] = {
		TWO("level: c, per-hour: 2.9E-6 1/h, category: 3", "level: c, per-hour: 2.9E-6 1/h, category: 3"),
		TWO("level: c, per-hour: 2.9E-6 1/h, category: 3", "level: c, category: 3"),
	};
	for (size_t i = 0; i < 2; i++) {
		subsystems(CHAINS[i]);
		bench_judge(&b);
		cr_expect_str_eq(result()->level, "b", "%zu", i);
		cr_expect_str_eq(result()->by, "sum", "%zu", i);
		cr_expect_not(has_step("reliability-series"));
		bench_again(&b);
	}
}

/* The same with what was missing: the rate and the level of the cell. */
Test(assess_functions, by_category)
{
	static const struct {
		const char *data, *level, *by;
		double per_hour;
	} CASES[] = {
		{"category: 3, mttfd: 30 years, dc: 60 %, common-cause: 65", "d", "both", 6.94e-7},
		{"category: 3, mttfd: 29 years, dc: 60 %, common-cause: 65", "c", "simplified",
			8.04e-7},
		{"category: 3, mttfd: 100 years, dc: 90 %, common-cause: 65", "d", "simplified",
			4.29e-8},
		{"category: 3, b10d: 1000000, operations: 50000, dc: 90 %, common-cause: 65", "d",
			"simplified", 4.29e-8},
		{"category: 3, b10d: 1000000, operations: 100000, replaced-every: 10 years, dc: 90 "
		 "%, common-cause: 65",
			"d", "simplified", 4.29e-8},
		{"category: 3, level: d, per-hour: 2e-7 1/h, b10d: 1000000, operations: 50000", "d",
			"maker", 2e-7},
		/* 25 tests for each demand, not 100: the rate is worse by a tenth. */
		{"category: 2, mttfd: 30 years, dc: 90 %, common-cause: 65, test-rate: 25, "
		 "test-mttfd: 15 years",
			"c", "annex-k", 1.1 * 1.21e-6},
		{"category: 4, mttfd: 110 years, dc: 99 %, common-cause: 65", "e", "both", 2.23e-8},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		bench_library(&b, "categories: [2, 3]", "categories: [2, 3, 4]");
		subsystems(chain(CASES[i].data));
		bench_judge(&b);
		const struct subsystem_view *v = &result()->subsystems[0];
		cr_expect_str_eq(v->gap, "", "%s: %s", CASES[i].data, v->gap);
		cr_expect_str_eq(v->level, CASES[i].level, "%s: %s", CASES[i].data, v->level);
		cr_expect_str_eq(v->by, CASES[i].by, "%s: %s", CASES[i].data, v->by);
		cr_expect_float_eq(v->per_hour, CASES[i].per_hour, 1e-3 * CASES[i].per_hour, "%s: %g", CASES[i].data,
			v->per_hour);
		cr_expect_str_eq(result()->level, CASES[i].level);
		cr_expect(has_step("reliability-risk-graph") && has_step("reliability-floor") &&
			  has_step("reliability-sum") && has_step("reliability-band") &&
			  has_step("function-reached"));
		bench_again(&b);
	}
}

/* Annex D.2: two thirds of 30 + 60 less what the two have in parallel, 20: 46.67 years, so the row of 30. */
Test(assess_functions, two_channels)
{
	subsystems(chain("category: 3, mttfd: 30 years, second-mttfd: 60 years, dc: 90 %, common-cause: 65"));
	bench_expect(&b, "");
	cr_expect_float_eq(result()->per_hour, 2.65e-7, 1e-15);
	for (const struct step *s = result()->steps.first; s; s = s->next)
		if (text_equal(s->id, "reliability-channels")) {
			cr_expect_str_eq(bench_value(s->values, "a"), "30");
			cr_expect_str_eq(bench_value(s->values, "b"), "60");
			cr_expect_eq(strncmp(bench_value(s->values, "years"), "46.6", 4), 0, "%s",
				bench_value(s->values, "years"));
		}
	cr_expect(has_step("reliability-channels"));
	cr_expect_not(has_step("reliability-cap"));
}

/* One that is not there is told, and is not looked for in the chain. */
Test(assess_functions, a_device_that_is_not_there)
{
	bench_record(&b, "devices: [edge-1]", "devices: [edge-1, edge-2]");
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "reference-unknown", "stop-by-edge"));
	cr_expect_null(bench_finding(&b, "subsystem-device", "stop-by-edge"));
}

Test(assess_functions, roles)
{
	static const char *const ROLES[] = {"device", "logic", "final-switching"};
	for (size_t i = 0; i < 3; i++) {
		subsystems(arena_format(&b.arena,
			"      - {id: chain, roles: [%s, %s], per-hour: 2E-7 1/h, category: 3, "
			"paper: [paper:chain]}\n",
			ROLES[i == 0], ROLES[i == 2 ? 1 : 2]));
		bench_expect(&b, LOST "function-role stop-by-edge\n");
		cr_expect_str_eq(
			bench_value(
				bench_finding(&b, "function-role", "stop-by-edge")->values, "role"),
			ROLES[i]);
		/* Unless functions of this kind do without. */
		bench_library(&b, "    categories: [2, 3]\n",
			arena_format(&b.arena, "    categories: [2, 3]\n    roles: [%s, %s]\n", ROLES[i == 0],
				ROLES[i == 2 ? 1 : 2]));
		bench_expect(&b, "");
		bench_again(&b);
	}
}

Test(assess_functions, no_subsystems)
{
	static const char *const EMPTY[] = {" none\n", " []\n", " unknown\n"};
	for (size_t i = 0; i < 3; i++) {
		bench_record(&b, "    subsystems:\n" CHAIN, arena_format(&b.arena, "    subsystems:%s", EMPTY[i]));
		bench_judge(&b);
		cr_expect_not_null(bench_finding(&b, "function-subsystems", "stop-by-edge"), "%s", EMPTY[i]);
		cr_expect_eq(result()->outcome, OUTCOME_OPEN);
		bench_again(&b);
	}
}

/* Every part of the chain survives a fault, and is tested if it is of category 2. */
Test(assess_functions, categories_of_the_parts)
{
	subsystems(chain("per-hour: 1E-6 1/h, category: 1"));
	bench_judge(&b);
	cr_expect_not_null(bench_finding(&b, "subsystem-category", PATH));
	cr_expect_not_null(bench_finding(&b, "function-claim-category", "stop-by-edge"));
	bench_again(&b);
	subsystems(chain("per-hour: 2E-7 1/h"));
	bench_expect(&b, LOST "subsystem-category " PATH "\n");
	bench_again(&b);
	subsystems(chain("per-hour: 2E-7 1/h, category: 2"));
	bench_expect(&b, LOST "function-claim-category stop-by-edge\nfunction-untested stop-by-edge\n");
	bench_again(&b);
	subsystems(chain("per-hour: 2E-7 1/h, category: 2"));
	bench_record(&b, "category: '3'\n    tested-before-each-movement: no",
		"category: 2\n    tested-before-each-movement: yes");
	bench_expect(&b, "");
}

Test(assess_functions, papers_of_the_parts)
{
	subsystems("      - {id: chain, roles: [device, logic, final-switching], per-hour: 2E-7 1/h, category: 3,\n"
		   "         paper: [photo:front]}\n");
	bench_expect(&b, LOST "subsystem-paper " PATH "\nevidence-unused chain\n");
}

/* A chain that was copied from another function is about other devices. */
Test(assess_functions, the_device_that_is_read)
{
	static const struct {
		const char *model, *of;
		bool named;
	} CASES[] = {
		{"M", "M", true}, {"LB-12", "light beams lb 12", true}, {"LB-12 F", "LB-12, F to FF", true},
		{"OP-65", "beam LB-12", false}, {"-", "beam", true}, {"É-2", "edge É2", true},
		/* No model on record: the maker has to do. */
		{"unknown", "A", true},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		bench_record(&b, "kind: pressure-edge, maker: A, model: M",
			arena_format(&b.arena, "kind: pressure-edge, maker: A, model: %s", CASES[i].model));
		bench_record(&b, "kind: certificate, of: M",
			arena_format(&b.arena, "kind: certificate, of: '%s'", CASES[i].of));
		bench_judge(&b);
		const struct finding *f = bench_finding(&b, "subsystem-device", "stop-by-edge");
		cr_expect_eq(!f, CASES[i].named, "%s: %s", CASES[i].model, CASES[i].of);
		cr_expect_eq(result()->outcome, CASES[i].named ? OUTCOME_ANSWERED : OUTCOME_OPEN, "%s", CASES[i].model);
		bench_again(&b);
	}
	/* By its part, too; only what has the role; and not where functions of the kind read nothing. */
	bench_record(&b, "maker: A, model: M", "maker: A, model: OP-65");
	part("category: '3', per-hour: 2E-7 1/h");
	b.library_text = bench_replaced(&b, b.library_text, "device: D", "device: OP65");
	bench_record(&b, "kind: certificate, of: M", "kind: certificate, of: OP65");
	subsystems(TWO("part: p", "per-hour: 2E-7 1/h, category: 3"));
	bench_expect(&b, "");
	bench_again(&b);
	bench_record(&b, "maker: A, model: M", "maker: A, model: OP-65");
	bench_library(&b, "    categories: [2, 3]\n", "    categories: [2, 3]\n    roles: [logic]\n");
	bench_expect(&b, "");
}

/* The paper of one device states nothing of another. */
Test(assess_functions, the_paper_of_another_device)
{
	static const struct {
		const char *device, *of;
		bool fits;
	} CASES[] = {
		{"contactor SK-40, Bremmolt", "SK 40", true}, {"contactor SK-40, Bremmolt", "all of Bremmolt", true},
		{"contactor SK-40, Bremmolt", "M", false}, {"contactor SK-40, Bremmolt", "control TC-2", false},
		/* Too short to tell by. */
		{"D 1", "M", true},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		part("category: '3', per-hour: 2E-7 1/h");
		b.library_text = bench_replaced(&b, b.library_text, "device: D",
			arena_format(&b.arena, "device: '%s'", CASES[i].device));
		bench_record(&b, "kind: certificate, of: M",
			arena_format(&b.arena, "kind: certificate, of: 'M, %s'", CASES[i].of));
		subsystems(chain("part: p"));
		bench_expect(&b, CASES[i].fits ? "" : LOST "part-paper " PATH "\n");
		bench_again(&b);
	}
}

/* --- parts of the firm's own ----------------------------------------------------------------------- */

Test(assess_functions, a_part)
{
	part("category: '3', mttfd: 30 years, dc: 90 %, common-cause: 65");
	subsystems(chain("part: p"));
	bench_expect(&b, "");
	cr_expect_float_eq(result()->per_hour, 2.65e-7, 1e-15);
	cr_expect_str_eq(result()->subsystems[0].part->note.id, "p");
	/* Equal is no contradiction, and what is not in the part may stand beside it. */
	bench_again(&b);
	part("category: '3', b10d: 1000000, dc: 90 %, common-cause: 65");
	subsystems(chain("part: p, dc: 0.9, category: 3, operations: 50000"));
	bench_expect(&b, "");
}

Test(assess_functions, a_part_says_something_else)
{
	static const struct {
		const char *part, *record, *key;
	} CASES[] = {
		{"per-hour: 2E-7 1/h, category: '3'", "per-hour: 1.9E-7 1/h", "per-hour"},
		{"per-hour: 2E-7 1/h, category: '3'", "per-hour: 2.1E-7 1/h", "per-hour"},
		{"per-hour: 2E-7 1/h, category: '2'", "category: 3", "category"},
		{"per-hour: 2E-7 1/h, category: '3', level: c", "level: d", "level"},
		{"per-hour: 2E-7 1/h, category: '3', mttfd: 30 years", "mttfd: 31 years", "mttfd"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		part(CASES[i].part);
		subsystems(chain(arena_format(&b.arena, "part: p, %s", CASES[i].record)));
		bench_judge(&b);
		const struct finding *f = bench_finding(
			&b, "part-differs", arena_format(&b.arena, PATH ".%s", CASES[i].key));
		cr_expect_not_null(f, "%s", CASES[i].record);
		cr_expect_eq(result()->outcome, OUTCOME_OPEN);
		bench_again(&b);
	}
}

Test(assess_functions, a_part_that_is_not_there)
{
	part("per-hour: 2E-7 1/h, category: '3'");
	subsystems(chain("part: q, per-hour: 2E-7 1/h, category: 3"));
	bench_expect(&b, LOST "part-unknown " PATH "\n");
}

/* What its maker has not told is asked of him, when the level needs it. */
Test(assess_functions, the_question_to_the_maker)
{
	part("category: '3', mttfd: 30 years, common-cause: 65, unknown: [dc, per-hour]");
	subsystems(chain("part: p"));
	bench_judge(&b);
	const struct finding *f = bench_finding(&b, "subsystem-gap", PATH);
	cr_assert(f && f->ways && f->ways->next);
	cr_expect_str_eq(f->ways->next->id, "ask-maker");
	cr_expect_str_eq(bench_value(f->ways->next->values, "device"), "D");
	cr_expect_str_eq(bench_value(f->ways->next->values, "key"), "dc");
	cr_expect_null(f->ways->next->next);
	bench_again(&b);
	/* Not needed, not asked. */
	part("category: '3', per-hour: 2E-7 1/h, unknown: [dc]");
	subsystems(chain("part: p"));
	bench_expect(&b, "");
	bench_again(&b);
	/* And known by nobody else. */
	part("category: '3', per-hour: 2E-7 1/h, unknown: [dc, level]");
	subsystems(chain("part: p, level: d, dc: 90 %"));
	bench_expect(&b, LOST "part-differs " PATH ".level\npart-differs " PATH ".dc\n");
	cr_expect_str_eq(bench_value(bench_finding(&b, "part-differs", PATH ".dc")->values, "library"), "unknown");
}

/* --- the level of the whole ------------------------------------------------------------------------ */

Test(assess_functions, in_series)
{
	subsystems(TWO("per-hour: 4E-7 1/h, category: 3", "per-hour: 5E-7 1/h, category: 3"));
	bench_expect(&b, "");
	cr_expect_float_eq(result()->per_hour, 9e-7, 1e-15);
	cr_expect_str_eq(result()->level, "d");
	cr_expect_str_eq(result()->by, "sum");
	cr_expect_str_eq(result()->weakest, "second");
	bench_again(&b);
	/* 1E-6 belongs to c. */
	subsystems(TWO("per-hour: 5E-7 1/h, category: 3", "per-hour: 5E-7 1/h, category: 3"));
	bench_expect(&b, LOST "function-claim stop-by-edge\n");
	cr_expect_str_eq(result()->level, "c");
	bench_again(&b);
	/* Levels alone: Table 11. */
	subsystems(TWO("level: d, category: 3", "level: d, category: 3"));
	bench_expect(&b, "");
	cr_expect_str_eq(result()->by, "series");
	cr_expect(has_step("reliability-series"));
	bench_again(&b);
	subsystems(TWO("level: d, category: 3", "level: b, category: 3"));
	bench_judge(&b);
	cr_expect_str_eq(result()->weakest, "second");
	cr_expect_str_eq(result()->level, "b");
}

/* The change that the finding names, with its figure. */
Test(assess_functions, the_single_change)
{
	static const struct {
		const char *data, *severity, *way, *name, *figure;
	} CASES[] = {
		{"category: 3, mttfd: 30 years, dc: 60 %, common-cause: 65", "2", "category",
			"category", "4"},
		{"category: 3, mttfd: 10 years, dc: 60 %, common-cause: 65", "1", "coverage", "to",
			"90"},
		{"category: 3, mttfd: 3 years, dc: 60 %, common-cause: 65", "1", "life", "to",
			"27"},
		{"category: 2, mttfd: 12 years, dc: 60 %, common-cause: 65, test-rate: 100, "
		 "test-mttfd: 50 years",
			"1", "life", "to", "30"},
		/* 27 years of 0.1 · 1000 operations. */
		{"category: 3, b10d: 300, operations: 1000, replaced-every: 1 month, dc: 60 %, "
		 "common-cause: 65",
			"1", "b10d", "b10d", "2700"},
		{"level: b, category: 3", "1", "maker", "level", "c"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		subsystems(chain(CASES[i].data));
		bench_record(&b, "severity: '2'\n    frequency: '1'\n    avoidance: '1'",
			arena_format(&b.arena, "severity: %s\n    frequency: 2\n    avoidance: 2", CASES[i].severity));
		bench_judge(&b);
		const struct finding *f = bench_finding(&b, "function-unreached", "stop-by-edge");
		cr_assert(f && f->ways, "%s", CASES[i].data);
		cr_expect_str_eq(f->ways->id, CASES[i].way, "%s: %s", CASES[i].data, f->ways->id);
		cr_expect_str_eq(bench_value(f->ways->values, CASES[i].name), CASES[i].figure, "%s: %s", CASES[i].data,
			bench_value(f->ways->values, CASES[i].name));
		cr_expect_str_eq(bench_value(f->ways->values, "subsystem"), "chain");
		bench_again(&b);
	}
}

/* --- what decided ---------------------------------------------------------------------------------- */

static bool decided(const char *id)
{
	for (size_t i = 0; i < b.result->decision_count; i++)
		if (text_equal(b.result->decisions[i].note->id, id))
			return true;
	for (size_t i = 0; i < b.result->limit_count; i++)
		if (text_equal(b.result->limits[i].limit->note.id, id))
			return true;
	return false;
}

/* Tables that decide are among what must have been read; those that were not looked up are not. */
Test(assess_functions, what_decided)
{
	bench_judge(&b);
	cr_expect(decided("risk-graph"));
	cr_expect_not(decided("annex-k") || decided("level-simplified") || decided("level-series") ||
		decided("mission-time") || decided("common-cause-enough"));
	bench_again(&b);
	subsystems(chain("level: d, category: 3"));
	bench_judge(&b);
	cr_expect(decided("level-series"));
	cr_expect_not(decided("annex-k"));
	bench_again(&b);
	subsystems(chain("category: 3, mttfd: 30 years, dc: 90 %, common-cause: 65"));
	bench_judge(&b);
	cr_expect(decided("annex-k") && decided("level-simplified") && decided("channel-cap") &&
		decided("common-cause-enough"));
	cr_expect_not(decided("annex-k-4") || decided("test-rate") || decided("mission-time"));
	bench_again(&b);
	subsystems(chain("per-hour: 2E-7 1/h, category: 3, b10d: 1000000, operations: 50000"));
	bench_judge(&b);
	cr_expect(decided("mission-time"));
}

Test(assess_functions, memory_must_have_been_read)
{
	b.tables_text = bench_replaced(&b, b.tables_text, "id: annex-k\n    standing: practice",
		"id: annex-k\n    standing: memory");
	bench_expect(&b, "");
	subsystems(chain("category: 3, mttfd: 30 years, dc: 90 %, common-cause: 65"));
	bench_expect(&b, "reading-wanted annex-k\n");
}

/* Without a table there is no level, and without a level nothing counts. */
Test(assess_functions, tables_are_missing)
{
	b.tables_text = bench_replaced(&b, b.tables_text, "id: annex-k-4\n", "id: annex-x\n");
	bench_expect(&b, LOST "function-tables functions\n");
	cr_expect_str_eq(result()->level, "");
}

/* --- steps ----------------------------------------------------------------------------------------- */

static const char *step_value(const char *id, const char *name)
{
	for (const struct step *s = result()->steps.first; s; s = s->next)
		if (text_equal(s->id, id))
			return bench_value(s->values, name);
	return "no step";
}

/* What the maker states is told as he states it, and what counts beside it. */
Test(assess_functions, steps_of_a_makers_word)
{
	static const struct {
		const char *data, *step, *level, *rate, *counts;
	} CASES[] = {
		{"level: d, per-hour: 2E-7 1/h, category: 3", "function-maker", "d", "2.00E-7",
			"no step"},
		{"per-hour: 2E-7 1/h, category: 3", "function-maker-rate", "d", "2.00E-7",
			"no step"},
		{"level: d, category: 3", "function-maker-alone", "d", "1.00E-6", "no step"},
		/* 30 years in category 3, medium: 2.65E-7 by Annex K. */
		{"level: d, per-hour: 3E-7 1/h, category: 3, mttfd: 30 years, dc: 90 %, "
		 "common-cause: 65",
			"function-maker", "d", "3.00E-7", "no step"},
		{"level: c, per-hour: 2E-7 1/h, category: 3, mttfd: 30 years, dc: 90 %, "
		 "common-cause: 65",
			"function-maker", "c", "2.00E-7", "2.65E-7"},
	};
	for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
		subsystems(chain(CASES[i].data));
		bench_judge(&b);
		cr_expect_str_eq(step_value(CASES[i].step, "level"), CASES[i].level, "%s", CASES[i].data);
		cr_expect_str_eq(step_value(CASES[i].step, "rate"), CASES[i].rate, "%s: %s", CASES[i].data,
			step_value(CASES[i].step, "rate"));
		cr_expect_str_eq(step_value("function-rate", "rate"), CASES[i].counts, "%s", CASES[i].data);
		bench_again(&b);
	}
	/* A rate of a worse level than the one stated. */
	subsystems(chain("level: d, per-hour: 2E-6 1/h, category: 3"));
	bench_judge(&b);
	cr_expect_str_eq(step_value("function-maker", "level"), "d");
	cr_expect_str_eq(step_value("reliability-band", "level"), "c");
	bench_again(&b);
	/* The maker's rate is worse, the level of the category is. */
	subsystems(chain("level: d, per-hour: 9E-7 1/h, category: 3, mttfd: 27 years, dc: 60 %, common-cause: 65"));
	bench_judge(&b);
	cr_expect_str_eq(step_value("reliability-annex-k", "rate"), "8.04E-7");
	cr_expect_str_eq(step_value("function-rate", "rate"), "9.00E-7");
	cr_expect_str_eq(result()->level, "c");
}
