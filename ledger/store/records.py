"""The columns a record may fill, as frames hold them and as a sighting keeps them.

A record is one attempt, one tag of an attempt, or both. Ids stand in it for names. Every other
module of the way in and back (match, fold, rederive) reads the lists here, so that a field added
to a schema is added in one place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Iterable

# What makes an attempt the attempt it is, then what may be blank and filled later. Both polars
# types of one name are the same in a record and in the ledger.
ATTEMPT: dict[str, pl.DataType] = {
    "game_id": pl.Int32(),
    "player_id": pl.Int32(),
    "team_id": pl.Int32(),
    "opponent_id": pl.Int32(),
    "period": pl.Int16(),
    "clock_s": pl.Float64(),
    "given_order": pl.Int32(),
    "clock_order": pl.Int32(),
    "shot": pl.String(),
    "spot": pl.String(),
    "x_m": pl.Float64(),
    "y_m": pl.Float64(),
    "trip_shot": pl.Int8(),
    "trip_of": pl.Int8(),
    "trip_kind": pl.String(),
    "trip_derived": pl.Boolean(),
    "ended_by": pl.String(),
    "made": pl.Boolean(),
    "rebound_by": pl.String(),
    "file_id": pl.String(),
}
TAG: dict[str, pl.DataType] = {
    "technique_id": pl.Int32(),
    "technique_as_written": pl.String(),
    "first_contact": pl.String(),
    "contact_height": pl.String(),
    "contact_side": pl.String(),
    "down_at_board": pl.String(),
    "release_angle_deg": pl.Float64(),
    "backspin": pl.String(),
    "miss_depth": pl.String(),
    "miss_side": pl.String(),
    "rebound_zone": pl.String(),
    "rebound_x_m": pl.Float64(),
    "rebound_y_m": pl.Float64(),
    "confidence": pl.String(),
    "adjudicated": pl.Boolean(),
    "unclear": pl.Boolean(),
    "picked_for": pl.String(),
    "video_s": pl.Float64(),
    "note": pl.String(),
}
WHO: dict[str, pl.DataType] = {"tagger": pl.String(), "tagged_at": pl.Datetime("us")}

# Attempts as they stand in a fold: the record's columns and whose they are.
STATE: dict[str, pl.DataType] = {
    "attempt_id": pl.Int64(),
    "source_id": pl.Int32(),
    "league_id": pl.Int32(),
    "person_id": pl.Int32(),
    **ATTEMPT,
}
TAGS: dict[str, pl.DataType] = {
    "tag_id": pl.Int64(),
    "attempt_id": pl.Int64(),
    "source_id": pl.Int32(),
    "line": pl.Int32(),
    **WHO,
    **TAG,
}

# Places of attempts of one game: a file's own numbers are at most a million, those made from the
# clock lie above, so that the two are never taken for each other.
CLOCK_ORDERS_FROM = 1_000_001
_PERIOD_SPAN = 4_000_000
_PERIOD_S = 3600.0

# Fields in which a record may contradict the attempt it was matched to. The person is compared
# through `person_id` (two spellings of one player are no contradiction); a differing file id is
# another league's numbering, not a contradiction.
COMPARED = tuple(
    name
    for name in ATTEMPT
    if name not in ("player_id", "given_order", "clock_order", "trip_derived", "file_id")
)
FILLED = tuple(name for name in ATTEMPT if name not in ("player_id", "clock_order", "trip_derived"))
TAG_COMPARED = tuple(
    name for name in TAG if name not in ("technique_as_written", "adjudicated", "unclear")
)
# A tag that says nothing but why or by whom the attempt was picked is no tag.
TAG_SAYS = tuple(name for name in TAG if name not in ("picked_for", "adjudicated", "unclear"))

RECORD: dict[str, pl.DataType] = ATTEMPT | TAG | WHO


def complete(frame: pl.DataFrame, columns: dict[str, pl.DataType]) -> pl.DataFrame:
    """The frame with every named column in its type, absent ones all null."""
    return frame.with_columns(
        [
            pl.col(name).cast(kind) if name in frame.columns else pl.lit(None, kind).alias(name)
            for name, kind in columns.items()
        ]
    )


def clock_order(frame: pl.DataFrame) -> pl.Expr:
    """Place in the game made from period and clock; equal clocks follow trip and line.

    It depends on the record and the records of the same second only, so that the same record has
    the same place whatever came in before it.
    """
    key = (
        CLOCK_ORDERS_FROM
        + (pl.col("period").cast(pl.Int32) - 1) * _PERIOD_SPAN
        + ((_PERIOD_S - pl.col("clock_s")) * 1000).round().cast(pl.Int32)
    )
    among = pl.col("trip_shot").fill_null(0).cast(pl.Int32) * len(frame) + pl.int_range(pl.len())
    return key + (among.rank("ordinal").over("game_id", "period", "clock_s") - 1).cast(pl.Int32)


def as_json(frame: pl.DataFrame, names: Iterable[str] = tuple(RECORD)) -> pl.Series:
    """Each row as JSON, columns that are null throughout left out; one string a row."""
    held = [n for n in names if n in frame.columns and frame[n].null_count() < len(frame)]
    if not held:
        return pl.Series("given", ["{}"] * len(frame), dtype=pl.String)
    struct = frame.select(
        pl.struct(
            [
                pl.col(n).dt.strftime("%Y-%m-%dT%H:%M:%S%.6f").alias(n) if n == "tagged_at" else n
                for n in held
            ]
        ).alias("given")
    )
    return struct["given"].struct.json_encode().alias("given")


def from_json(given: pl.Series) -> pl.DataFrame:
    """What `as_json` wrote, as a frame of `RECORD` columns; absent ones null."""
    kinds = RECORD | {"tagged_at": pl.String()}
    if not len(given):
        return pl.DataFrame(schema=RECORD)
    shape = pl.Struct([pl.Field(name, kind) for name, kind in kinds.items()])
    frame = given.str.json_decode(shape).struct.unnest()
    return frame.with_columns(pl.col("tagged_at").str.to_datetime(time_unit="us", strict=False))
