"""Other sizes at any moment, no colour, and no terminal that could show anything."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from tests.reliability.terminal import Terminal, offglass

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")

# The keys of the last line, at the end of what is drawn.
_LAST = "? keys   q quit"


def is_whole(terminal: Terminal, cells: int, lines: int) -> None:
    """The screen fills the window: its last line has the keys."""
    terminal.until(
        lambda: _LAST in terminal.screen.text().split("\n")[lines - 1], "no keys in the last line"
    )
    assert len(terminal.text().split("\n")[lines - 1]) <= cells


def test_a_window_is_resized_while_a_question_is_answered(ground: Path) -> None:
    with offglass(ground, size=(100, 30)) as terminal:
        terminal.shows("240 attempts")
        terminal.send("1")
        terminal.resize(120, 36)
        terminal.send("c")
        terminal.send("1")
        terminal.resize(30, 8)
        wanted = "offglass needs 40×12 cells; this window has 30×8"
        terminal.until(lambda: " ".join(terminal.screen.text().split()) == wanted, wanted)
        terminal.resize(100, 30)
        terminal.shows("Bram Oselo")
        is_whole(terminal, 100, 30)
        # A window that is dragged has many sizes one after another.
        dice = random.Random(5)
        for _ in range(60):
            terminal.resize(dice.randint(20, 200), dice.randint(5, 60))
        terminal.resize(80, 24)
        terminal.shows("Bram Oselo")
        is_whole(terminal, 80, 24)
        terminal.press("?")
        assert terminal.shows("Keys of this screen") < 2.0
        terminal.close("Keys of this screen")
        terminal.press("q")
        assert terminal.exit_code() == 0
        assert terminal.screen.strange == []
        # Here there are colours: the reader sees them where there are any.
        assert terminal.screen.colours > 0


def test_without_colour_no_code_of_a_colour_is_sent(ground: Path) -> None:
    with offglass(ground, env={"NO_COLOR": "1"}) as terminal:
        terminal.shows("240 attempts")
        terminal.press("g")
        terminal.shows("NO_COLOR is set in the environment")
        terminal.press("1")
        terminal.shows("Bram Oselo")
        terminal.press("a")
        terminal.shows("esc asks so")
        terminal.close("esc asks so")
        terminal.press("l")
        terminal.shows("Lists")
        terminal.press("q")
        assert terminal.exit_code() == 0
        assert terminal.screen.colours == 0
        assert terminal.screen.strange == []


def test_the_theme_without_colour_sends_none_either(ground: Path) -> None:
    settings = ground.parent / "config" / "offglass" / "terminal.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('theme = "plain"\n', encoding="utf-8")
    with offglass(ground) as terminal:
        terminal.shows("240 attempts")
        terminal.press("1")
        terminal.shows("Bram Oselo")
        assert terminal.screen.colours == 0
        # The next theme has colours again, and after the two of them there is none.
        terminal.press("g")
        terminal.until(lambda: terminal.screen.colours > 0, "no colours")
        terminal.press("g", "g")
        terminal.rests(1.0)
        before = terminal.screen.colours
        terminal.press("c", "1")
        terminal.rests()
        assert terminal.screen.colours == before
        terminal.press("q")
        assert terminal.exit_code() == 0


@pytest.mark.parametrize("kind", ["dumb", "unknown"])
def test_a_terminal_that_can_only_print_is_one_line_and_exit_2(ground: Path, kind: str) -> None:
    with offglass(ground, env={"TERM": kind}) as terminal:
        assert terminal.exit_code() == 2
        assert b"\x1b" not in terminal.sent
        (line,) = terminal.sent.decode().splitlines()
        assert line.startswith("offglass: the terminal program needs a terminal")
