"""An interval drawn in cells, on a scale that all rows share."""

from __future__ import annotations

import math
from dataclasses import dataclass

# Steps of an axis: in shares 1, 2, 5, 10, 20, 50 of a hundred, then those of larger figures.
_STEPS = tuple(n * 10.0**power for power in range(-2, 5) for n in (1, 2, 5))
_LABEL_CELLS = 6


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
    """A scale that holds everything from `low` to `high` in `cells` cells, with round ticks."""
    low = 0.0 if low is None or not math.isfinite(low) else low
    high = 1.0 if high is None or not math.isfinite(high) else high
    # Whole hundredths at the ends, so that nothing sits on the very edge of the drawing.
    bottom, top = math.floor(round(100 * low, 6)) / 100, math.ceil(round(100 * high, 6)) / 100
    if top - bottom < 0.02:
        bottom, top = bottom - 0.01, top + 0.01
    room = max(1.0, cells / _LABEL_CELLS)
    at = next((i for i, s in enumerate(_STEPS) if (top - bottom) / s <= room), len(_STEPS) - 1)
    scale = Scale(bottom, top, _STEPS[at])
    # One figure alone names a place and no scale.
    return scale if at == 0 or len(scale.ticks()) > 1 else Scale(bottom, top, _STEPS[at - 1])


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


def axis_cells(scale: Scale, cells: int, *, percent: bool = True, share: bool = True) -> str:
    """The line under the table that says what the places mean; the first figure has the sign.

    Args:
        scale: the scale of the drawing.
        cells: its width.
        percent: whether the first figure has a percent sign.
        share: whether it is of shares, told in hundredths, or of figures as they are.
    """
    row = [" "] * cells
    free = 0
    sign = " %" if percent and share else ""
    for tick in scale.ticks():
        words = (f"{100 * tick:.0f}" if share else f"{round(tick, 6):g}").replace("-", "−")
        start = min(max(scale.place(tick, cells) - (len(words) - 1) // 2, 0), cells - len(words))
        words += sign
        if start < free or start + len(words) > cells:
            continue
        row[start : start + len(words)] = words
        free = start + len(words) + 1
        sign = ""
    return "".join(row)
