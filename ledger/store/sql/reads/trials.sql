-- Practice of one person since a day, attempt by attempt, with what its tags say.
-- name: practice
WITH told AS (
    SELECT
        t.attempt_id,
        arg_min(t.miss_depth, (NOT t.adjudicated, t.id)) AS miss_depth,
        arg_min(t.miss_side, (NOT t.adjudicated, t.id)) AS miss_side,
        arg_min(t.release_angle_deg, (NOT t.adjudicated, t.id)) AS release_angle_deg
    FROM tag t
    JOIN live_attempt a ON a.id = t.attempt_id
    WHERE NOT t.removed AND a.person_id = $person AND a.stage = 'practice'
    GROUP BY t.attempt_id
)
SELECT
    a.id AS attempt, a.date, a.made,
    CASE WHEN g.picked_for IS DISTINCT FROM 'result' THEN g.technique_id END AS technique_id,
    told.miss_depth, told.miss_side, told.release_angle_deg, s.at_time AS came,
    EXISTS (
        SELECT 1 FROM consent c JOIN player p ON p.id = c.player_id
        WHERE coalesce(p.same_as, p.id) = a.person_id
            AND a.date BETWEEN c.given_on AND coalesce(c.until, DATE '9999-12-31')
    ) AS consented
FROM live_attempt a
JOIN source s ON s.id = a.source_id
LEFT JOIN agreed g ON g.attempt_id = a.id
LEFT JOIN told ON told.attempt_id = a.id
WHERE a.person_id = $person AND a.stage = 'practice' AND list_contains($shot::VARCHAR[], a.shot)
ORDER BY a.date, a.id

-- His games beside it, by season and technique; every attempt once, those not watched too.
-- name: games
SELECT
    l.name AS league, season.label AS season, season.start_year,
    CASE WHEN g.picked_for IS DISTINCT FROM 'result' THEN g.technique_id END AS technique_id,
    count(*) AS attempts, count(*) FILTER (a.made) AS made
FROM live_attempt a
JOIN one_league l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
LEFT JOIN agreed g ON g.attempt_id = a.id
WHERE a.person_id = $person AND a.stage <> 'practice' AND list_contains($shot::VARCHAR[], a.shot)
GROUP BY ALL
ORDER BY season.start_year, season.label, l.name, 4

-- The day of the ledger's last source: what is due or over is judged by it, not by a clock.
-- name: last_day
SELECT max(at_time)::DATE AS day FROM source
