"""The mouse: keys of the last line, headings, two clicks, the wheel."""

from __future__ import annotations

import pytest
from textual import events
from textual.pilot import Pilot

from tests.tui.driving import press, rest, running, text_of
from tui.app import OffglassApp
from tui.screens.base import RoomScreen
from tui.screens.cohort import CohortEditor
from tui.screens.dialogs import TextDialog
from tui.widgets.lines import KeysLine
from tui.widgets.rows import RowsView


async def click(
    app: OffglassApp, pilot: Pilot[int], widget: KeysLine | RowsView, words: str, y: int = 0
) -> None:
    """Click where these words stand in a line of a widget."""
    x = widget.render_line(y).text.index(words)
    await pilot.click(widget, offset=(x, y))
    await rest(pilot)


@pytest.mark.parametrize(
    ("words", "window"), [("change attempts", CohortEditor), ("?", TextDialog)]
)
async def test_a_click_on_a_key_of_the_last_line_does_what_it_does(
    words: str, window: type[object]
) -> None:
    async with running(show="ranking") as (app, pilot, _):
        await click(app, pilot, app.screen.query_one(KeysLine), words)
        assert isinstance(app.screen, window)


async def test_a_click_between_two_keys_does_nothing() -> None:
    async with running(show="ranking") as (app, pilot, _):
        line = app.screen.query_one(KeysLine)
        await pilot.click(line, offset=(line.render_line(0).text.index("   "), 0))
        await rest(pilot)
        assert isinstance(app.screen, RoomScreen)


async def test_a_click_on_a_heading_orders_and_another_turns_it_round() -> None:
    async with running(show="ranking") as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        await press(pilot, "down")
        chosen = rows.chosen()
        await click(app, pilot, rows, "made")
        made = [rows.row(n)["attempts"] for n in range(rows.count)]
        assert made == sorted(made, reverse=True)
        assert "▾made" in rows.render_line(0).text
        assert rows.chosen() == chosen
        await click(app, pilot, rows, "made")
        made = [rows.row(n)["attempts"] for n in range(rows.count)]
        assert made == sorted(made)
        assert "▴made" in rows.render_line(0).text
        # Words rise first.
        await click(app, pilot, rows, "player")
        names = [rows.row(n)["player"] for n in range(rows.count)]
        assert names == sorted(names)
        # A heading that runs on over the drawing orders by the figure.
        await click(app, pilot, rows, "luck")
        assert rows.ordered == ("shrunken_rate", True)
        await press(pilot, "r")
        assert rows.ordered is None


async def test_two_clicks_open_the_row() -> None:
    async with running(show="ranking") as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        await pilot.click(rows, offset=(6, 2), times=2)
        await rest(pilot)
        assert app.player is not None
        assert app.player.name == "Bram Tarn"


async def test_the_axis_under_the_rows_is_no_row() -> None:
    async with running(show="ranking") as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        await pilot.click(rows, offset=(6, rows.size.height - 1))
        assert rows.cursor == 0


async def test_the_wheel_scrolls_and_the_chosen_row_stays() -> None:
    async with running(show="ranking", size=(80, 24)) as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        assert "Pim Dravik" not in text_of(app)
        turn = events.MouseScrollDown(rows, 5, 5, 0, 1, 0, False, False, False, 5, 10)
        for _n in range(12):
            rows.post_message(turn)
        await pilot.pause(0.5)
        await rest(pilot)
        assert "Pim Dravik" in text_of(app)
        assert rows.cursor == 0
