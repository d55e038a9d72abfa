#!/bin/sh
# What is looked after, in the technical file: at each type of gate what that type has, and nothing of the others.
. tests/suite/lib.sh

# What upkeep of each family has to name (common practice).
told() { # TYPE: patterns that the table has to have, one a line
	printf '%s\n' '^Release:' '^Log:' '^Fixings' '^Gaps and' >"$work/every"
	case $1 in
	swing-*) printf '%s\n' '^Hinges:' '^Second support' '^Hinge bolts' '^Stops,' ;;
	sliding-track) printf '%s\n' '^Rollers and' '^Upper guides' '^End stops' '^Rack and' ;;
	sliding-cantilever) printf '%s\n' '^Carriages:' '^Upper guides' '^End stops' '^Rack and' ;;
	telescopic) printf '%s\n' '^Rack and' '^Coupling of' '^Rollers and' '^Upper guides' '^End stops' ;;
	folding-*) printf '%s\n' '^Hinges and joints' '^Carriers:' '^Guide of the' '^Stops of' ;;
	barrier) printf '%s\n' '^Balance:' '^Arm and housing' '^Skirt:' ;;
	vertical-*) printf '%s\n' '^Ropes' '^Counterweights' '^Catch device' '^Guides and stops' ;;
	*) echo '^What carries' ;;
	esac
}

: >"$work/all"
types="swing-one swing-two swing-rising sliding-track sliding-cantilever telescopic folding-one folding-two barrier vertical-lifting other"
for type in $types; do
	told "$type" >>"$work/all"
done
sort -u -o "$work/all" "$work/all"

for type in $types; do
	expect "a gate is begun: $type" 0 "$PINTLE" new "$work/$type" --type "$type"
	"$PINTLE" bind "$work/$type" >"$work/out" 2>"$work/err"
	pdftotext -layout "$work/$type/bound/technical-file.pdf" "$work/text" 2>/dev/null
	sed -n '/^What to look after/,/^[0-9]* *Evidence matrix/p' "$work/text" >"$work/table"
	told "$type" >"$work/mine"
	missing= foreign=
	while read -r pattern; do
		grep -q "$pattern" "$work/table" || missing="$missing $pattern;"
	done <<EOF
$(cat "$work/mine" "$work/every")
EOF
	while read -r pattern; do
		grep -qxF "$pattern" "$work/mine" && continue
		grep -q "$pattern" "$work/table" && foreign="$foreign $pattern;"
	done <"$work/all"
	check "$type: what it has is looked after${missing:+, missing:$missing}" [ -z "$missing" ]
	check "$type: and nothing of other gates${foreign:+: $foreign}" [ -z "$foreign" ]
done

# With all on record a task stands or does not.
"$PINTLE" bind examples/quillmere-house --into "$work/swing" >"$work/out" 2>&1
pdftotext -layout "$work/swing/technical-file.pdf" "$work/text"
check "nothing is left undecided in a finished record" sh -c "! grep -q 'does not tell whether' '$work/text'"
check "no drop bolt, no task" sh -c "! grep -q '^Drop bolt:' '$work/text'"
check "the force once a year at least" sh -c "grep -A2 '^Force measurement' '$work/text' | tr -s ' \n' ' ' | grep -q 'at least every.*12 months'"
check "a standard or a law is named" grep -q 'Germany, ASR A1.7, 10.2' "$work/text"

# ---- the checks of a new job ------------------------------------------------------------------------

for type in $types; do
	sed -n '/^checks:/,$p' "$work/$type/gate.yaml" | sed -n 's/^  \([a-z][a-z0-9-]*\):.*/\1/p' >"$work/checks-$type"
done
has() { grep -qx "$2" "$work/checks-$1"; }
check "a sliding gate is asked whether it carries one along" has sliding-track ride-along-body
check "a telescopic one too" has telescopic ride-along-body
check "a swing gate is not" sh -c "! grep -qx ride-along-body '$work/checks-swing-one'"
check "what depends on devices stays" has swing-one stop-overrides-commands
for type in $types; do
	"$PINTLE" check "$work/$type" --json >"$work/json"
	# Whatever check would ask for of the fresh record is written there.
	left=$(grep -o '"checks\.[a-z0-9-]*' "$work/json" | sed 's/"checks\.//' | sort -u | grep -vxF -f "$work/checks-$type" | tr '\n' ' ')
	check "$type: every check that is asked for is listed${left:+, but $left}" [ -z "$left" ]
done
finish
