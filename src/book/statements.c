/* The table of SQL statements: nothing is ever joined to make one. Preparing
 * and running them is left to query.c. Longer than most files, being one
 * table. */
#include "book/statements.h"

#include <assert.h>
#include <stddef.h>

/* clang-format off */
static const char *const texts[STATEMENT_COUNT] = {
	[SQL_BEGIN_READ] = "BEGIN DEFERRED",
	[SQL_BEGIN_WRITE] = "BEGIN IMMEDIATE",
	[SQL_COMMIT] = "COMMIT",
	[SQL_ROLLBACK] = "ROLLBACK",
	[SQL_RAISE_CHANGE] = "UPDATE book SET change = change + 1",
	[SQL_CHANGE] = "SELECT change FROM book",
	[SQL_DATA_VERSION] = "PRAGMA data_version",

	/* --- checks of the file as a whole --- */
	[SQL_CHECK_FILE] = "PRAGMA integrity_check(1)",
	[SQL_CHECK_REFERENCES] = "PRAGMA foreign_key_check",
	[SQL_CHECK_SERIALS] =
	    "SELECT job FROM findings GROUP BY job"
	    " HAVING min(serial) <> 1 OR max(serial) <> count(*)"
	    " ORDER BY job LIMIT 1",
	[SQL_CHECK_HOLD_JOBS] =
	    "SELECT vehicle FROM holds"
	    " WHERE job NOT IN (SELECT job FROM jobs)"
	    " ORDER BY vehicle LIMIT 1",
	[SQL_CHECK_HOLD_VEHICLES] =
	    "SELECT vehicle FROM holds"
	    " WHERE vehicle <> 'job ' || job AND (substr(vehicle, 1, 4) <> 'rig '"
	    " OR substr(vehicle, 5) NOT IN (SELECT rig FROM rigs))"
	    " ORDER BY vehicle LIMIT 1",
	[SQL_CHECK_IN_HAND] =
	    "SELECT rig FROM book WHERE rig IS NOT NULL"
	    " AND rig NOT IN (SELECT rig FROM rigs WHERE removed = 0)",
	[SQL_CHECK_CURES] =
	    "SELECT job FROM cures WHERE NOT EXISTS (SELECT 1 FROM findings"
	    " WHERE findings.job = cures.job AND findings.kind = 21)"
	    " ORDER BY job LIMIT 1",
	[SQL_CHECK_ITEMS_INDEXED] =
	    "SELECT kind, id FROM items"
	    " WHERE kind IN ('device', 'fault', 'symptom', 'cause', 'check',"
	    " 'setting') AND number NOT IN (SELECT rowid FROM item_text)"
	    " ORDER BY number LIMIT 1",
	[SQL_CHECK_INDEX_ITEMS] =
	    "SELECT rowid FROM item_text"
	    " WHERE rowid NOT IN (SELECT number FROM items)"
	    " ORDER BY rowid LIMIT 1",
	[SQL_CHECK_NOTES_INDEXED] =
	    "SELECT note FROM notes"
	    " WHERE note NOT IN (SELECT rowid FROM note_text)"
	    " ORDER BY note LIMIT 1",
	[SQL_CHECK_INDEX_NOTES] =
	    "SELECT rowid FROM note_text"
	    " WHERE rowid NOT IN (SELECT note FROM notes)"
	    " ORDER BY rowid LIMIT 1",
	[SQL_CHECK_ITEM_TEXT] =
	    "INSERT INTO item_text (item_text) VALUES ('integrity-check')",
	[SQL_CHECK_NOTE_TEXT] =
	    "INSERT INTO note_text (note_text) VALUES ('integrity-check')",
	/* ?1 path */
	[SQL_SAVE] = "VACUUM INTO ?1",

	/* --- packs --- */
	/* ?1 name */
	[SQL_PACK_STATE] =
	    "SELECT digest, shipped, removed FROM packs WHERE name = ?1",
	/* ?1 name */
	[SQL_PACK] =
	    "SELECT name, title, version, license, source, digest, shipped"
	    " FROM packs WHERE name = ?1 AND removed = 0",
	[SQL_PACKS] =
	    "SELECT name, title, version, read_s FROM packs"
	    " WHERE removed = 0 AND name <> 'own' ORDER BY name",
	/* ?1 name ?2 title ?3 version ?4 license ?5 source ?6 digest
	 * ?7 shipped ?8 now */
	[SQL_PUT_PACK] =
	    "INSERT INTO packs (name, title, version, license, source, digest,"
	    " shipped, removed, read_s)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, 0, ?8)",
	/* ?1 name; its items go with it */
	[SQL_DELETE_PACK] = "DELETE FROM packs WHERE name = ?1",
	/* ?1 name ?2 digest */
	[SQL_MARK_REMOVED] =
	    "INSERT INTO packs (name, digest, shipped, removed, read_s)"
	    " VALUES (?1, ?2, 1, 1, 0)",

	/* --- items --- */
	/* ?1 kind ?2 id */
	[SQL_ITEM] = "SELECT number, pack FROM items WHERE kind = ?1 AND id = ?2",
	/* ?1 number */
	[SQL_ITEM_BY_NUMBER] =
	    "SELECT id, title, source, pack FROM items WHERE number = ?1",
	/* ?1 kind */
	[SQL_ITEM_IDS] = "SELECT id FROM items WHERE kind = ?1 ORDER BY id",
	/* ?1 pack ?2 kind */
	[SQL_ITEMS_OF_PACK] =
	    "SELECT number FROM items WHERE pack = ?1 AND kind = ?2"
	    " ORDER BY seq, number",
	/* ?1 kind; the detail is the one word that tells most */
	[SQL_LIST] =
	    "SELECT i.id, i.title,"
	    " coalesce(d.kind, f.severity, c.weight, k.power, a.signal,"
	    " s.part),"
	    " i.pack = 'own', i.made_s"
	    " FROM items AS i"
	    " LEFT JOIN devices AS d ON d.item = i.number"
	    " LEFT JOIN faults AS f ON f.item = i.number"
	    " LEFT JOIN causes AS c ON c.item = i.number"
	    " LEFT JOIN checks AS k ON k.item = i.number"
	    " LEFT JOIN cautions AS a ON a.item = i.number"
	    " LEFT JOIN pack_settings AS s ON s.item = i.number"
	    " WHERE i.kind = ?1"
	    " ORDER BY i.pack <> 'own', i.title COLLATE NOCASE, i.id",
	/* ?1 kind ?2 id ?3 pack ?4 seq ?5 title ?6 source ?7 now */
	[SQL_PUT_ITEM] =
	    "INSERT INTO items (kind, id, pack, seq, title, source, made_s)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) RETURNING number",
	/* ?1 number */
	[SQL_DELETE_ITEM] = "DELETE FROM items WHERE number = ?1",

	/* --- devices. Here and below ?1 is the item's number, and where
	 * something is put in a list, ?2 its place --- */
	[SQL_DEVICE] =
	    "SELECT kind, description, invented FROM devices WHERE item = ?1",
	/* ?2 kind ?3 description ?4 invented */
	[SQL_PUT_DEVICE] =
	    "INSERT INTO devices (item, kind, description, invented)"
	    " VALUES (?1, ?2, ?3, ?4)",
	[SQL_LAMPS] =
	    "SELECT id, title, colour, coding, on_s, gap_s, group_gap_s,"
	    " pause_s, slow, fast, flicker, source"
	    " FROM lamps WHERE item = ?1 ORDER BY seq",
	/* ?3 id ?4 title ?5 colour ?6 coding ?7 on ?8 gap ?9 group gap
	 * ?10 pause ?11 slow ?12 fast ?13 flicker ?14 source */
	[SQL_PUT_LAMP] =
	    "INSERT INTO lamps (item, seq, id, title, colour, coding, on_s,"
	    " gap_s, group_gap_s, pause_s, slow, fast, flicker, source)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13,"
	    " ?14)",
	[SQL_CODES] =
	    "SELECT lamp, pattern, fault, meaning"
	    " FROM codes WHERE item = ?1 ORDER BY seq",
	/* ?3 lamp ?4 pattern ?5 fault ?6 meaning */
	[SQL_PUT_CODE] =
	    "INSERT INTO codes (item, seq, lamp, pattern, fault, meaning)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
	/* ?1 device id */
	[SQL_OWN_CODES] =
	    "SELECT lamp, pattern, fault, meaning"
	    " FROM own_codes WHERE device = ?1 ORDER BY number",
	/* Devices that are not the builder's, or not there, with own codes. */
	[SQL_OWN_CODE_DEVICES] =
	    "SELECT device FROM own_codes WHERE device NOT IN"
	    " (SELECT id FROM items WHERE kind = 'device' AND pack = 'own')"
	    " GROUP BY device ORDER BY device",
	/* ?1 device ?2 lamp ?3 pattern ?4 fault ?5 meaning ?6 now */
	[SQL_PUT_OWN_CODE] =
	    "INSERT INTO own_codes (device, lamp, pattern, fault, meaning,"
	    " made_s) VALUES (?1, ?2, ?3, ?4, ?5, ?6)"
	    " ON CONFLICT (device, lamp, pattern) DO UPDATE"
	    " SET fault = ?4, meaning = ?5, made_s = ?6",
	/* ?1 device ?2 lamp ?3 pattern */
	[SQL_DELETE_OWN_CODE] =
	    "DELETE FROM own_codes"
	    " WHERE device = ?1 AND lamp = ?2 AND pattern = ?3 RETURNING 1",
	/* ?1 device id */
	[SQL_DELETE_OWN_CODES] = "DELETE FROM own_codes WHERE device = ?1",

	/* --- faults --- */
	[SQL_FAULT] =
	    "SELECT meaning, severity, clears, meanwhile, again"
	    " FROM faults WHERE item = ?1",
	/* ?2 meaning ?3 severity ?4 clears ?5 meanwhile ?6 again */
	[SQL_PUT_FAULT] =
	    "INSERT INTO faults (item, meaning, severity, clears, meanwhile,"
	    " again) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
	[SQL_FAULT_CAUSES] =
	    "SELECT cause, word FROM fault_causes WHERE item = ?1 ORDER BY seq",
	/* ?3 cause ?4 word */
	[SQL_PUT_FAULT_CAUSE] =
	    "INSERT INTO fault_causes (item, seq, cause, word)"
	    " VALUES (?1, ?2, ?3, ?4)",

	/* --- symptoms --- */
	[SQL_SYMPTOM] =
	    "SELECT description, again FROM symptoms WHERE item = ?1",
	/* ?2 description ?3 again */
	[SQL_PUT_SYMPTOM] =
	    "INSERT INTO symptoms (item, description, again)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_SYMPTOM_PHRASES] =
	    "SELECT phrase FROM symptom_phrases WHERE item = ?1 ORDER BY seq",
	/* ?3 phrase */
	[SQL_PUT_SYMPTOM_PHRASE] =
	    "INSERT INTO symptom_phrases (item, seq, phrase)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_SYMPTOM_PATTERNS] =
	    "SELECT pattern FROM symptom_patterns WHERE item = ?1 ORDER BY seq",
	/* ?3 pattern */
	[SQL_PUT_SYMPTOM_PATTERN] =
	    "INSERT INTO symptom_patterns (item, seq, pattern)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_SYMPTOM_CAUSES] =
	    "SELECT cause, word FROM symptom_causes"
	    " WHERE item = ?1 ORDER BY seq",
	/* ?3 cause ?4 word */
	[SQL_PUT_SYMPTOM_CAUSE] =
	    "INSERT INTO symptom_causes (item, seq, cause, word)"
	    " VALUES (?1, ?2, ?3, ?4)",
	[SQL_SYMPTOM_CAUTIONS] =
	    "SELECT caution FROM symptom_cautions"
	    " WHERE item = ?1 ORDER BY seq",
	/* ?3 caution */
	[SQL_PUT_SYMPTOM_CAUTION] =
	    "INSERT INTO symptom_cautions (item, seq, caution)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_ALL_PATTERNS] =
	    "SELECT i.number, i.id, i.title, s.description, p.pattern,"
	    " i.pack = 'own', i.made_s"
	    " FROM symptom_patterns AS p"
	    " JOIN symptoms AS s ON s.item = p.item"
	    " JOIN items AS i ON i.number = p.item"
	    " ORDER BY i.title COLLATE NOCASE, i.id, p.seq",

	/* --- causes --- */
	[SQL_CAUSE] =
	    "SELECT weight, why, fix, parts, proof, tools, damages,"
	    " minutes"
	    " FROM causes WHERE item = ?1",
	/* ?2 weight ?3 why ?4 fix ?5 parts ?6 proof ?7 tools ?8 damages
	 * ?9 minutes */
	[SQL_PUT_CAUSE] =
	    "INSERT INTO causes (item, weight, why, fix, parts, proof, tools,"
	    " damages, minutes)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
	[SQL_CAUSE_ALIKE] =
	    "SELECT cause FROM cause_alike WHERE item = ?1 ORDER BY seq",
	/* ?3 cause */
	[SQL_PUT_CAUSE_ALIKE] =
	    "INSERT INTO cause_alike (item, seq, cause) VALUES (?1, ?2, ?3)",

	/* --- points --- */
	[SQL_POINT] = "SELECT place FROM points WHERE item = ?1",
	/* ?2 place */
	[SQL_PUT_POINT] = "INSERT INTO points (item, place) VALUES (?1, ?2)",

	/* --- values of rigs --- */
	[SQL_VALUE] =
	    "SELECT part, help, place, kind, unit, low, high, tolerance, usual,"
	    " worked FROM pack_values WHERE item = ?1",
	/* ?2 part ?3 help ?4 place ?5 kind ?6 unit ?7 low ?8 high
	 * ?9 tolerance ?10 usual ?11 worked */
	[SQL_PUT_VALUE] =
	    "INSERT INTO pack_values (item, part, help, place, kind, unit,"
	    " low, high, tolerance, usual, worked)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
	[SQL_VALUE_CHOICES] =
	    "SELECT id, title FROM pack_value_choices"
	    " WHERE item = ?1 ORDER BY seq",
	/* ?3 id ?4 title */
	[SQL_PUT_VALUE_CHOICE] =
	    "INSERT INTO pack_value_choices (item, seq, id, title)"
	    " VALUES (?1, ?2, ?3, ?4)",
	[SQL_VALUES] =
	    "SELECT number FROM items WHERE kind = 'value'"
	    " ORDER BY pack, seq, number",

	/* --- settings that packs know --- */
	[SQL_KNOWN] =
	    "SELECT part, does, low, high, record"
	    " FROM pack_settings WHERE item = ?1",
	/* ?2 part ?3 does ?4 low ?5 high ?6 record */
	[SQL_PUT_KNOWN] =
	    "INSERT INTO pack_settings (item, part, does, low, high, record)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
	[SQL_KNOWN_FAULTS] =
	    "SELECT id FROM pack_setting_refs"
	    " WHERE item = ?1 AND kind = 'fault' ORDER BY seq",
	/* ?3 fault */
	[SQL_PUT_KNOWN_FAULT] =
	    "INSERT INTO pack_setting_refs (item, kind, seq, id)"
	    " VALUES (?1, 'fault', ?2, ?3)",
	[SQL_KNOWN_SYMPTOMS] =
	    "SELECT id FROM pack_setting_refs"
	    " WHERE item = ?1 AND kind = 'symptom' ORDER BY seq",
	/* ?3 symptom */
	[SQL_PUT_KNOWN_SYMPTOM] =
	    "INSERT INTO pack_setting_refs (item, kind, seq, id)"
	    " VALUES (?1, 'symptom', ?2, ?3)",
	[SQL_KNOWN_CAUTIONS] =
	    "SELECT id FROM pack_setting_refs"
	    " WHERE item = ?1 AND kind = 'caution' ORDER BY seq",
	/* ?3 caution */
	[SQL_PUT_KNOWN_CAUTION] =
	    "INSERT INTO pack_setting_refs (item, kind, seq, id)"
	    " VALUES (?1, 'caution', ?2, ?3)",
	[SQL_ALL_KNOWN] =
	    "SELECT number FROM items WHERE kind = 'setting'"
	    " ORDER BY pack, seq, number",
	/* ?1 fault id or NULL ?2 symptom id or NULL */
	[SQL_KNOWN_LIKE] =
	    "SELECT i.id, i.title, s.part, i.pack = 'own', i.made_s"
	    " FROM items AS i JOIN pack_settings AS s ON s.item = i.number"
	    " WHERE i.number IN"
	    " (SELECT item FROM pack_setting_refs"
	    " WHERE kind = 'fault' AND id = ?1"
	    " UNION SELECT item FROM pack_setting_refs"
	    " WHERE kind = 'symptom' AND id = ?2)"
	    " ORDER BY i.pack, i.seq, i.number",

	/* --- cautions --- */
	[SQL_CAUTION] =
	    "SELECT signal, avoid, place, otherwise, only_on, from_volts,"
	    " from_joules FROM cautions WHERE item = ?1",
	/* ?2 signal ?3 avoid ?4 place ?5 otherwise ?6 rules ?7 volts
	 * ?8 joules */
	[SQL_PUT_CAUTION] =
	    "INSERT INTO cautions (item, signal, avoid, place, otherwise,"
	    " only_on, from_volts, from_joules)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
	[SQL_CAUTION_STATES] =
	    "SELECT power FROM caution_states WHERE item = ?1",
	/* ?2 power */
	[SQL_PUT_CAUTION_STATE] =
	    "INSERT INTO caution_states (item, power) VALUES (?1, ?2)",
	/* ?1 power */
	[SQL_CAUTIONS_IN] =
	    "SELECT i.number FROM caution_states AS s"
	    " JOIN items AS i ON i.number = s.item"
	    " JOIN cautions AS c ON c.item = s.item"
	    " WHERE s.power = ?1"
	    " ORDER BY CASE c.signal WHEN 'danger' THEN 1 WHEN 'warning' THEN 2"
	    " WHEN 'caution' THEN 3 WHEN 'notice' THEN 4 ELSE 5 END,"
	    " i.pack, i.seq",

	/* --- checks --- */
	[SQL_CHECK] =
	    "SELECT ask, meter, unit, power, reason, minutes, black, red,"
	    " mistake, only_on FROM checks WHERE item = ?1",
	/* ?2 ask ?3 meter ?4 unit ?5 power ?6 reason ?7 minutes ?8 black
	 * ?9 red ?10 mistake ?11 rules */
	[SQL_PUT_CHECK] =
	    "INSERT INTO checks (item, ask, meter, unit, power, reason,"
	    " minutes, black, red, mistake, only_on)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
	[SQL_CHECK_STEPS] =
	    "SELECT step, only_on FROM check_steps"
	    " WHERE item = ?1 ORDER BY seq",
	/* ?3 step ?4 rules */
	[SQL_PUT_CHECK_STEP] =
	    "INSERT INTO check_steps (item, seq, step, only_on)"
	    " VALUES (?1, ?2, ?3, ?4)",
	[SQL_CHECK_POINTS] =
	    "SELECT point FROM check_points WHERE item = ?1 ORDER BY seq",
	/* ?3 point */
	[SQL_PUT_CHECK_POINT] =
	    "INSERT INTO check_points (item, seq, point) VALUES (?1, ?2, ?3)",
	[SQL_CHECK_TOOLS] =
	    "SELECT tool FROM check_tools WHERE item = ?1 ORDER BY seq",
	/* ?3 tool */
	[SQL_PUT_CHECK_TOOL] =
	    "INSERT INTO check_tools (item, seq, tool) VALUES (?1, ?2, ?3)",
	[SQL_CHECK_AFTER] =
	    "SELECT check_id FROM check_after WHERE item = ?1 ORDER BY seq",
	/* ?3 check id */
	[SQL_PUT_CHECK_AFTER] =
	    "INSERT INTO check_after (item, seq, check_id)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_CHECK_CAUTIONS] =
	    "SELECT caution FROM check_cautions WHERE item = ?1 ORDER BY seq",
	/* ?3 caution */
	[SQL_PUT_CHECK_CAUTION] =
	    "INSERT INTO check_cautions (item, seq, caution)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_OUTCOMES] =
	    "SELECT id, title, from_value, below_value, expected, say, enters,"
	    " unproves, stops, from_says, below_says"
	    " FROM outcomes WHERE item = ?1 ORDER BY seq",
	/* ?3 id ?4 title ?5 from ?6 below ?7 expected ?8 say ?9 enters
	 * ?10 unproves ?11 stops ?12 from as expression ?13 below as one */
	[SQL_PUT_OUTCOME] =
	    "INSERT INTO outcomes (item, seq, id, title, from_value,"
	    " below_value, expected, say, enters, unproves, stops, from_says,"
	    " below_says)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
	[SQL_OUTCOME_SPEAKS] =
	    "SELECT outcome, cause, word FROM outcome_speaks"
	    " WHERE item = ?1 ORDER BY outcome, seq",
	/* ?2 outcome's seq ?3 seq ?4 cause ?5 word */
	[SQL_PUT_OUTCOME_SPEAKS] =
	    "INSERT INTO outcome_speaks (item, outcome, seq, cause, word)"
	    " VALUES (?1, ?2, ?3, ?4, ?5)",
	/* ?1 power */
	[SQL_GATE] =
	    "SELECT i.number FROM outcomes AS o"
	    " JOIN items AS i ON i.number = o.item"
	    " JOIN packs AS p ON p.name = i.pack"
	    " WHERE o.enters = ?1"
	    " ORDER BY p.shipped DESC, i.pack, i.seq LIMIT 1",
	/* ?1 cause id */
	[SQL_CHECKS_FOR] =
	    "SELECT i.id, i.title, k.power, i.pack = 'own', i.made_s"
	    " FROM items AS i JOIN checks AS k ON k.item = i.number"
	    " WHERE i.number IN"
	    " (SELECT item FROM outcome_speaks WHERE cause = ?1)"
	    " ORDER BY i.pack <> 'own', i.title COLLATE NOCASE, i.id",

	/* --- checks that speak about causes. Here ?1 is a JSON list of their
	 * ids; the joins are crossed so that it leads, by the index --- */
	[SQL_SPEAKERS] =
	    "SELECT i.number, i.id, i.title, k.power, k.meter, k.minutes,"
	    " k.only_on"
	    " FROM (SELECT DISTINCT s.item FROM json_each(?1) AS j"
	    " CROSS JOIN outcome_speaks AS s ON s.cause = j.value) AS a"
	    " CROSS JOIN items AS i ON i.number = a.item"
	    " CROSS JOIN checks AS k ON k.item = a.item"
	    " ORDER BY i.pack, i.seq, i.number",
	[SQL_SPEAKER_OUTCOMES] =
	    "SELECT o.item, o.id, o.expected, o.stops, o.unproves, o.enters"
	    " FROM (SELECT DISTINCT s.item FROM json_each(?1) AS j"
	    " CROSS JOIN outcome_speaks AS s ON s.cause = j.value) AS a"
	    " CROSS JOIN items AS i ON i.number = a.item"
	    " CROSS JOIN outcomes AS o ON o.item = a.item"
	    " ORDER BY i.pack, i.seq, i.number, o.seq",
	[SQL_SPEAKER_TOOLS] =
	    "SELECT t.item, t.tool"
	    " FROM (SELECT DISTINCT s.item FROM json_each(?1) AS j"
	    " CROSS JOIN outcome_speaks AS s ON s.cause = j.value) AS a"
	    " CROSS JOIN items AS i ON i.number = a.item"
	    " CROSS JOIN check_tools AS t ON t.item = a.item"
	    " ORDER BY i.pack, i.seq, i.number, t.seq",
	[SQL_SPOKEN] =
	    "SELECT s.item, s.outcome, j.key, s.word FROM json_each(?1) AS j"
	    " CROSS JOIN outcome_speaks AS s ON s.cause = j.value"
	    " CROSS JOIN items AS i ON i.number = s.item"
	    " ORDER BY i.pack, i.seq, i.number, s.outcome, s.seq, j.key",

	/* --- trees --- */
	[SQL_TREE] =
	    "SELECT walk, description, passed FROM trees WHERE item = ?1",
	/* ?2 walk ?3 description ?4 passed */
	[SQL_PUT_TREE] =
	    "INSERT INTO trees (item, walk, description, passed)"
	    " VALUES (?1, ?2, ?3, ?4)",
	[SQL_TREE_FAULTS] =
	    "SELECT fault FROM tree_faults WHERE item = ?1 ORDER BY seq",
	/* ?3 fault */
	[SQL_PUT_TREE_FAULT] =
	    "INSERT INTO tree_faults (item, seq, fault) VALUES (?1, ?2, ?3)",
	[SQL_TREE_SYMPTOMS] =
	    "SELECT symptom FROM tree_symptoms WHERE item = ?1 ORDER BY seq",
	/* ?3 symptom */
	[SQL_PUT_TREE_SYMPTOM] =
	    "INSERT INTO tree_symptoms (item, seq, symptom)"
	    " VALUES (?1, ?2, ?3)",
	[SQL_TREE_STEPS] =
	    "SELECT id, check_id, only_on FROM tree_steps"
	    " WHERE item = ?1 ORDER BY seq",
	/* ?3 id ?4 check id ?5 rules */
	[SQL_PUT_TREE_STEP] =
	    "INSERT INTO tree_steps (item, seq, id, check_id, only_on)"
	    " VALUES (?1, ?2, ?3, ?4, ?5)",
	[SQL_TREE_BRANCHES] =
	    "SELECT step, outcome, kind, target FROM tree_branches"
	    " WHERE item = ?1 ORDER BY step, seq",
	/* ?2 step's seq ?3 seq ?4 outcome ?5 kind ?6 target */
	[SQL_PUT_TREE_BRANCH] =
	    "INSERT INTO tree_branches (item, step, seq, outcome, kind,"
	    " target) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
	/* ?1 fault id or NULL ?2 symptom id or NULL */
	[SQL_TREES_FOR] =
	    "SELECT i.id, i.title, NULL, i.pack = 'own', i.made_s"
	    " FROM trees AS t JOIN items AS i ON i.number = t.item"
	    " WHERE t.walk = 0 AND t.item IN"
	    " (SELECT item FROM tree_faults WHERE fault = ?1"
	    " UNION SELECT item FROM tree_symptoms WHERE symptom = ?2)"
	    " ORDER BY i.pack <> 'own', i.pack, i.seq",

	[SQL_WALKS] =
	    "SELECT i.id, i.title, t.description, i.pack = 'own', i.made_s"
	    " FROM trees AS t JOIN items AS i ON i.number = t.item"
	    " WHERE t.walk = 1 ORDER BY i.pack, i.seq",

	/* --- the index --- */
	/* ?1 number ?2 title ?3 phrases ?4 body ?5 id */
	[SQL_INDEX_ITEM] =
	    "INSERT INTO item_text (rowid, title, phrases, body, id)"
	    " VALUES (?1, ?2, ?3, ?4, ?5)",
	/* ?1 number */
	[SQL_UNINDEX_ITEM] = "DELETE FROM item_text WHERE rowid = ?1",
	/* ?1 pack */
	[SQL_UNINDEX_PACK] =
	    "DELETE FROM item_text WHERE rowid IN"
	    " (SELECT number FROM items WHERE pack = ?1)",
	/* ?1 note ?2 words */
	[SQL_INDEX_NOTE] =
	    "INSERT INTO note_text (rowid, words) VALUES (?1, ?2)",
	/* ?1 note */
	[SQL_UNINDEX_NOTE] = "DELETE FROM note_text WHERE rowid = ?1",
	/* ?1 query ?2 kind ?3 limit ?4 words that must match. A title weighs
	 * most, then phrases; what matched stands between the bytes 2 and 3. */
	[SQL_SEARCH_ITEMS] =
	    "SELECT i.number, i.id, i.title,"
	    " snippet(item_text, -1, char(2), char(3), '...', 24),"
	    " snippet(item_text, 2, '', '', '...', 24),"
	    " bm25(item_text, 8.0, 6.0, 1.0, 4.0) AS goodness,"
	    " i.pack = 'own', i.made_s, matched_words(item_text) AS words"
	    " FROM item_text JOIN items AS i ON i.number = item_text.rowid"
	    " WHERE item_text MATCH ?1 AND i.kind = ?2"
	    " AND matched_words(item_text) >= ?4"
	    " ORDER BY words DESC, goodness, i.id LIMIT ?3",
	/* ?1 query ?2 limit ?3 words that must match */
	[SQL_SEARCH_NOTES] =
	    "SELECT n.note, n.note,"
	    " coalesce(i.title, j.title, r.title, n.subject),"
	    " snippet(note_text, 0, char(2), char(3), '...', 24), '',"
	    " bm25(note_text) AS goodness, 1, n.made_s,"
	    " matched_words(note_text) AS words,"
	    " n.subject_kind, n.subject"
	    " FROM note_text JOIN notes AS n ON n.note = note_text.rowid"
	    " LEFT JOIN items AS i"
	    " ON i.kind = n.subject_kind AND i.id = n.subject"
	    " LEFT JOIN jobs AS j"
	    " ON n.subject_kind = 'job' AND CAST(j.job AS TEXT) = n.subject"
	    " LEFT JOIN rigs AS r"
	    " ON n.subject_kind = 'rig' AND r.rig = n.subject"
	    " WHERE note_text MATCH ?1"
	    " AND matched_words(note_text) >= ?3"
	    " ORDER BY words DESC, goodness, n.note DESC LIMIT ?2",

	/* --- notes --- */
	/* ?1 subject kind or NULL ?2 subject or NULL */
	[SQL_NOTES] =
	    "SELECT n.note, n.subject_kind, n.subject,"
	    " coalesce(i.title, j.title, r.title, n.subject), n.words,"
	    " n.made_s"
	    " FROM notes AS n"
	    " LEFT JOIN items AS i"
	    " ON i.kind = n.subject_kind AND i.id = n.subject"
	    " LEFT JOIN jobs AS j"
	    " ON n.subject_kind = 'job' AND CAST(j.job AS TEXT) = n.subject"
	    " LEFT JOIN rigs AS r"
	    " ON n.subject_kind = 'rig' AND r.rig = n.subject"
	    " WHERE (?1 IS NULL OR n.subject_kind = ?1)"
	    " AND (?2 IS NULL OR n.subject = ?2)"
	    " ORDER BY n.made_s DESC, n.note DESC",
	/* ?1 subject kind ?2 subject ?3 words ?4 now */
	[SQL_PUT_NOTE] =
	    "INSERT INTO notes (subject_kind, subject, words, made_s)"
	    " VALUES (?1, ?2, ?3, ?4) RETURNING note",
	/* ?1 note */
	[SQL_DELETE_NOTE] = "DELETE FROM notes WHERE note = ?1 RETURNING note",

	/* --- jobs --- */
	/* ?1 now ?2 device ?3 lamp ?4 title ?5 rig */
	[SQL_NEW_JOB] =
	    "INSERT INTO jobs (created_s, device, lamp, title, rig)"
	    " VALUES (?1, ?2, ?3, ?4, ?5) RETURNING job",
	/* ?1 job */
	[SQL_JOB] =
	    "SELECT created_s, device, lamp, title, rig"
	    " FROM jobs WHERE job = ?1",
	[SQL_JOBS] =
	    "SELECT j.job, j.title, coalesce("
	    " (SELECT f.time_s FROM findings AS f WHERE f.job = j.job"
	    " ORDER BY f.serial DESC LIMIT 1), j.created_s) AS touched_s, j.rig"
	    " FROM jobs AS j ORDER BY touched_s DESC, j.job DESC",
	/* ?1 job */
	[SQL_LAST_SERIAL] =
	    "SELECT (SELECT coalesce(max(serial), 0) FROM findings"
	    " WHERE job = ?1) FROM jobs WHERE job = ?1",
	/* ?1 job */
	[SQL_FINDINGS] =
	    "SELECT serial, time_s, kind, subject, title, outcome,"
	    " outcome_title, value, unit, expected, words, ask, about,"
	    " power, leads, passed, stop, say, step, spread, also"
	    " FROM findings WHERE job = ?1 ORDER BY serial",
	/* ?1 job ?2 undo ?3 close ?4 reopen */
	[SQL_LAST_END] =
	    "SELECT kind, outcome IS NOT NULL FROM findings"
	    " WHERE job = ?1 AND kind IN (?2, ?3, ?4)"
	    " ORDER BY serial DESC LIMIT 1",
	/* ?1 job ?2 serial ?3 now ?4 kind ?5 subject ?6 title ?7 outcome
	 * ?8 its title ?9 value ?10 unit ?11 expected ?12 words ?13 ask
	 * ?14 about ?15 power ?16 leads ?17 passed ?18 stop ?19 say ?20 step
	 * ?21 spread ?22 also */
	[SQL_PUT_FINDING] =
	    "INSERT INTO findings (job, serial, time_s, kind, subject, title,"
	    " outcome, outcome_title, value, unit, expected, words, ask, about,"
	    " power, leads, passed, stop, say, step, spread, also)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13,"
	    " ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22)",

	/* --- cures --- */
	/* ?1 device ?2 fault ?3 symptom ?4 but this job */
	[SQL_CURES] =
	    "SELECT cause, sum(device IS NOT NULL AND device IS ?1),"
	    " sum(device IS NULL OR device IS NOT ?1)"
	    " FROM cures AS c WHERE (fault = ?2 OR symptom = ?3) AND job <> ?4"
	    " AND NOT EXISTS (SELECT 1 FROM forgets AS f"
	    " WHERE f.device IN ('', c.device) AND f.last >= c.cure)"
	    " GROUP BY cause ORDER BY cause",
	/* ?1 job ?2 cause ?3 fault ?4 symptom ?5 now; one that is there
	 * already keeps its number and its time */
	[SQL_PUT_CURE] =
	    "INSERT INTO cures (job, cause, device, fault, symptom, time_s)"
	    " SELECT job, ?2, device, ?3, ?4, ?5 FROM jobs WHERE job = ?1"
	    " ON CONFLICT (job) DO UPDATE SET cause = excluded.cause,"
	    " fault = excluded.fault, symptom = excluded.symptom",
	[SQL_DELETE_CURE] = "DELETE FROM cures WHERE job = ?1",
	/* ?1 device */
	[SQL_DEVICE_OF_CURES] =
	    "SELECT 1 FROM cures WHERE device = ?1 LIMIT 1",
	/* ?1 device, or empty for all ?2 now */
	[SQL_PUT_FORGET] =
	    "INSERT INTO forgets (device, since_s, last) VALUES (?1, ?2,"
	    " (SELECT coalesce(max(cure), 0) FROM cures))"
	    " ON CONFLICT (device) DO UPDATE"
	    " SET since_s = excluded.since_s, last = excluded.last",
	/* ?1 device, or NULL for all */
	[SQL_LEARNT] =
	    "WITH counted AS (SELECT * FROM cures AS c"
	    " WHERE (?1 IS NULL OR c.device = ?1)"
	    " AND NOT EXISTS (SELECT 1 FROM forgets AS f"
	    " WHERE f.device IN ('', c.device) AND f.last >= c.cure)),"
	    " begun AS (SELECT device, 'fault' AS kind, fault AS began, cause,"
	    " time_s FROM counted WHERE fault IS NOT NULL"
	    " UNION ALL SELECT device, 'symptom', symptom, cause, time_s"
	    " FROM counted WHERE symptom IS NOT NULL)"
	    " SELECT b.device, b.kind, b.began, b.cause, count(*) AS times,"
	    " sum(count(*)) OVER (PARTITION BY b.device, b.kind, b.began),"
	    " max(b.time_s), o.title, c.title, d.title"
	    " FROM begun AS b"
	    " LEFT JOIN items AS o ON o.kind = b.kind AND o.id = b.began"
	    " LEFT JOIN items AS c ON c.kind = 'cause' AND c.id = b.cause"
	    " LEFT JOIN items AS d ON d.kind = 'device' AND d.id = b.device"
	    " GROUP BY b.device, b.kind, b.began, b.cause"
	    " ORDER BY b.device IS NULL, b.device, b.kind, b.began, times DESC,"
	    " b.cause",

	/* --- holds --- */
	/* ?1 vehicle */
	[SQL_HOLD] =
	    "SELECT job, screen, name, since_s, last_s, asker, asker_name,"
	    " asked_s FROM holds WHERE vehicle = ?1",
	/* ?1 vehicle ?2 job ?3 screen ?4 name ?5 since ?6 last ?7 asker
	 * ?8 asker's name ?9 when it asked */
	[SQL_PUT_HOLD] =
	    "INSERT INTO holds (vehicle, job, screen, name, since_s, last_s,"
	    " asker, asker_name, asked_s)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"
	    " ON CONFLICT (vehicle) DO UPDATE"
	    " SET job = ?2, screen = ?3, name = ?4, since_s = ?5, last_s = ?6,"
	    " asker = ?7, asker_name = ?8, asked_s = ?9",
	/* ?1 vehicle */
	[SQL_DELETE_HOLD] = "DELETE FROM holds WHERE vehicle = ?1",
	[SQL_DELETE_HOLDS] = "DELETE FROM holds",
	/* ?1 screen */
	[SQL_HOLDS_OF_SCREEN] =
	    "SELECT h.job, j.title, r.rig, r.title, h.last_s"
	    " FROM holds AS h JOIN jobs AS j ON j.job = h.job"
	    " LEFT JOIN rigs AS r ON h.vehicle = 'rig ' || r.rig"
	    " WHERE h.screen = ?1 ORDER BY h.job",

	/* --- paired screens --- */
	/* ?1 key */
	[SQL_SCREEN] =
	    "SELECT number, key, name, agent, since_s, last_s, until_s"
	    " FROM screens WHERE key = ?1",
	/* ?1 now */
	[SQL_SCREENS] =
	    "SELECT number, key, name, agent, since_s, last_s, until_s"
	    " FROM screens WHERE until_s > ?1"
	    " ORDER BY last_s DESC, number DESC",
	/* ?1 key ?2 name ?3 agent ?4 now ?5 until */
	[SQL_PUT_SCREEN] =
	    "INSERT INTO screens (key, name, agent, since_s, last_s, until_s)"
	    " VALUES (?1, ?2, ?3, ?4, ?4, ?5) RETURNING number",
	/* ?1 key ?2 now */
	[SQL_SAW_SCREEN] = "UPDATE screens SET last_s = ?2 WHERE key = ?1",
	/* ?1 so many are too many */
	[SQL_SCREEN_TO_LEAVE] =
	    "SELECT number FROM screens"
	    " WHERE (SELECT count(*) FROM screens) >= ?1"
	    " ORDER BY last_s, number LIMIT 1",
	[SQL_DELETE_ALL_SCREENS] = "DELETE FROM screens",
	/* Here and in the next two: ?1 number or 0 for every one ?2 the number
	 * of one that stays ?3 those whose time is over by then */
	[SQL_DELETE_SCREENS] =
	    "DELETE FROM screens WHERE (?1 = 0 OR number = ?1)"
	    " AND number <> ?2 AND until_s <= ?3 RETURNING number",
	[SQL_FREE_HOLDS] =
	    "DELETE FROM holds WHERE screen IN"
	    " (SELECT key FROM screens WHERE (?1 = 0 OR number = ?1)"
	    " AND number <> ?2 AND until_s <= ?3)",
	[SQL_TAKE_BACK_ASKS] =
	    "UPDATE holds SET asker = NULL, asker_name = NULL, asked_s = NULL"
	    " WHERE asker IN"
	    " (SELECT key FROM screens WHERE (?1 = 0 OR number = ?1)"
	    " AND number <> ?2 AND until_s <= ?3)",

	/* --- rigs. Here and below ?1 is the rig's name --- */
	[SQL_RIG] = "SELECT title, removed, made_s FROM rigs WHERE rig = ?1",
	[SQL_RIG_IDS] = "SELECT rig FROM rigs WHERE removed = 0 ORDER BY rig",
	[SQL_RIGS] =
	    "SELECT r.rig, r.title, r.made_s, b.rig IS r.rig"
	    " FROM rigs AS r, book AS b WHERE r.removed = 0"
	    " ORDER BY r.title COLLATE NOCASE, r.rig",
	/* ?2 title ?3 now; one that was removed comes back */
	[SQL_PUT_RIG] =
	    "INSERT INTO rigs (rig, title, removed, made_s)"
	    " VALUES (?1, coalesce(?2, ?1), 0, ?3)"
	    " ON CONFLICT (rig) DO UPDATE"
	    " SET title = coalesce(?2, title), removed = 0",
	/* ?2 title */
	[SQL_NAME_RIG] = "UPDATE rigs SET title = ?2 WHERE rig = ?1",
	[SQL_REMOVE_RIG] = "UPDATE rigs SET removed = 1 WHERE rig = ?1",
	[SQL_IN_HAND] = "SELECT rig FROM book",
	/* ?1 rig or NULL */
	[SQL_TAKE_IN_HAND] = "UPDATE book SET rig = ?1",
	[SQL_PUT_OUT_OF_HAND] = "UPDATE book SET rig = NULL WHERE rig = ?1",
	[SQL_RIG_FACTS] =
	    "SELECT key, value, set_s FROM rig_facts"
	    " WHERE rig = ?1 ORDER BY key",
	/* ?2 key ?3 value ?4 now */
	[SQL_PUT_RIG_FACT] =
	    "INSERT INTO rig_facts (rig, key, value, set_s)"
	    " VALUES (?1, ?2, ?3, ?4)"
	    " ON CONFLICT (rig, key) DO UPDATE SET value = ?3, set_s = ?4",
	/* ?2 key */
	[SQL_DELETE_RIG_FACT] =
	    "DELETE FROM rig_facts WHERE rig = ?1 AND key = ?2",
	[SQL_RIG_DEVICES] =
	    "SELECT substr(f.key, 8), f.value, coalesce(i.title, f.value)"
	    " FROM rig_facts AS f"
	    " LEFT JOIN items AS i ON i.kind = 'device' AND i.id = f.value"
	    " WHERE f.rig = ?1 AND substr(f.key, 1, 7) = 'device.'"
	    " ORDER BY f.key",
	[SQL_RIG_POINTS] =
	    "SELECT r.point, coalesce(i.title, r.point), p.place, r.words"
	    " FROM rig_points AS r"
	    " LEFT JOIN items AS i ON i.kind = 'point' AND i.id = r.point"
	    " LEFT JOIN points AS p ON p.item = i.number"
	    " WHERE r.rig = ?1"
	    " ORDER BY coalesce(i.title, r.point) COLLATE NOCASE, r.point",
	[SQL_ALL_RIG_POINTS] =
	    "SELECT i.id AS point, i.title AS title, p.place, r.words,"
	    " r.words IS NULL AS bare"
	    " FROM items AS i"
	    " LEFT JOIN points AS p ON p.item = i.number"
	    " LEFT JOIN rig_points AS r ON r.rig = ?1 AND r.point = i.id"
	    " WHERE i.kind = 'point'"
	    " UNION ALL"
	    " SELECT r.point, r.point, NULL, r.words, 0 FROM rig_points AS r"
	    " WHERE r.rig = ?1 AND r.point NOT IN"
	    " (SELECT id FROM items WHERE kind = 'point')"
	    " ORDER BY bare, title COLLATE NOCASE, point",
	/* ?2 point */
	[SQL_RIG_POINT] =
	    "SELECT words FROM rig_points WHERE rig = ?1 AND point = ?2",
	/* ?2 point ?3 words ?4 now */
	[SQL_PUT_RIG_POINT] =
	    "INSERT INTO rig_points (rig, point, words, set_s)"
	    " VALUES (?1, ?2, ?3, ?4)"
	    " ON CONFLICT (rig, point) DO UPDATE SET words = ?3, set_s = ?4",
	/* ?2 point */
	[SQL_DELETE_RIG_POINT] =
	    "DELETE FROM rig_points WHERE rig = ?1 AND point = ?2",

	/* --- the settings ledger. `before` is what the ledger had last, in
	 * the order in which it was written --- */
	/* ?2 device ?3 setting ?4 was ?5 became ?6 why ?7 job or NULL
	 * ?8 now */
	[SQL_PUT_SETTING] =
	    "INSERT INTO settings (rig, device, setting, was, became, why, job,"
	    " time_s) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) RETURNING entry",
	/* ?2 device or NULL */
	[SQL_SETTINGS] =
	    "SELECT entry, time_s, device, setting, was, became, why, job,"
	    " lag(became) OVER (PARTITION BY device, setting ORDER BY entry)"
	    " FROM settings"
	    " WHERE rig = ?1 AND (?2 IS NULL OR device = ?2)"
	    " ORDER BY entry",
	/* ?1 job */
	[SQL_SETTINGS_OF_JOB] =
	    "SELECT s.entry, s.time_s, s.device, s.setting, s.was, s.became,"
	    " s.why, s.job,"
	    " (SELECT b.became FROM settings AS b WHERE b.rig = s.rig"
	    " AND b.device = s.device AND b.setting = s.setting"
	    " AND b.entry < s.entry ORDER BY b.entry DESC LIMIT 1)"
	    " FROM settings AS s WHERE s.job = ?1 ORDER BY s.entry",
	/* ?2 time */
	[SQL_SETTINGS_AS_OF] =
	    "WITH ledger AS (SELECT *,"
	    " lag(became) OVER (PARTITION BY device, setting ORDER BY entry)"
	    " AS before FROM settings WHERE rig = ?1),"
	    " until AS (SELECT *, row_number() OVER (PARTITION BY device,"
	    " setting ORDER BY time_s DESC, entry DESC) AS place"
	    " FROM ledger WHERE time_s <= ?2)"
	    " SELECT entry, time_s, device, setting, was, became, why, job,"
	    " before FROM until WHERE place = 1"
	    " ORDER BY device COLLATE NOCASE, device,"
	    " setting COLLATE NOCASE, setting",
	/* ?2 one time ?3 the other; before the first entry of a setting, in
	 * order of time, stands that entry's `was` */
	[SQL_SETTINGS_DIFFERENCE] =
	    "WITH names AS (SELECT DISTINCT rig, device, setting"
	    " FROM settings WHERE rig = ?1),"
	    " firsts AS (SELECT n.*, (SELECT s.was FROM settings AS s"
	    " WHERE s.rig = n.rig AND s.device = n.device"
	    " AND s.setting = n.setting"
	    " ORDER BY s.time_s, s.entry LIMIT 1) AS was FROM names AS n),"
	    " pairs AS (SELECT n.device, n.setting,"
	    " coalesce((SELECT s.became FROM settings AS s"
	    " WHERE s.rig = n.rig AND s.device = n.device"
	    " AND s.setting = n.setting AND s.time_s <= ?2"
	    " ORDER BY s.time_s DESC, s.entry DESC LIMIT 1), n.was) AS before,"
	    " coalesce((SELECT s.became FROM settings AS s"
	    " WHERE s.rig = n.rig AND s.device = n.device"
	    " AND s.setting = n.setting AND s.time_s <= ?3"
	    " ORDER BY s.time_s DESC, s.entry DESC LIMIT 1), n.was) AS after"
	    " FROM firsts AS n)"
	    " SELECT device, setting, before, after FROM pairs"
	    " WHERE before IS NOT after"
	    " ORDER BY device COLLATE NOCASE, device,"
	    " setting COLLATE NOCASE, setting",

	/* --- settings that wait for a tool. A wish to read is fulfilled by any
	 * later entry of the ledger, a wish to set by one that changes the
	 * setting or finds it so already --- */
	[SQL_WISHES] =
	    "SELECT w.wish, w.time_s, w.device, w.setting, w.value, w.why,"
	    " w.job, (SELECT s.became FROM settings AS s WHERE s.rig = w.rig"
	    " AND s.device = w.device AND s.setting = w.setting"
	    " ORDER BY s.entry DESC LIMIT 1)"
	    " FROM setting_wishes AS w WHERE w.rig = ?1 AND w.dropped = 0"
	    " AND NOT EXISTS (SELECT 1 FROM settings AS s WHERE s.rig = w.rig"
	    " AND s.device = w.device AND s.setting = w.setting"
	    " AND s.entry > w.after_entry AND (w.value IS NULL"
	    " OR s.was IS NOT NULL OR s.became = w.value))"
	    " ORDER BY w.wish",
	/* ?2 device ?3 setting ?4 value or NULL ?5 why ?6 job or NULL
	 * ?7 now */
	[SQL_PUT_WISH] =
	    "INSERT INTO setting_wishes (rig, device, setting, value, why, job,"
	    " time_s, after_entry, dropped)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7,"
	    " (SELECT coalesce(max(entry), 0) FROM settings), 0)"
	    " RETURNING wish",
	/* ?2 device ?3 setting */
	[SQL_REPLACE_WISH] =
	    "UPDATE setting_wishes SET dropped = 1"
	    " WHERE rig = ?1 AND device = ?2 AND setting = ?3 AND dropped = 0",
	/* ?1 wish; only one that is open */
	[SQL_DROP_WISH] =
	    "UPDATE setting_wishes AS w SET dropped = 1"
	    " WHERE w.wish = ?1 AND w.dropped = 0"
	    " AND NOT EXISTS (SELECT 1 FROM settings AS s WHERE s.rig = w.rig"
	    " AND s.device = w.device AND s.setting = w.setting"
	    " AND s.entry > w.after_entry AND (w.value IS NULL"
	    " OR s.was IS NOT NULL OR s.became = w.value))"
	    " RETURNING wish",

	/* --- what vehicles and their devices say --- */
	/* ?2 device ?3 kind ?4 subject ?5 value ?6 count ?7 words
	 * ?8 job or NULL ?9 now */
	[SQL_PUT_RECORD] =
	    "INSERT INTO records (rig, device, kind, subject, value, count,"
	    " words, job, time_s)"
	    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9) RETURNING record",
	[SQL_RECORDS] =
	    "SELECT record, time_s, device, kind, subject, value, count, words,"
	    " job FROM records WHERE rig = ?1 ORDER BY time_s, record",
	/* ?1 job */
	[SQL_RECORDS_OF_JOB] =
	    "SELECT record, time_s, device, kind, subject, value, count, words,"
	    " job FROM records WHERE job = ?1 ORDER BY time_s, record",
};
/* clang-format on */

const char *
statement_text(enum statement which)
{
	assert((size_t)which < STATEMENT_COUNT);
	return texts[which];
}
