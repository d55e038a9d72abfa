#!/bin/sh
# coverage.sh FOLDER: lines reached per source, from the counts that a run left in FOLDER.
set -eu
find "$1/src" -name '*.gcda' | sort | while read -r f; do
	gcov -n "$f" 2>/dev/null
done | awk '
	/^File / { file = $2; gsub("\047", "", file); next }
	/^Lines executed/ && file ~ /^src\/.*\.c$/ {
		split($0, part, /[:%]/)
		n = $NF
		printf "%6.1f %% of %5d  %s\n", part[2], n, file
		reached += part[2] * n / 100
		all += n
	}
	{ file = "" }
	END { if (all) printf "%6.1f %% of %5d  all\n", 100 * reached / all, all }'
