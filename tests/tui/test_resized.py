"""What is drawn follows the room it has at once, whatever comes first: the size or its news."""

from __future__ import annotations

import pytest
from textual import events
from textual.app import App, ComposeResult
from textual.message import Message

from tests.tui.driving import rest, running, text_of
from tui.cohorts import Whom
from tui.screens.question import QuestionScreen
from tui.widgets.lines import Words
from tui.widgets.running_rate import RunningRate
from tui.widgets.uptake_chart import ChartLine, Season, UptakeChart


class DeafChart(UptakeChart):
    """Is painted before the news of its size has come."""

    async def _on_message(self, message: Message) -> None:
        if not isinstance(message, events.Resize):
            await super()._on_message(message)


class ChartApp(App[None]):
    CSS = "#short { max-height: 1; } .roomy #short { max-height: 3; }"

    def compose(self) -> ComposeResult:
        yield DeafChart(id="chart")
        yield Words("one two three four five six seven eight", id="short")


LINE = ChartLine("Halma League", tuple(
    Season(year, f"{year}-{year + 1 - 2000}", 0.05 * (year - 2019), 0.0, 0.5)
    for year in range(2020, 2025)
))  # fmt: skip


async def test_a_picture_painted_before_it_is_told_of_its_size_has_its_axis() -> None:
    app = ChartApp()
    async with app.run_test(size=(60, 16)) as pilot:
        chart = app.query_one(DeafChart)
        chart.show([LINE])
        await pilot.pause(0.0)
        assert "20-21" in chart.render_line(chart.size.height - 1).text
        # One line goes to a message.
        app.query_one("#short").styles.margin = (0, 0, 3, 0)
        await pilot.pause(0.1)
        assert chart.size == (60, 12)
        assert "20-21" in chart.render_line(11).text
        await pilot.resize_terminal(40, 16)
        await pilot.pause(0.1)
        assert "Halma" in "".join(chart.render_line(y).text for y in range(12))


async def test_words_are_fitted_when_their_room_changes_by_a_class_alone() -> None:
    app = ChartApp()
    async with app.run_test(size=(20, 16)) as pilot:
        words = app.query_one("#short", Words)
        await pilot.pause(0.0)
        assert "…" in str(words.render())
        app.screen.add_class("roomy")
        await pilot.pause(0.1)
        assert str(words.render()).split()[-1] == "eight"


@pytest.mark.parametrize("room", ["uptake", "switches", "ranking"])
async def test_a_room_made_small_and_large_again_reads_as_before(room: str) -> None:
    async with running(show=room) as (app, pilot, _):
        first = text_of(app)
        await pilot.resize_terminal(40, 12)
        await rest(pilot)
        assert text_of(app) != first
        await pilot.resize_terminal(80, 24)
        await rest(pilot)
        assert text_of(app) == first


async def test_a_message_over_the_keys_leaves_the_picture_its_axis_and_its_scale() -> None:
    async with running(show="uptake") as (app, pilot, _):
        screen = app.screen
        chart = screen.query_one(UptakeChart)
        scales = set()
        for line in ("", "saved uptake.png", "saved a file of a long name " * 4, ""):
            assert isinstance(screen, QuestionScreen)
            screen.tell(line)
            await rest(pilot)
            shown = text_of(app)
            assert line[:20] in shown
            assert "25-26" in chart.render_line(chart.size.height - 1).text
            scales.add(tuple(row[:5] for row in shown.splitlines() if row[6:7] == "┤"))
        assert scales == {(" 30 %", " 20 %", " 10 %", "  0 %")}


async def test_the_picture_of_a_player_takes_the_width_of_a_window_made_wider() -> None:
    async with running(size=(80, 24)) as (app, pilot, _):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        narrow = [line.rstrip() for line in text_of(app).splitlines()]
        await pilot.resize_terminal(120, 36)
        await rest(pilot)
        chart = app.screen.query_one(RunningRate)
        wide = [chart.render_line(y).text.rstrip() for y in range(chart.size.height)]
        assert max(map(len, wide)) > 110
        assert max(map(len, narrow)) <= 80
