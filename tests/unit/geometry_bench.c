#include "geometry_bench.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void gap_open(struct bench *b)
{
	bench_open(b);
	char *bytes = arena_alloc(&b->arena, 1 << 16);
	FILE *f = fopen("tests/unit/bench/geometry.yaml", "rb");
	cr_assert_not_null(f, "the tests run in the top folder");
	bytes[fread(bytes, 1, (1 << 16) - 1, f)] = '\0';
	fclose(f);
	b->library_text = bytes;
}

void gap_record(struct bench *b, const char *type, const char *dimensions, const char *bodies)
{
	b->record_text = arena_format(&b->arena,
		"record: 1\n"
		"site: {standing-height: 0 mm}\n"
		"gate:\n"
		"  type: %s\n"
		"  dimensions: {%s}\n"
		"  infill: {kind: sheet}\n"
		"  ground: {slope: 0 %%, across: 0 %%, gap: 50 mm}\n"
		"  play: {sideways: 0 mm, flex: 0 mm, sag: 0 mm}\n"
		"  leaves: [{id: wing, mass: 90 kg, length: 2 m, height: 1.8 m, material: steel}]\n"
		"  bodies: [%s]\n"
		"drive: {over-travel-opening: 0 mm, over-travel-closing: 0 mm, speed-opening: 0.2 "
		"m/s,\n"
		"  speed-closing: 0.1 m/s}\n"
		"zones: {}\n"
		"photos:\n"
		"  - {id: view, file: photos/view.jpg, shows: A, taken: 2026-06-02,\n"
		"     sha256: 0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a0a}\n",
		type, dimensions, bodies);
}

void gap_judge(struct bench *b, const char *type, const char *dimensions, const char *bodies)
{
	gap_record(b, type, dimensions, bodies);
	bench_judge(b);
}

const struct clearance_result *gap_pair(const struct bench *b, const char *key)
{
	const struct geometry *g = b->result->geometry;
	for (size_t i = 0; g && i < g->clearance_count; i++)
		if (text_equal(g->clearances[i].key, key))
			return &g->clearances[i];
	return NULL;
}

const struct clearance_result *gap_known(const struct bench *b, const char *key)
{
	const struct clearance_result *r = gap_pair(b, key);
	cr_assert(r && r->knot_count, "%s was not computed", key);
	return r;
}

bool gap_hurts(const struct clearance_result *r, const char *part)
{
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (text_equal(CLEARANCE_PART[i], part))
			return r->parts & 1u << i;
	return false;
}

const char *gap_parts(struct bench *b, const struct clearance_result *r)
{
	struct buf out;
	buf_init(&out, &b->arena);
	for (size_t i = 0; i < CLEARANCE_PARTS; i++)
		if (r->parts & 1u << i)
			buf_format(&out, "%s%s", out.length ? " " : "", CLEARANCE_PART[i]);
	return out.bytes;
}

const struct zone_result *gap_zone(const struct bench *b, const char *key)
{
	for (size_t i = 0; i < b->result->zone_count; i++)
		if (text_equal(b->result->zones[i].key, key))
			return &b->result->zones[i];
	return NULL;
}

const char *gap_zones(struct bench *b)
{
	struct buf out;
	buf_init(&out, &b->arena);
	for (size_t i = 0; i < b->result->zone_count; i++)
		buf_format(&out, "%s\n", b->result->zones[i].key);
	return out.bytes;
}

bool gap_has_zones(struct bench *b, const char *keys)
{
	for (const char *p = keys; *p; p += strcspn(p, "\n") + 1)
		if (!gap_zone(b, arena_copy(&b->arena, p, strcspn(p, "\n"))))
			return false;
	return true;
}

const char *gap_way(const struct finding *f, const char *way, const char *name)
{
	for (const struct way *w = f ? f->ways : NULL; w; w = w->next)
		if (text_equal(w->id, way))
			return bench_value(w->values, name);
	return "";
}

double gap_random(double low, double high)
{
	return low + (high - low) * rand() / RAND_MAX;
}
