"""Trips to the line: incomplete ones are marked, never repaired; derived ones are as good as blank.

A trip is a run of attempts of one player in one game, in order (else as they came), numbered 1 to
n of n. A one-and-one whose first attempt missed is whole with one. A trip derived from the clock
yields to a written one, and to a derived one that saw more of it.
"""

from __future__ import annotations

import polars as pl

# Throws of one trip are timed no further apart; common practice, no source.
CLOCK_SLACK_S = 3.0


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
        *("period", "clock_s"),
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
    # No trip goes on in another period, or when the clock has run on.
    ran = (pl.col("clock_s") - pl.col("clock_s").shift(1)).abs() > CLOCK_SLACK_S
    start |= ((pl.col("period") != pl.col("period").shift(1)) | ran).fill_null(False)
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


def written_only(frame: pl.DataFrame) -> pl.DataFrame:
    """Attempts or records without the trips that were derived: nothing is told apart by those."""
    if not frame["trip_derived"].any():
        return frame
    return frame.with_columns(
        pl.when(~pl.col("trip_derived").fill_null(False)).then(pl.col(n)).alias(n)
        for n in ("trip_shot", "trip_of")
    )


def weighed(met: pl.DataFrame) -> pl.DataFrame:
    """Records beside their attempts (`_old`) with only that trip left that counts.

    Args:
        met: `trip_shot`, `trip_of`, `trip_derived` and the same with `_old`.

    Returns:
        The same rows; the trip that yields is blank, and `retold` says that it was the old one.
    """
    if not (met["trip_derived"].any() or met["trip_derived_old"].any()):
        return met.with_columns(pl.lit(False).alias("retold"))
    told, held = (
        pl.any_horizontal(pl.col(f"{n}{mark}").is_not_null() for n in ("trip_shot", "trip_of"))
        for mark in ("", "_old")
    )
    derived, derived_old = (pl.col(f"trip_derived{mark}").fill_null(False) for mark in ("", "_old"))
    more = (pl.col("trip_of") > pl.col("trip_of_old")) | (
        (pl.col("trip_of") == pl.col("trip_of_old"))
        & (pl.col("trip_shot") > pl.col("trip_shot_old"))
    )
    retold = (told & held & derived_old & (~derived | more)).fill_null(False)
    yields = told & held & derived & ~retold
    return met.with_columns(retold.alias("retold"), yields.alias("yields")).with_columns(
        *(pl.when(~pl.col("yields")).then(pl.col(n)).alias(n) for n in ("trip_shot", "trip_of")),
        *(
            pl.when(~pl.col("retold")).then(pl.col(f"{n}_old")).alias(f"{n}_old")
            for n in ("trip_shot", "trip_of")
        ),
    )
