"""Shirt numbers and the files' own ids of players: kept with their source, to tell who is who.

They never make two names one, nor one name two: they are evidence for the offers (`offers`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.names import tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

# The file's own id stands under this name in frames: `player_id` is the ledger's row there.
FILE_ID = "player_file_id"
_MOST = 5


def set_aside(frame: pl.DataFrame) -> pl.DataFrame:
    """A file's frame with its own ids of players out of the way of the ledger's."""
    return frame.rename({"player_id": FILE_ID}) if "player_id" in frame.columns else frame


def keep(con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int) -> list[str]:
    """Store numbers and ids of a batch whose players are known.

    Returns:
        Warnings about ids that another name of the league has already.

    Args:
        con: a connection inside `LedgerFile.changing`.
        frame: `player_id`, `league_id`, `player`, and where the file has them `player_file_id`,
            and `number` beside `team_id` and `season_id`.
        source_id: the source that brings them.
    """
    warnings = []
    if FILE_ID in frame.columns:
        told = frame.select("player_id", "league_id", "player", FILE_ID).drop_nulls()
        told = told.unique(maintain_order=True)
        if len(told):
            forms = {n: written_form(n) for n in told["player"].unique().to_list()}
            rows = told.select(
                *("player_id", "league_id"),
                pl.col(FILE_ID).alias("file_id"),
                pl.col("player").alias("as_written"),
                pl.col("player").replace_strict(forms).alias("normal_form"),
            )
            frames.run(con, ("commit/same", "add_ids"), {"source_id": source_id}, incoming=rows)
            warnings = _shared(con, source_id)
    if {"number", "team_id", "season_id"} <= set(frame.columns):
        worn = frame.select("player_id", "team_id", "season_id", "number").drop_nulls()
        worn = worn.unique(maintain_order=True).with_columns(
            pl.col("number").map_elements(plain_number, return_dtype=pl.String)
        )
        if len(worn):
            rows = worn.unique(maintain_order=True)
            frames.run(con, ("commit/same", "add_numbers"), {"source_id": source_id}, incoming=rows)
    return warnings


def _shared(con: DuckDBPyConnection, source_id: int) -> list[str]:
    values = {"source_id": source_id}
    found = con.execute(sql("commit/same", "shared_ids"), values).fetchall()
    told = [
        f"{name}: the id {file_id} is {other}'s in this league already; if they are one, type: "
        f'offglass same "{other}" "{name}"'
        for name, file_id, other in found[:_MOST]
    ]
    more = len(found) - len(told)
    ids = "1 more id is" if more == 1 else f"{more} more ids are"
    return told + ([f"{ids} of two names each: offglass same lists them"] * (more > 0))


def plain_number(number: str) -> str:
    """A shirt number without its sign: `#07` is `07`, which is another number than `7`."""
    return tidy(number).removeprefix("#").strip() or tidy(number)
