/* The record of one gate from its bytes. */
#ifndef LOAD_RECORD_H
#define LOAD_RECORD_H

#include "model/library.h"
#include "model/record.h"

enum {
	RECORD_NUMBER = 1,       /* of the form that this program reads and writes */
	RECORD_ITEMS_MAX = 2000, /* of one list */
};

/* Reads by the field table; what a gate type, a zone or a check declares is typed by `lib` (NULL:
 * its values are left out, and gate.type is not looked up). Every fault is a finding with its place
 * and its path, `devices[edge-1].maker`. What is missing is not judged here, but each field of the
 * table and each declared one has its entry, with `at` the place of the nearest group of keys that
 * is there. NULL when there is no tree to read from, or `record:` names another form than this
 * program's. `file` and `digest` are kept; `bytes` need not outlive the call. */
struct record *record_load(struct arena *a, const char *bytes, size_t length, const char *file,
	const char *digest, const struct library *lib, struct findings *f);

#endif
