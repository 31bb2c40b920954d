-- name: rows_of
SELECT {table_text} AS name, count(*) AS rows FROM {table};

-- name: read
SELECT key, value FROM ledger_meta WHERE key IN ('changes', 'fingerprint');

-- name: make_room
INSERT INTO ledger_meta (key, value) VALUES ('changes', ''), ('fingerprint', '') ON CONFLICT DO NOTHING;

-- name: keep
UPDATE ledger_meta SET value = CASE key WHEN 'changes' THEN $changes ELSE $fingerprint END
WHERE key IN ('changes', 'fingerprint');
