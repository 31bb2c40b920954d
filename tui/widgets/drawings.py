"""What a column draws instead of writing: each of its rows on a scale that all rows share.

A drawing names the columns it is drawn from and draws one row in cells. Nothing is computed: its
figures are those of the answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from ledger.questions.strip import Scale, interval_cells
from ledger.questions.wording import amount, limits, signed

Row = Mapping[str, Any]
# From here on there is room for the intervals of two rates beside each other.
_ROOM = 26


class Drawing(Protocol):
    """Something drawn in the cells of a row."""

    @property
    def spans(self) -> tuple[str, ...]:
        """The columns whose figures the scale has to hold."""

    @property
    def percent(self) -> bool:
        """Whether the scale is one of shares in percent."""

    @property
    def share(self) -> bool:
        """Whether its figures are shares, told in hundredths, or as they are."""

    @property
    def zero(self) -> bool:
        """Whether the scale always holds 0."""

    def cells(self, row: Row, scale: Scale, cells: int) -> str:
        """The row in exactly so many cells."""

    def told(self, row: Row) -> str:
        """The same in figures, for rows that are copied; empty where there is nothing."""


@dataclass(frozen=True, slots=True)
class Interval:
    """An interval with its point, or a bare range.

    Attributes:
        low: the column of its low end.
        high: the column of its high end.
        point: the column of its point, or None.
        percent: whether the axis says that these are percent.
        zero: whether the scale always holds 0, which is marked: for differences.
        share: whether the figures are shares, or points and the like.
    """

    low: str
    high: str
    point: str | None
    percent: bool = True
    zero: bool = False
    share: bool = True

    @property
    def spans(self) -> tuple[str, ...]:
        """The columns whose figures the scale has to hold."""
        return (self.low, self.high)

    def cells(self, row: Row, scale: Scale, cells: int) -> str:
        """`┝━━●━━━┥`; for a difference over a `│` at 0."""
        point = row.get(self.point) if self.point else None
        drawn = interval_cells(row.get(self.low), point, row.get(self.high), scale, cells)
        at = scale.place(0.0, cells)
        if not self.zero or not 0 <= at < cells:
            return drawn
        sign = {" ": "│", "━": "┿"}.get(drawn[at], drawn[at])
        return drawn[:at] + sign + drawn[at + 1 :]

    def told(self, row: Row) -> str:
        """The limits."""
        low, high = row.get(self.low), row.get(self.high)
        if low is None or high is None:
            return ""
        if not self.share:
            # Both limits with the digits of the larger one.
            return amount(high, low, high).partition("(")[2].rstrip(")")
        if self.zero:
            return f"{signed(low)} to {signed(high)}"
        return f"{limits(low, high, 100)} %"


@dataclass(frozen=True, slots=True)
class Dumbbell:
    """Two rates of a row, one before and one after, joined.

    Where there is room each has its interval: `├──○──┤` before, `┝━━●━━┥` after.

    Attributes:
        before: the columns of rate, low and high before.
        after: the same after.
    """

    before: tuple[str, str, str]
    after: tuple[str, str, str]
    percent: bool = True
    zero: bool = False
    share: bool = True

    @property
    def spans(self) -> tuple[str, ...]:
        """The columns whose figures the scale has to hold."""
        return (*self.before, *self.after)

    def cells(self, row: Row, scale: Scale, cells: int) -> str:
        """`○────●` in a small place, else with both intervals; the later one lies above."""
        drawn = [" "] * cells
        first, last = row.get(self.before[0]), row.get(self.after[0])
        if cells >= _ROOM:
            _stroke(drawn, row, self.before, scale, "├─┤")
            _stroke(drawn, row, self.after, scale, "┝━┥")
        elif first is not None and last is not None:
            ends = sorted((scale.place(first, cells), scale.place(last, cells)))
            drawn[ends[0] : ends[1] + 1] = "─" * (ends[1] - ends[0] + 1)
        for value, sign in ((first, "○"), (last, "●")):
            at = -1 if value is None else scale.place(value, cells)
            if 0 <= at < cells:
                drawn[at] = "◉" if drawn[at] == "○" else sign
        return "".join(drawn)

    def told(self, row: Row) -> str:
        """Both rates with their limits."""
        parts = []
        for word, names in (("before", self.before), ("after", self.after)):
            rate, low, high = (row.get(name) for name in names)
            if rate is not None and low is not None and high is not None:
                parts.append(f"{word} {100 * rate:.0f} % ({limits(low, high, 10)})")
        return ", ".join(parts)


def _stroke(
    drawn: list[str], row: Row, names: tuple[str, str, str], scale: Scale, signs: str
) -> None:
    """An interval with its ends and its body in `signs`."""
    _, low, high = (row.get(name) for name in names)
    if low is None or high is None:
        return
    first, last = scale.place(low, len(drawn)), scale.place(high, len(drawn))
    for x in range(max(first, 0), min(last, len(drawn) - 1) + 1):
        drawn[x] = signs[0 if x == first else 2 if x == last else 1]
