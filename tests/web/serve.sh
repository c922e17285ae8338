# Sourced by the web tests: a server on a free port with a book of its own.
#   start_server   with $serve_with as options, if any; sets $port, $base,
#                  $server and $book
#   stop_server
#   ask [CURL OPTION...] ADDRESS    sets $status, $page, $headers, $location
#   get_token                       sets $token
#   post PATH FIELD...              as a browser does, with the token
# All are asked as the screen whose cookies are in $jar.

book=$SCRATCH/book.db

start_server() {
	: >"$SCRATCH/serve.out"
	# shellcheck disable=SC2086 # a list of options
	"$LAMPWRIGHT" --book "$book" serve --port 0 ${serve_with:-} \
		>"$SCRATCH/serve.out" 2>"$SCRATCH/serve.err" &
	server=$!
	port=
	tries=0
	while [ -z "$port" ] && [ "$tries" -lt 150 ] && kill -0 "$server" 2>/dev/null; do
		port=$(sed -n 's|.*https*://127\.0\.0\.1:\([0-9]*\)/.*|\1|p' "$SCRATCH/serve.out")
		[ -n "$port" ] || sleep 0.2
		tries=$((tries + 1))
	done
	base=http://127.0.0.1:$port
	if grep -q "https://" "$SCRATCH/serve.out"; then
		base=https://127.0.0.1:$port
	fi
	if [ -z "$port" ]; then
		not_ok "the server starts: $(cat "$SCRATCH/serve.err")"
		finish
		exit 1
	fi
}

# A second one in a row gets the same book, as after a restart. A server that
# ends with a leak or an error says so in its status.
stop_server() {
	kill -TERM "$server" 2>/dev/null
	code=0
	wait "$server" || code=$?
	same "the server ends well: $(cat "$SCRATCH/serve.err")" 0 "$code"
}

jar=$SCRATCH/jar

ask() {
	: >"$SCRATCH/page"
	status=$(curl -s --max-time 30 -b "$jar" -c "$jar" -D "$SCRATCH/headers" -o "$SCRATCH/page" \
		-w '%{http_code}' "$@")
	headers=$(tr -d '\r' <"$SCRATCH/headers")
	page=$(cat "$SCRATCH/page")
	location=$(printf '%s\n' "$headers" | sed -n 's/^Location: //p')
	asked="$*"
	keep_token
	case $headers in
	*Content-Type:\ text/html*) check_page ;;
	esac
	[ "$status" = 000 ] || check_headers
}

# Security headers stand on every answer.
check_headers() {
	for want in \
		"Content-Security-Policy: default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'" \
		"X-Content-Type-Options: nosniff" \
		"Referrer-Policy: same-origin"; do
		has "$status $asked" "$want" "$headers"
	done
}

# Every page is well-formed XML, and has nothing inline that the policy
# forbids.
check_page() {
	if [ -s "$SCRATCH/page" ]; then
		xmllint --noout "$SCRATCH/page" 2>"$SCRATCH/xml" ||
			not_ok "not well-formed: $asked: $(head -n 3 "$SCRATCH/xml")"
		ok
		lacks "inline style: $asked" " style=" "$page"
		lacks "inline script: $asked" " onclick=" "$page"
	fi
}

# The token goes with the cookie: of another jar than the first it is the one
# of the last page that had one.
keep_token() {
	found=$(printf '%s' "$page" | sed -n 's/.*name="token" value="\([0-9a-f]*\)".*/\1/p' | head -n 1)
	[ -z "$found" ] || [ "$jar" = /dev/null ] || printf '%s' "$found" >"$jar.token"
}

# post PATH FIELD...: as a browser does
post() {
	where=$1
	shift
	its=$token
	[ "$jar" = "$SCRATCH/jar" ] || [ ! -s "$jar.token" ] || its=$(cat "$jar.token")
	ask -H "Origin: $base" --data-urlencode "token=$its" "$@" "$base$where"
}

# The token is on every page that has a form to post.
get_token() {
	ask "$base/devices/new"
	token=$found
}

big() { head -c "$1" /dev/zero | tr '\0' a; }
