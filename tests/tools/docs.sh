#!/bin/sh
# The papers that follow from tables of the program, into a folder: sh tests/tools/docs.sh REFERENCE FOLDER
# The manual page is written by hand but for its diagnostics, which stand between two marks.
set -eu
reference=$1 folder=$2
mkdir -p "$folder"

put() { # NAME: standard input to a file that is replaced in one step
	cat >"$folder/.$1.new"
	mv "$folder/.$1.new" "$folder/$1"
}

"$reference" record | put record-reference.md
"$reference" schema | put record.schema.json
"$reference" findings | put findings.md
"$reference" reckon | put pocket-book.md
"$reference" diagnostics >"$folder/.diagnostics"
awk -v lines="$folder/.diagnostics" '
	/^\.\\" diagnostics: end$/ { inside = 0 }
	!inside { print }
	/^\.\\" diagnostics: begin$/ {
		inside = 1
		while ((getline line <lines) > 0) print line
	}' docs/pintle.1 | put pintle.1
rm -f "$folder/.diagnostics"
