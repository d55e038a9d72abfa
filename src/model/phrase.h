/* Words for people: the YAML files of templates/<language>/ flattened to "group.id.part" -> text, and their
 * {{placeholders}}. */
#ifndef MODEL_PHRASE_H
#define MODEL_PHRASE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/finding.h"

struct pattern; /* rule/pattern.h */

struct phrase {
	const char *key, *text; /* key: "zones.main-edge.title", "findings.zone-open.message" */
	struct place at;
};

struct phrasebook {
	const char *language;
	struct phrase *phrases; /* sorted by key */
	size_t count;
	/* Documents in CommonMark: templates/<language>/NAME.md, sorted by name ("technical-file"). */
	struct phrase *documents;
	size_t document_count;
	size_t phrase_room, document_room; /* while it is being loaded */
	const struct pattern *placeholder; /* compiled once; NULL: compiled when it is needed */
};

/* An id for people: its title in the group, else the id. Of "leaf@left" and "wall garden" the first word is the id, and
 * what follows names which: "leaf (left)", "wall garden". */
const char *phrase_title(struct arena *a, const struct phrasebook *b, const char *group, const char *id);

/* What a placeholder looks like: groups 1 and, in {{name in group}}, 2. */
extern const char PHRASE_PLACEHOLDER[];

/* NULL when there is none. */
const char *phrasebook_find(const struct phrasebook *b, const char *key);
/* group "." id "." part; NULL when there is none. */
const char *phrasebook_part(const struct phrasebook *b, const char *group, const char *id,
	const char *part);
const char *phrasebook_document(const struct phrasebook *b, const char *name);

/* `text` with each {{name}} replaced by what `value` returns for it (NULL: the placeholder stays, so that
 * the gap is seen). Names: [a-z][a-z0-9.-]*, blanks inside the braces allowed. What was put in is not
 * looked at again. In {{name in group}} the value is an id, shown as phrase_title() tells; of ids joined
 * by ", " all are shown. In {{name in words}} it is the key of other words. */
char *phrase_expand(struct arena *a, const char *text,
	const char *(*value)(void *subject, const char *name), void *subject);

/* The same from a list of values. */
char *phrase_fill(struct arena *a, const char *text, const struct finding_value *values);

/* Message of a finding: the words whose key is its value "message" ("key|other key": the first there is), else
 * findings.<name>.message, filled, {{subject}} with its subject unless it has a value
 * of that name; its name when the words are missing. */
char *phrase_finding(struct arena *a, const struct phrasebook *b, const struct finding *f);
/* findings.<name>.ways.<id>, else ways.<id>, else the words whose whole key the id is, filled. */
char *phrase_way(struct arena *a, const struct phrasebook *b, const struct finding *f,
	const struct way *w);

#endif
