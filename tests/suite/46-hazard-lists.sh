#!/bin/sh
# What authorities list as the hazards of a powered gate is found on the examples: each row of
# tests/published/hazard-lists.tsv, and the paper on the examples shows each. Wrong rows are told.
. tests/suite/lib.sh

list=tests/published/hazard-lists.tsv page=docs/examples.md
tab=$(printf '\t')

# What there is on an example, a line each: zone KEY TAB kind; finding CODE SUBJECT TAB -; check ID TAB -.
# A check is asked for where it is missing once no check is on record.
found_on() { # EXAMPLE[@TERRITORY]
	job=$work/job
	rm -rf "$job"
	mkdir "$job"
	cp "examples/${1%@*}/gate.yaml" "$job"
	[ ! -d "examples/${1%@*}/library" ] || cp -r "examples/${1%@*}/library" "$job"
	from="examples/${1%@*}"
	case $1 in
	*@*)
		sed "s/^  territory: .*/  territory: ${1#*@}/" "$job/gate.yaml" >"$job/new"
		mv "$job/new" "$job/gate.yaml"
		from=$job
		;;
	esac
	"$PINTLE" check --json "$from" 2>/dev/null | read_found
	awk '/^[a-z]/ { out = 0 } /^checks:/ { out = 1; print "checks: {}" } !out' "$job/gate.yaml" >"$job/new"
	mv "$job/new" "$job/gate.yaml"
	"$PINTLE" check --json "$job" 2>/dev/null | read_found | sed -n 's/^finding check-missing /check /p'
}

read_found() {
	awk '
	function value(line) {
		sub(/^ *"[a-z]*": "/, "", line)
		sub(/",?$/, "", line)
		return line
	}
	/^      "zone": / { zone = value($0) }
	/^ +"kind": / && zone != "" { print "zone " zone "\t" value($0) }
	/^      "code": / { code = value($0); zone = "" }
	/^      "subject": / { print "finding " code " " value($0) "\t-" }'
}

# Names the items of a table that are not found, and those whose row says too little.
unfound() { # TABLE
	grep -v '^#\|^item	' "$1" | while IFS=$tab read -r item described example by key kind rest; do
		if [ -z "$kind" ] || [ -n "$rest" ] || [ -z "$described" ]; then
			echo "$item"
		elif ! grep -qxF -- "$by $key$tab$kind" "$work/found/$example" 2>/dev/null; then
			echo "$item"
		fi
	done
}

# Names the items of the table that the paper does not show.
unshown() { # TABLE PAGE
	grep -v '^#\|^item	' "$1" | while IFS=$tab read -r item described example by key kind; do
		in_france=
		case $example in *@FR) in_france=', as if in France' ;; esac
		[ "$kind" = - ] && kind= || kind=", $kind"
		grep -qxF -- "| $item | $described | \`${example%@*}\`$in_france | $by \`$key\`$kind |" "$2" || echo "$item"
	done
}

mkdir "$work/found"
for example in $(grep -v '^#\|^item	' $list | cut -f 3 | sort -u); do
	found_on "$example" >"$work/found/$example"
	check "$example has zones and checks" [ "$(grep -c '^zone' "$work/found/$example")" -ge 15 ] &&
		check "$example is asked for its checks" [ "$(grep -c '^check' "$work/found/$example")" -ge 15 ]
done

rows=$(grep -vc '^#\|^item	' $list)
check "there are rows ($rows)" [ "$rows" -ge 55 ]
check "no item stands twice" [ -z "$(cut -f 1 $list | sort | uniq -d)" ]
unfound $list >"$work/unfound"
grep -v '^#\|^item	' $list | while IFS=$tab read -r item rest; do
	grep -qxF -- "$item" "$work/unfound" || echo "$item"
done >"$work/there"
while read -r item; do pass "found: $item"; done <"$work/there"
while read -r item; do fail "found: $item" "$(grep -F "$item$tab" $list)"; done <"$work/unfound"
unshown $list $page >"$work/unshown"
check "$page shows every item" [ ! -s "$work/unshown" ]
check "$page shows no other" [ "$(sed -n '/^## Hazards that authorities list/,/^## harbour/p' $page |
	grep -c '^| [A-Z]')" = "$rows" ]

# --- a wrong row is told, and no other ---

wrong() { # NAME ITEM SCRIPT
	sed "/^$2$tab/$3" $list >"$work/wrong.tsv"
	if cmp -s $list "$work/wrong.tsv"; then
		fail "$1" "nothing changed"
		return
	fi
	unfound "$work/wrong.tsv" >"$work/told"
	check "$1 is told" [ "$(cat "$work/told")" = "$2" ]
}
wrong "a zone that is not there" "Hit by the leaf" "s/main-travel@leaf-1/main-travel@leaf-2/"
wrong "a zone without that hazard" "Electrocution" "s/electrical\$/falling/"
wrong "a zone on another example" "Kerb in the sweep" "s/ardnashee-court/quillmere-house/"
wrong "a check that is not asked for" "Water that gets in" "s/water-kept-out/swing-wind/"
wrong "a finding about something else" "Ways to defeat the controls" "s/settings-locked/noise/"
wrong "a check of French workplaces elsewhere" "Marking of the floor" "s/harbour-yard@FR/harbour-yard/"
wrong "an example that is not there" "Kerb in the sweep" "s/ardnashee-court/nowhere/"
grep -v '^| Electrocution ' $page >"$work/page"
unshown $list "$work/page" >"$work/told"
check "an item that the paper leaves out is told" [ "$(cat "$work/told")" = Electrocution ]
finish
