"""The half court drawn to scale, as the shooter sees it: the ring above, the line below."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from ledger import court
from ledger.court import Point

Row = dict[str, Any]

# How much of the court behind the free-throw line is drawn.
_BEHIND_LINE_M = 1.0
DEPTH_M = court.LINE_M + _BEHIND_LINE_M
WIDE_M, HIGH_M = 2 * court.HALF_WIDTH_M, DEPTH_M - court.END_LINE_M
# The circle lies where the figure of the zone behind the line stands.
_LEFT_OUT = frozenset({"centre_line", "free_throw_circle"})
# Where a zone's figure stands clear of the lines; else in its middle.
_FIGURES: Mapping[str, Point] = {
    "front": (0.0, 2.75),
    "left_corner": (-5.5, 0.6),
    "right_corner": (5.5, 0.6),
}
# From there to the nearest line on either side.
_ROOM_M: Mapping[str, float] = {"left_corner": 0.95, "right_corner": 0.95}
_THICK = frozenset({"board", "ring"})


@dataclass(frozen=True, slots=True)
class Court:
    """A half court at one place of a picture.

    Attributes:
        x: of its left edge, in chart units from the plot's left edge.
        y: of its upper edge, the end line.
        scale: chart units of a metre.
    """

    x: float
    y: float
    scale: float

    @classmethod
    def within(cls, x: float, y: float, width: float, height: float) -> Court:
        """The largest one that fits a room, at its upper left corner."""
        return cls(x, y, min(width / WIDE_M, height / HIGH_M))

    @property
    def width(self) -> float:
        """In chart units."""
        return WIDE_M * self.scale

    @property
    def height(self) -> float:
        """In chart units."""
        return HIGH_M * self.scale

    def place(self, point: Point) -> Point:
        """A place of the court in chart units from the plot's upper left corner."""
        x, y = point
        return (
            self.x + (x + court.HALF_WIDTH_M) * self.scale,
            self.y + (y - court.END_LINE_M) * self.scale,
        )

    def zone(self, name: str) -> tuple[Point, Point]:
        """The upper left and lower right corner of what is drawn of a zone.

        Raises:
            KeyError: if there is no such zone.
        """
        shown = [self.place((x, min(y, DEPTH_M))) for x, y in court.ZONES[name]]
        xs, ys = [x for x, _ in shown], [y for _, y in shown]
        return (min(xs), min(ys)), (max(xs), max(ys))

    def figure(self, name: str) -> tuple[float, float, float]:
        """Where the figure of a zone stands: its middle, and how wide it may be."""
        (left, top), (right, bottom) = self.zone(name)
        if name not in _FIGURES:
            return (left + right) / 2, (top + bottom) / 2, right - left
        x, y = self.place(_FIGURES[name])
        room = 2 * _ROOM_M[name] * self.scale if name in _ROOM_M else right - left
        return x, y, room

    def lines(self, key: str) -> list[Row]:
        """The court's lines as rows of points, each unbroken piece with a name of its own.

        Args:
            key: tells this court from others of the picture.
        """
        rows = []
        for name, path in court.LINES.items():
            if name in _LEFT_OUT:
                continue
            for number, piece in enumerate(_pieces(path)):
                for order, point in enumerate(piece):
                    x, y = self.place(point)
                    line = f"{key}/{name}/{number}"
                    wide = 2.2 if name in _THICK else 1.0
                    rows.append({"line": line, "order": order, "x": x, "y": y, "wide": wide})
        return rows


def zones_of(rows: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The rows whose zone is one of the court's."""
    return [row for row in rows if row["zone"] in court.ZONES]


def _pieces(path: Sequence[Point]) -> list[list[Point]]:
    """The parts of a path that are drawn; a line that leaves the picture ends at its edge."""
    pieces: list[list[Point]] = [[]]
    for start, end in pairwise(path):
        inside = start[1] <= DEPTH_M, end[1] <= DEPTH_M
        if not any(inside):
            continue
        if not inside[0]:
            pieces.append([_edge(end, start)])
        if not pieces[-1]:
            pieces[-1].append(start)
        pieces[-1].append(end if inside[1] else _edge(start, end))
    return [piece for piece in pieces if len(piece) > 1]


def _edge(inner: Point, outer: Point) -> Point:
    part = (DEPTH_M - inner[1]) / (outer[1] - inner[1])
    return (inner[0] + part * (outer[0] - inner[0]), DEPTH_M)
