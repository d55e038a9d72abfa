/* The technical file and the declaration of a small assessment made by hand: one zone, one hazard, one
 * force point. What must be read where is from the contract of the documents; figures are worked out
 * beside the checks. */
#include <criterion/criterion.h>
#include <setjmp.h>
#include <string.h>

#include "base/text.h"
#include "doc/declaration.h"
#include "doc/technical_file.h"

TestSuite(doc_technical_file);

static struct arena a;
static jmp_buf escape;
static struct findings faults, open_points;

/* ---- the record: facts in order of their keys --------------------------------------------------- */

static struct fact text_fact(enum field_kind kind, const char *text)
{
	return (struct fact){.state = FACT_GIVEN, .kind = kind, .text = text};
}

static struct fact length_fact(const char *text)
{
	struct fact f = text_fact(FIELD_QUANTITY, text);
	cr_assert_eq(quantity_read(text, &f.quantity), QUANTITY_FINE);
	return f;
}

static struct fact date_fact(const char *text)
{
	struct fact f = text_fact(FIELD_DATE, text);
	cr_assert(date_read(text, &f.date));
	return f;
}

static struct fact list_fact(enum field_kind kind, const char *const *list, size_t count)
{
	struct fact f = text_fact(kind, "");
	f.list = list;
	f.count = count;
	return f;
}

static const char *const EVIDENCE[] = {"photo:edge", "paper:gone"};
static const char *const STANDARDS[] = {"en-12453", "house-rule"};

static struct fact_entry *root_facts(size_t *count)
{
	struct fact_entry facts[] = {
		{"gate.dimensions.clear-opening", length_fact("4 m")},
		{"gate.dimensions.leaf-length", length_fact("6 m")},
		{"gate.name", text_fact(FIELD_TEXT, "North *gate* {{x}}")},
		{"job.first-use", date_fact("2026-11-20")},
		{"job.reference", text_fact(FIELD_TEXT, "J-17")},
		{"job.standards", list_fact(FIELD_WORDS, STANDARDS, 2)},
		{"signature.date", date_fact("2026-11-25")},
		{"signature.place", text_fact(FIELD_TEXT, "Cork")},
	};
	struct fact_entry *kept = arena_alloc(&a, sizeof facts);
	memcpy(kept, facts, sizeof facts);
	*count = sizeof facts / sizeof *facts;
	return kept;
}

static struct item make_item(const char *id, const struct fact_entry *facts, size_t count)
{
	struct item i = {.id = id, .count = count, .facts = arena_array(&a, count, sizeof *facts)};
	memcpy(i.facts, facts, count * sizeof *facts);
	return i;
}

static struct record make_record(void)
{
	struct fact_entry zone[] = {{"as", text_fact(FIELD_WORD, "protected")},
		{"evidence", list_fact(FIELD_EVIDENCE, EVIDENCE, 2)}, {"facts.gap", length_fact("62 mm ± 3 mm")},
		{"residual", text_fact(FIELD_TEXT, "A light touch | of the *edge*")}};
	struct fact_entry photo[] = {{"file", text_fact(FIELD_FILE, "photos/edge.jpg")},
		{"shows", text_fact(FIELD_TEXT, "The edge")}};
	struct fact_entry point[] = {{"typed-peaks", text_fact(FIELD_TEXT, "310, 320")}};
	struct item_list lists[] = {
		{.path = "zones", .present = true, .count = 1},
		{.path = "photos", .present = true, .count = 1},
		{.path = "force.points", .present = true, .count = 1},
		{.path = "papers", .present = true},
	};
	struct record r = {.file = "gate.yaml", .text = "record: 1\n# \x07 bell\n\nlast",
		.digest = "00ff10a2b3c4d5e6f708192a3b4c5d6e7f8091a2b3c4d5e6f708192a3b4c5d6e"};
	r.length = strlen(r.text);
	r.lists = arena_alloc(&a, sizeof lists);
	r.list_count = 4;
	memcpy(r.lists, lists, sizeof lists);
	for (size_t i = 0; i < 3; i++)
		r.lists[i].items = arena_alloc(&a, sizeof(struct item));
	r.lists[0].items[0] = make_item("main-edge@leaf-1", zone, 4);
	r.lists[1].items[0] = make_item("edge", photo, 2);
	r.lists[2].items[0] = make_item("p1", point, 1);
	r.root.id = "";
	r.root.facts = root_facts(&r.root.count);
	return r;
}

/* ---- library and words -------------------------------------------------------------------------- */

static const char *const REQUIREMENTS[] = {"ehsr-1.3.7"}, *const ARISES[] = {"closing"};

static struct lib_hazard HAZARD = {.kind = "crushing", .harm = "serious",
	.arises = {ARISES, 1}, .requirements = {REQUIREMENTS, 1}};
static struct lib_field GAP = {.id = "gap"};
static struct lib_zone ZONE = {.note = {.id = "main-edge", .source = "EN 12453, 5.1",
	.standing = STANDING_MEMORY}, .hazards = &HAZARD, .hazard_count = 1,
	.asks = &GAP, .ask_count = 1};
static struct lib_measure MEASURE = {.note = {.id = "edge", .source = "EN 12978",
	.standing = STANDING_PUBLISHED}, .step = "safeguard", .protection = "C"};
static struct lib_requirement REQUIREMENT = {.note = {.id = "ehsr-1.3.7"}, .directive = "1.3.7",
	.regulation = "R 1.3.7"};
static struct lib_limit LIMIT = {.note = {.id = "finger-gap"}};
static struct lib_limit_row ROW = {.source = "Table 4", .standing = STANDING_MEMORY};
static struct lib_limit_variant VARIANT = {.id = "wide"};
static struct lib_citation CITATION = {.regime = "eu", .reference = "OJ L 1", .from = {2026, 1, 1},
	.to = {2026, 12, 31}};
static struct lib_standard STANDARD = {.note = {.id = "en-12453"}, .number = "EN 12453",
	.edition = "2017", .citations = &CITATION, .citation_count = 1};
static struct lib_item ITEMS[] = {{.no = "1", .id = "maker"}, {.no = "2", .id = "left-out"},
	{.no = "7", .id = "standards"}};
static struct lib_regime REGIME = {.note = {.id = "eu"}, .numbering = "directive", .act = "The act",
	.reference = "OJ L 157", .items = ITEMS, .item_count = 3};

static const char TEMPLATE[] =
	"{{block cover}}\n\n# Zones\n\nOf {{gate.name}}: {{zones.count}}.\n\n{{block zone-index}}\n\n"
	"{{block risk-assessment}}\n\n# Rest\n\n{{block open-points}}\n\n{{block evidence-matrix}}\n\n"
	"{{block standards}}\n\n{{block force-table}}\n\n{{block force-plots}}\n\n"
	"{{block residual-risks}}\n\n{{block declaration-copy}}\n\n{{block drawing-plan}}\n\n"
	"{{block record-appendix}}\n";

/* Sorted by key. */
static struct phrase PHRASES[] = {
	{.key = "declaration.eu.left-out", .text = "Never."},
	{.key = "declaration.eu.maker", .text = "I declare for {{gate.name}}."},
	{.key = "declaration.eu.standards", .text = "{{standards.harmonised}} / {{standards.other}}"},
	{.key = "findings.zone-open.message", .text = "Zone {{zone}} is open."},
	{.key = "findings.zone-open.ways.widen", .text = "Widen by {{by}}."},
	{.key = "hazards.crushing.title", .text = "Crushing"},
	{.key = "labels-doc.draft", .text = "Draft: {{count}} open"},
	{.key = "labels-doc.outcome-answered", .text = "answered"},
	{.key = "labels-doc.outcome-open", .text = "still open"},
	{.key = "labels-doc.within-limit", .text = "within the limit"},
	{.key = "labels-doc.zone-number", .text = "Zone {{zone}}"},
	{.key = "measures.edge.title", .text = "Pressure edge"},
	{.key = "regimes.eu.declaration-title", .text = "EC declaration"},
	{.key = "zones.main-edge.facts.gap", .text = "Gap left"},
	{.key = "zones.main-edge.title", .text = "Main edge"},
};
static struct phrase DOCUMENTS[] = {
	{.key = "declaration", .text = "# {{regime.declaration-title}}\n\n{{block declaration-items}}\n\n"
		"{{block signature}}\n"},
	{.key = "technical-file", .text = TEMPLATE},
};
static const struct phrasebook BOOK = {.language = "en", .phrases = PHRASES,
	.count = sizeof PHRASES / sizeof *PHRASES, .documents = DOCUMENTS, .document_count = 2};

/* ---- the assessment ----------------------------------------------------------------------------- */

static struct value unknown_name(void *subject, const char *name)
{
	(void)subject;
	(void)name;
	return value_unknown();
}

static struct doc_input make_input(bool ready)
{
	static struct record record;
	static struct library library;
	static struct rule_names names = {NULL, unknown_name, NULL};
	static struct job_files files;
	cr_assert(setjmp(escape) == 0);
	arena_init(&a, &escape);
	findings_init(&faults, &a);
	findings_init(&open_points, &a);
	record = make_record();
	library = (struct library){.standards = &STANDARD, .standards_count = 1, .measures = &MEASURE,
		.measures_count = 1, .requirements = &REQUIREMENT, .requirements_count = 1};
	struct assessment *s = arena_alloc(&a, sizeof *s);
	struct hazard_result *h = arena_alloc(&a, sizeof *h);
	*h = (struct hazard_result){.hazard = &HAZARD, .shown = "gap 62 mm ≥ 50 mm", .by = &MEASURE,
		.outcome = ready ? OUTCOME_ANSWERED : OUTCOME_OPEN, .risk_before = "high",
		.risk_after = "low"};
	struct zone_result *z = arena_alloc(&a, sizeof *z);
	*z = (struct zone_result){.number = 3, .key = "main-edge@leaf-1", .zone = &ZONE,
		.entry = &record.lists[0].items[0], .outcome = h->outcome, .hazards = h, .hazard_count = 1};
	struct requirement_result *q = arena_alloc(&a, sizeof *q);
	const struct zone_result **zones = arena_alloc(&a, sizeof(void *));
	*zones = z;
	*q = (struct requirement_result){&REQUIREMENT, true, zones, 1, h->outcome};
	struct run_result *run = arena_alloc(&a, sizeof *run);
	*run = (struct run_result){.file = "curves/a.csv", .usable = true, .counts_once = true,
		.verdict = "within", .peak = 312.4};
	struct point_result *p = arena_alloc(&a, sizeof *p);
	*p = (struct point_result){.id = "p1", .zone_key = z->key, .direction = "closing", .gap = 0.05,
		.height = 0.3, .limit = 400, .limit_source = "Table A.1", .entry = &record.lists[2].items[0],
		.runs = run, .run_count = 1, .usable = 1, .mean_peak = 312.4,
		.outcome = ready ? OUTCOME_ANSWERED : OUTCOME_OPEN};
	struct limit_use *u = arena_alloc(&a, sizeof *u);
	*u = (struct limit_use){.limit = &LIMIT, .variant = &VARIANT, .row = &ROW, .loosened = true,
		.value = quantity_of(0.01, DIM_LENGTH), .used_for = z->key};
	struct declaration_item *d = arena_array(&a, 3, sizeof *d);
	for (size_t i = 0; i < 3; i++)
		d[i] = (struct declaration_item){&ITEMS[i], i != 1, true, ""};
	*s = (struct assessment){.record = &record, .library = &library, .regime = &REGIME, .zones = z,
		.zone_count = 1, .points = p, .point_count = 1, .requirements = q, .requirement_count = 1,
		.limits = u, .limit_count = 1, .items = d, .item_count = 3, .activation = "automatic",
		.use = "public", .ready = ready, .findings = &open_points};
	if (!ready) {
		struct finding *f = finding_add(&open_points, FINDING_CODE_ZONE_OPEN, z->key,
			(struct place){"gate.yaml", 41, 3});
		finding_with(&open_points, f, "zone", "3");
		way_with(&open_points, finding_way(&open_points, f, "widen"), "by", "12 mm");
	}
	return (struct doc_input){s, &BOOK, &files, "9.9", &names, &faults};
}

static const char *dump(bool ready, struct document **out)
{
	struct doc_input input = make_input(ready);
	*out = technical_file_build(&a, &input);
	cr_expect_eq(faults.count, 0);
	return document_dump(&a, *out);
}

static void expect_all(const char *text, const char *const *parts, size_t count)
{
	for (size_t i = 0; i < count; i++)
		cr_expect(strstr(text, parts[i]) != NULL, "missing: %s\nin:\n%s", parts[i], text);
}

Test(doc_technical_file, a_draft_says_so_and_has_no_declaration)
{
	struct doc_input input = make_input(false);
	cr_expect(declaration_build(&a, &input) == NULL);
	struct document *d = technical_file_build(&a, &input);
	cr_expect_str_eq(d->draft, "Draft: 1 open");
	const char *text = document_dump(&a, d);
	static const char *const parts[] = {
		"\"no-declaration\"",
		"\"Zone 3 is open.\"", "\"gate.yaml:41  \"", "\"Widen by 12 mm.\"",
	};
	expect_all(text, parts, sizeof parts / sizeof *parts);
	/* The words of the declaration are in the declaration only. */
	cr_expect(strstr(text, "I declare") == NULL);
	arena_release(&a);
}

Test(doc_technical_file, every_part_says_what_was_found)
{
	struct document *d;
	const char *text = dump(true, &d);
	cr_expect(d->draft == NULL);
	static const char *const parts[] = {
		/* cover: the loosened limit by name, its value and its standing */
		"heading 0 #cover", "\"J-17\"", "bs\"named-loosened\" s\" finger-gap (10 mm).\"",
		/* values are text, never markup */
		"paragraph \"Of North *gate* {{x}}: 1.\"",
		/* index and zone */
		"| \"3\" | \"Main edge\"->zone-main-edge@leaf-1 |",
		"heading 2 numbered #zone-main-edge@leaf-1 \"Zone 3  Main edge\"",
		"| \"Crushing\" | \"closing\" | \"serious\" | \"high → low\" | \"Pressure edge\""
		" \"\\n\" g\"gap 62 mm ≥ 50 mm\" | \"answered\"",
		"| g\"Gap left\" | \"62 mm ± 3 mm\"",
		"\"cited-photo edge\"->photo-edge", "\"paper:gone (not-on-record)\"",
		/* from requirement to zone, measure, test and page */
		"| \"1.3.7\"->requirement-ehsr-1.3.7 | \"3\"->zone-main-edge@leaf-1 | \"Pressure edge\" |",
		"page->zone-main-edge@leaf-1",
		/* standards: cited on the day, and not in the library */
		"| \"EN 12453:2017\" |", "\"OJ L 1\"", "| \"house-rule\" | \"not-in-library\"",
		/* force: no recording could be read, so no figure is shown for it */
		"| \"p1\"->point-p1 | \"3\"->zone-main-edge@leaf-1 | \"1\" | \"312 N\" | \"400 N\" |",
		"| \"curves/a.csv\" | \"–\" | \"–\"", "| \"unusable\"", "b\"within the limit\"", "\"typed-peaks\"",
		"\"A light touch | of the *edge*\"",
		"\"I declare for North *gate* {{x}}.\"",
		/* no body of the type: said, not drawn */
		"\"no-drawing\"",
		/* the record, line by line, control characters made visible */
		"literal \"   1  record: 1\\n   2  # \\\\x07 bell\\n   3  \\n   4  last\\n\"",
		"00ff10a2b3c4d5e6f708192a3b4c5d6e7f8091a2b3c4d5e6f708192a3b4c5d6e",
	};
	expect_all(text, parts, sizeof parts / sizeof *parts);
	cr_expect(strstr(text, "Never.") == NULL, "an item that does not apply");
	arena_release(&a);
}

Test(doc_technical_file, metadata_come_from_the_record)
{
	struct doc_input input = make_input(true);
	struct document *first = technical_file_build(&a, &input);
	cr_expect_str_eq(first->stamp, "2026-11-25");
	cr_expect_str_eq(first->language, "en");
	struct document *second = declaration_build(&a, &input);
	cr_expect(memcmp(first->id, second->id, sizeof first->id) != 0, "two documents, two identifiers");
	arena_release(&a);
}

Test(doc_technical_file, the_declaration_lists_the_items_that_apply)
{
	struct doc_input input = make_input(true);
	struct document *d = declaration_build(&a, &input);
	cr_assert(d != NULL);
	cr_expect_eq(faults.count, 0);
	static const char *const parts[] = {
		"heading 0 #ec-declaration \"EC declaration\"",
		"row | b\"1\" | \"I declare for North *gate* {{x}}.\"",
		"row | b\"7\" | \"EN 12453:2017 / house-rule\"",
		"\"place-and-date: Cork, 2026-11-25\"",
		"sign 18 mm",
	};
	const char *text = document_dump(&a, d);
	expect_all(text, parts, sizeof parts / sizeof *parts);
	cr_expect(strstr(text, "Never.") == NULL);
	arena_release(&a);
}

Test(doc_technical_file, a_citation_out_of_its_dates_does_not_count)
{
	struct doc_input input = make_input(true);
	CITATION.to = (struct date){2026, 11, 19}; /* first use is the 20th */
	const char *text = document_dump(&a, declaration_build(&a, &input));
	cr_expect(strstr(text, "\"none / EN 12453:2017, house-rule\"") != NULL, "%s", text);
	arena_release(&a);
}
