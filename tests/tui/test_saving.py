"""Saving an answer beside the screens: progress, stopping, what is offered."""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest

from tests.tui.driving import press, rest, running, status_of, text_of, until
from tests.tui.fake_book import FakeBook
from tui.cohorts import Whom
from tui.screens.base import RoomScreen
from tui.screens.export import ALWAYS, PICTURES


async def test_a_picture_that_is_stopped_is_no_file_and_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.hold = threading.Event()
        book.part = 0.3
        await pilot.press("x", "enter")
        await until(lambda: "saving" in status_of(app))
        assert re.fullmatch(r"saving ranking\.png: 30 %, \d+ s; esc stops it", status_of(app))
        await press(pilot, "escape")
        assert ("interrupt", None) in book.calls
        assert "stopped" in status_of(app)
        assert not (tmp_path / "ranking.png").exists()
        # The answer is still there, and the next picture is drawn.
        book.hold = None
        await press(pilot, "x", "enter")
        assert (tmp_path / "ranking.png").exists()


async def test_rows_are_saved_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.chdir(tmp_path)
    target = tmp_path / "ranking.csv"
    target.write_text("of last week\n", encoding="utf-8")
    async with running(show="ranking") as (app, pilot, _):
        typed = ("x", "ctrl+u", "type:ranking.csv", "enter", "enter")
        with monkeypatch.context() as disk:
            disk.setattr("os.fsync", full)
            await press(pilot, *typed)
        assert "cannot be written: No space left on device" in status_of(app)
        assert target.read_text(encoding="utf-8") == "of last week\n"
        assert list(tmp_path.iterdir()) == [target]
        await press(pilot, *typed)
        assert f"saved {target}" in status_of(app)
        assert target.read_text(encoding="utf-8").startswith("rank,player,")


async def test_what_was_saved_is_said_on_the_screen_that_is_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        book.hold = threading.Event()
        await pilot.press("x", "enter")
        await pilot.press("c")
        await pilot.pause()
        book.hold.set()
        await rest(pilot)
        assert app.screen.__class__.__name__ == "ContentsScreen"
        assert f"saved {tmp_path / 'ranking.png'}" in status_of(app)


@pytest.mark.parametrize("question", ["watchlist", "attempts", "sources"])
async def test_a_list_offers_a_picture_its_rows_a_slide_and_the_deck(question: str) -> None:
    async with running(size=(120, 36)) as (app, pilot, _):
        app.player = Whom("Tarn")
        app.show(question)
        await rest(pilot)
        await press(pilot, "x")
        text = text_of(app)
        assert all(words in text for words in (*ALWAYS.values(), *PICTURES.values()))
        assert f"{question}.png" in text


@pytest.mark.parametrize("typed", ["nothing.gif", "/", "no-such-folder/a.png"])
async def test_a_name_that_cannot_be_is_one_line_and_stays_typed(
    typed: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "x", "ctrl+u", f"type:{typed}", "enter")
        text = text_of(app)
        assert "Save this answer as" in text
        assert typed in text
        assert "one of .png" in text or "there is no folder" in text
        await press(pilot, "down", "escape")
        assert list(tmp_path.iterdir()) == []


async def test_a_long_answer_says_how_far_it_is() -> None:
    book = FakeBook()
    async with running(book) as (app, pilot, _):
        book.hold = threading.Event()
        book.part = 0.62
        await pilot.press("1")
        await until(lambda: "counting" in status_of(app))
        assert re.fullmatch(r"counting: 62 %, \d+ s; esc stops it", status_of(app))
        book.hold.set()
        await rest(pilot)
        assert status_of(app) == ""


async def test_a_stopped_question_ends_where_it_next_says_how_far_it_is() -> None:
    book = FakeBook()
    async with running(book, show="ranking") as (app, pilot, _):
        # The store cannot be interrupted in the middle of arithmetic.
        book.interrupt = lambda: None  # type: ignore[method-assign]
        book.hold = threading.Event()
        book.part = 0.1
        await pilot.press("b", "2")
        assert isinstance(app.screen, RoomScreen)
        (job,) = app.screen.jobs
        await until(lambda: job.since is not None)
        await pilot.press("escape")
        await rest(pilot)
        # The thread is free again although nobody let the work go on.
        later = [name for name, _ in book.calls].count("choices")
        await press(pilot, "t")
        assert [name for name, _ in book.calls].count("choices") == later + 1
        assert "Which technique is studied?" in text_of(app)
