/* A job begun: its folder, with a record in which every value is unknown. */
#ifndef WORK_BEGIN_H
#define WORK_BEGIN_H

#include "base/arena.h"

enum begin_outcome {
	BEGIN_FINE,
	BEGIN_EXISTS, /* there is a record already; nothing was touched */
	BEGIN_FAILED, /* the system refused; no record was written */
};

/* Makes `folder` with the folders of a job, the JSON Schema that the record names in its first line, and
 * last the record itself with `text`. `*path` is what the outcome is about, `*why` what the system said. */
enum begin_outcome job_begin(struct arena *a, const char *folder, const char *text, const char **path,
	const char **why);

#endif
