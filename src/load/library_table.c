#include "load/library_table.h"

#include "base/text.h"

#define ROW(s, yaml, row_kind, member) \
	{.key = yaml, .kind = row_kind, .at = offsetof(struct s, member)}
#define ROW_WITH(s, yaml, row_kind, member, ...) \
	{.key = yaml, .kind = row_kind, .at = offsetof(struct s, member), __VA_ARGS__}
#define MANY(s, yaml, row_kind, member, counter) \
	{.key = yaml, .kind = row_kind, .at = offsetof(struct s, member), \
		.count_at = offsetof(struct s, counter)}
#define MANY_WITH(s, yaml, row_kind, member, counter, ...) \
	{.key = yaml, .kind = row_kind, .at = offsetof(struct s, member), \
		.count_at = offsetof(struct s, counter), __VA_ARGS__}
#define OTHER(yaml) {.key = yaml, .kind = ROW_OTHER}
#define TABLE(s, list, place, hook) \
	{.rows = list, .count = sizeof list / sizeof *list, .size = sizeof(struct s), .place_at = place, \
		.complete = hook}

#define HAZARD_KINDS \
	"crushing|shearing|drawing-in|impact|reaching-through|falling|leaving-guides|hooking|electrical|" \
	"unexpected-start|trapping|failure|riding"
#define CHANGES .field = "changes[].touches"

static const struct {
	const char *name;
	const struct dimension *dim;
} DIMENSIONS[] = {
	{"number", &DIM_NUMBER}, {"length", &DIM_LENGTH}, {"area", &DIM_AREA}, {"mass", &DIM_MASS},
	{"force", &DIM_FORCE}, {"stiffness", &DIM_STIFFNESS}, {"speed", &DIM_SPEED},
	{"acceleration", &DIM_ACCELERATION}, {"angle", &DIM_ANGLE}, {"time", &DIM_TIME},
	{"energy", &DIM_ENERGY}, {"power", &DIM_POWER}, {"voltage", &DIM_VOLTAGE},
	{"current", &DIM_CURRENT}, {"resistance", &DIM_RESISTANCE}, {"pressure", &DIM_PRESSURE},
	{"rate", &DIM_RATE}, {"days", &DIM_DAYS}, {"months", &DIM_MONTHS},
	{"temperature", &DIM_TEMPERATURE},
};

bool lib_dimension(const char *name, struct dimension *out)
{
	for (size_t i = 0; i < sizeof DIMENSIONS / sizeof *DIMENSIONS; i++)
		if (text_equal(DIMENSIONS[i].name, name)) {
			*out = *DIMENSIONS[i].dim;
			return true;
		}
	return false;
}

const char *lib_dimension_names(void)
{
	return "number|length|area|mass|force|stiffness|speed|acceleration|angle|time|energy|power|"
	       "voltage|current|resistance|pressure|rate|days|months|temperature";
}

static const struct lib_row FIELD_ROWS[] = {
	ROW_WITH(lib_field, "id", ROW_TEXT, id, .required = true),
	OTHER("is"),
	ROW(lib_field, "choices", ROW_WORDS, choices),
	OTHER("from"),
	OTHER("to"),
	ROW(lib_field, "when", ROW_RULE, when),
};
const struct lib_table LIB_FIELD_TABLE =
	TABLE(lib_field, FIELD_ROWS, offsetof(struct lib_field, at), library_complete_field);

static const struct lib_row STEP_ROWS[] = {
	ROW(lib_step, "shift", ROW_POINT, shift),
	ROW(lib_step, "turn", ROW_RULE, turn),
	ROW(lib_step, "about", ROW_POINT, about),
	MANY(lib_step, "during", ROW_RULES, during, during_count),
	ROW(lib_step, "aim", ROW_POINT, aim),
	ROW(lib_step, "reach", ROW_POINT, reach),
	ROW(lib_step, "with", ROW_TEXT, with),
	ROW_WITH(lib_step, "link", ROW_WORD, link, .choices = "upper|fore"),
	ROW(lib_step, "from", ROW_POINT, from),
	ROW(lib_step, "to", ROW_POINT, to),
	ROW(lib_step, "first", ROW_RULE, first),
	ROW(lib_step, "second", ROW_RULE, second),
	ROW_WITH(lib_step, "elbow", ROW_WORD, elbow, .choices = "left|right"),
};
static const struct lib_table STEP = TABLE(lib_step, STEP_ROWS, offsetof(struct lib_step, at), library_complete_step);

static const struct lib_row MOTION_ROWS[] = {
	ROW_WITH(lib_motion, "id", ROW_TEXT, id, .required = true),
	MANY_WITH(lib_motion, "steps", ROW_ITEMS, steps, step_count, .table = &STEP, .required = true),
};
static const struct lib_table MOTION =
	TABLE(lib_motion, MOTION_ROWS, offsetof(struct lib_motion, at), library_complete_motion);

static const struct lib_row UNDERSIDE_ROWS[] = {
	ROW_WITH(lib_underside, "height", ROW_RULE, height, .required = true),
	ROW_WITH(lib_underside, "rise", ROW_RULE, rise, .required = true),
	ROW_WITH(lib_underside, "radius", ROW_RULE, radius, .required = true),
	ROW_WITH(lib_underside, "angle", ROW_RULE, angle, .required = true),
	ROW_WITH(lib_underside, "along", ROW_RULE, along, .required = true),
	ROW_WITH(lib_underside, "across", ROW_RULE, across, .required = true),
};
static const struct lib_table UNDERSIDE =
	TABLE(lib_underside, UNDERSIDE_ROWS, offsetof(struct lib_underside, at), NULL);

static const struct lib_row BODY_ROWS[] = {
	ROW_WITH(lib_body, "id", ROW_TEXT, id, .required = true),
	ROW(lib_body, "role", ROW_TEXT, role),
	ROW_WITH(lib_body, "view", ROW_FLAG, elevation, .choices = "plan|elevation", .required = true),
	ROW_WITH(lib_body, "per", ROW_FLAG, per_leaf, .choices = "gate|leaf"),
	ROW(lib_body, "moves", ROW_TEXT, moves),
	ROW(lib_body, "from", ROW_RULE, from),
	ROW(lib_body, "to", ROW_RULE, to),
	ROW(lib_body, "open-work", ROW_RULE, open_work),
	ROW(lib_body, "drawn-only", ROW_TRUTH, drawn_only),
	ROW(lib_body, "when", ROW_RULE, when),
	MANY_WITH(lib_body, "points", ROW_POINTS, points, count, .required = true),
};
static const struct lib_table BODY =
	TABLE(lib_body, BODY_ROWS, offsetof(struct lib_body, at), library_complete_body);

static const struct lib_row TYPE_ROWS[] = {
	ROW_WITH(lib_type, "family", ROW_TEXT, family, .required = true),
	ROW_WITH(lib_type, "movement", ROW_WORD, movement, .required = true,
		.choices = "horizontal|perpendicular-axis|vertical|parallel-axis"),
	MANY(lib_type, "dimensions", ROW_FIELDS, dimensions, dimension_count),
	MANY(lib_type, "agrees", ROW_RULES, agrees, agree_count),
	ROW(lib_type, "travel", ROW_RULE, travel),
	ROW(lib_type, "leaves", ROW_RULE, leaves),
	ROW(lib_type, "mirror", ROW_RULE, mirror),
	ROW(lib_type, "origin", ROW_POINT, origin),
	ROW_WITH(lib_type, "clearance", ROW_WORDS, clearance, .choices = "plan|elevation"),
	ROW_WITH(lib_type, "found", ROW_TEXT, found, .refers = REFERS(GROUP_ZONES)),
	MANY_WITH(lib_type, "underside", ROW_ITEMS, underside, underside_count, .table = &UNDERSIDE),
	MANY_WITH(lib_type, "motions", ROW_ITEMS, motions, motion_count, .table = &MOTION),
	MANY_WITH(lib_type, "bodies", ROW_ITEMS, bodies, body_count, .table = &BODY),
	ROW_WITH(lib_type, "zones", ROW_WORDS, zones, .required = true, .refers = REFERS(GROUP_ZONES)),
};
static const struct lib_table TYPE = TABLE(lib_type, TYPE_ROWS, TABLE_NO_PLACE, library_complete_type);

static const struct lib_row HAZARD_ROWS[] = {
	ROW_WITH(lib_hazard, "kind", ROW_WORD, kind, .required = true, .choices = HAZARD_KINDS),
	ROW_WITH(lib_hazard, "harm", ROW_WORD, harm, .required = true,
		.choices = "catastrophic|serious|moderate|minor"),
	ROW(lib_hazard, "who", ROW_WORDS, who),
	ROW_WITH(lib_hazard, "arises", ROW_WORDS, arises, .choices = "closing|opening|by-hand|failure|any"),
	ROW_WITH(lib_hazard, "requirements", ROW_WORDS, requirements, .refers = REFERS(GROUP_REQUIREMENTS)),
	ROW(lib_hazard, "clauses", ROW_WORDS, clauses),
	ROW(lib_hazard, "designed-out", ROW_RULE, designed_out),
	ROW_WITH(lib_hazard, "measures", ROW_WORDS, measures, .refers = REFERS(GROUP_MEASURES)),
};
static const struct lib_table HAZARD =
	TABLE(lib_hazard, HAZARD_ROWS, offsetof(struct lib_hazard, at), NULL);

static const struct lib_row ZONE_ROWS[] = {
	ROW(lib_zone, "when", ROW_RULE, when),
	ROW_WITH(lib_zone, "per", ROW_FLAG, per_gate, .choices = "leaf|gate"),
	ROW_WITH(lib_zone, "edge", ROW_WORD, edge, .choices = "main|secondary|none"),
	ROW_WITH(lib_zone, "directions", ROW_WORDS, directions, .choices = "closing|opening"),
	ROW(lib_zone, "covers", ROW_WORDS, covers),
	ROW(lib_zone, "absent-when", ROW_RULE, absent_when),
	MANY(lib_zone, "asks", ROW_FIELDS, asks, ask_count),
	MANY_WITH(lib_zone, "hazards", ROW_ITEMS, hazards, hazard_count, .table = &HAZARD, .required = true),
	ROW_WITH(lib_zone, "plan", ROW_TEXT, plan, .refers = REFERS(GROUP_PLANS)),
	ROW_WITH(lib_zone, "ages-by", ROW_WORDS, ages_by, CHANGES),
	ROW(lib_zone, "at", ROW_POINT, plan_at),
	ROW(lib_zone, "at-elevation", ROW_POINT, elevation_at),
};
static const struct lib_table ZONE = TABLE(lib_zone, ZONE_ROWS, TABLE_NO_PLACE, library_complete_zone);

static const struct lib_row NEED_ROWS[] = {
	ROW_WITH(lib_need, "id", ROW_TEXT, id, .required = true),
	ROW(lib_need, "when", ROW_RULE, when),
	ROW(lib_need, "holds", ROW_RULE, holds),
	OTHER("device"),
	OTHER("function"),
	OTHER("force"),
	OTHER("check"),
	OTHER("evidence"),
	OTHER("with"),
	ROW(lib_need, "each-direction", ROW_TRUTH, each_direction),
};
static const struct lib_table NEED =
	TABLE(lib_need, NEED_ROWS, offsetof(struct lib_need, at), library_complete_need);

static const struct lib_row MEASURE_ROWS[] = {
	ROW_WITH(lib_measure, "step", ROW_WORD, step, .required = true, .choices = "design|safeguard|information"),
	ROW_WITH(lib_measure, "protection", ROW_WORD, protection, .choices = "A|B|C|D|E"),
	ROW_WITH(lib_measure, "answers", ROW_WORDS, answers, .choices = HAZARD_KINDS),
	ROW_WITH(lib_measure, "never", ROW_WORDS, never, .choices = HAZARD_KINDS),
	MANY(lib_measure, "asks", ROW_FIELDS, asks, ask_count),
	MANY_WITH(lib_measure, "needs", ROW_ITEMS, needs, need_count, .table = &NEED),
};
static const struct lib_table MEASURE = TABLE(lib_measure, MEASURE_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row LIMIT_ROW_ROWS[] = {
	ROW(lib_limit_row, "when", ROW_RULE, when),
	ROW_WITH(lib_limit_row, "value", ROW_RULE, value, .required = true),
	ROW(lib_limit_row, "source", ROW_TEXT, source),
	ROW(lib_limit_row, "standing", ROW_STANDING, standing),
};
const struct lib_table LIB_LIMIT_ROW_TABLE =
	TABLE(lib_limit_row, LIMIT_ROW_ROWS, offsetof(struct lib_limit_row, at), NULL);

static const struct lib_row VARIANT_ROWS[] = {
	ROW_WITH(lib_limit_variant, "id", ROW_TEXT, id, .required = true),
	ROW(lib_limit_variant, "edition", ROW_TEXT, edition),
	ROW(lib_limit_variant, "default", ROW_TRUTH, is_default),
	MANY_WITH(lib_limit_variant, "rows", ROW_ITEMS, rows, row_count, .table = &LIB_LIMIT_ROW_TABLE),
	OTHER("value"),
	OTHER("source"),
	OTHER("standing"),
};
static const struct lib_table VARIANT =
	TABLE(lib_limit_variant, VARIANT_ROWS, TABLE_NO_PLACE, library_complete_variant);

static const struct lib_row LIMIT_ROWS[] = {
	ROW_WITH(lib_limit, "is", ROW_DIMENSION, dim, .required = true),
	ROW(lib_limit, "arguments", ROW_WORDS, arguments),
	MANY_WITH(lib_limit, "variants", ROW_ITEMS, variants, variant_count, .table = &VARIANT),
	OTHER("edition"),
	OTHER("rows"),
	OTHER("value"),
};
static const struct lib_table LIMIT =
	TABLE(lib_limit, LIMIT_ROWS, TABLE_NO_PLACE, library_complete_limit);

static const struct lib_row GRID_ROWS[] = {
	ROW(lib_grid, "edition", ROW_TEXT, edition),
	OTHER("is"),
	OTHER("axes"),
	OTHER("cells"),
	OTHER("marks"),
};
static const struct lib_table GRID = TABLE(lib_grid, GRID_ROWS, TABLE_NO_PLACE, library_complete_grid);

static const struct lib_row DEFINITION_ROWS[] = {
	ROW_WITH(lib_definition, "rule", ROW_RULE, rule, .required = true),
};
static const struct lib_table DEFINITION =
	TABLE(lib_definition, DEFINITION_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row PROTECTION_ROWS[] = {
	ROW_WITH(lib_protection, "activation", ROW_TEXT, activation, .required = true,
		.refers = REFERS(GROUP_ACTIVATIONS)),
	ROW_WITH(lib_protection, "use", ROW_WORD, use, .required = true,
		.choices = "trained-private|trained-public|public"),
	ROW(lib_protection, "least", ROW_WORDS, least),
};
static const struct lib_table PROTECTION =
	TABLE(lib_protection, PROTECTION_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row ACTIVATION_ROWS[] = {
	ROW_WITH(lib_activation, "rank", ROW_NUMBER, rank, .required = true),
	ROW_WITH(lib_activation, "when", ROW_RULE, when, .required = true),
};
static const struct lib_table ACTIVATION =
	TABLE(lib_activation, ACTIVATION_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row EXTRA_ROWS[] = {
	ROW(lib_plan_extra, "when", ROW_RULE, when),
	ROW_WITH(lib_plan_extra, "gap", ROW_RULE, gap, .required = true),
	ROW_WITH(lib_plan_extra, "height", ROW_RULE, height, .required = true),
	ROW_WITH(lib_plan_extra, "speed", ROW_WORD, speed, .field = "force.points[].speed"),
};
static const struct lib_table EXTRA = TABLE(lib_plan_extra, EXTRA_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row PLAN_ROWS[] = {
	MANY_WITH(lib_plan, "gaps", ROW_RULES, gaps, gap_count, .required = true),
	MANY_WITH(lib_plan, "heights", ROW_RULES, heights, height_count, .required = true),
	ROW_WITH(lib_plan, "repeats", ROW_NUMBER, repeats, .required = true),
	ROW_WITH(lib_plan, "tolerance", ROW_QUANTITY, tolerance, .required = true, .dim = &DIM_LENGTH),
	ROW_WITH(lib_plan, "facing", ROW_WORD, facing, .required = true, .choices = "edge|flat|flat-wall"),
	MANY_WITH(lib_plan, "extra", ROW_ITEMS, extra, extra_count, .table = &EXTRA),
	ROW_WITH(lib_plan, "ages-by", ROW_WORDS, ages_by, CHANGES),
};
static const struct lib_table PLAN = TABLE(lib_plan, PLAN_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row CHECK_ROWS[] = {
	ROW(lib_check, "when", ROW_RULE, when),
	MANY(lib_check, "asks", ROW_FIELDS, asks, ask_count),
	ROW(lib_check, "holds", ROW_RULE, holds),
	ROW_WITH(lib_check, "evidence", ROW_WORDS, evidence, .choices = "photo|paper"),
	ROW_WITH(lib_check, "ages-by", ROW_WORDS, ages_by, CHANGES),
};
static const struct lib_table CHECK = TABLE(lib_check, CHECK_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row INPUT_RULE_ROWS[] = {
	ROW_WITH(lib_input_rule, "functions", ROW_WORDS, functions, .field = "control.inputs[].function"),
	ROW(lib_input_rule, "when", ROW_RULE, when),
	ROW_WITH(lib_input_rule, "holds", ROW_RULE, holds, .required = true),
};
static const struct lib_table INPUT_RULE =
	TABLE(lib_input_rule, INPUT_RULE_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row CAUSE_ROWS[] = {
	ROW_WITH(lib_cause, "symptoms", ROW_WORDS, symptoms, .required = true, .field = "control.symptoms"),
	ROW_WITH(lib_cause, "functions", ROW_WORDS, functions, .field = "control.inputs[].function"),
	ROW_WITH(lib_cause, "when", ROW_RULE, when, .required = true),
	ROW(lib_cause, "low", ROW_RULE, low),
	ROW(lib_cause, "high", ROW_RULE, high),
	ROW_WITH(lib_cause, "rank", ROW_NUMBER, rank, .required = true),
};
static const struct lib_table CAUSE = TABLE(lib_cause, CAUSE_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row FUNCTION_ROWS[] = {
	ROW(lib_function, "when", ROW_RULE, when),
	ROW_WITH(lib_function, "least", ROW_WORD, least, .required = true, .field = "functions[].level"),
	ROW_WITH(lib_function, "categories", ROW_WORDS, categories, .field = "functions[].category"),
	ROW_WITH(lib_function, "ages-by", ROW_WORDS, ages_by, CHANGES),
	ROW_WITH(lib_function, "papers", ROW_WORDS, papers, .field = "papers[].kind"),
	ROW_WITH(lib_function, "roles", ROW_WORDS, roles, .field = "functions[].subsystems[].roles"),
};
static const struct lib_table FUNCTION = TABLE(lib_function, FUNCTION_ROWS, TABLE_NO_PLACE, NULL);

#define OF_SUBSYSTEM(yaml, dimension, member) \
	ROW_WITH(lib_part, yaml, ROW_QUANTITY, member, .dim = &dimension, .field = "functions[].subsystems[]." yaml)
static const struct lib_row PART_ROWS[] = {
	ROW_WITH(lib_part, "device", ROW_TEXT, device, .required = true),
	ROW_WITH(lib_part, "level", ROW_WORD, level, .field = "functions[].subsystems[].level"),
	ROW_WITH(lib_part, "category", ROW_WORD, category, .field = "functions[].subsystems[].category"),
	OF_SUBSYSTEM("per-hour", DIM_RATE, per_hour),
	OF_SUBSYSTEM("mttfd", DIM_MONTHS, mttfd),
	OF_SUBSYSTEM("second-mttfd", DIM_MONTHS, second_mttfd),
	OF_SUBSYSTEM("b10d", DIM_NUMBER, b10d),
	OF_SUBSYSTEM("dc", DIM_NUMBER, dc),
	OF_SUBSYSTEM("common-cause", DIM_NUMBER, common_cause),
	OF_SUBSYSTEM("test-rate", DIM_NUMBER, test_rate),
	OF_SUBSYSTEM("test-mttfd", DIM_MONTHS, test_mttfd),
	ROW_WITH(lib_part, "unknown", ROW_WORDS, unknown,
		.choices = "level|category|per-hour|mttfd|second-mttfd|b10d|dc|common-cause|test-rate|test-mttfd"),
};
static const struct lib_table PART = TABLE(lib_part, PART_ROWS, TABLE_NO_PLACE, library_complete_part);

static const struct lib_row REQUIREMENT_ROWS[] = {
	ROW(lib_requirement, "directive", ROW_TEXT, directive),
	ROW(lib_requirement, "regulation", ROW_TEXT, regulation),
	ROW_WITH(lib_requirement, "applies", ROW_WORD, applies, .required = true, .choices = "always|hazard|check"),
	ROW(lib_requirement, "when", ROW_RULE, when),
	ROW(lib_requirement, "shown-by", ROW_WORDS, shown_by),
};
static const struct lib_table REQUIREMENT =
	TABLE(lib_requirement, REQUIREMENT_ROWS, TABLE_NO_PLACE, NULL);

/* Where a citation itself was read is for the reader of the file: the entry's standing applies. */
static const struct lib_row CITATION_ROWS[] = {
	ROW_WITH(lib_citation, "regime", ROW_TEXT, regime, .required = true, .refers = REFERS(GROUP_REGIMES)),
	ROW_WITH(lib_citation, "reference", ROW_TEXT, reference, .required = true),
	ROW(lib_citation, "from", ROW_DATE, from),
	ROW(lib_citation, "to", ROW_DATE, to),
	OTHER("source"),
	OTHER("standing"),
};
static const struct lib_table CITATION = TABLE(lib_citation, CITATION_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row STANDARD_ROWS[] = {
	ROW_WITH(lib_standard, "number", ROW_TEXT, number, .required = true),
	ROW_WITH(lib_standard, "edition", ROW_TEXT, edition, .required = true),
	ROW(lib_standard, "name", ROW_TEXT, name),
	ROW_WITH(lib_standard, "covers", ROW_WORDS, covers, .refers = REFERS(GROUP_REQUIREMENTS)),
	MANY_WITH(lib_standard, "cited", ROW_ITEMS, citations, citation_count, .table = &CITATION),
};
static const struct lib_table STANDARD = TABLE(lib_standard, STANDARD_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row ITEM_ROWS[] = {
	ROW_WITH(lib_item, "no", ROW_TEXT, no, .required = true),
	ROW_WITH(lib_item, "id", ROW_TEXT, id, .required = true),
	ROW_WITH(lib_item, "needs", ROW_WORDS, needs, .refers = REFERS_FIELD),
	ROW(lib_item, "when", ROW_RULE, when),
};
static const struct lib_table ITEM = TABLE(lib_item, ITEM_ROWS, offsetof(struct lib_item, at), NULL);

static const struct lib_row REGIME_ROWS[] = {
	ROW_WITH(lib_regime, "territories", ROW_WORDS, territories, .required = true),
	ROW(lib_regime, "other-acts", ROW_WORDS, other_acts),
	ROW(lib_regime, "from", ROW_DATE, from),
	ROW(lib_regime, "to", ROW_DATE, to),
	ROW_WITH(lib_regime, "numbering", ROW_WORD, numbering, .required = true, .choices = "directive|regulation"),
	ROW_WITH(lib_regime, "act", ROW_TEXT, act, .required = true),
	ROW(lib_regime, "reference", ROW_TEXT, reference),
	ROW(lib_regime, "mark", ROW_TEXT, mark),
	ROW_WITH(lib_regime, "retention", ROW_QUANTITY, retention, .dim = &DIM_MONTHS),
	MANY_WITH(lib_regime, "items", ROW_ITEMS, items, item_count, .table = &ITEM, .required = true),
};
static const struct lib_table REGIME = TABLE(lib_regime, REGIME_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row TASK_ROWS[] = {
	ROW(lib_task, "when", ROW_RULE, when),
	ROW_WITH(lib_task, "interval", ROW_QUANTITY, interval, .dim = &DIM_MONTHS, .field = "upkeep.interval"),
	ROW(lib_task, "reason", ROW_TEXT, reason),
};
static const struct lib_table TASK = TABLE(lib_task, TASK_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row LEG_ROWS[] = {
	ROW_WITH(lib_leg, "asks", ROW_WORDS, asks, .required = true, .refers = REFERS_FIELD),
	ROW(lib_leg, "cautions", ROW_WORDS, cautions),
	ROW_WITH(lib_leg, "shows", ROW_WORD, shows, .choices = "plan|zones|forces|open"),
};
static const struct lib_table LEG = TABLE(lib_leg, LEG_ROWS, TABLE_NO_PLACE, NULL);

static const struct lib_row HEADER_ROWS[] = {
	ROW_WITH(lib_header, "role", ROW_WORD, role, .required = true, .choices = "time|force|comment"),
	ROW_WITH(lib_header, "pattern", ROW_TEXT, pattern, .required = true),
	ROW_WITH(lib_header, "unit", ROW_WORD, unit, .choices = "s|ms|N|kN|daN|kgf|lbf"),
};
static const struct lib_table HEADER =
	TABLE(lib_header, HEADER_ROWS, TABLE_NO_PLACE, library_complete_header);

static const struct lib_row READING_ROWS[] = {
	ROW_WITH(lib_reading, "id", ROW_TEXT, id, .required = true, .refers = REFERS_ANY_ENTRY),
	ROW_WITH(lib_reading, "edition", ROW_TEXT, edition, .required = true),
	ROW_WITH(lib_reading, "clause", ROW_TEXT, clause, .required = true),
	ROW_WITH(lib_reading, "by", ROW_TEXT, by, .required = true),
	ROW_WITH(lib_reading, "read-on", ROW_DATE, read_on, .required = true),
};
static const struct lib_table READING =
	TABLE(lib_reading, READING_ROWS, offsetof(struct lib_reading, at), library_complete_reading);

#define GROUP(yaml, its_table, member, noted) \
	{yaml, &its_table, offsetof(struct library, member), offsetof(struct library, member##_count), noted}

const struct lib_group LIB_GROUPS[GROUP_COUNT] = {
	[GROUP_TYPES] = GROUP("types", TYPE, types, true),
	[GROUP_ZONES] = GROUP("zones", ZONE, zones, true),
	[GROUP_MEASURES] = GROUP("measures", MEASURE, measures, true),
	[GROUP_LIMITS] = GROUP("limits", LIMIT, limits, true),
	[GROUP_GRIDS] = GROUP("tables", GRID, grids, true),
	[GROUP_DEFINITIONS] = GROUP("definitions", DEFINITION, definitions, true),
	[GROUP_PROTECTION] = GROUP("protection", PROTECTION, protections, true),
	[GROUP_ACTIVATIONS] = GROUP("activation-classes", ACTIVATION, activations, true),
	[GROUP_PLANS] = GROUP("force-plans", PLAN, plans, true),
	[GROUP_CHECKS] = GROUP("checks", CHECK, checks, true),
	[GROUP_INPUT_RULES] = GROUP("input-rules", INPUT_RULE, input_rules, true),
	[GROUP_CAUSES] = GROUP("causes", CAUSE, causes, true),
	[GROUP_FUNCTIONS] = GROUP("functions", FUNCTION, functions, true),
	[GROUP_PARTS] = GROUP("parts", PART, parts, true),
	[GROUP_REQUIREMENTS] = GROUP("requirements", REQUIREMENT, requirements, true),
	[GROUP_STANDARDS] = GROUP("standards", STANDARD, standards, true),
	[GROUP_REGIMES] = GROUP("regimes", REGIME, regimes, true),
	[GROUP_TASKS] = GROUP("upkeep", TASK, tasks, true),
	[GROUP_LEGS] = GROUP("legs", LEG, legs, true),
	/* Their patterns are compiled into the library from the entries read. */
	[GROUP_HEADERS] = {"recording-headers", &HEADER, 0, 0, true},
	[GROUP_READINGS] = {"readings", &READING, offsetof(struct library, readings),
		offsetof(struct library, reading_count), false},
};
