"""The half court and its zones."""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import polars as pl
import pytest

from ledger import court
from ledger.court import LINES, ZONES, Path
from ledger.intake.rebound_zones import filled
from ledger.questions.misses import ZONES as TOLD


def _extent(path: Path) -> tuple[float, float]:
    """How wide and how deep a path is."""
    xs, ys = [x for x, _ in path], [y for _, y in path]
    return max(xs) - min(xs), max(ys) - min(ys)


def _area(path: Path) -> float:
    """By the shoelace formula."""
    closed = [*path, path[0]]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(closed))) / 2


def _holds(path: Path, x: float, y: float) -> bool:
    """Whether a place is within a zone, by the lines to its right that are crossed."""
    crossed = False
    for (x0, y0), (x1, y1) in pairwise([*path, path[0]]):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            crossed = not crossed
    return crossed


@pytest.mark.parametrize(
    ("line", "wide", "deep"),
    [
        # Official Basketball Rules 2020 (FIBA), Rule two, from memory: half of 28 by 15 m.
        ("left_side_line", 0.0, 14.0),
        ("centre_line", 15.0, 0.0),
        # The same: lane 4.90 m wide, its far edge 5.80 m from the end line.
        ("lane", 4.90, 5.80),
        # The same: half a circle of 1.80 m at the free-throw line.
        ("free_throw_circle", 3.60, 1.80),
        # The same: arc of 6.75 m, 0.90 m from both side lines, from the end line to its top.
        ("three_point_line", 13.20, 1.575 + 6.75),
        # The same: half a circle of 1.25 m, its straight ends up to the face of the board.
        ("no_charge", 2.50, 1.25 + 0.375),
        # Basketball Equipment 2020 (FIBA), from memory: board 1.80 m, ring 0.45 m across.
        ("board", 1.80, 0.0),
        ("ring", 0.45, 0.45),
    ],
)
def test_the_lines_have_the_size_of_the_rules(line: str, wide: float, deep: float) -> None:
    found = _extent(LINES[line])

    assert found == pytest.approx((wide, deep), abs=0.01)


def test_the_straight_part_of_the_three_point_line_ends_where_the_rules_draw_it() -> None:
    # Official Basketball Rules 2020 (FIBA), diagram of the two-point area, from memory: 2.99 m.
    straight = court.CORNER_END_M - court.END_LINE_M
    assert straight == pytest.approx(2.99, abs=0.005)
    arc = LINES["three_point_line"][1:-1]
    assert {round(hypot(x, y), 9) for x, y in arc} == {6.75}
    assert arc[0] == pytest.approx((court.CORNER_THREE_M, court.CORNER_END_M))
    assert arc[-1] == pytest.approx((-court.CORNER_THREE_M, court.CORNER_END_M))


def test_board_and_ring_lie_where_the_rules_put_them() -> None:
    # The same: centre of the ring 1.575 m, face of the board 1.20 m from the end line; the ring is
    # 0.15 m from the board.
    assert court.END_LINE_M == -1.575
    assert LINES["board"][0][1] - court.END_LINE_M == pytest.approx(1.20)
    gap = -court.RING_M - court.BOARD_M
    assert gap == pytest.approx(0.15)


def test_a_free_throw_is_4_60_metres_from_the_board() -> None:
    # "4.6m from the backboard": guides for court markings; also the older rules' 4.60 m, from
    # memory.
    distance = court.LINE_M - court.BOARD_M
    assert distance == pytest.approx(4.60)


def test_the_zones_are_those_that_rebounds_are_told_by_and_cover_the_half_court_once() -> None:
    assert tuple(ZONES) == TOLD
    assert sum(_area(zone) for zone in ZONES.values()) == pytest.approx(15.0 * 14.0)


def test_every_place_is_in_the_zone_that_a_file_is_told() -> None:
    xs = [-7.4 + 0.37 * k for k in range(41)]
    ys = [-1.5 + 0.29 * k for k in range(48)]
    places = [(x, y) for x in xs for y in ys]
    frame = pl.DataFrame(places, schema=["rebound_x_m", "rebound_y_m"], orient="row")
    drawn = [[name for name, zone in ZONES.items() if _holds(zone, x, y)] for x, y in places]

    assert [[zone] for zone in filled(frame)["rebound_zone"].to_list()] == drawn
    assert {name for one in drawn for name in one} == set(ZONES)


def test_left_is_left_as_the_shooter_faces_the_ring() -> None:
    # Schema of a tag, rebound_x_m: metres to the shooter's right.
    for side, sign in (("left", -1), ("right", 1)):
        for place in ("side", "corner"):
            assert all(sign * x > 0 for x, _ in ZONES[f"{side}_{place}"])
