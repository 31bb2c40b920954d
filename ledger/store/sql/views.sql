-- Run on every connection: how rows are meant to be read. Temporary, so the file itself holds no view.

-- Attempts that count, each with its game's league, season, day and stage, and the person who shot.
CREATE OR REPLACE TEMP VIEW live_attempt AS
SELECT a.*, g.league_id, g.season_id, g.date, g.stage, coalesce(p.same_as, p.id) AS person_id
FROM attempt a
JOIN game g ON g.id = a.game_id
JOIN player p ON p.id = a.player_id
WHERE NOT a.removed;

-- One row a person: several spellings that were declared the same are one.
CREATE OR REPLACE TEMP VIEW person AS
SELECT
    coalesce(same_as, id) AS person_id,
    first(name) FILTER (WHERE same_as IS NULL) AS name,
    first(league_id) FILTER (WHERE same_as IS NULL) AS league_id,
    arg_min(position, (same_as IS NOT NULL, id)) AS position
FROM player
GROUP BY coalesce(same_as, id);

-- Attempts that somebody has looked at, told or not. What was picked by its result tells of misses only:
-- it still waits to be watched among the others, or the makes alone would be left to watch.
CREATE OR REPLACE TEMP VIEW watched AS
SELECT * FROM agreed WHERE picked_for IS DISTINCT FROM 'result';

-- Leagues and teams under the one name they are shown by.
CREATE OR REPLACE TEMP VIEW one_league AS
SELECT l.id, one.id AS one_id, one.name
FROM league l
JOIN league one ON one.id = coalesce(l.same_as, l.id);

CREATE OR REPLACE TEMP VIEW one_team AS
SELECT t.id, one.id AS one_id, one.name
FROM team t
JOIN team one ON one.id = coalesce(t.same_as, t.id);

-- Whether a record was told by a box score or by events; neither, where it is a tag or no record of attempts.
-- A merge keeps which of its lines came from a box score.
CREATE OR REPLACE TEMP MACRO told_by(kind, mapping, line, given) AS CASE
    WHEN kind = 'box' THEN 'box'
    WHEN kind IN ('entry', 'merge') AND given IS NOT NULL AND given ->> '$.made' IS NULL THEN NULL
    WHEN kind = 'merge' AND len(list_filter(
        TRY_CAST(mapping ->> '$."--box-lines"' AS INTEGER[][]), lambda part: line BETWEEN part[1] AND part[2]
    )) > 0 THEN 'box'
    WHEN kind IN ('attempts', 'entry', 'merge') THEN 'events'
END;

-- Whether any record of a source may be told by a box score.
CREATE OR REPLACE TEMP MACRO may_tell_box(kind, mapping) AS
    kind = 'box' OR (kind = 'merge' AND contains(mapping, '"--box-lines"'));

-- Whether the rebound of a miss was contested: live, dead or unknown; nothing for a made attempt.
CREATE OR REPLACE TEMP MACRO live_miss(made, shot, trip_kind, trip_shot, trip_of, ended_by) AS CASE
    WHEN made THEN NULL
    WHEN ended_by IS NOT NULL THEN 'dead'
    WHEN shot <> 'free_throw' THEN 'live'
    WHEN trip_kind IN ('technical', 'flagrant') THEN 'dead'
    WHEN trip_kind = 'one_and_one' AND trip_shot = 1 THEN 'live'
    WHEN trip_kind NOT IN ('personal', 'one_and_one') THEN 'unknown'
    WHEN trip_kind IS NULL OR trip_shot IS NULL OR trip_of IS NULL THEN 'unknown'
    WHEN trip_shot = trip_of THEN 'live'
    ELSE 'dead'
END;
