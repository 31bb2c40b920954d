-- What stands for what, and what it rests on: the statements of people that several names are one.

-- name: stands_for
SELECT 'league' AS what, id, same_as FROM league WHERE same_as IS NOT NULL
UNION ALL
SELECT 'team', id, same_as FROM team WHERE same_as IS NOT NULL
ORDER BY ALL;

-- Games of one league, season and day under one label, or without a label of the same two teams.
-- name: games_of_one
WITH keyed AS (
    SELECT
        g.id,
        min(g.id) OVER (
            PARTITION BY coalesce(l.same_as, l.id), g.season_id, g.date, g.label,
                CASE WHEN g.label IS NULL THEN coalesce(h.same_as, h.id) END,
                CASE WHEN g.label IS NULL THEN coalesce(w.same_as, w.id) END
        ) AS one_id
    FROM game AS g
    JOIN league AS l ON l.id = g.league_id
    LEFT JOIN team AS h ON h.id = g.home_team_id
    LEFT JOIN team AS w ON w.id = g.away_team_id
)
SELECT id, one_id FROM keyed WHERE id <> one_id ORDER BY id;

-- name: moved
SELECT j.row_id AS own, last(CAST(j.new_value AS BIGINT) ORDER BY j.id) AS one
FROM journal AS j
JOIN source AS s ON s.id = j.source_id AND s.taken_back IS NULL
WHERE j.action = 'moved' AND j.table_name = 'attempt'
GROUP BY ALL
ORDER BY ALL;

-- name: add_ids
INSERT INTO player_alias (player_id, league_id, file_id, as_written, normal_form, source_id)
SELECT player_id, league_id, file_id, as_written, normal_form, $source_id FROM incoming;

-- name: add_numbers
INSERT INTO roster (player_id, team_id, season_id, number, from_date, to_date, source_id)
SELECT player_id, team_id, season_id, number, NULL, NULL, $source_id FROM incoming;

-- What people said of names, in the order they said it: `same` and `apart`, first row and others.
-- name: statements
SELECT j.source_id, j.action, CAST(j.new_value AS INTEGER) AS first_id, j.row_id AS other_id
FROM journal AS j
JOIN source AS s ON s.id = j.source_id AND s.taken_back IS NULL
WHERE j.action IN ('same', 'apart') AND j.table_name = $kind
ORDER BY j.source_id, j.id;

-- Every row that was ever in a statement, also one that was taken back.
-- name: subjects
SELECT CAST(new_value AS INTEGER) AS id FROM journal
WHERE action IN ('same', 'apart') AND table_name = $kind
UNION
SELECT row_id FROM journal WHERE action IN ('same', 'apart') AND table_name = $kind
ORDER BY 1;

-- Rows with the league they came in and the one that stands for it.
-- name: rows_player
SELECT p.id, p.same_as, p.league_id AS own_league, coalesce(l.same_as, l.id) AS league
FROM player AS p JOIN league AS l ON l.id = p.league_id
ORDER BY p.id;

-- name: rows_team
SELECT t.id, t.same_as, t.league_id AS own_league, coalesce(l.same_as, l.id) AS league
FROM team AS t JOIN league AS l ON l.id = t.league_id
ORDER BY t.id;

-- name: rows_league
SELECT id, same_as, id AS own_league, id AS league FROM league ORDER BY id;

-- name: forms_player
SELECT id, normal_form FROM player UNION SELECT player_id, normal_form FROM player_alias ORDER BY ALL;

-- name: forms_team
SELECT id, normal_form FROM team UNION SELECT team_id, normal_form FROM team_alias ORDER BY ALL;

-- name: forms_league
SELECT id, normal_form FROM league UNION SELECT league_id, normal_form FROM league_alias ORDER BY ALL;

-- name: put_same_as
UPDATE {table} SET same_as = i.same_as FROM incoming AS i WHERE {table}.id = i.id;

-- Games with attempts of some players.
-- name: games_of_player
SELECT DISTINCT game_id FROM attempt WHERE player_id IN (SELECT id FROM wanted);

-- name: games_of_team
SELECT DISTINCT game_id FROM attempt
WHERE team_id IN (SELECT id FROM wanted) OR opponent_id IN (SELECT id FROM wanted)
UNION
SELECT id FROM game
WHERE home_team_id IN (SELECT id FROM wanted) OR away_team_id IN (SELECT id FROM wanted);

-- name: games_of_league
SELECT id AS game_id FROM game WHERE league_id IN (SELECT id FROM wanted);

-- Of games (`game_id`, and `first` of those that are one) the ones that several live sources tell of.
-- name: told_twice
WITH told AS (
    SELECT w.first
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    JOIN wanted AS w ON w.game_id = a.game_id
    JOIN source AS src ON src.id = s.source_id AND src.taken_back IS NULL
    GROUP BY w.first
    HAVING count(DISTINCT s.source_id) > 1
)
SELECT w.game_id FROM wanted AS w JOIN told ON told.first = w.first ORDER BY 1;

-- name: sighted
SELECT s.rowid AS row, s.attempt_id FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
JOIN source AS src ON src.id = s.source_id AND src.taken_back IS NULL
WHERE a.game_id IN (SELECT game_id FROM wanted) AND src.kind <> 'tags' AND s.outcome <> 'corrected'
ORDER BY 1;

-- Where records of attempts that are put aside went.
-- name: went
SELECT b.attempt_id AS own, min(s.attempt_id) AS one
FROM before AS b
JOIN sighting AS s ON s.rowid = b.row
JOIN attempt AS a ON a.id = b.attempt_id
WHERE s.attempt_id <> b.attempt_id AND a.removed
GROUP BY ALL
ORDER BY ALL;

-- name: tell_moved
INSERT INTO journal (
    id, at_time, who, action, table_name, row_id, field, old_value, new_value, why, source_id
)
SELECT
    (SELECT coalesce(max(id), 0) FROM journal) + row_number() OVER (ORDER BY own),
    $at_time, $who, 'moved', 'attempt', own, 'id', CAST(own AS VARCHAR), CAST(one AS VARCHAR), NULL,
    $source_id
FROM incoming;

-- Days of players by the team that stands for all.
-- name: days
SELECT
    a.player_id, coalesce(t.same_as, t.id) AS team_id, min(g.date) AS first_day, max(g.date) AS last_day
FROM attempt AS a
JOIN game AS g ON g.id = a.game_id
JOIN team AS t ON t.id = a.team_id
WHERE NOT a.removed AND a.player_id IN (SELECT id FROM wanted)
GROUP BY ALL
ORDER BY ALL;

-- Records of several spellings in one game that stand against each other.
-- name: against
SELECT count(*) AS found, count(DISTINCT a.game_id) AS games
FROM sighting AS s
JOIN attempt AS a ON a.id = s.attempt_id
JOIN source AS src ON src.id = s.source_id AND src.taken_back IS NULL
WHERE s.outcome = 'contradicting' AND a.game_id IN (SELECT game_id FROM wanted);

-- Games in which one source has attempts under several of some rows.
-- name: side_by_side
SELECT count(*) AS games, count(*) FILTER (teams > 1) AS against_each_other
FROM (
    SELECT a.game_id, a.source_id, count(DISTINCT w.piece) AS names, count(DISTINCT a.team_id) AS teams
    FROM attempt AS a
    JOIN wanted AS w ON w.id = a.player_id
    WHERE NOT a.removed
    GROUP BY a.game_id, a.source_id
    HAVING names > 1
);

-- name: totals_of_team
SELECT DISTINCT player_id FROM season_total WHERE team_id IN (SELECT id FROM wanted);

-- name: totals_of_league
SELECT DISTINCT player_id FROM season_total WHERE league_id IN (SELECT id FROM wanted);

-- Every way a row of a kind is called, with the league that stands for its own.
-- name: called_player
SELECT p.id, coalesce(p.same_as, p.id) AS one_id, s.called, p.name
FROM (
    SELECT id, name AS called FROM player UNION SELECT player_id, as_written FROM player_alias
) AS s
JOIN player AS p ON p.id = s.id
ORDER BY ALL;

-- name: called_team
SELECT t.id, coalesce(t.same_as, t.id) AS one_id, s.called, t.name
FROM (
    SELECT id, name AS called FROM team UNION SELECT team_id, as_written FROM team_alias
) AS s
JOIN team AS t ON t.id = s.id
ORDER BY ALL;

-- name: called_league
SELECT l.id, coalesce(l.same_as, l.id) AS one_id, s.called, l.name
FROM (
    SELECT id, name AS called FROM league UNION SELECT league_id, as_written FROM league_alias
) AS s
JOIN league AS l ON l.id = s.id
ORDER BY ALL;

-- Where and how often some rows played: a row each league, team and season.
-- name: facts_player
WITH had AS (
    SELECT a.player_id, g.league_id, a.team_id, g.season_id, count(*) AS attempts
    FROM attempt AS a JOIN game AS g ON g.id = a.game_id
    WHERE NOT a.removed AND a.player_id IN (SELECT id FROM wanted)
    GROUP BY ALL
    UNION ALL
    SELECT player_id, league_id, team_id, season_id, sum(attempts)
    FROM season_total
    WHERE NOT removed AND player_id IN (SELECT id FROM wanted)
    GROUP BY ALL
    UNION ALL
    SELECT r.player_id, p.league_id, r.team_id, r.season_id, 0
    FROM roster AS r
    JOIN player AS p ON p.id = r.player_id
    JOIN source AS src ON src.id = r.source_id AND src.taken_back IS NULL
    WHERE r.player_id IN (SELECT id FROM wanted)
)
SELECT p.id, coalesce(ll.name, l.name) AS league, coalesce(tt.name, t.name) AS team, s.label AS season,
    coalesce(h.attempts, 0) AS attempts
FROM player AS p
LEFT JOIN had AS h ON h.player_id = p.id
JOIN league AS l ON l.id = coalesce(h.league_id, p.league_id)
LEFT JOIN league AS ll ON ll.id = l.same_as
LEFT JOIN team AS t ON t.id = h.team_id
LEFT JOIN team AS tt ON tt.id = t.same_as
LEFT JOIN season AS s ON s.id = h.season_id
WHERE p.id IN (SELECT id FROM wanted)
ORDER BY p.id, league, season, team;

-- name: facts_team
SELECT t.id, coalesce(ll.name, l.name) AS league, NULL AS team, s.label AS season, count(a.id) AS attempts
FROM team AS t
JOIN league AS l ON l.id = t.league_id
LEFT JOIN league AS ll ON ll.id = l.same_as
LEFT JOIN attempt AS a ON a.team_id = t.id AND NOT a.removed
LEFT JOIN game AS g ON g.id = a.game_id
LEFT JOIN season AS s ON s.id = g.season_id
WHERE t.id IN (SELECT id FROM wanted)
GROUP BY ALL
ORDER BY t.id, season;

-- name: facts_league
SELECT l.id, l.name AS league, NULL AS team, s.label AS season, count(a.id) AS attempts
FROM league AS l
LEFT JOIN game AS g ON g.league_id = l.id
LEFT JOIN attempt AS a ON a.game_id = g.id AND NOT a.removed
LEFT JOIN season AS s ON s.id = g.season_id
WHERE l.id IN (SELECT id FROM wanted)
GROUP BY ALL
ORDER BY l.id, season;

-- The ids and numbers that live sources gave players.
-- name: ids
SELECT DISTINCT a.player_id AS id, coalesce(l.same_as, l.id) AS league, a.file_id
FROM player_alias AS a
JOIN league AS l ON l.id = a.league_id
JOIN source AS s ON s.id = a.source_id AND s.taken_back IS NULL
WHERE a.file_id IS NOT NULL
ORDER BY ALL;

-- name: numbers
SELECT DISTINCT r.player_id AS id, coalesce(t.same_as, t.id) AS team, r.number
FROM roster AS r
JOIN team AS t ON t.id = r.team_id
JOIN source AS s ON s.id = r.source_id AND s.taken_back IS NULL
WHERE r.number IS NOT NULL
ORDER BY ALL;

-- Teams of players by live attempts and totals.
-- name: teams_of
SELECT DISTINCT h.player_id AS id, coalesce(t.same_as, t.id) AS team
FROM (
    SELECT player_id, team_id FROM attempt
    WHERE NOT removed AND player_id IN (SELECT id FROM wanted)
    UNION
    SELECT player_id, team_id FROM season_total
    WHERE NOT removed AND team_id IS NOT NULL AND player_id IN (SELECT id FROM wanted)
) AS h
JOIN team AS t ON t.id = h.team_id
ORDER BY ALL;

-- Players that a live source still tells of.
-- name: live_players
SELECT DISTINCT player_id AS id FROM attempt WHERE NOT removed
UNION
SELECT player_id FROM season_total WHERE NOT removed
UNION
SELECT a.player_id FROM player_alias AS a
JOIN source AS s ON s.id = a.source_id AND s.taken_back IS NULL
ORDER BY 1;

-- Pairs whose two names stand in one game of one source: hardly one player.
-- name: met
WITH shot AS (
    SELECT DISTINCT a.source_id, a.game_id, w.piece
    FROM attempt AS a JOIN wanted AS w ON w.id = a.player_id
    WHERE NOT a.removed
)
SELECT DISTINCT p.a, p.b
FROM pair AS p
JOIN shot AS x ON x.piece = p.a
JOIN shot AS y ON y.piece = p.b AND y.source_id = x.source_id AND y.game_id = x.game_id
ORDER BY ALL;

-- Games of attempts that are one with another by now and that tags or corrections still name.
-- name: still_named
SELECT DISTINCT a.game_id
FROM sighting AS s
JOIN went AS w ON w.own = s.attempt_id
JOIN attempt AS a ON a.id = s.attempt_id
JOIN source AS src ON src.id = s.source_id AND src.taken_back IS NULL
ORDER BY 1;

-- Players with attempts, totals or a number in some teams.
-- name: players_of_team
SELECT DISTINCT p.id, p.name
FROM player AS p
JOIN (
    SELECT player_id, team_id FROM attempt
    UNION
    SELECT player_id, team_id FROM season_total
    UNION
    SELECT player_id, team_id FROM roster
) AS h ON h.player_id = p.id
WHERE h.team_id IN (SELECT id FROM wanted)
ORDER BY 1;

-- Ids that a source gave to a name while another name of the league has them by a live source.
-- name: shared_ids
WITH given AS (
    SELECT DISTINCT
        coalesce(p.same_as, p.id) AS person_id, p.name, a.file_id, coalesce(l.same_as, l.id) AS league_id,
        a.source_id
    FROM player_alias AS a
    JOIN player AS p ON p.id = a.player_id
    JOIN league AS l ON l.id = a.league_id
    LEFT JOIN source AS s ON s.id = a.source_id
    WHERE a.file_id IS NOT NULL AND s.taken_back IS NULL
)
SELECT n.name, n.file_id, min(o.name) AS other
FROM given AS n
JOIN given AS o ON o.file_id = n.file_id AND o.league_id = n.league_id AND o.person_id <> n.person_id
WHERE n.source_id = $source_id AND (o.source_id <> $source_id OR o.name < n.name)
GROUP BY ALL
ORDER BY ALL;
