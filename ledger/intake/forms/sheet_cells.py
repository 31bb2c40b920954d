"""The cells of one sheet as text, read row by row; nothing else of the sheet is kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from ledger.errors import RefusedInput
from ledger.intake import header
from ledger.intake.forms import archive, number_formats
from ledger.intake.forms.workbook import MAIN, Sheet, Workbook, elements, text_of, unescaped
from ledger.intake.tokens import Fault

_DIGITS = "0123456789"
MAX_ROW = 1_048_576
_ROW, _CELL, _COLUMN, _MERGED = (f"{MAIN}{tag}" for tag in ("row", "c", "col", "mergeCell"))
_VALUE, _INLINE, _FORMULA = (f"{MAIN}{tag}" for tag in ("v", "is", "f"))


@dataclass(slots=True)
class Cells:
    """The filled rows of a sheet, column by column.

    Attributes:
        rows: numbers of the rows that hold something.
        columns: place of a column (0 is the first) to its cells, as many as `rows` or fewer.
        faults: the cells without a value: number of the row, place, text and reason code.
        hidden_rows: numbers of filled rows that the sheet hides.
        hidden_columns: places of the columns that it hides, from and to.
        merged: its merged ranges, such as `A2:A4`.
    """

    rows: list[int] = field(default_factory=list)
    columns: dict[int, list[str]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    merged: list[str] = field(default_factory=list)

    def row(self, at: int) -> list[str]:
        """The cells of the row at a place of `rows`."""
        width = max(self.columns, default=-1) + 1
        found = [""] * width
        for place, cells in self.columns.items():
            if at < len(cells):
                found[place] = cells[at]
        return found


def read(book: Workbook, sheet: Sheet, texts: list[str], name: str) -> Cells:
    """The cells of a sheet.

    Raises:
        RefusedInput: if it has too many columns.
        one of `archive.DAMAGE`: if it is damaged.
    """
    found = Cells()
    number = 0
    with archive.plain_xml(book.archive, sheet.part) as part:
        for tag, element in elements(part, (_ROW, _COLUMN, _MERGED)):
            if tag == _ROW:
                last, number = number, int(element.get("r") or number + 1)
                if not last < number <= MAX_ROW:
                    raise ValueError("rows out of order")
                _take_row(found, number, element, book, texts, name)
            elif tag == _MERGED:
                found.merged.append(str(element.get("ref", "")))
            elif element.get("hidden") in ("1", "true"):
                found.hidden_columns.append((int(element.get("min")), int(element.get("max"))))
    return found


def _take_row(
    found: Cells, number: int, element: Any, book: Workbook, texts: list[str], name: str
) -> None:
    cells: dict[int, str] = {}
    faults: list[Fault] = []
    last = -1
    for cell in element:
        if cell.tag != _CELL:
            continue
        reference = cell.get("r")
        place = _place(reference.rstrip(_DIGITS)) if reference else last + 1
        if place <= last:
            raise ValueError("cells out of order")
        last = place
        text, reason = _shown(cell, book, texts)
        if reason is not None:
            faults.append((number, place, text, reason))
        if text.strip():
            if place >= header.MAX_COLUMNS:
                raise RefusedInput(
                    f"{name}: row {number} reaches column {place + 1}, at most"
                    f" {header.MAX_COLUMNS} are read; keep the columns needed"
                )
            cells[place] = text
    if not cells and not faults:
        return
    for place, text in cells.items():
        column = found.columns.setdefault(place, [])
        column += [""] * (len(found.rows) - len(column))
        column.append(text)
    found.rows.append(number)
    found.faults += faults
    if element.get("hidden") in ("1", "true"):
        found.hidden_rows.append(number)


@lru_cache(maxsize=2048)
def _place(letters: str) -> int:
    """The place of a column: 0 for A."""
    if not 1 <= len(letters) <= 3 or not (letters.isascii() and letters.isalpha()):
        raise ValueError("no cell reference")
    place = 0
    for letter in letters.upper():
        place = place * 26 + ord(letter) - 64
    return place - 1


def _shown(cell: Any, book: Workbook, texts: list[str]) -> tuple[str, str | None]:
    """A cell as it is shown, and a reason code where it holds no value."""
    kind = cell.get("t", "n")
    if kind == "inlineStr":
        inline = cell.find(_INLINE)
        return (text_of(inline) if inline is not None else ""), None
    value = cell.find(_VALUE)
    formula = cell.find(_FORMULA)
    if value is None or (not value.text and kind == "n"):
        if formula is not None:
            return f"={formula.text or ''}", "formula_without_value"
        return "", None
    raw = value.text or ""
    if kind == "s":
        at = int(raw)
        if at < 0:
            raise ValueError("no such text")
        return texts[at], None
    if kind == "b":
        return ("true" if raw.strip() in ("1", "true") else "false"), None
    if kind == "e":
        return raw, "cell_error"
    if kind == "d":
        return raw.removesuffix("T00:00:00"), None
    if kind != "n":
        return unescaped(raw), None
    if not raw.strip():
        return "", None
    style = int(cell.get("s") or 0)
    show = book.shows[style] if style or book.shows else number_formats.general
    shown = show(raw.strip())
    if shown is None:
        return raw, "cell_error"
    return shown, None
