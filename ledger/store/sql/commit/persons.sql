-- The records of one player for one team become another player's.

-- name: move_given
UPDATE sighting SET given = json_merge_patch(given, json_object('player_id', CAST($new AS INTEGER)))
WHERE given IS NOT NULL AND outcome <> 'corrected'
    AND CAST(json_extract(given, '$.player_id') AS INTEGER) = $old
    AND attempt_id IN (SELECT id FROM attempt WHERE player_id = $old AND team_id = $team_id);

-- name: move_attempts
UPDATE attempt SET player_id = $new WHERE player_id = $old AND team_id = $team_id;

-- name: move_totals
UPDATE season_total SET player_id = $new WHERE player_id = $old AND team_id = $team_id;

-- name: move_roster
UPDATE roster SET player_id = $new WHERE player_id = $old AND team_id = $team_id;
