-- Every way a thing is called, with the thing it is: `same_as` leads to the one that stands for all.

-- name: leagues
SELECT coalesce(one.id, own.id) AS id, coalesce(one.name, own.name) AS name, own.name AS called, '' AS place
FROM league AS own LEFT JOIN league AS one ON one.id = own.same_as
UNION
SELECT coalesce(one.id, own.id), coalesce(one.name, own.name), alias.as_written, ''
FROM league_alias AS alias
JOIN league AS own ON own.id = alias.league_id
LEFT JOIN league AS one ON one.id = own.same_as
ORDER BY ALL;

-- name: seasons
SELECT id, label AS name, label AS called, '' AS place, start_year FROM season ORDER BY ALL;

-- name: teams
SELECT
    coalesce(one.id, own.id) AS id, coalesce(one.name, own.name) AS name, own.name AS called,
    league.name AS place, coalesce(league.same_as, league.id) AS league_id
FROM team AS own
LEFT JOIN team AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
UNION
SELECT
    coalesce(one.id, own.id), coalesce(one.name, own.name), alias.as_written,
    league.name, coalesce(league.same_as, league.id)
FROM team_alias AS alias
JOIN team AS own ON own.id = alias.team_id
LEFT JOIN team AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
ORDER BY ALL;

-- name: players
SELECT
    coalesce(one.id, own.id) AS id, coalesce(one.name, own.name) AS name, own.name AS called,
    league.name AS place, coalesce(league.same_as, league.id) AS league_id
FROM player AS own
LEFT JOIN player AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
UNION
SELECT
    coalesce(one.id, own.id), coalesce(one.name, own.name), alias.as_written,
    league.name, coalesce(league.same_as, league.id)
FROM player_alias AS alias
JOIN player AS own ON own.id = alias.player_id
LEFT JOIN player AS one ON one.id = own.same_as
JOIN league ON league.id = own.league_id
ORDER BY ALL;

-- name: techniques
SELECT id, name, name AS called, '' AS place FROM technique ORDER BY place, id;

-- name: lists
SELECT id, name, name AS called, 'shortlist' AS place FROM shortlist
UNION ALL
SELECT id, name, name, 'lot' FROM lot
ORDER BY ALL;

-- Where players of one name played, to tell them apart.
-- name: teams_of_players
SELECT coalesce(player.same_as, player.id) AS id, string_agg(DISTINCT team.name, ', ' ORDER BY team.name) AS teams
FROM attempt
JOIN player ON player.id = attempt.player_id
JOIN team ON team.id = attempt.team_id
WHERE NOT attempt.removed AND coalesce(player.same_as, player.id) IN (SELECT unnest($ids))
GROUP BY ALL;
