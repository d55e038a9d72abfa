#include "work/job.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "assess/assess.h"
#include "base/text.h"
#include "load/record.h"
#include "load/recording.h"
#include "doc/tree.h"
#include "pix/picture.h"
#include "sys/digest.h"
#include "sys/file.h"
#include "sys/folder.h"
#include "work/shipped.h"

enum {
	RECORD_BYTES = 4 * 1024 * 1024,
	PAPER_BYTES = 64 * 1024 * 1024,
	PHOTO_SIDE = 1600, /* pixels kept of the longer side: over 300 dpi as photographs are printed */
};

enum wanted { WANT_PAPER, WANT_PHOTO, WANT_CURVE };

struct gathering {
	struct job *job;
	struct arena scratch; /* of the file in hand */
	struct job_file *files;
	size_t count, room;
};

static struct job_file *known(struct gathering *g, const char *path)
{
	for (size_t i = 0; i < g->count; i++)
		if (text_equal(g->files[i].path, path))
			return &g->files[i];
	return NULL;
}

static const unsigned char *keep(struct arena *a, const unsigned char *bytes, size_t length)
{
	unsigned char *copy = arena_alloc(a, length);
	memcpy(copy, bytes, length);
	return copy;
}

/* Decoded in `scratch`; only what the documents print is kept. */
static void read_picture(struct job *job, struct arena *scratch, struct job_file *f,
	const struct file_bytes *bytes)
{
	struct picture picture;
	const char *reason;
	if (picture_read(scratch, bytes->bytes, bytes->length, PHOTO_SIDE, PHOTO_SIDE, &picture, &reason) !=
		PICTURE_FINE) {
		f->picture_fault = reason;
		return;
	}
	struct doc_picture *p = arena_alloc(job->arena, sizeof *p);
	*p = (struct doc_picture){.width = picture.width, .height = picture.height,
		.channels = picture.channels, .jpeg_length = picture.jpeg_length,
		.packed_length = picture.packed_length, .packed_bits = picture.packed_bits};
	if (picture.jpeg)
		p->jpeg = keep(job->arena, picture.jpeg, picture.jpeg_length);
	else if (picture.packed)
		p->packed = keep(job->arena, picture.packed, picture.packed_length);
	else
		p->pixels = keep(job->arena, picture.pixels,
			(size_t)picture.width * (size_t)picture.height * (size_t)picture.channels);
	f->picture = p;
}

static const char *stated(const struct item *point, const char *key)
{
	const struct fact *f = item_fact(point, key);
	return fact_given(f) ? f->text : NULL;
}

/* What the record says of files that leave something open. */
static struct recording_units stated_units(const struct item *point)
{
	static const struct {
		const char *word;
		char sign;
	} SIGNS[] = {{"comma", ','}, {"semicolon", ';'}, {"tab", '\t'}, {"blank", ' '}, {"point", '.'}};
	const char *separator = stated(point, "separator"), *decimal = stated(point, "decimal");
	const char *layout = stated(point, "layout");
	struct recording_units units = {.time = stated(point, "time-unit"), .force = stated(point, "force-unit")};
	for (size_t i = 0; i < sizeof SIGNS / sizeof *SIGNS; i++) {
		if (separator && text_equal(separator, SIGNS[i].word))
			units.separator = SIGNS[i].sign;
		if (decimal && text_equal(decimal, SIGNS[i].word))
			units.decimal = SIGNS[i].sign;
	}
	if (layout)
		units.layout = text_equal(layout, "pairs") ? RECORDING_LAYOUT_PAIRS : RECORDING_LAYOUT_SHARED;
	return units;
}

static void read_curves(struct job *job, struct arena *scratch, struct job_file *f,
	const struct file_bytes *bytes, const struct item *point)
{
	struct recording_patterns patterns = {job->library->patterns, job->library->pattern_count};
	struct recording_units units = stated_units(point);
	struct recording_list list;
	if (recording_read(scratch, bytes->bytes, bytes->length, folder_join(job->arena, job->folder, f->path),
			&patterns, &units, &list, &job->findings))
		f->recordings = recording_list_copy(job->arena, list);
}

static bool blank(const struct file_bytes *bytes)
{
	for (size_t i = 0; i < bytes->length; i++)
		if (!memchr(" \t\r\n\f\v", (const char)bytes->bytes[i], 7))
			return false;
	return true;
}

static void release_scratch(void *scratch)
{
	arena_release(scratch);
}

static void take_in(struct gathering *g, struct job_file *f, struct place at, enum wanted wanted,
	const struct item *item)
{
	static const size_t CAPS[] = {PAPER_BYTES, PICTURE_BYTES, RECORDING_BYTES};
	struct job *job = g->job;
	struct file_bytes bytes;
	enum file_outcome outcome = file_read_inside(&g->scratch, job->folder, f->path, CAPS[wanted], &bytes);
	if (outcome != FILE_FINE) {
		if (outcome != FILE_ABSENT || wanted == WANT_CURVE)
			file_finding(&job->findings, outcome, errno, f->path, CAPS[wanted], item->id, at);
		return;
	}
	f->present = true;
	f->size = bytes.length;
	f->digest = digest_text(job->arena, digest_of(bytes.bytes, bytes.length));
	f->blank = blank(&bytes);
	if (wanted == WANT_PHOTO)
		read_picture(job, &g->scratch, f, &bytes);
	if (wanted == WANT_CURVE)
		read_curves(job, &g->scratch, f, &bytes, item);
}

/* Takes in one cited file. One that is absent is left to the assessment; anything else that keeps it from
 * being read is a finding here, at the place of the citation. */
static void gather(struct gathering *g, const char *path, struct place at, enum wanted wanted,
	const struct item *item)
{
	struct job_file *before = known(g, path);
	if (before) {
		/* A paper that is cited as a photograph as well has to be a picture. */
		if (wanted == WANT_PHOTO && !before->picture && !before->picture_fault)
			take_in(g, before, at, wanted, item);
		arena_release(&g->scratch);
		return;
	}
	if (g->count == g->room) {
		size_t room = g->room ? g->room * 2 : 64;
		g->files = arena_grow(g->job->arena, g->files, g->count, room, sizeof *g->files);
		g->room = room;
	}
	struct job_file *f = &g->files[g->count++];
	*f = (struct job_file){.path = path};
	take_in(g, f, at, wanted, item);
	arena_release(&g->scratch);
}

static void gather_list(struct gathering *g, const char *list_path, enum wanted wanted)
{
	const struct item_list *list = record_list(g->job->record, list_path);
	for (size_t i = 0; i < list->count; i++) {
		const struct fact *file = item_fact(&list->items[i], "file");
		if (fact_given(file))
			gather(g, file->text, file->at, wanted, &list->items[i]);
	}
}

static int by_path(const void *x, const void *y)
{
	return strcmp(((const struct job_file *)x)->path, ((const struct job_file *)y)->path);
}

static void gather_all(struct job *job)
{
	/* In the job's arena, so that it is still there when memory runs out and everything is released. */
	struct gathering *g = arena_alloc(job->arena, sizeof *g);
	g->job = job;
	arena_init(&g->scratch, job->arena->escape);
	arena_defer(job->arena, release_scratch, &g->scratch);
	gather_list(g, "papers", WANT_PAPER);
	gather_list(g, "photos", WANT_PHOTO);
	const struct item_list *points = record_list(job->record, "force.points");
	for (size_t i = 0; i < points->count; i++) {
		const struct fact *files = item_fact(&points->items[i], "recordings");
		for (size_t k = 0; fact_given(files) && k < files->count; k++) {
			const char *hash = strchr(files->list[k], '#');
			const char *path = hash ? arena_copy(job->arena, files->list[k],
							  (size_t)(hash - files->list[k]))
						: files->list[k];
			gather(g, path, files->list_at[k], WANT_CURVE, &points->items[i]);
		}
	}
	if (g->count)
		qsort(g->files, g->count, sizeof *g->files, by_path);
	job->files = (struct job_files){g->files, g->count};
}

void job_open(struct arena *a, const char *folder, struct phrasebook *words, struct job *job)
{
	*job = (struct job){.arena = a, .folder = folder, .words = words};
	findings_init(&job->findings, a);
	const char *path = folder_join(a, folder, "gate.yaml");
	struct file_bytes bytes;
	enum file_outcome outcome = file_read_inside(a, folder, "gate.yaml", RECORD_BYTES, &bytes);
	if (outcome != FILE_FINE) {
		file_finding(&job->findings, outcome, errno, path, RECORD_BYTES, path, (struct place){path, 0, 0});
		return;
	}
	job->library = shipped_library(a, folder, &job->findings);
	if (findings_worst(&job->findings) == FINDING_INPUT)
		return;
	const char *digest = digest_text(a, digest_of(bytes.bytes, bytes.length));
	job->record = record_load(a, bytes.bytes, bytes.length, path, digest, job->library, &job->findings);
	if (!job->record)
		return;
	gather_all(job);
	job->assessment = assess(a, job->record, job->library, &job->files, &job->findings);
}
