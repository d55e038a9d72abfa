#!/bin/sh
# What no compiler checks: one script a rule in tests/lint/, each silent or telling what is wrong.
# Environment: BUILD, the folder with the objects of the debug variant.
set -u
failed=0
for script in tests/lint/*.sh; do
	name=$(basename "$script" .sh)
	if sh "$script" >"$BUILD/lint.log" 2>&1; then
		echo "ok lint/$name"
	else
		cat "$BUILD/lint.log"
		echo "FAILED lint/$name"
		failed=$((failed + 1))
	fi
done
[ "$failed" = 0 ] && echo "lint: in order"
exit "$((failed != 0))"
