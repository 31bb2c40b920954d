-- What a person who types a game in is shown and offered.

-- name: seasons
SELECT one_league.name AS league, s.label AS season
FROM (SELECT DISTINCT league_id, season_id FROM game) AS g
JOIN one_league ON one_league.id = g.league_id
JOIN season AS s ON s.id = g.season_id
GROUP BY ALL
ORDER BY league, max(s.start_year) DESC, season DESC;

-- name: leagues
SELECT DISTINCT name FROM one_league ORDER BY name;

-- name: teams
SELECT DISTINCT one_league.name AS league, one_team.name AS team
FROM team
JOIN one_league ON one_league.id = team.league_id
JOIN one_team ON one_team.id = team.id
ORDER BY ALL;

-- Who was with a team in a season: by number where one is known, and those who shot for it.
-- name: line_up
WITH leagues AS (
    SELECT one.id
    FROM one_league AS one
    WHERE one.one_id IN (
        SELECT coalesce(l.same_as, l.id)
        FROM league AS l
        LEFT JOIN league_alias AS a ON a.league_id = l.id
        WHERE $league IN (l.normal_form, a.normal_form)
    )
),
teams AS (
    SELECT one.id
    FROM one_team AS one
    WHERE one.one_id IN (
        SELECT coalesce(t.same_as, t.id)
        FROM team AS t
        LEFT JOIN team_alias AS a ON a.team_id = t.id
        WHERE t.league_id IN (SELECT id FROM leagues) AND $team IN (t.normal_form, a.normal_form)
    )
),
seasons AS (SELECT id FROM season WHERE normal_form = $season),
worn AS (
    SELECT coalesce(p.same_as, p.id) AS person_id, arg_max(r.number, r.source_id) AS number
    FROM roster AS r
    JOIN player AS p ON p.id = r.player_id
    JOIN source AS src ON src.id = r.source_id AND src.taken_back IS NULL
    WHERE r.team_id IN (SELECT id FROM teams) AND r.season_id IN (SELECT id FROM seasons)
    GROUP BY ALL
),
shot AS (
    SELECT a.person_id, count(*) AS attempts
    FROM live_attempt AS a
    WHERE a.team_id IN (SELECT id FROM teams) AND a.season_id IN (SELECT id FROM seasons)
        AND a.stage <> 'practice'
    GROUP BY ALL
)
SELECT coalesce(worn.number, '') AS number, person.name
FROM worn
FULL JOIN shot ON shot.person_id = worn.person_id
JOIN person ON person.person_id = coalesce(worn.person_id, shot.person_id)
ORDER BY try_cast(worn.number AS INTEGER) NULLS LAST, number, person.name;

-- Games of a league and season on a day, with the teams that have attempts in each.
-- name: games
WITH leagues AS (
    SELECT one.id
    FROM one_league AS one
    WHERE one.one_id IN (
        SELECT coalesce(l.same_as, l.id)
        FROM league AS l
        LEFT JOIN league_alias AS a ON a.league_id = l.id
        WHERE $league IN (l.normal_form, a.normal_form)
    )
)
SELECT
    g.id, g.label, g.stage, home.name AS home, away.name AS away,
    (
        SELECT list(DISTINCT one_team.name ORDER BY one_team.name)
        FROM attempt AS a
        JOIN one_team ON one_team.id = a.team_id
        WHERE a.game_id = g.id AND NOT a.removed
    ) AS teams
FROM game AS g
JOIN season ON season.id = g.season_id AND season.normal_form = $season
LEFT JOIN one_team AS home ON home.id = g.home_team_id
LEFT JOIN one_team AS away ON away.id = g.away_team_id
WHERE g.date = $date AND g.league_id IN (SELECT id FROM leagues)
ORDER BY g.id;

-- The attempts of some games so far, in their order.
-- name: so_far
SELECT
    a.id AS attempt, a.person_id, person.name AS player, one_team.name AS team, a.made, a.trip_shot,
    a.trip_of, a.period, CASE WHEN a.order_in_game < $clock_orders_from THEN a.order_in_game END AS place,
    k.name AS technique
FROM live_attempt AS a
JOIN person ON person.person_id = a.person_id
JOIN one_team ON one_team.id = a.team_id
LEFT JOIN agreed AS g ON g.attempt_id = a.id
LEFT JOIN technique AS k ON k.id = g.technique_id
WHERE a.game_id IN (SELECT game_id FROM wanted) AND a.shot = 'free_throw'
ORDER BY place NULLS LAST, a.id;

-- What brought attempts of some games: the kind of each source that counts, and its name.
-- name: brought
SELECT DISTINCT src.id, src.kind, src.file
FROM attempt AS a
JOIN sighting AS s ON s.attempt_id = a.id
JOIN source AS src ON src.id = s.source_id AND src.taken_back IS NULL
WHERE a.game_id IN (SELECT game_id FROM wanted) AND NOT a.removed
    AND src.kind NOT IN ('tags', 'correction')
    AND (s.given IS NULL OR json_extract(s.given, '$.made') IS NOT NULL)
ORDER BY src.id;

-- Where a player is at home: league, season and team of his newest game.
-- name: newest
SELECT l.name AS league, s.label AS season, t.name AS team
FROM live_attempt AS a
JOIN one_league AS l ON l.id = a.league_id
JOIN season AS s ON s.id = a.season_id
JOIN one_team AS t ON t.id = a.team_id
WHERE a.person_id = $person_id
ORDER BY a.stage = 'practice', a.date DESC, a.id DESC
LIMIT 1;
