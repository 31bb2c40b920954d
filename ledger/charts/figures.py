"""Figures as words on a picture: how many digits a share may have, and its interval beside it."""

from __future__ import annotations


def percent(share: float, of: int | None = None) -> str:
    """A share as percent: one decimal from 100 observations, whole below or where n is unknown.

    >>> percent(0.8488, 103), percent(0.8488, 42)
    ('84.9 %', '85 %')
    """
    return f"{_digits(share, of)} %"


def interval(low: float, high: float, of: int | None = None) -> str:
    """Both limits of an interval in percent, with the digits of their figure.

    >>> interval(0.7921, 0.8955, 103)
    '79.2 to 89.6'
    """
    return f"{_digits(low, of)} to {_digits(high, of)}"


def share_words(
    made: int | None, of: int | None, share: float | None, low: float | None, high: float | None
) -> str:
    """A share with its interval; below ten observations the two counts, without percent.

    Returns:
        `84.9 % (79.2 to 89.6)`, `4 of 5`, or a dash where nothing is known.
    """
    if made is not None and of is not None and of < 10:
        return f"{made} of {of}"
    if share is None:
        return f"{made} of {of}" if made is not None and of is not None else "–"
    if low is None or high is None:
        return percent(share, of)
    return f"{percent(share, of)} ({interval(low, high, of)})"


def count(number: int, one: str, many: str | None = None) -> str:
    """A number and its noun, thousands parted by commas.

    >>> count(1, "player"), count(12345, "attempt")
    ('1 player', '12,345 attempts')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def _digits(share: float, of: int | None) -> str:
    places = 1 if of is not None and of >= 100 else 0
    return f"{share * 100:.{places}f}"
