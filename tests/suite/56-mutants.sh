#!/bin/sh
# A hundred places of the formulas and of the library, each made wrong: the tests have to notice. All of them:
# `make mutants`, docs/mutants.md. PINTLE_SEED chooses others.
. tests/suite/lib.sh

if [ ! -x "$BUILD/mutants/run" ]; then
	skip "a hundred mutants" "not with VARIANT=$VARIANT"
	finish
fi
if "$BUILD/mutants/run" "$BUILD/mutants/list.tsv" tests/mutants/explained.tsv --sample 100 \
	--seed "${PINTLE_SEED:-20260610}" >"$work/out" 2>"$work/err"; then
	pass "$(tail -n 1 "$work/out")"
else
	fail "a hundred mutants" "$(cat "$work/out")" "$(tail -n 5 "$work/err")"
fi
finish
