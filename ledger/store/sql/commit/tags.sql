-- The attempts that rows of a tags file mean.

-- A list of another ledger has other numbers: a day or a player given beside them must be his.
-- name: by_number
SELECT DISTINCT q.line, a.id AS attempt_id
FROM asked AS q
JOIN attempt AS a ON a.id = q.attempt_number AND NOT a.removed
JOIN game AS g ON g.id = a.game_id
JOIN player AS p ON p.id = a.player_id
WHERE (q.date IS NULL OR q.date = g.date)
    AND (
        q.player_form IS NULL
        OR EXISTS (
            SELECT 1 FROM player AS o
            WHERE o.normal_form = q.player_form AND coalesce(o.same_as, o.id) = coalesce(p.same_as, p.id)
        )
        OR EXISTS (
            SELECT 1 FROM player_alias AS s JOIN player AS o ON o.id = s.player_id
            WHERE s.normal_form = q.player_form AND coalesce(o.same_as, o.id) = coalesce(p.same_as, p.id)
        )
    )
ORDER BY ALL;

-- name: by_id
SELECT DISTINCT q.line, a.id AS attempt_id
FROM asked AS q
JOIN attempt AS a ON a.file_id = q.file_id AND NOT a.removed
JOIN game AS g ON g.id = a.game_id
JOIN league AS gl ON gl.id = g.league_id
WHERE (
    q.league_form IS NULL
    OR EXISTS (
        SELECT 1 FROM league AS l
        WHERE l.normal_form = q.league_form AND coalesce(l.same_as, l.id) = coalesce(gl.same_as, gl.id)
    )
    OR EXISTS (
        SELECT 1 FROM league_alias AS l JOIN league AS o ON o.id = l.league_id
        WHERE l.normal_form = q.league_form AND coalesce(o.same_as, o.id) = coalesce(gl.same_as, gl.id)
    )
)
ORDER BY ALL;

-- The nth attempt follows the order in the game, else period and clock, else the order it came in.
-- name: by_place
WITH spelled AS (
    SELECT id AS player_id, normal_form FROM player
    UNION
    SELECT player_id, normal_form FROM player_alias
),
person AS (
    SELECT DISTINCT coalesce(p.same_as, p.id) AS person_id, s.normal_form
    FROM spelled AS s
    JOIN player AS p ON p.id = s.player_id
),
team_spelled AS (
    SELECT DISTINCT coalesce(t.same_as, t.id) AS team_id, s.normal_form
    FROM (
        SELECT id AS team_id, normal_form FROM team
        UNION
        SELECT team_id, normal_form FROM team_alias
    ) AS s
    JOIN team AS t ON t.id = s.team_id
),
league_spelled AS (
    SELECT id AS league_id, normal_form FROM league
    UNION
    SELECT league_id, normal_form FROM league_alias
),
league_meant AS (
    SELECT DISTINCT coalesce(l.same_as, l.id) AS league_id, s.normal_form
    FROM league_spelled AS s
    JOIN league AS l ON l.id = s.league_id
),
numbered AS (
    SELECT
        a.id AS attempt_id, a.game_id, coalesce(p.same_as, p.id) AS person_id, a.shot,
        coalesce(t.same_as, t.id) AS team_id,
        row_number() OVER (
            PARTITION BY coalesce(gl.same_as, gl.id), ga.season_id, ga.date, ga.label, coalesce(p.same_as, p.id), a.shot
            ORDER BY a.order_in_game NULLS LAST, a.period NULLS LAST, a.clock_s DESC NULLS LAST, a.id
        ) AS nth
    FROM attempt AS a
    JOIN player AS p ON p.id = a.player_id
    JOIN team AS t ON t.id = a.team_id
    JOIN game AS ga ON ga.id = a.game_id
    JOIN league AS gl ON gl.id = ga.league_id
    WHERE NOT a.removed
        AND a.game_id IN (
            SELECT g.id FROM game AS g JOIN asked AS q ON q.game = g.label
        )
)
SELECT DISTINCT q.line, n.attempt_id
FROM asked AS q
JOIN game AS g ON g.label = q.game
JOIN season AS s ON s.id = g.season_id
JOIN league AS own ON own.id = g.league_id
JOIN person AS pe ON pe.normal_form = q.player_form
JOIN numbered AS n
    ON n.game_id = g.id AND n.person_id = pe.person_id AND n.shot = q.asked_shot AND n.nth = q.nth
WHERE (q.date IS NULL OR q.date = g.date)
    AND (q.season_key IS NULL OR q.season_key = s.normal_form)
    AND (
        q.league_form IS NULL
        OR EXISTS (
            SELECT 1 FROM league_meant AS l
            WHERE l.normal_form = q.league_form AND l.league_id = coalesce(own.same_as, own.id)
        )
    )
    AND (
        q.team_form IS NULL
        OR EXISTS (
            SELECT 1 FROM team_spelled AS t
            WHERE t.normal_form = q.team_form AND t.team_id = n.team_id
        )
    )
ORDER BY ALL;
