/* Findings: everything the program has to say about a record, a file or a gate. Lower layers collect
 * them; only the command line prints them. The words live in templates/<language>/findings.yaml; here
 * are codes, levels and the values that the words need. */
#ifndef BASE_FINDING_H
#define BASE_FINDING_H

#include <stddef.h>

#include "base/arena.h"

/* Ordered: the worst level seen decides the exit status. */
enum finding_level {
	FINDING_NOTE,  /* worth knowing; blocks nothing */
	FINDING_OPEN,  /* blocks the signature */
	FINDING_STOP,  /* danger now */
	FINDING_INPUT, /* the input itself cannot be read as meant */
};

enum finding_code {
#define FINDING(name, text, level) FINDING_CODE_##name,
#include "base/findings.def"
#undef FINDING
	FINDING_CODE_COUNT
};

enum standing { STANDING_PUBLISHED, STANDING_PRACTICE, STANDING_MEMORY, STANDING_FIRM };

/* Where something was read: line and column count from 1, columns in characters; line 0 = no place. */
struct place {
	const char *file;
	int line, column;
};

struct finding_value {
	const char *name, *value;
	struct finding_value *next;
};

/* A concrete change that would close the point; `id` names its words. */
struct way {
	const char *id;
	struct finding_value *values;
	struct way *next;
};

struct finding {
	enum finding_code code;
	const char *subject; /* what it is about: a zone, a point, a path in the record; never NULL */
	struct place at;
	struct finding_value *values;
	struct way *ways;
	const char *source; /* document, edition, clause of what was applied; NULL: none */
	enum standing standing;
	size_t order; /* in which it was added */
};

struct findings {
	struct arena *arena;
	struct finding **items;
	size_t count, room;
};

void findings_init(struct findings *list, struct arena *a);

/* Adds a finding and returns it, to be given values and ways. Strings are kept, not copied. */
struct finding *finding_add(struct findings *list, enum finding_code code, const char *subject,
	struct place at);

/* Gives the finding a named value for its words. Returns the finding, so that calls can nest. */
struct finding *finding_with(struct findings *list, struct finding *f, const char *name,
	const char *value);

struct way *finding_way(struct findings *list, struct finding *f, const char *id);
struct way *way_with(struct findings *list, struct way *w, const char *name, const char *value);

void finding_source(struct finding *f, const char *source, enum standing standing);

/* "zone-open": the name of the code as it is printed and explained. */
const char *finding_name(enum finding_code code);
enum finding_level finding_level(enum finding_code code);
const char *finding_level_name(enum finding_level level);
const char *standing_name(enum standing s);

/* FINDING_NOTE when there is none. */
enum finding_level findings_worst(const struct findings *list);
size_t findings_count(const struct findings *list, enum finding_level level);

/* Worst level first, then by file, line, column, then in the order added. */
void findings_sort(struct findings *list);

/* The code called `name`, or FINDING_CODE_COUNT. */
enum finding_code finding_named(const char *name);

#endif
