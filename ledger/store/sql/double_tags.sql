-- The tenth of the watched attempts that a second person is to watch. An attempt whose number is below
-- a tenth (`watched_twice`) is drawn when its first clear tag comes in, and stays drawn. More tags, tags
-- taken back or another order of files change no draw.

-- Mostly none of a few: the tags of the others are not looked for.
-- name: any
SELECT count(*) FROM (SELECT DISTINCT attempt_id FROM {table})
WHERE watched_twice(attempt_id, $seed, $share)
    AND attempt_id NOT IN (SELECT attempt_id FROM double_tag)

-- name: draw
INSERT INTO double_tag (attempt_id, seed, drawn_at)
WITH chosen AS (
    SELECT DISTINCT attempt_id FROM {table}
    WHERE watched_twice(attempt_id, $seed, $share)
        AND attempt_id NOT IN (SELECT attempt_id FROM double_tag)
)
SELECT t.attempt_id, $seed, min(t.tagged_at)
FROM tag t
WHERE t.attempt_id IN (SELECT attempt_id FROM chosen)
    AND NOT t.removed AND NOT t.unclear AND NOT t.adjudicated AND t.technique_id IS NOT NULL
GROUP BY t.attempt_id
ORDER BY t.attempt_id

-- name: draw_one
INSERT INTO double_tag (attempt_id, seed, drawn_at)
SELECT t.attempt_id, $seed, min(t.tagged_at)
FROM tag t
WHERE t.attempt_id = $attempt_id
    AND NOT t.removed AND NOT t.unclear AND NOT t.adjudicated AND t.technique_id IS NOT NULL
    AND t.attempt_id NOT IN (SELECT attempt_id FROM double_tag)
GROUP BY t.attempt_id

-- name: seed
SELECT min(seed) FROM double_tag
