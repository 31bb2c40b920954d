-- name: add
INSERT INTO trial (
    id, name, player_id, technique_a, technique_b, sessions, per_session, practice_only, seed, who, at_time
)
VALUES (
    $id, $name, $player_id, $technique_a, $technique_b, $sessions, $per_session, $practice_only, $seed,
    $who, $at_time
);

-- name: all
SELECT
    t.id, t.name, coalesce(p.same_as, p.id) AS person_id, coalesce(one.name, p.name) AS player,
    league.name AS league, a.id AS technique_a, a.name AS name_a, b.id AS technique_b, b.name AS name_b,
    t.sessions, t.per_session, t.practice_only, t.seed, t.who, t.at_time
FROM trial AS t
JOIN player AS p ON p.id = t.player_id
LEFT JOIN player AS one ON one.id = p.same_as
JOIN league ON league.id = coalesce(one.league_id, p.league_id)
JOIN technique AS a ON a.id = t.technique_a
JOIN technique AS b ON b.id = t.technique_b
ORDER BY t.id;

-- What was changed in a plan after it was made, by sources that count.
-- name: changes
SELECT j.at_time, j.who, j.field, j.old_value, j.new_value, j.why
FROM journal AS j
JOIN source AS s ON s.id = j.source_id
WHERE j.table_name = 'trial' AND j.row_id = $id AND j.action = 'set' AND s.taken_back IS NULL
ORDER BY j.id;
