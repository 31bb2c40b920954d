-- The players a lot may draw from: 10 free throws or more in games of the league-season, no live tag.
-- Tags that were picked by the result count as none: they tell of misses only.
-- name: frame
WITH shot_by AS (
    SELECT
        coalesce(player.same_as, player.id) AS person_id, attempt.id AS attempt_id, attempt.shot
    FROM attempt
    JOIN game ON game.id = attempt.game_id
    JOIN league ON league.id = game.league_id
    JOIN player ON player.id = attempt.player_id
    WHERE NOT attempt.removed AND game.stage <> 'practice'
        AND coalesce(league.same_as, league.id) = $league_id AND game.season_id = $season_id
)
SELECT person_id, CAST(count(*) FILTER (WHERE shot = 'free_throw') AS INTEGER) AS attempts
FROM shot_by
WHERE person_id NOT IN (
    SELECT person_id FROM shot_by JOIN tag ON tag.attempt_id = shot_by.attempt_id
    WHERE NOT tag.removed AND tag.picked_for IS DISTINCT FROM 'result'
)
GROUP BY person_id
HAVING attempts >= $fewest
ORDER BY person_id;

-- name: add_lot
INSERT INTO lot (id, name, league_id, season_id, seed, who, at_time)
VALUES ($id, $name, $league_id, $season_id, $seed, $who, $at_time);

-- name: add_lot_players
INSERT INTO lot_player (lot_id, player_id, attempts, place)
SELECT $lot_id, unnest($players::INTEGER[]), unnest($attempts::INTEGER[]), unnest($places::INTEGER[])

-- name: add_shortlist
INSERT INTO shortlist (id, name, at_time) VALUES ($id, $name, $at_time);

-- name: add_entry
INSERT INTO shortlist_entry (shortlist_id, player_id, note, source_id, at_time, dropped)
VALUES ($shortlist_id, $player_id, $note, $source_id, $at_time, NULL);

-- name: note_entry
UPDATE shortlist_entry SET note = $note
WHERE shortlist_id = $shortlist_id AND player_id = $player_id AND dropped IS NULL;

-- name: drop_entry
UPDATE shortlist_entry SET dropped = $at_time
WHERE shortlist_id = $shortlist_id AND player_id = $player_id AND dropped IS NULL;

-- name: people_of_entries
SELECT
    entry.shortlist_id, entry.player_id, entry.source_id, entry.at_time, entry.note,
    coalesce(player.same_as, player.id) AS person_id
FROM shortlist_entry AS entry JOIN player ON player.id = entry.player_id
WHERE entry.shortlist_id = $shortlist_id AND entry.dropped IS NULL
ORDER BY ALL;

-- name: add_rumour
INSERT INTO rumour (id, text, season_id, league_id, player_id, seen, place, who, at_time)
VALUES ($id, $text, $season_id, $league_id, $player_id, $seen, $place, $who, $at_time);

-- name: add_technique
INSERT INTO technique (id, name, uses_board, groups, rule_note, place)
VALUES ($id, $name, $uses_board, $groups, $rule_note, $place);

-- name: players_of_shortlist
SELECT coalesce(one.name, own.name) AS player, league.name AS league, entry.note
FROM shortlist_entry AS entry
JOIN player AS own ON own.id = entry.player_id
LEFT JOIN player AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
WHERE entry.shortlist_id = $id AND entry.dropped IS NULL
ORDER BY entry.at_time, player, league.name;

-- name: players_of_lot
SELECT coalesce(one.name, own.name) AS player, league.name AS league, NULL AS note
FROM lot_player AS drawn
JOIN player AS own ON own.id = drawn.player_id
LEFT JOIN player AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
WHERE drawn.lot_id = $id AND drawn.place IS NOT NULL
ORDER BY drawn.place;

-- name: rules
SELECT name, rule_note FROM technique WHERE rule_note IS NOT NULL ORDER BY place, id;
