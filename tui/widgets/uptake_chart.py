"""Shares over seasons, drawn in cells.

Each line has its own sign and its name at its end, so that it reads without colour. An interval
stands as `│` between `┬` and `┴`; where there is no share, only bounds, a dotted `┊` without a
sign, and the line breaks as at a season that is missing; what is foreseen is dashed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.questions.strip import Scale, scale_of
from ledger.safe_text import cut, safe, width
from tui.widgets.canvas import AXIS, Canvas, CanvasView

# The shapes of the saved pictures, in their order.
SIGNS = "●■◆▲▼✚"
# An interval that goes on above the picture.
BEYOND = "↑"
# An interval, bounds without a share, and what is foreseen: its point and its interval.
BODY, BOUNDS, AHEAD, AHEAD_BODY = "│", "┊", "○", "╎"
ENDS = "┬┴"
LEGEND = (
    f"{ENDS[0]}{BODY}{ENDS[1]} 95 %   {BOUNDS} from nobody to everybody of those not watched "
    f"({BEYOND} goes on)   {AHEAD}{AHEAD_BODY} forecast, assumes growth to 100 %"
)
_FORECAST = f"{AHEAD} forecast"
# Steps of the scale, as far as lines do not make them too many; for a tall picture twice as many.
_STEPS, _TALL = 4, 18
_LONG_SEASON = re.compile(r"\d\d(\d\d-\d\d)")
MOST_LINES = len(SIGNS)


@dataclass(frozen=True, slots=True)
class Season:
    """One season of a line: a share with its interval, or bounds only.

    Attributes:
        year: the year it starts in.
        label: as the axis names it.
        share: the share, or None where only bounds are known.
        low: the low end of the interval or the bounds.
        high: the high end.
        foreseen: whether it is a forecast.
    """

    year: int
    label: str
    share: float | None
    low: float | None
    high: float | None
    foreseen: bool = False


@dataclass(frozen=True, slots=True)
class ChartLine:
    """A named line over seasons, in their order."""

    name: str
    seasons: tuple[Season, ...]


def draw(lines: Sequence[ChartLine], cells: int, height: int) -> Canvas:
    """The picture of some lines in `cells` by `height` cells."""
    canvas = Canvas(cells, height)
    shown = [line for line in lines[:MOST_LINES] if line.seasons]
    names = [f"{SIGNS[i]} {safe(line.name)}" for i, line in enumerate(shown)]
    ahead = [_FORECAST] if any(s.foreseen for line in shown for s in line.seasons) else []
    right = min(max((width(n) for n in [*names, *ahead]), default=0), cells // 4)
    left, plot = 7, cells - 7 - right - 3
    if height < 5 or plot < 12 or not shown:
        canvas.put(0, 0, "no room for the picture" if shown else "", AXIS)
        return canvas
    years = sorted({s.year for line in shown for s in line.seasons})
    every = [s for line in shown for s in line.seasons]
    # Bounds of seasons without a share may reach 100 %: they run out at the top, else the shares
    # could not be read.
    known = [s for s in every if s.share is not None] or every
    top = max((v for s in known for v in (s.share, s.high) if v), default=1)
    # Its steps depend on the shares alone: a line that goes to a message changes nothing.
    scale = scale_of(0.0, top, 6 * (_STEPS if height <= _TALL else 2 * _STEPS))
    frame = _Frame(canvas, scale, years, left, plot, height - 1)
    _axes(frame, shown)
    for i, line in enumerate(shown):
        _join(frame, line, i, len(shown))
    for i, line in enumerate(shown):
        _signs(frame, line, i, len(shown))
    _names(frame, shown, [*names, *ahead], right)
    return canvas


@dataclass(frozen=True, slots=True)
class _Frame:
    canvas: Canvas
    scale: Scale
    years: list[int]
    left: int
    plot: int
    height: int

    def x(self, year: int, line: int, lines: int) -> int:
        """The cell of a year; lines stand beside each other where there is room."""
        gap = (self.plot - 5) / max(1, self.years[-1] - self.years[0])
        first = self.years[0]
        at = (
            self.left + 2 + (round((year - first) * gap) if len(self.years) > 1 else self.plot // 2)
        )
        return at + (line - lines // 2 if gap > lines + 1 else 0)

    def y(self, share: float) -> int:
        """The cell of a share."""
        return self.height - 1 - self.scale.place(share, self.height)

    def fine_y(self, share: float) -> int:
        """The dot of a share, four a cell."""
        part = (share - self.scale.low) / (self.scale.high - self.scale.low)
        return round((1 - part) * (self.height - 1) * 4) + 1


def _axes(frame: _Frame, lines: Sequence[ChartLine]) -> None:
    for y in range(frame.height):
        frame.canvas.put(frame.left - 1, y, "│", AXIS)
    ticks = frame.scale.ticks()
    while len({frame.y(tick) for tick in ticks}) < len(ticks):
        ticks = ticks[::2]
    for tick in ticks:
        y = frame.y(tick)
        frame.canvas.put(0, y, f"{100 * tick:3.0f} %", AXIS)
        frame.canvas.put(frame.left - 1, y, "┤", AXIS)
    labels = {s.year: safe(s.label) for line in reversed(lines) for s in line.seasons}
    whole = _placed(frame, labels)
    if len(whole) < len(labels):
        whole = _placed(frame, {y: _LONG_SEASON.sub(r"\1", name) for y, name in labels.items()})
    for start, label in whole:
        frame.canvas.put(start, frame.height, label, AXIS)


def _placed(frame: _Frame, labels: Mapping[int, str]) -> list[tuple[int, str]]:
    """The names of seasons that have room, and where they begin."""
    found: list[tuple[int, str]] = []
    free = 0
    for year in frame.years:
        label = labels[year]
        start = max(frame.x(year, 0, 1) - width(label) // 2, 0)
        if start >= free and start + width(label) <= frame.canvas.cells:
            found.append((start, label))
            free = start + width(label) + 1
    return found


def _join(frame: _Frame, line: ChartLine, number: int, lines: int) -> None:
    for a, b in pairwise(line.seasons):
        if a.share is None or b.share is None or b.year - a.year > 1:
            continue
        x0, x1 = (2 * frame.x(s.year, number, lines) for s in (a, b))
        y0, y1 = frame.fine_y(a.share), frame.fine_y(b.share)
        steps = max(abs(x1 - x0), abs(y1 - y0), 1)
        for k in range(steps + 1):
            # Dashes of six dots with gaps of four say that this part is foreseen.
            if b.foreseen and k % 10 >= 6:
                continue
            frame.canvas.dot(
                round(x0 + (x1 - x0) * k / steps), round(y0 + (y1 - y0) * k / steps), number
            )


def _signs(frame: _Frame, line: ChartLine, number: int, lines: int) -> None:
    for season in line.seasons:
        x = frame.x(season.year, number, lines)
        if season.low is not None and season.high is not None:
            high, low = frame.y(season.high), frame.y(season.low)
            body = BODY if not season.foreseen else AHEAD_BODY
            if season.share is None:
                body = BOUNDS
            for y in range(high, low + 1):
                frame.canvas.put(x, y, body, number)
            if high < 0:
                frame.canvas.put(x, 0, BEYOND, number)
            if season.share is not None and high < low:
                frame.canvas.put(x, high, ENDS[0], number)
                frame.canvas.put(x, low, ENDS[1], number)
        if season.share is not None:
            sign = AHEAD if season.foreseen else SIGNS[number]
            frame.canvas.put(x, frame.y(season.share), sign, number)


def _names(frame: _Frame, lines: Sequence[ChartLine], names: list[str], room: int) -> None:
    taken: set[int] = set()
    for i, line in enumerate(lines):
        last = line.seasons[-1]
        share = last.share if last.share is not None else last.high or 0.0
        near = sorted(range(frame.height), key=lambda y: (abs(y - frame.y(share)), y))
        y = next((y for y in near if y not in taken), None)
        if y is not None:
            taken.add(y)
            frame.canvas.put(frame.left + frame.plot + 2, y, cut(names[i], room + 1), i)
    free = next((y for y in reversed(range(frame.height)) if y not in taken), None)
    for said in names[len(lines) :]:
        if free is not None:
            frame.canvas.put(frame.left + frame.plot + 2, free, cut(said, room + 1), AXIS)


class UptakeChart(CanvasView):
    """The picture on a screen."""

    DEFAULT_CSS = "UptakeChart { height: 1fr; min-height: 6; width: 100%; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.lines: tuple[ChartLine, ...] = ()

    def show(self, lines: Sequence[ChartLine]) -> None:
        """Draw other lines."""
        self.lines = tuple(lines)
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.lines, cells, lines)
