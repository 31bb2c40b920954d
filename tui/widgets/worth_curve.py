"""What a trip to the line brings at every make rate, drawn in dots.

Each kind of trip has its line, its sign where the shooter is, and its name at the end. `░` marks
the shooter's interval; the dashed line is what a possession brings, and `╳` where a kind of trip
crosses it: a deliberate foul pays left of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.questions.strip import Scale, axis_cells, scale_of
from ledger.safe_text import cut, safe, width
from tui.widgets.canvas import AXIS, SHADE, Canvas, CanvasView
from tui.widgets.uptake_chart import SIGNS

CROSSING = "╳"
LEGEND = "░ where the shooter is   ┄ what a possession brings   ╳ below it a deliberate foul pays"
_LEFT = 6
# Rates below are of nobody, unless something that is marked lies there.
_USUAL_LOW = 0.4


@dataclass(frozen=True, slots=True)
class TripLine:
    """One kind of trip.

    Attributes:
        name: in words.
        points: make rate and points, in the order of the rates.
        here: points at the shooter's rate.
        crossing: the rate at which it brings what a possession does, or None.
    """

    name: str
    points: tuple[tuple[float, float], ...]
    here: float
    crossing: float | None = None


@dataclass(frozen=True, slots=True)
class WorthPicture:
    """What is drawn.

    Attributes:
        lines: the kinds of trip.
        rate: the shooter's make rate.
        low: its lower limit, or None where it was typed.
        high: its upper limit.
        possession: points of a possession, or None where they are not known.
        shooter: who shoots at it, with the figure.
    """

    lines: tuple[TripLine, ...] = ()
    rate: float | None = None
    low: float | None = None
    high: float | None = None
    possession: float | None = None
    shooter: str = ""


def draw(told: WorthPicture, cells: int, lines: int) -> Canvas:
    """The picture in `cells` by `lines` cells."""
    canvas = Canvas(cells, lines)
    # Each line has its name beside it, so that there are no more than the picture is high.
    shown = told.lines[: min(len(SIGNS), max(1, lines - 2))]
    if not shown:
        return canvas
    names = [f"{SIGNS[i]} {safe(line.name)}" for i, line in enumerate(shown)]
    right = min(max(width(n) for n in names), cells // 4)
    plot = cells - _LEFT - right - 2
    if lines < 6 or plot < 16:
        canvas.put(0, 0, cut("no room for the picture", cells), AXIS)
        return canvas
    marked = [told.rate, told.low, *(line.crossing for line in shown)]
    least = min([_USUAL_LOW, *(v - 0.03 for v in marked if v is not None)])
    rates = scale_of(max(0.0, least), 1.0, plot)
    top = max(points for line in shown for rate, points in line.points)
    frame = _Frame(canvas, rates, scale_of(0.0, top, 3 * (lines - 2)), plot, lines - 2)
    _grounds(frame, told)
    _axes(frame, told)
    for i, line in enumerate(shown):
        _line(frame, line, i)
    for i, line in enumerate(shown):
        _marks(frame, told, line, i)
    _names(frame, shown, names, right)
    return canvas


@dataclass(frozen=True, slots=True)
class _Frame:
    canvas: Canvas
    rates: Scale
    points: Scale
    plot: int
    height: int

    def x(self, rate: float) -> int:
        """The cell of a rate."""
        return _LEFT + self.rates.place(rate, self.plot)

    def y(self, points: float) -> int:
        """The cell of some points."""
        return self.height - 1 - self.points.place(points, self.height)

    def dot(self, rate: float, points: float) -> tuple[float, float]:
        """The dot of a place."""
        across = (rate - self.rates.low) / (self.rates.high - self.rates.low)
        up = (points - self.points.low) / (self.points.high - self.points.low)
        return (
            2 * _LEFT + across * 2 * (self.plot - 1) + 0.5,
            (1 - up) * 4 * (self.height - 1) + 1.5,
        )


def _grounds(frame: _Frame, told: WorthPicture) -> None:
    if told.low is None or told.high is None:
        return
    for x in range(frame.x(told.low), frame.x(told.high) + 1):
        for y in range(frame.height):
            frame.canvas.shade(x, y, SHADE)


def _axes(frame: _Frame, told: WorthPicture) -> None:
    canvas = frame.canvas
    for y in range(frame.height):
        canvas.put(_LEFT - 1, y, "│", AXIS)
    for tick in frame.points.ticks():
        words = f"{tick:.1f}"
        canvas.put(_LEFT - 2 - width(words), frame.y(tick), words, AXIS)
        canvas.put(_LEFT - 1, frame.y(tick), "┤", AXIS)
    canvas.put(_LEFT, frame.height, axis_cells(frame.rates, frame.plot), AXIS)
    if told.rate is not None:
        x, words = frame.x(told.rate), safe(told.shooter)
        if x + 2 + width(words) > canvas.cells and width(words) + 1 <= x:
            canvas.put(x - width(words) - 1, frame.height + 1, f"{words} ▴", "strong")
        else:
            words = cut(words, canvas.cells - x - 2)
            canvas.put(x, frame.height + 1, f"▴ {words}", "strong")
    if told.possession is not None:
        y = frame.y(told.possession)
        for x in range(_LEFT, _LEFT + frame.plot):
            canvas.shade(x, y, "┄")
        # Trips cross it at the left, where rates are low.
        words = f" {told.possession:.2f} a possession "
        if width(words) <= frame.plot // 2:
            canvas.put(_LEFT + frame.plot - width(words), y, words, "text")


def _line(frame: _Frame, line: TripLine, number: int) -> None:
    seen = [place for place in line.points if place[0] >= frame.rates.low - 1e-9]
    before = [place for place in line.points if place[0] < frame.rates.low - 1e-9]
    for start, end in pairwise([*before[-1:], *seen]):
        (x0, y0), (x1, y1) = frame.dot(*start), frame.dot(*end)
        steps = max(round(abs(x1 - x0)), round(abs(y1 - y0)), 1)
        for k in range(steps + 1):
            x, y = round(x0 + (x1 - x0) * k / steps), round(y0 + (y1 - y0) * k / steps)
            if x >= 2 * _LEFT and 0 <= y < 4 * frame.height:
                frame.canvas.dot(x, y, number)


def _marks(frame: _Frame, told: WorthPicture, line: TripLine, number: int) -> None:
    if line.crossing is not None and told.possession is not None and line.crossing <= 1:
        frame.canvas.put(frame.x(line.crossing), frame.y(told.possession), CROSSING, number)
    if told.rate is not None:
        frame.canvas.put(frame.x(told.rate), frame.y(line.here), SIGNS[number], number)


def _names(frame: _Frame, lines: Sequence[TripLine], names: list[str], room: int) -> None:
    taken: set[int] = set()
    for i, line in enumerate(lines):
        wanted = frame.y(line.points[-1][1])
        near = sorted(range(frame.height), key=lambda y: (abs(y - wanted), y))
        y = next((y for y in near if y not in taken), None)
        if y is not None:
            taken.add(y)
            frame.canvas.put(_LEFT + frame.plot + 1, y, cut(names[i], room + 1), i)


class WorthCurve(CanvasView):
    """The picture on a screen."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.told = WorthPicture()

    def show(self, told: WorthPicture) -> None:
        """Draw another answer."""
        self.told = told
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.told, cells, lines)
