-- To version 3: values of rigs that packs bring, bands whose ends are
-- expressions over them, and what is kept of a reading's last digit and
-- uncertainty.
-- Every column has its comment on its line, as in schema.sql.

-- Items may be values: the table is made again with a wider check.
CREATE TABLE wider_items (
	number INTEGER PRIMARY KEY, -- used inside the book only
	kind TEXT NOT NULL CHECK (kind IN ('device', 'fault', 'symptom', 'cause', 'check', 'point', 'tree', 'caution', 'value')), -- what it is
	id TEXT NOT NULL, -- the author's name for it
	pack TEXT NOT NULL REFERENCES packs (name) ON DELETE CASCADE, -- whose it is
	seq INTEGER NOT NULL, -- its place among its kind in the pack
	title TEXT NOT NULL, -- one line
	source TEXT, -- where the content comes from
	made_s INTEGER NOT NULL, -- when it was put in
	UNIQUE (kind, id)
) STRICT;
INSERT INTO wider_items (number, kind, id, pack, seq, title, source, made_s)
SELECT number, kind, id, pack, seq, title, source, made_s FROM items;
DROP TABLE items;
ALTER TABLE wider_items RENAME TO items;
CREATE INDEX items_of_pack ON items (pack, kind, seq);

-- What can be said of a rig, besides what is built in.
CREATE TABLE pack_values (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the value
	part TEXT, -- what it belongs to: a heading
	help TEXT, -- what it is and why it matters
	place TEXT, -- where to find it on the vehicle
	kind TEXT NOT NULL CHECK (kind IN ('choice', 'quantity', 'accuracy')), -- what may be said
	unit TEXT, -- of a quantity: the one it is asked for in
	low REAL, -- of a quantity: the least that is plausible, in unit
	high REAL, -- of a quantity: the most that is plausible, in unit
	tolerance TEXT, -- taken where none is said
	usual TEXT, -- taken where nothing is said
	worked TEXT -- expression that gives it from other values
) STRICT;

CREATE TABLE pack_value_choices (
	item INTEGER NOT NULL REFERENCES pack_values (item) ON DELETE CASCADE, -- the value
	seq INTEGER NOT NULL, -- the author's order
	id TEXT NOT NULL, -- the word
	title TEXT NOT NULL, -- one line
	PRIMARY KEY (item, seq),
	UNIQUE (item, id)
) STRICT, WITHOUT ROWID;

-- A band's end is a number or an expression; then the number is NULL.
ALTER TABLE outcomes ADD COLUMN from_says TEXT; -- expression for the least reading
ALTER TABLE outcomes ADD COLUMN below_says TEXT; -- expression for what the reading is less than

-- Kinds of findings from here on: 26 value.
ALTER TABLE findings ADD COLUMN step REAL; -- what one more in the reading's last digit was, in unit
ALTER TABLE findings ADD COLUMN spread REAL; -- expanded uncertainty of the reading, in unit
ALTER TABLE findings ADD COLUMN also TEXT; -- of a reading too close to call: id of the other outcome that it may have been

PRAGMA user_version = 3;
