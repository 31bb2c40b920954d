-- Names and what they stand for; a league or team declared the same as another stands for that one.

-- name: leagues
SELECT coalesce(same_as, id) AS id, normal_form, name AS as_written FROM league
UNION
SELECT coalesce(l.same_as, l.id), a.normal_form, a.as_written
FROM league_alias AS a
JOIN league AS l ON l.id = a.league_id
ORDER BY ALL;

-- Every team under every spelling in the league that stands for its own; the row that stands for
-- others comes first.
-- name: teams
WITH spelled AS (
    SELECT id AS team_id, normal_form, name AS as_written FROM team
    UNION
    SELECT team_id, normal_form, as_written FROM team_alias
)
SELECT coalesce(l.same_as, l.id) AS league_id, t.id, s.normal_form, s.as_written
FROM spelled AS s
JOIN team AS t ON t.id = s.team_id
JOIN league AS l ON l.id = t.league_id
ORDER BY 1, t.same_as IS NOT NULL, t.id, s.normal_form, s.as_written;

-- name: teams_of_one
SELECT id AS team_id, coalesce(same_as, id) AS team_key FROM team ORDER BY id;

-- name: seasons
SELECT id, normal_form FROM season ORDER BY id;

-- name: next_league
SELECT coalesce(max(id), 0) + 1 FROM league;

-- name: next_team
SELECT coalesce(max(id), 0) + 1 FROM team;

-- name: next_season
SELECT coalesce(max(id), 0) + 1 FROM season;

-- name: next_game
SELECT coalesce(max(id), 0) + 1 FROM game;

-- name: next_player
SELECT coalesce(max(id), 0) + 1 FROM player;

-- name: add_league
INSERT INTO league (id, name, normal_form, same_as) SELECT id, name, normal_form, NULL FROM incoming;

-- name: add_season
INSERT INTO season (id, label, normal_form, start_year) SELECT id, label, normal_form, start_year FROM incoming;

-- name: add_team
INSERT INTO team (id, league_id, name, normal_form, same_as)
SELECT id, league_id, name, normal_form, NULL FROM incoming;

-- name: add_player
INSERT INTO player (id, league_id, name, normal_form, same_as)
SELECT id, league_id, name, normal_form, same_as FROM incoming;

-- name: add_league_alias
INSERT INTO league_alias (league_id, file_id, as_written, normal_form, source_id)
SELECT league_id, NULL, as_written, normal_form, $source_id FROM incoming;

-- name: add_team_alias
INSERT INTO team_alias (team_id, league_id, file_id, as_written, normal_form, source_id)
SELECT team_id, league_id, NULL, as_written, normal_form, $source_id FROM incoming;

-- name: add_player_alias
INSERT INTO player_alias (player_id, league_id, file_id, as_written, normal_form, source_id)
SELECT player_id, league_id, NULL, as_written, normal_form, $source_id FROM incoming;

-- name: games
SELECT
    g.id, coalesce(l.same_as, l.id) AS league_id, g.season_id, g.date, g.label, g.home_team_id,
    g.away_team_id, g.stage, g.video
FROM game AS g
JOIN league AS l ON l.id = g.league_id
WHERE coalesce(l.same_as, l.id) IN (SELECT league_id FROM wanted)
ORDER BY g.id;

-- name: add_game
INSERT INTO game (id, league_id, season_id, date, stage, home_team_id, away_team_id, label, source_id)
SELECT id, league_id, season_id, date, stage, home_team_id, away_team_id, label, $source_id
FROM incoming;

-- name: fill_game
UPDATE game SET home_team_id = f.home_team_id, away_team_id = f.away_team_id, stage = f.stage
FROM incoming AS f
WHERE game.id = f.id;

-- name: team_names
SELECT id, name FROM team ORDER BY id;

-- Every player of some leagues under every spelling; `person_id` joins spellings of one person.
-- name: players
SELECT
    coalesce(l.same_as, l.id) AS league_id, p.id, coalesce(p.same_as, p.id) AS person_id,
    s.normal_form, s.as_written, s.as_written = p.name AS shown
FROM player AS p
JOIN league AS l ON l.id = p.league_id
JOIN (
    SELECT id AS player_id, normal_form, name AS as_written FROM player
    UNION
    SELECT player_id, normal_form, as_written FROM player_alias
) AS s ON s.player_id = p.id
WHERE coalesce(l.same_as, l.id) IN (SELECT league_id FROM wanted)
ORDER BY ALL;

-- Players of whom a person said that they are one with another.
-- name: declared
SELECT DISTINCT j.row_id AS player_id
FROM journal AS j
JOIN source AS s ON s.id = j.source_id AND s.taken_back IS NULL
WHERE j.action = 'same' AND j.table_name = 'player'
ORDER BY 1;

-- Where and when some players played, by live attempts; removed ones count only where nothing else
-- says what team a name belonged to.
-- name: stints
SELECT
    a.player_id, coalesce(t.same_as, t.id) AS team_id,
    min(g.date) FILTER (WHERE NOT a.removed) AS first_day,
    max(g.date) FILTER (WHERE NOT a.removed) AS last_day
FROM attempt AS a
JOIN game AS g ON g.id = a.game_id
JOIN team AS t ON t.id = a.team_id
WHERE a.player_id IN (SELECT player_id FROM wanted)
GROUP BY ALL
UNION ALL
SELECT s.player_id, coalesce(t.same_as, t.id), NULL, NULL
FROM season_total AS s
JOIN team AS t ON t.id = s.team_id
WHERE s.player_id IN (SELECT player_id FROM wanted)
UNION ALL
SELECT r.player_id, coalesce(t.same_as, t.id), NULL, NULL
FROM roster AS r
JOIN team AS t ON t.id = r.team_id
WHERE r.player_id IN (SELECT player_id FROM wanted);

-- name: names_of_league
SELECT DISTINCT coalesce(l.same_as, l.id) AS league_id, p.name, coalesce(p.same_as, p.id) AS person_id
FROM player AS p JOIN league AS l ON l.id = p.league_id
WHERE coalesce(l.same_as, l.id) IN (SELECT league_id FROM wanted)
ORDER BY ALL;
