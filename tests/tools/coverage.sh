#!/bin/sh
# coverage.sh FOLDER: what a run reached, from the counts that it left in FOLDER. Lines per source; branches of
# src/calc, of which all have to be taken, those that were not each with its place; lines of src/assess and
# src/rule, of which 95 % have to be reached. Ends with 1 where that is not so.
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
		split(file, folder, "/")
		folder_reached[folder[2]] += part[2] * n / 100
		folder_all[folder[2]] += n
	}
	{ file = "" }
	END {
		if (!all) { print "no counts: nothing was run"; exit 1 }
		printf "%6.1f %% of %5d  all\n\n", 100 * reached / all, all
		for (i = split("assess rule", wanted, " "); i > 0; i--) {
			name = wanted[i]
			share = folder_all[name] ? 100 * folder_reached[name] / folder_all[name] : 0
			printf "%6.2f %% of %5d  lines of src/%s, over 95 are asked for\n", share, folder_all[name], name
			if (share <= 95) bad = 1
		}
		exit bad
	}' || bad=1

# A branch that the compiler made counts as well; no line is left out.
for f in "$1"/src/calc/*.gcda; do
	gcov -b -c -t "$f" 2>/dev/null
done | awk '
	/^ *-: *0:Source:/ { file = $0; sub(/.*Source:/, "", file); next }
	/^branch/ {
		if (file !~ /^src\/calc\/.*\.c$/) next
		all++
		if ($3 == "taken" && $4 > 0) { taken++; next }
		printf "branch not taken: %s:%d: %s\n", file, line, text
		next
	}
	/^ *[^:]*: *[0-9]+:/ {
		split($0, part, ":")
		line = part[2] + 0
		text = $0
		sub(/^[^:]*:[^:]*:[ \t]*/, "", text)
	}
	END {
		printf "%6.2f %% of %5d  branches of src/calc, 100 are asked for\n", all ? 100 * taken / all : 0, all
		exit !(all && taken == all)
	}' || bad=1
exit "${bad:-0}"
