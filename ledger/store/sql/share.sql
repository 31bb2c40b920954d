-- What may leave for other people: records of games and who saw what, nothing about the persons.

-- name: attempts
SELECT
    a.id AS number, l.name AS league, season.label AS season, a.date,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name) AS game,
    home.name AS home, away.name AS away, a.stage, team.name AS team, root.name AS player, a.made,
    opponent.name AS opponent, a.period::INTEGER AS period, a.clock_s AS clock,
    CASE WHEN a.order_in_game < $clock_orders_from THEN a.order_in_game END AS order,
    a.shot, a.spot, a.x_m, a.y_m,
    CASE WHEN NOT a.trip_derived THEN a.trip_shot END::INTEGER AS trip_shot,
    CASE WHEN NOT a.trip_derived THEN a.trip_of END::INTEGER AS trip_of,
    a.trip_kind, a.ended_by, a.rebound_by, a.file_id AS attempt_id,
    a.trip_derived, season.start_year - root.birth_year AS age, l.one_id AS league_id, a.season_id,
    a.person_id
FROM live_attempt AS a
JOIN one_league AS l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
JOIN game ON game.id = a.game_id
JOIN one_team AS team ON team.id = a.team_id
JOIN player AS root ON root.id = a.person_id
LEFT JOIN one_team AS opponent ON opponent.id = a.opponent_id
LEFT JOIN one_team AS home ON home.id = game.home_team_id
LEFT JOIN one_team AS away ON away.id = game.away_team_id
WHERE a.stage <> 'practice' /* attempts */
ORDER BY l.name, a.date, game.label, a.game_id, a.order_in_game NULLS LAST, a.id;

-- name: tags
SELECT
    t.attempt_id AS number, t.tagger,
    CASE WHEN t.unclear THEN 'cannot tell' ELSE coalesce(technique.name, t.technique_as_written) END AS technique,
    t.first_contact, t.contact_height, t.contact_side, t.down_at_board, t.release_angle_deg, t.backspin,
    t.miss_depth, t.miss_side, t.rebound_zone, t.rebound_x_m, t.rebound_y_m, t.confidence,
    CASE WHEN t.adjudicated THEN true END AS adjudicated,
    CASE WHEN t.picked_for = 'result' THEN 'result' END AS picked_for,
    t.note IS NOT NULL OR t.video_s IS NOT NULL OR t.picked_for <> 'result' AS cut
FROM tag AS t
LEFT JOIN technique ON technique.id = t.technique_id
WHERE NOT t.removed AND t.attempt_id IN (SELECT number FROM shared)
ORDER BY t.id;

-- name: techniques
SELECT name, uses_board, groups FROM technique ORDER BY place, id;

-- name: left_out
SELECT
    (SELECT count(*) FROM attempt WHERE NOT removed) AS attempts,
    (SELECT count(*) FROM attempt AS a JOIN game AS g ON g.id = a.game_id
     WHERE NOT a.removed AND g.stage = 'practice') AS practice,
    (SELECT count(*) FROM season_total WHERE NOT removed) AS totals,
    (SELECT count(*) FROM shortlist) + (SELECT count(*) FROM lot) AS lists,
    (SELECT count(*) FROM trial) AS trials,
    (SELECT count(*) FROM note) + (SELECT count(*) FROM decision) + (SELECT count(*) FROM rumour) AS notes,
    (SELECT count(*) FROM word) AS words,
    (SELECT count(*) FROM profile) AS profiles;
