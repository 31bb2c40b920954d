"""Calendar days as written.

A date is read only one way or not at all: the order of day and month is taken from a date of
the same file that settles it, or from `--dates`, never guessed. A time and its zone are left
off; the written day is kept.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Sequence

from ledger.errors import RefusedInput, UseError
from ledger.intake import findings

FIRST_YEAR, LAST_YEAR = 1890, 2100
ORDERS = ("dmy", "mdy", "ymd")
Reader = Callable[[str], dt.date | None]

_TIME = re.compile(
    r"(?:[T ,]+\d{1,2}[:.]\d{2}(?::\d{2}(?:[.,]\d+)?)?\s*(?:[AaPp]\.?[Mm]\.?)?"
    r"\s*(?:Z|z|UTC|GMT|[+-]\d{2}:?(?:\d{2})?)?)$"
)
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
_YEAR_FIRST = re.compile(r"^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})$")
_EIGHT = re.compile(r"^(\d{4})(\d{2})(\d{2})$")
_YEAR_LAST = re.compile(r"^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})\.?$")
_DAY_MONTH = re.compile(r"^(\d{1,2})(?:st|nd|rd|th|\.)?[ -]+([A-Za-z]{3,9})\.?,?[ -]+(\d{4})$")
_MONTH_DAY = re.compile(r"^([A-Za-z]{3,9})\.?[ -]+(\d{1,2})(?:st|nd|rd|th)?,?[ -]+(\d{4})$")
_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)


def reader(values: Iterable[str], wanted: str | None, name: str) -> Reader:
    """A function that reads the dates of one column.

    Args:
        values: the different filled cells of the column.
        wanted: what was typed after `--dates`: an order, a strptime format, or nothing.
        name: the file's name for messages.

    Returns:
        From a cell to its day, `None` where it holds no date that exists.

    Raises:
        UseError: if `wanted` is neither an order nor a format.
        RefusedInput: if the order cannot be known, or no cell holds a date.
    """
    cells = [_without_time(value) for value in values]
    if wanted is not None and wanted.lower() not in ORDERS:
        return _by_format(wanted, cells, name)
    if wanted is not None:
        order = wanted.lower()
        read = _chosen(dict.fromkeys("-/.", order), order)
    else:
        read = _chosen(_settled(cells, name), None)
    if cells and all(read(cell) is None for cell in cells):
        raise RefusedInput(
            f"{name}: no date can be read, the first is {findings.show(cells[0])!r}; type --dates"
            " with an order (dmy, mdy, ymd) or a format such as %d.%m.%Y"
        )
    return read


def exists_nowhere(value: str) -> bool:
    """Whether a value is written as a day and is none, in whatever order it is read.

    >>> exists_nowhere("31.04.2025"), exists_nowhere("13/25/2024"), exists_nowhere("03/25/2024")
    (True, True, False)
    """
    cell = _WEEKDAY.sub("", _without_time(value))
    written = (_YEAR_FIRST, _EIGHT, _YEAR_LAST, _DAY_MONTH, _MONTH_DAY)
    if not any(pattern.match(cell) for pattern in written):
        return False
    return all(_chosen(dict.fromkeys("-/.", order), order)(cell) is None for order in ORDERS)


def _without_time(value: str) -> str:
    return _TIME.sub("", " ".join(value.split()))


def _day(year: int, month: int, day: int) -> dt.date | None:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return None
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _chosen(orders: dict[str, str], two_digit: str | None) -> Reader:
    """Read with an order per separator; two-digit years only where an order was typed."""

    def read(value: str) -> dt.date | None:
        cell = _WEEKDAY.sub("", _without_time(value))
        match = _YEAR_FIRST.match(cell) or _EIGHT.match(cell)
        if match is not None:
            return _day(int(match[1]), int(match[match.re.groups - 1]), int(match[match.re.groups]))
        match = _YEAR_LAST.match(cell)
        if match is not None:
            return _numeric(match, orders.get(match[2]), two_digit)
        return _named_month(cell)

    return read


def _numeric(match: re.Match[str], order: str | None, two_digit: str | None) -> dt.date | None:
    first, second, last = int(match[1]), int(match[3]), match[4]
    if len(last) == 2:
        if two_digit is None:
            return None
        if two_digit == "ymd":
            return _day(_full(first), second, int(last)) if len(match[1]) == 2 else None
        year = _full(int(last))
    else:
        year = int(last)
    if order in ("dmy", "mdy"):
        return _day(year, second, first) if order == "dmy" else _day(year, first, second)
    # No order is needed where only one reading exists.
    readings = {_day(year, second, first), _day(year, first, second)} - {None}
    return readings.pop() if len(readings) == 1 else None


def _full(year: int) -> int:
    return year + (1900 if year >= 50 else 2000)


def _named_month(cell: str) -> dt.date | None:
    match = _DAY_MONTH.match(cell)
    if match is not None:
        day, word, year = match[1], match[2], match[3]
    else:
        match = _MONTH_DAY.match(cell)
        if match is None:
            return None
        word, day, year = match[1], match[2], match[3]
    word = "september" if word.lower() == "sept" else word.lower()
    months = [at for at, month in enumerate(_MONTHS, 1) if word in (month, month[:3])]
    return _day(int(year), months[0], int(day)) if months else None


def _settled(cells: Sequence[str], name: str) -> dict[str, str]:
    """The order of day and month per separator, as far as the file itself settles it."""
    open_cells: dict[str, str] = {}
    found: dict[str, dict[str, str]] = {}
    short: list[str] = []
    for cell in cells:
        match = _YEAR_LAST.match(_WEEKDAY.sub("", cell))
        if match is None:
            continue
        if len(match[4]) == 2:
            short.append(cell)
            continue
        first, second, year = int(match[1]), int(match[3]), int(match[4])
        day_first, month_first = _day(year, second, first), _day(year, first, second)
        if day_first and month_first and day_first != month_first:
            open_cells.setdefault(match[2], cell)
        elif (day_first is None) != (month_first is None):
            found.setdefault(match[2], {})["dmy" if day_first else "mdy"] = cell
    if 2 * len(short) > len(cells):
        _ask(name, f"{findings.show(short[0])!r} has a year of two digits")
    orders: dict[str, str] = {}
    for separator, seen in found.items():
        if len(seen) == 1:
            orders[separator] = next(iter(seen))
        elif separator in open_cells:
            both = " and ".join(repr(cell) for cell in seen.values())
            _ask(name, f"{both} contradict each other")
    for separator, cell in open_cells.items():
        if separator not in orders:
            _ask(name, f"{findings.show(cell)!r} may be day first or month first")
    return orders


def _ask(name: str, why: str) -> None:
    raise RefusedInput(f"{name}: {why}; type --dates dmy or --dates mdy (or ymd, or a format)")


def _by_format(wanted: str, cells: Sequence[str], name: str) -> Reader:
    sample = dt.datetime(2021, 12, 25)
    year = any(code in wanted for code in ("%Y", "%y", "%x", "%c", "%G"))
    try:
        fits = (
            year and dt.datetime.strptime(sample.strftime(wanted), wanted).date() == sample.date()
        )
    except (ValueError, re.error):
        fits = False
    if not fits:
        raise UseError(
            f"--dates {findings.show(wanted)}: neither dmy, mdy, ymd nor a format with year, month"
            " and day such as %d.%m.%Y"
        )

    def read(value: str) -> dt.date | None:
        for text in (" ".join(value.split()), _without_time(value)):
            try:
                day = dt.datetime.strptime(text, wanted).date()
            except ValueError:
                continue
            return day if FIRST_YEAR <= day.year <= LAST_YEAR else None
        return None

    if cells and all(read(cell) is None for cell in cells):
        raise RefusedInput(
            f"{name}: no date reads as {findings.show(wanted)}, the first is"
            f" {findings.show(cells[0])!r}; check --dates"
        )
    return read
