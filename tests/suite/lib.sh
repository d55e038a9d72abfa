# For the suites: `. tests/suite/lib.sh` first. Gives an empty folder $work, $PINTLE, and the result
# lines that tests/run.sh counts. Not executable, so that it does not run as a suite itself.
set -u
export LC_ALL=C
: "${BUILD:=build/release}" "${PINTLE:=build/pintle}" "${VARIANT:=release}"
suite=$(basename "$0" .sh)
work=$BUILD/suite/$suite
rm -rf "$work"
mkdir -p "$work"

pass() { # NAME
	echo "ok $suite: $1"
}

fail() { # NAME [DETAIL…]
	echo "FAILED $suite: $1"
	shift
	for line in "$@"; do printf '    %s\n' "$line"; done
	failures=$((${failures:-0} + 1))
}

skip() { # NAME WHY
	echo "skipped $suite: $1: $2"
}

check() { # NAME CONDITION…: passes when the command does
	check_name=$1
	shift
	if "$@"; then pass "$check_name"; else fail "$check_name" "$*"; fi
}

# NAME STATUS COMMAND…: output to $work/out and $work/err
expect() {
	expect_name=$1 expect_status=$2
	shift 2
	"$@" >"$work/out" 2>"$work/err" </dev/null
	expect_got=$?
	if [ "$expect_got" = "$expect_status" ]; then
		pass "$expect_name"
	else
		fail "$expect_name" "status $expect_got, not $expect_status: $*" \
			"$(head -n 5 "$work/err")"
	fi
}

# NAME EXPECTED GOT: two files alike; GOLDEN_UPDATE=1 rewrites the expected one
golden() {
	if [ "${GOLDEN_UPDATE:-}" = 1 ]; then
		mkdir -p "$(dirname "$2")"
		cp "$3" "$2"
	fi
	if cmp -s "$2" "$3"; then
		pass "$1"
	else
		fail "$1" "$2 and $3 differ" "$(diff -u "$2" "$3" 2>&1 | head -n 20)"
	fi
}

# Last line of a suite.
finish() {
	[ "${failures:-0}" = 0 ]
	exit $?
}
