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

INSERT INTO book (one, change) VALUES (1, 1);
INSERT INTO packs (name, title, shipped, removed, read_s)
VALUES ('own', 'Your own', 0, 0, 0);
