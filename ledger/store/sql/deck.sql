-- name: items
SELECT id, question, asked, at_time FROM deck_item ORDER BY place, id;

-- name: add
INSERT INTO deck_item (id, place, question, asked, at_time)
VALUES ($id, $place, $question, $asked, $at_time);

-- name: last_place
SELECT coalesce(max(place), 0) FROM deck_item;

-- name: places
SELECT id, place FROM deck_item ORDER BY place, id;

-- name: drop
DELETE FROM deck_item WHERE id = $id;
