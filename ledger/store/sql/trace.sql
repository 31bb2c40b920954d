-- name: source
SELECT id AS source, * EXCLUDE (id, at_time, taken_back),
    strftime(at_time, '%Y-%m-%d %H:%M:%S') AS when,
    strftime(taken_back, '%Y-%m-%d %H:%M:%S') AS taken_back
FROM source WHERE id = $source_id;

-- name: refused
SELECT line, column_name AS "column", value, reason, fix FROM refused_row
WHERE source_id = $source_id
ORDER BY ALL;
