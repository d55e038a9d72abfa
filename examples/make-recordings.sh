#!/bin/sh
# Makes up the force recordings of all examples again, byte for byte, from the simulator. Nothing
# was measured. With a folder as argument only those of harbour-yard are written, there, and with a
# second one those of quillmere-house; RATE sets the samples a second of the first.
set -eu
cd "$(dirname "$0")/.."
into=${1:-examples/harbour-yard/curves}
twin=examples/harbour-yard-twin/curves
swing=${2:-examples/quillmere-house/curves}
simulate=build/simulate
mkdir -p build "$into"
${CC:-cc} -std=c11 -D_GNU_SOURCE -O2 -ffp-contract=off -o $simulate tests/tools/simulate.c -lm

make_up() { # FILE OPTION VALUE…
	file=$1
	shift
	$simulate --mass 380 --brake 700 --reaction 70 --switch 10 --name "Harbour Yard, $file" \
		"$@" >"$into/$file"
}

# Near the end of closing the leaf runs slowly. The edge is stiffer where it is held at its lower end.
seed=10
for gap in 50 300 500; do
	case $gap in
	50) ending=txt dialect=tab ;;
	300) ending=csv dialect=semicolon ;;
	500) ending=csv dialect=comma ;;
	esac
	for place in low:13 mid:11.5 high:10.5; do
		seed=$((seed + 1))
		make_up "edge-$gap-${place%:*}.$ending" --dialect $dialect --speed 0.16 \
			--stiffness "${place#*:}" --seed $seed --repeats 3 --rate "${RATE:-500}"
	done
done
# In free space, at full speed: one file a recording, from a logger that writes decanewtons.
for k in 1 2 3; do
	make_up travel-$k.csv --dialect decanewton --speed 0.20 --stiffness 11.5 --seed $((30 + k)) \
		--rate "${RATE:-1000}"
done
[ $# != 1 ] || exit 0

# The swing gate. At the free end a leaf is as heavy as a third of it, and the ram pushes through its
# short lever. Two leaves that meet close faster on what is between them than one alone.
mkdir -p "$swing"
swing_up() { # FILE OPTION VALUE…
	file=$1
	shift
	$simulate --mass 32 --thrust 90 --brake 120 --reaction 60 --repeats 3 --rate 500 \
		--name "Quillmere House, $file, a third of the leaf, at its free end" "$@" >"$swing/$file"
}
edge="--switch 7 --soft 31 --friction 60"
bare="--switch 2 --soft 8 --friction 20 --stiffness 60 --dialect tab"
seed=200
# shellcheck disable=SC2086
for leaf in leaf-1:0.16 leaf-2:0.16 leaf-1:0.20:-both leaf-2:0.20:-both; do
	both=${leaf#leaf-?:0.??} both=${both#:} speed=${leaf#leaf-?:} speed=${speed%%:*} leaf=${leaf%%:*}
	for gap in 50 300 500; do
		for place in low:18 mid:14.5 high:16; do
			seed=$((seed + 1))
			swing_up "$leaf-$gap-${place%:*}$both.csv" $edge --dialect comma --speed "$speed" \
				--stiffness "${place#*:}" --seed $seed
		done
	done
	seed=$((seed + 1))
	swing_up "$leaf-closing$both.txt" $edge --dialect tab --speed 0.18 --stiffness 14.5 --seed $seed
	swing_up "$leaf-opening$both.txt" $bare --speed 0.20 --seed $((seed + 50))
done
# shellcheck disable=SC2086
{
	swing_up leaf-2-pillar.txt $bare --speed 0.18 --seed 301
	swing_up leaf-2-pillar-both.txt $bare --speed 0.18 --seed 302
}
[ $# = 0 ] || exit 0

# The unfinished one: most are the same, some went wrong.
for file in edge-50-low.txt edge-50-mid.txt travel-1.csv travel-2.csv travel-3.csv; do
	cp "$into/$file" "$twin/$file"
done
sed 's/Force 1/Force/; /^#/!s/,[^,]*,[^,]*$//' "$into/edge-500-high.csv" |
	head -n 900 >"$twin/cut-short.csv"
cp "$into/edge-500-high.csv" "$twin/edge-500-high.csv"
into=$twin
usual="--repeats 3 --rate 500"
# shellcheck disable=SC2086
{
	make_up edge-50-high.txt --dialect tab --speed 0.24 --stiffness 13 --seed 71 $usual
	make_up edge-300-low.csv --dialect semicolon --speed 0.198 --stiffness 13.3 --seed 82 $usual
	make_up edge-300-mid.csv --dialect semicolon --speed 0.20 --stiffness 13.5 --seed 72 $usual
	make_up edge-500-mid.csv --dialect comma --speed 0.16 --pause 5400 --friction 176 --stiffness 11.5 \
		--seed 73 $usual
}
