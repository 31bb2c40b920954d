"""Tags of attempts that are in the ledger already: which attempt each one means."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.batch import REFUSED
from ledger.store.incoming import Records, refusals, tagged
from ledger.store.names import written_form
from ledger.store.records import RECORD, complete

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_NO_SUCH = "the ledger has no such attempt: import its game first, or check id and names"
_NO_SUCH_NUMBER = (
    "the ledger has no such attempt, or that number is another day's or player's: offglass ask "
    "attempts shows the numbers; an id of the league goes into attempt_id"
)
_SEVERAL = "several attempts are meant: give league, season, date and team as well"
_KEYS = ("league", "season_key", "date", "game", "team", "player")


def read_tags(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, *, tagger: str | None, now: datetime
) -> Records:
    """The records of a tags file, each with the `attempt_id` of its attempt.

    An attempt is named by its number in this ledger, by the source's id, or as the nth of its
    player and shot in its game; league, season, date and team may be missing where the rest means
    one attempt.
    """
    called = {"attempt_id": "file_id", "attempt": "attempt_number"}
    named = frame.rename({n: m for n, m in called.items() if n in frame.columns})
    frame = tagged(con, named, tagger or hand.who, now)
    if "tagger" not in frame.columns:
        frame = frame.with_columns(pl.lit(None, pl.String).alias("tagger"))
    says = pl.col("tagger").is_not_null()
    silent = frame.filter(~says)
    frame = _meant(con, frame.filter(says))
    none, several = pl.col("meant") == 0, pl.col("meant") > 1
    numbered = pl.col("attempt_number").is_not_null()
    refused = pl.concat(
        [
            _refused(frame.filter(none & numbered), "no_such_attempt", _NO_SUCH_NUMBER),
            _refused(frame.filter(none & ~numbered), "no_such_attempt", _NO_SUCH),
            _refused(frame.filter(several), "several_attempts", _SEVERAL),
        ]
    )
    frame = frame.filter(pl.col("meant") == 1)
    frame = complete(frame.drop([n for n in ("shot", "file_id") if n in frame.columns]), RECORD)
    records = frame.select(
        pl.int_range(pl.len(), dtype=pl.Int64).alias("rec"),
        "line",
        pl.lit(None, pl.Int32).alias("league_id"),
        pl.lit(None, pl.Int32).alias("person_id"),
        "attempt_id",
        *RECORD,
    )
    return Records(records, refused, len(silent))


def _refused(rows: pl.DataFrame, reason: str, fix: str) -> pl.DataFrame:
    if rows.is_empty():
        return pl.DataFrame(schema=REFUSED)
    names = [n for n in ("attempt_number", "file_id", "game", "player", "nth") if n in rows.columns]
    whole = pl.concat_str(
        [pl.col(n).cast(pl.String) for n in names], separator=" ", ignore_nulls=True
    )
    out = refusals(rows, "attempt_id", whole, reason, fix)
    column = (
        pl.when(pl.col("attempt_number").is_not_null())
        .then(pl.lit("attempt"))
        .when(pl.col("file_id").is_not_null())
        .then(pl.lit("attempt_id"))
        .otherwise(pl.lit("nth"))
    )
    return out.with_columns(rows.select(column.alias("column")).to_series())


def _meant(con: DuckDBPyConnection, frame: pl.DataFrame) -> pl.DataFrame:
    """The rows with `attempt_id`, and in `meant` how many attempts they could mean."""
    texts = [n for n in (*_KEYS, "file_id", "shot") if n not in frame.columns]
    frame = frame.with_columns([pl.lit(None, pl.String).alias(n) for n in texts])
    numbers = [n for n in ("nth", "attempt_number") if n not in frame.columns]
    frame = frame.with_columns([pl.lit(None, pl.Int64).alias(n) for n in numbers])
    frame = frame.with_columns(
        pl.col("shot").fill_null("free_throw").alias("asked_shot"),
        *[_form(frame[n]).alias(f"{n}_form") for n in ("league", "team", "player")],
    )
    parts = []
    named = (
        pl.when(pl.col("attempt_number").is_not_null())
        .then(pl.lit("by_number"))
        .when(pl.col("file_id").is_not_null())
        .then(pl.lit("by_id"))
        .otherwise(pl.lit("by_place"))
    )
    for which in ("by_number", "by_id", "by_place"):
        rows = frame.filter(named == which)
        if rows.is_empty():
            continue
        asked = rows.select(
            *("line", "file_id", "season_key", "game", "nth", "attempt_number", "asked_shot"),
            pl.col("date").cast(pl.Date),
            *("league_form", "team_form", "player_form"),
        )
        found = frames.fetch(con, ("commit/tags", which), asked=asked).cast(
            {"line": pl.Int32, "attempt_id": pl.Int64}
        )
        counted = found.group_by("line").agg(
            pl.col("attempt_id").first(), pl.col("attempt_id").n_unique().alias("meant")
        )
        parts.append(rows.join(counted, on="line", how="left", maintain_order="left"))
    if not parts:
        return frame.with_columns(
            pl.lit(None, pl.Int64).alias("attempt_id"), pl.lit(0, pl.UInt32).alias("meant")
        )
    return pl.concat(parts).with_columns(pl.col("meant").fill_null(0)).sort("line")


def _form(names: pl.Series) -> pl.Series:
    forms = {n: written_form(n) for n in names.unique().drop_nulls().to_list()}
    if not forms:
        return pl.Series([None], dtype=pl.String).new_from_index(0, len(names))
    return names.cast(pl.String).replace_strict(forms, default=None, return_dtype=pl.String)
