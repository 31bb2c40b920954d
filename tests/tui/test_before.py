"""The answer before, while the next one is counted: it stands back and is called what it is."""

from __future__ import annotations

import threading

import pytest

from ledger.cohort import Cohort
from tests.tui.driving import rest, running, text_of
from tests.tui.fake_book import FakeBook
from tui.cohorts import Meant
from tui.screens.question import QuestionScreen
from tui.styles.themes import INKS, PLAIN
from tui.widgets.lines import inks_of
from tui.widgets.rows import RowsView


@pytest.mark.parametrize("room", ["ranking", "uptake", "switches"])
async def test_rows_of_the_answer_before_stand_back_until_the_next_has_come(room: str) -> None:
    book = FakeBook()
    async with running(book, show=room) as (app, pilot, _):
        screen = app.screen
        assert isinstance(screen, QuestionScreen)
        drawn = [screen.rows, *screen.query("CanvasView")]
        bright = INKS[app.theme]
        assert all(inks_of(widget) == bright for widget in drawn)
        book.hold = threading.Event()
        app.meant.change(Meant(Cohort.of(league="Halma League")))
        screen.entered()
        await pilot.pause(0.0)
        assert "counting …; below: the answer before" in text_of(app)
        for widget in drawn:
            inks = inks_of(widget)
            assert {inks.text, inks.strong, inks.mark, inks.chosen, *inks.lines} == {bright.dim}
        styles = {segment.style for segment in screen.query_one(RowsView).render_line(1)}
        assert styles == {bright.dim}
        book.hold.set()
        await rest(pilot)
        assert "the answer before" not in text_of(app)
        assert all(inks_of(widget) == bright for widget in drawn)


async def test_without_colour_the_word_alone_says_it_and_what_is_stopped_is_bright_again() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        app.theme = PLAIN
        screen = app.screen
        assert isinstance(screen, QuestionScreen)
        book.hold = threading.Event()
        screen.action_again()
        await pilot.pause(0.0)
        assert "counting …; below: the answer before" in text_of(app)
        screen.action_back()
        book.hold.set()
        await rest(pilot)
        assert inks_of(screen.rows) == INKS[PLAIN]
        assert "the answer before" not in text_of(app)


async def test_before_there_was_an_answer_nothing_is_called_one() -> None:
    book = FakeBook(hold=threading.Event())
    async with running(FakeBook()) as (app, pilot, used):
        used.hold = book.hold
        app.show("adopters")
        await pilot.pause(0.0)
        assert "counting …\n" in text_of(app)
        assert used.hold is not None
        used.hold.set()
        await rest(pilot)
