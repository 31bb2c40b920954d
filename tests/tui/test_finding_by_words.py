"""Questions and actions are found by typing part of what they do, in the words of the program."""

from __future__ import annotations

import pytest

from tests.tui.driving import press, running, shows, status_of, text_of
from tui.palette import found, offers_of
from tui.screens.base import RoomScreen
from tui.screens.find_window import FindDialog
from tui.screens.uptake import UptakeScreen


async def test_the_window_says_what_it_is_for_and_what_was_not_found() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "p")
        assert shows(app, FindDialog)
        shown = text_of(app)
        assert "What do you want to do?" in shown
        assert "type part of it" in shown
        await press(pilot, "type:zzz")
        assert "Nothing here is called so: fewer letters, or other words." in text_of(app)
        # There is nothing to do: the window stays.
        await press(pilot, "enter")
        assert shows(app, FindDialog)
        await press(pilot, "escape")
        assert app.screen is app.room("ranking")


@pytest.mark.parametrize("word", ["command", "palette", "search", "match"])
async def test_no_word_of_a_library_stands_in_the_window(word: str) -> None:
    async with running(show="ranking", size=(120, 60)) as (app, pilot, _):
        await press(pilot, "ctrl+p")
        assert shows(app, FindDialog)
        assert word not in text_of(app).casefold()
        assert "🔎" not in text_of(app)


@pytest.mark.parametrize(
    ("typed", "first"),
    [("growing", "Is it growing?"), ("studied technique", "Choose the technique that is studied"),
     ("minimum", "Leave out rows with fewer attempts than a number"), ("SETTINGS", "Make the")],
)  # fmt: skip
async def test_all_typed_words_are_looked_for_in_what_is_done_and_in_its_short_words(
    typed: str, first: str
) -> None:
    async with running(show="ranking") as (app, _, _book):
        assert isinstance(app.screen, RoomScreen)
        offers = found(list(offers_of(app, app.screen)), typed)
        assert offers
        assert any(offer.words.startswith(first) for offer in offers)


async def test_what_is_found_is_done_and_has_its_key_beside_it() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "p", "type:colour")
        assert "g     Change between dark, light and no colour" in text_of(app)
        theme = app.theme
        await press(pilot, "enter")
        assert app.theme != theme
        await press(pilot, "p", "type:it grow", "enter")
        assert shows(app, UptakeScreen)
        assert status_of(app) == ""


async def test_the_marked_one_moves_and_a_small_window_has_room_for_it() -> None:
    async with running(show="ranking", size=(40, 12)) as (app, pilot, _):
        await press(pilot, "p", "down", "down", "enter")
        assert shows(app, UptakeScreen)
