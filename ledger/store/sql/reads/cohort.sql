-- Conditions of a cohort, joined with AND as needed; `a` is an attempt (or a season total). Short lists
-- are looked through in place, which costs less than a join; players and what hangs on them are joined.

-- name: league
list_contains($league::INTEGER[], a.league_id)

-- name: season
list_contains($season::INTEGER[], a.season_id)

-- name: date_from
a.date >= $date_from::DATE

-- name: date_to
a.date <= $date_to::DATE

-- name: stage
list_contains($stage::VARCHAR[], a.stage)

-- name: shot
list_contains($shot::VARCHAR[], a.shot)

-- name: team
list_contains($team::INTEGER[], a.team_id)

-- name: opponent
list_contains($opponent::INTEGER[], a.opponent_id)

-- name: position
a.player_id IN (
    SELECT p.id
    FROM player p
    JOIN person one ON one.person_id = coalesce(p.same_as, p.id)
    WHERE one.position IN (SELECT unnest($position::VARCHAR[]))
)

-- name: player
a.player_id IN (SELECT unnest($player::INTEGER[]))

-- name: list_name
a.player_id IN (
    SELECT p.id
    FROM player p
    WHERE coalesce(p.same_as, p.id) IN (
        SELECT coalesce(m.same_as, m.id)
        FROM player m
        JOIN (
            SELECT player_id FROM shortlist_entry
            WHERE dropped IS NULL AND shortlist_id IN (SELECT unnest($shortlists::INTEGER[]))
            UNION
            SELECT player_id FROM lot_player
            WHERE place IS NOT NULL AND lot_id IN (SELECT unnest($lots::INTEGER[]))
        ) listed ON listed.player_id = m.id
    )
)

-- name: period
list_contains($period::INTEGER[], a.period)

-- name: technique
a.id IN (SELECT attempt_id FROM agreed WHERE technique_id IN (SELECT unnest($technique::INTEGER[])))

-- name: not_picked
a.id NOT IN (SELECT attempt_id FROM agreed WHERE picked_for = 'result')

-- name: spot
list_contains($spot::VARCHAR[], a.spot)

-- name: source
a.id IN (SELECT attempt_id FROM sighting WHERE source_id IN (SELECT unnest($source::INTEGER[])))

-- name: ids
a.id IN (SELECT unnest($ids::BIGINT[]))
