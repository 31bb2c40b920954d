"""Numbers as written, with a dot or, where the file separates by other signs, a decimal comma.

Thousands are never guessed: `1,234` and `1.234` are left alone where they could mean either.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

_DOT = re.compile(r"^[+-]?(?:\d{1,15}(?:\.\d{1,15})?|\.\d{1,15})$")
_COMMA = re.compile(r"^[+-]?\d{1,15},\d{1,15}$")
_THOUSAND_LIKE = re.compile(r"^[+-]?[1-9]\d{0,2}[.,]\d{3}$")


def number_reader(values: Iterable[str], separator: str) -> Callable[[str], float | None]:
    """A function from a cell of one column to its number, `None` where it cannot be told.

    Args:
        values: the different filled cells of the column.
        separator: the file's separator; where it is no comma, a decimal comma is read.
    """
    cells = [value.strip() for value in values]
    comma_allowed = separator != ","
    commas = comma_allowed and any(_COMMA.match(cell) for cell in cells)

    def read(value: str) -> float | None:
        cell = value.strip()
        if not cell.isascii():
            return None
        if _DOT.match(cell):
            if commas and _THOUSAND_LIKE.match(cell):
                return None
            return float(cell)
        if comma_allowed and _COMMA.match(cell) and not _THOUSAND_LIKE.match(cell):
            return float(cell.replace(",", "."))
        return None

    return read
