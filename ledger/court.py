"""The half court in metres, and the zones that rebounds are told by.

Every place is measured from the centre of the ring: x to the shooter's right as he faces it, y
from the ring towards the free-throw line. Lines are without their width of 5 cm.

Reference: Official Basketball Rules and Basketball Equipment (FIBA, 2020), figures on the court and
the basket; the figures that their text gives, from memory: 28 by 15 m; lane 4.90 m wide; free-throw
line 5.80 m from the end line, its circle 1.80 m; arc 6.75 m, its straight parts 0.90 m from the
side lines; centre of the ring 1.575 m and face of the board 1.20 m from the end line; board 1.80 m
wide; ring 0.45 m across; no-charge semicircle 1.25 m, its straight ends 0.375 m. The short corner,
about half-way from the lane to the straight part of the arc: common practice, no source.

Where to use another court: nowhere here; leagues with other lines keep these zones all the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import acos, asin, cos, pi, sin, sqrt
from types import MappingProxyType

Point = tuple[float, float]
Path = tuple[Point, ...]

HALF_WIDTH_M = 7.5
END_LINE_M = -1.575
CENTRE_LINE_M = END_LINE_M + 14.0
HALF_LANE_M = 2.45
LINE_M = END_LINE_M + 5.80
CIRCLE_M = 1.80
ARC_M = 6.75
CORNER_THREE_M = HALF_WIDTH_M - 0.90
BOARD_M = END_LINE_M + 1.20
HALF_BOARD_M = 0.90
RING_M = 0.225
NO_CHARGE_M = 1.25
SHORT_CORNER_M = 4.5
# Where the straight part of the three-point line becomes the arc.
CORNER_END_M = sqrt(ARC_M**2 - CORNER_THREE_M**2)

_STEPS = 48


def _curve(radius: float, start: float, end: float, y: float = 0.0) -> Path:
    """A part of a circle around (0, y), from one angle to another, 0 pointing to the right."""
    angles = (start + (end - start) * k / _STEPS for k in range(_STEPS + 1))
    return tuple((radius * cos(a), y + radius * sin(a)) for a in angles)


def _box(left: float, bottom: float, right: float, top: float) -> Path:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _three_point_line() -> Path:
    start = asin(CORNER_END_M / ARC_M)
    corners = (CORNER_THREE_M, END_LINE_M), (-CORNER_THREE_M, END_LINE_M)
    return (corners[0], *_curve(ARC_M, start, acos(-CORNER_THREE_M / ARC_M)), corners[1])


def _no_charge() -> Path:
    return ((NO_CHARGE_M, BOARD_M), *_curve(NO_CHARGE_M, 0.0, pi), (-NO_CHARGE_M, BOARD_M))


# The lines as paths from point to point; what is closed ends where it began.
LINES: Mapping[str, Path] = MappingProxyType(
    {
        "end_line": ((-HALF_WIDTH_M, END_LINE_M), (HALF_WIDTH_M, END_LINE_M)),
        "left_side_line": ((-HALF_WIDTH_M, END_LINE_M), (-HALF_WIDTH_M, CENTRE_LINE_M)),
        "right_side_line": ((HALF_WIDTH_M, END_LINE_M), (HALF_WIDTH_M, CENTRE_LINE_M)),
        "centre_line": ((-HALF_WIDTH_M, CENTRE_LINE_M), (HALF_WIDTH_M, CENTRE_LINE_M)),
        "lane": (
            (-HALF_LANE_M, END_LINE_M),
            (-HALF_LANE_M, LINE_M),
            (HALF_LANE_M, LINE_M),
            (HALF_LANE_M, END_LINE_M),
        ),
        "free_throw_circle": _curve(CIRCLE_M, 0.0, pi, LINE_M),
        "three_point_line": _three_point_line(),
        "no_charge": _no_charge(),
        "board": ((-HALF_BOARD_M, BOARD_M), (HALF_BOARD_M, BOARD_M)),
        "ring": _curve(RING_M, 0.0, 2 * pi),
    }
)

# Each zone by its corners, as far as the centre line; together they cover the half court once.
ZONES: Mapping[str, Path] = MappingProxyType(
    {
        "front": _box(-HALF_LANE_M, BOARD_M, HALF_LANE_M, LINE_M),
        "left_side": _box(-SHORT_CORNER_M, END_LINE_M, -HALF_LANE_M, LINE_M),
        "right_side": _box(HALF_LANE_M, END_LINE_M, SHORT_CORNER_M, LINE_M),
        "left_corner": _box(-HALF_WIDTH_M, END_LINE_M, -SHORT_CORNER_M, LINE_M),
        "right_corner": _box(SHORT_CORNER_M, END_LINE_M, HALF_WIDTH_M, LINE_M),
        "high": _box(-HALF_WIDTH_M, LINE_M, HALF_WIDTH_M, CENTRE_LINE_M),
        "behind": _box(-HALF_LANE_M, END_LINE_M, HALF_LANE_M, BOARD_M),
    }
)
