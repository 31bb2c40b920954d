"""Trips to the line: as written, marked where a member lacks, derived from the clock on request."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from ledger.errors import UseError
from ledger.intake.trips import by_clock
from tests.store.filing import HEAD, Desk, alone, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"
CLOCK_HEAD = HEAD + ",period,clock"
TRIP_HEAD = CLOCK_HEAD + ",trip_shot,trip_of,trip_kind"


def throw(made: int, clock: str, trip: str = "", who: str = "Ilvo Tarn", period: int = 1) -> str:
    """A line: `trip` is `1/2`, with a kind behind it where one is said."""
    told, _, kind = trip.partition(" ")
    shot, _, of = told.partition("/")
    return f"{GAME},{who},{made},{period},{clock},{shot},{of},{kind}"


def trips(d: Desk) -> list[tuple[object, ...]]:
    """Trip and marks of the live attempts, in order."""
    return d.rows(
        "SELECT trip_shot, trip_of, trip_incomplete, trip_derived FROM attempt "
        "WHERE NOT removed ORDER BY order_in_game, id"
    )


@pytest.mark.parametrize(
    ("lines", "broken"),
    [
        ([throw(1, "9:00", "1/2"), throw(0, "9:00", "2/2")], [False, False]),
        ([throw(1, "9:00", "1/2")], [True]),
        ([throw(1, "9:00", "1/2"), throw(0, "8:00", "1/1")], [True, False]),
        ([throw(1, "9:00", "1/2"), throw(0, "8:59", "2/2")], [False, False]),
        ([throw(1, "9:00", "1/2"), throw(0, "8:20", "2/2")], [True, True]),
        ([throw(1, "0:00", "1/2"), throw(0, "0:00", "2/2", period=2)], [True, True]),
        ([throw(1, "9:00", " technical"), throw(0, "9:00", "1/1")], [False, False]),
        ([throw(0, "9:00", "1/2 one_and_one")], [False]),
        ([throw(1, "9:00", "1/2 one_and_one")], [True]),
        ([throw(1, "9:00", "1/3"), throw(0, "9:00", "3/3")], [True, True]),
        (
            [
                throw(1, "9:00", "1/2"),
                throw(1, "9:00", "1/1 technical", "Bram Oselo"),
                throw(0, "9:00", "2/2"),
            ],
            [False, False, False],
        ),
    ],
)
def test_trips_stay_as_written_and_those_that_lack_a_member_are_marked(
    tmp_path: Path, lines: list[str], broken: list[bool]
) -> None:
    with desk(tmp_path) as d:
        assert d.bring(rows(TRIP_HEAD, *lines)).stored == len(lines)
        found = d.rows(
            "SELECT trip_shot, trip_of, trip_incomplete, trip_derived FROM attempt ORDER BY id"
        )
        written = [line.split(",")[9:11] for line in lines]
        assert [[str(s or ""), str(o or "")] for s, o, _, _ in found] == written
        assert [mark for _, _, mark, _ in found] == broken
        assert not any(derived for _, _, _, derived in found)


def test_a_second_file_completes_a_trip_and_taking_it_back_breaks_it_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(TRIP_HEAD, throw(1, "9:00", "1/2")))
        report = d.bring(rows(TRIP_HEAD, throw(0, "8:59", "2/2")))
        assert [mark for _, _, mark, _ in trips(d)] == [False, False]
        d.undo(report.source)
        assert [mark for _, _, mark, _ in trips(d)] == [True]


def frame(*throws: tuple[str, int, float], **more: list[object]) -> pl.DataFrame:
    """Converted attempts of one game: player, period, clock."""
    return pl.DataFrame(
        {
            "line": list(range(2, 2 + len(throws))),
            "league": "Halma League",
            "season_key": "2023",
            "date": "2023-10-14",
            "game": "G1",
            "player": [who for who, _, _ in throws],
            "period": [period for _, period, _ in throws],
            "clock": [clock for _, _, clock in throws],
            **more,
        }
    )


def told(found: pl.DataFrame) -> list[tuple[int | None, int | None, bool]]:
    return found.select("trip_shot", "trip_of", "trip_derived").rows()


def test_attempts_of_one_player_at_one_clock_are_a_trip() -> None:
    found, said = by_clock(
        frame(("A", 1, 500.0), ("B", 1, 500.0), ("A", 1, 500.0), ("A", 1, 380.0), ("A", 2, 380.0))
    )
    assert told(found) == [(1, 2, True), (1, 1, True), (2, 2, True), (1, 1, True), (1, 1, True)]
    assert said == ("trips of 5 attempts were derived from the clock and are marked so",)


@pytest.mark.parametrize(
    ("seconds", "sizes"), [(0.0, [1, 1, 1]), (1.0, [2, 2, 1]), (2.0, [3, 3, 3])]
)
def test_how_far_attempts_of_a_trip_lie_apart_is_measured_from_its_first(
    seconds: float, sizes: list[int]
) -> None:
    found, _ = by_clock(frame(("A", 1, 500.0), ("A", 1, 499.0), ("A", 1, 498.0)), seconds)
    assert found["trip_of"].to_list() == sizes


def test_newest_first_is_turned_by_the_order_of_the_game() -> None:
    found, _ = by_clock(frame(("A", 1, 380.0), ("A", 1, 500.0), ("A", 1, 500.0), order=[3, 2, 1]))
    assert told(found) == [(1, 1, True), (2, 2, True), (1, 2, True)]


@pytest.mark.parametrize(
    "more",
    [
        {"trip_shot": [1, None], "trip_of": [2, None]},
        {"trip_shot": [None, None], "trip_of": [None, 2]},
        {"shot": ["two", "two"]},
        {"trip_kind": ["technical", "technical"]},
        {"clock": [None, None]},
    ],
    ids=["written", "half written", "no free throws", "technical", "no clock"],
)
def test_what_is_written_or_in_doubt_is_left_alone(more: dict[str, list[object]]) -> None:
    before = frame(("A", 1, 500.0), ("A", 1, 500.0), **more)
    found, _ = by_clock(before)
    assert not found["trip_derived"].any()
    for name in ("trip_shot", "trip_of"):
        assert found[name].to_list() == more.get(name, [None, None])


def test_more_throws_at_one_clock_than_a_foul_gives_stay_unknown_and_are_said() -> None:
    found, said = by_clock(frame(*[("A", 1, 500.0)] * 4, ("A", 1, 380.0)))
    assert told(found) == [(None, None, False)] * 4 + [(1, 1, True)]
    assert said[1].startswith("4 attempts are of more than 3 by one player at one clock")


def test_a_file_without_clock_derives_nothing_and_says_what_lacks() -> None:
    found, said = by_clock(frame(("A", 1, 500.0)).drop("clock"))
    assert told(found) == [(None, None, False)]
    assert said == ("trips by clock need player, period and clock: none was derived",)


BARE = rows(
    CLOCK_HEAD,
    f"{GAME},Ilvo Tarn,1,1,9:00",
    f"{GAME},Ilvo Tarn,0,1,9:00",
    f"{GAME},Ilvo Tarn,0,1,7:00",
)
# The same attempts with written trips: the one at 7:00 was the first of two.
WRITTEN = rows(
    TRIP_HEAD,
    throw(1, "9:00", "1/2 personal"),
    throw(0, "9:00", "2/2 personal"),
    throw(0, "7:00", "1/2 personal"),
)
DERIVED = [(1, 2, False, True), (2, 2, False, True), (1, 1, False, True)]
AS_WRITTEN = [(1, 2, False, False), (2, 2, False, False), (1, 2, True, False)]


def test_derived_trips_are_kept_through_undo_and_a_second_import(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(BARE, trips="by-clock")
        assert (
            "trips of 3 attempts were derived from the clock and are marked so" in report.warnings
        )
        assert report.mapping["--trips"] == "by clock, 0 s"
        assert trips(d) == DERIVED
        plain = d.bring(BARE.replace("\n", "\r\n"))
        assert (plain.stored, plain.already_there) == (0, 3)
        assert trips(d) == DERIVED
        d.undo(report.source)
        assert trips(d) == [(None, None, False, False)] * 3
        d.again(report.source)
        assert trips(d) == DERIVED
        d.undo(plain.source)
        assert trips(d) == DERIVED
        assert d.bring(BARE, trips="by-clock").duplicate_of == report.source
        assert d.whole() == []


def test_a_file_that_is_there_is_read_again_when_its_trips_are_asked_for(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(BARE)
        report = d.bring(BARE, trips="by-clock")
        assert (report.stored, report.attempts_stored) == (3, 0)
        assert trips(d) == DERIVED


@pytest.mark.parametrize("order", list(permutations((0, 1))))
def test_a_written_trip_stands_above_a_derived_one_in_either_order(
    tmp_path: Path, order: tuple[int, int]
) -> None:
    files = [(BARE, {"trips": "by-clock"}), (WRITTEN, {})]
    with desk(tmp_path) as d:
        sources = {}
        for number in order:
            text, options = files[number]
            report = d.bring(text, **options)
            assert report.contradicting == 0
            sources[number] = report.source
        assert trips(d) == AS_WRITTEN
        d.undo(sources[1])
        assert trips(d) == DERIVED
        d.again(sources[1])
        assert trips(d) == AS_WRITTEN
        d.undo(sources[0])
        assert trips(d) == AS_WRITTEN
        assert d.dump() == alone((WRITTEN, "attempts"))
        assert d.whole() == []


@pytest.mark.parametrize("turned", [False, True])
def test_of_two_derived_trips_the_one_that_saw_more_is_kept(tmp_path: Path, turned: bool) -> None:
    line = f"{GAME},Ilvo Tarn,1,1,9:00"
    files = [rows(CLOCK_HEAD, line), rows(CLOCK_HEAD, line, line.replace(",1,1,", ",0,1,"))]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        for text in files:
            assert d.bring(text, trips="by-clock").contradicting == 0
        assert sorted(trips(d)) == [(1, 2, False, True), (2, 2, False, True)]
        assert d.whole() == []


def test_derived_trips_meet_the_box_score_as_blank_ones_do(tmp_path: Path) -> None:
    box = rows(HEAD + ",attempts", f"{GAME},Ilvo Tarn,1,3")
    with desk(tmp_path) as d:
        d.bring(box, "box")
        report = d.bring(BARE, trips="by-clock")
        assert (report.stored, report.attempts_stored, report.contradicting) == (3, 0, 0)
        assert trips(d) == DERIVED
        d.undo(report.source)
        assert trips(d) == [(None, None, False, False)] * 3


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"trip_seconds": 2.0}, "--trip-seconds goes with --trips by-clock"),
        ({"trips": "by-clock", "trip_seconds": 31.0}, "it lies between 0 and 30"),
        ({"trips": "by-clock", "trip_seconds": float("nan")}, "it lies between 0 and 30"),
    ],
)
def test_what_cannot_be_asked_of_trips_is_said(
    tmp_path: Path, options: dict[str, Any], said: str
) -> None:
    with desk(tmp_path) as d, pytest.raises(UseError, match=said):
        d.bring(BARE, **options)


def test_only_attempts_have_trips(tmp_path: Path) -> None:
    with desk(tmp_path) as d, pytest.raises(UseError, match="box have no trips"):
        d.bring(rows(HEAD + ",attempts", f"{GAME},Ilvo Tarn,1,3"), "box", trips="by-clock")
