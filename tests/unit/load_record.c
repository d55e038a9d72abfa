#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "load/library.h"
#include "load/phrasebook.h"
#include "load/record.h"

/* The tests run in the top folder. */
#define BAD "tests/bad/records"

static jmp_buf escape;
static struct arena a;
static struct findings found;
static struct library library;

static char *slurp(const char *path, size_t *length)
{
	FILE *f = fopen(path, "rb");
	cr_assert_not_null(f, "%s", path);
	char *bytes = arena_alloc(&a, 1 << 20);
	*length = fread(bytes, 1, (1 << 20) - 1, f);
	fclose(f);
	return bytes;
}

static void setup(void)
{
	size_t n;
	arena_init(&a, &escape);
	findings_init(&found, &a);
	memset(&library, 0, sizeof library);
	const char *bytes = slurp("tests/bad/library.yaml", &n);
	cr_assert(library_add(&a, &library, bytes, n, "library.yaml", false, &found));
	library_finish(&a, &library, &found);
	cr_assert_eq(found.count, 0, "%s", found.count ? finding_name(found.items[0]->code) : "");
}

static void teardown(void)
{
	arena_release(&a);
}

TestSuite(load_record, .init = setup, .fini = teardown);

static struct record *load(const char *text)
{
	return record_load(&a, text, strlen(text), "gate.yaml", "", &library, &found);
}

/* One line a finding: code, line:column, path; by line and column. */
static const char *listed(void)
{
	struct buf b;
	buf_init(&b, &a);
	findings_sort(&found);
	for (int line = 0; line < 100; line++)
		for (size_t i = 0; i < found.count; i++) {
			const struct finding *f = found.items[i];
			if (f->at.line == line)
				buf_format(&b, "%s %d:%d %s\n", finding_name(f->code), f->at.line,
					f->at.column, f->subject);
		}
	return b.bytes;
}

/* Every value that the words of a finding and its ways ask for is given. */
static void check_words(const struct phrasebook *words, const char *name)
{
	for (size_t i = 0; i < found.count; i++) {
		const struct finding *f = found.items[i];
		const char *message = phrase_finding(&a, words, f);
		cr_expect(strchr(message, ' ') && !strstr(message, "{{"), "%s: %s", name, message);
		for (const struct way *w = f->ways; w; w = w->next) {
			const char *way = phrase_way(&a, words, f, w);
			cr_expect(strchr(way, ' ') && !strstr(way, "{{"), "%s: %s", name, way);
		}
	}
}

static void load_words(struct phrasebook *words)
{
	static const char *const FILES[] = {"templates/en/findings.yaml", "templates/en/ways.yaml"};
	size_t n;
	for (size_t i = 0; i < 2; i++) {
		const char *bytes = slurp(FILES[i], &n);
		cr_assert(phrasebook_add(&a, words, bytes, n, FILES[i], &found));
	}
	phrasebook_finish(&a, words, &found);
	cr_assert_eq(found.count, 0);
}

Test(load_record, each_broken_record_is_told_where_and_what)
{
	struct phrasebook words = {0};
	size_t cases = 0, n;
	DIR *folder = opendir(BAD);
	cr_assert_not_null(folder);
	load_words(&words);
	for (struct dirent *e; (e = readdir(folder));) {
		if (!text_ends(e->d_name, ".yaml"))
			continue;
		const char *stem = arena_copy(&a, e->d_name, strlen(e->d_name) - strlen(".yaml"));
		const char *bytes = slurp(arena_format(&a, BAD "/%s", e->d_name), &n);
		findings_init(&found, &a);
		record_load(&a, bytes, n, e->d_name, "", &library, &found);
		const char *expected = slurp(arena_format(&a, BAD "/%s.expect", stem), &n);
		cr_expect_str_eq(listed(), expected, "%s:\n%s-- expected --\n%s", stem, listed(), expected);
		check_words(&words, stem);
		cases++;
	}
	closedir(folder);
	cr_expect_geq(cases, 50);
}

static const char GOOD[] =
	"# yaml-language-server: $schema=record.schema.json\n"
	"record: 1\n"
	"job: {standards: en-12453-2017-a1, first-use: 2027-03-01}\n"
	"site:\n"
	"  users: residents\n"
	"  neighbour-side: none\n"
	"  x-note: {any: [thing]}\n"
	"gate:\n"
	"  type: slider\n"
	"  dimensions:\n"
	"    opening: 4.2 m ± 5 mm\n"
	"    level: yes\n"
	"  ground: {slope: 2 %}\n"
	"  leaves:\n"
	"    - {id: leaf-1, mass: 350 kg}\n"
	"drive:\n"
	"  thrust: '?'\n"
	"  battery: unknown\n"
	"  evidence: [paper:manual, photo:plate]\n"
	"devices:\n"
	"  - id: edge-1\n"
	"    directions:\n"
	"      n/a: it hangs on the post\n"
	"    serial: 'n/a: worn off'\n"
	"    zones: [main-edge@leaf-1]\n"
	"  - {id: beam-1, zones: []}\n"
	"zones:\n"
	"  main-edge@leaf-1:\n"
	"    as: protected\n"
	"    facts: {gap: 30 mm, cover: none}\n"
	"  post~wall: {}\n"
	"checks: none\n"
	"changes: []\n"
	"papers:\n"
	"photos: '?'\n";

Test(load_record, values_keep_state_and_place)
{
	struct record *r = load(GOOD);
	cr_assert_not_null(r);
	cr_expect_str_eq(listed(), "");
	cr_expect_eq(r->type, library_type(&library, "slider"));
	cr_expect_eq(r->length, strlen(GOOD));
	cr_expect_str_eq(r->text, GOOD);
	const struct fact *opening = record_fact(r, "gate.dimensions.opening");
	cr_expect_eq(opening->state, FACT_GIVEN);
	cr_expect_float_eq(opening->quantity.value, 4.2, 1e-12);
	cr_expect_float_eq(opening->quantity.low, 4.195, 1e-12);
	cr_expect_eq(opening->at.line, 11);
	cr_expect_eq(opening->at.column, 14);
	cr_expect_float_eq(record_fact(r, "gate.ground.slope")->quantity.value, 0.02, 1e-12);
	cr_expect_eq(record_fact(r, "gate.dimensions.level")->truth, TRUTH_YES);
	cr_expect_eq(record_fact(r, "drive.thrust")->state, FACT_UNKNOWN);
	cr_expect_eq(record_fact(r, "drive.battery")->state, FACT_UNKNOWN);
	cr_expect_eq(record_fact(r, "site.neighbour-side")->state, FACT_NONE);
	cr_expect(fact_has(record_fact(r, "drive.evidence"), "photo:plate"));
	cr_expect_eq(record_fact(r, "drive.evidence")->list_at[1].column, 28);
}

Test(load_record, a_single_word_is_a_list_of_one)
{
	const struct fact *users = record_fact(load(GOOD), "site.users");
	cr_assert_eq(users->count, 1);
	cr_expect(fact_has(users, "residents"));
	cr_expect_str_eq(users->text, "residents");
}

Test(load_record, not_applicable_is_read_quoted_and_as_a_map)
{
	const struct item *edge = record_item(load(GOOD), "devices", "edge-1");
	cr_assert_not_null(edge);
	cr_expect_eq(item_fact(edge, "directions")->state, FACT_NOT_APPLICABLE);
	cr_expect_str_eq(item_fact(edge, "directions")->text, "it hangs on the post");
	cr_expect_eq(item_fact(edge, "serial")->state, FACT_NOT_APPLICABLE);
	cr_expect_str_eq(item_fact(edge, "serial")->text, "worn off");
}

Test(load_record, what_is_missing_has_the_place_of_its_group)
{
	struct record *r = load(GOOD);
	const struct fact *maker = record_fact(r, "drive.maker"), *place = record_fact(r, "signature.place");
	cr_expect_eq(maker->state, FACT_ABSENT);
	cr_expect_eq(maker->at.line, 16);
	cr_expect_eq(maker->at.column, 1);
	cr_expect_eq(place->at.line, 2, "the root, when the whole section is missing");
	cr_expect_eq(record_fact(r, "gate.dimensions.rack")->at.line, 10);
	cr_expect_eq(item_fact(record_item(r, "devices", "beam-1"), "maker")->at.line, 26);
	cr_expect_eq(record_list(r, "gate.bodies")->at.line, 8);
	cr_expect_eq(record_list(r, "functions")->at.line, 2);
}

Test(load_record, lists_are_there_or_not)
{
	struct record *r = load(GOOD);
	cr_expect(record_list(r, "checks")->present, "none counts");
	cr_expect(record_list(r, "changes")->present, "so does an empty list");
	cr_expect_not(record_list(r, "papers")->present, "nothing written does not");
	cr_expect_not(record_list(r, "photos")->present, "nor does unknown");
	cr_expect_not(record_list(r, "functions")->present);
	cr_expect_eq(record_list(r, "zones")->count, 2);
	cr_expect_eq(item_fact(record_item(r, "devices", "beam-1"), "zones")->state, FACT_NONE);
}

Test(load_record, a_declared_word_may_be_none)
{
	const struct item *zone = record_item(load(GOOD), "zones", "main-edge@leaf-1");
	cr_expect(fact_is(item_fact(zone, "facts.cover"), "none"));
	cr_expect_float_eq(item_fact(zone, "facts.gap")->quantity.value, 0.03, 1e-12);
}

Test(load_record, facts_of_the_root_and_of_items_are_sorted)
{
	struct record *r = load(GOOD);
	const struct item *zone = record_item(r, "zones", "main-edge@leaf-1");
	for (size_t i = 1; i < r->root.count; i++)
		cr_expect_lt(strcmp(r->root.facts[i - 1].key, r->root.facts[i].key), 0);
	for (size_t i = 1; i < zone->count; i++)
		cr_expect_lt(strcmp(zone->facts[i - 1].key, zone->facts[i].key), 0);
}

Test(load_record, an_unknown_entry_leaves_the_list_unknown)
{
	struct record *r = load("record: 1\nsite: {users: [residents, '?']}\n");
	cr_expect_eq(found.count, 0);
	cr_expect_eq(record_fact(r, "site.users")->state, FACT_UNKNOWN);
}

Test(load_record, what_cannot_be_read_is_unknown)
{
	struct record *r = load("record: 1\ndrive: {thrust: 450, battery: perhaps, evidence: [paper:a, b]}\n");
	cr_expect_eq(found.count, 3);
	cr_expect_eq(record_fact(r, "drive.thrust")->state, FACT_UNKNOWN);
	cr_expect_eq(record_fact(r, "drive.battery")->state, FACT_UNKNOWN);
	cr_expect_eq(record_fact(r, "drive.evidence")->state, FACT_UNKNOWN);
}

Test(load_record, slips_are_answered_with_the_nearest_word)
{
	load("record: 1\ndrive: {batery: yes}\njob: {work: new-gat}\n");
	cr_assert_eq(found.count, 2);
	for (size_t i = 0; i < 2; i++) {
		const struct way *w = found.items[i]->ways;
		cr_assert_not_null(w);
		cr_expect_str_eq(w->id, "did-you-mean");
		cr_expect(text_equal(w->values->value, "battery") || text_equal(w->values->value, "new-gate"));
		cr_expect_str_eq(w->next->id, "one-of");
	}
}

Test(load_record, without_a_library_declared_values_are_left_out)
{
	struct record *r = record_load(&a, GOOD, strlen(GOOD), "gate.yaml", "", NULL, &found);
	cr_assert_not_null(r);
	cr_expect_eq(found.count, 0);
	cr_expect_null(r->type);
	cr_expect_eq(record_fact(r, "gate.dimensions.opening")->state, FACT_ABSENT);
}

/* SHA-256 of nothing: FIPS 180-4. Some programs print it in capitals. */
Test(load_record, digests_compare_in_small_letters)
{
	struct record *r = load("record: 1\npapers:\n  - id: a\n    sha256: "
		"E3B0C44298FC1C149AFBF4C8996FB92427AE41E4649B934CA495991B7852B855\n");
	cr_expect_eq(found.count, 0);
	cr_expect_str_eq(item_fact(record_item(r, "papers", "a"), "sha256")->text,
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

Test(load_record, more_items_than_any_gate_has_are_refused)
{
	struct buf b;
	buf_init(&b, &a);
	buf_put(&b, "record: 1\nphotos:\n");
	for (int i = 0; i <= RECORD_ITEMS_MAX; i++)
		buf_format(&b, "  - {id: p%d}\n", i);
	struct record *r = load(b.bytes);
	cr_assert_not_null(r);
	cr_expect_str_eq(listed(), "record-too-many 3:3 photos\n");
	cr_expect_eq(record_list(r, "photos")->count, 0);
}
