"""What was typed and is not in the ledger yet: in a file, and stored by the next program."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.tui.driving import QUESTIONS, press, rest, running, status_of
from tests.tui.fake_book import FakeBook
from tests.tui.keys_of_scoresheet import open_game
from tests.tui.keys_of_watch import opened, rest_stored
from tui.app import OffglassApp
from tui.remembered import Memory
from tui.screens import base
from tui.screens.scoresheet import ScoresheetScreen
from tui.typed_file import TypedFile

SAID = {"kind": "misses", "words": "Misses only"}


def dead_process() -> int:
    child = subprocess.Popen([sys.executable, "-c", ""])
    child.wait()
    return child.pid


def left_by(pid: int, folder: Path, ledger: Path, *attempts: int) -> Path:
    """The file of another program in which tags of some attempts wait."""
    typed = TypedFile(folder, ledger)
    for attempt in attempts:
        typed.put({"attempt": attempt, "fields": {"technique": "board"}, **SAID})
    (path,) = folder.glob("*.jsonl")
    theirs = path.with_name(path.name.replace(f"-{os.getpid()}.", f"-{pid}."))
    return path.rename(theirs)


async def test_what_is_typed_stands_in_a_file_until_it_is_stored(tmp_path: Path) -> None:
    async with running(show="watch") as (app, pilot, book):
        app.typed = TypedFile(tmp_path, tmp_path / "spring.duckdb")
        screen = await opened(app, pilot)
        book.busy = True
        await press(pilot, "1", "1", "1", "2")
        (path,) = tmp_path.glob("*.jsonl")
        assert path.read_text(encoding="utf-8").count("\n") == 3
        await press(pilot, "u", "u")
        assert path.read_text(encoding="utf-8").count("\n") == 2
        book.busy = False
        screen.try_to_store()
        await rest_stored(pilot, screen)
        assert not path.exists()
        assert sorted(book.tags) == [1, 2]


async def test_what_a_killed_program_had_not_stored_is_stored_by_the_next(tmp_path: Path) -> None:
    ledger, book = tmp_path / "spring.duckdb", FakeBook()
    left_by(dead_process(), tmp_path, ledger, 4, 99)
    app = OffglassApp(lambda: book, "spring.duckdb", questions=QUESTIONS)
    app.typed = TypedFile(tmp_path, ledger)
    async with app.run_test(size=(120, 30)) as pilot:
        await rest(pilot)
        line = status_of(app)
    assert "1 step typed last time and not stored then: stored now" in line
    assert "NOT stored: attempt 99: there is no attempt 99 any more" in line
    assert book.tags == {4: {"technique": "board"}}
    assert ("tag", (4, {"technique": "board"}, "misses")) in book.calls
    assert list(tmp_path.glob("*.jsonl")) == []


async def test_what_was_left_is_stored_once_the_ledger_can_be_had(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(base, "_BUSY_AGAIN_S", 0.05)
    ledger, book = tmp_path / "spring.duckdb", FakeBook()
    left_by(dead_process(), tmp_path, ledger, 4)
    app = OffglassApp(lambda: book, "spring.duckdb", questions=QUESTIONS)
    app.typed = TypedFile(tmp_path, ledger)
    book.busy = True
    async with app.run_test(size=(120, 30)) as pilot:
        await pilot.pause(0.1)
        assert not book.tags
        # It stands in a file all the while.
        assert len(list(tmp_path.glob("*.jsonl"))) == 1
        book.busy = False
        for _ in range(200):
            if book.tags:
                break
            await pilot.pause(0.02)
        await rest(pilot)
    assert book.tags == {4: {"technique": "board"}}
    assert list(tmp_path.glob("*.jsonl")) == []


def test_what_a_living_program_has_typed_is_left_to_it(tmp_path: Path) -> None:
    ledger = tmp_path / "spring.duckdb"
    theirs = left_by(os.getppid(), tmp_path, ledger, 1)
    assert TypedFile(tmp_path, ledger).left_over() == []
    assert theirs.exists()
    assert TypedFile(tmp_path, tmp_path / "other.duckdb").left_over() == []


def test_a_program_of_the_same_number_loses_nothing_of_the_one_before(tmp_path: Path) -> None:
    # In a container the program has the same number at every start.
    ledger = tmp_path / "spring.duckdb"
    theirs = left_by(os.getpid(), tmp_path, ledger, 1, 2)
    typed = TypedFile(tmp_path, ledger)
    left = typed.left_over()
    assert [entry["attempt"] for entry in left] == [1, 2]
    assert theirs.read_text(encoding="utf-8").count("\n") == 2
    typed.drop(left[0])
    typed.put({"attempt": 3, "fields": {}, **SAID})
    assert theirs.read_text(encoding="utf-8").count("\n") == 2
    # What this program has typed itself was left by nobody.
    assert typed.left_over() == []


def test_of_a_damaged_file_the_whole_lines_are_stored(tmp_path: Path) -> None:
    ledger = tmp_path / "spring.duckdb"
    damaged = left_by(dead_process(), tmp_path, ledger, 1)
    whole = damaged.read_text(encoding="utf-8")
    damaged.write_text(whole + '[3]\n{"attempt": 2, "fie', encoding="utf-8")
    assert [entry["attempt"] for entry in TypedFile(tmp_path, ledger).left_over()] == [1]
    assert not damaged.exists()


def test_an_entry_that_means_nothing_keeps_no_other_back(tmp_path: Path) -> None:
    typed, book = TypedFile(tmp_path, tmp_path / "spring.duckdb"), FakeBook()
    whole = {"attempt": 4, "fields": {"technique": "board"}, **SAID}
    entries: list[object] = [{"attempt": "x", "fields": {}, **SAID}, {"attempt": 3, "untag": None},
                             {"attempt": 5, "fields": "board", **SAID}, {}, whole]  # fmt: skip
    said = typed.store(entries, book)  # type: ignore[arg-type]
    assert "1 step typed last time" in said
    assert book.tags == {4: {"technique": "board"}}
    assert entries == []


async def test_trips_stand_in_a_file_from_the_key_that_ends_them_until_they_are_stored(
    tmp_path: Path,
) -> None:
    kept, ledger = tmp_path / "sheets.json", tmp_path / "spring.duckdb"
    async with running() as (app, pilot, book):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e")
        await open_game(pilot)
        book.busy = True
        await press(pilot, *"12+-", "enter", *"4+", "enter", *"12+-", "enter")
        # Read as the next program would if this one were killed now.
        killed = Memory(kept, ledger).last()
        assert killed.waiting == ("12+-", "4+", "12+-")
        assert killed.asked["home"] == "Skerry"
        book.busy = False
        screen = app.screen
        assert isinstance(screen, ScoresheetScreen)
        screen.try_to_store()
        await rest(pilot)
        assert Memory(kept, ledger).last().waiting == ()
        assert [len(t.made) for t in book.scored["Skerry v Fenholt"]] == [2, 1, 2]
