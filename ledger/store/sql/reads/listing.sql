-- What a person has written down about players, for one screen: lists, lots, the rumour, consents.

-- name: shortlists
SELECT id, name, at_time FROM shortlist ORDER BY at_time, id;

-- A person who is on a list under two of his names is on it once.
-- name: entries
SELECT
    entry.shortlist_id, person.person_id, person.name AS player, league.name AS league,
    arg_max(entry.note, entry.at_time) AS note, min(entry.at_time) AS put,
    arg_min(source.who, entry.at_time) AS who, min(entry.source_id) AS source
FROM shortlist_entry AS entry
JOIN player AS own ON own.id = entry.player_id
JOIN person ON person.person_id = coalesce(own.same_as, own.id)
JOIN one_league AS league ON league.id = person.league_id
LEFT JOIN source ON source.id = entry.source_id
WHERE entry.dropped IS NULL
GROUP BY ALL
ORDER BY entry.shortlist_id, put, player, person.person_id;

-- name: lots
SELECT
    lot.id, lot.name, league.name AS league, season.label AS season, lot.seed,
    (SELECT count(*) FROM lot_player AS drawn WHERE drawn.lot_id = lot.id) AS frame, lot.who, lot.at_time,
    (SELECT max(j.source_id) FROM journal AS j WHERE j.table_name = 'lot' AND j.row_id = lot.id) AS source
FROM lot
JOIN one_league AS league ON league.id = lot.league_id
JOIN season ON season.id = lot.season_id
ORDER BY lot.id;

-- Free throws in games of the lot's league-season, and what has become of them.
-- name: drawn
WITH drawn AS (
    SELECT
        lot.id AS lot_id, lp.place, coalesce(own.same_as, own.id) AS person_id, league.one_id AS league_id,
        lot.season_id
    FROM lot
    JOIN lot_player AS lp ON lp.lot_id = lot.id AND lp.place IS NOT NULL
    JOIN player AS own ON own.id = lp.player_id
    JOIN one_league AS league ON league.id = lot.league_id
),
shot AS (
    SELECT
        a.person_id, league.one_id AS league_id, a.season_id, count(*) AS attempts,
        count(*) FILTER (g.technique_id IS NOT NULL) AS watched,
        count(*) FILTER (g.attempt_id IS NULL) AS unwatched
    FROM live_attempt AS a
    JOIN one_league AS league ON league.id = a.league_id
    LEFT JOIN watched AS g ON g.attempt_id = a.id
    WHERE a.stage <> 'practice' AND a.shot = 'free_throw'
        AND a.person_id IN (SELECT person_id FROM drawn) AND a.season_id IN (SELECT season_id FROM drawn)
    GROUP BY ALL
)
SELECT
    drawn.lot_id, drawn.place, person.name AS player, league.name AS league,
    coalesce(shot.attempts, 0) AS attempts, coalesce(shot.watched, 0) AS watched,
    coalesce(shot.unwatched, 0) AS unwatched
FROM drawn
JOIN person ON person.person_id = drawn.person_id
JOIN one_league AS league ON league.id = person.league_id
LEFT JOIN shot
    ON shot.person_id = drawn.person_id AND shot.league_id = drawn.league_id
    AND shot.season_id = drawn.season_id
ORDER BY drawn.lot_id, drawn.place;

-- name: rumours
SELECT
    r.text, season.label AS season, league.name AS league, person.name AS player, r.seen, r.place, r.who,
    r.at_time,
    (SELECT max(j.source_id) FROM journal AS j WHERE j.table_name = 'rumour' AND j.row_id = r.id) AS source
FROM rumour AS r
JOIN season ON season.id = r.season_id
LEFT JOIN player AS own ON own.id = r.player_id
LEFT JOIN person ON person.person_id = coalesce(own.same_as, own.id)
LEFT JOIN one_league AS league ON league.id = coalesce(r.league_id, own.league_id)
ORDER BY r.id;

-- name: consents
SELECT
    person.name AS player, league.name AS league, c.given_by, c.given_on, c.until, c.purpose, c.who, c.at_time,
    (SELECT max(j.source_id) FROM journal AS j WHERE j.table_name = 'consent' AND j.row_id = c.id) AS source
FROM consent AS c
JOIN player AS own ON own.id = c.player_id
JOIN person ON person.person_id = coalesce(own.same_as, own.id)
JOIN one_league AS league ON league.id = person.league_id
ORDER BY c.given_on, c.id;
