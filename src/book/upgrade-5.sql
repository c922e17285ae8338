-- To version 5: settings by what they do, walk-throughs, and causes that
-- nothing but a repair tells apart.
-- Every column has its comment on its line, as in schema.sql.

-- Items may be settings: the table is made again with a wider check.
CREATE TABLE wider_items (
	number INTEGER PRIMARY KEY, -- used inside the book only
	kind TEXT NOT NULL CHECK (kind IN ('device', 'fault', 'symptom', 'cause', 'check', 'point', 'tree', 'caution', 'value', 'setting')), -- what it is
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

-- What can be set in a device, by what it does. The ledger of what was set in
-- a builder's own devices is in the table settings.
CREATE TABLE pack_settings (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the setting
	part TEXT, -- what it is for: a heading
	does TEXT, -- what it does for the driver and the machine
	low TEXT, -- what too little of it looks like
	high TEXT, -- what too much of it looks like
	record TEXT -- what to write down before it is changed
) STRICT;

CREATE TABLE pack_setting_refs (
	item INTEGER NOT NULL REFERENCES pack_settings (item) ON DELETE CASCADE, -- the setting
	kind TEXT NOT NULL CHECK (kind IN ('fault', 'symptom', 'caution')), -- what it refers to
	seq INTEGER NOT NULL, -- the author's order
	id TEXT NOT NULL, -- id of a fault or symptom that a wrong value looks like, or of a caution
	PRIMARY KEY (item, kind, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX pack_setting_refs_to ON pack_setting_refs (kind, id);

-- Trees whose every step should pass.
ALTER TABLE trees ADD COLUMN walk INTEGER NOT NULL DEFAULT 0 CHECK (walk IN (0, 1)); -- a walk-through
ALTER TABLE trees ADD COLUMN description TEXT; -- when it is for, and what to have at hand
ALTER TABLE trees ADD COLUMN passed TEXT; -- of a walk-through: what can be said when every step passed
ALTER TABLE tree_steps ADD COLUMN only_on TEXT; -- of a walk-through: rigs that the step is for

-- Causes that no check tells apart, as the author knows.
CREATE TABLE cause_alike (
	item INTEGER NOT NULL REFERENCES causes (item) ON DELETE CASCADE, -- the cause
	seq INTEGER NOT NULL, -- the author's order
	cause TEXT NOT NULL, -- id of the other cause
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

PRAGMA user_version = 5;
