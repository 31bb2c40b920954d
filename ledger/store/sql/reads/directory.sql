-- Names a person may type, each with what it stands for.

-- name: leagues
SELECT l.id, one.one_id, one.name, w.written
FROM league l
JOIN one_league one ON one.id = l.id
JOIN (
    SELECT id, name AS written FROM league
    UNION
    SELECT league_id, as_written FROM league_alias
) w ON w.id = l.id
ORDER BY one.name, l.id, w.written

-- name: seasons
SELECT id, label, normal_form, start_year FROM season ORDER BY start_year, label, id

-- name: teams
SELECT t.id, one.one_id, one.name, t.league_id, w.written
FROM team t
JOIN one_team one ON one.id = t.id
JOIN (
    SELECT id, name AS written FROM team
    UNION
    SELECT team_id, as_written FROM team_alias
) w ON w.id = t.id
ORDER BY one.name, t.id, w.written

-- name: players
SELECT p.id, person.person_id AS one_id, person.name, p.league_id, w.written
FROM player p
JOIN person ON person.person_id = coalesce(p.same_as, p.id)
JOIN (
    SELECT id, name AS written FROM player
    UNION
    SELECT player_id, as_written FROM player_alias
) w ON w.id = p.id
ORDER BY person.name, p.id, w.written

-- name: positions
SELECT DISTINCT position AS written FROM person WHERE position IS NOT NULL ORDER BY written

-- name: spots
SELECT DISTINCT spot AS written FROM attempt WHERE spot IS NOT NULL ORDER BY written

-- name: lists
SELECT 'list' AS kind, id, name AS written FROM shortlist
UNION ALL
SELECT 'lot', id, name FROM lot
ORDER BY kind, written, id

-- name: techniques
SELECT id, name, uses_board, groups, place FROM technique ORDER BY place, id

-- name: sources
SELECT id FROM source ORDER BY id

-- name: trials
SELECT name AS written FROM trial ORDER BY id

-- name: taggers
SELECT DISTINCT tagger AS written FROM tag WHERE NOT removed ORDER BY written
