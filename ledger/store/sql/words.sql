-- name: all
SELECT field, text, normal_form, value FROM word ORDER BY field, normal_form;

-- name: one
SELECT value FROM word WHERE field = $field AND normal_form = $normal_form;

-- name: add
INSERT INTO word (field, text, normal_form, value, who, at_time)
VALUES ($field, $text, $normal_form, $value, $who, $at_time);

-- name: change
UPDATE word SET value = $value, text = $text, who = $who, at_time = $at_time
WHERE field = $field AND normal_form = $normal_form;

-- name: written
SELECT DISTINCT technique_as_written FROM tag WHERE technique_as_written IS NOT NULL ORDER BY 1;

-- name: written_unknown
SELECT DISTINCT technique_as_written FROM tag
WHERE technique_as_written IS NOT NULL AND technique_id IS NULL AND NOT unclear
ORDER BY 1;

-- name: touched
CREATE OR REPLACE TEMP TABLE word_touched AS
SELECT DISTINCT attempt_id FROM tag
WHERE technique_as_written IN (SELECT unnest($written))
    AND ($all OR id IN (SELECT unnest($tags::BIGINT[])))
    AND (technique_id IS DISTINCT FROM $technique_id OR unclear IS DISTINCT FROM $unclear);

-- name: count_touched
SELECT count(*) FROM word_touched;

-- name: resolve
UPDATE tag SET technique_id = $technique_id, unclear = $unclear
WHERE technique_as_written IN (SELECT unnest($written))
    AND ($all OR id IN (SELECT unnest($tags::BIGINT[])))
    AND (technique_id IS DISTINCT FROM $technique_id OR unclear IS DISTINCT FROM $unclear);

-- name: forget_touched
DROP TABLE word_touched;

-- name: readings
SELECT technique_id, unclear, list(id ORDER BY id) AS tags FROM tag
WHERE technique_as_written IN (SELECT unnest($written))
GROUP BY technique_id, unclear
ORDER BY count(*) DESC, technique_id NULLS FIRST, unclear;

-- name: first_reading
SELECT old_value FROM journal
WHERE action = 'read anew' AND table_name = 'word' AND field = $word
ORDER BY id
LIMIT 1;
