-- Records typed by hand, and what a person is told of them.

-- name: highest
SELECT 'league' AS kind, coalesce(max(id), 0) AS id FROM league
UNION ALL
SELECT 'season', coalesce(max(id), 0) FROM season
UNION ALL
SELECT 'team', coalesce(max(id), 0) FROM team
UNION ALL
SELECT 'player', coalesce(max(id), 0) FROM player;

-- name: named
SELECT 'league' AS kind, id, name, 0 AS league_id FROM league
UNION ALL
SELECT 'season', id, label, 0 FROM season
UNION ALL
SELECT 'team', id, name, league_id FROM team
UNION ALL
SELECT 'player', id, name, league_id FROM player
ORDER BY 1, 2;

-- name: note_source
UPDATE source SET reasons = $reasons, warnings = $warnings WHERE id = $id;

-- name: tags_of
SELECT
    t.id AS tag_id, t.tagger, coalesce(k.name, CASE WHEN t.unclear THEN 'unclear' END,
    t.technique_as_written, 'no technique') AS technique, t.adjudicated
FROM tag AS t
LEFT JOIN technique AS k ON k.id = t.technique_id
WHERE t.attempt_id = $attempt_id AND NOT t.removed
ORDER BY t.tagged_at, t.id;

-- name: tag_of
SELECT
    t.first_contact, t.contact_height, t.contact_side, t.down_at_board, t.release_angle_deg,
    t.backspin, t.miss_depth, t.miss_side, t.rebound_zone, t.rebound_x_m, t.rebound_y_m,
    t.confidence, t.picked_for, t.video_s, t.note
FROM tag AS t
WHERE t.attempt_id = $attempt_id AND NOT t.removed AND t.tagger = $tagger;

-- name: agreed
SELECT k.name, a.disputed FROM agreed AS a
LEFT JOIN technique AS k ON k.id = a.technique_id
WHERE a.attempt_id = $attempt_id;

-- name: attempt
SELECT id FROM attempt WHERE id = $attempt_id AND NOT removed;

-- What the person of a sitting typed in other sittings: attempts, not tags of them.
-- name: others
SELECT DISTINCT s.attempt_id
FROM sighting AS s
JOIN source AS src ON src.id = s.source_id
WHERE src.kind = 'entry' AND src.taken_back IS NULL AND src.id <> $source_id
    AND src.who = (SELECT who FROM source WHERE id = $source_id)
    AND (s.given IS NULL OR json_extract(s.given, '$.made') IS NOT NULL);
