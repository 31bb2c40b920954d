-- name: sources
SELECT
    id::BIGINT AS source, file, sha256, kind, rows::BIGINT AS rows, stored::BIGINT AS stored,
    rejected::BIGINT AS rejected, skipped::BIGINT AS skipped, already_there::BIGINT AS already_there,
    contradicting::BIGINT AS contradicting, who,
    strftime(at_time, '%Y-%m-%d %H:%M:%S') AS when,
    strftime(taken_back, '%Y-%m-%d %H:%M:%S') AS taken_back,
    attempts_stored::BIGINT AS attempts_stored, tags_stored::BIGINT AS tags_stored,
    fields_filled::BIGINT AS fields_filled, drawn, warnings
FROM source
WHERE $all OR list_contains($source::INTEGER[], id)
ORDER BY id

-- name: refused
SELECT source_id::BIGINT AS source, line::BIGINT AS line, column_name AS column, value, reason, fix
FROM refused_row
WHERE $all OR list_contains($source::INTEGER[], source_id)
QUALIFY row_number() OVER (PARTITION BY source_id ORDER BY line, column_name) <= $most
ORDER BY source_id, line, column_name
