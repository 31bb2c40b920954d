-- Season totals: of all live rows that say something of one player, season, team and shot, the first counts.

-- name: add
INSERT INTO season_total (
    id, player_id, team_id, league_id, season_id, shot, made, attempts, source_id, line, removed
)
SELECT id, player_id, team_id, league_id, season_id, shot, made, attempts, source_id, line, true
FROM incoming;

-- name: players_of
SELECT DISTINCT coalesce(p.same_as, p.id) AS player_id
FROM season_total AS t
JOIN player AS p ON p.id = t.player_id
WHERE t.source_id = $source_id;

-- name: ranked
WITH wide AS (
    SELECT DISTINCT coalesce(p.same_as, p.id) AS person_id
    FROM wanted AS w JOIN player AS p ON p.id = w.player_id
),
rows AS (
    SELECT
        t.id, t.source_id, t.line, t.made, t.attempts, s.taken_back IS NULL AS live,
        coalesce(p.same_as, p.id) AS person_id, coalesce(m.same_as, m.id) AS team_id,
        coalesce(l.same_as, l.id) AS league_id, t.season_id, t.shot
    FROM season_total AS t
    JOIN player AS p ON p.id = t.player_id
    JOIN league AS l ON l.id = t.league_id
    LEFT JOIN team AS m ON m.id = t.team_id
    JOIN source AS s ON s.id = t.source_id
    WHERE coalesce(p.same_as, p.id) IN (SELECT person_id FROM wide)
    UNION ALL
    -- The source that is coming in has no row of its own yet.
    SELECT
        t.id, t.source_id, t.line, t.made, t.attempts, true,
        coalesce(p.same_as, p.id), coalesce(m.same_as, m.id), coalesce(l.same_as, l.id),
        t.season_id, t.shot
    FROM season_total AS t
    JOIN player AS p ON p.id = t.player_id
    JOIN league AS l ON l.id = t.league_id
    LEFT JOIN team AS m ON m.id = t.team_id
    WHERE t.source_id NOT IN (SELECT id FROM source)
        AND coalesce(p.same_as, p.id) IN (SELECT person_id FROM wide)
),
placed AS (
    SELECT
        *,
        row_number() OVER one AS place,
        first_value(made) OVER one AS first_made,
        first_value(attempts) OVER one AS first_attempts
    FROM rows
    WINDOW one AS (
        PARTITION BY person_id, team_id, league_id, season_id, shot, live ORDER BY source_id, line, id
    )
)
SELECT
    id, source_id, line, live AND place = 1 AS counts,
    made = first_made AND attempts = first_attempts AS same
FROM placed
ORDER BY source_id, line;

-- name: show
UPDATE season_total SET removed = NOT i.counts
FROM incoming AS i
WHERE season_total.id = i.id AND season_total.removed = i.counts;

-- name: count
SELECT count(*) FROM season_total WHERE source_id = $source_id AND NOT removed;
