"""Attempts, tags and sightings between the ledger and frames, many at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.store import double_tags, frames, trips
from ledger.store.agree import agree
from ledger.store.records import CLOCK_ORDERS_FROM, RECORD, STATE, TAGS, as_json
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_SIGHTED = ("line", "attempt_id", "outcome", "given")


def next_id(con: DuckDBPyConnection, what: str) -> int:
    """The id the next `attempt`, `tag`, `source` or `total` gets."""
    return int(frames.one(con, ("commit/records", f"next_{what}")))


def attempts_of(con: DuckDBPyConnection, games: pl.DataFrame) -> pl.DataFrame:
    """All attempts of some games (`game_id`), `STATE` columns and `removed`."""
    values = {"clock_orders_from": CLOCK_ORDERS_FROM}
    found = frames.fetch(con, ("commit/records", "attempts_of_games"), values, wanted=games)
    return found.cast(pl.Schema(STATE | {"removed": pl.Boolean()})).select(*STATE, "removed")


def tags_of(con: DuckDBPyConnection, attempts: pl.DataFrame) -> pl.DataFrame:
    """The live tags of some attempts (`attempt_id`), `TAGS` columns."""
    ids = attempts.select("attempt_id")
    found = frames.fetch(con, ("commit/records", "tags_of_attempts"), wanted=ids)
    return found.cast(pl.Schema(TAGS)).select(list(TAGS))


def add_attempts(con: DuckDBPyConnection, frame: pl.DataFrame) -> None:
    """Insert attempts, `STATE` columns and `trip_incomplete`."""
    frames.pour(con, ("commit/records", "add_attempts"), frame)


def set_attempts(con: DuckDBPyConnection, frame: pl.DataFrame) -> None:
    """Rewrite attempts that are there; they are live afterwards."""
    if len(frame):
        frames.run(con, ("commit/records", "set_attempts"), incoming=frame)


def add_tags(con: DuckDBPyConnection, tags: pl.DataFrame) -> None:
    """Insert tags without an id, `TAGS` columns."""
    if len(tags):
        first = next_id(con, "tag")
        ids = pl.int_range(first, first + len(tags), dtype=pl.Int64, eager=True)
        frames.pour(con, ("commit/records", "add_tags"), tags.with_columns(ids.alias("tag_id")))


def set_tags(con: DuckDBPyConnection, tags: pl.DataFrame) -> None:
    """Rewrite tags that are there."""
    if len(tags):
        frames.run(con, ("commit/records", "set_tags"), incoming=tags)


def hide_tags(con: DuckDBPyConnection, tags: pl.DataFrame) -> None:
    """Let tags (`tag_id`) count no more."""
    if len(tags):
        hidden = tags.with_columns(pl.lit(True).alias("removed"))
        frames.run(con, ("commit/rederive", "show_tags"), incoming=hidden)


def add_sightings(
    con: DuckDBPyConnection, seen: pl.DataFrame, records: pl.DataFrame, source_id: int
) -> None:
    """Keep what every record came to; what a new attempt gave is the attempt itself."""
    fresh = seen.filter(pl.col("new") & (pl.col("outcome") == "stored"))
    fresh = fresh.with_columns(pl.lit(None, pl.String).alias("given"))
    rest = seen.filter(~pl.col("new"))
    values = {"source_id": source_id}
    frames.pour(con, ("commit/records", "add_sightings"), fresh.select(_SIGHTED), values)
    if len(rest):
        full = rest.join(
            records.select("rec", *RECORD), on="rec", how="left", maintain_order="left"
        )
        rest = rest.with_columns(as_json(full))
        frames.pour(con, ("commit/records", "add_sightings"), rest.select(_SIGHTED), values)


def typed_by(con: DuckDBPyConnection, source_id: int) -> dict[str, pl.DataFrame]:
    """The attempts (`attempt_id`) that a sitting typed, and its person in `typed` other ones."""
    asked = {"source_id": source_id}
    return {
        "own": frames.fetch(con, ("commit/records", "own"), asked),
        "typed": frames.fetch(con, ("typed", "others"), asked),
    }


def materialise(con: DuckDBPyConnection, attempts: pl.DataFrame) -> None:
    """Write down what records gave before their attempts (`attempt_id`) are changed."""
    if len(attempts):
        ids = attempts.select("attempt_id").unique()
        values = {"clock_orders_from": CLOCK_ORDERS_FROM}
        frames.run(con, ("commit/rederive", "materialise"), values, wanted=ids)


def set_trips(con: DuckDBPyConnection, games: pl.DataFrame) -> None:
    """Mark broken trips of some games (`game_id`) anew."""
    if games.is_empty():
        return
    live = attempts_of(con, games).filter(~pl.col("removed"))
    if len(live):
        marks = live.select("attempt_id").with_columns(trips.incomplete(live))
        frames.run(con, ("commit/records", "set_trips"), incoming=marks)


def agree_on(con: DuckDBPyConnection, attempts: pl.DataFrame) -> None:
    """Settle the agreed technique of some attempts (`attempt_id`) anew."""
    if len(attempts):
        ids = attempts.select(pl.col("attempt_id").cast(pl.Int64))
        frames.run(con, ("commit/records", "touched"), incoming=ids)
        agree(con, "touched_attempt")
        con.execute(sql("commit/records", "forget_touched"))


def agree_fresh(con: DuckDBPyConnection, tags: pl.DataFrame) -> None:
    """Settle attempts that have one tag each and none in the ledger before."""
    frames.pour(con, ("commit/records", "agree_fresh"), tags)
    double_tags.draw(con, tags)
