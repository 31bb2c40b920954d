-- Attempts and tags of some games, as frames of records.

-- name: attempts_of_games
SELECT
    a.id AS attempt_id, a.source_id, g.league_id, coalesce(p.same_as, p.id) AS person_id,
    a.game_id, a.player_id, a.team_id, a.opponent_id, a.period, a.clock_s,
    CASE WHEN a.order_in_game < $clock_orders_from THEN a.order_in_game END AS given_order,
    CASE WHEN a.order_in_game >= $clock_orders_from THEN a.order_in_game END AS clock_order,
    a.shot, a.spot, a.x_m, a.y_m, a.trip_shot, a.trip_of, a.trip_kind, a.trip_derived, a.ended_by,
    a.made, a.rebound_by, a.file_id, a.removed
FROM attempt AS a
JOIN game AS g ON g.id = a.game_id
JOIN player AS p ON p.id = a.player_id
WHERE a.game_id IN (SELECT game_id FROM wanted)
ORDER BY a.id;

-- name: attempts_of_ids
SELECT DISTINCT a.game_id
FROM attempt AS a
JOIN game AS g ON g.id = a.game_id
JOIN wanted AS w ON w.file_id = a.file_id AND w.league_id = g.league_id
WHERE a.file_id IS NOT NULL;

-- name: tags_of_attempts
SELECT
    t.id AS tag_id, t.attempt_id, t.source_id, t.line, t.tagger, t.tagged_at, t.technique_id,
    t.technique_as_written, t.first_contact, t.contact_height, t.contact_side, t.down_at_board,
    t.release_angle_deg, t.backspin, t.miss_depth, t.miss_side, t.rebound_zone, t.rebound_x_m,
    t.rebound_y_m, t.confidence, t.adjudicated, t.unclear, t.picked_for, t.video_s, t.note
FROM tag AS t
WHERE NOT t.removed AND t.attempt_id IN (SELECT attempt_id FROM wanted)
ORDER BY t.id;

-- name: games_with_attempts
SELECT game_id FROM attempt WHERE game_id IN (SELECT game_id FROM wanted) GROUP BY ALL;

-- name: next_attempt
SELECT coalesce(max(id), 0) + 1 FROM attempt;

-- A number that was in the journal is not given again, though its tag is gone.
-- name: next_tag
SELECT greatest(
    (SELECT coalesce(max(id), 0) FROM tag),
    (SELECT coalesce(max(row_id), 0) FROM journal WHERE table_name = 'tag')
) + 1;

-- name: next_source
SELECT coalesce(max(id), 0) + 1 FROM source;

-- name: next_total
SELECT coalesce(max(id), 0) + 1 FROM season_total;

-- name: add_attempts
INSERT INTO attempt (
    id, game_id, player_id, team_id, opponent_id, period, clock_s, order_in_game, shot, spot, x_m, y_m,
    trip_shot, trip_of, trip_kind, trip_derived, trip_incomplete, ended_by, made, rebound_by, file_id,
    source_id, removed
)
SELECT
    attempt_id, game_id, player_id, team_id, opponent_id, period, clock_s,
    coalesce(given_order, clock_order), shot, spot, x_m, y_m, trip_shot, trip_of, trip_kind,
    coalesce(trip_derived, false), coalesce(trip_incomplete, false), ended_by, made, rebound_by,
    file_id, source_id, false
FROM incoming;

-- name: set_attempts
UPDATE attempt SET
    game_id = i.game_id, player_id = i.player_id, team_id = i.team_id, opponent_id = i.opponent_id,
    period = i.period, clock_s = i.clock_s, order_in_game = coalesce(i.given_order, i.clock_order),
    shot = i.shot, spot = i.spot, x_m = i.x_m, y_m = i.y_m, trip_shot = i.trip_shot,
    trip_of = i.trip_of, trip_kind = i.trip_kind, trip_derived = coalesce(i.trip_derived, false),
    trip_incomplete = coalesce(i.trip_incomplete, false), ended_by = i.ended_by, made = i.made,
    rebound_by = i.rebound_by, file_id = i.file_id, source_id = i.source_id, removed = false
FROM incoming AS i
WHERE attempt.id = i.attempt_id;

-- Attempts that came back as they were, now another source's.
-- name: revive
UPDATE attempt SET source_id = i.source_id, trip_incomplete = i.trip_incomplete, removed = false
FROM incoming AS i
WHERE attempt.id = i.attempt_id;

-- name: set_trips
UPDATE attempt SET trip_incomplete = i.trip_incomplete
FROM incoming AS i
WHERE attempt.id = i.attempt_id AND attempt.trip_incomplete <> i.trip_incomplete;

-- name: remove_attempts
UPDATE attempt SET removed = true WHERE id IN (SELECT attempt_id FROM incoming);

-- name: add_tags
INSERT INTO tag (
    id, attempt_id, tagger, tagged_at, technique_id, technique_as_written, first_contact,
    contact_height, contact_side, down_at_board, release_angle_deg, backspin, miss_depth, miss_side,
    rebound_zone, rebound_x_m, rebound_y_m, confidence, adjudicated, unclear, picked_for, video_s, note,
    source_id, line, removed
)
SELECT
    tag_id, attempt_id, tagger, tagged_at, technique_id, technique_as_written, first_contact,
    contact_height, contact_side, down_at_board, release_angle_deg, backspin, miss_depth, miss_side,
    rebound_zone, rebound_x_m, rebound_y_m, confidence, coalesce(adjudicated, false),
    coalesce(unclear, false), picked_for, video_s, note, source_id, line, false
FROM incoming;

-- name: set_tags
UPDATE tag SET
    technique_id = i.technique_id, technique_as_written = i.technique_as_written,
    first_contact = i.first_contact, contact_height = i.contact_height, contact_side = i.contact_side,
    down_at_board = i.down_at_board, release_angle_deg = i.release_angle_deg, backspin = i.backspin,
    miss_depth = i.miss_depth, miss_side = i.miss_side, rebound_zone = i.rebound_zone,
    rebound_x_m = i.rebound_x_m, rebound_y_m = i.rebound_y_m, confidence = i.confidence,
    adjudicated = coalesce(i.adjudicated, false), unclear = coalesce(i.unclear, false),
    picked_for = i.picked_for, video_s = i.video_s, note = i.note
FROM incoming AS i
WHERE tag.id = i.tag_id;

-- name: drop_tags
DELETE FROM tag WHERE id IN (SELECT tag_id FROM incoming);

-- name: add_sightings
INSERT INTO sighting (source_id, line, attempt_id, outcome, given)
SELECT $source_id, line, attempt_id, outcome, given FROM incoming;

-- name: add_sightings_of
INSERT INTO sighting (source_id, line, attempt_id, outcome, given)
SELECT source_id, line, attempt_id, outcome, given FROM incoming;

-- What one clear tag of its own says, for attempts that nobody else has tagged.
-- name: agree_fresh
INSERT INTO agreed (attempt_id, technique_id, tags, disputed, unclear, picked_for)
SELECT
    attempt_id, CASE WHEN NOT coalesce(unclear, false) THEN technique_id END, 1, false,
    coalesce(unclear, false),
    CASE WHEN picked_for = 'result' AND NOT coalesce(unclear, false) THEN 'result' END
FROM incoming;

-- name: touched
CREATE OR REPLACE TEMP TABLE touched_attempt AS SELECT DISTINCT attempt_id FROM incoming;

-- name: forget_touched
DROP TABLE IF EXISTS touched_attempt;

-- name: add_source
INSERT INTO source (
    id, kind, file, sha256, content_hash, size_bytes, rows, stored, rejected, skipped, already_there,
    contradicting, attempts_stored, tags_stored, fields_filled, drawn, mapping, reasons, warnings, who,
    at_time, taken_back
)
VALUES (
    $id, $kind, $file, $sha256, $content_hash, $size_bytes, $rows, $stored, $rejected, $skipped,
    $already_there, $contradicting, $attempts_stored, $tags_stored, $fields_filled, $drawn, $mapping,
    $reasons, $warnings, $who, $at_time, NULL
);

-- name: own
SELECT DISTINCT attempt_id FROM sighting WHERE source_id = $source_id;

-- name: next_line
SELECT rows + 1 FROM source WHERE id = $id AND kind = 'entry' AND taken_back IS NULL;

-- name: count_on
UPDATE source SET
    rows = rows + $rows, stored = stored + $stored, already_there = already_there + $already_there,
    contradicting = contradicting + $contradicting, rejected = rejected + $rejected,
    skipped = skipped + $skipped, attempts_stored = attempts_stored + $attempts_stored,
    tags_stored = tags_stored + $tags_stored, fields_filled = fields_filled + $fields_filled
WHERE id = $id;

-- Live sources of the same bytes or records, one that took every row first.
-- name: same_file
SELECT id, at_time, rows, coalesce(sha256 = $sha256, false) AS same_bytes, rejected
FROM source
WHERE kind = $kind AND taken_back IS NULL AND (sha256 = $sha256 OR content_hash = $content_hash)
ORDER BY rejected > 0, same_bytes DESC, id
LIMIT 1;

-- name: add_refused
INSERT INTO refused_row (source_id, line, column_name, value, reason, fix)
SELECT $source_id, line, "column", value, reason, fix FROM incoming;

-- name: technique_ids
SELECT id, name FROM technique ORDER BY id;
