#include "model/field.h"

#include <string.h>

#define TEXT(path, flags, when) {path, FIELD_TEXT, NULL, NULL, NULL, NULL, flags, when}
#define WORD(path, choices, flags, when) {path, FIELD_WORD, NULL, choices, NULL, NULL, flags, when}
#define WORDS(path, choices, flags, when) {path, FIELD_WORDS, NULL, choices, NULL, NULL, flags, when}
#define AMOUNT(path, dim, low, high, flags, when) \
	{path, FIELD_QUANTITY, &dim, NULL, low, high, flags, when}
#define COUNT(path, low, high, flags, when) \
	{path, FIELD_COUNT, &DIM_NUMBER, NULL, low, high, flags, when}
#define DATE(path, flags, when) {path, FIELD_DATE, NULL, NULL, NULL, NULL, flags, when}
#define TRUTH(path, flags, when) {path, FIELD_TRUTH, NULL, NULL, NULL, NULL, flags, when}
#define ID(path, flags, when) {path, FIELD_ID, NULL, NULL, NULL, NULL, flags, when}
#define EVIDENCE(path, flags, when) {path, FIELD_EVIDENCE, NULL, NULL, NULL, NULL, flags, when}
#define FILE_(path, flags, when) {path, FIELD_FILE, NULL, NULL, NULL, NULL, flags, when}
#define FILES(path, flags, when) {path, FIELD_FILES, NULL, NULL, NULL, NULL, flags, when}
#define DIGEST(path, flags, when) {path, FIELD_SHA256, NULL, NULL, NULL, NULL, flags, when}
#define DECLARED(path, flags) {path, FIELD_TEXT, NULL, NULL, NULL, NULL, FIELD_DECLARED | flags, NULL}

enum { MUST = FIELD_ALWAYS, NONE = FIELD_NONE_OK, NA = FIELD_NA_OK, WRITTEN = FIELD_WRITTEN };

#define CHANGE_KINDS "speed|force|travel|leaf|infill|edge|device|wiring|firmware|settings|surroundings|guides"

const struct field FIELDS[] = {
	COUNT("record", "1", "1", MUST, NULL),

	TEXT("job.reference", MUST, NULL),
	WORD("job.work", "new-gate|drive-added|gate-changed", MUST, NULL),
	DATE("job.begun", MUST, NULL),
	DATE("job.built", MUST, NULL),
	DATE("job.first-use", MUST, NULL),
	WORD("job.territory", NULL, MUST, NULL),
	WORD("job.language", NULL, MUST, NULL),
	WORDS("job.standards", NULL, MUST, NULL),
	TEXT("job.note", 0, NULL),
	ID("job.readings[].id", MUST, NULL),
	TEXT("job.readings[].edition", MUST, NULL),
	TEXT("job.readings[].clause", MUST, NULL),
	DATE("job.readings[].read-on", MUST, NULL),
	ID("job.choices[].id", MUST, NULL),
	WORD("job.choices[].take", NULL, MUST, NULL),
	TEXT("job.choices[].edition", MUST, NULL),
	TEXT("job.choices[].clause", MUST, NULL),
	TEXT("job.choices[].reason", MUST, NULL),

	TEXT("parties.manufacturer.name", MUST, NULL),
	TEXT("parties.manufacturer.address", MUST, NULL),
	TEXT("parties.manufacturer.telephone", MUST, NULL),
	TEXT("parties.manufacturer.mail", MUST, NULL),
	TEXT("parties.compiler.name", MUST, NULL),
	TEXT("parties.compiler.address", MUST, NULL),
	TEXT("parties.owner.name", MUST, NULL),
	TEXT("parties.owner.address", MUST, NULL),
	TEXT("parties.owner.telephone", MUST, NULL),
	TEXT("parties.owner.mail", MUST, NULL),
	TEXT("parties.signatory.name", MUST, NULL),
	TEXT("parties.signatory.function", MUST, NULL),
	TEXT("parties.signatory.competence", MUST, NULL),

	TEXT("site.address", MUST, NULL),
	TEXT("site.owner-reference", MUST | NONE, NULL),
	TEXT("site.surroundings", MUST, NULL),
	WORDS("site.users", "named-staff|residents|visitors|deliveries|children|public", MUST, NULL),
	TRUTH("site.public-passes", MUST, NULL),
	TRUTH("site.children-reach", MUST, NULL),
	TEXT("site.neighbour-side", MUST | NONE, NULL),
	AMOUNT("site.standing-height", DIM_LENGTH, "0 mm", "5 m", MUST, NULL),
	TRUTH("site.separate-footway", MUST, NULL),

	TEXT("gate.name", MUST, NULL),
	TEXT("gate.model", MUST, NULL),
	TEXT("gate.serial", MUST, NULL),
	WORD("gate.type", NULL, MUST, NULL),
	DECLARED("gate.dimensions.*", 0),
	WORD("gate.infill.kind", "bars|mesh|sheet|boards", MUST, NULL),
	WORD("gate.infill.shape", "slot|square|round", MUST, "gate.infill.kind != 'sheet'"),
	AMOUNT("gate.infill.opening", DIM_LENGTH, "0 mm", "2 m", MUST, "gate.infill.kind != 'sheet'"),
	AMOUNT("gate.infill.slot-length", DIM_LENGTH, "1 mm", "10 m", MUST,
		"gate.infill.kind != 'sheet' and gate.infill.shape = 'slot'"),
	TEXT("gate.ground.surface", MUST, NULL),
	AMOUNT("gate.ground.slope", DIM_NUMBER, "-20 %", "20 %", MUST, NULL),
	AMOUNT("gate.ground.across", DIM_NUMBER, "-20 %", "20 %", MUST, NULL),
	AMOUNT("gate.ground.gap", DIM_LENGTH, "0 mm", "1 m", MUST, NULL),
	AMOUNT("gate.play.sideways", DIM_LENGTH, "0 mm", "0.5 m", MUST, NULL),
	AMOUNT("gate.play.flex", DIM_LENGTH, "0 mm", "0.5 m", MUST, NULL),
	AMOUNT("gate.play.sag", DIM_LENGTH, "0 mm", "0.5 m", MUST, NULL),
	ID("gate.leaves[].id", MUST, NULL),
	AMOUNT("gate.leaves[].mass", DIM_MASS, "5 kg", "10000 kg", MUST, NULL),
	AMOUNT("gate.leaves[].length", DIM_LENGTH, "0.3 m", "40 m", MUST, NULL),
	AMOUNT("gate.leaves[].height", DIM_LENGTH, "20 mm", "10 m", MUST, NULL),
	TEXT("gate.leaves[].material", MUST, NULL),
	ID("gate.bodies[].id", MUST, NULL),
	WORD("gate.bodies[].kind", "post|portal|wall|fence|pillar|building|hedge|kerb|housing|other", MUST,
		NULL),
	WORD("gate.bodies[].at", "closing-end|opening-end|run-back|neighbour|passage|hinge-side|sweep", MUST, NULL),
	AMOUNT("gate.bodies[].x", DIM_LENGTH, "-50 m", "50 m", MUST, "not known(item.along)"),
	AMOUNT("gate.bodies[].y", DIM_LENGTH, "-50 m", "50 m", MUST, "not known(item.along)"),
	AMOUNT("gate.bodies[].along", DIM_LENGTH, "-50 m", "50 m", MUST, "not known(item.x)"),
	AMOUNT("gate.bodies[].off", DIM_LENGTH, "0 mm", "50 m", MUST, "not known(item.x)"),
	WORD("gate.bodies[].side", "inside|outside", MUST, "not known(item.x)"),
	AMOUNT("gate.bodies[].turn", DIM_ANGLE, "-180 deg", "180 deg", WRITTEN, NULL),
	AMOUNT("gate.bodies[].length", DIM_LENGTH, "1 mm", "50 m", MUST, NULL),
	AMOUNT("gate.bodies[].depth", DIM_LENGTH, "1 mm", "50 m", MUST, NULL),
	AMOUNT("gate.bodies[].height", DIM_LENGTH, "1 mm", "20 m", MUST, NULL),

	TEXT("drive.maker", MUST, NULL),
	TEXT("drive.model", MUST, NULL),
	TEXT("drive.serial", MUST, NULL),
	TEXT("drive.supply", MUST, NULL),
	TRUTH("drive.battery", MUST, NULL),
	AMOUNT("drive.thrust", DIM_FORCE, "1 N", "20 kN", MUST, NULL),
	AMOUNT("drive.speed-opening", DIM_SPEED, "0.01 m/s", "3 m/s", MUST, NULL),
	AMOUNT("drive.speed-closing", DIM_SPEED, "0.01 m/s", "3 m/s", MUST, NULL),
	TRUTH("drive.slows-down", MUST, NULL),
	AMOUNT("drive.slow-down-distance", DIM_LENGTH, "1 mm", "10 m", MUST, "drive.slows-down = yes"),
	AMOUNT("drive.slow-speed", DIM_SPEED, "0.01 m/s", "3 m/s", MUST, "drive.slows-down = yes"),
	AMOUNT("drive.over-travel-closing", DIM_LENGTH, "0 mm", "2 m", MUST, NULL),
	AMOUNT("drive.over-travel-opening", DIM_LENGTH, "0 mm", "2 m", MUST, NULL),
	EVIDENCE("drive.evidence", MUST, NULL),

	TEXT("control.maker", MUST, NULL),
	TEXT("control.model", MUST, NULL),
	TEXT("control.serial", MUST, NULL),
	TEXT("control.firmware", MUST, NULL),
	EVIDENCE("control.evidence", MUST, NULL),
	TRUTH("control.every-zone-in-view", MUST, NULL),
	TRUTH("control.automatic-closing", MUST, NULL),
	AMOUNT("control.automatic-closing-pause", DIM_TIME, "1 s", "1 h", MUST,
		"control.automatic-closing = yes"),
	TEXT("control.settings-code-held-by", MUST, NULL),
	EVIDENCE("control.settings-evidence", MUST, NULL),
	WORDS("control.symptoms",
		"will-not-start|will-not-close|will-not-open|stays-open|stops-at-once|reverses|moves-by-itself",
		WRITTEN | NONE, NULL),
	ID("control.activations[].id", MUST, NULL),
	WORD("control.activations[].kind",
		"hold-to-run|key-switch|push-button|keypad|card-reader|radio|telephone|app|loop|timer|time-clock",
		MUST, NULL),
	TEXT("control.activations[].place", MUST, NULL),
	TRUTH("control.activations[].in-view", MUST, NULL),
	TRUTH("control.activations[].live", MUST, NULL),
	WORDS("control.activations[].reached-by",
		"named-staff|residents|visitors|deliveries|children|public", MUST, NULL),
	TRUTH("control.activations[].moves-other-gates", MUST, NULL),
	TRUTH("control.activations[].other-gates-in-view", MUST, "item.moves-other-gates = yes"),
	ID("control.inputs[].id", MUST, NULL),
	WORD("control.inputs[].function", "stop|edge|beam|command|partial-opening|limit|release", MUST,
		NULL),
	WORD("control.inputs[].contact", "normally-closed|normally-open|resistive|bus", MUST, NULL),
	TRUTH("control.inputs[].monitored", MUST, NULL),
	WORD("control.inputs[].at-rest", "closed|open|value", MUST, NULL),
	WORD("control.inputs[].actuated", "closed|open|value", MUST, NULL),
	AMOUNT("control.inputs[].rest-reading", DIM_RESISTANCE, "0 ohm", "1000 kohm", MUST,
		"item.contact = 'resistive'"),
	AMOUNT("control.inputs[].actuated-reading", DIM_RESISTANCE, "0 ohm", "1000 kohm", MUST,
		"item.contact = 'resistive'"),
	COUNT("control.inputs[].edges", "1", "20", MUST, "item.contact = 'resistive'"),
	WORD("control.inputs[].edges-wired", "single|cascade|parallel", MUST,
		"item.contact = 'resistive'"),
	TRUTH("control.inputs[].open-at-far-end", MUST, "item.contact = 'resistive'"),
	EVIDENCE("control.inputs[].parallel-allowed-by", MUST, "item.edges-wired = 'parallel'"),
	WORD("control.inputs[].did-opening", "stopped|reversed|carried-on|started|nothing|not-used", MUST,
		NULL),
	WORD("control.inputs[].did-closing", "stopped|reversed|carried-on|started|nothing|not-used", MUST,
		NULL),
	TRUTH("control.inputs[].as-manual-says", MUST, NULL),
	TRUTH("control.inputs[].disconnected-no-start", MUST,
		"item.function in ['stop', 'edge', 'beam']"),
	TRUTH("control.inputs[].test-blocked-no-start", MUST, "item.function in ['edge', 'beam']"),

	ID("devices[].id", MUST, NULL),
	WORD("devices[].kind",
		"pressure-edge|beam|light-curtain|fixed-guard|cover|end-stop|guide|catch|loop-detector|"
		"emergency-stop|isolator|manual-release|light|sign|other",
		MUST, NULL),
	TEXT("devices[].maker", MUST, NULL),
	TEXT("devices[].model", MUST, NULL),
	TEXT("devices[].serial", MUST | NONE, NULL),
	TEXT("devices[].standard", MUST | NONE, NULL),
	DATE("devices[].fitted-on", MUST, NULL),
	WORDS("devices[].zones", NULL, MUST | NONE, NULL),
	WORDS("devices[].directions", "closing|opening", MUST | NA, NULL),
	ID("devices[].input", MUST, "item.kind in ['pressure-edge', 'beam', 'light-curtain', 'loop-detector', "
		"'emergency-stop']"),
	AMOUNT("devices[].height-above-ground", DIM_LENGTH, "0 mm", "5 m", MUST, "item.kind = 'beam'"),
	WORD("devices[].side", "inside|outside|both", MUST, "item.kind in ['beam', 'light-curtain']"),
	EVIDENCE("devices[].evidence", MUST, NULL),

	ID("changes[].id", MUST, NULL),
	DATE("changes[].on", MUST, NULL),
	WORDS("changes[].touches", CHANGE_KINDS, MUST, NULL),
	TEXT("changes[].what", MUST, NULL),
	TEXT("changes[].by", MUST, NULL),

	WORD("zones[].as", "not-present|designed-out|guarded|protected", MUST, NULL),
	WORD("zones[].likely-before", "very-likely|likely|unlikely|remote", MUST,
		"item.as != 'not-present'"),
	WORDS("zones[].by", NULL, MUST, "item.as in ['guarded', 'protected']"),
	DECLARED("zones[].facts.*", 0),
	EVIDENCE("zones[].evidence", MUST, NULL),
	DATE("zones[].looked-on", MUST, NULL),
	WORD("zones[].likely-after", "very-likely|likely|unlikely|remote", MUST,
		"item.as != 'not-present'"),
	TEXT("zones[].residual", MUST | NONE, "item.as != 'not-present'"),
	TEXT("zones[].note", 0, NULL),

	TEXT("force.instrument.type", MUST, "force.needed = yes"),
	TEXT("force.instrument.serial", MUST, "force.needed = yes"),
	AMOUNT("force.instrument.spring", DIM_STIFFNESS, "1 N/mm", "10000 N/mm", MUST, "force.needed = yes"),
	AMOUNT("force.instrument.range", DIM_FORCE, "100 N", "20 kN", MUST, "force.needed = yes"),
	AMOUNT("force.instrument.accuracy", DIM_NUMBER, "0.1 %", "20 %", MUST, "force.needed = yes"),
	DATE("force.instrument.calibrated-on", MUST, "force.needed = yes"),
	DATE("force.instrument.valid-until", MUST, "force.needed = yes"),
	EVIDENCE("force.instrument.certificate", MUST, "force.needed = yes"),
	DATE("force.conditions.on", MUST, "force.needed = yes"),
	TEXT("force.conditions.by", MUST, "force.needed = yes"),
	AMOUNT("force.conditions.temperature", DIM_TEMPERATURE, "-30 °C", "60 °C", MUST,
		"force.needed = yes"),
	TEXT("force.conditions.wind", MUST | NONE, "force.needed = yes"),
	WORDS("force.conditions.supply", "mains|battery", MUST, "force.needed = yes"),
	COUNT("force.conditions.warm-up-cycles", "0", "1000", MUST, "force.needed = yes"),
	EVIDENCE("force.conditions.settings-evidence", MUST, "force.needed = yes"),
	TRUTH("force.conditions.automatic-closing-off", MUST, "force.needed = yes"),
	TRUTH("force.conditions.remotes-off", MUST, "force.needed = yes"),
	TRUTH("force.conditions.proved-again-after", MUST, "force.needed = yes"),
	ID("force.points[].id", MUST, NULL),
	WORD("force.points[].zone", NULL, MUST, NULL),
	WORD("force.points[].direction", "closing|opening", MUST, NULL),
	AMOUNT("force.points[].gap", DIM_LENGTH, "0 mm", "20 m", MUST, NULL),
	AMOUNT("force.points[].height", DIM_LENGTH, "0 mm", "10 m", MUST, NULL),
	WORD("force.points[].leaves", "alone|together", MUST, NULL),
	WORD("force.points[].speed", "normal|full", MUST, NULL),
	DATE("force.points[].on", MUST, NULL),
	FILES("force.points[].recordings", MUST | NONE, NULL),
	WORD("force.points[].force-unit", "N|kN|daN|kgf|lbf", 0, NULL),
	WORD("force.points[].time-unit", "s|ms", 0, NULL),
	WORD("force.points[].separator", "comma|semicolon|tab|blank", 0, NULL),
	WORD("force.points[].decimal", "point|comma", 0, NULL),
	WORD("force.points[].layout", "shared|pairs", 0, NULL),
	TEXT("force.points[].typed-peaks", 0, NULL),
	TEXT("force.points[].accepted-because", 0, NULL),

	ID("functions[].id", MUST, NULL),
	WORD("functions[].kind", NULL, MUST, NULL),
	WORDS("functions[].devices", NULL, MUST | NONE, NULL),
	WORD("functions[].level", "a|b|c|d|e", MUST, NULL),
	WORD("functions[].category", "B|1|2|3|4", MUST, NULL),
	WORD("functions[].severity", "1|2", MUST, NULL),
	WORD("functions[].frequency", "1|2", MUST, NULL),
	WORD("functions[].avoidance", "1|2", MUST, NULL),
	TRUTH("functions[].tested-before-each-movement", MUST, NULL),
	EVIDENCE("functions[].paper", MUST, NULL),
	EVIDENCE("functions[].wiring", MUST, NULL),
	TEXT("functions[].test-setting", MUST, NULL),
	DATE("functions[].proved-on", MUST, NULL),
	EVIDENCE("functions[].proof", MUST, NULL),

	ID("functions[].subsystems[].id", MUST, NULL),
	WORDS("functions[].subsystems[].roles", "device|logic|final-switching", MUST, NULL),
	ID("functions[].subsystems[].part", 0, NULL),
	WORD("functions[].subsystems[].level", "a|b|c|d|e", 0, NULL),
	AMOUNT("functions[].subsystems[].per-hour", DIM_RATE, "0.0000000001 1/h", "0.0001 1/h", 0, NULL),
	WORD("functions[].subsystems[].category", "B|1|2|3|4", 0, NULL),
	AMOUNT("functions[].subsystems[].mttfd", DIM_MONTHS, "1 year", "100000 years", 0, NULL),
	AMOUNT("functions[].subsystems[].second-mttfd", DIM_MONTHS, "1 year", "100000 years", 0, NULL),
	COUNT("functions[].subsystems[].b10d", "1", "1000000000", 0, NULL),
	COUNT("functions[].subsystems[].operations", "1", "100000000", 0, NULL),
	AMOUNT("functions[].subsystems[].dc", DIM_NUMBER, "0 %", "99.99 %", 0, NULL),
	COUNT("functions[].subsystems[].common-cause", "0", "100", 0, NULL),
	COUNT("functions[].subsystems[].test-rate", "1", "1000000", 0, NULL),
	AMOUNT("functions[].subsystems[].test-mttfd", DIM_MONTHS, "1 year", "100000 years", 0, NULL),
	AMOUNT("functions[].subsystems[].replaced-every", DIM_MONTHS, "1 month", "20 years", 0, NULL),
	EVIDENCE("functions[].subsystems[].paper", MUST, NULL),

	WORD("checks[].outcome", "as-expected|not-as-expected", MUST, NULL),
	DECLARED("checks[].facts.*", 0),
	DATE("checks[].on", MUST, NULL),
	TEXT("checks[].by", MUST, NULL),
	EVIDENCE("checks[].evidence", 0, NULL),

	ID("papers[].id", MUST, NULL),
	FILE_("papers[].file", MUST, NULL),
	WORD("papers[].kind",
		"declaration-of-incorporation|declaration-of-conformity|certificate|calibration|manual|drawing|"
		"calculation|other",
		MUST, NULL),
	TEXT("papers[].of", MUST, NULL),
	TEXT("papers[].from", MUST, NULL),
	DATE("papers[].dated", MUST, NULL),
	DIGEST("papers[].sha256", 0, NULL),

	ID("photos[].id", MUST, NULL),
	FILE_("photos[].file", MUST, NULL),
	TEXT("photos[].shows", MUST, NULL),
	DATE("photos[].taken", MUST, NULL),
	DIGEST("photos[].sha256", 0, NULL),

	AMOUNT("upkeep.interval", DIM_MONTHS, "1 month", "24 months", MUST, NULL),
	TEXT("upkeep.reason", MUST, NULL),
	TEXT("upkeep.by", MUST, NULL),
	DATE("upkeep.instructions-handed-over", MUST, NULL),

	TEXT("signature.place", MUST, NULL),
	DATE("signature.date", MUST, NULL),
};

const size_t FIELD_COUNT_ALL = sizeof FIELDS / sizeof *FIELDS;

const struct field_list FIELD_LISTS[] = {
	{"job.readings", false, false},
	{"job.choices", false, false},
	{"gate.leaves", false, true},
	{"gate.bodies", false, true},
	{"control.activations", false, true},
	{"control.inputs", false, true},
	{"devices", false, true},
	{"changes", false, true},
	{"zones", true, true},
	{"force.points", false, false},
	{"functions", false, true},
	{"functions[].subsystems", false, false},
	{"checks", true, true},
	{"papers", false, true},
	{"photos", false, true},
};

const size_t FIELD_LIST_COUNT = sizeof FIELD_LISTS / sizeof *FIELD_LISTS;

const char *field_brackets(const char *path)
{
	const char *last = NULL;
	for (const char *p = path; (p = strstr(p, "[].")); p++)
		last = p;
	return last;
}

const struct field *field_find(const char *path)
{
	for (size_t i = 0; i < FIELD_COUNT_ALL; i++) {
		const struct field *f = &FIELDS[i];
		size_t n = strlen(f->path);
		bool match = f->flags & FIELD_DECLARED
			? strncmp(path, f->path, n - 1) == 0 && path[n - 1] != '\0'
			: strcmp(path, f->path) == 0;
		if (match)
			return f;
	}
	return NULL;
}
