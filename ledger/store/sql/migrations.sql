-- name: version
SELECT value FROM ledger.main.ledger_meta WHERE key = 'format_version';

-- name: set_version
UPDATE ledger_meta SET value = $version WHERE key = 'format_version';

-- name: record
INSERT INTO migration (number, name, applied_at) VALUES ($number, $name, $applied_at);
