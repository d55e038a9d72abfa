#!/bin/sh
# Every line of the finished record matters: left out, misspelt, `?` or `unknown`, the job is no longer
# in order. Exempt are paths named in `exempt`, a tenth of all at the most; so far none needs to be.
. tests/suite/lib.sh

exempt=""
job=examples/harbour-yard
: "${SPOIL:=$BUILD/spoil}"

case $VARIANT in
asan | cov) every=100 step=15 least=200 ;;
*) every=50 step=1 least=4000 ;;
esac
if [ ! -x "$SPOIL" ]; then
	skip spoil "there is no $SPOIL"
	finish
fi
for copy in job job.0 job.1; do cp -r $job "$work/$copy"; done
# Half the samples do: what is looked for is in the record.
RATE=250 examples/make-recordings.sh "$work/job/curves"
# shellcheck disable=SC2086
"$SPOIL" "$work/job" "$PINTLE" $every --step $step $exempt >"$work/out" 2>"$work/err"
status=$?
summary=$(tail -n 1 "$work/out")
if [ $status = 0 ]; then
	pass "every spoilt line is noticed: $summary"
else
	fail "every spoilt line is noticed: $summary" "$(head -n 20 "$work/out" "$work/err")"
fi
share=$(echo "$summary" | sed -n 's/.*(\([0-9.]*\) %).*/\1/p')
check "at most a tenth is exempt" awk "BEGIN { exit !(\"$share\" != \"\" && $share + 0 <= 10) }"
tried=$(echo "$summary" | sed 's/ .*//')
check "as much of the record was tried as there is" test "${tried:-0}" -ge $least

# The test can fail: a note is needed by nothing.
sed 's/^  language: en$/&\n  note: nobody needs this/' $job/gate.yaml >"$work/job/gate.yaml"
"$SPOIL" "$work/job" "$PINTLE" 100000 --only job.note >"$work/out" 2>"$work/err"
check "a line that nothing needs is found" grep -q 'job.note left out: not noticed' "$work/out"
"$SPOIL" "$work/job" "$PINTLE" 100000 --only job.note job.note >"$work/out" 2>"$work/err"
check "an exempt line is counted" grep -q '; [1-9][0-9]* exempt went' "$work/out"
finish
