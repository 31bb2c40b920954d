"""The keys of Watch, and the way there."""

from __future__ import annotations

from typing import Any

from textual.pilot import Pilot

from tests.tui.driving import press, rest, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import on
from tui.app import OffglassApp
from tui.screens.dialogs import ConfirmDialog
from tui.screens.form import FormDialog
from tui.screens.watch import WatchScreen
from tui.screens.watch_windows import FurtherDialog


def typed(book: FakeBook) -> list[Any]:
    """The tags that were stored and taken back, in order."""
    return [what for name, what in book.calls if name in ("tag", "untag")]


async def opened(app: OffglassApp, pilot: Pilot[int]) -> WatchScreen:
    """Everything that nobody has watched."""
    await press(pilot, "escape")
    app.show_watch("unwatched")
    await rest(pilot)
    screen = app.screen
    assert isinstance(screen, WatchScreen)
    return screen


@on("contents")
async def watch(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "v")
    assert "What to watch?" in text_of(app)
    await press(pilot, "7")
    assert ("film", ("lot", {"name": "honest"}, ())) in book.calls
    assert "Lot honest: 1 of 60, 0 done today" in text_of(app)


@on("watch")
async def step_back(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    await press(pilot, "1", "1", "1", "2", "7", "u")
    assert "board. Where did it go?" in text_of(app)
    await press(pilot, "backspace")
    assert " How was it shot?" in text_of(app)
    await press(pilot, "u")
    assert "3 of 60, 2 done today" in text_of(app)
    await rest_stored(pilot, screen)
    assert sorted(book.tags) == [1, 2]


@on("watch")
async def run_back(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    now = [0.0]
    screen.clock = lambda: now[0]
    await press(pilot, "1")
    now[0] = 20.0
    await press(pilot, "1", "2")
    await press(pilot, "U")
    assert isinstance(app.screen, ConfirmDialog)
    assert "Take back the last 2 attempts?" in text_of(app)
    await press(pilot, "y")
    await rest_stored(pilot, screen)
    assert sorted(book.tags) == [1]
    assert "2 attempts taken back" in status_of(app)
    assert "Everything nobody has watched: 2 of 60, 1 done today" in text_of(app)


@on("watch")
async def further(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    await press(pilot, "plus")
    assert isinstance(app.screen, FurtherDialog)
    await press(pilot, "type:yes", "tab", "type:abo", "enter")
    assert "with more. How was it shot?" in text_of(app)
    await press(pilot, "1")
    await rest_stored(pilot, screen)
    assert book.tags == {
        1: {
            "technique": "straight", "first_contact": "board", "contact_height": "above top line",
        }
    }  # fmt: skip


@on("watch")
async def later(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    await press(pilot, "n", "1")
    assert "before: Ilvo Tarn: straight" in text_of(app)
    await rest_stored(pilot, screen)
    assert sorted(book.tags) == [2]
    assert screen.reel is not None
    assert screen.reel.later == (1,)
    await press(pilot, "f5")
    assert screen.hand is not None
    assert screen.hand.attempt.attempt == 1


@on("watch")
async def wrong(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    await press(pilot, "m")
    assert isinstance(app.screen, FormDialog)
    await press(pilot, "tab", "ctrl+u", "type:missed", "tab", "type:seen on film", "enter")
    assert ("correct", ("attempt", 1, {"made": "no"}, "seen on film")) in book.calls
    assert "attempt 1 mended; to take it back: offglass undo 3" in status_of(app)
    assert screen.hand is not None
    assert not screen.hand.attempt.made
    await press(pilot, "1")
    assert "Where did it go?" in text_of(app)


@on("watch")
async def queue(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    screen = await opened(app, pilot)
    await press(pilot, "o", "5", "1")
    assert ("film", ("game", {"game": 1}, ())) in book.calls
    assert "R1, Skerry - Fenholt, 2024-11-02: 1 of 60" in text_of(app)
    await press(pilot, "f9", "6", "type:bram", "enter")
    assert ("film", ("player", {"player": book.names[1]}, ())) in book.calls
    assert screen.asked == ("player", {"player": book.names[1]})


async def rest_stored(pilot: Pilot[int], screen: WatchScreen) -> None:
    """Wait until all that was typed is with the ledger."""
    for _ in range(200):
        await pilot.pause(0.01)
        if not len(screen.outbox) and not screen.jobs:
            return
    raise AssertionError("what was typed is not stored")
