#!/bin/sh
# The two example jobs: the finished one is in order and can be bound; of the unfinished one everything
# that is wrong is named, at its line, and nothing else. What was put in on purpose, and what follows
# from it, is listed in tests/suite/twin.expect.
. tests/suite/lib.sh

finished=examples/harbour-yard twin=examples/harbour-yard-twin

# Line, code, subject, number of ways of each finding of `check --json`.
findings() {
	awk '
	/^    {/ { code = subject = line = ""; ways = 0 }
	/^      "code": / { code = $2 }
	/^      "subject": / { sub(/^ *"subject": /, ""); subject = $0 }
	/^      "line": / { line = $2 }
	/^      "ways": \[$/ { inside = 1; next }
	/^      \]/ { inside = 0 }
	inside { ways++ }
	/^    }/ && code != "" { print line + 0, code, subject, ways; code = "" }
	' "$1" | tr -d '",'
}

# --- the finished one ---

expect "the finished job is in order" 0 "$PINTLE" check $finished --json
findings "$work/out" >"$work/finished"
check "nothing is open in it" test ! -s "$work/finished"
check "it says so" grep -q '"ready": true' "$work/out"
open=$(grep -c '"outcome": "open"' "$work/out")
check "no zone, point, function or check of it is open" test "$open" = 0
points=$(grep -c '"mean_peak_n"' "$work/out")
check "its force points are judged ($points)" test "$points" -ge 10
high=$(sed -n 's/.*"mean_peak_n": \([0-9.]*\).*/\1/p' "$work/out" | sort -n | tail -n 1)
low=$(sed -n 's/.*"mean_peak_n": \([0-9.]*\).*/\1/p' "$work/out" | sort -n | head -n 1)
check "their peaks are of this world ($low to $high N)" \
	awk "BEGIN { exit !($low > 150 && $high < 380) }"

expect "the finished job can be bound" 0 "$PINTLE" bind $finished --into "$work"
for document in technical-file declaration; do
	check "$document.pdf is a PDF" test "$(head -c 5 "$work/$document.pdf")" = "%PDF-"
done
check "the example itself holds nothing that was bound" test ! -e $finished/bound

examples/make-recordings.sh "$work/curves"
check "its recordings are those that the simulator makes" \
	diff -r $finished/curves "$work/curves"
check "each recording says that it is invented" \
	test "$(grep -L '^# INVENTED' $finished/curves/* $twin/curves/* | wc -l)" = 0
check "the recordings are small" test "$(du -sk $finished/curves | cut -f1)" -lt 6144

# --- the unfinished one ---

expect "the unfinished job is not in order" 1 "$PINTLE" check $twin --json
findings "$work/out" >"$work/twin"
sed 's/ [0-9]*$//' "$work/twin" | sort >"$work/twin.got"
grep -v '^#' tests/suite/twin.expect | grep . | sort >"$work/twin.want"
check "every fault of it is named, at its line, and nothing else" \
	diff "$work/twin.want" "$work/twin.got"
kinds=$(sed '/^## /,$d' tests/suite/twin.expect | awk '/^[0-9]/ { print $2 }' | sort -u | wc -l)
check "the faults are of many kinds ($kinds)" test "$kinds" -ge 16

# Codes whose words know ways have to come with one.
awk '/^  [a-z-]+:/ { code = $1 } /^    ways:/ { sub(":", "", code); print code }' \
	templates/en/findings*.yaml | sort -u >"$work/have-ways"
awk '$NF == 0 { print $2 }' "$work/twin" | sort -u >"$work/without"
check "every open point that has ways names one" \
	test -z "$(comm -12 "$work/have-ways" "$work/without")"

expect "the people's answer names as much" 1 "$PINTLE" check $twin
check "as many points" test "$(grep -c ' \[[a-z-]*\]$' "$work/out")" = "$(wc -l <"$work/twin")"
expect "it binds as a draft" 1 "$PINTLE" bind $twin --into "$work/draft"
check "without a declaration" test ! -e "$work/draft/declaration.pdf"
finish
