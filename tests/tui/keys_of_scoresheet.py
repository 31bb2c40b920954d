"""The keys of the scoresheet."""

from __future__ import annotations

from textual.pilot import Pilot
from textual.widgets import Input

from ledger.intake.trip import Trip
from tests.tui.driving import press, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import on
from tui.app import OffglassApp
from tui.screens.form import FormDialog
from tui.screens.scoresheet import ScoresheetScreen
from tui.screens.sheet_windows import LineUpDialog

# As they follow each other in the window.
GAME = ("type:Halma League", "tab", "type:2024-25", "tab", "ctrl+u", "type:2024-11-02", "tab",
        "type:Skerry", "tab", "type:Fenholt")  # fmt: skip


async def open_game(pilot: Pilot[int]) -> None:
    """Open the game of Skerry and Fenholt."""
    await press(pilot, "f8", *GAME, "enter")


async def open_practice(pilot: Pilot[int]) -> None:
    """Open a session of the trial Winter."""
    await press(pilot, "f8")
    for name, value in (("session", "2025-02-03"), ("trial", "Winter")):
        pilot.app.screen.query_one(f"#{name}-typed", Input).value = value
    await press(pilot, "enter")


def trips(book: FakeBook) -> list[Trip]:
    """What was stored, in its order."""
    return [what for name, what in book.calls if name == "score"]


@on("contents")
async def scoresheet(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "e")
    assert isinstance(app.screen, ScoresheetScreen)
    assert "F8 opens a game, or a practice session of a trial" in text_of(app)
    # Where letters are typed, a letter is a letter.
    await open_game(pilot)
    await press(pilot, "e", "s")
    assert app.screen.line.text == "es"


@on("scoresheet")
async def sheet(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "f8")
    assert isinstance(app.screen, FormDialog)
    await press(pilot, *GAME[:-1], "enter")
    assert "a game needs league, season, date, home, away; missing: away" in text_of(app)
    await press(pilot, "type:Fenholt", "enter")
    assert "Halma League 2024-25, 2024-11-02: Skerry v Fenholt" in text_of(app)
    assert "12 Ilvo Tarn" in text_of(app)
    await open_practice(pilot)
    assert "Practice of Ilvo Tarn on 2025-02-03: trial Winter" in text_of(app)
    assert "next: 10 off the backboard" in text_of(app)


@on("scoresheet")
async def take_back(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "f7")
    assert "there is nothing to take back" in status_of(app)
    await open_game(pilot)
    await press(pilot, *"12+-", "enter", *"4++", "enter", "f7")
    assert "taken back: Bram Oselo (Skerry): made, made; now 0 of 0" in text_of(app)
    assert len(book.scored["Skerry v Fenholt"]) == 1
    await press(pilot, "ctrl+z", "f7")
    assert book.scored["Skerry v Fenholt"] == []
    left = "nothing of this sitting is left to take back; F4 takes back line-ups"
    assert left in status_of(app)


@on("scoresheet")
async def line_ups(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "tab")
    assert "line-ups are those of a game: none is open" in status_of(app)
    await open_game(pilot)
    await press(pilot, "tab")
    assert isinstance(app.screen, LineUpDialog)
    await press(pilot, "type:33 Kuno Pell", "enter", "tab", "type:1 Sefa Mun", "enter", "escape")
    added = [what for name, what in book.calls if name == "add_line_up"]
    assert added == [
        ("Skerry", (("33", "Kuno Pell"),)), ("Fenholt", (("1", "Sefa Mun"),)),
    ]  # fmt: skip
    await press(pilot, *"33+", "enter")
    assert trips(book)[-1].player == "Kuno Pell"


@on("scoresheet")
async def period(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "f9")
    assert "periods are those of a game: none is open" in status_of(app)
    await open_game(pilot)
    await press(pilot, *"4+", "enter", "f9")
    assert status_of(app) == (
        "period 1: trips typed now are in it; those typed before have no period: F9 again if they "
        "were the first; F7 takes them back one by one, to be typed in theirs"
    )
    await press(pilot, *"4+", "enter", "pagedown")
    assert status_of(app) == "period 2: trips typed now are in it"
    await press(pilot, *"4+", "enter")
    assert [trip.period for trip in trips(book)] == [None, 1, 2]
    assert "; period 2" in text_of(app)


@on("scoresheet")
async def period_before(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await open_game(pilot)
    await press(pilot, "f9")
    assert status_of(app) == "period 1: trips typed now are in it"
    await press(pilot, "f9", "pageup", *"4+", "enter", "pageup")
    assert status_of(app) == "no period: trips typed now have none"
    await press(pilot, *"4+", "enter")
    assert [trip.period for trip in trips(book)] == [1, None]


@on("scoresheet")
async def retype(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await open_game(pilot)
    await press(pilot, "up")
    assert "nothing waits to be typed again" in status_of(app)
    await press(pilot, *"12+-", "escape")
    assert "put aside: ↑ brings it back" in status_of(app)
    await press(pilot, *"4+", "up")
    assert isinstance(app.screen, ScoresheetScreen)
    assert app.screen.line.text == "12+-"
    await press(pilot, "enter", "up", "enter")
    assert [trip.player for trip in trips(book)] == ["Ilvo Tarn", "Bram Oselo"]
