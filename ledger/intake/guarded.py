"""Cells that an export made safe for spreadsheets, as they were before.

Such a cell got a leading apostrophe, and the row's `guarded` column names it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import polars as pl

from ledger.intake.mapping import header_form

_NAMES = re.compile(r"[,;|\s]+")


def undo(frame: pl.DataFrame, headers: Sequence[str], place: int) -> pl.DataFrame:
    """The cells of a table without the apostrophes that its `guarded` column names.

    Args:
        frame: cells, columns named by their place.
        headers: column names as written.
        place: place of the `guarded` column.
    """
    marks = frame[str(place)]
    by_form = {header_form(text): str(at) for at, text in enumerate(headers)}
    wanted: dict[str, list[str]] = {}
    for mark in marks.unique().to_list():
        for name in _NAMES.split(mark.strip()):
            column = by_form.get(header_form(name))
            if name and column is not None:
                wanted.setdefault(column, []).append(mark)
    return frame.with_columns(
        pl.when(pl.col(str(place)).is_in(list(marked)))
        .then(pl.col(column).str.strip_prefix("'"))
        .otherwise(pl.col(column))
        .alias(column)
        for column, marked in wanted.items()
    )
