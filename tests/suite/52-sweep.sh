#!/bin/sh
# Fails every allocation of every component in turn (tests/tools/sweep.c): each run ends by the arena's
# escape or with the same answer as without failure, and leaves nothing allocated or open.
. tests/suite/lib.sh

sweep=$BUILD/sweep
if [ ! -x "$sweep" ]; then
	skip sweep "the $VARIANT variant has its own allocator or writes at exit"
	finish
fi
cp "$sweep" "$work/sweep"

# Two processes at a time, with about the same work for each.
lane() { # NAME COMPONENT…
	log=$1
	shift
	mkdir "$work/$log"
	"$work/sweep" "$work/$log" "$@" >"$work/$log.out" 2>&1
	echo "status $?" >>"$work/$log.out"
}
long=$("$work/sweep" | grep -x 'assess\|document')
rest=$("$work/sweep" | grep -vx 'assess\|document')
# shellcheck disable=SC2086
lane one $long &
# shellcheck disable=SC2086
lane two $rest
wait
cat "$work/one.out" "$work/two.out" >"$work/out"

for component in $long $rest; do
	line=$(grep "^OK $component: " "$work/out")
	if [ -n "$line" ]; then
		pass "${line#OK }"
	else
		fail "$component" "$(grep "^BAD\|^$component: " "$work/out" | head -n 12)"
	fi
done
check "both end well" [ "$(grep -c '^status 0$' "$work/out")" = 2 ]
finish
