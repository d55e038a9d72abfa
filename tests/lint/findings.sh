# Every code of the catalogue has its words in every language, and every word a code.
codes=$(sed -n 's/^FINDING([A-Z0-9_]*, *"\([a-z0-9-]*\)".*/\1/p' src/base/findings.def | sort)
twice=$(echo "$codes" | uniq -d)
[ -z "$twice" ] || { echo "twice in the catalogue: $twice"; bad=1; }
for language in templates/*/; do
	# A code is the key above a message.
	words=$(cat "$language"findings*.yaml 2>/dev/null | awk '
		/^ *#/ || /^ *$/ { next }
		/^ *message:/ { print key }
		{ key = $1; sub(":", "", key) }' | sort)
	again=$(echo "$words" | uniq -d)
	[ -z "$again" ] || { echo "$language: twice: $again"; bad=1; }
	for code in $codes; do
		echo "$words" | grep -qx -- "$code" || { echo "$language: no words for $code"; bad=1; }
	done
	for word in $words; do
		echo "$codes" | grep -qx -- "$word" || { echo "$language: no code for $word"; bad=1; }
	done
done
exit "${bad:-0}"
