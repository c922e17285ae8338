#!/bin/sh
# Writes a book as SQL text that makes the same book again:
#     sh tests/books/dump.sh BOOK.db schema.sql upgrade-2.sql ... >tests/books/vN.sql
# The schema is taken from the files, so that it is the one of that version;
# rows come from the book. The index is filled last, by its own columns.
set -eu
book=$1
shift

cat "$@" | grep -v '^INSERT INTO book \|^INSERT INTO packs \|^VALUES (.own'
echo
sqlite3 -readonly "$book" "SELECT name FROM sqlite_schema WHERE type = 'table'
	AND name NOT LIKE 'sqlite_%' AND name NOT GLOB '*_text*'
	ORDER BY CASE name WHEN 'items' THEN 1 WHEN 'packs' THEN 0 ELSE 2 END, rowid" |
	while read -r table; do
		sqlite3 -readonly "$book" ".mode insert $table" "SELECT * FROM $table" </dev/null
	done
for index in 'item_text (rowid, title, phrases, body, id)' 'note_text (rowid, words)'; do
	columns=${index#*(}
	sqlite3 -readonly "$book" ".mode insert ${index%% *}" \
		"SELECT ${columns%)} FROM ${index%% *}" |
		sed "s/^INSERT INTO ${index%% *} VALUES/INSERT INTO $index VALUES/"
done
