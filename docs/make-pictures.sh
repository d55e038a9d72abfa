#!/bin/sh
# The pictures of the README: real pages of the finished example, and real screens of a terminal. Run by
# `make docs-pictures`. Needs poppler-utils, tmux, ImageMagick and the font Liberation Mono; says so when
# one is missing. PINTLE, EXAMPLE, TWIN and BUILD may be given.
set -eu
pintle=${PINTLE:-build/pintle} example=${EXAMPLE:-examples/harbour-yard} build=${BUILD:-build}
pictures=docs/pictures
work=$build/pictures
for tool in pdftoppm pdftotext tmux convert; do
	command -v "$tool" >/dev/null || {
		echo "make-pictures: $tool is needed: apt-get install poppler-utils tmux imagemagick fonts-liberation2" >&2
		exit 2
	}
done
twin=${TWIN:-examples/harbour-yard-twin} swing=${SWING:-examples/quillmere-house}
rm -rf "$work"
if [ ! -f "$twin/gate.yaml" ]; then
	twin=$work/yard-gate
	"$pintle" new "$twin" --type sliding-cantilever >/dev/null
fi
mkdir -p "$work/bound" "$pictures"
regular=$(fc-match -f '%{file}' 'Liberation Mono:style=Regular')
bold=$(fc-match -f '%{file}' 'Liberation Mono:style=Bold')

# Few shades of grey, and nothing in the file that changes from run to run.
save() { # IN OUT
	convert "$1" -strip -colorspace Gray -depth 4 -define png:compression-level=9 \
		-define png:exclude-chunks=date,time "$pictures/$2.png"
}

# The first page of a document that holds a heading, behind the contents, which end before the cautions.
page_with() { # PDF HEADING
	pages=$(pdfinfo "$1" | sed -n 's/^Pages: *//p')
	page=1 behind=
	while [ "$page" -le "$pages" ]; do
		pdftotext -layout -f "$page" -l "$page" "$1" "$work/page.txt"
		! grep -Eq '^ *[0-9]+ +Cautions$' "$work/page.txt" || behind=1
		if [ "$behind" ] && grep -Eq "^ *[0-9.]+ +$2" "$work/page.txt"; then
			echo "$page"
			return
		fi
		page=$((page + 1))
	done
	echo "make-pictures: no page of $1 holds: $2" >&2
	exit 1
}

page() { # PDF PAGE OUT
	pdftoppm -r 84 -gray -png -singlefile -f "$2" -l "$2" "$1" "$work/$3"
	convert "$work/$3.png" -bordercolor '#999999' -border 1 "$work/$3-framed.png"
	save "$work/$3-framed.png" "$3"
}

# Every page of a document on one sheet.
sheet() { # PDF OUT
	mkdir -p "$work/$2"
	pdftoppm -r 13 -gray -png "$1" "$work/$2/page"
	montage "$work/$2"/page*.png -tile 13x -geometry +3+3 -background '#999999' "$work/$2.png"
	save "$work/$2.png" "$2"
}

# A screen of 96 columns. What does not fit in between is left out where "…" stands alone.
screen() { # OUT HEAD TAIL COMMAND
	tmux -L pintle-pictures -f /dev/null new-session -d -x 96 -y 3000 -s "$1" \
		"PS1= sh -c '$4; tmux -L pintle-pictures wait-for -S shown; sleep 60'"
	tmux -L pintle-pictures wait-for shown
	sleep 0.3
	tmux -L pintle-pictures capture-pane -p -e -t "$1" >"$work/$1.all"
	tmux -L pintle-pictures kill-session -t "$1"
	{
		echo "\$ $4"
		awk 'NF { last = FNR } { line[FNR] = $0 } END { for (i = 1; i <= last; i++) print line[i] }' \
			"$work/$1.all" >"$work/$1.full"
		if [ "$(wc -l <"$work/$1.full")" -le $(($2 + $3 + 2)) ]; then
			cat "$work/$1.full"
		else
			head -n "$2" "$work/$1.full"
			echo "…"
			tail -n "$3" "$work/$1.full"
		fi
	} >"$work/$1.text"
	escape=$(printf '\033')
	blank=$(printf "\302\240") # lines of blanks at the beginning would not be drawn
	# What is bold stands at the beginning of its line; the two faces are drawn one over the other.
	sed "s/^$escape\[1m\([A-Za-z]*\).*/\1/; t; s/.*/$blank/" "$work/$1.text" >"$work/$1.bold"
	sed "s/^$escape\[1m\([A-Za-z]*\)/\1$escape/" "$work/$1.text" |
		awk -v e="$escape" '{ n = index($0, e)
			if (n > 1 && $0 ~ "^[A-Za-z]+" e) $0 = sprintf("%*s", n - 1, "") substr($0, n + 1)
			gsub(e "\\[[0-9;]*m", ""); gsub(e, ""); print }' >"$work/$1.regular"
	lines=$(wc -l <"$work/$1.text")
	convert -size "820x$((lines * 19 + 40))" xc:white -fill black -pointsize 14 -interline-spacing 1 \
		-font "$regular" -annotate +12+22 "$(sed 's/[\\%]/&&/g' "$work/$1.regular")" \
		-font "$bold" -annotate +12+22 "$(sed 's/[\\%]/&&/g' "$work/$1.bold")" \
		-trim -bordercolor white -border 12 -bordercolor '#999999' -border 1 "$work/$1.png"
	save "$work/$1.png" "$1"
}

"$pintle" bind "$example" --into "$work/bound" >/dev/null || [ $? = 1 ]
file=$work/bound/technical-file.pdf
page "$file" 1 cover
drawings=$(page_with "$file" 'Elevation')
zone=$(page_with "$file" 'Zone 1 ')
curves=$(page_with "$file" 'Curves')
page "$file" "$drawings" drawings
page "$file" "$zone" zone
page "$file" "$((curves + 1))" curves
[ ! -f "$work/bound/declaration.pdf" ] || page "$work/bound/declaration.pdf" 1 declaration

"$pintle" bind "$swing" --into "$work/swing" >/dev/null || [ $? = 1 ]
plan=$(page_with "$work/swing/technical-file.pdf" 'Plan')
page "$work/swing/technical-file.pdf" "$plan" swing-plan
"$pintle" draw "$swing" --into "$work/swing" >/dev/null
convert -density 110 "$work/swing/clearance-leaf-lamp-pillar-leaf-2.svg" -bordercolor '#999999' -border 1 "$work/gap-chart.png"
save "$work/gap-chart.png" gap-chart
for record in examples/*/gate.yaml; do
	job=$(basename "$(dirname "$record")")
	"$pintle" bind "examples/$job" --into "$work/$job" >/dev/null || [ $? = 1 ]
	sheet "$work/$job/technical-file.pdf" "sheet-$job"
done

path=$(cd "$(dirname "$pintle")" && pwd)
PATH=$path:$PATH
export PATH
screen check 24 5 "pintle check ${twin:-$example}"
screen curve 12 6 "pintle curve $(cd "$example" && find curves -name 'edge-300-mid*' | sort |
	sed "s|^|$example/|" | head -n 1) --movement horizontal --gap 300mm"
screen reckon 40 4 'pintle reckon separation approach=normal time=320ms resolution=14mm'
screen explain 24 4 'pintle explain static-force'
ls -l "$pictures" | awk 'NR > 1 { print $5, $NF }'
