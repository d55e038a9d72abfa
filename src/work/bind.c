#include "work/bind.h"

#include <errno.h>
#include <stdio.h>

#include "assess/assess.h"
#include "base/text.h"
#include "doc/declaration.h"
#include "doc/technical_file.h"
#include "sys/embedded.h"
#include "sys/file.h"
#include "sys/folder.h"
#include "type/pdf.h"
#include "work/shipped.h"

static bool load_faces(struct arena *a, struct typeface_set *set, const char **why)
{
	struct typeface_bytes files[FACE_COUNT];
	for (int i = 0; i < FACE_COUNT; i++) {
		const struct embedded_file *f = embedded_find(typeface_file((enum face)i));
		if (!f) {
			*why = typeface_file((enum face)i);
			return false;
		}
		files[i] = (struct typeface_bytes){f->bytes, f->length};
	}
	return typeface_set_load(a, files, set, why);
}

/* A character that no face shows makes a document say less than the record: an open point. */
static void report_missing(struct job *job, const struct missing *missing)
{
	for (const struct missing *m = missing; m; m = m->next) {
		struct finding *f = finding_add(&job->findings, FINDING_CODE_CHARACTER_MISSING, job->record->file,
			(struct place){job->record->file, 0, 0});
		finding_with(&job->findings, f, "code", arena_format(job->arena, "U+%04X", (unsigned)m->code));
	}
}

struct making {
	const char *name;
	struct document *document;
	struct buf bytes;
	struct pdf_result pdf;
};

static bool make_pdf(struct job *job, const struct typeface_set *faces, struct making *m, const char **why)
{
	buf_init(&m->bytes, job->arena);
	if (!pdf_write(job->arena, m->document, faces, &m->bytes, &m->pdf, why))
		return false;
	report_missing(job, m->pdf.missing);
	return true;
}

static bool write_all(struct job *job, const char *into, struct making *made, size_t count,
	struct bind_result *result)
{
	enum file_outcome outcome = folder_make(job->arena, into);
	if (outcome != FILE_FINE) {
		result->why = arena_format(job->arena, "%s: %s", into, file_reason(outcome, errno));
		return false;
	}
	for (size_t i = 0; i < count; i++) {
		const char *path = folder_join(job->arena, into, made[i].name);
		outcome = file_write(job->arena, path, made[i].bytes.bytes, made[i].bytes.length);
		if (outcome != FILE_FINE) {
			result->why = arena_format(job->arena, "%s: %s", path, file_reason(outcome, errno));
			return false;
		}
		result->files[result->count++] = (struct bound_file){path, made[i].pdf.pages};
	}
	return true;
}

enum bind_outcome bind_job(struct job *job, const char *into, struct bind_result *result)
{
	*result = (struct bind_result){0};
	if (!job->assessment || findings_worst(&job->findings) == FINDING_INPUT)
		return BIND_INPUT;
	struct typeface_set *faces = arena_alloc(job->arena, sizeof *faces);
	struct doc_input input = {.assessment = job->assessment, .phrasebook = job->words, .files = &job->files,
		.version = PINTLE_VERSION, .names = assess_names(job->assessment), .findings = &job->findings};
	struct making made[BIND_DOCUMENTS] = {
		{.name = "technical-file.pdf", .document = technical_file_build(job->arena, &input)},
	};
	size_t count = 1;
	if (job->assessment->ready)
		made[count++] = (struct making){.name = "declaration.pdf",
			.document = declaration_build(job->arena, &input)};
	if (!load_faces(job->arena, faces, &result->why))
		return BIND_FAILED;
	for (size_t i = 0; i < count; i++)
		if (!made[i].document || !make_pdf(job, faces, &made[i], &result->why))
			return BIND_FAILED;
	/* Building may itself find something: a character that cannot be shown, a fault of a template. */
	bool draft = !job->assessment->ready || findings_worst(&job->findings) > FINDING_NOTE;
	if (draft && job->assessment->ready)
		return BIND_INPUT;
	const char *old = folder_join(job->arena, into, "declaration.pdf");
	if (!write_all(job, into, made, count, result))
		return BIND_FAILED;
	if (draft && file_kind(old) == FILE_KIND_PLAIN) {
		if (remove(old)) {
			result->why = arena_format(job->arena, "%s: %s", old, file_reason(FILE_FAILED, errno));
			return BIND_FAILED;
		}
		result->removed = old;
	}
	return draft ? BIND_DRAFT : BIND_FINE;
}
