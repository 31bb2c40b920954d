-- What was seen of watched attempts: how they missed, where the rebound went, what they touched.
-- A field is what the tag that settles a dispute says of it, else what more than half of the tags
-- with a word for it say, else unknown. Most attempts carry one word only; votes are counted for the
-- others. `live` follows the trip: known to be live, known to be dead, or not known.
WITH told AS (
    SELECT
        attempt_id, adjudicated, tagged_at, id, miss_depth, miss_side, rebound_zone, contact_height,
        nullif(down_at_board, 'cannot_tell') AS down_at_board
    FROM tag
    WHERE NOT removed
),
one AS (
    SELECT
        attempt_id,
        min(miss_depth) AS depth, max(miss_depth) AS depth_b,
        min(miss_side) AS side, max(miss_side) AS side_b,
        min(rebound_zone) AS zone, max(rebound_zone) AS zone_b,
        min(contact_height) AS height, max(contact_height) AS height_b,
        min(down_at_board) AS falling, max(down_at_board) AS falling_b
    FROM told
    GROUP BY attempt_id
),
split AS (
    SELECT attempt_id
    FROM one
    WHERE depth <> depth_b OR side <> side_b OR zone <> zone_b OR height <> height_b
        OR falling <> falling_b
),
word AS (
    UNPIVOT (SELECT told.* FROM told SEMI JOIN split USING (attempt_id))
    ON miss_depth, miss_side, rebound_zone, contact_height, down_at_board
    INTO NAME field VALUE word
),
vote AS (
    SELECT attempt_id, field, word, count(*) AS votes FROM word GROUP BY ALL
),
most AS (
    SELECT attempt_id, field, arg_max(word, votes) AS word
    FROM vote
    GROUP BY ALL
    HAVING 2 * max(votes) > sum(votes)
),
ruled AS (
    SELECT attempt_id, field, arg_max(word, (tagged_at, id)) AS word
    FROM word
    WHERE adjudicated
    GROUP BY ALL
),
settled AS (
    SELECT
        split.attempt_id,
        max(word) FILTER (field = 'miss_depth') AS depth,
        max(word) FILTER (field = 'miss_side') AS side,
        max(word) FILTER (field = 'rebound_zone') AS zone,
        max(word) FILTER (field = 'contact_height') AS height,
        max(word) FILTER (field = 'down_at_board') AS falling
    FROM split
    LEFT JOIN (
        SELECT attempt_id, field, coalesce(ruled.word, most.word) AS word
        FROM most
        FULL JOIN ruled USING (attempt_id, field)
    ) USING (attempt_id)
    GROUP BY split.attempt_id
),
seen AS (
    SELECT attempt_id, depth, side, zone, height, falling, false AS differ
    FROM one
    ANTI JOIN split USING (attempt_id)
    UNION ALL
    SELECT attempt_id, depth, side, zone, height, falling, depth IS NULL OR side IS NULL
    FROM settled
),
counted AS (
    SELECT
        a.league_id, a.season_id, a.person_id, g.technique_id, a.made,
        coalesce(g.picked_for = 'result', false) AS picked,
        live_miss(a.made, a.shot, a.trip_kind, a.trip_shot, a.trip_of, a.ended_by) AS live,
        CASE WHEN NOT a.made THEN a.rebound_by END AS rebound_by,
        CASE WHEN NOT a.made THEN seen.depth END AS depth,
        CASE WHEN NOT a.made THEN seen.side END AS side,
        CASE WHEN NOT a.made THEN seen.zone END AS zone,
        NOT a.made AND coalesce(seen.differ, false) AS differ,
        seen.height, seen.falling, count(*) AS attempts
    FROM agreed g
    JOIN live_attempt a ON a.id = g.attempt_id
    LEFT JOIN seen ON seen.attempt_id = g.attempt_id
    WHERE TRUE /* attempts */
    GROUP BY ALL
)
SELECT
    l.one_id AS league_id, c.season_id, c.person_id, person.name AS player, l.name AS league,
    season.label AS season, technique.id AS technique_id, technique.name AS technique,
    technique.place, c.made, c.picked, c.live, c.rebound_by, c.depth, c.side, c.zone, c.differ,
    c.height, c.falling, c.attempts
FROM counted c
JOIN person ON person.person_id = c.person_id
JOIN one_league l ON l.id = c.league_id
JOIN season ON season.id = c.season_id
LEFT JOIN technique ON technique.id = c.technique_id
ORDER BY ALL
