-- What a merge brings beside the records: a row each, told of in the journal as it is inserted.

-- name: profiles
SELECT name, body FROM profile ORDER BY id;

-- name: add_profile
INSERT INTO profile (id, name, body, who, at_time) VALUES ($id, $name, $body, $who, $at_time);

-- name: rumours
SELECT r.text, r.season_id, l.id AS league_id, coalesce(p.same_as, p.id) AS person_id, r.seen, r.place
FROM rumour AS r
LEFT JOIN league AS l ON l.id = r.league_id
LEFT JOIN player AS p ON p.id = r.player_id;

-- name: notes
SELECT coalesce(p.same_as, p.id) AS person_id, n.date, n.text, n.who
FROM note AS n LEFT JOIN player AS p ON p.id = n.player_id;

-- name: add_note
INSERT INTO note (id, player_id, date, text, who, at_time)
VALUES ($id, $player_id, $date, $text, $who, $at_time);

-- name: decisions
SELECT coalesce(p.same_as, p.id) AS person_id, d.choice, d.why, d.review, d.who
FROM decision AS d JOIN player AS p ON p.id = d.player_id;

-- name: add_decision
INSERT INTO decision (id, player_id, choice, why, review, who, at_time)
VALUES ($id, $player_id, $choice, $why, $review, $who, $at_time);

-- name: lots
SELECT id, name, league_id, season_id, seed FROM lot ORDER BY id;

-- name: lot_players
SELECT coalesce(p.same_as, p.id) AS person_id, lp.attempts, lp.place
FROM lot_player AS lp JOIN player AS p ON p.id = lp.player_id
WHERE lp.lot_id = $lot_id
ORDER BY lp.place NULLS LAST, person_id;

-- name: entries
SELECT coalesce(p.same_as, p.id) AS person_id, e.note, e.dropped IS NULL AS live
FROM shortlist_entry AS e JOIN player AS p ON p.id = e.player_id
WHERE e.shortlist_id = $shortlist_id
ORDER BY live, e.at_time;

-- name: persons
SELECT id AS player_id, coalesce(same_as, id) AS person_id FROM player ORDER BY id;

-- name: games
SELECT id, video, board_type FROM game WHERE id IN (SELECT game_id FROM wanted) ORDER BY id;

-- name: techniques
SELECT id, name, uses_board, groups FROM technique ORDER BY place, id;

-- name: totals_of
SELECT t.line, t.player_id FROM season_total AS t WHERE t.source_id = $source_id;

-- name: told
SELECT p.name, p.position, p.height_cm, p.mass_kg, p.birth_year, p.hand
FROM player AS p WHERE p.id = $id;

-- Merges that count, by the bytes they came from.
-- name: known
SELECT sha256 FROM source WHERE kind = 'merge' AND taken_back IS NULL AND sha256 IS NOT NULL;

-- name: player_names
SELECT id, name FROM player ORDER BY id;

-- Rows of a kind with the one that stands for each.
-- name: ones
SELECT id, coalesce(same_as, id) FROM {table} ORDER BY id;

-- name: league_forms
SELECT normal_form, min(id) AS id FROM (
    SELECT id, normal_form FROM league UNION SELECT league_id, normal_form FROM league_alias
)
GROUP BY ALL
ORDER BY ALL;

-- name: team_forms
SELECT league_id, normal_form, min(id) AS id FROM (
    SELECT league_id, id, normal_form FROM team
    UNION
    SELECT league_id, team_id, normal_form FROM team_alias
)
GROUP BY ALL
ORDER BY ALL;

-- name: outcomes
SELECT stored, already_there, contradicting, attempts_stored FROM source WHERE id = $source_id;
