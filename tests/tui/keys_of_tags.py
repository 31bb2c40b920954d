"""The keys of what can be trusted and of where misses go."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.driving import press, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import on
from tui.app import OffglassApp
from tui.screens.dialogs import ChoiceDialog


@on("agreement")
async def settle(app: OffglassApp, pilot: Pilot[int], book: FakeBook) -> None:
    await press(pilot, "equals_sign")
    assert "no attempt in dispute is chosen; tab leafs to those in dispute" in status_of(app)
    await press(pilot, "tab", "equals_sign")
    assert isinstance(app.screen, ChoiceDialog)
    assert "Ana: board; Bo: straight" in text_of(app)
    await press(pilot, "1")
    (told,) = [what for name, what in book.calls if name == "settle"]
    assert told[1] == "straight"
    assert status_of(app).startswith(f"attempt {told[0]} settled: straight")
    assert status_of(app).endswith("u takes it back")
    assert book.sources[-1].file == f"attempt {told[0]} settled: straight"
    # How a miss went is not settled by a technique.
    await press(pilot, "tab", "equals_sign")
    assert "only a technique is settled here" in status_of(app)
