-- name: source
ATTACH $path AS ledger (TYPE duckdb, READ_ONLY);

-- name: target
ATTACH $path AS copy (TYPE duckdb, STORAGE_VERSION 'v1.4.0');

-- name: copy
COPY FROM DATABASE ledger TO copy;

-- name: checkpoint
CHECKPOINT copy;
