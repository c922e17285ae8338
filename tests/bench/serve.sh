#!/bin/sh
# The pages under load: 64 connections over loopback ask for the first page, a
# fault and a step, and for a fixed answer of the same size from the bare
# library in the same run, in turns; first without --lan, then with it, as a
# paired screen. Prints requests a second, the ratio, p50 and p99, and the
# memory after 100,000 and 200,000 requests.
#
#     make -C BUILD lampwright tests/bench/bare && sh tests/bench/serve.sh BUILD
#
# It needs wrk and curl, is no part of tests/run, and checks nothing. ROUNDS
# and SECONDS_EACH say how often each is asked, and how long each time.
set -eu

build=${1:?give the build folder}
rounds=${ROUNDS:-5}
seconds=${SECONDS_EACH:-2}
connections=64
pages="/ /faults/supply-low /jobs/1"
work=$(mktemp -d)
server=
bare=
trap '[ -z "$server$bare" ] || kill $server $bare; rm -rf "$work"' EXIT
trap 'exit 1' INT TERM

export LAMPWRIGHT_BOOK="$work/book.db"
lampwright() {
	"$build/lampwright" "$@" >>"$work/out" 2>&1
}

# address FILE: the one that a server said in it, once it has
address() {
	for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
		sed -n 's|.*\(http://127\.0\.0\.1:[0-9]*\)/.*|\1|p' "$1" | grep . && return
		sleep 0.5
	done
	cat "$1" >&2
	exit 1
}

# load URL: sets $rate (requests a second), $p50 and $p99 (ms); counts $requests
load() {
	wrk -t1 -c"$connections" -d"${seconds}s" --latency -H "Cookie: $cookie" "$1" >"$work/wrk"
	if grep -q 'Non-2xx' "$work/wrk"; then
		cat "$work/wrk" >&2
		exit 1
	fi
	# shellcheck disable=SC2046 # four words
	set -- $(awk '
		function ms(t) {
			return t ~ /us$/ ? t / 1000 : t ~ /ms$/ ? t + 0 : t * 1000
		}
		$1 == "50%" { p50 = ms($2) }
		$1 == "99%" { p99 = ms($2) }
		$2 == "requests" && $3 == "in" { done = $1 }
		$1 == "Requests/sec:" { rate = $2 }
		END { print rate, p50, p99, done }' "$work/wrk")
	rate=$1 p50=$2 p99=$3 requests=$((requests + $4))
}

# middle NAME: the median of what was noted
middle() {
	sort -n "$work/n.$1" | awk '{ n[NR] = $1 } END { print n[int((NR + 1) / 2)] }'
}

# beside PAGE: in turns with the bare library; prints a line
beside() {
	size=$(curl -s -H "Cookie: $cookie" "$base$1" | wc -c)
	"$build/tests/bench/bare" "$size" >"$work/bare" &
	bare=$!
	fixed=$(address "$work/bare")
	rm -f "$work"/n.*
	round=0
	while [ "$round" -lt "$rounds" ]; do
		round=$((round + 1))
		load "$base$1"
		ours=$rate
		echo "$rate" >>"$work/n.ours"
		echo "$p50" >>"$work/n.p50"
		echo "$p99" >>"$work/n.p99"
		had=$requests
		load "$fixed/"
		requests=$had
		echo "$rate" >>"$work/n.bare"
		echo "$p99" >>"$work/n.bare99"
		awk -v a="$ours" -v b="$rate" 'BEGIN { print a / b }' >>"$work/n.ratio"
	done
	kill "$bare"
	wait "$bare" 2>/dev/null || true
	bare=
	printf '%-22s %6d %9.0f %9.0f %6.3f %6.1f ms %6.1f ms %6.1f ms\n' "$1" "$size" \
		"$(middle ours)" "$(middle bare)" "$(middle ratio)" \
		"$(middle p50)" "$(middle p99)" "$(middle bare99)"
}

memory() {
	awk -v n="$requests" '/^Vm(RSS|HWM)/ { v[$1] = $2 / 1024 }
		END { printf "after %d requests: %.1f MB resident, %.1f MB at most\n",
			n, v["VmRSS:"], v["VmHWM:"] }' "/proc/$server/status"
}

# Let the screen of the jar in, with the code that the terminal shows.
pair() {
	token=$(curl -s -b "$work/jar" -c "$work/jar" "$base/pair" |
		sed -n 's/.*name="token" value="\([^"]*\)".*/\1/p' | head -n 1)
	code=$(sed -n 's/.*Pairing code: \([0-9]*\) \([0-9]*\),.*/\1\2/p' "$work/serve" | tail -n 1)
	curl -s -o "$work/paired" -b "$work/jar" -c "$work/jar" -H "Origin: $base" \
		--data-urlencode "token=$token" --data-urlencode "code=$code" "$base/pair"
}

# serve OPTIONS...: one server, loaded and measured
serve() {
	rm -f "$work/jar"
	"$build/lampwright" serve --port 0 "$@" >"$work/serve" 2>&1 &
	server=$!
	base=$(address "$work/serve")
	[ "$#" -eq 0 ] || pair
	curl -s -o "$work/first" -b "$work/jar" -c "$work/jar" "$base/"
	cookie=$(awk '$6 == "screen" { print "screen=" $7 }' "$work/jar")
	requests=0
	printf '\nserve %s\n' "$*"
	printf '%-22s %6s %9s %9s %6s %9s %9s %9s\n' page bytes pages/s bare/s ratio p50 p99 "bare p99"
	for page in $pages; do
		beside "$page"
	done
	for most in 100000 200000; do
		while [ "$requests" -lt "$most" ]; do
			for page in $pages; do
				load "$base$page"
			done
		done
		memory
	done
	kill "$server"
	wait "$server" || true
	server=
}

# A vehicle, and a job at a step with some answers.
lampwright rig new cart48 --title "48 V field cart"
lampwright rig set cart48 motor=series pack.full=58.8V bus.capacitor=10mF \
	device.drive=field-cart-drive
lampwright rig use cart48
lampwright trace --device field-cart-drive --pattern 5 --json || true
for answer in open 0.2 normal; do
	lampwright job answer 1 "$answer"
done

serve
if [ "$(id -u)" -eq 0 ]; then
	serve --lan --allow-root
else
	serve --lan
fi
