#!/bin/sh
# The page that films a lamp, as far as the server has to do with it: the form,
# whose recording is taken, how long one may be, what is said of one that
# cannot be read, and what one that can leads to. The films are films.mjs's.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

device=field-cart-drive

# recording SECONDS A_SECOND: five flashes by the usual timing of that lamp's
# pack (kb/demo.yaml): 0.25 s on, 0.25 s between, 1.5 s of pause
recording() {
	awk -v seconds="$1" -v hertz="$2" 'BEGIN {
		print "seconds,level"
		for (i = 0; i < seconds * hertz; i++) {
			t = i / hertz + 0.9
			p = t - int(t / 3.75) * 3.75
			print i / hertz "," (p < 2.25 && p - int(p / 0.5) * 0.5 < 0.25 ? 180 : 40) + i % 3
		}
	}'
}

start_server
get_token

# --- the page -----------------------------------------------------------------

ask "$base/film"
same "the page" 200 "$status"
has "a film may be chosen" '<input class="vh" id="film-file" type="file" accept="video/*"' "$page"
has "or taken" 'capture="environment"' "$page"
has "what to do first" "hold the vehicle with brake and chocks" "$page"
has "what is said of it is read out" 'id="film-status" role="status" aria-live="polite"' "$page"
has "without scripts it says so" "This browser runs no scripts here" "$page"
has "and takes a count" '<form method="get" action="/ask"' "$page"
has "and a recording" '<textarea id="series" name="series"' "$page"
has "a device may be chosen" "<option value=\"$device\">" "$page"
has "it plays what the browser holds" "frame-ancestors 'none'; media-src 'self' blob:" "$headers"
ask "$base/devices/new"
lacks "as no other page does" "blob:" "$headers"
ask "$base/film?device=$device&lamp=status"
has "of a device" "name=\"device\" value=\"$device\"" "$page"
has "and its lamp" 'name="lamp" value="status"' "$page"
ask "$base/film?device=no-such&lamp=%3Cb%3E"
same "of no device" 200 "$status"
has "is of any" '<select id="device"' "$page"
lacks "and names none" "<b>" "$page"
for file in film.js film_spot.js; do
	ask "$base/static/$file"
	same "$file" 200 "$status"
done

# --- a recording that can be read -------------------------------------------

recording 15 30 >"$SCRATCH/five.csv"
post /film -d "device=$device" -d lamp= --data-urlencode "series@$SCRATCH/five.csv"
same "a recording" 200 "$status"
has "is read" '<span class="lamp">5</span>' "$page"
has "and means something" "Supply voltage too low" "$page"
has "it leads to the fault" "Go on with this fault" "$page"
has "of five flashes" 'name="pattern" value="5"' "$page"
has "on the device" "name=\"device\" value=\"$device\"" "$page"
has "with the timeline" '<svg xmlns="http://www.w3.org/2000/svg" class="timeline"' "$page"
has "the recording is still there" "0.0333333,41" "$page"
lacks "it plays nothing" "blob:" "$headers"
lacks "it has an unfilled tag" "{{" "$page"
post /film -d device= -d lamp= --data-urlencode "series@$SCRATCH/five.csv"
same "of no device" 200 "$status"
has "is read too" '<span class="lamp">5</span>' "$page"
post /film -d "device=$device" -d change=device --data-urlencode "series@$SCRATCH/five.csv"
same "back to the form" 200 "$status"
has "for another device" '<select id="device"' "$page"
has "with the recording" "0.0333333,41" "$page"
ask "$base/jobs"
lacks "nothing was kept" "/jobs/1" "$page"
ask "$base/film"
same "the address of the form is the page" 200 "$status"
lacks "which has no recording" "0.0333333" "$page"

recording 0.5 30 >"$SCRATCH/short.csv"
post /film -d "device=$device" --data-urlencode "series@$SCRATCH/short.csv"
same "too short to tell" 200 "$status"
has "says so" "s more" "$page"

# --- one that cannot ----------------------------------------------------------

for bad in "" "   
 "; do
	post /film -d "device=$device" -d lamp=status --data-urlencode "series=$bad"
	same "nothing: '$bad'" 400 "$status"
	has "is said" "There is no recording yet" "$page"
	has "on the form" 'id="film-form"' "$page"
	has "of its device" "name=\"device\" value=\"$device\"" "$page"
	has "and lamp" 'name="lamp" value="status"' "$page"
done
post /film -d "device=$device" --data-urlencode 'series=0,1
0.1,2
0.2,<b>much</b>
0.3,1'
same "no number" 400 "$status"
has "is said with its line" "<p>Line 3: " "$page"
has "what was pasted is still there" '0.2,&lt;b&gt;much&lt;/b&gt;' "$page"
lacks "as text" "<b>much" "$page"
has "and open to be seen" 'id="film-paste" open="open"' "$page"
post /film -d device=no-such --data-urlencode "series@$SCRATCH/five.csv"
same "of no device of the book" 404 "$status"
has "the recording is still there" "0.0333333,41" "$page"
post /film -d "device=$device" -d lamp=no-such --data-urlencode "series@$SCRATCH/five.csv"
same "of no lamp of it" 404 "$status"

# --- whose --------------------------------------------------------------------

ask -H "Origin: $base" -d "device=$device" --data-urlencode "series@$SCRATCH/five.csv" "$base/film"
same "without a token" 403 "$status"
ask -H "Origin: http://evil.example" -d "token=$token" --data-urlencode "series@$SCRATCH/five.csv" "$base/film"
same "from elsewhere" 403 "$status"
ask -X PUT "$base/film"
same "PUT" 405 "$status"

# --- how much -----------------------------------------------------------------

recording 115 240 >"$SCRATCH/long.csv"
post /film -d "device=$device" --data-urlencode "series@$SCRATCH/long.csv"
same "two minutes at 240 a second" 200 "$status"
has "are read" '<span class="lamp">5</span>' "$page"
{ printf 'token=%s&series=' "$token"; big 1100000; } >"$SCRATCH/big"
for how in "" "Expect:" "Transfer-Encoding: chunked"; do
	ask -H "Origin: $base" ${how:+-H "$how"} --data-binary "@$SCRATCH/big" "$base/film"
	same "past 1 MiB, $how" 413 "$status"
	has "what would do" "send a shorter recording" "$page"
done
{ printf 'token=%s&words=' "$token"; big 70000; } >"$SCRATCH/big"
for where in /notes /devices/new /jobs /rigs /jobs/1/note; do
	ask -H "Origin: $base" --data-binary "@$SCRATCH/big" "$base$where"
	same "all others are as they were: $where" 413 "$status"
done
# Half-sent long ones take up all the room there is; it comes back with them.
head -c 200000 /dev/zero | tr '\0' a >"$SCRATCH/half"
halves=
for _ in 1 2 3 4; do
	{
		printf 'POST /film HTTP/1.1\r\nHost: 127.0.0.1:%s\r\nOrigin: %s\r\n' "$port" "$base"
		printf 'Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 900000\r\n\r\n'
		cat "$SCRATCH/half"
		sleep 6
	} | curl -s --max-time 8 "telnet://127.0.0.1:$port" >/dev/null 2>&1 &
	halves="$halves $!"
done
sleep 2
recording 100 60 >"$SCRATCH/longer.csv"
post /film -d "device=$device" --data-urlencode "series@$SCRATCH/longer.csv"
same "a fifth long one" 503 "$status"
has "may come again" "Retry-After: 5" "$headers"
has "in words" "send yours again" "$page"
post /film -d "device=$device" --data-urlencode "series@$SCRATCH/five.csv"
same "a short one is read meanwhile" 200 "$status"
# shellcheck disable=SC2086 # a list of numbers
kill $halves 2>/dev/null
# shellcheck disable=SC2086
wait $halves 2>/dev/null
sleep 3
post /film -d "device=$device" --data-urlencode "series@$SCRATCH/longer.csv"
same "then the long one too" 200 "$status"

stop_server
finish
