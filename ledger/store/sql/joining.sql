-- name: one_under_the_other
UNION ALL
