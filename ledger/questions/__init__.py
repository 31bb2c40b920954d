"""Questions: a cohort in, an answer out."""
