-- Everything of one person in a cohort, attempt by attempt, in order. How a miss went is what the tag
-- that settles a dispute says, else what more than half of the tags with a word for it say.
-- name: attempts
WITH chosen AS (
    SELECT a.* FROM live_attempt a WHERE a.person_id = $person /* attempts */
),
word AS (
    UNPIVOT (
        SELECT t.attempt_id, t.adjudicated, t.tagged_at, t.miss_depth, t.miss_side
        FROM tag t SEMI JOIN chosen ON chosen.id = t.attempt_id
        WHERE NOT t.removed
    )
    ON miss_depth, miss_side INTO NAME field VALUE word
),
vote AS (
    SELECT
        attempt_id, field, word, count(*) AS votes, bool_or(adjudicated) AS ruled,
        max(CASE WHEN adjudicated THEN epoch_us(tagged_at) ELSE 0 END) AS ruled_at
    FROM word
    GROUP BY ALL
),
most AS (
    SELECT attempt_id, field, arg_max(word, (ruled, ruled_at, votes)) AS word
    FROM vote
    GROUP BY ALL
    HAVING bool_or(ruled) OR 2 * max(votes) > sum(votes)
),
told AS (
    SELECT
        attempt_id, max(word) FILTER (field = 'miss_depth') AS miss_depth,
        max(word) FILTER (field = 'miss_side') AS miss_side
    FROM most
    GROUP BY attempt_id
)
SELECT
    a.id AS attempt, a.game_id, a.date,
    coalesce(game.label, game.file_id, home.name || ' - ' || away.name) AS game,
    l.one_id AS league_id, l.name AS league, a.season_id, season.label AS season, team.name AS team,
    a.order_in_game, a.made, technique.name AS technique, g.technique_id,
    g.technique_id IS NOT NULL AND g.picked_for IS DISTINCT FROM 'result' AS counts,
    told.miss_depth, told.miss_side
FROM chosen a
JOIN one_league l ON l.id = a.league_id
JOIN season ON season.id = a.season_id
JOIN one_team team ON team.id = a.team_id
JOIN game ON game.id = a.game_id
LEFT JOIN one_team home ON home.id = game.home_team_id
LEFT JOIN one_team away ON away.id = game.away_team_id
LEFT JOIN agreed g ON g.attempt_id = a.id
LEFT JOIN technique ON technique.id = g.technique_id
LEFT JOIN told ON told.attempt_id = a.id
ORDER BY a.date, a.game_id, a.order_in_game NULLS LAST, a.id

-- What is known of a person: the first thing said under any of his names, his own first.
-- name: facts
SELECT
    any_value(person.name) AS player,
    string_agg(DISTINCT l.name, ', ' ORDER BY l.name) AS leagues,
    arg_min(p.position, (p.same_as IS NOT NULL, p.id)) AS position,
    arg_min(p.height_cm, (p.same_as IS NOT NULL, p.id)) AS height_cm,
    arg_min(p.mass_kg, (p.same_as IS NOT NULL, p.id)) AS mass_kg,
    arg_min(p.birth_year, (p.same_as IS NOT NULL, p.id)) AS birth_year,
    arg_min(p.hand, (p.same_as IS NOT NULL, p.id)) AS hand
FROM player p
JOIN person ON person.person_id = coalesce(p.same_as, p.id)
JOIN one_league l ON l.id = p.league_id
WHERE coalesce(p.same_as, p.id) = $person

-- Persons of some rows, with league and teams to tell them apart.
-- name: persons
SELECT
    coalesce(p.same_as, p.id) AS person_id, any_value(person.name) AS player,
    string_agg(DISTINCT l.name, ', ' ORDER BY l.name) AS leagues,
    coalesce(string_agg(DISTINCT t.name, ', ' ORDER BY t.name), 'no attempts') AS teams,
    coalesce(list(DISTINCT a.team_id) FILTER (a.team_id IS NOT NULL), []) AS team_ids
FROM player p
JOIN person ON person.person_id = coalesce(p.same_as, p.id)
JOIN one_league l ON l.id = p.league_id
LEFT JOIN attempt a ON a.player_id = p.id AND NOT a.removed
LEFT JOIN one_team t ON t.id = a.team_id
WHERE p.id IN (SELECT unnest($player::INTEGER[]))
GROUP BY 1
ORDER BY 2, 1
