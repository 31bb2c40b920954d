"""In the smallest window: the keys stay, and what has no room leaves a sign."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.tui.driving import press, rest, running, shows, status_of, text_of
from tests.tui.keys_of_scoresheet import open_game, open_practice
from tui.cohorts import Whom
from tui.screens.dialogs import TextDialog
from tui.screens.scoresheet import ScoresheetScreen
from tui.widgets.lines import Words
from tui.widgets.practice_view import draw

SMALL = (40, 12)
KEYS = "F8 game  F9 period  F1 keys  F10 quit"


async def test_messages_of_a_practice_session_leave_the_keys_where_they_are() -> None:
    async with running(size=SMALL, show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        screen = app.screen
        assert isinstance(screen, ScoresheetScreen)
        for key in ("x", "f9", "+", "7"):
            await press(pilot, key)
            assert text_of(app).splitlines()[-1].strip() == KEYS
        screen.tell("something long that takes two lines of the window and a bit more than that")
        await rest(pilot)
        lines = text_of(app).splitlines()
        assert lines[-1].strip() == KEYS
        assert lines[-3].startswith(" something long")
        assert "next: 8 more off the backboard" in text_of(app)


async def test_a_half_typed_trip_and_its_message_leave_the_keys_where_they_are() -> None:
    async with running(size=SMALL, show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await press(pilot, *"12+-", "enter", *"zz", "enter")
        lines = text_of(app).splitlines()
        assert lines[-1].strip() == KEYS
        assert status_of(app)[:30] in text_of(app)
        assert "› zz" in text_of(app)


async def test_what_a_small_window_cuts_of_a_session_ends_in_a_sign() -> None:
    async with running(show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        await press(pilot, *"++-")
        screen = app.screen
        assert isinstance(screen, ScoresheetScreen)
        practice = screen.practice
        assert practice is not None
        for cells, lines in ((38, 7), (38, 4), (38, 3), (38, 2), (24, 7)):
            whole = draw(practice, screen.shots, 78, 14).text()
            assert "…" not in whole
            text = draw(practice, screen.shots, cells, lines).text().splitlines()
            assert len(text) <= lines
            cut_off = [line for line in whole.splitlines() if line.strip()][len(text) :]
            assert text[-1].endswith("…") == bool(cut_off) or cells < 38
            assert any("…" in line for line in text)
        blocks = (replace(practice.blocks[0], attempts=40), *practice.blocks[1:])
        line = draw(replace(practice, blocks=blocks), screen.shots, 38, 9).text().splitlines()[1]
        assert line.endswith("…")


@pytest.mark.parametrize("room", ["trial", "uptake", "worth", "ranking"])
async def test_notes_and_pictures_without_room_are_signed_and_the_key_tells_of_them(
    room: str,
) -> None:
    async with running(size=SMALL, show=room) as (app, pilot, _):
        assert text_of(app).splitlines()[0].endswith("(w: more)")
        await press(pilot, "w")
        assert shows(app, TextDialog)
        said = [line for words in app.screen.query(Words) for line in words.said]
        has_picture = "A window of 16 lines or more has a picture too." in said
        assert has_picture == (room != "ranking")
        await press(pilot, "escape")
        await pilot.resize_terminal(80, 24)
        await rest(pilot)
        assert "(w: more)" not in text_of(app)


async def test_the_page_of_a_player_in_a_small_window_has_the_sign_too() -> None:
    async with running(size=SMALL) as (app, pilot, _):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        assert text_of(app).splitlines()[0] == " One player, everything (w: more)"
