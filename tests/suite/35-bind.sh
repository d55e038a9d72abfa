#!/bin/sh
# The documents of the finished example: archival, whole, the same bytes wherever they are made, quickly.
. tests/suite/lib.sh

example=examples/harbour-yard
pages=20        # at the least
milliseconds=150
kibibytes=65536

expect "the finished example binds" 0 "$PINTLE" bind "$example" --into "$work/first"
file=$work/first/technical-file.pdf
declaration=$work/first/declaration.pdf
n=$(pdfinfo "$file" 2>/dev/null | sed -n 's/^Pages: *//p')
check "the technical file has $pages pages or more ($n)" [ "${n:-0}" -ge "$pages" ]

# qpdf, embedded fonts, missing glyphs, poppler without a word, PDF/A-1b by Preflight
if tests/tools/pdfcheck.sh "$file" "$declaration" >"$work/pdfcheck" 2>&1; then
	pass "qpdf, fonts, glyphs, poppler and PDF/A-1b Preflight: $(tail -n 1 "$work/pdfcheck")"
else
	fail "qpdf, fonts, glyphs, poppler and PDF/A-1b Preflight" "$(cat "$work/pdfcheck")"
fi

# ---- the same bytes --------------------------------------------------------------------------------

mkdir -p "$work/else where"
cp -r "$example" "$work/else where/job"
pintle=$(cd "$(dirname "$PINTLE")" && pwd)/$(basename "$PINTLE")
(
	cd "$work/else where" || exit 1
	LC_ALL=de_DE.UTF-8 LC_NUMERIC=de_DE.UTF-8 TZ=Pacific/Auckland "$pintle" bind job --into ../second
) >"$work/out" 2>"$work/err"
for name in technical-file declaration; do
	check "$name.pdf: the same bytes in another folder, locale and time zone" \
		cmp "$work/first/$name.pdf" "$work/second/$name.pdf"
done

# ---- what it says ------------------------------------------------------------------------------------

pdftotext -layout "$declaration" "$work/declaration.txt" 2>/dev/null
# Directive 2006/42/EC, Annex II, 1, A: ten items.
for item in 1 2 3 4 5 6 7 8 9 10; do
	check "the declaration has item $item" grep -q "^ *$item  " "$work/declaration.txt"
done
pdftotext "$file" "$work/file.txt" 2>/dev/null
check "no placeholder is left in the documents" \
	sh -c "! cat '$work/file.txt' '$work/declaration.txt' | grep -q '[{][{]'"
# EN ISO 13849-1: contactor of 1 300 000 operations at 22 000 a year; by hand 590.9 years, of which 100 count.
for said in 'MTTFd = B10d / (0.1 · nop) = 1 300 000 / (0.1 · 22 000 a year) = 590.9 years' \
	'1.80E-7 + 5.50E-7 + 2.29E-7 = 9.59E-7 1/h' 'level c reached, c required; weakest: control'; do
	check "the steps of a safety function: $said" grep -qF "$said" "$work/file.txt"
done
check "no document says that the gate is safe" \
	sh -c "! tr '\n' ' ' <'$work/file.txt' | grep -Eiq 'the gate (is|was) (safe|in order)|gate conforms|is compliant'"

expect "an unfinished job binds as a draft" 1 "$PINTLE" bind examples/harbour-yard-twin --into "$work/draft"
check "and has no declaration" [ ! -e "$work/draft/declaration.pdf" ]
pdftotext "$work/draft/technical-file.pdf" "$work/draft.txt" 2>/dev/null
drafts=$(grep -c '^Draft: ' "$work/draft.txt")
n=$(pdfinfo "$work/draft/technical-file.pdf" 2>/dev/null | sed -n 's/^Pages: *//p')
check "every one of its $n pages says that it is a draft" [ "$drafts" -ge "${n:-1000}" ]

# From the register to the next heading: the symptom, its cause, and the caution.
tr '\n' ' ' <"$work/draft.txt" | sed 's/.*What explains it, the most likely first//' >"$work/symptom"
check "the symptom stands under the register with its cause" \
	grep -q 'edges side by side on an input for one resistor.*isolated, locked off and proved dead' "$work/symptom"

# A declaration of before does not outlive the draft.
cp "$declaration" "$work/draft/declaration.pdf"
expect "bound again over an old declaration" 1 "$PINTLE" bind examples/harbour-yard-twin --into "$work/draft"
check "which is taken away" [ ! -e "$work/draft/declaration.pdf" ]

# ---- time and memory ---------------------------------------------------------------------------------

if [ "$VARIANT" = release ]; then
	# The least of many runs is what the program takes; a busy machine gets more tries.
	for try in 1 2 3 4 5 6 7 8; do
		set -- $("$BUILD/measure" "$pintle" bind "$example" --into "$work/third")
		[ "${1:-9999}" -ge "$milliseconds" ] || break
		sleep 3
	done
	check "bind takes ${1:-?} ms, under $milliseconds" [ "${1:-9999}" -lt "$milliseconds" ]
	check "bind takes ${2:-?} KiB, under $kibibytes" [ "${2:-99999999}" -lt "$kibibytes" ]
else
	skip "time and memory" "only the release variant is measured"
fi
finish
