"""Cells of a sheet that hold no value: they refuse their row only where their column is used."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import polars as pl

from ledger.intake import findings
from ledger.intake.forms import grid
from ledger.intake.tokens import Table


@dataclass(frozen=True, slots=True)
class _Refused:
    """A row and its first bad cell in a column that is used."""

    line: int
    place: int
    value: str
    reason: str


def refused(table: Table, places: Collection[int]) -> Table:
    """The table without the rows whose cells in these columns hold no value: they are rejects.

    Args:
        table: a sheet's table; any other has no such cells and stays as it is.
        places: the columns that fill a field, or that a profile looks at.
    """
    first: dict[int, _Refused] = {}
    for line, place, value, reason in table.faults:
        if place in places:
            first.setdefault(line, _Refused(line, place, value, reason))
    if not first:
        return replace(table, faults=()) if table.faults else table
    lines = pl.Series(list(first), dtype=pl.Int32)
    bad = table.frame.filter(pl.col("line").is_in(lines.implode()))
    rejects, told = [], []
    for line, *cells in bad.iter_rows():
        fault = first[line]
        column = table.columns[fault.place] if fault.place < len(table.columns) else None
        fix = findings.FIXES[fault.reason]
        rejects.append((line, column, fault.value[:320], fault.reason, fix))
        told.append((line, grid.csv_line(_with_fault(cells, fault))))
    texts = pl.DataFrame(told, schema={"line": pl.Int32, "text": pl.String}, orient="row")
    return replace(
        table,
        frame=findings.without(table.frame, bad),
        rejects=pl.concat([table.rejects, findings.rejects_frame(rejects)]),
        lines=pl.concat([findings.without(table.lines, texts), texts]).sort("line"),
        faults=(),
    )


def _with_fault(cells: list[str], fault: _Refused) -> list[str]:
    """The row with its bad cell blank, and what was in it beyond the columns."""
    if fault.place < len(cells):
        cells[fault.place] = ""
    return [*cells, f"{letters(fault.place)}: {fault.value}"]


def letters(place: int) -> str:
    """A column as a sheet names it: A for 0."""
    text = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        text = chr(65 + rest) + text
    return text
