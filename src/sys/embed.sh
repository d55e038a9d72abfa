#!/bin/sh
# Writes what builds the library, the templates and the fonts into the program.
#
#   embed.sh FOLDER FONTS.DEF FILE…   FOLDER/data.S (the bytes) and FOLDER/table.c (the names),
#                                     fonts checked and copied to FOLDER/fonts/
#   embed.sh --packages FONTS.DEF     the packages that hold the fonts
#
# Names in the table are as given, without FOLDER/ in front; fonts are fonts/NAME. Same input, same
# output: no date, no path.
set -eu
export LC_ALL=C

# One line a font: file, package, digest. Entries may run over several lines of the file.
fonts() {
	[ -f "$1" ] || return 0
	{ tr '\n\t' '  ' <"$1" && echo; } | sed 's/FONT("/\n&/g' |
		sed -n 's/^FONT("\([^"]*\)", *"\([^"]*\)", *"\([^"]*\)".*/\1 \2 \3/p'
}

if [ "$1" = --packages ]; then
	fonts "$2" | cut -d' ' -f2 | sort -u | tr '\n' ' '
	exit 0
fi

folder=$1 definition=$2
shift 2
mkdir -p "$folder/fonts"
list=$folder/names.$$
trap 'rm -f "$folder"/*.$$' EXIT
for path; do
	echo "${path#"$folder"/} $path"
done >"$list"

fonts "$definition" >"$folder/fonts.list.$$"
while read -r name package digest; do
	path=
	for root in /usr/share/fonts /usr/local/share/fonts; do
		[ -n "$path" ] || [ ! -d "$root" ] || path=$(find "$root" -name "$name" | sort | head -n 1)
	done
	if [ -z "$path" ]; then
		echo "embed: the font $name is missing: apt-get install $package" >&2
		exit 1
	fi
	if [ "$(sha256sum <"$path" | cut -d' ' -f1)" != "$digest" ]; then
		echo "embed: the font $name of package $package is not the one pinned in $definition" >&2
		exit 1
	fi
	cmp -s "$path" "$folder/fonts/$name" || cp "$path" "$folder/fonts/$name"
	echo "fonts/$name $folder/fonts/$name" >>"$list"
done <"$folder/fonts.list.$$"
sort -o "$list" "$list"

if grep -v '^[A-Za-z0-9._/-]* [A-Za-z0-9._/-]*$' "$list" >&2; then
	echo "embed: a file name may hold only letters, digits, dot, dash and underscore" >&2
	exit 1
fi

{
	printf '\t.section .note.GNU-stack,"",%%progbits\n\t.section .rodata\n'
	n=0
	while read -r name path; do
		printf '\t.balign 16\n\t.globl embedded_data_%d\n\t.hidden embedded_data_%d\n' $n $n
		# The NUL behind the bytes lets text be used as a C string.
		printf 'embedded_data_%d:\n\t.incbin "%s"\n\t.byte 0\n' $n "$path"
		n=$((n + 1))
	done <"$list"
} >"$folder/data.S.$$"

{
	printf '#include "sys/embedded.h"\n\n'
	n=0
	while read -r name path; do
		printf 'extern const unsigned char embedded_data_%d[];\n' $n
		n=$((n + 1))
	done <"$list"
	printf '\nconst struct embedded_file embedded_files[] = {\n'
	n=0
	while read -r name path; do
		printf '\t{"%s", embedded_data_%d, %d},\n' "$name" $n "$(($(wc -c <"$path")))"
		n=$((n + 1))
	done <"$list"
	printf '\t{0, 0, 0},\n};\nconst size_t embedded_file_count = %d;\n' $n
} >"$folder/table.c.$$"

# Whole, for whoever reads them meanwhile.
mv "$folder/data.S.$$" "$folder/data.S"
mv "$folder/table.c.$$" "$folder/table.c"
