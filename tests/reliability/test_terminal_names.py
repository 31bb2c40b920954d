"""Names that try to act, on every screen and in every window of the real program.

What reaches the terminal is read byte by byte: no control code but those that draw the screen.
"""

from __future__ import annotations

import base64
import sys
import unicodedata
from pathlib import Path

import pytest
from textual.keys import key_to_character

from ledger.book import Book
from tests.intake.hostile_names import harmful
from tests.reliability import hostile_ground
from tests.reliability.terminal import KEYS, Terminal, offglass
from tui.actions import actions_of, keys_of
from tui.app import listed_questions
from tui.rooms import SCREENS

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")

FILE = "[@click=app.quit]x\x1b]0;t\x07\u202e.csv"
# Ways between screens, what stores without asking or leaves, and what is done on its own below.
_NOT_PRESSED = frozenset(
    """
    quit back contents intake sources lists scoresheet watch open again copy copy_csv copy_path drop
    slide_up slide_down step_back run_back later period period_before theme take_back cohort_before
    """.split()  # noqa: SIM905
)
_WAYS = {"intake": "i", "sources": "s", "lists": "l"}
# What windows are drawn with, and no screen.
_WINDOW = set("┌")
# Further tables of a screen.
_PARTS = {"switches": 4, "trial": 4, "misses": 5, "watchlist": 2, "agreement": 2, "player": 7,
          "lists": 8}  # fmt: skip
# Further tables of a screen.
_PARTS = {"switches": 4, "trial": 4, "misses": 5, "watchlist": 2, "agreement": 2, "player": 7,
          "lists": 8}  # fmt: skip
_KINDS = {"attempts": "question"}


def below(terminal: Terminal) -> str:
    """The screen without its first line, where the name of the ledger always stands."""
    return terminal.text().partition("\n")[2]


def press(terminal: Terminal, key: str) -> None:
    """Press a key by its name, and wait for what comes of it."""
    terminal.press(key if key in KEYS else key_to_character(key) or key)
    terminal.rests()


def close_windows(terminal: Terminal) -> None:
    """Escape from every window."""
    for _ in range(6):
        if not _WINDOW & set(terminal.text()):
            return
        press(terminal, "escape")
    raise AssertionError(f"a window stays open:\n{terminal.text()}")


def look_around(terminal: Terminal, kind: str, done: set[str]) -> None:
    """Every action of a screen that was not tried on another one."""
    for action in actions_of(kind):
        if action.id not in done and action.id not in _NOT_PRESSED:
            done.add(action.id)
            press(terminal, keys_of(action, {}, kind)[0])
            close_windows(terminal)


def go(terminal: Terminal, room: str) -> None:
    """Go to a screen from the contents."""
    close_windows(terminal)
    press(terminal, "f2")
    titles = {question.name: question.title for question in listed_questions()}
    names = list(titles)
    if room in _WAYS:
        press(terminal, _WAYS[room])
    elif room == "player":
        press(terminal, "1")
        press(terminal, "enter")
    elif room in names[:9]:
        press(terminal, str(names.index(room) + 1))
    elif room != "contents":
        title = titles[room]
        press(terminal, "p")
        terminal.send(title)
        # Once where it is typed, once where it is found.
        terminal.until(lambda: terminal.screen.text().count(title) > 1, f"{title!r} is not found")
        press(terminal, "enter")
        terminal.until(lambda: not _WINDOW & set(terminal.screen.text()), "the window is open")
    if room in titles and room != "player":
        heading = f" {titles[room]}"
        terminal.until(
            lambda: (
                terminal.screen.text().splitlines()[1] == heading
                or bool(_WINDOW & set(terminal.screen.text()))
            ),
            f"{room} does not come",
        )
    terminal.hides("counting …")
    terminal.rests(0.3)


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    path = tmp_path / "spring [red]\x9b31m.duckdb"
    hostile_ground.make(path)
    (tmp_path / FILE).write_text(
        "league,season,date,game,team,player,made,[b]\x1b[31m\n"
        'Halma League,2024-25,2024-11-02,R1,Skerry,"Kim [/red] [b",yes,x\n'
        'Halma League,2024-25,2024-11-02,R1,Skerry,"A\x1b[31m\u202eB",perhaps,'
        '"\x1b]52;c;eA==\x07"\n',
        encoding="utf-8",
    )
    return path


def test_no_name_acts_on_any_screen_or_in_any_window(hostile: Path) -> None:
    with Book(hostile) as book:
        before = book.contents().changes
    done: set[str] = set()
    shown: dict[str, str] = {}
    with offglass(hostile, size=(140, 44)) as terminal:
        terminal.shows("1,382 attempts")
        for room in (*(r for r in SCREENS if r not in ("watch", "scoresheet")), "attempts"):
            go(terminal, room)
            shown[room] = below(terminal)
            if room == "intake":
                _look_into_file(terminal)
            look_around(terminal, _KINDS.get(room, room), done)
            shown[room] += below(terminal)
        _copy(terminal)
        _watch(terminal, done)
        press(terminal, "f2")
        press(terminal, "e")
        look_around(terminal, "scoresheet", done)
        assert terminal.screen.strange == []
        # No name has ended it.
        terminal.signal("SIGTERM")
        assert terminal.exit_code() == 143
        assert b"Traceback" not in terminal.sent
    without = [room for room, text in shown.items() if hostile_ground.SIGN not in text]
    # What a trip is worth names nobody, a file is named on its own.
    assert without == ["worth", "intake"]
    with Book(hostile) as book:
        # A technique was told of two attempts; nothing else was changed.
        assert book.contents().changes == before + 2


def _look_into_file(terminal: Terminal) -> None:
    terminal.send("[@click")
    terminal.rests()
    press(terminal, "right")
    press(terminal, "enter")
    terminal.shows("1 would be stored")
    press(terminal, "o")
    terminal.shows("Kim [/red] [b")
    assert terminal.screen.strange == []


def _copy(terminal: Terminal) -> None:
    """What is copied is asked for, and harmless."""
    assert terminal.screen.copied == []
    go(terminal, "ranking")
    for key, number in (("y", 1), ("Y", 2)):
        press(terminal, key)
        terminal.until(lambda n=number: len(terminal.screen.copied) == n, "nothing is copied")  # type: ignore[misc]
    for text in terminal.screen.copied:
        # Codes that no letter has are nothing to a spreadsheet; a terminal gets none of it.
        acting = harmful(base64.b64decode(text).decode().replace("\r\n", "\n"))
        assert not [c for c in acting if unicodedata.category(c) != "Cn"]


def _watch(terminal: Terminal, done: set[str]) -> None:
    go(terminal, "contents")
    press(terminal, "v")
    terminal.shows("Everything nobody has watched")
    line = next(x for x in terminal.text().splitlines() if "Everything nobody" in x)
    press(terminal, next(sign for sign in line if sign.isdigit()))
    terminal.shows("How was it shot?")
    press(terminal, "1")
    look_around(terminal, "watch", done)
    # What was looked up for a window may come late.
    terminal.rests(1.0)
    close_windows(terminal)
    press(terminal, "0")
    terminal.shows(", 2 done today")
