-- What the book's packs cover, as tables: run with sqlite3 -box or -list.
-- The last table has what is left open; the test fails where it has a row.
CREATE TEMP VIEW named AS -- every outcome that names a cause
SELECT s.cause, i.id AS check_id, c.power, o.expected, s.word,
	NOT o.expected AND s.word IN ('always', 'usually', 'sometimes') AS speaks_for,
	-- what is mostly seen with a cause speaks against it where it is not seen
	NOT o.expected AND s.word IN ('always', 'usually')
		OR o.expected AND s.word = 'always'
		OR NOT o.expected AND s.word IN ('rarely', 'never') AS speaks_against
FROM outcome_speaks AS s
JOIN outcomes AS o ON o.item = s.item AND o.seq = s.outcome
JOIN checks AS c ON c.item = s.item
JOIN items AS i ON i.number = s.item;
CREATE TEMP VIEW per_cause AS
SELECT i.id AS cause, i.pack,
	(SELECT count(*) FROM fault_causes AS f WHERE f.cause = i.id) AS faults,
	(SELECT count(*) FROM symptom_causes AS f WHERE f.cause = i.id) AS symptoms,
	(SELECT count(DISTINCT check_id) FROM named AS n WHERE n.cause = i.id AND speaks_for) AS speak_for,
	(SELECT count(DISTINCT check_id) FROM named AS n WHERE n.cause = i.id AND speaks_for AND power = 'isolated') AS isolated,
	(SELECT count(DISTINCT check_id) FROM named AS n WHERE n.cause = i.id AND speaks_against) AS against,
	(SELECT count(DISTINCT b.item) FROM tree_branches AS b WHERE b.kind = 'cause' AND b.target = i.id) AS trees
FROM items AS i WHERE i.kind = 'cause';
CREATE TEMP VIEW per_fault AS
SELECT i.id AS fault, f.severity,
	(SELECT count(*) FROM fault_causes AS c WHERE c.item = i.number) AS causes,
	coalesce((SELECT group_concat(t.id, ' ') FROM tree_faults AS tf JOIN items AS t ON t.number = tf.item
		WHERE tf.fault = i.id), iif(f.severity = 'informs', '-', 'compiled')) AS tree,
	i.pack
FROM items AS i JOIN faults AS f ON f.item = i.number;
CREATE TEMP VIEW per_symptom AS
SELECT i.id AS symptom,
	(SELECT count(*) FROM symptom_causes AS c WHERE c.item = i.number) AS causes,
	(SELECT count(*) FROM symptom_phrases AS p WHERE p.item = i.number) AS phrases,
	coalesce((SELECT group_concat(t.id, ' ') FROM tree_symptoms AS ts JOIN items AS t ON t.number = ts.item
		WHERE ts.symptom = i.id), 'compiled') AS tree
FROM items AS i WHERE i.kind = 'symptom';
CREATE TEMP VIEW per_state AS
SELECT s.power,
	(SELECT count(*) FROM checks AS c WHERE c.power = s.power) AS checks,
	(SELECT count(DISTINCT o.item) FROM outcomes AS o WHERE o.enters = s.power) AS ways_in,
	(SELECT count(*) FROM check_after AS a WHERE a.item IN (SELECT item FROM outcomes WHERE enters = s.power)) AS compulsory,
	(SELECT count(*) FROM caution_states AS c JOIN cautions AS k ON k.item = c.item WHERE c.power = s.power AND k.signal = 'danger') AS danger,
	(SELECT count(*) FROM caution_states AS c JOIN cautions AS k ON k.item = c.item WHERE c.power = s.power AND k.signal = 'warning') AS warning,
	(SELECT count(*) FROM caution_states AS c JOIN cautions AS k ON k.item = c.item WHERE c.power = s.power AND k.signal IN ('caution', 'notice')) AS others,
	(SELECT count(DISTINCT cc.caution) FROM check_cautions AS cc JOIN checks AS c ON c.item = cc.item WHERE c.power = s.power) AS of_checks
FROM (SELECT 'isolated' AS power UNION ALL SELECT 'control' UNION ALL SELECT 'pre-charged'
	UNION ALL SELECT 'live-wheels-free' UNION ALL SELECT 'live-on-ground') AS s;
CREATE TEMP VIEW per_walk AS
SELECT i.id AS walk, (SELECT count(*) FROM tree_steps AS s WHERE s.item = i.number) AS steps
FROM items AS i JOIN trees AS t ON t.item = i.number WHERE t.walk;
CREATE TEMP VIEW open_ends AS
SELECT 'a cause that no fault or symptom lists' AS what, cause AS id FROM per_cause WHERE faults + symptoms = 0
UNION ALL SELECT 'a cause that no check speaks for', cause FROM per_cause WHERE speak_for = 0
UNION ALL SELECT 'a cause that no check speaks against', cause FROM per_cause WHERE against = 0
UNION ALL SELECT 'a cause that is not whole', i.id FROM items AS i JOIN causes AS c ON c.item = i.number
	WHERE c.weight IS NULL OR c.why IS NULL OR c.fix IS NULL OR c.minutes IS NULL
	-- what the driver does needs no tools, nor does what has no parts
	OR c.tools IS NULL AND c.parts IS NOT NULL
	OR c.damages IS NULL OR c.proof IS NULL
UNION ALL SELECT 'a fault that is not whole', i.id FROM items AS i JOIN faults AS f ON f.item = i.number
	WHERE f.meaning IS NULL OR f.severity <> 'informs' AND (f.clears IS NULL OR f.meanwhile IS NULL)
UNION ALL SELECT 'a fault with fewer than two causes', fault FROM per_fault WHERE severity <> 'informs' AND causes < 2
UNION ALL SELECT 'a symptom with fewer than four phrases', symptom FROM per_symptom WHERE phrases < 4
UNION ALL SELECT 'a symptom without a description', i.id FROM items AS i JOIN symptoms AS s ON s.item = i.number
	WHERE s.description IS NULL
UNION ALL SELECT 'a check that is not whole', i.id FROM items AS i JOIN checks AS c ON c.item = i.number
	WHERE c.mistake IS NULL OR i.source IS NULL OR NOT EXISTS (SELECT 1 FROM check_steps AS s WHERE s.item = c.item)
-- One without anything expected tells kinds apart, and a tree branches by it.
UNION ALL SELECT 'a check without anything expected that no tree asks', i.id FROM items AS i JOIN checks AS c ON c.item = i.number
	WHERE NOT EXISTS (SELECT 1 FROM outcomes AS o WHERE o.item = c.item AND o.expected)
	AND NOT EXISTS (SELECT 1 FROM tree_steps AS t WHERE t.check_id = i.id)
UNION ALL SELECT 'a power state without cautions', power FROM per_state WHERE danger + warning + others = 0
UNION ALL SELECT 'a live state whose way in has nothing compulsory', power FROM per_state WHERE compulsory = 0;
