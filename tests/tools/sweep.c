/* Fails every allocation of one component after the other, many thousand of them in one process.
 *
 *   sweep FOLDER NAME…   sweeps these components; FOLDER is empty, for files that are written
 *   sweep                lists them
 *
 * For each input a run without failure gives the answer. Then the n-th allocation fails, n = 1, 2, …
 * until a run gets by without coming so far; and once more with everything failing from the n-th on.
 * However it ends, by the arena's escape or with an answer: the answer must be the same, nothing may be
 * left allocated or open, and the next run must not notice. Freed memory is overwritten, so that using it
 * shows.
 *
 * Arenas take their memory in large blocks, which would hide most of the places where memory can run out. Here
 * the blocks are as small as the number of points allows: down to one for each arena_alloc().
 */
#include <dirent.h>
#include <errno.h>
#include <hpdf.h>
#include <malloc.h>
#include <setjmp.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "assess/assess.h"
#include "base/text.h"
#include "calc/curve.h"
#include "doc/declaration.h"
#include "doc/technical_file.h"
#include "doc/template.h"
#include "load/library.h"
#include "load/phrasebook.h"
#include "load/record.h"
#include "load/recording.h"
#include "out/json.h"
#include "pix/picture.h"
#include "rule/pattern.h"
#include "rule/rule.h"
#include "sweep_block.h"
#include "sweep_memory.h"
#include "sys/digest.h"
#include "sys/embedded.h"
#include "sys/folder.h"
#include "type/pdf.h"
#include "work/job.h"
#include "work/shipped.h"
#include "work/skeleton.h"
#include "yaml/tree.h"

enum { SHIPPED_BLOCK = 64 * 1024, POINTS_MOST = 2500, INPUT_BYTES = 256 * 1024 };

size_t sweep_block = SHIPPED_BLOCK;

struct input {
	const char *name, *bytes;
	size_t length;
};

/* What the components need ready; made without failures. */
static struct fixture {
	struct arena arena;
	jmp_buf escape;
	const char *folder;
	struct phrasebook *words;
	struct job finished, begun; /* the example; a record as `new` writes it */
	struct input library_text, tables_text, record_text; /* small ones */
	struct library small;
	struct recording_patterns patterns;
	struct typeface_set faces;
} fix;

/* ---- answers as text, to be compared ---- */

static void put_values(struct buf *b, const struct finding_value *v)
{
	for (; v; v = v->next)
		buf_format(b, " %s=%s", v->name, v->value);
}

static void put_findings(struct buf *b, const struct findings *f)
{
	for (size_t i = 0; i < f->count; i++) {
		const struct finding *it = f->items[i];
		buf_format(b, "%s %d:%d %s", finding_name(it->code), it->at.line, it->at.column, it->subject);
		put_values(b, it->values);
		for (const struct way *w = it->ways; w; w = w->next) {
			buf_format(b, " -> %s", w->id);
			put_values(b, w->values);
		}
		buf_char(b, '\n');
	}
}

static void put_nodes(struct buf *b, const struct doc_node *n, int depth)
{
	for (; n; n = n->next) {
		buf_format(b, "%d:%d:%d ", depth, (int)n->kind, n->level);
		put_nodes(b, n->first, depth + 1);
	}
}

/* The pools from which libharu takes what it needs, of the same size as the arenas' blocks. */
HPDF_Doc __real_HPDF_NewEx(HPDF_Error_Handler failed, HPDF_Alloc_Func alloc, HPDF_Free_Func release,
	HPDF_UINT pool, void *subject);
HPDF_Doc __wrap_HPDF_NewEx(HPDF_Error_Handler failed, HPDF_Alloc_Func alloc, HPDF_Free_Func release,
	HPDF_UINT pool, void *subject);

HPDF_Doc __wrap_HPDF_NewEx(HPDF_Error_Handler failed, HPDF_Alloc_Func alloc, HPDF_Free_Func release,
	HPDF_UINT pool, void *subject)
{
	if (sweep_block < pool)
		pool = sweep_block ? (HPDF_UINT)sweep_block : 1;
	return __real_HPDF_NewEx(failed, alloc, release, pool, subject);
}

/* ---- the components ---- */

static void run_tree(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	findings_init(&f, a);
	struct node *n = tree_read(a, in->bytes, in->length, "f", &f);
	if (n)
		buf_put(out, tree_dump(a, n));
	put_findings(out, &f);
}

static struct value lookup(void *subject, const char *name)
{
	(void)subject;
	if (*name == 'w')
		return value_of_word(name + 1);
	if (*name == 'm')
		return value_of_quantity(quantity_of(2, DIM_LENGTH));
	return *name == 'x' ? value_unknown() : value_of_quantity(quantity_of(1, DIM_NUMBER));
}

static struct value call(void *subject, const char *function, const struct value *arguments, size_t count)
{
	(void)arguments;
	(void)count;
	return lookup(subject, function);
}

/* The first line but for its first byte is a condition, the second a pattern, the rest its subject. */
static void run_rule(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	struct pattern_match m;
	struct rule_names names = {NULL, lookup, call};
	findings_init(&f, a);
	char *rest = arena_copy(a, in->bytes + 1, in->length - 1);
	const char *condition = strsep(&rest, "\n"), *regular = strsep(&rest, "\n");
	struct rule *r = rule_compile(a, condition, (struct place){"f", 1, 1}, NULL, &f);
	if (r)
		buf_format(out, "%d %s %s\n", (int)rule_test(a, r, &names).truth,
			value_text(a, rule_value(a, r, &names)), rule_shown(a, r, &names));
	struct pattern *p = regular ? pattern_compile(a, regular, true, (struct place){"f", 2, 1}, &f) : NULL;
	if (p && rest) {
		enum pattern_outcome outcome = pattern_find(p, rest, strlen(rest), 0, &m);
		buf_format(out, "%d %zu\n", (int)outcome, outcome == PATTERN_YES ? m.to[0] : 0);
	}
	put_findings(out, &f);
}

static void run_library(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	struct library l = {0};
	findings_init(&f, a);
	library_add(a, &l, in->bytes, in->length, "f", false, &f);
	library_finish(a, &l, &f);
	buf_format(out, "%zu %zu\n", l.zones_count, l.definitions_count);
	put_findings(out, &f);
}

static void run_record(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	findings_init(&f, a);
	const struct record *r = record_load(a, in->bytes, in->length, "f", "", &fix.small, &f);
	buf_format(out, "%d\n", r != NULL);
	for (size_t i = 0; r && i < r->root.count; i++)
		buf_format(out, "%s=%s\n", r->root.facts[i].key, r->root.facts[i].fact.text);
	put_findings(out, &f);
}

/* The first byte says what is stated about the file. */
static void run_recording(struct arena *a, const struct input *in, struct buf *out)
{
	static const struct curve_limits limits = {.peak_n = 400, .static_n = 150, .contact_n = 25,
		.dynamic_s = 0.75, .end_s = 5, .rate_hz = 200, .baseline_n = 5, .range_n = 2000, .flat_samples = 4};
	struct findings f;
	struct recording_list list = {NULL, 0};
	struct recording_units stated = {.time = in->bytes[0] & 1 ? "ms" : NULL,
		.force = in->bytes[0] & 2 ? "daN" : NULL};
	findings_init(&f, a);
	recording_read(a, in->bytes + 1, in->length - 1, "f", &fix.patterns, &stated, &list, &f);
	for (size_t i = 0; i < list.count; i++) {
		struct curve_result c = curve_evaluate(a, &list.items[i], &limits);
		buf_format(out, "%zu %u %g %g\n", list.items[i].count, c.reasons, c.peak_n, c.t0_s);
	}
	put_findings(out, &f);
}

static void run_picture(struct arena *a, const struct input *in, struct buf *out)
{
	static const int sizes[] = {0, 5};
	for (size_t i = 0; i < 2; i++) {
		struct picture p;
		const char *reason = NULL;
		enum picture_outcome outcome =
			picture_read(a, in->bytes, in->length, sizes[i], sizes[i], &p, &reason);
		buf_format(out, "%s %s\n", picture_outcome_name(outcome), reason ? reason : "");
		if (outcome != PICTURE_FINE)
			continue;
		buf_add(out, p.pixels, (size_t)p.width * (size_t)p.height * (size_t)p.channels);
		if (p.jpeg)
			buf_add(out, p.jpeg, p.jpeg_length);
	}
}

static const char *template_value(void *subject, const char *name)
{
	(void)subject;
	return strlen(name) % 2 ? "a value & <more>" : NULL;
}

static bool template_block(void *subject, const char *name)
{
	doc_add(subject, DOC_SPACE);
	return strlen(name) % 2 == 0;
}

static void run_template(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	findings_init(&f, a);
	struct document *d = document_new(a);
	struct template t = {.subject = d, .value = template_value, .block = template_block, .numbered = true,
		.findings = &f};
	struct phrase source = {"f", arena_copy(a, in->bytes, in->length), {"f.md", 1, 1}};
	template_expand(d, &source, &t);
	put_nodes(out, d->first, 0);
	put_findings(out, &f);
}

static void run_phrasebook(struct arena *a, const struct input *in, struct buf *out)
{
	struct findings f;
	struct phrasebook book = {0};
	findings_init(&f, a);
	phrasebook_add(a, &book, in->bytes, in->length, "en/words.yaml", &f);
	phrasebook_add(a, &book, in->bytes, in->length, "en/words.md", &f);
	phrasebook_finish(a, &book, &f);
	for (size_t i = 0; i < book.count; i++)
		buf_format(out, "%s %s\n", book.phrases[i].key,
			phrase_expand(a, book.phrases[i].text, template_value, NULL));
	put_findings(out, &f);
}

/* Every message of a job just begun, with its ways. */
static void run_words(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	const struct findings *f = &fix.begun.findings;
	for (size_t i = 0; i < f->count; i++) {
		buf_put(out, phrase_finding(a, fix.words, f->items[i]));
		for (const struct way *w = f->items[i]->ways; w; w = w->next)
			buf_put(out, phrase_way(a, fix.words, f->items[i], w));
	}
}

static void run_assess(struct arena *a, const struct job *job, struct buf *out)
{
	struct findings f;
	findings_init(&f, a);
	const struct assessment *r = assess(a, job->record, job->library, &job->files, &f);
	buf_format(out, "%d %zu\n", r->ready, r->zone_count);
	put_findings(out, &f);
}

static void run_assess_finished(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	run_assess(a, &fix.finished, out);
}

static void run_assess_begun(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	run_assess(a, &fix.begun, out);
}

static void run_json(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	buf_put(out, json_check(a, "job", fix.finished.assessment, &fix.finished.findings, fix.words));
}

static void run_json_findings(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	buf_put(out, json_findings(a, &fix.begun.findings, fix.words));
}

static void run_skeleton(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	const struct library *l = fix.finished.library;
	buf_put(out, skeleton_text(a, l, &l->types[0], fix.words, fix.finished.record));
}

static void run_document(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	struct findings f;
	const struct job *job = &fix.finished;
	findings_init(&f, a);
	struct doc_input input = {.assessment = job->assessment, .phrasebook = job->words, .files = &job->files,
		.version = "0", .names = assess_names(job->assessment), .findings = &f};
	put_nodes(out, technical_file_build(a, &input)->first, 0);
	put_nodes(out, declaration_build(a, &input)->first, 0);
	put_findings(out, &f);
}

/* One of everything that a document can hold. */
static struct document *small_document(struct arena *a)
{
	static const unsigned char pixels[2 * 2 * 3] = {255, 0, 0, 0, 255, 0, 0, 0, 255, 9, 9, 9};
	static const struct doc_picture picture = {.width = 2, .height = 2, .channels = 3, .pixels = pixels};
	struct document *d = document_new(a);
	d->title = "Gate <1>";
	d->stamp = "2026-11-25";
	d->language = "en-IE";
	doc_add(d, DOC_CONTENTS);
	doc_heading(d, 1, "First", "first");
	struct doc_node *p = doc_paragraph(d, "Ω ≤ ≥ ✓ ");
	spans_link(a, &p->spans, "see the table", "row");
	struct doc_node *t = doc_table(d, 2, "A table");
	struct doc_row *row = doc_row(d, t);
	row->label = "row";
	doc_cell_text(d, row, 0, "1.5 mm");
	struct doc_node *f = doc_add(d, DOC_FIGURE);
	f->drawing = drawing_new(a, 50, 30);
	f->summary = "A circle";
	drawing_circle(a, f->drawing, 10, 10, 5, 0.2, 0.9);
	struct doc_node *n = doc_add(d, DOC_PICTURE);
	n->picture = &picture;
	n->width = 20;
	return d;
}

static void run_pdf(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	const char *why = "";
	if (!pdf_write(a, small_document(a), &fix.faces, out, NULL, &why))
		buf_put(out, why);
}

/* From the texts of a small library and a small record to the answer. */
static void run_job(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	struct findings f;
	struct library l = {0};
	struct job_files none = {NULL, 0};
	findings_init(&f, a);
	library_add(a, &l, fix.library_text.bytes, fix.library_text.length, "l", false, &f);
	library_add(a, &l, fix.tables_text.bytes, fix.tables_text.length, "t", false, &f);
	library_finish(a, &l, &f);
	const struct record *r =
		record_load(a, fix.record_text.bytes, fix.record_text.length, "r", "", &l, &f);
	buf_put(out, json_check(a, "job", r ? assess(a, r, &l, &none, &f) : NULL, &f, fix.words));
}

/* Having no memory is what the system may say of a folder, too. */
static enum file_outcome honest(struct arena *a, enum file_outcome outcome)
{
	if (outcome == FILE_FAILED && errno == ENOMEM)
		arena_exhausted(a);
	return outcome;
}

static void run_files(struct arena *a, const struct input *in, struct buf *out)
{
	(void)in;
	struct folder_list list = {NULL, 0}, tree = {NULL, 0};
	struct file_bytes bytes = {NULL, 0};
	const char *sub = folder_join(a, fix.folder, "one/two");
	enum file_outcome outcomes[5];
	outcomes[0] = honest(a, folder_make(a, sub));
	outcomes[1] = honest(a, file_write(a, folder_join(a, sub, "text"), "some words", 10));
	outcomes[2] = honest(a, file_read_inside(a, fix.folder, "one/two/text", 100, &bytes));
	outcomes[3] = honest(a, folder_list(a, sub, &list));
	outcomes[4] = honest(a, folder_walk(a, fix.folder, &tree));
	for (size_t i = 0; i < 5; i++)
		buf_format(out, "%d ", (int)outcomes[i]);
	buf_format(out, "%zu %zu %.*s\n", list.count, tree.count, (int)bytes.length, bytes.bytes);
}

static const struct component {
	const char *name;
	void (*run)(struct arena *a, const struct input *in, struct buf *out);
	const char *seeds; /* a folder of inputs; NULL: needs none */
} COMPONENTS[] = {
	{"tree", run_tree, "tests/fuzz/seeds/yaml_tree"},
	{"rule", run_rule, "tests/fuzz/seeds/rule"},
	{"library", run_library, "tests/fuzz/seeds/library"},
	{"record", run_record, "tests/fuzz/seeds/record"},
	{"recording", run_recording, "tests/fuzz/seeds/recording"},
	{"picture", run_picture, "tests/fuzz/seeds/picture"},
	{"template", run_template, "tests/fuzz/seeds/document"},
	{"phrasebook", run_phrasebook, "tests/fuzz/seeds/template"},
	{"words", run_words, NULL},
	{"assess", run_assess_finished, NULL},
	{"assess-begun", run_assess_begun, NULL},
	{"json", run_json, NULL},
	{"json-findings", run_json_findings, NULL},
	{"skeleton", run_skeleton, NULL},
	{"document", run_document, NULL},
	{"pdf", run_pdf, NULL},
	{"job", run_job, NULL},
	{"files", run_files, NULL},
};
enum { COMPONENT_COUNT = sizeof COMPONENTS / sizeof *COMPONENTS };

/* ---- one point after the other ---- */

enum ending { ESCAPED, SAME, OTHER };

static struct digest expected;
static char where[400]; /* for whoever is told that the program fell */

static enum ending attempt(const struct component *c, const struct input *in, long fail_at, bool onwards,
	struct memory_count *count)
{
	struct arena a;
	jmp_buf escape;
	volatile enum ending ending = ESCAPED;
	arena_init(&a, &escape);
	/* As in the program: whichever arena finds no memory, there is one place to go. */
	fix.arena.escape = &escape;
	memory_arm(fail_at, onwards);
	if (setjmp(escape) == 0) {
		struct buf answer;
		buf_init(&answer, &a);
		c->run(&a, in, &answer);
		struct digest d = digest_of(answer.bytes, answer.length);
		if (!fail_at)
			expected = d;
		ending = digest_equal(d, expected) ? SAME : OTHER;
	}
	arena_release(&a);
	*count = memory_disarm();
	return ending;
}

static int next_descriptor(void)
{
	int fd = dup(STDOUT_FILENO);
	close(fd);
	return fd;
}

struct tally {
	long inputs, points, escaped, same, bad;
};

static void judge(struct tally *t, enum ending ending, const struct memory_count *count, bool descriptors_kept)
{
	const char *wrong = ending == OTHER ? "another answer"
		: count->outstanding        ? "not all memory given back"
		: descriptors_kept          ? "a descriptor left open"
					    : NULL;
	t->points++;
	t->escaped += ending == ESCAPED;
	t->same += ending == SAME;
	if (!wrong)
		return;
	if (++t->bad <= 10)
		printf("%s: %s (%ld allocations left)\n", where, wrong, count->outstanding);
}

/* Small blocks make more points: the smallest blocks with which there are not too many. */
static long choose_block(const struct component *c, const struct input *in)
{
	static const size_t BLOCKS[] = {0, 256, 1024, 4096, 16384, SHIPPED_BLOCK};
	struct memory_count count = {0, 0};
	for (size_t i = 0; i < sizeof BLOCKS / sizeof *BLOCKS; i++) {
		sweep_block = BLOCKS[i];
		attempt(c, in, 0, false, &count);
		if (count.calls <= POINTS_MOST)
			break;
	}
	return count.calls;
}

static void sweep(const struct component *c, const struct input *in, struct tally *t)
{
	struct memory_count count;
	snprintf(where, sizeof where, "%s: %s: without failure", c->name, in->name);
	/* Twice: what a library keeps from its first use is no leak. */
	choose_block(c, in);
	enum ending plain = attempt(c, in, 0, false, &count);
	int descriptor = next_descriptor();
	t->inputs++;
	judge(t, plain == SAME ? SAME : OTHER, &count, false);
	t->points--;
	t->same--;
	for (int onwards = 0; onwards < 2; onwards++) {
		for (long n = 1;; n++) {
			snprintf(where, sizeof where, "%s: %s: allocation %ld%s, blocks of %zu", c->name, in->name,
				n, onwards ? " and on" : "", sweep_block);
			enum ending ending = attempt(c, in, n, onwards, &count);
			if (count.calls < n)
				break;
			judge(t, ending, &count, next_descriptor() != descriptor);
		}
	}
	sweep_block = SHIPPED_BLOCK;
}

/* Into room that lasts until the next input is read. */
static bool read_input(const char *path, struct input *in)
{
	static char bytes[INPUT_BYTES];
	FILE *f = fopen(path, "rb");
	if (!f)
		return false;
	size_t n = fread(bytes, 1, sizeof bytes, f);
	fclose(f);
	*in = (struct input){strrchr(path, '/') + 1, bytes, n};
	return n < sizeof bytes;
}

static bool sweep_seeds(const struct component *c, struct tally *t)
{
	struct dirent **names;
	int n = scandir(c->seeds, &names, NULL, alphasort);
	for (int i = 0; i < n; i++) {
		char path[400];
		struct input in;
		snprintf(path, sizeof path, "%s/%s", c->seeds, names[i]->d_name);
		if (names[i]->d_name[0] != '.' && read_input(path, &in) && in.length > 0)
			sweep(c, &in, t);
		free(names[i]);
	}
	if (n >= 0)
		free(names);
	return t->inputs > 0;
}

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

/* Whether all is well. */
static bool sweep_component(const struct component *c)
{
	static const struct input none = {"-", "", 0};
	struct tally t = {0};
	double begin = now();
	if (c->seeds) {
		if (!sweep_seeds(c, &t))
			t.bad++;
	} else {
		sweep(c, &none, &t);
	}
	/* Where no point escaped, none was hit. */
	if (t.escaped == 0)
		t.bad++;
	printf("%s %s: %ld allocations failed in turn over %ld inputs: %ld clean ends, %ld same answers, "
	       "%ld bad; %.1f s\n", t.bad ? "BAD" : "OK", c->name, t.points, t.inputs, t.escaped, t.same, t.bad,
		now() - begin);
	fflush(stdout);
	return t.bad == 0;
}

/* ---- before the first ---- */

static struct record *begun_record(struct arena *a, const struct library *l, struct findings *f)
{
	const char *text = skeleton_text(a, l, &l->types[0], fix.words, NULL);
	return record_load(a, text, strlen(text), "gate.yaml", "", l, f);
}

static bool keep_input(const char *path, struct input *in)
{
	if (!read_input(path, in))
		return false;
	in->bytes = arena_copy(&fix.arena, in->bytes, in->length);
	return true;
}

static bool prepare(void)
{
	struct arena *a = &fix.arena;
	struct findings f;
	struct typeface_bytes files[FACE_COUNT];
	const char *why;
	findings_init(&f, a);
	fix.words = shipped_words(a, "en", &f);
	job_open(a, "examples/harbour-yard", fix.words, &fix.finished);
	const struct library *l = fix.finished.library;
	if (!l || !fix.finished.assessment || !fix.finished.assessment->ready)
		return false;
	fix.patterns = (struct recording_patterns){l->patterns, l->pattern_count};
	struct job *begun = &fix.begun;
	*begun = (struct job){.arena = a, .folder = "", .words = fix.words, .library = l};
	findings_init(&begun->findings, a);
	begun->record = begun_record(a, l, &begun->findings);
	begun->assessment = assess(a, begun->record, l, &begun->files, &begun->findings);
	if (!keep_input("tests/unit/bench/library.yaml", &fix.library_text) ||
		!keep_input("tests/unit/bench/reliability.yaml", &fix.tables_text) ||
		!keep_input("tests/unit/bench/record.yaml", &fix.record_text))
		return false;
	library_add(a, &fix.small, fix.library_text.bytes, fix.library_text.length, "l", false, &f);
	library_add(a, &fix.small, fix.tables_text.bytes, fix.tables_text.length, "t", false, &f);
	library_finish(a, &fix.small, &f);
	for (int i = 0; i < FACE_COUNT; i++) {
		const struct embedded_file *e = embedded_find(typeface_file((enum face)i));
		files[i] = (struct typeface_bytes){e->bytes, e->length};
	}
	return typeface_set_load(a, files, &fix.faces, &why) && f.count == 0;
}

static void fell(int number)
{
	static const char words[] = ": the program fell\n";
	if (write(STDOUT_FILENO, where, strlen(where)) < 0 || write(STDOUT_FILENO, words, strlen(words)) < 0)
		_exit(125);
	signal(number, SIG_DFL);
	raise(number);
}

static const struct component *component_named(const char *name)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		if (strcmp(COMPONENTS[i].name, name) == 0)
			return &COMPONENTS[i];
	return NULL;
}

static int sweep_named(char **names, int count)
{
	if (setjmp(fix.escape) || !prepare()) {
		struct buf b;
		buf_init(&b, &fix.arena);
		put_findings(&b, &fix.finished.findings);
		printf("BAD: what the components need could not be made:\n%s", b.bytes);
		return EXIT_FAILURE;
	}
	int bad = 0;
	for (int i = 0; i < count; i++) {
		const struct component *c = component_named(names[i]);
		bad += !c || !sweep_component(c);
	}
	return bad ? EXIT_FAILURE : EXIT_SUCCESS;
}

int main(int argc, char **argv)
{
	if (argc < 3) {
		for (size_t i = 0; i < COMPONENT_COUNT; i++)
			puts(COMPONENTS[i].name);
		return argc == 1 ? EXIT_SUCCESS : EXIT_FAILURE;
	}
	fix.folder = argv[1];
	/* glibc writes this over memory that is freed, and its complement over what is handed out. */
	mallopt(M_PERTURB, 0x5A);
	signal(SIGABRT, fell);
	signal(SIGSEGV, fell);
	signal(SIGBUS, fell);
	signal(SIGALRM, fell);
	alarm(300); /* one that never ends is bad, too */
	arena_init(&fix.arena, &fix.escape);
	int status = sweep_named(argv + 2, argc - 2);
	arena_release(&fix.arena);
	return status;
}
