/* The headings of hazards/recordings.yaml, read line by line, so that tests of reading recordings try
 * what is shipped without the loader of the library. */
#ifndef UNIT_RECORDING_PATTERNS_H
#define UNIT_RECORDING_PATTERNS_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "model/recording.h"

enum { PATTERNS_ROOM = 32 };

/* What stands behind `key` on the line, without quotes; NULL when the line is another. */
static inline char *pattern_field(struct arena *a, const char *line, const char *key)
{
	const char *at = strstr(line, key);
	if (!at || line[strspn(line, " -")] != *key)
		return NULL;
	char *text = text_trim(a, at + strlen(key));
	size_t n = strlen(text);
	return *text == '\'' ? arena_copy(a, text + 1, n - 2) : text;
}

/* Aborts when the file cannot be read or a pattern does not compile: nothing could be tested then. */
static inline struct recording_patterns patterns_shipped(struct arena *a)
{
	struct recording_pattern *items = arena_array(a, PATTERNS_ROOM, sizeof *items);
	struct findings findings;
	char line[1000];
	size_t n = 0;
	FILE *f = fopen("hazards/recordings.yaml", "r");
	findings_init(&findings, a);
	while (f && fgets(line, sizeof line, f) && n < PATTERNS_ROOM) {
		char *text;
		if ((text = pattern_field(a, line, "id: ")))
			items[n++].id = text;
		else if (n && (text = pattern_field(a, line, "role: ")))
			items[n - 1].role = text_equal(text, "time") ? RECORDING_TIME
				: text_equal(text, "force")          ? RECORDING_FORCE
								     : RECORDING_COMMENT;
		else if (n && (text = pattern_field(a, line, "unit: ")))
			items[n - 1].unit = text;
		else if (n && (text = pattern_field(a, line, "pattern: ")))
			items[n - 1].pattern = pattern_compile(a, text, true,
				(struct place){"recordings.yaml", 0, 0}, &findings);
	}
	if (f)
		fclose(f);
	if (n == 0 || findings.count)
		abort();
	return (struct recording_patterns){items, n};
}

#endif
