-- What several people said of the same attempts, each on his own: a tag that settles a dispute is
-- nobody's own opinion, and "cannot tell" is none.

-- name: opinions
WITH own AS (
    SELECT t.*
    FROM tag t
    SEMI JOIN (SELECT attempt_id FROM agreed WHERE tags > 1) several ON several.attempt_id = t.attempt_id
    WHERE NOT t.removed AND NOT t.adjudicated
)
SELECT
    own.attempt_id AS attempt, a.game_id, own.tagger, technique.name AS technique,
    own.first_contact, own.contact_height, own.contact_side,
    nullif(own.down_at_board, 'cannot_tell') AS down_at_board,
    nullif(own.backspin, 'cannot_tell') AS backspin,
    own.miss_depth, own.miss_side, own.rebound_zone,
    coalesce(own.picked_for = 'result', false) AS picked
FROM own
JOIN live_attempt a ON a.id = own.attempt_id
LEFT JOIN technique ON technique.id = own.technique_id AND NOT own.unclear
WHERE TRUE /* attempts */
ORDER BY own.attempt_id, own.tagger, own.id

-- Which attempts those are, by the names a person knows them by; only the few that are listed.
-- name: named
SELECT
    a.id AS attempt, person.name AS player, a.date, l.name AS league, season.label AS season,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name) AS game,
    coalesce(g.disputed, false) AS disputed
FROM live_attempt a
JOIN game ON game.id = a.game_id
JOIN one_league l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
JOIN person ON person.person_id = a.person_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
LEFT JOIN agreed g ON g.attempt_id = a.id
WHERE a.id IN (SELECT unnest($attempts::BIGINT[]))
ORDER BY l.name, a.date, a.game_id, a.order_in_game NULLS LAST, a.id

-- Attempts somebody ruled on, and what of: nothing there is open any more.
-- name: ruled
SELECT
    attempt_id AS attempt, bool_or(miss_depth IS NOT NULL) AS miss_depth,
    bool_or(miss_side IS NOT NULL) AS miss_side
FROM tag
WHERE NOT removed AND adjudicated AND attempt_id IN (SELECT unnest($attempts::BIGINT[]))
GROUP BY attempt_id
ORDER BY attempt_id

-- How many attempts of a scope were watched, and by how many people; not of those watched because of
-- their result, whose technique enters no agreement.
-- name: watched
SELECT
    count(DISTINCT a.id) AS attempts,
    count(DISTINCT t.tagger) AS taggers
FROM live_attempt a
JOIN tag t ON t.attempt_id = a.id
WHERE NOT t.removed AND NOT t.adjudicated AND NOT t.unclear AND t.technique_id IS NOT NULL
    AND t.picked_for IS DISTINCT FROM 'result' /* attempts */
