#!/bin/sh
# The build itself: what is built in, fonts pinned, packages, installing.
. tests/suite/lib.sh

font=$(find /usr/share/fonts -name '*.ttf' | sort | head -n 1)
name=$(basename "$font")
digest=$(sha256sum <"$font" | cut -d' ' -f1)
embed() { sh src/sys/embed.sh "$work/embed" "$work/fonts.def" "$@"; }
says() { grep -q -- "$1" "$2"; }

# Entries over one line and over several.
printf '/* FONT(file, package) */\nFONT("%s", "some-package",\n\t"%s",\n\t"licence")\n' \
	"$name" "$digest" >"$work/fonts.def"
expect "a pinned font is built in" 0 embed LICENSE
check "under its own name" says "\"fonts/$name\", embedded_data_1, $(($(wc -c <"$font")))}" \
	"$work/embed/table.c"
cp -r "$work/embed" "$work/first"
expect "once more" 0 embed LICENSE
check "the same input gives the same output" diff -r "$work/first" "$work/embed"

expect "packages are named" 0 sh src/sys/embed.sh --packages "$work/fonts.def"
check "once each" says '^some-package *$' "$work/out"

sed -i "s/$digest/$(echo "$digest" | tr 0-9a-f 1-9a-f0)/" "$work/fonts.def"
expect "a font with another digest stops the build" 1 embed LICENSE
check "and its package is named" says "$name of package some-package" "$work/err"

printf 'FONT("No-Such-Font.ttf", "other-package", "00", "licence")\n' >"$work/fonts.def"
expect "a missing font stops the build" 1 embed LICENSE
check "and the package to install is named" says "apt-get install other-package" "$work/err"

rm "$work/fonts.def"
expect "no font at all" 0 embed LICENSE
echo x >"$work/a b"
expect "a file name with a blank is refused" 1 embed "$work/a b"

bake=$PWD/build/embed/bake
printf 'a:\n  - {b: 1}\n  - {c: 2, c: 3}\n' >"$work/words.yaml"
expect "a shipped file that is no YAML stops the build" 1 sh -c "cd '$work' && '$bake' words.yaml"
check "with line and column" says '^words\.yaml:3:12: yaml-duplicate a\[2\], key: c, line: 3$' "$work/err"
check "and leaves nothing to build in" [ ! -s "$work/out" ]
expect "so does one that is not there" 1 "$bake" "$work/none.yaml"
cp templates/en/ways.yaml "$work/words.yaml"
(cd "$work" && "$bake" words.yaml >first.tree && touch words.yaml && "$bake" words.yaml >second.tree)
check "the same YAML gives the same tree" cmp "$work/first.tree" "$work/second.tree"
check "which names the file as it was given" says 'words\.yaml' "$work/first.tree"
check "and no folder" sh -c "! grep -aq / '$work/first.tree'"

expect "nothing to install, nothing to do" 0 sh tests/tools/packages.sh coreutils
if [ "$(id -u)" = 0 ] && command -v setpriv >/dev/null; then
	# The script as text: others may not read this folder.
	expect "without rights" 1 setpriv --reuid=65534 --clear-groups \
		sh -c "$(cat tests/tools/packages.sh)" _ no-such-package-a coreutils no-such-package-b
	check "the exact line is printed" says \
		"^  apt-get install -y --no-install-recommends no-such-package-a no-such-package-b\$" \
		"$work/err"
fi

if [ "$VARIANT" = release ] && [ -x "$PINTLE" ]; then
	strings -a "$PINTLE" >"$work/strings"
	if grep -F "$PWD/" "$work/strings" >"$work/paths"; then
		fail "no machine path in the program" "$(head -n 3 "$work/paths")"
	else
		pass "no machine path in the program"
	fi
fi
if [ "$VARIANT" = release ] && [ -x "$PINTLE" ] && [ -f docs/pintle.1 ]; then
	expect "install" 0 make --no-print-directory install DESTDIR="$PWD/$work/root" PREFIX=/usr
	(cd "$work/root" && find . -type f | sort) >"$work/installed"
	{
		echo ./usr/bin/pintle
		echo ./usr/share/man/man1/pintle.1
		for f in LICENSE docs/*.md docs/*.json; do
			[ ! -f "$f" ] || echo "./usr/share/doc/pintle/$(basename "$f")"
		done
	} | sort >"$work/expected"
	check "program, manual, licence, docs and nothing else" cmp "$work/installed" "$work/expected"
	expect "uninstall" 0 make --no-print-directory uninstall DESTDIR="$PWD/$work/root" PREFIX=/usr
	check "leaves no file" [ -z "$(find "$work/root" -type f)" ]
fi
finish
