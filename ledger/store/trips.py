"""Trips to the line that lack a member: marked, never repaired.

A trip is a run of attempts of one player in one game, in order (else as they came), numbered 1 to
n of n. A one-and-one whose first attempt missed is whole with one.
"""

from __future__ import annotations

import polars as pl


def incomplete(frame: pl.DataFrame) -> pl.Series:
    """Whether each attempt belongs to a trip with missing members.

    Args:
        frame: attempts with `attempt_id` and the columns of a record, all of each game.
    """
    known = pl.col("trip_shot").is_not_null() & pl.col("trip_of").is_not_null()
    if frame["trip_of"].null_count() == len(frame) or frame["trip_shot"].null_count() == len(frame):
        return pl.Series("trip_incomplete", [False], dtype=pl.Boolean).new_from_index(0, len(frame))
    numbered = frame.select(
        *("game_id", "player_id", "trip_shot", "trip_of", "trip_kind", "made"),
        pl.coalesce("given_order", "clock_order").alias("place"),
        "attempt_id",
        pl.int_range(pl.len(), dtype=pl.UInt32).alias("row"),
    ).filter(known)
    numbered = numbered.sort("game_id", "player_id", "place", "attempt_id", nulls_last=True)
    start = (
        (pl.col("trip_shot") <= pl.col("trip_shot").shift(1))
        | (pl.col("trip_of") != pl.col("trip_of").shift(1))
        | (pl.col("game_id") != pl.col("game_id").shift(1))
        | (pl.col("player_id") != pl.col("player_id").shift(1))
    ).fill_null(True)
    numbered = numbered.with_columns(start.cum_sum().alias("trip"))
    first_missed = (
        (pl.col("trip_kind") == "one_and_one") & (pl.col("trip_shot") == 1) & ~pl.col("made")
    )
    counted = numbered.group_by("trip").agg(
        ((pl.len() == pl.col("trip_of").first()) & (pl.col("trip_shot").first() == 1)).alias("all"),
        (first_missed.fill_null(False).all() & (pl.len() == 1)).alias("ended"),
    )
    broken = counted.filter(~pl.col("all") & ~pl.col("ended")).select("trip")
    rows = numbered.join(broken, on="trip", how="semi")["row"]
    marks = pl.Series("trip_incomplete", [False], dtype=pl.Boolean).new_from_index(0, len(frame))
    return marks.scatter(rows, True) if len(rows) else marks
