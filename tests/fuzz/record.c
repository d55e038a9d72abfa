/* Exercises src/load/record.c, src/load/fact.c, src/load/schema.c and src/yaml/bind.c, with a small
 * library of the harness's own. What is not read has a finding; what is read has sorted facts, each
 * of them whole for its kind. Inputs over 64 KiB are passed over. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "load/library.h"
#include "load/record.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char LIBRARY[] =
	"library: 1\n"
	"types: [{id: slider, standing: practice, family: f, movement: horizontal, zones: [edge],\n"
	"  dimensions: [{id: opening, is: length, to: 20 m}, {id: rack, is: word, choices: [a, "
	"b]}]}]\n"
	"zones: [{id: edge, standing: practice, asks: [{id: gap, is: length}, {id: seen, is: "
	"date}],\n"
	"  hazards: [{kind: crushing, harm: minor}]}]\n"
	"checks: [{id: stop, standing: practice, asks: [{id: tries, is: count}, {id: all, is: "
	"truth}]}]\n";

static void require(bool holds)
{
	if (!holds)
		abort();
}

static void check_fact(const struct fact *f)
{
	require(f->text != NULL);
	if (f->state != FACT_GIVEN)
		return;
	require(f->at.line > 0 && f->at.column > 0);
	if (f->kind == FIELD_QUANTITY || f->kind == FIELD_COUNT)
		require(isfinite(f->quantity.value) && f->quantity.low <= f->quantity.value &&
			f->quantity.value <= f->quantity.high);
	if (f->kind == FIELD_DATE)
		require(date_given(f->date));
	if (f->kind == FIELD_TRUTH)
		require(f->truth == TRUTH_YES || f->truth == TRUTH_NO);
	if (f->kind == FIELD_SHA256)
		require(strlen(f->text) == 64);
	for (size_t i = 0; i < f->count; i++)
		require(f->list[i] && f->list_at[i].line > 0);
}

static void check_item(const struct item *item)
{
	require(item->id != NULL);
	for (size_t i = 0; i < item->count; i++) {
		check_fact(&item->facts[i].fact);
		require(!i || strcmp(item->facts[i - 1].key, item->facts[i].key) < 0);
		require(item_fact(item, item->facts[i].key) == &item->facts[i].fact);
	}
}

static void try_record(struct arena *a, const uint8_t *data, size_t size)
{
	struct findings findings;
	struct library library = {0};
	findings_init(&findings, a);
	require(library_add(a, &library, LIBRARY, strlen(LIBRARY), "library", false, &findings));
	library_finish(a, &library, &findings);
	require(findings.count == 0);
	const struct record *r =
		record_load(a, (const char *)data, size, "gate.yaml", "", &library, &findings);
	require(r || findings_worst(&findings) == FINDING_INPUT);
	if (!r)
		return;
	require(r->length == size && memcmp(r->text, data, size) == 0);
	check_item(&r->root);
	for (size_t i = 0; i < r->list_count; i++)
		for (size_t j = 0; j < r->lists[i].count; j++)
			check_item(&r->lists[i].items[j]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	jmp_buf escape;
	struct arena a;
	if (size > 65536)
		return 0;
	arena_init(&a, &escape);
	if (setjmp(escape) == 0)
		try_record(&a, data, size);
	arena_release(&a);
	return 0;
}
