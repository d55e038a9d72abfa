#!/bin/sh
# pdfcheck.sh FILE.pdf…: what must hold of every document. Syntax (qpdf), fonts embedded (pdffonts), no
# missing glyph (mutool), nothing to complain about for a second reader (poppler), PDF/A-1b for all files in
# one start of Java. A line for each fault; fails when there is one.
set -u
here=$(dirname "$0")
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
bad=0

fault() {
	echo "pdfcheck: $1: $2"
	bad=1
}

[ "$#" != 0 ] || { echo "pdfcheck: no file" >&2; exit 1; }
for file in "$@"; do
	qpdf --check "$file" >"$work/qpdf" 2>&1 || fault "$file" "qpdf: $(tail -n 1 "$work/qpdf")"

	# Columns count from the right, since names of fonts may hold blanks.
	if pdffonts "$file" >"$work/fonts" 2>"$work/errors"; then
		awk 'NR > 2 && $(NF - 4) != "yes" { print $1; bad = 1 } END { exit bad }' "$work/fonts" \
			>"$work/loose" || fault "$file" "not embedded: $(tr '\n' ' ' <"$work/loose")"
	fi
	pdftotext "$file" "$work/text" 2>>"$work/errors"
	pdfinfo -struct "$file" >/dev/null 2>>"$work/errors"
	pdftoppm -r 20 "$file" "$work/page" 2>>"$work/errors"
	[ ! -s "$work/errors" ] || fault "$file" "poppler: $(head -n 1 "$work/errors")"

	mutool trace "$file" >"$work/trace" 2>/dev/null || fault "$file" "mutool cannot read it"
	# A subset has no names of glyphs; then mutool gives the number, and 0 is the sign for a missing one.
	! grep -Eq 'glyph="(\.notdef|0)"' "$work/trace" || fault "$file" "a glyph is missing"
	grep -q '<g unicode=' "$work/trace" || fault "$file" "no text at all"
done

"$here/preflight.sh" "$work/preflight" "$@" >"$work/verdicts" || {
	bad=1
	grep -v '^valid ' "$work/verdicts"
}
[ "$bad" != 0 ] || echo "pdfcheck: $# in order"
exit "$bad"
