/* Exercises src/load/library*.c: the input up to the first line "---overlay" is a shipped file, the
 * rest an overlay. A library without findings names nothing that is not there, and has every rule
 * compiled that it asks for. Inputs over 64 KiB are passed over. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "load/library.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char SEPARATOR[] = "---overlay\n";

static void require(bool holds)
{
	if (!holds)
		abort();
}

static void check_zone(const struct library *l, const struct lib_zone *zone)
{
	require(zone->note.id != NULL);
	require(!zone->plan || library_plan(l, zone->plan));
	for (size_t i = 0; i < zone->hazard_count; i++)
		for (size_t j = 0; j < zone->hazards[i].measures.count; j++)
			require(library_measure(l, zone->hazards[i].measures.items[j]) != NULL);
	for (size_t i = 0; i < zone->ask_count; i++)
		require(zone->asks[i].id != NULL);
}

static void check_whole(const struct library *l)
{
	for (size_t i = 0; i < l->types_count; i++)
		for (size_t j = 0; j < l->types[i].zones.count; j++)
			require(library_zone(l, l->types[i].zones.items[j]) != NULL);
	for (size_t i = 0; i < l->zones_count; i++)
		check_zone(l, &l->zones[i]);
	for (size_t i = 0; i < l->definitions_count; i++)
		require(l->definitions[i].rule != NULL);
	for (size_t i = 0; i < l->limits_count; i++) {
		require(l->limits[i].variant_count > 0);
		for (size_t j = 0; j < l->limits[i].variants[0].row_count; j++)
			require(l->limits[i].variants[0].rows[j].value != NULL);
	}
	for (size_t i = 0; i < l->input_rules_count; i++)
		require(l->input_rules[i].holds != NULL);
	for (size_t i = 0; i < l->causes_count; i++)
		require(l->causes[i].when != NULL);
}

static void try_library(struct arena *a, const char *text, size_t size)
{
	struct findings findings;
	struct library library = {0};
	const char *cut = size ? memmem(text, size, SEPARATOR, strlen(SEPARATOR)) : NULL;
	size_t shipped = cut ? (size_t)(cut - text) : size;
	findings_init(&findings, a);
	bool fine = library_add(a, &library, text, shipped, "shipped.yaml", false, &findings);
	require(fine || findings_worst(&findings) == FINDING_INPUT);
	if (cut)
		library_add(a, &library, cut + strlen(SEPARATOR),
			size - shipped - strlen(SEPARATOR), "overlay.yaml", true, &findings);
	library_finish(a, &library, &findings);
	require(library.draft == NULL);
	if (findings.count == 0)
		check_whole(&library);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	jmp_buf escape;
	struct arena a;
	if (size > 65536)
		return 0;
	arena_init(&a, &escape);
	if (setjmp(escape) == 0)
		try_library(&a, (const char *)data, size);
	arena_release(&a);
	return 0;
}
