-- To version 4: how long fixes take, what jobs came to (which priors learn
-- from), and settings that wait for a tool.
-- Every column has its comment on its line, as in schema.sql.

ALTER TABLE causes ADD COLUMN minutes REAL; -- to do the fix and see whether it cured

-- What each job that ended cured came to. It says nothing that the findings
-- do not, and is written with the finding that changes it.
CREATE TABLE cures (
	job INTEGER PRIMARY KEY REFERENCES jobs (job), -- the job
	cause TEXT NOT NULL, -- id of the cause that was proved
	device TEXT, -- the device's id
	fault TEXT, -- id of the fault that the job began with
	symptom TEXT, -- id of the symptom that it began with
	time_s INTEGER NOT NULL -- when it was found to be gone
) STRICT;
CREATE INDEX cures_of_fault ON cures (fault) WHERE fault IS NOT NULL;
CREATE INDEX cures_of_symptom ON cures (symptom) WHERE symptom IS NOT NULL;

-- Jobs whose last word on it is that it is gone (21), not taken back (9), nor
-- opened again (11) since; one that was closed (10) besides stays.
INSERT INTO cures (job, cause, device, fault, symptom, time_s)
SELECT jobs.job, gone.about, jobs.device,
	(SELECT outcome FROM findings AS began WHERE began.job = jobs.job AND began.kind = 1 AND began.outcome <> '' ORDER BY began.serial LIMIT 1),
	(SELECT subject FROM findings AS began WHERE began.job = jobs.job AND began.kind = 2 ORDER BY began.serial LIMIT 1),
	gone.time_s
FROM jobs JOIN findings AS gone ON gone.job = jobs.job
WHERE gone.kind = 21 AND gone.about IS NOT NULL
	AND NOT EXISTS (
		SELECT 1 FROM findings AS later
		WHERE later.job = jobs.job AND later.serial > gone.serial AND later.kind IN (9, 11, 21)
	);

-- Since when cures count; one row a device, and one for all.
CREATE TABLE forgets (
	device TEXT NOT NULL PRIMARY KEY, -- the device's id; empty for all
	since_s INTEGER NOT NULL -- later cures count
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
