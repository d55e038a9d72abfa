/* Nothing of the library is without a case, but what tests/library/missing.txt names. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "library_case.h"

#define MISSING "tests/library/missing.txt"

static struct cases c;

static void setup(void)
{
	cases_open(&c);
}

static void teardown(void)
{
	cases_close(&c);
}

TestSuite(library_complete, .init = setup, .fini = teardown);

/* Whether some record of that type has the zone with the hazard in it as it is. */
static bool in_record(const struct lib_type *type, const char *zone, const char *kind)
{
	for (size_t r = 0; r < c.shop.record_count; r++) {
		const struct gate_record *record = &c.shop.records[r];
		if (record->type != type || (kind && record_answers(record, zone, kind)))
			continue;
		for (size_t i = 0; i < record->zone_count; i++) {
			const struct lib_zone *z = record->zones[i];
			if (!text_equal(z->note.id, zone))
				continue;
			for (size_t k = 0; k < z->hazard_count; k++)
				if (!kind || text_equal(z->hazards[k].kind, kind))
					return true;
		}
	}
	return false;
}

static bool on_type(const struct node *zone_case, const struct lib_type *type)
{
	for (size_t n = 0; case_record(&c, zone_case, n); n++)
		if (case_record(&c, zone_case, n)->type == type)
			return true;
	return false;
}

/* Whether the case has a pair of that sort for the kind; NULL: for any. */
static bool has_pair(const struct node *zone_case, const char *key, const char *kind)
{
	const struct node *const *items;
	for (size_t i = 0, n = case_list(zone_case, key, &items); i < n; i++)
		if (!kind || !node_get(items[i], "kinds") || case_has(items[i], "kinds", kind))
			return true;
	return false;
}

static bool has_case(const struct lib_type *type, const char *zone, const char *key, const char *kind)
{
	for (size_t i = 0; i < c.zone_count; i++) {
		const struct node *n = c.zones[i];
		if (!text_equal(node_text(n, "zone"), zone) || !on_type(n, type))
			continue;
		if (text_equal(key, "unconditional") ? case_has(n, key, kind) : has_pair(n, key, kind))
			return true;
	}
	return false;
}

static void miss(struct buf *out, const struct lib_type *type, const char *zone, const char *what)
{
	buf_format(out, "zone %s %s %s\n", type->note.id, zone, what);
}

static void look_at_zone(struct buf *out, const struct lib_type *type, const struct lib_zone *z, bool found)
{
	const char *id = z->note.id;
	for (size_t i = 0; i < z->hazard_count; i++) {
		const struct lib_hazard *h = &z->hazards[i];
		const char *key = found ? "gone" : h->designed_out ? "designed-out" : "unconditional";
		if (!in_record(type, id, h->kind) || !has_case(type, id, key, h->kind))
			miss(out, type, id, h->kind);
	}
	if (z->absent_when && !has_case(type, id, "absent", NULL))
		miss(out, type, id, "absent");
	if (z->when && !has_case(type, id, "gone", NULL))
		miss(out, type, id, "gone");
}

static void look_at_type(struct buf *out, const struct lib_type *type)
{
	for (size_t i = 0; i < type->zones.count; i++)
		look_at_zone(out, type, library_zone(c.shop.library, type->zones.items[i]), false);
	if (type->found)
		look_at_zone(out, type, library_zone(c.shop.library, type->found), true);
}

/* A zone that no type has is not judged, and a measure that no zone lists answers nothing. */
static void look_at_measure(struct buf *out, const struct lib_measure *m)
{
	const struct node *n = cases_measure(&c, m->note.id);
	if (!node_get(n, "enough") && !node_get(n, "short"))
		buf_format(out, "measure %s\n", m->note.id);
	for (size_t i = 0; i < m->need_count; i++)
		if (!node_get(node_get(n, "short"), m->needs[i].id))
			buf_format(out, "need %s %s\n", m->note.id, m->needs[i].id);
}

static const char *read_list(struct arena *a)
{
	enum { MOST = 1 << 18 };
	char *bytes = arena_alloc(a, MOST);
	FILE *f = fopen(MISSING, "rb");
	if (!f)
		return "";
	size_t n = fread(bytes, 1, MOST - 1, f);
	fclose(f);
	bytes[n] = '\0';
	return bytes;
}

static bool has_line(const char *list, const char *line, size_t length)
{
	for (const char *s = list; *s; s += strcspn(s, "\n") + 1) {
		if (strcspn(s, "\n") == length && memcmp(s, line, length) == 0)
			return true;
		if (!s[strcspn(s, "\n")])
			break;
	}
	return false;
}

static void compare(const char *list, const char *other, const char *what)
{
	for (const char *s = list; *s; s += strcspn(s, "\n") + 1) {
		size_t n = strcspn(s, "\n");
		cr_expect(has_line(other, s, n), "%.*s: %s", (int)n, s, what);
		if (!s[n])
			break;
	}
}

static void write_list(const char *text)
{
	FILE *f = fopen(MISSING, "wb");
	cr_assert_not_null(f);
	fputs(text, f);
	fclose(f);
}

Test(library_complete, every_zone_hazard_measure_and_need_has_its_case)
{
	struct buf out;
	buf_init(&out, &c.shop.arena);
	for (size_t i = 0; i < c.shop.library->types_count; i++)
		look_at_type(&out, &c.shop.library->types[i]);
	for (size_t i = 0; i < c.shop.library->measures_count; i++)
		look_at_measure(&out, &c.shop.library->measures[i]);
	if (getenv("GOLDEN_UPDATE"))
		write_list(out.bytes);
	const char *list = read_list(&c.shop.arena);
	compare(out.bytes, list, "has no case, and " MISSING " does not name it");
	compare(list, out.bytes, "has its case: take it out of " MISSING);
}

/* What a case calls unconditional has no rule that could answer it. */
Test(library_complete, unconditional_is_what_has_no_rule)
{
	const struct node *const *items;
	for (size_t i = 0; i < c.zone_count; i++) {
		const struct lib_zone *z = library_zone(c.shop.library, node_text(c.zones[i], "zone"));
		for (size_t k = 0, n = case_list(c.zones[i], "unconditional", &items); k < n; k++) {
			bool found = false;
			for (size_t h = 0; h < z->hazard_count; h++)
				if (text_equal(z->hazards[h].kind, items[k]->text)) {
					found = true;
					cr_expect_null(z->hazards[h].designed_out, "%s:%d: %s can be designed out",
						items[k]->at.file, items[k]->at.line, items[k]->text);
				}
			cr_expect(found, "%s:%d: the zone has no %s", items[k]->at.file, items[k]->at.line,
				items[k]->text);
		}
	}
}
