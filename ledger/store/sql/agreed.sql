-- The technique an attempt's live tags agree on. `of_all` or `of_some`, then `compute`.

-- name: of_all
WITH live AS (
    SELECT * FROM tag WHERE NOT removed
),

-- name: of_some
WITH live AS (
    SELECT * FROM tag
    WHERE NOT removed AND attempt_id IN (SELECT attempt_id FROM {table})
),

-- name: of_one
WITH live AS (
    SELECT * FROM tag
    WHERE NOT removed AND attempt_id = $attempt_id
),

-- What one tag says of an attempt that has no other.
-- name: alone
SELECT
    attempt_id, CASE WHEN NOT unclear THEN technique_id END, 1, false, unclear,
    CASE WHEN picked_for = 'result' AND NOT unclear THEN 'result' END
FROM tag
WHERE NOT removed AND attempt_id = $attempt_id;

-- A ruling stands above the count: the latest tag marked as settling a dispute.
-- name: compute
ruling AS (
    SELECT attempt_id, technique_id, unclear
    FROM live
    WHERE adjudicated AND (technique_id IS NOT NULL OR unclear)
    QUALIFY row_number() OVER (PARTITION BY attempt_id ORDER BY tagged_at DESC, id DESC) = 1
),
vote AS (
    SELECT attempt_id, technique_id, count(*) AS votes
    FROM live
    WHERE NOT unclear AND technique_id IS NOT NULL
    GROUP BY attempt_id, technique_id
),
counted AS (
    SELECT
        attempt_id, sum(votes) AS votes, max(votes) AS most,
        arg_max(technique_id, votes) AS technique_id
    FROM vote
    GROUP BY attempt_id
),
seen AS (
    SELECT
        attempt_id, count(*) AS tags, bool_and(unclear) AS unclear,
        bool_and(coalesce(picked_for = 'result', false)) FILTER (WHERE NOT unclear) AS by_result
    FROM live
    GROUP BY attempt_id
)
SELECT
    seen.attempt_id,
    CASE
        WHEN ruling.attempt_id IS NOT NULL
            THEN CASE WHEN NOT ruling.unclear THEN ruling.technique_id END
        WHEN 2 * counted.most > counted.votes THEN counted.technique_id
    END AS technique_id,
    CAST(seen.tags AS INTEGER) AS tags,
    ruling.attempt_id IS NULL AND coalesce(2 * counted.most <= counted.votes, false) AS disputed,
    coalesce(ruling.unclear, seen.unclear) AS unclear,
    CASE WHEN coalesce(seen.by_result, false) THEN 'result' END AS picked_for
FROM seen
LEFT JOIN counted USING (attempt_id)
LEFT JOIN ruling ON ruling.attempt_id = seen.attempt_id
ORDER BY seen.attempt_id;

-- name: forget_all
DELETE FROM agreed;

-- name: forget_some
DELETE FROM agreed WHERE attempt_id IN (SELECT attempt_id FROM {table});

-- name: forget_one
DELETE FROM agreed WHERE attempt_id = $attempt_id;

-- name: keep
INSERT INTO agreed (attempt_id, technique_id, tags, disputed, unclear, picked_for)
