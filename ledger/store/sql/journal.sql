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
    SELECT j.* FROM journal AS j
    WHERE ($source_id IS NULL OR j.source_id = $source_id)
        AND (
            $person_id IS NULL
            OR (j.table_name IN ('player', 'shortlist_entry') AND j.row_id IN (
                SELECT id FROM player WHERE coalesce(same_as, id) = $person_id
            ))
            OR (j.field IS NULL AND j.table_name IN ('shortlist_entry', 'note', 'decision', 'rumour')
                AND coalesce(j.new_value, j.old_value) ->> '$[0].player_id' IN (
                    SELECT id::VARCHAR FROM player WHERE coalesce(same_as, id) = $person_id
            ))
        )
    ORDER BY j.id DESC LIMIT coalesce($limit, 9223372036854775807)
)
ORDER BY id;
