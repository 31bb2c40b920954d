-- The tenth of the watched attempts that a second person is to watch. Each attempt has one number of
-- its own, mixed from its id and the seed: below a tenth it is drawn when its first clear tag comes
-- in, and stays drawn. More tags, tags taken back or another order of files change no draw.
-- Every product stays below 2^63.
-- name: chosen
WITH stirred AS (
    SELECT attempt_id, (attempt_id % 2147483648 * 747796405 + $seed * 2891336453) % 2147483648 AS x
    FROM (SELECT DISTINCT attempt_id FROM {table})
),
again AS (SELECT attempt_id, (xor(x, x >> 15) * 739982445) % 2147483648 AS x FROM stirred),
mixed AS (SELECT attempt_id, (xor(x, x >> 12) * 695872825) % 2147483648 AS x FROM again),
chosen AS (
    SELECT attempt_id FROM mixed
    WHERE xor(x, x >> 15) < $share * 2147483648
        AND attempt_id NOT IN (SELECT attempt_id FROM double_tag)
)

-- Mostly none of a few: the tags of the others are not looked for.
-- name: any
SELECT count(*) FROM chosen

-- name: keep
SELECT t.attempt_id, $seed, min(t.tagged_at)
FROM tag t
WHERE t.attempt_id IN (SELECT attempt_id FROM chosen)
    AND NOT t.removed AND NOT t.unclear AND NOT t.adjudicated AND t.technique_id IS NOT NULL
GROUP BY t.attempt_id
ORDER BY t.attempt_id

-- name: into
INSERT INTO double_tag (attempt_id, seed, drawn_at)

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
