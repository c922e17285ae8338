#!/bin/sh
# Help, version, and what is asked in a way that cannot be read.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }
verbs="read tap watch find trace job rig setting reckon device teach note pack serve screen book"

lw
same "nothing shows the overview" 0 "$code"
for verb in $verbs; do
	has "the overview has $verb" "    $verb" "$out"
done
overview=$out
lw no-such-verb
same "what is no verb is not there" 2 "$code"
for how in --help -h help; do
	lw "$how"
	same "$how" "$overview" "$out"
done
lw --version
same "--version" 0 "$code"
has "--version says it" "lampwright 0." "$out"

for verb in $verbs; do
	lw help "$verb"
	same "help $verb" 0 "$code"
	has "help $verb: the synopsis" "    lampwright $verb" "$out"
	helped=$out
	lw "$verb" --help
	same "$verb --help is the same" "$helped" "$out"
	same "$verb --help: 80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
	lw "$verb" --no-such-option
	same "$verb: an unknown option is exit 2" 2 "$code"
	has "$verb: and how it is used is said" "usage: lampwright $verb" "$errout"
	same "$verb: nothing on stdout" "" "$out"
done
lw help nothing
same "help on an unknown verb is exit 2" 2 "$code"

lw raed 5
same "an unknown verb is exit 2" 2 "$code"
has "and the nearest is named" "read" "$errout"
lw xylophone
same "one like none is exit 2" 2 "$code"
lacks "and none is named as the nearest" "nearest" "$errout"
lw read 5 --devise field-cart-drive
has "the nearest option is named" "--device" "$errout"
lw read 5 --device
same "a value that is missing is exit 2" 2 "$code"
lw read 5 --device --json
same "also before another option" 2 "$code"
lw read 5 --json=yes
same "a value that has no place is exit 2" 2 "$code"
lw --bok x read 5
same "an unknown option before the verb is exit 2" 2 "$code"
lw device
same "a verb without its word is exit 2" 2 "$code"
lw "$(printf 'r\033[31mead')"
lacks "an escape typed as a verb does not reach the terminal" "$(printf '\033')" "$errout"
lw "$(printf '%04000d' 1)"
same "a very long verb is exit 2" 2 "$code"
same "none of this made a book" "" "$(find "$SCRATCH" -name "book*")"

if [ "$(id -u)" -eq 0 ]; then
	lw serve --lan
	same "--lan is refused to root" 2 "$code"
	has "with a reason" "ordinary user, or give --allow-root" "$errout"
fi
lw serve --tls-cert some.pem
same "a certificate without its key is exit 2" 2 "$code"
has "and it says what is missing" "--tls-key FILE is missing" "$errout"
lw serve --tls-key some.pem
same "a key without its certificate is exit 2" 2 "$code"
has "and it says what is missing" "--tls-cert FILE is missing" "$errout"
lw serve --port 99999
same "a port that is none is exit 2" 2 "$code"
lw serve extra
same "serve takes no words" 2 "$code"

# Serve says where it is, and ends on a signal.
"$LAMPWRIGHT" serve --port 0 >"$SCRATCH/serve.out" 2>"$SCRATCH/serve.err" &
pid=$!
tries=0
while ! grep -q "is at http" "$SCRATCH/serve.out" && [ $tries -lt 100 ]; do
	sleep 0.1
	tries=$((tries + 1))
done
has "serve says where it is" "Lampwright is at http://127.0.0.1:" "$(cat "$SCRATCH/serve.out")"
port=$(sed -n 's/.*127\.0\.0\.1:\([0-9]*\)\/.*/\1/p' "$SCRATCH/serve.out")
lw serve --port "$port"
same "a port that is taken is exit 3" 3 "$code"
kill -TERM $pid
code=0
wait $pid || code=$?
same "serve ends on a signal" 0 "$code"

# Colour is for terminals, and not with NO_COLOR.
lw read 5 --device field-cart-drive
lacks "no escapes in a pipe" "$(printf '\033')" "$out"
if command -v script >/dev/null; then
	styled=$(TERM=xterm script -qec "'$LAMPWRIGHT' read 5 --device field-cart-drive" /dev/null </dev/null)
	has "bold on a terminal" "$(printf '\033[1m')" "$styled"
	styled=$(TERM=xterm NO_COLOR=1 script -qec "'$LAMPWRIGHT' read 5 --device field-cart-drive" /dev/null </dev/null)
	lacks "not with NO_COLOR" "$(printf '\033[1m')" "$styled"
fi
finish
