-- One game from a box score and from events.

-- name: kinds
SELECT
    count(*) FILTER (may_tell_box(kind, mapping)) AS boxes,
    count(*) FILTER (kind IN ('attempts', 'entry', 'merge')) AS others
FROM source
WHERE taken_back IS NULL;

-- Whether games have live records of either kind, and any that contradict.
-- name: games
SELECT
    game_id, bool_or(told = 'box') AS boxed, bool_or(told = 'events') AS told,
    bool_or(outcome = 'contradicting') AS torn
FROM (
    SELECT a.game_id, s.outcome, told_by(src.kind, src.mapping, s.line, s.given) AS told
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    JOIN source AS src ON src.id = s.source_id
    WHERE a.game_id IN (SELECT game_id FROM wanted) AND src.taken_back IS NULL
) AS seen
WHERE told IS NOT NULL
GROUP BY game_id
ORDER BY game_id;

-- Makes and attempts of each player by box scores, by events, and in the ledger.
-- name: counts
WITH seen AS (
    SELECT
        s.source_id, told_by(src.kind, src.mapping, s.line, s.given) = 'box' AS boxed, s.attempt_id,
        s.outcome = 'contradicting' AS torn,
        coalesce(CAST(s.given ->> '$.made' AS BOOLEAN), a.made) AS said, a.made,
        CASE WHEN s.outcome = 'contradicting' THEN coalesce(CAST(s.given ->> '$.player_id' AS INTEGER), a.player_id)
            ELSE a.player_id END AS player_id,
        CASE WHEN s.outcome = 'contradicting' THEN coalesce(CAST(s.given ->> '$.team_id' AS INTEGER), a.team_id)
            ELSE a.team_id END AS team_id,
        CASE WHEN s.outcome = 'contradicting' THEN coalesce(s.given ->> '$.shot', a.shot) ELSE a.shot END AS shot,
        a.game_id
    FROM sighting AS s
    JOIN attempt AS a ON a.id = s.attempt_id
    JOIN source AS src ON src.id = s.source_id
    WHERE a.game_id IN (SELECT game_id FROM wanted) AND src.taken_back IS NULL
        AND s.outcome <> 'corrected' AND told_by(src.kind, src.mapping, s.line, s.given) IS NOT NULL
),
-- Records of one kind that are one attempt count once; those that contradict are none.
parts AS (
    SELECT boxed, game_id, player_id, team_id, shot, NULL AS source_id,
        count(DISTINCT attempt_id) AS attempts, count(DISTINCT CASE WHEN made THEN attempt_id END) AS made
    FROM seen WHERE NOT torn
    GROUP BY ALL
    UNION ALL
    SELECT boxed, game_id, player_id, team_id, shot, source_id,
        count(*) AS attempts, count(*) FILTER (said) AS made
    FROM seen WHERE torn
    GROUP BY ALL
),
told AS (
    SELECT
        boxed, game_id, player_id, team_id, shot,
        coalesce(max(attempts) FILTER (source_id IS NULL), 0)
            + coalesce(max(attempts) FILTER (source_id IS NOT NULL), 0) AS attempts,
        coalesce(max(made) FILTER (source_id IS NULL), 0)
            + coalesce(max(made) FILTER (source_id IS NOT NULL), 0) AS made
    FROM parts
    GROUP BY ALL
),
everybody AS (
    SELECT game_id, player_id, team_id, shot,
        CASE WHEN boxed THEN made ELSE 0 END AS box_made,
        CASE WHEN boxed THEN attempts ELSE 0 END AS box_attempts,
        CASE WHEN boxed THEN 0 ELSE made END AS event_made,
        CASE WHEN boxed THEN 0 ELSE attempts END AS event_attempts,
        0 AS made, 0 AS attempts
    FROM told
    UNION ALL BY NAME
    SELECT game_id, player_id, team_id, shot, 0 AS box_made, 0 AS box_attempts, 0 AS event_made,
        0 AS event_attempts, made::INTEGER AS made, 1 AS attempts
    FROM attempt
    WHERE NOT removed AND game_id IN (SELECT game_id FROM wanted)
)
SELECT
    e.game_id, g.date, coalesce(g.label, g.file_id, strftime(g.date, '%Y-%m-%d')) AS game,
    coalesce(p.same_as, p.id) AS person_id, root.name AS player,
    coalesce(t.same_as, t.id) AS team_id, team.name AS team, e.shot,
    sum(box_made)::BIGINT AS box_made, sum(box_attempts)::BIGINT AS box_attempts,
    sum(event_made)::BIGINT AS event_made, sum(event_attempts)::BIGINT AS event_attempts,
    sum(e.made)::BIGINT AS made, sum(e.attempts)::BIGINT AS attempts
FROM everybody AS e
JOIN game AS g ON g.id = e.game_id
JOIN player AS p ON p.id = e.player_id
JOIN player AS root ON root.id = coalesce(p.same_as, p.id)
JOIN team AS t ON t.id = e.team_id
JOIN team ON team.id = coalesce(t.same_as, t.id)
GROUP BY ALL
ORDER BY g.date, e.game_id, team.name, root.name, person_id, e.shot;

-- Tags that count in games that both a box score and events tell of.
-- name: live_tags
SELECT t.source_id, t.line, t.tagger
FROM tag AS t
JOIN attempt AS a ON a.id = t.attempt_id
WHERE NOT t.removed AND a.game_id IN (
    SELECT b.game_id
    FROM sighting AS s
    JOIN attempt AS b ON b.id = s.attempt_id
    JOIN source AS src ON src.id = s.source_id
    WHERE b.game_id IN (SELECT game_id FROM wanted) AND src.taken_back IS NULL
    GROUP BY b.game_id
    HAVING bool_or(told_by(src.kind, src.mapping, s.line, s.given) = 'box')
        AND bool_or(told_by(src.kind, src.mapping, s.line, s.given) = 'events')
)
ORDER BY ALL;

-- name: own_outcomes
SELECT line, outcome, attempt_id FROM sighting WHERE source_id = $source_id AND outcome <> 'corrected';

-- name: attempts_of
SELECT attempts_stored FROM source WHERE id = $source_id;

-- name: shots_of
SELECT shot, count(*) FROM attempt WHERE source_id = $source_id AND NOT removed
GROUP BY shot ORDER BY count(*) DESC, shot;

-- name: settle
UPDATE source SET
    stored = $stored, already_there = $already_there, contradicting = $contradicting,
    attempts_stored = $attempts_stored, warnings = $warnings
WHERE id = $source_id;
