#!/bin/sh
# The face of the program: usage, exit statuses, what goes where, and that nothing around it (folder,
# locale, time zone, terminal, a full disk) changes what it says.
. tests/suite/lib.sh

work=$(cd "$work" && pwd)
pintle=$(cd "$(dirname "$PINTLE")" && pwd)/$(basename "$PINTLE")
example=$work/job
open=$work/open
cp -r examples/harbour-yard "$example"
curve=$example/curves/travel-1.csv

empty() { [ ! -s "$work/$1" ]; }
full() { [ -s "$work/$1" ]; }
said() { grep -q -- "$1" "$work/$2"; }

# NAME STATUS WHERE COMMAND…: everything it says goes to WHERE (out or err), nothing to the other
speaks() {
	where=$3
	speaks_name=$1
	speaks_status=$2
	shift 3
	expect "$speaks_name" "$speaks_status" "$@"
	case $where in
	out) check "$speaks_name: on stdout alone" eval 'full out && empty err' ;;
	err) check "$speaks_name: on stderr alone" eval 'empty out && full err' ;;
	esac
}

# ---- usage -----------------------------------------------------------------------------------------

speaks "no command" 2 err "$pintle"
speaks "help" 0 out "$pintle" --help
for command in new check curve bind explain; do
	check "help names $command" said "pintle $command" out
done
for command in new check curve bind explain; do
	speaks "$command --help" 0 out "$pintle" $command --help
done
speaks "version" 0 out "$pintle" --version
check "version and nothing else" grep -qx 'pintle [0-9][0-9a-z.+-]*' "$work/out"
speaks "licences" 0 out "$pintle" --version --licences
speaks "unknown command" 2 err "$pintle" chekc
check "a misspelt command is guessed" said check err
speaks "unknown option" 2 err "$pintle" check --jsno "$example"
speaks "option with a value it does not take" 2 err "$pintle" check --json=1 "$example"
speaks "option without its value" 2 err "$pintle" curve "$curve" --gap
speaks "too few arguments" 2 err "$pintle" check
speaks "too many arguments" 2 err "$pintle" check "$example" "$example"
speaks "no such folder" 2 err "$pintle" check "$work/none"
check "and its name is said" said "$work/none" err
speaks "no such file" 2 err "$pintle" curve "$work/none.csv"
speaks "a gap that is no length" 2 err "$pintle" curve "$curve" --gap 3N
speaks "a movement that is none" 2 err "$pintle" curve "$curve" --movement sideways
speaks "an edition that is none" 2 err "$pintle" curve "$curve" --edition 1066
speaks "a word to explain that is none" 2 err "$pintle" explain zone-opne
speaks "after -- an option is a name" 2 err "$pintle" check -- --json

# ---- exit statuses -----------------------------------------------------------------------------------

speaks "in order" 0 out "$pintle" check "$example"
speaks "the curve is within" 0 out "$pintle" curve "$curve" --movement horizontal --gap 1m
expect "a new job" 0 "$pintle" new "$open" --type sliding-cantilever
speaks "open points" 1 out "$pintle" check "$open"
check "the job is told on its first line" [ -n "$(head -n 1 "$work/out")" ]
# Up to 600 N and down again within 0.2 s, then nothing until 6 s.
awk 'BEGIN { print "Time [s];Force [N]"; for (i = -60; i < 1200; i++) {
	t = i / 200; print t ";" (t > 0 && t < 0.1 ? 6000 * t : t >= 0.1 && t < 0.2 ? 1200 - 6000 * t : 0) } }' \
	</dev/null >"$work/over.csv"
speaks "the curve is over" 1 out "$pintle" curve "$work/over.csv" --movement horizontal --gap 50mm
speaks "in free space it is not" 0 out "$pintle" curve "$work/over.csv" --movement horizontal --gap 1m
speaks "with nothing said it is" 1 out "$pintle" curve "$work/over.csv"
speaks "a barrier has no free space" 1 out "$pintle" curve "$work/over.csv" --movement parallel-axis --gap 1m
speaks "one of several is over" 1 out "$pintle" curve "$curve" "$work/over.csv"
expect "a draft" 1 "$pintle" bind "$open" --into "$work/draft"
check "has no declaration" [ ! -e "$work/draft/declaration.pdf" ]
check "but a file" [ -s "$work/draft/technical-file.pdf" ]
cp -r "$open" "$work/broken"
echo ']' >>"$work/broken/gate.yaml"
speaks "bad input" 2 err "$pintle" check "$work/broken"
expect "a folder that cannot be made" 3 "$pintle" new /dev/null/job --type sliding-cantilever
check "with a message" full err
expect "a new job does not overwrite" 2 "$pintle" new "$open" --type sliding-cantilever
expect "bind where nothing can be written" 3 "$pintle" bind "$example" --into /dev/null/bound

# ---- JSON --------------------------------------------------------------------------------------------

# Whether a file is one JSON value: RFC 8259, by a stack of what is awaited.
is_json() {
	tr '\n\t\r' '   ' <"$1" | awk '
	function skip() { sub(/^ +/, "", s) }
	function eat(re) { if (match(s, "^" re)) { s = substr(s, RLENGTH + 1); skip(); return 1 } return 0 }
	function text() { return eat("\"([^\"\\\\]|\\\\[\"\\\\/bfnrt]|\\\\u[0-9A-Fa-f][0-9A-Fa-f][0-9A-Fa-f][0-9A-Fa-f])*\"") }
	function members() {
		do { if (!text() || !eat(":") || !value()) return 0 } while (eat(","))
		return eat("}")
	}
	function elements() {
		do { if (!value()) return 0 } while (eat(","))
		return eat("\\]")
	}
	function value() {
		if (eat("\\{")) return eat("}") || members()
		if (eat("\\[")) return eat("\\]") || elements()
		return text() || eat("-?(0|[1-9][0-9]*)(\\.[0-9]+)?([eE][-+]?[0-9]+)?") || eat("(true|false|null)")
	}
	{ s = s $0 }
	END { skip(); exit !(value() && s == "") }'
}
printf '{"a": [1, -2.5e3, "x\\"y", null, {}]}' >"$work/good"
printf '{"a": [1, 2,]}' >"$work/bad"
check "the reader of JSON reads" is_json "$work/good"
check "and refuses" eval '! is_json "$work/bad"'

# NAME STATUS COMMAND…
json() {
	json_name=$1 json_status=$2
	shift 2
	expect "$json_name" "$json_status" "$@"
	check "$json_name: is JSON" is_json "$work/out"
}
json "check --json" 0 "$pintle" check --json "$example"
# 1.80E-7 + 5.50E-7 + 2.29E-7, the lowest of which is c.
tr -d ' \n' <"$work/out" >"$work/flat"
check "with the level of each safety function" \
	grep -qF '"level_required":"c","level":"c","per_hour":9.59e-7,"weakest":"control"' "$work/flat"
check "carries its format" said '"format": 1' out
check "says that it is ready" said '"ready": true' out
json "check --json of an open job" 1 "$pintle" check --json "$open"
check "says that it is not ready" said '"ready": false' out
json "check --json of a gate with a symptom" 1 "$pintle" check --json examples/harbour-yard-twin
sed -n '/^  "diagnoses": /,/^  \]/p' "$work/out" >"$work/diagnoses"
check "names the symptom" grep -q '"symptom": "reverses"' "$work/diagnoses"
check "and its likeliest cause first" \
	[ "$(sed -n 's/.*"cause": "\(.*\)",/\1/p' "$work/diagnoses" | head -n 1)" = edges-side-by-side ]
check "with the input on which it shows" grep -q '"input": "edge"' "$work/diagnoses"
check "and with the caution" grep -q '"caution": .*isolated, locked off and proved dead' "$work/diagnoses"
json "check --json of bad input" 2 "$pintle" check --json "$work/broken"
json "curve --json" 0 "$pintle" curve --json "$curve" --movement horizontal --gap 1m
json "bind --json" 0 "$pintle" bind --json "$example" --into "$work/json"

# ---- output that goes nowhere ------------------------------------------------------------------------

if [ -w /dev/full ]; then
	"$pintle" check "$example" >/dev/full 2>"$work/err"
	check "a full disk is status 3" [ $? = 3 ]
	check "and said" said "standard output" err
	"$pintle" check --json "$open" >/dev/full 2>"$work/err"
	check "with --json as well" [ $? = 3 ]
	"$pintle" --help >/dev/full 2>"$work/err"
	check "and for help" [ $? = 3 ]
else
	skip "a full disk" "there is no /dev/full"
fi
"$pintle" check "$example" >&- 2>"$work/err"
check "a closed stdout is status 3" [ $? = 3 ]
# The reader goes away: the program ends by the signal or with 3, without a word of a crash.
{ "$pintle" check "$open" 2>"$work/err"; echo $? >"$work/status"; } | true
check "a reader that goes away" grep -qxE '0|1|3|141' "$work/status"
check "no crash" eval '! grep -qiE "abort|segmentation|assert" "$work/err"'

# ---- data is no command to the terminal -------------------------------------------------------------

escape=$(printf '\033')
cp -r "$open" "$work/hostile"
sed 's/^  reference: .*/  reference: "a\\e[31mred\\a\\x7f"/; s/^  language: .*/  "la\\e[2Jng": en/' \
	"$open/gate.yaml" >"$work/hostile/gate.yaml"
expect "control characters in a record" 1 "$pintle" check "$work/hostile"
check "are shown harmless" eval '! grep -q "$escape" "$work/out" "$work/err"'
printf 'Time [s];Force\033[31m [N]\n0;0\n' >"$work/red${escape}[31m.csv"
"$pintle" curve "$work/red${escape}[31m.csv" >"$work/out" 2>"$work/err" </dev/null
check "in a file and its name as well" eval '! grep -q "$escape" "$work/out" "$work/err"'
"$pintle" "ch${escape}[31mek" >"$work/out" 2>"$work/err"
check "in an argument as well" eval '! grep -q "$escape" "$work/out" "$work/err"'
json "JSON of hostile data" 1 "$pintle" check --json "$work/hostile"
check "escapes them" eval '! grep -q "$escape" "$work/out"'

# ---- colour ------------------------------------------------------------------------------------------

"$pintle" check "$open" >"$work/out" 2>"$work/err"
check "no colour into a file" eval '! grep -q "$escape" "$work/out"'
if command -v script >/dev/null && script -qec true /dev/null >/dev/null 2>&1; then
	script -qec "$pintle check $open" /dev/null >"$work/out" 2>&1 </dev/null
	check "weight on a terminal" grep -q "$escape\[1m" "$work/out"
	NO_COLOR=1 script -qec "$pintle check $open" /dev/null >"$work/out" 2>&1 </dev/null
	check "none with NO_COLOR" eval '! grep -q "$escape" "$work/out"'
	tr -d '\r' <"$work/out" >"$work/plain"
	check "and the same words" said 'job.reference' plain
else
	skip "colour on a terminal" "there is no script"
fi

# ---- folder, locale, time zone ------------------------------------------------------------------------

# A locale with a decimal comma, where one can be made.
comma=de_DE.UTF-8
if command -v localedef >/dev/null && localedef -i de_DE -f UTF-8 "$work/$comma" >/dev/null 2>&1; then
	LOCPATH=$work
	export LOCPATH
	check "the locale has a decimal comma" [ "$(LC_ALL=$comma locale decimal_point)" = , ]
elif locale -a 2>/dev/null | grep -q '^de_DE.utf8$'; then
	check "the locale has a decimal comma" [ "$(LC_ALL=$comma locale decimal_point)" = , ]
else
	skip "a decimal comma" "there is no locale of the kind; it is set all the same"
fi

cd "$work" || exit 1
"$pintle" check job >plain.out 2>plain.err
"$pintle" check --json open >plain.json
(cd / && "$pintle" check "$example") 2>&1 | sed "s#$work/##" >other
check "check from another folder" cmp -s plain.out other
(cd open && "$pintle" check --json .) | sed 's#"\./#"#; s#"gate.yaml#"open/gate.yaml#' >other
sed 's#"\./#"#' plain.json >here
check "check from within the job" cmp -s here other
for setting in "LC_ALL=$comma" "LC_NUMERIC=$comma LC_ALL=" "LANG=tr_TR.UTF-8 LC_ALL=" TZ=Pacific/Kiritimati HOME= \
	"TERM=dumb COLUMNS=20"; do
	# shellcheck disable=SC2086
	env $setting "$pintle" check job >other 2>&1
	check "check with $setting" cmp -s plain.out other
	# shellcheck disable=SC2086
	env $setting "$pintle" curve job/curves/edge-50-low.txt >other 2>&1
	"$pintle" curve job/curves/edge-50-low.txt >here 2>&1
	check "curve with $setting" cmp -s here other
done

"$pintle" bind job --into one >one.out 2>&1
check "bound" [ -s one/technical-file.pdf ]
check "and declared" [ -s one/declaration.pdf ]
same() { # NAME FOLDER
	check "bind: $1" diff -r one "$2"
}
"$pintle" bind job --into two >/dev/null 2>&1
same "a second time" two
"$pintle" bind job --into two >/dev/null 2>&1
same "over what was there" two
mkdir -p "far away/ñ"
cp -r job "far away/ñ/copy"
(cd "far away" && "$pintle" bind ñ/copy --into "$work/three") >/dev/null 2>&1
same "in another folder" three
env LC_ALL=$comma LC_NUMERIC=$comma TZ=Pacific/Kiritimati HOME=/nonexistent USER=x \
	"$pintle" bind job --into four >/dev/null 2>&1
same "with another locale, time zone and user" four
env -i "$pintle" bind job --into five >/dev/null 2>&1
same "without an environment" five
(umask 077 && "$pintle" bind job --into six) >/dev/null 2>&1
same "with another umask" six
touch -d 2001-01-01 job/gate.yaml job/photos/* job/curves/*
"$pintle" bind job --into seven >/dev/null 2>&1
same "with other times of the files" seven
finish
