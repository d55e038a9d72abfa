#!/bin/sh
# The papers a person reads: they say first what they must, leave nothing out, and fit the program.
. tests/suite/lib.sh

# --- README ----------------------------------------------------------------------------------------

# The first paragraph on one line: the first block that is neither blank nor a heading.
first=$(awk '/^#/ { next } NF { on = 1; printf "%s ", $0; next } on { exit }' README.md)
for word in 'powered gate' installer landlord inspector signs evidence 'technical file' declaration; do
	case $first in
	*"$word"*) pass "the first paragraph of the README names: $word" ;;
	*) fail "the first paragraph of the README names: $word" "$first" ;;
	esac
done
case $first in
'Pintle is the tool of the person who signs for a powered gate.'*) pass "the first paragraph is the job" ;;
*) fail "the first paragraph is the job" "$first" ;;
esac
order=$(awk '/can kill/ && !kill { kill = FNR } /competent person/ && !person { person = FNR }
	/never says that a gate is safe/ && !safe { safe = FNR }
	/^    make demo$/ { demo = FNR } /^    make test$/ { test = FNR }
	END { print (kill && kill < person && person < safe && safe < demo && demo + 1 == test) }' README.md)
check "cautions come before the two commands, make demo and make test" [ "$order" = 1 ]

# Every picture that is shown is there, small, and every one that is there is shown; every link leads on.
grep -oE '\]\([^)#]+\)' README.md | tr -d '])(' | sort -u >"$work/links"
while read -r link; do
	case $link in
	http*) ;;
	*) check "the README's link leads on: $link" [ -f "$link" ] ;;
	esac
done <"$work/links"
for picture in docs/pictures/*.png; do
	check "$picture is shown" grep -qE "(docs/)?pictures/$(basename "$picture")" README.md docs/examples.md
	check "$picture is at most 150 KB" [ "$(wc -c <"$picture")" -le 153600 ]
done
for page in docs/*.md; do
	for link in $(grep -oE '\]\([a-zA-Z0-9./-]+\)' "$page" | tr -d '])('); do
		check "a link of $page leads on: $link" [ -f "docs/$link" ]
	done
done

# --- findings --------------------------------------------------------------------------------------

sed -n 's/^FINDING([A-Z0-9_]*, *"\([a-z0-9-]*\)".*/\1/p' src/base/findings.def | sort >"$work/codes"
check "codes are found in the catalogue" [ "$(wc -l <"$work/codes")" -gt 100 ]
sed -n 's/^### //p' docs/findings.md | sort >"$work/explained"
check "docs/findings.md explains each code once, and no other" cmp -s "$work/codes" "$work/explained"
sed -n '/^\.\\" diagnostics: begin/,/^\.\\" diagnostics: end/{s/\\-/-/g;s/^\.B //p;}' docs/pintle.1 |
	sort >"$work/listed"
check "the manual page lists each code once, and no other" cmp -s "$work/codes" "$work/listed"

# --- commands and options ----------------------------------------------------------------------------

"$PINTLE" --help >"$work/help"
sed 's/\\-/-/g; s/\\f[BRIP]//g' docs/pintle.1 >"$work/manual"
if command -v groff >/dev/null; then
	groff -man -Tascii -ww -z docs/pintle.1 2>"$work/groff"
	check "the manual page is clean" [ ! -s "$work/groff" ]
else
	skip "the manual page is clean" "groff is not there; lint looks at it"
fi
sed -n 's/^  pintle \([a-z]*\) .*/\1/p' "$work/help" >"$work/commands"
check "commands are found in the usage" [ "$(wc -l <"$work/commands")" -ge 5 ]
while read -r command; do
	check "the manual page knows the command $command" grep -q "pintle $command" "$work/manual"
	check "the user guide knows the command $command" grep -q "pintle $command" docs/user-guide.md
done <"$work/commands"
for option in $(grep -oE -- '--[a-z][a-z-]*' "$work/help" | sort -u); do
	check "the manual page knows the option $option" grep -q -- "$option" "$work/manual"
	check "the user guide knows the option $option" grep -q -- "$option" docs/user-guide.md
done
# And the other way round: no paper names a command or option that is not there.
sed 's/\\-/-/g' docs/pintle.1 | cat - README.md docs/user-guide.md | grep -oE 'pintle [a-z]+' | sort -u |
	sed 's/^pintle //' | grep -vxFf "$work/commands" >"$work/strange"
# Words that follow the name in running text.
grep -vxE 'keeps|after|name|only|says' "$work/strange" >"$work/unknown"
check "no paper names a command that is not there" [ ! -s "$work/unknown" ]

# --- method ----------------------------------------------------------------------------------------

# Each id that the method page cites is one of the library, the catalogue, the record or the program.
grep -oE '`[a-z]+(-[a-z0-9]+)+`' docs/method.md | tr -d '`' | sort -u >"$work/ids"
check "ids are found in the method page" [ "$(wc -l <"$work/ids")" -gt 40 ]
while read -r id; do
	grep -rqF -- "$id" hazards src/base src/model src/calc || echo "$id"
done <"$work/ids" >"$work/strange"
check "the method page cites only ids that are there" [ ! -s "$work/strange" ]
# A value that it quotes is the one in force.
while read -r id value; do
	"$PINTLE" explain "$id" >"$work/out" 2>&1
	if grep -qE "(^|[^0-9.])$value( |\$)" "$work/out" && grep -F "\`$id\`" docs/method.md | grep -qF "$value"; then
		pass "the method page quotes $id as it is: $value"
	else
		fail "the method page quotes $id as it is: $value" "$(cat "$work/out")"
	fi
done <<-END
	static-force 150 N
	static-time 0.75 s
	end-force 25 N
	total-time 5 s
	sample-rate 200 Hz
	baseline-force 5 N
	finger-gap 8 mm
	hold-to-run-speed 0.5 m/s
	reach-height 2.5 m
	beam-lowest 300 mm
END

# --- made from tables ------------------------------------------------------------------------------

if [ -x "$BUILD/reference" ]; then
	sh tests/tools/docs.sh "$BUILD/reference" "$work/made"
	for file in record-reference.md record.schema.json findings.md pocket-book.md pintle.1; do
		golden "docs/$file is what the tables say (else: make docs)" "docs/$file" "$work/made/$file"
	done
	expect "the generator refuses a paper it does not make" 2 "$BUILD/reference" poem
else
	fail "the generator of the references was built" "$BUILD/reference"
fi

# --- examples --------------------------------------------------------------------------------------

# The commands of EXAMPLES, in order, in an empty folder; edge.csv is a recording of the example.
sed -n '/^\.SH EXAMPLES/,/^\.SH DIAGNOSTICS/{s/\\-/-/g;/^pintle /p;}' docs/pintle.1 >"$work/examples"
check "the manual page has examples" [ "$(wc -l <"$work/examples")" -ge 6 ]
here=$(pwd) program=$(realpath "$PINTLE")
mkdir -p "$work/try"
recording=$(find examples/harbour-yard/curves -name '*300*' | sort | head -n 1)
cp "$recording" "$work/try/edge.csv"
cd "$work/try" || exit 1
while read -r line; do
	# A job that was only begun has open points, and of it a draft is bound.
	case $line in
	'pintle check'* | 'pintle bind'*) due=1 ;;
	*) due=0 ;;
	esac
	sh -c "pintle() { \"$program\" \"\$@\"; }; $line" >out 2>err </dev/null
	got=$?
	if [ "$got" = "$due" ] && [ -s out ]; then
		pass "example runs: $line"
	else
		fail "example runs: $line" "status $got, not $due" "$(head -n 3 err)"
	fi
done <"$here/$work/examples"
cd "$here" || exit 1

# --- what no paper may say -------------------------------------------------------------------------

# A gate "is safe" or "conforms" only behind a "never says", in a quoted title of a paper, or as a question.
grep -nEi '\b(gate|leaf|zone|it) (is|are|was) (safe|compliant|certified)\b|\bgate (conforms|complies)\b' \
	README.md docs/*.md docs/pintle.1 | grep -viE 'never says' >"$work/claims"
if [ -s "$work/claims" ]; then
	fail "no paper says that a gate is safe or conforms" "$(cat "$work/claims")"
else
	pass "no paper says that a gate is safe or conforms"
fi
finish
