#!/bin/sh
# The pocket book through the program: every figure of tests/published, every example, and what it says to calls
# that are wrong.
. tests/suite/lib.sh

if "$BUILD/reckon_cli" rows "$PINTLE" >"$work/rows"; then pass "rows"; else cat "$work/rows"; fail "rows"; fi
grep '^ok ' "$work/rows"
if "$BUILD/reckon_cli" calls "$PINTLE" >"$work/calls"; then pass "calls"; else cat "$work/calls"; fail "calls"; fi
grep '^ok ' "$work/calls"
expect "alone it lists them" 0 "$PINTLE" reckon
check "by family" [ "$(grep -c '^[A-Z]' "$work/out")" -ge 3 ]
expect "a name that is none" 2 "$PINTLE" reckon peek-force mass=300kg
check "is guessed or refused on stderr" [ -s "$work/err" ]
finish
