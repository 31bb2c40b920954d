-- One tag at a time, as it is typed: each statement touches one attempt.

-- name: live_tags
SELECT id, tagger, technique_as_written, picked_for FROM tag
WHERE attempt_id = $attempt_id AND NOT removed;

-- name: add
INSERT INTO tag (
    id, attempt_id, tagger, tagged_at, technique_id, technique_as_written, first_contact,
    contact_height, contact_side, down_at_board, release_angle_deg, backspin, miss_depth, miss_side,
    rebound_zone, rebound_x_m, rebound_y_m, confidence, adjudicated, unclear, picked_for, video_s, note,
    source_id, line, removed
)
VALUES (
    $id, $attempt_id, $tagger, $tagged_at, $technique_id, $technique_as_written, $first_contact,
    $contact_height, $contact_side, $down_at_board, $release_angle_deg, $backspin, $miss_depth,
    $miss_side, $rebound_zone, $rebound_x_m, $rebound_y_m, $confidence, $adjudicated, $unclear,
    $picked_for, $video_s, $note, $source_id, $line, false
);

-- name: hide
UPDATE tag SET removed = true WHERE id = $id;

-- name: show
UPDATE tag SET removed = false WHERE id = $id;

-- name: drop
DELETE FROM tag WHERE id = $id;

-- name: drop_sighting
DELETE FROM sighting WHERE source_id = $source_id AND line = $line AND attempt_id = $attempt_id;

-- name: count_tag
UPDATE source SET rows = rows + 1, stored = stored + 1, tags_stored = tags_stored + 1
WHERE id = $id;

-- A line that was taken back says nothing any more; its number is not given again.
-- name: count_untag
UPDATE source SET stored = stored - 1, skipped = skipped + 1, tags_stored = tags_stored - 1
WHERE id = $id;

-- The tag of one person that this sitting brought last and that still counts.
-- name: newest
SELECT * FROM tag
WHERE source_id = $source_id AND attempt_id = $attempt_id AND tagger = $tagger AND NOT removed;

-- What counts once that one is gone: the last that a live source brought and that was taken.
-- name: before
SELECT t.id, t.technique_as_written
FROM tag AS t
JOIN source AS src ON src.id = t.source_id AND src.taken_back IS NULL
JOIN sighting AS s
    ON s.source_id = t.source_id AND s.line = t.line AND s.attempt_id = t.attempt_id
WHERE t.attempt_id = $attempt_id AND t.tagger = $tagger AND t.id <> $id AND s.outcome = 'stored'
ORDER BY t.source_id DESC, t.line DESC
LIMIT 1;

-- What tells whether the ledger's words have changed.
-- name: state_of_words
SELECT count(*), max(at_time) FROM word;

-- name: techniques
SELECT id, name FROM technique ORDER BY id;
