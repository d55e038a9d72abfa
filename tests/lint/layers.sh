# Who may include whom, by tests/layers.txt; and foreign headers only where they belong.
find src -name '*.[ch]' | sort | xargs awk '
	FNR == NR && /^foreign: / { next }
	FILENAME == rules && /^[a-z]+:/ && !/^(pure|exempt|foreign):/ {
		layer = $1; sub(":", "", layer); known[layer] = 1; may[layer, layer] = 1
		for (i = 2; i <= NF; i++) may[layer, $i] = 1
		next
	}
	FILENAME == rules { next }
	{ split(FILENAME, part, "/"); from = part[2] }
	FNR == 1 && !(from in known) { print FILENAME ": " from " is no layer"; bad = 1 }
	/^[ \t]*#[ \t]*include[ \t]*"/ {
		split($0, quoted, "\""); n = split(quoted[2], to, "/")
		if (n < 2) { print FILENAME ":" FNR ": include by layer: " quoted[2]; bad = 1 }
		else if (!((from, to[1]) in may)) {
			print FILENAME ":" FNR ": " from " may not include " quoted[2]; bad = 1
		}
	}
	END { exit bad }' rules=tests/layers.txt tests/layers.txt || bad=1

sed -n 's/^foreign: //p' tests/layers.txt | while read -r header where; do
	pattern=$(echo "$header" | sed 's/\./\\./; s/\*/[a-z_]*/')
	grep -rnE "^[[:space:]]*#[[:space:]]*include[[:space:]]*<$pattern>" src | while IFS= read -r line; do
		file=${line%%:*}
		eval "case $file in $where) ;; *) echo \"$line: only in $where\" ;; esac"
	done
done | grep . && bad=1
exit "${bad:-0}"
