"""Columns at fixed positions of each line, counted in characters."""

from __future__ import annotations

from dataclasses import replace

import polars as pl

from ledger.errors import RefusedInput, UseError
from ledger.intake import findings, header, tokens
from ledger.intake.encoding import Text
from ledger.intake.forms import grid
from ledger.intake.forms.form import FixedColumn, Form
from ledger.intake.records import MAX_RECORD


def table_of(text: Text, form: Form, name: str) -> tokens.Table:
    """The table in a text of fixed positions.

    A line that ends before a column leaves it blank. A line with text outside every column is
    refused: either its columns slipped, or the form forgets one.

    Raises:
        RefusedInput: if the text is blank or has no row below its header.
        UseError: if the columns cannot be used.
    """
    columns = _checked(form.columns)
    _, lines = tokens.physical_lines(text.data, name)
    top = form.header or 0
    filled = lines.filter(pl.col("text").str.contains(r"\S"))
    told = pl.col("line").is_in(list(form.skip))
    body = filled.filter((pl.col("line") > top) & ~told)
    if body.is_empty():
        raise RefusedInput(f"{name}: holds no row below line {top}; check the header line")
    begin = int(body["line"][0])
    above = filled.filter((pl.col("line") < begin) & (pl.col("line") != top))
    skipped = filled.filter((pl.col("line") > begin) & told)
    cells = body.select("line", *[_cell(column, at) for at, column in enumerate(columns)])
    bad = body.select("line", "text", outside=_outside(columns)).filter(
        (pl.col("outside").str.strip_chars() != "")
        | pl.col("text").str.contains("\t", literal=True)
        | (pl.col("text").str.len_bytes() > MAX_RECORD)
    )
    refused = _refused(bad, cells)
    table = grid.table(
        [column.name for column in columns],
        cells.filter(~pl.col("line").is_in(bad["line"].to_list())),
        refused,
        [(line, "skip_line", row) for line, row in skipped.iter_rows()],
        header_line=top,
        above=above["line"].to_list(),
    )
    # A profile may know such a line for no record: its cells stay for that to be told.
    outside = [line for line, _, _, reason, _ in refused if reason == "outside_columns"]
    doubtful = cells.filter(pl.col("line").is_in(outside))
    return replace(table, frame=pl.concat([table.frame, doubtful]).sort("line"))


def _checked(columns: tuple[FixedColumn, ...]) -> tuple[FixedColumn, ...]:
    if not columns:
        raise UseError("form: fixed positions need columns, each with name, from and to")
    if len(columns) > header.MAX_COLUMNS:
        raise UseError(f"form: {len(columns)} columns, at most {header.MAX_COLUMNS} are read")
    for column in columns:
        if not 1 <= column.first <= column.last:
            raise UseError(
                f"form: column {findings.show(column.name)} goes from {column.first} to"
                f" {column.last}: the first character of a line is 1, to is not before from"
            )
    return columns


def _cell(column: FixedColumn, at: int) -> pl.Expr:
    text = pl.col("text").str.slice(column.first - 1, column.last - column.first + 1)
    return text.str.strip_chars().alias(str(at))


def _outside(columns: tuple[FixedColumn, ...]) -> pl.Expr:
    """What stands between and after the columns."""
    pieces: list[pl.Expr] = []
    reached = 0
    for column in sorted(columns, key=lambda column: column.first):
        if column.first - 1 > reached:
            pieces.append(pl.col("text").str.slice(reached, column.first - 1 - reached))
        reached = max(reached, column.last)
    pieces.append(pl.col("text").str.slice(reached))
    return pl.concat_str(pieces, separator=" ")


def _refused(bad: pl.DataFrame, cells: pl.DataFrame) -> list[grid.Refused]:
    """The refused lines, their text outside the columns as one cell more."""
    found: list[grid.Refused] = []
    rows = cells.filter(pl.col("line").is_in(bad["line"].to_list())).drop("line").iter_rows()
    for (line, text, outside), row in zip(bad.iter_rows(), rows, strict=True):
        if len(text.encode()) > MAX_RECORD:
            found.append((line, None, text[:320], "too_long", text))
        elif "\t" in text:
            found.append((line, None, text[:320], "tab_in_line", text))
        else:
            over = outside.strip()
            whole = grid.csv_line([*row, over])
            found.append((line, None, over[:320], "outside_columns", whole))
    return found
