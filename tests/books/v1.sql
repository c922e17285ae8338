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


INSERT INTO packs VALUES('cart','An invented cart','2','CC0-1.0','invented','d1',1,0,1700000000);
INSERT INTO packs VALUES('gone',NULL,NULL,NULL,NULL,'d2',1,1,0);
INSERT INTO packs VALUES('own','Your own',NULL,NULL,NULL,NULL,0,0,0);
INSERT INTO items VALUES(1,'device','zeta-drive','cart',0,'Zeta drive','invented',1700000000);
INSERT INTO items VALUES(2,'device','alpha-charger','cart',1,'Alpha charger',NULL,1700000000);
INSERT INTO items VALUES(3,'fault','supply-low','cart',0,'Supply voltage too low','common practice',1700000000);
INSERT INTO items VALUES(4,'fault','pedal-high','cart',1,'Pedal pressed at switch-on',NULL,1700000000);
INSERT INTO items VALUES(5,'symptom','creeps-at-rest','cart',0,'Creeps with the throttle released','common practice',1700000000);
INSERT INTO items VALUES(6,'symptom','bare-symptom','cart',1,'Nothing at all happens',NULL,1700000000);
INSERT INTO items VALUES(7,'cause','pack-empty','cart',0,'Pack discharged','invented',1700000000);
INSERT INTO items VALUES(8,'cause','fuse-open','cart',1,'Main fuse open',NULL,1700000000);
INSERT INTO items VALUES(9,'cause','pedal-worn','cart',2,'Pedal worn',NULL,1700000000);
INSERT INTO items VALUES(10,'check','supply-volts','cart',0,'Voltage at the controller','invented',1700000000);
INSERT INTO items VALUES(11,'check','look-at-fuse','cart',1,'Look at the main fuse',NULL,1700000000);
INSERT INTO items VALUES(12,'point','plus-stud','cart',0,'Controller battery plus',NULL,1700000000);
INSERT INTO items VALUES(13,'point','minus-stud','cart',1,'Controller battery minus',NULL,1700000000);
INSERT INTO items VALUES(14,'point','fuse-holder','cart',2,'Main fuse',NULL,1700000000);
INSERT INTO items VALUES(15,'tree','low-supply','cart',0,'Supply voltage too low','common practice',1700000000);
INSERT INTO items VALUES(16,'tree','bare-tree','cart',1,'A tree without steps',NULL,1700000000);
INSERT INTO items VALUES(17,'caution','stays-charged','cart',0,'The capacitors stay charged.','common practice',1700000000);
INSERT INTO items VALUES(18,'caution','wheels-free','cart',1,'The wheels may turn.',NULL,1700000000);
INSERT INTO items VALUES(19,'device','my-drive','own',0,'My drive',NULL,1700000300);
INSERT INTO book VALUES(1,15);
INSERT INTO devices VALUES(1,'controller','Under the seat.',1);
INSERT INTO devices VALUES(2,NULL,NULL,0);
INSERT INTO devices VALUES(19,'controller',NULL,0);
INSERT INTO lamps VALUES(1,0,'status','Red lamp','red','count',0.25,0.29999999999999998889,0.75,1.5,'1Hz','2.5Hz','10Hz','measured');
INSERT INTO lamps VALUES(1,1,'run',NULL,NULL,'rate',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO lamps VALUES(19,0,'lamp','Lamp',NULL,'digits',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO codes VALUES(1,0,'status','5','supply-low',NULL);
INSERT INTO codes VALUES(1,1,'status','2','pedal-high','pedal pressed at switch-on');
INSERT INTO codes VALUES(1,2,'run','on',NULL,'ready');
INSERT INTO own_codes VALUES(1,'my-drive','lamp','3-2',NULL,'throttle at the stop',1700000400);
INSERT INTO own_codes VALUES(2,'my-drive','lamp','1-4','supply-low',NULL,1700000400);
INSERT INTO own_codes VALUES(3,'zeta-drive','status','5',NULL,'only when wet',1700000500);
INSERT INTO faults VALUES(3,'The controller measured less than it needs.','stops','By itself, once the supply is back.','Drive gently.');
INSERT INTO faults VALUES(4,NULL,'warns',NULL,NULL);
INSERT INTO fault_causes VALUES(3,0,'pack-empty','common');
INSERT INTO fault_causes VALUES(3,1,'fuse-open',NULL);
INSERT INTO symptoms VALUES(5,'It moves by itself, slowly.');
INSERT INTO symptoms VALUES(6,NULL);
INSERT INTO symptom_phrases VALUES(5,0,'creeps after letting go');
INSERT INTO symptom_phrases VALUES(5,1,'keeps rolling on its own');
INSERT INTO symptom_patterns VALUES(5,0,'(crawl|sneak)s?\b.*\b(rest|releas)');
INSERT INTO symptom_patterns VALUES(5,1,'won''?t stay put');
INSERT INTO symptom_causes VALUES(5,0,'pedal-worn','common');
INSERT INTO symptom_cautions VALUES(5,0,'wheels-free');
INSERT INTO causes VALUES(7,'common','Left standing over the winter.','Charge it.','A charger.','Measure again at rest.');
INSERT INTO causes VALUES(8,NULL,NULL,NULL,NULL,NULL);
INSERT INTO causes VALUES(9,'rare',NULL,NULL,NULL,NULL);
INSERT INTO points VALUES(12,'The stud after fuse and contactor.');
INSERT INTO points VALUES(13,NULL);
INSERT INTO points VALUES(14,NULL);
INSERT INTO cautions VALUES(17,'warning','Bleed them down.','Both studs.','Burns.');
INSERT INTO cautions VALUES(18,'danger',NULL,NULL,NULL);
INSERT INTO caution_states VALUES(17,'isolated');
INSERT INTO caution_states VALUES(17,'live-on-ground');
INSERT INTO caution_states VALUES(18,'isolated');
INSERT INTO checks VALUES(10,'What does the meter read?','volts dc','V','pre-charged','There is no voltage otherwise.',2.5,'minus-stud','plus-stud','Measuring at the pack.');
INSERT INTO checks VALUES(11,NULL,NULL,NULL,'isolated',NULL,1.0,NULL,NULL,NULL);
INSERT INTO check_steps VALUES(10,0,'Set the meter to volts dc.');
INSERT INTO check_steps VALUES(10,1,'Touch both studs.');
INSERT INTO check_points VALUES(10,0,'fuse-holder');
INSERT INTO check_points VALUES(10,1,'plus-stud');
INSERT INTO check_tools VALUES(10,0,'meter');
INSERT INTO check_tools VALUES(10,1,'gloves');
INSERT INTO check_cautions VALUES(10,0,'stays-charged');
INSERT INTO outcomes VALUES(10,0,'low','low',NULL,40.10000000000000142,0,NULL,NULL);
INSERT INTO outcomes VALUES(10,1,'band','in band',40.10000000000000142,60.0,1,NULL,'pre-charged');
INSERT INTO outcomes VALUES(10,2,'above',NULL,60.0,NULL,0,'Leave it off.',NULL);
INSERT INTO outcomes VALUES(11,0,'whole',NULL,NULL,NULL,1,NULL,NULL);
INSERT INTO outcomes VALUES(11,1,'blown',NULL,NULL,NULL,0,NULL,NULL);
INSERT INTO outcome_speaks VALUES(10,0,0,'pack-empty','usually');
INSERT INTO outcome_speaks VALUES(10,0,1,'fuse-open','never');
INSERT INTO outcome_speaks VALUES(10,2,0,'pack-empty','rarely');
INSERT INTO outcome_speaks VALUES(11,1,0,'fuse-open','always');
INSERT INTO trees VALUES(15);
INSERT INTO trees VALUES(16);
INSERT INTO tree_faults VALUES(15,0,'supply-low');
INSERT INTO tree_symptoms VALUES(15,0,'bare-symptom');
INSERT INTO tree_steps VALUES(15,0,'volts','supply-volts');
INSERT INTO tree_steps VALUES(15,1,'fuse','look-at-fuse');
INSERT INTO tree_branches VALUES(15,0,0,'low','step','fuse');
INSERT INTO tree_branches VALUES(15,0,1,'band','unsure','Sound now. Read the lamp again.');
INSERT INTO tree_branches VALUES(15,0,2,'above','stop','Leave it off.');
INSERT INTO tree_branches VALUES(15,1,0,'blown','cause','fuse-open');
INSERT INTO tree_branches VALUES(15,1,1,'whole','cause','pack-empty');
INSERT INTO notes VALUES(1,'pattern','zeta-drive 5',replace('Dry the connector first; café side.\nIt''s the ''grey'' one.','\n',char(10)),1700000600);
INSERT INTO notes VALUES(2,'cause','fuse-open','Spare fuse is under the seat.',1700000700);
INSERT INTO jobs VALUES(1,1700000800,'zeta-drive','status','zeta-drive: 5');
INSERT INTO findings VALUES(1,1,1700000800,1,'5','5 flashes',NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO findings VALUES(1,2,1700000900,4,'supply-volts','Voltage at the controller','low','low',12.400000000000000355,'V','40.1 V to 60 V','flickered');
INSERT INTO findings VALUES(1,3,1700001000,4,'look-at-fuse',NULL,'blown',NULL,1e999,'ohm',NULL,NULL);
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(1,'Zeta drive','',replace('Under the seat.\ncontroller\nRed lamp\nonly when wet\npedal pressed at switch-on\nready','\n',char(10)),'zeta-drive');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(2,'Alpha charger','','','alpha-charger');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(3,'Supply voltage too low','',replace('The controller measured less than it needs.\nBy itself, once the supply is back.\nDrive gently.','\n',char(10)),'supply-low');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(4,'Pedal pressed at switch-on','','','pedal-high');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(5,'Creeps with the throttle released',replace('creeps after letting go\nkeeps rolling on its own','\n',char(10)),'It moves by itself, slowly.','creeps-at-rest');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(6,'Nothing at all happens','','','bare-symptom');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(7,'Pack discharged','',replace('Left standing over the winter.\nCharge it.\nA charger.\nMeasure again at rest.','\n',char(10)),'pack-empty');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(8,'Main fuse open','','','fuse-open');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(9,'Pedal worn','','','pedal-worn');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(10,'Voltage at the controller','',replace('What does the meter read?\nSet the meter to volts dc.\nTouch both studs.\nThere is no voltage otherwise.\nMeasuring at the pack.','\n',char(10)),'supply-volts');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(11,'Look at the main fuse','','','look-at-fuse');
INSERT INTO item_text (rowid, title, phrases, body, id) VALUES(19,'My drive','',replace('controller\nLamp\nthrottle at the stop','\n',char(10)),'my-drive');
INSERT INTO note_text (rowid, words) VALUES(1,replace('Dry the connector first; café side.\nIt''s the ''grey'' one.','\n',char(10)));
INSERT INTO note_text (rowid, words) VALUES(2,'Spare fuse is under the seat.');
