-- What records gave, written down and laid over one another anew.

-- A record without a text of its own gave what the attempt is, and the tag of its own line.
-- name: materialise
UPDATE sighting SET given = to_json(g.record)
FROM (
    SELECT
        s.source_id, s.line, s.attempt_id,
        struct_pack(
            game_id := a.game_id, player_id := a.player_id, team_id := a.team_id,
            opponent_id := a.opponent_id, period := a.period, clock_s := a.clock_s,
            given_order := CASE WHEN a.order_in_game < $clock_orders_from THEN a.order_in_game END,
            clock_order := CASE WHEN a.order_in_game >= $clock_orders_from THEN a.order_in_game END,
            shot := a.shot, spot := a.spot, x_m := a.x_m, y_m := a.y_m, trip_shot := a.trip_shot,
            trip_of := a.trip_of, trip_kind := a.trip_kind, trip_derived := a.trip_derived,
            ended_by := a.ended_by, made := a.made, rebound_by := a.rebound_by, file_id := a.file_id,
            tagger := t.tagger, tagged_at := strftime(t.tagged_at, '%Y-%m-%dT%H:%M:%S.%f'),
            technique_id := t.technique_id, technique_as_written := t.technique_as_written,
            first_contact := t.first_contact, contact_height := t.contact_height,
            contact_side := t.contact_side, down_at_board := t.down_at_board,
            release_angle_deg := t.release_angle_deg, backspin := t.backspin,
            miss_depth := t.miss_depth, miss_side := t.miss_side, rebound_zone := t.rebound_zone,
            rebound_x_m := t.rebound_x_m, rebound_y_m := t.rebound_y_m, confidence := t.confidence,
            adjudicated := t.adjudicated, unclear := t.unclear, picked_for := t.picked_for,
            video_s := t.video_s, note := t.note
        ) AS record
    FROM sighting AS s
    JOIN wanted AS w ON w.attempt_id = s.attempt_id
    JOIN attempt AS a ON a.id = s.attempt_id
    LEFT JOIN tag AS t
        ON t.attempt_id = s.attempt_id AND t.source_id = s.source_id AND t.line = s.line
    WHERE s.given IS NULL
) AS g
WHERE sighting.given IS NULL AND sighting.source_id = g.source_id AND sighting.line = g.line
    AND sighting.attempt_id = g.attempt_id;

-- Every record of live sources on the attempts of some games.
-- name: sightings
SELECT
    s.rowid AS row, s.source_id, s.line, s.attempt_id AS hint, s.outcome, s.given,
    src.kind AS kind, src.who AS who, told_by(src.kind, src.mapping, s.line, s.given) AS told
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
JOIN source AS src ON src.id = s.source_id
WHERE a.game_id IN (SELECT game_id FROM wanted) AND src.taken_back IS NULL
ORDER BY s.source_id, s.line, s.rowid;

-- name: corrections
SELECT s.rowid AS row, s.source_id, s.attempt_id, s.given
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
JOIN source AS src ON src.id = s.source_id
WHERE a.game_id IN (SELECT game_id FROM wanted) AND s.outcome = 'corrected'
    AND src.taken_back IS NULL
ORDER BY s.source_id, s.rowid;

-- name: all_tags
SELECT
    t.id AS tag_id, t.attempt_id, t.source_id, t.line, t.tagger, t.tagged_at, t.removed,
    src.taken_back IS NULL AS live, s.source_id IS NOT NULL AS sighted
FROM tag AS t
JOIN attempt AS a ON a.id = t.attempt_id
JOIN source AS src ON src.id = t.source_id
LEFT JOIN (SELECT DISTINCT source_id, line FROM sighting) AS s
    ON s.source_id = t.source_id AND s.line = t.line
WHERE a.game_id IN (SELECT game_id FROM wanted)
ORDER BY t.id;

-- name: persons
SELECT id AS player_id, coalesce(same_as, id) AS person_id FROM player;

-- name: leagues
SELECT id AS game_id, league_id FROM game WHERE id IN (SELECT game_id FROM wanted);

-- name: set_sightings
UPDATE sighting SET attempt_id = i.attempt_id, outcome = i.outcome
FROM incoming AS i
WHERE sighting.rowid = i.row;

-- name: set_given
UPDATE sighting SET given = i.given FROM incoming AS i WHERE sighting.rowid = i.row;

-- name: show_tags
UPDATE tag SET removed = i.removed FROM incoming AS i WHERE tag.id = i.tag_id AND tag.removed <> i.removed;

-- name: games_of
SELECT DISTINCT game_id FROM attempt WHERE id IN (SELECT attempt_id FROM wanted);

-- Games of some attempts that other live sources have a word in.
-- name: shared_games
WITH others AS (
    SELECT s.attempt_id, s.source_id FROM sighting AS s
    WHERE s.attempt_id IN (SELECT attempt_id FROM wanted)
    UNION ALL
    SELECT t.attempt_id, t.source_id FROM tag AS t
    WHERE t.attempt_id IN (SELECT attempt_id FROM wanted)
)
SELECT DISTINCT a.game_id
FROM others AS o
JOIN source AS src ON src.id = o.source_id AND src.taken_back IS NULL
JOIN attempt AS a ON a.id = o.attempt_id
WHERE o.source_id <> $source_id;

-- name: sizes
SELECT game_id, count(*) AS attempts FROM attempt
WHERE game_id IN (SELECT game_id FROM wanted)
GROUP BY ALL
ORDER BY game_id;

-- name: add_one_sighting
INSERT INTO sighting (source_id, line, attempt_id, outcome, given)
VALUES ($source_id, $line, $attempt_id, $outcome, $given);
