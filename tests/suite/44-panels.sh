#!/bin/sh
# Gates of several panels: folding on one side and on two, telescopic with two and three. Begun, filled by tape, checked and drawn.
# What the geometry has to find is worked out by hand beside it.
. tests/suite/lib.sh

# fill JOB KEY=VALUE…: puts values where the record says unknown. Keys are those of the record, wherever they stand.
fill() {
	fill_job=$1
	shift
	for fill_pair; do
		sed -i "s|^\( *\(- \)\{0,1\}${fill_pair%%=*}\): unknown.*|\1: ${fill_pair#*=}|" "$fill_job/gate.yaml"
	done
}

stand() { # JOB BODY: one fixed object
	sed -i "s|^  bodies: unknown.*|  bodies:\n    - $2|" "$1/gate.yaml"
}

least() { # NAME PAIR MM: of the check before
	check "$1" sh -c "grep -A3 '\"pair\": \"$2\"' '$work/out' | grep -q '\"least_mm\": $3[,.]'"
}

zone() { # NAME PAIR ZONE: where it is dealt with
	check "$1" sh -c "grep -A40 '\"pair\": \"$2\"' '$work/out' | grep -m 1 '\"zone\"' | grep -q '\"$3\"'"
}

untouched() { # TYPE
	expect "$1 is begun" 0 "$PINTLE" new "$work/$1" --type "$1"
	expect "$1 untouched is open" 1 "$PINTLE" check "$work/$1" --json
	check "$1 untouched has open points only" sh -c "! grep -q '\"level\": \"input\"' '$work/out'"
}

checked() { # NAME JOB
	expect "$1 is checked" 1 "$PINTLE" check "$work/$2" --json
	check "$1: nothing in it cannot be read" sh -c "! grep -q '\"level\": \"input\"' '$work/out'"
}

# ---- folding, one side

untouched folding-one
untouched folding-two
for job in folding-one folding-two; do
	fill "$work/$job" 'opening-angle=86 deg' 'first-panel=2.02 m' 'second-panel=1.93 m' 'edge-travel=3.6 m' 'leaf-thickness=60 mm' \
		'axis-to-pier=60 mm' 'axis-behind-face=200 mm' 'axis-to-leaf=40 mm' 'leaf-offset=0 mm' 'joint-gap-fold=3 mm' \
		'joint-gap-back=8 mm' 'pier-width=400 mm' 'pier-depth=400 mm' 'pier-height=2.2 m' 'stepped=no' 'drop-bolt=no' \
		'guided=yes' 'carrier-from-joint=1.92 m' 'guide-height=2.15 m' 'drive-kind=overhead' 'kind=sheet' 'height=2 m' \
		'length=3.95 m' 'gap=60 mm' 'slope=0 %' 'across=0 %' 'sideways=0 mm' 'flex=0 mm' 'sag=0 mm' 'standing-height=0 mm'
done
fill "$work/folding-one" 'opens=inside' 'joint-offset=0 mm' 'clear-opening=4.07 m'
stand "$work/folding-one" '{id: house, kind: wall, at: sweep, along: 0.2 m, off: 2.2 m, side: inside, length: 3 m, depth: 300 mm, height: 3 m}'
checked "a folding gate" folding-one
# Both panels stand 4° from square to the gate, 8° from each other. The joint's axis lies in the faces that fold together. 200 mm out from
# it the faces are 200 · sin 8° = 27.8 mm apart.
least "the faces that fold together come to 27.8 mm" panel-1~panel-2@leaf-1 27.8
zone "and are a zone" panel-1~panel-2@leaf-1 fold-faces@leaf-1
# In the middle of their thickness the ends are (3 + 8) / 2 = 5.5 mm apart while closed, and come back to that from an open joint.
least "the back of the joint closes to 5.5 mm" stile-1-back~stile-2-back@leaf-1 5.5
zone "and is a zone" stile-1-back~stile-2-back@leaf-1 joint-back@leaf-1
# The corner of the pier lies 60 mm outside and 200 mm inside of the hinge axis; the joint at 2.02 m · (cos 86°, sin 86°); the face of the
# second panel runs from there along (cos 86°, -sin 86°): |-0.20091 · -0.99756 + 1.81508 · 0.06976| m = 327.0 mm.
least "the stack leaves 327.0 mm beside the pier" panel-2~hinge-pier@leaf-1 327
zone "and is a zone" panel-2~hinge-pier@leaf-1 stack-post@leaf-1
# The guide lies at 2.15 m, the top of the panels at 60 mm + 2 m.
least "the panels pass 90 mm under their guide" panel-2~guide@leaf-1 90
check "a wall beside the joint makes zones of its own" grep -q '"zone": "panel-1~house@leaf-1"' "$work/out"
expect "it is drawn" 0 "$PINTLE" draw "$work/folding-one"
check "in plan" test -s "$work/folding-one/bound/plan.svg"

# ---- folding, two sides, to the outside: the joint's axis lies in the inner faces

fill "$work/folding-two" 'opens=outside' 'joint-offset=60 mm' 'clear-opening=8.05 m'
checked "a folding gate of two sides" folding-two
for leaf in leaf-1 leaf-2; do
	least "$leaf folds alike" "panel-1~panel-2@$leaf" 27.8
	least "and its joint" "stile-1-back~stile-2-back@$leaf" 5.5
done
# From hinge axis to hinge axis: 8.05 m - 2 · 60 mm; less both sides of 3.95 m. But the outer corner of a free end goes by
# 3.95 m · cos θ + 2 · 60 mm · sin θ, at most √(3950² + 120²) = 3951.8 mm from its hinge: 30 - 2 · 1.82 = 26.4 mm.
least "the sides meet at 26.4 mm" panel-2~panel-2@gate 26.4
zone "which is their main edge" panel-2~panel-2@gate folding-meeting@leaf-1
sed 's|joint-offset: 60 mm|joint-offset: 0 mm|' "$work/folding-two/gate.yaml" >"$work/spoiled" && cp "$work/spoiled" "$work/folding-two/gate.yaml"
"$PINTLE" check "$work/folding-two" --json >"$work/out" 2>&1
check "a joint on the face that opens disagrees" grep -q '"code": "dimensions-disagree"' "$work/out"

# ---- telescopic

untouched telescopic
cp -r "$work/telescopic" "$work/three"
for job in telescopic three; do
	fill "$work/$job" 'clear-opening=6 m' 'leaf-travel=6 m' 'leaf-length=6.3 m' 'leaf-height=1.8 m' 'leaf-thickness=60 mm' \
		'panel-gap=20 mm' 'run-back-room=400 mm' 'guide-gap=10 mm' 'post-width=150 mm' 'post-height=2.2 m' 'drive-length=400 mm' \
		'drive-width=300 mm' 'drive-height=500 mm' 'rack=no' 'coupled-by=rope' 'rope-height=300 mm' 'kind=sheet' 'height=1.8 m' \
		'length=6.3 m' 'gap=60 mm' 'slope=0 %' 'across=0 %' 'sideways=0 mm' 'flex=0 mm' 'sag=0 mm' 'standing-height=0 mm'
done
fill "$work/telescopic" 'panels=2' 'panel-length=3.3 m' 'overlap=300 mm'
stand "$work/telescopic" '{id: gable, kind: wall, at: opening-end, along: 9.7 m, off: 0 mm, side: inside, length: 300 mm, depth: 2 m, height: 3 m}'
checked "a telescopic gate of two panels" telescopic
least "its panels pass at 20 mm" panel-1~panel-2@leaf-1 20
zone "which is a zone" panel-1~panel-2@leaf-1 between-panels@leaf-1
# Behind the leading panel the outer post stands one thickness and one gap farther off: 10 + 60 + 20 mm.
least "the second panel passes the outer post at 90 mm" panel-2~guide-post-outside@leaf-1 90
# The leading panel goes 6 m, the second from 3 m another 3 m: both end at 9.3 m.
least "the leading panel stops 400 mm before the gable" panel-1~gable@leaf-1 400
least "and so does the second, at half its speed" panel-2~gable@leaf-1 400
zone "which is a zone" panel-2~gable@leaf-1 panel-rear-edge@leaf-1

# Three: 6 m, 4 m and 2 m, from 0 m, 2 m and 4 m. All end at 8.3 m.
fill "$work/three" 'panels=3' 'panel-length=2.3 m' 'overlap=300 mm'
stand "$work/three" '{id: gable, kind: wall, at: opening-end, along: 8.7 m, off: 0 mm, side: inside, length: 300 mm, depth: 2 m, height: 3 m}'
checked "a telescopic gate of three panels" three
for panel in panel-1 panel-2 panel-3; do
	least "$panel stops 400 mm before the gable" "$panel~gable@leaf-1" 400
done
least "the first and the last are a thickness and two gaps apart" panel-1~panel-3@leaf-1 100
zone "which is a zone of its own" panel-1~panel-3@leaf-1 outer-panels@leaf-1
expect "it is drawn" 0 "$PINTLE" draw "$work/three"

finish
