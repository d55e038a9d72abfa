/* Regular expressions with limits, so that neither a library nor a file can hang the program. */
#ifndef RULE_PATTERN_H
#define RULE_PATTERN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/finding.h"

struct pattern;

enum {
	PATTERN_GROUPS = 16,         /* groups, the whole match included */
	PATTERN_LENGTH = 1000,       /* bytes of a pattern */
	PATTERN_SUBJECT = 16 * 1024, /* bytes searched at once: the work may grow with their square */
};

struct pattern_match {
	size_t from[PATTERN_GROUPS], to[PATTERN_GROUPS]; /* byte offsets; group 0 is the whole match */
	bool set[PATTERN_GROUPS];
};

enum pattern_outcome { PATTERN_NO, PATTERN_YES, PATTERN_GAVE_UP };

/* UTF-8, case-insensitive when asked. NULL after adding FINDING_CODE_PATTERN_SYNTAX (values
 * "pattern", "column", "reason"). Freed with the arena. */
struct pattern *pattern_compile(struct arena *a, const char *text, bool ignore_case,
	struct place at, struct findings *findings);

/* Searches `subject` from byte `from`, the first of a character. PATTERN_GAVE_UP when the limit of
 * steps, depth or memory was hit, or `subject` is longer than PATTERN_SUBJECT or malformed.
 * `*match` is untouched unless PATTERN_YES is returned. An empty match is a match: whoever searches
 * on must step past it. */
enum pattern_outcome pattern_find(const struct pattern *p, const char *subject, size_t length,
	size_t from, struct pattern_match *match);

/* Number of the group called `name`, or -1. */
int pattern_group(const struct pattern *p, const char *name);

#endif
