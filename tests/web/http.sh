#!/bin/sh
# A running server, asked with curl: who is listened to, what is refused and
# how, the forms, and that every page is well-formed and carries its headers.
# Jobs and rigs have scripts of their own.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "$server" 2>/dev/null' EXIT

device=field-cart-drive

# raw TEXT: what comes back for bytes as they are
raw() {
	printf '%b' "$1" | timeout 10 "$SCRATCH/raw" "$port" >"$SCRATCH/raw.out" 2>/dev/null
	status=$(sed -n '1s|HTTP/1\.[01] \([0-9]*\).*|\1|p' "$SCRATCH/raw.out")
}
# There is no netcat everywhere; curl's telnet will do.
cat >"$SCRATCH/raw" <<'END'
#!/bin/sh
{ cat; sleep 1; } | curl -s --max-time 3 "telnet://127.0.0.1:$1"
END
chmod +x "$SCRATCH/raw"

start_server
ask "$base/"
same "the first page" 200 "$status"
has "the first page asks" 'name="q"' "$page"
get_token
same "a token of 128 bits" 32 "${#token}"

# --- every page -----------------------------------------------------------

for where in / /about /plan "/plan?device=$device" /jobs /waits /rigs /devices /devices/new /faults /symptoms /causes \
	/checks /trees /settings /notes /packs "/devices/$device" /devices/orchard-trike-drive \
	"/?device=$device" "/read?pattern=5&device=$device" "/read?pattern=5" \
	"/read?pattern=32" "/read?pattern=9&device=$device" "/read?pattern=on" \
	"/read?pattern=fast" "/find?q=creeps%20after%20letting%20go" \
	"/find?q=zebra%20crossing" "/find?q=%22%28%29%2A%20NEAR%20OR" \
	/reckon "/reckon?rig=no-such" "/reckon/precharge?volts=48&resistor=10k&capacitor=10mF"; do
	ask "$base$where"
	same "$where" 200 "$status"
	has "$where is a page" "</html>" "$page"
	has "$where is kept by no shared cache" "Cache-Control: private, no-cache" "$headers"
	lacks "$where has an unfilled tag" "{{" "$page"
done
ask "$base/reckon"
links=$(printf '%s' "$page" | sed -n 's|.*href="\(/reckon/[a-z0-9-]*\)".*|\1|p')
[ -n "$links" ] || not_ok "/reckon lists none"
for where in $links; do
	ask "$base$where"
	same "$where" 200 "$status"
	has "$where has a form" '<button class="primary" type="submit">' "$page"
	lacks "$where has an unfilled tag" "{{" "$page"
	example=$(printf '%s' "$page" | sed -n 's|.*href="\(/reckon/[^"]*?rig=[^"]*\)">Show an example.*|\1|p' | sed 's/&amp;/\&/g')
	ask "$base$example"
	same "$example" 200 "$status"
	has "$example comes to something" '<dl class="results">' "$page"
	lacks "$example has an unfilled tag" "{{" "$page"
done
for kind in devices faults symptoms causes checks trees settings; do
	ask "$base/$kind"
	links=$(printf '%s' "$page" | sed -n "s|.*href=\"\(/$kind/[a-z0-9-]*\)\".*|\1|p" | grep -v /new)
	[ -n "$links" ] || not_ok "/$kind lists none"
	for where in $links; do
		ask "$base$where"
		same "$where" 200 "$status"
		lacks "$where has an unfilled tag" "{{" "$page"
	done
done

ask "$base/ask?q=5&device=$device"
same "the box sends flashes on" "303 /read?pattern=5&device=$device" "$status $location"
ask "$base/ask?q=creeps+after+letting+go"
same "the box sends words on" "303 /find?q=creeps%20after%20letting%20go" "$status $location"
ask "$base/ask?q=three+pause+two"
same "flashes in words" "303 /read?pattern=three%20pause%20two" "$status $location"
ask "$base/ask?q=+"
same "an empty box" 400 "$status"
has "an empty box says so" "The box is empty" "$page"
ask "$base/read?pattern=5+%23+6"
same "what cannot be read" 400 "$status"
has "the place is marked" "<mark>#</mark>" "$page"
has "what was typed is still there" 'value="5 # 6"' "$page"
ask "$base/read?pattern=5&device=no-such"
same "a device that is not there: $page" 200 "$status"

ask "$base/reckon/precharge?volts=48&resistor=10k&capacitor=10mF"
has "what comes of it" "<strong>4.8 mA</strong>" "$page"
has "how" "volts / resistor = 48 V / 10 kohm" "$page"
has "a curve, with words for who does not see it" '<svg xmlns="http://www.w3.org/2000/svg" class="plot" role="img" aria-label="' "$page"
has "what was typed stays in the form" 'value="10k"' "$page"
ask "$base/reckon/precharge?volts=48&resistor=-5&capacitor=10mF"
same "what cannot be" 400 "$status"
has "is marked" '<p class="problem" role="alert">' "$page"
has "and stays in the form" 'value="-5"' "$page"
has "as all else does" 'value="10mF"' "$page"
ask "$base/reckon/precharge?volts=&resistor=&capacitor="
same "nothing but blanks" 400 "$status"
ask "$base/reckon/precharge?volts=48&resistor=10k&capacitor=10mF&colour=red"
same "a field that it does not take" 200 "$status"
has "is said" "no value called colour" "$page"
ask "$base/reckon/precharge?volts=48&resistor=10k&capacitor=10mF&rig=no-such"
same "a rig of another book" 200 "$status"
has "is said" "no-such" "$page"
ask "$base/reckon/precharge?volts=%3Cscript%3E&resistor=10k&capacitor=10mF"
same "a script in a field" 400 "$status"
lacks "is text" "<script>" "$page"
ask -X POST "$base/reckon/precharge"
same "nothing is posted to it" 405 "$status"

ask "$base/causes/unlisted"
same "what is not in the book" "303 /about#unlisted" "$status $location"

raw "HEAD / HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:$port\r\n\r\n"
same "HEAD" 200 "$status"
same "HEAD has no body" 0 "$(grep -c '<' "$SCRATCH/raw.out")"
has "HEAD has headers" "Content-Security-Policy" "$(cat "$SCRATCH/raw.out")"

# --- addresses ------------------------------------------------------------

for where in /nothing /jobs/0 /jobs/-1 /jobs/99999 /jobs/1x /jobs/01 /jobs/1.0 \
	/jobs/18446744073709551617 /faults/no-such /reckon/no-such /static/no-such /static/ /notes/1 \
	/jobs/0/waits /jobs/7/state /jobs/7/report /jobs/x/waits /rigs/no-such /rigs/no-such/points \
	/rigs/no-such/settings /rigs/no-such/log /rigs/no-such/waits /rigs/No_Such /rigs/%20 \
	/jobs/ //jobs /devices//x /static/lib.sh /Jobs; do
	ask --path-as-is "$base$where"
	same "$where" 404 "$status"
	has "$where leads on" 'href="/"' "$page"
done
for where in /static/../book.db /static/%2e%2e /static/..%2f..%2fbook.db \
	/%2e%2e/%2e%2e/etc/passwd /static/%2e%2e%2fapp.css /static/app.css%00 \
	/static/app.css%00.html /jobs%2f1 /static%5c..%5c /jobs/%ff /jobs/%0a /a%zz /a%; do
	ask --path-as-is "$base$where"
	case $status in
	400 | 404) ok ;;
	*) not_ok "$where: $status" ;;
	esac
	lacks "$where" "--amber" "$page"
done
ask "$base/read?pattern=%00"
same "a NUL in the query" 400 "$status"
ask "$base/read?pattern=1&pattern=2"
same "a field twice" 400 "$status"
ask "$base/read?pattern=%ff"
same "what is not UTF-8" 400 "$status"
ask "$base/$(printf 'a%.0s' $(seq 600))"
same "an address too long" 400 "$status"

ask "$base/static/app.css"
same "the style" 200 "$status"
has "its type" "Content-Type: text/css" "$headers"
has "it may be kept" "Cache-Control: max-age=" "$headers"
etag=$(printf '%s\n' "$headers" | sed -n 's/^ETag: //ip')
same "the style is the file's" "$(cat "$SRC/web/static/app.css")" "$page"
ask -H "If-None-Match: $etag" "$base/static/app.css"
same "it is not sent twice" "304 " "$status $page"
ask "$base/static/app.js"
has "the script's type" "Content-Type: text/javascript" "$headers"
ask "$base/static/lamp.svg"
has "the picture's type" "Content-Type: image/svg+xml" "$headers"

# --- methods --------------------------------------------------------------

for method in PUT DELETE OPTIONS PATCH TRACE FOO get; do
	ask -X "$method" "$base/"
	same "$method" 405 "$status"
	has "$method names what would do" "Allow: GET, HEAD" "$headers"
done
ask -X DELETE "$base/jobs"
has "what /jobs takes" "Allow: GET, HEAD, POST" "$headers"
ask "$base/devices/field-cart-drive/teach"
same "GET of a form's address" "405" "$status"
has "what a lesson takes" "Allow: POST" "$headers"
# A tab that is loaded again after an answer was refused finds its job.
ask "$base/jobs/1/answer"
same "GET of an answer" "303" "$status"
has "leads to the job" "/jobs/1" "$headers"
post / --data-urlencode a=1
same "POST of a page" 405 "$status"

# --- whose name -----------------------------------------------------------

for host in "127.0.0.1:$port" "localhost:$port" "[::1]:$port"; do
	ask -H "Host: $host" "$base/"
	same "Host $host" 200 "$status"
done
for host in evil.example "evil.example:$port" "127.0.0.1.evil.example:$port" \
	"localhost.evil.example:$port" "127.0.0.1" localhost "127.0.0.1:${port}0" \
	"127.0.0.1:1" "0.0.0.0:$port" "localhost.:$port" "user@127.0.0.1:$port" \
	"127.0.0.1:$port, evil.example" "127.1:$port" "xlocalhost:$port"; do
	ask -H "Host: $host" "$base/devices/new"
	same "Host $host" 403 "$status"
	lacks "no token for Host $host" "$token" "$page"
done
raw "GET / HTTP/1.1\r\nConnection: close\r\n\r\n"
same "no Host" 403 "$status"
raw "GET / HTTP/1.0\r\n\r\n"
same "no Host in HTTP/1.0" 403 "$status"
raw "GET / HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:$port\r\nHost: evil.example\r\n\r\n"
same "two Hosts" 403 "$status"
raw "GET http://127.0.0.1:$port/ HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:$port\r\n\r\n"
same "an absolute target" 400 "$status"

# --- whose form -----------------------------------------------------------

ask -d "token=$token" "$base/devices/new"
same "no Origin" 403 "$status"
for origin in null "" http://evil.example "http://127.0.0.1:$port.evil.example" \
	"https://127.0.0.1:$port" "http://localhost:$port" http://127.0.0.1 "${base}0"; do
	ask -H "Origin: $origin" -d "token=$token" "$base/devices/new"
	same "Origin $origin" 403 "$status"
done
ask -H "Origin: $base" -H "Origin: http://evil.example" -d "token=$token" "$base/devices/new"
same "two Origins" 403 "$status"
for site in cross-site same-site none; do
	ask -H "Origin: $base" -H "Sec-Fetch-Site: $site" -d "token=$token" "$base/devices/new"
	same "Sec-Fetch-Site $site" 403 "$status"
done
good=$token
for token in "" 0 "${good}0" "$(printf '%s' "$good" | tr '0-9a-f' '1-9a-f0')" \
	"$(printf '%s' "$good" | tr a-f A-F)x"; do
	post /devices/new -d title=stolen
	same "token '$token'" 403 "$status"
done
token=$good
ask -H "Origin: $base" -d "title=stolen" "$base/devices/new"
same "no token" 403 "$status"
ask -H "Origin: $base" -d "title=stolen" "$base/devices/new?token=$token"
same "a token in the address" 403 "$status"
ask -H "Origin: $base" -F "token=$token" -F title=stolen "$base/devices/new"
same "multipart" 400 "$status"
ask -H "Origin: $base" -H "Content-Type: text/plain" -d "token=$token&title=stolen" "$base/devices/new"
same "plain text" 400 "$status"
ask "$base/devices"
lacks "nothing of that was kept" stolen "$page"

# --- how much -------------------------------------------------------------

{ printf 'token=%s&title=' "$token"; big 70000; } >"$SCRATCH/big"
ask -H "Origin: $base" --data-binary "@$SCRATCH/big" "$base/devices/new"
same "a body of 70 kB" 413 "$status"
ask -H "Origin: $base" -H "Expect:" --data-binary "@$SCRATCH/big" "$base/devices/new"
same "the same without asking first" 413 "$status"
ask -H "Origin: $base" -H "Transfer-Encoding: chunked" --data-binary "@$SCRATCH/big" "$base/devices/new"
same "the same in chunks" 413 "$status"
ask -H "Origin: $base" -H "Transfer-Encoding: chunked" \
	-d "token=$token&kind=fault&id=no-such&words=x" "$base/notes"
same "a small one in chunks is read" 404 "$status"
big 3000000 >"$SCRATCH/huge"
raw "POST /devices/new HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:$port\r\nOrigin: $base\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 99999999999\r\n\r\n"
same "a length past all bounds" 413 "$status"
ask -H "Origin: $base" -H "Expect:" -H "Transfer-Encoding: chunked" --data-binary "@$SCRATCH/huge" "$base/devices/new" || :
case $status in
413 | 000) ok ;;
*) not_ok "three megabytes in chunks: $status" ;;
esac
post /devices/new $(seq -f '-d a%.0f=1' 2100)
same "too many fields" 413 "$status"
ask "$base/"
same "it is still there" 200 "$status"
# Clients that hang up half-way, and one that says nothing.
raw "POST /jobs HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:$port\r\nContent-Length: 1000\r\n\r\nabc"
raw "GET /jo"
raw "\001\002\003\r\n\r\n"
ask "$base/"
same "it is still there" 200 "$status"

# --- own devices, codes, notes --------------------------------------------

post /devices/new --data-urlencode 'title=Barn <drive> & co' -d kind= -d coding=count
same "a new device" "303 /devices/barn-drive-co?said=device" "$status $location"
ask "$base/devices/barn-drive-co"
has "its name is escaped" "Barn &lt;drive&gt; &amp; co" "$page"
post /devices/new --data-urlencode 'title=Barn drive co' -d coding=count
same "the same again" 409 "$status"
has "with what was typed" 'value="barn-drive-co"' "$page"
post /devices/new -d 'title=' -d coding=count
same "without a name" 400 "$status"
post /devices/new -d 'title=x' -d coding=morse
same "with no such coding" 400 "$status"
post /devices/new --data-urlencode 'title=日本' -d coding=count
same "a name that makes no short one" 400 "$status"

post /devices/barn-drive-co/teach -d pattern=4 --data-urlencode 'meaning=supply voltage too low' -d lamp=lamp
same "one code, looked over" 200 "$status"
has "the generic fault is found" 'value="supply-low"' "$page"
lacks "nothing is kept yet" "taught by you" "$(curl -s "$base/devices/barn-drive-co")"
post /devices/barn-drive-co/lesson -d keep=1 -d lamp=lamp -d keep.1=1 -d pattern.1=4 \
	--data-urlencode 'meaning.1=supply voltage too low' -d fault.1=supply-low -d as.1=1
same "it is kept" "303 /devices/barn-drive-co?said=code" "$status $location"
ask "$base/read?pattern=4&device=barn-drive-co"
has "it can be read" "Find the cause, step by step" "$page"
post /devices/barn-drive-co/teach -d pattern=6 -d fault=supply-low
same "one code with its fault" "303 /devices/barn-drive-co?said=code" "$status $location"
post /devices/barn-drive-co/teach -d pattern=6x6 -d fault=supply-low
same "one that cannot be read" 400 "$status"
has "is shown back" 'value="6x6"' "$page"
post /devices/barn-drive-co/teach -d pattern= -d meaning=x
same "one without a pattern" 400 "$status"
post /devices/barn-drive-co/lesson -d lamp=lamp --data-urlencode 'lines=7 = throttle not released
8 = <script>alert(1)</script>
nonsense line
2 = '
same "a list, looked over" 200 "$status"
has "a script is text" '&lt;script&gt;alert(1)&lt;/script&gt;' "$page"
lacks "and nothing else" '<script>' "$page"
has "the bad line is named" 'Line 3:' "$page"
post /devices/barn-drive-co/lesson -d lamp=lamp -d lines=nonsense
same "a list without one good line" 400 "$status"
has "can be changed" 'nonsense</textarea>' "$page"
post /devices/barn-drive-co/lesson -d keep=1 -d lamp=lamp -d lines=
same "nothing ticked" 400 "$status"
post /devices/barn-drive-co/unteach -d lamp=lamp -d pattern=6
same "a code is removed" "303 /devices/barn-drive-co?said=code-removed" "$status $location"
post /devices/barn-drive-co/unteach -d lamp=lamp -d pattern=6
same "once" 404 "$status"
post "/devices/$device/unteach" -d lamp=status -d pattern=5
same "a pack's code stays" 409 "$status"
post /devices/no-such/lesson -d lines=5=x
same "no such device" 404 "$status"

script='<script>alert(1)</script><img src=x onerror=alert(1)>"&'"'"
post /notes -d kind=fault -d id=supply-low --data-urlencode "words=$script" \
	--data-urlencode 'back=/faults/supply-low'
same "a note on a fault" "303 /faults/supply-low?said=note" "$status $location"
ask "$base/faults/supply-low"
has "a stored script is text" '&lt;script&gt;alert(1)&lt;/script&gt;&lt;img src=x onerror=alert(1)&gt;&quot;&amp;&#39;' "$page"
lacks "and nothing else" '<script>' "$page"
note=$(printf '%s' "$page" | sed -n 's|.*action="/notes/\([0-9]*\)/remove".*|\1|p' | head -n 1)
for where in "/read?pattern=5&device=$device" "/find?q=onerror" /notes; do
	ask "$base$where"
	lacks "$where" '<img src=x' "$page"
done
ask "$base/notes/$note"
same "a note leads to what it is on" "303 /faults/supply-low" "$status $location"
post /notes -d kind=pattern --data-urlencode "id=$device 5" -d words=here
same "a note on a code" "303 /read?device=$device&pattern=5&said=note" "$status $location"
for back in //evil.example/ http://evil.example/ '/\evil.example' 'javascript:alert(1)' "/a
Set-Cookie: x=1"; do
	post /notes -d kind=fault -d id=supply-low -d words=x --data-urlencode "back=$back"
	same "back to '$back'" "303 /faults/supply-low?said=note" "$status $location"
done
post /notes -d kind=fault -d id=supply-low -d words=
same "an empty note" 400 "$status"
post /notes -d kind=nonsense -d id=x -d words=x
case $status in
400 | 404) ok ;;
*) not_ok "a note on nothing: $status" ;;
esac
post /notes -d kind=fault -d id=supply-low --data-urlencode "words=$(big 5000)"
case $status in
400 | 413) ok ;;
*) not_ok "a note too long: $status" ;;
esac
has "is shown back" 'aaaaaaaa</textarea>' "$page"
post "/notes/$note/remove"
same "a note is removed" "303 /faults/supply-low?said=note-removed" "$status $location"
post "/notes/$note/remove"
same "once" 404 "$status"

# --- what settings do -----------------------------------------------------

"$LAMPWRIGHT" --book "$book" pack add "$SRC/tests/cli/bench.yaml" >/dev/null
ask "$base/settings"
same "settings" 200 "$status"
has "by part" "<h2>Sparing the battery</h2>" "$page"
has "with what each does" '<a class="row" href="/settings/bench-takes-up"><span class="row-title">How soon the bench pulls</span> <span class="row-detail">It smooths the start.</span></a>' "$page"
has "every page leads there" '<a href="/settings">Settings</a>' "$page"
links=$(printf '%s' "$page" | sed -n 's|.*href="\(/settings/[a-z0-9-]*\)".*|\1|p')
for where in $links; do
	ask "$base$where"
	same "$where" 200 "$status"
	has "$where says what to write down" "Write down before you change it" "$page"
	lacks "$where has an unfilled tag" "{{" "$page"
done
ask "$base/settings/bench-cut-back?device=$device"
has "too little" "<dt>Too little</dt><dd>It drains the cells.</dd>" "$page"
has "too much" "<dt>Too much</dt><dd>It limps long before the battery is empty.</dd>" "$page"
has "a symptom that it looks like" "href=\"/symptoms/bench-dead?device=$device\"" "$page"
has "a fault that it looks like" "href=\"/faults/bench-low?device=$device\"" "$page"
same "its caution comes before what it does" "The bench can roll. It pulls less once" "$(printf '%s' "$page" | grep -o 'The bench can roll\.\|It pulls less once' | tr '\n' ' ' | sed 's/ $//')"
for where in symptoms/bench-dead faults/bench-low; do
	ask "$base/$where"
	has "$where lists it" "Settings that can look like this: 1" "$page"
	has "$where leads to it" 'href="/settings/bench-cut-back"' "$page"
done
ask "$base/faults/bench-warm"
lacks "others list none" "Settings that can look like this" "$page"
ask "$base/find?q=limps+long+before"
has "a search leads to it" 'href="/settings/bench-cut-back"' "$page"
ask "$base/settings/nobody"
same "one that is not there" 404 "$status"
has "leads to all" 'href="/settings"' "$page"
"$LAMPWRIGHT" --book "$book" pack remove bench >/dev/null
ask "$base/settings/bench-cut-back"
same "it goes with its pack" 404 "$status"

# --- two servers, one book ------------------------------------------------

same "no other may have the port" 3 "$("$LAMPWRIGHT" --book "$book" serve --port "$port" >/dev/null 2>&1; echo $?)"
stop_server
serve_with="--web-dir $SRC/web"
start_server
ask "$base/devices/barn-drive-co"
has "codes outlive the server" "taught by you" "$page"
has "and so does the token of a screen" "$token" "$page"
post /devices/new -d title=late -d coding=count
same "a form from before is taken" "303 /devices/late?said=device" "$status $location"
ask "$base/static/app.css"
has "live files are not kept" "no-store" "$headers"

# With 64 connections open the next one waits and is then served.
waiting=$(seq 64 | while read -r i; do printf 'telnet://127.0.0.1:%s ' "$port"; done)
# shellcheck disable=SC2086 # a list of addresses
{ sleep 2; } | timeout 3 curl -s --parallel --parallel-max 64 --max-time 2 $waiting >/dev/null 2>&1
ask "$base/"
same "after a crowd" 200 "$status"
stop_server
finish
