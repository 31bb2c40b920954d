-- Corrections of single records.

-- name: touched
SELECT DISTINCT table_name, row_id, field FROM journal
WHERE action = 'correct' AND source_id = $source_id AND table_name IN ('player', 'game', 'team')
ORDER BY ALL;

-- name: of_field
SELECT j.old_value, j.new_value, coalesce(s.taken_back IS NULL AND s.id IS NOT NULL, false) AS is_live
FROM journal AS j
LEFT JOIN source AS s ON s.id = j.source_id
WHERE j.action = 'correct' AND j.table_name = $table_name AND j.row_id = $row_id AND j.field = $field
ORDER BY j.source_id, j.id;

-- name: put
UPDATE {table} SET {column} = $value WHERE id = $id;

-- name: league_of_game
SELECT coalesce(l.same_as, l.id) FROM game AS g JOIN league AS l ON l.id = g.league_id WHERE g.id = $id;

-- name: player_name
SELECT name FROM player WHERE id = $id;

-- name: team_name
SELECT name FROM team WHERE id = $id;

-- name: player
SELECT id, league_id, name, position, height_cm, mass_kg, birth_year, hand FROM player WHERE id = $id;

-- name: team
SELECT id, league_id, name FROM team WHERE id = $id;

-- name: game
SELECT
    g.id, g.league_id, g.date, g.stage, g.label, h.name AS home, a.name AS away, g.video, g.board_type
FROM game AS g
LEFT JOIN team AS h ON h.id = g.home_team_id
LEFT JOIN team AS a ON a.id = g.away_team_id
WHERE g.id = $id;

-- name: other_team
SELECT id FROM team WHERE league_id = $league_id AND normal_form = $form AND id <> $id;

-- name: other_game
SELECT o.id
FROM game AS g
JOIN game AS o
    ON o.league_id = g.league_id AND o.season_id = g.season_id AND o.id <> g.id
WHERE g.id = $id AND o.date = $date AND o.label IS NOT DISTINCT FROM $label;

-- Days and labels that games had before they were corrected: files that say so still mean them.
-- name: former_keys
SELECT j.row_id AS id, j.field, first(j.old_value ORDER BY j.id) AS old_value
FROM journal AS j
JOIN source AS s ON s.id = j.source_id
WHERE j.action = 'correct' AND j.table_name = 'game' AND j.field IN ('date', 'label')
    AND s.taken_back IS NULL
GROUP BY ALL
ORDER BY ALL;

-- Every way a record is called, and where it stands, to tell it from others of its name.
-- name: players_called
SELECT p.id, p.name AS called, concat_ws(', ', p.name, l.name) AS place
FROM player AS p JOIN league AS l ON l.id = p.league_id
UNION
SELECT p.id, s.as_written, concat_ws(', ', p.name, l.name)
FROM player_alias AS s JOIN player AS p ON p.id = s.player_id JOIN league AS l ON l.id = p.league_id
ORDER BY ALL;

-- name: teams_called
SELECT t.id, t.name AS called, concat_ws(', ', t.name, l.name) AS place
FROM team AS t JOIN league AS l ON l.id = t.league_id
UNION
SELECT t.id, s.as_written, concat_ws(', ', t.name, l.name)
FROM team_alias AS s JOIN team AS t ON t.id = s.team_id JOIN league AS l ON l.id = t.league_id
ORDER BY ALL;

-- name: games_called
WITH known AS (
    SELECT
        g.id, g.label, h.name || ' - ' || a.name AS teams,
        concat_ws(', ', l.name, s.label, CAST(g.date AS VARCHAR)) AS day
    FROM game AS g
    JOIN league AS l ON l.id = g.league_id
    JOIN season AS s ON s.id = g.season_id
    LEFT JOIN team AS h ON h.id = g.home_team_id
    LEFT JOIN team AS a ON a.id = g.away_team_id
)
SELECT id, called, concat_ws(', ', day, label, CASE WHEN teams <> coalesce(label, '') THEN teams END) AS place
FROM (SELECT *, label AS called FROM known UNION SELECT *, teams FROM known UNION SELECT *, NULL FROM known)
ORDER BY ALL;

-- name: attempts_called
SELECT
    a.id, a.file_id AS called,
    concat_ws(', ', p.name, l.name, CAST(g.date AS VARCHAR), g.label) AS place
FROM attempt AS a
JOIN player AS p ON p.id = a.player_id
JOIN game AS g ON g.id = a.game_id
JOIN league AS l ON l.id = g.league_id
WHERE NOT a.removed AND (a.id = $number OR a.file_id = $text)
ORDER BY ALL;
