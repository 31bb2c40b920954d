"""Driving the terminal program in tests: open it, wait until it rests, read the screen."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from time import monotonic
from typing import Any

from textual import events
from textual.keys import key_to_character
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from tests.tui.fake_book import FakeBook
from tui.app import ListedQuestion, OffglassApp
from tui.screens.base import RoomScreen
from tui.screens.form import FormDialog
from tui.settings import Settings

QUESTIONS = (
    ListedQuestion("ranking", "Who shoots best, allowing for luck?"),
    ListedQuestion("adopters", "Who does it?"),
    ListedQuestion("uptake", "Is it growing?"),
    ListedQuestion("attempts", "The records", slow=True),
)


# A key goes through a few messages before the screen asks anything.
_QUIET_ROUNDS = 5
# The first test that shows an answer has it made, on a machine that may be busy.
_PATIENCE_S = 90.0


@asynccontextmanager
async def running(
    book: FakeBook | None = None,
    size: tuple[int, int] = (80, 24),
    show: str = "contents",
    settings: Settings | None = None,
) -> AsyncIterator[tuple[OffglassApp, Pilot[int], FakeBook]]:
    """The program on a book, at rest on one of its screens."""
    used = book or FakeBook()
    app = OffglassApp(lambda: used, "spring.duckdb", settings=settings, questions=QUESTIONS)
    async with app.run_test(size=size) as pilot:
        await rest(pilot)
        if show != "contents":
            app.show(show)
            await rest(pilot)
        yield app, pilot, used


async def rest(pilot: Pilot[int]) -> None:
    """Wait until nothing is asked any more and everything is painted."""
    quiet, until = 0, monotonic() + _PATIENCE_S
    while monotonic() < until:
        # A pause of no seconds lets every widget work off its messages.
        await pilot.pause(0.0)
        working = [s for s in pilot.app.screen_stack if isinstance(s, RoomScreen | FormDialog)]
        busy = any(screen.jobs for screen in working) or _typing(pilot.app)
        quiet = 0 if busy else quiet + 1
        if quiet == _QUIET_ROUNDS:
            return
        if busy:
            await asyncio.sleep(0.002)
    raise AssertionError("the screen does not come to rest")


async def until(come: Callable[[], bool], most: float = 60.0) -> None:
    """Wait for something that other threads do, however slow the machine is."""
    ends = monotonic() + most
    while not come():
        assert monotonic() < ends, "it has not come"
        await asyncio.sleep(0.02)


def _typing(app: object) -> bool:
    """Whether keys are still on their way."""
    return isinstance(app, OffglassApp) and app._typing._under_way


async def press(pilot: Pilot[int], *keys: str) -> None:
    """Press keys one after another, waiting after each; `type:words` types words."""
    for key in keys:
        focused = pilot.app.focused
        if key.startswith("type:"):
            assert isinstance(focused, Input), focused
            focused.insert_text_at_cursor(key.removeprefix("type:"))
        else:
            _send(pilot, key)
        await rest(pilot)


def burst(pilot: Pilot[int], *keys: str) -> None:
    """Send keys as fast as a terminal can, without waiting for anything."""
    # However busy the machine is that runs the test, they came at once.
    came = monotonic()
    for key in keys:
        _send(pilot, key, came)


def _send(pilot: Pilot[int], key: str, came: float | None = None) -> None:
    # Pilot.press waits for an idle processor twice a key, which takes long on a busy machine.
    name = "space" if key == " " else key
    event = events.Key(name, key_to_character(name))
    event.set_sender(pilot.app)
    event.time = event.time if came is None else came
    driver = pilot.app._driver
    assert driver is not None
    driver.send_message(event)


def text_of(app: OffglassApp) -> str:
    """The screen as text, one line a line, without blanks at the ends."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


def status_of(app: OffglassApp) -> str:
    """The line above the keys."""
    from tui.widgets.lines import Words

    return " ".join(app.screen.query_one("#status", Words).said)


def shows(app: OffglassApp, kind: type[Screen[Any]]) -> bool:
    """Whether a screen of that kind is in front."""
    return isinstance(app.screen, kind)
