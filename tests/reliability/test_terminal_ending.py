"""The end comes in the middle of typing: nothing typed is lost, the screen is given back."""

from __future__ import annotations

import re
import sys
import termios
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.book import Book
from tests.reliability import typing_ground
from tests.reliability.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals and terminals of POSIX")

# Keys for the other screen, the mouse in its four ways, marks around what is pasted, focus.
_SCREEN_MODES = {"?1049", "?1000", "?1003", "?1006", "?1015", "?2004", "?1004"}
_FIRST, _MORE = 24, 12
ENDS: dict[str, tuple[Callable[[Terminal], None], int]] = {
    "SIGTERM": (lambda t: t.signal("SIGTERM"), 143),
    "SIGHUP": (lambda t: t.signal("SIGHUP"), 129),
    "SIGINT": (lambda t: t.signal("SIGINT"), 130),
    "the window is closed": (lambda t: t.close_window(), 129),
}


def given_back(terminal: Terminal) -> None:
    """The screen is as it was before, keys are shown again as they are typed."""
    assert not terminal.screen.modes & _SCREEN_MODES
    assert "?25" in terminal.screen.modes
    # The keyboard protocol that was begun is ended.
    assert terminal.sent.count(b"\x1b[<u") == terminal.sent.count(b"\x1b[>") > 0
    said = termios.tcgetattr(terminal.end)[3]
    assert said & termios.ECHO
    assert said & termios.ICANON
    assert b"Traceback" not in terminal.sent


def can_be_changed(path: Path) -> None:
    """Nobody holds the ledger any more, and it is whole."""
    with Book(path, who="oren") as book:
        book.note("watched to the end", player="Ilvo Tarn")
        assert book.check() == []


def done_today(terminal: Terminal) -> int:
    """How many attempts the screen says are done."""
    found = re.search(r"(\d+) done today", terminal.text())
    assert found
    return int(found[1])


@pytest.mark.parametrize("how", ENDS)
def test_watch_ends_in_the_middle_of_typing(ground: Path, how: str) -> None:
    end, code = ENDS[how]
    wanted = typing_ground.film_keys(ground, _FIRST + _MORE)
    with typing_ground.watching(ground) as terminal:
        terminal.type("".join(key for key, _ in wanted[:_FIRST]), 50)
        terminal.shows(f"{_FIRST} done today")
        terminal.type("".join(key for key, _ in wanted[_FIRST:]), 50)
        seen = done_today(terminal)
        end(terminal)
        assert terminal.exit_code() == code
        if terminal.end >= 0:
            given_back(terminal)
    stored = typing_ground.tagged(ground)
    assert len(stored) >= seen >= _FIRST
    assert stored[:-1] == [fields for _, fields in wanted[: len(stored) - 1]]
    # The last one may have been half typed.
    assert stored[-1]["technique"] == wanted[len(stored) - 1][1]["technique"]
    can_be_changed(ground)


@pytest.mark.parametrize("how", ENDS)
def test_a_scoresheet_ends_in_the_middle_of_typing(ground: Path, how: str) -> None:
    end, code = ENDS[how]
    typed = typing_ground.trips(12)
    with typing_ground.scoring(ground) as terminal:
        terminal.type("".join(text for text, _ in typed[:8]), 50)
        typing_ground.taken(terminal, "30 Kuno Dravik (Fenholt): made, missed; now 2 of 4")
        terminal.type("".join(text for text, _ in typed[8:]) + "12", 50)
        typing_ground.taken(terminal, "› 12▏")
        end(terminal)
        assert terminal.exit_code() == code
        if terminal.end >= 0:
            given_back(terminal)
    assert typing_ground.scored(ground) == [shot for _, shots in typed for shot in shots]
    can_be_changed(ground)
    # What was not finished is there the next time.
    with typing_ground.scoring_again(ground) as terminal:
        terminal.shows("› 12")
