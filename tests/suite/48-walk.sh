#!/bin/sh
# The walk, read: what is still to be asked of a gate, leg by leg.
. tests/suite/lib.sh

for type in sliding-track swing-two folding-one telescopic barrier vertical-lifting other; do
	"$PINTLE" new "$work/$type" --type $type >/dev/null 2>&1
	expect "$type: all is to be asked" 1 "$PINTLE" walk --all "$work/$type"
	check "$type: the questions begin with who makes it" sh -c "head -n 1 '$work/out' | grep -q 'Who makes the machine'"
	check "$type: every word is there" sh -c "! grep -Eq '\\{\\{| need-[a-z]+[:;.]|walk\\.|legs\\.|form-' '$work/out'"
	check "$type: isolation comes before the covers" grep -q 'Isolate mains and battery' "$work/out"
done
expect "only the first leg that is open" 1 "$PINTLE" walk "$work/swing-two"
check "and no other" sh -c "[ \$(grep -c '^== ' '$work/out') = 1 ]"

cp "$work/swing-two/gate.yaml" "$work/before"
"$PINTLE" walk "$work/swing-two" >/dev/null 2>&1
check "nothing is written" cmp -s "$work/before" "$work/swing-two/gate.yaml"

expect "a job in order has nothing left to ask" 0 "$PINTLE" walk examples/harbour-yard
expect "another one" 0 "$PINTLE" walk examples/quillmere-house

# The gap of the fold is told with its figures, worked out in 44-panels.sh for a gate like it; here those of the example.
expect "a draft" 1 "$PINTLE" walk --all examples/ledgate-playhouse
check "what the dimensions say" grep -q 'What the dimensions say' "$work/out"
check "which measures can answer" grep -q 'What can answer it' "$work/out"
check "the meter's caution before the force tests" grep -q 'Testing forces and detectors can crush' "$work/out"
expect "no job" 2 "$PINTLE" walk "$work/nothing"
finish
