#!/bin/sh
# The drawings as files: which are written, that they are whole, the same wherever they are made, and what is said of those left out.
. tests/suite/lib.sh

work=$(cd "$work" && pwd)
pintle=$(cd "$(dirname "$PINTLE")" && pwd)/$(basename "$PINTLE")

# Well-formed by a reader of the machine where there is one; else by what the unit tests hold.
if command -v xmllint >/dev/null; then
	reader() { xmllint --noout "$1"; }
elif command -v python3 >/dev/null; then
	reader() { python3 -c 'import sys, xml.dom.minidom; xml.dom.minidom.parse(sys.argv[1])' "$1"; }
else
	reader() { head -n 1 "$1" | grep -q '^<?xml' && tail -n 2 "$1" | head -n 1 | grep -qx '</svg>'; }
fi

for job in examples/*/gate.yaml; do
	name=$(basename "$(dirname "$job")")
	expect "$name is drawn" 0 "$pintle" draw "examples/$name" --into "$work/$name"
	ls "$work/$name" >"$work/there"
	sed 's|.*/||' "$work/out" | sort | cmp -s - "$work/there"
	check "$name: what was written is listed, and nothing else" [ $? = 0 ]
	bad=
	for svg in "$work/$name"/*.svg; do
		reader "$svg" >/dev/null 2>&1 || bad="$bad $svg"
	done
	check "$name: $(wc -l <"$work/there") files, each well-formed" [ -z "$bad" ]
	check "$name: plan and elevation" [ -s "$work/$name/plan.svg" -a -s "$work/$name/elevation.svg" ]
done

# Every gap that check finds has a chart, by the names of its parts.
"$pintle" check examples/quillmere-house --json >"$work/json"
awk -F'"' '/"pair":/ { pair = $4 } pair && /"kinds": \[/ { if (!/\[\]/) print pair; pair = "" }' "$work/json" | tr '~@' '--' |
	sed 's/.*/clearance-&.svg/' | sort >"$work/expected"
ls "$work/quillmere-house" | grep '^clearance-' >"$work/there"
check "there are gaps that hurt ($(wc -l <"$work/expected"))" [ -s "$work/expected" ]
check "each has its chart" cmp "$work/expected" "$work/there"

# A leaf that opens to 390 mm from a pillar: the plan says so between arrows, the chart too.
check "the plan has the gap to the pillar" grep -q '>390 mm</text>' "$work/quillmere-house/plan.svg"
check "and its chart" grep -q '>390 mm</text>' "$work/quillmere-house/clearance-leaf-lamp-pillar-leaf-2.svg"
check "the clear opening is dimensioned" grep -q '>clear opening 3.6 m</text>' "$work/quillmere-house/plan.svg"
check "inside and outside are named" sh -c "grep -q '>Inside</text>' '$work/quillmere-house/plan.svg' &&
	grep -q '>Outside</text>' '$work/quillmere-house/plan.svg'"
check "the chart has the sizes of finger, hand, head and body" sh -c "for s in 'finger 25' 'hand 100' 'head 300' 'body 500'; do
	grep -q \">\$s</text>\" '$work/quillmere-house/clearance-leaf-lamp-pillar-leaf-2.svg' || exit 1; done"

# ---- the same bytes, in one step -------------------------------------------------------------------

mkdir -p "$work/else where"
cp -r examples/quillmere-house "$work/else where/job"
(
	cd "$work/else where" || exit 1
	LC_ALL=de_DE.UTF-8 LC_NUMERIC=de_DE.UTF-8 TZ=Pacific/Auckland "$pintle" draw job
) >"$work/out" 2>"$work/err"
check "without --into they go to bound" [ -s "$work/else where/job/bound/plan.svg" ]
check "the same bytes in another folder, locale and time zone" \
	diff -r "$work/quillmere-house" "$work/else where/job/bound"
expect "drawn again over them" 0 "$pintle" draw examples/quillmere-house --into "$work/quillmere-house"
check "the same bytes" diff -r "$work/quillmere-house" "$work/else where/job/bound"
check "no file of the writing is left" [ -z "$(find "$work/quillmere-house" ! -name '*.svg' -type f)" ]

# ---- what is left out, and what cannot be done --------------------------------------------------------

expect "a job is begun" 0 "$pintle" new "$work/begun" --type sliding-track
expect "without dimensions there is nothing to draw" 1 "$pintle" draw "$work/begun"
check "which is said" grep -q 'nothing was drawn' "$work/err"
check "and no file is written" [ -z "$(find "$work/begun" -name '*.svg')" ]

cp -r examples/harbour-yard "$work/half"
sed -i 's/^    post-height: .*/    post-height: unknown/' "$work/half/gate.yaml"
expect "without the height of the posts" 0 "$pintle" draw "$work/half" --into "$work/half/drawn"
check "the plan is drawn" [ -s "$work/half/drawn/plan.svg" ]
check "what is left out is said" grep -q 'not drawn, because' "$work/err"

# ---- what the gate no longer has ----------------------------------------------------------------------

cp -r examples/quillmere-house "$work/changed"
expect "a gate with a pillar is drawn" 0 "$pintle" draw "$work/changed"
old=$work/changed/bound/clearance-leaf-lamp-pillar-leaf-2.svg
check "the pillar has its chart" [ -s "$old" ]
cp "$old" "$work/changed/bound/clearance-mine.svg"
sed -i 's|</svg>|<text>my own</text></svg>|' "$work/changed/bound/clearance-mine.svg"
echo "a note" >"$work/changed/bound/clearance-note.svg"
cp "$old" "$work/changed/bound/kept.svg"
ln -s kept.svg "$work/changed/bound/clearance-link.svg"
sed -i 's/lamp-pillar/lantern-post/g' "$work/changed/gate.yaml"
expect "the pillar is called otherwise, and it is drawn again" 0 "$pintle" draw "$work/changed"
check "it has the new chart" [ -s "$work/changed/bound/clearance-leaf-lantern-post-leaf-2.svg" ]
check "the old one is gone" [ ! -e "$old" ]
check "which is said" grep -q 'clearance-leaf-lamp-pillar-leaf-2.svg: removed' "$work/err"
for kept in clearance-mine clearance-note clearance-link kept; do
	check "what is not its own stays: $kept.svg" [ -e "$work/changed/bound/$kept.svg" ]
done
check "nothing else was removed" [ "$(grep -c ': removed' "$work/err")" = "$(grep -c 'lamp-pillar' "$work/err")" ]

# ---- names ------------------------------------------------------------------------------------------

# Two bars slide by 1 m to 100 mm from two posts: bar~top-post and bar-top~post come to one name. A body may be called as one likes.
square() { # X0 Y0 X1 Y1 in mm: a body's points
	echo "points: [[$1 mm, $2 mm], [$3 mm, $2 mm], [$3 mm, $4 mm], [$1 mm, $4 mm]]"
}
job=$work/alike
long=$(printf 'wall-%0250d' 0)
mkdir -p "$job/library"
cat >"$job/library/alike.yaml" <<YAML
library: 1
types:
  - id: two-bars
    title: Two bars
    source: a shape of the test's own
    family: two-bars
    movement: horizontal
    dimensions: [{id: way, is: length, from: 0.3 m, to: 10 m}]
    travel: "gate.dimensions.way"
    leaves: "1"
    found: found-two-bars
    motions: [{id: way, steps: [{shift: ["gate.dimensions.way", "0 mm"]}]}]
    bodies:
      - {id: bar, view: plan, per: leaf, moves: way, $(square 0 0 500 50)}
      - {id: bar-top, view: plan, per: leaf, moves: way, $(square 0 2000 500 2050)}
      - {id: top-post, view: plan, $(square 1600 0 1700 50)}
      - {id: post, view: plan, $(square 1600 2000 1700 2050)}
    zones: [electrical, unexpected-start]
zones:
  - id: found-two-bars
    title: Gap found beside a bar
    source: a zone of the test's own
    per: leaf
    edge: none
    directions: [closing, opening]
    hazards:
      - {kind: crushing, harm: serious, who: [users], arises: [opening], measures: [hold-to-run, presence-full]}
      - {kind: shearing, harm: serious, who: [users], arises: [opening], measures: [hold-to-run, presence-full]}
      - {kind: drawing-in, harm: serious, who: [users], arises: [opening], measures: [hold-to-run, presence-full]}
YAML
expect "a gate with names alike is begun" 0 "$pintle" new "$job" --type two-bars
sed -i 's/    way: unknown/    way: 1 m/' "$job/gate.yaml"
expect "it is drawn without what stands around it" 0 "$pintle" draw "$job" --into "$job/bare"
check "no elevation is described" [ ! -e "$job/bare/elevation.svg" ]
check "so that it is left out, which is said" grep -q 'elevation.svg: not drawn' "$work/err"
sed -i \
	"s/^  bodies: unknown.*/  bodies:\n    - {id: $long, kind: wall, at: sweep, x: 1.65 m, y: 0.2 m, length: 100 mm, depth: 50 mm, height: 1.5 m}/" \
	"$job/gate.yaml"
expect "it is drawn" 0 "$pintle" draw "$job"
check "of two charts with one name both are there" [ -s "$job/bound/clearance-bar-top-post-leaf-1.svg" -a \
	-s "$job/bound/clearance-bar-top-post-leaf-1_2.svg" ]
check "and are of two pairs" sh -c "! cmp -s '$job/bound/clearance-bar-top-post-leaf-1.svg' '$job/bound/clearance-bar-top-post-leaf-1_2.svg'"
check "a name without end is cut" [ -n "$(find "$job/bound" -name 'clearance-bar-wall-0*0.svg')" ]

expect "a record that cannot be read" 2 "$pintle" draw tests/bad
expect "no such folder" 2 "$pintle" draw "$work/none"
: >"$work/file"
expect "a file where the folder should be" 3 "$pintle" draw examples/harbour-yard --into "$work/file"
check "why is said" grep -q "$work/file" "$work/err"
finish
