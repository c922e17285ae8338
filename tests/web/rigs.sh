#!/bin/sh
# Rigs over HTTP: facts, devices, points, the ledger, the log; names that are
# none, and words that are too long.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

start_server
get_token

ask "$base/rigs"
has "none yet" "None yet" "$page"
ask "$base/"
has "the first page leads there" 'href="/rigs"' "$page"
post /rigs --data-urlencode 'title=Field cart <48> & co' -d rig=cart48
same "a rig" "303 /rigs/cart48?said=rig" "$status $location"
ask "$base$location"
same "its page" 200 "$status"
has "its name is escaped" "Field cart &lt;48&gt; &amp; co" "$page"
has "it is in hand" "In hand." "$page"
has "what is not known says so" "not known" "$page"
has "and what that means" "counts as series-wound" "$page"
ask "$base/"
has "the first page says which is in hand" 'href="/rigs/cart48"' "$page"
post /rigs --data-urlencode 'title=Field cart' -d rig=cart48
same "the same again" 409 "$status"
has "with what was typed" 'value="Field cart"' "$page"
for name in Cart 4cart "cart 48" cart_48 ../cart cart/48 "$(big 70)"; do
	post /rigs -d title=x --data-urlencode "rig=$name"
	same "a rig named '$name'" 400 "$status"
done
post /rigs -d title=
same "a rig without a name" 400 "$status"
post /rigs --data-urlencode 'title=日本'
same "a name that makes no short one" 400 "$status"
post /rigs --data-urlencode "title=$(big 3000)" -d rig=long
case $status in
400 | 413) ok ;;
*) not_ok "a name too long: $status" ;;
esac
post /rigs --data-urlencode 'title=Orchard trike 36'
same "a short name is made" "303 /rigs/orchard-trike-36?said=rig" "$status $location"

# --- in hand --------------------------------------------------------------

post /rigs/cart48/use
same "taken in hand" "303 /rigs/cart48?said=rig-in-hand" "$status $location"
post /rigs/cart48/use -d put_down=1
same "put down" "303 /rigs/cart48?said=rig-put-down" "$status $location"
ask "$base/"
has "the first page says so" "No rig in hand" "$page"
post /rigs/no-such/use
same "one that is none" 404 "$status"
post /rigs/cart48/use

# --- facts ----------------------------------------------------------------

ask "$base/rigs/cart48"
for key in motor reference charger pack.kind pack.full bus.capacitor bleed.resistor contactor precharge \
	dcdc auxiliary strings tools pack.cells precharge.resistor cable.size throttle.kind meter.volts; do
	has "the form has $key" "name=\"fact.$key\"" "$page"
done
post /rigs/cart48/set -d fact.motor=series -d was.motor= -d fact.pack.full=58.8 -d was.pack.full= \
	-d fact.bus.capacitor=lots -d was.bus.capacitor= -d fact.strings=one -d was.strings=
same "one of them cannot be read" 400 "$status"
has "it is shown back" 'value="lots"' "$page"
has "with its place" 'class="problem"' "$page"
has "the others are kept" '<option value="series" selected="selected">' "$page"
has "with their units" 'value="58.8 V"' "$page"
post /rigs/cart48/set --data-urlencode 'fact.bus.capacitor=4700 uF' -d was.bus.capacitor=
same "facts" "303 /rigs/cart48?said=facts" "$status $location"
# A page that was opened before another's change does not take it back.
post /rigs/cart48/set -d fact.motor= -d was.motor= -d fact.dcdc=yes -d was.dcdc=
ask "$base/rigs/cart48"
has "an old page changes only what was changed on it" '<option value="series" selected="selected">' "$page"
post /rigs/cart48/set -d fact.motor= -d was.motor=series
ask "$base/rigs/cart48"
lacks "a fact is taken back" '<option value="series" selected="selected">' "$page"
# A part by itself is gone back to, and open.
post /rigs/cart48/set -d fact.pack.cells=24 -d fact.pack.kind=lead -d fact.pack.full= --data-urlencode 'was.pack.full=58.8 V' \
	-d part=pack
same "a part" "303 /rigs/cart48?said=facts&part=pack#part-pack" "$status $location"
post /rigs/cart48/set --data-urlencode 'part="><b>#x' -d fact.dcdc=no -d was.dcdc=yes
same "a part that is none" "303 /rigs/cart48?said=facts" "$status $location"
ask "$base/rigs/cart48?said=facts&part=pack"
has "is open" 'id="part-pack" open="open"' "$page"
lacks "and no other" 'id="part-motor" open="open"' "$page"
has "what is worked out says from what" "58.8 V, worked out: 24 * 2.45 V" "$page"
has "what is usual says so" "the usual one, since nobody said" "$page"
has "what is plausible stands there" "20 V to 150 V" "$page"
post /rigs/cart48/set --data-urlencode 'fact.precharge.resistor=470 ohm' -d was.precharge.resistor=
ask "$base/rigs/cart48?part=%22%3E%3Cb%3E"
has "a usual tolerance says so" "tolerance not said, taken as" "$page"
post /rigs/cart48/set -d fact.pack.cells=16 -d was.pack.cells=24 -d fact.pack.full=58.8 -d was.pack.full=
ask "$base/rigs/cart48"
has "what contradicts is said" "give 39.2 V: one of them is wrong" "$page"
post /rigs/cart48/set -d fact.pack.cells=24 -d was.pack.cells=16
# 100 mF may be 100 uF.
post /rigs/cart48/set --data-urlencode 'fact.bus.capacitor=100 mF 20%' --data-urlencode 'was.bus.capacitor=4700 uF' -d part=x
same "what could be two things" 400 "$status"
has "is shown as typed" 'value="100 mF 20%"' "$page"
has "with one way to write it" 'name="sure.bus.capacitor" value="0.1 F 20 %"' "$page"
has "and the other" 'name="sure.bus.capacitor" value="100 uF 20 %"' "$page"
post /rigs/cart48/set --data-urlencode 'fact.bus.capacitor=100 mF 20%' --data-urlencode 'was.bus.capacitor=4700 uF' \
	--data-urlencode 'asked.bus.capacitor=100 mF 20%' --data-urlencode 'sure.bus.capacitor=100 uF 20 %'
same "the answer counts" 303 "$status"
ask "$base/rigs/cart48"
has "and is kept" 'value="100 uF ±20 %"' "$page"
post /rigs/cart48/set --data-urlencode 'fact.bus.capacitor=4700 uF' --data-urlencode 'was.bus.capacitor=100 uF ±20 %' \
	--data-urlencode 'asked.bus.capacitor=100 mF 20%' --data-urlencode 'sure.bus.capacitor=100 uF 20 %'
ask "$base/rigs/cart48"
has "unless something else was typed" 'value="4700 uF"' "$page"
post /rigs/cart48/set -d fact.meter.volts=good -d was.meter.volts=
same "an accuracy that is none" 400 "$status"
post /rigs/cart48/set --data-urlencode 'fact.meter.volts=0.9% + 1 digits' -d was.meter.volts=
ask "$base/rigs/cart48"
has "an accuracy" 'value="0.9 % + 1 count"' "$page"
for field in fact.pack.full=900 fact.pack.full=-5 fact.motor=steam fact.strings=1e9 fact.nonsense=1 fact.=1 \
	fact.pack.full=nan "fact.tools=$(big 5000)"; do
	post /rigs/cart48/set --data-urlencode "$field"
	same "$(printf %.30s "$field")" 400 "$status"
done
post /rigs/no-such/set -d fact.motor=series
same "facts of none" 404 "$status"
post /rigs/cart48/set -d device_name=drive -d device=field-cart-drive
same "a device" "303 /rigs/cart48?said=facts" "$status $location"
post /rigs/cart48/set -d device_name=drive2 -d device=no-such
same "a device that is none" 404 "$status"
post /rigs/cart48/set --data-urlencode 'device_name=Bad Name!' -d device=field-cart-drive
same "a bad name for one" 400 "$status"

# --- points ---------------------------------------------------------------

ask "$base/rigs/cart48/points"
same "points" 200 "$status"
has "each has a place of its own" 'id="point-' "$page"
point=$(printf '%s' "$page" | sed -n 's/.*name="point" value="\([a-z0-9-]*\)".*/\1/p' | sed -n 3p)
post /rigs/cart48/points -d "point=$point" --data-urlencode 'words=grey 8-way plug, pin 3, "red" <b>'
same "a point in the builder's words" "303 /rigs/cart48/points?kept=$point#point-$point" "$status $location"
ask "$base/rigs/cart48/points?kept=$point"
has "it is kept" 'role="status">Kept.' "$page"
has "and escaped" "pin 3, &quot;red&quot; &lt;b&gt;" "$page"
post /rigs/cart48/points -d "point=$point" --data-urlencode "words=$(big 400)"
same "words too long" 400 "$status"
has "are shown back" "aaaaaaaa" "$page"
post /rigs/cart48/points -d point=no-such -d words=x
same "a point that is none" 404 "$status"
post /rigs/no-such/points -d "point=$point" -d words=x
same "a point of no rig" 404 "$status"
post /rigs/cart48/points -d "point=$point" --data-urlencode "words=$(big 290)"
same "a long word" 303 "$status"
post /rigs/cart48/points -d "point=$point" -d words=
same "words are taken back" 303 "$status"

# --- the ledger -----------------------------------------------------------

ask "$base/rigs/cart48/settings"
has "an empty ledger" "No setting is known yet" "$page"
has "the only device stands there already" 'value="drive"' "$page"
post /rigs/cart48/settings -d device=drive -d "setting=pull-away time" --data-urlencode was=0.9s \
	--data-urlencode became=1.6s --data-urlencode 'why=jerked <b>'
same "a change" "303 /rigs/cart48/settings?said=setting" "$status $location"
post /rigs/cart48/settings -d device=drive -d "setting=pull-away time" -d was=1.0s -d became=2.0s
ask "$base/rigs/cart48/settings"
has "it is there" "0.9s" "$page"
has "escaped" "jerked &lt;b&gt;" "$page"
has "what was changed in between is seen" "somebody changed it in between" "$page"
today=$(date -u +%Y-%m-%d)
ask "$base/rigs/cart48/settings?on=$today"
has "as of a day" "As it stood on $today" "$page"
has "how it stood" "2.0s" "$page"
ask "$base/rigs/cart48/settings?from=2020-01-01&to=$today"
same "what differs" 200 "$status"
has "from what it was" "0.9s" "$page"
ask "$base/rigs/cart48/settings?from=2020-01-01&to="
same "till now" 200 "$status"
ask "$base/rigs/cart48/settings?back=2020-01-01"
has "to put back" "To put the settings back as on 2020-01-01" "$page"
for day in yesterday 2026-13-01 2026-02-30 26-1-1 "%00"; do
	ask "$base/rigs/cart48/settings?on=$day"
	same "the day $day" 400 "$status"
done
post /rigs/cart48/settings -d device=nobody -d setting=x -d became=1
same "a device of another" 404 "$status"
has "with what was typed" 'value="nobody"' "$page"
for field in setting= became= "setting=$(big 300)" "why=$(big 2000)"; do
	post /rigs/cart48/settings -d device=drive -d "$field" \
		"$(case $field in setting=*) echo -dbecame=1 ;; became=*) echo -dsetting=x ;; *) echo "-dsetting=x" ;; esac)" \
		"$(case $field in why=*) echo -dbecame=1 ;; *) echo -dwhy=w ;; esac)"
	same "a change with $(printf %.20s "$field")" 400 "$status"
done
post /rigs/cart48/settings -d device=drive -d setting=x -d became=1 -d job=77
same "a change in a job that is none" 404 "$status"

# --- the log --------------------------------------------------------------

post /rigs/cart48/log -d device=drive -d kind=fault -d subject=12 -d count=3 -d value=ignored
same "a logged fault" "303 /rigs/cart48/log?said=record" "$status $location"
post /rigs/cart48/log -d device=drive -d kind=hours -d value=214.5
same "hours" 303 "$status"
post /rigs/cart48/log -d device=drive -d kind=live -d "subject=pack voltage" --data-urlencode 'value=52.1 V' -d words=idle
same "a live value" 303 "$status"
ask "$base/rigs/cart48/log"
has "they are there" "Logged fault: 12, 3 times" "$page"
has "each as one line" "Running hours: 214.5" "$page"
for fields in "-d kind=" "-d kind=smell -d value=x" "-d kind=fault -d subject=12 -d count=many" \
	"-d kind=fault -d subject=12 -d count=-3" "-d kind=fault -d subject=" "-d kind=hours -d value=" \
	"-d kind=live -d subject=x"; do
	# shellcheck disable=SC2086 # fields
	post /rigs/cart48/log -d device=drive $fields
	same "a record with $fields" 400 "$status"
done

# --- a job on it ----------------------------------------------------------

post /jobs -d pattern=5
same "a job for the rig in hand" "303 /jobs/1" "$status $location"
ask "$base/jobs/1"
has "it leads to the rig" 'href="/rigs/cart48"' "$page"
has "points may be named" 'href="/rigs/cart48/points#point-' "$page"
has "the ledger is near" 'href="/rigs/cart48/settings?job=1"' "$page"
ask "$base/rigs/cart48/settings?job=1"
has "what is changed is kept with the job" 'name="job" value="1"' "$page"
post /rigs/cart48/settings -d device=drive -d setting=ramp -d was=1 -d became=2 -d job=1
same "and stays so" "303 /rigs/cart48/settings?said=setting&job=1" "$status $location"
post /rigs/cart48/log -d device=drive -d kind=firmware -d value=2.3b -d job=1
ask "$base/jobs/1/report"
has "the report has it" "Setting: drive, ramp: 1 to 2" "$page"
has "and what was said" "Firmware: 2.3b" "$page"
ask "$base/rigs/cart48"
has "the rig leads to the job" 'href="/jobs/1"' "$page"
ask "$base/rigs/cart48/waits"
same "what waits on it" 200 "$status"
# The way into isolated says what this rig's figures come to.
turn=0
while [ "$turn" -lt 3 ]; do
	ask "$base/jobs/1"
	case $page in
	*58.8\ V*) break ;;
	esac
	serial=$(printf '%s' "$page" | sed -n 's/.*name="serial" value="\([0-9]*\)".*/\1/p' | head -n 1)
	choice=$(printf '%s' "$page" | sed -n 's/.*name="choice" value="\([a-z0-9-]*\)".*/\1/p' | head -n 1)
	post /jobs/1/answer -d "serial=$serial" -d "choice=$choice"
	turn=$((turn + 1))
done
has "figures of this rig" "58.8 V" "$page"
# The rig is held, so another job on it cannot be answered by another screen.
serial=$(curl -s -b "$jar" "$base/jobs/1" | sed -n 's/.*name="serial" value="\([0-9]*\)".*/\1/p' | head -n 1)
post /jobs/1/take
post /jobs -d pattern=5
jar=$SCRATCH/jar-two
ask "$base/jobs/2"
has "another job on the same vehicle" "it is held for" "$(printf '%s' "$page" | sed 's/the vehicle is held/it is held/')"
post /jobs/2/answer -d "serial=$serial" -d choice=cannot
same "cannot be answered by another screen" 409 "$status"
jar=$SCRATCH/jar

# --- notes, and taking it out of the list ---------------------------------

post /notes -d kind=rig -d id=cart48 -d words=dry -d back=/rigs/cart48
same "a note on a rig" "303 /rigs/cart48?said=note" "$status $location"
ask "$base/rigs/cart48"
note=$(printf '%s' "$page" | sed -n 's|.*action="/notes/\([0-9]*\)/remove".*|\1|p' | head -n 1)
ask "$base/notes/$note"
same "leads to the rig" "303 /rigs/cart48" "$status $location"
post /rigs/cart48/remove
same "taken out without a tick" 400 "$status"
post /rigs/cart48/remove -d sure=1
same "taken out" "303 /rigs?said=rig-removed" "$status $location"
ask "$base/rigs"
lacks "it has left the list" "/rigs/cart48" "$page"
ask "$base/rigs/cart48/settings"
has "its ledger stays" "pull-away time" "$page"
ask "$base/jobs/1"
same "its job goes on" 200 "$status"
ask "$base/jobs/1/report"
same "with its report" 200 "$status"
for path in set use remove; do
	ask "$base/rigs/cart48/$path"
	same "GET of $path leads to the rig" "303 /rigs/cart48" "$status $location"
done
stop_server
finish
