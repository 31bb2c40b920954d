-- name: rows_of
SELECT {table_text} AS name, count(*) AS rows FROM {table};

-- name: read
SELECT key, value FROM ledger_meta WHERE key IN ('changes', 'fingerprint');

-- name: count_change
UPDATE ledger_meta SET value = CAST(CAST(value AS BIGINT) + 1 AS VARCHAR) WHERE key = 'changes';

-- name: forget
DELETE FROM ledger_meta WHERE key = 'fingerprint';

-- name: keep
INSERT INTO ledger_meta (key, value) VALUES ('fingerprint', $fingerprint);
