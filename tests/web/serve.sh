# Sourced by the web tests: a server on a free port with a book of its own.
#   start_server   with $serve_with as options, if any; sets $port, $base,
#                  $server and $book
#   stop_server

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
		port=$(sed -n 's|.*http://127\.0\.0\.1:\([0-9]*\)/.*|\1|p' "$SCRATCH/serve.out")
		[ -n "$port" ] || sleep 0.2
		tries=$((tries + 1))
	done
	base=http://127.0.0.1:$port
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
