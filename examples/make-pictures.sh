#!/bin/sh
# Makes the pictures of the finished example from the drawings, and two of its papers. The pictures
# are kept in the tree, since their digests are on record. Needs rsvg-convert and ImageMagick's
# convert; another version of them may give other bytes.
set -eu
cd "$(dirname "$0")"
into=${1:-harbour-yard}
mkdir -p "$into/photos" "$into/papers"
export SOURCE_DATE_EPOCH=1770595200
for drawing in drawings/*.svg; do
	name=$(basename "$drawing" .svg)
	case $name in
	paper-*) rsvg-convert -f pdf -o "$into/papers/${name#paper-}.pdf" "$drawing" ;;
	drive | release | plate)
		rsvg-convert -w 720 "$drawing" | convert png:- -colorspace Gray -strip -quality 82 "$into/photos/$name.jpg"
		;;
	*)
		rsvg-convert -w 720 "$drawing" | convert png:- -colorspace Gray -strip -depth 4 \
			-define png:compression-level=9 "$into/photos/$name.png"
		;;
	esac
done
