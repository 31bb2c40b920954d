"""Trips to the line grouped by the clock, on request: marked as derived, written ones left alone.

The clock stands while a player shoots free throws, so attempts of one player at one clock are one
trip. Nothing is grouped where that is in doubt: more throws than one foul gives, a trip written for
any of them, no period or clock. Technical throws stand alone and take no part.
"""

from __future__ import annotations

import polars as pl

# No single foul gives more free throws than three.
_MOST = 3
_GAME = ("league", "season_key", "season", "date", "game")
_SIDES = ("home", "away")


def by_clock(frame: pl.DataFrame, seconds: float = 0.0) -> tuple[pl.DataFrame, tuple[str, ...]]:
    """Records with the trips that period and clock tell.

    Args:
        frame: converted attempts: `line`, the fields of a game, `player`, `period`, `clock`
            (seconds left), and what there is of `order`, `shot` and the trip's fields.
        seconds: how far the first and the last attempt of one trip may lie apart, in seconds.

    Returns:
        The same rows with `trip_shot`, `trip_of` filled where all of a trip was blank, and
        `trip_derived` (Boolean) true there; then what a reader should know.
    """
    frame = frame.with_columns(
        *(
            pl.lit(None, pl.Int64).alias(n)
            for n in ("trip_shot", "trip_of")
            if n not in frame.columns
        ),
        pl.lit(False).alias("trip_derived"),
    )
    if frame.is_empty():
        return frame, ()
    if not {"player", "period", "clock"} <= set(frame.columns):
        return frame, ("trips by clock need player, period and clock: none was derived",)
    trips = _grouped(_throws(frame), seconds)
    known = trips.filter("blank", pl.col("trip_of") <= _MOST)
    large = trips.filter("blank", pl.col("trip_of") > _MOST)
    told = known.select("row", pl.col("shot_no").alias("shot_told"), pl.col("trip_of").alias("of"))
    rows = frame.with_row_index("row").join(told, on="row", how="left", maintain_order="left")
    derived = rows.with_columns(
        pl.coalesce("trip_shot", pl.col("shot_told").cast(frame["trip_shot"].dtype)),
        pl.coalesce("trip_of", pl.col("of").cast(frame["trip_of"].dtype)),
        pl.col("of").is_not_null().alias("trip_derived"),
    ).select(frame.columns)
    return derived, _said(derived, large)


def _throws(frame: pl.DataFrame) -> pl.DataFrame:
    """Free throws with a time, in the order of their game, with `row` and `visit` (who, where)."""
    keys = [n for n in _GAME if n in frame.columns]
    if "game" not in frame.columns or frame["game"].null_count():
        keys += [n for n in _SIDES if n in frame.columns]
    free, technical = pl.lit(True), pl.lit(False)
    if "shot" in frame.columns:
        free = pl.col("shot").fill_null("free_throw") == "free_throw"
    if "trip_kind" in frame.columns:
        technical = pl.col("trip_kind").fill_null("") == "technical"
    timed = pl.col("period").is_not_null() & pl.col("clock").is_not_null()
    order = pl.lit(None, pl.Int64)
    if "order" in frame.columns:
        every = pl.col("order").is_not_null().all().over(keys)
        order = pl.when(every).then(pl.col("order"))
    rows = frame.with_row_index("row").with_columns(order.alias("place"))
    rows = rows.filter(free & ~technical & timed)
    return rows.with_columns(
        pl.struct(*keys, "player", "period").rank("dense").alias("visit")
    ).sort("visit", "place", pl.col("clock").neg(), "row", nulls_last=True)


def _grouped(throws: pl.DataFrame, seconds: float) -> pl.DataFrame:
    """Each throw with the place in its trip (`shot_no`), its size, and whether nothing was written.

    A trip begins where the next throw lies too far from the first one of the trip before it.
    """
    begins: list[bool] = []
    visit, first = -1, 0.0
    for own, clock in zip(throws["visit"].to_list(), throws["clock"].to_list(), strict=True):
        new = own != visit or abs(clock - first) > seconds
        if new:
            visit, first = own, clock
        begins.append(new)
    blank = pl.col("trip_shot").is_null() & pl.col("trip_of").is_null()
    return (
        throws.with_columns(pl.Series("trip", begins, dtype=pl.Boolean).cum_sum())
        .with_columns(
            pl.int_range(1, pl.len() + 1).over("trip").alias("shot_no"),
            pl.len().over("trip").alias("n"),
            blank.all().over("trip").alias("blank"),
        )
        .select("row", "line", "shot_no", pl.col("n").alias("trip_of"), "blank")
    )


def _said(frame: pl.DataFrame, large: pl.DataFrame) -> tuple[str, ...]:
    derived = int(frame["trip_derived"].sum())
    of = "the trip of 1 attempt was" if derived == 1 else f"trips of {derived:,} attempts were"
    said = [f"{of} derived from the clock and {'is' if derived == 1 else 'are'} marked so"]
    if len(large):
        lines = ", ".join(map(str, large["line"].sort().head(5)))
        more = f" and {len(large) - 5} more" if len(large) > 5 else ""
        said.append(
            f"{len(large):,} attempts are of more than {_MOST} by one player at one clock: their "
            f"trips stay unknown (line {lines}{more})"
        )
    return tuple(said)
