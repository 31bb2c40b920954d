"""The workbook behind an editable chart: the figures as they are, no cell a formula."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from openpyxl import Workbook

from ledger.charts.deck.parcel import moment, settled
from ledger.safe_text import safe_cell

if TYPE_CHECKING:
    from datetime import date

    from ledger.charts.deck.figures import Figures

SHEET = "Sheet1"


def workbook(figures: Figures, day: date | None) -> bytes:
    """The bytes of an XLSX file.

    Categories stand in the first column, then the values of each line, as the chart refers to
    them; then for each line the ends of its intervals and how far they are from the value.
    """
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = SHEET
    columns: list[tuple[str, list[Any]]] = [("", list(figures.categories))]
    columns += [(line.name, list(line.values)) for line in figures.lines]
    for line in figures.lines:
        columns += [
            (f"{line.name}, low", list(line.lows)),
            (f"{line.name}, high", list(line.highs)),
            (f"{line.name}, down", _apart(line.values, line.lows)),
            (f"{line.name}, up", _apart(line.highs, line.values)),
        ]
    for at, (title, cells) in enumerate(columns, start=1):
        for row, value in enumerate([title, *cells], start=1):
            cell = sheet.cell(row=row, column=at)
            cell.value = value
            if isinstance(value, str):
                # A text stays a text, whatever it begins with, also when the cell is edited.
                cell.data_type = "s"
                cell.quotePrefix = safe_cell(value) != value
    book.properties.creator = "offglass"
    book.properties.created = moment(day).replace(tzinfo=None)
    out = io.BytesIO()
    book.save(out)
    return settled(out.getvalue(), day)


def _apart(upper: tuple[float | None, ...], lower: tuple[float | None, ...]) -> list[float | None]:
    pairs = zip(upper, lower, strict=True)
    return [None if u is None or v is None else max(0.0, u - v) for u, v in pairs]
