-- name: attach_to_read
ATTACH $path AS ledger (TYPE duckdb, READ_ONLY);

-- A released storage version, so that later (and some earlier) programs can read the file.
-- name: attach_to_write
ATTACH $path AS ledger (TYPE duckdb, STORAGE_VERSION 'v1.4.0');

-- name: use
USE ledger;

-- name: no_progress_bar
SET enable_progress_bar = false;

-- name: allow
SET allowed_paths = $paths;

-- name: no_external_access
SET enable_external_access = false;

-- name: lock_configuration
SET lock_configuration = true;

-- name: begin
BEGIN TRANSACTION;

-- name: begin_reading
BEGIN TRANSACTION READ ONLY;

-- name: commit
COMMIT;

-- name: rollback
ROLLBACK;

-- name: checkpoint
CHECKPOINT ledger;
