"""The one holder of the ledger: its thread, its order, stopping, letting go, trouble."""

from __future__ import annotations

import asyncio
import re
import threading

import pytest
from textual.widgets import Input

from tests.tui.driving import burst, press, rest, running, status_of, text_of
from tests.tui.fake_book import FakeBook
from tui import session as session_module
from tui.screens import base
from tui.widgets.rows import RowsView


async def test_every_query_runs_in_one_thread_that_is_not_the_screens() -> None:
    async with running(show="ranking") as (_, _pilot, book):
        assert len(book.threads) == 1
        assert threading.get_ident() not in book.threads


async def test_the_ledger_is_closed_at_the_end() -> None:
    async with running() as (_, _pilot, book):
        assert not book.closed
    assert book.closed


async def test_the_ledger_is_let_go_when_nothing_is_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(session_module, "IDLE_S", 0.05)
    async with running() as (_, pilot, book):
        await asyncio.sleep(0.3)
        assert [name for name, _ in book.calls].count("release") == 1
        await press(pilot, "1")
        await asyncio.sleep(0.3)
        assert [name for name, _ in book.calls].count("release") == 2


async def test_a_busy_ledger_is_one_line_and_is_asked_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(base, "_BUSY_AGAIN_S", 0.1)
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.busy = True
        await press(pilot, "r")
        assert "held by Mira" in status_of(app)
        assert "Ilvo Tarn" in text_of(app)
        book.busy = False
        await asyncio.sleep(0.3)
        await rest(pilot)
        assert status_of(app) == ""
        assert "Tarn is first" in text_of(app)


async def test_rows_of_other_attempts_never_stand_under_a_new_sentence() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        await press(pilot, "down", "down")
        book.busy = True
        await press(pilot, "f", "type:Halma League", "enter")
        assert "Free throws in Halma League" in text_of(app)
        assert "no answer yet" in text_of(app)
        assert "Sefa Tarn" not in text_of(app)
        book.busy = False
        await press(pilot, "r")
        assert "▸  3 Sefa Tarn" in text_of(app)


async def test_a_query_can_be_stopped_and_asked_again() -> None:
    book = FakeBook()
    async with running(book) as (app, pilot, _):
        book.hold = threading.Event()
        await pilot.press("1")
        await asyncio.sleep(0.1)
        assert "counting" in text_of(app)
        await press(pilot, "escape")
        assert ("interrupt", None) in book.calls
        assert "stopped" in status_of(app)
        assert app.screen.__class__.__name__ == "RankingScreen"
        book.hold = None
        await press(pilot, "r")
        assert "Tarn is first" in text_of(app)


async def test_long_work_shows_that_it_runs() -> None:
    book = FakeBook()
    async with running(book) as (app, pilot, _):
        book.hold = threading.Event()
        await pilot.press("1")
        await asyncio.sleep(1.2)
        # However long the machine takes to come back to it.
        assert re.search(r"counting: \d+ s; esc stops it", status_of(app))
        book.hold.set()
        await rest(pilot)
        assert status_of(app) == ""


async def test_leaving_while_a_query_runs_stops_it_and_closes_the_ledger() -> None:
    book = FakeBook()
    async with running(book) as (_, pilot, _book):
        book.hold = threading.Event()
        await pilot.press("1")
        await asyncio.sleep(0.05)
        await pilot.press("q")
    assert book.closed


async def test_only_the_last_of_several_cohorts_is_answered() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.hold = threading.Event()
        for order in ("2", "3", "4"):
            await pilot.press("o", order)
        book.hold.set()
        await rest(pilot)
        assert app.screen.answer.asked["order"] == "made"  # type: ignore[attr-defined]
        assert ("interrupt", None) in book.calls
        assert status_of(app) == ""


async def test_a_fault_of_the_program_is_a_line_and_no_end() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):

        def broken(*_: object, **__: object) -> None:
            raise ZeroDivisionError("division by zero")

        book.ask = broken  # type: ignore[assignment, method-assign]
        await press(pilot, "r")
        assert "a fault of the program (ZeroDivisionError" in status_of(app)


async def test_an_empty_ledger_says_what_to_do() -> None:
    async with running(FakeBook(empty=True)) as (app, _, _book):
        assert "The ledger is empty." in text_of(app)
        assert "i adds a file" in text_of(app)


async def test_headlines_come_after_what_the_user_waits_for() -> None:
    book = FakeBook()
    async with running(book) as (_app, pilot, _):
        book.hold = threading.Event()
        book.changes += 1
        before = len(book.calls)
        await pilot.press("r", "2")
        await asyncio.sleep(0.05)
        book.hold.set()
        await rest(pilot)
        asked = [what[0] for name, what in book.calls[before:] if name == "ask"]
        # The headline that was under way gives way to the chosen question, and is asked again.
        assert asked[-4:] == ["adopters", "ranking", "adopters", "uptake"]


async def test_what_the_user_waits_for_does_not_wait_for_a_headline() -> None:
    book = FakeBook()
    async with running(book) as (app, pilot, _):
        book.hold = threading.Event()
        book.changes += 1
        await pilot.press("r")
        await asyncio.sleep(0.05)
        before, fetched = len(book.calls), threading.Event()
        app.session.do(app.screen, "trials", "looking up trials", lambda _: fetched.set())
        # The headline is held up all the while.
        assert await asyncio.to_thread(fetched.wait, 5)
        assert book.calls[before] == ("interrupt", None)
        book.hold.set()
        await rest(pilot)
        asked = [what[0] for name, what in book.calls[before:] if name == "ask"]
        assert asked == ["ranking", "adopters", "uptake"]


async def test_other_screens_ask_anew_after_a_change() -> None:
    async with running(show="ranking") as (app, pilot, book):
        before = sum(name == "ask" for name, _ in book.calls)
        await press(pilot, "u", "y")
        assert ("undo", (2, False, False)) in book.calls
        assert "source 2 is taken back" in status_of(app)
        assert sum(name == "ask" for name, _ in book.calls) >= before + 2


async def test_keys_typed_faster_than_windows_open_reach_the_right_window() -> None:
    async with running(show="ranking") as (app, pilot, book):
        burst(pilot, *"fHalma League", "enter")
        await rest(pilot)
        assert app.meant.now.cohort.league == ("Halma League",)
        burst(pilot, "c", "2", "c", "1", "o", "4", "m", *"75", "enter", "slash", *"dravik", "enter")
        await rest(pilot)
        assert text_of(app).startswith(" offglass")
        assert app.screen.options == {"order": "made", "min_attempts": 75}  # type: ignore[attr-defined]
        assert app.screen.query_one(RowsView).cursor == 18
        assert [what[0] for name, what in book.calls if name == "ask"][-1] == "ranking"


async def test_two_hundred_keys_in_a_burst_arrive_in_order() -> None:
    words = "".join(f"{k % 10}" for k in range(200))
    async with running(show="ranking") as (app, pilot, _):
        burst(pilot, "f", *words)
        await rest(pilot)
        assert isinstance(app.focused, Input)
        assert app.focused.value == words


async def test_a_question_is_given_up_at_once_though_its_arithmetic_runs_on() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.interrupt = lambda: None  # type: ignore[method-assign]
        book.hold = threading.Event()
        await pilot.press("b", "2")
        await asyncio.sleep(0.05)
        assert "counting …" in text_of(app)
        await pilot.press("escape")
        await rest(pilot)
        assert "no answer yet" in text_of(app)
        assert "Ilvo Tarn" not in text_of(app)
        assert status_of(app) == "stopped; r reads again"
        book.hold.set()
        await press(pilot, "r")
        assert "Ilvo Tarn" in text_of(app)
