-- Attempts for one person to watch, in the order to watch them. Of tags nothing is told but that this
-- person has one.

-- A lot's players stand in its order; a list of games and players in its own.
-- name: queue
WITH drawn AS (
    SELECT coalesce(p.same_as, p.id) AS person_id, min(lp.place) AS place
    FROM lot_player lp
    JOIN player p ON p.id = lp.player_id
    WHERE lp.lot_id = $lot AND lp.place IS NOT NULL
    GROUP BY ALL
),
mine AS (
    SELECT DISTINCT attempt_id FROM tag
    WHERE tagger = $tagger AND NOT removed
        AND ($misses OR unclear OR picked_for IS DISTINCT FROM 'result')
),
meant AS (
    SELECT
        a.id, a.league_id, a.date, a.game_id, a.order_in_game, a.period, a.clock_s, drawn.place,
        a.id IN (SELECT attempt_id FROM mine) AS done
    FROM live_attempt a
    LEFT JOIN drawn ON drawn.person_id = a.person_id
    WHERE ($game::INTEGER IS NULL OR a.game_id = $game)
        AND ($lot::INTEGER IS NULL OR drawn.place IS NOT NULL)
        AND NOT ($misses AND a.made)
        AND NOT list_contains($later::BIGINT[], a.id) /* attempts */
),
waiting AS (
    SELECT * FROM meant
    WHERE NOT done AND ($again OR id NOT IN (SELECT attempt_id FROM watched))
        AND NOT ($misses AND id IN (SELECT attempt_id FROM agreed))
)

-- name: counts
SELECT (SELECT count(*) FROM waiting), (SELECT count(*) FROM meant WHERE done)

-- name: first
SELECT id FROM waiting
ORDER BY place NULLS LAST, league_id, date, game_id, order_in_game NULLS LAST, period NULLS LAST,
    clock_s DESC NULLS LAST, id
LIMIT $most

-- name: of_list
SELECT a.id
FROM planned
JOIN live_attempt a ON a.game_id = planned.game_id AND a.person_id = planned.person_id
WHERE a.id NOT IN (SELECT attempt_id FROM watched)
    AND NOT list_contains($later::BIGINT[], a.id) /* attempts */
ORDER BY planned.place, a.game_id, a.order_in_game NULLS LAST, a.period NULLS LAST,
    a.clock_s DESC NULLS LAST, a.id

-- A miss is live as in the question of where misses go; nothing where the trip is not known.
-- name: told
WITH wanted AS (
    SELECT * FROM live_attempt WHERE id IN (SELECT unnest($ids::BIGINT[]))
),
worn AS (
    SELECT
        a.id,
        arg_max(r.number, (coalesce(r.from_date, DATE '0001-01-01'), r.source_id)) AS number
    FROM wanted a
    JOIN player p ON coalesce(p.same_as, p.id) = a.person_id
    JOIN roster r ON r.player_id = p.id AND r.season_id = a.season_id
    JOIN one_team own ON own.id = r.team_id
    JOIN one_team his ON his.id = a.team_id
    JOIN source s ON s.id = r.source_id AND s.taken_back IS NULL
    WHERE own.one_id = his.one_id AND r.number IS NOT NULL
        AND coalesce(r.from_date <= a.date, true) AND coalesce(r.to_date >= a.date, true)
    GROUP BY a.id
)
SELECT
    a.id AS attempt, a.game_id,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name, 'game ' || game.id) AS game,
    a.date, l.name AS league, season.label AS season, home.name AS home, away.name AS away, game.video,
    a.period::INTEGER AS period, a.clock_s, team.name AS team, person.name AS player, worn.number,
    a.made, a.shot, a.trip_shot::INTEGER AS trip_shot, a.trip_of::INTEGER AS trip_of, a.trip_kind,
    CASE live_miss(a.made, a.shot, a.trip_kind, a.trip_shot, a.trip_of, a.ended_by)
        WHEN 'live' THEN true WHEN 'dead' THEN false
    END AS live
FROM wanted a
JOIN game ON game.id = a.game_id
JOIN one_league l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
JOIN one_team team ON team.id = a.team_id
JOIN person ON person.person_id = a.person_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
LEFT JOIN worn ON worn.id = a.id

-- Where on the film this person has found attempts of some games.
-- name: times
SELECT a.game_id, a.period::INTEGER AS period, a.clock_s, t.video_s
FROM tag t
JOIN live_attempt a ON a.id = t.attempt_id
WHERE t.tagger = $tagger AND NOT t.removed AND t.video_s IS NOT NULL
    AND a.period IS NOT NULL AND a.clock_s IS NOT NULL
    AND list_contains($games::INTEGER[], a.game_id)
ORDER BY t.id

-- What was told of attempts while they were watched; a technique typed with a trip is none of it.
-- name: today
SELECT count(*)
FROM tag t
JOIN source s ON s.id = t.source_id
WHERE t.tagger = $tagger AND NOT t.removed AND t.tagged_at >= $since AND starts_with(s.file, $watching)

-- name: lots
SELECT lot.id, lot.name, l.name AS league, s.label AS season
FROM lot
JOIN one_league l ON l.id = lot.league_id
JOIN season s ON s.id = lot.season_id
ORDER BY lot.id DESC

-- Games with attempts nobody has watched, the newest first.
-- name: games
SELECT
    a.game_id,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name, 'game ' || a.game_id) AS game,
    a.date, l.name AS league, home.name AS home, away.name AS away, count(*) AS attempts
FROM live_attempt a
JOIN game ON game.id = a.game_id
JOIN one_league l ON l.id = a.league_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
WHERE a.id NOT IN (SELECT attempt_id FROM watched) /* attempts */
GROUP BY ALL
ORDER BY a.date DESC, a.game_id DESC
LIMIT $most

-- name: game_named
SELECT game.id
FROM game
JOIN one_league l ON l.id = game.league_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
WHERE coalesce(game.label, game.file_id, home.name || ' - ' || away.name, 'game ' || game.id) = $game
    AND ($date::DATE IS NULL OR game.date = $date)
    AND ($league::VARCHAR IS NULL OR l.name = $league)
    AND game.id IN (SELECT game_id FROM attempt WHERE NOT removed)
ORDER BY game.id
