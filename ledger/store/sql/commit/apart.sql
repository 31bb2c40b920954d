-- Which row of which file a record is, where rows that were refused have come in again.

-- name: telling
SELECT id AS source_id, mapping, taken_back IS NULL AS live
FROM source
WHERE kind IN ('attempts', 'box') AND contains(mapping, $key)
ORDER BY id;

-- name: files
SELECT id AS source_id, sha256 FROM source
WHERE kind IN ('attempts', 'box') AND sha256 IN (SELECT sha256 FROM wanted);

-- name: sighted
SELECT s.attempt_id, s.source_id, s.line, src.taken_back IS NULL AS live
FROM sighting AS s
JOIN source AS src ON src.id = s.source_id
WHERE s.attempt_id IN (SELECT attempt_id FROM wanted);
