/* Recordings in the dialects that meters export; and what cannot be read without guessing. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "load/recording.h"
#include "recording_patterns.h"

static struct arena arena;
static jmp_buf escape;
static struct recording_patterns patterns;
static struct findings findings;

static void open_arena(void)
{
	if (setjmp(escape))
		cr_assert_fail("out of memory");
	arena_init(&arena, &escape);
	patterns = patterns_shipped(&arena);
	findings_init(&findings, &arena);
}

static void close_arena(void)
{
	arena_release(&arena);
}

TestSuite(load_recording, .init = open_arena, .fini = close_arena);

static struct recording_list list;

static bool read_bytes(const char *bytes, size_t length, const struct recording_units *stated)
{
	findings_init(&findings, &arena);
	list = (struct recording_list){NULL, 0};
	return recording_read(&arena, bytes, length, "trial.csv", &patterns, stated, &list, &findings);
}

static bool read_text(const char *text, const struct recording_units *stated)
{
	return read_bytes(text, strlen(text), stated);
}

static const char *first_finding(void)
{
	return findings.count ? finding_name(findings.items[0]->code) : "none";
}

/* Each text holds the samples 0 s 0 N, 0.001 s 12.5 N, 0.002 s 250 N. */
Test(load_recording, dialects)
{
	static const char *const texts[] = {
		"Time [s],Force [N]\n0,0\n0.001,12.5\n0.002,250\n",
		"Time [s];Force [N]\n0;0\n0.001;12.5\n0.002;250\n",
		"Time [s]\tForce [N]\n0\t0\n0.001\t12.5\n0.002\t250\n",
		"Time [s] Force [N]\n0 0\n0.001   12.5\n  0.002  250\n",
		"Zeit (s);Kraft (N)\n0,000;0,0\n0,001;12,5\n0,002;250,0\n",
		"temps / s\teffort / N\n0\t0\n0,001\t12,5\n0,002\t250\n",
		"\"Time [s]\",\"Force [N]\"\n\"0,000\",\"0,0\"\n\"0,001\",\"12,5\"\n\"0,002\",\"250,0\"\n",
		"Time (ms),Force (N)\n0,0\n1,12.5\n2,250\n",
		"t [ms];F [kN]\n0;0\n1;0,0125\n2;0,25\n",
		"time in ms;force in daN\n0;0\n1;1.25\n2;25\n",
		"Time;Force\ns;N\n0;0\n0.001;12.5\n0.002;250\n",
		"Time;Force\n[ms];[kN]\n0;0\n1;0.0125\n2;0.25\n",
		"time_s,force_N\n0,0\n0.001,12.5\n0.002,250\n",
		"time_s,force_n\n0,0\n0.001,12.5\n0.002,250\n",
		"Force [N];Time [s]\n0;0\n12.5;0.001\n250;0.002\n",
		"# time [s], force [N]\n0,0\n0.001,12.5\n0.002,250\n",
		"Time [seconds];Force [newton]\r\n0;0\r\n0.001;12.5\r\n0.002;250\r\n",
		"Time [s];Force [N]\r0;0\r0.001;12.5\r0.002;250\r",
		"\xEF\xBB\xBFTime [s];Force [N]\n0;0\n0.001;12.5\n0.002;250",
		"Meter;invented\nSerial no.;12345\nDate: 25.11.2026, 10:15\n\nTime [s];Force [N]\n\n0;0\n"
		"0.001;12.5\n0.002;250\n\n",
		"; made up\n# by hand\n%\nTime [s];Force [N]\n0;0\n# half-way\n; 50 percent\n0.001;12.5\n"
		"% end\n0.002;250\n",
		"No.;Time [s];Force [N];Remark\n1;0;0;contact\n2;0.001;12.5;\n3;0.002;250;peak\n",
		"Time [s];Force [N];\n0;0;\n0.001;12.5;\n0.002;250;\n",
		"Time [s];Force [N]\n0;0\n1e-3;1.25E+1\n2.0e-03;+2.5e2\n\x1A",
		"Time (s),Point A force 2 [N]\n0.000,0.0\n0.001,12.5\n0.002,250.0\n",
	};
	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
		cr_expect(read_text(texts[i], NULL), "text %zu: %s", i, first_finding());
		cr_expect_eq(findings.count, 0, "text %zu: %s", i, first_finding());
		if (list.count != 1 || list.items->count != 3) {
			cr_expect_fail("text %zu: %zu recordings", i, list.count);
			continue;
		}
		static const double t[] = {0, 0.001, 0.002}, f[] = {0, 12.5, 250};
		for (size_t k = 0; k < 3; k++) {
			cr_expect_float_eq(list.items->time_s[k], t[k], 1e-15, "text %zu", i);
			cr_expect_float_eq(list.items->force_n[k], f[k], 1e-12, "text %zu", i);
		}
	}
}

/* 1 kgf = 9.80665 N exactly (3rd CGPM, 1901); 1 lbf = 0.45359237 kg * 9.80665 m/s2 =
 * 4.4482216152605 N (international pound, 1959). */
Test(load_recording, units_of_force)
{
	static const struct {
		const char *unit;
		double newton;
	} rows[] = {{"N", 10}, {"kN", 10000}, {"daN", 100}, {"kgf", 98.0665}, {"lbf", 44.482216152605}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		const char *text = arena_format(&arena, "t [s];F [%s]\n0;10\n1;10\n", rows[i].unit);
		cr_assert(read_text(text, NULL), "%s", rows[i].unit);
		cr_expect_float_eq(list.items->force_n[1], rows[i].newton, 1e-9, "%s", rows[i].unit);
		struct recording_units stated = {.time = "ms", .force = rows[i].unit};
		cr_assert(read_text("0;10\n1;10.0\n", &stated), "%s", rows[i].unit);
		cr_expect_float_eq(list.items->force_n[1], rows[i].newton, 1e-9, "%s", rows[i].unit);
		cr_expect_float_eq(list.items->time_s[1], 0.001, 0);
	}
}

static char *utf16(const char *text, bool big, bool mark, size_t *length)
{
	struct buf b;
	buf_init(&b, &arena);
	if (mark)
		buf_add(&b, big ? "\xFE\xFF" : "\xFF\xFE", 2);
	for (; *text; text++) {
		buf_char(&b, big ? '\0' : *text);
		buf_char(&b, big ? *text : '\0');
	}
	*length = b.length;
	return b.bytes;
}

Test(load_recording, utf16)
{
	for (int way = 0; way < 4; way++) {
		size_t length;
		char *bytes = utf16("Time [s]\tForce [N]\r\n0\t0\r\n0,5\t12,5\r\n", way & 1, way & 2,
			&length);
		cr_assert(read_bytes(bytes, length, NULL), "way %d: %s", way, first_finding());
		cr_expect_eq(findings.count, 0);
		cr_expect_float_eq(list.items->force_n[1], 12.5, 0);
		cr_expect_not(read_bytes(bytes, length - 1, NULL));
		cr_expect_str_eq(first_finding(), "recording-binary");
	}
}

Test(load_recording, latin1_is_said)
{
	cr_assert(read_text("Pr\xFC" "fer;N.N.\nZeit [s];Kraft [N]\n0;0\n0,5;12,5\n", NULL));
	cr_expect_eq(findings.count, 1);
	cr_expect_str_eq(first_finding(), "recording-latin");
	cr_expect_float_eq(list.items->force_n[1], 12.5, 0);
}

Test(load_recording, several_by_column)
{
	cr_assert(read_text("Time [s];Force 1 [N];Force 2 [kN];Force 3 [N]\n0;1;0.002;3\n1;4;0.005;\n"
			    "2;7;;\n", NULL));
	cr_assert_eq(list.count, 3);
	static const size_t counts[] = {3, 2, 1};
	for (size_t i = 0; i < 3; i++) {
		const struct recording *r = &list.items[i];
		cr_expect_eq(r->count, counts[i]);
		cr_expect_eq(r->column, (int)i + 2);
		cr_expect_eq(r->at.line, 2);
		cr_expect_float_eq(r->force_n[0], (double)i + 1, 1e-12);
		cr_expect_eq(r->lines[0], 2);
	}
	cr_expect_str_eq(list.items[1].name, "Force 2 [kN]");
	cr_expect_eq(list.items[2].at.column, 11);
}

Test(load_recording, pairs)
{
	cr_assert(read_text("t [s];F [N];t [ms];F [N]\n0;1;5;2\n1;3;6;4\n;;7;5\n", NULL));
	cr_assert_eq(list.count, 2);
	cr_expect_eq(list.items[0].count, 2);
	cr_expect_eq(list.items[1].count, 3);
	cr_expect_float_eq(list.items[1].time_s[2], 0.007, 0);
	struct recording_units stated = {.time = "s", .force = "N", .layout = RECORDING_LAYOUT_PAIRS};
	cr_assert(read_text("0;1;5;2\n1;3;6;4\n", &stated));
	cr_expect_eq(list.count, 2);
	cr_expect_float_eq(list.items[1].time_s[1], 6, 0);
	stated.layout = RECORDING_LAYOUT_SHARED;
	cr_assert(read_text("0;1;5;2\n1;3;6;4\n", &stated));
	cr_expect_eq(list.count, 3);
	cr_expect_float_eq(list.items[2].force_n[1], 4, 0);
}

Test(load_recording, statement_settles_what_a_comma_means)
{
	struct recording_units stated = {.time = "ms", .force = "N"};
	cr_expect_not(read_text("0,0\n1,12\n2,250\n", &stated));
	cr_expect_str_eq(first_finding(), "recording-separator");
	stated.separator = ',';
	cr_assert(read_text("0,0\n1,12\n2,250\n", &stated));
	cr_expect_float_eq(list.items->force_n[2], 250, 0);
	cr_assert(read_text("1,234;5,6\n2,5;7\n", &(struct recording_units){.time = "s", .force = "N"}));
	cr_expect_float_eq(list.items->time_s[0], 1.234, 0);
	cr_expect_float_eq(list.items->force_n[0], 5.6, 0);
}

Test(load_recording, statement_settles_grouping)
{
	const char *text = "t [ms];F [N]\n0;0\n1;1,234\n";
	cr_expect_not(read_text(text, NULL));
	cr_assert(read_text(text, &(struct recording_units){.decimal = ','}));
	cr_expect_float_eq(list.items->force_n[1], 1.234, 0);
	/* "0,500" and "12,25" group nothing */
	cr_expect(read_text("t [ms];F [N]\n0;0,500\n1;1,234\n", NULL));
	cr_expect(read_text("t [ms];F [N]\n0;0\n1;1,234\n2;12,25\n", NULL));
}

Test(load_recording, notes)
{
	cr_assert(read_text("Time [s];Force [N];Blood pressure;Force 2 [N]\n0;1;120\n1;2;121\n", NULL));
	cr_expect_eq(list.count, 1);
	cr_expect_eq(findings.count, 2);
	cr_expect_str_eq(first_finding(), "recording-column-ignored");
	cr_expect_eq(findings.items[0]->at.column, 20);
	cr_expect_str_eq(finding_name(findings.items[1]->code), "recording-column-empty");
}

Test(load_recording, row_findings_are_capped)
{
	struct buf b;
	buf_init(&b, &arena);
	buf_put(&b, "Time [s];Force [N]\n0;0\n");
	for (int i = 0; i < 50; i++)
		buf_put(&b, "1;x\n");
	cr_expect_not(read_bytes(b.bytes, b.length, NULL));
	cr_expect_eq(findings.count, 21);
	cr_expect_str_eq(finding_name(findings.items[20]->code), "recording-more");
	cr_expect_str_eq(findings.items[20]->values->value, "30");
}

Test(load_recording, caps)
{
	char *big = arena_alloc(&arena, RECORDING_BYTES + 1);
	memset(big, '\n', RECORDING_BYTES + 1);
	cr_expect_not(read_bytes(big, RECORDING_BYTES + 1, NULL));
	cr_expect_str_eq(first_finding(), "recording-large");
	cr_expect_not(read_bytes(big, RECORDING_BYTES, NULL));
	cr_expect_str_eq(first_finding(), "recording-empty");
	struct buf b;
	buf_init(&b, &arena);
	buf_put(&b, "t[s];F[N];F[N]\n");
	for (int i = 0; i <= RECORDING_SAMPLES / 2; i++)
		buf_put(&b, "1;1;1\n");
	cr_expect_not(read_bytes(b.bytes, b.length, NULL));
	cr_expect_str_eq(first_finding(), "recording-long");
	/* one line of nothing but separators, quotes */
	memset(big, ';', RECORDING_BYTES);
	cr_expect_not(read_bytes(big, RECORDING_BYTES, NULL));
	memset(big, '"', RECORDING_BYTES);
	cr_expect_not(read_bytes(big, RECORDING_BYTES, NULL));
}

/* tests/bad/recordings/NAME.txt: the first finding, where it stands. */
static const struct bad {
	const char *name, *code;
	int line, column;
} BAD[] = {
	{"empty", "recording-empty", 1, 1},
	{"only-blanks", "recording-empty", 1, 1},
	{"nul-byte", "recording-binary", 3, 1},
	{"png", "recording-binary", 2, 1},
	{"lone-surrogate", "recording-binary", 1, 1},
	{"one-column", "recording-no-rows", 1, 1},
	{"prose", "recording-no-rows", 1, 1},
	{"heading-only", "recording-no-rows", 1, 1},
	{"clock-times", "recording-no-rows", 1, 1},
	{"mixed-decimals", "recording-decimal", 2, 1},
	{"comma-for-both", "recording-separator", 2, 1},
	{"comma-three-integers", "recording-separator", 1, 1},
	{"comma-later", "recording-separator", 4, 1},
	{"grouping-comma", "recording-grouping", 3, 1},
	{"grouping-point", "recording-grouping", 2, 1},
	{"bom-bad-utf8", "recording-binary", 1, 1},
	{"no-heading", "recording-no-heading", 1, 1},
	{"heading-unknown", "recording-no-heading", 2, 1},
	{"heading-too-far", "recording-no-heading", 6, 1},
	{"only-time-known", "recording-no-force", 1, 1},
	{"only-force-known", "recording-no-time", 1, 1},
	{"force-before-times", "recording-pairing", 1, 1},
	{"time-without-force", "recording-pairing", 1, 19},
	{"no-unit-force", "recording-unit", 1, 10},
	{"no-unit-time", "recording-unit", 1, 1},
	{"unit-pounds", "recording-unit-unknown", 1, 10},
	{"unit-swapped", "recording-unit-unknown", 1, 1},
	{"too-many-cells", "recording-columns", 3, 1},
	{"overload-text", "recording-number", 4, 5},
	{"overload-first", "recording-number", 2, 3},
	{"unreadable-time-first", "recording-number", 2, 1},
	{"not-a-number", "recording-number", 3, 1},
	{"grouped-digits", "recording-number", 3, 5},
	{"too-large-number", "recording-number", 3, 5},
	{"second-heading", "recording-number", 4, 1},
	{"gap-in-column", "recording-blank-cell", 3, 5},
	{"missing-time", "recording-blank-cell", 3, 1},
	{"cut-off", "recording-blank-cell", 4, 4},
	{"starts-late", "recording-blank-cell", 2, 5},
	{"sixty-five-columns", "recording-wide", 3, 1},
};

Test(load_recording, bad_files)
{
	for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) {
		static char bytes[100000];
		const char *path = arena_format(&arena, "tests/bad/recordings/%s.txt", BAD[i].name);
		FILE *f = fopen(path, "rb");
		cr_assert(f, "%s", path);
		size_t n = fread(bytes, 1, sizeof bytes, f);
		fclose(f);
		cr_expect_not(read_bytes(bytes, n, NULL), "%s", path);
		cr_expect_str_eq(first_finding(), BAD[i].code, "%s: %s", path, first_finding());
		if (findings.count == 0)
			continue;
		struct place at = findings.items[0]->at;
		cr_expect_eq(at.line, BAD[i].line, "%s: line %d", path, at.line);
		cr_expect_eq(at.column, BAD[i].column, "%s: column %d", path, at.column);
	}
}

Test(load_recording, bad_statements)
{
	static const struct {
		struct recording_units stated;
		const char *text, *code;
	} rows[] = {
		{{.time = "s", .force = "kN"}, "Time [s];Force [N]\n0;0\n", "recording-unit-conflict"},
		{{.time = "ms"}, "Time [s];Force [N]\n0;0\n", "recording-unit-conflict"},
		{{.time = "s", .force = "pond"}, "0;0\n", "recording-unit-unknown"},
		{{.time = "N", .force = "N"}, "0;0\n", "recording-unit-unknown"},
		{{.time = "s"}, "0;0\n", "recording-no-heading"},
		{{.time = "s", .force = "N"}, "0;0;0\n", "recording-layout"},
		{{.time = "s", .force = "N", .layout = RECORDING_LAYOUT_PAIRS}, "0;0;0\n",
			"recording-layout"},
		{{.time = "s", .force = "N", .separator = ';'}, "0,0\n", "recording-no-rows"},
		{{.time = "s", .force = "N", .separator = ',', .decimal = ','}, "0,0\n",
			"recording-separator"},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		cr_expect_not(read_text(rows[i].text, &rows[i].stated), "row %zu", i);
		cr_expect_str_eq(first_finding(), rows[i].code, "row %zu: %s", i, first_finding());
	}
}
