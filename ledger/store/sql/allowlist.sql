-- Asked before the file's own names are in use: from the empty memory database, by full name.

-- name: tables
SELECT schema_name, table_name, sql
FROM system.main.duckdb_tables()
WHERE database_name = $database
ORDER BY table_name;

-- name: columns
SELECT table_name, column_name, data_type, NOT is_nullable AS required
FROM system.main.duckdb_columns()
WHERE database_name = $database
ORDER BY table_name, column_index;

-- name: others
SELECT 'view' AS kind, view_name AS name
FROM system.main.duckdb_views() WHERE database_name = $database AND NOT internal
UNION ALL
SELECT 'macro', function_name
FROM system.main.duckdb_functions() WHERE database_name = $database AND NOT internal
UNION ALL
SELECT 'sequence', sequence_name
FROM system.main.duckdb_sequences() WHERE database_name = $database
UNION ALL
SELECT 'type', type_name
FROM system.main.duckdb_types() WHERE database_name = $database AND NOT internal
UNION ALL
SELECT 'index', index_name
FROM system.main.duckdb_indexes() WHERE database_name = $database
UNION ALL
SELECT 'trigger', trigger_name
FROM system.main.duckdb_triggers() WHERE database_name = $database
UNION ALL
SELECT 'schema', schema_name
FROM system.main.duckdb_schemas()
WHERE database_name = $database AND schema_name NOT IN ('main', 'information_schema', 'pg_catalog')
ORDER BY 1, 2;
