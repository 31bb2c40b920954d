"""A megabyte pasted by mistake, on every kind of screen: a key is answered within two seconds."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from ledger.book import Book
from tests.reliability import typing_ground
from tests.reliability.terminal import Terminal, offglass

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")

WITHIN_S = 2.0
# Every letter and digit of it is the key of something, and part of it is taken for codes.
_LINE = "12 Ilvo Tarn,Skerry,yes\tq u y a i s 1 2 + - \x1b[31m\x1b[200~\n"
_MANY = (_LINE * (1 + 1_000_000 // len(_LINE)))[:1_000_000]
MARKED = "\x1b[200~{}\x1b[201~"
PASTES = {
    "many lines": MARKED.format(_MANY),
    "one line": MARKED.format(_MANY.replace("\n", " ")),
    # A terminal that does not mark what is pasted sends no codes either.
    "not marked": _MANY.replace("\x1b", " "),
}


def paste(terminal: Terminal, kind: str) -> None:
    """Paste, and take the hand from the mouse to the keys: no key is pressed sooner."""
    terminal.send(PASTES[kind])
    time.sleep(0.3)


def answered(terminal: Terminal, keys: str, text: str) -> None:
    """Type; it is answered in time."""
    terminal.send(keys)
    assert terminal.shows(text) < WITHIN_S


def helps(terminal: Terminal) -> None:
    """The key of the help is answered in time; the help is closed again."""
    answered(terminal, "\x1bOP", "Keys of this screen")
    terminal.close("Keys of this screen")


@pytest.mark.parametrize("kind", PASTES)
def test_after_a_megabyte_was_pasted_a_key_is_answered_and_nothing_is_stored(
    ground: Path, kind: str
) -> None:
    with Book(ground) as book:
        before = book.contents().changes
    with offglass(ground) as terminal:
        terminal.shows("240 attempts")
        paste(terminal, kind)
        helps(terminal)
        terminal.send("1")
        terminal.shows("Bram Oselo")
        paste(terminal, kind)
        helps(terminal)
        terminal.press("/")
        terminal.shows("part of a name")
        paste(terminal, kind)
        answered(terminal, "\x15mun", "1 row found")
        terminal.close("mun\n")
        terminal.press("v")
        terminal.shows("What to watch?")
        paste(terminal, kind)
        terminal.press("4")
        terminal.shows("How was it shot?")
        paste(terminal, kind)
        terminal.shows("pasted text is not taken for keys")
        helps(terminal)
        assert "1 of 240, 0 done today" in terminal.text()
        terminal.press("f10")
        assert terminal.exit_code() == 0
    with Book(ground) as book:
        assert book.contents().changes == before
        assert book.check() == []


@pytest.mark.parametrize("kind", PASTES)
def test_a_megabyte_on_a_scoresheet_is_asked_about_and_nothing_of_it_is_stored(
    ground: Path, kind: str
) -> None:
    with typing_ground.scoring(ground) as terminal:
        paste(terminal, kind)
        assert terminal.shows("nothing: leave it out") < WITHIN_S
        terminal.close("nothing: leave it out")
        answered(terminal, "4+", "4 Ilvo Tarn (Skerry): made")
        terminal.press("enter")
        terminal.shows("4 Ilvo Tarn (Skerry): made; now 1 of 1")
        terminal.press("f10")
        assert terminal.exit_code() == 0
    assert typing_ground.scored(ground) == [("Ilvo Tarn", True)]
