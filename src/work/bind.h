/* Binding: the documents of a job as PDF files. */
#ifndef WORK_BIND_H
#define WORK_BIND_H

#include "work/job.h"

enum { BIND_DOCUMENTS = 2 };

enum bind_outcome {
	BIND_FINE,
	BIND_DRAFT,  /* written as a draft: something is open; no declaration */
	BIND_INPUT,  /* the record or library cannot be used, or not be shown; nothing was written */
	BIND_FAILED, /* a document could not be made or written; old files are whole */
};

struct bound_file {
	const char *path;
	size_t pages;
};

struct bind_result {
	struct bound_file files[BIND_DOCUMENTS];
	size_t count;
	const char *why;       /* BIND_FAILED: what happened */
	const char *removed;   /* an old declaration taken away because this is a draft; NULL: none */
};

/* Writes technical-file.pdf and, when nothing is open, declaration.pdf into `into` (made when missing). All
 * documents are made before the first is written. A draft removes a declaration left from before, since
 * it no longer holds. */
enum bind_outcome bind_job(struct job *job, const char *into, struct bind_result *result);

#endif
