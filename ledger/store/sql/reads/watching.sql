-- What is left to watch, and what a second person is to watch.

-- Attempts nobody has watched, by game and person: one that could not be told or is not on film was
-- watched, and is not offered again.
-- name: unwatched
SELECT a.game_id, l.one_id AS league_id, a.season_id, a.person_id, count(*) AS unwatched
FROM live_attempt a
JOIN one_league l ON l.id = a.league_id
ANTI JOIN watched g ON g.attempt_id = a.id
WHERE TRUE /* attempts */
GROUP BY ALL
ORDER BY a.game_id, a.person_id

-- name: games
SELECT
    game.id AS game_id, coalesce(game.label, game.file_id, home.name || ' - ' || away.name) AS game,
    game.date, l.name AS league, season.label AS season, home.name AS home, away.name AS away,
    game.video
FROM game
JOIN one_league l ON l.id = game.league_id
JOIN season ON season.id = game.season_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
WHERE game.id IN (SELECT unnest($games::INTEGER[]))
ORDER BY game.id

-- Drawn to be watched twice and watched by one person so far; nothing of what he saw is told.
-- name: second
WITH seen AS (
    SELECT attempt_id, min(tagger) AS tagger
    FROM tag
    WHERE NOT removed AND NOT adjudicated AND attempt_id IN (SELECT attempt_id FROM double_tag)
    GROUP BY attempt_id
    HAVING count(DISTINCT tagger) = 1 AND NOT bool_and(unclear)
)
SELECT
    a.id AS attempt, a.game_id, person.name AS player, a.period::BIGINT AS period, a.clock_s,
    a.order_in_game::BIGINT AS order_in_game, a.made, seen.tagger
FROM seen
JOIN live_attempt a ON a.id = seen.attempt_id
JOIN person ON person.person_id = a.person_id
WHERE TRUE /* attempts */
ORDER BY a.date, a.game_id, a.order_in_game NULLS LAST, a.id
