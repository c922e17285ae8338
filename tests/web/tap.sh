#!/bin/sh
# The tap pad and the replay, asked with curl, as without scripts: what taps
# say, taps that are none, the document that the pad asks for, and that no
# pattern is played faster than 2.5 flashes a second. The pad in a browser is
# tested beside the films.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

device=field-cart-drive
start_server

# --- the pad ------------------------------------------------------------------

for where in /tap "/tap?device=$device" "/tap?device=canopen-node" "/tap?device=canopen-node&lamp=err" \
	"/tap?device=no-such" "/tap?taps=" "/tap?device=" /replay "/replay?pattern=" "/replay?device=$device"; do
	ask "$base$where"
	same "$where" 200 "$status"
	has "$where is a page" "</html>" "$page"
	lacks "$where has an unfilled tag" "{{" "$page"
done
ask "$base/tap"
for id in tap-pad tap-status tap-go tap-back tap-again; do
	has "the pad has $id" "id=\"$id\"" "$page"
done
has "what is new is read out" 'id="tap-aloud" aria-live="polite"' "$page"
has "what to do first" "hold the vehicle with brake and chocks" "$page"
has "without scripts it says why" "needs a script" "$page"
has "and takes the count" 'action="/ask"' "$page"
has "its script" 'src="/static/tap.js?v=' "$page"
lacks "no lamp is asked about" "Take this lamp" "$page"
ask "$base/tap?device=canopen-node"
has "with the device that was chosen" 'data-device="canopen-node"' "$page"
has "a device with two lamps: which" "Take this lamp" "$page"
ask "$base/tap?device=canopen-node&lamp=err"
has "that one" 'data-lamp="err"' "$page"
ask "$base/static/tap.js"
same "the script" 200 "$status"
has "its type" "Content-Type: text/javascript" "$headers"

# --- what taps say ------------------------------------------------------------

# groups FLASHES ROUNDS: taps 420 ms apart, 1600 ms between groups
groups() {
	awk -v n="$1" -v rounds="$2" 'BEGIN {
		for (r = 0; r < rounds; r++)
			for (i = 0; i < n; i++) {
				printf "%s%d", r + i ? "," : "", at
				at += i < n - 1 ? 420 : 1600
			}
		printf "&until=%d", at
	}'
}
four=$(groups 4 4)
ask "$base/tap?taps=$four&device=$device"
same "taps" 200 "$status"
has "a reading" '<span class="lamp">4</span>' "$page"
has "how sure" "% sure" "$page"
has "the fault" "Throttle signal out of range" "$page"
has "the way on" 'action="/read"' "$page"
has "the way to compare" 'action="/replay"' "$page"
has "the way back" 'action="/tap"' "$page"
lacks "an unfilled tag" "{{" "$page"
ask "$base/tap?taps=$four"
has "without a device" '<span class="lamp">4</span>' "$page"
ask "$base/tap?taps=$four&device=$device&lamp=status"
has "with its lamp" '<span class="lamp">4</span>' "$page"
ask "$base/tap?taps=0,500"
same "too few to tell" 200 "$status"
has "are no reading" "Not sure yet" "$page"
ask "$base/tap?taps=0"
same "one tap: $page" 200 "$status"

for bad in x 0,x 0,,1 "0,420," ,0 -5,0 0,-5 0.5,1 1e3,2e3 0,0 5,4 0,420,419 "0,%201" "+0" 0x10,0x20 \
	99999999999999999999 0,18446744073709551617 %3Cscript%3E; do
	ask "$base/tap?taps=$bad"
	same "taps=$bad" 400 "$status"
	has "taps=$bad: a sentence" 'data-refused="yes"' "$page"
	has "taps=$bad: and the pad" 'id="tap-pad"' "$page"
	lacks "taps=$bad is shown" "<script>" "$page"
	ask "$base/tap/now?taps=$bad"
	same "/tap/now?taps=$bad" 400 "$status"
	has "/tap/now?taps=$bad: a sentence" '"error": "' "$page"
done
for bad in x -1 1.5 1e9999 99999999999999999999; do
	ask "$base/tap?taps=0,420&until=$bad"
	same "until=$bad" 400 "$status"
done
ask "$base/tap?taps=5,4"
has "which tap" "Tap 2 is not after the one before" "$page"
rising() { awk -v n="$1" 'BEGIN { for (i = 0; i < n; i++) printf "%s%d", i ? "," : "", i * 2 }'; }
ask "$base/tap?taps=$(rising 1001)"
same "1001 taps" 400 "$status"
has "are too many" "more than 1000 taps" "$page"
ask "$base/tap?taps=$(rising 1000)"
same "1000 taps" 200 "$status"
# More than an address takes; the longest of them the web library itself
# refuses, before there is a request.
for n in 1900 10000; do
	same "$n taps" 414 "$(curl -s -o /dev/null -w '%{http_code}' "$base/tap?taps=$(rising "$n")")"
done
ask "$base/tap?taps=$four&device=no-such"
same "a device that is not there" 404 "$status"
ask "$base/tap?taps=$four&device=$device&lamp=no-such"
same "a lamp that is not there" 404 "$status"
ask -X POST "$base/tap"
same "nothing is posted to it" 405 "$status"

# --- the document that the pad asks for -----------------------------------------

ask "$base/tap/now?taps=$four&device=$device"
same "the document" 200 "$status"
has "its type" "Content-Type: application/json" "$headers"
has "is kept nowhere" "Cache-Control: no-store" "$headers"
has "its shape" '"shape": 1' "$page"
has "its pattern" '"pattern": "4"' "$page"
has "with the fault" '"fault": "throttle-out-of-range"' "$page"
ask "$base/tap/now?taps=0,500"
same "undecided is an answer" 200 "$status"
has "with no pattern" '"pattern": null' "$page"
ask "$base/tap/now"
same "no taps" 400 "$status"
ask "$base/tap/now?taps=$four&device=no-such"
same "no such device" 404 "$status"
has "is said as a document" '"error": "' "$page"

# --- replay -------------------------------------------------------------------

# fastest: the shortest time in ms from one flash to the next of all animations
# of the page, round the end of each too; WCAG 2.2, 2.3.1, takes three flashes
# in any one second, and ours are at least 400 ms apart.
fastest() {
	grep -o '<animate [^>]*>' "$SCRATCH/page" | awk '
	function value(name,   at, rest) {
		at = index($0, name "=\"")
		rest = substr($0, at + length(name) + 2)
		return substr(rest, 1, index(rest, "\"") - 1)
	}
	{
		if (value("calcMode") != "discrete" || value("repeatCount") != "indefinite")
			print "another animation: " $0
		duration = value("dur")
		if (duration !~ /^[0-9.]+s$/)
			print "no duration: " duration
		duration = substr(duration, 1, length(duration) - 1) * 1000
		n = split(value("values"), lit, ";")
		if (n != split(value("keyTimes"), at, ";"))
			print "values and times differ in number"
		if (at[1] != 0 || at[n] >= 1)
			print "times from " at[1] " to " at[n]
		first = -1
		least = duration
		for (i = 1; i <= n; i++) {
			if (i > 1 && at[i] <= at[i - 1])
				print "times that do not rise"
			if (lit[i] != 1 || lit[i == 1 ? n : i - 1] != 0)
				continue
			t = at[i] * duration
			if (first < 0)
				first = t
			else if (t - last < least)
				least = t - last
			last = t
		}
		if (duration - last + first < least)
			least = duration - last + first
		if (all == "" || least < all)
			all = least
	}
	END { printf "%.1f\n", all == "" ? -1 : all }'
}

moves() {
	ask "$base/replay?pattern=$1&play=1"
	same "replay $1" 200 "$status"
	lacks "$1 has an unfilled tag" "{{" "$page"
	found=$(fastest)
	if awk -v ms="$found" 'BEGIN { exit !(ms >= 399.9) }'; then ok; else not_ok "$1: flashes $found ms apart"; fi
	has "$1 can be stopped" ">Stop</a>" "$page"
	ask "$base/replay?pattern=$1"
	lacks "$1 moves unasked" "<animate" "$page"
	has "$1 can be played" ">Play it</a>" "$page"
}
for pattern in 1 2 3 4 7 20 99 3-2 1-4-2 20-20-20-20-20-20 2L3S 1S2L1S 12L12S 0.01Hz 0.5Hz 1Hz/50%25 \
	2.5Hz 2.6Hz 4Hz/20%25 10Hz 99Hz/95%25 3%2B7 1%2B1%2B1%2B1%2B1%2B1%2B1%2B1 \
	"red:3%20green:10Hz" "a:1%20b:2%20c:3-2%20d:99Hz%20e:5%20f:on%20g:7%20h:off" \
	"10Hz&device=canopen-node&lamp=run" "4&device=canopen-node&lamp=err" "3-1&device=orchard-trike-drive" \
	"7&device=$device" "three%20pause%20two" "2&device=powerlink-node"; do
	moves "$pattern"
done
for pattern in on off "on&device=$device"; do
	ask "$base/replay?pattern=$pattern&play=1"
	same "replay $pattern" 200 "$status"
	lacks "$pattern moves" "<animate" "$page"
	has "$pattern says so" "does not flash" "$page"
done
ask "$base/replay?pattern=10Hz&device=canopen-node&lamp=run&play=1"
has "a flicker is slowed, and says so" "Shown slower than it is: 10 Hz as 2.5 Hz." "$page"
has "the way to stop keeps what was asked" 'href="/replay?pattern=10Hz&amp;device=canopen-node&amp;lamp=run"' "$page"
ask "$base/replay?pattern=3-2"
has "in words" "three flashes, a short gap, two flashes, a pause." "$page"
has "usual times are called so" "does not know the times" "$page"
has "a still picture, with words for who does not see it" 'class="still" role="img" aria-label="' "$page"
ask "$base/replay?pattern=3-1&device=orchard-trike-drive"
has "the lamp's own times" "flash 0.2 s, gap 0.3 s, gap between groups 0.9 s, pause 2.5 s" "$page"
lacks "are not called usual" "does not know the times" "$page"
ask "$base/replay?pattern=5+%23+6"
same "what cannot be read" 400 "$status"
has "the place is marked" "<mark>#</mark>" "$page"
has "what was typed is still there" 'value="5 # 6"' "$page"
ask "$base/replay?pattern=%3Cscript%3E"
same "a script" 400 "$status"
lacks "is text" "<script>" "$page"
ask "$base/replay?pattern=3&device=no-such"
same "a device that is not there" 404 "$status"
ask "$base/replay?pattern=3&device=$device&lamp=no-such"
same "a lamp that is not there" 404 "$status"

# --- the ways there -------------------------------------------------------------

ask "$base/"
has "from the first page, with the device that is chosen there" 'formaction="/tap"' "$page"
has "and to the film" 'formaction="/film"' "$page"
ask "$base/tap?q=&device=$device"
has "which goes along" "data-device=\"$device\"" "$page"
ask "$base/devices/$device"
has "from a device" "href=\"/tap?device=$device\"" "$page"
has "to the film" "href=\"/film?device=$device\"" "$page"
has "a code of it played" 'aria-label="Replay 7"' "$page"
ask "$base/read?pattern=7&device=$device"
has "from what a code means" 'action="/replay"' "$page"
ask "$base/read?pattern=19&device=$device"
has "from one that is not in the book" "href=\"/tap?device=$device\"" "$page"

stop_server
finish
