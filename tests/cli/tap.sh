#!/bin/sh
# tap: keys in a real terminal (tests/cli/pty.c plays the person and the shell).
# The lamp is the invented field cart drive's; four flashes are its throttle.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db" TERM=xterm LC_ALL=C.UTF-8
pty=$BUILD/tests/pty
ready="wait Esc: end.
raw"

# play NAME PTY-OPTIONS... COMMAND...: by the script on standard input, in the
# background, as most of the time is waiting
play() {
	name=$1
	shift
	cat >"$SCRATCH/$name.script"
	"$pty" -o "$SCRATCH/$name.out" -t "$SCRATCH/$name.screen" "$@" \
		<"$SCRATCH/$name.script" >"$SCRATCH/$name.end" 2>&1 &
}
# played NAME: what became of it, in $end (how it ended, and the terminal),
# $out and $screen
played() {
	end=$(tr '\n' ' ' <"$SCRATCH/$1.end")
	out=$(cat "$SCRATCH/$1.out")
	screen=$(cat "$SCRATCH/$1.screen")
}
# last BEGINNING: the last such line of the screen
last() {
	printf '%s\n' "$screen" | tr -d '\r' | sed -n "s/.*\($1[^$esc]*\).*/\1/p" | tail -n 1
}
esc=$(printf '\033')
tap="$LAMPWRIGHT tap --device field-cart-drive"

# --- without a terminal ----------------------------------------------------------

run "$LAMPWRIGHT" tap
same "no terminal is exit 2" 2 "$code"
has "and it says what would do" "tap in a terminal" "$errout"
has "also for times in a file" "lampwright watch --taps" "$errout"
same "nothing on stdout" "" "$out"
run "$LAMPWRIGHT" tap --device field-cart-drve
same "an unknown device is exit 1" 1 "$code"
has "and the nearest is named" "field-cart-drive" "$errout"
run "$LAMPWRIGHT" tap --device field-cart-drive --lamp green
same "an unknown lamp is exit 1" 1 "$code"
has "and the lamps are named" "status" "$errout"
run "$LAMPWRIGHT" tap 4
same "a word has no place" 2 "$code"

# --- reading ----------------------------------------------------------------------

# shellcheck disable=SC2086 # a command and its arguments
{
	play four $tap <<END
$ready
taps 200 800 x 4 4 4
END
	# Each of several bytes, and one is missed.
	play arrows $tap --json <<END
$ready
taps 200 800 \e[A 4 4 3 4 4 4
END
	# Keys that the terminal would take for itself.
	play flow $tap --json <<END
$ready
taps 200 800 \x13 4 4 4
END
	play back $tap --json <<END
$ready
keys \x7f
wait no tap to take back
taps 200 800 x 4
taps 200 0 x 5
pause 150
keys \x7f
wait taken back
pause 450
taps 200 800 x 4 4
END
	play held $tap --json <<END
$ready
hold 400 33 20 x
wait held key counts once
pause 300
keys \e
END
	play together $tap <<END
$ready
keys xyz
wait come together
keys \e
END
	play silence "$LAMPWRIGHT" tap --json <<END
$ready
taps 200 600 x 3 5
END
	wait

	# --- ends -----------------------------------------------------------------

	play escape $tap <<END
$ready
taps 200 100 x 4
keys \e
END
	play end $tap --json <<END
$ready
keys \x04
END
	for signal in INT TERM HUP QUIT ABRT USR1; do
		play "$signal" $tap <<END
$ready
taps 200 0 x 2
signal $signal
END
	done
	play ctrl_c sh -c "trap : INT; $tap; exit \$?" <<END
$ready
keys x
pause 200
keys \x03
END
	play ctrl_backslash $tap <<END
$ready
keys \x1c
END
	play hangup $tap --json <<END
$ready
taps 200 300 x 3
hangup
END
	wait

	# --- suspended ----------------------------------------------------------------

	play suspend $tap --json <<END
$ready
taps 200 100 x 3
keys \x1a
stopped
cooked
pause 100
signal CONT
raw
wait begin again
taps 200 800 x 4 4 4
END
	play background $tap <<END
$ready
signal TSTP
stopped
cooked
background
signal CONT
pause 300
cooked
foreground
signal CONT
raw
keys \e
END
	play halt $tap <<END
$ready
signal STOP
stopped
signal CONT
pause 100
raw
keys \e
END

	# --- terminals -----------------------------------------------------------------

	play resize $tap <<END
$ready
taps 200 300 x 4
size 30 10
wait Backspace: take back. Esc: en\e[K
size 60 3
wait \e[2APerhaps
keys \e
END
	play narrow -c 40 $tap <<END
$ready
taps 200 700 x 4 3 4 5 3
keys \e
END
	play dumb env TERM=dumb LC_ALL=C $tap <<END
$ready
taps 200 800 x 4 4 4
END
	play deaf $tap --json <<END
$ready
deaf
taps 200 800 x 4 4 4
pause 600
listen
END
	wait
}

played four
same "three groups of four: it ends by itself" "exit 0 terminal as before " "$end"
has "what it read" "4, " "$out"
has "and how sure" "% sure" "$out"
has "and what that means" "Throttle signal out of range" "$out"
has "groups with their counts" "Groups: 4, 4" "$(last 'Groups: ')"
has "marks" "● ● ● ●" "$screen"
has "fast flashes are better filmed" "film it" "$screen"
lacks "the cursor is let be" "${esc}[?" "$screen"
lacks "no picture in the result" "$esc" "$out"

played arrows
same "a key of several bytes is one tap" "exit 0 terminal as before " "$end"
same "a flash that was missed: still four" 4 "$(printf %s "$out" | jq -r .pattern)"
same "looked up on the device" true "$(printf %s "$out" | jq -r .read.found)"
played flow
same "Ctrl-S is a key like others" "exit 0 terminal as before  4" "$end $(printf %s "$out" | jq -r .pattern)"
played back
same "Backspace takes a tap back" "exit 0 terminal as before  4" "$end $(printf %s "$out" | jq -r .pattern)"
played held
# Where the machine is busy a repeat or two may come late.
case "$end$(last 'now ')" in
"exit 1 terminal as before now "[123]) ok ;;
*) not_ok "a held key is one tap: $end $(last 'now ')" ;;
esac
played together
same "keys that come together are one tap" "exit 1 terminal as before  now 1" "$end $(last 'now ')"
played silence
has "when no key comes it ends" "terminal as before" "$end"
same "with what it has" true "$(printf %s "$out" | jq -r .is_taps)"

played escape
has "Esc ends it with what it has" " terminal as before" "$end"
has "and says it" "a tap" "$out"
played end
same "Ctrl-D too" "exit 1 terminal as before  null" "$end $(printf %s "$out" | jq -r .pattern)"
for signal in INT-2 TERM-15 HUP-1 QUIT-3 ABRT-6 USR1-10; do
	number=${signal#*-}
	[ "$signal" != USR1-10 ] || number=$(kill -l | tr ' ' '\n' | grep -n -x USR1 | cut -d: -f1)
	signal=${signal%-*}
	[ "$signal" != USR1 ] || number=10
	played "$signal"
	same "SIG$signal ends it as ever" "signal $number terminal as before " "$end"
	same "SIG$signal: no result" "" "$out"
done
played ctrl_c
same "Ctrl-C is 130 to a shell" "exit 130 terminal as before " "$end"
played ctrl_backslash
same "Ctrl-\\ ends it as ever" "signal 3 terminal as before " "$end"
played hangup
has "where the terminal goes away it ends" "exit " "$end"
same "and says what it has" true "$(printf %s "$out" | jq -r .is_taps)"

played suspend
same "suspended and continued, it reads on" "exit 0 terminal as before  4" "$end $(printf %s "$out" | jq -r .pattern)"
played background
same "in the background the terminal is let be" "exit 1 terminal as before " "$end"
played halt
same "stopped and continued" "exit 1 terminal as before " "$end"

played resize
has "another size" "terminal as before" "$end"
played narrow
same "40 columns" "" "$(printf '%s\n' "$screen" | tr -d '\r' | sed "s/$esc\[[0-9]*[A-Z]//g; s/●/o/g" | awk 'length($0) > 39')"
played dumb
same "without redrawing" "exit 0 terminal as before " "$end"
lacks "no escape sequences" "$esc" "$screen"
same "nothing but ASCII" "" "$(printf '%s' "$screen" | LC_ALL=C tr -d '\011-\176')"
has "a line for a group" "o o o o  4" "$screen"
played deaf
same "where nobody reads the screen it goes on" "exit 0 terminal as before  4" "$end $(printf %s "$out" | jq -r .pattern)"
finish
