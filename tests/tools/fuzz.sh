#!/bin/sh
# fuzz.sh SECONDS FLAGS LIBRARIES HARNESS.c…: clang's fuzzer on each harness in turn. New inputs stay in
# build/fuzz/corpus/; what crashed is kept in build/fuzz/ and belongs into tests/fuzz/seeds/ with its fix.
set -eu
seconds=$1 flags=$2 libraries=$3
shift 3
objects=
for source in $(find src -name '*.c' ! -path src/cli/main.c ! -path src/yaml/bake.c | sort) build/embed/table.c; do
	object=build/fuzz/${source%.c}.o
	mkdir -p "$(dirname "$object")"
	if [ ! -f "$object" ] || [ -n "$(find src build/embed -newer "$object" -name '*.[ch]' | head -n 1)" ]; then
		# shellcheck disable=SC2086
		clang $flags -c -o "$object" "$source"
	fi
	objects="$objects $object"
done
clang -c -o build/fuzz/data.o build/embed/data.S
for harness in "$@"; do
	name=$(basename "$harness" .c)
	# shellcheck disable=SC2086
	clang $flags -fsanitize=fuzzer -o "build/fuzz/$name" "$harness" $objects build/fuzz/data.o $libraries
	mkdir -p "build/fuzz/corpus/$name"
	dictionary=
	[ ! -f "tests/fuzz/$name.dict" ] || dictionary=-dict=tests/fuzz/$name.dict
	# shellcheck disable=SC2086
	"build/fuzz/$name" -max_total_time="$seconds" -timeout=10 -rss_limit_mb=1024 -print_final_stats=1 \
		-artifact_prefix="build/fuzz/$name-" $dictionary \
		"build/fuzz/corpus/$name" "tests/fuzz/seeds/$name"
done
