#!/bin/sh
# Pairing, asked with curl: who is sent to the code, how it is tried and
# locked, the cookie that it gives, who is paired, and being sent away.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

serve_with=--lan
[ "$(id -u)" -ne 0 ] || serve_with="--lan --allow-root"

# as JAR COMMAND...: the screen that the jar's cookies make
one=$SCRATCH/jar
two=$SCRATCH/jar-two
as() {
	jar=$1
	shift
	"$@"
	jar=$one
}
said() { cat "$SCRATCH/serve.out" "$SCRATCH/serve.err"; }
# The terminal may be a moment behind the page.
wait_said() {
	tries=0
	while ! said | tr '\n' ' ' | grep -q "$1" && [ "$tries" -lt 100 ]; do
		sleep 0.1
		tries=$((tries + 1))
	done
	has "the terminal says: $1" "$1" "$(flat "$(said)")"
}
# Sets $six, the code, and $wrong, one that is not it.
read_code() {
	six=$(said | sed -n 's/.*Pairing code: \([0-9]*\) \([0-9]*\),.*/\1\2/p' | tail -n 1)
	case $six in
	9*) wrong=0${six#?} ;;
	*) wrong=9${six#?} ;;
	esac
}
# As read_code, once the terminal has another one than $six.
read_next_code() {
	old=$six
	tries=0
	while read_code && [ "$six" = "$old" ] && [ "$tries" -lt 100 ]; do
		sleep 0.1
		tries=$((tries + 1))
	done
}
# pair FIELD...: with the form of its page, as its jar
pair() {
	ask "$base/pair"
	[ "$jar" != "$one" ] || token=$found
	post /pair "$@"
}
screens() { "$LAMPWRIGHT" --book "$book" screen list --json; }
cookie_of() { awk '$6 == "screen" { print $7 }' "$1"; }

start_server
read_code
same "a code of six digits" 6 "${#six}"

# --- who is not paired ----------------------------------------------------

for where in / /about /jobs /jobs/1 /jobs/1/now /rigs/nobody /screens /nothing /static /pairs /Pair; do
	ask "$base$where"
	case $where in
	/) way=/pair ;;
	*) way="/pair?back=$(printf '%s' "$where" | sed 's|/|%2F|g')" ;;
	esac
	same "$where leads to the code" "303 $way" "$status $location"
	lacks "$where gives no cookie" "Set-Cookie" "$headers"
done
ask "$base/read?pattern=5&device=field-cart-drive"
same "with its query" "303 /pair?back=%2Fread%3Fpattern%3D5%26device%3Dfield-cart-drive" "$status $location"
ask -I "$base/jobs"
same "HEAD, too" "303 /pair?back=%2Fjobs" "$status $location"
for where in app.css app.js lamp.svg; do
	ask "$base/static/$where"
	same "$where is for everybody" 200 "$status"
done
ask "$base/pair?back=%2Fjobs"
same "the page that asks" 200 "$status"
lacks "the code is not on it" "$six" "$page"
lacks "nor in pieces" "$(printf '%s' "$six" | sed 's/.../& /')" "$page"
lacks "it has no way into the book" 'href="/devices' "$page"
lacks "nor its title" "Symptoms" "$page"
lacks "it gives no cookie" "Set-Cookie" "$headers"
for part in 'inputmode="numeric"' 'autocomplete="one-time-code"' 'autofocus=' \
	'name="name" type="text" value="computer ' 'name="back" value="/jobs"' "lampwright serve --lan"; do
	has "it has $part" "$part" "$page"
done
ask -A "Test/1.0 (a telephone) Mobile" "$base/pair"
has "a phone is called one" 'value="phone ' "$page"
token=$found
ask -X PUT "$base/notes"
same "another method" 403 "$status"
ask -X DELETE "$base/pair"
same "which /pair does not take" 405 "$status"
post /notes -d kind=fault -d id=supply-low -d words=stolen
same "a form of the book" 403 "$status"
has "is answered with the code's page" 'name="code"' "$page"
has "and a sentence" "not paired" "$page"
ask -H "Origin: $base" -H "Referer: $base/faults/supply-low" -d "token=$token" "$base/notes"
has "which leads back to where it was typed" 'name="back" value="/faults/supply-low"' "$page"

# --- the code -------------------------------------------------------------

post /pair -d "code=$wrong" --data-urlencode "name=<bench> & door"
same "a wrong code" 403 "$status"
has "with the tries that are left" "4 tries are left" "$page"
has "what was typed for the name stays" 'value="&lt;bench&gt; &amp; door"' "$page"
lacks "what was typed for the code does not" "$wrong" "$page"
lacks "no cookie for it" "Set-Cookie" "$headers"
ask -H "Origin: http://evil.example" -d "token=$token&code=$wrong" "$base/pair"
same "a guess from another site" 403 "$status"
ask -H "Origin: $base" -d "code=$wrong" "$base/pair"
same "a guess without a token" 403 "$status"
has "with the page to send it again" 'name="token"' "$page"
ask -H "Origin: $base" -d "token=$token&code=$wrong" "$base/pair"
has "those were not looked at" "3 tries are left" "$page"
{ printf 'token=%s&code=%s&name=' "$token" "$six"; big 2000; } >"$SCRATCH/long"
ask -H "Origin: $base" --data-binary "@$SCRATCH/long" "$base/pair"
same "a form of 2 kB" 413 "$status"
planted=0123456789abcdef0123456789abcdef
ask -H "Cookie: screen=$planted" "$base/pair"
planted_token=$found
spaced=$(printf '%s' "$six" | sed 's/.../& - /')
ask -H "Cookie: screen=$planted" -H "Origin: $base" --data-urlencode "token=$planted_token" \
	--data-urlencode "code= $spaced" --data-urlencode "name=Bench by the door" -d back=/jobs "$base/pair"
same "the right one, with blanks" "303 /jobs" "$status $location"
cookie=$(printf '%s\n' "$headers" | sed -n 's/^Set-Cookie: //p')
mine=$(cookie_of "$one")
same "its cookie has 128 bits" 32 "${#mine}"
same "its cookie" "screen=$mine; Path=/; Max-Age=7776000; HttpOnly; SameSite=Strict" "$cookie"
[ "$mine" != "$planted" ] || not_ok "a cookie that was planted is kept"
as /dev/null ask -H "Cookie: screen=$planted" "$base/jobs"
same "which is worth nothing" 303 "$status"
wait_said "Bench by the door is paired (127.0.0.1); lampwright screen list shows all."
same "the list has its name" "Bench by the door" "$(screens | jq -r '.screens[].name')"
lacks "and no cookie" "$mine" "$(screens)"
lacks "nor has the book" "$mine" "$(tr -d '\0' <"$book")"
get_token
ask "$base/pair?back=%2Fjobs"
has "it is told that it is paired" "This screen is paired" "$page"
has "and led on" 'href="/jobs"' "$page"
for back in //evil.example http://evil.example/ '/\evil.example' 'javascript:alert(1)' /pair "/pair?back=x" "/pair/"; do
	as "$SCRATCH/jar-back" pair --data-urlencode "back=$back" -d "code=$six"
	same "back to $back" "303 /" "$status $location"
	rm -f "$SCRATCH/jar-back"
done
# shellcheck disable=SC2046 # a list of numbers
"$LAMPWRIGHT" --book "$book" screen remove $(screens | jq '.screens[] | select(.name | startswith("computer")).screen') >/dev/null
as "$two" pair -d "code=$six"
same "sent away in the terminal: the code from before is good no more" 403 "$status"
read_next_code

# --- a paired screen ------------------------------------------------------

for where in / /jobs /screens "/about#network" /devices; do
	ask "$base$where"
	same "$where" 200 "$status"
	has "$where leads to the screens" 'href="/screens"' "$page"
	has "$where is kept by no shared cache" "Cache-Control: private, no-cache" "$headers"
done
ask "$base/screens"
has "the list" "Bench by the door" "$page"
has "marks this one" "this screen" "$page"
has "it draws the address" '<path class="dark" d="M' "$page"
has "and has it as text" "<code>http" "$page"
lacks "the code is not on it" "$six" "$page"
lacks "nor is a cookie" "$mine" "$page"
before=$(said | grep -c "Pairing code:")
get_token
post /screens/code
same "a code is asked for" "303 /screens?said=code-said" "$status $location"
wait_said "Pairing code: $(printf '%s' "$six" | sed 's/.../& /'), good for"
same "the terminal has it once more" $((before + 1)) "$(said | grep -c "Pairing code:")"
ask "$base/$location"
lacks "the page has not" "$six" "$page"

# A second one, its token, and a cookie from another site.
as "$two" pair -d "code=$six" -d name= -A "Test/1.0 (a telephone) Mobile"
same "a second screen" "303 /" "$status $location"
as "$two" ask "$base/devices/new"
theirs=$found
[ "$theirs" != "$token" ] || not_ok "two screens have one token"
own=$token
token=$theirs
post /devices/new -d title=stolen -d coding=count
same "another screen's token" 403 "$status"
has "with a sentence" "does not fit this screen" "$page"
ask -H "Origin: $base" -H "Referer: $base/devices/new" -d "token=$theirs&title=stolen" "$base/devices/new"
has "and the way to load the page anew" 'href="/devices/new">Load the page anew' "$page"
token=$own
post /devices/new -d title=mine -d coding=count
same "its own" 303 "$status"
ask -H "Origin: $base" -d "token=$token&token=$token&title=twice&coding=count" "$base/devices/new"
same "twice" 400 "$status"
as /dev/null ask -H "Sec-Fetch-Site: cross-site" "$base/read?pattern=5&q=%22%3E"
same "a link from another site" 200 "$status"
has "leads to the same address again" 'content="0; url=/read?pattern=5&amp;q=%22%3E"' "$page"
has "without the browser's help, too" '<a href="/read?pattern=5&amp;q=%22%3E">' "$page"
lacks "it gives no cookie" "Set-Cookie" "$headers"
ask -H "Sec-Fetch-Site: cross-site" "$base/jobs"
has "one that brings the cookie is let in" "<h1" "$page"
lacks "at once" "http-equiv" "$page"

# --- how much -------------------------------------------------------------

{ printf 'token=%s&serial=' "$token"; big 2000; } >"$SCRATCH/long"
ask -H "Origin: $base" --data-binary "@$SCRATCH/long" "$base/jobs/1/undo"
same "two kilobytes to take an answer back" 413 "$status"
has "with how much is taken" "1 KiB" "$page"
as "$SCRATCH/jar-none" ask "$base/find?q=$(big 8200)"
same "an address of more than 8 KiB" 414 "$status"
# By hand: curl sends half a header where its own cookies do not fit.
as "$SCRATCH/jar-none" ask -H "Cookie: screen=$mine" "$base/find?q=$(big 8200)"
same "an address of more than 8 KiB, with a cookie" 414 "$status"
set --
for i in $(seq 70); do
	set -- "$@" -H "X-$i: x"
done
ask "$@" "$base/"
same "seventy header lines" 431 "$status"
ask -H "Host: evil.example" "$base/pair"
same "another name" 403 "$status"
lacks "has no form" 'name="token"' "$page"

# --- after a restart ------------------------------------------------------

# A restart picks another port; a browser's form is on the page of the old.
stop_server
start_server
ask "$base/jobs"
same "a paired screen carries on" 200 "$status"
token=$own
post /devices/new -d title=later -d coding=count
same "a form from before is taken" "303 /devices/later?said=device" "$status $location"
lacks "the code is another" "$six" "$(said)"
read_code

# --- sent away ------------------------------------------------------------

number=$(screens | jq '.screens[] | select(.name | startswith("phone")).screen')
post "/screens/$number/remove"
same "the second is sent away" "303 /screens?said=screen-away" "$status $location"
as "$two" ask "$base/jobs"
same "it is asked for the code" "303 /pair?back=%2Fjobs" "$status $location"
as "$two" post /screens/code
same "and its token opens nothing" 403 "$status"
post "/screens/$number/remove"
same "once" 404 "$status"
for bad in 0 -1 x 99999999999999999999; do
	post "/screens/$bad/remove"
	same "screen $bad" 404 "$status"
done
as "$two" pair -d "code=$six"
same "the code that it knew is good no more" 403 "$status"
read_next_code
as "$two" pair -d "code=$six"
same "it comes back with a new one" 303 "$status"
post /screens/others
same "all others are sent away" "303 /screens?said=screens-away" "$status $location"
same "one is left" 1 "$(screens | jq '.screens | length')"
ask "$base/screens"
same "this one" 200 "$status"
post "/screens/$(screens | jq '.screens[0].screen')/remove"
same "this one goes, too" "303 /pair" "$status $location"
has "with its cookie" "Set-Cookie: screen=; Path=/; Max-Age=0" "$headers"
as /dev/null ask -H "Cookie: screen=$mine" "$base/jobs"
same "an old cookie does nothing" 303 "$status"

# --- guesses --------------------------------------------------------------

ask "$base/pair"
read_next_code
as "$two" pair -d "code=$six"
same "one comes in before" 303 "$status"
pair -d "code=$wrong"
for left in 3 2; do
	post /pair -d "code=$wrong"
	has "$left left" "$left tries are left" "$page"
done
post /pair -d "code=${six}0"
has "one left" "1 try is left" "$page"
post /pair -d "code=$wrong"
same "the fifth locks" 429 "$status"
after=$(printf '%s\n' "$headers" | sed -n 's/^Retry-After: //p')
case $after in
[1-9] | [1-5][0-9] | 60) ok ;;
*) not_ok "Retry-After: $after" ;;
esac
wait_said "Five wrong pairing codes, the last from 127.0.0.1: no code is taken for one minute."
as "$two" ask "$base/screens"
own=$token
token=$found
as "$two" post /screens/code
token=$own
same "none can be asked for either" 429 "$status"
has "and it is said as what is wrong" '<div class="message bad"' "$page"
rm -f "$two"
as "$two" pair -d "code=$six"
same "for everybody, and the right one" 429 "$status"
has "the page says how long" "Wait " "$page"
has "and comes again by itself" 'http-equiv="refresh"' "$page"
before=$(said | grep -c "Pairing code:")
ask "$base/pair"
same "no code is made meanwhile" "$before" "$(said | grep -c "Pairing code:")"
# --- a book that cannot be read -------------------------------------------

cp "$book" "$SCRATCH/sound"
big 4096 | dd of="$book" conv=notrunc 2>/dev/null
as /dev/null ask -H "Cookie: screen=$planted" "$base/jobs"
same "a book that cannot be read" 500 "$status"
has "is said" "The book cannot be read just now" "$page"
lacks "but to no stranger where it lies" "$SCRATCH" "$page"
cp "$SCRATCH/sound" "$book"
stop_server

# --- without --lan --------------------------------------------------------

serve_with=
start_server
ask "$base/pair"
same "on this machine alone" 200 "$status"
has "nothing has to be paired" "no screen has to be paired" "$page"
ask "$base/screens"
has "the page says how to begin" "lampwright serve --lan" "$page"
lacks "there is no code to be made" "/screens/code" "$page"
ask "$base/"
lacks "the foot has no screens" 'href="/screens"' "$page"
stop_server
finish
