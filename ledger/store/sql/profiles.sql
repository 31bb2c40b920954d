-- Mapping profiles: how the files of a league map to fields.

-- name: add
INSERT INTO profile (id, name, body, who, at_time) VALUES ($id, $name, $body, $who, $at_time);

-- name: all
SELECT id, name, body, who, at_time FROM profile ORDER BY lower(name), id;

-- The live sources of some bytes, those that took every row first.
-- name: same_bytes
SELECT id, at_time, rows, rejected, mapping
FROM source
WHERE kind = $kind AND taken_back IS NULL AND sha256 = $sha256
ORDER BY rejected > 0, id;
