"""The zone of a rebound from its place on the floor, where a row gives the place and no zone.

Metres from the centre of the ring, x to the shooter's right, y towards the free-throw line. Along
the lane's width: `behind` the board, `front` up to the line. Outside it: `left_side`, `right_side`
up to the short corner, `left_corner`, `right_corner` beyond; `high` is everything behind the line.

The lines of the floor and where they are from: `ledger.court`.
"""

from __future__ import annotations

import polars as pl

from ledger.court import BOARD_M, HALF_LANE_M, LINE_M, SHORT_CORNER_M


def filled(frame: pl.DataFrame) -> pl.DataFrame:
    """Records with the zone of every place that has none written.

    Args:
        frame: converted records, with or without `rebound_x_m`, `rebound_y_m` (metres).

    Returns:
        The same rows; a zone that was written stays.
    """
    if not {"rebound_x_m", "rebound_y_m"} <= set(frame.columns):
        return frame
    written = pl.col("rebound_zone") if "rebound_zone" in frame.columns else pl.lit(None, pl.String)
    return frame.with_columns(rebound_zone=pl.coalesce(written, _zone()))


def _zone() -> pl.Expr:
    x, y = pl.col("rebound_x_m"), pl.col("rebound_y_m")
    side = pl.when(x < 0).then(pl.lit("left")).otherwise(pl.lit("right"))
    outside = pl.when(x.abs() <= SHORT_CORNER_M).then(pl.lit("_side")).otherwise(pl.lit("_corner"))
    return (
        pl.when(x.is_null() | y.is_null())
        .then(None)
        .when(y > LINE_M)
        .then(pl.lit("high"))
        .when(x.abs() > HALF_LANE_M)
        .then(side + outside)
        .when(y < BOARD_M)
        .then(pl.lit("behind"))
        .otherwise(pl.lit("front"))
    )
