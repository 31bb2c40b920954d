"""Where rebounds are taken: the half court as the shooter sees it, the ring above.

The lines are those of `ledger.court`, drawn in dots; a cell is twice as high as wide, so that the
court keeps its shape. Each zone has its share and its count, and a ground that is the denser the
larger the share. Borders of zones that are no lines of the floor are dotted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ledger import court
from ledger.court import Point
from ledger.safe_text import cut, safe, width
from tui.styles.themes import Ink
from tui.widgets.canvas import AXIS, Canvas
from tui.widgets.leaves import LeavesView, fitting
from tui.widgets.miss_grid import LEAST, Told, ground_of, words_of

# Seven zones: each would have 14 % if rebounds fell anywhere alike.
GROUNDS = ((0.30, "▒"), (0.10, "░"))
LEGEND = "as the shooter sees it, the ring above; ░ 10 %  ▒ 30 % or more of the rebounds"
_GAP = 2
_LEAST_CELLS = 37
# A step behind the free-throw line, where there is room as far as the top of the arc.
_NEAR_M = court.LINE_M + 1.0
_FAR_M = court.ARC_M + 0.3
_WIDTH_M = 2 * court.HALF_WIDTH_M
_FLOOR = ("end_line", "left_side_line", "right_side_line", "lane", "free_throw_circle",
          "three_point_line", "no_charge")  # fmt: skip
# Every so many dots of a border that is no line of the floor.
_SPARSE = 4


@dataclass(frozen=True, slots=True)
class ReboundCourt:
    """Rebounds of the live misses to one side with one technique.

    Attributes:
        title: whose they are.
        told: by zone.
        seen: live misses with a zone.
        marked: whether it is the technique that is studied.
    """

    title: str
    told: Mapping[str, Told] = field(default_factory=dict)
    seen: int = 0
    marked: bool = False


def lines_for(cells: int, depth: float = _NEAR_M) -> int:
    """The lines that a court of so many cells takes as far as `depth`, its title among them."""
    return 1 + round((depth - court.END_LINE_M) * cells / _WIDTH_M / 2)


def draw(courts: Sequence[ReboundCourt], cells: int, lines: int, chosen: int = 0) -> Canvas:
    """As many courts as fit, the chosen one among them."""
    canvas = Canvas(cells, lines)
    if not courts:
        return canvas
    if cells < _LEAST_CELLS or lines < lines_for(_LEAST_CELLS):
        _listed(canvas, courts[chosen])
        return canvas
    shown = fitting(
        len(courts), chosen, (cells, lines), (_LEAST_CELLS, lines_for(_LEAST_CELLS)), _GAP
    )
    down = -(-len(shown.numbers) // shown.across)
    high = (lines + 1) // down - 1
    room = (cells - _GAP * (shown.across - 1)) // shown.across
    wide = max(n for n in range(_LEAST_CELLS, room + 1) if n == _LEAST_CELLS
               or lines_for(n) <= high)  # fmt: skip
    high = min(high, lines_for(wide, _FAR_M))
    for place, number in enumerate(shown.numbers):
        x, y = shown.corner(place, (wide, high), _GAP)
        lead = "▸ " if number == chosen and shown.some else ""
        one = courts[number]
        ink: Ink = "mark" if one.marked else "strong"
        canvas.put(x, y, cut(lead + safe(one.title), wide), ink)
        _court(_Floor(canvas, x, y + 1, wide, high - 1), one)
    return canvas


def _listed(canvas: Canvas, one: ReboundCourt) -> None:
    """The zones in words, those with most first, where a court has no room."""
    ink: Ink = "mark" if one.marked else "strong"
    canvas.put(0, 0, cut(f"▸ {safe(one.title)}", canvas.cells), ink)
    none = Told(0, None)
    x, y = 0, 1
    for zone in sorted(court.ZONES, key=lambda zone: -one.told.get(zone, none).count):
        told = one.told.get(zone, none)
        (figures,) = words_of(told, canvas.cells, 1, few=one.seen < LEAST)
        words = f"{zone.replace('_', ' ')} {figures}"
        if x and x + width(words) > canvas.cells:
            x, y = 0, y + 1
        canvas.put(x, y, cut(words, canvas.cells), "text" if told.count else AXIS)
        x += width(words) + _GAP


@dataclass(frozen=True, slots=True)
class _Floor:
    canvas: Canvas
    left: int
    top: int
    cells: int
    lines: int

    def dot(self, place: Point) -> tuple[float, float]:
        """The dot of a place, from the canvas's corner."""
        scale = (2 * self.cells - 1) / _WIDTH_M
        x, y = place
        return (2 * self.left + (x + court.HALF_WIDTH_M) * scale,
                4 * self.top + (y - court.END_LINE_M) * scale)  # fmt: skip

    def cell(self, place: Point) -> tuple[int, int]:
        """The cell of a place."""
        x, y = self.dot(place)
        return round(x) // 2, round(y) // 4

    def line(self, path: Sequence[Point], *, every: int = 1) -> None:
        """Join the places of a path by dots, as far as the court is seen."""
        bottom = 4 * (self.top + self.lines) - 1
        for start, end in pairwise(path):
            (x0, y0), (x1, y1) = self.dot(start), self.dot(end)
            steps = max(round(abs(x1 - x0)), round(abs(y1 - y0)), 1)
            for k in range(0, steps + 1, every):
                x, y = round(x0 + (x1 - x0) * k / steps), round(y0 + (y1 - y0) * k / steps)
                if y <= bottom:
                    self.canvas.dot(x, y, AXIS)


def _court(floor: _Floor, one: ReboundCourt) -> None:
    _grounds(floor, one)
    for name in _FLOOR:
        floor.line(court.LINES[name])
    for side in (-1, 1):
        corner, line = side * court.SHORT_CORNER_M, side * court.HALF_LANE_M
        floor.line(((corner, court.END_LINE_M), (corner, court.LINE_M)), every=_SPARSE)
        floor.line(((line, court.LINE_M), (side * court.HALF_WIDTH_M, court.LINE_M)),
                   every=_SPARSE)  # fmt: skip
        board = side * court.HALF_BOARD_M
        floor.line(((board, court.BOARD_M), (line, court.BOARD_M)), every=_SPARSE)
    left, y = floor.cell((-court.HALF_BOARD_M, court.BOARD_M))
    right, _ = floor.cell((court.HALF_BOARD_M, court.BOARD_M))
    floor.canvas.put(left, y, "▔" * (right - left + 1), "text")
    ring, below = floor.cell((0.0, 0.0))
    floor.canvas.put(ring, max(below, y + 1), "o", "text")
    for zone in court.ZONES:
        _figures(floor, zone, one)


def _grounds(floor: _Floor, one: ReboundCourt) -> None:
    if one.seen < LEAST:
        return
    last = floor.top + floor.lines
    for zone, path in court.ZONES.items():
        sign = ground_of(one.told.get(zone, Told(0, None)).share, GROUNDS)
        left, top, right, bottom = _box(floor, path)
        for x in range(left + 1, right):
            for y in range(top, min(bottom, last)):
                floor.canvas.shade(x, y, sign)


def _box(floor: _Floor, path: Sequence[Point]) -> tuple[int, int, int, int]:
    """The cells of the corners of a zone."""
    xs, ys = zip(*path, strict=True)
    return (*floor.cell((min(xs), min(ys))), *floor.cell((max(xs), max(ys))))


def _figures(floor: _Floor, zone: str, one: ReboundCourt) -> None:
    told = one.told.get(zone, Told(0, None))
    first, last = _ROOM[zone]
    left, y = floor.cell((first, _LEVEL.get(zone, _MIDDLE_M)))
    right, _ = floor.cell((last, 0.0))
    room = right - left - 1
    lines = words_of(told, room, 1 if zone in _LEVEL else 2, few=one.seen < LEAST)
    for dy, words in enumerate(lines):
        ink: Ink = "text" if dy == 0 and told.count else AXIS
        padded = f" {words} " if width(words) + 2 <= room else words
        floor.canvas.put(left + 1 + (room - width(padded)) // 2, y + dy, padded, ink)


# Where the figures of a zone stand: from where to where, beside the lines of the floor.
_ROOM: Mapping[str, tuple[float, float]] = {
    "front": (-court.HALF_LANE_M, court.HALF_LANE_M),
    "behind": (-court.HALF_LANE_M, court.HALF_LANE_M),
    "high": (-court.CIRCLE_M, court.CIRCLE_M),
    "left_side": (-court.SHORT_CORNER_M, -court.HALF_LANE_M),
    "right_side": (court.HALF_LANE_M, court.SHORT_CORNER_M),
    "left_corner": (-court.CORNER_THREE_M, -court.SHORT_CORNER_M),
    "right_corner": (court.SHORT_CORNER_M, court.CORNER_THREE_M),
}
# At what distance they stand in one line; the others have two, below the no-charge semicircle.
_LEVEL: Mapping[str, float] = {
    "behind": court.END_LINE_M, "high": court.LINE_M + court.CIRCLE_M / 3,
}  # fmt: skip
_MIDDLE_M = court.NO_CHARGE_M + 0.35


class CourtView(LeavesView[ReboundCourt]):
    """The courts on a screen."""

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.leaves, cells, lines, self.chosen)
