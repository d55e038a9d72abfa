# Files of at most 1000 lines, functions of at most 80; and no function that only grows.
git ls-files 'src/*.[ch]' 'tests/*.[ch]' | while read -r f; do
	[ -f "$f" ] || continue
	lines=$(wc -l <"$f")
	[ "$lines" -le 1000 ] || echo "$f: $lines lines, at most 1000"
done | grep . && bad=1
if command -v ctags >/dev/null; then
	git ls-files 'src/*.c' 'tests/*.c' | xargs ls 2>/dev/null |
		ctags -f - --fields=+ne --kinds-C=f -L - 2>/dev/null |
		awk -F'\t' '{
			line = end = 0
			for (i = 4; i <= NF; i++) {
				if ($i ~ /^line:/) line = substr($i, 6)
				if ($i ~ /^end:/) end = substr($i, 5)
			}
			if (end && end - line + 1 > 80) {
				print $2 ":" line ": " $1 " has " end - line + 1 " lines, at most 80"
				bad = 1
			}
		} END { exit bad }' || bad=1
fi
exit "${bad:-0}"
