#!/bin/sh
# One case for every code of the catalogue, in tests/golden/findings: CODE.edit spoils a copy of the finished
# example (or makes a small job of its own), CODE.expect is all that `check` then has to say, a line each:
# code, subject, message. Codes that no user can meet are in unit-only.txt, with the unit test that does.
#
# An edit is a piece of shell, run in the folder of the job, with these commands:
#   bare                      start with an empty folder instead of the example
#   change FILE SCRIPT        sed -E -i; the case fails when nothing changes
#   put FILE                  writes what comes in
#   run COMMAND…              instead of `check .`; its findings are read from stderr
. tests/suite/lib.sh

cases=tests/golden/findings
here=$PWD
work=$(cd "$work" && pwd)
base=$work/base
program=$(cd "$(dirname "$PINTLE")" && pwd)/$(basename "$PINTLE")
mkdir -p "$work/got"
cp -r examples/harbour-yard "$work/base"
# A quarter of the samples do: the curves are the same.
RATE=250 examples/make-recordings.sh "$work/base/curves" >/dev/null

bare() { find . -mindepth 1 -delete; }

# A file that is linked to the example's is replaced, never written into.
change() {
	sed -E "$2" "$1" >"$1.new" || return 1
	if cmp -s "$1" "$1.new"; then
		rm "$1.new"
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

run() { echo "$@" >../command; }

# code, subject, message of each finding in --json
from_json() {
	awk '
	function value(line) {
		sub(/^ *"[a-z]*": "/, "", line)
		sub(/",?$/, "", line)
		gsub(/\\"/, "\"", line)
		gsub(/\\\\/, "\\", line)
		return line
	}
	/^      "code": / { code = value($0) }
	/^      "subject": / { subject = value($0) }
	/^      "message": / { print code "\t" subject "\t" value($0) }'
}

# The same from text: a head that ends in [code], and the message up to a way, the source or the end.
from_text() {
	awk '
	/^[A-Za-z]+ .*\[[a-z0-9-]+\]$/ {
		if (code) print code "\t" subject "\t" message
		code = $NF; gsub(/[][]/, "", code)
		subject = $(NF - 1); message = ""; open = 1; next
	}
	/^       (→|Source)/ { open = 0 }
	open { line = $0; sub(/^ +/, "", line); message = message (message ? " " : "") line }
	END { if (code) print code "\t" subject "\t" message }'
}

level_of() { sed -n "s/^FINDING([A-Z0-9_]*, \"$1\", FINDING_\([A-Z]*\))/\1/p" src/base/findings.def; }

# The status that the worst of the findings asks for.
status_for() {
	worst=0
	for code in $(cut -f 1 "$1" | sort -u); do
		case $(level_of "$code") in
		INPUT) worst=2 ;;
		OPEN | STOP) [ $worst = 2 ] || worst=1 ;;
		esac
	done
	echo $worst
}

try() { # CODE
	job=$work/case/job
	rm -rf "$work/case"
	mkdir -p "$work/case"
	cp -al "$base" "$job"
	echo "check --json ." >"$work/case/command"
	if ! (cd "$job" && . "$here/$cases/$1.edit") >"$work/edit.log" 2>&1; then
		fail "$1" "its edit failed: $(head -n 3 "$work/edit.log")"
		return
	fi
	command=$(cat "$work/case/command")
	# shellcheck disable=SC2086
	(cd "$job" && "$program" $command) >"$work/out" 2>"$work/err" </dev/null
	status=$?
	case $command in
	*--json*) from_json <"$work/out" ;;
	*) from_text <"$work/err" ;;
	esac >"$work/got/$1"
	if [ "${GOLDEN_UPDATE:-}" = 1 ]; then
		cp "$work/got/$1" "$cases/$1.expect"
	fi
	if ! grep -q "^$1	" "$work/got/$1"; then
		fail "$1" "is not found; status $status" "$(head -n 5 "$work/got/$1" "$work/err")"
	elif ! cmp -s "$cases/$1.expect" "$work/got/$1"; then
		fail "$1" "$(diff -u "$cases/$1.expect" "$work/got/$1" 2>&1 | tail -n +3 | head -n 12)"
	elif [ "$status" != "$(status_for "$work/got/$1")" ]; then
		fail "$1" "status $status, not $(status_for "$work/got/$1")"
	elif grep -q '{{' "$work/got/$1"; then
		fail "$1" "a placeholder is left: $(grep -m 1 '{{' "$work/got/$1")"
	else
		pass "$1"
	fi
}

for code in $(sed -n 's/^FINDING([A-Z0-9_]*, *"\([a-z0-9-]*\)".*/\1/p' src/base/findings.def); do
	unit=$(sed -n "s/^$code[[:blank:]]*//p" $cases/unit-only.txt)
	name=FINDING_CODE_$(echo "$code" | tr 'a-z-' 'A-Z_')
	if [ -f "$cases/$code.edit" ]; then
		try "$code"
	elif [ -z "$unit" ]; then
		fail "$code" "has no case in $cases and no unit test in unit-only.txt"
	elif [ -f "$unit" ] && grep -qE "$code([^a-z0-9-]|\$)|$name([^A-Z_]|\$)" "$unit"; then
		pass "$code: in $unit"
	else
		fail "$code" "$unit does not mention it"
	fi
done

# No case of a code that is gone, and nothing expected of no case.
for file in "$cases"/*.edit "$cases"/*.expect; do
	code=$(basename "${file%.*}")
	[ -n "$(level_of "$code")" ] || fail "$code" "is in no catalogue"
	[ -f "$cases/$code.edit" ] || fail "$code" "is expected of no case"
done
finish
