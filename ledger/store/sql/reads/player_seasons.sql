-- One row per league, season, person and team: what ranking, adopters and uptake are made of.
-- `tagged` counts attempts with an agreed technique that were not picked by their result. First and
-- last game with such a tag tell one game from several, for far less than a count of distinct games.
-- Season totals fill what games do not hold; a total that holds less than the games fills nothing.
-- Attempts and tags are counted apart: only the few tagged ones pay for what is asked of tags. Shot
-- and stage are looked at in the counts: on a million attempts, nearly all of them free throws in
-- games, the planner would take them for rare and build its joins the wrong way round.
WITH counted AS (
    SELECT
        a.league_id, a.season_id, a.person_id, a.team_id, a.shot, a.stage,
        count(*) AS attempts, count(*) FILTER (a.made) AS made,
        min(a.date) AS first_date, max(a.date) AS last_date
    FROM live_attempt a
    WHERE TRUE /* rows */
    GROUP BY ALL
),
told AS (
    SELECT
        attempt_id, unclear, disputed, technique_id,
        technique_id IS NOT NULL AND picked_for IS DISTINCT FROM 'result' AS counts
    FROM agreed
),
tags AS (
    SELECT
        a.league_id, a.season_id, a.person_id, a.team_id, a.shot, a.stage,
        count(*) FILTER (counts) AS tagged, count(*) FILTER (counts AND a.made) AS tagged_made,
        count(*) FILTER (counts AND list_contains($focus::INTEGER[], technique_id)) AS focus_tags,
        count(*) FILTER (unclear) AS unclear, count(*) FILTER (disputed) AS disputed,
        count(*) FILTER (technique_id IS NOT NULL AND NOT counts) AS picked,
        min(CASE WHEN counts THEN a.game_id END) AS first_tag_game,
        max(CASE WHEN counts THEN a.game_id END) AS last_tag_game
    FROM told JOIN live_attempt a ON a.id = told.attempt_id
    WHERE TRUE /* rows */
    GROUP BY ALL
),
games AS (
    SELECT
        l.one_id AS league_id, a.season_id, a.person_id, t.one_id AS team_id, a.shot,
        sum(attempts) AS attempts, sum(made) AS made,
        sum(tagged) AS tagged, sum(tagged_made) AS tagged_made, sum(focus_tags) AS focus_tags,
        sum(unclear) AS unclear, sum(disputed) AS disputed, sum(picked) AS picked,
        min(first_date) AS first_date, max(last_date) AS last_date,
        min(first_tag_game) AS first_tag_game, max(last_tag_game) AS last_tag_game
    FROM counted a
    LEFT JOIN tags USING (league_id, season_id, person_id, team_id, shot, stage)
    JOIN one_league l ON l.id = a.league_id
    JOIN one_team t ON t.id = a.team_id
    WHERE TRUE /* counts */
    GROUP BY ALL
),
totals AS (
    SELECT
        l.one_id AS league_id, a.season_id, coalesce(p.same_as, p.id) AS person_id, t.one_id AS team_id,
        a.shot, sum(a.made) AS made, sum(a.attempts) AS attempts
    FROM season_total a
    JOIN player p ON p.id = a.player_id
    JOIN one_league l ON l.id = a.league_id
    LEFT JOIN one_team t ON t.id = a.team_id
    WHERE NOT a.removed AND $fill /* totals */
    GROUP BY ALL
),
-- A total of one team against the games for that team.
of_team AS (
    SELECT
        t.league_id, t.season_id, t.person_id, t.team_id, t.shot,
        t.attempts - coalesce(g.attempts, 0) AS attempts, t.made - coalesce(g.made, 0) AS made
    FROM totals t
    LEFT JOIN games g USING (league_id, season_id, person_id, team_id, shot)
    WHERE t.team_id IS NOT NULL
),
known AS (
    SELECT league_id, season_id, person_id, shot, sum(attempts) AS attempts, sum(made) AS made,
        min(team_id) AS team_id, count(DISTINCT team_id) AS teams
    FROM (
        SELECT league_id, season_id, person_id, shot, team_id, attempts, made FROM games
        UNION ALL
        SELECT league_id, season_id, person_id, shot, team_id, attempts, made FROM of_team
        WHERE made BETWEEN 0 AND attempts
    )
    GROUP BY ALL
),
-- A total that names no team against everything known of the player; his team where he has but one.
of_season AS (
    SELECT
        t.league_id, t.season_id, t.person_id,
        CASE WHEN k.teams = 1 THEN k.team_id END AS team_id, t.shot,
        t.attempts - coalesce(k.attempts, 0) AS attempts, t.made - coalesce(k.made, 0) AS made
    FROM totals t
    LEFT JOIN known k USING (league_id, season_id, person_id, shot)
    WHERE t.team_id IS NULL
),
both_kinds AS (
    SELECT
        league_id, season_id, person_id, team_id, attempts AS game_attempts, made AS game_made,
        0 AS filled_attempts, 0 AS filled_made, 0 AS short_totals,
        tagged, tagged_made, focus_tags, unclear, disputed, picked,
        first_date, last_date, first_tag_game, last_tag_game
    FROM games
    UNION ALL BY NAME
    SELECT
        league_id, season_id, person_id, team_id, 0 AS game_attempts, 0 AS game_made,
        CASE WHEN made BETWEEN 0 AND attempts THEN attempts ELSE 0 END AS filled_attempts,
        CASE WHEN made BETWEEN 0 AND attempts THEN made ELSE 0 END AS filled_made,
        (NOT made BETWEEN 0 AND attempts)::INTEGER AS short_totals
    FROM (SELECT * FROM of_team UNION ALL BY NAME SELECT * FROM of_season)
),
summed AS (
    SELECT
        league_id, season_id, person_id, team_id,
        sum(game_attempts) AS game_attempts, sum(game_made) AS game_made,
        sum(filled_attempts) AS filled_attempts, sum(filled_made) AS filled_made,
        sum(short_totals) AS short_totals,
        sum(tagged) AS tagged, sum(tagged_made) AS tagged_made, sum(focus_tags) AS focus_tags,
        sum(unclear) AS unclear, sum(disputed) AS disputed, sum(picked) AS picked,
        min(first_date) AS first_date, max(last_date) AS last_date,
        min(first_tag_game) AS first_tag_game, max(last_tag_game) AS last_tag_game
    FROM both_kinds
    GROUP BY ALL
)
SELECT
    s.league_id, l.name AS league, s.season_id, season.label AS season, season.start_year,
    s.person_id, person.name AS player, person.position, s.team_id, t.name AS team,
    s.first_date, s.last_date,
    s.game_attempts::BIGINT AS game_attempts, s.game_made::BIGINT AS game_made,
    s.filled_attempts::BIGINT AS filled_attempts, s.filled_made::BIGINT AS filled_made,
    s.short_totals::BIGINT AS short_totals,
    coalesce(s.tagged, 0)::BIGINT AS tagged, coalesce(s.tagged_made, 0)::BIGINT AS tagged_made,
    coalesce(s.focus_tags, 0)::BIGINT AS focus_tags, coalesce(s.unclear, 0)::BIGINT AS unclear,
    coalesce(s.disputed, 0)::BIGINT AS disputed, coalesce(s.picked, 0)::BIGINT AS picked,
    s.first_tag_game::BIGINT AS first_tag_game, s.last_tag_game::BIGINT AS last_tag_game
FROM summed s
JOIN league l ON l.id = s.league_id
JOIN season ON season.id = s.season_id
JOIN person ON person.person_id = s.person_id
LEFT JOIN team t ON t.id = s.team_id
ORDER BY l.name, s.league_id, season.start_year, s.season_id, person.name, s.person_id,
    s.first_date NULLS LAST, s.team_id NULLS LAST
