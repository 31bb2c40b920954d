"""Rows that hold no record: blank ones, repeated headers, totals, footnotes.

A row is taken for one only when it could not be stored anyway because a required cell is blank:
a player called Total is never lost.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

import polars as pl

from ledger.intake.mapping import header_form

_TOTALS = frozenset(
    [
        *("total", "totals", "average", "averages", "avg", "mean", "sum", "overall", "all"),
        *("team", "teamtotal", "teamtotals", "grandtotal", "subtotal"),
    ]
)
_FOOTNOTE = re.compile(r"^\s*(?:[*†‡§#]|note\b|notes\b|source\b|legend\b)", re.IGNORECASE)
_FIGURE = re.compile(r"^[+-]?[\d.,:\s]*(?:(?:-|/|of)\s*[\d.,]+\s*)?%?$|^-+$")


def is_total_word(text: str) -> bool:
    """Whether the text is a word that heads a row of totals."""
    return header_form(unicodedata.normalize("NFC", text)).rstrip(":.") in _TOTALS


def short_row(cells: Sequence[str]) -> str | None:
    """Why a row with another number of fields than the header holds no record, else `None`."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled:
        return "blank_row"
    if _FOOTNOTE.match(filled[0]) and len(filled) == 1:
        return "footnote"
    if is_total_word(filled[0]) and all(_FIGURE.match(cell) for cell in filled[1:]):
        return "totals_row"
    return None


def find(
    frame: pl.DataFrame, headers: Sequence[str], required: Sequence[str], mapped: Sequence[str]
) -> pl.DataFrame:
    """The rows of a table that hold no record.

    Args:
        frame: `line` and the cells, columns named by their place.
        headers: column names as written.
        required: places of columns that every record must fill.
        mapped: places of all columns that fill a field.

    Returns:
        `line`, `reason`, `text`, one row for each row to leave out.
    """
    blank = [pl.col(place).str.strip_chars() == "" for place in (required or mapped)]
    lacking = pl.any_horizontal(blank) if required else pl.all_horizontal(blank)
    first = next((str(at) for at, text in enumerate(headers) if text.strip()), None)
    if first is not None:
        text = headers[int(first)]
        forms = {text, text.strip(), text.strip().lower(), text.strip().upper()}
        lacking = lacking | pl.col(first).is_in(list(forms))
    wanted = [header_form(text) for text in headers]
    rows: list[tuple[int, str, str]] = []
    for line, *cells in frame.filter(lacking).iter_rows():
        reason = _reason(cells, wanted, bool(required))
        if reason is not None:
            rows.append((line, reason, " ".join(cell for cell in cells if cell.strip())[:320]))
    return pl.DataFrame(
        rows, schema={"line": pl.Int32, "reason": pl.String, "text": pl.String}, orient="row"
    )


def _reason(cells: Sequence[str], wanted: Sequence[str], required: bool) -> str | None:
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled:
        return "blank_row"
    if [header_form(cell) for cell in cells] == wanted:
        return "repeated_header"
    if not required or all(cell.strip() for cell in cells):
        return None
    if _FOOTNOTE.match(filled[0]) and len(filled) == 1:
        return "footnote"
    if is_total_word(filled[0]) and all(_FIGURE.match(cell) for cell in filled[1:]):
        return "totals_row"
    return None
