-- name: next_id
SELECT coalesce(max(id), 0) + 1 FROM journal;

-- name: record
INSERT INTO journal (
    id, at_time, who, action, table_name, row_id, field, old_value, new_value, why, source_id
)
VALUES (
    $id, $at_time, $who, $action, $table_name, $row_id, $field, $old_value, $new_value, $why,
    $source_id
);

-- name: entries
SELECT * FROM (
    SELECT * FROM journal ORDER BY id DESC LIMIT coalesce($limit, 9223372036854775807)
)
ORDER BY id;
