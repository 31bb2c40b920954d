"""How numbers are written on the screens; nothing is computed here, only written.

Shares are 0..1 in an answer and percent on a screen.
"""

from __future__ import annotations

from typing import Any

NONE = "–"


def percent(share: float | None, digits: int = 1) -> str:
    """A share as a percent figure with its sign.

    >>> percent(0.849)
    '84.9 %'
    """
    return NONE if share is None else f"{100 * share:.{digits}f} %"


def bare_percent(share: float | None, digits: int = 1) -> str:
    """A share as a percent figure without its sign.

    >>> bare_percent(0.849, 0)
    '85'
    """
    return NONE if share is None else f"{100 * share:.{digits}f}"


def count(number: int | None) -> str:
    """A count with its thousands parted.

    >>> count(181233)
    '181,233'
    """
    return NONE if number is None else f"{number:,}"


def made_of(made: int | None, attempts: int | None) -> str:
    """Makes of attempts.

    >>> made_of(91, 103)
    '91/103'
    """
    return f"{count(made)}/{count(attempts)}"


def plural(number: int, one: str, many: str = "") -> str:
    """A count with its word.

    >>> plural(1, "row"), plural(3, "row")
    ('1 row', '3 rows')
    """
    return f"{count(number)} {one if number == 1 else many or one + 's'}"


def listed(names: tuple[str, ...] | list[str], most: int = 3) -> str:
    """Names in a row, the last ones counted where there are too many.

    >>> listed(["a", "b", "c", "d", "e"])
    'a, b, c and 2 more'
    """
    if len(names) <= most:
        return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
    return ", ".join(names[:most]) + f" and {len(names) - most} more"


def cell(value: Any, unit: str = "") -> str:
    """Any figure of an answer by its unit, as plain text."""
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value) if unit in ("year", "") else count(value)
    if isinstance(value, float):
        return percent(value) if unit == "share" else f"{value:.4g}"
    return str(value)


def range_words(low: float | None, high: float | None) -> str:
    """An interval of shares in words.

    >>> range_words(0.792, 0.896)
    '79.2 to 89.6 %'
    """
    if low is None or high is None:
        return NONE
    return f"{bare_percent(low)} to {percent(high)}"
