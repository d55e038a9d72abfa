/* A job opened: record, library, words, every file it cites, and the assessment of all that. */
#ifndef WORK_JOB_H
#define WORK_JOB_H

#include "model/phrase.h"
#include "model/result.h"

struct job {
	struct arena *arena;
	const char *folder;
	struct phrasebook *words;
	const struct library *library;
	const struct record *record;        /* NULL: could not be read */
	struct job_files files;
	struct findings findings;           /* everything there is to say, sorted */
	const struct assessment *assessment; /* NULL when record or library cannot be used */
};

/* Opens `folder` and assesses it. Always fills `job`; what went wrong is in its findings. Reads only.
 * `words` is kept for the documents. */
void job_open(struct arena *a, const char *folder, struct phrasebook *words, struct job *job);

#endif
