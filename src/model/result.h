/* What assessing a record gave: zones, demands, outcomes. Computed by `assess`, shown by `doc` and `out`.
 * Everything lives in the arena of the assessment; record and library must outlive it. */
#ifndef MODEL_RESULT_H
#define MODEL_RESULT_H

#include "base/finding.h"
#include "model/geometry.h"
#include "model/library.h"
#include "model/reckoning.h"
#include "model/record.h"
#include "model/recording.h"

enum outcome {
	OUTCOME_OPEN,       /* not answered, or not on record */
	OUTCOME_ANSWERED,   /* demanded and on record within what was demanded */
	OUTCOME_ABSENT,     /* does not apply, and that is on record */
};

/* A need of a chosen measure in a zone. */
struct need_result {
	const struct lib_need *need;
	enum outcome outcome;    /* OUTCOME_ABSENT: its `when` does not hold */
	const char *shown;       /* the condition with the numbers put in; "" when it has none */
	const char *because;     /* id of the item that answers it (device, function, check…); "" */
};

struct measure_result {
	const struct lib_measure *measure;
	struct need_result *needs;
	size_t need_count;
	bool counts;             /* every need answered */
};

struct hazard_result {
	const struct lib_hazard *hazard;
	enum outcome outcome;
	bool designed_out;       /* answered by geometry */
	const char *shown;       /* designed-out rule with numbers; "" */
	const struct lib_measure *by; /* the measure that answers it, or NULL */
	const char *risk_before, *risk_after; /* high medium low negligible; "" when not on record */
};

struct zone_result {
	int number;              /* on drawings and in tables: presentation only */
	const char *key;         /* zone@leaf */
	const struct lib_zone *zone;
	const struct item *leaf; /* NULL for a zone of the gate as a whole */
	const struct item *entry; /* zones.<key> of the record, or NULL */
	const struct clearance_result *clearance; /* of a zone found by the geometry, else NULL */
	enum outcome outcome;
	struct hazard_result *hazards;
	size_t hazard_count;
	struct measure_result *measures; /* chosen in the record, known to the library */
	size_t measure_count;
	double plan_x, plan_y, elevation_x, elevation_y; /* m; where its number stands */
	bool has_plan, has_elevation;
};

/* One recording of a force point, evaluated. Times in s from the recording's own zero. */
struct run_result {
	const char *file;        /* as cited, with #column */
	struct place at;         /* of the citation */
	const struct recording *recording; /* NULL when it could not be read */
	bool usable, counts_once; /* counts_once: false when the same samples came before */
	const char *verdict;     /* within over unusable */
	const char *const *reasons; /* ids: words under curve-reasons */
	size_t reason_count;
	double peak, peak_bound, above_static_time, static_force, above_end_time, end_force;
	double t0, t1;           /* s; t1 < 0: never above the static force limit */
	double rate;             /* samples a second */
	bool peak_uncertain;
};

/* One point of the force plan. */
struct point_result {
	const char *id;          /* of the record's point, or of the plan ("main-edge@leaf-1 closing 50/300") */
	const char *zone_key, *direction, *speed, *leaves, *facing;
	double gap, height;      /* m */
	double limit;            /* N */
	const char *limit_source;
	enum standing limit_standing;
	bool planned;            /* asked for by the plan; else an additional one */
	const struct item *entry; /* force.points item, or NULL */
	struct run_result *runs;
	size_t run_count;
	size_t usable;           /* different usable recordings */
	double mean_peak;        /* N, of the first three usable ones or of all; 0 without */
	enum outcome outcome;
	bool near_limit;         /* within the instrument's accuracy of the limit */
};

/* One subsystem of a safety function. */
struct subsystem_view {
	const struct item *entry;
	const struct lib_part *part; /* that it cites, or NULL */
	const char *level;       /* reached: "none", a … e */
	const char *by;          /* what decided it: maker rate annex-k simplified both none */
	const char *category;    /* "" when not on record */
	const char *gap;         /* id of why it has no level; "" */
	double per_hour;         /* 0: not to be told */
	bool rate_known;
};

struct function_result {
	const struct lib_function *function;
	const struct item *entry; /* NULL: required and missing */
	enum outcome outcome;
	bool required;
	const char *least;       /* level required: the higher of risk graph and library floor; "" */
	const char *level;       /* reached; "" when it was not computed */
	const char *by;          /* sum lowest series none; "" */
	double per_hour;
	const char *weakest;     /* id of a subsystem; "" */
	struct subsystem_view *subsystems;
	size_t subsystem_count;
	struct steps steps;      /* words steps.* */
};

struct check_result {
	const struct lib_check *check;
	const struct item *entry;
	enum outcome outcome;    /* OUTCOME_ABSENT: its `when` does not hold */
	const char *shown;
};

struct input_result {
	const struct item *entry;
	enum outcome outcome;
};

/* What may bring a symptom about: `missing` are the paths of fields that have to be read before it is known. */
struct cause_result {
	const struct lib_cause *cause;
	const struct item *input; /* on which it shows, or NULL */
	bool fits;               /* what the record says fits it; else it may, and something is missing or too close */
	const char *const *missing;
	size_t missing_count;
	size_t order;
};

/* A symptom on record with its causes, the likeliest first; those that fit come before those that may. */
struct diagnosis {
	const char *symptom;
	struct cause_result *causes;
	size_t cause_count, fit_count;
};

struct requirement_result {
	const struct lib_requirement *requirement;
	bool applies;
	const struct zone_result *const *zones; /* that name it */
	size_t zone_count;
	enum outcome outcome;
};

/* A limit that decided something, with the reading of the signatory where there is one. */
struct limit_use {
	const struct lib_limit *limit;
	const struct lib_limit_variant *variant;
	const struct lib_limit_row *row; /* of the rows that applied, the one that can be trusted least */
	struct quantity value;           /* low to high spans the rows that applied */
	bool loosened;           /* another variant than the default was chosen */
	const char *read_edition, *read_clause; /* NULL: not entered */
	struct date read_on;
	const char *used_for;    /* subject it was first used for */
};

/* Another entry of the library that decided something: a measure that counts, a function, a plan, the law. */
struct decision {
	const struct lib_note *note;
	const char *group;       /* of its words: measures, functions, force-plans, protection, regimes */
	const char *read_edition, *read_clause; /* NULL: not entered */
	struct date read_on;
};

struct declaration_item {
	const struct lib_item *item;
	bool applies, complete;
	const char *missing;     /* first path that is missing; "" */
};

struct assessment {
	const struct record *record;
	const struct library *library;
	const struct lib_regime *regime; /* NULL when not to be told */
	const struct geometry *geometry; /* bodies and clearances; NULL without a type */
	struct zone_result *zones;
	size_t zone_count;
	struct point_result *points;
	size_t point_count;
	struct function_result *functions;
	size_t function_count;
	struct check_result *checks;
	size_t check_count;
	struct input_result *inputs;
	size_t input_count;
	struct diagnosis *diagnoses;
	size_t diagnosis_count;
	struct requirement_result *requirements;
	size_t requirement_count;
	struct limit_use *limits;
	size_t limit_count;
	struct decision *decisions; /* each entry once */
	size_t decision_count;
	struct declaration_item *items;
	size_t item_count;
	const char *activation;  /* worst class fitted; "" when not to be told */
	const char *use;         /* trained-private trained-public public */
	const struct lib_protection *protection;
	bool force_needed;
	bool ready;              /* nothing open: no finding above a note */
	struct findings *findings;
};

struct doc_picture;

/* What was found behind a path of the job folder, prepared by whoever may read files. */
struct job_file {
	const char *path;        /* as cited, without #column */
	bool present;
	const char *digest;      /* SHA-256 in hex, when present */
	size_t size;
	bool blank;              /* nothing in it but blanks, or nothing at all */
	struct recording_list recordings; /* of a curve file: one for each force column */
	const char *picture_fault; /* id of why a picture cannot be used, or NULL */
	const struct doc_picture *picture; /* decoded (doc/tree.h), or NULL */
};

struct job_files {
	const struct job_file *files; /* sorted by path */
	size_t count;
};

/* NULL when that path was not looked for. */
const struct job_file *job_files_find(const struct job_files *files, const char *path);

#endif
