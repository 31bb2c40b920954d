-- name: add
INSERT INTO consent (id, player_id, given_by, given_on, until, purpose, who, at_time)
VALUES ($id, $player_id, $given_by, $given_on, $until, $purpose, $who, $at_time);

-- name: of_person
SELECT c.id, c.given_by, c.given_on, c.until, c.purpose, c.who, c.at_time
FROM consent AS c
JOIN player AS p ON p.id = c.player_id
WHERE coalesce(p.same_as, p.id) = $person_id
ORDER BY c.given_on, c.id;

-- name: birth_year
SELECT max(birth_year) FROM player WHERE coalesce(same_as, id) = $person_id;

-- name: practice_days
SELECT DISTINCT date FROM game WHERE stage = 'practice' ORDER BY date;

-- Rows of practice, by what they say or by the game they fall into, of somebody who gave no consent
-- for that day. A name that several people of the league have needs the consent of all of them.
-- name: without
WITH spelled_league AS (
    SELECT coalesce(l.same_as, l.id) AS league_id, n.normal_form
    FROM league AS l
    JOIN (
        SELECT id, normal_form FROM league UNION SELECT league_id, normal_form FROM league_alias
    ) AS n ON n.id = l.id
),
practice AS (
    SELECT a.line, a.player, a.player_form, a.date, s.league_id
    FROM asked AS a
    LEFT JOIN (SELECT DISTINCT * FROM spelled_league) AS s ON s.normal_form = a.league_form
    WHERE a.is_practice OR EXISTS (
        SELECT 1
        FROM game AS g
        JOIN league AS l ON l.id = g.league_id
        JOIN season ON season.id = g.season_id
        WHERE g.stage = 'practice' AND g.date = a.date AND coalesce(l.same_as, l.id) = s.league_id
            AND season.normal_form = a.season_key AND g.label IS NOT DISTINCT FROM a.game
    )
),
people AS (
    SELECT DISTINCT
        coalesce(l.same_as, l.id) AS league_id, n.normal_form, coalesce(p.same_as, p.id) AS person_id
    FROM player AS p
    JOIN league AS l ON l.id = p.league_id
    JOIN (
        SELECT id, normal_form FROM player UNION SELECT player_id, normal_form FROM player_alias
    ) AS n ON n.id = p.id
),
given AS (
    SELECT coalesce(p.same_as, p.id) AS person_id, c.given_on, c.until
    FROM consent AS c
    JOIN player AS p ON p.id = c.player_id
),
asked_of AS (
    SELECT
        practice.line, practice.player, practice.date, people.person_id,
        count(given.person_id) FILTER (
            practice.date BETWEEN given.given_on AND coalesce(given.until, DATE '9999-12-31')
        ) AS valid,
        max(given.until) FILTER (given.until < practice.date) AS ran_out,
        min(given.given_on) FILTER (given.given_on > practice.date) AS begins
    FROM practice
    LEFT JOIN people
        ON people.league_id = practice.league_id AND people.normal_form = practice.player_form
    LEFT JOIN given ON given.person_id = people.person_id
    GROUP BY ALL
)
SELECT
    line, any_value(player) AS player, any_value(date) AS date, count(person_id) > 0 AS known,
    max(ran_out) AS ran_out, min(begins) AS begins
FROM asked_of
GROUP BY line
HAVING min(CASE WHEN person_id IS NULL THEN 0 ELSE valid END) = 0
ORDER BY line;

-- Rows of practice that would fall into a game: they would make practice of everybody's attempts in it.
-- name: into_games
SELECT DISTINCT a.line, a.player, a.date, a.game
FROM asked AS a
JOIN (
    SELECT id, normal_form FROM league UNION SELECT league_id, normal_form FROM league_alias
) AS n ON n.normal_form = a.league_form
JOIN league AS written ON written.id = n.id
JOIN game AS g ON g.date = a.date AND g.label IS NOT DISTINCT FROM a.game AND g.stage <> 'practice'
JOIN league AS l ON l.id = g.league_id
    AND coalesce(l.same_as, l.id) = coalesce(written.same_as, written.id)
JOIN season ON season.id = g.season_id AND season.normal_form = a.season_key
WHERE a.is_practice AND g.label IS NOT NULL
    AND EXISTS (SELECT 1 FROM attempt WHERE attempt.game_id = g.id AND NOT attempt.removed)
ORDER BY a.line;
