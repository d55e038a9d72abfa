/* A gate on record that is judged by the built-in library, changed, and judged again. */
#ifndef LIBRARY_GATE_H
#define LIBRARY_GATE_H

#include "assess/assess.h"
#include "library_patch.h"

/* What is read once: library, records, recordings. */
struct workshop {
	jmp_buf escape;
	struct arena arena;
	struct findings findings;
	struct library *library;
	struct gate_record *records;
	size_t record_count;
	struct gate_blows *blows;
};

/* tests/library/records/NAME.yaml, laid over the records that its `x-like` names. */
struct gate_record {
	const char *name;
	struct node *tree;
	const char *const *answered; /* of `x-answered`: hazards "zone/kind" that are not open in it as it is */
	size_t answered_count;
	const struct lib_type *type;
	const char *const *keys; /* of its zones as it is */
	const struct lib_zone *const *zones; /* the same in the library; of one found by the geometry a copy */
	size_t zone_count;
};

struct gate {
	struct workshop *shop;
	const struct gate_record *from;
	struct arena arena;
	struct findings findings;
	struct node *tree;
	struct assessment *result;
	const char *blow;  /* "PEAK+HELD" in newtons of the force tests that are added; NULL: 200+60 */
	bool points_short; /* the last planned point of the zone `points_of` is left out */
	const char *points_of;
};

void shop_open(struct workshop *s);
void shop_close(struct workshop *s);
const struct gate_record *shop_record(const struct workshop *s, const char *name);

/* Whether that hazard is not open in the record as it is. */
bool record_answers(const struct gate_record *r, const char *zone, const char *kind);

/* A YAML file of tests/library; the test ends when it cannot be read. */
struct node *shop_read(struct workshop *s, const char *path);

void gate_open(struct gate *g, struct workshop *s, const struct gate_record *from);
void gate_close(struct gate *g);

/* zones.KEY.name */
void gate_enter(struct gate *g, const char *key, const char *name, const struct node *value);

/* The zone is on record as `as`, looked at and shown by a photograph and a paper; `by` one measure or NULL. */
void gate_answer(struct gate *g, const char *key, const char *as, const char *const *by, size_t count);

/* Gives each of the map's paths its value. For each key "here." stands for its facts, "zone." for its entry; facts that
 * the zone does not ask are left out. The value `here` stands for all keys. */
void gate_set(struct gate *g, const struct node *sets, const char *const *keys, size_t count);

/* Judges; force tests that are planned and not on record are made, three each. Input that cannot be read ends the
 * test. */
void gate_judge(struct gate *g);

const struct zone_result *gate_zone(const struct gate *g, const char *key);
const struct hazard_result *gate_hazard(const struct gate *g, const char *key, const char *kind);
const struct measure_result *gate_measure(const struct gate *g, const char *key, const char *id);
const struct need_result *gate_need(const struct gate *g, const char *key, const char *measure, const char *need);

/* A finding of that code about that key; `value` of that name, where `name` is not NULL. */
bool gate_finds(const struct gate *g, const char *code, const char *key, const char *name, const char *value);

/* Findings about that key, for messages. */
const char *gate_told(struct gate *g, const char *key);

#endif
