#!/bin/sh
# Makes the pictures of the finished examples from the drawings, and two papers of one. The pictures
# are kept in the tree, since their digests are on record. With a folder as argument only those of
# harbour-yard are made, there. Needs rsvg-convert and ImageMagick's convert; another version of them
# may give other bytes.
set -eu
cd "$(dirname "$0")"
export SOURCE_DATE_EPOCH=1770595200

make_pictures() { # DRAWINGS INTO
	mkdir -p "$2/photos" "$2/papers"
	for drawing in "$1"/*.svg; do
		name=$(basename "$drawing" .svg)
		case $name in
		paper-*) rsvg-convert -f pdf -o "$2/papers/${name#paper-}.pdf" "$drawing" ;;
		drive | ram | release | plate)
			rsvg-convert -w 720 "$drawing" | convert png:- -colorspace Gray -strip -quality 82 "$2/photos/$name.jpg"
			;;
		*)
			rsvg-convert -w 720 "$drawing" | convert png:- -colorspace Gray -strip -depth 4 \
				-define png:compression-level=9 "$2/photos/$name.png"
			;;
		esac
	done
}

make_pictures drawings "${1:-harbour-yard}"
[ $# = 0 ] || exit 0
make_pictures drawings/quillmere-house quillmere-house
