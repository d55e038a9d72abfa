#!/bin/sh
# A type of gate that does not exist, written as YAML alone: a leaf that turns on a pin in its middle. It is begun, checked, drawn and bound
# by the program as it is. What the geometry has to find is worked out by hand beside it.
. tests/suite/lib.sh

job=$work/turning
mkdir -p "$job/library"
cat >"$job/library/turning.yaml" <<'YAML'
library: 1

types:
  - id: turning-leaf
    title: Leaf on a middle pin
    source: a shape of the test's own
    family: turning
    movement: perpendicular-axis
    dimensions:
      - {id: half-length, is: length, from: 0.3 m, to: 10 m}
      - {id: leaf-thickness, is: length, from: 5 mm, to: 1 m}
      - {id: opening-angle, is: angle, from: 10 deg, to: 180 deg}
      - {id: post-from-pin, is: length, from: 0.3 m, to: 12 m}
      - {id: post-width, is: length, from: 20 mm, to: 1 m}
    travel: "gate.dimensions.half-length * 3.14159 / 180 deg * gate.dimensions.opening-angle"
    leaves: "1"
    found: found-turning
    motions:
      - id: leaf
        steps:
          - {turn: "gate.dimensions.opening-angle", about: ["0 mm", "0 mm"]}
    bodies:
      - id: leaf
        view: plan
        per: leaf
        moves: leaf
        from: "gate.ground.gap"
        to: "gate.ground.gap + leaf.height"
        open-work: "gate.infill.kind != 'sheet'"
        points:
          - ["0 mm - gate.dimensions.half-length", "0 mm - gate.dimensions.leaf-thickness / 2"]
          - ["gate.dimensions.half-length", "0 mm - gate.dimensions.leaf-thickness / 2"]
          - ["gate.dimensions.half-length", "gate.dimensions.leaf-thickness / 2"]
          - ["0 mm - gate.dimensions.half-length", "gate.dimensions.leaf-thickness / 2"]
      - id: post
        view: plan
        from: "0 mm"
        to: "2 m"
        points:
          - ["gate.dimensions.post-from-pin", "0 mm - gate.dimensions.post-width / 2"]
          - ["gate.dimensions.post-from-pin + gate.dimensions.post-width", "0 mm - gate.dimensions.post-width / 2"]
          - ["gate.dimensions.post-from-pin + gate.dimensions.post-width", "gate.dimensions.post-width / 2"]
          - ["gate.dimensions.post-from-pin", "gate.dimensions.post-width / 2"]
      - id: leaf-seen
        view: elevation
        per: leaf
        points:
          - ["0 mm - gate.dimensions.half-length", "gate.ground.gap"]
          - ["gate.dimensions.half-length", "gate.ground.gap"]
          - ["gate.dimensions.half-length", "gate.ground.gap + leaf.height"]
          - ["0 mm - gate.dimensions.half-length", "gate.ground.gap + leaf.height"]
    zones: [turning-edge, electrical, unexpected-start]

zones:
  - id: turning-edge
    title: Edge that turns
    source: a zone of the test's own
    per: leaf
    edge: main
    directions: [closing, opening]
    covers: [leaf~post]
    hazards:
      - {kind: crushing, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
      - {kind: shearing, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
      - {kind: drawing-in, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
    at: ["gate.dimensions.half-length", "0 mm"]
    at-elevation: ["gate.dimensions.half-length", "leaf.height / 2"]
  - id: found-turning
    title: Gap found beside the turning leaf
    source: a zone of the test's own
    per: leaf
    edge: none
    directions: [closing, opening]
    hazards:
      - {kind: crushing, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
      - {kind: shearing, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
      - {kind: drawing-in, harm: serious, who: [users], arises: [closing], measures: [hold-to-run, presence-full]}
YAML

expect "it is begun" 0 "$PINTLE" new "$job" --type turning-leaf
check "its dimensions are asked for" grep -q 'half-length: unknown' "$job/gate.yaml"
check "its zones are asked for" grep -q '^  turning-edge@leaf-1:' "$job/gate.yaml"
expect "untouched it is open" 1 "$PINTLE" check "$job" --json
check "with open points only" sh -c "! grep -q '\"level\": \"input\"' '$work/out'"

# Half length 2 m, thickness 60 mm: the corners go round at √(2000² + 30²) = 2000.2 mm. The post stands 2090 mm from the pin, so
# a corner passes it 89.8 mm away. The near face of the wall is 2300 mm from the pin, square to the open leaf: 299.8 mm.
sed -e 's/half-length: unknown/half-length: 2 m/' -e 's/leaf-thickness: unknown/leaf-thickness: 60 mm/' \
	-e 's/opening-angle: unknown/opening-angle: 90 deg/' -e 's/post-from-pin: unknown/post-from-pin: 2.09 m/' \
	-e 's/post-width: unknown/post-width: 100 mm/' -e 's/    gap: unknown/    gap: 50 mm/' \
	-e 's/    kind: unknown/    kind: sheet/' -e 's/      height: unknown/      height: 1.8 m/' \
	-e 's/      length: unknown/      length: 4 m/' \
	-e 's/^  bodies: unknown.*/  bodies:\n    - {id: wall, kind: wall, at: sweep, x: 0 mm, y: 2.4 m, length: 2 m, depth: 200 mm, height: 1.5 m}/' \
	"$job/gate.yaml" >"$work/filled" && cp "$work/filled" "$job/gate.yaml"
expect "with its dimensions it is judged" 1 "$PINTLE" check "$job" --json
check "nothing in it cannot be read" sh -c "! grep -q '\"level\": \"input\"' '$work/out'"
check "the geometry finds the post" grep -q '"pair": "leaf~post@leaf-1"' "$work/out"
check "and the wall, as a zone of its own" grep -q '"zone": "leaf~wall@leaf-1"' "$work/out"
check "299.8 mm from the open leaf" sh -c "grep -A3 '\"pair\": \"leaf~wall@leaf-1\"' '$work/out' | grep -q '\"least_mm\": 299.8'"
check "89.8 mm from the post" sh -c "grep -A3 '\"pair\": \"leaf~post@leaf-1\"' '$work/out' | grep -q '\"least_mm\": 89.8'"
expect "it is drawn" 0 "$PINTLE" draw "$job"
check "in plan" test -s "$job/bound/plan.svg"
expect "it is bound, as a draft" 1 "$PINTLE" bind "$job"
check "as a PDF" test -s "$job/bound/technical-file.pdf"

finish
