#!/bin/sh
# Runs what `make test` built: unit tests, saved fuzz inputs, suites. One result line each, then the
# count of everything. Fails when anything failed, or when nothing ran.
#
# A suite is an executable tests/suite/*.sh, started in the top folder. Its lines "ok …", "FAILED …"
# and "skipped …" are counted; without any, the whole script counts as one.
# Environment: UNIT FUZZERS PINTLE FAILING BUILD VARIANT, set by the Makefile.
set -u
passed=0 failed=0 skipped=0

count() {
	passed=$((passed + $1)) failed=$((failed + $2)) skipped=$((skipped + $3))
}

run_unit() {
	log=$BUILD/unit.log
	"$UNIT" --timeout 120 >"$log" 2>&1
	status=$?
	line=$(sed 's/\x1b\[[0-9;]*m//g' "$log" | grep 'Synthesis: Tested:' | tail -n 1)
	tested=$(echo "$line" | sed -n 's/.*Tested: *\([0-9]*\).*/\1/p')
	passing=$(echo "$line" | sed -n 's/.*Passing: *\([0-9]*\).*/\1/p')
	: "${tested:=0}" "${passing:=0}"
	bad=$((tested - passing))
	# Criterion ends well when it ran no test at all.
	if [ "$tested" = 0 ] || { [ "$status" != 0 ] && [ "$bad" = 0 ]; }; then
		bad=$((bad + 1))
	fi
	if [ "$bad" = 0 ]; then
		echo "ok unit: $passing tests"
	else
		cat "$log"
		echo "FAILED unit: $bad of $tested tests, status $status"
	fi
	count "$passing" "$bad" 0
}

run_fuzzers() {
	for harness in $FUZZERS; do
		name=$(basename "$harness")
		log=$BUILD/fuzz/$name.log
		if "$harness" "tests/fuzz/seeds/$name" >"$log" 2>&1; then
			echo "ok fuzz/$name: $(tail -n 1 "$log")"
			count 1 0 0
		else
			tail -n 30 "$log"
			echo "FAILED fuzz/$name"
			count 0 1 0
		fi
	done
}

run_suites() {
	mkdir -p "$BUILD/suite"
	for script in tests/suite/*.sh; do
		[ -x "$script" ] || continue
		name=$(basename "$script" .sh)
		log=$BUILD/suite/$name.log
		begin=$(date +%s)
		"$script" >"$log" 2>&1 </dev/null
		status=$?
		seconds=$(($(date +%s) - begin))
		ok=$(grep -c '^ok ' "$log") bad=$(grep -c '^FAILED ' "$log")
		left=$(grep -c '^skipped ' "$log")
		if [ "$status" != 0 ] && [ "$bad" = 0 ]; then
			bad=1
		fi
		[ "$((ok + bad + left))" != 0 ] || ok=1
		if [ "$bad" = 0 ]; then
			grep '^skipped ' "$log"
			echo "ok suite/$name: $ok passed, $left skipped, $seconds s"
		else
			tail -n 200 "$log"
			echo "FAILED suite/$name: $bad failed, $ok passed, status $status, $seconds s"
		fi
		count "$ok" "$bad" "$left"
	done
}

if [ "${1:-}" != --suites-only ]; then
	run_unit
	run_fuzzers
fi
run_suites

echo "[====] Synthesis: Tested: $((passed + failed)) | Passing: $passed | Failing: $failed |" \
	"Skipped: $skipped"
echo "$passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" != 0 ]
