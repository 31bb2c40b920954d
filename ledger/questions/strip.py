"""An interval drawn in cells, on a scale that all rows share."""

from __future__ import annotations

import math
from dataclasses import dataclass

# Steps of an axis in shares: 1, 2, 5, 10, 20, 50 of a hundred.
_STEPS = (0.01, 0.02, 0.05, 0.10, 0.20, 0.25, 0.50, 1.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """A common scale: `low` at the first cell, `high` at the last, a tick each `step`."""

    low: float
    high: float
    step: float

    def place(self, value: float, cells: int) -> int:
        """The cell of a value; below 0 or beyond the last where it lies outside."""
        return round((value - self.low) / (self.high - self.low) * (cells - 1))

    def ticks(self) -> list[float]:
        """The values that the axis names."""
        first = math.ceil(round(self.low / self.step, 6))
        last = math.floor(round(self.high / self.step, 6))
        return [k * self.step for k in range(first, last + 1)]


def scale_of(low: float | None, high: float | None, cells: int) -> Scale:
    """A scale with round ends that holds everything from `low` to `high` in `cells` cells."""
    low = 0.0 if low is None or not math.isfinite(low) else low
    high = 1.0 if high is None or not math.isfinite(high) else high
    if high - low < 0.02:
        low, high = low - 0.01, high + 0.01
    room = max(2, cells // 9)
    step = next((s for s in _STEPS if (high - low) / s <= room), _STEPS[-1])
    bottom = math.floor(round(low / step, 6)) * step
    top = math.ceil(round(high / step, 6)) * step
    return Scale(bottom, top if top > bottom else bottom + step, step)


def interval_cells(
    low: float | None, point: float | None, high: float | None, scale: Scale, cells: int
) -> str:
    """`┝━━●━━━┥` in `cells` cells; without a point a bare range, without limits a bare point.

    What runs out of the scale ends in `‹` or `›`.
    """
    row = [" "] * cells
    if low is not None and high is not None:
        first, last = scale.place(low, cells), scale.place(high, cells)
        for x in range(max(first, 0), min(last, cells - 1) + 1):
            row[x] = "━"
        for x, sign, beyond in ((first, "┝", "‹"), (last, "┥", "›")):
            row[min(max(x, 0), cells - 1)] = sign if 0 <= x < cells else beyond
    if point is not None:
        at = scale.place(point, cells)
        if 0 <= at < cells:
            row[at] = "●"
    return "".join(row)


def axis_cells(scale: Scale, cells: int, *, percent: bool = True) -> str:
    """The line under the table that says what the places mean."""
    row = [" "] * (cells + 4)
    free = 0
    for tick in scale.ticks():
        words = f"{100 * tick:.0f}"
        if percent and free == 0:
            words += " %"
        at = scale.place(tick, cells)
        start = min(max(at - (len(words.removesuffix(" %")) - 1) // 2 - 0, 0), cells - len(words))
        if start < free or start < 0:
            continue
        row[start : start + len(words)] = words
        free = start + len(words) + 1
    return "".join(row)[:cells]
