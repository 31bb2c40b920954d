"""Seasons: four spellings of one season, and a label of its own for everything else."""

from __future__ import annotations

import re

from ledger.intake import names

FIRST_YEAR, LAST_YEAR = 1890, 2100
_TWO_YEARS = re.compile(r"^(\d{4}|\d{2}) ?[-/\u2010-\u2015\u2212] ?(\d{4}|\d{2})$")
_YEAR = re.compile(r"(?<!\d)(\d{4})(?!\d)")
# Two-digit years: 50 and later are of the last century.
_PIVOT = 50


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


def _year(digits: str) -> int:
    year = int(digits)
    if len(digits) == 4:
        return year
    return year + (1900 if year >= _PIVOT else 2000)
