/* The library as plain structs: gate types, zones, measures, limits, plans, checks, regimes. Read from
 * the files of hazards/ and a job's overlay by load/library; the YAML keys are named beside each member.
 * Words for people (titles, descriptions) are in templates/<language>/, keyed by id; entries of an
 * overlay may carry `title:` themselves. Every entry has a standing and a source. */
#ifndef MODEL_LIBRARY_H
#define MODEL_LIBRARY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/finding.h"
#include "model/grid.h"
#include "model/record.h"
#include "rule/rule.h"

struct recording_pattern; /* model/recording.h */
struct library_draft;     /* load/library */

struct words {
	const char *const *items;
	size_t count;
};

/* What every entry carries. YAML: id, title (overlays), source, standing, replaces. */
struct lib_note {
	const char *id;
	const char *title;
	const char *source;
	enum standing standing;
	const char *replaces; /* id of the entry it takes the place of */
	struct place at;
};

/* A declared field. YAML: {id, is: length|…|word|truth|count|text|date, choices: [..], from: 1 mm,
 * to: 20 m, when: "rule"}; `is` names a dimension (length, area, mass, force, speed, angle, time,
 * resistance, number…) or a kind. Required when `when` holds (always without it). */
struct lib_field {
	const char *id;
	enum field_kind kind;
	struct dimension dim;
	struct words choices;
	bool has_low, has_high;
	struct quantity low, high;
	const struct rule *when;
	const char *when_text; /* as written, or NULL */
	const char *words; /* path of its question, where that is not in the words of the entry that asks; or NULL */
	struct place at;
};

/* One rigid step of a motion; every step takes the body from where the steps before it left it, in the fixed frame.
 * YAML, one of
 *   {shift: [x, y]}                  along a line, by so much over the whole travel;
 *   {turn: angle, about: [x, y]}     about a pivot, + anticlockwise;
 *   {aim: [x, y], with: motion, about: [x, y]}    about the fixed point, so that it keeps pointing at the point (closed
 *                                    place) that another motion carries;
 *   {reach: [x, y], with: motion, about: [x, y]}  the same, and along, so that its end stays at that point;
 *   {link: upper|fore, from: [x, y], to: [x, y], with: motion, first: length, second: length, elbow: left|right}
 *                                    two arms from a fixed point to a point that another motion carries.
 * A shift or turn may say `during: [a, b]`: over which part of the travel, as numbers from 0 to 1. */
struct lib_step {
	const struct rule *shift[2], *turn, *about[2], *aim[2], *reach[2], *from[2], *to[2], *first, *second;
	const struct rule **during; /* two, or none */
	size_t during_count;
	const char *with, *link, *elbow;
	struct place at;
};

struct lib_motion {
	const char *id;
	struct lib_step *steps;
	size_t step_count;
	struct place at;
};

/* A body of the gate for drawings and geometry. YAML: {id, role (default: id), view: plan|elevation, per: gate|leaf,
 * moves: no|id of a motion, from: length, to: length, open-work: rule, drawn-only: yes, when: rule,
 * points: [[x-rule, y-rule], …]}: polygon, in the closed position. Axes: plan x along the line of the closed gate, y
 * towards the inside of the property; elevation x as in plan, y up from the ground. `from`, `to`: extent across the
 * view (heights of a plan body, depths of an elevation body); absent: unbounded. `per: leaf`: once for each leaf,
 * mirrored for the second where the type says about which line. */
struct lib_body {
	const char *id, *role, *moves; /* moves: NULL or "no" for a body that stands */
	bool elevation, per_leaf, drawn_only;
	const struct rule *when, *from, *to, *open_work;
	const struct rule *(*points)[2];
	size_t count;
	struct place at;
};

/* Underside of a turning leaf over the ground, at its free end. YAML: {height, rise, radius, angle, along, across}. */
struct lib_underside {
	const struct rule *height, *rise, *radius, *angle, *along, *across;
	struct place at;
};

/* YAML group `types`: {id, family, movement: horizontal|perpendicular-axis|vertical|parallel-axis,
 * dimensions: [field…], agrees: [rules that the dimensions must keep among themselves], travel:
 * rule (way of the main edge), leaves: rule (how many), mirror: rule (x of the line), origin: [x,
 * y] (from which fixed objects are measured), clearance: [plan, elevation], found: zone id,
 * underside: [one], motions: [...], bodies: [...], zones: [zone ids]}. */
struct lib_type {
	struct lib_note note;
	const char *family, *movement, *found;
	struct lib_field *dimensions;
	size_t dimension_count;
	const struct rule **agrees;
	size_t agree_count;
	const struct rule *travel, *leaves, *mirror, *origin[2];
	struct words clearance; /* none written: plan */
	struct lib_underside *underside; /* none or one */
	size_t underside_count;
	struct lib_motion *motions;
	size_t motion_count;
	struct lib_body *bodies;
	size_t body_count;
	struct words zones;
};

/* One kind of hazard in a zone. YAML: {kind, harm: catastrophic|serious|moderate|minor, who: [..],
 * arises: [closing, opening, by-hand, failure, any], requirements: [ids], clauses: [text],
 * designed-out: rule, measures: [ids]}. `designed-out` absent: geometry alone cannot answer it. */
struct lib_hazard {
	const char *kind; /* crushing shearing drawing-in impact reaching-through falling leaving-guides
	                     hooking electrical unexpected-start trapping failure riding */
	const char *harm;
	struct words who, arises, requirements, clauses, measures;
	const struct rule *designed_out;
	struct place at;
};

/* YAML group `zones`: {id, when: rule (zone exists), per: leaf|gate, edge: main|secondary|none,
 * directions: [closing, opening], absent-when: rule (not-present may be claimed), asks: [field…],
 * covers: [a~b: pairs of bodies, by id or role, that are dealt with here], hazards: [...], plan: id
 * of a force plan, at: [x-rule, y-rule] (where its number stands in plan), at-elevation: [x, y]}.
 * Facts asked for are written under zones.<key>.facts and named here.<id>. */
struct lib_zone {
	struct lib_note note;
	const struct rule *when, *absent_when;
	bool per_gate;
	const char *edge;
	struct words directions, covers;
	struct lib_field *asks;
	size_t ask_count;
	struct lib_hazard *hazards;
	size_t hazard_count;
	const char *plan;
	struct words ages_by; /* YAML ages-by: kinds of change after which the zone must be looked at again */
	const struct rule *plan_at[2], *elevation_at[2];
};

/* What a measure needs before it counts. YAML: {id, when: rule, and exactly one of
 *   holds: rule                      a condition;
 *   device: [kinds]                  a device of one of these kinds whose `zones` names this zone (and, with
 *                                    `each-direction: yes`, whose `directions` cover the zone's);
 *   function: [kinds]                a safety function of one of these kinds in the record, that counts;
 *   force: yes                       every point of the zone's plan, within limits;
 *   check: [ids]                     every named commissioning check, passed;
 *   evidence: [photo, paper]         a citation of one of these kinds in the zone's evidence;
 *   with: [measure ids]              another of these chosen for the same zone, itself counting }. */
enum need_kind { NEED_HOLDS, NEED_DEVICE, NEED_FUNCTION, NEED_FORCE, NEED_CHECK, NEED_EVIDENCE, NEED_WITH };

struct lib_need {
	const char *id;
	enum need_kind kind;
	const struct rule *when, *holds;
	struct words names;
	bool each_direction;
	struct place at;
};

/* YAML group `measures`: {id, step: design|safeguard|information, protection: A..E, answers:
 * [kinds], never: [kinds], asks: [field…], needs: [...]}. A kind in neither list is not answered.
 * One that replaces another and has no `asks` asks what that asked; `asks: []` asks nothing.
 * Each zone that lists the measure for some hazard asks the measure's questions too, once it is
 * chosen; a question of the zone with the same id wins. */
struct lib_measure {
	struct lib_note note;
	const char *step, *protection;
	struct words answers, never;
	struct lib_field *asks;
	size_t ask_count;
	struct lib_need *needs;
	size_t need_count;
};

/* YAML group `limits`: {id, is: dimension, arguments: [names], variants: [{id, default: yes, edition,
 * rows: [{when: rule over the argument names, value: rule, source, standing}]}]}. Short form with one
 * variant: value, source, standing at the top. limit('id', a, b) in a rule takes the rows of the variant
 * chosen; the first row that holds; rows that are unknown widen the result to an interval. */
struct lib_limit_row {
	const struct rule *when, *value;
	const char *source;
	enum standing standing;
	struct place at;
};

struct lib_limit_variant {
	const char *id, *edition;
	bool is_default;
	struct lib_limit_row *rows;
	size_t row_count;
};

struct lib_limit {
	struct lib_note note;
	struct dimension dim;
	struct words arguments;
	struct lib_limit_variant *variants;
	size_t variant_count;
};

/* YAML group `tables`: see model/grid.h. `edition` is that of the print. */
struct lib_grid {
	struct lib_note note;
	const char *edition;
	struct grid grid;
};

/* YAML group `definitions`: {id, rule, source, standing}; named the.<id> in rules. */
struct lib_definition {
	struct lib_note note;
	const struct rule *rule;
};

/* Least protection of the main edge. YAML group `protection`: {id, activation: word, use: word,
 * least: ["A", "C+D", "E"] (alternatives; empty: not allowed), source, standing}. */
struct lib_protection {
	struct lib_note note;
	const char *activation, *use;
	struct words least;
};

/* YAML group `activation-classes`: {id (the class), rank: n (higher is worse), when: rule over
 * activation.* }; the class of an activation is the first whose rule holds. */
struct lib_activation {
	struct lib_note note;
	double rank;
	const struct rule *when;
};

/* YAML group `force-plans`: {id, gaps: [rules], heights: [rules], repeats: 3, tolerance: 20 mm,
 * when: rule, extra: [{when: rule, gap: rule, height: rule, speed: full}]}; the limit of each point comes
 * from limit('peak-force', movement, gap, facing). `facing`: edge|flat. */
struct lib_plan_extra {
	const struct rule *when, *gap, *height;
	const char *speed;
};

struct lib_plan {
	struct lib_note note;
	const struct rule **gaps, **heights;
	size_t gap_count, height_count;
	double repeats;
	struct quantity tolerance;
	const char *facing;
	struct lib_plan_extra *extra;
	size_t extra_count;
	struct words ages_by; /* YAML ages-by: kinds of change after which the tests must be made again */
};

/* YAML group `checks`: {id, when: rule, asks: [field…], holds: rule over check.* (asked facts, under
 * checks.<id>.facts… written beside the result), evidence: [photo|paper], ages-by: [kinds of change]}. */
struct lib_check {
	struct lib_note note;
	const struct rule *when, *holds;
	struct lib_field *asks;
	size_t ask_count;
	struct words evidence, ages_by;
};

/* Judgement of one line of the input register. YAML group `input-rules`: {id, functions: [..] (empty: all),
 * when: rule over input.*, holds: rule over input.*, source, standing}. */
struct lib_input_rule {
	struct lib_note note;
	struct words functions;
	const struct rule *when, *holds;
};

/* What a symptom may come from. YAML group `causes`: {id, symptoms: [words of control.symptoms], functions: [of
 * the inputs on which it shows] (empty: it shows on the gate as a whole, and no input.* may be named), when:
 * rule over input.* and the record (the reading that does not fit), low: rule, high: rule (between which the
 * reading would have to be, {{low}} and {{high}} in its words), rank: n (1 is the most likely)}. */
struct lib_cause {
	struct lib_note note;
	struct words symptoms, functions;
	const struct rule *when, *low, *high;
	double rank;
};

/* YAML group `functions`: {id (kind), when: rule (required in the record when it holds), least: c,
 * categories: [2, 3, 4] (empty: any), ages-by: [..], papers: [kinds of paper that can show its level]
 * (empty: any), roles: [that its chain must have] (empty: every role)}. */
struct lib_function {
	struct lib_note note;
	const struct rule *when;
	const char *least;
	struct words categories, ages_by, papers, roles;
};

/* What a firm knows of a device, typed once. YAML group `parts`: {id, title, device (maker and model), level: a..e,
 * per-hour: 4e-8 1/h, category, mttfd: 45 years, second-mttfd, b10d: 1300000, dc: 90 %, common-cause: 70,
 * test-rate: 100, test-mttfd, unknown: [keys its maker has not told], source (paper of its
 * maker, with its date), standing}. A number that is not there is 0. */
struct lib_part {
	struct lib_note note;
	const char *device, *level, *category;
	struct quantity per_hour, mttfd, second_mttfd, b10d, dc, common_cause, test_rate, test_mttfd;
	struct words unknown;
};

/* YAML group `requirements`: {id, directive: "1.3.7", regulation: "1.3.7", applies: always|hazard|check,
 * when: rule, shown-by: [zones, check:ID, field:PATH]}. Titles are words. A requirement that no zone names is
 * answered by all that `shown-by` lists; without any it stays open. */
struct lib_requirement {
	struct lib_note note;
	const char *directive, *regulation, *applies;
	const struct rule *when;
	struct words shown_by;
};

/* YAML group `standards`: {id, number, edition, dated, covers: [requirement ids], cited: [{regime, from, to,
 * reference, source, standing}]}. */
struct lib_citation {
	const char *regime, *reference;
	struct date from, to;
};

struct lib_standard {
	struct lib_note note;
	const char *number, *edition, *name;
	struct words covers;
	struct lib_citation *citations;
	size_t citation_count;
};

/* YAML group `regimes`: {id, territories: [..], from, to (by first use; either may be absent), numbering:
 * directive|regulation, act, reference, mark, retention: 10 years, items: [{no: "1", id, needs: [record
 * paths], when: rule}], other-acts: [...]}. Wording of items: templates/<language>/declaration.yaml. */
struct lib_item {
	const char *no, *id;
	struct words needs;
	const struct rule *when;
	struct place at;
};

struct lib_regime {
	struct lib_note note;
	struct words territories, other_acts;
	struct date from, to;
	const char *numbering, *act, *reference, *mark;
	struct quantity retention;
	struct lib_item *items;
	size_t item_count;
};

/* What is looked after, and how often. YAML group `upkeep`, in the order in which they are printed: {id, when: rule
 * (as far as it is not known, the task stands), interval: 12 months (at least so often; absent: on every visit),
 * reason (of a firm's own)}. Title and text, which is the reason, are words: upkeep.<id>. */
struct lib_task {
	struct lib_note note;
	const struct rule *when;
	struct quantity interval; /* 0: on every visit */
	const char *reason;       /* or NULL */
};

/* One leg of the walk round the gate. YAML group `legs`, in the order in which they are walked: {id, asks: [paths of
 * the field table, or of lists, in the order asked], cautions: [ids], shows: plan|zones|forces|open (what
 * stands there to be looked at)}. Title and text are words: legs.<id>. */
struct lib_leg {
	struct lib_note note;
	struct words asks, cautions;
	const char *shows;
};

#define LIBRARY_GROUP(type, name) struct lib_##type *name; size_t name##_count

struct library {
	LIBRARY_GROUP(type, types);
	LIBRARY_GROUP(zone, zones);
	LIBRARY_GROUP(measure, measures);
	LIBRARY_GROUP(limit, limits);
	LIBRARY_GROUP(grid, grids);
	LIBRARY_GROUP(definition, definitions);
	LIBRARY_GROUP(protection, protections);
	LIBRARY_GROUP(activation, activations);
	LIBRARY_GROUP(plan, plans);
	LIBRARY_GROUP(check, checks);
	LIBRARY_GROUP(input_rule, input_rules);
	LIBRARY_GROUP(cause, causes);
	LIBRARY_GROUP(function, functions);
	LIBRARY_GROUP(part, parts);
	LIBRARY_GROUP(requirement, requirements);
	LIBRARY_GROUP(standard, standards);
	LIBRARY_GROUP(regime, regimes);
	LIBRARY_GROUP(task, tasks);
	LIBRARY_GROUP(leg, legs);
	const struct recording_pattern *patterns;
	size_t pattern_count;
	const char *const *overlays; /* files of the job's overlay that were read */
	size_t overlay_count;
	/* Readings entered in an overlay: YAML group `readings`: {id (limit or other entry), edition, clause,
	 * by, read-on}. */
	struct lib_reading *readings;
	size_t reading_count;
	struct library_draft *draft; /* what load/library has yet to resolve; NULL once that is done */
};

struct lib_reading {
	const char *id, *edition, *clause, *by;
	struct date read_on;
	struct place at;
};

const struct lib_type *library_type(const struct library *l, const char *id);
const struct lib_zone *library_zone(const struct library *l, const char *id);
const struct lib_measure *library_measure(const struct library *l, const char *id);
const struct lib_limit *library_limit(const struct library *l, const char *id);
const struct lib_grid *library_grid(const struct library *l, const char *id);
const struct lib_definition *library_definition(const struct library *l, const char *id);
const struct lib_plan *library_plan(const struct library *l, const char *id);
const struct lib_check *library_check(const struct library *l, const char *id);
const struct lib_function *library_function(const struct library *l, const char *id);
const struct lib_part *library_part(const struct library *l, const char *id);
const struct lib_requirement *library_requirement(const struct library *l, const char *id);
const struct lib_standard *library_standard(const struct library *l, const char *id);
const struct lib_field *lib_field_find(const struct lib_field *fields, size_t count, const char *id);

bool words_have(struct words w, const char *word);


#endif
