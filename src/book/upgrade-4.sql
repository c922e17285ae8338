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
