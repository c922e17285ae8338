#!/bin/sh
# Our reckoners of power circuits against ngspice, over random circuits from a
# seed: pre-charge with a load, bleed-down, isolation as a real meter reads it,
# dividers with a load, cable drop with temperature. Two decks, each of many
# circuits side by side.
. "$SRC/tests/lib.sh"

many=40 # circuits of each kind
LC_ALL=C
export LC_ALL
cd "$SCRATCH" || exit 1

# Writes rc.cir, op.cir, and asked.tsv: what to ask the reckoner, and how
# each of its results is found in what ngspice printed.
cat >make.awk <<'EOT'
function any(low, high) { return low * exp(rand() * log(high / low)) }
function even(low, high) { return low + rand() * (high - low) }
function n(x) { return sprintf("%.6g", x) + 0 }
# Six digits go to both sides alike.
function s(x) { return sprintf("%.6g", x) }
function ask(kind, i, given) { print "ask\t" kind i "\t" given >"asked.tsv" }
function compare(kind, i, result, spice) {
	print "compare\t" kind i "\t" result "\t" spice >"asked.tsv"
}
function rc(text) { print text >"rc.cir" }
function op(text) { print text >"op.cir" }
function show(name) { shown = shown "print v(" name ")\n" }

# V, R to the bus; C and a load on it.
function precharge(i,   v, r, load, tau, c, full, t, share) {
	v = n(any(12, 150)); r = n(any(50, 20000)); load = n(r * any(0.5, 100))
	tau = any(1, 10); c = n(tau * (1 / r + 1 / load))
	full = v * load / (r + load); t = n(tau * any(0.1, 4))
	share = n(100 * full / v * even(0.2, 0.97))
	rc("Vp" i " p" i " 0 " s(v)); rc("Rp" i " p" i " bus" i " " s(r))
	rc("Cp" i " bus" i " 0 " s(c) " ic=0")
	rc("Rl" i " bus" i " 0 " s(load))
	meas = meas ".meas tran pv" i " find v(bus" i ") at=" s(t) "\n"
	meas = meas ".meas tran pt" i " when v(bus" i ")=" s(v * share / 100) " rise=1\n"
	ask("precharge", i, "precharge|volts=" s(v) "|resistor=" s(r) "|capacitor=" s(c) " F|load=" s(load) "|time=" s(t) "|share=" s(share) " %")
	compare("precharge", i, "time-voltage", "pv" i)
	compare("precharge", i, "time-share", "pt" i)
}
function bleed(i,   v, r, c, to) {
	v = n(any(70, 150)); r = n(any(20, 20000)); c = n(any(1, 10) / r)
	to = n(v * even(0.05, 0.9))
	rc("Cb" i " b" i " 0 " s(c) " ic=" s(v)); rc("Rb" i " b" i " 0 " s(r))
	meas = meas ".meas tran b50_" i " when v(b" i ")=50 fall=1\n"
	meas = meas ".meas tran b5_" i " when v(b" i ")=5 fall=1\n"
	meas = meas ".meas tran bto_" i " when v(b" i ")=" s(to) " fall=1\n"
	ask("bleed", i, "bleed|volts=" s(v) "|resistor=" s(r) "|capacitor=" s(c) " F|to=" s(to))
	compare("bleed", i, "time-50", "b50_" i)
	compare("bleed", i, "time-5", "b5_" i)
	compare("bleed", i, "time-to", "bto_" i)
}
# One pack floating beside the chassis (node 0): what the meter reads at
# minus, at plus, and at the larger one with the resistor in place.
function pack(id, v, rp, rn) {
	op("Vi" id " ip" id " in" id " " s(v))
	op("Rip" id " ip" id " 0 " s(rp)); op("Rin" id " in" id " 0 " s(rn))
}
function isolation(i,   v, rp, rn, ro, rm, minus, side) {
	v = n(any(24, 150)); rp = n(any(2e3, 1e7)); rn = n(any(2e3, 1e7))
	ro = n(v * any(200, 1000)); rm = n(any(1e7, 2e7))
	pack(i "a", v, rp, rn); op("Rm" i "a in" i "a 0 " s(rm)); show("in" i "a")
	pack(i "b", v, rp, rn); op("Rm" i "b ip" i "b 0 " s(rm)); show("ip" i "b")
	# The larger reading is where the resistance to the chassis is larger.
	side = rn >= rp ? "in" : "ip"
	pack(i "c", v, rp, rn); op("Rm" i "c " side i "c 0 " s(rm))
	op("Ro" i "c " side i "c 0 " s(ro)); show(side i "c")
	print "isolation\t" i "\t" s(v) "\t" s(ro) "\t" s(rm) "\t" side "\t" s(rp) "\t" s(rn) >"asked.tsv"
}
function divider(i,   v, a, b, load) {
	v = n(any(3, 150)); a = n(any(10, 1e6)); b = n(any(10, 1e6)); load = n(any(b / 10, 1e7))
	op("Vd" i " d" i " 0 " s(v)); op("Ra" i " d" i " t" i " " s(a))
	op("Rbb" i " t" i " 0 " s(b)); op("Rdl" i " t" i " 0 " s(load)); show("t" i)
	ask("divider", i, "divider|volts=" s(v) "|upper=" s(a) "|lower=" s(b) "|load=" s(load))
	compare("divider", i, "output", "v(t" i ")")
}
function drop(i,   area, length_m, amps, temp) {
	area = n(any(0.5, 150)); length_m = n(any(0.3, 30)); amps = n(any(1, 600)); temp = n(even(-30, 120))
	op("Ic" i " 0 c" i " " s(amps))
	op("Rc" i " c" i " 0 {" s(length_m) "/(58*" s(area) ")} tc1=0.00393 temp=" s(temp))
	show("c" i)
	ask("drop", i, "drop|size=" s(area) " mm2|length=" s(length_m) " m|amps=" s(amps) "|temperature=" s(temp) " degC")
	compare("drop", i, "drop", "v(c" i ")")
}
BEGIN {
	srand(seed)
	rc("* circuits with capacitors"); op("* circuits at rest")
	for (i = 1; i <= many; i++) {
		precharge(i); bleed(i); isolation(i); divider(i); drop(i)
	}
	rc(".options reltol=1e-6 method=trap"); rc(".tran 10m 50 0 10m uic")
	printf "%s", meas >"rc.cir"; rc(".end")
	op(".options tnom=20"); op(".control"); op("set numdgt=12"); op("op")
	printf "%s", shown >"op.cir"; op("quit"); op(".endc"); op(".end")
}
EOT
seed=${LAMPWRIGHT_SEED:-571305}
awk -v seed="$seed" -v many="$many" -f make.awk
ngspice -b rc.cir >rc.out 2>rc.err
ngspice -b op.cir >op.out 2>op.err

# What ngspice printed: "pv1  =  1.2e+01 ..." and "v(in1a) = -1.2e+01".
cat rc.out op.out | awk '$2 == "=" { print tolower($1) "\t" $3 }' >spice.tsv

# What to ask: the readings of the isolation meter come from ngspice.
awk -F '\t' '
	FNR == NR { spice[$1] = $2; next }
	$1 == "ask" { print $2 "\t" $3 }
	$1 == "isolation" {
		low = -spice["v(in" $2 "a)"]; high = spice["v(ip" $2 "b)"]
		with = spice["v(" $6 $2 "c)"]; if (with < 0) with = -with
		two = sprintf("isolation|v1=%.10g|v2=%.10g|pack=%s|meter=%s", low, high, $3, $5)
		print "two" $2 "\t" two
		print "three" $2 "\t" two sprintf("|resistor=%s|with=%.10g", $4, with)
	}' spice.tsv asked.tsv >ask.tsv
cut -f2- ask.tsv | tr '|' '\t' | "$BUILD/tests/reckon_main" >answers.tsv
same "one answer to each question" "$(wc -l <ask.tsv)" "$(wc -l <answers.tsv)"
same "none is refused" "" "$(grep '^error' answers.tsv)"

# name of the question, result, value
cut -f1 ask.tsv | paste - answers.tsv | awk -F '\t' '{
	for (i = 2; i <= NF; i++) {
		at = index($i, "=")
		print $1 "\t" substr($i, 1, at - 1) "\t" substr($i, at + 1)
	}
}' >reckoned.tsv

# Both numbers of each comparison: what, theirs, ours, how near.
awk -F '\t' '
	FILENAME == "spice.tsv" { spice[$1] = $2; next }
	FILENAME == "reckoned.tsv" { ours[$1, $2] = $3; next }
	function say(what, theirs, our, near) {
		print what "\t" theirs "\t" our "\t" near
	}
	$1 == "compare" { say($2 " " $3, spice[$4], ours[$2, $3], 2e-4) }
	$1 == "isolation" {
		rp = $7; rn = $8; i = $2
		# The form of UN R100 gives the leak itself.
		weak = $6 == "in" ? rp : rn
		say("three" i " isolation", weak, ours["three" i, "isolation"], 1e-5)
		# That of 49 CFR 571.305 is low by (V1 + V2) / pack.
		sum = (spice["v(ip" i "b)"] - spice["v(in" i "a)"]) / $3
		say("three" i " isolation-fmvss", weak * sum, ours["three" i, "isolation-fmvss"], 1e-5)
		say("two" i " isolation-plus", rp, ours["two" i, "isolation-plus"], 1e-3)
		say("two" i " isolation-minus", rn, ours["two" i, "isolation-minus"], 1e-3)
	}' spice.tsv reckoned.tsv asked.tsv >pairs.tsv
far=$(awk -F '\t' '{
	apart = ($2 == "" || $3 == "" || $2 + 0 == 0) ? 1 : ($2 - $3) / $2
	if (apart < 0) apart = -apart
	if (!(apart <= $4)) print
}' pairs.tsv)
same "far from ngspice (what, ngspice, ours, how near): seed $seed" "" "$far"
same "comparisons" "$((many * 11))" "$(wc -l <pairs.tsv)"
finish
