-- Totals and games that two names of one team may have parted, so that what they tell counts twice.

-- name: any_totals
SELECT count(*) FROM season_total WHERE NOT removed AND team_id IS NOT NULL;

-- League-seasons that a source which comes in tells of, by its totals or its games, and that have
-- totals at all: without any nothing can count twice there.
-- name: touched
WITH totals AS (
    SELECT l.one_id AS league_id, t.season_id, t.source_id
    FROM season_total AS t JOIN one_league AS l ON l.id = t.league_id
    WHERE NOT t.removed AND t.team_id IS NOT NULL
)
SELECT league_id, season_id FROM totals WHERE source_id = $source_id
UNION
SELECT l.one_id, g.season_id
FROM game AS g JOIN one_league AS l ON l.id = g.league_id
SEMI JOIN totals ON totals.league_id = l.one_id AND totals.season_id = g.season_id
WHERE g.id IN (SELECT game_id FROM games);

-- A row each league, season, player and pair of teams: the one has totals and no game at all, the
-- other games and no totals at all, and the player has both kinds of the same shot.
-- name: pairs
WITH totals AS (
    SELECT
        l.one_id AS league_id, s.season_id, coalesce(p.same_as, p.id) AS person_id,
        t.one_id AS team_id, s.shot, sum(s.attempts) AS attempts
    FROM season_total AS s
    JOIN player AS p ON p.id = s.player_id
    JOIN one_league AS l ON l.id = s.league_id
    JOIN one_team AS t ON t.id = s.team_id
    WHERE NOT s.removed
    GROUP BY ALL
),
shots AS (
    SELECT
        l.one_id AS league_id, a.season_id, a.person_id, t.one_id AS team_id, o.one_id AS opponent_id,
        a.shot
    FROM live_attempt AS a
    JOIN one_league AS l ON l.id = a.league_id
    JOIN one_team AS t ON t.id = a.team_id
    LEFT JOIN one_team AS o ON o.id = a.opponent_id
    WHERE a.stage <> 'practice'
    GROUP BY ALL
),
playing AS (
    SELECT l.one_id AS league_id, g.season_id, h.one_id AS home_id, w.one_id AS away_id
    FROM game AS g
    JOIN one_league AS l ON l.id = g.league_id
    LEFT JOIN one_team AS h ON h.id = g.home_team_id
    LEFT JOIN one_team AS w ON w.id = g.away_team_id
    WHERE g.id IN (SELECT game_id FROM attempt WHERE NOT removed)
),
with_games AS (
    SELECT league_id, season_id, team_id FROM shots
    UNION SELECT league_id, season_id, opponent_id FROM shots
    UNION SELECT league_id, season_id, home_id FROM playing
    UNION SELECT league_id, season_id, away_id FROM playing
),
gameless AS (
    SELECT * FROM totals ANTI JOIN with_games USING (league_id, season_id, team_id)
    WHERE attempts > 0
),
untotalled AS (
    SELECT DISTINCT league_id, season_id, person_id, team_id, shot
    FROM shots ANTI JOIN totals USING (league_id, season_id, team_id)
)
SELECT
    t.league_id, t.season_id, t.person_id, t.team_id AS total_team_id, g.team_id AS game_team_id,
    sum(t.attempts)::BIGINT AS attempts
FROM gameless AS t
JOIN untotalled AS g USING (league_id, season_id, person_id, shot)
GROUP BY ALL
ORDER BY ALL;

-- name: names
SELECT id, name FROM one_team WHERE id IN (SELECT id FROM wanted) ORDER BY id;

-- name: seasons
SELECT id, label FROM season;
