#!/bin/sh
# Our units against GNU units, over random values from a seed, each from one
# unit to another; and what people type against the npm package js-quantities.
. "$SRC/tests/lib.sh"

here=$SRC/tests/reference
many=12 # values of each pair of units
LC_ALL=C
export LC_ALL

# What we call a unit, and what GNU units does; # stands for the number. Turns
# are a bare number with us and an angle there, so they are counted there.
cat >"$SCRATCH/units.tsv" <<'EOT'
volts	V	#V
volts	mV	#mV
volts	uV	#uV
volts	kV	#kV
amps	A	#A
amps	mA	#mA
amps	uA	#uA
ohms	ohm	#ohm
ohms	kohm	#kohm
ohms	Mohm	#Mohm
ohms	mohm	#mohm
ohms	uohm	#uohm
farads	F	#F
farads	mF	#mF
farads	uF	#uF
farads	nF	#nF
farads	pF	#pF
henries	H	#H
henries	mH	#mH
henries	uH	#uH
hertz	Hz	#Hz
hertz	kHz	#kHz
turns	rpm	#/min
time	s	#s
time	ms	#ms
time	us	#us
time	min	#min
time	h	#hour
time	day	#day
share	%	#*0.01
degrees	degC	tempC(#)
degrees	degF	tempF(#)
degrees	K	#K
power	W	#W
power	kW	#kW
power	hp	#hp
charge	Ah	#A*hour
charge	mAh	#mA*hour
charge	coulomb	#coulomb
energy	J	#J
energy	kJ	#kJ
energy	Wh	#W*hour
energy	kWh	#kW*hour
length	m	#m
length	cm	#cm
length	mm	#mm
length	km	#km
length	in	#inch
length	ft	#foot
length	mile	#mile
area	mm2	#mm^2
area	cm2	#cm^2
area	kcmil	#kcircularmil
speed	km/h	#km/hour
speed	mph	#mph
speed	m/s	#m/s
torque	N m	#N*m
torque	lbf in	#lbf*inch
torque	lbf ft	#lbf*foot
force	N	#N
force	lbf	#lbf
mass	kg	#kg
mass	lb	#lb
density	A/mm2	#A/mm^2
cable	ohm/km	#ohm/km
cable	mohm/m	#mohm/m
cable	ohm/m	#ohm/m
cable	ohm/kft	#ohm/(1000*foot)
load	ohm/V	#ohm/V
load	kohm/V	#kohm/V
speed-volt	rpm/V	#/min/V
torque-amp	N m/A	#N*m/A
EOT

# Every pair within a kind; every wire size.
awk -F '\t' -v many="$many" -v seed=20260611 -v dir="$SCRATCH" '
function any(low, high) { return low * exp(rand() * log(high / low)) }
function there(i, x,   t) { t = gnu[i]; sub(/#/, x, t); return t }
# To a function like tempC one converts by its name.
function wanted(i,   t) {
	t = gnu[i]
	if (t ~ /\(#\)$/) { sub(/\(#\)/, "", t); return t }
	return there(i, "1")
}
function ask(text, unit, have, want) {
	print text "\t" unit >dir "/ours.in"
	print have >dir "/gnu.in"; print want >dir "/gnu.in"
}
{ kind[NR] = $1; ours[NR] = $2; gnu[NR] = $3 }
END {
	srand(seed)
	for (i = 1; i <= NR; i++)
		for (j = 1; j <= NR; j++)
			for (k = 0; k < many && kind[i] == kind[j]; k++) {
				x = sprintf("%.*g", 1 + int(rand() * 12), any(1e-3, 1e5))
				ask(x " " ours[i], ours[j], there(i, x), wanted(j))
			}
	for (n = -3; n <= 40; n++) {
		name = n < 1 ? 1 - n "/0 AWG" : n " AWG"
		ask(name, "mm2", "pi/4*awg(" n ")^2", "mm^2")
		ask(name, "kcmil", "pi/4*awg(" n ")^2", "kcircularmil")
	}
}' "$SCRATCH/units.tsv"

"$BUILD/tests/units_main" <"$SCRATCH/ours.in" >"$SCRATCH/ours.out"
same "our program reads all" 0 "$?"
# The answers alone; one program, asked everything at once.
units -q -t --digits 15 <"$SCRATCH/gnu.in" >"$SCRATCH/gnu.out" 2>"$SCRATCH/gnu.err"
same "GNU units complains" "" "$(cat "$SCRATCH/gnu.err")"
paste "$SCRATCH/ours.in" "$SCRATCH/gnu.out" "$SCRATCH/ours.out" >"$SCRATCH/pairs.tsv"
# Near the zero of its scale a temperature has fewer digits left.
far=$(awk -F '\t' '{
	apart = $3 - $4; size = $3; if (size < 0) size = -size
	if (apart < 0) apart = -apart
	near = 1e-12 * size; if ($2 ~ /^deg/) near = 1e-9 + 1e-12 * size
	if (!($3 ~ /^-?[0-9.]/ && $4 ~ /^-?[0-9.]/ && apart <= near)) print
}' "$SCRATCH/pairs.tsv")
same "far from GNU units (text, unit, theirs, ours)" "" "$far"
many_lines=$(wc -l <"$SCRATCH/pairs.tsv")
same "more than a thousand comparisons" yes "$([ "$many_lines" -gt 1000 ] && echo yes)"

modules=$BUILD/npm
npm_modules "$here" "$modules" js-quantities
run node "$here/units.mjs" "$BUILD/tests/units_main" "$modules"
[ -n "$out" ] && printf '%s\n' "$out"
same "against js-quantities: $errout" 0 "$code"
finish
