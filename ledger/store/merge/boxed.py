"""Which attempts of the other ledger are a box score's, and how a merge keeps that.

An attempt there may be told by both. A player's attempts of a game are kept as one side, since one
side is kept whole where they differ: as the box score's where it knows of more than the events do.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.merge.spelling import Tables

# Kept beside the mapping of a source: the lines a box score told of, as `[[first, last], ...]`;
# read by `told_by` in `sql/views.sql`.
BOX_LINES = "--box-lines"


def boxed(con: DuckDBPyConnection, other: Tables) -> pl.DataFrame:
    """Attempts there (`their_attempt`) that count as told by a box score.

    Args:
        con: a connection to this ledger; the other's tables are lent to it.
        other: the other ledger's tables.
    """
    lent = {f"their_{name}": other[name] for name in ("source", "sighting", "attempt", "player")}
    found = frames.fetch(con, ("merge/boxed", "any_box"), their_source=lent["their_source"])
    if not found.item():
        return pl.DataFrame(schema={"their_attempt": pl.Int64})
    return frames.fetch(con, ("merge/boxed", "boxed"), None, **lent)


def kept(lines: pl.Series) -> dict[str, str]:
    """Lines of a merge as they are kept beside its mapping; nothing where there are none."""
    runs = (
        lines.sort()
        .to_frame("line")
        .with_columns((pl.col("line") - pl.int_range(pl.len())).alias("run"))
        .group_by("run", maintain_order=True)
        .agg(pl.col("line").min().alias("first"), pl.col("line").max().alias("last"))
        .select("first", "last")
    )
    return {BOX_LINES: json.dumps([list(r) for r in runs.iter_rows()])} if len(runs) else {}
