"""Cells of a profiled file as they can be read without the profile, for its refused rows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any

import polars as pl

from ledger import resources
from ledger.errors import RefusedInput
from ledger.intake import cells, fields
from ledger.intake.clocks import clock_text
from ledger.intake.fields import Context

# Kinds of field whose cells are read by what stands elsewhere in their column.
_BY_COLUMN = ("period", "clock")


def resolve(
    written: pl.DataFrame, lines: Iterable[int], kind: str, context: Context
) -> dict[int, list[dict[str, str]]]:
    """The records of some rows, field to text: words of the profile, dates and clocks resolved.

    What cannot be read stays as it is written, to be mended.

    Args:
        written: `line` and a column of text a field, of all records.
        lines: lines of the rows.
        kind: what a record is.
        context: how the file was read.
    """
    by_name = {field["name"]: field for field in resources.schema(kind)["fields"]}
    chosen = written.filter(pl.col("line").is_in(list(lines)))
    for name in chosen.columns[1:]:
        meant = _meant(by_name[name], written[name], context)
        if meant:
            chosen = chosen.with_columns(pl.col(name).replace(meant))
    found: dict[int, list[dict[str, str]]] = {}
    for row in chosen.iter_rows(named=True):
        found.setdefault(row.pop("line"), []).append(row)
    return found


def resolve_constants(constants: Mapping[str, str], kind: str, context: Context) -> dict[str, str]:
    """The same of fields that are the same in every row."""
    by_name = {field["name"]: field for field in resources.schema(kind)["fields"]}
    return {
        name: _meant(by_name[name], pl.Series([value]), context).get(value, value)
        for name, value in constants.items()
    }


def _meant(field: Mapping[str, Any], column: pl.Series, context: Context) -> dict[str, str]:
    """Each cell that says something else without the profile, to what it stands for."""
    if not (field.get("coded") or field["type"] == "date" or field.get("kind") in _BY_COLUMN):
        return {}
    uniques = cells.different(column)
    try:
        found = fields.typed(field, pl.Series(uniques, dtype=pl.String), uniques, context).values
    except RefusedInput:
        return {}
    texts = {
        cell: _text(field, value)
        for cell, value in zip(uniques, found.to_list(), strict=True)
        if value is not None
    }
    return {cell: text for cell, text in texts.items() if text != cell}


def _text(field: Mapping[str, Any], value: Any) -> str:
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, bool):
        return "yes" if value else "no"
    return clock_text(value) if field.get("kind") == "clock" else str(value)
