"""Rows to the clipboard, and to a file for terminals that have none."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from ledger.questions.wording import counted
from ledger.safe_text import safe, width
from tui.widgets.columns import Row, ShownColumn

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer
    from tui.app import OffglassApp

# Terminals drop longer texts without a word.
_CLIPBOARD_BYTES = 74_000


class Rows(Protocol):
    """A table, on the screen or not."""

    @property
    def frame(self) -> pl.DataFrame | None: ...
    @property
    def columns(self) -> Sequence[ShownColumn]: ...
    @property
    def count(self) -> int: ...
    def row(self, index: int) -> Row: ...


@dataclass(frozen=True, slots=True)
class WholeRows:
    """All rows of a part, where those on the screen stand for several of them."""

    frame: pl.DataFrame
    columns: tuple[ShownColumn, ...]

    @property
    def count(self) -> int:
        """How many rows there are."""
        return self.frame.height

    def row(self, index: int) -> Row:
        """One row by its place."""
        return self.frame.row(index, named=True)


def copy_rows(program: OffglassApp, answer: Answer | None, rows: Rows, *, as_csv: bool) -> str:
    """Copy the rows in the order shown; gives the line that says where they are."""
    if answer is None or rows.frame is None or not rows.count:
        return "there are no rows to copy"
    text = csv_of(answer, rows) if as_csv else text_of(answer, rows)
    folder = Path(tempfile.mkdtemp(prefix="offglass-"))
    path = folder / f"{answer.question}.{'csv' if as_csv else 'txt'}"
    path.write_text(text, encoding="utf-8", newline="")
    what = counted(rows.count, "row") + (" as CSV" if as_csv else "")
    if len(text.encode()) > _CLIPBOARD_BYTES:
        return f"{what}: too long for the clipboard, saved in {path}"
    program.copy_to_clipboard(text)
    return f"{what} copied; if they do not arrive: {path}"


def csv_of(answer: Answer, rows: Rows) -> str:
    """The rows as CSV, safe for spreadsheets."""
    from ledger.questions.answer import Part

    assert rows.frame is not None
    parts = (answer.main, *answer.parts.values())
    shown = next((p for p in parts if p.frame.columns == rows.frame.columns), answer.main)
    return Part(shown.columns, rows.frame).csv()


def text_of(answer: Answer, rows: Rows) -> str:
    """The rows as aligned text under the headline, intervals as figures."""
    shown = [c for c in rows.columns if c.drawing is None]
    drawn = [(c.title, c.drawing) for c in rows.columns if c.drawing is not None]
    table = [[*(c.title for c in shown), *(title for title, _ in drawn)]]
    for index in range(rows.count):
        row = rows.row(index)
        cells = [safe(c.words(row)) for c in shown]
        table.append([*cells, *(drawing.told(row) for _, drawing in drawn)])
    wide = [max(width(line[i]) for line in table) for i in range(len(table[0]))]
    lines = [
        "  ".join(c + " " * (w - width(c)) for c, w in zip(line, wide, strict=True)).rstrip()
        for line in table
    ]
    return "\n".join([safe(answer.headline), safe(answer.cohort), "", *lines]) + "\n"
