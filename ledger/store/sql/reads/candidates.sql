-- Players of a list, how they shoot and how they miss. A player counts under all his names.

-- Who stands on the lists, and what is known of him: the first thing said under any of his names.
-- name: listed
WITH entry AS (
    SELECT player_id FROM shortlist_entry
    WHERE dropped IS NULL AND shortlist_id IN (SELECT unnest($shortlists::INTEGER[]))
    UNION
    SELECT player_id FROM lot_player
    WHERE place IS NOT NULL AND lot_id IN (SELECT unnest($lots::INTEGER[]))
),
listed AS (
    SELECT DISTINCT coalesce(p.same_as, p.id) AS person_id
    FROM entry JOIN player p ON p.id = entry.player_id
)
SELECT
    listed.person_id, any_value(person.name) AS player,
    string_agg(DISTINCT l.name, ', ' ORDER BY l.name) AS league,
    arg_min(p.height_cm, (p.same_as IS NOT NULL, p.id)) AS height_cm,
    arg_min(p.mass_kg, (p.same_as IS NOT NULL, p.id)) AS mass_kg,
    arg_min(p.hand, (p.same_as IS NOT NULL, p.id)) AS hand
FROM listed
JOIN person ON person.person_id = listed.person_id
JOIN player p ON coalesce(p.same_as, p.id) = listed.person_id
JOIN one_league l ON l.id = p.league_id
GROUP BY listed.person_id
ORDER BY 2, 1

-- name: shooting
SELECT
    a.person_id, count(DISTINCT a.game_id) AS games, count(*) AS game_attempts,
    count(*) FILTER (a.trip_shot = 1 AND a.trip_of = 2) AS two_shot_trips,
    count(*) FILTER (a.trip_shot = 1 AND a.trip_of = 3) AS three_shot_trips,
    count(*) FILTER (a.trip_kind IS NOT NULL AND a.trip_kind <> 'unknown' AND a.trip_of IS NOT NULL)
        AS of_known_trips,
    count(*) FILTER (
        (a.trip_kind = 'one_and_one' AND a.trip_shot = 1)
        OR (a.trip_kind IN ('personal', 'one_and_one') AND a.trip_shot = a.trip_of)
    ) AS live_if_missed
FROM live_attempt a
WHERE TRUE /* attempts */
GROUP BY a.person_id
ORDER BY a.person_id

-- A field is what the tag that settles a dispute says of it, else what more than half of the tags
-- with a word for it say. What the ball touched first is not counted where the tag was picked by
-- the result.
-- name: seen
WITH chosen AS (
    SELECT a.id, a.person_id, a.made FROM live_attempt a WHERE TRUE /* attempts */
),
word AS (
    UNPIVOT (
        SELECT t.attempt_id, t.adjudicated, t.miss_depth, t.miss_side, t.first_contact
        FROM tag t SEMI JOIN chosen ON chosen.id = t.attempt_id
        WHERE NOT t.removed
    )
    ON miss_depth, miss_side, first_contact INTO NAME field VALUE word
),
vote AS (
    SELECT attempt_id, field, word, count(*) AS votes, bool_or(adjudicated) AS ruled
    FROM word
    GROUP BY ALL
),
settled AS (
    SELECT attempt_id, field, arg_max(word, (ruled, votes)) AS word
    FROM vote
    GROUP BY ALL
    HAVING bool_or(ruled) OR 2 * max(votes) > sum(votes)
)
SELECT
    c.person_id,
    count(*) FILTER (field = 'miss_depth' AND NOT c.made) AS depth_seen,
    count(*) FILTER (field = 'miss_depth' AND NOT c.made AND word = 'long') AS long,
    count(*) FILTER (field = 'miss_depth' AND NOT c.made AND word = 'short') AS short,
    count(*) FILTER (field = 'miss_side' AND NOT c.made) AS side_seen,
    count(*) FILTER (field = 'miss_side' AND NOT c.made AND word = 'left') AS left_missed,
    count(*) FILTER (field = 'miss_side' AND NOT c.made AND word = 'right') AS right_missed,
    count(*) FILTER (field = 'first_contact' AND g.picked_for IS DISTINCT FROM 'result')
        AS contact_seen,
    count(*) FILTER (
        field = 'first_contact' AND g.picked_for IS DISTINCT FROM 'result' AND word = 'board'
    ) AS board_first
FROM settled s
JOIN chosen c ON c.id = s.attempt_id
LEFT JOIN agreed g ON g.attempt_id = s.attempt_id
GROUP BY c.person_id
ORDER BY c.person_id
