# Every shell script parses; suites can be started.
for f in $(git ls-files '*.sh' .ci/run); do
	[ -f "$f" ] || continue
	case $(head -n 1 "$f") in
	*bash) bash -n "$f" || bad=1 ;;
	*) sh -n "$f" || bad=1 ;;
	esac
done
for f in $(git ls-files 'tests/suite/*.sh'); do
	[ ! -f "$f" ] || [ -x "$f" ] || [ "$f" = tests/suite/lib.sh ] || {
		echo "$f is not executable, so it never runs"
		bad=1
	}
done
exit "${bad:-0}"
