/* Private to `assess`: what the parts of an assessment share. */
#ifndef ASSESS_CONTEXT_H
#define ASSESS_CONTEXT_H

#include "assess/assess.h"
#include "base/text.h"

/* Names bound for the duration of one evaluation: "input" -> an item, so that input.contact is looked up
 * in it; or one name -> a value (arguments of a limit). Innermost first. */
struct scope {
	const char *prefix;         /* "input", "leaf", "item"; or the whole name when `item` is NULL */
	const struct item *item;
	const char *key_prefix;     /* put before the key inside the item: "facts." or "" */
	struct value value;
	const struct scope *outer;
};

struct context {
	struct arena *arena;
	const struct record *record;
	const struct library *library;
	const struct job_files *files;
	struct findings *findings;
	struct assessment *result;
	struct rule_names names;    /* with this context as subject */
	const struct scope *scope;
	const struct zone_result *zone; /* in hand, or NULL */
	int depth;                  /* of definitions and limits inside each other */
	size_t limit_room;
	const struct lib_limit_row *last_row; /* that a limit came from */
	bool in_limit;              /* a row of a limit is being looked at */
	const struct grid_cell *cell; /* of printed tables that the row uses, the one trusted least; NULL: none */
	const char *edition;        /* variant of limits asked for by edition or id; NULL: by the record */
	size_t decision_room;
};

/* Result with its own context, so that names can be handed out later. */
struct assess_whole {
	struct assessment result; /* first member */
	struct context context;
};

void context_names(struct context *c);

/* Adds a finding about `subject`; `at` from a fact or an item. */
struct finding *point_out(struct context *c, enum finding_code code, const char *subject, struct place at);
/* The same with one value and no way. */
struct finding *point_out_with(struct context *c, enum finding_code code, const char *subject,
	struct place at, const char *name, const char *value);
void with(struct context *c, struct finding *f, const char *name, const char *value);
struct way *way_out(struct context *c, struct finding *f, const char *id);
/* The way that names what was probably meant, when one of `ids` is close enough to `word`. */
void suggest(struct context *c, struct finding *f, const char *word, const char *const *ids, size_t count);
void way_value(struct context *c, struct way *w, const char *name, const char *value);

struct rule_result context_test(struct context *c, const struct rule *r);
bool context_holds(struct context *c, const struct rule *r);    /* yes, and nothing less */
bool context_excludes(struct context *c, const struct rule *r); /* no; false for a missing rule */

/* limit('id', ...) from C: the arguments in the order of its declaration. `used_for` names the subject. */
struct value context_limit(struct context *c, const char *id, const struct value *arguments, size_t count,
	const char *used_for);
/* A limit without arguments in SI units; false when it is unknown. Takes the stricter end of an interval:
 * the low one. */
bool context_bound(struct context *c, const char *id, const char *used_for, double *si);

/* An entry whose standing is `memory` decides something: it must have been read. */
void context_decides(struct context *c, const struct lib_note *note, const char *group);

/* Evidence dated before the last change that touches it no longer shows the gate as it stands: reports that
 * and returns true. An absent date is not judged here. */
bool context_aged(struct context *c, const char *subject, const struct fact *on, struct words kinds);

/* The same for a device fitted after that date. */
bool context_fitted(struct context *c, const char *subject, const struct fact *on, const struct item *device);

/* Evidence citations: every entry of the list must exist; returns how many are of kind `kind` ("photo"),
 * or of any kind when NULL, and usable. */
size_t evidence_count(const struct context *c, const struct fact *list, const char *kind);

/* How many of the cited papers are of one of these kinds (all, when there is none) and usable. */
size_t papers_cited(const struct context *c, const struct fact *list, struct words kinds);

/* The act under which a gate of this territory, first used on this day, is declared; NULL: none. */
const struct lib_regime *regime_find(const struct library *l, const char *territory, struct date on);

/* The least protection of the main edge for a class of activation and a use, the last entry counting; NULL: none. */
const struct lib_protection *protection_find(const struct library *l, const char *activation, const char *use);

/* "high" for 3 … "negligible" for 0, as limit risk-class counts them; "" for any other. */
const char *risk_class_name(double class);

/* The parts, in the order they run. */
void assess_fields(struct context *c);
void assess_regime(struct context *c);
void assess_references(struct context *c);
void assess_zones(struct context *c);    /* measures chosen, hazards not yet judged */
void assess_controls(struct context *c); /* functions, inputs, checks, activations */
void assess_functions(struct context *c);
void assess_diagnosis(struct context *c); /* symptoms on record, by the input register */
void assess_force_plan(struct context *c); /* points, not yet judged */
void assess_force(struct context *c);
void assess_hazards(struct context *c);  /* needs, hazards, zones */
void assess_protection(struct context *c);
void assess_requirements(struct context *c);
void assess_limits(struct context *c);   /* standing of everything that decided */
void assess_declaration(struct context *c);

/* Whether `device` acts in every direction of the zone in hand: it says so, and what the gate did when its
 * input was actuated agrees. */
bool device_covers(const struct context *c, const struct item *device);
/* What protects by a signal is made to a standard; what says "none" is not known to act when it must. */
bool device_certified(const struct item *device);

struct zone_result *context_zone(const struct context *c, const char *key);

#endif
