"""What the values of a column show, whatever its header says."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.intake import clocks, kind_guard, seasons
from ledger.intake.mapping import header_form

if TYPE_CHECKING:
    from ledger.intake.tokens import Table

# More different values of one column show nothing new.
_MOST_VALUES = 20_000
NULL_WORDS = ("null", "na", "n/a", "none", "-", "--", "–", "nan", "\\n", ".", "?")
_INTEGER = re.compile(r"^\d{1,6}(?:\.0)?$")
_NUMBER = re.compile(r"^[+-]?(?:\d*[.,])?\d+\s*%?$")
_DATE = re.compile(
    r"^(?:[A-Za-z]{2,9}\.?,?\s+)?(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]"
    r"(?:\d{4}|\d{2})\.?|(?:19|20)\d{6}|\d{1,2}\.? [A-Za-z]{3,9}\.?,? \d{4}|"
    r"[A-Za-z]{3,9}\.? \d{1,2},? \d{4})(?:[T ,]+\d{1,2}[:.]\d{2}.*)?$"
)
_CLOCK = re.compile(r"^(?:\d{1,2}:[0-5]\d(?:[.,]\d{1,3})?|PT\d{1,2}M[\d.]+S)$")
_PERIOD_CLOCK = re.compile(r"^\w{1,3}\s*[-/|,;]\s*\d{1,2}:[0-5]\d(?:[.,]\d)?$")
_OF = re.compile(r"^\d\s*(?:/|of|de|von|di|sur|-|out of)\s*\d$", re.IGNORECASE)
_LETTERS = re.compile(r"[^\W\d_]")
_NUMBER_FRONT = re.compile(r"^#?\s*\d{1,3}\s*[.,:)\-–]?\s+[^\W\d_]|^#\d{1,3}\s*[^\W\d_]")
_NUMBER_BACK = re.compile(r"[^\W\d_.]\.?\s*(?:#\s*\d{1,3}|\(\s*#?\d{1,3}\s*\))$")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a file.

    Attributes:
        name: its header as written, or its number.
        place: where it stands, 0 the first.
        ref: how a profile refers to it.
        counts: filled cell to number of rows, the commonest first; at most 20,000 of them.
        rows: rows of the file.
    """

    name: str
    place: int
    ref: str | int
    counts: Mapping[str, int]
    rows: int

    @property
    def filled(self) -> int:
        """How many rows have a value that is no word for nothing."""
        return sum(n for value, n in self.counts.items() if not is_null(value))

    def share(self, fits: Callable[[str], bool]) -> float:
        """The share of filled rows whose value fits, 0 where none is filled."""
        filled = {v: n for v, n in self.counts.items() if not is_null(v)}
        total = sum(filled.values())
        return sum(n for v, n in filled.items() if fits(v)) / total if total else 0.0

    def example(self) -> str:
        """Its commonest value."""
        return next((v for v in self.counts if not is_null(v)), "")


def columns_of(table: Table) -> tuple[Column, ...]:
    """The columns of a table with their different values counted."""
    seen: dict[str, int] = {}
    forms: dict[str, int] = {}
    for name in table.columns:
        forms[header_form(name)] = forms.get(header_form(name), 0) + 1
    found = []
    for at, name in enumerate(table.columns):
        form = header_form(name)
        seen[form] = seen.get(form, 0) + 1
        if not name.strip() or name == str(at + 1):
            ref: str | int = at + 1
        elif forms[form] > 1:
            ref = name.strip() if seen[form] == 1 else f"{name.strip()}#{seen[form]}"
        else:
            ref = name.strip()
        values = table.frame[str(at)].str.strip_chars().value_counts(sort=True).head(_MOST_VALUES)
        counts = {str(v): int(n) for v, n in values.iter_rows() if v}
        found.append(Column(name.strip(), at, ref, counts, table.frame.height))
    return tuple(found)


def is_null(value: str) -> bool:
    """Whether a cell is a usual word for nothing."""
    return value.strip().casefold() in NULL_WORDS or not value.strip()


def is_integer(value: str) -> bool:
    """Whether a cell is a whole number of 0 or more."""
    return _INTEGER.match(value) is not None


def is_number(value: str) -> bool:
    """Whether a cell is any number, percent included."""
    return _NUMBER.match(value) is not None


def is_date(value: str) -> bool:
    """Whether a cell reads like a calendar day, in any order."""
    return _DATE.match(value) is not None


def is_season(value: str) -> bool:
    """Whether a cell reads like a season."""
    return seasons.season_of(value) is not None and not is_date(value)


def is_clock(value: str) -> bool:
    """Whether a cell reads like the clock of a game, minutes and seconds."""
    return _CLOCK.match(value) is not None


def is_seconds(value: str) -> bool:
    """Whether a cell may be seconds of a period."""
    return is_number(value) and not value.endswith("%") and 0 <= float(_dot(value)) <= 1200


def _dot(value: str) -> str:
    return value.replace(",", ".")


def is_period_clock(value: str) -> bool:
    """Whether a cell holds period and clock, such as `2 - 0:47`."""
    return _PERIOD_CLOCK.match(value) is not None


def is_period(value: str) -> bool:
    """Whether a cell names a period of a game."""
    number = clocks.period_reader([value, "4"])(value)
    return number is not None and 1 <= number <= 12


def is_of(value: str) -> bool:
    """Whether a cell reads like a place in a trip, such as `1 of 2`."""
    return _OF.match(value) is not None


def is_pair(value: str) -> bool:
    """Whether a cell reads like makes and attempts."""
    return kind_guard.is_pair(value)


def is_name(value: str) -> bool:
    """Whether a cell may be a name: it holds a letter and is no date."""
    return _LETTERS.search(value) is not None and not is_date(value) and len(value) <= 60


def number_in_front(value: str) -> bool:
    """Whether a shirt number stands in front of a name."""
    return _NUMBER_FRONT.match(value) is not None


def number_behind(value: str) -> bool:
    """Whether a shirt number stands behind a name."""
    return _NUMBER_BACK.search(value) is not None


def family_first(value: str) -> bool:
    """Whether a name is written `Family, Given`."""
    bare = re.sub(r"^#?\s*\d{1,3}\s*[.,:)\-–]?\s*", "", value)
    return re.match(r"^[^,\d]+,\s*[^\W\d_][^,\d]*$", bare) is not None
