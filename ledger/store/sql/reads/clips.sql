-- The attempts of a cohort that somebody can look at again: its game has a video, or a tag a place in one.
-- name: on_film
SELECT a.id, a.made
FROM live_attempt a
JOIN game ON game.id = a.game_id
WHERE (
    game.video IS NOT NULL
    OR a.id IN (SELECT attempt_id FROM tag WHERE NOT removed AND video_s IS NOT NULL)
) /* attempts */
ORDER BY a.id
