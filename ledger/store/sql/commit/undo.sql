-- A source taken back or brought in again. Games that no other live source has seen need no rebuilding.

-- name: source
SELECT file, taken_back FROM source WHERE id = $source_id;

-- name: take_back
UPDATE source SET taken_back = $at_time WHERE id = $source_id;

-- name: bring_back
UPDATE source SET taken_back = NULL WHERE id = $source_id;

-- name: counts
SELECT
    (SELECT count(*) FROM attempt WHERE NOT removed) AS attempts,
    (SELECT count(*) FROM tag WHERE NOT removed) AS tags;

-- name: tags_of_others
SELECT t.id AS tag_id, t.attempt_id, t.tagger
FROM tag AS t
JOIN source AS s ON s.id = t.source_id AND s.taken_back IS NULL
WHERE NOT t.removed AND t.source_id <> $source_id
    AND t.attempt_id IN (SELECT attempt_id FROM sighting WHERE source_id = $source_id);

-- name: lost_tags
SELECT o.tagger
FROM others AS o
JOIN attempt AS a ON a.id = o.attempt_id
WHERE a.removed;

-- name: mixed_games
WITH own AS (
    SELECT DISTINCT a.game_id
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    WHERE s.source_id = $source_id
)
SELECT DISTINCT a.game_id
FROM attempt AS a
JOIN own ON own.game_id = a.game_id
JOIN sighting AS s ON s.attempt_id = a.id
JOIN source AS src ON src.id = s.source_id
WHERE src.id <> $source_id AND src.taken_back IS NULL
ORDER BY 1;

-- name: drop_agreed
DELETE FROM agreed
WHERE attempt_id IN (
    SELECT s.attempt_id
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    WHERE s.source_id = $source_id AND a.game_id NOT IN (SELECT game_id FROM mixed)
);

-- name: drop_tags
UPDATE tag SET removed = true
WHERE NOT removed AND attempt_id IN (
    SELECT s.attempt_id
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    WHERE s.source_id = $source_id AND a.game_id NOT IN (SELECT game_id FROM mixed)
);

-- name: drop_attempts
UPDATE attempt SET removed = true
WHERE NOT removed AND game_id NOT IN (SELECT game_id FROM mixed)
    AND id IN (SELECT attempt_id FROM sighting WHERE source_id = $source_id);

-- Games that hold nothing but what this source gave: its attempts are as they were.
-- name: plain_games
WITH own AS (
    SELECT a.game_id, bool_and(s.given IS NULL AND a.source_id = s.source_id) AS untouched
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    WHERE s.source_id = $source_id
    GROUP BY a.game_id
),
busy AS (
    SELECT DISTINCT a.game_id
    FROM attempt AS a
    JOIN own ON own.game_id = a.game_id
    LEFT JOIN sighting AS s ON s.attempt_id = a.id AND s.source_id <> $source_id
    LEFT JOIN tag AS t ON t.attempt_id = a.id AND t.source_id <> $source_id
    WHERE s.source_id IS NOT NULL OR t.source_id IS NOT NULL
)
SELECT game_id FROM own
WHERE untouched AND game_id NOT IN (SELECT game_id FROM busy)
ORDER BY 1;

-- name: other_games
SELECT DISTINCT a.game_id
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
WHERE s.source_id = $source_id AND a.game_id NOT IN (SELECT game_id FROM plain)
ORDER BY 1;

-- name: show_attempts
UPDATE attempt SET removed = false
WHERE removed AND source_id = $source_id AND game_id IN (SELECT game_id FROM plain);

-- name: show_tags
UPDATE tag SET removed = false
WHERE removed AND source_id = $source_id AND attempt_id IN (
    SELECT id FROM attempt WHERE game_id IN (SELECT game_id FROM plain)
);

-- name: tagged_in
SELECT DISTINCT t.attempt_id
FROM tag AS t
JOIN attempt AS a ON a.id = t.attempt_id
WHERE a.game_id IN (SELECT game_id FROM plain) AND NOT t.removed;

-- name: seen_live
SELECT count(DISTINCT s.attempt_id)
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
WHERE s.source_id = $source_id AND NOT a.removed;

-- name: fills
SELECT row_id, field, old_value, new_value FROM journal
WHERE action = 'fill' AND table_name = 'game' AND source_id = $source_id
ORDER BY id;

-- name: game_facts
SELECT id, home_team_id, away_team_id, stage FROM game WHERE id IN (SELECT game_id FROM wanted);

-- name: splits
SELECT row_id AS new, CAST(old_value AS INTEGER) AS old, CAST(field AS INTEGER) AS team_id
FROM journal
WHERE action = 'split' AND table_name = 'player' AND source_id = $source_id
ORDER BY id;

-- After rebuilding, what a live source's rows came to is what its sightings say.
-- name: recount
UPDATE source SET
    stored = c.stored, already_there = c.already_there, contradicting = c.contradicting,
    attempts_stored = c.attempts
FROM (
    SELECT
        l.source_id,
        count(*) FILTER (WHERE NOT bad AND good) AS stored,
        count(*) FILTER (WHERE NOT bad AND NOT good) AS already_there,
        count(*) FILTER (WHERE bad) AS contradicting,
        coalesce(any_value(a.attempts), 0) AS attempts
    FROM (
        SELECT
            source_id, line, bool_or(outcome = 'contradicting') AS bad,
            bool_or(outcome = 'stored') AS good
        FROM sighting
        WHERE source_id IN (SELECT source_id FROM wanted)
        GROUP BY source_id, line
    ) AS l
    LEFT JOIN (
        SELECT source_id, count(*) AS attempts FROM attempt WHERE NOT removed GROUP BY source_id
    ) AS a ON a.source_id = l.source_id
    GROUP BY l.source_id
) AS c
WHERE source.id = c.source_id AND source.kind IN ('attempts', 'box', 'tags', 'merge', 'entry');
