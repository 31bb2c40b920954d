"""Cells that came from no text with separators, as the same table of text cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import polars as pl

from ledger.intake import findings, tokens
from ledger.intake.encoding import MARK
from ledger.intake.records import MAX_FIELD

SEPARATOR = ","
_LONE_HALF = re.compile("[\ud800-\udfff]")
Refused = tuple[int, str | None, str, str, str]


def table(
    columns: Sequence[str],
    frame: pl.DataFrame,
    refused: Sequence[Refused],
    skipped: Sequence[tuple[int, str, str]] = (),
    *,
    header_line: int = 0,
    above: Sequence[int] = (),
) -> tokens.Table:
    """The table of a grid of cells.

    Args:
        columns: column names as written.
        frame: `line` (Int32) and one text column per name, called by its place.
        refused: rows that are no record: line, column, value, reason code, the row as a CSV line.
        skipped: rows that hold no record: line, reason, text.
        header_line: number of the header's row, 0 where there is none.
        above: numbers of filled rows above the header.
    """
    damaged = _damaged(columns, frame)
    told = pl.DataFrame(
        [(line, text) for line, _, _, _, text in refused],
        schema={"line": pl.Int32, "text": pl.String},
        orient="row",
    )
    rejects = [
        *[
            (line, column, value, reason, findings.FIXES[reason])
            for line, column, value, reason, _ in refused
        ],
        *damaged,
    ]
    lines = pl.concat([csv_lines(frame), told]).sort("line")
    bad = [line for line, *_ in damaged]
    return tokens.Table(
        tuple(columns),
        frame.filter(~pl.col("line").is_in(bad)) if bad else frame,
        findings.rejects_frame(rejects),
        findings.skipped_frame(skipped),
        SEPARATOR,
        header_line,
        tuple(above),
        lines,
    )


def frame_of(lines: Sequence[int], cells: Sequence[Sequence[str]]) -> pl.DataFrame:
    """A frame of cells column by column: `line`, then columns by their place."""
    given: dict[str, pl.Series] = {"line": pl.Series(lines, dtype=pl.Int32)}
    for at, column in enumerate(cells):
        given[str(at)] = pl.Series(column, dtype=pl.String)
    return pl.DataFrame(given)


def csv_lines(frame: pl.DataFrame, separator: str = SEPARATOR) -> pl.DataFrame:
    """Each row as one line of CSV: `line`, `text`."""
    cells = [
        pl.when(pl.col(name).str.contains(f'[{separator}"\\r\\n]'))
        .then(pl.concat_str(pl.lit('"'), pl.col(name).str.replace_all('"', '""'), pl.lit('"')))
        .otherwise(pl.col(name))
        for name in frame.columns
        if name != "line"
    ]
    text = pl.concat_str(cells, separator=separator) if cells else pl.lit("")
    return frame.select("line", text=text)


def with_csv_lines(table: tokens.Table) -> tokens.Table:
    """The table with its records' own text as standard CSV; refused rows stay as written."""
    rows = csv_lines(table.frame, table.separator)
    others = table.lines.join(rows, on="line", how="anti")
    return replace(table, lines=pl.concat([rows, others]).sort("line"), ends={})


def csv_line(cells: Sequence[str], separator: str = SEPARATOR) -> str:
    """The same of one row."""
    signs = (separator, '"', "\r", "\n")
    return separator.join(
        '"' + cell.replace('"', '""') + '"' if any(sign in cell for sign in signs) else cell
        for cell in cells
    )


def without_nulls(table: tokens.Table, nulls: Sequence[str]) -> tokens.Table:
    """The table with the words for nothing taken as blank; they are compared exactly."""
    if not nulls or table.frame.is_empty():
        return table
    words = [word.strip() for word in nulls]
    cells = pl.exclude("line")
    blank = pl.when(cells.str.strip_chars().is_in(words)).then(pl.lit("")).otherwise(cells)
    return replace(table, frame=table.frame.with_columns(blank.name.keep()))


def _damaged(columns: Sequence[str], frame: pl.DataFrame) -> list[tokens.Rejected]:
    """Rows with a cell that holds control codes, unreadable bytes or too much text."""
    bad: dict[int, tokens.Rejected] = {}
    for at, column in enumerate(columns):
        cells = pl.col(str(at))
        wrong = cells.str.contains(f"{tokens.CONTROLS}|{MARK}") | (
            cells.str.len_chars() > MAX_FIELD
        )
        for line, cell in frame.filter(wrong).select("line", str(at)).iter_rows():
            if MARK in cell:
                reason = "bad_encoding"
            else:
                reason = "too_long" if len(cell) > MAX_FIELD else "control_character"
            value = cell[: 4 * findings.VALUE_CELLS].replace(MARK, "\ufffd")
            fix = findings.FIXES[reason]
            bad.setdefault(line, (line, column, value, reason, fix))
    return list(bad.values())


def whole(text: str) -> str:
    """The text without lone halves of characters, which stand for no letter: they are marked."""
    if text.isascii():
        return text
    return _LONE_HALF.sub(MARK, text)
