#!/bin/sh
# Every label that the builders of documents name has its words, and no word lies there unused.
. tests/suite/lib.sh

# Keys of the groups `labels` and `labels-doc`, and of the latter alone.
keys() {
	awk -v groups="$1" '/^[a-z]/ { on = index(groups, " " $1) }
		on && /^  "?[a-z0-9-]+"?:/ { gsub(/[":]/, "", $1); print $1 }' \
		templates/en/labels.yaml templates/en/labels-doc.yaml | sort -u
}
keys " labels: labels-doc:" >"$work/have"
keys " labels-doc:" >"$work/own"

# String arguments of label(), of tables and of heads of columns; a call may go over several lines.
tr -s '\n\t ' '   ' <src/doc/builder.c >"$work/source"
cat src/doc/block_*.c src/doc/plan*.c src/doc/declaration.c | tr -s '\n\t ' '   ' >>"$work/source"
echo >>"$work/source"
{
	sed 's/label\(_with\)\{0,1\}(/\n&/g' "$work/source" | sed -nE '
		s/^label(_with)?\(([vc]->)?b, ("[a-z0-9-]+").*/\3/p
		s/^label(_with)?\(([vc]->)?b, [^?;]*\? *("[a-z0-9-]+") *: *("[a-z0-9-]+").*/\3\n\4/p'
	grep -oE '(table_add|facts_table|items_table)\(b, "[a-z0-9-]+"' "$work/source" |
		grep -oE '"[a-z0-9-]+"'
	grep -oE '\{"[a-z0-9-]+", [0-9.]+, [0-9]+, ALIGN' "$work/source" | grep -oE '"[a-z0-9-]+"'
} | tr -d '"' | sort -u >"$work/named"

check "labels are found in the sources" [ "$(wc -l <"$work/named")" -gt 150 ]
comm -23 "$work/named" "$work/have" >"$work/missing"
if [ -s "$work/missing" ]; then
	fail "every label has words" $(cat "$work/missing")
else
	pass "every label has words"
fi

# Groups that are put together from an id: each id that the program or the library has.
for key in standing-published standing-practice standing-memory standing-firm outcome-open \
	outcome-answered outcome-absent title-technical-file title-declaration step-design \
	step-safeguard step-information step-none cited-paper cited-photo cited-point cited-check \
	cited-function need-holds need-device need-function need-force need-check need-evidence \
	need-with part-site part-drive part-control summary-site summary-drive summary-control \
	summary-plan summary-elevation caption-plan caption-elevation decided-none decided-maker decided-rate \
	decided-annex-k decided-simplified decided-both decided-sum decided-lowest decided-series; do
	echo "$key"
done | sort -u >"$work/made"
comm -23 "$work/made" "$work/have" >"$work/missing"
if [ -s "$work/missing" ]; then
	fail "every label made of an id has words" $(cat "$work/missing")
else
	pass "every label made of an id has words"
fi

sort -u "$work/named" "$work/made" | comm -13 - "$work/own" >"$work/unused"
if [ -s "$work/unused" ]; then
	fail "no words lie unused" $(cat "$work/unused")
else
	pass "no words lie unused"
fi

# Bodies of the types, and the kinds of what stands around.
awk 'FNR == 1 { on = 0 } /^    [a-z]/ { on = /^    bodies:/ }
	on && /^      - \{?id:/ { gsub(/[,}]/, "", $3); print $3 }' hazards/types-*.yaml |
	sort -u >"$work/bodies"
kinds=$(sed -nE 's/.*WORD\("gate.bodies\[\]\.kind", "([a-z|]+)".*/\1/p' src/model/field.c)
echo "$kinds" | tr '|' '\n' >>"$work/bodies"
sort -u -o "$work/bodies" "$work/bodies"
awk '/^  [a-z0-9-]+: [^ ]/ { sub(":", "", $1); print $1 }' templates/en/bodies.yaml | sort -u >"$work/body-words"
check "bodies are found in the types" [ "$(wc -l <"$work/bodies")" -gt 90 ]
comm -23 "$work/bodies" "$work/body-words" >"$work/missing"
if [ -s "$work/missing" ]; then
	fail "every body has words" $(cat "$work/missing")
else
	pass "every body has words"
fi
comm -13 "$work/bodies" "$work/body-words" >"$work/unused"
if [ -s "$work/unused" ]; then
	fail "no words of bodies lie unused" $(cat "$work/unused")
else
	pass "no words of bodies lie unused"
fi
finish
