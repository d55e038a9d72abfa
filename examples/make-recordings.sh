#!/bin/sh
# Makes up the force recordings of the finished example again, byte for byte, from the simulator. Nothing
# was measured. With a folder as argument they are written there instead (the test of the examples does).
set -eu
cd "$(dirname "$0")/.."
into=${1:-examples/harbour-yard/curves}
simulate=build/simulate
mkdir -p build "$into"
${CC:-cc} -std=c11 -D_GNU_SOURCE -O2 -ffp-contract=off -o $simulate tests/tools/simulate.c -lm

make_up() { # FILE OPTION VALUE…
	file=$1
	shift
	$simulate --mass 380 --brake 700 --reaction 70 --switch 10 "$@" --name "Harbour Yard, $file" >"$into/$file"
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
			--stiffness "${place#*:}" --seed $seed --repeats 3 --rate 500
	done
done
# In free space, at full speed: one file a recording, from a logger that writes decanewtons.
for k in 1 2 3; do
	make_up travel-$k.csv --dialect decanewton --speed 0.20 --stiffness 11.5 --seed $((30 + k)) --rate 1000
done
