"""Misses as pictures: nine cells a technique, and the half court to scale."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from ledger import court
from ledger.charts.court_marks import DEPTH_M, Court
from ledger.questions.answer import Answer
from tests.charts import answers, real
from tests.charts.reading import Spec, boxes, caption, rows, spec_of, words


def _boxed(spec: Spec) -> list[dict[str, float]]:
    """The shaded boxes: cells and zones."""
    return next(
        rows(spec, layer)
        for layer in spec["layer"]
        if layer["mark"]["type"] == "rect" and "opacity" in layer["encoding"]
    )


def _cells(answer: Answer) -> int:
    return len(answer.main.rows())


def test_a_technique_has_nine_cells_and_seven_zones() -> None:
    answer = real.real("misses")
    shown = [r for r in answer.main.rows() if r["technique"] in ("straight", "board")]

    drawn = _boxed(spec_of(answer))

    assert len(drawn) == len(shown) + 14
    shares = sorted(r["share"] for r in shown)
    zones = [
        r["share"]
        for r in answer.part("rebound_zones").rows()
        if r["technique"] in ("straight", "board")
    ]
    assert sorted(d["share"] for d in drawn) == pytest.approx(sorted(shares + zones))


def test_long_stands_above_short_and_left_is_the_shooter_s_left() -> None:
    answer = real.real("misses")
    spec = spec_of(answer)

    placed = {b.words: b for b in reversed(boxes(spec))}

    assert placed["long"].top < placed["level"].top < placed["short"].top
    assert placed["left"].right < placed["centre"].left < placed["right"].left


def test_a_cell_says_its_share_its_limits_and_its_count() -> None:
    answer = real.real("misses")
    row = max(answer.main.rows(), key=lambda r: (r["technique"] == "board", r["count"]))

    said = words(spec_of(answer, size="wide"))

    share, low, high = (f"{100 * row[name]:.0f}" for name in ("share", "low", "high"))
    assert f"{share} % ({low} to {high})" in said
    assert f"{row['count']} misses" in said


def test_the_greatest_share_has_the_strongest_colour() -> None:
    answer = real.real("misses")
    drawn = _boxed(spec_of(answer))

    top = max(r["share"] for r in answer.main.rows() if r["seen"] >= 10)
    zones = answer.part("rebound_zones").rows()
    zone = max(r["share"] for r in zones if r["technique"] in ("straight", "board"))
    assert all(0 <= d["shade"] <= 1 for d in drawn)
    assert {d["share"] for d in drawn if d["shade"] == 1} == {top, zone}


def test_of_few_misses_only_counts_stand_there_and_nothing_is_shaded() -> None:
    answer = real.real("misses")
    few = [r | {"seen": 7, "count": 1, "share": 1 / 7} for r in answer.main.rows()]
    spec = spec_of(real.with_rows(real.with_rows(answer, few), [], "rebound_zones"))

    said = words(spec)

    assert said.count("1 of 7") == 18
    assert not any("%" in one for one in said if "of 7" in one)
    assert {d["shade"] for d in _boxed(spec)} == {0.0}


def test_without_rebounds_there_is_no_court() -> None:
    answer = real.with_rows(real.real("misses"), [], "rebound_zones")
    spec = spec_of(answer)

    assert not [layer for layer in spec["layer"] if layer["mark"]["type"] == "line"]
    assert not any("came down" in said for said in words(spec))
    assert "Court to scale" not in caption(spec)


def test_more_techniques_than_fit_are_counted_and_the_studied_one_stays() -> None:
    answer = real.real("misses")
    one = [r for r in answer.main.rows() if r["technique"] == "straight"]
    other = [r | {"technique": f"way {i}", "seen": 5000 + i} for i in range(3) for r in one]
    spec = spec_of(real.with_rows(answer, [*other, *answer.main.rows()]))

    said = words(spec)

    assert "Off the backboard" in said
    assert "Straight" in said
    assert "those with most misses seen." in caption(spec)


def test_by_player_whole_players_are_drawn_those_with_most_studied_misses_first() -> None:
    answer = real.real("misses")
    technique = {"straight": 40, "board": 20}
    one = {t: [r for r in answer.main.rows() if r["technique"] == t] for t in technique}
    given = [
        r | {"player": answers.name(i), "team": "Skerry", "league": "Halma League",
             "seen": seen + i, "player_why": None}
        for i in range(30)
        for t, seen in technique.items()
        for r in one[t]
    ]  # fmt: skip
    answer = replace(real.with_rows(answer, given), asked={**answer.asked, "by": "player"})
    spec = spec_of(answer)

    said = words(spec)

    assert [said.count(answers.name(i)) for i in (26, 27, 28, 29, 25, 0)] == [2, 2, 2, 2, 0, 0]
    assert said.count("off the backboard, 49 misses seen") == 1
    assert "8 of 60 grids" in caption(spec)


@pytest.mark.parametrize("size", ["wide", "square", "tall", "slide"])
def test_techniques_side_by_side_are_said_to_be_of_different_players(size: str) -> None:
    answer = real.real("misses")
    spec = spec_of(answer, size=size)

    said = " ".join(spec["usermeta"]["caption"])
    assert "Each technique has other players: compare no shares, only a difference" in said
    if size != "slide":
        assert "Each technique has other players: compare no shares" in caption(spec)
    named = replace(answer, asked={**answer.asked, "player": ["P00"]})
    assert "other players" not in caption(spec_of(named))


def test_one_technique_alone_is_not_said_to_be_of_other_players() -> None:
    answer = real.real("misses")
    alone = [row for row in answer.main.rows() if row["technique"] == "board"]

    assert "other players" not in caption(spec_of(real.with_rows(answer, alone)))


def test_grids_of_players_say_with_whom_to_compare() -> None:
    answer = real.real("misses")
    given = [{**row, "player": f"P{i}"} for i in range(4) for row in answer.main.rows()]
    by_player = replace(real.with_rows(answer, given), asked={**answer.asked, "by": "player"})

    assert "Compare a player with himself only." in caption(spec_of(by_player))


@pytest.mark.parametrize("size", ["wide", "square", "tall", "slide", "page"])
def test_figures_of_a_cell_stay_inside_it(size: str) -> None:
    answer = real.real("misses")
    given = [
        {**row, "player": answers.name(i), "share": 0.28, "low": 0.18, "high": 0.38, "count": 28,
         "seen": 100}
        for i in range(6)
        for row in answer.main.rows()
    ]  # fmt: skip
    by_player = replace(real.with_rows(answer, given), asked={**answer.asked, "by": "player"})
    spec = spec_of(by_player, size=size)

    found = boxes(spec)
    touching = [(a.words, b.words) for a, b in itertools.combinations(found, 2) if a.touches(b)]
    assert touching == []


@pytest.mark.parametrize("size", ["wide", "square", "tall"])
def test_a_court_is_drawn_to_scale(size: str) -> None:
    spec = spec_of(real.real("misses"), size=size)

    points = next(rows(spec, layer) for layer in spec["layer"] if layer["mark"]["type"] == "line")
    lane = [p for p in points if p["line"] == "0/lane/0"]
    board = [p for p in points if p["line"] == "0/board/0"]
    wide = max(p["x"] for p in lane) - min(p["x"] for p in lane)
    high = max(p["y"] for p in lane) - min(p["y"] for p in lane)
    # Official Basketball Rules and Basketball Equipment (FIBA, 2020), from memory: the lane is
    # 4.90 m wide and 5.80 m long, the board 1.80 m wide.
    assert wide / high == pytest.approx(4.90 / 5.80)
    across = max(p["x"] for p in board) - min(p["x"] for p in board)
    assert across / wide == pytest.approx(1.80 / 4.90)


def test_no_line_of_the_court_leaves_its_room() -> None:
    shape = Court.within(100, 50, 300, 200)

    for point in shape.lines("a"):
        assert 100 - 1e-6 <= point["x"] <= 100 + shape.width + 1e-6
        assert 50 - 1e-6 <= point["y"] <= 50 + shape.height + 1e-6
    assert shape.width <= 300
    assert shape.height <= 200


def test_zones_fill_the_drawn_court_once() -> None:
    shape = Court.within(0, 0, 150, 1000)

    area = 0.0
    for name in court.ZONES:
        (left, top), (right, bottom) = shape.zone(name)
        area += (right - left) * (bottom - top)

    assert area == pytest.approx(shape.width * shape.height)
    assert shape.height == pytest.approx((DEPTH_M - court.END_LINE_M) * shape.scale)


def test_the_shooter_s_left_is_left_and_the_ring_is_above_the_line() -> None:
    shape = Court.within(0, 0, 150, 1000)

    (left, _), _ = shape.zone("left_side")
    (right, _), _ = shape.zone("right_side")
    assert left < shape.place((0.0, 0.0))[0] < right
    assert shape.place((0.0, 0.0))[1] < shape.place((0.0, court.LINE_M))[1]


@pytest.mark.parametrize("zone", court.ZONES)
def test_the_figure_of_a_zone_stands_inside_it(zone: str) -> None:
    shape = Court.within(10, 20, 400, 400)

    x, y, room = shape.figure(zone)

    (left, top), (right, bottom) = shape.zone(zone)
    assert left <= x - room / 2 + 1e-6
    assert x + room / 2 - 1e-6 <= right
    assert top < y < bottom
