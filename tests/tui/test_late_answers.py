"""What was asked for and comes when the user has gone on: it gets in nobody's way."""

from __future__ import annotations

import threading

from tests.tui.driving import press, rest, running, shows, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.keys_of_scoresheet import open_practice
from tests.tui.keys_of_watch import opened, rest_stored
from tui.screens.cohort import CohortEditor
from tui.screens.question import QuestionScreen
from tui.screens.scoresheet import ScoresheetScreen


class SlowBook(FakeBook):
    """Takes as long as a test wants to look things up."""

    slow: threading.Event | None = None

    def _called(self, name: str, what: object) -> None:
        super()._called(name, what)
        if self.slow is not None and name in ("film", "open_sheet", "choices"):
            self.slow.wait(5)


async def test_a_window_for_what_was_looked_up_opens_over_no_other_window() -> None:
    book = SlowBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.slow = threading.Event()
        await pilot.press("t")
        await pilot.press("f")
        assert shows(app, CohortEditor)
        book.slow.set()
        book.slow = None
        await rest(pilot)
        await press(pilot, "type:Halma League", "enter")
        assert shows(app, QuestionScreen)
        assert app.meant.now.cohort.league == ("Halma League",)


async def test_what_was_typed_while_a_queue_was_read_again_does_not_come_once_more() -> None:
    book = SlowBook()
    async with running(book, show="watch") as (app, pilot, _):
        screen = await opened(app, pilot)
        await press(pilot, "1")
        await rest_stored(pilot, screen)
        book.slow = threading.Event()
        await pilot.press("r")
        for key in "21":
            await pilot.press(key)
        book.slow.set()
        book.slow = None
        await rest_stored(pilot, screen)
        assert screen.hand is not None
        assert screen.hand.attempt.attempt == 4
        assert "4 of 60, 3 done today" in text_of(app)
        assert sorted(book.tags) == [1, 2, 3]


async def test_a_shot_typed_while_the_session_was_read_again_is_counted() -> None:
    book = SlowBook()
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        await press(pilot, "+", "+")
        book.slow = threading.Event()
        screen = app.screen
        assert isinstance(screen, ScoresheetScreen)
        screen.open_again()
        await pilot.press("-")
        book.slow.set()
        book.slow = None
        await rest(pilot)
        assert "●●○·······  block 1 of 4, 3 of 10 shot" in text_of(app)
        assert [t.made for t in book.scored["Winter"]] == [(True,), (True,), (False,)]
        assert status_of(app) == "3 are stored, it goes on after them"
