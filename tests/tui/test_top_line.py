"""The top line says what the ledger holds after each change, whichever screen is in front."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest

from ledger.store.reads import Contents
from tests.tui.driving import press, rest, running, text_of, until
from tests.tui.fake_book import FakeBook
from tests.tui.keys_of_scoresheet import open_game
from tests.tui.keys_of_watch import opened
from tui.screens import storing


class CountingBook(FakeBook):
    """Holds one attempt more for each change."""

    slow: threading.Event | None = None

    def contents(self) -> Contents:
        facts = super().contents()
        if self.slow is not None:
            self.slow.wait(5)
        return replace(facts, attempts=facts.attempts + self.changes - 2)


def corner(text: str) -> int:
    """How many attempts the top line tells."""
    return int(text.splitlines()[0].split(" attempts")[0].split()[-1].replace(",", ""))


async def test_a_source_taken_back_counts_on_the_screen_one_has_gone_on_to() -> None:
    book = CountingBook()
    async with running(book, show="ranking") as (app, pilot, _):
        before = corner(text_of(app))
        await press(pilot, "u")
        book.slow = threading.Event()
        await pilot.press("y")
        await until(lambda: book.changes == 3)
        app.show("sources")
        book.slow.set()
        await rest(pilot)
        assert corner(text_of(app)) == before + 1


async def test_trips_and_tags_count_while_they_are_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    book = CountingBook()
    monkeypatch.setattr(storing, "_PAUSE_S", 0.05)
    async with running(book, show="watch") as (app, pilot, _):
        await opened(app, pilot)
        before = corner(text_of(app))
        await press(pilot, "1", "1")
        await until(lambda: corner(text_of(app)) == before + 3)
        many = book.changes
        app.show("scoresheet")
        await rest(pilot)
        await open_game(pilot)
        book.changes += 5
        await press(pilot, *"12++", "enter")
        await until(lambda: corner(text_of(app)) == before + 3 + book.changes - many)
