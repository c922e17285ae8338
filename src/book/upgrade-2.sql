-- To version 2: rigs with their facts and points, the settings ledger, what
-- devices say about themselves, who holds a vehicle, paired screens; and in the
-- catalogue the rules by rig, compulsory checks, and what a fix needs and may
-- have spared.
-- Every column has its comment on its line, as in schema.sql.

-- The vehicles.
CREATE TABLE rigs (
	rig TEXT NOT NULL PRIMARY KEY, -- the builder's name for it
	title TEXT NOT NULL, -- one line
	removed INTEGER NOT NULL CHECK (removed IN (0, 1)), -- taken out of the lists; what is on it stays
	made_s INTEGER NOT NULL -- when it was made
) STRICT, WITHOUT ROWID;

-- What is known of a rig; what is not known has no row.
CREATE TABLE rig_facts (
	rig TEXT NOT NULL REFERENCES rigs (rig) ON DELETE CASCADE, -- the rig
	key TEXT NOT NULL, -- motor, pack.full, tools, device.NAME, ...
	value TEXT NOT NULL, -- as it is shown
	set_s INTEGER NOT NULL, -- when it was set
	PRIMARY KEY (rig, key)
) STRICT, WITHOUT ROWID;

-- The builder's words for a point. It refers to points by id, without a
-- foreign key: packs come and go.
CREATE TABLE rig_points (
	rig TEXT NOT NULL REFERENCES rigs (rig) ON DELETE CASCADE, -- the rig
	point TEXT NOT NULL, -- the point's id
	words TEXT NOT NULL, -- plug, pin, wire colour
	set_s INTEGER NOT NULL, -- when they were set
	PRIMARY KEY (rig, point)
) STRICT, WITHOUT ROWID;

-- The settings ledger: append-only.
CREATE TABLE settings (
	entry INTEGER PRIMARY KEY AUTOINCREMENT, -- its number
	time_s INTEGER NOT NULL, -- when it was changed or read
	rig TEXT NOT NULL, -- the rig's name
	device TEXT NOT NULL, -- the rig's name for the device
	setting TEXT NOT NULL, -- what the device calls it
	was TEXT, -- the value before; NULL where it was only read
	became TEXT NOT NULL, -- the value since
	why TEXT, -- the builder's words
	job INTEGER -- the job it belongs to
) STRICT;
CREATE INDEX settings_of ON settings (rig, device, setting, entry);
CREATE INDEX settings_of_job ON settings (job) WHERE job IS NOT NULL;
CREATE TRIGGER settings_add BEFORE INSERT ON settings
WHEN EXISTS (SELECT 1 FROM settings WHERE entry = new.entry)
BEGIN
	SELECT raise(ABORT, 'an entry of the ledger is never replaced');
END;
CREATE TRIGGER settings_stay BEFORE UPDATE ON settings
BEGIN
	SELECT raise(ABORT, 'an entry of the ledger is never changed');
END;
CREATE TRIGGER settings_remain BEFORE DELETE ON settings
BEGIN
	SELECT raise(ABORT, 'an entry of the ledger is never removed');
END;

-- What a vehicle and its devices say about themselves: append-only.
CREATE TABLE records (
	record INTEGER PRIMARY KEY AUTOINCREMENT, -- its number
	time_s INTEGER NOT NULL, -- when it was read
	rig TEXT NOT NULL, -- the rig's name
	device TEXT NOT NULL, -- the rig's name for the device
	kind TEXT NOT NULL CHECK (kind IN ('hours', 'firmware', 'fault', 'live')), -- what it is
	subject TEXT, -- of a fault: as the device shows it; of a live value: its name
	value TEXT, -- hours, version or live value, as shown
	count INTEGER, -- of a fault: how often it was logged
	words TEXT, -- the builder's
	job INTEGER -- the job it belongs to
) STRICT;
CREATE INDEX records_of ON records (rig, record);
CREATE INDEX records_of_job ON records (job) WHERE job IS NOT NULL;
CREATE TRIGGER records_add BEFORE INSERT ON records
WHEN EXISTS (SELECT 1 FROM records WHERE record = new.record)
BEGIN
	SELECT raise(ABORT, 'a record is never replaced');
END;
CREATE TRIGGER records_stay BEFORE UPDATE ON records
BEGIN
	SELECT raise(ABORT, 'a record is never changed');
END;
CREATE TRIGGER records_remain BEFORE DELETE ON records
BEGIN
	SELECT raise(ABORT, 'a record is never removed');
END;

-- Which screen holds a vehicle: at most one row for each.
CREATE TABLE holds (
	vehicle TEXT NOT NULL PRIMARY KEY, -- which one: "rig NAME", or "job N" for a job without a rig
	job INTEGER NOT NULL REFERENCES jobs (job), -- the job that it is held for
	screen TEXT NOT NULL, -- the screen's id
	name TEXT NOT NULL, -- what people call the screen
	since_s INTEGER NOT NULL, -- when it took the vehicle
	last_s INTEGER NOT NULL, -- when it last did something
	asker TEXT, -- id of the screen that asks for it
	asker_name TEXT, -- what people call that screen
	asked_s INTEGER -- when it asked
) STRICT, WITHOUT ROWID;

-- Paired screens: browsers that may use the book over the network.
CREATE TABLE screens (
	number INTEGER PRIMARY KEY AUTOINCREMENT CHECK (number > 0), -- what people call it by; never used again
	key TEXT NOT NULL UNIQUE CHECK (length(key) = 64 AND key NOT GLOB '*[^0-9a-f]*'), -- SHA-256 of its cookie, hexadecimal: the screen's id in holds
	name TEXT NOT NULL, -- what people call the screen
	agent TEXT NOT NULL, -- what the browser says it is
	since_s INTEGER NOT NULL, -- when it was paired
	last_s INTEGER NOT NULL, -- when it was last seen, to the minute
	until_s INTEGER NOT NULL CHECK (until_s >= since_s) -- when the pairing ends by itself
) STRICT;

-- Jobs: which vehicle it is, the question as it was shown, and what a fix or
-- a proof is about. Kinds of findings from here on: 12 differs, 13 not seen,
-- 14 pick, 15 suppose, 16 begun, 17 fixed, 18 struck, 19 proved, 20 not
-- proved, 21 gone, 22 still, 23 wait, 24 make safe, 25 take.
ALTER TABLE jobs ADD COLUMN rig TEXT; -- the rig's name
ALTER TABLE findings ADD COLUMN ask TEXT; -- the question as it was shown then
ALTER TABLE findings ADD COLUMN about TEXT; -- of a fix or proof: the cause's id

-- What was concluded from a finding when it was given. It stays though a pack
-- is read in again without the check; NULL in findings of version 1.
ALTER TABLE findings ADD COLUMN power TEXT; -- of an answer to a check: the power state that was proved after it, or NULL
ALTER TABLE findings ADD COLUMN leads TEXT; -- of an answer to a way in, or what put one aside: the power state that it leads into
ALTER TABLE findings ADD COLUMN passed INTEGER NOT NULL DEFAULT 0 CHECK (passed IN (0, 1)); -- it gave what is expected
ALTER TABLE findings ADD COLUMN stop TEXT; -- where it says to stop: the sentence, as it was shown then
ALTER TABLE findings ADD COLUMN say TEXT; -- what the outcome says to the person, as it was shown then

-- The rig in hand.
ALTER TABLE book ADD COLUMN rig TEXT; -- the rig's name, or NULL

-- Rules by rig: "key=value key=value ..."; NULL for every rig.
ALTER TABLE checks ADD COLUMN only_on TEXT; -- rigs that it is compulsory on
ALTER TABLE check_steps ADD COLUMN only_on TEXT; -- rigs that it is shown for
ALTER TABLE cautions ADD COLUMN only_on TEXT; -- rigs that it is shown for
ALTER TABLE cautions ADD COLUMN from_volts REAL; -- shown where the pack charges to this or more
ALTER TABLE cautions ADD COLUMN from_joules REAL; -- shown where the capacitors store this or more

-- Outcomes that end what was proved, or everything.
ALTER TABLE outcomes ADD COLUMN unproves INTEGER NOT NULL DEFAULT 0 CHECK (unproves IN (0, 1)); -- the proved state is lost with it
ALTER TABLE outcomes ADD COLUMN stops INTEGER NOT NULL DEFAULT 0 CHECK (stops IN (0, 1)); -- stop at once and get away

-- Compulsory checks before a way into a power state.
CREATE TABLE check_after (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the order to do them in
	check_id TEXT NOT NULL, -- id of the check that comes first
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

ALTER TABLE symptoms ADD COLUMN again TEXT; -- the power state to try it in once more
ALTER TABLE faults ADD COLUMN again TEXT; -- the power state to try it in once more
ALTER TABLE causes ADD COLUMN tools TEXT; -- what the fix is done with
ALTER TABLE causes ADD COLUMN damages TEXT; -- what else it may have damaged

-- Notes may be on a rig: the table is made again with a wider check.
CREATE TABLE wider_notes (
	note INTEGER PRIMARY KEY AUTOINCREMENT, -- its number; never used again
	subject_kind TEXT NOT NULL CHECK (subject_kind IN ('device', 'pattern', 'fault', 'symptom', 'cause', 'check', 'rig', 'job')), -- what kind of thing it is on
	subject TEXT NOT NULL, -- its id; of a pattern "PATTERN" or "DEVICE PATTERN"
	words TEXT NOT NULL, -- the note
	made_s INTEGER NOT NULL -- when it was written
) STRICT;
INSERT INTO sqlite_sequence (name, seq)
SELECT 'wider_notes', seq FROM sqlite_sequence WHERE name = 'notes';
INSERT INTO wider_notes (note, subject_kind, subject, words, made_s)
SELECT note, subject_kind, subject, words, made_s FROM notes;
DROP TABLE notes;
ALTER TABLE wider_notes RENAME TO notes;
CREATE INDEX notes_on ON notes (subject_kind, subject);

PRAGMA user_version = 2;
