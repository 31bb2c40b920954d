-- Each statement gives a row for what is wrong: where, and how many.

-- Reads every value there is: a file cut short shows here at the latest.
-- name: whole
SELECT bit_xor(hash(row_of)) FROM {table} AS row_of;

-- name: twice
SELECT {table_text} AS place, count(*) - count(DISTINCT id) AS found FROM {table}
HAVING found > 0;

-- name: nowhere
SELECT
    {table_text} || '.' || {column_text} AS place, count(*) AS found,
    CAST(min(own.{column}) AS VARCHAR) AS example, {to_text} AS named
FROM {table} AS own ANTI JOIN {to} AS named ON named.id = own.{column}
WHERE own.{column} IS NOT NULL
HAVING found > 0;

-- name: chained
SELECT {table_text} AS place, count(*) AS found
FROM {table} AS own JOIN {table} AS one ON one.id = own.same_as
WHERE one.same_as IS NOT NULL OR one.id = own.id
HAVING found > 0;

-- name: counts_do_not_add_up
SELECT 'source ' || id AS place, rows AS found
FROM source
WHERE rows <> stored + rejected + skipped + already_there + contradicting
ORDER BY id;

-- name: refused_rows_missing
SELECT 'source ' || source.id AS place, source.rejected - count(DISTINCT refused_row.line) AS found
FROM source LEFT JOIN refused_row ON refused_row.source_id = source.id
GROUP BY source.id, source.rejected
HAVING found > 0
ORDER BY source.id;

-- Only files that hold attempts or tags leave sightings of their rows.
-- name: sightings_missing
SELECT
    'source ' || source.id AS place,
    abs(source.stored + source.already_there + source.contradicting - count(DISTINCT sighting.line)) AS found
FROM source LEFT JOIN sighting ON sighting.source_id = source.id
WHERE source.kind IN ('attempts', 'box', 'tags', 'merge')
GROUP BY source.id, source.stored, source.already_there, source.contradicting
HAVING found > 0
ORDER BY source.id;

-- name: attempts_missing
SELECT 'source ' || source.id AS place, source.attempts_stored - count(attempt.id) AS found
FROM source LEFT JOIN attempt ON attempt.source_id = source.id
WHERE source.taken_back IS NULL
GROUP BY source.id, source.attempts_stored
HAVING found > 0
ORDER BY source.id;

-- name: unseen_attempts
SELECT 'attempt ' || min(attempt.id) AS place, count(*) AS found
FROM attempt
WHERE NOT attempt.removed AND attempt.id NOT IN (
    SELECT sighting.attempt_id FROM sighting
    JOIN source ON source.id = sighting.source_id
    WHERE source.taken_back IS NULL
)
HAVING found > 0;

-- A tag alone keeps no attempt: it waits until the attempt comes back.
-- name: lost_attempts
SELECT 'attempt ' || min(attempt.id) AS place, count(*) AS found
FROM attempt
WHERE attempt.removed AND attempt.id IN (
    SELECT sighting.attempt_id FROM sighting
    JOIN source ON source.id = sighting.source_id
    WHERE source.taken_back IS NULL AND sighting.outcome IN ('stored', 'already_there')
        AND source.kind <> 'tags'
        AND (
            sighting.given IS NULL OR json_extract_string(sighting.given, '$.made') IS NOT NULL
        )
)
HAVING found > 0;

-- name: tags_of_removed
SELECT 'tag ' || min(tag.id) AS place, count(*) AS found
FROM tag JOIN attempt ON attempt.id = tag.attempt_id
WHERE attempt.removed AND NOT tag.removed
HAVING found > 0;

-- name: two_tags_of_one
SELECT 'attempt ' || min(attempt_id) AS place, count(*) AS found
FROM (
    SELECT attempt_id FROM tag WHERE NOT removed GROUP BY attempt_id, tagger HAVING count(*) > 1
)
HAVING found > 0;

-- name: agreed_differs
CREATE OR REPLACE TEMP TABLE agreed_anew AS

-- name: agreed_compared
SELECT 'attempt ' || min(attempt_id) AS place, count(DISTINCT attempt_id) AS found
FROM (
    (FROM agreed EXCEPT ALL FROM agreed_anew)
    UNION ALL
    (FROM agreed_anew EXCEPT ALL FROM agreed)
)
HAVING found > 0;

-- name: forget_anew
DROP TABLE agreed_anew;
