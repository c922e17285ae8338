#!/bin/sh
# What the person at the terminal is told: addresses, the QR code and the
# pairing code, who may get at the book, and why it does not start.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "${server:-}" 2>/dev/null' EXIT

as_root=
[ "$(id -u)" -ne 0 ] || as_root=--allow-root
said() { cat "$SCRATCH/serve.out"; }

# --- this machine alone ------------------------------------------------------

mkdir -m 700 "$SCRATCH/place"
book=$SCRATCH/place/book.db
start_server
same "one line is enough" "Lampwright is at $base/ (Ctrl-C ends it)" "$(said)"
lacks "the book is its owner's alone" "chmod" "$(cat "$SCRATCH/serve.err")"
run timeout 20 "$LAMPWRIGHT" --book "$book" serve --port "$port"
same "a port that is taken is exit 3" 3 "$code"
has "and it says what to do" "give another port with --port" "$errout"
stop_server

# --- who may get at the book ---------------------------------------------------

chmod 644 "$book"
start_server
lacks "the folder keeps others out" "chmod" "$(cat "$SCRATCH/serve.err")"
stop_server
chmod 755 "$SCRATCH/place"
start_server
has "a book for all to read is said" "chmod 600 '$book' mends it" "$(cat "$SCRATCH/serve.err")"
stop_server
chmod 600 "$book"
start_server
lacks "others see that it is there, and no more" "chmod" "$(cat "$SCRATCH/serve.err")"
stop_server
chmod 777 "$SCRATCH/place"
start_server
has "a folder for all to write in is said" "chmod 700 '$SCRATCH/place' mends it" "$(cat "$SCRATCH/serve.err")"
stop_server
chmod 1777 "$SCRATCH/place"
start_server
lacks "where nobody can take away what is another's, it is well" "chmod" "$(cat "$SCRATCH/serve.err")"
stop_server
chmod 700 "$SCRATCH/place"

# --- for the network -----------------------------------------------------------

serve_with="--lan $as_root"
start_server
first=$(said | sed -n 1p)
same "the first line is the same" "Lampwright is at $base/ (Ctrl-C ends it)" "$first"
code_line=$(said | grep "^Pairing code: " || true)
case $code_line in
"Pairing code: "[0-9][0-9][0-9]" "[0-9][0-9][0-9]", good for 10 minutes.") ok ;;
*) not_ok "the pairing code and how long it is good: $code_line" ;;
esac
has "one sentence on what is missing" "There is no TLS, so others in this network can read along" "$(flat "$(said)")"
lacks "no escape sequences in a file" "$(printf '\033')" "$(said)"
# The network's addresses are the system's own, loopback left out.
mine=$(said | sed -n 's|^    http://\([0-9.]*\):'"$port"'/$|\1|p')
if grep -q "no address in a network" "$SCRATCH/serve.out"; then
	same "no addresses, and none is shown" "" "$mine"
else
	for address in $mine; do
		has "$address is one of the system's" " $address " " $(hostname -I 2>/dev/null || echo "$mine") "
		status=$(curl -s --max-time 10 -o /dev/null -w '%{http_code}' "http://$address:$port/")
		same "$address is answered" 303 "$status"
		status=$(curl -s --max-time 10 -o /dev/null -w '%{http_code}' -H "Host: $address:${port}1" "http://$address:$port/")
		same "and by no other name" 403 "$status"
	done
	best=$(printf '%s\n' "$mine" | head -n 1)
	# Under the QR code stands the address that it is of; a line of it is
	# two rows of modules, and the quiet zone is part of it.
	said | grep -v '[a-z]' | grep '[^ ]' | LC_ALL=C grep "$(printf '\342\226')" >"$SCRATCH/qr"
	lines=$(wc -l <"$SCRATCH/qr")
	widths=$(LC_ALL=C sed 's/\xe2\x96[\x80\x84\x88]/#/g' "$SCRATCH/qr" | awk '{ print length($0) }' | sort -u)
	same "each line of the QR code is as wide" 1 "$(printf '%s\n' "$widths" | wc -l)"
	same "and it is square, a line being two modules" "$lines" "$(((widths + 1) / 2))"
	same "the plain address is under it" "http://$best:$port/" \
		"$(said | grep -A 1 -F -x "$(tail -n 1 "$SCRATCH/qr")" | grep http)"
fi
stop_server

# --- why it does not start ------------------------------------------------------

run sh -c "ulimit -n 40 && exec timeout 20 '$LAMPWRIGHT' --book '$book' serve --port 0"
same "too few open files are exit 3" 3 "$code"
has "and it says how many it takes" "only 40 files may be open at a time here, and serving takes 48" "$errout"
finish
