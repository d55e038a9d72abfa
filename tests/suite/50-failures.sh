#!/bin/sh
# Makes memory and files fail at one call after the other while the program works. Whatever fails, the
# program ends with a message and status 3 (or 2 when what could not be read is input), or it
# answers exactly as without the failure; no crash, no leak, the job untouched, no half-written file.
#
# FAIL_RUNS is the number of calls tried in each sweep (20): spread evenly over all calls of the kind.
# FAIL_RUNS=1000000 tries every one. FAIL_JOB is the job that is used.
. tests/suite/lib.sh

runs=${FAIL_RUNS:-20}
job=${FAIL_JOB:-examples/harbour-yard}

case $VARIANT in
asan | cov) skip failures "the $VARIANT variant has its own allocator or writes at exit"; finish ;;
esac
if [ ! -x "$PINTLE" ] || [ ! -d "$job" ]; then
	skip failures "there is no $PINTLE or no $job"
	finish
fi
listed() { "$PINTLE" --help 2>/dev/null | grep -qw -- "$1"; }

# Copies, so that nothing else changes them meanwhile.
cp "$PINTLE" "$work/pintle"
PINTLE=$work/pintle
cp -r "$job" "$work/job"
into=$work/into
mkdir -p "$into" "$work/plain"
state() { (cd "$work/job" && find . -type f -exec sha256sum {} + | sort); }
state >"$work/state"

# VARIABLE=VALUE COMMAND…: one run under the preloaded library; sets $status
run() {
	setting=$1
	shift
	rm -f "$work/leak" "$work/count"
	env LD_PRELOAD="$PWD/$FAILING" "$setting" FAIL_LEAK_FILE="$work/leak" \
		FAIL_COUNT_FILE="$work/count" "$@" >"$work/out" 2>"$work/err" </dev/null
	status=$?
}

# What is wrong with the run just made; nothing when all is well.
fault() {
	if [ "$status" = "$plain" ] && cmp -s "$work/out" "$work/plain.out"; then
		:
	elif [ "$status" = 2 ] && [ "$kind" != alloc ]; then
		# Input that could not be read is a finding, among the results or before them.
		grep -qF '[file-' "$work/out" "$work/err" || echo "status 2 without a finding on a file"
	elif [ "$status" = 3 ]; then
		# A write that fails may be that of the message itself, and the last close that of stderr.
		[ -s "$work/err" ] || [ "$kind" = write ] || [ "$kind$n" = "close$total" ] ||
			echo "status $status without a message"
	else
		echo "status $status, without failure $plain, or another answer"
	fi
	if [ ! -s "$work/leak" ]; then
		echo "did not end by itself"
	elif [ "$(cat "$work/leak")" != "0 0" ]; then
		echo "leaks: $(cat "$work/leak") (allocations, bytes)"
	fi
	find "$work/job" "$into" -name '*.tmp' | sed 's/^/left behind: /'
	state | cmp -s - "$work/state" || echo "the job was changed"
	for old in "$into"/*; do
		[ -f "$old" ] || continue
		name=$(basename "$old")
		[ "$(head -c 9 "$old" | tr -d '\0')" = "old file" ] || cmp -s "$old" "$work/plain/$name" ||
			echo "$name is neither the old nor the new one"
	done
}

# Files for the run to replace.
old_files() {
	for new in "$work"/plain/*; do
		[ -f "$new" ] && echo "old file" >"$into/$(basename "$new")"
	done
}

# NAME KIND TOTAL COMMAND…: fails calls 1, 1 + step, … of the kind
sweep() {
	name=$1 kind=$2 total=$3
	shift 3
	[ "$total" -gt 0 ] || return 0
	step=$(((total + runs - 1) / runs)) n=1 tried=0 bad=0
	while [ "$n" -le "$total" ]; do
		old_files
		if [ "$kind" = alloc ]; then
			run "FAIL_ALLOC=$n" "$@"
		else
			run "FAIL_IO=$n:$kind" "$@"
		fi
		wrong=$(fault)
		if [ -n "$wrong" ]; then
			bad=$((bad + 1))
			[ "$bad" -gt 3 ] || fail "$name: $kind $n of $total" "$wrong" \
				"$(head -n 3 "$work/err")"
			find "$work/job" "$into" -name '*.tmp' -delete
		fi
		n=$((n + step)) tried=$((tried + 1))
	done
	if [ "$bad" = 0 ]; then
		pass "$name: $tried of $total calls of $kind failed in turn"
	elif [ "$bad" -gt 3 ]; then
		fail "$name: $bad of $tried failures of $kind end badly"
	fi
}

# NAME COMMAND…: all sweeps over a command
sweeps() {
	command=$1
	shift
	run NONE=1 "$@"
	plain=$status
	cp "$work/out" "$work/plain.out"
	rm -f "$work"/plain/*
	find "$into" -type f -exec cp {} "$work/plain/" \;
	if [ "$plain" -gt 1 ] || [ ! -s "$work/count" ]; then
		fail "$command: works without failures" "status $plain" "$(head -n 5 "$work/err")"
		return
	fi
	if [ "$(cat "$work/leak")" = "0 0" ]; then
		pass "$command: leaks nothing"
	else
		fail "$command: leaks nothing" "$(cat "$work/leak") (allocations, bytes)"
	fi
	totals=$(cat "$work/count")
	for each in alloc read write fsync close open rename; do
		sweep "$command" "$each" \
			"$(echo "$totals" | sed "s/.*$each \([0-9]*\).*/\1/")" "$@"
	done
}

curve=$(find "$work/job/curves" -type f 2>/dev/null | sort | head -n 1)
for name in curve check bind; do
	if ! listed $name; then
		skip $name "the program has no such command"
		continue
	fi
	case $name in
	curve) [ -z "$curve" ] || sweeps curve "$PINTLE" curve "$curve" ;;
	check) sweeps check "$PINTLE" check "$work/job" ;;
	bind) sweeps bind "$PINTLE" bind "$work/job" --into "$into" ;;
	esac
done
finish
