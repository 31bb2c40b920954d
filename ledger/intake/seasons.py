"""Seasons: four spellings of one season, and a label of its own for everything else."""

from __future__ import annotations

import datetime as dt
import re

from ledger.intake import names

FIRST_YEAR, LAST_YEAR = 1890, 2100
_TWO_YEARS = re.compile(r"^(\d{4}|\d{2}) ?[-/\u2010-\u2015\u2212] ?(\d{4}|\d{2})$")
_YEAR = re.compile(r"(?<!\d)(\d{4})(?!\d)")
# Two-digit years: 50 and later are of the last century.
_PIVOT = 50
# A season of two years is taken to run from July to September, one of one year to be that year, and
# days so far outside to be slips of the pen; common practice, no source.
FAR_DAYS = 60
_RUNS_OVER = re.compile(r"^\d{4}-\d{2}$")
_OF_ONE_YEAR = re.compile(r"^\D*\d{4}\D*$")


def season_of(text: str) -> tuple[str, int] | None:
    """The normal form of a season and the year it starts in.

    `2023-24`, `2023/24`, `2023-2024` and `23-24` are one season; `2024` and `Spring 2024` are
    labels of their own and are equated with nothing.

    Returns:
        `(normal form, start year)`, `None` where no year can be read or two years do not follow
        each other.

    >>> season_of("23/24")
    ('2023-24', 2023)
    >>> season_of("2024")
    ('2024', 2024)
    """
    label = names.clean(text)
    match = _TWO_YEARS.match(label)
    if match is not None:
        start = _year(match[1])
        end = int(match[2])
        follows = (start + 1) % (100 if len(match[2]) == 2 else 10_000) == end
        # 2023-05 is a month, not a season: only the year after it makes one.
        if not follows or not FIRST_YEAR <= start <= LAST_YEAR:
            return None
        return f"{start}-{(start + 1) % 100:02d}", start
    years = _YEAR.findall(label)
    if not years or not FIRST_YEAR <= int(years[0]) <= LAST_YEAR:
        return None
    return names.normal_form(label), int(years[0])


def days_of(key: str, start_year: int) -> tuple[dt.date, dt.date] | None:
    """The first and last day that are not far outside a season; none where its span is unknown.

    Args:
        key: the season's normal form.
        start_year: the year it starts in.

    >>> days_of("2024-25", 2024)
    (datetime.date(2024, 5, 2), datetime.date(2025, 11, 29))
    """
    if _RUNS_OVER.match(key):
        first, last = dt.date(start_year, 7, 1), dt.date(start_year + 1, 9, 30)
    elif _OF_ONE_YEAR.match(key):
        first, last = dt.date(start_year, 1, 1), dt.date(start_year, 12, 31)
    else:
        return None
    near = dt.timedelta(days=FAR_DAYS)
    return first - near, last + near


def _year(digits: str) -> int:
    year = int(digits)
    if len(digits) == 4:
        return year
    return year + (1900 if year >= _PIVOT else 2000)
