-- Who was drawn by lot: on a saved random list before his first tag of that league-season. Tags that
-- were picked by the result count as none: they tell of misses only.
-- name: lots
WITH listed AS (
    SELECT l.name, one.one_id AS league_id, l.season_id, l.at_time, coalesce(p.same_as, p.id) AS person_id,
        lp.place
    FROM lot l
    JOIN one_league one ON one.id = l.league_id
    JOIN lot_player lp ON lp.lot_id = l.id
    JOIN player p ON p.id = lp.player_id
),
first_tag AS (
    SELECT l.one_id AS league_id, a.season_id, a.person_id, min(t.tagged_at) AS tagged_at
    FROM live_attempt a
    JOIN tag t ON t.attempt_id = a.id AND NOT t.removed AND t.picked_for IS DISTINCT FROM 'result'
    JOIN one_league l ON l.id = a.league_id
    WHERE a.stage <> 'practice'
        AND a.person_id IN (SELECT person_id FROM listed WHERE place IS NOT NULL)
    GROUP BY ALL
)
SELECT
    listed.league_id, listed.season_id, listed.person_id,
    coalesce(bool_or(place IS NOT NULL AND (f.tagged_at IS NULL OR f.tagged_at >= at_time)), false) AS drawn
FROM listed
LEFT JOIN first_tag f USING (league_id, season_id, person_id)
GROUP BY ALL
ORDER BY ALL

-- name: any_declared
SELECT count(*) FROM source WHERE drawn AND taken_back IS NULL

-- Everybody's first tag of a league-season, and whether its source declared its players drawn by lot;
-- of a merge only the later lines were.
-- name: first_tags
SELECT l.one_id AS league_id, a.season_id, a.person_id, min(t.id) AS first_tag,
    arg_min(
        s.drawn AND s.taken_back IS NULL AND (
            s.kind <> 'merge' OR t.line >= CAST(json_extract_string(s.mapping, '$."--drawn-from"') AS INTEGER)
        ),
        t.id
    ) AS drawn
FROM tag t
JOIN source s ON s.id = t.source_id
JOIN live_attempt a ON a.id = t.attempt_id
JOIN one_league l ON l.id = a.league_id
WHERE $look AND NOT t.removed AND t.picked_for IS DISTINCT FROM 'result' AND a.stage <> 'practice'
GROUP BY ALL
ORDER BY ALL
