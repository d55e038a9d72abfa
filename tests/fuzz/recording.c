/* Exercises src/load/recording.c, src/load/delimited.c and src/calc/curve.c. The first byte chooses what the
 * record states, the rest is the file. Headings are recognised by two patterns of the harness's own.
 * A refusal has a finding of input; what was read has finite figures. Inputs over 64 KiB are passed over. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "calc/curve.h"
#include "load/recording.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct curve_limits LIMITS = {
	.peak_n = 400, .static_n = 150, .contact_n = 25, .dynamic_s = 0.75, .end_s = 5, .rate_hz = 200,
	.baseline_n = 5, .range_n = 2000, .flat_samples = 4,
};

static void evaluate(struct arena *a, const struct recording *r)
{
	struct curve_result c = curve_evaluate(a, r, &LIMITS);
	const double figures[] = {c.rate_hz, c.longest_s, c.peak_n, c.peak_s, c.peak_bound_n, c.t0_s, c.t1_s,
		c.above_static_s, c.above_contact_s, c.static_after_n, c.end_n, c.baseline_n};
	for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
		if (!isfinite(figures[i]))
			abort();
	if (c.above_static_s > c.above_contact_s * (1 + 1e-9) || c.peak_bound_n < 0)
		abort();
	if ((c.verdict == CURVE_WITHIN) != (c.reasons == 0) || !curve_same(r, r))
		abort();
}

static void try_file(struct arena *a, const uint8_t *data, size_t size)
{
	struct findings findings;
	struct recording_list list = {NULL, 0};
	struct place nowhere = {"fuzz", 0, 0};
	findings_init(&findings, a);
	static const char *const texts[] = {
		"^(?:time|t)\\s*[\\[(/_]?\\s*(?<unit>\\w+)?[\\])]?$",
		"^(?:force|f)\\s*\\d*\\s*[\\[(/_]?\\s*(?<unit>\\w+)?[\\])]?$",
	};
	struct recording_pattern items[] = {
		{.id = "time", .role = RECORDING_TIME},
		{.id = "force", .role = RECORDING_FORCE},
	};
	for (size_t i = 0; i < 2; i++)
		items[i].pattern = pattern_compile(a, texts[i], true, nowhere, &findings);
	struct recording_patterns patterns = {items, 2};
	uint8_t choice = data[0];
	struct recording_units stated = {
		.time = choice & 1 ? "ms" : NULL, .force = choice & 2 ? "daN" : NULL,
		.separator = ",; \t"[choice >> 2 & 3], .decimal = choice & 16 ? ',' : '\0',
		.layout = (enum recording_layout)((choice >> 5 & 3) % 3),
	};
	if (choice & 128)
		stated.separator = '\0';
	bool read = recording_read(a, (const char *)data + 1, size - 1, "fuzz", &patterns,
		choice == 'x' ? NULL : &stated, &list, &findings);
	if (read == (findings_worst(&findings) == FINDING_INPUT) || (!read && list.items))
		abort();
	for (size_t i = 0; i < list.count; i++)
		evaluate(a, &list.items[i]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena arena;
	jmp_buf escape;
	if (size < 1 || size > 64 * 1024)
		return 0;
	arena_init(&arena, &escape);
	if (setjmp(escape) == 0)
		try_file(&arena, data, size);
	arena_release(&arena);
	return 0;
}
