#!/bin/sh
# setting: the ledger: changed, read, as of a day, between days, and back; and
# what settings do, as packs know it.
. "$SRC/tests/lib.sh"
export LAMPWRIGHT_BOOK="$SCRATCH/book.db"
lw() { run "$LAMPWRIGHT" "$@"; }

lw pack add "$SRC/tests/cli/bench.yaml"
lw rig new cart48 --title "Field cart"
lw rig set cart48 device.drive=bench-drive device.charger=bench-digits
lw rig use cart48
lw setting list
same "an empty ledger is exit 1" 1 "$code"
lw setting list --json
same "and a whole document" "true []" "$(printf %s "$out" | jq -r '[(.empty | tostring), (.entries | tostring)] | join(" ")')"

lw setting change cart48 drive "pull-away time" 0.9s 1.6s --why "jerked with a load of crates"
same "change" 0 "$code"
has "is said back" "drive: pull-away time was 0.9s and is 1.6s (entry 1)." "$out"
same "with nothing to complain of" "" "$errout"
lw setting change cart48 drive "pull-away time" 1.2s 2.0s
same "what the ledger does not explain is kept" 0 "$code"
has "and said" "the ledger had 1.6s last" "$errout"
lw setting read cart48 drive "low volts" 38V
has "read" "low volts is 38V, as read (entry 3)" "$out"
lw setting change cart48 charger "boost" -- -0.4V 0.2V
same "a value may be negative" 0 "$code"
lw trace --device drive --pattern 4 --json
lw setting change cart48 drive "creep" 4% 2% --job 1
lw job show 1 --json
same "a change belongs to its job" "creep 4% 2%" "$(printf %s "$out" | jq -r '.settings[0] | [.setting, .was, .became] | join(" ")')"
lw job report 1
has "and is in its report" "drive, creep: 4% to 2%" "$out"

lw setting list
same "list" 0 "$code"
has "what it was and became, and why" "0.9s to 1.6s; jerked with a load of crates" "$(flat "$out")"
has "what was only read" "read as 38V" "$out"
has "what is not explained" "the ledger had another value before" "$(flat "$out")"
same "80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
lw setting list cart48 --json
same "the keys" "back changes devices empty entries from has_wishes is_back is_difference is_history is_on now on rig shape title to today wishes" "$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "in the order written" "1 2 3 4 5" "$(printf %s "$out" | jq -r '[.entries[].entry] | join(" ")')"
lw setting list cart48 --device charger --json
same "of one device" "boost" "$(printf %s "$out" | jq -r '[.entries[].setting] | join(" ")')"
lw setting list cart48 --device motor
same "of a device without entries is exit 1" 1 "$code"

# Days: the entries are moved to known ones. The ledger refuses that, so its
# trigger goes first.
sqlite3 "$LAMPWRIGHT_BOOK" "drop trigger settings_stay;
	update settings set time_s = strftime('%s', '2026-03-01 12:00:00') where entry = 1;
	update settings set time_s = strftime('%s', '2026-03-05 12:00:00') where entry = 2;
	update settings set time_s = strftime('%s', '2026-03-05 13:00:00') where entry = 3;
	update settings set time_s = strftime('%s', '2026-03-09 12:00:00') where entry in (4, 5);"
lw setting list cart48 --on 2026-03-04
has "as of a day" "pull-away time  1.6s  since 2026-03-01" "$out"
lw setting list cart48 --on 2026-03-05 --json
same "the day counts to its end" "low volts 38V pull-away time 2.0s" "$(printf %s "$out" | jq -r '[.entries[] | .setting, .became] | join(" ")')"
lw setting list cart48 --on 2026-02-01
same "before the first entry is exit 1" 1 "$code"
lw setting list cart48 --from 2026-03-01 --to 2026-03-05
has "the difference" "pull-away time  1.6s to 2.0s" "$out"
has "what was not known" "low volts       not known to 38V" "$out"
lacks "and no more" "creep" "$out"
lw setting list cart48 --from 2026-03-05 --device drive
has "to now" "creep  4% to 2%" "$out"
lacks "of one device" "boost" "$out"
lw setting list cart48 --from 2026-03-09
same "no difference is exit 1" 1 "$code"
lw setting list cart48 --back 2026-03-01
has "to put back" "to set to be back at 2026-03-01" "$out"
has "from now to then" "pull-away time  2.0s to 1.6s" "$out"
has "from what it was before its first entry" "0.2V to -0.4V" "$out"

# Wrong uses.
for day in 2026-02-30 2026-3-1 yesterday 2026-13-01 "" 01.03.2026 2026-03-01x; do
	lw setting list cart48 --on "$day"
	same "not a day: \"$day\" is exit 2" 2 "$code"
	lacks "\"$day\": something is said" "||" "|$errout|"
done
lw setting list cart48 --on 2026-03-01 --back 2026-03-01
same "two kinds of day is exit 2" 2 "$code"
lw setting list cart48 --to 2026-03-01
same "--to without --from is exit 2" 2 "$code"
lw setting list cart48 drive
same "a word too many is exit 2" 2 "$code"
lw setting change cart48 drive "pull-away time" 1.6s
same "a value that is missing is exit 2" 2 "$code"
has "and what to do" "setting read" "$errout"
lw setting change cart48 drive pull-away time 0.9s 1.6s
same "words without quotes are exit 2" 2 "$code"
has "and what to do about them" "in quotes" "$errout"
lw setting read cart48 drive
same "read without a value is exit 2" 2 "$code"
lw setting change cart48 motor creep 1 2
same "no such device is exit 1" 1 "$code"
has "with those it has" "drive" "$errout"
lw setting change nobody drive creep 1 2
same "no such rig is exit 1" 1 "$code"
lw setting change cart48 drive creep 1 2 --job 99
same "no such job is exit 1" 1 "$code"
lw setting change cart48 drive creep 1 2 --job x
same "not a job is exit 2" 2 "$code"
lw setting change cart48 drive creep 1 ""
same "an empty value is exit 2" 2 "$code"
lw setting change cart48 drive "$(printf '%0201d' 1)" 1 2
same "a name too long is exit 2" 2 "$code"
lw setting change cart48 drive creep 1 "$(printf '\377')"
same "not UTF-8 is exit 2" 2 "$code"
lw setting change cart48 drive creep 1 "$(printf '1\n2')"
same "two lines are exit 2" 2 "$code"
lw setting remove 1
same "nothing is ever removed: exit 2" 2 "$code"
lw setting list cart48 --json
same "none of these kept anything" 5 "$(printf %s "$out" | jq '.entries | length')"
lw rig use --none
lw setting list
same "no rig is exit 1" 1 "$code"
# --- what is to be read or set once a tool is here -----------------------

lw rig new barn48
lw rig set barn48 device.drive=field-cart-drive
lw setting want barn48 drive "pull-away time" 1.6s --why "it jerks"
same "a setting is wanted" 0 "$code"
has "with its value" "drive: pull-away time is to be set to 1.6s (wish" "$out"
lw setting want barn48 drive "top speed"
has "one is only to be read" "drive: top speed is to be read (wish" "$out"
lw setting list barn48 --json
same "the list has both" "pull-away time,top speed" "$(printf %s "$out" | jq -r '[.wishes[].setting] | join(",")')"
same "the keys" "day device job last rig rig_title setting time to_read value when why wish" "$(printf %s "$out" | jq -r '.wishes[0] | keys | join(" ")')"
lw job waits --rig barn48
same "it waits: exit 0" 0 "$code"
has "what to read comes first" "drive: top speed" "$(printf '%s\n' "$out" | grep drive: | head -n 1)"
has "then what to set, and why" "set it to 1.6s (not known yet); it jerks" "$(printf '%s' "$out" | tr '\n' ' ' | tr -s ' ')"
lw setting read barn48 drive "top speed" 18
lw setting read barn48 drive "pull-away time" 0.9s
lw job waits --rig barn48 --json
same "what was read has left the list" "pull-away time 0.9s" "$(printf %s "$out" | jq -r '[.settings[] | .setting, .last] | join(" ")')"
wish=$(printf %s "$out" | jq .settings[0].wish)
lw setting unwant "$wish"
same "it is taken off" 0 "$code"
lw setting unwant "$wish"
same "once: exit 1" 1 "$code"
lw job waits --rig barn48
same "then nothing waits: exit 1" 1 "$code"
lw setting want barn48 drive
same "no setting is exit 2" 2 "$code"
lw setting want barn48 motor "top speed"
same "no such device is exit 1" 1 "$code"
lw setting unwant x
same "no number is exit 2" 2 "$code"

# --- what settings do ----------------------------------------------------

lw setting known
same "known" 0 "$code"
has "by part" "$(printf 'Pulling away\n')" "$out"
has "with what each does" "bench-takes-up How soon the bench pulls. It smooths the start." "$(flat "$out")"
same "80 columns" "" "$(printf '%s\n' "$out" | awk 'length($0) > 80')"
lw setting known --json
same "the keys" "empty parts shape" "$(printf %s "$out" | jq -r 'keys | join(" ")')"
same "the parts in their order" "bench-takes-up bench-cut-back" "$(printf %s "$out" | jq -r '[.parts[].settings[].setting | select(startswith("bench-"))] | join(" ")')"
lw setting known bench-cut-back
same "one" 0 "$code"
has "its cautions come first" "WARNING: The bench can roll. Chock it." "$(printf '%s\n' "$out" | sed -n 2p)"
has "what it does" "Does: It pulls less once the voltage sinks below a limit." "$(flat "$out")"
has "too little" "Too little: It drains the cells." "$(flat "$out")"
has "too much" "Too much: It limps long before the battery is empty." "$(flat "$out")"
has "what to write down" "Write down first: The volts that were set." "$(flat "$out")"
has "the symptom" "bench-dead Bench does nothing (symptom)" "$(flat "$out")"
has "the fault" "bench-low Bench voltage too low (fault)" "$(flat "$out")"
lw setting known bench-takes-up
lacks "nothing that it does not have" "Too little" "$out"
lacks "nor what it does not look like" "can look like" "$out"
lw setting known bench-cut-back --json
same "the keys of one" "cautions does faults high looks_like low part record rig symptoms" "$(printf %s "$out" | jq -r '.setting | keys | join(" ")')"
same "with their titles" "Bench voltage too low" "$(printf %s "$out" | jq -r '.setting.faults[0].title')"
lw find limps long before
has "search finds it" "bench-cut-back When the bench cuts back" "$(flat "$out")"
has "with its kind" "Settings" "$out"
has "and how to read it" "lampwright setting known NAME" "$out"
lw find bench does nothing
lacks "which is not said for nothing" "setting known" "$out"
lw setting known bench-cut-bac
same "no such setting is exit 1" 1 "$code"
has "with the nearest" "bench-cut-back" "$errout"
lw setting known bench cut-back
same "two words are exit 2" 2 "$code"
for pack in $("$LAMPWRIGHT" pack list --json | jq -r '.items[].id'); do
	lw pack remove "$pack"
done
lw setting known
same "a book without any is exit 1" 1 "$code"
has "which is said" "no pack in the book says what settings do" "$errout"
lw setting known --json
same "with a whole document" "true 0" "$(printf %s "$out" | jq -r '[.empty, (.parts | length)] | join(" ")')"
finish
