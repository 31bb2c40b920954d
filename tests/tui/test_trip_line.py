"""A trip as it is typed: what each key of it means, and what cannot be one."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import UseError
from ledger.questions.practising import Practice
from ledger.stats.trial_plan import plan
from ledger.store.reads.scoresheet import Shirt
from tests.tui.fake_scoring import LINE_UPS, TECHNIQUES, WINTER
from tui.pasted import look_through, shirt_of
from tui.trip_line import CODES, MARKS, Teams, head_of, preview, read_trip
from tui.widgets.line_ups import draw
from tui.widgets.practice_view import draw as draw_practice

TEAMS = Teams(("Skerry", "Fenholt"), (LINE_UPS["Skerry"], LINE_UPS["Fenholt"]), TECHNIQUES)


@pytest.mark.parametrize(
    ("text", "side", "meant"),
    [
        ("4+", 0, {"player": "Bram Oselo", "made": (True,)}),
        (" 4 +-", 1, {"player": "Bram Oselo", "made": (True, False)}),
        ("12==-", 1, {"player": "Sefa Tarnak", "made": (True, True, False)}),
        ("saif-*", 0, {"player": "Pim Al-Saif", "made": (False, None)}),
        ("12*+", 0, {"player": "Ilvo Tarn", "made": (None, True)}),
        ("ye+", 0, {"player": "Yelt Mun", "number": ""}),
        ("bram mun+", 0, {"player": "Bram Mun", "team": "Fenholt"}),
        ("538*7-", 0, {"player": "Kuno Dravik", "clock": "5:38"}),
        ("5:38*12-", 1, {"player": "Sefa Tarnak", "clock": "5:38"}),
        ("7*9-", 0, {"player": "Pim Al-Saif", "clock": "0:07"}),
        ("9-3", 0, {"rebound_by": "out"}),
        ("9+-4", 0, {"ended_by": "violation", "rebound_by": ""}),
        ("9-72", 0, {"kind": "one_and_one", "rebound_by": "defensive"}),
        ("9+9", 0, {"kind": "flagrant"}),
        ("9+-/3", 0, {"techniques": ("underhand", "underhand")}),
        ("9+/1-/21", 0, {"techniques": ("straight", "board"), "rebound_by": "offensive"}),
        ("33 Aro Al-Pell++", 1, {"player": "Aro Al-Pell", "team": "Fenholt", "is_new": True}),
        ("5 yelt mun+", 1, {"player": "Yelt Mun", "team": "Skerry", "number": "5", "is_new": True}),
        ("12 Ilvo Tarn+", 1, {"player": "Ilvo Tarn", "team": "Skerry", "is_new": False}),
    ],
)
def test_a_line_is_read(text: str, side: int, meant: dict[str, Any]) -> None:
    trip = read_trip(text, TEAMS, side, 3)
    assert {name: getattr(trip, name) for name in meant} == meant
    assert trip.period == 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12", "a trip is a number"),
        ("+-", "who shot?"),
        ("55+", "neither team has number 55: type it with his name"),
        ("xy+", "neither team has a 'xy': a new player is number, space and name"),
        ("bram+", ""),
        ("4 Aro Pell+", "number 4 of Skerry is Bram Oselo: type another"),
        ("8 Ilvo Tarn+", "Ilvo Tarn of Skerry has number 12: type that"),
        ("4++1", "the last shot was made: nothing comes after it"),
        ("4-0", "0 after the signs says nothing"),
        ("4-12", "2 (their rebound) does not go with the digit before it"),
        ("4-14", "4 (violation) does not go with the digit before it"),
        ("4-1+", "+ after the digits of a trip"),
        ("4+/9", "/9: the techniques are 1 straight, 2 board"),
        ("4++++", "one to 3 shots, not 4"),
        ("4*", "nothing was seen"),
        ("4-+7", "has no second one"),
        ("x" * 300 + "+", "it is longer than a line"),
    ],
)
def test_what_is_no_trip_is_one_clear_line(text: str, said: str) -> None:
    if not said:
        # One in each team is no doubt: the way it ends says which.
        assert read_trip(text, TEAMS, 0).team == "Skerry"
        assert read_trip(text, TEAMS, 1).team == "Fenholt"
        return
    with pytest.raises(UseError) as error:
        read_trip(text, TEAMS, 0)
    assert said in error.value.message
    assert "\n" not in error.value.message


def test_two_of_one_team_are_asked_back() -> None:
    twins = Teams(("A", "B"), ((Shirt("1", "Aro Mun"), Shirt("2", "Aro Pell")), ()))
    with pytest.raises(UseError, match="aro may be 1 Aro Mun, 2 Aro Pell"):
        read_trip("aro+", twins, 0)
    assert read_trip("aro p+", twins, 0).number == "2"


@given(st.text(alphabet="0123456789+-=*/ abtk:.\t\n'\"[", max_size=12), st.integers(0, 1))
def test_no_line_does_more_than_be_read_or_refused(text: str, side: int) -> None:
    with suppress(UseError):
        assert len(read_trip(text, TEAMS, side).made) <= sum(sign in MARKS for sign in text)
    assert "\n" not in head_of(text)
    assert isinstance(preview(text, TEAMS), str)


def test_every_code_of_a_trip_is_one_key() -> None:
    assert [len(key) for key in (*MARKS, *CODES)] == [1] * (len(MARKS) + len(CODES))
    assert not any(key.isalpha() for key in (*MARKS, *CODES))


def test_lines_of_a_line_up_are_told_from_trips() -> None:
    assert shirt_of(" #00. Aro  Pell ") == ("00", "Aro Pell")
    assert shirt_of("Ønd Ü") == ("", "Ønd Ü")
    assert [shirt_of(line) for line in ("12", "---", "12+-", "", "x" * 400)] == [None] * 5
    assert look_through("\n" * 3).shirts == ()
    assert look_through("12 A\n" * 61).shirts == ()


def test_line_ups_show_whom_the_typed_digits_may_mean() -> None:
    tally = {("Ilvo Tarn", "Skerry"): (3, 4)}
    whole = draw(TEAMS, tally, "", 60, 5).text().splitlines()
    assert whole[0] == " Skerry (enter)           3/4  Fenholt (space)"
    assert whole[3] == "  12 Ilvo Tarn            3/4   30 Bram Mun"
    assert draw(TEAMS, tally, "1", 60, 5).text().splitlines()[1:] == [
        "  12 Ilvo Tarn            3/4   12 Sefa Tarnak", "", "",
    ]  # fmt: skip
    assert "3 more" in draw(TEAMS, tally, "", 60, 3).text()


def test_a_session_is_drawn_with_what_is_next() -> None:
    day = WINTER.at_time.date()
    practice = Practice(WINTER, day, "2024-25", "Skerry", 1, plan(12, 20, 7)[0], (0, 0), (0, 0),
                        True)  # fmt: skip
    first = practice.technique
    assert first is not None
    after = practice.after(first, True).after(first, False)
    lines = draw_practice(after, [(first, True), (first, False)], 60, 10).text().splitlines()
    words = {"straight": "straight", "board": "off the backboard"}[first]
    assert lines[0] == f" next: 8 more {words}"
    assert lines[1] == " ●○········  block 1 of 4, 2 of 10 shot"
    assert lines[3] == " session 1 of 12, practice only: 2 of 40 shots"
    assert f" {words}: 1 of 2 made" in lines
