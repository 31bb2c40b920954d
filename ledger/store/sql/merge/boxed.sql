-- What the other ledger has from box scores.

-- name: any_box
SELECT count(*) FROM their_source WHERE taken_back IS NULL AND may_tell_box(kind, mapping);

-- Attempts of players whose count in a game is that of a box score: some of it no events tell of.
-- name: boxed
WITH seen AS (
    SELECT s.attempt_id, told_by(src.kind, src.mapping, s.line, s.given) AS told
    FROM their_sighting AS s
    JOIN their_source AS src ON src.id = s.source_id
    WHERE src.taken_back IS NULL AND s.outcome NOT IN ('contradicting', 'corrected')
),
live AS (
    SELECT a.id, a.game_id, coalesce(p.same_as, p.id) AS person_id, a.shot
    FROM their_attempt AS a
    JOIN their_player AS p ON p.id = a.player_id
    WHERE NOT a.removed
),
only_box AS (
    SELECT attempt_id FROM seen WHERE told IS NOT NULL
    GROUP BY attempt_id
    HAVING bool_and(told = 'box')
),
places AS (
    SELECT DISTINCT live.game_id, live.person_id, live.shot
    FROM live JOIN only_box ON only_box.attempt_id = live.id
)
SELECT live.id AS their_attempt
FROM live
JOIN places USING (game_id, person_id, shot)
ORDER BY ALL;
