"""The keys of one player's page, of the changes and of the trial."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.driving import press, shows, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked, on
from tui.app import OffglassApp
from tui.cohorts import Whom
from tui.screens.who import WhoDialog
from tui.widgets.rows import RowsView


@on("player")
async def which(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    # Nobody is chosen yet: the window is open.
    assert shows(app, WhoDialog)
    await press(pilot, "type:oselo")
    assert "6 of 24 players" in text_of(app)
    await press(pilot, "down", "enter")
    assert app.player == Whom("Bram Oselo")
    assert asked(book)[1].player == ("Bram Oselo",)  # type: ignore[attr-defined]
    await press(pilot, "b", "escape")
    assert app.player == Whom("Bram Oselo")
    await press(pilot, "3", "type:dravik", "enter")
    assert app.player == Whom("Ilvo Dravik")


@on("switches")
async def part(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    rows = app.screen.query_one("#rows", RowsView)
    assert "[changes 3]" in text_of(app)
    questions = len(book.calls)
    await press(pilot, "tab")
    assert "[only tried it 0]" in text_of(app)
    await press(pilot, "right", "right_square_bracket", "tab")
    assert "[looked at 4]" in text_of(app)
    assert rows.count == 4
    await press(pilot, "tab")
    assert "[changes 3]" in text_of(app)
    assert len(book.calls) == questions


@on("trial")
async def part_before(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "shift+tab")
    assert "[the plan]" in text_of(app)
    await press(pilot, "left", "left_square_bracket")
    assert "[misses]" in text_of(app)
