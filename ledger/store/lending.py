"""Frames lent to DuckDB where they lie, without pyarrow."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection


class _Stream:
    """Only the Arrow stream of a frame: for a polars frame DuckDB would ask for pyarrow."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object = None) -> object:
        return self._frame.__arrow_c_stream__(requested_schema)


@contextmanager
def lent(con: DuckDBPyConnection, **frames: pl.DataFrame) -> Iterator[None]:
    """While it lasts, statements can read the frames under their keyword names."""
    for name, frame in frames.items():
        con.register(name, _Stream(frame))
    try:
        yield
    finally:
        for name in frames:
            # In a transaction that has failed even this is refused, and would hide why it failed.
            with suppress(Exception):
                con.unregister(name)
