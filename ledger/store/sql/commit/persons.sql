-- The records of one person for one team become another person's.

-- name: move_given
UPDATE sighting SET given = json_merge_patch(given, json_object('player_id', CAST($new AS INTEGER)))
WHERE given IS NOT NULL AND outcome <> 'corrected'
    AND CAST(json_extract(given, '$.player_id') AS INTEGER) IN (
        SELECT id FROM player WHERE coalesce(same_as, id) = $old
    )
    AND attempt_id IN (
        SELECT id FROM attempt
        WHERE team_id IN (SELECT id FROM team WHERE coalesce(same_as, id) = $team_id)
            AND player_id IN (SELECT id FROM player WHERE coalesce(same_as, id) = $old)
    );

-- name: move_attempts
UPDATE attempt SET player_id = $new
WHERE team_id IN (SELECT id FROM team WHERE coalesce(same_as, id) = $team_id)
    AND player_id IN (SELECT id FROM player WHERE coalesce(same_as, id) = $old);

-- name: move_totals
UPDATE season_total SET player_id = $new
WHERE team_id IN (SELECT id FROM team WHERE coalesce(same_as, id) = $team_id)
    AND player_id IN (SELECT id FROM player WHERE coalesce(same_as, id) = $old);

-- name: move_roster
UPDATE roster SET player_id = $new
WHERE team_id IN (SELECT id FROM team WHERE coalesce(same_as, id) = $team_id)
    AND player_id IN (SELECT id FROM player WHERE coalesce(same_as, id) = $old);
