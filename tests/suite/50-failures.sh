#!/bin/sh
# Makes memory and files fail at one call after the other while the program works. Whatever fails, the
# program ends with a message and status 3 (or 2 when what could not be read is input), or it
# answers exactly as without the failure; no crash, no leak, the job untouched, no half-written file.
#
# On a small job every call of read, write, flush, close, open and rename fails in turn, and so does each that
# writes to the disk on the finished example. Where a line is given as "N of M", that many are tried: the first
# of them (allocations: 300), the rest spread evenly. 52-sweep.sh fails every allocation, by component.
#
# FAIL_RUNS is the number spread (20); FAIL_RUNS=1000000 tries every one. FAIL_JOB is the finished job.
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
# Copies, so that nothing else changes them meanwhile.
cp "$PINTLE" "$work/pintle"
PINTLE=$work/pintle
preload=$PWD/$FAILING
top=$work

# A record as `new` writes it, with one each of what is read beside it.
small_job() { # FOLDER
	"$PINTLE" new "$1" --type sliding-cantilever >/dev/null || return 1
	cp "$job"/photos/edge.png "$job"/photos/plate.jpg "$1/photos/"
	cp "$job"/papers/calibration.txt "$1/papers/"
	cp "$job"/curves/edge-50-low.txt "$1/curves/"
	cp "$job"/library/*.yaml "$1/library/"
	point="id: p, zone: main-edge@leaf-1, direction: closing, gap: 50 mm, height: 50 mm"
	sed -e "s|^  points: \[\]|  points: [{$point, recordings: ['curves/edge-50-low.txt#1']}]|" \
		-e 's|^papers: unknown|papers: [{id: p, file: papers/calibration.txt}]|' \
		-e 's|^photos: unknown|photos: [{id: a, file: photos/edge.png}, {id: b, file: photos/plate.jpg}]|' \
		"$1/gate.yaml" >"$1/edited" && mv "$1/edited" "$1/gate.yaml"
	[ "$(grep -c 'file: p\|edge-50-low.txt#1' "$1/gate.yaml")" -ge 3 ]
}

# Each lane works in a folder of its own, on its own copies.
lane() { # NAME
	work=$top/$1
	into=$work/into
	mkdir -p "$into" "$work/plain"
	cp -r "$job" "$work/job"
	small_job "$work/small" || fail "a small job is made"
	state >"$work/state"
}

state() {
	(cd "$work" && find job small -type f -exec sha256sum {} + | sort)
}

# SETTING COMMAND…: one run under the preloaded library; sets $status
run() {
	setting=$1
	shift
	rm -f "$work/leak" "$work/count"
	env LD_PRELOAD="$preload" "$setting" FAIL_LEAK_FILE="$work/leak" \
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
	else
		read -r left bytes <"$work/leak"
		[ "$left" = 0 ] || echo "leaks: $left allocations, $bytes bytes"
	fi
	find "$work/job" "$work/small" "$into" -name '*.tmp' -exec echo left behind: {} \; \
		-o -path "$into" -prune -o -newer "$work/state" -exec echo changed: {} \;
	for old in "$into"/*; do
		[ -f "$old" ] || continue
		name=${old##*/}
		first=
		[ "$replaces" = no ] || read -r first <"$old"
		[ "$first" = "old file" ] || cmp -s "$old" "$work/plain/$name" ||
			echo "$name is neither the old nor the new one"
	done
}

# What the run finds where it writes: files to replace, or nothing.
set_out() {
	if [ "$replaces" = no ]; then
		rm -rf "$into"
		mkdir "$into"
		return
	fi
	for new in "$work"/plain/*; do
		[ -f "$new" ] && echo "old file" >"$into/${new##*/}"
	done
}

# FIRST SPREAD TOTAL: the numbers of the calls to be failed
points() {
	awk -v first="$1" -v spread="$2" -v total="$3" 'BEGIN {
		for (n = 1; n <= total && n <= first; n++) print n
		step = (total - first) / spread
		if (step < 1) step = 1
		for (x = first + 1; x <= total; x += step) print int(x)
	}'
}

# NAME KIND TOTAL FIRST COMMAND…: fails the first calls of the kind, then $runs spread over the rest
sweep() {
	name=$1 kind=$2 total=$3 first_calls=$4
	shift 4
	[ "$total" -gt 0 ] || return 0
	tried=0 bad=0
	for n in $(points "$first_calls" "$runs" "$total"); do
		set_out
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
			find "$work/job" "$work/small" "$into" -name '*.tmp' -delete
		fi
		tried=$((tried + 1))
	done
	state | cmp -s - "$work/state" || bad=$((bad + 1))
	if [ "$bad" = 0 ]; then
		pass "$name: $tried of $total calls of $kind failed in turn"
	else
		fail "$name: $bad of $tried failures of $kind end badly, or the job was changed"
	fi
}

# NAME ALL FIRST COMMAND…: all sweeps over a command. ALL names the kinds of which every call fails; FIRST is
# how many allocations from the first one.
sweeps() {
	command=$1 all=" $2 " first_allocs=$3
	shift 3
	replaces=yes
	[ "${command%% *}" != new ] || replaces=no
	rm -rf "$into" "$work/plain"
	mkdir "$into" "$work/plain"
	run NONE=1 "$@"
	plain=$status
	cp "$work/out" "$work/plain.out"
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
		number=$(echo "$totals" | sed "s/.*$each \([0-9]*\).*/\1/")
		case $all in
		*" $each "*) first_tried=$number ;;
		*) first_tried=0 ;;
		esac
		[ "$each" != alloc ] || first_tried=$first_allocs
		sweep "$command" "$each" "$number" "$first_tried" "$@"
	done
}

every="read write fsync close open rename"

one() {
	lane one
	sweeps "bind, a small job" "$every" 300 "$PINTLE" bind "$work/small" --into "$into"
	sweeps "bind, the example" "write fsync rename" 0 "$PINTLE" bind "$work/job" --into "$into"
}

two() {
	lane two
	curve=$(find "$work/job/curves" -type f | sort | head -n 1)
	sweeps "curve" "$every" 0 "$PINTLE" curve "$curve"
	sweeps "new" "$every" 0 "$PINTLE" new "$into" --like "$work/small"
	sweeps "check, a small job" "read fsync close open rename" 300 "$PINTLE" check "$work/small"
	sweeps "check, the example" "write" 0 "$PINTLE" check "$work/job"
}

one >"$top/one.log" 2>&1 &
two >"$top/two.log" 2>&1
wait
cat "$top/one.log" "$top/two.log"
failures=$(cat "$top/one.log" "$top/two.log" | grep -c '^FAILED')
finish
