-- Attempts of one game or practice as they are typed, and the last of them taken back.

-- name: changes
SELECT CAST(value AS BIGINT) FROM ledger_meta WHERE key = 'changes';

-- The newest open sitting of that name and person.
-- name: sitting
SELECT max(id) FROM source
WHERE kind = 'entry' AND taken_back IS NULL AND who = $who AND file = $file;

-- Attempts of some games, those put aside too, that a sitting has not typed.
-- name: others
SELECT count(*) FROM attempt AS a
WHERE a.game_id IN (SELECT game_id FROM wanted)
    AND a.id NOT IN (SELECT attempt_id FROM sighting WHERE source_id = $source_id);

-- Where and by whom an attempt was shot.
-- name: place
SELECT a.game_id, a.player_id, a.team_id, a.opponent_id, coalesce(p.same_as, p.id) AS person_id
FROM attempt AS a
JOIN player AS p ON p.id = a.player_id
WHERE a.id = $attempt_id;

-- name: splits
SELECT count(*) FROM journal
WHERE action = 'split' AND table_name = 'player' AND source_id = $source_id;

-- name: count_typed
UPDATE source SET
    rows = rows + $attempts, stored = stored + $attempts, attempts_stored = attempts_stored + $attempts,
    tags_stored = tags_stored + $tags
WHERE id = $id;

-- What a sitting typed last, the newest line first.
-- name: last_lines
SELECT
    s.line, s.attempt_id, s.outcome, a.game_id, a.trip_shot, a.trip_of, a.made,
    person.person_id, person.name AS player, one_team.name AS team
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
JOIN player AS p ON p.id = a.player_id
JOIN person ON person.person_id = coalesce(p.same_as, p.id)
JOIN one_team ON one_team.id = a.team_id
WHERE s.source_id = $source_id
ORDER BY s.line DESC
LIMIT 12;

-- Attempts that something else in the ledger says a word about.
-- name: leaned_on
SELECT s.attempt_id FROM sighting AS s
WHERE s.attempt_id IN (SELECT attempt_id FROM wanted)
    AND NOT (s.source_id = $source_id AND s.line IN (SELECT line FROM wanted))
UNION
SELECT t.attempt_id FROM tag AS t
WHERE t.attempt_id IN (SELECT attempt_id FROM wanted)
    AND NOT (t.source_id = $source_id AND t.line IN (SELECT line FROM wanted));

-- Who else has a tag that counts on attempts that nobody else has brought.
-- name: tags_of_others
SELECT t.attempt_id, t.tagger
FROM tag AS t
JOIN source AS src ON src.id = t.source_id AND src.taken_back IS NULL
WHERE NOT t.removed AND t.attempt_id IN (SELECT attempt_id FROM wanted)
    AND NOT (t.source_id = $source_id AND t.line IN (SELECT line FROM wanted))
    AND t.attempt_id NOT IN (
        SELECT s.attempt_id
        FROM sighting AS s
        JOIN source AS other ON other.id = s.source_id AND other.taken_back IS NULL
        WHERE NOT (s.source_id = $source_id AND s.line IN (SELECT line FROM wanted))
            AND s.outcome IN ('stored', 'already_there') AND other.kind <> 'tags'
            AND (s.given IS NULL OR json_extract(s.given, '$.made') IS NOT NULL)
    )
ORDER BY ALL;

-- name: drop_sightings
DELETE FROM sighting WHERE source_id = $source_id AND line IN (SELECT line FROM wanted);

-- name: drop_tags
DELETE FROM tag WHERE source_id = $source_id AND line IN (SELECT line FROM wanted);

-- name: drop_agreed
DELETE FROM agreed WHERE attempt_id IN (SELECT attempt_id FROM wanted);

-- name: drop_double
DELETE FROM double_tag WHERE attempt_id IN (SELECT attempt_id FROM wanted);

-- name: drop_attempts
DELETE FROM attempt WHERE id IN (SELECT attempt_id FROM wanted);

-- Lines that were taken back say nothing any more; their numbers are not given again.
-- name: count_dropped
UPDATE source SET
    skipped = skipped + $lines, tags_stored = tags_stored - $tags,
    stored = (
        SELECT count(DISTINCT line) FROM sighting WHERE source_id = $id AND outcome = 'stored'
    ),
    already_there = (
        SELECT count(DISTINCT line) FROM sighting WHERE source_id = $id AND outcome = 'already_there'
    ),
    attempts_stored = (SELECT count(*) FROM attempt WHERE source_id = $id AND NOT removed)
WHERE id = $id;

-- name: tags_of_lines
SELECT count(*) FROM tag
WHERE source_id = $source_id AND NOT removed AND line IN (SELECT line FROM wanted);
