-- name: read
SELECT * FROM {table} ORDER BY rowid;

-- name: empty
DELETE FROM {table};

-- name: insert
INSERT INTO {table} BY NAME SELECT * FROM incoming;
