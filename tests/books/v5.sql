-- The book, version 1. Every column has its comment on its line.
-- Texts that are absent are NULL. Times are seconds since 1970, UTC.
-- Yes and no are 1 and 0. Enumerations are kept as their words.

PRAGMA application_id = 1279348048; -- the bytes "LAMP"
PRAGMA user_version = 1;

-- One row: what is true of the book as a whole.
CREATE TABLE book (
	one INTEGER PRIMARY KEY CHECK (one = 1), -- keeps it at one row
	change INTEGER NOT NULL -- raised by every change to the book
) STRICT;

-- Packs that were read in, and "own", which is the builder's.
CREATE TABLE packs (
	name TEXT NOT NULL PRIMARY KEY, -- its id
	title TEXT, -- one line
	version TEXT, -- as the author wrote it
	license TEXT, -- as the author wrote it
	source TEXT, -- where its content comes from
	digest TEXT, -- of the text that it was read from
	shipped INTEGER NOT NULL CHECK (shipped IN (0, 1)), -- it came with the program
	removed INTEGER NOT NULL CHECK (removed IN (0, 1)), -- the builder took it out; only this row is left
	read_s INTEGER NOT NULL -- when it was read in or taken out
) STRICT, WITHOUT ROWID;

-- Everything that has an id, of every kind. Ids are unique within a kind.
-- Other tables refer from pack to pack by id, without a foreign key, since
-- packs come and go; what hangs on an item goes with it.
CREATE TABLE items (
	number INTEGER PRIMARY KEY, -- used inside the book only
	kind TEXT NOT NULL CHECK (kind IN ('device', 'fault', 'symptom', 'cause', 'check', 'point', 'tree', 'caution')), -- what it is
	id TEXT NOT NULL, -- the author's name for it
	pack TEXT NOT NULL REFERENCES packs (name) ON DELETE CASCADE, -- whose it is
	seq INTEGER NOT NULL, -- its place among its kind in the pack
	title TEXT NOT NULL, -- one line
	source TEXT, -- where the content comes from
	made_s INTEGER NOT NULL, -- when it was put in
	UNIQUE (kind, id)
) STRICT;
CREATE INDEX items_of_pack ON items (pack, kind, seq);

-- Things with a lamp.
CREATE TABLE devices (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the device
	kind TEXT, -- controller, charger, battery monitor, ...
	description TEXT, -- where it sits, what it looks like
	invented INTEGER NOT NULL CHECK (invented IN (0, 1)) -- for the demonstration only
) STRICT;

CREATE TABLE lamps (
	item INTEGER NOT NULL REFERENCES devices (item) ON DELETE CASCADE, -- the device
	seq INTEGER NOT NULL, -- the author's order
	id TEXT NOT NULL, -- unique in the device
	title TEXT, -- one line
	colour TEXT, -- as seen
	coding TEXT, -- count, digits, ...; NULL not known
	on_s REAL, -- seconds lit in a flash
	gap_s REAL, -- seconds dark between flashes of a group
	group_gap_s REAL, -- seconds dark between groups
	pause_s REAL, -- seconds dark before the repeat
	slow TEXT, -- canonical pattern that the word stands for
	fast TEXT, -- canonical pattern that the word stands for
	flicker TEXT, -- canonical pattern that the word stands for
	source TEXT, -- where this comes from
	PRIMARY KEY (item, seq),
	UNIQUE (item, id)
) STRICT, WITHOUT ROWID;

-- What a pack says that a device's patterns mean.
CREATE TABLE codes (
	item INTEGER NOT NULL REFERENCES devices (item) ON DELETE CASCADE, -- the device
	seq INTEGER NOT NULL, -- the author's order
	lamp TEXT NOT NULL, -- the lamp's id
	pattern TEXT NOT NULL, -- canonical
	fault TEXT, -- the fault's id
	meaning TEXT, -- in the device's own words
	PRIMARY KEY (item, seq),
	UNIQUE (item, lamp, pattern)
) STRICT, WITHOUT ROWID;

-- What the builder taught. It refers to devices by id, without a foreign
-- key: it outlives re-reading, and removing, the pack that has the device.
CREATE TABLE own_codes (
	number INTEGER PRIMARY KEY, -- the order in which they were taught
	device TEXT NOT NULL, -- the device's id
	lamp TEXT NOT NULL, -- the lamp's id
	pattern TEXT NOT NULL, -- canonical
	fault TEXT, -- the fault's id
	meaning TEXT, -- in the builder's words
	made_s INTEGER NOT NULL, -- when it was taught
	UNIQUE (device, lamp, pattern)
) STRICT;

CREATE TABLE faults (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the fault
	meaning TEXT, -- what the device noticed
	severity TEXT, -- stops, limits, warns, informs
	clears TEXT, -- how it usually clears
	meanwhile TEXT -- what may be done meanwhile
) STRICT;

CREATE TABLE fault_causes (
	item INTEGER NOT NULL REFERENCES faults (item) ON DELETE CASCADE, -- the fault
	seq INTEGER NOT NULL, -- the author's order
	cause TEXT NOT NULL, -- the cause's id
	word TEXT, -- its weight for this fault
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE symptoms (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the symptom
	description TEXT -- one or two sentences
) STRICT;

CREATE TABLE symptom_phrases (
	item INTEGER NOT NULL REFERENCES symptoms (item) ON DELETE CASCADE, -- the symptom
	seq INTEGER NOT NULL, -- the author's order
	phrase TEXT NOT NULL, -- how people say it
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE symptom_patterns (
	item INTEGER NOT NULL REFERENCES symptoms (item) ON DELETE CASCADE, -- the symptom
	seq INTEGER NOT NULL, -- the author's order
	pattern TEXT NOT NULL, -- PCRE2, matched without case
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE symptom_causes (
	item INTEGER NOT NULL REFERENCES symptoms (item) ON DELETE CASCADE, -- the symptom
	seq INTEGER NOT NULL, -- the author's order
	cause TEXT NOT NULL, -- the cause's id
	word TEXT, -- its weight for this symptom
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE symptom_cautions (
	item INTEGER NOT NULL REFERENCES symptoms (item) ON DELETE CASCADE, -- the symptom
	seq INTEGER NOT NULL, -- the author's order
	caution TEXT NOT NULL, -- the caution's id
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE causes (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the cause
	weight TEXT, -- common, occasional, rare
	why TEXT, -- why it usually happens
	fix TEXT, -- what to do
	parts TEXT, -- what to have at hand
	proof TEXT -- how to prove that it is cured
) STRICT;

-- Places to put a probe.
CREATE TABLE points (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the point
	place TEXT -- plain description
) STRICT;

-- A caution's title is its hazard.
CREATE TABLE cautions (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the caution
	signal TEXT, -- danger, warning, caution, notice
	avoid TEXT, -- how to stay clear of it
	place TEXT, -- where it is
	otherwise TEXT -- what happens if not
) STRICT;

CREATE TABLE caution_states (
	item INTEGER NOT NULL REFERENCES cautions (item) ON DELETE CASCADE, -- the caution
	power TEXT NOT NULL, -- goes with every check made in this power state
	PRIMARY KEY (item, power)
) STRICT, WITHOUT ROWID;

CREATE TABLE checks (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE, -- the check
	ask TEXT, -- the one question
	meter TEXT, -- volts dc, ohms, ...; NULL none is used
	unit TEXT, -- of a reading; NULL for a choice
	power TEXT, -- the power state it is made in
	reason TEXT, -- why it has to be live, and how to limit it
	minutes REAL NOT NULL, -- how long it takes
	black TEXT, -- point id for the black probe
	red TEXT, -- point id for the red probe
	mistake TEXT -- the usual mistake
) STRICT;

CREATE TABLE check_steps (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the order to do them in
	step TEXT NOT NULL, -- one instruction
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE check_points (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the author's order
	point TEXT NOT NULL, -- the point's id
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE check_tools (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the author's order
	tool TEXT NOT NULL, -- its name
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE check_cautions (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the author's order
	caution TEXT NOT NULL, -- the caution's id
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE outcomes (
	item INTEGER NOT NULL REFERENCES checks (item) ON DELETE CASCADE, -- the check
	seq INTEGER NOT NULL, -- the author's order
	id TEXT NOT NULL, -- unique in the check
	title TEXT, -- one line
	from_value REAL, -- a reading of at least this, in the check's unit
	below_value REAL, -- a reading of less than this, in the check's unit
	expected INTEGER NOT NULL CHECK (expected IN (0, 1)), -- what a sound vehicle gives
	say TEXT, -- what to tell the person who gets it
	enters TEXT, -- the power state that it proves
	PRIMARY KEY (item, seq),
	UNIQUE (item, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX outcomes_by_state ON outcomes (enters) WHERE enters IS NOT NULL;

-- How often an outcome is seen when a cause is the one.
CREATE TABLE outcome_speaks (
	item INTEGER NOT NULL, -- the check
	outcome INTEGER NOT NULL, -- the outcome's seq
	seq INTEGER NOT NULL, -- the author's order
	cause TEXT NOT NULL, -- the cause's id
	word TEXT, -- always, usually, sometimes, rarely, never
	PRIMARY KEY (item, outcome, seq),
	FOREIGN KEY (item, outcome) REFERENCES outcomes (item, seq) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
CREATE INDEX outcome_speaks_of ON outcome_speaks (cause);

CREATE TABLE trees (
	item INTEGER PRIMARY KEY REFERENCES items (number) ON DELETE CASCADE -- the tree
) STRICT;

CREATE TABLE tree_faults (
	item INTEGER NOT NULL REFERENCES trees (item) ON DELETE CASCADE, -- the tree
	seq INTEGER NOT NULL, -- the author's order
	fault TEXT NOT NULL, -- id of a fault that it is for
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX tree_faults_of ON tree_faults (fault);

CREATE TABLE tree_symptoms (
	item INTEGER NOT NULL REFERENCES trees (item) ON DELETE CASCADE, -- the tree
	seq INTEGER NOT NULL, -- the author's order
	symptom TEXT NOT NULL, -- id of a symptom that it is for
	PRIMARY KEY (item, seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX tree_symptoms_of ON tree_symptoms (symptom);

CREATE TABLE tree_steps (
	item INTEGER NOT NULL REFERENCES trees (item) ON DELETE CASCADE, -- the tree
	seq INTEGER NOT NULL, -- the author's order; the first one starts
	id TEXT NOT NULL, -- unique in the tree
	check_id TEXT, -- the check's id
	PRIMARY KEY (item, seq),
	UNIQUE (item, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE tree_branches (
	item INTEGER NOT NULL, -- the tree
	step INTEGER NOT NULL, -- the step's seq
	seq INTEGER NOT NULL, -- the author's order
	outcome TEXT NOT NULL, -- the outcome's id, or "cannot"
	kind TEXT NOT NULL CHECK (kind IN ('step', 'cause', 'unsure', 'stop')), -- where it leads
	target TEXT, -- step id or cause id; words otherwise
	PRIMARY KEY (item, step, seq),
	FOREIGN KEY (item, step) REFERENCES tree_steps (item, seq) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- The builder's words on something. It refers by id, without a foreign key:
-- notes outlive the packs.
CREATE TABLE notes (
	note INTEGER PRIMARY KEY AUTOINCREMENT, -- its number; never used again
	subject_kind TEXT NOT NULL CHECK (subject_kind IN ('device', 'pattern', 'fault', 'symptom', 'cause', 'check', 'job')), -- what kind of thing it is on
	subject TEXT NOT NULL, -- its id; of a pattern "PATTERN" or "DEVICE PATTERN"
	words TEXT NOT NULL, -- the note
	made_s INTEGER NOT NULL -- when it was written
) STRICT;
CREATE INDEX notes_on ON notes (subject_kind, subject);

-- One fault-finding. All that happened in it is in its findings.
CREATE TABLE jobs (
	job INTEGER PRIMARY KEY AUTOINCREMENT, -- its number; never used again
	created_s INTEGER NOT NULL, -- when it was opened
	device TEXT, -- the device's id
	lamp TEXT, -- the lamp's id
	title TEXT NOT NULL -- one line
) STRICT;

-- Append-only: what is taken back is taken back by a further finding.
CREATE TABLE findings (
	job INTEGER NOT NULL REFERENCES jobs (job), -- the job
	serial INTEGER NOT NULL, -- from 1, without holes
	time_s INTEGER NOT NULL, -- when it was found
	kind INTEGER NOT NULL CHECK (kind >= 1), -- 1 pattern, 2 symptom, 3 tree, 4 check, 5 cannot, 6 skip, 7 take up, 8 resume, 9 undo, 10 close, 11 reopen
	subject TEXT, -- the pattern, or the id of what it is about
	title TEXT, -- the subject's title as it was shown then
	outcome TEXT, -- the outcome's id
	outcome_title TEXT, -- as it was shown then
	value REAL, -- the reading, in unit; infinity is OL
	unit TEXT, -- of the reading
	expected TEXT, -- the expectation as it was shown then
	words TEXT, -- the builder's
	PRIMARY KEY (job, serial)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER findings_in_order BEFORE INSERT ON findings
WHEN new.serial <> (SELECT coalesce(max(serial), 0) + 1 FROM findings WHERE job = new.job)
BEGIN
	SELECT raise(ABORT, 'a finding takes the next serial');
END;
CREATE TRIGGER findings_stay BEFORE UPDATE ON findings
BEGIN
	SELECT raise(ABORT, 'a finding is never changed');
END;
CREATE TRIGGER findings_remain BEFORE DELETE ON findings
BEGIN
	SELECT raise(ABORT, 'a finding is never removed');
END;

-- The index of symptoms, faults, causes, checks and devices; rowid is the
-- item's number.
CREATE VIRTUAL TABLE item_text USING fts5 (
	title, -- the item's
	phrases, -- other phrasings, a line each
	body, -- all else that is worth finding, a line each
	id, -- the item's
	tokenize = 'porter unicode61 remove_diacritics 2',
	prefix = '2 3 4'
);

-- The index of notes; rowid is the note's number.
CREATE VIRTUAL TABLE note_text USING fts5 (
	words, -- the note
	tokenize = 'porter unicode61 remove_diacritics 2',
	prefix = '2 3 4'
);

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
-- To version 4: how long fixes take, what jobs came to (which priors learn
-- from), and settings that wait for a tool.
-- Every column has its comment on its line, as in schema.sql.

ALTER TABLE causes ADD COLUMN minutes REAL; -- to do the fix and see whether it cured

-- What each job that ended cured came to. It says nothing that the findings
-- do not, and is written with the finding that changes it.
CREATE TABLE cures (
	cure INTEGER PRIMARY KEY AUTOINCREMENT, -- counts up in the order in which they came; never used again
	job INTEGER NOT NULL UNIQUE REFERENCES jobs (job), -- the job
	cause TEXT NOT NULL, -- id of the cause that was proved
	device TEXT, -- the device's id
	fault TEXT, -- id of the fault that the job began with
	symptom TEXT, -- id of the symptom that it began with
	time_s INTEGER NOT NULL -- when it was found to be gone
) STRICT;
CREATE INDEX cures_of_fault ON cures (fault) WHERE fault IS NOT NULL;
CREATE INDEX cures_of_symptom ON cures (symptom) WHERE symptom IS NOT NULL;

-- Those of the jobs that there are, by their findings, replayed as jobs do it:
-- `stack` has what an undo (9) may take back, eleven characters each: a bar and
-- the serial of a finding that it is gone (21), the letter w for a wait (23),
-- points for any other answer. An undo of a closed job takes back the closing
-- (10) alone; going on (8) and opening again (11) end a wait; what came before
-- an opening again is no cure any more. It begins at the first 21, since
-- nothing below that matters. What a job began with (1, 2) cannot be undone.
WITH RECURSIVE firsts (job, serial) AS (
	SELECT job, min(serial) FROM findings WHERE kind = 21 GROUP BY job
), replay (job, serial, stack, closed, opened) AS (
	SELECT job, serial, printf('|%010d', serial),
		coalesce((SELECT ends.kind = 10 FROM findings AS ends
			WHERE ends.job = firsts.job AND ends.kind IN (9, 10, 11)
			AND ends.serial < firsts.serial
			ORDER BY ends.serial DESC LIMIT 1), 0), 0
	FROM firsts
	UNION ALL
	SELECT f.job, f.serial,
		CASE
		WHEN f.kind = 21 THEN stack || printf('|%010d', f.serial)
		WHEN f.kind = 23 THEN stack || '|wwwwwwwwww'
		WHEN f.kind IN (4, 5, 6, 7, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22) THEN stack || '|..........'
		WHEN f.kind IN (8, 11) THEN replace(stack, '|wwwwwwwwww', '')
		WHEN f.kind = 9 AND NOT closed THEN substr(stack, 1, max(length(stack) - 11, 0))
		ELSE stack END,
		CASE WHEN f.kind = 10 THEN 1 WHEN f.kind IN (9, 11) THEN 0 ELSE closed END,
		CASE WHEN f.kind = 11 THEN f.serial ELSE opened END
	FROM replay JOIN findings AS f ON f.job = replay.job AND f.serial = replay.serial + 1
), ended (job, gone) AS (
	SELECT job, (SELECT max(g.serial) FROM findings AS g
		WHERE g.job = replay.job AND g.kind = 21 AND g.serial > opened
		AND instr(stack, printf('|%010d', g.serial)) > 0)
	FROM replay WHERE serial = (SELECT max(serial) FROM findings AS f WHERE f.job = replay.job)
)
INSERT INTO cures (job, cause, device, fault, symptom, time_s)
SELECT jobs.job, gone.about, jobs.device,
	(SELECT outcome FROM findings AS began WHERE began.job = jobs.job AND began.kind = 1 AND began.outcome <> '' ORDER BY began.serial LIMIT 1),
	(SELECT subject FROM findings AS began WHERE began.job = jobs.job AND began.kind = 2 ORDER BY began.serial LIMIT 1),
	gone.time_s
FROM ended JOIN jobs ON jobs.job = ended.job
JOIN findings AS gone ON gone.job = ended.job AND gone.serial = ended.gone
WHERE gone.about IS NOT NULL
ORDER BY gone.time_s, jobs.job;

-- From where on cures count; one row a device, and one for all. It goes by
-- their numbers, so that a clock that was wrong changes nothing.
CREATE TABLE forgets (
	device TEXT NOT NULL PRIMARY KEY, -- the device's id; empty for all
	since_s INTEGER NOT NULL, -- when counting was begun anew
	last INTEGER NOT NULL -- number of the last cure that does not count
) STRICT, WITHOUT ROWID;

-- Settings to read or write once a tool for it is there. A later entry of the
-- ledger on the same setting fulfils it: of one to read any, of one to set one
-- that changes it or finds it so already.
CREATE TABLE setting_wishes (
	wish INTEGER PRIMARY KEY AUTOINCREMENT, -- its number; never used again
	rig TEXT NOT NULL, -- the rig's name
	time_s INTEGER NOT NULL, -- when it was wished
	device TEXT NOT NULL, -- the rig's name for it
	setting TEXT NOT NULL, -- its name
	value TEXT, -- what to set it to; NULL: only to be read
	why TEXT, -- in the builder's words
	job INTEGER REFERENCES jobs (job), -- that it belongs to
	after_entry INTEGER NOT NULL, -- the ledger's last entry by then
	dropped INTEGER NOT NULL CHECK (dropped IN (0, 1)) -- nobody wishes it any more
) STRICT;
CREATE INDEX setting_wishes_of ON setting_wishes (rig, device, setting);

-- Kinds of findings from here on: 27 leave.

PRAGMA user_version = 4;
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

INSERT INTO packs VALUES('cart','An invented cart','2','CC0-1.0','invented','d1',1,0,1700000000);
INSERT INTO packs VALUES('gauges',NULL,NULL,NULL,NULL,NULL,0,0,1700002000);
INSERT INTO packs VALUES('gone',NULL,NULL,NULL,NULL,'d2',1,1,0);
INSERT INTO packs VALUES('known',NULL,NULL,NULL,NULL,NULL,0,0,1700004000);
INSERT INTO packs VALUES('own','Your own',NULL,NULL,NULL,NULL,0,0,0);
INSERT INTO items VALUES(19,'device','my-drive','own',0,'My drive',NULL,1700000300);
INSERT INTO items VALUES(20,'device','zeta-drive','cart',0,'Zeta drive','invented',1700000000);
INSERT INTO items VALUES(21,'device','alpha-charger','cart',1,'Alpha charger',NULL,1700000000);
INSERT INTO items VALUES(22,'fault','supply-low','cart',0,'Supply voltage too low','common practice',1700000000);
INSERT INTO items VALUES(23,'fault','pedal-high','cart',1,'Pedal pressed at switch-on',NULL,1700000000);
INSERT INTO items VALUES(24,'symptom','creeps-at-rest','cart',0,'Creeps with the throttle released','common practice',1700000000);
INSERT INTO items VALUES(25,'symptom','bare-symptom','cart',1,'Nothing at all happens',NULL,1700000000);
INSERT INTO items VALUES(26,'cause','pack-empty','cart',0,'Pack discharged','invented',1700000000);
INSERT INTO items VALUES(27,'cause','fuse-open','cart',1,'Main fuse open',NULL,1700000000);
INSERT INTO items VALUES(28,'cause','pedal-worn','cart',2,'Pedal worn',NULL,1700000000);
INSERT INTO items VALUES(29,'check','supply-volts','cart',0,'Voltage at the controller','invented',1700000000);
INSERT INTO items VALUES(30,'check','look-at-fuse','cart',1,'Look at the main fuse',NULL,1700000000);
INSERT INTO items VALUES(31,'point','plus-stud','cart',0,'Controller battery plus',NULL,1700000000);
INSERT INTO items VALUES(32,'point','minus-stud','cart',1,'Controller battery minus',NULL,1700000000);
INSERT INTO items VALUES(33,'point','fuse-holder','cart',2,'Main fuse',NULL,1700000000);
INSERT INTO items VALUES(34,'tree','low-supply','cart',0,'Supply voltage too low','common practice',1700000000);
INSERT INTO items VALUES(35,'tree','bare-tree','cart',1,'A tree without steps',NULL,1700000000);
INSERT INTO items VALUES(36,'caution','stays-charged','cart',0,'The capacitors stay charged.','common practice',1700000000);
INSERT INTO items VALUES(37,'caution','wheels-free','cart',1,'The wheels may turn.',NULL,1700000000);
INSERT INTO items VALUES(38,'check','rest-volts','gauges',0,'Voltage at rest',NULL,1700002000);
INSERT INTO items VALUES(39,'value','cells','gauges',0,'Cells in series','invented',1700002000);
INSERT INTO items VALUES(40,'value','plug.kind','gauges',1,'Kind of plug',NULL,1700002000);
INSERT INTO items VALUES(41,'value','rest.volts','gauges',2,'Voltage at rest',NULL,1700002000);
INSERT INTO items VALUES(42,'value','meter.own','gauges',3,'The meter',NULL,1700002000);
INSERT INTO items VALUES(43,'tree','own-way','own',0,'My own way','compiled from the causes and checks of this book',1700002880);
INSERT INTO items VALUES(44,'setting','cut-back','known',0,'When it cuts back','invented',1700004000);
INSERT INTO items VALUES(45,'setting','takes-up','known',1,'How soon it pulls',NULL,1700004000);
INSERT INTO items VALUES(46,'setting','coasts','known',2,'How it slows by itself',NULL,1700004000);
INSERT INTO items VALUES(47,'tree','round','cart',2,'Once round the cart',NULL,1700000000);
INSERT INTO book VALUES(1,36,'cart48');
INSERT INTO devices VALUES(19,'controller',NULL,0);
INSERT INTO devices VALUES(20,'controller','Under the seat.',1);
INSERT INTO devices VALUES(21,NULL,NULL,0);
INSERT INTO lamps VALUES(19,0,'lamp','Lamp',NULL,'digits',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO lamps VALUES(20,0,'status','Red lamp','red','count',0.25,0.29999999999999998889,0.75,1.5,'1Hz','2.5Hz','10Hz','measured');
INSERT INTO lamps VALUES(20,1,'run',NULL,NULL,'rate',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO codes VALUES(20,0,'status','5','supply-low',NULL);
INSERT INTO codes VALUES(20,1,'status','2','pedal-high','pedal pressed at switch-on');
INSERT INTO codes VALUES(20,2,'run','on',NULL,'ready');
INSERT INTO own_codes VALUES(1,'my-drive','lamp','3-2',NULL,'throttle at the stop',1700000400);
INSERT INTO own_codes VALUES(2,'my-drive','lamp','1-4','supply-low',NULL,1700000400);
INSERT INTO own_codes VALUES(3,'zeta-drive','status','5',NULL,'only when wet',1700000500);
INSERT INTO faults VALUES(22,'The controller measured less than it needs.','stops','By itself, once the supply is back.','Drive gently.','live-on-ground');
INSERT INTO faults VALUES(23,NULL,'warns',NULL,NULL,NULL);
INSERT INTO fault_causes VALUES(22,0,'pack-empty','common');
INSERT INTO fault_causes VALUES(22,1,'fuse-open',NULL);
INSERT INTO symptoms VALUES(24,'It moves by itself, slowly.','control');
INSERT INTO symptoms VALUES(25,NULL,NULL);
INSERT INTO symptom_phrases VALUES(24,0,'creeps after letting go');
INSERT INTO symptom_phrases VALUES(24,1,'keeps rolling on its own');
INSERT INTO symptom_patterns VALUES(24,0,'(crawl|sneak)s?\b.*\b(rest|releas)');
INSERT INTO symptom_patterns VALUES(24,1,'won''?t stay put');
INSERT INTO symptom_causes VALUES(24,0,'pedal-worn','common');
INSERT INTO symptom_cautions VALUES(24,0,'wheels-free');
INSERT INTO causes VALUES(26,'common','Left standing over the winter.','Charge it.','A charger.','Measure again at rest.','A torque wrench.','The weakest cell.',15.0);
INSERT INTO causes VALUES(27,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO causes VALUES(28,'rare',NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO points VALUES(31,'The stud after fuse and contactor.');
INSERT INTO points VALUES(32,NULL);
INSERT INTO points VALUES(33,NULL);
INSERT INTO cautions VALUES(36,'warning','Bleed them down.','Both studs.','Burns.','reference=frame charger=on-board',50.399999999999998577,0.5);
INSERT INTO cautions VALUES(37,'danger',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO caution_states VALUES(36,'isolated');
INSERT INTO caution_states VALUES(36,'live-on-ground');
INSERT INTO caution_states VALUES(37,'isolated');
INSERT INTO checks VALUES(29,'What does the meter read?','volts dc','V','pre-charged','There is no voltage otherwise.',2.5,'minus-stud','plus-stud','Measuring at the pack.',NULL);
INSERT INTO checks VALUES(30,NULL,NULL,NULL,'isolated',NULL,1.0,NULL,NULL,NULL,'strings=one');
INSERT INTO checks VALUES(38,NULL,NULL,'V','isolated',NULL,1.0,NULL,NULL,NULL,NULL);
INSERT INTO check_steps VALUES(29,0,'Set the meter to volts dc.',NULL);
INSERT INTO check_steps VALUES(29,1,'Wait a while longer.','precharge=yes motor=series motor=brushless');
INSERT INTO check_steps VALUES(29,2,'Touch both studs.',NULL);
INSERT INTO check_points VALUES(29,0,'fuse-holder');
INSERT INTO check_points VALUES(29,1,'plus-stud');
INSERT INTO check_tools VALUES(29,0,'meter');
INSERT INTO check_tools VALUES(29,1,'gloves');
INSERT INTO check_cautions VALUES(29,0,'stays-charged');
INSERT INTO outcomes VALUES(29,0,'low','low',NULL,40.10000000000000142,0,NULL,NULL,0,0,NULL,NULL);
INSERT INTO outcomes VALUES(29,1,'band','in band',40.10000000000000142,60.0,1,NULL,'pre-charged',0,0,NULL,NULL);
INSERT INTO outcomes VALUES(29,2,'above',NULL,60.0,NULL,0,'Leave it off.',NULL,0,0,NULL,NULL);
INSERT INTO outcomes VALUES(30,0,'whole',NULL,NULL,NULL,1,NULL,NULL,0,0,NULL,NULL);
INSERT INTO outcomes VALUES(30,1,'blown',NULL,NULL,NULL,0,NULL,NULL,0,0,NULL,NULL);
INSERT INTO outcomes VALUES(38,0,'low',NULL,NULL,NULL,0,NULL,NULL,0,0,NULL,'cells * 1.9 V');
INSERT INTO outcomes VALUES(38,1,'band',NULL,NULL,60.0,1,NULL,NULL,0,0,'cells * 1.9 V',NULL);
INSERT INTO outcomes VALUES(38,2,'above',NULL,60.0,NULL,0,NULL,NULL,0,0,NULL,NULL);
INSERT INTO outcome_speaks VALUES(29,0,0,'pack-empty','usually');
INSERT INTO outcome_speaks VALUES(29,0,1,'fuse-open','never');
INSERT INTO outcome_speaks VALUES(29,2,0,'pack-empty','rarely');
INSERT INTO outcome_speaks VALUES(30,1,0,'fuse-open','always');
INSERT INTO trees VALUES(34,0,NULL,NULL);
INSERT INTO trees VALUES(35,0,NULL,NULL);
INSERT INTO trees VALUES(43,0,NULL,NULL);
INSERT INTO trees VALUES(47,1,'Before it is switched on.','It may be switched on.');
INSERT INTO tree_faults VALUES(34,0,'supply-low');
INSERT INTO tree_faults VALUES(43,0,'supply-low');
INSERT INTO tree_symptoms VALUES(34,0,'bare-symptom');
INSERT INTO tree_steps VALUES(34,0,'volts','supply-volts',NULL);
INSERT INTO tree_steps VALUES(34,1,'fuse','look-at-fuse',NULL);
INSERT INTO tree_steps VALUES(43,0,'s1','look-at-fuse',NULL);
INSERT INTO tree_steps VALUES(47,0,'fuse','look-at-fuse',NULL);
INSERT INTO tree_steps VALUES(47,1,'volts','supply-volts','motor=series contactor=yes');
INSERT INTO tree_branches VALUES(34,0,0,'low','step','fuse');
INSERT INTO tree_branches VALUES(34,0,1,'band','unsure','Sound now. Read the lamp again.');
INSERT INTO tree_branches VALUES(34,0,2,'above','stop','Leave it off.');
INSERT INTO tree_branches VALUES(34,1,0,'blown','cause','fuse-open');
INSERT INTO tree_branches VALUES(34,1,1,'whole','cause','pack-empty');
INSERT INTO tree_branches VALUES(43,0,0,'whole','unsure','The rest is left.');
INSERT INTO tree_branches VALUES(43,0,1,'blown','cause','fuse-open');
INSERT INTO jobs VALUES(1,1700000800,'zeta-drive','status','zeta-drive: 5',NULL);
INSERT INTO jobs VALUES(2,1700001010,'zeta-drive','status','zeta-drive: 5','cart48');
INSERT INTO jobs VALUES(3,1700002000,'zeta-drive','status','zeta-drive: 5 again','cart48');
INSERT INTO jobs VALUES(4,1700002900,'zeta-drive','status','zeta-drive: 5 once more','cart48');
INSERT INTO findings VALUES(1,1,1700000800,1,'5','5 flashes',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(1,2,1700000900,4,'supply-volts','Voltage at the controller','low','low',12.400000000000000355,'V','40.1 V to 60 V','flickered',NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(1,3,1700001000,4,'look-at-fuse',NULL,'blown',NULL,1e999,'ohm',NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(2,1,1700001010,1,'5','5 flashes','supply-low',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(2,2,1700001010,4,'supply-volts','Voltage at the controller','low','low',12.400000000000000355,'V','40.1 V to 60 V',NULL,'What does the meter read?',NULL,NULL,'isolated',0,'You answered low: stop here.','Leave it off.',NULL,NULL,NULL);
INSERT INTO findings VALUES(2,3,1700001010,17,'fuse-open','Main fuse open',NULL,NULL,NULL,NULL,NULL,NULL,NULL,'fuse-open',NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(3,1,1700002000,1,'5','5 flashes',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(3,2,1700002000,26,'cells','Cells in series','24',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(3,3,1700002000,4,'rest-volts','Voltage at rest','low','low',45.310000000000002274,'V','45.6 V to 60 V',NULL,'What does the meter read?',NULL,NULL,NULL,0,NULL,NULL,0.010000000000000000208,0.5,'band');
INSERT INTO findings VALUES(4,1,1700002900,1,'5','5 flashes','supply-low',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(4,2,1700002950,3,'own-way','My own way',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(4,3,1700002960,27,'own-way','My own way',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(4,4,1700002990,17,'fuse-open','Main fuse open',NULL,NULL,NULL,NULL,NULL,NULL,NULL,'fuse-open',NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(4,5,1700003000,21,'=again',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'fuse-open',NULL,NULL,0,NULL,NULL,NULL,NULL,NULL);
INSERT INTO rigs VALUES('cart48','Market garden cart',0,1700001000);
INSERT INTO rigs VALUES('trike36','Orchard trike',1,1700001000);
INSERT INTO rig_facts VALUES('cart48','bus.capacitor','2200 uF',1700001001);
INSERT INTO rig_facts VALUES('cart48','device.charger','alpha-charger',1700001001);
INSERT INTO rig_facts VALUES('cart48','device.drive','zeta-drive',1700001001);
INSERT INTO rig_facts VALUES('cart48','motor','series',1700001001);
INSERT INTO rig_facts VALUES('cart48','pack.full','58.8 V',1700001001);
INSERT INTO rig_facts VALUES('cart48','tools','multimeter, torch',1700001001);
INSERT INTO rig_points VALUES('cart48','plus-stud','grey 8-way plug, pin 3, red',1700001002);
INSERT INTO settings VALUES(1,1700001100,'cart48','drive','pull-away time','0.9 s','1.6 s','It jerked on the ramp.',NULL);
INSERT INTO settings VALUES(2,1700001200,'cart48','drive','top speed',NULL,'80 %',NULL,2);
INSERT INTO settings VALUES(3,1700001300,'cart48','drive','pull-away time','1.4 s','2 s',NULL,NULL);
INSERT INTO records VALUES(1,1700001050,'cart48','drive','fault','5',NULL,3,'after rain',2);
INSERT INTO records VALUES(2,1700001060,'cart48','drive','hours',NULL,'1234.5',NULL,NULL,NULL);
INSERT INTO holds VALUES('rig cart48',2,'9c2f4d1a7b3e5860','phone 3f',1700001010,1700001020,'a1b2c3d4e5f60718','computer a1',1700001025);
INSERT INTO screens VALUES(4,'5e1f0c77a0d94b3286cc1d2e90ab47f35e1f0c77a0d94b3286cc1d2e90ab47f3','phone 3f','Invented browser 1.0 (Mobile)',1700001000,1700001020,1707777000);
INSERT INTO check_after VALUES(29,0,'look-at-lamp');
INSERT INTO check_after VALUES(29,1,'look-at-fuse');
INSERT INTO notes VALUES(1,'pattern','zeta-drive 5',replace('Dry the connector first; café side.\nIt''s the ''grey'' one.','\n',char(10)),1700000600);
INSERT INTO notes VALUES(2,'cause','fuse-open','Spare fuse is under the seat.',1700000700);
INSERT INTO notes VALUES(3,'rig','cart48','The steep field is hard on it.',1700001070);
INSERT INTO pack_values VALUES(39,'Pack','Every voltage goes by it.','The label on the pack.','quantity','number',4.0,60.0,NULL,'24',NULL);
INSERT INTO pack_values VALUES(40,'Plug','Pins differ.',NULL,'choice',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO pack_values VALUES(41,NULL,'Before anything is on.',NULL,'quantity','V',-2.5,150.0,'5 %',NULL,'cells * 2.1 V');
INSERT INTO pack_values VALUES(42,'Meter','How far it is off.',NULL,'accuracy',NULL,NULL,NULL,NULL,'0.9 % + 2 counts',NULL);
INSERT INTO pack_value_choices VALUES(40,0,'round','a round one');
INSERT INTO pack_value_choices VALUES(40,1,'flat','flat pins');
INSERT INTO cures VALUES(6,4,'fuse-open','zeta-drive','supply-low',NULL,1700003000);
INSERT INTO forgets VALUES('',1600000000,2);
INSERT INTO forgets VALUES('zeta-drive',1650000000,5);
INSERT INTO setting_wishes VALUES(1,'cart48',1700000200,'drive','top speed','60 %','to try',NULL,3,0);
INSERT INTO setting_wishes VALUES(2,'zeta',1700000201,'drive','ramp',NULL,NULL,1,0,1);
INSERT INTO pack_settings VALUES(44,'Sparing the battery','It pulls less once the pack sinks.','The pack is drained.','It limps early.','The volts that were set.');
INSERT INTO pack_settings VALUES(45,'Pulling away','It smooths the start.',NULL,'It leaps.','The seconds that were set.');
INSERT INTO pack_settings VALUES(46,'Slowing and stopping','It drags.','It rolls on.',NULL,'The share that was set.');
INSERT INTO pack_setting_refs VALUES(45,'caution',0,'wheels-free');
INSERT INTO pack_setting_refs VALUES(45,'fault',1,'pedal-high');
INSERT INTO pack_setting_refs VALUES(44,'fault',0,'supply-low');
INSERT INTO pack_setting_refs VALUES(45,'fault',0,'supply-low');
INSERT INTO pack_setting_refs VALUES(45,'symptom',1,'bare-symptom');
INSERT INTO pack_setting_refs VALUES(45,'symptom',0,'creeps-at-rest');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(19,'My drive','',replace('controller\nLamp\nthrottle at the stop','\n',char(10)),'my-drive');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(20,'Zeta drive','',replace('Under the seat.\ncontroller\nRed lamp\nonly when wet\npedal pressed at switch-on\nready','\n',char(10)),'zeta-drive');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(21,'Alpha charger','','','alpha-charger');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(22,'Supply voltage too low','',replace('The controller measured less than it needs.\nBy itself, once the supply is back.\nDrive gently.','\n',char(10)),'supply-low');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(23,'Pedal pressed at switch-on','','','pedal-high');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(24,'Creeps with the throttle released',replace('creeps after letting go\nkeeps rolling on its own','\n',char(10)),'It moves by itself, slowly.','creeps-at-rest');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(25,'Nothing at all happens','','','bare-symptom');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(26,'Pack discharged','',replace('Left standing over the winter.\nCharge it.\nA charger.\nA torque wrench.\nThe weakest cell.\nMeasure again at rest.','\n',char(10)),'pack-empty');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(27,'Main fuse open','','','fuse-open');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(28,'Pedal worn','','','pedal-worn');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(29,'Voltage at the controller','',replace('What does the meter read?\nSet the meter to volts dc.\nWait a while longer.\nTouch both studs.\nThere is no voltage otherwise.\nMeasuring at the pack.','\n',char(10)),'supply-volts');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(30,'Look at the main fuse','','','look-at-fuse');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(38,'Voltage at rest','','','rest-volts');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(44,'When it cuts back','',replace('It pulls less once the pack sinks.\nThe pack is drained.\nIt limps early.\nThe volts that were set.','\n',char(10)),'cut-back');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(45,'How soon it pulls','',replace('It smooths the start.\nIt leaps.\nThe seconds that were set.','\n',char(10)),'takes-up');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(46,'How it slows by itself','',replace('It drags.\nIt rolls on.\nThe share that was set.','\n',char(10)),'coasts');
INSERT INTO note_text (rowid, words) VALUES(1,replace('Dry the connector first; café side.\nIt''s the ''grey'' one.','\n',char(10)));
INSERT INTO note_text (rowid, words) VALUES(2,'Spare fuse is under the seat.');
INSERT INTO note_text (rowid, words) VALUES(3,'The steep field is hard on it.');
