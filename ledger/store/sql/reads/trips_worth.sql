-- Trips to the line, and what became of their live misses: what a trip is worth.

-- Trips of each kind by their first attempt; of what no trip is known of, the attempts. `dead`: the
-- ball is given back after a technical or flagrant foul, no rebound follows.
-- name: trips
SELECT
    CASE
        WHEN a.trip_incomplete OR a.trip_shot IS NULL OR a.trip_of IS NULL THEN 'unknown'
        WHEN a.trip_kind = 'one_and_one' THEN 'one_and_one'
        WHEN a.trip_kind IN ('technical', 'flagrant') THEN 'dead'
        WHEN a.trip_kind IS DISTINCT FROM 'personal' THEN 'unknown'
        WHEN a.trip_of = 1 THEN 'one'
        WHEN a.trip_of = 2 THEN 'two'
        WHEN a.trip_of = 3 THEN 'three'
        ELSE 'unknown'
    END AS kind,
    count(*) FILTER (a.trip_shot = 1) AS trips, count(*) AS attempts
FROM live_attempt a
WHERE TRUE /* attempts */
GROUP BY ALL
ORDER BY kind

-- Live misses as in the question of where misses go: the last of a trip, or the first of a
-- one-and-one, after a personal foul, nothing else having ended the play.
-- name: live_misses
SELECT
    count(*) FILTER (a.rebound_by = 'offensive') AS offensive,
    count(*) FILTER (a.rebound_by IS NOT NULL) AS noted,
    count(*) AS live
FROM live_attempt a
WHERE NOT a.made AND a.ended_by IS NULL
    AND (
        (a.trip_kind = 'one_and_one' AND a.trip_shot = 1)
        OR (a.trip_kind IN ('personal', 'one_and_one') AND a.trip_shot = a.trip_of)
    ) /* attempts */
