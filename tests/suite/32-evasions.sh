#!/bin/sh
# Ways in which a record, its files or an overlay might look better than the gate is. Each case spoils a copy of
# the finished example, in which nothing is open; `check` then has to find something open, and among it what
# the case names.
#
# A case: try NAME "CODE SUBJECT" COMMANDS…, shell run in the folder of the job, with the commands of 30-findings.
. tests/suite/lib.sh

work=$(cd "$work" && pwd)
base=$work/base
program=$(cd "$(dirname "$PINTLE")" && pwd)/$(basename "$PINTLE")
cp -r examples/harbour-yard "$base"
# A quarter of the samples do: the curves are the same.
RATE=250 examples/make-recordings.sh "$base/curves" >/dev/null

# A file that is linked to the example's is replaced, never written into.
change() { # FILE SCRIPT
	sed -E "$2" "$1" >"$1.new" || return 1
	if cmp -s "$1" "$1.new"; then
		echo "nothing changed in $1: $2" >&2
		return 1
	fi
	mv "$1.new" "$1"
}

put() {
	mkdir -p "$(dirname "$1")"
	rm -f "$1"
	cat >"$1"
}

# digest ID FILE: enters the digest of FILE for the paper or photograph ID of that file
digest() {
	sum=$(sha256sum "$2" | cut -d ' ' -f 1)
	change gate.yaml "/^  - id: $1\$/,/sha256/{s,file: .*,file: $2,; s/sha256: .*/sha256: $sum/}"
}

try() { # NAME WANTED COMMANDS
	rm -rf "$work/job"
	cp -al "$base" "$work/job"
	if ! (cd "$work/job" && eval "$3") >"$work/edit.log" 2>&1; then
		fail "$1" "its edit failed: $(head -n 3 "$work/edit.log")"
		return
	fi
	"$program" check --json "$work/job" >"$work/out" 2>"$work/err" </dev/null
	status=$?
	awk '/^      "code": / { code = $2 } /^      "subject": / { print code, $2 }' "$work/out" |
		tr -d '",' >"$work/found"
	sed -n 's/^input  .* \([^ ]*\)  \[\([a-z-]*\)\]$/\2 \1/p' "$work/err" >>"$work/found"
	if [ $status != 1 ] && [ $status != 2 ]; then
		fail "$1" "status $status: it looks in order"
	elif ! grep -qxF -- "$2" "$work/found"; then
		fail "$1" "not found: $2; but $(tr '\n' ',' <"$work/found")"
	else
		pass "$1"
	fi
}

# --- detectors and functions ---

try "an edge that did nothing in closing" "need-open main-edge@leaf-1" \
	"change gate.yaml '/    - id: edge\$/,/did-closing/{s/did-opening: .*/did-opening: reversed/; s/did-closing: .*/did-closing: not-used/}'"
try "a beam that acts in opening only" "need-open main-edge@leaf-1" \
	"change gate.yaml '/  - id: beam-2/,/directions/s/\[closing\]/[opening]/'"
try "a high beam behind a low one of the other direction" "need-open main-travel@leaf-1" \
	"change gate.yaml '/  - id: beam-2/,/directions/s/\[closing\]/[opening]/; /  - id: beam-1/,/side/s/250 mm/1500 mm/'"
try "an edge to no standard" "need-open main-edge@leaf-1" \
	"change gate.yaml '/  - id: edge-strip/,/fitted/s/standard: .*/standard: none/'"
try "a function that proves itself" "function-paper edge-stops" \
	"change gate.yaml '/  - id: edge-stops/,/proof/s/proof: .*/proof: [function:edge-stops]/'"
try "wiring shown by a function" "function-paper no-start" \
	"change gate.yaml '/  - id: no-start/,/proof/s/wiring: .*/wiring: [function:edge-stops]/'"
try "an emergency stop that no function reads" "function-device stop-button" \
	"change gate.yaml '/  - id: emergency\$/,/level/s/devices: .*/devices: [lamp]/'"
try "level c by category B" "function-category button-stops" \
	"change gate.yaml '/  - id: button-stops/,/category/s/category: .*/category: \"B\"/'"
try "category 3 on an input that is not monitored" "input-unmonitored edge-stops" \
	"change gate.yaml '/  - id: edge-stops/,/tested/{s/category: .*/category: \"3\"/; s/movement: yes/movement: no/}; /    - id: edge\$/,/at-rest/s/monitored: yes/monitored: no/'"

# --- chains of subsystems ---

# data FUNCTION SUBSYSTEM SCRIPT: sed on the lines of one subsystem
data() {
	awk -v function_="  - id: $1" -v subsystem="      - id: $2" '
	/^[a-z]/ { at = 0 }
	/^  - id: / { at = $0 == function_; inner = 0 }
	/^      - id: / { inner = at && $0 == subsystem }
	{ print (at && inner ? "@" : "") $0 }' gate.yaml | sed -E "/^@/{s/^@//; $3}; s/^@//" >gate.new
	if cmp -s gate.yaml gate.new; then
		echo "nothing changed in $1, $2: $3" >&2
		return 1
	fi
	mv gate.new gate.yaml
}
own='category: "3"\n        mttfd: 80 years\n        dc: 90 %\n        common-cause: 70'
chain=functions[edge-stops].subsystems

try "a function without a chain" "function-subsystems no-start" \
	"change gate.yaml '/^  - id: no-start\$/,/^checks:/{/^    subsystems:/,/paper: .paper:contactor/d}'"
try "a chain that is said to be none" "function-subsystems no-start" \
	"change gate.yaml '/^  - id: no-start\$/,/^checks:/{/^      |^        /d; s/subsystems:/subsystems: none/}'"
try "a level claimed above the chain" "function-claim edge-stops" \
	"change gate.yaml '/^  - id: edge-stops\$/,/level/s/level: c/level: e/'"
try "a category claimed above the chain" "function-claim-category edge-stops" \
	"change gate.yaml '/^  - id: edge-stops\$/,/category/s/category: .*/category: 3/'"
try "less harm than a person can come to" "field-unknown functions[edge-stops].severity" \
	"change gate.yaml '/^  - id: edge-stops\$/,/severity/s/severity: .*/severity: unknown/'"
try "a risk that asks for more than is reached" "function-unreached edge-stops" \
	"change gate.yaml '/^  - id: edge-stops\$/,/avoidance/s/avoidance: .*/avoidance: 2/; /^  - id: edge-stops\$/,/level/s/level: c/level: d/'"
try "a role that stands twice, and one that is missing" "function-role edge-stops" \
	"data edge-stops edge 's/roles: .*/roles: [logic, logic]/'"
try "a chain without its switching" "function-role edge-stops" \
	"data edge-stops contactor 's/roles: .*/roles: [logic]/'"
try "a subsystem under another's name" "record-duplicate-id $chain[edge]" \
	"data edge-stops control 's/id: control/id: edge/'"
try "a level and nothing else" "subsystem-category $chain[edge]" \
	"data edge-stops edge 's/part: .*/level: e/'"
try "a level and no paper" "subsystem-paper $chain[contactor]" \
	"data edge-stops contactor '/paper/d'"
try "a photograph as the paper of a level" "subsystem-paper $chain[contactor]" \
	"data edge-stops contactor 's/paper: .*/paper: [photo:cabinet]/'"
try "a paper that is not there" "reference-unknown contactor" \
	"data edge-stops contactor 's/paper: .*/paper: [paper:contactor-data, paper:nowhere]/'"
try "a category without data" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/category: 3/'"
try "a level that its category never gives" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor 's/part: .*/part: sk-40\n        level: e/'"
try "a level beside data that give less" "function-unreached edge-stops" \
	"data edge-stops contactor 's/part: .*/category: \"3\"\n        level: d\n        mttfd: 4 years\n        dc: 60 %\n        common-cause: 65/'"
try "a level that hides what wears out" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor 's/part: .*/category: \"3\"\n        level: d\n        b10d: 100000/'"
try "years that hide what wears out" "subsystem-gap functions[button-stops].subsystems[button]" \
	"data button-stops button 's/operations: .*/operations: 6000\n        mttfd: 100 years/'"
try "a replacement that comes too late" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor 's/operations: .*/operations: 130000\n        replaced-every: 11 years/'"
try "operations that nobody counted" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d'"
try "all faults found" "value-range $chain[contactor].dc" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/dc: 90/dc: 100/'"
try "a life of a thousand million years" "value-range $chain[contactor].mttfd" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/mttfd: 80/mttfd: 1000000000/'"
try "a part that never fails" "value-range $chain[edge].per-hour" \
	"data edge-stops edge 's/part: .*/category: 3\n        per-hour: 0 1\/h/'"
try "a rate without its unit" "value-bare $chain[edge].per-hour" \
	"data edge-stops edge 's/part: .*/category: 3\n        per-hour: 1.8e-7/'"
try "64 points against common cause" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/cause: 70/cause: 64/'"
try "a category in small letters" "value-choice $chain[contactor].category" \
	"data edge-stops contactor 's/part: .*/category: b/'"
try "category 1 for a contact" "subsystem-category $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/category: 1\n        mttfd: 100 years/'"
try "category 2 of one part, untested, under another's category" "function-untested edge-stops" \
	"change gate.yaml '/^  - id: edge-stops\$/,/movement/{s/category: .*/category: 3/; s/movement: yes/movement: no/}'"
try "a stop whose contactor nobody tests" "function-untested button-stops" \
	"change gate.yaml '/^  - id: button-stops\$/,/movement/s/movement: yes/movement: no/'"
try "a part that nobody typed" "part-unknown $chain[contactor]" \
	"data edge-stops contactor 's/sk-40/sk-41/'"
try "a better figure beside the part" "part-differs $chain[edge].per-hour" \
	"data edge-stops edge 's/part: .*/part: op-65\n        per-hour: 1.0e-8 1\/h/'"
try "a better category beside the part" "part-differs $chain[contactor].category" \
	"data edge-stops contactor 's/part: .*/part: sk-40\n        category: 4/'"
try "a part whose maker did not tell" "subsystem-gap $chain[contactor]" \
	"change library/parts.yaml 's/^    dc: 90 %/    unknown: [dc]/'"
try "a part whose maker did not tell what it has" "library-part parts[sk-40].unknown" \
	"change library/parts.yaml 's/^    dc: 90 %/&\n    unknown: [dc]/'"
try "what its maker did not tell, entered all the same" "part-differs $chain[contactor].dc" \
	"change library/parts.yaml 's/^    dc: 90 %/    unknown: [dc]/'; data edge-stops contactor 's/part: .*/part: sk-40\n        dc: 99 %/'"
try "the chain of another function" "subsystem-device edge-stops" \
	"data edge-stops edge 's/op-65/lb-12/; s/edge-certificate/beam-certificate/'"
try "a button read by the chain of the edge" "subsystem-device edge-stops" \
	"change gate.yaml '/^  - id: edge-stops\$/,/level/s/devices: .*/devices: [edge-strip, stop-button]/'"
try "the paper of another device" "part-paper $chain[contactor]" \
	"data edge-stops contactor 's/contactor-data/edge-certificate/'"
try "a level beside too few points" "subsystem-gap $chain[edge]" \
	"data edge-stops edge 's/part: .*/level: d\n        category: 3\n        common-cause: 40/'"
try "a level beside half the faults found" "subsystem-gap $chain[edge]" \
	"data edge-stops edge 's/part: .*/level: d\n        category: 3\n        dc: 50 %/'"
try "a level beside a life of two years" "subsystem-gap $chain[edge]" \
	"data edge-stops edge 's/part: .*/level: d\n        category: 3\n        mttfd: 2 years/'"
try "a second channel and no first" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/mttfd: 80/second-mttfd: 80/'"
try "a level that its rate is too high for" "function-unreached edge-stops" \
	"data edge-stops edge 's/part: .*/level: d\n        category: 3\n        per-hour: 9e-5 1\/h/'"
try "a rate that may be any" "function-unreached edge-stops" \
	"data edge-stops edge 's/part: .*/category: 3\n        per-hour: 5e-6 1\/h ± 4.9e-6 1\/h/'"
try "coverage that may be any" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/dc: 90 %/dc: 90 % ± 40 %/'"
try "a life that may be any" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor '/operations/d; s/part: .*/$own/; s/mttfd: 80 years/mttfd: 45 years ± 43 years/'"
try "wear that a monthly replacement does not help" "subsystem-gap $chain[contactor]" \
	"data edge-stops contactor 's/operations: .*/operations: 90000000\n        replaced-every: 1 month/'"
try "a device that is changed after the proof" "evidence-aged edge-stops" \
	"change gate.yaml 's/^changes:/&\n  - {id: c9, on: 2026-11-12, touches: [device], what: edge, by: A}/'"
try "a part that finds more than all" "value-range parts[sk-40].dc" \
	"change library/parts.yaml 's/^    dc: 90 %/    dc: 300 %/'"
try "a part that never fails, typed once" "value-range parts[lb-12].per-hour" \
	"change library/parts.yaml 's/per-hour: 8.0e-7/per-hour: 1.0e-30/'"
try "a part that calls itself published" "library-standing-firm parts[op-65].standing" \
	"change library/parts.yaml '/id: op-65/,/standing/s/standing: firm/standing: published/'"
try "a table from memory that nobody read" "reading-wanted annex-k" \
	"change library/readings.yaml '/id: annex-k,/d'"
try "a table of the firm's own" "reading-wanted coverage-class" \
	"printf '%s\n' 'library: 1' 'tables: [{id: coverage-class, replaces: coverage-class, is: word, standing: firm, source: x, axes: [{name: coverage, is: number, take: from, at: [0, 0.1, 0.2, 0.3]}], cells: [none, low, medium, high]}]' | put library/over.yaml"
try "a mission of a month" "reading-wanted mission-time" \
	"printf '%s\n' 'library: 1' 'limits: [{id: mission-time, replaces: mission-time, is: months, value: 1 month, standing: firm, source: x}]' | put library/over.yaml"

# The data of a part typed in the record give the same, and the figures that are needed are enough.
rm -rf "$work/job"
cp -al "$base" "$work/job"
(cd "$work/job" && data edge-stops contactor "/operations/d; s/part: .*/$own/")
expect "data of one's own instead of a part" 0 "$program" check "$work/job"
rm -rf "$work/job"
cp -al "$base" "$work/job"
(cd "$work/job" && data edge-stops contactor 's/operations: .*/operations: 130000\n        replaced-every: 10 years/')
expect "a replacement in time" 0 "$program" check "$work/job"

# --- dates ---

try "a check before the work began" "date-order plate-fitted" \
	"change gate.yaml '/^  plate-fitted:/,/by:/s/on: .*/on: 1999-01-01/'"
try "a zone looked at before the work began" "date-order catch@leaf-1" \
	"change gate.yaml '/^  catch@leaf-1:/,/facts/s/looked-on: .*/looked-on: 1999-01-01/'"
try "a stop fitted after it was tried" "evidence-aged stop-overrides-commands" \
	"change gate.yaml '/  - id: stop-button/,/zones/s/fitted-on: .*/fitted-on: 2026-11-12/'"
try "a stop fitted after its function was proved" "evidence-aged button-stops" \
	"change gate.yaml '/  - id: stop-button/,/zones/s/fitted-on: .*/fitted-on: 2026-11-12/'"
try "a guard fitted after its zone was looked at" "evidence-aged tail@leaf-1" \
	"change gate.yaml '/  - id: guard\$/,/zones/s/fitted-on: .*/fitted-on: 2026-11-12/'"
try "a certificate of an earlier calibration" "instrument-paper force.instrument.certificate" \
	"change gate.yaml '/  - id: calibration/,/sha256/s/dated: .*/dated: 2019-01-01/'"

# --- force tests ---

low=curves/edge-50-low.txt
try "a gap that may be any" "force-point-missing main-edge@leaf-1" \
	"change gate.yaml '/- id: edge-50-low/,/height/s/gap: .*/gap: 50 mm ± 400 mm/'"
try "a height that may be any" "force-point-missing main-edge@leaf-1" \
	"change gate.yaml '/- id: edge-50-low/,/leaves/s/height: .*/height: 50 mm ± 800 mm/'"
try "a copy without its first sample" "force-run-twice edge-50-low" \
	"sed '0,/^-/{/^-/d}' $low | put curves/x.txt; change gate.yaml 's,$low#3,curves/x.txt#2,'"
try "a copy without its last sample" "force-run-twice edge-50-low" \
	"sed '\$d' $low | put curves/x.txt; change gate.yaml 's,$low#3,curves/x.txt#2,'"
try "a copy in other units" "force-run-twice edge-50-low" \
	"awk -F '\t' -v OFS='\t' '/^[-0-9]/ { \$1 = sprintf(\"%.5f\", \$1 / 1000); for (i = 2; i <= NF; i++) \$i = sprintf(\"%.3f\", \$i / 10) } 1' $low |
		sed 's/\[ms\]/[s]/; s/\[N\]/[daN]/g' | put curves/x.txt; change gate.yaml 's,$low#3,curves/x.txt#2,'"
# 1.02 m of travel: the plan asks for 510 mm, where 1400 N are allowed; within its tolerance lie 460 mm, where 400 N are.
try "a blow of 800 N measured where 400 N are allowed" "force-mean-over travel" \
	"change gate.yaml 's/leaf-travel: .*/leaf-travel: 1.02 m/; s/clear-opening: .*/clear-opening: 1.00 m/; /- id: travel\$/,/height/s/gap: .*/gap: 460 mm/'
	for i in 1 2 3; do
		awk -F '\t' -v OFS='\t' '/^[-0-9]/ { sub(\",\", \".\", \$2); \$2 = sprintf(\"%.2f\", \$2 * 2.5); sub(/[.]/, \",\", \$2) } 1' \
			curves/travel-\$i.csv | put curves/x-\$i.csv
		change gate.yaml \"s,curves/travel-\$i.csv,curves/x-\$i.csv,\"
	done"
try "a range that may be too small" "instrument-range force.instrument.range" \
	"change gate.yaml 's/range: 2000 N/range: 2100 N ± 200 N/'"

# --- files ---

try "an empty paper" "file-empty calibration" \
	": | put papers/calibration.txt; digest calibration papers/calibration.txt"
try "a paper of blanks" "file-empty settings" \
	"echo ' ' | put papers/settings.txt; digest settings papers/settings.txt"
try "a photograph that is a text" "picture-broken edge" "digest edge papers/calibration.txt"
try "one picture under two names" "evidence-twice wall" "digest wall photos/edge.png"
try "a name that cannot be seen" "value-empty parties.signatory.name" \
	"change gate.yaml 's/name: Maeve Tollerton/name: \"\\\\u200b\\\\u00a0\"/'"

# --- what contradicts itself ---

try "a sheet with openings" "dimensions-disagree gate.dimensions" \
	"change gate.yaml 's/^    kind: sheet .*/    kind: sheet\n    shape: square\n    opening: 100 mm/'"
try "round bars" "dimensions-disagree gate.dimensions" \
	"change gate.yaml 's/^    kind: sheet .*/    kind: bars\n    shape: round\n    opening: 30 mm/'"
try "a body that was detected, by nothing on record" "check-failed ride-along-body" \
	"change gate.yaml 's/inside-closing: .*/inside-closing: detected/'"
try "a failed check that nothing asks for" "check-failed battery-mode" \
	"change gate.yaml 's/^checks:/checks:\n  battery-mode: {outcome: not-as-expected, on: 2026-11-11, by: A, facts: {moved-by-itself: yes, detectors-work: no, when-empty: closes}}/'"
try "a leaf top below the leaf" "hazard-open run-back-neighbour@leaf-1" \
	"change gate.yaml '/^  run-back-neighbour@/,/leaf-top/{s/leaf-top: .*/leaf-top: 0.5 m/; s/fence-height: .*/fence-height: 2.00 m/; s/fence-distance: .*/fence-distance: 0 mm/}'"

# --- overlays ---

overlay() { { echo "library: 1"; cat; } | put library/over.yaml; }
dimensions=$(sed -n '/- id: sliding-cantilever/,/agrees:/{/ is: /{s/, when: "[^"]*"//; p}}' hazards/types-sliding.yaml)
zones=$(sed -n '/- id: sliding-cantilever/,$s/^      - \([a-z-]*\)$/\1/p' hazards/types-sliding.yaml | tr '\n' ',' | sed 's/,$//')

type() { # ID
	overlay <<END
types:
  - id: $1
    family: sliding
    movement: horizontal
    standing: firm
    source: x
    dimensions:
$dimensions
    travel: gate.dimensions.leaf-travel
    zones: [$zones]
END
	change gate.yaml "s/type: sliding-cantilever/type: $1/"
}

try "a type of the firm's own" "reading-wanted own" "type own"
try "a type by the name of what was read" "reading-wanted noise" "type noise"
try "a protection by the name of what was read" "reading-wanted stop" \
	"echo 'protection: [{id: stop, activation: automatic, use: public, least: [C], standing: firm, source: x}]' | overlay
	change gate.yaml 's/by: \[pressure-edge, beams\]/by: [pressure-edge]/'"
try "a class of activation of the firm's own" "reading-wanted soft" \
	"echo 'activation-classes: [{id: soft, rank: 9, when: \"yes\", standing: firm, source: x}]' | overlay"
try "a limit looser than the one that was read" "reading-wanted instrument-accuracy" \
	"echo 'limits: [{id: instrument-accuracy, replaces: instrument-accuracy, is: number, value: 90 %, standing: firm, source: x}]' | overlay"
try "a function weaker than the one that was read" "reading-wanted contact-detection" \
	"echo 'functions: [{id: contact-detection, replaces: contact-detection, least: a, standing: firm, source: x}]' | overlay"
try "a heading that reads pounds as newtons" "reading-wanted force" \
	"echo \"recording-headers: [{id: force, replaces: force, role: force, pattern: '^force', unit: N, standing: firm, source: x}]\" | overlay
	change $low 's/\[N\]/[lbf]/g'"
try "a heading of the firm's own" "reading-wanted own" \
	"echo \"recording-headers: [{id: own, role: force, pattern: '^pressure', unit: N, standing: firm, source: x}]\" | overlay
	change $low 's/Force ([123]) \[N\]/Pressure \1 [lbf]/g'"
try "a reading after the signature" "reading-wanted sample-rate" \
	"change library/readings.yaml '/sample-rate/s/2026-10-12/2031-10-12/'"

# A reading beside what a firm put in covers it.
rm -rf "$work/job"
cp -al "$base" "$work/job"
(cd "$work/job" && overlay) <<'END'
limits: [{id: instrument-accuracy, replaces: instrument-accuracy, is: number, value: 4 %, standing: firm, source: x}]
readings: [{id: instrument-accuracy, edition: x, clause: x, by: M. Tollerton, read-on: 2026-10-12}]
END
expect "a reading beside it covers what a firm put in" 0 "$PINTLE" check "$work/job"
finish
