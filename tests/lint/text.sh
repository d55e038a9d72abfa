# Blanks, line ends, line length, machine paths, notes to oneself.
files=$(git ls-files | grep -vE '\.(png|jpg|jpeg|pdf|ttf)$|^tests/fuzz/seeds/|^tests/bad/|^tests/published/') ||
	exit 1
tell() { # WHAT, then lines on stdin
	sed "s/\$/   <- $1/" | cut -c1-160 | grep . && return 0
	return 1
}
code=$(echo "$files" | grep -E '\.([ch]|sh|def|awk)$|^Makefile$')
data=$(echo "$files" | grep -E '\.(ya?ml|md)$')
ours=$(echo "$files" | grep -E '^(src|tests|hazards|templates|docs|Makefile|\.ci|[A-Z]+\.md)' |
	grep -E '\.([ch]|sh|def|awk|ya?ml|md|1)$|^Makefile$|^\.ci/')
# shellcheck disable=SC2086
{
	grep -nE '[[:space:]]+$' $ours | tell 'blanks at the end' && bad=1
	grep -nE '^ +[^ *]' $(echo "$code" | grep -E '\.[ch]$') | tell 'indent with tabs' && bad=1
	grep -nP '^ *\t' $data | tell 'indent with blanks' && bad=1
	grep -nP '\r' $ours | tell 'carriage return' && bad=1
	# Tabs count eight.
	for f in $(echo "$code" | grep -E '\.[ch]$'); do
		expand "$f" | awk -v f="$f" '{ n = $0; gsub(/[\200-\277]/, "", n) }
			length(n) > 120 { print f ":" FNR ": " length(n) " columns" }'
	done | tell 'at most 120' && bad=1
	# Put together here so that this file does not find itself.
	grep -nE "(^|[^A-Za-z0-9_.])/(work|home|root|tmp)/" $ours |
		grep -vE '^tests/lint/|^Makefile:' | tell 'a path of one machine' && bad=1
	grep -nE '\b(TODO|FIXME|XXX|HACK)\b' $ours | grep -v '^tests/lint/' | tell 'not done' && bad=1
}
exit "${bad:-0}"
