"""Frames into DuckDB and back, without pyarrow.

A frame is handed over by the Arrow C stream it can give by itself; DuckDB reads it where it lies.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

# DuckDB answers an interrupt between statements at the latest: a million rows in one would make a
# person who stops the import wait.
PIECE = 100_000


class _Stream:
    """Only the stream of a frame: DuckDB would ask pyarrow for a polars frame itself."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object = None) -> object:
        return self._frame.__arrow_c_stream__(requested_schema)


@contextmanager
def lent(con: DuckDBPyConnection, **frames: pl.DataFrame) -> Iterator[None]:
    """While it lasts, statements may read frames under their keyword names."""
    # One row fetched before leaves its statement open, and DuckDB refuses other work meanwhile.
    con.complete()
    for name, frame in frames.items():
        con.register(name, _Stream(frame))
    try:
        yield
    finally:
        for name in frames:
            # In a transaction that has failed even this is refused, and would hide why it failed.
            with suppress(Exception):
                con.unregister(name)


def run(
    con: DuckDBPyConnection,
    statement: tuple[str, str],
    values: dict[str, Any] | None = None,
    **frames: pl.DataFrame,
) -> None:
    """Run one named statement with frames lent under their keyword names."""
    run_text(con, sql(*statement), values, **frames)


def run_text(
    con: DuckDBPyConnection,
    text: str,
    values: dict[str, Any] | None = None,
    **frames: pl.DataFrame,
) -> None:
    """The same for a statement in which the table's name was filled in."""
    with lent(con, **frames):
        con.execute(text, values or {})


def pour(
    con: DuckDBPyConnection,
    statement: tuple[str, str],
    frame: pl.DataFrame,
    values: dict[str, Any] | None = None,
) -> None:
    """Run an insert that reads from `incoming`, in pieces, so that it can be stopped."""
    for start in range(0, len(frame), PIECE):
        run(con, statement, values, incoming=frame.slice(start, PIECE))


def fetch(
    con: DuckDBPyConnection,
    statement: tuple[str, str],
    values: dict[str, Any] | None = None,
    **frames: pl.DataFrame,
) -> pl.DataFrame:
    """The rows of one named query, with frames lent under their keyword names."""
    with lent(con, **frames):
        return pl.DataFrame(con.sql(sql(*statement), params=values or {}))


def one(
    con: DuckDBPyConnection, statement: tuple[str, str], values: dict[str, Any] | None = None
) -> Any:
    """The first value of the first row."""
    rows = con.execute(sql(*statement), values or {}).fetchall()
    return rows[0][0] if rows else None
