#!/bin/sh
# preflight.sh FOLDER FILE.pdf…: PDF/A-1b by PDFBox Preflight, all files in one start of Java. A line a
# file, "valid" or its errors; fails unless every file is valid. FOLDER is for its lists and results.
set -eu
folder=$1
shift
jars=/usr/share/java
classes=
for jar in preflight xmpbox pdfbox2 fontbox2 commons-logging javax.activation jaxb-api; do
	[ -f "$jars/$jar.jar" ] || { echo "preflight: $jars/$jar.jar is missing" >&2; exit 1; }
	classes=$classes:$jars/$jar.jar
done
mkdir -p "$folder"
rm -f "$folder"/*.pdf "$folder"/*.xml
# The results are written beside the files, so copies are judged.
for file in "$@"; do
	copy=$folder/$(echo "$file" | tr '/' '_')
	cp "$file" "$copy"
	echo "$copy"
done >"$folder/list"
java -Djava.io.tmpdir="$folder" -Dpdfbox.fontcache="$folder" -cp "${classes#:}" org.apache.pdfbox.preflight.Validator_A1b \
	xml batch "$folder/list" >"$folder/log" 2>&1 || true

bad=0
while read -r copy; do
	result=$copy.preflight.xml
	if [ -s "$result" ] && grep -q '<isValid[^>]*>true</isValid>' "$result"; then
		echo "valid $(basename "$copy")"
	else
		echo "not valid $(basename "$copy"):"
		sed -n 's/.*<code>\(.*\)<\/code>.*/    \1/p; s/.*<details>\(.*\)<\/details>.*/      \1/p' \
			"$result" 2>/dev/null | head -n 20
		bad=1
	fi
done <"$folder/list"
[ "$#" != 0 ] && exit $bad
echo "preflight: no file" >&2
exit 1
