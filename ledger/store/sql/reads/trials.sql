-- Practice of one person, attempt by attempt, with what its tags say: how a miss went is what the tag
-- that settles a dispute says, else what more than half of the tags with a word for it say.
-- name: practice
WITH chosen AS (
    SELECT a.id FROM live_attempt a WHERE a.person_id = $person AND a.stage = 'practice'
),
word AS (
    UNPIVOT (
        SELECT t.attempt_id, t.adjudicated, t.tagged_at, t.miss_depth, t.miss_side
        FROM tag t SEMI JOIN chosen ON chosen.id = t.attempt_id
        WHERE NOT t.removed
    )
    ON miss_depth, miss_side INTO NAME field VALUE word
),
vote AS (
    SELECT
        attempt_id, field, word, count(*) AS votes, bool_or(adjudicated) AS ruled,
        max(CASE WHEN adjudicated THEN epoch_us(tagged_at) ELSE 0 END) AS ruled_at
    FROM word
    GROUP BY ALL
),
most AS (
    SELECT attempt_id, field, arg_max(word, (ruled, ruled_at, votes)) AS word
    FROM vote
    GROUP BY ALL
    HAVING bool_or(ruled) OR 2 * max(votes) > sum(votes)
),
told AS (
    SELECT
        attempt_id, max(word) FILTER (field = 'miss_depth') AS miss_depth,
        max(word) FILTER (field = 'miss_side') AS miss_side
    FROM most
    GROUP BY attempt_id
),
angle AS (
    SELECT
        t.attempt_id,
        arg_min(t.release_angle_deg, (NOT t.adjudicated, t.id)) AS release_angle_deg
    FROM tag t SEMI JOIN chosen ON chosen.id = t.attempt_id
    WHERE NOT t.removed
    GROUP BY t.attempt_id
)
SELECT
    a.id AS attempt, a.date, a.made,
    CASE WHEN g.picked_for IS DISTINCT FROM 'result' THEN g.technique_id END AS technique_id,
    told.miss_depth, told.miss_side, angle.release_angle_deg, s.at_time AS came,
    EXISTS (
        SELECT 1 FROM consent c JOIN player p ON p.id = c.player_id
        WHERE coalesce(p.same_as, p.id) = a.person_id
            AND a.date BETWEEN c.given_on AND coalesce(c.until, DATE '9999-12-31')
    ) AS consented
FROM live_attempt a
JOIN source s ON s.id = a.source_id
LEFT JOIN agreed g ON g.attempt_id = a.id
LEFT JOIN told ON told.attempt_id = a.id
LEFT JOIN angle ON angle.attempt_id = a.id
WHERE a.person_id = $person AND a.stage = 'practice' AND list_contains($shot::VARCHAR[], a.shot)
ORDER BY a.date, a.id

-- His games beside it, by season and technique; every attempt once, those not watched too.
-- name: games
SELECT
    l.one_id AS league_id, l.name AS league, a.season_id, season.label AS season, season.start_year,
    CASE WHEN g.picked_for IS DISTINCT FROM 'result' THEN g.technique_id END AS technique_id,
    count(*) AS attempts, count(*) FILTER (a.made) AS made
FROM live_attempt a
JOIN one_league l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
LEFT JOIN agreed g ON g.attempt_id = a.id
WHERE a.person_id = $person AND a.stage <> 'practice' AND list_contains($shot::VARCHAR[], a.shot)
GROUP BY ALL
ORDER BY season.start_year, season.label, l.name, technique_id

-- The day of the ledger's last source: what is due or over is judged by it, not by a clock.
-- name: last_day
SELECT max(at_time)::DATE AS day FROM source
