"""Periods and the time left in them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

_MINUTES = re.compile(r"^(\d{1,2}):([0-5]\d(?:[.,]\d{1,3})?)$")
_SECONDS = re.compile(r"^\d{1,4}(?:[.,](\d{1,3}))?$")
_DURATION = re.compile(r"^PT(?:(\d{1,2})M)?(?:(\d{1,2}(?:\.\d{1,3})?)S)?$")
_NUMBER = re.compile(r"^(\d{1,2})(?:\.0)?$")
_WORD = re.compile(
    r"^(?:(?:q|p|h|quarter|period|half) ?(\d)"
    r"|(\d)(?:st|nd|rd|th)?(?: ?(?:q|h|quarter|period|half))?)$"
)
_OVERTIME = re.compile(r"^(?:ot ?(\d)?|(\d) ?ot|overtime ?(\d)?)$")
QUARTERS = 4


def clock_reader(values: Iterable[str]) -> Callable[[str], float | None]:
    """A function from a cell to the seconds left in the period, `None` where it is no clock.

    `5:38`, `0:47.3`, seconds and the open duration form `PT05M38.00S` are read. A number with two
    decimals such as `5.38` may mean minutes and seconds: it is read as seconds only where the
    column holds a number of 60 or more, or one with another number of decimals.
    """
    cells = [value.strip() for value in values]
    plain = [match for cell in cells if (match := _SECONDS.match(cell))]
    settled = any(
        float(match[0].replace(",", ".")) >= 60 or (match[1] is not None and len(match[1]) != 2)
        for match in plain
    )

    def read(value: str) -> float | None:
        cell = value.strip()
        match = _MINUTES.match(cell)
        if match is not None:
            return int(match[1]) * 60 + float(match[2].replace(",", "."))
        match = _SECONDS.match(cell)
        if match is not None:
            if match[1] is not None and len(match[1]) == 2 and not settled:
                return None
            return float(cell.replace(",", "."))
        match = _DURATION.match(cell)
        if match is not None and (match[1] or match[2]):
            return int(match[1] or 0) * 60 + float(match[2] or 0)
        return None

    return read


def clock_text(seconds: float) -> str:
    """Seconds as `5:38` or `5:38.4`.

    >>> clock_text(338.0), clock_text(47.3)
    ('5:38', '0:47.3')
    """
    thousandths = round(seconds * 1000)
    minutes, rest = divmod(thousandths, 60_000)
    whole, parts = divmod(rest, 1000)
    return f"{minutes}:{whole:02d}" + (f".{parts:03d}".rstrip("0") if parts else "")


def period_reader(values: Iterable[str]) -> Callable[[str], int | None]:
    """A function from a cell to the number of the period, `None` where it cannot be told.

    `3`, `Q3`, `P3`, `H2`, `3rd` are read. Overtimes (`OT`, `OT2`) count on from four quarters
    only where the column shows a third or fourth period: in a game of two halves they would be
    others.
    """
    cells = [value.strip().lower() for value in values]
    quarters = any(number in (3, QUARTERS) for cell in cells if (number := _plain_period(cell)))

    def read(value: str) -> int | None:
        cell = value.strip().lower()
        number = _plain_period(cell)
        if number is not None:
            return number
        match = _OVERTIME.match(cell)
        if match is not None and quarters:
            return QUARTERS + int(match[1] or match[2] or match[3] or 1)
        return None

    return read


def _plain_period(cell: str) -> int | None:
    match = _NUMBER.match(cell)
    if match is not None:
        return int(match[1])
    match = _WORD.match(cell)
    return int(match[1] or match[2]) if match is not None else None
