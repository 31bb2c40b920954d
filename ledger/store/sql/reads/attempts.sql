-- The records of a cohort, with what their tags say: the tag that settles a dispute first, else the
-- first tag that says anything. `$most` empty means all.
WITH chosen AS (
    SELECT a.*, l.name AS league, l.one_id AS one_league_id
    FROM live_attempt a
    JOIN one_league l ON l.id = a.league_id
    WHERE TRUE /* attempts */
    ORDER BY l.name, l.one_id, a.date, a.game_id, a.order_in_game NULLS LAST, a.id
    LIMIT $most
),
told AS (
    SELECT
        t.attempt_id,
        string_agg(DISTINCT t.tagger, ', ' ORDER BY t.tagger) AS taggers,
        arg_min(t.miss_depth, (NOT t.adjudicated, t.id)) AS miss_depth,
        arg_min(t.miss_side, (NOT t.adjudicated, t.id)) AS miss_side,
        arg_min(t.rebound_zone, (NOT t.adjudicated, t.id)) AS rebound_zone,
        arg_min(t.release_angle_deg, (NOT t.adjudicated, t.id)) AS release_angle_deg,
        arg_min(t.video_s, (NOT t.adjudicated, t.id)) AS video_s,
        arg_min(t.note, (NOT t.adjudicated, t.id)) AS note
    FROM tag t
    WHERE NOT t.removed AND t.attempt_id IN (SELECT id FROM chosen)
    GROUP BY t.attempt_id
),
came AS (
    SELECT s.attempt_id, s.source_id, min(s.line) AS line
    FROM sighting s
    WHERE s.outcome = 'stored' AND s.attempt_id IN (SELECT id FROM chosen)
    GROUP BY ALL
)
SELECT
    a.id AS attempt, a.league, season.label AS season, a.date,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name) AS game,
    team.name AS team, opponent.name AS opponent,
    -- A name that differs in capitals only is shown as this record wrote it.
    CASE WHEN own.normal_form = root.normal_form THEN own.name ELSE root.name END AS player,
    a.period::BIGINT AS period, a.clock_s, a.order_in_game::BIGINT AS order_in_game, a.shot,
    a.trip_shot::BIGINT AS trip_shot, a.trip_of::BIGINT AS trip_of, a.made,
    technique.name AS technique, told.taggers, told.miss_depth, told.miss_side, a.rebound_by,
    told.rebound_zone, told.release_angle_deg, game.video, told.video_s, g.picked_for, told.note,
    a.source_id::BIGINT AS source, came.line::BIGINT AS source_line,
    a.stage, a.spot, a.trip_kind, a.trip_derived, a.ended_by, coalesce(g.unclear, false) AS unclear,
    coalesce(g.disputed, false) AS disputed, a.file_id
FROM chosen a
JOIN season ON season.id = a.season_id
JOIN game ON game.id = a.game_id
JOIN one_team team ON team.id = a.team_id
JOIN player own ON own.id = a.player_id
JOIN player root ON root.id = a.person_id
LEFT JOIN one_team opponent ON opponent.id = a.opponent_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
LEFT JOIN agreed g ON g.attempt_id = a.id
LEFT JOIN technique ON technique.id = g.technique_id
LEFT JOIN told ON told.attempt_id = a.id
LEFT JOIN came ON came.attempt_id = a.id AND came.source_id = a.source_id
ORDER BY a.league, a.one_league_id, a.date, a.game_id, a.order_in_game NULLS LAST, a.id
