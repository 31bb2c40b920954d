"""A trial session by session, drawn in cells."""

from __future__ import annotations

import pytest

from ledger.safe_text import width
from tests.tui.fake_book import HOSTILE
from tests.tui.known_answers import known
from tests.tui.test_hostile import FORBIDDEN
from tui.screens.trial import course_of
from tui.widgets.session_chart import Course, Session, draw

SIX = (
    Session(1, 0.10, 0.10),
    Session(2, 0.06, 0.08, -0.30, 0.40),
    Session(3, 0.14, 0.10, 0.00, 0.20),
    Session(4, 0.10, 0.10, 0.04, 0.16),
    Session(5, 0.05, 0.09, 0.02, 0.16),
    Session(6, 0.09, 0.09, 0.03, 0.15, -0.05, 0.23),
)


def course(*sessions: Session, planned: int = 12) -> Course:
    return Course(sessions, planned, (planned // 2, planned), "off the backboard", "straight")


def text(drawn: Course, cells: int = 70, height: int = 12) -> list[str]:
    return draw(drawn, cells, height).text().split("\n")


def test_the_mean_its_interval_each_session_and_the_looks_are_drawn() -> None:
    assert text(course(*SIX)) == [
        "       │        ↑                    ╥  more per 100 off the backboard",
        "   +20 ┤        │    ┬               ║                            ┊",
        "       │        │    │    ┬    ┬     ║                            ┊",
        "       │        │   ○│    │    │    ┬║                            ┊",
        "   +10 ┤  ○●⣀⡀  │  ⣀⡠●⠤⠤⠤○●⢄⣀⣀⣀│    │║                            ┊",
        "       │     ⠈⠉○●⠉⠉  │    │    ●⠉⠉⠉○●║                            ┊",
        "       │        │    │    ┴   ○│    ┴║                            ┊",
        "     0 ┼────────│────┴─────────┴─────║────────────────────────────┊───",
        "       │        │                    ║                            ┊",
        "       │        ↓                    ╨           more per 100 straight",
        "session    1    2    3    4    5  6 look 7    8    9    10     12 look",
        "        ● mean so far  ○ that session  ║ clear of 0: stop",
    ]


def test_a_session_that_is_not_counted_has_its_own_sign_and_moves_no_scale() -> None:
    lines = text(course(*SIX[:2], Session(3, 0.9), *SIX[2:]), 80)
    assert sum(line.count("×") for line in lines[:-1]) == 1
    # It stands at the upper edge, out of the scale, and an arrow says so.
    assert "×↑" in lines[0]
    assert lines[-1].endswith("× not counted")
    assert "7 look" in lines[-2]
    assert "13 look" in lines[-2]


def test_a_trial_that_ended_has_no_look_to_come() -> None:
    ended = Course(SIX, 12, (6,), "off the backboard", "straight")
    lines = text(ended)
    assert "┊" not in "".join(lines)
    assert "".join(lines).count("look") == 1


def test_a_look_to_come_stands_behind_the_sessions_that_only_practise() -> None:
    # Two of fourteen only practise; one of them was shot, so the sixth that counts is the eighth.
    begun = Course((Session(1, 0.1),), 12, (6, 12), "off the backboard", "straight", 1)
    numbers = text(begun, 90)[-2]
    assert "8 look" in numbers
    assert "14 look" in numbers


def test_one_session_is_a_point_without_an_interval() -> None:
    lines = text(course(SIX[0]))
    whole = "".join(lines[:-1])
    assert (whole.count("●"), whole.count("┬"), whole.count("║")) == (1, 0, 0)


def test_nothing_is_drawn_before_the_first_session() -> None:
    assert "".join(text(course())) == ""
    assert not course().drawable


@pytest.mark.parametrize("sessions", [1, 3, 6, 40])
@pytest.mark.parametrize(("cells", "height"), [(1, 1), (20, 5), (40, 8), (80, 9), (300, 60)])
def test_any_size_can_be_drawn(sessions: int, cells: int, height: int) -> None:
    every = [Session(n + 1, 0.01 * n, 0.1, -0.1, 0.2 + n, -0.2, 0.3) for n in range(sessions)]
    drawn = Course(tuple(every), max(sessions, 4), (2, max(sessions, 4)), HOSTILE[2], HOSTILE[4])
    lines = text(drawn, cells, height)
    assert len(lines) == height
    assert all(width(line) <= cells for line in lines)
    assert not any(c in "".join(lines) for c in FORBIDDEN)


def test_an_answer_gives_its_sessions_its_looks_and_what_is_compared() -> None:
    found = course_of(known("trial"))
    result = known("trial").part("result").rows()[0]
    assert (found.planned, found.looks) == (12, (6, 12))
    assert (found.tried, found.usual) == ("off the backboard", "straight")
    last = found.sessions[-1]
    assert (last.mean, last.low, last.high) == (result["difference"], result["low"], result["high"])
    assert last.stop_low is not None
    assert last.stop_low < 0 < last.mean  # type: ignore[operator]
