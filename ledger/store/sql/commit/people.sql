-- Players and shortlists.

-- Everybody under every spelling, with league and the teams he had, for telling people apart.
-- name: everybody
WITH spelled AS (
    SELECT id AS player_id, normal_form FROM player
    UNION
    SELECT player_id, normal_form FROM player_alias
),
had AS (
    SELECT player_id, team_id FROM attempt WHERE NOT removed
    UNION
    SELECT player_id, team_id FROM season_total WHERE NOT removed AND team_id IS NOT NULL
    UNION
    SELECT player_id, team_id FROM roster
),
teams AS (
    SELECT coalesce(p.same_as, p.id) AS person_id, string_agg(DISTINCT t.name, chr(31) ORDER BY t.name) AS teams
    FROM had
    JOIN player AS p ON p.id = had.player_id
    JOIN team AS h ON h.id = had.team_id
    JOIN team AS t ON coalesce(t.same_as, t.id) = coalesce(h.same_as, h.id)
    GROUP BY ALL
)
SELECT DISTINCT
    coalesce(p.same_as, p.id) AS person_id, one.name, s.normal_form, l.name AS league, teams.teams
FROM spelled AS s
JOIN player AS p ON p.id = s.player_id
JOIN player AS one ON one.id = coalesce(p.same_as, p.id)
JOIN league AS own ON own.id = p.league_id
JOIN league AS l ON coalesce(l.same_as, l.id) = coalesce(own.same_as, own.id)
LEFT JOIN teams ON teams.person_id = coalesce(p.same_as, p.id)
ORDER BY ALL;

-- name: leagues_of
SELECT p.id AS player_id, coalesce(l.same_as, l.id) AS league_id
FROM player AS p JOIN league AS l ON l.id = p.league_id
WHERE p.id IN (SELECT player_id FROM wanted);

-- name: tell
INSERT INTO journal (
    id, at_time, who, action, table_name, row_id, field, old_value, new_value, why, source_id
)
SELECT
    (SELECT coalesce(max(id), 0) FROM journal) + row_number() OVER (ORDER BY line),
    $at_time, $who, 'told', 'player', player_id, CAST(line AS VARCHAR), NULL, told, NULL, $source_id
FROM incoming;

-- name: told
SELECT j.source_id, j.row_id AS player_id, CAST(j.field AS INTEGER) AS line, j.new_value AS told
FROM journal AS j
LEFT JOIN source AS s ON s.id = j.source_id
WHERE j.action = 'told' AND j.table_name = 'player'
    AND j.row_id IN (SELECT player_id FROM wanted)
    AND (j.source_id = $incoming OR (s.id IS NOT NULL AND s.taken_back IS NULL))
ORDER BY j.source_id, j.id;

-- name: corrected
SELECT j.row_id AS player_id, j.field, j.new_value
FROM journal AS j
JOIN source AS s ON s.id = j.source_id
WHERE j.action = 'correct' AND j.table_name = 'player' AND s.taken_back IS NULL
    AND j.row_id IN (SELECT player_id FROM wanted)
ORDER BY j.source_id, j.id;

-- name: told_of
SELECT DISTINCT row_id FROM journal WHERE action = 'told' AND source_id = $source_id ORDER BY 1;

-- name: set_fields
UPDATE player SET
    position = i.position, height_cm = i.height_cm, mass_kg = i.mass_kg, birth_year = i.birth_year,
    hand = i.hand
FROM incoming AS i
WHERE player.id = i.id;

-- name: clear_rosters
DELETE FROM roster
WHERE player_id IN (SELECT player_id FROM wanted)
    AND source_id IN (SELECT DISTINCT source_id FROM journal WHERE action = 'told');

-- name: add_rosters
INSERT INTO roster (player_id, team_id, season_id, number, from_date, to_date, source_id)
SELECT player_id, team_id, season_id, number, NULL, NULL, source_id FROM incoming;

-- A number that was taken back is not given again.
-- name: next_shortlist
SELECT greatest(
    (SELECT coalesce(max(id), 0) FROM shortlist),
    (SELECT coalesce(max(row_id), 0) FROM journal WHERE table_name = 'shortlist')
) + 1;

-- name: add_shortlist
INSERT INTO shortlist (id, name, at_time) VALUES ($id, $name, $at_time);

-- name: entry
SELECT note FROM shortlist_entry
WHERE shortlist_id = $shortlist_id AND dropped IS NULL AND player_id IN (
    SELECT p.id FROM player AS p
    JOIN player AS q ON q.id = $player_id
    WHERE coalesce(p.same_as, p.id) = coalesce(q.same_as, q.id)
);

-- name: add_entry
INSERT INTO shortlist_entry (shortlist_id, player_id, note, source_id, at_time, dropped)
VALUES ($shortlist_id, $player_id, $note, $source_id, $at_time, NULL);

-- name: note_entry
UPDATE shortlist_entry SET note = $note
WHERE shortlist_id = $shortlist_id AND player_id = $player_id AND dropped IS NULL;

-- name: drop_entries
UPDATE shortlist_entry SET dropped = $at_time WHERE source_id = $source_id AND dropped IS NULL;

-- An entry is back unless the player was put on the list again meanwhile.
-- name: back_entries
UPDATE shortlist_entry SET dropped = NULL
WHERE source_id = $source_id AND dropped = $taken_back AND NOT EXISTS (
    SELECT 1 FROM shortlist_entry AS other
    WHERE other.shortlist_id = shortlist_entry.shortlist_id
        AND other.player_id = shortlist_entry.player_id AND other.dropped IS NULL
);

-- name: ever
SELECT row_id AS player_id, action, field, old_value, new_value FROM journal
WHERE table_name = 'player' AND action IN ('told', 'correct')
    AND row_id IN (SELECT player_id FROM wanted)
ORDER BY id;

-- name: fields
SELECT id, position, height_cm, mass_kg, birth_year, hand FROM player
WHERE id IN (SELECT player_id FROM wanted);
