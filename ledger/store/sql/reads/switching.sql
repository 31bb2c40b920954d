-- Players' games in order: what a change of technique is looked for in, and what it did.

-- name: persons
SELECT DISTINCT a.person_id
FROM live_attempt a
WHERE list_contains($players::INTEGER[], a.player_id) /* attempts */
ORDER BY 1

-- name: games
WITH told AS (
    SELECT
        attempt_id, technique_id,
        technique_id IS NOT NULL AND picked_for IS DISTINCT FROM 'result' AS counts
    FROM agreed
),
people AS (
    SELECT DISTINCT a.person_id
    FROM told JOIN live_attempt a ON a.id = told.attempt_id
    WHERE told.counts /* attempts */
    UNION
    SELECT unnest($besides::INTEGER[])
),
counted AS (
    SELECT
        a.person_id, a.game_id, a.league_id, a.season_id, a.date, min(a.team_id) AS team_id,
        count(*) AS attempts, count(*) FILTER (a.made) AS made,
        count(*) FILTER (told.counts) AS tagged,
        count(*) FILTER (told.counts AND list_contains($focus::INTEGER[], told.technique_id))
            AS focus_tags,
        count(*) FILTER (
            told.counts AND a.made AND list_contains($focus::INTEGER[], told.technique_id)
        ) AS focus_made
    FROM live_attempt a
    SEMI JOIN people ON people.person_id = a.person_id
    LEFT JOIN told ON told.attempt_id = a.id
    WHERE TRUE /* attempts */
    GROUP BY ALL
)
SELECT
    c.person_id, person.name AS player, c.game_id, l.one_id AS league_id, l.name AS league,
    c.season_id, season.label AS season, season.start_year, t.name AS team, c.date,
    c.attempts, c.made, c.tagged, c.focus_tags, c.focus_made
FROM counted c
JOIN person ON person.person_id = c.person_id
JOIN one_league l ON l.id = c.league_id
JOIN one_team t ON t.id = c.team_id
JOIN season ON season.id = c.season_id
ORDER BY person.name, c.person_id, c.date, c.game_id

-- Everybody of the league-seasons in which somebody changed: those who changed nothing are compared.
-- name: days
SELECT
    l.one_id AS league_id, a.season_id, a.person_id, a.date,
    count(*) AS attempts, count(*) FILTER (a.made) AS made
FROM live_attempt a
JOIN one_league l ON l.id = a.league_id
WHERE TRUE /* attempts */
GROUP BY ALL
ORDER BY 1, 2, 3, 4
