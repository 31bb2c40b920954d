-- Rows that a person's change made, changed or took away, put back as the journal has them.

-- name: kind
SELECT kind FROM source WHERE id = $source_id;

-- name: next_id
SELECT greatest(
    (SELECT coalesce(max(id), 0) FROM {table}),
    (SELECT coalesce(max(row_id), 0) FROM journal WHERE table_name = {table_text})
) + 1;

-- name: rows_id
SELECT * FROM {table} WHERE id = $id;

-- name: rows_lot_player
SELECT * FROM lot_player WHERE lot_id = $lot_id ORDER BY place NULLS LAST, player_id;

-- name: rows_shortlist_entry
SELECT * FROM shortlist_entry
WHERE shortlist_id = $shortlist_id AND player_id = $player_id
    AND source_id IS NOT DISTINCT FROM $source_id AND at_time = $at_time::TIMESTAMP;

-- name: rows_word
SELECT * FROM word WHERE field = $field AND normal_form = $normal_form;

-- name: drop_id
DELETE FROM {table} WHERE id = $id;

-- name: drop_lot_player
DELETE FROM lot_player WHERE lot_id = $lot_id;

-- name: drop_shortlist_entry
DELETE FROM shortlist_entry
WHERE shortlist_id = $shortlist_id AND player_id = $player_id
    AND source_id IS NOT DISTINCT FROM $source_id AND at_time = $at_time::TIMESTAMP;

-- name: drop_word
DELETE FROM word WHERE field = $field AND normal_form = $normal_form;

-- name: put_back
INSERT INTO {table} BY NAME SELECT * FROM incoming;

-- name: field
SELECT {column} FROM {table} WHERE id = $id;

-- name: set_field
UPDATE {table} SET {column} = $value WHERE id = $id;

-- What one source did: whole rows have no field, fields of a row are marked as set.
-- name: lines
SELECT table_name, row_id, field, old_value, new_value FROM journal
WHERE source_id = $source_id AND table_name <> 'source' AND (field IS NULL OR action = 'set')
ORDER BY id;

-- name: of_row
SELECT j.old_value, j.new_value, s.taken_back IS NULL AS live
FROM journal AS j
JOIN source AS s ON s.id = j.source_id
WHERE j.table_name = $table_name AND j.field IS NULL AND j.row_id IS NOT DISTINCT FROM $row_id
ORDER BY j.id;

-- name: of_field
SELECT j.old_value, j.new_value, s.taken_back IS NULL AS live
FROM journal AS j
JOIN source AS s ON s.id = j.source_id
WHERE j.action = 'set' AND j.table_name = $table_name AND j.row_id = $row_id AND j.field = $field
ORDER BY j.id;

-- name: fields_of_row
SELECT DISTINCT field FROM journal
WHERE action = 'set' AND table_name = $table_name AND row_id = $row_id
ORDER BY ALL;

-- name: naming
SELECT count(*) AS found FROM {table} WHERE {column} = $id;

-- name: given_technique
SELECT count(*) FROM sighting WHERE json_extract_string(given, '$.technique_id') = $id;

-- name: names_twice
SELECT any_value(name) AS name FROM (
    SELECT 'list' AS kind, name FROM shortlist
    UNION ALL
    SELECT 'list', name FROM lot
    UNION ALL
    SELECT 'technique', name FROM technique
    UNION ALL
    SELECT 'trial', name FROM trial
    UNION ALL
    SELECT 'technique', text FROM word WHERE field = 'technique' AND lower(value) <> lower(text)
)
GROUP BY kind, lower(name)
HAVING count(*) > 1
ORDER BY 1;

-- name: entries_twice
SELECT player.name, shortlist.name AS list
FROM shortlist_entry AS entry
JOIN player ON player.id = entry.player_id
JOIN shortlist ON shortlist.id = entry.shortlist_id
WHERE entry.dropped IS NULL
GROUP BY entry.shortlist_id, shortlist.name, entry.player_id, player.name
HAVING count(*) > 1
ORDER BY ALL;
