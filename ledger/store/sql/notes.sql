-- name: add_note
INSERT INTO note (id, player_id, date, text, who, at_time)
VALUES ($id, $player_id, $date, $text, $who, $at_time);

-- name: add_decision
INSERT INTO decision (id, player_id, choice, why, review, who, at_time)
VALUES ($id, $player_id, $choice, $why, $review, $who, $at_time);

-- name: notes
SELECT
    n.id, coalesce(one.name, p.name) AS player, l.name AS league, n.date, n.text, n.who, n.at_time,
    (SELECT max(j.source_id) FROM journal AS j WHERE j.table_name = 'note' AND j.row_id = n.id) AS source
FROM note AS n
LEFT JOIN player AS p ON p.id = n.player_id
LEFT JOIN player AS one ON one.id = p.same_as
LEFT JOIN league AS l ON l.id = coalesce(one.league_id, p.league_id)
WHERE $person_id IS NULL OR coalesce(p.same_as, p.id) = $person_id
ORDER BY n.id;

-- name: decisions
SELECT
    d.id, coalesce(one.name, p.name) AS player, l.name AS league, d.choice, d.why, d.review, d.who,
    d.at_time,
    (SELECT max(j.source_id) FROM journal AS j WHERE j.table_name = 'decision' AND j.row_id = d.id)
        AS source,
    coalesce(p.same_as, p.id) AS person_id,
    row_number() OVER (PARTITION BY coalesce(p.same_as, p.id) ORDER BY d.at_time DESC, d.id DESC) = 1 AS stands
FROM decision AS d
JOIN player AS p ON p.id = d.player_id
LEFT JOIN player AS one ON one.id = p.same_as
JOIN league AS l ON l.id = coalesce(one.league_id, p.league_id)
WHERE $person_id IS NULL OR coalesce(p.same_as, p.id) = $person_id
ORDER BY d.id;
