-- name: facts
SELECT
    (SELECT coalesce(max(id), 0) FROM source) AS last_source,
    (SELECT count(*) FROM attempt WHERE NOT removed) AS attempts,
    (SELECT count(*) FROM watched WHERE technique_id IS NOT NULL) AS tagged

-- What of a cohort is there, before any question looks inside.
-- name: counts
SELECT
    count(*) AS attempts, count(DISTINCT a.person_id) AS players, count(DISTINCT a.game_id) AS games,
    count(g.technique_id) AS tagged, coalesce(sum(a.made::INTEGER), 0)::BIGINT AS made
FROM live_attempt a
LEFT JOIN watched g ON g.attempt_id = a.id
WHERE TRUE /* attempts */

-- name: by_season
SELECT l.name AS league, s.label AS season, s.start_year, count(*) AS attempts,
    count(g.technique_id) AS tagged
FROM live_attempt a
LEFT JOIN watched g ON g.attempt_id = a.id
JOIN one_league l ON l.id = a.league_id
JOIN season s ON s.id = a.season_id
WHERE TRUE /* attempts */
GROUP BY l.one_id, l.name, s.id, s.label, s.start_year
ORDER BY l.name, l.one_id, s.start_year, s.label, s.id

-- name: how_many
SELECT count(*) FROM live_attempt a WHERE TRUE /* attempts */

-- name: rumours
SELECT r.text, r.season_id, s.label AS season, coalesce(one.one_id, p.league_id) AS league_id,
    one.name AS league, coalesce(p.same_as, p.id) AS person_id, person.name AS player, r.seen, r.place
FROM rumour r
JOIN season s ON s.id = r.season_id
LEFT JOIN player p ON p.id = r.player_id
LEFT JOIN person ON person.person_id = coalesce(p.same_as, p.id)
LEFT JOIN one_league one ON one.id = coalesce(r.league_id, p.league_id)
ORDER BY r.id

-- name: contents
SELECT
    l.name AS league, s.label AS season, s.start_year, a.shot,
    sum(a.attempts)::BIGINT AS attempts, sum(a.tagged)::BIGINT AS tagged,
    count(DISTINCT a.person_id) AS players
FROM (
    SELECT a.league_id, a.season_id, a.person_id, a.shot, count(*) AS attempts,
        count(g.technique_id) AS tagged
    FROM live_attempt a
    LEFT JOIN watched g ON g.attempt_id = a.id
    WHERE a.stage <> 'practice'
    GROUP BY ALL
) a
JOIN one_league l ON l.id = a.league_id
JOIN season s ON s.id = a.season_id
GROUP BY l.one_id, l.name, s.id, s.label, s.start_year, a.shot
ORDER BY l.name, l.one_id, s.start_year, s.label, s.id, a.shot

-- name: held
SELECT
    (SELECT count(DISTINCT game_id) FROM live_attempt WHERE stage <> 'practice') AS games,
    (SELECT count(DISTINCT person_id) FROM (
        SELECT person_id FROM live_attempt
        UNION ALL
        SELECT coalesce(p.same_as, p.id) FROM season_total t JOIN player p ON p.id = t.player_id
        WHERE NOT t.removed
    )) AS players,
    (SELECT count(*) FROM source) AS sources,
    (SELECT count(*) FROM season_total WHERE NOT removed) AS totals,
    (SELECT count(*) FROM attempt a JOIN game g ON g.id = a.game_id
     WHERE g.stage = 'practice' AND NOT a.removed) AS practice,
    (SELECT value::BIGINT FROM ledger_meta WHERE key = 'changes') AS changes,
    (SELECT strftime(max(at_time), '%Y-%m-%d %H:%M:%S')
     FROM (SELECT at_time FROM source UNION ALL SELECT at_time FROM journal)) AS last_change

-- Sources that bring records; notes, lots, words and corrections would push them out of sight.
-- name: last_sources
SELECT id, file, kind, rows, stored, rejected, who, strftime(at_time, '%Y-%m-%d %H:%M:%S') AS at_time,
    taken_back IS NOT NULL AS taken_back
FROM source
WHERE kind IN ('attempts', 'box', 'totals', 'tags', 'players', 'shortlist', 'entry', 'merge')
ORDER BY id DESC
LIMIT $most
